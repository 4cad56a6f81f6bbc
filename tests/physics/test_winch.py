"""Winch: the rope makers' rule, published magnets and fleet angles, an independent solver, and the work of the
weight.
"""

from dataclasses import replace

import numpy as np
import pytest
from scipy.integrate import quad, solve_ivp
from scipy.special import j1

from mechbench.physics import drive, lift, rope, winch
from mechbench.physics.constants import GRAVITY
from mechbench.physics.motion import Bus, move
from mechbench.physics.winch import Drum
from tests.physics.reference_motion import Drive, Piece, flat, run
from tests.published import READ, check

SPOOL = Drum(0.017, 0.012, 0.030, 0.003)
BELT = Drum(0.0125, np.inf, 0.0125, 0.0)
LINE = drive.Line(1.25, 1.4, 0.25, 7.5e-6 * 80**2, 0.729, 0.628, 15.0)
BUS = Bus(14.0, 0.12)
INCH, FOOT = 0.0254, 0.3048


# ---- the drum --------------------------------------------------------------------------------------------------------


def test_capacity_of_a_published_drum():
    """10 in barrel, 20 in flange, 12 in wide, 1/2 in rope."""
    source = (
        "rope makers' rule (A + D) A B K with K = pi / (12 d^2), quoted with about 940 ft in 10 layers (oanor.com,"
        " winchrental.com)"
    )
    drum = Drum(5 * INCH, 12 * INCH, 10 * INCH, 0.5 * INCH)
    layers, length = winch.cord_capacity(drum)
    check("winch", "layers of a published drum [-]", layers, 10, 1e-9, source, READ)
    check("winch", "cord on a published drum, layer by layer [ft]", length / FOOT, 942.48, 1e-5, source, READ)
    depth, barrel, width, cord = 5.0, 10.0, 12.0, 0.5
    check(
        "winch",
        "the same by the rule [ft]",
        length / FOOT,
        (depth + barrel) * depth * width * np.pi / (12 * cord**2),
        1e-9,
        source,
        READ,
    )
    pull = winch.layer_radius(drum, 1) / winch.layer_radius(drum, 10)
    check("winch", "pull on the top layer over that on the bare drum [-]", pull, 10.5 / 19.5, 1e-9, source, READ)
    assert winch.turns_a_layer(drum) == 24


def test_layers_by_winding_turn_by_turn():
    """Each turn laid by itself: length, layer and climbs agree with the closed forms."""
    turns, radius, wound = int(winch.turns_a_layer(SPOOL)), SPOOL.core_radius + SPOOL.cord_diameter / 2, 0.0
    climbs = []
    for layer in range(1, 5):
        for _ in range(turns):
            wound += 2 * np.pi * radius
            assert winch.layers_used(SPOOL, wound - 1e-6) == layer
        climbs.append(wound)
        radius += SPOOL.cord_diameter
    first, places = winch.layer_jumps(SPOOL, 0.0, 3.0)
    assert first == 1 and np.allclose(places[:4], climbs)
    first, places = winch.layer_jumps(SPOOL, climbs[0], 1.0)
    assert first == 2 and places[0] == pytest.approx(climbs[1] - climbs[0])
    assert winch.cord_capacity(SPOOL)[1] == pytest.approx(climbs[3])
    assert winch.layers_used(SPOOL, 0.0) == 0 and winch.layers_used(BELT, 2.0) == 1


def test_fleet_angle_of_a_published_guide():
    source = (
        "New South Wales Government, A guide to rigging, fleet angles: a drum 1 m wide, guide 9.5 m (smooth) and 6 m"
        " (grooved) away"
    )
    check(
        "winch",
        "fleet angle of a smooth drum at 19 half widths [deg]",
        np.degrees(winch.fleet_angle(1.0, 9.5)),
        3.0,
        6e-3,
        source,
        READ,
    )
    check(
        "winch",
        "fleet angle of a grooved drum at 12 half widths [deg]",
        np.degrees(winch.fleet_angle(1.0, 6.0)),
        5.0,
        5e-2,
        source,
        READ,
    )


# ---- the lift --------------------------------------------------------------------------------------------------------


def test_winch_against_a_second_solver():
    """Slack, then weight, then the second layer: the radius jumps, so the same robot asks more torque and moves
    faster.
    """
    drum, slack, travel, mass, turning = SPOOL, 0.10, 0.80, 15.0, 2e-5
    load = winch.haul(drum, mass * GRAVITY, mass, travel, slack, 0.0, 4.0, turning)
    bus = Bus(14.0, 0.02)
    ours = move(LINE, load, bus)
    radii = winch.layer_radius(drum, np.array([1, 2]))
    climb = 4 * 2 * np.pi * radii[0]
    tight, second = slack / radii[0], climb / radii[0]
    end = second + (travel - climb) / radii[1]
    j = (turning, mass * radii[0] ** 2 + turning, mass * radii[1] ** 2 + turning)
    # The cord's pull P on the load, m (v2 - v1) = P, and on what turns, J (w2 - w1) = -P r2, with v = w r before and
    # after: w2 = w1 (J + m r1 r2) / (J + m r2^2).
    climbing = mass * radii[0] * radii[1] + turning
    pulls, rubs = (0.0, mass * GRAVITY * radii[0], mass * GRAVITY * radii[1]), 4.0 * radii[[0, 0, 1]]
    ways = (0.0, tight), (tight, second), (second, end)
    parts = [Piece(*way, *(flat(value) for value in values)) for way, *values in zip(ways, pulls, rubs, j)]
    ref = Drive(LINE, [*parts[:2], replace(parts[2], inertia_before=climbing)])
    found = run([ref], bus.open_circuit, bus.resistance, bus.reset_level)
    source, known = "second solver: adaptive steps, root search on torques and on Kirchhoff's law", "recomputed here"
    check(
        "winch",
        "lift of 15 kg over slack and two layers, stopped [s]",
        ours.time[0, 0],
        found["time"][0],
        1e-3,
        source,
        known,
    )
    check("winch", "winding heat of the same [J]", ours.heat[0, 0], found["heat"][0], 5e-3, source, known)
    check("winch", "highest current of the same [A]", ours.bus_current[0], found["peak"], 5e-3, source, known)
    assert ours.balance_error.max() < 1e-3


@pytest.mark.parametrize("rotor", [1e-4, 2e-3, 0.05])
@pytest.mark.parametrize("downwards", [False, True])
def test_speed_where_the_cord_climbs_onto_a_layer(rotor, downwards):
    """By impulses, apart from any energy: the cord's pull P on the load and on what turns, as in the test above.

    A sudden step of the radius loses the energy of a small impact, of the speed (r2 - r1) w; a step on which the cord
    climbs evenly loses none. The two speeds differ by less than (r2 / r1 - 1)^2 / 8: 0.35 %. Downwards the cord lets
    the load from the outer onto the inner layer: the same two equations.
    """
    mass, radii = 6.0, winch.layer_radius(SPOOL, np.array([1, 2]))
    load, line = winch.haul(SPOOL, 30.0, mass, 0.80, drum_inertia=2e-5), drive.Line(0.2, 0.3, 0.1, rotor, 1.0, 1.0)
    first, last = radii
    if downwards:
        load, (last, first) = lift.lower_load(load), radii
    done, turns = move(line, load, BUS, "pass"), rotor + 2e-5
    (there,) = np.flatnonzero(np.diff(load.inertia))
    before, after = done.speed[0, 0, there : there + 2]
    by_impulse = (turns + mass * first * last) / (turns + mass * last**2)
    assert done.why[0, 0] == "arrived" and after / before == pytest.approx(by_impulse, rel=3.5e-3)
    assert done.balance_error.max() < 1e-6


@pytest.mark.parametrize("drum", [SPOOL, BELT, Drum(0.012, 0.006, 0.03, 0.003)])
@pytest.mark.parametrize("slack, before", [(0.0, 0.0), (0.13, 0.25)])
def test_work_of_the_weight_and_cord_wound(drum, slack, before):
    """Virtual work: torque over the shaft's angle is weight over height, whatever the layers."""
    load = winch.haul(drum, 120.0, 12.0, 0.9, slack, before, 3.0, 1e-5)
    step = np.diff(load.q)
    pulled = 0.5 * (load.load_torque[1:] + load.load_torque[:-1]) * step
    assert pulled.sum() == pytest.approx(120.0 * (0.9 - slack), rel=1e-9)
    assert (0.5 * (load.friction_torque[1:] + load.friction_torque[:-1]) * step).sum() == pytest.approx(
        3.0 * 0.9, rel=1e-9
    )
    radius = load.friction_torque / 3.0
    assert (0.5 * (radius[1:] + radius[:-1]) * step).sum() == pytest.approx(0.9, rel=1e-9)
    assert radius[0] == pytest.approx(winch.layer_radius(drum, winch.layers_used(drum, before + 1e-9)))
    assert radius[-1] == pytest.approx(winch.layer_radius(drum, winch.layers_used(drum, before + 0.9)))
    assert np.sqrt((load.inertia[-1] - 1e-5) / 12.0) == pytest.approx(radius[-1])


SNATCHES = (  # weight N, mass kg, speed m/s, radius m, stiffness N/m, limit of current A
    (140.0, 14.3, 0.0, 0.018, 30e3, 15.0),
    (140.0, 14.3, 0.15, 0.018, 30e3, 15.0),
    (140.0, 14.3, 0.08, 0.018, 9e3, 5.0),
    (37.0, 0.9, 0.05, 0.010, 1e5, 15.0),
    (140.0, 14.3, 0.0, 0.030, 12e3, 4.0),  # it hardly lifts
)


@pytest.mark.parametrize("weight, mass, speed, radius, stiff, most", SNATCHES)
def test_snatch_load_with_the_motor_pulling_on_against_integration(weight, mass, speed, radius, stiff, most):
    """What turns and what hangs, each by Newton, and the cord between them, by an adaptive solver; ten swings long."""
    line = replace(LINE, current_limit=most)
    found = winch.snatch(line, BUS, weight, mass, speed, radius, stiff, 2e-6)

    def rhs(t, y):
        pull, w = max(stiff * (y[0] * radius - y[1]), 0.0), y[2]
        amps = min((14.0 - 1.4 * w) / (1.25 + 0.12), most)
        turned = 0.729 * 1.4 * (amps - 0.25) - pull * radius
        lifted = max(pull - weight, 0 if y[3] <= 0 else -np.inf) / mass
        return [w, y[3], turned / (0.729 * 7.5e-6 * 80**2 + 2e-6), lifted]

    swing = 2 * np.pi * np.sqrt(mass / stiff)
    run = solve_ivp(rhs, (0, 10 * swing), [0, 0, speed / radius, 0], rtol=1e-9, atol=1e-12, max_step=swing / 500)
    expected = max(stiff * (run.y[0] * radius - run.y[1]).max(), weight)
    source = "two bodies, a spring and a motor's straight line, integrated by scipy"
    what = f"snatch load of {mass} kg at {speed} m/s, {most:.0f} A at most [N]"
    check("winch", what, found, expected, 2e-4, source, "recomputed here")


def test_a_load_put_on_suddenly_by_a_steady_force():
    """A light rotor with a steady force F on a wall: from rest the spring goes to 2 F, as every textbook has it.

    Here the wall is a load far too heavy to lift, so the pull is F at rest and 2 F at its highest; a motor that turns
    slowly gives nearly the same torque all the time.
    """
    slow = drive.Line(1e6, 1.0, 0.0, 1e-5, 1.0, 1.0)  # 10 kV give 10 mA and 10 mN·m at any speed that is reached
    pulls = winch.snatch(slow, Bus(1e4, 0.0, 7.0), np.array([0.01, 1.99, 2.5]), 1e9, 0.0, 0.010, 5e3, 1e-9)
    assert pulls[0] == pytest.approx(2.0, rel=2e-3) and pulls[1] == pytest.approx(2.0, rel=2e-3)
    assert pulls[2] == 2.5, "the drum stops before the load lifts; no less than the weight is told"


def test_a_tackle_halves_the_pull_and_doubles_the_cord():
    straight = move(LINE, winch.haul(BELT, 140.0, 14.3, 0.2), BUS)
    double = move(LINE, winch.haul(BELT, rope.tackle_pull(140.0, 2), 14.3 / 4, 0.4), BUS)
    assert double.time[0, 0] > 1.3 * straight.time[0, 0]
    steady = [done.current[0, 0, 9] - LINE.free_current for done in (straight, double)]
    assert steady[1] / steady[0] == pytest.approx(0.5, rel=0.05)


def test_power_off_hold():
    weight_torque = 15.0 * GRAVITY * winch.layer_radius(SPOOL, 1)
    assert winch.power_off_hold(LINE) < weight_torque < winch.power_off_hold(LINE, 20.0) == 20.0
    assert winch.power_off_hold(replace(LINE, efficiency_driven=0.0)) == np.inf
    assert drive.shorted_creep(LINE, weight_torque) > 0, "shorted terminals are no ratchet"


# ---- hanging ---------------------------------------------------------------------------------------------------------


def test_hanging_robot_by_turning_its_points():
    """The robot as three points turned until the potential energy is least; the drop read off the turned wheels."""
    ahead, below, wheels = 0.04, 0.18, np.array([(0.16, 0.30), (-0.16, 0.28)])
    angles = np.linspace(-np.pi / 2, np.pi / 2, 200001)
    depth = lambda x, z: z * np.cos(angles) + x * np.sin(angles)
    best = np.argmax(depth(ahead, below))  # centre of gravity as low as it goes
    tilt = winch.hang_tilt(ahead, below)
    assert tilt == pytest.approx(angles[best], abs=1e-4)
    for x, z in wheels:
        assert winch.hang_drop(tilt, x, z) == pytest.approx(depth(x, z)[best] - z, abs=1e-5)
    assert winch.hang_tilt(-ahead, below) == -tilt, "mirror image"
    assert winch.hang_drop(-tilt, -0.16, 0.30) == pytest.approx(winch.hang_drop(tilt, 0.16, 0.30))
    assert winch.hang_tilt(0.0, below) == 0 and winch.hang_drop(0.0, 0.16, 0.30) == 0


def test_magnets_against_published_finite_elements():
    """Finite elements know the magnet's own permeability of 1.05, which costs about 5 %: rtol 6 %."""
    source = "published finite-element example '{}' (quickfield.com)"
    small = winch.magnet_hold(1.28, 3 / 16 * INCH, 1 / 32 * INCH, INCH / 1000)
    check(
        "winch",
        "disc magnet 3/16 x 1/32 in, remanence 1.28 T, gap 0.025 mm [N]",
        small,
        2.56,
        6e-2,
        source.format("Disc permanent magnet pulling force"),
        READ,
    )
    large = winch.magnet_hold(1.26, 0.0508, 0.01651, 0.000127)
    check(
        "winch",
        "disc magnet 50.8 x 16.51 mm, remanence 1.26 T, gap 0.127 mm [N]",
        large,
        542,
        6e-2,
        source.format("Attraction of the cylindrical magnet to the steel plate"),
        READ,
    )


@pytest.mark.parametrize(
    "remanence, diameter, thickness, gap",
    [(1.2, 0.010, 0.004, 0.001), (1.3, 0.006, 0.010, 0.0003), (1.28, 0.02, 0.003, 0.02)],
)
def test_magnet_against_the_published_integral(remanence, diameter, thickness, gap):
    """Vokoun et al. 2009 for two equal cylinders, one of them the mirror image in the steel."""
    radius, shape, apart = diameter / 2, thickness / diameter, (thickness + 2 * gap) / (diameter / 2)
    # sinh^2 written as exponentials that can't overflow
    wave = lambda q: j1(q) ** 2 / q * np.exp(-q * (apart - 2 * shape)) * (1 - np.exp(-2 * q * shape)) ** 2 / 4
    integral = quad(wave, 0, 60 * radius / (2 * gap), limit=5000)[0]
    expected = 8 * np.pi * remanence**2 / (2 * winch.MAGNETIC) * radius**2 * integral
    check(
        "winch",
        f"disc magnet {1000 * diameter:.0f} x {1000 * thickness:.0f} mm at {1000 * gap} mm [N]",
        winch.magnet_hold(remanence, diameter, thickness, gap),
        expected,
        1e-5,
        "Vokoun, Beleggia, Heller & Sittner, J. Magn. Magn. Mater. 321 (2009) 3758, integral of Bessel functions",
        "formula from memory",
    )


def test_magnet_falls_with_the_gap_and_grows_with_its_square_size():
    gaps = np.linspace(0, 0.005, 30)
    force = winch.magnet_hold(1.28, 0.010, 0.004, gaps)
    assert np.all(np.diff(force) < 0)
    assert winch.magnet_hold(1.28, 0.020, 0.008, 2 * gaps) == pytest.approx(4 * force)
    long = winch.magnet_hold(1.28, 0.010, 1.0, 0.0)
    assert long == pytest.approx(1.28**2 * np.pi * 0.005**2 / (2 * winch.MAGNETIC), rel=1e-2), (
        "a very long magnet: B^2 A / (2 mu_0)"
    )


def test_scalars_equal_arrays():
    cores, slacks = np.array([0.012, 0.017, 0.0225]), np.array([0.0, 0.1, 0.05])
    drums = Drum(cores, 0.012, cores + 0.0135, 0.003)
    many = move(LINE, winch.haul(drums, 140.0, 14.3, 0.5, slacks), BUS)
    for i, (core, slack) in enumerate(zip(cores, slacks)):
        one = move(LINE, winch.haul(Drum(core, 0.012, core + 0.0135, 0.003), 140.0, 14.3, 0.5, slack), BUS)
        assert one.time[0, 0] == pytest.approx(many.time[i, 0], rel=1e-9)
        assert winch.cord_capacity(Drum(core, 0.012, core + 0.0135, 0.003))[1] == winch.cord_capacity(drums)[1][i]
        assert winch.layers_used(drums, 0.6)[i] == winch.layers_used(Drum(core, 0.012, core + 0.0135, 0.003), 0.6)


@pytest.mark.parametrize(
    "wrong, says",
    [
        (lambda: replace(SPOOL, core_radius=0.0), "core_radius is 0"),
        (lambda: replace(SPOOL, flange_radius=0.01), "flange_radius is 0.01"),
        (lambda: replace(SPOOL, width=0.002), "width is 0.002"),
        (lambda: winch.layer_radius(SPOOL, 0), "layer is 0"),
        (lambda: winch.layers_used(SPOOL, -1.0), "length is -1"),
        (lambda: winch.layer_jumps(SPOOL, 0.0, 0.0), "travel is 0"),
        (lambda: winch.fleet_angle(0.01, 0.0), "distance is 0"),
        (lambda: winch.haul(SPOOL, 10.0, 1.0, 0.1, 0.2), "slack is 0.2"),
        (lambda: winch.haul(SPOOL, 10.0, 0.0, 0.1), "mass is 0"),
        (lambda: winch.haul(SPOOL, 10.0, 1.0, 0.1, drum_inertia=0.0), "drum_inertia is 0"),
        (lambda: winch.power_off_hold(LINE, -1.0), "ratchet_torque is -1"),
        (lambda: winch.hang_tilt(0.1, 0.0), "below is 0"),
        (lambda: winch.hang_drop(0.1, 0.1, 0.0), "wheel_below is 0"),
        (lambda: winch.magnet_hold(1.2, 0.01, 0.004, -0.001), "gap is -0.001"),
        (lambda: winch.magnet_hold(0.0, 0.01, 0.004, 0.001), "remanence is 0"),
    ],
)
def test_bad_input_is_one_sentence_that_names_it(wrong, says):
    with pytest.raises(ValueError, match=says):
        wrong()


def test_cord_over_the_turns_of_the_drum_is_wound_layer_by_layer():
    """Five turns of 2 mm on a width of 10 mm fill a layer: 2 pi 19 mm each, then 2 pi 21 mm."""
    drum = winch.Drum(0.018, 0.010, 0.028, 0.002)
    turns = np.array([0, 2.5, 5, 6, 10]) * 2 * np.pi
    by_hand = np.array([0, 2.5 * 0.019, 5 * 0.019, 5 * 0.019 + 0.021, 5 * 0.019 + 5 * 0.021]) * 2 * np.pi
    assert winch.cord_at(drum, 0.0, 1.5, turns) == pytest.approx(by_hand)
    begun = winch.cord_at(drum, 5 * 0.019 * 2 * np.pi, 0.5, 2 * np.pi)
    assert begun == pytest.approx(0.021 * 2 * np.pi), "with a full layer on it, the first turn is on the second"
    assert winch.cord_at(winch.Drum(0.015, np.inf, 0.015, 0.0), 0.0, 1.0, 10.0) == pytest.approx(0.15)
