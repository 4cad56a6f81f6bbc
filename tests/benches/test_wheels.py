"""Two wheels on a bench: three lists for one value, in every kit and for any table of pairs."""

from pathlib import Path

import pytest

import mechbench as mb
from mechbench.benches.input_control import DRIVEN, DRIVER, OWN, OWN_LABEL, Choice, Wheels
from mechbench.engine.spec import CHOICE, Finding, Pick, Sizing
from mechbench.kits import read_kit
from mechbench.kits.load import own_kit
from tests.kits.test_two_wheels import table_of

KITS = {name: Path(__file__).parents[1] / "kits" / name for name in ("second_kit", "flat", "bare")}


def texts(choices):
    return [label for label, _ in choices.options]


def choose(choices, text):
    choices.value = dict(choices.options)[text]


def seen(control):
    """What the three lists show; None where there is nothing to choose."""
    teeth = [None if one.layout.display == "none" else one.label for one in control.teeth.values()]
    return (control.list.label, *teeth)


def test_three_lists_stand_for_one_value():
    bench = mb.bench("arm", last_stage="steel_18_to_56")
    control = bench._controls["last_stage"]
    assert isinstance(control, Wheels) and seen(control) == ("steel gear", "18", "56")
    assert texts(control.list) == [
        "no last stage",
        "nylon gear",
        "bronze gear",
        "steel gear",
        "timing pulley",
        "sprocket",
        OWN_LABEL,
    ]
    # weavers_yard/parts.toml: gears of 18, 22, 28, 34, 44, 56, 70 and 88 teeth
    assert texts(control.teeth[DRIVER]) == ["18", "22", "28", "34", "44", "56", "70", "88"]
    assert texts(control.teeth[DRIVEN]) == ["22", "28", "34", "44", "56", "70", "88"], "none drives one of its own size"
    picture, before = bench._images["light"].value, dict(bench.values)
    choose(control.teeth[DRIVEN], "88")
    assert bench.values == before | {"last_stage": "steel_18_to_88"} and bench._images["light"].value != picture
    assert bench.number("last_stage") == "steel gear 18:88"
    choose(control.teeth[DRIVER], "44")
    assert bench.values["last_stage"] == "steel_44_to_88"


def test_labels_tell_which_list_it_is():
    control = mb.bench("arm")._controls["last_stage"]
    said = [control.list.description, *(one.description for one in control.teeth.values())]
    assert said == ["Last stage: kind", "Last stage: driver teeth", "Last stage: driven teeth"]
    assert all(one.tooltip for one in (control.list, *control.teeth.values()))


def test_a_new_kind_takes_the_pair_nearest_in_ratio():
    """Sprockets have 9, 12, 15, 18, 22, 28 and 34 teeth. Of all their pairs 9:28, 3.11, is nearest to 18:56, 3.11."""
    bench = mb.bench("arm", last_stage="steel_18_to_56")
    control = bench._controls["last_stage"]
    choose(control.list, "sprocket")
    assert seen(control) == ("sprocket", "9", "28") and bench.values["last_stage"] == "chain_9_to_28"
    choose(control.list, "no last stage")
    assert seen(control) == ("no last stage", None, None) and bench.values["last_stage"] == "none"
    bench.set(last_stage="nylon gear 22:70")
    assert seen(control) == ("nylon gear", "22", "70")
    choose(control.list, "bronze gear")
    assert bench.values["last_stage"] == "bronze_22_to_70"


def test_a_driver_that_the_driven_wheel_does_not_go_with_takes_the_nearest():
    """22 teeth behind 22 is no pair; beside 18:22, 1.22, of 22:18, 0.82, and 22:28, 1.27, the second is nearer."""
    bench = mb.bench("arm", last_stage="nylon_18_to_22")
    choose(bench._controls["last_stage"].teeth[DRIVER], "22")
    assert bench.values["last_stage"] == "nylon_22_to_28"


def test_own_wheels_by_their_figures_stand_in_the_list_of_kinds():
    bench = mb.bench("arm", last_stage="steel_18_to_56")
    control = bench._controls["last_stage"]
    control.list.value = OWN
    assert control.waits and control.box.layout.display is None and bench.values["last_stage"] == "steel_18_to_56"
    control.box.value = "chain 16:32"
    assert seen(control) == ("own chain 16:32", None, None) and control.box.value == "chain,16:32"
    assert bench.tables("last_stages").row(bench.values["last_stage"])["ratio"] == 2
    choose(control.list, "nylon gear")  # 22:44 and 28:56 and 44:88 are 2, too; the first of equals
    assert bench.values["last_stage"] == "nylon_22_to_44" and control.box.layout.display == "none"
    control.list.value = OWN
    bench._controls["payload"].slider.value = 0.5
    assert seen(control) == ("nylon gear", "22", "44"), "nothing was typed, so the lists go back"


@pytest.mark.parametrize("name", ["own", *KITS])
def test_every_kit(name):
    """Each kind of each kit, and in each the first and the last driver with all that they drive."""
    bench = mb.bench("pair", kit=own_kit() if name == "own" else read_kit(KITS[name]))
    control, table = bench._controls["last_stage"], bench.tables("pairs")
    kinds = [one for one in texts(control.list) if one != OWN_LABEL]
    assert len(kinds) >= 2
    for kind in kinds:
        choose(control.list, kind)
        for driver in (texts(control.teeth[DRIVER])[i] for i in (0, -1)):
            choose(control.teeth[DRIVER], driver)
            for driven in texts(control.teeth[DRIVEN]):
                choose(control.teeth[DRIVEN], driven)
                row = table.row(bench.values["last_stage"])
                assert (f"{row['teeth_in']:.0f}", f"{row['teeth_out']:.0f}") == (driver, driven) == seen(control)[1:]
                assert bench.number("last_stage").startswith(kind.partition(" (")[0])


def test_any_table_of_pairs_has_three_lists_and_no_other_has():
    class Clock(Sizing):
        NAME, TITLE, QUESTION = "clock", "A clock", "How slow?"
        FIELDS = (Pick("wheels", "Wheels", "any", None, "", CHOICE), Pick("gearbox", "Box", "gearboxes", None, ""))
        FINDINGS = (Finding("slow", "ratio", "x", ""),)
        TABLES = {"any": lambda kit: table_of()}
        RANK = ("slow",)

        @staticmethod
        def solve(x):
            return {"slow": x.wheels.ratio}

    from mechbench.drawing.margins import MarginsPicture

    bench = mb.bench(Clock, picture=MarginsPicture)
    wheels, box = bench._controls["wheels"], bench._controls["gearbox"]
    assert isinstance(wheels, Wheels) and type(box) is Choice
    assert texts(wheels.list) == ["nothing between", "brass wheel", "oak wheel"], "no figures are taken of this table"
    choose(wheels.list, "brass wheel")
    assert bench.values["wheels"] == "b3" and bench.report.good["slow"] == pytest.approx(20 / 30)
    choose(wheels.teeth[DRIVER], "10")
    assert bench.values["wheels"] == "b1"
