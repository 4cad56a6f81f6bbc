"""Handouts: the numbers are those of the notebook, and the answer sheet is right.

Outside references: the worked arithmetic below, done by hand from the numbers on the paper; W3C "CSS Paged Media" for
page breaks (from memory).
"""

import html
import re
from functools import cache

import pytest

from mechbench.course import handout, registry
from mechbench.course.exercise import Challenge, Choice, Order, Quantity
from mechbench.course.grading import RIGHT, grade
from mechbench.course.learner_numbers import canonical, pose
from mechbench.course.question_text import inputs, lettered, options_of, question
from mechbench.course.simulated_readings import readings_of
from mechbench.engine.spec import Pick
from mechbench.kits import kit
from tests.course.samples import KITS
from tests.tries import tries

LESSONS = registry.lessons()
NAMES = ("", "Ana  M", *tries((), thorough=("bo", "cleo")))


@cache  # finding a design that works takes its time
def sheets(lesson, *names, **more):
    """The sections of a handout as HTML: all question sheets, then all answer sheets."""
    page = "".join(handout.pages(lesson, names, **more))
    return re.findall(r'<section class="sheet">.*?</section>', page, re.DOTALL), page


def plain(piece):
    return html.unescape(re.sub(r"<[^>]*>", " ", piece))


def rows_of(sheet):
    """Cells of each exercise on an answer sheet: title, answer, other answers, hints."""
    return [
        re.findall(r"<t[hd][^>]*>(.*?)</t[hd]>", row, re.DOTALL)
        for row in re.findall(r"<tr>(.*?)</tr>", sheet, re.DOTALL)
    ][1:]


@pytest.mark.parametrize("lesson", LESSONS)
@pytest.mark.parametrize("name", NAMES)
def test_every_question_stands_there_with_the_learners_numbers(lesson, name):
    (asked, _), _ = sheets(lesson, *filter(None, [name]))
    key = canonical(name) if name else ""
    for number, exercise in enumerate(registry.exercises(lesson), 1):
        posed = pose(exercise, key)
        text = plain(asked)
        assert f"{number}. {exercise.title}" in text and question(posed) in text
        assert all(f"{one.letter}) {one.text}" in text for one in lettered(posed))
        if getattr(exercise, "shop", None):
            assert repr(readings_of(exercise, key)) in text


def test_the_core_is_named_as_the_notebook_has_it():
    """Read by hand in lesson 01: one prediction and five exercises stand before "More"."""
    (asked, answers), _ = sheets("motors")
    core = ["most-power", "line", "current", "power", "burns", "heat-order"]
    titles = {registry.exercise(f"motors-{name}").title for name in core}
    numbers = re.search(r"The core, for everybody: ([\d, ]+)\. Of the others take what you like\.", plain(asked))[1]
    named = {html.unescape(re.search(rf"<h2>{number}\. (.*?)</h2>", asked)[1]) for number in numbers.split(", ")}
    assert named == titles and "The core" not in plain(answers)


def typed(posed, design):
    """A design as the answer sheet words it, as it is typed in code: labels turned back into names."""
    chosen = []
    for entry in inputs(posed):
        said = re.search(rf"(?:^|; ){re.escape(entry.label)}: (.*?)(?=; |$)", design)[1]
        names = {label: name for name, label in options_of(posed, entry).items()} if isinstance(entry, Pick) else {}
        chosen.append(f"{entry.name} = {names[said] if names else said}")
    return "; ".join(chosen)


@pytest.mark.parametrize("lesson", LESSONS)
def test_designs_are_asked_and_answered_in_words(lesson):
    """On paper nobody types the names that parts have in files, such as planetary_21."""
    design = next(exercise for exercise in registry.exercises(lesson) if isinstance(exercise, Challenge))
    posed = pose(design, canonical(NAMES[1]))
    picks = [entry for entry in inputs(posed) if isinstance(entry, Pick)]
    coded = {name for entry in picks for name in options_of(posed, entry) if "_" in name}
    (asked, answers), _ = sheets(lesson, NAMES[1])
    text = plain(asked) + plain(answers)
    assert picks and not [name for name in coded if re.search(rf"\b{name}\b", text)]
    for entry in picks:
        labels = list(options_of(posed, entry).values())
        assert f"{entry.label}: " in text and labels[0] in text and labels[-1] in text


@pytest.mark.parametrize("lesson", LESSONS)
@pytest.mark.parametrize("name", NAMES)
def test_what_the_answer_sheet_says_is_graded_right(lesson, name):
    (_, answers), _ = sheets(lesson, *filter(None, [name]))
    key = canonical(name) if name else ""
    for exercise, (_, answer, others, _) in zip(registry.exercises(lesson), rows_of(answers), strict=True):
        bold = re.search(r"<strong>(.*?)</strong>", answer)
        if isinstance(exercise, (Quantity, Choice, Order, Challenge)):
            said = html.unescape(bold.group(1))
            raw = typed(pose(exercise, key), said) if isinstance(exercise, Challenge) else said
            assert grade(exercise, key, raw).state == RIGHT
        if isinstance(exercise, Quantity):
            seen = dict(re.findall(r"<strong>(.*?)</strong>: (.*?)</li>", others))
            assert len(seen) == len(exercise.slips)
            for text, means in seen.items():
                assert grade(exercise, key, html.unescape(text)).slip == html.unescape(means)


def test_a_sheet_worked_by_hand():
    """Lesson 01, from the printed numbers: torque falls in a straight line from stall to free speed."""
    (asked, answers), _ = sheets("motors", NAMES[1])
    stall, free, speed = map(
        float, re.search(r"stall torque ([\d.]+) N·m, free speed (\d+) rpm.*?turns at (\d+) rpm", plain(asked)).groups()
    )
    row = next(cells for cells in rows_of(answers) if "Torque at a speed" in cells[0])
    assert float(re.search(r"<strong>([\d.]+) N·m", row[1]).group(1)) == pytest.approx(
        stall * (1 - speed / free), rel=2e-3
    )


def test_questions_give_no_answer_away():
    for lesson in LESSONS:
        (asked, answers), _ = sheets(lesson, NAMES[1])
        besides = plain(asked)
        for exercise in registry.exercises(lesson):  # another question may happen to give the same number
            asks = question(pose(exercise, canonical(NAMES[1])))
            assert asks in plain(asked)
            besides = besides.replace(asks, "")
        for exercise, (_, answer, *_) in zip(registry.exercises(lesson), rows_of(answers), strict=True):
            if isinstance(exercise, Quantity):
                alone = (  # not "Up to 3 % off", "of 3"
                    rf"(?<![\w.,]){re.escape(plain(answer).strip())}(?![\w.,]| %| of)"
                )
                assert not re.search(alone, besides), (exercise.id, answer)
        assert "Answer sheet" not in asked and "Hints" not in asked


def test_answer_sheets_come_last_each_on_a_page_of_its_own():
    found, page = sheets("motors", "ana", "bo")
    heads = [re.search(r"<h1>(.*?)</h1>", sheet).group(1) for sheet in found]
    assert heads == ["01 Motors", "01 Motors", "Answer sheet: 01 Motors", "Answer sheet: 01 Motors"]
    assert ".sheet + .sheet { break-before: page; }" in page and found[0] != found[1]


def test_names_are_text_and_the_page_loads_nothing():
    _, page = sheets("motors", '<img src=x onerror="1">', "Ana\u202eM")
    assert "<img" not in page and "&lt;img" in page and "\u202e" not in page
    assert "default-src 'none'" in page and not re.search(
        r"https?://|src=|<script|style=", page.replace("img src=x", "")
    )


def test_with_another_kit_the_numbers_are_that_kits():
    (own, _), _ = sheets("motors")
    (other, _), _ = sheets("motors", kit=KITS["second"])
    assert own != other and kit().digest != KITS["second"].digest


@pytest.mark.parametrize("typed", ["1", "01", "motors", " Motors "])
def test_a_lesson_by_number_or_name(tmp_path, typed, capsys):
    assert handout.command([typed, "--name", "Ana", "--to", str(tmp_path)]) == 0
    assert "handout_01_motors.html" in capsys.readouterr().out
    assert "Numbers for:" in (tmp_path / "handout_01_motors.html").read_text(encoding="utf-8")


@pytest.mark.parametrize("typed", ["99", "-1", "motorz", "", "../motors", "1.5"])
def test_an_unknown_lesson_is_a_sentence_that_lists_them(tmp_path, typed, capsys):
    assert (
        handout.command([typed, "--to", str(tmp_path)] if typed != "-1" else ["--to", str(tmp_path), "--", typed]) == 1
    )
    said = capsys.readouterr().err
    assert said.count("\n") == 1 and "motors" in said and not list(tmp_path.iterdir())


def test_nothing_is_overwritten_and_the_name_is_no_part_of_the_files_name(tmp_path):
    for _ in range(2):
        assert handout.command(["1", "--name", "../../ana", "--to", str(tmp_path)]) == 0
    assert sorted(path.name for path in tmp_path.iterdir()) == ["handout_01_motors-2.html", "handout_01_motors.html"]


@pytest.mark.parametrize("arguments", [["1", "--name", "x" * 61], ["1", "--name", ""], ["1", "--to", "no/such/folder"]])
def test_bad_arguments_are_a_sentence(tmp_path, monkeypatch, arguments, capsys):
    monkeypatch.chdir(tmp_path)
    assert handout.command(arguments) == 1
    assert capsys.readouterr().err.count("\n") == 1 and not list(tmp_path.iterdir())
