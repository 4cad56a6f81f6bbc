"""What the motor's bench opens with: the first bench of motors speaks of one motor, so one must do the job."""

from mechbench.engine.inputs import Tables
from mechbench.engine.judge import judge
from mechbench.engine.opening import opening
from mechbench.kits.load import own_kit
from mechbench.mechanisms.motor.sizing import MotorAtLoad


def test_one_usual_motor_bears_the_load_it_opens_with_for_a_match_also_on_a_bad_day():

    found = opening(MotorAtLoad, Tables(MotorAtLoad, own_kit()))
    assert found.works and found.values["count"] == "1" and not found.changed
    assert judge(MotorAtLoad, {}, own_kit()).works_on_bad_day


def test_it_opens_with_a_load_below_what_the_motor_bears_for_ever():
    """Heat from the winding, I² R at 90 K more with copper of 0.393 % each kelvin (handbooks, from memory), flows away
    through 7 K/W: that is the current at which the slim motor stays just below its limit. Torque goes with current.
    """
    resistance, constant, free = 16 / 8.80, 0.0198, 0.36
    for_ever = (90 / 7 / (resistance * (1 + 0.00393 * 90))) ** 0.5
    load = opening(MotorAtLoad, Tables(MotorAtLoad, own_kit())).values["load_torque"]
    assert 0.7 * for_ever < load / constant + free < for_ever
