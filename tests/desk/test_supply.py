"""Another battery or fuse in a call: taken by every one that takes inputs, told by it, and compared side by side."""

import json

import numpy as np
import pytest

import mechbench as mb
from mechbench.catalog import judge
from tests.desk.asked import ask, is_one_sentence

PACK = "2.8 A·h"


def test_an_answer_names_its_battery():
    sized = mb.size("arm", battery=PACK)
    assert sized.values["battery"] == "2.8Ah" and sized.to_dict()["inputs"]["battery"]["given"] == "2.8Ah"
    assert mb.size("arm", **sized.values).report.good == sized.report.good
    assert str(sized).count("in proportion to the kit's") == 1
    assert sized._repr_html_().count("in proportion to the kit") == 1
    assert "battery" not in mb.size("arm").values and "battery" not in mb.size("arm").to_dict()["inputs"]


@pytest.mark.parametrize(
    "call",
    [
        lambda: mb.find("arm", "motor,gearbox", battery=PACK),
        lambda: mb.sweep("arm", payload="0.2..0.8 kg", battery=PACK),
        lambda: mb.against("arm", payload=["0.3 kg", "0.5 kg"], battery=PACK),
    ],
)
def test_other_answers_tell_it_too(call):
    shown = call()
    for told in (repr(shown), shown._repr_html_()):
        assert "battery 2.8 A·h" in " ".join(told.replace("\u00a0", " ").split())


def test_the_most_is_that_with_this_battery():
    most = mb.most("drivetrain", "distance", battery=PACK)
    assert "battery 2.8 A·h" in most._repr_html_().replace("\u00a0", " ")


def test_batteries_side_by_side_are_those_sized_alone():
    found = mb.against("arm", battery=[PACK, "4 A·h"])
    alone = [judge("arm", {"battery": pack}) for pack in (PACK, "4 A·h")]
    assert found["volts"] == pytest.approx(np.array([report.good["volts"] for report in alone]), rel=1e-12)
    assert found["volts"][0] < found["volts"][1], "a smaller battery of the same make has more resistance"
    assert found.to_dict()["differ"] == ["battery"]
    assert "2.8Ah" in repr(found) and "4Ah" in repr(found) and "have not the same figures" not in repr(found)
    assert "4Ah" in found._repr_html_()
    said = ask("arm --against battery=2.8Ah,4Ah")
    assert said.code == 0 and "battery" in said.out and "4Ah" in said.out


def test_a_battery_goes_with_another_own_part_side_by_side():
    found = mb.against("drivetrain", wheel="92 mm", battery=[PACK, "4 A·h"], gearbox=["16:1", "20:1"])
    alone = [
        judge("drivetrain", {"wheel": "92 mm", "battery": pack, "gearbox": gears})
        for pack, gears in ((PACK, "16:1"), ("4 A·h", "20:1"))
    ]
    assert found["top_speed"] == pytest.approx(np.array([report.good["top_speed"] for report in alone]), rel=1e-12)


@pytest.mark.parametrize(
    "call, line",
    [
        (lambda: mb.sweep("arm", battery=[PACK, "4 A·h"]), "arm --sweep battery=2.8Ah,4Ah"),
        (lambda: mb.most("arm", "battery"), "arm --most battery"),
        (lambda: mb.find("arm", "battery"), "arm --find battery"),
        (lambda: mb.find("arm", battery=[PACK, "4 A·h"]), "arm --find motor,battery"),
    ],
)
def test_what_takes_one_battery_leads_to_what_takes_several(call, line):
    with pytest.raises(ValueError) as refused:
        call()
    said = str(refused.value)
    assert 'mb.against("arm", battery=["2.8Ah", "5.6Ah"])' in said and "\n" not in said
    mb.against("arm", battery=["2.8Ah", "5.6Ah"])
    at_command = ask(line)
    assert (
        at_command.code == 2 and is_one_sentence(at_command.err) and "--against battery=2.8Ah,5.6Ah" in at_command.err
    )
    assert ask("arm --against battery=2.8Ah,5.6Ah").code == 0


def test_a_question_of_the_pit_takes_a_battery():
    usual, small = (mb.pit("why does it reset", **given) for given in ({}, {"battery": PACK}))
    lowest = lambda page: page.answer.parts[0].design.report.bad["volts"]
    assert lowest(small) < lowest(usual)
    assert small.bench.report.bad["volts"] == pytest.approx(lowest(small))
    assert 'battery="2.8Ah"' in repr(small)
    assert "battery=2.8Ah" in ask("--ask reset battery=2.8Ah").out


def test_inputs_lists_it():
    shown = mb.inputs("arm")
    assert "battery" in repr(shown) and "2.8Ah" in repr(shown) and "battery" in shown._repr_html_()
    assert "fuse " not in repr(shown), "no sum of an arm needs the fuse"
    assert json.dumps(mb.size("arm").to_dict())
