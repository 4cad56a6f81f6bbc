"""The nickname of a notebook: said in quotes, asked about where it may be a slip, offered in the next lesson."""

import re
import subprocess
import sys

import ipywidgets as widgets
import nbformat
import pytest
from IPython.core.interactiveshell import InteractiveShell
from traitlets.config import Config

import mechbench
from mechbench.course import ask as asking
from mechbench.course import lessons, progress
from mechbench.course.ask import ask, current_learner, learner
from mechbench.course.nickname import BOOK, is_near
from mechbench.course.progress import ProgressError, store

EXERCISE = "start-here-lever"


@pytest.fixture(autouse=True)
def notebook(tmp_path, monkeypatch):
    """A new home and a new notebook; calling it gives another new notebook on the same home."""
    monkeypatch.setenv("MECHBENCH_HOME", str(tmp_path))

    def another():
        for name in ("learner", "chosen"):
            monkeypatch.setitem(asking._notebook, name, None)

    another()
    return another


@pytest.fixture
def shown(monkeypatch):
    notes = []
    monkeypatch.setattr(asking, "display", notes.append)
    return notes


def buttons(offer):
    return {
        child.description: child
        for box in offer.widget.children
        for child in getattr(box, "children", ())
        if isinstance(child, widgets.Button)
    }


def words(widget):
    if isinstance(widget, widgets.HTML):
        return re.sub("<[^>]*>", "", widget.value)
    return " ".join(words(child) for child in getattr(widget, "children", ()))


# --- in quotes -----------------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    "code, says",
    [
        ("mb.learner(Ana)", """Ana is no nickname yet: write it between quotes, mb.learner("Ana")."""),
        ("x = mb.learner( Ana )", """Ana is no nickname yet: write it between quotes, mb.learner("Ana")."""),
        ("mb.learner(Ana-Marie)", """Ana is no nickname yet: write it between quotes, mb.learner("Ana")."""),
        ("mb.learner(name=Ana)", """Ana is no nickname yet: write it between quotes, mb.learner("Ana")."""),
        ("mb.learner(7)", """name is 7, but a nickname stands between quotes: write mb.learner("7")."""),
        ("mb.learner(max)", """name is max, but a nickname stands between quotes: write mb.learner("max")."""),
        ("mb.learner(None)", 'name is None, but a nickname stands between quotes: write mb.learner("").'),
        ("mb.learner(['Ana'])", "name is ['Ana'], but a nickname stands between quotes: write mb.learner(\"Ana\")."),
    ],
)
def test_a_nickname_without_quotes_gets_one_sentence(code, says, capsys, monkeypatch, tmp_path):
    """As the first cell of a notebook, where nothing of the course has run yet."""
    monkeypatch.setenv("IPYTHONDIR", str(tmp_path / "ipython"))
    shell = InteractiveShell.instance(config=Config({"HistoryManager": {"enabled": False}}))
    mechbench.learner  # so that it is put back afterwards
    monkeypatch.delitem(mechbench.__dict__, "learner")
    monkeypatch.delitem(sys.modules, "mechbench.course.ask")
    monkeypatch.delattr(mechbench.course, "ask")
    try:
        result = shell.run_cell(f"import mechbench as mb\n\n{code}")
        said = capsys.readouterr().out.strip()
    finally:
        InteractiveShell.clear_instance()
    assert said == says and not result.success
    assert store().learners() == []


# --- one letter away -----------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    "one, other, near",
    [
        ("ana m", "anna m", True),
        ("ana m", "ana", False),
        ("ana", "an", True),
        ("ana", "aan", True),
        ("bo", "jo", True),
        ("finn", "fin", True),
        ("ana1", "ana2", False),  # digits are chosen to be different
        ("ana", "ana2", False),
        ("a", "b", False),
        ("a", "ab", False),
        ("ana", "ana", False),
        ("ana", "finn", False),
    ],
)
def test_which_names_are_near(one, other, near):
    assert is_near(one, other) is is_near(other, one) is near


def test_a_nickname_one_letter_away_asks(shown, notebook):
    learner("Ana M")
    notebook()
    with pytest.raises(ValueError) as asked:
        learner("Anna M")
    assert str(asked.value) == (
        "'Anna M' is new on this computer, but 'Ana M' is known: if that is you, write mb.learner(\"Ana M\"); "
        'if you are new, write mb.learner("Anna M", new=True).'
    )
    assert current_learner().key == "" and [one.key for one in store().learners() if one.key] == ["ana m"]
    learner("Anna M", new=True)
    assert current_learner().key == "anna m"
    notebook()
    learner("Anna M")  # known now: never asked again
    learner("Ana M")
    assert current_learner().key == "ana m" and len(shown) == 4


def test_a_name_that_is_asked_about_changes_nothing(shown):
    learner("ana")
    ask(EXERCISE)
    with pytest.raises(ValueError, match="is known"):
        learner("anna")
    assert current_learner().key == "ana"


def test_where_the_file_cannot_be_read_nobody_is_asked(shown, monkeypatch):
    learner("ana")

    def fails(*_):
        raise ProgressError("The disk fails.")

    monkeypatch.setattr(progress.Store, "_read", fails)
    learner("anna")
    assert current_learner().key == "anna"
    learner("")
    assert current_learner().key == ""


# --- offered in the next lesson ------------------------------------------------------------------------------------


def test_nothing_is_offered_where_nobody_is_known(shown):
    learner("")
    assert type(shown[0]).__name__ == "Note"


def test_the_nickname_is_offered_in_the_next_lesson_and_not_forced(shown, notebook):
    learner("")
    book = shown[-1]._repr_mimebundle_()
    learner("Ana M")
    ask(EXERCISE).answer("1 N·m")
    notebook()
    learner("")
    offer = shown[-1]
    assert current_learner().key == ""  # offered, not forced
    assert list(buttons(offer)) == ["Go on as ana m"]
    assert "Numbers for: the book." in words(offer.widget)
    buttons(offer)["Go on as ana m"].click()
    assert current_learner().key == "ana m"
    assert "Numbers for: ana m." in words(offer.widget) and "Run the cells below again" in words(offer.widget)
    learner("")  # the cell is run again, with nothing between the quotes: the choice holds in this notebook
    assert current_learner().key == "ana m" and "Numbers for: **ana m**" in shown[-1]._repr_mimebundle_()["text/plain"]
    buttons(shown[-1])["The book's numbers"].click()
    assert current_learner().key == ""
    learner("")
    assert current_learner().key == "" and shown[-1]._repr_mimebundle_()["text/plain"] == book["text/plain"]


def test_a_name_in_the_cell_is_stronger_than_a_choice(shown, notebook):
    learner("ana")
    learner("finn")
    notebook()
    learner("")
    buttons(shown[-1])["Go on as ana"].click()
    learner("finn")
    assert current_learner().key == "finn"


def test_what_nbval_compares_is_the_same_with_and_without_an_offer(shown, notebook):
    learner("")
    alone = shown[-1]._repr_mimebundle_()
    learner("ana")
    notebook()
    learner("")
    offered = shown[-1]._repr_mimebundle_()
    more = set(offered) - set(alone)
    assert more == {"application/vnd.jupyter.widget-view+json"} and {*alone} <= {*offered}
    assert {kind: offered[kind] for kind in alone} == alone


@pytest.mark.parametrize("stored, passes", [(BOOK, True), (BOOK.replace("book", "cook"), False)])
def test_a_notebook_passes_nbval_where_an_offer_is_shown(tmp_path, stored, passes):
    home, there = tmp_path / "home", tmp_path / "there"
    there.mkdir()
    learner_known = f"import os\nos.environ['MECHBENCH_HOME'] = {str(home)!r}\nfrom mechbench.course import progress"
    cells = [
        nbformat.v4.new_code_cell(f"{learner_known}\n_ = progress.store().learner('ana')"),
        nbformat.v4.new_code_cell('import mechbench as mb\n\nmb.learner("")'),
        nbformat.v4.new_code_cell("len(progress.store().lately())"),
    ]
    data = dict.fromkeys(("text/markdown", "text/plain"), stored)
    for number, cell in enumerate(cells, 1):
        cell.execution_count = number
    cells[1].outputs = [nbformat.v4.new_output("display_data", data)]
    cells[2].outputs = [nbformat.v4.new_output("execute_result", {"text/plain": "1"}, execution_count=3)]
    nbformat.write(nbformat.v4.new_notebook(cells=cells), there / "first.ipynb")
    settings = str(lessons.ROOT / "pyproject.toml")
    line = ["pytest", "-q", "-n", "0", "-p", "no:cacheprovider", "-c", settings, "--rootdir", there, there]
    ran = subprocess.run([sys.executable, "-m", *map(str, line)], capture_output=True, text=True, cwd=lessons.ROOT)
    assert ran.stdout.splitlines()[-1].startswith("3 passed" if passes else "1 failed, 2 passed"), ran.stdout


def test_those_who_answered_last_are_offered_first_and_only_a_few(shown, notebook, monkeypatch):
    minutes = iter(range(100))
    monkeypatch.setattr(progress, "now", lambda: f"2026-03-02T15:{next(minutes):02}Z")
    for name in ("cy", "ana", "finn", "lou", "max"):
        learner(name)
    ask(EXERCISE)
    learner("ana")
    ask(EXERCISE).answer("1 N·m")
    notebook()
    learner("")
    assert list(buttons(shown[-1])) == [f"Go on as {name}" for name in ("ana", "max", "lou", "finn")]


def test_forget_takes_the_offer_away(shown, notebook):
    learner("ana")
    ask(EXERCISE).answer("1 N·m")
    store().forget("ana")
    notebook()
    learner("")
    assert type(shown[-1]).__name__ == "Note" and store().lately() == []


def test_forms_on_screen_say_at_once_that_the_choice_was_made(shown, notebook):
    learner("ana")
    notebook()
    learner("")
    form = ask(EXERCISE).panel().widget
    buttons(shown[-1])["Go on as ana"].click()
    assert "This form belongs to the book, and the notebook is now for ana" in words(form)


def test_names_are_never_markup(shown, notebook):
    learner("<b>x</b>")
    notebook()
    learner("")
    offer = shown[-1]
    buttons(offer)["Go on as <b>x</b>"].click()
    assert "<b>x" not in offer.widget.children[0].value and "&lt;b&gt;x" in offer.widget.children[0].value
