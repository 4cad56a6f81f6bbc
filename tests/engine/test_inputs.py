"""Inputs are read, completed and refused; tables are looked up by name."""

import numpy as np
import pytest

from mechbench.catalog import sizing_of
from mechbench.engine.inputs import Tables, complete, supplies
from mechbench.engine.spec import Sizing
from mechbench.kits import Table
from mechbench.kits import kit as kit_in_force
from mechbench.kits.load import own_kit
from tests.engine.toys import BOARDS, Shelf, toy_kit

TABLES = Tables(Shelf, toy_kit())


def test_what_is_not_given_has_its_default():
    usual = {"load": 10.0, "sag_allowed": 0.1, "board": "middle", "count": "1"}
    assert complete(Shelf, {}, TABLES) == pytest.approx(usual)
    assert complete(Shelf, {"load": None, "board": None}, TABLES) == pytest.approx(usual)


def test_what_is_given_is_read_in_the_order_of_the_sizing():
    whole = complete(Shelf, {"count": "2", "sag_allowed": "5 cm", "load": 20}, TABLES)
    assert list(whole) == ["load", "sag_allowed", "board", "count"]
    assert whole == {"load": 20.0, "sag_allowed": pytest.approx(0.05), "board": "middle", "count": "2"}


@pytest.mark.parametrize(
    "given, said",
    [
        ({"lod": 3}, "'lod' is not an input of shelf; did you mean 'load'?"),
        (
            {"load": 60},
            "load is 60 kg, but it must be from 1 kg to 50 kg (larger values exist, but are not calculated here);"
            " choose a value in that range.",
        ),
        (
            {"load": float("nan")},
            "load is 'nan', but it must be one number from 1 kg to 50 kg; choose a value in that range.",
        ),
        (
            {"load": [5, 6]},
            "load is '[5, 6]', but it must be one number from 1 kg to 50 kg; choose a value in that range.",
        ),
        ({"load": True}, "load is 'True', but it must be one number from 1 kg to 50 kg; choose a value in that range."),
        ({"board": ["thin"]}, "board is '['thin']', which the kit does not have; did you mean 'thin'?"),
        ({"count": 7}, "count is '7', which the kit does not have; choose from 1, 2, 3, 4."),
        ({"count": True}, "count is 'True', which the kit does not have; choose from 1, 2, 3, 4."),
        ({"board": "thinn"}, "board is 'thinn', which the kit does not have; did you mean 'thin'?"),
        ({"count": "7"}, "count is '7', which the kit does not have; choose from 1, 2, 3, 4."),
    ],
)
def test_bad_input_is_one_sentence(given, said):
    with pytest.raises(ValueError) as refused:
        complete(Shelf, given, TABLES)
    assert str(refused.value) == said


@pytest.mark.parametrize("two", [2, np.int64(2), "2"])
def test_a_part_whose_name_is_a_number_may_be_given_as_a_number(two):
    assert complete(Shelf, {"count": two}, TABLES)["count"] == "2"


def test_counts_are_the_same_whatever_the_kit():
    assert TABLES("counts").names == ("1", "2", "3", "4") and TABLES("counts").columns["number"].tolist() == [
        1,
        2,
        3,
        4,
    ]
    assert TABLES("boards") is BOARDS


def test_a_table_that_the_sizing_makes_is_made_once_for_a_kit():
    """It goes before the kit's own of that name; it is made again only for another kit."""
    made = []

    def boards(kit):
        made.append(kit)
        return Table("boards", ("single",), "single", {}, {"number": np.array([1.0])})

    class Made(Sizing):
        TABLES = {"boards": boards}

    first, second = toy_kit("first"), toy_kit("second")
    tables = Tables(Made, first)
    assert tables("boards").names == ("single",) and tables("boards") is tables("boards")
    assert Tables(Made, first)("boards") is tables("boards") is not Tables(Made, second)("boards")
    assert made == [first, second] and tables("plain") is first.table("plain")


def test_a_part_may_be_given_by_its_figures_for_these_tables_alone():
    """And what is not given stays what the sizing opens with: an own part is nobody's default."""
    sizing = sizing_of("drivetrain")
    tables = Tables(sizing, own_kit())
    usual = complete(sizing, {}, tables)
    whole = complete(sizing, {"wheel": "92 mm", "gearbox": 20}, tables)
    assert whole == usual | {"wheel": "92mm", "gearbox": "20:1"}
    assert tables("drive_wheels").row("92mm")["diameter"] == pytest.approx(0.092)
    assert tables("gearboxes").row("20:1")["ratio"] == 20.0 and "20:1" not in own_kit().table("gearboxes").names
    assert tables.said == [
        "gearbox 20 : 1: stages, losses, strength and mass as planetary_21.",
        "wheel 92 mm across: mass, width and kind as traction_80.",
    ]
    assert set(tables.own_of(whole)) == {"wheel", "gearbox"} and tables.own_of(usual) == {}
    assert "92mm" not in tables.plain("drive_wheels").names and tables.plain.plain.kit is own_kit()
    assert tables.add("wheel", "92mm") == "92mm" and len(tables.said) == 2


def test_an_own_gearmotor_brings_its_gears_and_refuses_others():
    sizing = sizing_of("arm")
    whole = complete(sizing, {"motor": "275rpm,2.6N·m"}, Tables(sizing, own_kit()))
    assert whole["motor"] == whole["gearbox"] == "275rpm,2.6Nm"
    with pytest.raises(ValueError, match="gears of its own, so gearbox=planetary_16 can't.* write bare,6000"):
        complete(sizing, {"motor": "275rpm,2.6N·m", "gearbox": "planetary_16"}, Tables(sizing, own_kit()))
    bare = complete(sizing, {"motor": "bare 6000rpm,0.2N·m", "gearbox": "planetary_16"}, Tables(sizing, own_kit()))
    assert (bare["motor"], bare["gearbox"]) == ("bare,6000rpm,0.2Nm", "planetary_16")


def test_battery_and_fuse_are_taken_where_sums_use_them():
    sizing = sizing_of("lift")
    tables = Tables(sizing, own_kit())
    assert [one.name for one in supplies(sizing)] == ["battery", "fuse"]
    whole = complete(sizing, {"battery": "2.8 A·h", "fuse": "20 A"}, tables)
    assert whole == complete(sizing, {}, Tables(sizing, own_kit())) and tables.kit.battery.capacity == 2.8 * 3600
    assert (
        tables.kit.fuse.rating == 20.0
        and own_kit().fuse.rating == 15.0
        and set(tables.own_of(whole))
        == {
            "battery",
            "fuse",
        }
    )
    complete(sizing, {"battery": "2 A·h"}, tables)
    assert tables.kit.battery.capacity == 2 * 3600 and len(tables.said) == 2, "the last one counts"
    gripper = sizing_of("gripper")
    assert supplies(gripper) == ()
    with pytest.raises(
        ValueError, match=r"^battery is given, but no sum of gripper needs the battery; leave it out\.$"
    ):
        complete(gripper, {"battery": "2.8 A·h"}, Tables(gripper, own_kit()))


def test_of_what_has_no_figures_none_are_taken():
    sizing = sizing_of("lift")
    with pytest.raises(
        ValueError, match=r"^rigging is '3 mm', but nothing of it can be given by figures; name a part\.$"
    ):
        Tables(sizing, own_kit()).add("rigging", "3 mm")
    with pytest.raises(ValueError, match="count is '7', which the kit does not have"):
        complete(sizing, {"count": "7"}, Tables(sizing, own_kit()))


def test_an_own_motor_widens_the_range_of_its_load():
    sizing = sizing_of("motor")
    own = {"load_torque": "2 N·m", "motor": "275rpm,2.6N·m"}
    assert complete(sizing, own, Tables(sizing, own_kit()))["load_torque"] == 2.0
    with pytest.raises(ValueError, match="load_torque is 2 N·m, but it must be from 0 N·m to 0.5 N·m"):
        complete(sizing, {"load_torque": "2 N·m"}, Tables(sizing, own_kit()))


def test_without_a_kit_it_is_the_one_in_force():
    assert Tables(Shelf).kit is kit_in_force() and Tables(Shelf, toy_kit()).kit.digest == "toy"
