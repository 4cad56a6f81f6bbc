"""What moves a robot's points most, as a notebook shows it: a picture, and the same in words.

Contents: counts_most, Strongest.
"""

from base64 import b64encode

from mechbench.robot import compare


class Strongest(tuple):
    """Inputs of a robot (compare.Influence), the strongest first."""

    def __repr__(self):
        return "\n".join(f"{one.name}: {one.low:.1f} points at its low end, {one.high:.1f} at its high end" for one in self)

    def _repr_mimebundle_(self, include=None, exclude=None):
        from mechbench.desk import drawn  # matplotlib, only when the picture is asked for

        return {"text/plain": repr(self), "image/png": b64encode(drawn.influences(self)).decode()}


def counts_most(robot, matches=2000, seed=1):
    """Say what each input alone does to a robot's points; robot: its name, or one with changes."""
    return Strongest(compare.counts_most(robot, matches, seed))
