"""The chained arm as a sizing: its torque is the slope of the weights' energy, its places follow the chain, and it
stalls where it must.
"""

import numpy as np
import pytest
from scipy.integrate import solve_ivp

from mechbench.catalog import judge, sizing_of
from mechbench.engine.columns import columns
from mechbench.engine.inputs import Tables, complete
from mechbench.mechanisms.chained.sizing import pair_of
from mechbench.mechanisms.powertrain import bus_of, whole_train
from mechbench.physics import arm, chained, drive, motion
from tests.published import RECOMPUTED, check

CHAINED = sizing_of("chained")
G = 9.80665


def inputs(**values):
    tables = Tables(CHAINED)
    return columns(CHAINED, complete(CHAINED, values, tables), tables)


def height_energy(x, angle):
    """Energy of all weights over the pivot, from the places of the links alone."""
    first, second = x.first_length[0], x.second_length[0]
    turned = x.second_angle[0] + (1 - x.base.teeth[0] / x.elbow.teeth[0]) * angle
    elbow, tip = first * np.sin(angle), first * np.sin(angle) + second * np.sin(turned)
    return G * (
        x.first_mass[0] * elbow / 2
        + x.elbow_mass[0] * elbow
        + x.second_mass[0] * (elbow + tip) / 2
        + x.payload[0] * tip
    )


@pytest.mark.parametrize("base, elbow", [("chain_34", "chain_18"), ("chain_18", "chain_18"), ("chain_18", "chain_34")])
def test_worst_torque_is_the_steepest_slope_of_the_energy(base, elbow):
    x = inputs(base=base, elbow=elbow)
    angles = np.linspace(x.start_angle[0], x.end_angle[0], 4001)
    slope = np.gradient([height_energy(x, angle) for angle in angles], angles)
    found = judge("chained", {"base": base, "elbow": elbow}).good
    check(
        "chained",
        f"{base} to {elbow}: worst torque [N·m]",
        found["worst_torque"],
        np.abs(slope).max(),
        4e-3,
        "principle of virtual work, Hibbeler & Gupta, Engineering Mechanics, chapter 11: slope of the weights' energy",
        RECOMPUTED,
    )
    assert np.degrees(angles[np.argmax(np.abs(slope))]) == pytest.approx(np.degrees(found["worst_angle"]), abs=3)


def test_equal_sprockets_keep_the_second_links_direction():
    found = judge("chained", {"base": "chain_18", "elbow": "chain_18"}).good
    assert found["turns"] == 0 and np.degrees(found["second_at_end"]) == pytest.approx(274)


def test_places_at_the_end_by_hand():
    """18 teeth on the frame, 9 at the elbow: first link at 175 degrees, second at 274 - 175 = 99 degrees; both are
    350 mm, pivot 380 mm up.
    """
    twice = {"base": "chain_18", "elbow": "chain_9"}
    found = judge("chained", {"start_angle": "2 deg", "end_angle": "175 deg", **twice}).good
    ahead = 0.35 * (np.cos(np.radians(175)) + np.cos(np.radians(99)))
    height = 0.38 + 0.35 * (np.sin(np.radians(175)) + np.sin(np.radians(99)))
    assert found["end_ahead"] == pytest.approx(ahead) and found["end_height"] == pytest.approx(height)
    assert found["turns"] == pytest.approx(-1)


def test_the_swing_passes_like_an_adaptive_solver_of_lagranges_equation():
    """Full speed at the end, one battery: time against an independent solution with the energy's slope and a numeric
    J'.
    """
    x = inputs(start_angle="2 deg", end_angle="175 deg", motor="slim", gearbox="planetary_116")
    train = whole_train(x.gearbox, x.last_stage)
    line = drive.line(x.motor, train.ratio, train.efficiency, train.efficiency_driven, 1, np.inf)
    angles = x.start_angle[0] + (x.end_angle[0] - x.start_angle[0]) * np.linspace(0, 1, 161)[None]
    pair = pair_of(x)
    done = motion.move(
        line, arm.swing(angles, chained.torque(pair, angles), chained.inertia(pair, angles)), bus_of(x), end="pass"
    )

    def kinetic(angle):
        """Inertia from the speeds of the lumps, by differences."""
        step, places = 1e-6, lambda q: np.array(chained.pose(pair, np.array([[q]]))).ravel()
        elbow_x, elbow_y, tip_x, tip_y = (places(angle + step) - places(angle - step)) / (2 * step)
        elbow, tip = np.array([elbow_x, elbow_y]), np.array([tip_x, tip_y])
        rate, square = 1 - x.base.teeth[0] / x.elbow.teeth[0], lambda v: float(v @ v)
        first = x.first_mass[0] * (square(elbow) / 4 + x.first_length[0] ** 2 / 12)
        second = x.second_mass[0] * (square((elbow + tip) / 2) + x.second_length[0] ** 2 / 12 * rate**2)
        return first + second + x.elbow_mass[0] * square(elbow) + x.payload[0] * square(tip)

    k, resistance = line.torque_constant[0], line.resistance[0] + x.battery.resistance[0]

    def law(t, state):
        angle, speed = state
        amps = (x.battery.open_circuit[0] - k * speed) / resistance
        slope = (height_energy(x, angle + 1e-5) - height_energy(x, angle - 1e-5)) / 2e-5
        change = (kinetic(angle + 1e-4) - kinetic(angle - 1e-4)) / 2e-4
        inner, against = k * (amps - line.free_current[0]), slope + change * speed**2 / 2
        for share in (
            line.efficiency[0],
            1 / line.efficiency_driven[0],
        ):  # the motor drives, or else the load drives it
            faster = (share * inner - against) / (kinetic(angle) + share * line.rotor_inertia[0])
            if inner - line.rotor_inertia[0] * faster >= 0:
                break
        return speed, faster

    there = lambda t, state: state[0] - x.end_angle[0]
    there.terminal = True
    reference = solve_ivp(law, (0, 5), (x.start_angle[0], 0.0), events=there, rtol=1e-8, atol=1e-10)
    check(
        "motion",
        "chained arm, full speed through the swing: time [s]",
        done.time[0, 0],
        reference.t_events[0][0],
        3e-3,
        "Lagrange's equation with numeric slopes, solved by scipy.integrate.solve_ivp",
        RECOMPUTED,
    )


def test_a_weak_gearbox_stalls_with_a_place():
    found = judge("chained", {"motor": "slim", "gearbox": "planetary_12"}).good
    assert found["spare"] < 0 and found["time"] == np.inf


def test_a_swing_of_nothing_is_refused():
    with pytest.raises(ValueError, match="end_angle is the same as start_angle"):
        judge("chained", {"start_angle": "30 deg", "end_angle": "30 deg"})
