"""The half of `check` that runs inside .venv: a real kernel and a real slider, and each thing that can be wrong."""

import json
import os
import subprocess
import sys
from importlib import metadata
from pathlib import Path

import pytest

from mechbench.course import notebook_check, progress, registry
from mechbench.course.lessons import ROOT
from tests.course import hardship


@pytest.fixture(scope="module")
def kernel(tmp_path_factory):
    with notebook_check._kernel(tmp_path_factory.mktemp("kernel")) as (client, fault):
        assert fault == ""
        yield client


def test_what_runs_for_the_check_goes_into_no_history(kernel):
    assert "False" in str(notebook_check._run(kernel, "get_ipython().history_manager.enabled"))


def fault_of(task, *arguments):
    with pytest.raises(notebook_check.Fault) as error:
        task(*arguments)
    said = str(error.value)
    assert said.endswith(".") and "\n" not in said
    return said


def run(environ=(), needed=("numpy>=1",)):
    line = [sys.executable, "-m", "mechbench.course.notebook_check", *needed]
    return subprocess.run(line, cwd=ROOT, env={**os.environ, **dict(environ)}, capture_output=True, text=True)


def test_a_good_machine_passes_and_nothing_is_left_behind(tmp_path):
    home = tmp_path / "home"
    done = run({"MECHBENCH_HOME": str(home)})
    lines = done.stdout.splitlines()
    assert done.returncode == 0 and done.stderr == ""
    assert [line[:6] for line in lines] == ["ok    "] * 6 and "the picture changed after" in lines[-1]
    assert not home.exists()


def test_a_bad_machine_says_what_is_wrong_and_goes_on(tmp_path):
    (tmp_path / "kit").mkdir()
    done = run(
        {"MECHBENCH_KIT": str(tmp_path / "kit"), "MECHBENCH_HOME": str(tmp_path / "home")},
        ("numpy>=99", "no-such-thing-at-all>=1"),
    )
    lines = done.stdout.splitlines()
    assert done.returncode == 1 and done.stderr == ""
    assert lines[0].startswith("NOT OK  Versions: numpy is ") and lines[1].startswith("NOT OK  Kit: ")
    assert lines[2].startswith("ok      Answers:") and lines[4].startswith("ok      Kernel:")


# Packages


def test_versions_are_compared_with_what_is_asked_for():
    assert (
        notebook_check.versions(["numpy>=1", "ipywidgets"])
        == f"numpy {metadata.version('numpy')}, ipywidgets {metadata.version('ipywidgets')}"
    )
    assert "numpy is" in fault_of(notebook_check.versions, ["numpy<1"])
    assert "no-such-thing-at-all is missing" in fault_of(notebook_check.versions, ["no-such-thing-at-all"])


# Kit, answers


def test_the_kit_and_every_exercise_are_tried(monkeypatch):
    assert f"{len(registry.exercises())} exercises" in notebook_check.kit_and_exercises()
    monkeypatch.setattr(type(registry.exercises()[1]), "table", lambda self, kit: {}["no such part"])
    assert "can't take its numbers from it" in fault_of(notebook_check.kit_and_exercises)


def test_answers_are_kept_where_they_will_be_kept(tmp_path, monkeypatch):
    monkeypatch.setenv("MECHBENCH_HOME", str(tmp_path / "home"))
    store = progress.Store(tmp_path / "home")
    ana = store.learner("ana")
    before = sorted(path.name for path in store.folder.iterdir())
    assert "1 learner there" in notebook_check.progress_file()
    assert sorted(path.name for path in store.folder.iterdir()) == before and store.find("ana") == ana


def test_a_place_that_can_not_be_written_is_a_sentence(tmp_path, monkeypatch):
    (tmp_path / "file").write_text("in the way")
    monkeypatch.setenv("MECHBENCH_HOME", str(tmp_path / "file" / "home"))
    assert "MECHBENCH_HOME" in fault_of(notebook_check.progress_file)


@pytest.mark.skipif(sys.platform == "win32", reason="Windows has no such rights")
def test_a_folder_without_the_right_to_write_is_a_sentence(monkeypatch):
    with hardship.reachable_folder() as folder:
        monkeypatch.setenv("MECHBENCH_HOME", str(folder))
        with hardship.read_only(folder):
            assert "MECHBENCH_HOME" in fault_of(notebook_check.progress_file)


# Widgets, kernel, slider


def test_the_part_of_ipywidgets_in_the_page_is_looked_for(tmp_path, monkeypatch):
    assert "ipywidgets" in notebook_check.widgets_in_the_page()
    monkeypatch.setattr(notebook_check, "jupyter_path", lambda name: [str(tmp_path)])
    assert "is missing" in fault_of(notebook_check.widgets_in_the_page)


def test_the_kernel_says_which_python_it_is(kernel, monkeypatch):
    assert "answers in" in notebook_check.kernel_answers(kernel)
    monkeypatch.setattr(sys, "prefix", "/somewhere/else")
    assert "another Python" in fault_of(notebook_check.kernel_answers, kernel)


def test_a_slider_moves_its_picture(kernel):
    assert "picture changed" in notebook_check.slider_moves_picture(kernel)


@pytest.mark.parametrize(
    ("code", "words"),
    [
        ("None", "without a slider or without a picture"),
        ("import ipywidgets as w; w.FloatSlider()", "without a slider or without a picture"),
        ("import ipywidgets as w; w.FloatSlider(); w.Image(value=b'x')", "its picture did not change"),
        ("1 / 0", "stops with ZeroDivisionError (division by zero)"),
        (
            (
                "import ipywidgets as w; s = w.FloatSlider(); i = w.Image(value=b'x'); s.observe(lambda c: setattr(i,"
                " 'value', b'x'), 'value')"
            ),
            "its picture did not change",
        ),
    ],
)
def test_a_bench_that_does_not_answer_is_found(kernel, monkeypatch, code, words):
    monkeypatch.setattr(notebook_check, "BENCH", code)
    assert words in fault_of(notebook_check.slider_moves_picture, kernel)


def test_a_kernel_that_says_nothing_is_not_waited_for_for_ever(kernel, monkeypatch, tmp_path):
    monkeypatch.setattr(notebook_check, "ANSWER_SECONDS", 0.5)
    answers = tmp_path / "answers"
    silent = f"import pathlib, time\nwhile not pathlib.Path({str(answers)!r}).exists(): time.sleep(0.01)"
    assert "no answer within 0.5 s" in fault_of(notebook_check._run, kernel, silent)
    answers.touch()


def test_a_kernel_that_does_not_start_is_a_sentence(tmp_path):
    place = tmp_path / "kernels" / "python3"
    place.mkdir(parents=True)
    spec = {"argv": [sys.executable, "-c", "raise SystemExit(3)"], "display_name": "broken", "language": "python"}
    (place / "kernel.json").write_text(json.dumps(spec))
    done = run(
        {"JUPYTER_DATA_DIR": str(tmp_path), "JUPYTER_PREFER_ENV_PATH": "0", "MECHBENCH_HOME": str(tmp_path / "home")}
    )
    assert done.returncode == 1 and "NOT OK  Kernel: a notebook's Python does not start" in done.stdout
    assert "Slider" not in done.stdout and Path(place).exists()
