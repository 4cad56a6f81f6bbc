"""Gearmotors in mechanisms: every sizing with a motor runs with them, the arm by hand, and what goes with what."""

import math

import numpy as np
import pytest

import mechbench as mb
from mechbench.benches.bench import Bench
from mechbench.catalog import NAMES, judge, search, sizing_of
from mechbench.engine.inputs import Tables, geared_inputs
from mechbench.engine.spec import Pick
from mechbench.kits import pairing
from mechbench.mechanisms.intake.sizing import roller_drives
from mechbench.mechanisms.shaft_drives import shaft_drives
from mechbench.whole_robot.build import build
from mechbench.whole_robot.part_first import changes_of
from tests.kits.gearmotor_kit import LABELS, PRINTED, gearmotor_kit
from tests.mechanisms.by_hand_swing import KIT, G, Motor, Swing, agrees

GEARMOTORS = "ox", "hare"
WARM = 'label = "ox gearmotor"\nmax_rise = "90 K"\ncopper_coefficient = "0.393 %/K"'


@pytest.fixture(scope="module")
def kit(tmp_path_factory):
    labels = LABELS.replace('label = "ox gearmotor"', WARM)
    return gearmotor_kit(tmp_path_factory.mktemp("gearmotors"), labels=labels)


def with_gearmotor(sizing, tables, name):
    """Inputs by which a sizing is turned by this gearmotor; none where it has no motor."""
    picked = [f for f in sizing.FIELDS if isinstance(f, Pick) and f.table != "gearboxes"]
    return {f.name: name for f in picked if name in tables(f.table).names}


def _by_a_motor(sizing):
    """Whether one of its inputs offers a motor of the kit, alone or with a gearbox."""
    tables, motors = Tables(sizing, KIT), KIT.table("motors").names
    offered = [name for f in sizing.FIELDS if isinstance(f, Pick) for name in f.options(tables)]
    return any(name.startswith(motors) for name in offered)


TURNED = [name for name in NAMES if _by_a_motor(sizing_of(name))]


@pytest.mark.parametrize("gearmotor", GEARMOTORS)
@pytest.mark.parametrize("name", TURNED)
def test_every_sizing_with_a_motor_runs_with_a_gearmotor(kit, name, gearmotor):
    sizing = sizing_of(name)
    values = with_gearmotor(sizing, Tables(sizing, kit), gearmotor)
    assert values, "a sizing that a motor turns can be turned by a gearmotor"
    report = judge(sizing, values, kit)
    for found in (report.good, report.bad, report.good_margin, report.bad_margin):
        assert not [key for key, value in found.items() if math.isnan(value)]
    inputs = geared_inputs(sizing)
    assert inputs is None or report.values[inputs[1]] == gearmotor


def test_most_sizings_are_turned_by_motors():
    assert len(TURNED) >= 10 and "arm" in TURNED and "intake" in TURNED


# --- the arm by hand --------------------------------------------------------------------------------------------------

OHMS = PRINTED["voltage"] / PRINTED["stall_current"]
FREE = PRINTED["free_current"]
FELT = (PRINTED["voltage"] - FREE * OHMS) / (PRINTED["output_rpm"] * 2 * math.pi / 60)
GIVEN = PRINTED["output_stall"] / (PRINTED["stall_current"] - FREE)
LOSSLESS = FELT * (PRINTED["stall_current"] - FREE)
# What the label does not print: 9.5 g for each watt at half the free speed, 75 J/K per kg, 12 K/W of 0.28 kg, 20 ms.
MASS = 0.0095 * LOSSLESS * PRINTED["output_rpm"] * 2 * math.pi / 60 / 4
OX = Motor(
    PRINTED["voltage"],
    PRINTED["output_rpm"],
    FREE,
    LOSSLESS,
    PRINTED["stall_current"],
    0.020 * FELT**2 / OHMS,
    75 * MASS,
    12 * (0.28 / MASS) ** (2 / 3),
    MASS,
)


class Arm(Swing):
    """A rod with a mass at its tip, turned by the output shaft of the gearmotor itself."""

    def __init__(self, payload, mass, length, start, end):
        super().__init__(OX, 1, 0, 1.0, start, end)
        self.moment, self.about_pivot = (payload + mass / 2) * length, (payload + mass / 3) * length**2
        self.efficiency = GIVEN / FELT
        # as stages that pass on 0.9 each
        self.driven = (2 - 1 / 0.9) ** (math.log(self.efficiency) / math.log(0.9))

    def weight(self, angle):
        return self.moment * G * math.cos(angle)

    def inertia(self, angle):
        return self.about_pivot

    def bend(self, angle):
        return 0.0


def test_an_arm_by_hand_from_the_label(kit):
    given = {"payload": 0.9, "arm_mass": 0.3, "length": 0.5, "start_angle": -0.4, "end_angle": 1.5, "motor": "ox"}
    report = judge(sizing_of("arm"), given, kit)
    arm = Arm(0.9, 0.3, 0.5, math.degrees(-0.4), math.degrees(1.5))
    worst = (0.9 + 0.15) * 0.5 * G
    hand = arm.findings(worst, worst, PRINTED["output_stall"]) | {
        "time": arm.seconds(),
        "droop": math.radians(3) * 0.5,  # play of the gears, where it is not printed
        "falls_with": (0.9 + 0.15) * G * 0.5 * (math.sin(1.5) + math.sin(0.4)),
    }
    assert hand["spare"] > 0 and hand["jam"] < 1 and 0 < hand["hot_after"]
    agrees(report, hand, loose=("time",), without=("stretch",))


# --- what goes with what ----------------------------------------------------------------------------------------------


def test_its_own_gears_are_taken_by_themselves_either_way(kit):
    arm = sizing_of("arm")
    assert judge(arm, {"motor": "hare"}, kit).values["gearbox"] == "hare"
    assert judge(arm, {"gearbox": "hare"}, kit).values["motor"] == "hare"
    usual = judge(arm, {}, kit).values
    assert judge(arm, {"motor": "stout"}, kit).values["gearbox"] == usual["gearbox"] != "hare"


WAYS_OUT = {
    ("hare", "turn_25"): "hare gearmotor has gears of its own, but the gearbox is 'turn_25'; choose 'hare' as gearbox "
    "too, or another motor.",
    ("hare", "ox"): "hare gearmotor has gears of its own, but the gearbox is 'ox'; choose 'hare' as gearbox too, or "
    "another motor.",
    (
        "brisk",
        "ox",
    ): "own gears of ox gearmotor are built into that gearmotor, but the motor is 'brisk'; choose 'ox' as "
    "motor too, or another gearbox.",
}


@pytest.mark.parametrize("motor, box", WAYS_OUT)
def test_a_wrong_pair_is_refused_with_the_way_out(kit, motor, box):
    with pytest.raises(ValueError) as caught:
        judge(sizing_of("train"), {"motor": motor, "gearbox": box}, kit)
    assert str(caught.value) == WAYS_OUT[motor, box]


def test_tables_of_pairs_hold_no_wrong_one(kit):
    table = shaft_drives(kit)
    plain = [name for name in kit.table("motors").names if name not in GEARMOTORS]
    boxes = [name for name in kit.table("gearboxes").names if name not in GEARMOTORS]
    servos = kit.table("servos").names
    assert table.names == (*servos, *(f"{motor}_{box}" for motor in plain for box in boxes), *GEARMOTORS)
    row, motor = table.row("hare"), kit.table("motors").row("hare")
    assert row["torque_constant"] == pytest.approx(19 * motor["torque_constant"]) and row["allowed"] == 1.4
    assert row["mass"] == pytest.approx(0.36) and table.labels["hare"] == "hare gearmotor"
    assert set(GEARMOTORS) < set(roller_drives(kit).names) and roller_drives(kit).usual in roller_drives(kit).names


def test_a_search_skips_wrong_pairs(kit):
    ranking = search(sizing_of("train"), {}, {"motor": None, "gearbox": None}, kit)
    plain = len(kit.table("motors")) - 2, len(kit.table("gearboxes")) - 2
    assert ranking.tried == plain[0] * plain[1] + 2
    motors, boxes = kit.table("motors"), kit.table("gearboxes")
    assert len(pairing.pairs(motors, boxes)) == ranking.tried
    for one in ranking.candidates:
        assert pairing.go_together(motors, one.choice["motor"], boxes, one.choice["gearbox"])


def test_a_search_over_motors_alone_gives_each_the_gears_that_go_with_it(kit):
    asked = search(sizing_of("train"), {}, {"motor": None}, kit)
    found = {one.choice["motor"]: one.choice["gearbox"] for one in asked.candidates}
    assert asked.tried == len(kit.table("motors")) and found.keys() >= set(GEARMOTORS)
    assert all((box == motor) == (motor in GEARMOTORS) for motor, box in found.items())
    with_box = search(sizing_of("train"), {"gearbox": "turn_25"}, {"motor": None}, kit)
    assert with_box.tried == len(kit.table("motors")) - 2
    with pytest.raises(ValueError, match="has gears of its own"):
        search(sizing_of("train"), {"gearbox": "turn_25"}, {"motor": ["ox", "hare"]}, kit)


def test_beside_the_best_stand_gearboxes_that_go_with_its_motor(kit):
    found = mb.find("train", "motor,gearbox=turn_25", kit=kit)
    boxes = {one.choice["gearbox"] for one in found.beside.values()}
    assert boxes and not boxes & set(GEARMOTORS)
    assert not mb.find("train", "gearbox", kit=kit, motor="ox").beside


def test_the_nearest_ratio_is_never_that_of_built_in_gears(kit):
    boxes = kit.table("gearboxes")
    assert boxes.closest("ratio", 19) == "turn_18" and boxes.closest("ratio", 1) == "turn_5"


def test_on_a_bench_the_gears_follow_the_motor(kit):
    bench = Bench(sizing_of("arm"), kit=kit)
    usual = bench.values["gearbox"]
    bench._controls["motor"].list.value = "ox"
    assert bench.values["gearbox"] == bench._controls["gearbox"].list.value == "ox" and bench.report is not None
    bench._controls["gearbox"].list.value = "turn_25"
    assert "ox gearmotor has gears of its own" in bench._verdict.value and bench.values["gearbox"] == "ox"
    bench._controls["motor"].list.value = "stout"
    assert (
        bench.values["gearbox"] == bench._controls["gearbox"].list.value == usual and bench.values["motor"] == "stout"
    )
    bench._controls["gearbox"].list.value = "turn_25"
    bench._controls["motor"].list.value = "brisk"
    assert bench.values["gearbox"] == "turn_25", "a gearbox that goes with the other motor, too, stays"
    assert bench.set(motor="hare").values["gearbox"] == "hare"
    with pytest.raises(ValueError, match="are built into that gearmotor"):
        bench.set(motor="brisk", gearbox="ox")
    assert bench.values["motor"] == "hare"


def test_a_gearbox_that_is_fixed_on_a_bench_stays(kit):
    bench = Bench(sizing_of("arm"), fixed={"gearbox": "turn_25"}, kit=kit)
    with pytest.raises(ValueError, match="ox gearmotor has gears of its own, but the gearbox is 'turn_25'"):
        bench.set(motor="ox")
    assert bench.values["gearbox"] == "turn_25"


def test_in_a_robot_the_gears_follow_the_motor(kit):
    cart = build("cart", kit).with_changes({"pusher.motor": "ox"})
    assert cart.mechanisms["pusher"].values["gearbox"] == "ox"
    back = cart.with_changes({"pusher.motor": "stout"}).mechanisms["pusher"].values
    assert back["gearbox"] == build("cart", kit).mechanisms["pusher"].values["gearbox"]
    asked = {(one.path, one.becomes) for one in changes_of(cart)}
    assert ("pusher.motor", "hare") in asked
    assert not [path for path in asked if path[0] == "pusher.gearbox"], "there are no other gears for it"
    plain = {one.becomes for one in changes_of(build("cart", kit)) if one.path == "pusher.gearbox"}
    assert plain and not plain & set(GEARMOTORS)


def test_a_kit_without_gearboxes_has_none_as_gearbox(tmp_path):
    bare = gearmotor_kit(tmp_path, without=["gearboxes"])
    for name in TURNED:
        sizing = sizing_of(name)
        report = judge(sizing, {}, bare)
        assert not [key for key, value in {**report.good, **report.bad}.items() if math.isnan(value)]
        inputs = geared_inputs(sizing)
        if inputs is not None:
            motor, box = (report.values[one] for one in inputs)
            assert box == (motor if motor in GEARMOTORS else "none")
            assert judge(sizing, {inputs[0]: "stout"}, bare).values[inputs[1]] == "none"


def test_the_other_kit_is_as_it_was(kit):
    """Plain motors and gearboxes give the same findings in a kit with gearmotors and in one without."""
    for name in ("arm", "drivetrain", "winch"):
        here, there = (judge(sizing_of(name), {}, one) for one in (kit, KIT))
        assert here.values == there.values
        assert all(np.isclose(here.good[key], there.good[key], rtol=1e-12) for key in there.good)
