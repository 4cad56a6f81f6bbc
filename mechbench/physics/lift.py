r"""Lift: slides that raise a load, upright or leaning: how fast, how hard, does it stay up, does it bind?

      cascade: all stages at once             continuous: one cord through all stages, one stage after another
      stage i moves i times as fast           the last stage moves first; each end stop picks the next one up
      as the drive's cord

            ___ payload                       cord's way       cascade          continuous
           | 3 |                              wound            x                n x
         _ | _ |                              pull             sum of i w_i     weights that move now
        | 2 | |                               top speed        n v              v
       _| _ | |
      | 1 | |      w_i: weight of stage i along the rail, the payload with the last one
     _| _ | |      x: travel of one stage, n: number of moving stages
     | 0 | |=====(o) drum                     angle `lean` from level: 90 degrees is upright

Contents
    Lift                                  stages, masses, rigging, rails, counter-spring
    stage_ways                            how far each stage has moved for a length of cord
    binding, rail_friction                does a slide jam; friction of each rail with its side loads, all the way out
    cord_pull                             weight, friction and mass in the drive's cord
    stage_tensions                        pull in the cord of each stage of a cascade
    raise_load, lower_load                a Load for motion.move, up and down
    stays_up                              torque to spare before it sinks with the power off
    return_pull                           what the return line must pull on the way down
    tip_play                              how far the top leans over and sinks by play in the rails

A raised slide can fall: fingers out of the stages, pin it before hands go in, and mind the cord's whip if it breaks.
"""

from dataclasses import dataclass, fields

import numpy as np

from mechbench.physics import check, drive
from mechbench.physics._cord import climbing, cord_load, with_jumps
from mechbench.physics.constants import GRAVITY
from mechbench.physics.winch import Drum, layer_jumps  # noqa: F401 (Drum is for the examples)

MOST = 4  # stages for which tables have room; more where a case has more
LAYERS = 5  # drum layers, in the same way


@dataclass(frozen=True)
class Lift:
    """Hold a slide lift.

    Fields
    ------
    stages : [whole] that move, at least 1
    cascade : [yes/no] cascade rigging; no: continuous
    travel : [m] of one stage against the one below, > 0
    length : [m] of one stage, above travel: the rest stays inside and guides it
    stage_mass : [kg] of one moving stage, > 0
    payload : [kg] at the top of the last stage, carriage included, >= 0
    lean : [rad] angle from level, above 0 and at most pi / 2, which is upright
    drag : [N] friction of one rail without side load, >= 0
    friction : [-] of the rails, on the side load, >= 0
    offset : [m] of the payload in front of the rails, >= 0
    spring : [N] constant-force spring between base and last stage that helps to lift, >= 0

    Valid: stiff stages, equal travels; two stacks in step count as one with the mass of both. Numbers or arrays [S].
    Source: common practice, no source.
    """

    stages: int
    cascade: bool
    travel: float
    length: float
    stage_mass: float
    payload: float
    lean: float
    drag: float = 0.0
    friction: float = 0.0
    offset: float = 0.0
    spring: float = 0.0

    def __post_init__(self):
        check.whole("stages", self.stages, 1)
        for name in ("travel", "stage_mass", "lean"):
            check.positive(name, getattr(self, name))
        for name in ("payload", "drag", "friction", "offset", "spring"):
            check.not_negative(name, getattr(self, name))
        check.between("lean", self.lean, 0, np.pi / 2 + 1e-9, "give the angle from level, 90 degrees is upright")
        if np.any(np.asarray(self.travel) >= check.positive("length", self.length)):
            raise ValueError(
                f"travel is {np.max(self.travel):g} m, but it must be below length; a stage needs a rest that"
                " guides it."
            )


def _wide(part):
    """[S] as [S,1], to stand against points of a travel or against stages."""
    return np.asarray(part)[..., None]


def _stage_numbers(lift):
    """1, 2, ... up to the most stages of any case [K]; and which of them a case has [S,K]."""
    number = np.arange(1, max(MOST, int(np.max(lift.stages))) + 1)
    return number, number <= _wide(lift.stages)


def stage_ways(lift, wound):
    """Give how far each stage has moved from its lowest place when a length of cord is wound.

    Equation: cascade y_i = i s; continuous y_i = max(s - (n - i) x, 0)

    Parameters
    ----------
    lift : [part] a Lift, numbers
    wound : [m] s, of cord, 0 to x (cascade) or n x (continuous); any shape

    Returns
    -------
    way : [m] shape [..., n], stage 1 first; the payload moves with the last stage

    Valid: in continuous rigging the stage with the least weight on it moves first, which is the last one.
    Raises: ValueError when wound is outside the travel.
    Source: common practice, no source.

    >>> lift = Lift(3, False, 0.20, 0.25, 0.20, 0.5, np.radians(90))
    >>> print(np.round(stage_ways(lift, 0.45), 2))
    [0.05 0.25 0.45]
    """
    number = np.arange(1, int(check.whole("stages", lift.stages, 1)) + 1)
    end = lift.travel * np.where(lift.cascade, 1, lift.stages)
    wound = _wide(
        check.between("wound", wound, 0, float(end) * (1 + 1e-12), "wind no more cord than the stages travel")
    )
    return np.where(lift.cascade, number * wound, np.maximum(wound - (lift.stages - number) * lift.travel, 0.0))


# --- friction ---------------------------------------------------------------------------------------------------------


def binding(offset, guide_length, friction):
    """Give how close a slide is to jamming: the share of a force beside the rail that friction eats.

    Equation: share = 2 mu e / l; it jams from 1 on, so e / l must stay below 1 / (2 mu)

    Parameters
    ----------
    offset : [m] e, from the rail to the line of the force, >= 0; all arguments broadcast
    guide_length : [m] l, over which the slide is guided, > 0
    friction : [-] mu of slide on rail, >= 0; a dirty rail has twice that of a clean one

    Returns
    -------
    share : [-] 1 and more: it jams however hard one pulls

    Valid: guided at both ends of l, the offset force alone. A load beside the rail jams on its way DOWN, a cord that
        pulls beside the rail on its way up.
    Raises: ValueError when a number is out of its range.
    Source: Beer, Johnston et al., Vector Mechanics for Engineers: Statics, Sample Problem on the movable bracket.

    >>> print(f"{binding(0.08, 0.05, 0.15):.2f} clean, {binding(0.08, 0.05, 0.30):.2f} dirty")
    0.48 clean, 0.96 dirty
    """
    lever = check.not_negative("offset", offset) / np.asarray(check.positive("guide_length", guide_length))
    return 2 * check.not_negative("friction", friction) * lever


def rail_friction(lift, out=1.0):
    """Give the friction of each rail, from its drag and from the side load on its guides.

    Equation: f_i = drag + mu max(P, 2 M / l_i); P weight across the rail of all above, M its moment about the guide's
        middle plus that of the offset payload; l_i = length - out_i travel

    Parameters
    ----------
    lift : [part] a Lift; arrays [S] broadcast
    out : [-] share of its travel by which each rail is out, 0 to 1; one number for all, or rails along the last axis

    Returns
    -------
    friction : [N] shape [..., K], rail 1 (stage 1 in the base) first; 0 for stages that are not there

    Valid: guided over all of what is inside. Far out the guides are short and the moments large: a leaning lift runs
        several times harder at its top.
    Raises: ValueError when out is not from 0 to 1.
    Source: equilibrium of a slide on two guides; common practice, no source.

    >>> leaning = Lift(3, True, 0.20, 0.25, 0.20, 0.5, np.radians(70), 4.0, 0.15, 0.05)
    >>> print(np.round(rail_friction(leaning, 0.0)[:3], 1), np.round(rail_friction(leaning)[:3], 1))
    [4.6 4.5 4.5] [15.3 11.3  8. ]
    """
    number, there = _stage_numbers(lift)
    length = _wide(lift.length)
    ways = np.where(there, check.between("out", out, 0, 1 + 1e-9), 0.0) * _wide(lift.travel)
    guide, foot = length - ways, np.cumsum(ways, axis=-1)  # of each stage: what guides it, how far its foot has risen
    above = np.where(there, _wide(lift.stages) - number + 1, 0)
    feet = np.cumsum(np.where(there, foot, 0.0)[..., ::-1], axis=-1)[..., ::-1]  # sum over the stage and all above it
    across, along = GRAVITY * np.cos(_wide(lift.lean)), GRAVITY * np.sin(_wide(lift.lean))
    stages = _wide(lift.stage_mass) * (feet + above * (0.5 * length - foot - 0.5 * guide))
    payload = _wide(lift.payload) * (foot[..., -1:] - foot + length - 0.5 * guide)
    moment = across * (stages + payload) + along * _wide(lift.payload) * _wide(lift.offset)
    side = np.maximum(across * (_wide(lift.stage_mass) * above + _wide(lift.payload)), 2 * moment / guide)
    return np.where(there, _wide(lift.drag) + _wide(lift.friction) * side, 0.0)


# --- pulls ------------------------------------------------------------------------------------------------------------


def cord_pull(lift, wound, moving):
    """Give what the drive's cord feels: weight less spring, friction, and the mass that moves as fast as the cord.

    Equation: cascade: pull = sum of i w_i - n F_s, friction = sum of f_i, mass = sum of i^2 m_i;
        continuous: pull = sum of w_i of the j last stages - F_s, friction = f of the rail that moves, mass = sum of m_i

    Parameters
    ----------
    lift : [part] a Lift; arrays [S] broadcast
    wound : [m] of cord, 0 to x (cascade) or n x (continuous), shape [..., N] points along the travel
    moving : [whole] j, stages that move there, 1 to n; a cascade takes no notice. Just at a pick-up both sides are
        possible

    Returns
    -------
    pull : [N] of weight along the rail less the spring, shape [..., N]; below 0 it rises by itself
    friction : [N] of friction
    mass : [kg] as felt in the cord

    Valid: the pull of each rigging is the work of all weights over the cord wound.
    Raises: ValueError when moving is not a whole number of at least 1 or wound is outside the travel.
    Source: principle of virtual work, Hibbeler & Gupta, Engineering Mechanics, chapter 11 (from memory).

    >>> for cascade in (True, False):
    ...     pull, friction, mass = cord_pull(Lift(3, cascade, 0.20, 0.25, 0.20, 0.5, np.radians(90), 4.0), [0.20], [1])
    ...     print(f"{pull[0]:.1f} N, friction {friction[0]:.0f} N, mass {mass[0]:.2f} kg")
    26.5 N, friction 12 N, mass 7.30 kg
    6.9 N, friction 4 N, mass 0.70 kg
    """
    moving, n, cascade = (
        np.asarray(check.whole("moving", moving, 1)),
        _wide(lift.stages),
        _wide(lift.cascade).astype(bool),
    )
    number, there = _stage_numbers(lift)
    along = GRAVITY * np.sin(_wide(lift.lean))
    once, twice = (_wide(np.sum(np.where(there, number**power, 0), axis=-1)) for power in (1, 2))
    moved = np.where(cascade, once, moving) * _wide(lift.stage_mass) + np.where(cascade, n, 1) * _wide(lift.payload)
    mass = np.where(cascade, twice, moving) * _wide(lift.stage_mass) + np.where(cascade, n**2, 1) * _wide(lift.payload)
    slides = _wide(cascade) | (number == _wide(n - moving + 1))
    friction = np.sum(np.where(slides, rail_friction(_along(lift), _out(lift, wound)), 0.0), axis=-1)
    return moved * along - np.where(cascade, n, 1) * _wide(lift.spring) + 0 * friction, friction, mass + 0 * friction


def _along(lift):
    """The lift with all fields [S] as [S,1], to stand against points of a travel."""
    return Lift(**{field.name: _wide(getattr(lift, field.name)) for field in fields(lift)})


def _out(lift, wound):
    """Share of its travel by which each rail is out [..., N, K]: all alike, or the last one first."""
    x, n = _wide(_wide(lift.travel)), _wide(_wide(lift.stages))
    first = np.where(_wide(_wide(lift.cascade)), 0, n - _stage_numbers(lift)[0])  # stages that are out before this one
    end = _wide(lift.travel) * np.where(_wide(lift.cascade), 1, _wide(lift.stages))
    share = check.between(
        "share of the cord wound", wound / end, 0, 1 + 1e-9, "wind no more cord than the stages travel"
    )
    return np.clip(_wide(share * end) / x - first, 0.0, 1.0)


def _pick_ups(lift):
    """Cord wound and stages moving at the end of each stage's travel [..., K]: there pull and friction are highest."""
    moving = np.minimum(_stage_numbers(lift)[0], _wide(lift.stages))
    return _wide(lift.travel) * np.where(_wide(lift.cascade), 1, moving), moving


def stage_tensions(lift):
    """Give the pull in the cord that lifts each stage of a cascade, going up steadily with all stages out.

    Equation: T_i = sum over the stages k >= i of (k - i + 1) w_k + f_k, less (n - i + 1) F_s; T_1 is the drive's cord

    Parameters
    ----------
    lift : [part] a Lift; arrays [S] broadcast. In continuous rigging there is one cord: its worst pull is given for all

    Returns
    -------
    tension : [N] shape [..., K], stage 1 first; 0 for stages that are not there

    Valid: one cord a stage; two stacks share it, if both cords are equally long.
    Raises: nothing.
    Source: equilibrium of each stage; it equals virtual work.

    >>> print(np.round(stage_tensions(Lift(3, True, 0.20, 0.25, 0.20, 0.5, np.radians(90)))[:3], 1))
    [26.5 15.7  6.9]
    """
    number, there = _stage_numbers(lift)
    rails, n = rail_friction(lift), _wide(lift.stages)
    along = GRAVITY * np.sin(_wide(lift.lean))
    left = np.where(there, n - number + 1, 0)
    weights = _wide(lift.stage_mass) * left * (left + 1) / 2 + left * _wide(lift.payload)
    friction = np.cumsum(rails[..., ::-1], axis=-1)[..., ::-1]
    pull, resisted, _ = cord_pull(lift, *_pick_ups(lift))
    one = np.max(pull + resisted, axis=-1, keepdims=True)
    tension = np.where(_wide(lift.cascade), weights * along - left * _wide(lift.spring) + friction, one)
    return np.where(there, tension, 0.0)


# --- moves ------------------------------------------------------------------------------------------------------------


def raise_load(lift, drum, before=0.0, drum_inertia=0.0, points=13):
    """Make the Load of a lift that goes up, as the drum's shaft feels it.

    Equation: q = integral of ds / r; pull, friction and mass of cord_pull with the drum's radius

    Parameters
    ----------
    lift : [part] a Lift; numbers or arrays [S], all arguments broadcast
    drum : [part] a winch.Drum; a belt pulley is Drum(pitch radius, inf, pitch radius, 0)
    before : [m] of cord on the drum when the lift is down, >= 0
    drum_inertia : [kg·m2] of drum and shaft, >= 0; the motor's rotor is not in it
    points : [whole] of the table before the jumps are added, at least 2

    Returns
    -------
    load : [part] a motion.Load with tables [S,N]; a point stands twice where a stage is picked up, and there are two
        close together where the cord climbs onto a layer

    Valid: cord kept tight. Stages are picked up without bouncing.
    Raises: ValueError when before or drum_inertia is negative.
    Source: common practice, no source.

    >>> lift = Lift(3, False, 0.20, 0.25, 0.20, 0.5, np.radians(90), 4.0)
    >>> load = raise_load(lift, Drum(0.015, np.inf, 0.015, 0.0))
    >>> print(f"{load.q[-1]:.0f} rad, {load.load_torque[0]:.3f} to {load.load_torque[-1]:.3f} N·m")
    40 rad, 0.103 to 0.162 N·m
    """
    n, x, cascade = np.asarray(lift.stages), np.asarray(lift.travel), np.asarray(lift.cascade).astype(bool)
    number, there = _stage_numbers(lift)
    end = x * np.where(cascade, 1, n)
    picked = np.where(there[..., 1:] & ~_wide(cascade), _wide(x) * number[:-1], np.inf)
    first, climbs = layer_jumps(drum, before, end, LAYERS)
    shape = np.broadcast_shapes(picked.shape[:-1], climbs.shape[:-1])
    jumps = [np.broadcast_to(part, (*shape, part.shape[-1])) for part in (picked, climbs)]
    wound, behind = with_jumps(end, np.concatenate(jumps, axis=-1), points)
    stages, climbed = behind[..., : number.size - 1], behind[..., number.size - 1 :].sum(axis=-1)
    pull, friction, mass = cord_pull(lift, wound, 1 + stages.sum(axis=-1))
    radius = _wide(drum.core_radius) + (_wide(first) + climbed - 0.5) * _wide(drum.cord_diameter)
    wound = climbing(wound, climbed)
    return cord_load(wound, pull, friction, mass, radius, _wide(check.not_negative("drum_inertia", drum_inertia)))


def lower_load(load):
    """Turn the Load of a lift that goes up into that of the same lift coming down.

    Equation: q' = q_end - q, tables turned round, the pull's sign turned

    Parameters
    ----------
    load : [part] of raise_load

    Returns
    -------
    load : [part] a motion.Load from the top to the bottom

    Valid: cord or return line tight all the way: where friction or the spring holds the lift up, or it comes down
        faster than it falls, the return line must pull it (return_pull).
    Raises: nothing.
    Source: common practice, no source.

    >>> up = raise_load(Lift(2, True, 0.20, 0.25, 0.20, 0.5, np.radians(90)), Drum(0.015, np.inf, 0.015, 0.0))
    >>> down = lower_load(up)
    >>> print(f"{up.load_torque[0]:.3f} {down.load_torque[0]:.3f}, both {down.q[-1]:.1f} rad")
    0.235 -0.235, both 13.3 rad
    """
    turned = {
        name: np.asarray(getattr(load, name))[..., ::-1] for name in ("load_torque", "friction_torque", "inertia")
    }
    q = np.asarray(load.q)
    return type(load)(q[..., -1:] - q[..., ::-1], -turned["load_torque"], turned["friction_torque"], turned["inertia"])


def stays_up(load, line):
    """Give the torque to spare before a raised lift sinks with the power off, at the worst place of its travel.

    Equation: spare = k I_0 / eta_driven + min(friction - pull)

    Parameters
    ----------
    load : [part] of raise_load
    line : [part] a drive.Line at the drum's shaft

    Returns
    -------
    spare : [N·m] below 0 it sinks; it needs current (drive.driven_hold), a ratchet or a stronger counter-spring

    Valid: friction that holds can let go when it is shaken. A shorted motor does not hold: it creeps.
    Raises: nothing.
    Source: common practice, no source.

    >>> load = raise_load(Lift(3, True, 0.20, 0.25, 0.20, 0.5, np.radians(70), 4.0), Drum(0.018, np.inf, 0.018, 0.0))
    >>> print(f"{stays_up(load, drive.Line(2.0, 0.25, 0.5, 1e-3, 0.8, 0.75)):.2f}")
    -0.07
    """
    return drive.unpowered_hold(line) + np.min(np.asarray(load.friction_torque) - load.load_torque, axis=-1)


def return_pull(lift, acceleration=0.0):
    """Give the pull that a return line needs so that the lift comes down, in terms of the drive's cord.

    Equation: F = max over the travel of (friction - pull + mass a), at least 0

    Parameters
    ----------
    lift : [part] a Lift; arrays [S] broadcast
    acceleration : [m/s2] a, of the cord on the way down, >= 0

    Returns
    -------
    pull : [N] 0 where the lift sinks by itself that fast; a cord alone can't push

    Valid: return line on the last stage by the same rigging as the cord.
    Raises: ValueError when acceleration is negative.
    Source: common practice, no source.

    >>> print(f"{return_pull(Lift(3, True, 0.20, 0.25, 0.20, 0.5, np.radians(30), 8.0)):.1f}")
    10.8
    """
    a = _wide(check.not_negative("acceleration", acceleration))
    pull, friction, mass = cord_pull(lift, *_pick_ups(lift))
    return np.maximum(np.max(friction - pull + mass * a, axis=-1), 0.0)[()]


def tip_play(lift, play):
    """Give how far the top of a lift leans over, and sinks, by the play in its rails with all stages out.

    Equation: rotation = n c / l; shift = c / l sum of (distance from each guide's middle to the top); sink = shift
        cos(lean)

    Parameters
    ----------
    lift : [part] a Lift; arrays [S] broadcast
    play : [m] c, how far one slide moves across its rail, >= 0

    Returns
    -------
    rotation : [rad] of the top
    shift : [m] of the top, across the rails
    sink : [m] of the top, downwards; 0 for an upright lift

    Valid: play small against the guides; bending of the slides comes on top.
    Raises: ValueError when play is negative.
    Source: plane geometry; common practice.

    >>> rotation, shift, sink = tip_play(Lift(3, True, 0.20, 0.25, 0.20, 0.5, np.radians(70)), 0.0004)
    >>> print(f"{np.degrees(rotation):.2f} deg, {1000 * shift:.1f} mm, {1000 * sink:.1f} mm down")
    1.38 deg, 10.2 mm, 3.5 mm down
    """
    n, guide = np.asarray(lift.stages), np.asarray(lift.length) - lift.travel
    each = check.not_negative("play", play) / guide
    shift = each * (n * (lift.length - guide / 2) + np.asarray(lift.travel) * n * (n - 1) / 2)
    return n * each, shift, shift * np.cos(lift.lean)
