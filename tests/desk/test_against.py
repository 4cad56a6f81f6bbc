"""Designs side by side: numbers judged apart, marks by the way that is worse, records of any kit, what is refused."""

import io
import json
import re
from html.parser import HTMLParser
from pathlib import Path

import pytest
from PIL import Image

import mechbench as mb
from mechbench.catalog import NAMES, judge, picture_of, sizing_of
from mechbench.desk import against, text_table
from mechbench.desk.record import record
from mechbench.engine import report_text
from mechbench.engine.inputs import Tables
from mechbench.engine.spec import Pick
from mechbench.kits import read_kit
from tests.desk.asked import ask, is_one_sentence

KITS = Path(__file__).parents[1] / "kits"
# What no name of a part leans on: a number that every sizing with it bears at both values.
LIGHT, HEAVY = "0.3kg", "0.9kg"


@pytest.fixture
def here(tmp_path, monkeypatch):
    """An empty folder for records."""
    monkeypatch.chdir(tmp_path)
    return tmp_path


def two_parts(sizing):
    """An input of a sizing, with two parts that can be judged with all else as usual; None where there are none."""
    tables = Tables(sizing)
    for pick in (f for f in sizing.FIELDS if isinstance(f, Pick)):
        fit = []
        for part in pick.options(tables)[:6]:
            try:
                judge(sizing, {pick.name: part})
            except ValueError:
                continue
            fit.append(part)
        if len(fit) > 1:
            return pick.name, fit[0], fit[-1]
    return None


def lines_of(text, label):
    """The two lines of a finding in the text: a good and a bad day, each as cells."""
    lines = text.splitlines()
    place = next(i for i, line in enumerate(lines) if line.startswith(f"  {label} ") and " good day " in line)
    split = lambda line: re.split(r"  +", line.partition(" day ")[2].strip())
    return split(lines[place]), split(lines[place + 1])


@pytest.mark.parametrize("name", NAMES)
def test_every_number_is_that_of_a_judgement_apart_and_every_mark_agrees(name):
    found = two_parts(sizing_of(name))
    if found is None:
        pytest.skip("it has no two parts to choose from")
    pick, *parts = found
    data = json.loads(ask(f"{name} --against {pick}={','.join(parts)} --json").out)
    apart = [judge(name, {pick: part}) for part in parts]
    for letter, one, report in zip("AB", data["designs"], apart):
        assert one["name"] == letter and one["works_on_bad_day"] == report.works_on_bad_day
        assert bool(one["rests_on"]) == (not report.known)
        for finding in report.sizing.FINDINGS:
            told = one["findings"][finding.name]
            assert float(told["good"]) == report.good[finding.name], finding.name
            assert float(told["bad"]) == report.bad[finding.name], finding.name
    for finding in sizing_of(name).FINDINGS:
        for day, bad in (("good", False), ("bad", True)):
            none, mark = data["marks"][finding.name][day]
            a, b = [(report.bad if bad else report.good)[finding.name] for report in apart]
            shown = [report_text.both_days(report, finding)[bad] for report in apart]
            assert none == ""
            if shown[0] == shown[1]:
                assert mark == "same"
            elif finding.worse_way:
                assert mark == ("worse" if (b > a) == (finding.worse_way == "more") else "better"), finding.name
            else:
                assert mark in ("more", "less", "other")


@pytest.mark.parametrize("system", ["--metric", "--us"])
@pytest.mark.parametrize("name", NAMES)
def test_the_table_fits_the_window(name, system):
    found = two_parts(sizing_of(name))
    if found is None:
        pytest.skip("it has no two parts to choose from")
    pick, one, other = found
    said = ask(f"{name} --against {pick}={one},{other},{one},{other} {system}")
    assert said.code in (0, 1) and said.err == ""
    assert max(map(len, said.out.splitlines())) <= text_table.WIDTH
    flat = " ".join(said.out.split())
    assert all(word in flat for finding in sizing_of(name).FINDINGS for word in finding.label.split())


def test_a_table_by_hand():
    """An arm with 0.3 kg and with 0.9 kg at its tip. The worst torque of the load, by hand: the arm level, 9.80665 m/s2
    times (mass at the tip times length, plus the arm's own mass times half its length).
    """
    said = ask(f"arm --against payload={LIGHT},{HEAVY} length=0.4m arm_mass=0.1kg")
    by_hand = [9.80665 * (tip * 0.4 + 0.1 * 0.2) for tip in (0.3, 0.9)]
    good, bad = lines_of(said.out, "worst torque of the load")
    assert [float(cell.split()[0]) for cell in good[:2]] == pytest.approx(by_hand, rel=5e-3)
    assert good[1].endswith("\u2212 worse") and bad[1].endswith("\u2212 worse")
    # The difference of both is the torque of the 0.6 kg alone.
    assert by_hand[1] - by_hand[0] == pytest.approx(9.80665 * 0.6 * 0.4)
    assert "  payload             0.3kg  0.9kg" in said.out and "the same in all" in said.out
    assert "length=400mm" in said.out


def test_several_inputs_vary_together_and_one_value_holds_for_all():
    data = json.loads(ask("arm --against payload=0.3,0.5,0.7kg --against length=0.3,0.4,0.5m --json").out)
    given = [(one["inputs"]["payload"]["value"], one["inputs"]["length"]["value"]) for one in data["designs"]]
    assert given == [(0.3, 0.3), (0.5, 0.4), (0.7, 0.5)] and data["differ"] == ["payload", "length"]
    in_one = json.loads(ask(["arm", "--against", "payload=0.3,0.5,0.7kg length=0.3,0.4,0.5m", "--json"]).out)
    assert in_one == data
    same = json.loads(ask("arm --against payload=0.3kg,0.5kg --against length=0.4m --json").out)
    assert same["differ"] == ["payload"] and [one["inputs"]["length"]["value"] for one in same["designs"]] == [0.4, 0.4]


def test_a_comma_within_a_number_needs_a_semicolon_between_them():
    data = json.loads(ask("arm --against payload=0,3kg;0,5kg --json").out)
    assert [one["inputs"]["payload"]["value"] for one in data["designs"]] == [0.3, 0.5]


def test_gears_follow_their_motor_in_each_design():
    motors = Tables(sizing_of("arm"))("motors").names
    data = json.loads(ask(f"arm --against motor={','.join(motors[:4])} --json").out)
    for motor, one in zip(motors, data["designs"]):
        assert one["inputs"]["gearbox"]["part"] == judge("arm", {"motor": motor}).values["gearbox"]


@pytest.mark.parametrize("line, code", [(f"payload={LIGHT},{HEAVY}", 0), ("payload=1.9kg,2kg length=0.6m", 1)])
def test_exit_code_is_0_where_one_of_them_works(line, code):
    words = line.split()
    said = ask(["arm", "--against", *words])
    designs = json.loads(ask(["arm", "--against", *words, "--json"]).out)["designs"]
    works = [one["works_on_bad_day"] and not one["rests_on"] for one in designs]
    assert said.code == code and any(works) == (code == 0)


def test_the_last_sentence_says_which_works_and_what_differs_most():
    flat = " ".join(ask("arm --against payload=0.3kg,1.9kg").out.split())
    assert "A works, on a bad day too; B does not work." in flat or "B works on a good day only" in flat
    assert "B beside A, on a bad day: " in flat and flat.count("(worse)") + flat.count(": worse)") >= 1
    a, b = judge("arm", {"payload": 0.3}), judge("arm", {"payload": 1.9})
    for report, letter in ((a, "A"), (b, "B")):
        assert f"{letter}: {report_text.verdict(report)}" in flat


# --- records --------------------------------------------------------------------------------------------------------


def test_a_record_beside_itself_differs_in_nothing(here):
    record(mb.bench("arm", {"payload": 0.6}), "a.html")
    said = ask("--against a.html b.html")
    assert said.code == 2 and "b.html" in said.err
    said = ask("--against a.html a.html")
    assert said.code == 0 and "All inputs are the same." in said.out
    assert "A and B come out the same on a bad day." in " ".join(said.out.split())
    data = json.loads(ask("--against a.html a.html --json").out)
    marks = {mark for days in data["marks"].values() for one in days.values() for mark in one}
    assert marks == {"", "same"} and data["differ"] == [] and data["notes"] == []


def test_a_record_beside_the_inputs_of_today(here):
    record(mb.bench("arm", {"payload": 0.6}), "a.html")
    said = ask("arm payload=0.5kg --against a.html")
    assert "A: a.html, made " in said.out and "B: today's inputs" in said.out
    assert re.search(r"^  payload +0\.6kg  0\.5kg$", said.out, re.MULTILINE)
    three = ask("arm --against a.html --against payload=0.5kg,0.4kg")
    assert re.search(r"^  payload +0\.6kg  0\.5kg  0\.4kg$", three.out, re.MULTILINE)


@pytest.mark.parametrize("kit", ["second_kit", "flat", "bare"])
def test_records_of_another_kit_keep_their_own_figures(here, kit, monkeypatch):
    mine = mb.bench("arm")
    record(mine, "mine.html")
    other = mb.bench("arm", kit=read_kit(KITS / kit))
    record(other, "other.html")
    data = json.loads(ask("--against mine.html other.html --json").out)
    for one, bench in zip(data["designs"], (mine, other)):
        for name, told in one["findings"].items():
            assert float(told["good"]) == pytest.approx(bench.report.good[name], rel=1e-9), name
            assert float(told["bad"]) == pytest.approx(bench.report.bad[name], rel=1e-9), name
    said = ask("--against mine.html other.html --picture both.png")
    assert said.code in (0, 1) and max(map(len, said.out.splitlines())) <= text_table.WIDTH
    assert Image.open("both.png").format == "PNG"


def test_the_same_name_with_other_figures_is_said(here):
    record(mb.bench("arm"), "a.html")
    text = Path("a.html").read_text(encoding="utf-8")
    data = json.loads(re.search(r'id="mechbench-record">(.*?)</script>', text, re.DOTALL)[1])
    numbers = data["inputs"]["motor"]["numbers"]
    was = numbers["stall_torque"] if "stall_torque" in numbers else numbers["resistance"]
    key = "stall_torque" if "stall_torque" in numbers else "resistance"
    assert text.count(json.dumps(was)) >= 1
    numbers[key] = was * 1.5
    new = json.dumps(data)
    Path("b.html").write_text(
        re.sub(r'(id="mechbench-record">).*?(</script>)', lambda m: m[1] + new + m[2], text, flags=re.DOTALL),
        encoding="utf-8",
    )
    flat = " ".join(ask("--against a.html b.html").out.split())
    assert "All inputs are the same." in flat
    part = f"motor {data['inputs']['motor']['part']} ({key.replace('_', ' ')})"
    assert f"In A and B these have not the same figures: {part}." in flat


# --- refused --------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    "line, says",
    [
        ("arm --against payload", "has no values; write payload=ONE,OTHER"),
        ("arm --against payload=", "has no values; write payload=ONE,OTHER"),
        ("arm --against payload=1kg", "One design is given, but two are compared; give an input two values, such as"),
        ("arm --against payload=1,2kg --against length=0.3,0.4,0.5m", "payload has 2 values and length has 3"),
        ("arm --against payload=1,1.1,1.2,1.3,1.4kg", "at most 4 designs stand side by side"),
        ("arm payload=1kg --against payload=1kg,2kg", "payload is given and compared; leave one of them out"),
        ("arm --against payload=1,2kg --against payload=1,2kg", "payload is given twice in --against"),
        ("arm --against payload=1kg,99kg", "payload is 99 kg, but it must be from"),
        ("arm --against paylod=1kg,2kg", "did you mean 'payload'"),
        ("--against payload=1kg,2kg", "No sizing is named"),
        ("--against none.html nothing.html", "'none.html' can't be used"),
        ("arm --against payload=1kg,2kg --find motor", "can't be asked together"),
        ("arm --against payload=1kg,2kg --record a.html", "--record does not go with --against"),
        ("arm --against payload=1kg,2kg --steps 5", "--steps goes with --sweep only"),
        ("arm --against payload=1kg,2kg --picture a.gif", "does not end in .png"),
    ],
)
def test_a_bad_question_is_answered_by_one_sentence(line, says, here):
    said = ask(line)
    assert said.code == 2 and is_one_sentence(said.err) and re.search(says, said.err), said.err
    assert said.out == "" and not list(here.iterdir())


def test_designs_of_two_sizings_are_refused(here):
    record(mb.bench("arm"), "a.html")
    record(mb.bench("lift"), "b.html")
    assert ask("--against a.html b.html").err == "A is of arm and B of lift; compare designs of one sizing.\n"
    assert "One design is given" in ask("--against a.html").err
    assert ask("lift --against a.html").code == 2


# --- in a notebook and as a picture ---------------------------------------------------------------------------------


def test_lists_vary_in_a_notebook_and_the_rest_is_the_same():
    found = mb.against("arm", payload=["0.3 kg", "0.9 kg"], length=(0.3, 0.5), arm_mass="0.1 kg")
    assert [report.values["payload"] for report in found.reports] == [0.3, 0.9]
    assert [report.values["length"] for report in found.reports] == [0.3, 0.5]
    assert {report.values["arm_mass"] for report in found.reports} == {0.1}
    typed = ask("arm --against payload=0.3kg,0.9kg --against length=0.3m,0.5m arm_mass=0.1kg").out
    assert repr(found) == typed.rstrip("\n")


def test_records_and_kits_in_a_notebook(here):
    record(mb.bench("arm", {"payload": 0.6}), "a.html")
    record(mb.bench("arm", {"payload": 0.5}), "b.html")
    assert [r.values["payload"] for r in mb.against("a.html", "b.html").reports] == [0.6, 0.5]
    assert [r.values["payload"] for r in mb.against("arm", "a.html", payload="0.4 kg").reports] == [0.6, 0.4]
    other = read_kit(KITS / "second_kit")
    kitted = mb.against("arm", kit=other, payload=["0.3 kg", "0.4 kg"])
    assert kitted.reports[1] == judge("arm", {"payload": 0.4}, other)
    for wrong in (("arm", "lift"), ("a.html",)):
        with pytest.raises(ValueError, match="no record|One design"):
            mb.against(*wrong)
    with pytest.raises(ValueError, match="goes with a sizing"):
        mb.against("a.html", "b.html", payload=[0.3, 0.4])
    with pytest.raises(ValueError, match="'paylod' is not an input"):
        mb.against("arm", paylod=[0.3, 0.4])


class Cells(HTMLParser):
    """The texts of all cells of a page's tables."""

    def __init__(self):
        super().__init__()
        self.cells, self._inside = [], False

    def handle_starttag(self, tag, attributes):
        self._inside = tag in ("td", "th")
        if self._inside:
            self.cells.append("")

    def handle_endtag(self, tag):
        self._inside = self._inside and tag not in ("td", "th")

    def handle_data(self, data):
        if self._inside:
            self.cells[-1] += data


def test_the_page_holds_the_table_and_the_picture_with_words_for_it():
    found = mb.against("arm", payload=["0.3 kg", "0.9 kg"])
    bundle = found._repr_mimebundle_()
    page = bundle["text/html"]
    told = Cells()
    told.feed(page)
    for finding in sizing_of("arm").FINDINGS:
        place = told.cells.index(finding.label)
        days = [
            text for bad in (False, True) for text in [report_text.both_days(r, finding)[bad][0] for r in found.reports]
        ]
        for cell, text in zip(told.cells[place + 1 : place + 5], days):
            assert cell.replace("\u00a0", " ").startswith(text)
            assert not re.search(r"\d (?!to )[^\W\d]|\d %|[-+=><\u2212] ", cell), f"{cell} may be broken in its middle"
    assert 'alt="A (mass at the tip 0.3 kg): thin and grey. B (mass at the tip 0.9 kg): in colour.' in page
    assert bundle["text/plain"] == repr(found)


def test_the_picture_of_two_has_one_plot_and_that_of_three_has_three():
    height = lambda found: Image.open(io.BytesIO(found.png())).height
    two, three = mb.against("arm", payload=[0.3, 0.9]), mb.against("arm", payload=[0.3, 0.6, 0.9])
    tall = picture_of("arm").SIZE[1] * 110
    assert tall < height(two) < 1.5 * tall and 3 * tall < height(three) < 4 * tall
    assert two.png() != mb.against("arm", payload=[0.6, 0.9]).png()
    assert against.pictured(three).startswith("A (mass at the tip 0.3 kg). B (mass at the tip 0.6 kg). C (")


def test_a_battery_by_its_figures_is_an_input_that_differs():
    """Each design keeps its own battery: in the words, as data, and in what was found, which is that of each alone."""
    said = ask("lift battery=2.8Ah battery=3Ah")
    assert "All inputs are the same" not in said.out
    row = next(line for line in said.out.splitlines() if line.startswith("  battery"))
    assert row.split() == ["battery", "2.8Ah", "3Ah"]
    data = json.loads(ask("lift battery=2.8Ah battery=3Ah --json").out)
    assert data["differ"] == ["battery"]
    for one, given in zip(data["designs"], ("2.8Ah", "3Ah")):
        alone = json.loads(ask(f"lift battery={given} --json").out)
        assert one["figures"] == alone["figures"] and one["records"] == alone["records"]
        assert one["findings"] == alone["findings"]
    both = mb.against("lift", battery=["2.8 A·h", "3 A·h"])
    assert "battery 2.8" in against.pictured(both) and "Battery" in both._repr_html_()
    assert "battery=2.8Ah" in ask("lift battery=2.8Ah --against count=1,2").out
