"""From source to lesson: deriving, running, storing; then nbval, which is not ours, runs what was stored and compares
it.

Outside check: the notebook format's own schema (nbformat, version 4.5) holds for every notebook that is written.
"""

import copy
import json
import re
import subprocess
import sys

import nbformat
import pytest

from mechbench.course import derived_lesson, lesson_template, lessons, notebook, refresh, registry
from mechbench.course.notebook import code, markdown
from mechbench.launch.places import Places
from tests.house import notebook_rules as rules

SOURCE = [
    markdown("tiny-banner", "With answers.", derived_lesson.BANNER),
    markdown("tiny-title", "# A tiny lesson"),
    code("tiny-import", 'import mechbench as mb\n\nmb.learner("")'),
    code("tiny-bench", 'bench = mb.bench("motor", {"load_torque": "0.04 N·m"})\nbench'),
    code(
        "tiny-see",
        f'mb.say("{lesson_template.HOLDS_WITH} It stalls at {{t}}.", settings=bench.settings, t=(0.175, "N·m"))',
    ),
    code("tiny-ask", 'mb.ask("start-here-lever")'),
    code(
        "tiny-answer",
        'mb.ask("start-here-lever").answer("3 N·m")',
        derived_lesson.ANSWER,
        prompt="# Room for your sums",
    ),
    code("tiny-more", "force = 12 * 0.25\nprint(force)", derived_lesson.ANSWER),
    markdown("tiny-words", "Because it is longer.", derived_lesson.ANSWER),
    code("tiny-note", "print('for mentors')", derived_lesson.MENTOR),
]


def source_of(cells=SOURCE):
    return notebook.new(copy.deepcopy(cells))


def ids(made):
    return [cell["id"] for cell in made["cells"]]


# --- deriving -------------------------------------------------------------------------------------------------------


def test_a_lesson_has_no_answers_and_no_notes():
    source = source_of()
    before = copy.deepcopy(source)
    lesson = derived_lesson.derive(source)
    assert source == before, "the source was changed"
    assert ids(lesson) == [id for id in ids(source) if id not in ("tiny-banner", "tiny-note")]
    texts = {cell["id"]: cell["source"] for cell in lesson["cells"]}
    assert texts["tiny-answer"] == "# Room for your sums"
    assert texts["tiny-more"] == "# Your answer here"
    assert texts["tiny-words"] == "*Your answer here*"
    assert not any(word in json.dumps(lesson) for word in ("3 N·m", "0.25", "longer", "for mentors", "With answers"))


def test_a_lesson_keeps_all_else():
    source = source_of()
    source["metadata"]["title"] = "Tiny"
    source["cells"][4]["metadata"]["collapsed"] = True
    lesson = derived_lesson.derive(source)
    assert lesson["metadata"] == source["metadata"]
    kept = {cell["id"]: cell for cell in source["cells"]}
    assert all(cell["metadata"] == kept[cell["id"]]["metadata"] for cell in lesson["cells"])
    unchanged = ("tiny-title", "tiny-import", "tiny-bench", "tiny-see", "tiny-ask")
    assert all(cell["source"] == kept[cell["id"]]["source"] for cell in lesson["cells"] if cell["id"] in unchanged)


def test_nothing_that_an_answer_showed_is_left():
    source = source_of()
    for cell in rules.code_cells(source):
        cell["outputs"], cell["execution_count"] = [nbformat.v4.new_output("stream", text="3 N·m")], 1
    assert all(
        (cell["outputs"], cell["execution_count"]) == ([], None)
        for cell in rules.code_cells(derived_lesson.derive(source))
    )


def test_deriving_a_lesson_again_changes_nothing():
    lesson = derived_lesson.derive(source_of())
    assert derived_lesson.derive(lesson) == lesson


# --- files ----------------------------------------------------------------------------------------------------------


def test_a_file_is_laid_out_as_jupyterlab_lays_it_out(tmp_path):
    path = tmp_path / "solutions" / "tiny.ipynb"
    notebook.write(path, source_of())
    raw = path.read_bytes()
    assert raw.endswith(b"}\n") and b"\r" not in raw and "N·m".encode() in raw
    assert json.loads(raw)["cells"][2]["source"] == ["import mechbench as mb\n", "\n", 'mb.learner("")']
    assert notebook.read(path) == source_of()
    nbformat.validate(nbformat.read(path, as_version=nbformat.NO_CONVERT))
    nbformat.write(notebook.read(path), tmp_path / "again.ipynb")
    assert (tmp_path / "again.ipynb").read_bytes() == raw
    assert [one.name for one in path.parent.iterdir()] == ["tiny.ipynb"]


def test_what_is_no_notebook_is_not_written_or_read(tmp_path):
    broken = source_of()
    broken["cells"][0]["id"] = "not an id"
    with pytest.raises(nbformat.ValidationError):
        notebook.write(tmp_path / "tiny.ipynb", broken)
    assert list(tmp_path.iterdir()) == []
    (tmp_path / "torn.ipynb").write_text('{"cells": [')
    with pytest.raises(ValueError, match="torn.ipynb is no notebook"):
        notebook.read(tmp_path / "torn.ipynb")


def test_where_notebooks_are():
    assert [lesson.stem for lesson in lessons.LESSONS][:2] == ["00_start_here", "01_motors"]
    assert Places(lessons.ROOT, None, None).first_lesson == f"{lessons.LESSONS[0].stem}.ipynb"
    assert lessons.lesson("gearing").number == 2
    with pytest.raises(ValueError, match="'moters' is no lesson yet; did you mean 'motors'"):
        lessons.lesson("moters")


def test_the_table_of_the_readme_is_the_list_of_lessons():
    told = re.findall(r"^\| (\d\d \| .*) \|$", (lessons.ROOT / "README.md").read_text(encoding="utf-8"), re.MULTILINE)
    assert told == [
        f"{one.number:02} | {one.title[0].lower()}{one.title[1:]} | {one.question}" for one in lessons.LESSONS
    ]


# --- a new lesson ---------------------------------------------------------------------------------------------------


@pytest.mark.parametrize("name", registry.lessons())
def test_a_skeleton_has_the_frame_and_is_not_finished(name):
    source, lesson = notebook.new(lesson_template.skeleton(name)), lessons.lesson(name)
    nbformat.validate(source)
    made = derived_lesson.derive(source)
    assert [
        *rules.named(source, registry.prefix(name)),
        *rules.imports(source),
        *rules.tagged(source),
        *rules.bannered(source),
        *rules.titled(made, lesson),
        *rules.framed(made),
        *rules.cautioned(made),
        *rules.benches_explained(made),
    ] == []
    asked = [id for cell in rules.code_cells(made) for id in rules.calls(cell, "ask")]
    assert sorted(asked) == sorted(exercise.id for exercise in registry.exercises(name))
    # Every part, every worked answer, the bench's sentence, the caution and the mentor's note are still to be written.
    assert len(rules.written(source)) >= len(lesson_template.PARTS) + 3


# --- running and storing --------------------------------------------------------------------------------------------


@pytest.fixture(scope="module")
def refreshed(tmp_path_factory):
    """The path of a source in solutions/, after a refresh."""
    path = tmp_path_factory.mktemp("course") / "solutions" / "tiny.ipynb"
    notebook.write(path, source_of())
    assert refresh.refresh([path]) == [path, lessons.lesson_of(path)]
    return path


def test_what_is_stored_keeps_the_rules(refreshed):
    for path in (refreshed, lessons.lesson_of(refreshed)):
        assert rules.of_every_notebook(notebook.read(path), "tiny-") == []
        assert rules.light(path) == []
        assert path.stat().st_size < 500_000
    assert rules.answered(notebook.read(refreshed), registry.exercises("start_here")[:1]) == []


def test_a_bench_is_stored_as_picture_and_sentence(refreshed):
    for path in (refreshed, lessons.lesson_of(refreshed)):
        (output,) = next(cell for cell in notebook.read(path)["cells"] if cell["id"] == "tiny-bench")["outputs"]
        assert set(output["data"]) == {"image/png", "text/plain"}
        assert output["data"]["text/plain"].startswith("The job asks: torque of the load 0.04 N·m")


def test_the_lesson_shows_its_own_outputs_and_none_of_the_answers(refreshed):
    lesson = notebook.read(lessons.lesson_of(refreshed))
    assert derived_lesson.differences(derived_lesson.derive(notebook.read(refreshed)), lesson) == []
    shown = {cell["id"]: cell["outputs"] for cell in rules.code_cells(lesson)}
    assert shown["tiny-answer"] == shown["tiny-more"] == []
    assert shown["tiny-ask"] and "✓ Right" not in json.dumps(lesson)


def test_a_second_refresh_gives_the_same_bytes_whoever_runs_it(refreshed, monkeypatch, tmp_path):
    before = [path.read_bytes() for path in (refreshed, lessons.lesson_of(refreshed))]
    home, kit = tmp_path / "home", tmp_path / "no-such-kit"
    home.mkdir()
    settings = {
        "MECHBENCH_HOME": home,
        "MECHBENCH_KIT": kit,
        "MECHBENCH_UNITS": "us",
        "MECHBENCH_LEARNER": "ana",
        "COLUMNS": "40",
    }
    for name, value in settings.items():
        monkeypatch.setenv(name, str(value))
    refresh.refresh([refreshed])
    assert [path.read_bytes() for path in (refreshed, lessons.lesson_of(refreshed))] == before
    assert list(home.iterdir()) == [], "a person's own answers were touched"


def nbval(folder):
    """Run the notebooks of a folder with nbval; give the lines of pytest that name what failed, and its last one."""
    line = [
        sys.executable,
        "-m",
        "pytest",
        "-q",
        "-n",
        "0",
        "-p",
        "no:cacheprovider",
        "-c",
        str(lessons.ROOT / "pyproject.toml"),
        "--rootdir",
        str(folder),
        str(folder),
    ]
    told = subprocess.run(line, cwd=lessons.ROOT, capture_output=True, text=True).stdout.splitlines()
    return [line for line in told if line.startswith("FAILED")], told[-1]


def test_nbval_finds_what_was_stored_and_not_what_was_not(refreshed, tmp_path):
    changed = notebook.read(lessons.lesson_of(refreshed))
    notebook.write(tmp_path / "stored.ipynb", changed)
    sentence = next(cell for cell in changed["cells"] if cell["id"] == "tiny-bench")["outputs"][0]["data"]
    sentence["text/plain"] = sentence["text/plain"].replace("0.04", "0.05")
    notebook.write(tmp_path / "changed.ipynb", changed)
    failed, count = nbval(tmp_path)
    assert len(failed) == 1 and "/changed.ipynb::" in failed[0] and count.startswith("1 failed, 11 passed")


# --- what can go wrong ----------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    "text, says, seconds",
    [
        (
            "import mechbench as mb; mb.ask('start-here-levr')",
            "ValueError: 'start-here-levr' is no exercise; did you mean 'start-here-lever'?",
            300,
        ),
        ("import os; os._exit(3)", "Kernel died", 300),
        ("import time; time.sleep(600)", "A cell timed out", 1),
    ],
)
def test_a_cell_that_fails_is_named_and_nothing_is_stored(text, says, seconds, tmp_path, monkeypatch, capsys):
    monkeypatch.setattr(refresh, "CELL_TIMEOUT", seconds)
    path = tmp_path / "solutions" / "tiny.ipynb"
    notebook.write(path, source_of([code("tiny-wrong", text)]))
    before = path.read_bytes()
    monkeypatch.setattr(refresh, "everything", lambda: [path])
    assert refresh.command(["tiny"]) == 1
    said = capsys.readouterr().err
    assert said.startswith(f"solutions/tiny.ipynb, cell tiny-wrong: {says}") and said.count("\n") == 1
    assert path.read_bytes() == before and not lessons.lesson_of(path).exists()


def test_an_unknown_name_is_answered_with_the_nearest(tmp_path, monkeypatch, capsys):
    monkeypatch.setattr(refresh, "everything", lambda: [tmp_path / "solutions" / "01_motors.ipynb"])
    assert refresh.command(["moters"]) == 1
    assert capsys.readouterr().err == "There is no notebook 'moters'; did you mean 'motors'?\n"


def test_where_there_is_no_notebook_it_is_said(monkeypatch, capsys):
    monkeypatch.setattr(refresh, "everything", list)
    assert refresh.command([]) == 1
    assert capsys.readouterr().err.startswith("There is no notebook in ")


def test_each_notebook_that_was_refreshed_is_told(tmp_path, monkeypatch, capsys):
    path = tmp_path / "solutions" / "01_tiny.ipynb"
    notebook.write(path, source_of([code("tiny-sum", "print(6 * 7)")]))
    monkeypatch.setattr(refresh, "everything", lambda: [path])
    assert refresh.command(["tiny"]) == refresh.command([]) == 0
    lines = capsys.readouterr().out.splitlines()
    assert len(lines) == 2 and all(
        line.startswith("01_tiny: ") and line.endswith("; solutions 1 kB, lessons 1 kB") for line in lines
    )


def test_a_notebook_that_stands_alone_is_run_and_not_derived(tmp_path):
    path = tmp_path / "lessons" / "quick_reference.ipynb"
    notebook.write(path, notebook.new([code("quick-reference-import", "print(6 * 7)")]))
    assert refresh.everything(tmp_path) == [path]
    assert refresh.refresh([path]) == [path]
    assert notebook.read(path)["cells"][0]["outputs"][0]["text"] == "42\n"
    assert [one.name for one in path.parent.iterdir()] == ["quick_reference.ipynb"]
