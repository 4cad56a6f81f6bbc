"""The sizing of a lifting four-bar against its physics, and what it says of links that don't meet."""

import numpy as np
import pytest

from mechbench.catalog import judge, sizing_of
from mechbench.engine import report_text
from mechbench.engine.columns import columns
from mechbench.engine.inputs import Tables, complete
from mechbench.kits import kit
from mechbench.physics import linkage, linkage_load, motion, servo

G = 9.80665
SIZING = sizing_of("linkage")


def test_findings_of_the_defaults_against_the_physics_called_by_hand():
    report = judge(SIZING)
    fourbar = linkage.Fourbar(0.070, 0.080, 0.080, 0.060, np.radians(-100))
    lumps = [
        linkage_load.Lump("output", 0.250, 0.0, 0.21),
        linkage_load.bar("output", 0.250, 0.06),
        linkage_load.bar("coupler", 0.080, 0.02),
    ]
    angle = np.radians(np.linspace(80, 240, 2001))
    part = kit().table("servos").row("strong")
    line = servo.servo_line(7.0, part["stall_torque"], part["stall_current"], part["free_speed"])
    done = motion.move(line, linkage_load.lift(fourbar, lumps, angle, shaft_inertia=1e-12), motion.Bus(7.0, 0.0, 6.3))
    assert report.good["time"] == pytest.approx(done.time[0, 0], rel=1e-3)
    assert report.good["worst_torque"] == pytest.approx(
        np.max(np.abs(linkage_load.weight_torque(fourbar, lumps, angle))), rel=1e-6
    )
    tip = 0.25 * np.sin(linkage.pose(fourbar, angle).output_angle + fourbar.tilt)
    assert report.good["rise"] == pytest.approx(tip[-1] - tip[0])
    assert np.degrees(report.good["transmission"]) == pytest.approx(63.3, abs=0.1)
    assert report.good["advantage"] == pytest.approx(np.min(linkage.mechanical_advantage(fourbar, angle)))
    assert report.good["pin_force"] == pytest.approx(np.max(linkage_load.pin_forces(fourbar, lumps, angle).largest))
    assert report.good["strength"] == pytest.approx(report.good["worst_torque"] / part["stall_torque"])
    assert report.works_on_bad_day


@pytest.mark.parametrize("start, turn, coupler, arm_angle", [(80, 160, 80, 0), (60, 150, 83, 40), (95, 120, 78, -50)])
def test_what_is_most_lies_between_the_places_of_a_table_too(start, turn, coupler, arm_angle):
    """4 001 places of the turn, which no table of some dozens comes upon."""
    given = {"start": np.radians(start), "turn": np.radians(turn), "coupler": coupler / 1000}
    good = judge(SIZING, given | {"arm_angle": np.radians(arm_angle)}).good
    fourbar = linkage.Fourbar(0.070, coupler / 1000, 0.080, 0.060, np.radians(-100))
    ahead, aside = np.cos(np.radians(arm_angle)), np.sin(np.radians(arm_angle))
    lumps = [
        linkage_load.Lump("output", 0.250 * ahead, 0.250 * aside, 0.21),
        linkage_load.Lump("output", 0.125 * ahead, 0.125 * aside, 0.06, 0.06 * 0.250**2 / 12),
        linkage_load.bar("coupler", coupler / 1000, 0.02),
    ]
    angle = np.radians(np.linspace(start, start + turn, 4001))
    torque = linkage_load.weight_torque(fourbar, lumps, angle)
    pins = linkage_load.pin_forces(fourbar, lumps, angle).largest
    for name, most in (("worst_torque", np.abs(torque).max()), ("pin_force", pins.max())):
        assert good[name] == pytest.approx(most, rel=1e-5), name
        assert good[name] >= most * (1 - 1e-5)
    assert good["advantage"] == pytest.approx(np.min(linkage.mechanical_advantage(fourbar, angle)), rel=1e-6)


def test_play_of_the_servo_is_seen_at_the_tip():
    report = judge(SIZING)
    assert report.good["droop"] == pytest.approx(np.radians(1.2) * 0.25 / report.good["advantage"])


def test_links_that_do_not_meet_lift_nothing_and_the_room_says_why():
    report = judge(SIZING, {"coupler": "20 mm"})
    assert report.good["room"] < 0 and np.isinf(report.good["time"]) and report.good["transmission"] == 0
    assert report.good["current"] == pytest.approx(3.6), "stuck, it draws its stall current"
    assert report_text.verdict(report).startswith("Does not work: ")


def test_a_badly_pushing_linkage_is_named():
    flat = judge(SIZING, {"turn": "60 deg", "start": "20 deg", "rise_wanted": "20 mm"})
    assert np.degrees(flat.good["transmission"]) < 40 and flat.weakest(bad=False) == "transmission"


def test_the_crossed_linkage_swings_the_other_way():
    fourbar = linkage.Fourbar(0.070, 0.080, 0.080, 0.060, np.radians(-100))
    angle = np.radians(np.linspace(80, 240, 31))
    out = np.unwrap(linkage.pose(fourbar, angle, -1).output_angle)
    assert judge(SIZING, {"branch": "crossed"}).good["swing"] == pytest.approx(abs(out[-1] - out[0]))


def test_a_motor_runs_on_the_battery_and_a_servo_on_its_rail():
    tables = Tables(SIZING)
    x = columns(SIZING, {**complete(SIZING, {}, tables), "drive": ["strong", "slim_planetary_74"]}, tables)
    fresh = SIZING.solve(x)["time"]
    x.battery.open_circuit = x.battery.open_circuit - 2.0
    tired = SIZING.solve(x)["time"]
    assert tired[0] == fresh[0] and tired[1] > 1.05 * fresh[1]


def test_a_heavier_piece_asks_more():
    torque = [judge(SIZING, {"payload": mass}).good["worst_torque"] for mass in (0.1, 0.2, 0.4)]
    assert torque[2] - torque[1] == pytest.approx(2 * (torque[1] - torque[0]), rel=0.02)


def test_a_stronger_servo_is_quicker_than_a_stalled_one():
    """The light one stalls at 0.31 N·m, and the load asks 0.52 N·m."""
    assert np.isinf(judge(SIZING, {"drive": "light"}).good["time"])
    assert judge(SIZING, {"drive": "light"}).good["spare"] < 0 < judge(SIZING).good["spare"]


@pytest.mark.parametrize(
    "links, told",
    [
        # Grashof's law (from memory): the shortest link goes round where shortest plus longest are no longer than the
        # other two. 40 + 80 = 120 against 50 + 60 = 110.
        ((40, 50, 60, 80), "No link can turn round fully: shortest plus longest are 10 mm longer than the other two."),
        # 30 + 70 = 100 against 55 + 60 = 115; which link is the shortest says what goes round.
        (
            (30, 60, 55, 70),
            "The input link can turn round fully: shortest plus longest are 15 mm shorter than the other two.",
        ),
        (
            (60, 30, 55, 70),
            "Only the coupler can turn round fully: shortest plus longest are 15 mm shorter than the other two. Input"
            " and output link swing to and fro.",
        ),
        (
            (60, 55, 30, 70),
            "Only the output link can turn round fully: shortest plus longest are 15 mm shorter than the other two. The"
            " input link swings to and fro.",
        ),
        (
            (60, 55, 70, 30),
            "Input and output link can both turn round fully: shortest plus longest are 15 mm shorter than the other"
            " two.",
        ),
        (
            (50, 70, 50, 70),
            "Shortest plus longest are as long as the other two: links can come into one line, and from there it may"
            " move on either way.",
        ),
    ],
)
def test_what_can_turn_round_is_told_in_words(links, told):
    given = dict(zip(("input", "coupler", "output", "ground"), (f"{one} mm" for one in links)))
    assert SIZING.note(judge(SIZING, given).values, Tables(SIZING)) == told


def test_a_link_that_is_said_to_go_round_goes_round_and_no_other():
    """Where its angle is given all the way round, the links meet everywhere, or not."""
    angle = np.linspace(-np.pi, np.pi, 721)
    for links, goes_round in (((30, 60, 55, 70), True), ((60, 55, 70, 30), True), ((60, 30, 55, 70), False)):
        pose = linkage.pose(linkage.Fourbar(*(one / 1000 for one in links), 0.0), angle)
        assert np.all(pose.assembles) == goes_round
