"""Every notebook of lessons/ and solutions/ against the rules of notebook_rules.py, and the rules against broken ones.

What a notebook shows when it is run again is nbval's part: it collects the same files.
"""

import copy

import pytest

from mechbench.course import derived_lesson, lesson_template, notebook, registry
from mechbench.course.exercise import Challenge, Prediction, Quantity
from mechbench.course.lessons import ALONE, LESSONS, ROOT, Lesson, lesson_of, sources
from mechbench.course.notebook import code, markdown
from tests.house import notebook_rules as rules

OF_KIT = rules.numbers_of_kit()
BY_STEM = {lesson.stem: lesson for lesson in LESSONS}
STORED = [*sources(), *sorted((ROOT / "lessons").glob("*.ipynb"))]


def name_of(path):
    return f"{path.parent.name}-{path.stem}"


def prefix_of(path):
    return registry.prefix(BY_STEM[path.stem].name if path.stem in BY_STEM else path.stem)


# --- the check ------------------------------------------------------------------------------------------------------


def test_every_lesson_is_there_and_no_other():
    stems = [lesson.stem for lesson in LESSONS]
    assert [path.stem for path in sources()] == stems
    assert [path.stem for path in STORED if path.parent.name == "lessons" and path.stem not in ALONE] == stems


def test_every_lesson_has_exercises_and_no_other():
    assert list(registry.lessons()) == [lesson.name for lesson in LESSONS]


@pytest.mark.parametrize("path", STORED, ids=name_of)
def test_notebook(path):
    found = [*rules.of_every_notebook(notebook.read(path), prefix_of(path)), *rules.light(path)]
    assert not found, "\n" + "\n".join(found)


@pytest.mark.parametrize("path", sources(), ids=name_of)
def test_lesson_is_derived_from_its_source(path):
    found = derived_lesson.differences(derived_lesson.derive(notebook.read(path)), notebook.read(lesson_of(path)))
    assert not found, "refresh; or someone edited the lesson, not its source:\n" + "\n".join(found)


@pytest.mark.parametrize("lesson", LESSONS, ids=lambda lesson: lesson.name)
def test_lesson_and_its_source(lesson):
    registered = registry.exercises(lesson.name)
    path = ROOT / "solutions" / f"{lesson.stem}.ipynb"
    found = rules.of_a_lesson(notebook.read(lesson_of(path)), lesson, registered, OF_KIT)
    found += rules.of_a_source(notebook.read(path), registered)
    assert not found, "\n" + "\n".join(found)


# --- the rules themselves, on small notebooks -----------------------------------------------------------------------

LESSON = Lesson("motors", "Motors", "What does it give?")
WORDS = {"id": "", "lesson": "motors", "title": "", "text": "", "hints": (), "explain": ""}
DESIGN = Challenge(**{**WORDS, "id": "motors-design"}, sizing="motor", choose=(), require="", advice={})
EXERCISES = [
    Prediction(**{**WORDS, "id": "motors-guess"}, shows=lambda kit: None),
    *(
        Quantity(**{**WORDS, "id": f"motors-{number}"}, kind="torque", unit="N·m", answer=None)
        for number in range(lesson_template.FIVE + 1)
    ),
    DESIGN,
]


def shows(text, count, **data):
    """What a cell shows: a text, beside a picture or whatever else."""
    return [
        {
            "output_type": "execute_result",
            "execution_count": count,
            "metadata": {},
            "data": {"text/plain": text, **data},
        }
    ]


def good_source():
    """A source that keeps every rule, written as if it had been run."""
    made = notebook.new(_good_cells())
    for count, cell in enumerate(rules.code_cells(made), 1):
        cell["execution_count"] = count
        cell["outputs"] = shows(
            "✓ Right. Torque is force times lever." if ".answer(" in cell["source"] else "a sentence", count
        )
    return made


ANOTHER = "Another mechanism"  # few lessons have it
HOLDS = {
    "What you will learn": "45 minutes. Have paper at hand.",
    "One new idea": "To know by heart: $T = F r$",
    "Key points": "See the [quick reference](../lessons/quick_reference.ipynb).",
}


def _good_cells():
    yield markdown("motors-banner", "With answers.", derived_lesson.BANNER)
    yield markdown("motors-title", f"{lesson_template.title(LESSON)}\n\nMore about it.")
    yield code("motors-import", "import mechbench as mb\nimport numpy as np")
    for number, part in enumerate(lesson_template.PARTS):
        yield markdown(f"motors-part-{number}", f"## {part.heading}\n\n{HOLDS.get(part.heading, 'Some text.')}")
        yield from _good_cells_under(part.heading)
    for number, part in enumerate(part for part in lesson_template.MORE_PARTS if part.heading != ANOTHER):
        text = "" if part.heading == lesson_template.MEASURE else "\n\nSome text."  # there the caution comes first
        yield markdown(f"motors-more-{number}", f"### {part.heading} (5 minutes){text}")
        yield from _good_cells_under(part.heading)
    yield markdown("motors-note", "For mentors.", derived_lesson.MENTOR)


def _good_cells_under(heading):
    if heading == "Warm-up":
        yield code("motors-warm-up", 'mb.warm_up("motors")')
    if heading == lesson_template.PREDICT:
        yield code("motors-guess-ask", 'mb.ask("motors-guess")')
        yield code("motors-bench", 'bench = mb.bench("motor")\nbench')
        yield code("motors-see", f'mb.say("{lesson_template.HOLDS_WITH} {{t}}", settings=bench.settings, t=(3, "N·m"))')
        yield code("motors-guess-back", 'mb.your_guess("motors-guess")')
    asked = {
        lesson_template.EXERCISES: EXERCISES[1:6],
        lesson_template.FURTHER: EXERCISES[6:-1],
        lesson_template.DESIGN: [DESIGN],
    }
    for exercise in asked.get(heading, ()):
        yield code(f"{exercise.id}-ask", f'mb.ask("{exercise.id}")')
        yield code(f"{exercise.id}-answer", f'mb.ask("{exercise.id}").answer("3 N·m")', derived_lesson.ANSWER)
    if heading == lesson_template.KEY_POINTS:
        yield code("motors-hand-in", "mb.hand_in()")
    if heading == lesson_template.MEASURE:
        yield markdown("motors-caution", lesson_template.CAUTION, derived_lesson.CAUTION)
        yield markdown("motors-how", "Some text.")


def good_lesson():
    made = derived_lesson.derive(good_source())
    for count, cell in enumerate(rules.code_cells(made), 1):
        cell["execution_count"] = count
        cell["outputs"] = [] if cell["source"].startswith("#") else shows("a sentence", count)
    return made


def all_problems(lesson, source):
    return [
        *rules.of_every_notebook(lesson, "motors-"),
        *rules.of_every_notebook(source, "motors-"),
        *rules.of_a_lesson(lesson, LESSON, EXERCISES, OF_KIT),
        *rules.of_a_source(source, EXERCISES),
    ]


def test_good_notebooks_keep_every_rule():
    assert all_problems(good_lesson(), good_source()) == []


def cell_of(made, id):
    return next(cell for cell in made["cells"] if cell["id"] == id)


def edit(id, /, **changes):
    """A way to break a notebook: change a cell."""
    return lambda made: cell_of(made, id).update(changes)


def replace(id, old, new):
    def change(made):
        cell = cell_of(made, id)
        assert old in cell["source"]
        cell["source"] = cell["source"].replace(old, new)

    return change


def drop(id):
    return lambda made: made["cells"].remove(cell_of(made, id))


def add(cell):
    return lambda made: made["cells"].append(cell)


def show(id, output):
    return lambda made: cell_of(made, id)["outputs"].append(output)


def silence(made):
    for cell in rules.code_cells(made)[2:]:
        cell["outputs"] = []


def swap(first, second):
    def change(made):
        places = [made["cells"].index(cell_of(made, id)) for id in (first, second)]
        made["cells"][places[0]], made["cells"][places[1]] = made["cells"][places[1]], made["cells"][places[0]]

    return change


VIEW = {
    "output_type": "display_data",
    "metadata": {},
    "data": {"application/vnd.jupyter.widget-view+json": {"model_id": "1"}},
}

BROKEN_LESSONS = [
    (edit("motors-see", id="arm-see"), "cell arm-see: its id must be motors-"),
    (edit("motors-see", id="motors-See"), "cell motors-See: its id must be"),
    (edit("motors-see", id="9f3c2a"), "cell 9f3c2a: its id must be"),
    (edit("motors-see", id="motors-bench"), "cell motors-bench: two cells have this id"),
    (edit("motors-see", execution_count=None), "cell motors-see: its execution count is None, not 4"),
    (edit("motors-see", execution_count=7), "cell motors-see: its execution count is 7, not 4"),
    (edit("motors-see", outputs=shows("a sentence", 9)), "cell motors-see: its output has the execution count 9"),
    (
        show("motors-see", {"output_type": "error", "ename": "NameError", "evalue": "x", "traceback": []}),
        "cell motors-see: its output holds an error, NameError",
    ),
    (
        show("motors-see", {"output_type": "stream", "name": "stderr", "text": "Warning"}),
        "cell motors-see: its output holds a warning",
    ),
    (show("motors-bench", VIEW), "cell motors-bench: its output holds a live view"),
    (
        edit("motors-bench", outputs=shows("a bench", 4, **{"image/svg+xml": "<svg>"})),
        "cell motors-bench: its output holds SVG",
    ),
    (
        edit("motors-bench", outputs=shows("[<Line2D at 0x7f>]", 4)),
        "cell motors-bench: its output holds the text of an object",
    ),
    (
        edit("motors-bench", outputs=shows("<mechbench.benches.Bench>", 4)),
        "cell motors-bench: its output holds the text of an object",
    ),
    (
        edit("motors-bench", outputs=shows("<Figure size 640x480>", 4)),
        "cell motors-bench: its output holds the text of an object",
    ),
    (silence, "only 2 of 21 code cells show text"),
    (replace("motors-part-1", "Some text", "WRITE: some text"), "cell motors-part-1: has a line to WRITE:"),
    (edit("motors-see", source="%matplotlib inline"), "cell motors-see: is no plain Python"),
    (replace("motors-import", "import mechbench as mb\n", ""), "`import mechbench as mb` must stand once"),
    (
        replace("motors-import", "import mechbench as mb", "import mechbench"),
        "cell motors-import: import mechbench; a notebook",
    ),
    (
        replace("motors-import", "import numpy", "from mechbench.physics import motor\nimport numpy"),
        "cell motors-import: from mechbench.physics import motor; a notebook",
    ),
    (
        replace("motors-import", "import numpy", "import os, mechbench.kits\nimport numpy"),
        "cell motors-import: import os, mechbench.kits",
    ),
    (
        replace("motors-bench", "bench = ", "import mechbench as mb\nbench = "),
        "`import mechbench as mb` must stand once",
    ),
    (replace("motors-bench", "mb.bench", "mb.judge"), "cell motors-bench: mb.judge is no public name of mechbench"),
    (replace("motors-part-1", "Some text", "Type `mb.seach(...)`"), "cell motors-part-1: mb.seach is no public name"),
    (
        edit("motors-part-2", metadata={"tags": ["metnor"]}),
        "cell motors-part-2: the tag 'metnor' is not one of mentor, answer",
    ),
    (lambda made: made["metadata"].pop("kernelspec"), "its kernelspec is not"),
    (lambda made: made["metadata"].update(widgets={}), "its metadata hold widgets"),
    (lambda made: made["metadata"]["language_info"].update(version="3.11"), "its language_info holds a version"),
    (edit("motors-see", metadata={"execution": {}}), "cell motors-see: its metadata hold times"),
    (
        edit("motors-see", metadata={"jupyter": {"source_hidden": True}}),
        "cell motors-see: is folded, so its first line must be a comment",
    ),
    (
        edit("motors-see", metadata={"jupyter": {"source_hidden": True}}, source=f"# {'long ' * 12}\nmb.say('')"),
        "cell motors-see: is folded",
    ),
    (replace("motors-title", "What does it give?", "What?"), "does not begin with '# 01 Motors"),
    (drop("motors-title"), "does not begin with '# 01 Motors"),
    (drop("motors-part-1"), "its parts are What you will learn, Predict, then slide"),
    (swap("motors-part-3", "motors-part-4"), "its parts are"),
    (add(markdown("motors-again", "## Key points\n\nAgain.")), "its parts are"),
    (add(markdown("motors-extra", "## Extra\n\nText.")), "'## Extra' is no part of the frame"),
    (
        add(markdown("motors-extra", "### Extra (5 minutes)\n\nText.")),
        "'### Extra (5 minutes)' is no part",
    ),
    (drop("motors-more-3"), "its parts are Warm-up, Further exercises, A design, More to try, Common mistakes"),
    (swap("motors-more-4", "motors-more-5"), "its parts are Warm-up"),
    (replace("motors-more-4", " (5 minutes)", ""), "'### More to try' must end in its minutes"),
    (replace("motors-part-1", "Some text.", ""), "'## The picture' is empty"),
    (replace("motors-part-0", "minutes", "min"), "'## What you will learn' lacks ' minutes. Have '"),
    (drop("motors-warm-up"), "'### Warm-up (5 minutes)' lacks 'mb.warm_up('"),
    (drop("motors-hand-in"), "'## Key points' lacks 'mb.hand_in('"),
    (drop("motors-bench"), "'## Predict, then slide' lacks 'mb.bench('"),
    (drop("motors-guess-back"), "'## Predict, then slide' lacks 'mb.your_guess('"),
    (replace("motors-part-3", "by heart", "well"), "'## One new idea' lacks 'by heart'"),
    (drop("motors-caution"), "has 0 caution boxes"),
    (add(markdown("motors-more-caution", lesson_template.CAUTION, derived_lesson.CAUTION)), "has 2 caution boxes"),
    (replace("motors-caution", "Unplug", "Wait"), "its caution box does not say 'unplug'"),
    (replace("motors-caution", "An adult is present. ", ""), "its caution box does not say 'adult'"),
    (swap("motors-caution", "motors-how"), "its caution box does not stand right below the heading 'Measure it"),
    (
        edit("motors-more-3", source="### Measure it on the real thing (5 minutes)\n\nFirst do this."),
        "its caution box does not stand right below",
    ),
    (drop("motors-see"), "cell motors-bench: a bench must be followed by a cell that says '**What you should see**"),
    (
        replace("motors-see", " with these settings: {settings}", ""),
        "cell motors-bench: a bench must be followed by a cell that says '**What you should see**",
    ),
    (
        replace("motors-see", "settings=bench.settings, ", ""),
        "cell motors-bench: the cell after it must be given settings: bench.settings, or those that its numbers",
    ),
    (replace("motors-bench", "bench = ", ""), "cell motors-bench: a bench must have a name"),
    (replace("motors-0-ask", "motors-0", "motors-nine"), "asks 'motors-nine', which is no exercise of this lesson"),
    (replace("motors-0-ask", '"motors-0"', "name"), "asks None, which is no exercise of this lesson"),
    (
        replace("motors-0-ask", "mb.ask", 'mb.readings("motors-nine")\nmb.ask'),
        "asks 'motors-nine', which is no exercise of this lesson",
    ),
    (drop("motors-0-ask"), "does not ask motors-0"),
    (drop("motors-0-ask"), "its core asks 4 exercises, not 5"),
    (swap("motors-4-ask", "motors-design-ask"), "'motors-design' is a design or a measurement"),
    (swap("motors-0-ask", "motors-1-ask"), "'## Exercises' asks in the order motors-1, motors-0"),
    (
        replace("motors-part-1", "Some text", "It turns at 7400 rpm"),
        "cell motors-part-1: 7400 rpm is a number of the kit",
    ),
    (
        replace("motors-part-1", "Some text", "It gives 16.7 N·cm."),
        "cell motors-part-1: 16.7 N·cm is a number of the kit",
    ),
]

BROKEN_SOURCES = [
    (drop("motors-banner"), "its first cell, and no other, has the tag solution-banner"),
    (swap("motors-banner", "motors-title"), "its first cell, and no other, has the tag solution-banner"),
    (edit("motors-0-answer", outputs=shows("○ Not yet.", 6)), "has no cell tagged answer in which mb.ask('motors-0')"),
    (edit("motors-0-answer", metadata={}), "has no cell tagged answer in which mb.ask('motors-0')"),
    (drop("motors-0-answer"), "has no cell tagged answer in which mb.ask('motors-0')"),
]


def says_of(one):
    return one[:50] if isinstance(one, str) else ""


@pytest.mark.parametrize("breaks, says", BROKEN_LESSONS, ids=says_of)
def test_a_broken_lesson_is_named(breaks, says):
    lesson = good_lesson()
    breaks(lesson)
    found = all_problems(lesson, good_source())
    assert any(text.startswith(says) for text in found), found


@pytest.mark.parametrize("breaks, says", BROKEN_SOURCES, ids=says_of)
def test_a_broken_source_is_named(breaks, says):
    source = good_source()
    breaks(source)
    found = all_problems(good_lesson(), source)
    assert any(text.startswith(says) for text in found), found


def test_a_heavy_notebook_is_named(tmp_path):
    path = tmp_path / "heavy.ipynb"
    path.write_bytes(b" " * 1_500_001)
    assert rules.light(path) == ["is 1.5 MB, more than 1.5 MB; show smaller pictures"]


def test_what_is_allowed_is_not_named():
    lesson = good_lesson()
    replace(
        "motors-part-1", "Some text.", "Write `0.175 N·m`; 10 N and 45 minutes and chapter 12 are no parts.\n### Inside"
    )(lesson)
    replace("motors-part-3", "One new idea", "One new idea: levers")(lesson)
    replace("motors-import", "import numpy as np", "import numpy as np\nfrom math import pi")(lesson)
    drop("motors-more-4")(lesson)  # More to try, which may be left out
    assert lesson_template.MORE_PARTS[4].optional
    assert all_problems(lesson, good_source()) == []
    at = [cell["id"] for cell in lesson["cells"]].index("motors-more-5")
    lesson["cells"].insert(at, markdown("motors-other", f"### {ANOTHER}: a crank (5 minutes)\n\nIt turns."))
    assert any(
        f"'### {ANOTHER}: a crank (5 minutes)' lacks 'mb.bench('" in one for one in all_problems(lesson, good_source())
    )


# --- derived and stored ---------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    "breaks, says",
    [
        (replace("motors-part-2", "Some text", "Other text"), "cell motors-part-2: its source differs"),
        (edit("motors-part-2", metadata={"tags": ["caution"]}), "cell motors-part-2: its metadata differs"),
        (edit("motors-part-2", cell_type="raw"), "cell motors-part-2: its cell_type differs"),
        (edit("motors-part-2", id="motors-2"), "cell motors-2 stands where motors-part-2 belongs"),
        (drop("motors-more-5"), "cell none stands where motors-more-5 belongs"),
        (
            add(markdown("motors-note", "For mentors.", derived_lesson.MENTOR)),
            "cell motors-note stands where none belongs",
        ),
        (
            replace("motors-0-answer", "# Your answer here", "mb.ask('motors-0').answer('3 N·m')"),
            "cell motors-0-answer: its source",
        ),
        (lambda made: made["metadata"].update(title="x"), "the notebook's metadata differ"),
    ],
    ids=says_of,
)
def test_a_lesson_that_is_not_its_source_is_named(breaks, says):
    lesson = good_lesson()
    should = copy.deepcopy(lesson)
    breaks(lesson)
    assert derived_lesson.differences(should, should) == []
    assert any(text.startswith(says) for text in derived_lesson.differences(should, lesson))


def test_outputs_may_differ():
    assert derived_lesson.differences(derived_lesson.derive(good_source()), good_lesson()) == []
