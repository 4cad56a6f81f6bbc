"""Which part first, for a notebook, a window of letters and other programs: words from whole_robot, in their places.

Contents: part_first (on a notebook's page), look, Advice, text_of, data_of.
"""

from mechbench.desk import text_table
from mechbench.desk.answer import instead_lines
from mechbench.desk.printed_page import marked, rows_of
from mechbench.desk.rich_text import Note
from mechbench.desk.waiting import Waiting
from mechbench.kits import kit
from mechbench.kits.load import robot_instead
from mechbench.whole_robot import part_first_words as words
from mechbench.whole_robot.build import build
from mechbench.whole_robot.part_first import remembered


class Advice(Note):
    """What one change brings, as a table; `found` holds the numbers."""

    def __init__(self, found):
        super().__init__(_markdown(found))
        self.found = found

    def _repr_mimebundle_(self, include=None, exclude=None):
        return {"text/markdown": self.markdown, "text/plain": repr(self)}

    def __repr__(self):
        return text_of(self.found)


def part_first(robot, points_wanted=None, pairs=False):
    """Say which change of one part gains most points on a bad day, over the whole kit, and what it costs.

    robot : its name, or one with changes; points_wanted : in a match, on average
    pairs : True: also the best two changes at once, among the best single ones; or of how many of these
    """
    robot = build(robot) if isinstance(robot, str) else robot
    return Advice(look(robot, points_wanted, pairs))


def look(robot, points_wanted=None, pairs=False):
    """Search, with a line that says how far it is where somebody sits in front of it."""
    waiting = Waiting()
    try:
        return remembered(robot, points_wanted, pairs, waiting.say)
    finally:
        waiting.end()


def _markdown(found):
    """Verdict, table and sentences."""
    rows, told = words.rows(found), _instead(found)
    first = [f"**{marked(told)}**", ""] if told else []
    table = [*rows_of(words.HEADS, rows), ""] if rows else []
    said = [line for sentence in words.more(found) for line in (marked(sentence), "")]
    return "\n".join([*first, f"**{marked(found.robot.label)}.** {marked(words.verdict(found))}", "", *table, *said])


def _instead(found):
    """Whose robot it is, where the kit in force has none."""
    return robot_instead(kit(), found.robot.name)


def text_of(found, system="metric"):
    """The same as plain text."""
    lines = [*instead_lines(_instead(found)), f"{found.robot.label}: {words.QUESTION.lower()}", ""]
    for sentence in words.plain(found, system):
        lines += text_table.wrapped(sentence, more=2)
    return "\n".join(lines)


def data_of(found):
    """The same as plain data: numbers in SI, the best first."""
    told = _instead(found)
    return {
        **({"instead": told} if told else {}),
        "robot": found.robot.name,
        "verdict": words.verdict(found),
        "mends": [_of_one(one) for one in found.fault.mends] if found.fault else None,
        "tried": found.tried,
        "gain_but_break": found.broken,
        "cannot_be_built": found.impossible,
        "found": [_of_one(one) for one in found.found],
        "pairs": None
        if found.pairs is None
        else {"tried": found.pairs.tried, "found": [_of_one(one) for one in found.pairs.found]},
    }


def _of_one(one):
    effect = one.effect
    return {
        "changes": [
            {
                "path": c.path,
                "from": c.was,
                "to": c.becomes,
                "said": f"{c.label}: {c.told(c.was)} → {c.told(c.becomes)}",
            }
            for c in one.changes
        ],
        "points_good_day": list(effect.points_good),
        "points_bad_day": list(effect.points_bad),
        "gain": effect.gain,
        "error": effect.error,
        "mass": effect.mass,
        "peak": effect.peak,
        "volts": effect.volts,
        "stands": effect.stands,
        "breaks": list(effect.breaks),
        "meets": list(effect.meets),
    }
