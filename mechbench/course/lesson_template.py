"""The frame that every lesson has, and a new lesson's skeleton.

PARTS        the parts of a lesson, in order: its core, then More
MORE_PARTS   the parts of More, in order
title        the first cell of a lesson
skeleton     the cells of a new lesson, with a line "WRITE: ..." wherever its author has to write
CAUTION_SAYS words that every caution box holds
HOLDS_WITH   how the cell after a bench begins: its numbers belong to the bench's settings

To begin a lesson:

    notebook.write("solutions/01_motors.ipynb", notebook.new(lesson_template.skeleton("motors")))
"""

import re
from dataclasses import dataclass

from mechbench.course import derived_lesson, registry
from mechbench.course.exercise import Challenge, Prediction
from mechbench.course.lessons import lesson
from mechbench.course.notebook import code, markdown

TO_WRITE = "WRITE:"
SHOULD_SEE = "What you should see"
HOLDS_WITH = f"**{SHOULD_SEE}** with these settings: {{settings}}."
LOOK_UP = "*Where to look it up:* [quick reference](../lessons/quick_reference.ipynb)."
CAUTION = (
    "> **Caution.** Unplug before hands go in. An adult is present. Your event's rules and local codes come first."
)
CAUTION_SAYS = ("caution", "unplug", "adult", "rules", "local codes")
PREDICT, EXERCISES, KEY_POINTS, MORE = "Predict, then slide", "Exercises", "Key points", "More"
FURTHER, DESIGN, MEASURE, TRY = "Further exercises", "A design", "Measure it on the real thing", "More to try"


@dataclass(frozen=True)
class Part:
    """One part of a lesson: its heading (words may follow it, after a colon), what belongs there, what it must hold."""

    heading: str
    holds: str
    needs: tuple = ()
    optional: bool = False


# The core, in order: what everybody does, in at most 45 minutes (minutes.py counts them).
PARTS = (
    Part(
        "What you will learn",
        "two to four lines 'You can ...'; '45 minutes. Have ... at hand.' (refresh writes the number)",
        (" minutes. Have ",),
    ),
    Part("The picture", "what the machine looks like, with its parts named"),
    Part(
        PREDICT,
        "a prediction, the bench that answers it, what you should see (true whatever the learner has moved since: what"
        " the sentence speaks of is fixed in its cell), and the guess beside what the bench shows",
        ("mb.ask(", "mb.bench(", "mb.your_guess("),
    ),
    Part("One new idea", "one idea in words, then one formula, called 'to know by heart'", ("by heart",)),
    Part("A worked example", "one sum, step by step, with the units written; at most six steps"),
    Part(EXERCISES, "the five exercises that carry the idea; after each an empty cell for sums", ("mb.ask(",)),
    Part(
        KEY_POINTS,
        "three to five sentences to take away; a link to the quick reference; then the hand-in",
        ("quick_reference.ipynb", "mb.hand_in("),
    ),
    Part(MORE, "one sentence: this stands apart from the core, take what you like"),
)
# What stands apart, each under ### with its own minutes behind the heading: "### Warm-up (15 minutes)".
MORE_PARTS = (
    Part("Warm-up", "three short questions from earlier lessons", ("mb.warm_up(",)),
    Part(FURTHER, "the exercises that are not of the core; after each an empty cell for sums", ("mb.ask(",), True),
    Part(DESIGN, "the design exercise, with a bench for it in an empty cell", ("mb.ask(",), True),
    Part(
        MEASURE, "the caution box before all else; how to measure; a place for readings; a fit that corrects the model"
    ),
    Part(TRY, "more to see on the bench, a search, what goes beyond the lesson", optional=True),
    Part(
        "Another mechanism",
        "what does the same work in another way: a drawing, what decides, its own bench, exercises with a design, and"
        " how to measure it",
        ("mb.bench(", "mb.ask("),
        optional=True,
    ),
    Part("Common mistakes", "three to five, each with the way to notice it"),
)
FIVE = 5  # exercises of the core
MINUTES = re.compile(r" \(\d+ minutes\)$")


def heading_of(line):
    """The name of the part that a line of heading begins.

    >>> heading_of("### A design: the long reach (20 minutes)")
    'A design'
    """
    return MINUTES.sub("", line.lstrip("# ")).partition(":")[0]


def title(known):
    """The first cell of a lesson: its heading and its question.

    >>> print(title(lesson("motors")))
    # 01 Motors
    <BLANKLINE>
    **What does a motor give at my load, and for how long before it is too hot?**
    """
    return f"# {known.heading}\n\n**{known.question}**"


def skeleton(name):
    """The cells of a new lesson, all parts and all its exercises in place."""
    known, start = lesson(name), registry.prefix(name)
    cells = [
        markdown(f"{start}solutions", "*This is the edition with answers and mentor's notes.*", derived_lesson.BANNER),
        markdown(f"{start}title", title(known)),
        code(f"{start}import", 'import mechbench as mb\n\nmb.learner("")'),
        code(f"{start}progress", f'mb.progress("{name}")'),
    ]
    for part in PARTS:
        cells += _cells_of(part, "##", name, start)
    for part in MORE_PARTS:
        cells += _cells_of(part, "###", name, start)
    note = f"**For mentors.** *Minutes:* \n{TO_WRITE} what to prepare, where learners get stuck."
    return [*cells, markdown(f"{start}mentor", note, derived_lesson.MENTOR)]


def _cells_of(part, marks, name, start):
    """The heading of a part with what is to be written, and the cells that stand under it besides."""
    link = f"\n\n{LOOK_UP}" if part.heading == KEY_POINTS else ""
    own_minutes = " (0 minutes)" if part in MORE_PARTS else ""
    line, to_write = f"{marks} {part.heading}{own_minutes}", f"{TO_WRITE} {part.holds}."
    text = line if part.heading == MEASURE else f"{line}\n\n{to_write}{link}"
    asked = [cell for known in _asked_in(part.heading, name) for cell in _exercise_cells(known)]
    if part.optional and part.heading != TRY and not asked:
        return []
    return [markdown(start + _slug(part.heading), text), *_inside(part, name, start, asked)]


def _inside(part, name, start, asked):
    """The cells that stand under one heading besides its text; a caution comes before what it warns of."""
    heading = part.heading
    if heading == "Warm-up":
        return [code(f"{start}warm-up-questions", f'mb.warm_up("{name}")')]
    if heading == PREDICT:
        return [*asked, code(f"{start}bench", 'bench = mb.bench("motor")\nbench'), _should_see(start), *_guesses(name)]
    if heading == KEY_POINTS:
        return [code(f"{start}hand-in", f'mb.hand_in("{name}")')]
    if heading == MEASURE:
        caution = f"{CAUTION} {TO_WRITE} what can hurt here."
        how = markdown(f"{start}measure-how", f"{TO_WRITE} {part.holds}.")
        return [markdown(f"{start}caution", caution, derived_lesson.CAUTION), how, *asked]
    return asked


def _should_see(start):
    """The cell after a bench. It says first with which settings it holds: the bench's own, so that it is true as well
    when it is run again after a slider was moved. Folded away, it shows its first line only: a short comment, or it
    would widen the page.
    """
    said = f'"{HOLDS_WITH} {TO_WRITE} a sentence with {{speed}}."'
    sentence = f'mb.say({said}, settings=bench.settings,\n       speed=bench.number("speed"))'
    made = code(f"{start}bench-see", f"# The sentence below, with the numbers of the bench\n{sentence}")
    made["metadata"]["jupyter"] = {"source_hidden": True}
    return made


def _guesses(name):
    """After the bench, each guess comes back beside what the bench shows."""
    return [code(f"{known.id}-guess", f'mb.your_guess("{known.id}")') for known in _asked_in(PREDICT, name)]


def _asked_in(heading, name):
    """The exercises of a lesson that are asked under a heading: of the usual ones, the first five in the core."""
    if name not in registry.lessons():
        return []
    homes = [(_home(known), known) for known in registry.exercises(name)]
    usual = [known for home, known in homes if home == EXERCISES]
    here = {EXERCISES: usual[:FIVE], FURTHER: usual[FIVE:]}
    return here.get(heading, [known for home, known in homes if home == heading])


def _home(known):
    if isinstance(known, Prediction):
        return PREDICT
    if isinstance(known, Challenge):
        return DESIGN
    return MEASURE if getattr(known, "shop", None) else EXERCISES


def _exercise_cells(known):
    """The question, and the cell that holds the worked answer in the source and the learner's sums in the lesson."""
    asked = code(f"{known.id}-ask", f'mb.ask("{known.id}")')
    if isinstance(known, Prediction):
        return [asked]
    if getattr(known, "shop", None):
        asked = code(f"{known.id}-ask", f'data = mb.readings("{known.id}")\nmb.ask("{known.id}")')
    answer = f'# {TO_WRITE} the way to the answer\nmb.ask("{known.id}").answer("")'
    return [asked, code(f"{known.id}-answer", answer, derived_lesson.ANSWER, prompt="# Room for your calculation")]


def _slug(heading):
    return heading.lower().replace(",", "").replace(" ", "-")
