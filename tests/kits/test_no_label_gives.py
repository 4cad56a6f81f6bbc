"""What no label gives of batteries, gears, rollers, slides, cords and spools: what stands in, and what is said.

The rules are common practice, no source, but for the strength of teeth; each is checked by a sum made apart.
"""

import math

import pytest

from mechbench.catalog import NAMES, sizing_of
from mechbench.engine import assumed_text
from mechbench.engine.inputs import Tables
from mechbench.engine.judge import judge
from mechbench.kits import read_kit
from mechbench.kits.load import OWN_FOLDER
from mechbench.mechanisms.intake.sizing import gripping_rollers
from mechbench.mechanisms.pair.sizing import pairs
from mechbench.mechanisms.powertrain import last_stages

GAME = (OWN_FOLDER / "game.toml").read_text(encoding="utf-8")
PACK = '[battery]\nlabel = "pack"\nnominal = "20 V"\ncapacity = "4 A·h"\nopen_circuit = "{}"\nmass = "0.5 kg"\n'
LABELS = """
[spur_gears.plain]
label = "plain gear"
module = "0.8 mm"
face = "5 mm"
teeth = [20, 40]
[bevel_gears.bevel]
label = "bevel"
ratio = 2
small_diameter = "20 mm"
allowed = "1 N·m"
mass = "40 g"
[pulleys.belt]
label = "pulley"
pitch = "3 mm"
width = "9 mm"
teeth = [20, 30]
working_load = "80 N"
[sprockets.chain]
label = "sprocket"
pitch = "9 mm"
teeth = [10, 20]
working_load = "400 N"
[rollers.tube]
label = "tube"
diameter = "40 mm"
length = "100 mm"
[slides.rail]
label = "rail"
stage_length = "300 mm"
stage_travel = "220 mm"
stage_mass = "0.21 kg"
most = 3
[cords.string]
label = "string"
diameter = "2 mm"
breaking_strength = "900 N"
[spools.drum]
label = "drum"
diameter = "30 mm"
width = "12 mm"
"""


@pytest.fixture
def kit_of(tmp_path):
    def made(parts):
        (tmp_path / "game.toml").write_text(GAME, encoding="utf-8")
        (tmp_path / "parts.toml").write_text(parts, encoding="utf-8")
        return read_kit(tmp_path)

    return made


@pytest.fixture
def bare(kit_of):
    return kit_of(LABELS + PACK.format("22 V"))


def test_a_battery_falls_as_far_below_the_voltage_in_its_name_as_it_is_above_it_when_full(bare):
    assert bare.battery.open_circuit_empty == pytest.approx(18.0)


@pytest.mark.parametrize(("full", "empty"), [("20 V", 19.0), ("20.5 V", 19.0), ("24 V", 16.0), ("27 V", 16.0)])
def test_it_falls_by_a_twentieth_at_least_and_a_fifth_at_most(kit_of, full, empty):
    assert kit_of(PACK.format(full)).battery.open_circuit_empty == pytest.approx(empty)


def test_no_battery_gives_more_empty_than_full(kit_of):
    assert kit_of(PACK.format("18.5 V")).battery.open_circuit_empty == pytest.approx(18.5)


def test_a_current_that_empties_a_battery_in_an_hour_takes_3_per_cent_of_its_voltage(bare):
    """4 A for an hour, 0.6 V of 20 V; old: twice that."""
    assert 4.0 * bare.battery.resistance == pytest.approx(0.6)
    assert bare.battery.resistance_worn == pytest.approx(0.3)


def test_a_battery_that_was_assumed_is_told(bare, kit_of):
    told = [note for note in bare.notes if "[battery]" in note and "no label" in note]
    assert len(told) == 1
    for part in ("open_circuit_empty", "18 V", "resistance", "0.15 ohm", "no label gives"):
        assert part in told[0], told
    given = 'open_circuit_empty = "18 V"\nresistance = "0.15 ohm"\n'
    assert not any("no label" in note for note in kit_of(PACK.format("22 V") + given).notes)


def test_teeth_bear_what_plastic_bears(bare):
    """Lewis, Y = 0.322 for 20 teeth (Shigley, Table 14-2, from memory): 30 MPa x 5 mm x 0.8 mm x 0.322 x 8 mm."""
    table = bare.table("spur_gears")
    torque = 30e6 * 0.005 * 0.0008 * 0.322 * 0.008
    assert table.row("plain_20")["allowed"] == pytest.approx(torque, rel=1e-3)
    assert table.row("plain_40")["allowed"] == pytest.approx(2 * torque, rel=1e-3)
    assert dict(table.assumed["plain_20"]) == {"allowed": (0.5, 5.0)}


def test_a_pair_of_gears_carries_the_band(bare):
    for table in (last_stages(bare), pairs(bare)):
        assert dict(table.assumed["plain_20_to_40"]) == {"allowed": (0.5, 5.0)}
        assert set(table.assumed) == {"plain_20_to_40", "plain_40_to_20"}


def test_wheels_of_trains_by_hand(bare):
    """Aluminium 2700 kg/m3: a gear of 16 x 5 mm, a pulley of 60/pi x 9 mm. Steel 7850 kg/m3, 0.3 pitches thick: a
    sprocket of 180/pi mm across.
    """
    gear, pulley, sprocket = (
        bare.table(table).row(name)
        for table, name in (("spur_gears", "plain_20"), ("pulleys", "belt_20"), ("sprockets", "chain_20"))
    )
    assert gear["mass"] == pytest.approx(2700 * math.pi / 4 * 0.016**2 * 0.005)
    assert pulley["mass"] == pytest.approx(2700 * math.pi / 4 * (0.060 / math.pi) ** 2 * 0.009)
    assert sprocket["mass"] == pytest.approx(7850 * math.pi / 4 * (0.180 / math.pi) ** 2 * 0.0027)
    for table in ("spur_gears", "bevel_gears", "pulleys", "sprockets"):
        assert set(bare.table(table).columns["efficiency"]) == {0.92}, table
    plays = [bare.table(table).columns["play"][0] for table in ("spur_gears", "bevel_gears", "pulleys", "sprockets")]
    assert plays == pytest.approx([0.15e-3, 0.15e-3, 0.1e-3, 0.4e-3])


def test_a_roller_by_hand(bare):
    """A tube of 500 kg/m3 as if it were full; it grips as the jaws do."""
    row = bare.table("rollers").row("tube")
    assert row["mass"] == pytest.approx(500 * math.pi / 4 * 0.04**2 * 0.1)
    assert row["stiffness"] == pytest.approx(1500.0) and row["grip"] == bare.friction("jaw_on_piece")
    assert dict(bare.table("rollers").assumed["tube"]) == {"stiffness": (0.3, 3.0)}
    assert gripping_rollers(bare).assumed == bare.table("rollers").assumed


def test_slide_cord_and_spool_by_hand(bare):
    slide, cord, spool = bare.table("slides").row("rail"), bare.table("cords"), bare.table("spools").row("drum")
    assert slide["fewest"] == 1 and slide["drag"] == pytest.approx(3.0)
    assert dict(bare.table("slides").assumed["rail"]) == {"drag": (0.3, 3.0)}
    assert cord.row("string")["stretch_at_break"] == pytest.approx(0.1)
    assert cord.row("string")["knotted_strength"] == pytest.approx(450.0)
    assert dict(cord.assumed["string"]) == {"stretch_at_break": (0.3, 2.5)}
    assert spool["flange_diameter"] == pytest.approx(0.050)
    assert spool["mass"] == pytest.approx(600 * math.pi / 4 * 0.05**2 * 0.012)


@pytest.mark.parametrize("name", NAMES)
def test_every_sizing_works_with_such_a_kit(bare, name):
    report = judge(sizing_of(name), {}, bare)
    assert not any(math.isnan(value) for values in (report.good, report.bad) for value in values.values())


@pytest.mark.parametrize(
    ("name", "told"),
    [
        ("winch", "cord stretch of string, 0.3 to 2.5 times 10 %"),
        ("intake", "roller stiffness of tube, 0.3 to 3 times 1.5 N/mm"),
        ("lift", "stage drag of rail, 0.3 to 3 times 3 N"),
        ("pair", "gear strength of plain gear 20:40, 0.5 to 5 times 0.618 N·m"),  # on the wheel of 40: twice 0.309
    ],
)
def test_a_report_tells_what_was_assumed(bare, name, told):
    sizing = sizing_of(name)
    report = judge(sizing, {"last_stage": "plain_20_to_40"} if name == "pair" else {}, bare)
    assert told in assumed_text.assumed_lines(report, Tables(sizing, bare))
