"""Rope and cord: strength with a knot, stretch, the snatch load of a slack start, friction round a post, pulleys.

        fixed                          capstan: a few turns            slack start: the drum already turns when
      ====o=====                       hold back almost anything       the cord becomes tight, and the load still
        | | |  \\                                                       stands: the cord's stretch takes the blow
        | | |   v pull                  hold ---( O )--- load
      ====o=====                              e^(mu angle)             (o)~~~~~[ load ]
          |
        load

Contents
    safety_factor                                  strength left at the knot over the pull
    stiffness                                      how a length of cord stretches
    snatch_load, drop_load                          highest pull of a slack start, or when the load drops into the cord
    capstan_ratio                                  what friction on a post holds
    tackle_efficiency, tackle_pull, anchor_force   pulleys

A cord that snaps under load whips back: stand beside the line, never in it, and throw a cord away after one cut.
"""

import numpy as np

from mechbench.physics import check
from mechbench.physics.constants import GRAVITY


def safety_factor(breaking_strength, knot_keeps, pull):
    """Give how many times the pull could grow before the knot breaks.

    Equation: n = F_break keeps / F

    Parameters
    ----------
    breaking_strength : [N] of the straight cord, > 0; all arguments broadcast
    knot_keeps : [-] share of it that is left at a knot, above 0 and at most 1; 1 without a knot
    pull : [N] highest pull, snatch loads included, >= 0

    Returns
    -------
    factor : [-] inf without a pull

    Valid: new, dry cord that is bent over nothing sharper than a few times its diameter. Ask at least 3 with snatch
        loads included, far more where people are near; the event's rules first.
    Raises: ValueError when a number is out of its range.
    Source: common practice, no source.

    >>> print(safety_factor(1000.0, 0.5, 250.0))
    2.0
    """
    strength = check.positive("breaking_strength", breaking_strength) * check.fraction("knot_keeps", knot_keeps)
    pull = np.asarray(check.not_negative("pull", pull))
    return np.where(pull > 0, strength / np.where(pull > 0, pull, 1.0), np.inf)[()]


def stiffness(breaking_strength, stretch_at_break, length):
    """Give the pull for each metre that a length of cord stretches.

    Equation: k = F_break / (e_break L)

    Parameters
    ----------
    breaking_strength : [N] of the straight cord, > 0; all arguments broadcast
    stretch_at_break : [-] e_break, share of its length by which it is longer when it breaks, > 0
    length : [m] L of the cord that carries the pull, > 0

    Returns
    -------
    stiffness : [N/m] half the length is twice as stiff

    Valid: straight-line stretch. New braided cord gives more at first: set it once before measuring.
    Raises: ValueError when a number is not above 0.
    Source: common practice, no source.

    >>> print(stiffness(1000.0, 0.10, 0.8))
    12500.0
    """
    stretched = check.positive("stretch_at_break", stretch_at_break) * check.positive("length", length)
    return check.positive("breaking_strength", breaking_strength) / stretched


def snatch_load(weight, mass, speed, stiffness, drum_mass=np.inf):
    """Give the highest pull when a drum that already turns makes a slack cord tight and picks up a load at rest.

    Equation: T = T_e + sqrt((W - T_e)^2 + k m' v_1^2); v_1^2 = v^2 - W^2 / (k M); T_e = W M / (m + M);
        m' = m M / (m + M); with a heavy drum T = W + v sqrt(k m)

    Parameters
    ----------
    weight : [N] W, steady pull that lifts the load off the floor, > 0; all arguments broadcast
    mass : [kg] m that moves as fast as the cord, > 0; behind a tackle of n falls mass / n^2
    speed : [m/s] v of the cord when it becomes tight, >= 0
    stiffness : [N/m] k of the cord, > 0, see stiffness
    drum_mass : [kg] M, rotor and drum as felt at the cord: inertia / radius^2, > 0; inf when nothing slows it

    Returns
    -------
    pull : [N] highest; less than the weight where the drum stops before the load lifts

    Valid: cord like a spring, nothing else gives way: on the safe side. The motor's own torque in this short time is
        left out, which is fair where the drum already runs at full speed; from a slow start, or without slack, it is
        the motor that makes the pull: see winch.snatch.
    Raises: ValueError when a number is out of its range.
    Source: two bodies and a spring, energy kept; common practice, no source.

    >>> print(f"{snatch_load(118.0, 12.0, 0.15, 12000.0):.0f} N for a weight of 118 N")
    175 N for a weight of 118 N
    """
    weight, mass, k = (
        check.positive("weight", weight),
        check.positive("mass", mass),
        check.positive("stiffness", stiffness),
    )
    square, endless = np.asarray(check.not_negative("speed", speed)) ** 2, np.isposinf(drum_mass)
    share = np.where(
        endless, 0.0, 1 / np.asarray(check.positive("drum_mass", np.where(endless, 1.0, drum_mass)))
    )  # 1 / M
    left = square - weight**2 * share / k
    both, level = mass / (1 + mass * share), weight / (1 + mass * share)
    lifted = level + np.sqrt((weight - level) ** 2 + k * both * np.maximum(left, 0.0))
    stopped = np.sqrt(square * k / np.where(share > 0, share, 1.0))
    return np.where(left >= 0, lifted, stopped)[()]


def drop_load(mass, height, stiffness):
    """Give the highest pull when a load falls and the cord catches it.

    Equation: T = W + sqrt(W^2 + 2 k W h)

    Parameters
    ----------
    mass : [kg] that falls, > 0; all arguments broadcast
    height : [m] h of free fall before the cord is tight, >= 0
    stiffness : [N/m] k of the cord, > 0

    Returns
    -------
    pull : [N] highest; twice the weight even from no height

    Valid: cord like a spring, no loss: on the safe side.
    Raises: ValueError when a number is out of its range.
    Source: energy of the fall and of the stretch; a worked textbook example at holooly.com (question 1.27, the book
        unnamed).

    >>> at_once, dropped = (drop_load(12.0, height, 12000.0) / (12.0 * GRAVITY) for height in (0.0, 0.02))
    >>> print(f"{at_once:.0f}, {dropped:.1f}")
    2, 3.3
    """
    weight = check.positive("mass", mass) * GRAVITY
    fall = 2 * check.positive("stiffness", stiffness) * weight * np.asarray(check.not_negative("height", height))
    return (weight + np.sqrt(weight**2 + fall))[()]


def capstan_ratio(friction, wrap):
    """Give how much more a cord round a post holds than is held at its loose end.

    Equation: T_load / T_hold = e^(mu angle)

    Parameters
    ----------
    friction : [-] mu of cord on post, >= 0; both broadcast
    wrap : [rad] angle over which the cord lies on the post, >= 0; one turn is 2 pi, never 360

    Returns
    -------
    ratio : [-] the same for a thick and a thin post

    Valid: limp cord about to slip on a post that does not turn. On a drum, three turns that always stay on keep the
        pull away from the fastening.
    Raises: ValueError when a number is negative.
    Source: Khurmi & Gupta, Theory of Machines, 14th ed., Example 11.5; the equation of Euler and Eytelwein.

    >>> print(f"{capstan_ratio(0.25, 3 * 2 * np.pi):.0f}")
    111
    """
    return np.exp(check.not_negative("friction", friction) * np.asarray(check.not_negative("wrap", wrap)))


def tackle_efficiency(falls, pulley_efficiency, pulleys=None):
    """Give the efficiency of a tackle whose pulleys each lose a share.

    Equation: eta = e^(s - n + 1) (1 - e^n) / (n (1 - e))

    Parameters
    ----------
    falls : [whole] n, parts of the rope that carry the load, at least 1; all arguments broadcast
    pulley_efficiency : [-] e of one pulley, above 0 and at most 1
    pulleys : [whole] s that the rope runs over, at least falls - 1: as many as falls where it is pulled from the fixed
        block, which is taken where none is given; falls - 1 where the pulled part carries the load too, such as that of
        a winch that lifts itself

    Returns
    -------
    efficiency : [-] of the whole tackle while it lifts

    Valid: all pulleys alike; what a pulley loses grows evenly with the pull.
    Raises: ValueError when a number is out of its range.
    Source: API Recommended Practice 9B, case A: (K^n - 1) / (K^s n (K - 1)) with K = 1 / e; Pipeline Rules of Thumb
        Handbook, block and tackle.

    >>> print(f"{tackle_efficiency(4, 0.95):.2f}, {tackle_efficiency(4, 0.95, 3):.2f} by a winch that lifts itself")
    0.88, 0.93 by a winch that lifts itself
    """
    n, e = check.whole("falls", falls, 1), np.asarray(check.fraction("pulley_efficiency", pulley_efficiency))
    before = np.asarray(1 if pulleys is None else check.whole("pulleys", pulleys, 0) - n + 1)
    if np.any(before < 0):
        raise ValueError(
            f"pulleys is {np.min(pulleys)}, but {np.max(n)} falls need at least {np.max(n) - 1}; count where the rope "
            "turns."
        )
    lost = np.where(e < 1, 1 - e, 1.0)
    return np.where(e < 1, e**before * (1 - e**n) / (n * lost), 1.0)[()]


def tackle_pull(load, falls, efficiency=1.0):
    """Give the pull in the rope of a tackle that lifts a load.

    Equation: T = W / (n eta); the rope moves n times as far as the load

    Parameters
    ----------
    load : [N] on the moving block, the block's own weight included, >= 0; all arguments broadcast
    falls : [whole] n, parts of the rope that carry the load, at least 1
    efficiency : [-] of the tackle, above 0 and at most 1

    Returns
    -------
    pull : [N] in the rope

    Valid: parallel falls, lifting steadily.
    Raises: ValueError when a number is out of its range.
    Source: OpenStax College Physics 2e, section 9.5; Tayal, Engineering Mechanics, Example 8-4.

    >>> print(tackle_pull(120.0, 2, 0.96))
    62.5
    """
    return np.asarray(check.not_negative("load", load)) / (
        check.whole("falls", falls, 1) * check.fraction("efficiency", efficiency)
    )


def anchor_force(load, pull, pulled_away):
    """Give the force on what the fixed block hangs on.

    Equation: F = W + T pulled back towards the load; F = W - T pulled the way the load moves

    Parameters
    ----------
    load : [N] on the moving block, blocks included, >= 0; all arguments broadcast
    pull : [N] in the rope, see tackle_pull, >= 0
    pulled_away : [yes/no] the rope is pulled in the direction in which the load moves

    Returns
    -------
    force : [N] on the anchor

    Valid: parallel falls. A single fixed pulley doubles the load on its anchor: mind the bracket.
    Raises: ValueError when load or pull is negative.
    Source: OpenStax College Physics 2e, section 9.5, forces on the ceiling.

    >>> print(anchor_force(100.0, 100.0, False), anchor_force(100.0, 50.0, True))
    200.0 50.0
    """
    pull = np.asarray(check.not_negative("pull", pull))
    return (check.not_negative("load", load) + np.where(pulled_away, -pull, pull))[()]
