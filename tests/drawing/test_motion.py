"""A motion goes as the physics has it: times integrated apart, stalls that stop, values that neither jump nor turn
back.
"""

import numpy as np
import pytest
from scipy.integrate import solve_ivp

from mechbench.catalog import NAMES, picture_of
from mechbench.drawing.motion import Motion, joined
from mechbench.physics import motion as physics
from tests.drawing.read_back import motion_of
from tests.drawing.test_picture import STATES

G = 9.80665  # m/s2, standard acceleration of free fall: 3rd General Conference on Weights and Measures (from memory)
MOVING = [name for name in NAMES if picture_of(name).moves()]


def at_full_voltage(now, seconds):
    """Angle of the arm over time, integrated by scipy from Newton's and Kirchhoff's laws, until it brakes or stands."""
    motor, box, battery = now.motor, now.gearbox, now.battery
    constant, rotor = motor.torque_constant * box.ratio, motor.rotor_inertia * box.ratio**2
    inertia = (now.payload + now.arm_mass / 3) * now.length**2 + box.efficiency * rotor
    moment = (now.payload + now.arm_mass / 2) * now.length * G

    def change(t, y):
        amps = (battery.open_circuit - constant * y[1]) / (motor.resistance + battery.resistance)
        amps = min(amps, now.controller.output_limit)
        drive = box.efficiency * constant * (amps - motor.free_current)
        return [y[1], (drive - moment * np.cos(y[0])) / inertia]

    stands = lambda t, y: y[1] if t > 1e-3 else 1.0
    stands.terminal = True
    return solve_ivp(
        change, (0, seconds), [now.start_angle, 0.0], rtol=1e-9, atol=1e-11, dense_output=True, events=stands
    )


@pytest.mark.parametrize("values", [{}, {"payload": 0.9}, {"length": 0.6, "payload": 0.5}])
def test_an_arm_is_where_newton_and_kirchhoff_have_it(values):
    moves, report, now = motion_of("arm", values)
    assert moves.seconds == pytest.approx(report.good["time"])
    seconds = 0.6 * moves.seconds  # then it brakes
    way = now.end_angle - now.start_angle
    for time in np.linspace(0.1, 1, 8) * seconds:
        apart = at_full_voltage(now, seconds).sol(time)[0]
        assert now.start_angle + way * moves.at(time)["place"] == pytest.approx(apart, abs=0.004 * way)


def test_a_stalled_arm_stops_where_and_when_newton_has_it():
    moves, _, now = motion_of("arm", {"start_angle": "-90 deg", "payload": 2.6})
    apart = at_full_voltage(now, 60.0)
    assert apart.status == 1, "it comes to a stand"
    angle = now.start_angle + (now.end_angle - now.start_angle) * moves.at(moves.seconds)["place"]
    assert moves.told.startswith("It stalls at ") and moves.at(99.0) == moves.at(moves.seconds)
    # 31 points along the way: the load within a step is that of its middle, and a drive that nearly stalls feels it
    assert angle == pytest.approx(apart.y[0, -1], abs=0.02)
    assert moves.seconds == pytest.approx(apart.t[-1], rel=0.03)
    told = float(moves.told.split()[3])
    assert told == pytest.approx(np.degrees(angle), abs=0.1)


def test_what_is_too_heavy_from_the_start_stands_and_says_so():
    moves, _, _ = motion_of("arm", {"start_angle": 0.0, "payload": 6.0})
    assert set(moves.extra["place"]) == {0.0} and moves.seconds > 0
    assert moves.told == "It stalls where it starts: the load is too heavy for the drive."


def test_an_arm_that_swings_down_goes_the_same_way_round():
    moves, report, _ = motion_of("arm", {"start_angle": "100 deg", "end_angle": "-40 deg"})
    assert moves.extra["place"][0] == 0 and moves.extra["place"][-1] == pytest.approx(1)
    assert moves.seconds == pytest.approx(report.good["time"])


@pytest.mark.parametrize("name", MOVING)
def test_every_motion_fits_its_picture_and_never_jumps(name):
    """All sliders of the picture have values within their ends, none is no number, and it ends with a sentence."""
    fields = picture_of(name).EXTRA
    for values in STATES.get(name, [{}]):
        moves, _, _ = motion_of(name, values)
        if moves is None:
            continue
        assert {field.name for field in fields} <= set(moves.extra), values
        assert moves.told.endswith((".", "!")) and moves.seconds > 0
        for field in fields:
            along = moves.extra[field.name]
            assert np.all(np.isfinite(along)), values
            assert field.to_si(field.low) - 1e-9 <= along.min() and along.max() <= field.to_si(field.high) + 1e-9


def test_a_place_between_two_points_is_exact_where_the_acceleration_stays():
    """From rest with 3 rad/s2: q = 3 t^2 / 2, by the points at 0, 1.5 and 6 rad alone."""
    done = moved(q=[0.0, 1.5, 6.0], t=[0.0, 1.0, 2.0], speed=[0.0, 3.0, 6.0], time=2.0, where=6.0)
    times = np.array([0.0, 0.3, 1.0, 1.7, 2.0, 5.0])
    assert physics.place_at(done, times) == pytest.approx(1.5 * np.minimum(times, 2.0) ** 2)
    with pytest.raises(ValueError, match="time"):
        physics.place_at(done, -1.0)


def test_a_drive_that_sticks_between_two_points_stays_there():
    """It slows down with 2 rad/s2 from 1 rad/s and stands after half a second, a quarter of a radian further."""
    done = moved(q=[0, 1, 2], t=[0.0, 1.0, np.inf], speed=[1, 1, 0], time=np.inf, where=1.25, parts=[1.0, 0.5])
    assert physics.end_time(done) == 1.5
    assert physics.place_at(done, np.array([1.0, 1.25, 1.5, 9.0])) == pytest.approx([1.0, 1.1875, 1.25, 1.25])


def moved(q, t, speed, time, where, parts=(0.0,)):
    """What `place_at` reads of a Move."""
    from types import SimpleNamespace

    table = lambda values: np.array(values, dtype=float)[None, None]
    one = lambda value: np.array([[value]], dtype=float)
    return SimpleNamespace(
        q=table(q), t=table(t), speed=table(speed), time=one(time), where=one(where), part_time=table(parts)
    )


def test_one_motion_after_another():
    first = Motion(np.array([0.0, 1.0]), {"up": np.array([0.0, 0.8])}, "It arrives.")
    then = Motion(np.array([0.0, 0.5, 2.0]), {"up": np.array([0.8, 0.8, 0.0])}, "It sinks.")
    both = joined(first, then, "It arrives, and sinks.")
    assert both.seconds == 3.0 and both.told == "It arrives, and sinks."
    assert [both.at(time)["up"] for time in (0.5, 1.2, 3.0)] == pytest.approx([0.4, 0.8, 0.0])


@pytest.mark.parametrize(
    "times, values, words",
    [([0.0], [1.0], "two or more"), ([0.5, 1.0], [0.0, 1.0], "begin at 0"), ([0.0, 1.0], [0.0], "one value for each")],
)
def test_times_and_values_that_do_not_fit_are_refused(times, values, words):
    with pytest.raises(ValueError, match=words):
        Motion(np.array(times), {"place": np.array(values)}, "")
