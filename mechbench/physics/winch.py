r"""Winch: cord on a drum in layers, what it lifts and how fast, and how the robot hangs afterwards.

     flange |      third layer      | flange          bar  ====o====
            | o o o second layer  o |                          |  hook, x ahead of it or behind
            |o o o o first layer o o|                       ___|___
            |=======================|  radius grows:       |  x    |   the robot tilts until its centre of gravity
            |         core          |  torque up,          |_______|   is straight below the hook:
            |=======================|  pull down            o     o         tan(tilt) = x / below

Contents
    Drum                                   core, width, flange and the cord on it
    turns_a_layer, layer_radius            turns beside each other; where a layer pulls
    cord_capacity, layers_used             what fits below the flange; how many layers a length takes
    fleet_angle                            does the cord stay on the drum?
    layer_jumps                            where the cord climbs onto the next layer
    cord_at                                how much cord is wound when the drum has turned by an angle
    haul                                   a Load for motion.move: slack first, then the weight, layer by layer
    snatch                                 highest pull as the cord becomes tight, the motor pulling on
    power_off_hold                         what ratchet or gears hold with the power off
    hang_tilt, hang_drop                   tilt of the hanging robot, and the height that it costs
    magnet_hold                            a hook held by a magnet until the cord pulls hard enough

A robot overhead: nobody under it, a catch strap beside the cord, first tries with a sandbag over something soft.
"""

from dataclasses import dataclass

import numpy as np

from mechbench.physics import check, drive
from mechbench.physics._cord import climbing, cord_load, with_jumps

JUMPS = 6  # layers that a load may climb on top of the one it starts on; more where a case needs more
SNATCH_STEP, SNATCH_MOST = 0.2, 1000  # a step, as a share of the quickest swing's time; steps at most
MAGNETIC = 4e-7 * np.pi  # V·s/(A·m), magnetic constant


@dataclass(frozen=True)
class Drum:
    """Hold a spool with its cord, or a belt pulley (width inf, cord 0).

    Fields
    ------
    core_radius : [m] of the bare core, > 0
    width : [m] between the flanges, > 0; inf where layers never start
    flange_radius : [m] of the flanges, at least core_radius
    cord_diameter : [m] of the cord, >= 0; 0 for a belt, whose pitch radius is core_radius

    Valid: cord laid side by side, layers straight on top of each other (hand-wound cord takes more room).
    Source: common practice, no source.
    """

    core_radius: float
    width: float
    flange_radius: float
    cord_diameter: float

    def __post_init__(self):
        check.positive("core_radius", self.core_radius)
        check.not_negative("cord_diameter", self.cord_diameter)
        check.at_least("flange_radius", self.flange_radius, self.core_radius, "the flange stands out over the core")
        width = np.asarray(self.width, dtype=float)
        check.at_least(
            "width",
            np.where(np.isposinf(width), self.cord_diameter, width),
            self.cord_diameter,
            "one turn of cord must fit between the flanges",
        )


def turns_a_layer(drum):
    """Give how many turns lie side by side.

    Equation: n = floor(width / d)

    Parameters
    ----------
    drum : [part] a Drum; arrays broadcast

    Returns
    -------
    turns : [-] whole turns; inf for a belt

    Valid: as Drum.
    Raises: nothing.
    Source: common practice, no source.

    >>> print(turns_a_layer(Drum(0.018, 0.010, 0.028, 0.002)))
    5.0
    """
    cord = np.asarray(drum.cord_diameter, dtype=float)
    return np.where(cord > 0, np.floor(drum.width / np.where(cord > 0, cord, 1.0) + 1e-9), np.inf)[()]


def layer_radius(drum, layer):
    """Give the radius at which a layer pulls: the middle of its cord.

    Equation: r = r_core + (layer - 1/2) d

    Parameters
    ----------
    drum : [part] a Drum; arrays broadcast
    layer : [whole] 1 on the core, 2 on top of it, ...

    Returns
    -------
    radius : [m] half a cord outside of the core in the first layer

    Valid: as Drum.
    Raises: ValueError when layer is not a whole number of at least 1.
    Source: common practice, no source.

    >>> drum = Drum(0.014, 0.010, 0.022, 0.002)
    >>> print([f"{1000 * layer_radius(drum, n):.1f}" for n in (1, 2, 3)])
    ['15.0', '17.0', '19.0']
    """
    return drum.core_radius + (check.whole("layer", layer, 1) - 0.5) * np.asarray(drum.cord_diameter)


def _length_below(drum, layers):
    """Cord in the first `layers` layers: turns 2 pi (layers r_core + layers^2 d / 2)."""
    turns, layers = turns_a_layer(drum), np.asarray(layers)
    each = 2 * np.pi * (layers * np.asarray(drum.core_radius) + layers**2 * np.asarray(drum.cord_diameter) / 2)
    belt = np.isinf(turns)
    return np.where(belt, np.where(layers > 0, np.inf, 0.0), np.where(belt, 0.0, turns) * each)


def cord_capacity(drum):
    """Give how many layers and how much cord fit below the flange.

    Equation: layers = floor((r_flange - r_core) / d); L = n sum of 2 pi r_layer

    Parameters
    ----------
    drum : [part] a Drum; arrays broadcast

    Returns
    -------
    layers : [-] whole layers; inf for a belt
    length : [m] of cord

    Valid: as Drum; leave the last layer free, so that the cord can't climb over the flange.
    Raises: nothing.
    Source: exact sum over the layers; it equals the rule (A + D) A B K of rope makers.

    >>> layers, length = cord_capacity(Drum(0.018, 0.010, 0.028, 0.002))
    >>> print(f"{layers:.0f} layers, {length:.2f} m")
    5 layers, 3.61 m
    """
    cord = np.asarray(drum.cord_diameter, dtype=float)
    room = (np.asarray(drum.flange_radius) - drum.core_radius) / np.where(cord > 0, cord, 1.0)
    layers = np.where(cord > 0, np.floor(room + 1e-9), np.inf)
    return layers[()], _length_below(drum, np.where(cord > 0, layers, 1.0))[()]


def layers_used(drum, length):
    """Give how many layers a length of cord takes, whether they fit below the flange or not.

    Equation: least whole p with n 2 pi (p r_core + p^2 d / 2) >= L

    Parameters
    ----------
    drum : [part] a Drum; arrays broadcast
    length : [m] L, of cord on the drum, >= 0

    Returns
    -------
    layers : [whole] 0 for no cord; 1 for a belt

    Valid: as Drum.
    Raises: ValueError when length is negative.
    Source: follows from cord_capacity.

    >>> print(layers_used(Drum(0.018, 0.010, 0.028, 0.002), 0.70))
    2
    """
    length, core = np.asarray(check.not_negative("length", length)), np.asarray(drum.core_radius)
    cord, turns = np.asarray(drum.cord_diameter, dtype=float), turns_a_layer(drum)
    wound = length / (2 * np.pi * turns)
    layers = 2 * wound / (core + np.sqrt(core**2 + 2 * cord * wound))
    return np.where(np.isinf(turns), length > 0, np.ceil(layers - 1e-9)).astype(int)[()]


def fleet_angle(width, distance):
    """Give how far the cord runs aslant onto the end of a drum, from a guide straight before its middle.

    Equation: angle = atan((width / 2) / distance)

    Parameters
    ----------
    width : [m] of the drum between its flanges, > 0; both broadcast
    distance : [m] from the drum to the guide or pulley, > 0

    Returns
    -------
    angle : [rad] keep it below 3 degrees on a smooth drum, 5 on a grooved one

    Valid: the guide lies before the middle of the drum. Well below 1/2 degree the cord piles up in one place.
    Raises: ValueError when a length is not above 0.
    Source: New South Wales Government, A guide to rigging, fleet angles: 3 degrees at 19 times half the width.

    >>> print(f"{np.degrees(fleet_angle(0.012, 0.10)):.1f}")
    3.4
    """
    return np.arctan(check.positive("width", width) / 2 / np.asarray(check.positive("distance", distance)))


# --- the lift ---------------------------------------------------------------------------------------------------------


def layer_jumps(drum, before, travel, jumps=JUMPS):
    """Give where along a travel the cord climbs onto the next layer.

    Equation: places where the cord on the drum reaches n 2 pi (p r_core + p^2 d / 2), p = 1, 2, ...

    Parameters
    ----------
    drum : [part] a Drum; arrays [S] broadcast
    before : [m] of cord on the drum at the start, >= 0
    travel : [m] of cord that is wound on, > 0
    jumps : [whole] places to give at least, at least 1

    Returns
    -------
    first : [whole] layer on which the winding starts
    places : [m] shape [S, jumps or more], of cord wound from the start; inf for a belt

    Valid: as Drum.
    Raises: ValueError when before is negative or travel is not above 0.
    Source: follows from cord_capacity.

    >>> first, places = layer_jumps(Drum(0.018, 0.010, 0.028, 0.002), 0.30, 0.50)
    >>> print(first, f"{places[0]:.3f} m")
    1 0.297 m
    """
    before, end = (
        np.asarray(check.not_negative("before", before)),
        before + np.asarray(check.positive("travel", travel)),
    )
    full = layers_used(drum, before)
    full = np.where(_length_below(drum, full) > before * (1 + 1e-12), full - 1, full)
    count = max(check.whole("jumps", jumps, 1), int(np.max(layers_used(drum, end) - full)))
    layers = np.asarray(full)[..., None] + np.arange(1, count + 1)
    wide = Drum(
        *(
            np.asarray(part)[..., None]
            for part in (drum.core_radius, drum.width, drum.flange_radius, drum.cord_diameter)
        )
    )
    return full + 1, _length_below(wide, layers) - before[..., None]


def cord_at(drum, before, travel, angle):
    """Give how much cord is wound when a drum has turned by an angle.

    Equation: angle = sum of ds / r over the layers, r the radius of each

    Parameters
    ----------
    drum : [part] a Drum of plain numbers
    before : [m] of cord on the drum at the start, >= 0; one number
    travel : [m] of cord wound in all, > 0; one number
    angle : [rad] turned since the start, any shape

    Returns
    -------
    wound : [m] 0 to travel

    Valid: as Drum.
    Raises: ValueError when before is negative or travel is not above 0.
    Source: follows from layer_radius.

    >>> print(f"{cord_at(Drum(0.018, 0.010, 0.028, 0.002), 0.0, 2.0, 4 * np.pi):.4f}")
    0.2388
    """
    first, places = layer_jumps(drum, before, travel)
    ends = np.ravel(places)
    ends = np.r_[0.0, ends[(ends > 0) & (ends < travel)], travel]
    layers = int(np.ravel(first)[0]) + np.arange(ends.size - 1)
    radius = drum.core_radius + (layers - 0.5) * drum.cord_diameter
    return np.interp(angle, np.r_[0.0, np.cumsum(np.diff(ends) / radius)], ends)


def haul(drum, force, mass, travel, slack=0.0, before=0.0, friction=0.0, drum_inertia=1e-6, points=19):
    """Make the Load of a winch: it winds slack cord first, then lifts a weight, while the layers grow.

    Equation: q = integral of ds / r; pull = F r; friction = F_friction r; J = m r^2 + J_drum; slack: pull 0, J = J_drum

    Parameters
    ----------
    drum : [part] a Drum; numbers or arrays [S], all arguments broadcast
    force : [N] F in the cord once the load hangs on it, >= 0 (behind a tackle: rope.tackle_pull)
    mass : [kg] m that moves as fast as the cord, > 0 (behind a tackle of n falls: mass / n^2)
    travel : [m] of cord wound in all, slack included, > 0
    slack : [m] of loose cord wound first, 0 to below travel
    before : [m] of cord already on the drum, >= 0
    friction : [N] of friction on the cord's way, >= 0
    drum_inertia : [kg·m2] of drum and shaft; the motor's rotor is not in it, > 0
    points : [whole] of the table before the jumps are added, at least 2

    Returns
    -------
    load : [part] a motion.Load with tables [S,N]; a point stands twice where the cord becomes tight, and there are two
        close together where the cord climbs onto a layer

    Valid: the load is picked up without bouncing; for the snatch load see snatch. The cord stays tight as it climbs, so
        there the energy of motion is kept.
    Raises: ValueError when a number is out of its range.
    Source: common practice, no source.

    >>> load = haul(Drum(0.018, 0.010, 0.028, 0.002), 118.0, 12.0, 0.70, slack=0.10)
    >>> first, most = load.load_torque[0], load.load_torque.max()
    >>> print(f"{first:.1f}, then {most:.2f} N·m on the second layer, {load.q[-1]:.1f} rad")
    0.0, then 2.48 N·m on the second layer, 36.3 rad
    """
    slack, travel = check.not_negative("slack", slack), check.positive("travel", travel)
    if np.any(np.asarray(slack) >= np.asarray(travel)):
        raise ValueError(f"slack is {np.max(slack):g} m, but it must be below travel; wind more cord.")
    force, mass = check.not_negative("force", force), check.positive("mass", mass)
    friction, drum_inertia = check.not_negative("friction", friction), check.positive("drum_inertia", drum_inertia)
    first, places = layer_jumps(drum, before, travel)
    cases = np.broadcast_shapes(np.shape(slack), np.shape(travel), places.shape[:-1])
    tight, places = np.broadcast_to(slack, cases)[..., None], np.broadcast_to(places, (*cases, places.shape[-1]))
    travel = np.broadcast_to(travel, cases)
    wound, behind = with_jumps(travel, np.concatenate([tight, places], axis=-1), points)
    hangs = behind[..., 0] | (np.asarray(slack)[..., None] == 0)
    climbed = behind[..., 1:].sum(axis=-1)
    layer = np.asarray(first)[..., None] + climbed
    wide = lambda part: np.asarray(part)[..., None]
    radius = wide(drum.core_radius) + (layer - 0.5) * wide(drum.cord_diameter)
    rubs = wide(friction) + 0 * wound
    places = climbing(wound, climbed)
    return cord_load(places, hangs * wide(force), rubs, hangs * wide(mass), radius, wide(drum_inertia))


def snatch(line, bus, weight, mass, speed, radius, stiffness, drum_inertia=1e-6):
    """Give the highest pull in the cord of a winch as it becomes tight and picks the load up, the motor pulling on.

    Equation: M x'' = F - k (x - y); m y'' = k (x - y) - W, y = 0 until the pull is W; M = (eta J_rotor + J_drum) / r^2;
        F = eta k_t (I - I_0) / r, I = (V - k_t x' / r) / (R + R_battery), at most the controller's limit

    Parameters
    ----------
    line : [part] a drive.Line at the drum's shaft; all arguments broadcast
    bus : [part] a motion.Bus
    weight : [N] W, steady pull that lifts the load off the floor, > 0
    mass : [kg] m that moves as fast as the cord, > 0; behind a tackle of n falls mass / n^2
    speed : [m/s] x' of the cord when it becomes tight, >= 0; 0 without slack
    radius : [m] r of the layer that pulls, > 0
    stiffness : [N/m] k of the cord, > 0, see rope.stiffness
    drum_inertia : [kg·m2] of drum and shaft, > 0

    Returns
    -------
    pull : [N] highest; never less than the weight

    Valid: full voltage all the time; cord like a spring, nothing else gives way: on the safe side. Within 0.02 % of the
        exact answer.
    Raises: ValueError when a number is out of its range.
    Source: two bodies and a spring, Newton; the motor's straight line; common practice, no source.

    >>> from mechbench.physics.motion import Bus
    >>> line = drive.Line(2.0, 1.5, 0.5, 0.036, 0.7, 0.57)
    >>> pulls = [snatch(line, Bus(15.0, 0.1), 118.0, 12.0, speed, 0.018, 30e3, 2e-6) for speed in (0.0, 0.12)]
    >>> print(f"{pulls[0]:.0f} N without slack, {pulls[1]:.0f} N at full speed, for a weight of 118 N")
    182 N without slack, 189 N at full speed, for a weight of 118 N
    """
    weight, mass = check.positive("weight", weight), check.positive("mass", mass)
    radius = np.asarray(check.positive("radius", radius))
    speed, k = check.not_negative("speed", speed), check.positive("stiffness", stiffness)
    turns, ohms = check.positive("drum_inertia", drum_inertia), line.resistance + bus.resistance
    drum = (line.efficiency * line.rotor_inertia + turns) / radius**2
    grip = line.efficiency * line.torque_constant / radius
    standing, most = (grip * (amps - line.free_current) for amps in (bus.open_circuit / ohms, line.current_limit))
    parts = speed, weight, k, drum, mass, standing, most, grip * line.torque_constant / (ohms * radius)
    rows = [np.ravel(part) for part in np.broadcast_arrays(*parts)]
    highest = np.maximum(_first_peak(*rows), rows[1])
    return highest.reshape(np.broadcast_shapes(*map(np.shape, parts)))[()]


def _first_peak(speed, weight, k, drum, mass, standing, most, fades):
    """Highest pull [S] until the cord gets no longer, by steps of Runge and Kutta: one length while the load stands on
    the floor, another while it hangs. The drive pulls with `standing` - `fades` times the drum's speed, at most `most`.
    """
    highest, rows = np.zeros(speed.shape), np.arange(speed.size)
    bodies = weight, k, drum, mass, standing, most, fades
    state = np.zeros(speed.shape), speed + 0.0, np.zeros(speed.shape)
    for _ in range(SNATCH_MOST):
        step = _snatch_step(state, *bodies)
        after = _runge_kutta(state, step, bodies)
        rate, later = state[1] - state[2], after[1] - after[2]
        turns = (later <= 0) & (rate > 0)
        share = rate / np.where(turns, rate - later, 1.0)  # of the step, at the top
        top = state[0] + share**2 * ((3 - 2 * share) * (after[0] - state[0]) + step * (share - 1) * later)
        top = top + share * (1 - share) ** 2 * step * rate
        highest[rows] = np.maximum(highest[rows], bodies[1] * np.where(turns, top, after[0]))
        on = ~turns
        if not on.any():
            break
        rows, state, bodies = rows[on], [part[on] for part in after], [part[on] for part in bodies]
    return highest


def _snatch_step(state, weight, k, drum, mass, standing, most, fades):
    """A step that is short against the next swing, and that ends about where the load leaves the floor."""
    stretch, fast, _ = state
    _, faster, _ = _snatch_pace(*state, weight, k, drum, mass, standing, most, fades)
    alone, both = (SNATCH_STEP / (np.sqrt(k / part) + fades / drum) for part in (drum, mass * drum / (mass + drum)))
    ahead = weight / k - stretch
    to_lift = 2 * ahead / np.maximum(fast + np.sqrt(np.maximum(fast**2 + 2 * faster * ahead, 0.0)), 1e-12)
    return np.where(to_lift > 0, np.minimum(alone, np.maximum(to_lift, 0.1 * both)), both)


def _snatch_pace(stretch, fast, slow, weight, k, drum, mass, standing, most, fades):
    """How the cord's stretch, the speed of the drum's end and that of the load's change."""
    pull = k * stretch
    lifts = np.where((pull > weight) | (slow > 0), (pull - weight) / mass, 0.0)
    return fast - slow, (np.minimum(standing - fades * fast, most) - pull) / drum, lifts


def _runge_kutta(state, step, bodies):
    """The state one step later."""
    ahead = lambda slope, share: [value + share * step * rate for value, rate in zip(state, slope)]
    first = _snatch_pace(*state, *bodies)
    second = _snatch_pace(*ahead(first, 0.5), *bodies)
    third = _snatch_pace(*ahead(second, 0.5), *bodies)
    fourth = _snatch_pace(*ahead(third, 1.0), *bodies)
    slopes = zip(first, second, third, fourth)
    return [value + step / 6 * (a + 2 * b + 2 * c + d) for value, (a, b, c, d) in zip(state, slopes)]


def power_off_hold(line, ratchet_torque=0.0):
    """Give the torque of the load that is held with the power off, by a ratchet or by friction in gears and motor.

    Equation: T = max(T_ratchet, k I_0 / eta_driven)

    Parameters
    ----------
    line : [part] a drive.Line at the drum's shaft
    ratchet_torque : [N·m] that a ratchet on that shaft bears, 0 without one, >= 0

    Returns
    -------
    torque : [N·m] inf where the train is self-locking

    Valid: friction lets go when it shakes, a ratchet drops by up to one tooth; a shorted motor does not hold, it
        creeps.
    Raises: ValueError when ratchet_torque is negative.
    Source: common practice, no source.

    >>> line = drive.Line(2.0, 1.5, 0.5, 0.036, 0.7, 0.57)
    >>> print(f"{power_off_hold(line):.2f} N·m by friction, {power_off_hold(line, 15.0):.0f} by the ratchet")
    1.32 N·m by friction, 15 by the ratchet
    """
    return np.maximum(check.not_negative("ratchet_torque", ratchet_torque), drive.unpowered_hold(line))


# --- hanging ----------------------------------------------------------------------------------------------------------


def hang_tilt(ahead, below):
    """Give the angle by which a robot tilts when it hangs on one hook.

    Equation: tan(tilt) = x / below

    Parameters
    ----------
    ahead : [m] x, of the centre of gravity, ahead of the hook line in the robot as it stands; both broadcast
    below : [m] of the centre of gravity below the point where the cord leaves the robot, > 0

    Returns
    -------
    tilt : [rad] the end on the centre of gravity's side sinks; negative: the rear end

    Valid: one hook, free to swing. A centre of gravity above the hook turns the robot over: below must be above 0.
    Raises: ValueError when below is not above 0.
    Source: a body hangs with its centre of gravity under the hook; common practice.

    >>> print(f"{np.degrees(hang_tilt(0.03, 0.20)):.1f}")
    8.5
    """
    return np.arctan(check.finite("ahead", ahead) / np.asarray(check.positive("below", below)))


def hang_drop(tilt, wheel_ahead, wheel_below):
    """Give how much lower a wheel's underside hangs by the tilt than it would hang level.

    Equation: drop = z (cos(tilt) - 1) + x sin(tilt)

    Parameters
    ----------
    tilt : [rad] see hang_tilt; all arguments broadcast
    wheel_ahead : [m] x, of the wheel's contact, ahead of the hook line (behind it: negative)
    wheel_below : [m] z, of the wheel's contact below the point where the cord leaves the robot, > 0

    Returns
    -------
    drop : [m] take the largest over all wheels: so much more must be lifted

    Valid: stiff robot; sideways tilt adds the same way.
    Raises: ValueError when wheel_below is not above 0.
    Source: turning a plane figure; common practice.

    >>> print(f"{1000 * hang_drop(np.radians(8.5), 0.16, 0.30):.0f} mm")
    20 mm
    """
    x, z = check.finite("wheel_ahead", wheel_ahead), np.asarray(check.positive("wheel_below", wheel_below))
    return z * (np.cos(check.finite("tilt", tilt)) - 1) + x * np.sin(tilt)


def _facing_discs(distance, radius):
    """Share of mu_0 M^2 pi R^2 / 2 with which two evenly charged discs attract at a distance; 1 in contact.

    The pairs of points at a sideways distance s = 2 R x are counted in closed form, which leaves one smooth integral
    over u = distance / sqrt(distance^2 + s^2); u = 1 - v^2 takes the root out of its end.
    """
    nodes, weights = np.polynomial.legendre.leggauss(48)
    flat = distance / (2 * radius)
    last = np.sqrt(1 - flat / np.sqrt(1 + flat**2))[..., None]
    v = 0.5 * last * (nodes + 1)
    u = 1 - v**2
    x = np.clip(flat[..., None] * v * np.sqrt(1 + u) / u, 0.0, 1.0)
    overlap = 2 / np.pi * (np.arccos(x) - x * np.sqrt(1 - x**2))
    return np.sum(weights * 0.5 * last * overlap * 2 * v, axis=-1)


def magnet_hold(remanence, diameter, thickness, gap):
    """Give the straight pull that takes a disc magnet off a steel plate, over the gap between them.

    Equation: F = B_r^2 pi R^2 / (2 mu_0) (f(2 g) - 2 f(2 g + t) + f(2 g + 2 t)), f(z) of two charged discs, f(0) = 1

    Parameters
    ----------
    remanence : [any] B_r of the magnet in tesla, > 0; N35 to N52 about 1.2 to 1.45; all arguments broadcast
    diameter : [m] 2 R, > 0
    thickness : [m] t, along the magnetic axis, > 0
    gap : [m] g, of air, paint and glue, >= 0

    Returns
    -------
    force : [N] in the middle and straight off; sideways a magnet slides at friction times this

    Valid: soft steel, wider than the magnet and at least half as thick as it is wide; the magnet's own permeability
        is left out (about 5 % too much). A thin or rusty plate holds far less, so measure it with a pull scale; slips
        of paper, 0.1 mm each, make the gap that sets the wanted pull.
    Raises: ValueError when a number is out of its range.
    Source: mirror magnet in the steel; cylinders as Vokoun, Beleggia, Heller & Sittner, J. Magn. Magn. Mater. 321
        (2009) 3758.

    >>> print([f"{magnet_hold(1.28, 0.010, 0.004, gap / 1000):.1f} N" for gap in (0.1, 0.5, 1.0)])
    ['23.6 N', '15.4 N', '10.3 N']
    """
    radius, t = np.asarray(check.positive("diameter", diameter)) / 2, np.asarray(check.positive("thickness", thickness))
    near = 2 * np.asarray(check.not_negative("gap", gap))
    radius, t, near = np.broadcast_arrays(radius, t, near)
    share = _facing_discs(near, radius) - 2 * _facing_discs(near + t, radius) + _facing_discs(near + 2 * t, radius)
    return (np.asarray(check.positive("remanence", remanence)) ** 2 * np.pi * radius**2 / (2 * MAGNETIC) * share)[()]
