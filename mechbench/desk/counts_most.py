"""What moves a robot's points most, as a notebook shows it: a picture, and the same in words.

Contents: counts_most, Strongest.
"""

from mechbench.desk.rich_text import Pictured
from mechbench.whole_robot import compare


class Strongest(Pictured, tuple):
    """Inputs of a robot (compare.Influence), the strongest first."""

    def __repr__(self):
        return "\n".join(
            f"{one.name}: {one.low:.1f} points at its low end, {one.high:.1f} at its high end" for one in self
        )

    def png(self):
        """A bar for each."""
        from mechbench.desk import pictures  # matplotlib, only when the picture is asked for

        return pictures.influences(self)


def counts_most(robot, matches=2000, seed=1):
    """Say what each input alone does to a robot's points; robot: its name, or one with changes."""
    return Strongest(compare.counts_most(robot, matches, seed))
