"""mb.find and mb.sweep: the same keywords as mb.size, rows and columns of numbers, tables that keep a number and its
unit together, and sentences that speak of calls.
"""

import io
import re
import shlex
from base64 import b64decode

import numpy as np
import pytest
from matplotlib.colors import to_rgb
from PIL import Image

import mechbench as mb
from mechbench.catalog import judge, search, sizing_of
from mechbench.desk import against as comparing
from mechbench.desk import convert_units, size_command
from mechbench.desk import find as finding
from mechbench.desk import most as turning
from mechbench.desk import sweep as sweeping
from mechbench.desk.sized import Sized
from mechbench.drawing.palette import LOOKS
from mechbench.launch.places import ROOT
from tests.desk.asked import ask

PARTED = re.compile(r"<t[dh][^>]*>[^<]*\d \w")  # a number that a page may part from its unit
NB = "\u00a0"
RATIOS = [1, 1.5, 2, 3]


@pytest.fixture(scope="module")
def found():
    return mb.find("arm", "motor,gearbox", payload="0.5 kg")


@pytest.fixture(scope="module")
def swept():
    return mb.sweep("arm", payload="0.2..0.8 kg", steps=4, motor="stout")


# --- find -----------------------------------------------------------------------------------------------------------


def test_a_search_gives_rows_that_are_answers(found):
    assert len(found) == len(found.best) > 1 and all(isinstance(row, Sized) for row in found)
    for row, one in zip(found, found.best):
        assert row.report == one.report and row.given == {"payload": 0.5, **one.choice}
    alone = judge("arm", {"payload": 0.5, **found.best[0].choice}).good["time"]
    assert found[0].time == pytest.approx(alone, rel=1e-12)  # several are judged in one call
    alone, here = found[0].changed().report, found[0].report
    assert alone.bad == pytest.approx(here.bad, rel=1e-12) and alone.days_in_100 == here.days_in_100


def test_a_search_gives_columns(found):
    assert found["gearbox"].tolist() == [one.choice["gearbox"] for one in found.best]
    assert found["time"].tolist() == [one.report.good["time"] for one in found.best] == found.good["time"].tolist()
    assert found.bad["time"].tolist() == [one.report.bad["time"] for one in found.best]
    assert found.days_in_100.tolist() == [one.report.days_in_100 for one in found.best]


def test_a_search_tells_what_the_lessons_read():
    ranking = search("arm", {"payload": 0.5}, {"motor": None, "gearbox": None})
    found = mb.find("arm", "motor,gearbox", payload=0.5)
    assert found.fitting == ranking.fitting and found.candidates == ranking.candidates
    assert (found.tried, found.missed) == (ranking.tried, ranking.missed)
    assert found.to_dict() == finding.data_of(found)


def test_lists_are_tried_and_parts_may_be_listed():
    mine = mb.find("gripper", servo=None, squeeze=[6, 8], ratio=RATIOS)
    ranking = search("gripper", {}, {"squeeze": [6, 8], "ratio": RATIOS})
    assert mine.tried == ranking.tried == 8 and mine.candidates == ranking.candidates
    assert "8 N" in repr(mine) or "6 N" in repr(mine)
    listed, typed = (mb.find("arm", parts, payload=0.5) for parts in (["motor", "gearbox"], "motor,gearbox"))
    assert listed.candidates == typed.candidates
    two = mb.find("lift", "rigging", gearbox=["planetary_16", "planetary_74"])
    assert two.tried == 2 * mb.find("lift", "rigging").tried


def test_what_is_looked_for_may_be_among_the_values_of_a_bench():
    whole = mb.size("arm", payload=0.5).values
    assert mb.find("arm", "gearbox", **whole).candidates == mb.find("arm", "gearbox", payload=0.5).candidates


def test_a_search_in_vain_is_empty_and_has_its_nearest_miss():
    found = mb.find("arm", "motor,gearbox", payload="2 kg", time_wanted="0.2 s")
    assert not found and len(found) == 0 and list(found) == [] and found["time"].size == 0
    assert found.nearest_miss.choice == found.miss.choice


def test_the_mass_of_the_parts_is_not_called_the_robots():
    heads = re.findall("<th[^>]*>(.*?)</th>", mb.find("winch", "gearbox", time_wanted="4 s")._repr_html_())
    assert "parts&#x27; mass" in heads and sizing_of("winch").field("mass").label not in heads


# --- sweep ----------------------------------------------------------------------------------------------------------


def test_a_sweep_gives_rows_and_columns(swept):
    assert swept["payload"].tolist() == pytest.approx([0.2, 0.4, 0.6, 0.8]) and len(swept) == 4
    alone = [judge("arm", {"payload": payload, "motor": "stout"}) for payload in (0.2, 0.4, 0.6, 0.8)]
    assert [row.report for row in swept] == alone and swept[-1].given == {"payload": 0.8, "motor": "stout"}
    assert swept["time"].tolist() == [report.good["time"] for report in alone]
    assert swept.bad["current"].tolist() == [report.bad["current"] for report in alone]
    assert swept.to_dict() == sweeping.data_of(swept)


@pytest.mark.parametrize(
    "other",
    [
        lambda: mb.sweep("arm", "payload=0.2..0.8 kg", 4, motor="stout"),
        lambda: mb.sweep("arm", payload="0.2 kg..0.8 kg", steps=4, motor="stout"),
        lambda: mb.sweep("arm", payload=["200 g", 0.4, "0.6 kg", 0.8], motor="stout"),
        lambda: mb.sweep("arm", payload=np.array([0.2, 0.4, 0.6, 0.8]), motor="stout"),
    ],
)
def test_a_sweep_may_be_asked_in_several_ways(other, swept):
    assert other().values == pytest.approx(swept.values) and other()["time"] == pytest.approx(swept["time"])


def test_parts_are_swept_by_name_or_all_of_them():
    assert mb.sweep("arm", gearbox=["planetary_16", "planetary_74"])["gearbox"].tolist() == [
        "planetary_16",
        "planetary_74",
    ]
    assert mb.sweep("arm", "motor")["motor"].tolist() == list(mb.kit().table("motors").names)


def test_values_that_cannot_be_judged_are_in_no_row(monkeypatch):
    balance = sizing_of("balance")
    solve = balance.solve

    def picky(x):
        if (x.raised_height > 0.8).any():
            raise ValueError("raised_height is 0.9 m, but it must be at most 0.8 m; lower it.")
        return solve(x)

    monkeypatch.setattr(balance, "solve", staticmethod(picky))
    swept = mb.sweep("balance", raised_height=["700 mm", "900 mm", "800 mm"])
    assert swept["raised_height"].tolist() == pytest.approx([0.7, 0.8]) and len(swept) == 2 < len(swept.values)
    assert np.all(np.isfinite(swept["braking"])) and "900 mm: raised_height is" in swept._repr_html_().replace(NB, " ")


# --- side by side, and turned round ---------------------------------------------------------------------------------


def test_designs_side_by_side_are_columns():
    two = mb.against("arm", payload=["0.3 kg", 0.5], gearbox="planetary_74")
    alone = [judge("arm", {"payload": payload, "gearbox": "planetary_74"}) for payload in (0.3, 0.5)]
    assert two["time"].tolist() == [report.good["time"] for report in alone] and two["payload"].tolist() == [0.3, 0.5]
    assert two.bad["time"].tolist() == [report.bad["time"] for report in alone] and len(two) == 2
    assert two.to_dict() == comparing.data_of(two)


def test_the_most_of_an_input_is_a_number():
    most = mb.most("arm", "payload", length="0.5 m")
    assert mb.size("arm", payload=most.value, length=0.5).report.surely_works
    assert not mb.size("arm", payload=1.02 * most.value, length=0.5).report.surely_works
    assert most.to_dict() == turning.data_of(most) and most.limited_by


# --- tables ---------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    "shown",
    [
        lambda: mb.size("arm", payload="0.5 kg"),
        lambda: mb.size("drivetrain"),
        lambda: mb.find("arm", "motor,gearbox", payload="0.5 kg"),
        lambda: mb.find("gripper", squeeze=[6, 8], ratio=RATIOS),
        lambda: mb.sweep("arm", payload="0.2..0.8 kg", steps=4),
        lambda: mb.sweep("arm", "motor"),
        lambda: mb.inputs("arm"),
        lambda: mb.most("arm", "payload"),
        lambda: mb.least("arm", "mass"),
        lambda: mb.against("arm", payload=["0.3 kg", "0.5 kg"], gearbox="planetary_74"),
        lambda: mb.find("arm", "length,motor"),
    ],
)
def test_a_page_keeps_a_number_and_its_unit_together(shown):
    page = shown()._repr_html_()
    assert page.count("<table") == page.count("</table>") >= 1 and not PARTED.search(page), PARTED.search(page)
    rows = [row.count("</td>") + row.count("</th>") for row in re.findall("<tr>(.*?)</tr>", page)]
    assert len(set(rows)) == 1 or page.count("<table") > 1


def test_a_sweep_shows_its_picture_and_a_table(swept):
    picture, told = swept.outputs()
    assert re.findall(r'<img class="([^"]*)" alt="[^"]+"', picture["text/html"]) == ["mb-paper-light", "mb-paper-dark"]
    assert told == {"text/html": swept._repr_html_(), "text/plain": repr(swept)}


@pytest.mark.parametrize("shown", [lambda: mb.find("arm", "gearbox"), lambda: mb.sweep("arm", "motor")])
def test_tab_offers_public_names_alone(shown):
    one = shown()
    names = dir(one)
    assert {"good", "bad", "to_dict", "days_in_100"} <= set(names) and not [name for name in names if name[0] == "_"]
    assert {"time", "current"} <= set(one._ipython_key_completions_())
    with pytest.raises(KeyError, match="did you mean 'time'"):
        one["tme"]


# --- sentences ------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    "call, says, line",
    [
        (lambda: mb.find("arm"), "mb.find needs inputs to look for, such as motor, gearbox", "arm --find ,"),
        (
            lambda: mb.find("motor", "load_torque=1..2"),
            'mb.sweep("motor", "load_torque=LOW..HIGH")',
            "motor --find load_torque=1..2",
        ),
        (lambda: mb.most("arm"), 'such as mb.most("arm", "payload")', ""),
        (lambda: mb.least("arm", "motor"), 'mb.find("arm", "motor") ranks', "arm --least motor"),
        (lambda: mb.most("arm", "payload", length=[0.3, 0.4]), 'mb.sweep("arm", length=[...])', ""),
        (lambda: mb.against("arm", payload="1..2 kg"), 'mb.sweep("arm", payload="1..2 kg")', ""),
        (lambda: mb.against("arm", paylod=[1, 2]), "did you mean 'payload'", ""),
        (lambda: mb.find("arm", "motor,motor"), "motor is given twice in mb.find", "arm --find motor,motor"),
        (lambda: mb.find("arm", "gearbox", gearbox=["planetary_16"]), "gearbox is given twice in mb.find", ""),
        (lambda: mb.find("arm", {"gearbox": None}), 'mb.find("arm", "motor,gearbox", **values)', ""),
        (lambda: mb.find("arm", squeeze=[1]), "'squeeze' is not an input of arm", ""),
        (lambda: mb.sweep("arm"), 'mb.sweep needs an input with its range, such as mb.sweep("arm", "payload=', ""),
        (lambda: mb.sweep("arm", payload="0.2..0.8 kg", length=[0.3, 0.4]), "payload and length", ""),
        (
            lambda: mb.sweep("motor", "load_torque=0.2Nm"),
            'mb.sweep("motor", "load_torque=',
            "motor --sweep load_torque=0.2Nm",
        ),
        (
            lambda: mb.sweep("motor", "load_torque=0.2Nm..0.1Nm"),
            "must be the lower one",
            "motor --sweep load=0.2Nm..0.1Nm",
        ),
        (lambda: mb.sweep("motor", "load_torque", steps=1), "steps '1' must be", "motor --sweep load --steps 1"),
        (lambda: mb.sweep("arm", payload=[]), "payload has no values", ""),
        (lambda: mb.sweep("motor", "motor=slim", motor="slim"), "motor is given and swept", ""),
        (lambda: mb.reopen("none.txt"), "mb.record wrote", "--reopen none.txt"),
    ],
)
def test_sentences_speak_of_calls_in_a_notebook_and_of_lines_at_the_command(call, says, line, tmp_path, monkeypatch):
    monkeypatch.chdir(tmp_path)
    (tmp_path / "none.txt").write_text("{}")
    with pytest.raises(ValueError) as raised:
        call()
    assert says in str(raised.value) and "--" not in str(raised.value) and "\n" not in str(raised.value)
    if line:
        said = ask(line)
        assert said.code == 2 and "mb." not in said.err, said.err


def test_old_calls_name_the_new_ones():
    for old, new in (("judge", 'mb.size("arm", payload="0.5 kg")'), ("search", 'mb.find("arm", "motor,gearbox"')):
        with pytest.raises(AttributeError) as raised:
            getattr(mb, old)
        assert new in str(raised.value) and "**values" in str(raised.value)
        assert old not in dir(mb)


# --- what the README shows ------------------------------------------------------------------------------------------

README = (ROOT / "README.md").read_text(encoding="utf-8")
TYPED = [
    re.split(r" {2,}", line)[0].removeprefix("python3 -m mechbench ")
    for line in README.splitlines()
    if re.match("python3 -m mechbench (size|convert) ", line)
]
BLOCK = README.partition("## In a notebook")[2].split("```")[1]
LINES = [re.split(r" {2,}", line)[0] for line in BLOCK.splitlines() if line.strip()]


def test_the_readme_shows_the_calls():
    calls = ("size", "find", "sweep", "most", "against", "inputs", "bench")
    assert [name for name in calls if f"mb.{name}(" not in BLOCK] == [] and len(LINES) >= len(calls)


@pytest.mark.parametrize("line", LINES[2:])
def test_a_line_of_the_readme_runs_and_shows_something(line):
    scope = {}
    exec("\n".join(LINES[:2]), scope)
    try:
        shown = eval(line, scope)
    except ModuleNotFoundError as missing:
        pytest.skip(f"{missing.name} is not there")
    assert repr(shown) and (hasattr(shown, "_repr_html_") or hasattr(shown, "_repr_mimebundle_"))


def test_the_readme_shows_what_can_be_asked():
    wanted = ("--find", "--most", "--against", "--ask", "--first", "convert", "battery=", "fuse=")
    assert [word for word in wanted if not any(word in line for line in TYPED)] == []


@pytest.mark.parametrize("line", TYPED)
def test_a_command_of_the_readme_is_answered(line):
    first, *words = shlex.split(line)
    said = ask(words, of={"size": size_command, "convert": convert_units}[first])
    assert said.code in (0, 1) and said.out.strip() and said.err == ""


# --- pictures -------------------------------------------------------------------------------------------------------


def test_pictures_go_with_the_page_and_say_what_they_show():
    swept = mb.sweep("arm", payload="0.2..0.8 kg", steps=3)
    several = (
        mb.against("arm", payload=payloads) for payloads in (["0.3 kg", "0.5 kg"], ["0.3 kg", "0.5 kg", "0.6 kg"])
    )
    pages = [swept.outputs()[0]["text/html"], *(one._repr_mimebundle_()["text/html"] for one in several)]
    for page in pages:
        pictures = re.findall(r"<img[^>]*>", page)
        assert [re.search(r'class="mb-paper-(\w+)"', one)[1] for one in pictures] == ["light", "dark"]
        assert ["display: none" in one for one in pictures] == [False, True], "without a style one is seen"
        for theme, picture in zip(LOOKS, pictures):
            drawn = Image.open(io.BytesIO(b64decode(re.search(r"base64,([^\"]*)", picture)[1]))).convert("RGB")
            paper = tuple(round(255 * part) for part in to_rgb(LOOKS[theme].paper))
            assert drawn.getpixel((1, 1)) == drawn.getpixel((1, drawn.height - 2)) == paper
            assert len(re.search(r'alt="([^"]*)"', picture)[1]) > 40
    assert "Works, on a bad day too" in pages[0] and swept.input.label in pages[0]


# --- what is not met ------------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    "shown",
    [
        lambda: mb.size("arm", payload="2 kg"),
        lambda: mb.find("arm", "motor,gearbox", payload="6 kg"),
        lambda: mb.most("arm", "payload"),
    ],
)
def test_what_is_not_met_has_one_mark_on_a_page_and_one_in_letters(shown):
    one = shown()
    page, letters = one._repr_html_(), one._repr_mimebundle_()["text/plain"] if hasattr(one, "edge") else str(one)
    cells = re.findall("<td[^>]*>(.*?)</td>", page)
    assert any(cell.endswith("✘") for cell in cells) and not [cell for cell in cells if cell.rstrip().endswith("!")]
    assert page.count("✘ = not met") == 1 and letters.count("! = not met") == 1


def test_the_columns_of_a_search_say_their_day(found):
    label = sizing_of("arm").finding("time").label
    assert f"{label}, good day</th>" in found._repr_html_().replace(NB, " ")
    assert f"Shown for a good day: time ({label})" in " ".join(repr(found).split())


def test_what_never_comes_reads_well_beside_what_does():
    two = mb.against("arm", payload=["6 kg", "0.5 kg"])
    assert "instead of never (" in " ".join(repr(two).split()) and "not never" not in repr(two)


# --- a whole line of the command in one text ------------------------------------------------------------------------


@pytest.mark.parametrize(
    "call, says",
    [
        (lambda: mb.size("arm length=45cm"), 'mb.size("arm", length="45cm")'),
        (lambda: mb.size("swinging arm"), 'mb.size("arm")'),
        (lambda: mb.size("arm length=45cm max payload"), 'mb.most("arm", "payload", length="45cm")'),
        (lambda: mb.size("arm slim vs stout"), 'mb.against("arm", motor=["slim", "stout"])'),
        (lambda: mb.find("arm payload=0.5kg", "motor"), 'mb.find("arm", "motor,gearbox", payload="0.5kg")'),
        (lambda: mb.size("arm blorp 2 kg"), 'mb.size("arm", payload="2kg")'),
    ],
)
def test_a_line_in_one_text_leads_to_a_call_that_works(call, says):
    with pytest.raises(ValueError) as wrong:
        call()
    assert says in str(wrong.value) and "\n" not in str(wrong.value)
    eval(says, {"mb": mb})
