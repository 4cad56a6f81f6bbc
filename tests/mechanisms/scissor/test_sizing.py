"""The sizing of a scissor against its physics: every placement of the drive, folded height, steep start, rocking."""

import numpy as np
import pytest

from mechbench.catalog import judge, sizing_of
from mechbench.engine import report_text
from mechbench.kits import kit
from mechbench.physics import drive, motion, scissor, scissor_load, screw, servo
from mechbench.physics.constants import GRAVITY
from mechbench.physics.motor import Motor

SIZING = sizing_of("scissor")
PART = scissor.Scissor(3, 0.200, 0.24, 0.06)
ANGLE = np.radians(np.linspace(12, 60, 31))


def test_findings_of_the_defaults_against_the_physics_called_by_hand():
    report = judge(SIZING)
    part = kit().table("servos").row("turner")
    line = servo.servo_line(7.0, part["stall_torque"], part["stall_current"], part["free_speed"])
    load = scissor_load.lift(PART, ANGLE, *scissor_load.foot_drive(PART, ANGLE, 0.008), friction=0.25)
    done = motion.move(line, load, motion.Bus(7.0, 0.0, 6.3))
    assert report.good["time"] == pytest.approx(done.time[0, 0], rel=1e-6)
    assert report.good["rise"] == pytest.approx(0.6 * (np.sin(ANGLE[-1]) - np.sin(ANGLE[0])))
    assert report.good["folded"] == pytest.approx(0.6 * np.sin(ANGLE[0]))
    assert report.good["steepness"] == pytest.approx(scissor.steepness(ANGLE[0], ANGLE[-1]))
    assert report.good["push"] == pytest.approx(scissor.foot_force(PART, ANGLE[0]))
    assert report.good["worst_torque"] == pytest.approx(0.008 * report.good["push"])
    assert report.good["rocking"] == pytest.approx(scissor.play(PART, ANGLE[-1], np.radians(1.2) * 0.008, 0.0002))
    assert report.good["holding"] == pytest.approx(load.load_torque[-1] / part["holding_torque"])
    assert report.works_on_bad_day


def slim_motor(ratio, efficiency, driven):
    row = kit().table("motors").row("slim")
    part = Motor(row["resistance"], row["torque_constant"], row["free_current"], 16.0, row["rotor_inertia"])
    return drive.line(part, ratio, efficiency, driven, 1, 10.0)


def test_a_lead_screw_loses_in_its_thread_and_may_hold_by_itself():
    box = kit().table("gearboxes").row("planetary_4_6")
    slope = screw.lead_angle(0.008, 0.007)
    line = slim_motor(
        4.6,
        box["efficiency"] * screw.thread_efficiency(slope, 0.15),
        box["efficiency_driven"] * screw.thread_efficiency_driven(slope, 0.15),
    )
    load = scissor_load.lift(
        PART, ANGLE, *scissor_load.foot_drive(PART, ANGLE, screw.lead_radius(0.008)), friction=0.25
    )
    done = motion.move(line, load, motion.Bus(16.7, 0.11, 11.0))
    report = judge(SIZING, {"placement": "screw", "drive": "slim_planetary_4_6"})
    assert report.good["time"] == pytest.approx(done.time[0, 0], rel=1e-6)
    # At the foot half of all weight, 0.24 + 3 x 0.06 kg, and half of the load slide with it.
    rubs = 0.25 * GRAVITY * ((0.24 + 3 * 0.06) / 2 + 0.24 / 2)
    torque = screw.torque_to_raise(report.good["push"] + rubs, 0.008, 0.007, 0.15)
    assert report.good["strength"] == pytest.approx(torque / box["allowed_small"])
    flat = judge(SIZING, {"placement": "screw", "drive": "slim_planetary_4_6", "lead": "2 mm"})
    assert flat.good["holds"] == np.inf and flat.good["holding"] == 0, "friction alone holds a flat thread"


def test_a_shaft_on_the_lowest_arm():
    report = judge(SIZING, {"placement": "arm", "drive": "slim_planetary_259"})
    assert report.good["worst_torque"] == pytest.approx(scissor.weight_torque(PART, ANGLE[0]))
    assert np.degrees(report.good["way"]) == pytest.approx(48.0)
    rock = scissor.height(PART, ANGLE[-1]) - scissor.height(PART, ANGLE[-1] - np.radians(2.5))
    play_of_pins = judge(SIZING, {"placement": "arm", "drive": "slim_planetary_259", "pin_play": 0.0}).good["rocking"]
    assert play_of_pins == pytest.approx(rock, rel=0.06), "2.5 degrees of play in the gearbox rock the top"


def test_a_servo_arm_that_does_not_reach_lifts_nothing():
    good = judge(SIZING, {"placement": "horn", "drive": "strong"})
    assert good.works
    assert good.good["way"] == pytest.approx(np.ptp(scissor_load.horn_drive(PART, ANGLE, 0.06, 0.09, 0.05)[0]))
    short = judge(SIZING, {"placement": "horn", "drive": "strong", "rod": "20 mm"})
    assert np.isinf(short.good["time"]) and report_text.verdict(short).startswith("Does not work: ")


def test_a_servo_that_can_not_turn_that_far_is_named():
    report = judge(SIZING, {"drive": "strong"})
    assert report.weakest(bad=False) == "travel" and report.good["travel"] > 1


def test_the_start_gets_steeper_the_flatter_it_folds():
    steep = [judge(SIZING, {"start": f"{degrees} deg"}).good for degrees in (5, 10, 20)]
    assert steep[0]["worst_torque"] > 1.9 * steep[1]["worst_torque"] > 3.5 * steep[2]["worst_torque"]
    assert steep[0]["folded"] < steep[1]["folded"] < steep[2]["folded"]
    assert np.isinf(judge(SIZING, {"start": "3 deg", "load": "1 kg"}).good["time"]), "it does not get off the ground"


def test_what_the_start_asks_is_the_first_that_is_told_for_information():
    told = [one.name for one in SIZING.FINDINGS if not one.sense]
    assert told[:2] == ["push", "worst_torque"]
