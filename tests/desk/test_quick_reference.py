"""The quick reference: every sizing and every question behind one chooser, the first bench at once."""

import html
import re

import pytest

import mechbench as mb
from mechbench.benches.bench import Bench
from mechbench.catalog import NAMES, judge, sizing_of
from mechbench.course import notebook
from mechbench.course.lessons import ROOT
from mechbench.desk import asked_first, current_chart, pit_answer
from mechbench.desk.current_bars import CHARTED
from mechbench.desk.formula_sheet import SHEET
from mechbench.desk.pit_questions import EVERY
from mechbench.desk.rules_of_thumb import rules
from mechbench.desk.spoken import all_of_it
from mechbench.engine import report_text
from mechbench.kits import kit

NOTEBOOK = ROOT / "lessons" / "quick_reference.ipynb"


def test_the_first_bench_is_on_screen_after_the_first_cell():
    cells = notebook.read(NOTEBOOK)["cells"]
    first = next(cell for cell in cells if cell["cell_type"] == "code")
    assert first["source"].split() == ["import", "mechbench", "as", "mb", "mb.reference()"]
    reference = mb.reference()
    assert isinstance(reference.bench, Bench) and reference.bench.view in reference._below.children


def test_every_sizing_can_be_chosen():
    reference = mb.reference()
    assert {value for _, value in reference._sizings.options} == set(NAMES)
    for name in NAMES:
        reference._sizings.value = name
        assert reference.bench.sizing.NAME == name and reference.bench.report is not None
        assert (
            reference._below.children == (reference.bench.view,)
            and sizing_of(name).QUESTION.split("?")[0][:20] in reference._said.value
        )


def test_every_question_opens_its_bench_set_as_it_says_below_its_figures():
    reference = mb.reference()
    for question in EVERY:
        reference._questions.value = question.asked
        assert reference.bench.sizing.NAME == question.sizing == reference._sizings.value
        (page,) = reference._below.children
        told, chart, rest, bench = page.children
        assert html.escape(all_of_it(question.lines[0])) in told.value and bench is reference.bench.view
        for finding in question.answers[question.sizing]:
            number = reference.bench.number(finding).replace(" ", "&nbsp;")
            large = f"<b>{number}</b>" in told.value and rest.value.count('class="mb-figure ') == others(question)
            assert large or (chart.value and finding in CHARTED), finding
        sliders = tuple(f.name for f in reference.bench.sizing.FIELDS if f.name in question.show)
        assert set(reference.bench._shown) == set(sliders) == set(question.show)
    reference._questions.value = reference._questions.options[0]
    assert reference._sizings.value == question.sizing, "no question leaves the bench"


def others(question):
    """How many figures a question asks of all its sizings but the first."""
    return sum(len(names) for name, names in question.answers.items() if name != question.sizing)


def test_the_figures_follow_the_bench_and_so_does_the_line_to_type():
    page = mb.pit("how hard may we brake")
    before = page._told.value
    page.bench.set(raised_mass="1 kg")
    number = page.bench.number("braking").replace(" ", "&nbsp;")
    assert f"<b>{number}</b>" in page._told.value != before and 'raised_mass="1kg"' in html.unescape(page._told.value)
    assert judge("balance", {"raised_height": "0.9 m", "raised_mass": "1 kg"}).good["braking"] == pytest.approx(
        page.answer.parts[0].design.report.good["braking"]
    )
    page.bench._switch("us")
    assert "in/s" in page._told.value or "ft/s" in page._told.value
    page.bench._switch("metric")


def test_why_it_resets_shows_a_picture_with_a_twin_in_words_and_follows_the_robot():
    page = mb.pit("why does it reset", which=judge("robot").values["which"])
    assert "data:image/png;base64," in page._chart.value and 'alt="Who draws how much' in page._chart.value
    drawn = page._chart.value
    names = [name for name in page.bench.tables("robots").names if name != page.bench.values["which"]]
    page.bench.set(which=names[0])
    assert page._chart.value != drawn and page.bench.tables("robots").labels[names[0]] in page._chart.value
    assert "image/png" in page._repr_mimebundle_() and repr(page).startswith("Why does it reset")


def test_a_question_in_a_notebook_takes_its_own_numbers_and_refuses_the_rest():
    page = mb.pit(5, raised_mass="1 kg", system="us")
    assert page.bench.values["raised_mass"] == 1.0 and page.bench.system == "us" and "m/s²" not in repr(page)
    assert mb.pit(5).bench.system == "metric", "units that were asked for once are not those of all that follow"
    with pytest.raises(ValueError, match="payload"):
        mb.pit(5, payload="1 kg")
    with pytest.raises(ValueError, match=r"mb\.pit_questions\(\)"):
        mb.pit("arm")


def test_a_choice_keeps_what_was_changed_before():
    reference = mb.reference("arm")
    reference.bench.set(payload="0.5 kg")
    reference.choose("motor").choose("arm")
    assert reference.bench.number("payload") == "0.5 kg"


def test_on_paper_it_is_the_bench():
    reference = mb.reference("motor")
    bundle = reference._repr_mimebundle_()
    assert bundle["text/plain"].startswith("A motor at a load.") and "image/png" in bundle
    assert "application/vnd.jupyter.widget-view+json" in bundle


def test_the_notebook_holds_all_questions_formulas_and_rules():
    shown = "".join(
        str(output.get("data", {}).get("text/plain", ""))
        for cell in notebook.read(NOTEBOOK)["cells"]
        for output in cell.get("outputs", ())
    )
    for question in EVERY:
        calls = " ".join(shown.split())
        assert question.asked in shown and all(line in shown or all_of_it(line) in calls for line in question.lines)
    assert all(formula.text in shown for formulas in SHEET.values() for formula in formulas)
    assert all(rule.text in shown for rule in rules())


def test_questions_are_answered_in_the_notebook_too():
    text = repr(mb.pit_questions())
    for question in EVERY:
        assert question.asked in text
    report = judge("winch", {"slack": "100 mm"})
    tilt = next(f for f in sizing_of("winch").FINDINGS if f.name == "tilt")
    assert f"{tilt.label}: {report_text.number(tilt, report.good['tilt'])}" in text
    assert "next ratio up" in " ".join(text.split()) and "next ratio down" in text


def part_names():
    """Names of parts as files and commands have them, such as planetary_21; what is a word too is left out."""
    tables = (kit().table(name) for name in ("gearboxes", "motors", "spur_gears", "wheels"))
    return {name for table in tables for name in table.names if "_" in name}


def test_a_search_on_a_page_is_a_table_in_the_parts_own_words():
    found = mb.find("arm", "motor,gearbox", payload="0.5 kg")
    shown = found._repr_mimebundle_()
    page = shown["text/html"]
    rows = re.findall("<tr>(.*?)</tr>", page)
    assert len(rows) == 1 + len(found.best) + len(found.beside) and shown["text/plain"] == repr(found)
    assert len({row.count("</td>") + row.count("</th>") for row in rows}) == 1
    for one, row in zip(found.best, rows[1:], strict=False):
        for table, name in (("motors", "motor"), ("gearboxes", "gearbox")):
            assert f">{kit().table(table).labels[one.choice[name]]}</td>" in row.replace("\u00a0", " ")
    assert not re.search(r"<td[^>]*>\d[^<]* ", page), "a number is not parted from its unit"
    seen = re.sub(' title="[^"]*"', "", page)  # what can be typed is told there alone
    assert len(part_names()) > 20 and not [name for name in part_names() if name in seen]
    assert all(name in repr(found) for one in found.best for name in one.choice.values())


def test_a_search_in_vain_says_why_on_the_page_too():
    found = mb.find("arm", "motor,gearbox", payload="2 kg", time_wanted="0.2 s")
    page = found._repr_mimebundle_()["text/html"]
    assert not found.best and "None works on a bad day" in page and "Missed on a good day already" in page


def test_answers_of_the_pit_name_parts_in_words():
    page = mb.pit_questions()._repr_mimebundle_()["text/html"]
    shown = re.sub("<code>.*?</code>", "", page)
    assert page.count("best: ") >= 4 and not [name for name in part_names() if name in shown]
    for number, question in enumerate(EVERY, 1):
        assert f"<h3>{number}. {html.escape(question.asked)}</h3>" in page
    assert page.count('class="mb-figure ') > 30 and "what the fuse is rated for" in page
    assert "<pre" not in page and 'alt="Who draws how much' in page and "python3 -m" not in page


def test_a_page_of_the_pit_answers_in_one_sentence_first():
    page = mb.pit("why does it reset", payload=0.5)
    shown = [box.value for box in page.view.children[:1]] + [page._told.value]
    figures = asked_first.figures_of(page.answer.parts[1].design.report, ("fuse_lasts",))
    assert "Why does it reset" in shown[0] and figures[0].met == asked_first.GOOD_DAY_ONLY
    assert f"First to fail, on a bad day: {figures[0].label} is {figures[0].bad}," in shown[1]
    assert "payload: goes to gripper, as piece_mass" in shown[1] and "robot has no such input" in shown[1]
    assert shown[1].index("First to fail") < shown[1].index('<div class="mb-figures')
    assert "All that is asked here works, on a bad day too" in repr(mb.pit("level"))


def test_what_the_page_of_the_pit_says_to_type_runs():
    for question in EVERY:
        for call in re.findall(r"<code>(.*?)</code>", "".join(pit_answer.html_of(pit_answer.look(question)))):
            assert eval(html.unescape(call), {"mb": mb}).sizing.NAME in question.answers


def test_no_number_of_the_chart_stands_on_a_line():
    """A bar of 10 A, a letter of 1 A: "10 A" takes 10 A to 14.5 A, so a line at 12 A moves it, one at 15 A does not."""
    assert current_chart._free(10.0, 1.0, [15.0, 30.0]) == 10.0
    assert current_chart._free(10.0, 1.0, [12.0, 30.0]) == 12.0
    assert current_chart._free(10.0, 1.0, [16.0, 12.0]) == 16.0


def test_search_and_sweep_from_a_notebook():
    found = mb.find("arm", "motor,gearbox", payload="0.5 kg")
    assert found.best and "tried" in repr(found)
    swept = mb.sweep("arm", "length=200mm..400mm", steps=3, payload="0.5 kg")
    picture, told = swept.outputs()
    assert len(swept.values) == 3 and "image/png" in picture and told["text/plain"] == repr(swept)
    assert mb.find("arm", "gearbox", system="us", payload=0.5).best[0].report.values["payload"] == 0.5
