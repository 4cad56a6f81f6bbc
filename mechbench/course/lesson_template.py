"""The frame that every lesson has, and a new lesson's skeleton.

PARTS        the parts of a lesson, in order
title        the first cell of a lesson
skeleton     the cells of a new lesson, with a line "WRITE: ..." wherever its author has to write
CAUTION_SAYS words that every caution box holds

To begin a lesson:

    notebook.write("solutions/01_motors.ipynb", notebook.new(lesson_template.skeleton("motors")))
"""

from dataclasses import dataclass

from mechbench.course import derived_lesson, registry
from mechbench.course.exercise import Prediction
from mechbench.course.lessons import lesson
from mechbench.course.notebook import code, markdown

TO_WRITE = "WRITE:"
SHOULD_SEE = "What you should see"
LOOK_UP = "*Where to look it up:* [quick reference](../lessons/quick_reference.ipynb)."
CAUTION = (
    "> **Caution.** Unplug before hands go in. An adult is present. Your event's rules and local codes come first."
)
CAUTION_SAYS = ("caution", "unplug", "adult", "rules", "local codes")
PREDICT, MEASURE, KEY_POINTS = "Predict, then slide", "Measure it on the real thing", "Key points"


@dataclass(frozen=True)
class Part:
    """One part of a lesson: its heading (words may follow it, after a colon), what belongs there, what it must hold."""

    heading: str
    holds: str
    needs: tuple = ()
    optional: bool = False


PARTS = (
    Part(
        "What you will learn",
        "two to four lines 'You can ...'; the minutes it takes; what to have at hand",
        ("minutes",),
    ),
    Part("Warm-up", "three short questions from earlier lessons", ("mb.warm_up(",)),
    Part("The picture", "what the machine looks like, with its parts named"),
    Part(
        PREDICT,
        "a prediction, the bench that answers it, what you should see, and the guess beside what the bench shows",
        ("mb.ask(", "mb.bench(", "mb.your_guess("),
    ),
    Part("One new idea", "one idea in words, then one formula, called 'to know by heart'", ("by heart",)),
    Part("A worked example", "one sum, step by step, with the units written"),
    Part("Exercises", "the exercises; after each an empty cell for sums", ("mb.ask(",)),
    Part(MEASURE, "the caution box; how to measure; a place for readings; a fit that corrects the model"),
    Part("More", "what goes beyond the core", optional=True),
    Part("Common mistakes", "three to five, each with the way to notice it"),
    Part(KEY_POINTS, "three to five sentences to take away; a link to the quick reference", ("quick_reference.ipynb",)),
)


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
    ]
    for part in PARTS:
        link = f"\n\n{LOOK_UP}" if part.heading == KEY_POINTS else ""
        cells.append(markdown(start + _slug(part.heading), f"## {part.heading}\n\n{TO_WRITE} {part.holds}.{link}"))
        cells += _inside(part.heading, name, start)
    note = f"**For mentors.** {TO_WRITE} time, what to prepare, where learners get stuck."
    return [*cells, code(f"{start}hand-in", "mb.hand_in()"), markdown(f"{start}mentor", note, derived_lesson.MENTOR)]


def _inside(heading, name, start):
    """The cells that stand under one heading besides its text."""
    asked = [cell for known in _asked_in(heading, name) for cell in _exercise_cells(known)]
    if heading == "Warm-up":
        return [code(f"{start}warm-up-questions", f'mb.warm_up("{name}")')]
    if heading == PREDICT:
        return [*asked, code(f"{start}bench", 'mb.bench("motor")'), _should_see(start), *_guesses(name)]
    if heading == MEASURE:
        return [
            markdown(f"{start}caution", f"{CAUTION} {TO_WRITE} what can hurt here.", derived_lesson.CAUTION),
            *asked,
        ]
    return asked


def _should_see(start):
    """The cell after a bench. Folded away, it shows its first line only: a short comment, or it would widen the
    page.
    """
    sentence = f'mb.say("**{SHOULD_SEE}.** {TO_WRITE} a sentence with {{number}}.", number=(0.175, "N·m"))'
    made = code(f"{start}bench-see", f"# The sentence below, with the numbers of the bench\n{sentence}")
    made["metadata"]["jupyter"] = {"source_hidden": True}
    return made


def _guesses(name):
    """After the bench, each guess comes back beside what the bench shows."""
    return [code(f"{known.id}-guess", f'mb.your_guess("{known.id}")') for known in _asked_in(PREDICT, name)]


def _asked_in(heading, name):
    """The exercises of a lesson that are asked under a heading."""
    if name not in registry.lessons():
        return []
    return [known for known in registry.exercises(name) if _home(known) == heading]


def _home(known):
    if isinstance(known, Prediction):
        return PREDICT
    return MEASURE if getattr(known, "shop", None) else "Exercises"


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
