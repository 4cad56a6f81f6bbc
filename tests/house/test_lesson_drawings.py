"""Lessons show what they name: a drawing with the names of the parts under "The picture", and in it each part that the
text there has in bold letters.
"""

import re

import pytest

from mechbench.course import notebook
from mechbench.course.lessons import LESSONS, ROOT
from tests.house.notebook_rules import calls

PICTURE = "The picture"
# Bold words under "The picture" that no drawing of the lesson names, each with the reason.
A_NUMBER = "a number, not a thing"
AN_EVENT = "something that happens, not a thing"
A_KIND = "a kind of the thing; its parts are named"
THE_WHOLE = "all that is drawn, together"
NO_PARTS = {
    "start_here": {"match": "a time"},
    "motors": {
        **dict.fromkeys(("current", "voltage", "torque", "speed", "power"), A_NUMBER),
        **dict.fromkeys(("stall", "free"), "a state of the motor"),
    },
    "gearing": {
        "gear train": THE_WHOLE,
        "spur gears": A_KIND,
        "belt": A_KIND,
        "planetary gearbox": "one stage of it is drawn: sun, planets, ring, carrier",
        "stages": "one of them is drawn",
        "ratio": A_NUMBER,
        "play": A_NUMBER,
    },
    "drivetrain": {
        "traction": "the floor's push on the wheels, which is named so",
        "grip": "how well the floor holds a wheel",
        "mecanum": "a kind of wheel; its slanted rollers are named",
        "omni": A_KIND,
        "fuse": "drawn in lesson 11, beside battery and wires",
        "rating": A_NUMBER,
        **dict.fromkeys(("slips", "blows", "sags", "reset"), AN_EVENT),
    },
    "intake": {"intake": THE_WHOLE, "transfer": "ramp and next stage together, which are named"},
    "gripper": {
        "gripper": THE_WHOLE,
        "pivot jaws": A_KIND,
        "parallel jaws": A_KIND,
        "lift": "drawn in lesson 08; here it moves the base, which is named",
        "acceleration": A_NUMBER,
        "coefficient of friction": A_NUMBER,
    },
    "arm": {"reading disc": "the table in the text", "cosine": A_NUMBER},
    "linkages": {
        **dict.fromkeys(("linkage", "parallel arm", "chained arm", "four-bar"), THE_WHOLE),
        "from level": "how an angle is counted",
        "reading disc": "the table in the text",
        **dict.fromkeys(("cosine", "sine"), A_NUMBER),
    },
    "lift": {
        "slide lift": THE_WHOLE,
        "travel": "as far as a stage can go; how far it is out now is named",
        "upright": "how the lift stands",
        **dict.fromkeys(("rigging", "cascade", "continuous"), "how the cord runs; each has a drawing of its own"),
    },
    "winch": {"winch": THE_WHOLE, "slack": "a state of the cord"},
    "balance": {"high": "named by its length, height h"},
    "power": {
        **dict.fromkeys(("sag", "restart"), AN_EVENT),
        "rating": "the number beside the fuse",
        "plan": "all that a program knows of a move",
        "shape": "all four are named",
        "loop time": A_NUMBER,
    },
    "cycle": {
        "step": "each is named",
        "steps of the machine": "each is named",
        "steps of people": "each is named",
        **dict.fromkeys(("wait", "overlap"), "how steps follow each other; the bench shows it"),
    },
    "robot": {
        **dict.fromkeys(("mass", "current", "time", "chance"), A_NUMBER),
    },
}


def by_part(cells):
    """Each cell with the heading under which it stands."""
    heading = ""
    for cell in cells:
        heads = re.findall(r"^## (.*)$", cell["source"], re.MULTILINE) if cell["cell_type"] == "markdown" else []
        heading = heads[-1] if heads else heading
        yield heading, cell


def drawings(cells):
    """The heading under which each mb.labelled of a notebook stands."""
    code = [(heading, cell) for heading, cell in by_part(cells) if cell["cell_type"] == "code"]
    return [heading for heading, cell in code for _ in calls(cell, "labelled")]


def bold(cells):
    """The bold words of the text under "The picture"; 'driver, driven' and 'belt and chain' are two each."""
    texts = [
        cell["source"] for heading, cell in by_part(cells) if heading == PICTURE and cell["cell_type"] == "markdown"
    ]
    found = [" ".join(words.split()) for text in texts for words in re.findall(r"\*\*(.+?)\*\*", text, re.DOTALL)]
    parts = [part for words in found for part in re.split(r", | and ", words.lower().strip(".:"))]
    return list(dict.fromkeys(part.removeprefix("the ") for part in parts))


def labels(cells):
    """The names in all drawings of a notebook, read from what they show in words."""
    shown = [
        output["data"]["text/plain"]
        for cell in cells
        if cell["cell_type"] == "code" and calls(cell, "labelled")
        for output in cell["outputs"]
        if "text/plain" in output.get("data", {})
    ]
    return [name.lower() for text in shown for name in re.findall(r"^- ([^:(]+?)(?: \(.*?\))?:", text, re.MULTILINE)]


def is_named(word, names):
    """Whether a label has this word, whole, as one or as many."""
    one = re.sub(r"(?<=[^s])s$|(?<=sh)es$", "", word)
    return any(re.search(rf"\b{re.escape(one)}(s|es)?\b", name) for name in names)


def source(lesson):
    """The cells of a lesson's source."""
    return notebook.read(ROOT / "solutions" / f"{lesson.stem}.ipynb")["cells"]


every_lesson = pytest.mark.parametrize("lesson", LESSONS, ids=lambda lesson: lesson.name)


@every_lesson
def test_a_lesson_draws_what_it_names_under_the_picture(lesson):
    assert PICTURE in drawings(source(lesson))


@every_lesson
def test_every_bold_part_is_named_in_a_drawing(lesson):
    cells, no_parts = source(lesson), NO_PARTS[lesson.name]
    words, names = bold(cells), labels(cells)
    lacking = [word for word in words if word not in no_parts and not is_named(word, names)]
    assert not lacking, f"name it in a drawing, or say in NO_PARTS why it is no part: {', '.join(lacking)}"
    needless = [word for word in no_parts if word not in words or is_named(word, names)]
    assert not needless, f"take it off NO_PARTS: {', '.join(needless)}"


def test_the_heading_is_that_above_the_cell():
    cells = [
        notebook.markdown("a-1", "# A\n\n## The picture\n\nWords."),
        notebook.code("a-2", 'mb.labelled("intake")'),
        notebook.markdown("a-3", "### More\n\n## Exercises"),
        notebook.code("a-4", 'mb.labelled("intake")\nmb.labelled("intake", "friction angle")'),
    ]
    assert drawings(cells) == [PICTURE, "Exercises", "Exercises"]


def test_bold_words_and_labels_are_read():
    drawn = notebook.code("a-2", 'mb.labelled("intake")')
    told = "It shows it.\n- wall, a ramp (20 deg): slopes (up)\n- nip: where they touch: first\n- brush: soft"
    drawn["outputs"] = [{"output_type": "display_data", "metadata": {}, "data": {"text/plain": told}}]
    cells = [
        notebook.markdown("a-1", "## The picture\n\n**The nip.** A **ramp and\nrollers**; **brushes** on **walls**."),
        drawn,
        notebook.markdown("a-3", "## Exercises\n\n**Not this.**"),
    ]
    names = labels(cells)
    assert names == ["wall, a ramp", "nip", "brush"]
    assert {word: is_named(word, names) for word in bold(cells)} == {
        "nip": True,
        "ramp": True,
        "rollers": False,
        "brushes": True,
        "walls": True,
    }
