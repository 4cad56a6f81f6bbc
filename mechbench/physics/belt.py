"""Toothed belts and roller chains: lengths, centre distances, wrap, what they bear.

        .--------------------------.
      /   \\ ) wrap                  \\        both wheels turn the same way
     ( D1 o )<-- centre distance -->( o D2 )
      \\   /                         /
        '--------------------------'
Contents
    pulley_diameter, sprocket_diameter                       pitch diameters
    wrap_angle, belt_length, belt_centre_distance            any open belt, exact
    Belt, nearest_belt                                       toothed belt of whole pitches
    chain_links, Chain, nearest_chain, STANDARD_CHAINS       roller chain of an even number of links
    belt_torque, chain_torque                                from the allowed tension
"""

from dataclasses import dataclass

import numpy as np

from mechbench.physics import check

# Number of the size -> (pitch in m, least breaking strength in N), ANSI/ASME B29.1. Work at a small part of it.
STANDARD_CHAINS = {25: (0.00635, 3469.6), 35: (0.009525, 7828.9)}


@dataclass(frozen=True)
class Belt:
    """Hold a belt of whole pitches and how it sits.

    Fields
    ------
    pitches : [whole] teeth of the belt
    length : [m] along the pitch line
    centre_distance : [m] at which the belt is straight and without slack
    wrap : [rad] wrap angle on the smaller pulley
    teeth_in_mesh : [-] teeth of the smaller pulley that are in touch; common practice: 6 or more
    """

    pitches: int
    length: float
    centre_distance: float
    wrap: float
    teeth_in_mesh: float


@dataclass(frozen=True)
class Chain:
    """Hold a chain of whole links and how it sits.

    Fields
    ------
    links : [whole] number of links, even: a chain closes without a cranked link
    length : [m] of the chain
    centre_distance : [m] at which the chain is straight and without slack
    """

    links: int
    length: float
    centre_distance: float


def pulley_diameter(pitch, teeth):
    """Give the pitch diameter of a toothed belt's pulley.

    Equation: D = p z / pi

    Parameters
    ----------
    pitch : [m] from tooth to tooth of the belt, > 0; both broadcast
    teeth : [whole] of the pulley, >= 4

    Returns
    -------
    diameter : [m] where the belt's cords run; the pulley itself is a little smaller

    Valid: toothed belts.
    Raises: ValueError when pitch is not above 0 or teeth is not a whole number of at least 4.
    Source: ISO 5294 (from memory).

    >>> print(f"{1000 * pulley_diameter(0.004, 30):.1f} mm")
    38.2 mm
    """
    return check.positive("pitch", pitch) * check.whole("teeth", teeth, 4) / np.pi


def sprocket_diameter(pitch, teeth):
    """Give the pitch diameter of a roller chain's sprocket.

    Equation: D = p / sin(pi / z)

    Parameters
    ----------
    pitch : [m] from pin to pin of the chain, > 0; both broadcast
    teeth : [whole] of the sprocket, >= 4

    Returns
    -------
    diameter : [m] of the circle through the pins

    Valid: roller chains.
    Raises: ValueError when pitch is not above 0 or teeth is not a whole number of at least 4.
    Source: Bhandari, Design of Machine Elements, Example 14.4 (ANSI/ASME B29.1).

    >>> print(f"{1000 * sprocket_diameter(0.01905, 17):.3f} mm")
    103.674 mm
    """
    return check.positive("pitch", pitch) / np.sin(np.pi / check.whole("teeth", teeth, 4))


def _apart(centre_distance, least):
    """Check that two wheels do not overlap."""
    return check.at_least(
        "centre_distance",
        centre_distance,
        least,
        "nearer the wheels overlap: move the shafts apart or take smaller wheels",
    )


def _lean(first, second, distance):
    """Give the angle by which the straight part of a belt leans, positive when the first wheel is the larger."""
    return np.arcsin((np.asarray(first) - second) / (2 * np.asarray(distance)))


def wrap_angle(diameter, other_diameter, centre_distance):
    """Give the angle over which an open belt touches a pulley.

    Equation: wrap = pi + 2 asin((D - D_other) / (2 C))

    Parameters
    ----------
    diameter : [m] of the pulley that is asked, > 0; all arguments broadcast
    other_diameter : [m] of the other pulley, > 0
    centre_distance : [m] between the shafts, at least half the sum of both diameters

    Returns
    -------
    wrap : [rad] half a turn for equal pulleys, less on the smaller one

    Valid: two pulleys, belt not crossed, no tensioner.
    Raises: ValueError when a length is not above 0 or the pulleys would overlap.
    Source: T. H. Wentzell, Machine Design, Example 14.2.

    >>> print(f"{np.degrees(wrap_angle(4.0, 6.0, 19.12)):.2f} deg")
    174.00 deg
    """
    first = check.positive("diameter", diameter)
    second = check.positive("other_diameter", other_diameter)
    distance = _apart(centre_distance, (first + second) / 2)
    return np.pi + 2 * _lean(first, second, distance)


def belt_length(driver_diameter, driven_diameter, centre_distance):
    """Give the length of an open belt round two pulleys.

    Equation: L = 2 C cos a + pi (D1 + D2) / 2 + a (D1 - D2), sin a = (D1 - D2) / (2 C)

    Parameters
    ----------
    driver_diameter : [m] pitch diameter, > 0; all arguments broadcast
    driven_diameter : [m] pitch diameter, > 0
    centre_distance : [m] between the shafts, at least half the sum of both diameters

    Returns
    -------
    length : [m] along the pitch line

    Valid: exact; two pulleys, belt not crossed, no tensioner, no slack.
    Raises: ValueError when a length is not above 0 or the pulleys would overlap.
    Source: geometry; the short formula is in T. H. Wentzell, Machine Design, Example 14.2.

    >>> print(f"{belt_length(4.0, 6.0, 19.12):.2f}")
    54.00
    """
    first = check.positive("driver_diameter", driver_diameter)
    second = check.positive("driven_diameter", driven_diameter)
    distance = _apart(centre_distance, (first + second) / 2)
    lean = _lean(first, second, distance)
    return 2 * distance * np.cos(lean) + np.pi * (first + second) / 2 + lean * (first - second)


def belt_centre_distance(driver_diameter, driven_diameter, length):
    """Give the centre distance at which a belt of known length fits.

    Equation: belt_length(C) = L, solved by Newton's method with dL/dC = 2 cos a

    Parameters
    ----------
    driver_diameter : [m] pitch diameter, > 0; all arguments broadcast
    driven_diameter : [m] pitch diameter, > 0
    length : [m] of the belt along the pitch line, at least that of pulleys that touch

    Returns
    -------
    centre_distance : [m] between the shafts

    Valid: exact; two pulleys, belt not crossed, no tensioner, no slack.
    Raises: ValueError when a length is not above 0 or the belt is too short for the pulleys.
    Source: T. H. Wentzell, Machine Design, Example 14.2.

    >>> print(f"{belt_centre_distance(4.0, 6.0, 54.0):.2f}")
    19.12
    """
    first = check.positive("driver_diameter", driver_diameter)
    second = check.positive("driven_diameter", driven_diameter)
    least = (first + second) / 2
    wanted = check.at_least(
        "length",
        length,
        belt_length(first, second, least),
        "a shorter belt does not go round these pulleys: take a longer belt or smaller pulleys",
    )
    # Belt length grows with the distance and is curved one way, so Newton's steps from far out come in from one side.
    distance = np.maximum(np.asarray(wanted) / 2, least)
    for _ in range(50):
        step = (belt_length(first, second, distance) - wanted) / (2 * np.cos(_lean(first, second, distance)))
        distance = np.maximum(distance - step, least)
        if np.all(np.abs(step) <= 1e-14 * distance):
            break
    return distance[()]


def nearest_belt(pitch, driver_teeth, driven_teeth, centre_distance):
    """Give the toothed belt of whole pitches whose length is nearest to what a wished centre distance asks.

    Equation: pitches = belt_length / pitch, rounded; then belt_centre_distance

    Parameters
    ----------
    pitch : [m] from tooth to tooth, > 0; all arguments broadcast
    driver_teeth : [whole] of the driver's pulley, >= 4
    driven_teeth : [whole] of the driven pulley, >= 4
    centre_distance : [m] wished, at least half the sum of both pitch diameters

    Returns
    -------
    belt : [part] Belt with its exact centre distance

    Valid: any number of pitches can be had; where the shop sells only some, move to the next and use
        belt_centre_distance. Leave a way to tighten.
    Raises: ValueError when an argument is out of bounds or the pulleys would overlap.
    Source: geometry, as in belt_length; whole pitches are common practice, no source.

    >>> belt = nearest_belt(0.003, 20, 60, 0.100)
    >>> print(belt.pitches, f"{1000 * belt.centre_distance:.2f} mm")
    108 100.17 mm
    """
    first = pulley_diameter(pitch, check.whole("driver_teeth", driver_teeth, 4))
    second = pulley_diameter(pitch, check.whole("driven_teeth", driven_teeth, 4))
    wished = belt_length(first, second, centre_distance) / pitch
    shortest = np.ceil(belt_length(first, second, (first + second) / 2) / pitch * (1 - 1e-12))
    pitches = np.maximum(np.round(wished), shortest).astype(int)[()]
    distance = belt_centre_distance(first, second, pitches * pitch)
    small, large = np.minimum(first, second), np.maximum(first, second)
    wrap = wrap_angle(small, large, distance)
    return Belt(
        pitches=pitches,
        length=pitches * pitch,
        centre_distance=distance,
        wrap=wrap,
        teeth_in_mesh=np.minimum(driver_teeth, driven_teeth) * wrap / (2 * np.pi),
    )


def chain_links(pitch, driver_teeth, driven_teeth, centre_distance):
    """Give the length of a roller chain in links, not yet rounded.

    Equation: X = 2 C / p + (z1 + z2) / 2 + ((z2 - z1) / (2 pi))^2 p / C

    Parameters
    ----------
    pitch : [m] from pin to pin, > 0; all arguments broadcast
    driver_teeth : [whole] of the driver's sprocket, >= 4
    driven_teeth : [whole] of the driven sprocket, >= 4
    centre_distance : [m] between the shafts, at least half the sum of both pitch diameters

    Returns
    -------
    links : [-] length over pitch

    Valid: the standard's short formula; within 0.3 % of the exact length up to a ratio of 4:1.
    Raises: ValueError when an argument is out of bounds or the sprockets would overlap.
    Source: Bhandari, Design of Machine Elements, Example 14.3 (ANSI/ISO formula).

    >>> print(f"{chain_links(0.0127, 21, 63, 0.500):.3f}")
    121.875
    """
    first, second = check.whole("driver_teeth", driver_teeth, 4), check.whole("driven_teeth", driven_teeth, 4)
    distance = _apart(centre_distance, (sprocket_diameter(pitch, first) + sprocket_diameter(pitch, second)) / 2)
    pitch = np.asarray(pitch)
    return 2 * distance / pitch + (first + second) / 2 + ((second - first) / (2 * np.pi)) ** 2 * pitch / distance


def nearest_chain(pitch, driver_teeth, driven_teeth, centre_distance):
    """Give the chain of an even number of links whose length is nearest to what a wished centre distance asks.

    Equation: C = p (u + sqrt(u^2 - 8 ((z2 - z1) / (2 pi))^2)) / 4, u = links - (z1 + z2) / 2

    Parameters
    ----------
    pitch : [m] from pin to pin, > 0; all arguments broadcast
    driver_teeth : [whole] of the driver's sprocket, >= 4
    driven_teeth : [whole] of the driven sprocket, >= 4
    centre_distance : [m] wished, at least half the sum of both pitch diameters

    Returns
    -------
    chain : [part] Chain with its centre distance

    Valid: the standard's short formula. A chain wears longer: leave a way to tighten, and cover it.
    Raises: ValueError when an argument is out of bounds or the sprockets would overlap.
    Source: Bhandari, Design of Machine Elements, Example 14.3 (ANSI/ISO formula).

    >>> chain = nearest_chain(0.0127, 21, 63, 0.500)
    >>> print(chain.links, f"{1000 * chain.centre_distance:.3f} mm")
    122 500.805 mm
    """
    first, second = np.asarray(driver_teeth), np.asarray(driven_teeth)
    wished = chain_links(pitch, driver_teeth, driven_teeth, centre_distance)
    touching = (sprocket_diameter(pitch, first) + sprocket_diameter(pitch, second)) / 2
    shortest = 2 * np.ceil(chain_links(pitch, first, second, touching) / 2)
    links = np.maximum(2 * np.round(wished / 2), shortest).astype(int)[()]
    straight = links - (first + second) / 2
    distance = pitch * (straight + np.sqrt(straight**2 - 8 * ((second - first) / (2 * np.pi)) ** 2)) / 4
    return Chain(links=links, length=links * pitch, centre_distance=distance)


def belt_torque(tension, pitch, teeth):
    """Give the torque that a toothed belt may bring on a pulley.

    Equation: T = F D / 2

    Parameters
    ----------
    tension : [N] allowed working tension beyond the pretension, > 0; all arguments broadcast
    pitch : [m] from tooth to tooth, > 0
    teeth : [whole] of the pulley, >= 4

    Returns
    -------
    torque : [N·m] on the pulley

    Valid: at least 6 teeth in mesh; with fewer the belt jumps a tooth first.
    Raises: ValueError when an argument is out of bounds.
    Source: common practice, no source; T. H. Wentzell, Machine Design, Example 14.1 uses it.

    >>> print(f"{belt_torque(120.0, 0.004, 25):.2f}")
    1.91
    """
    return check.positive("tension", tension) * pulley_diameter(pitch, teeth) / 2


def chain_torque(tension, pitch, teeth):
    """Give the torque that a roller chain may bring on a sprocket.

    Equation: T = F D / 2

    Parameters
    ----------
    tension : [N] allowed working tension, > 0, a small part of the breaking strength; all arguments broadcast
    pitch : [m] from pin to pin, > 0
    teeth : [whole] of the sprocket, >= 4

    Returns
    -------
    torque : [N·m] on the sprocket

    Valid: slow drives with a little grease; hub and key may be weaker.
    Raises: ValueError when an argument is out of bounds.
    Source: common practice, no source.

    >>> print(f"{chain_torque(500.0, 0.010, 16):.2f}")
    12.81
    """
    return check.positive("tension", tension) * sprocket_diameter(pitch, teeth) / 2
