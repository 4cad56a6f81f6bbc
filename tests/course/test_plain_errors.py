"""A slip in a learner's notebook gives one sentence; what nobody foresaw keeps Python's own report."""

import sys

import pytest
from IPython.core.interactiveshell import InteractiveShell
from traitlets.config import Config

from mechbench import quantity
from mechbench.course import plain_errors


def trace_of(action):
    try:
        action()
    except Exception as error:
        return error, sys.exc_info()[2]
    raise AssertionError("nothing was raised")


def test_an_unknown_name_says_to_run_the_cells_above():
    said = plain_errors.sentence(*trace_of(lambda: bench))  # noqa: F821
    assert said.startswith("'bench' is not known yet. Run the cells above first") and "\n" not in said


def test_what_mechbench_refuses_is_told_in_its_own_sentence():
    said = plain_errors.sentence(*trace_of(lambda: quantity.read("3 furlongs", "length")))
    assert "furlongs" in said and "\n" not in said and "Traceback" not in said


def test_other_errors_are_left_to_python():
    assert plain_errors.sentence(*trace_of(lambda: float("x"))) is None
    assert plain_errors.sentence(*trace_of(lambda: 1 / 0)) is None
    assert plain_errors.sentence(*trace_of(lambda: {}["x"])) is None
    assert plain_errors.sentence(*trace_of(lambda: "".missing)) is None


@pytest.mark.parametrize(
    "code, says, not_said",
    [
        ("unknown_thing + 1", "'unknown_thing' is not known yet", "Traceback"),
        ("import mechbench as mb\nmb.size('arrm')", "did you mean 'arm'?", "Traceback"),
        ("import mechbench as mb\nmb.judge('arm', {})", "mb.judge is now mb.size, with inputs by name", "Traceback"),
        ("import mechbench as mb\nmb.size('arm')['tme']", "did you mean 'time'?", "Traceback"),
        ("import mechbench as mb\nmb.size('arm').tme", "did you mean 'time'?", "Traceback"),
        ("import mechbench as mb\nmb.sweep('arm', 'motor')['tme']", "did you mean 'time'?", "Traceback"),
        ("import mechbench as mb\nmb.kit().tme.x", "AttributeError", "is not known yet"),
        ("{}['x']", "KeyError", "is not known yet"),
        ("1 / 0", "ZeroDivisionError", "is not known yet"),
    ],
)
def test_in_a_notebooks_python(code, says, not_said, capsys, monkeypatch, tmp_path):
    monkeypatch.setenv("IPYTHONDIR", str(tmp_path))
    shell = InteractiveShell.instance(config=Config({"HistoryManager": {"enabled": False}}))
    try:
        plain_errors.speak_plainly()
        result = shell.run_cell(code)
        shown = capsys.readouterr().out
    finally:
        InteractiveShell.clear_instance()
    assert says in shown and not_said not in shown
    assert not result.success  # the cell still counts as failed: what follows in "Run All" is not run
