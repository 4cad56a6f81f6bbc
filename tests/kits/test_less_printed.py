"""A kit whose motors print four numbers: what is filled in, its bands, and that nothing else is invented."""

import math

import numpy as np
import pytest

from mechbench.catalog import NAMES, sizing_of
from mechbench.engine.judge import judge
from mechbench.kits import KitError, read_kit
from mechbench.kits.load import OWN_FOLDER
from mechbench.mechanisms.shaft_drives import shaft_drives
from tests.kits import four_numbers


@pytest.fixture(scope="module")
def bare(tmp_path_factory):
    return read_kit(four_numbers.folder(tmp_path_factory.mktemp("bare") / "kit"))


def test_a_kit_that_prints_everything_assumes_nothing():
    kit = read_kit(four_numbers.BY_HAND)
    for name in kit.tables():
        assert not kit.table(name).assumed
        assert not any(np.any(np.isnan(column)) for column in kit.table(name).columns.values())
    assert not shaft_drives(kit).assumed


def test_of_the_courses_own_kit_only_the_gearmotor_prints_less():
    """Its label prints five figures; every other part is whole."""
    kit = read_kit(OWN_FOLDER)
    less = {name for name in kit.table("motors").names if name in kit.table("gearboxes").names}
    assert len(less) == 1
    for name in kit.tables():
        table = kit.table(name)
        assert set(table.assumed) == less.intersection(table.names), name
        whole = [row for row, part in enumerate(table.names) if part not in less]
        assert not any(np.any(np.isnan(column[whole])) for column in table.columns.values()), name
    row = kit.table("motors").row(*less)
    assert math.isnan(row["counts_per_turn"]) and math.isnan(row["shaft_diameter"])
    assert set(kit.table("motors").assumed[next(iter(less))]) == set(four_numbers.ASSUMED["motors"])


def test_motor_by_hand(bare):
    """brisk: 14 V, 5431 rpm, 0.187 N·m, 8 A."""
    row, bands = bare.table("motors").row("brisk"), bare.table("motors").assumed["brisk"]
    speed = 5431 * math.pi / 30
    assert row["size"] == 0.0 and row["free_current"] == pytest.approx(0.04 * 8.0)
    constant = 0.187 / (8.0 - 0.32)
    assert row["rotor_inertia"] == pytest.approx(0.020 * constant**2 / (14 / 8))
    mass = 0.0095 * 0.187 * speed / 4
    assert row["mass"] == pytest.approx(mass)
    assert row["heat_capacity"] == pytest.approx(75 * mass)
    assert row["thermal_resistance"] == pytest.approx(12 * (0.28 / mass) ** (2 / 3))
    assert row["max_rise"] == 80.0 and row["copper_coefficient"] == pytest.approx(0.0039)
    assert bands == {
        "rotor_inertia": (0.3, 2.5),
        "mass": (0.6, 1.6),
        "heat_capacity": (0.4, 1.6),
        "thermal_resistance": (0.4, 1.6),
    }


def test_what_no_rule_tells_is_not_invented(bare):
    row = bare.table("motors").row("brisk")
    assert math.isnan(row["counts_per_turn"]) and math.isnan(row["shaft_diameter"])


def test_heat_follows_a_mass_that_is_printed(tmp_path):
    kit = read_kit(four_numbers.folder(tmp_path / "kit", {("motors", "brisk"): {"mass": 0.5}}))
    row, bands = kit.table("motors").row("brisk"), kit.table("motors").assumed["brisk"]
    assert row["heat_capacity"] == pytest.approx(37.5) and "mass" not in bands and "heat_capacity" in bands


def test_gearbox_bears_the_strongest_motor_of_its_frame_or_only_the_weakest(tmp_path):
    large = {("motors", "stout"): {"frame": "large"}}
    kit = read_kit(four_numbers.folder(tmp_path / "kit", large))
    row = kit.table("gearboxes").row("turn_25")
    assert row["allowed_small"] == pytest.approx(0.187 * 25 * 0.92**2)
    assert row["allowed_large"] == pytest.approx(0.725 * 25 * 0.92**2)
    bands = kit.table("gearboxes").assumed["turn_25"]
    assert bands["allowed_small"] == pytest.approx((0.4 * 0.0408 / 0.187, 1.0))
    assert bands["allowed_large"] == pytest.approx((0.4, 1.0))


def test_without_a_motor_of_that_frame_it_bears_the_strongest_of_all(bare):
    row = bare.table("gearboxes").row("turn_25")
    assert row["allowed_large"] == row["allowed_small"] == pytest.approx(0.725 * 25 * 0.92**2)


def test_a_drive_carries_the_bands_of_its_motor_and_gearbox(bare):
    drives, motors, boxes = shaft_drives(bare), bare.table("motors"), bare.table("gearboxes")
    bands = drives.assumed["brisk_turn_25"]
    assert bands["rotor_inertia"] == pytest.approx((0.3, 2.5))
    assert bands["allowed"] == pytest.approx((0.4 * 0.0408 / 0.725, 1.0))
    own, gears = motors.row("brisk")["mass"], boxes.row("turn_25")["mass"]
    assert bands["mass"] == pytest.approx(((0.6 * own + gears) / (own + gears), (1.6 * own + gears) / (own + gears)))
    assert bands["holding"][0] < 1 < bands["holding"][1]
    assert not any(name in drives.assumed for name in bare.table("servos").names)


@pytest.mark.parametrize("share", [0.4, 1.6])
def test_what_a_drive_holds_at_an_end_is_what_a_printed_end_gives(bare, tmp_path, share):
    printed = {
        ("motors", "brisk"): {"thermal_resistance": share * bare.table("motors").row("brisk")["thermal_resistance"]}
    }
    kit = read_kit(four_numbers.folder(tmp_path / "kit", printed))
    low, high = shaft_drives(bare).assumed["brisk_turn_25"]["holding"]
    held = shaft_drives(bare).row("brisk_turn_25")["holding"] * (high if share < 1 else low)
    assert shaft_drives(kit).row("brisk_turn_25")["holding"] == pytest.approx(held)
    assert "holding" not in shaft_drives(kit).assumed["brisk_turn_25"]


def test_digest_tells_what_is_printed_from_what_is_assumed(bare, tmp_path):
    number = bare.table("motors").row("brisk")["rotor_inertia"]
    kit = read_kit(four_numbers.folder(tmp_path / "kit", {("motors", "brisk"): {"rotor_inertia": number}}))
    assert kit.table("motors").row("brisk") == pytest.approx(bare.table("motors").row("brisk"), nan_ok=True)
    assert kit.digest != bare.digest


def test_a_label_that_contradicts_itself_is_refused(tmp_path):
    with pytest.raises(KitError, match="stall_torque is 52 % above"):
        read_kit(four_numbers.folder(tmp_path / "kit", {("motors", "brisk"): {"stall_torque": "0.3 N·m"}}))


@pytest.mark.parametrize("key", four_numbers.FOUR)
def test_the_four_numbers_must_be_there(tmp_path, key):
    folder = four_numbers.folder(tmp_path / "kit")
    path = folder / "parts.toml"
    lines = path.read_text(encoding="utf-8").splitlines()
    first = lines.index("[motors.brisk]")
    gone = next(i for i in range(first, len(lines)) if lines[i].startswith(f"{key} ="))
    path.write_text("\n".join(lines[:gone] + lines[gone + 1 :]), encoding="utf-8")
    with pytest.raises(KitError, match=rf"motors.brisk.* has no {key}"):
        read_kit(folder)


@pytest.mark.parametrize("name", NAMES)
def test_every_sizing_runs(bare, name):
    report = judge(sizing_of(name), {}, bare)
    assert not any(math.isnan(value) for values in (report.good, report.bad) for value in values.values())


def test_a_stronger_motor_never_makes_a_gearbox_weaker(bare, tmp_path):
    strong = {("motors", "stout"): {"stall_torque": "0.73 N·m"}}
    kit = read_kit(four_numbers.folder(tmp_path / "kit", strong))
    before, after = (one.table("gearboxes").columns["allowed_small"] for one in (bare, kit))
    assert np.all(after > before)


def test_a_gearbox_needs_no_more_than_its_stages_and_efficiency(tmp_path):
    """20 times the allowed torque as sideways pull, 15 mm out, 3 degrees, 40 g a stage: common practice, no source."""
    (tmp_path / "game.toml").write_text(
        '[game]\nlabel = "G"\n[phases.driven]\nkind = "driven"\ntime = "120 s"\n[closing.end]\nlabel = "end"\n'
        'kind = "zone"\npoints = 2\nway = "1 m"\n',
        encoding="utf-8",
    )
    (tmp_path / "parts.toml").write_text(
        '[gearboxes.two]\nlabel = "two stages"\nstages = [3.6, 5]\nefficiency_per_stage = 0.9\n'
        'allowed_small = "7 N·m"\n',
        encoding="utf-8",
    )
    box = read_kit(tmp_path).table("gearboxes").row("two")
    assert box["overhung_load"] == pytest.approx(20 * 7) and box["overhung_moment"] == pytest.approx(20 * 7 * 0.015)
    assert box["backlash"] == pytest.approx(math.radians(3)) and box["mass"] == pytest.approx(2 * 0.04)
