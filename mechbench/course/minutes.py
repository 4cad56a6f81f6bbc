"""How many minutes a lesson takes, counted from its source as a learner sees it.

stretches    the core of a lesson, then each part under "## More", each with what is counted in it
told         minutes as a lesson tells them: rounded up to five
claimed      the source with the minutes written wherever it tells them
too_long     a sentence where the core takes longer than it may
table        all lessons side by side, which `python -m mechbench.course.minutes` prints

Words in a minute, and minutes for a question, a bench, a design and a measurement: common practice, no source. Words
are those of text cells and of what is stored under a code cell: a question with its options, a sentence with the kit's
numbers, a table. A number is a word, and so is each letter or number of a formula. What is stored of a bench is not
read, so it counts its minutes alone; "More to try" goes back to one. Mentor's notes and worked answers count nothing.
"""

import copy
import math
import re
from dataclasses import dataclass

from mechbench.course import derived_lesson, lesson_template, registry
from mechbench.course.ask import WARM_UP_LENGTH
from mechbench.course.exercise import Challenge
from mechbench.course.lessons import LESSONS, ROOT
from mechbench.course.notebook import calls, read, tags_of

WORDS_A_MINUTE = 130
QUESTION, BENCH, DESIGN, MEASUREMENT = 3, 5, 10, 15
LONGEST_CORE, STEP = 45, 5
CORE = "Core"
NOT_SEEN = {derived_lesson.MENTOR, derived_lesson.BANNER, derived_lesson.ANSWER}

FORMULA = re.compile(r"\$\$?(.+?)\$\$?", re.DOTALL)
SYMBOL = re.compile(r"\d[\d.]*|\\(?:pi|eta|mu|omega|alpha|beta|theta|varphi|rho|tau|Delta)|(?<![\\A-Za-z])[A-Za-z]+")
NO_WORD = re.compile(r"[|*_#>:.,;`'\"()-]*")  # between two blanks: a list's dash, a table's line
CORE_CLAIM = re.compile(r"\d+(?= minutes\. Have )")
PART_CLAIM = re.compile(r"(?m)^(### .+) \(\d+ minutes\)$")
MENTOR_CLAIM = re.compile(r"(?m)^\*\*For mentors\.\*\* \*Minutes:\* .*$")


@dataclass
class Stretch:
    """A piece of a lesson: its name, and how much of everything is in it."""

    name: str
    words: int = 0
    questions: int = 0
    benches: int = 0
    designs: int = 0
    measurements: int = 0

    @property
    def minutes(self):
        """The minutes counted, not rounded."""
        asked = QUESTION * self.questions + DESIGN * self.designs + MEASUREMENT * self.measurements
        return self.words / WORDS_A_MINUTE + asked + BENCH * self.benches


def told(minutes):
    """Minutes as a lesson tells them, rounded up.

    >>> told(41.2), told(45.0)
    (45, 45)
    """
    return STEP * math.ceil(round(minutes / STEP, 9))


def words(text):
    r"""How many words a text has.

    >>> words(r"- The *nip* is 5.4 mm | $v = \pi \cdot d \cdot n$")
    9
    """
    symbols = sum(len(SYMBOL.findall(formula)) for formula in FORMULA.findall(text))
    plain = FORMULA.sub(" ", text).replace("|", " ").split()
    return symbols + sum(not NO_WORD.fullmatch(one) for one in plain)


# --- counting -------------------------------------------------------------------------------------------------------


def stretches(source):
    """The core, then each part of More, in order. What stands between "## More" and its first part is the core's."""
    found, apart = [Stretch(CORE)], False
    for cell in source["cells"]:
        if not NOT_SEEN.isdisjoint(tags_of(cell)):
            continue
        if cell["cell_type"] == "code":
            _count_code(cell, found[-1])
            continue
        for piece in re.split(r"(?m)^(?=###? )", cell["source"]):
            apart = apart or piece.startswith(f"## {lesson_template.MORE}")
            if apart and piece.startswith("### "):
                name = lesson_template.heading_of(piece.splitlines()[0])
                found.append(Stretch(name, benches=int(name == lesson_template.TRY)))
            found[-1].words += words(piece)
    return found


def _count_code(cell, stretch):
    stretch.benches += len(calls(cell, "bench"))
    for id in calls(cell, "ask"):
        asked = registry.exercise(id)
        if isinstance(asked, Challenge):
            stretch.designs += 1
        elif getattr(asked, "shop", None):
            stretch.measurements += 1
        else:
            stretch.questions += 1
    # The first lesson has nothing to warm up.
    stretch.questions += WARM_UP_LENGTH * sum(name != LESSONS[0].name for name in calls(cell, "warm_up"))
    if not calls(cell, "bench"):
        stretch.words += sum(words(_text(output)) for output in cell["outputs"])


def _text(output):
    """What is read of an output."""
    data = output.get("data", {})
    return output.get("text", "") or data.get("text/markdown", "") or data.get("text/plain", "")


# --- what a lesson tells --------------------------------------------------------------------------------------------


def claimed(source):
    """Give the source with its minutes written wherever it tells them: in the core, beside the headings of More, and
    in the mentor's note.
    """
    core, *parts = stretches(source)
    claims = copy.deepcopy(source)
    minutes = {part.name: told(part.minutes) for part in parts}
    listed = "; ".join(f"{name.lower()} {count}" for name, count in minutes.items())
    note = f"**For mentors.** *Minutes:* core {told(core.minutes)}. Apart from it: {listed}."
    for cell in claims["cells"]:
        text = CORE_CLAIM.sub(str(told(core.minutes)), cell["source"])
        text = MENTOR_CLAIM.sub(note, text)
        cell["source"] = PART_CLAIM.sub(lambda hit: _with_minutes(hit.group(1), minutes), text)
    return claims


def _with_minutes(heading, minutes):
    return f"{heading} ({minutes[lesson_template.heading_of(heading)]} minutes)"


def too_long(source):
    """A sentence where the core takes longer than it may; else nothing."""
    core = stretches(source)[0]
    over = core.minutes - LONGEST_CORE
    if over <= 0:
        return ""
    return (
        f"the core takes {core.minutes:.0f} minutes, {over:.1f} more than {LONGEST_CORE}: {core.words} words,"
        f" {core.questions} questions, {core.benches} benches; move to More what is not the one idea,"
        f" or leave out {math.ceil(over * WORDS_A_MINUTE)} words"
    )


def table():
    """One line a lesson: its core, counted and told, and the parts of More as told."""
    lines = []
    for lesson in LESSONS:
        core, *parts = stretches(read(ROOT / "solutions" / f"{lesson.stem}.ipynb"))
        more = ", ".join(f"{part.name.lower()} {told(part.minutes)}" for part in parts)
        lines.append(
            f"{lesson.heading}: core {core.minutes:.1f}, told {told(core.minutes)} ({core.words} words,"
            f" {core.questions} questions, {core.benches} benches); {more or 'nothing apart'}"
        )
    return "\n".join(lines)


if __name__ == "__main__":
    print(table())
