r"""Balance: where the centre of gravity is, what makes the robot tip over, and what moving one part does to that.

                  centre of gravity                The weight and the push of braking act together as one arrow
               /|                                  through the centre of gravity. Where it meets the floor is the
              / | height                           pressure point. While that point is between the wheels the robot
             /  |                                  stands; on the edge of the footprint it begins to tip:
        ----o---+---room--o----> ahead
          wheel         wheel                          tan(tilt) = room / height        a = g room / height

Contents
    Part, Centre, centre_of_gravity, moved    a list of parts; some of them raised or put elsewhere
    tilt_limit                                the steepest tilt or ramp
    braking_limit, turning_limit              the most braking or speeding up; the highest speed in a bend
    braking_sure                              the same where the centre of gravity is not well known
    Stance, stance, stance_change             all of this at once, any way, and what moving one part does to it

Places: x ahead, y to the left, z up from the floor; any origin, the same for parts and wheels.
Footprint, room, the floor's push and the loads on the wheels are in footing; what fits the start box is in envelope.
Try a tilt on the real robot with two people, low and slowly, with something soft to land on; the event's rules first.
"""

from dataclasses import dataclass, fields, is_dataclass, replace

import numpy as np

from mechbench.physics import check
from mechbench.physics.constants import GRAVITY
from mechbench.physics.footing import footprint, nearest_edge, room, wheel_loads


@dataclass(frozen=True)
class Part:
    """Hold one part of the list: its mass, where its own centre is, and how surely both are known.

    Fields
    ------
    name : [text] what it is
    mass : [kg] of the part; below 0 for a hole in another part
    x : [m] of its centre, ahead; any origin, the same for all parts and wheels
    y : [m] of its centre, to the left
    z : [m] of its centre, up from the floor
    mass_sd : [kg] standard deviation of the mass, >= 0; 0 when it was weighed
    place_sd : [m] standard deviation of each of x, y and z, >= 0

    Numbers may be arrays; parts of one list broadcast.
    """

    name: str
    mass: float
    x: float
    y: float
    z: float
    mass_sd: float = 0.0
    place_sd: float = 0.0

    def __post_init__(self):
        for name in ("mass", "x", "y", "z"):
            object.__setattr__(self, name, check.finite(name, getattr(self, name)))
        for name in ("mass_sd", "place_sd"):
            object.__setattr__(self, name, check.not_negative(name, getattr(self, name)))


@dataclass(frozen=True)
class Centre:
    """Hold the mass of a list of parts and their common centre of gravity.

    Fields
    ------
    mass : [kg] of all parts
    x : [m] ahead
    y : [m] to the left
    z : [m] up from the floor
    mass_sd : [kg] standard deviation of the mass
    x_sd : [m] standard deviation of x
    y_sd : [m] standard deviation of y
    z_sd : [m] standard deviation of z
    """

    mass: float
    x: float
    y: float
    z: float
    mass_sd: float
    x_sd: float
    y_sd: float
    z_sd: float


def centre_of_gravity(parts):
    """Give the centre of gravity of a list of parts, and how surely it is known.

    Equation: X = sum(m x) / sum(m); sd(X)^2 = sum(((x - X) sd(m))^2 + (m sd(x))^2) / sum(m)^2

    Parameters
    ----------
    parts : [part] list of Part; their numbers broadcast

    Returns
    -------
    centre : [part] Centre; each field has the shape of the parts' numbers broadcast together

    Valid: the errors of the parts don't depend on each other and are small against the robot (first order).
    Raises: ValueError when the list is empty or its mass is not above 0.
    Source: Baker & Haynes, Engineering Statics, chapter 7; errors: JCGM 100:2008 (GUM) equation 10 (from memory).

    >>> frame, arm = Part("frame", 9.0, 0.0, 0.0, 0.1), Part("arm", 1.0, 0.2, 0.0, 0.6, mass_sd=0.1)
    >>> both = centre_of_gravity([frame, arm])
    >>> print(f"{both.mass:.0f} kg, {both.z:.3f} m up, sd {1000 * both.z_sd:.1f} mm")
    10 kg, 0.150 m up, sd 4.5 mm
    """
    parts = list(parts)
    if not parts:
        raise ValueError("parts is empty, but it must be a list of at least one Part; list what the robot is made of.")
    names = ("mass", "mass_sd", "place_sd", "x", "y", "z")
    columns = np.broadcast_arrays(*[getattr(part, name) for name in names for part in parts])
    mass, mass_sd, place_sd, *places = np.reshape(columns, (len(names), len(parts), *np.shape(columns[0])))
    whole = np.sum(mass, axis=0)
    if np.any(whole <= 0):
        raise ValueError(
            f"mass of all parts is {np.min(whole):g}, but it must be above 0; a hole weighs less than its part."
        )
    middle = [np.sum(mass * place, axis=0) / whole for place in places]
    spread = [
        np.sqrt(np.sum(((place - centre) * mass_sd) ** 2 + (mass * place_sd) ** 2, axis=0)) / whole
        for place, centre in zip(places, middle)
    ]
    return Centre(
        whole[()], *(one[()] for one in middle), np.sqrt(np.sum(mass_sd**2, axis=0))[()], *(one[()] for one in spread)
    )


def moved(parts, names, dx=0.0, dy=0.0, dz=0.0):
    """Give the list of parts with some of them moved, such as an arm that is raised; the given list stays as it is.

    Equation: x + dx, y + dy, z + dz for the parts named

    Parameters
    ----------
    parts : [part] list of Part
    names : [text] name of one part, or a list of names
    dx : [m] moved ahead
    dy : [m] moved to the left
    dz : [m] moved up

    Returns
    -------
    parts : [part] new list, in the same order

    Valid: parts that keep their own shape.
    Raises: ValueError when no part has such a name.
    Source: common practice, no source.

    >>> frame, arm = Part("frame", 9.0, 0.0, 0.0, 0.1), Part("arm", 1.0, 0.2, 0.0, 0.3)
    >>> print(f"{centre_of_gravity(moved([frame, arm], 'arm', dz=0.5)).z:.3f}")
    0.170
    """
    wanted = {names} if isinstance(names, str) else set(names)
    missing = wanted - {part.name for part in parts}
    if missing:
        known = ", ".join(part.name for part in parts)
        raise ValueError(
            f"names is {sorted(missing)[0]!r}, but it must be one of the parts ({known}); name a part of the list."
        )
    return [
        replace(part, x=part.x + dx, y=part.y + dy, z=part.z + dz) if part.name in wanted else part for part in parts
    ]


# --- limits ---------------------------------------------------------------------------------------------------------


def tilt_limit(room, height):
    """Give the steepest tilt or ramp on which the robot does not tip over.

    Equation: tan(tilt) = room / height

    Parameters
    ----------
    room : [m] from below the centre of gravity to the edge, downhill (see room); below 0 outside; both broadcast
    height : [m] of the centre of gravity over the floor, >= 0

    Returns
    -------
    tilt : [rad] of the floor; below 0 when it falls over on a level floor

    Valid: at rest; wheels that don't slide and don't give way.
    Raises: ValueError when height is below 0.
    Source: 49 CFR 575 proposal of June 2000 (static stability factor t / 2h and tilt table); level geometry.

    >>> print(f"{np.degrees(tilt_limit(0.15, 0.25)):.0f} degrees")
    31 degrees
    """
    return np.arctan2(check.finite("room", room), check.not_negative("height", height))[()]


def braking_limit(room, height, slope=0.0):
    """Give the most braking, or speeding up, before the robot tips over.

    Equation: a = g (cos(slope) room / height - sin(slope))

    Parameters
    ----------
    room : [m] to the edge on the side it would tip to: ahead when braking, back when speeding up; all broadcast
    height : [m] of the centre of gravity over the floor, >= 0
    slope : [rad] of the floor, falling towards the side it would tip to; below 0 when rising

    Returns
    -------
    acceleration : [m/s2] along the floor; below 0 when it tips over without braking; inf for a height of 0

    Valid: the wheels have the grip: whichever is less, this or the grip, is the limit.
    Raises: ValueError when height is below 0 or slope is not between -pi/2 and pi/2.
    Source: D'Alembert's principle; Meriam & Kraige, Dynamics, chapter 6 (from memory).

    >>> print(f"{braking_limit(0.16, 0.30):.1f}")
    5.2
    """
    slope = check.between("slope", slope, -np.pi / 2, np.pi / 2, "give an angle in rad")
    tan = _over(check.finite("room", room), check.not_negative("height", height))
    return (GRAVITY * (np.cos(slope) * tan - np.sin(slope)))[()]


def braking_sure(room, height, room_sd, height_sd, times):
    """Give the braking before it tips that holds although the centre of gravity is not well known.

    Equation: g r, the r at which room - r height = times sqrt(room_sd^2 + r^2 height_sd^2); the lower one of two

    Parameters
    ----------
    room : [m] to the edge on the side it would tip to; below 0 outside; all broadcast
    height : [m] of the centre of gravity over the floor, > 0
    room_sd : [m] standard deviation of room, >= 0
    height_sd : [m] standard deviation of height, >= 0
    times : [-] standard deviations to the bad side, >= 0; 1.645 holds in 19 of 20 cases

    Returns
    -------
    acceleration : [m/s2] along the floor; below 0 when it may tip over without braking

    Valid: errors of both that are normal and don't depend on each other. Where height less `times` of its standard
        deviations is not above a tenth of it, it is taken as that tenth: a robot is not below the floor.
    Raises: ValueError when height is not above 0, or another one but room is below 0.
    Source: Fieller's limits of a ratio, J. R. Stat. Soc. B 16 (1954) 175 (from memory).

    >>> print(f"{braking_sure(0.16, 0.30, 0.02, 0.03, 1.645):.2f} of {braking_sure(0.16, 0.30, 0.02, 0.03, 0.0):.2f}")
    3.97 of 5.23
    """
    room, height = check.finite("room", room), check.positive("height", height)
    times = check.not_negative("times", times)
    off = times * check.not_negative("room_sd", room_sd)
    high = np.minimum(times * check.not_negative("height_sd", height_sd), 0.9 * height)
    inside = room * height
    root = np.sqrt(np.maximum(inside**2 - (height**2 - high**2) * (room**2 - off**2), 0.0))
    return (GRAVITY * (inside - root) / (height**2 - high**2))[()]


def _over(room, height):
    """room / height; without end where the height is 0."""
    room, height = np.broadcast_arrays(room, height)
    return np.divide(room, height, out=np.where(room < 0, -np.inf, np.inf), where=height > 0)


def turning_limit(room, height, radius):
    """Give the highest speed in a bend before the robot tips outwards.

    Equation: v = sqrt(g room radius / height)

    Parameters
    ----------
    room : [m] to the edge on the outer side of the bend, >= 0; all broadcast
    height : [m] of the centre of gravity over the floor, > 0
    radius : [m] of the bend, > 0

    Returns
    -------
    speed : [m/s] of the centre of gravity

    Valid: level floor, steady bend, wheels that don't slide sideways.
    Raises: ValueError when room is below 0 or height or radius is not above 0.
    Source: 49 CFR 575 proposal of June 2000 (static stability factor as the sideways acceleration in g that tips it).

    >>> print(f"{turning_limit(0.16, 0.30, 0.5):.2f}")
    1.62
    """
    return np.sqrt(
        GRAVITY * check.not_negative("room", room) * check.positive("radius", radius) / check.positive("height", height)
    )


# --- all at once ----------------------------------------------------------------------------------------------------


@dataclass(frozen=True)
class Stance:
    """Hold how a robot stands: what tips it in each direction, and the loads on its wheels.

    Fields
    ------
    centre : [part] Centre of gravity
    tilt_least : [rad] the steepest tilt or ramp on which it stands facing any way
    tilt_ahead : [rad] the same, tipping over its front: facing down a ramp
    tilt_back : [rad] tipping over its back: facing up a ramp
    tilt_left : [rad] tipping to the left
    tilt_right : [rad] tipping to the right
    braking : [m/s2] most braking while driving ahead
    speeding_up : [m/s2] most speeding up ahead, or braking while driving back
    sideways : [m/s2] most speeding up or turning to the worse side
    loads : [N] of each wheel at rest, shape [..., W]

    A limit below 0 means that it falls over at rest. Grip may set lower limits.
    """

    centre: Centre
    tilt_least: float
    tilt_ahead: float
    tilt_back: float
    tilt_left: float
    tilt_right: float
    braking: float
    speeding_up: float
    sideways: float
    loads: np.ndarray


def stance(parts, wheels):
    """Give how a robot stands on its wheels.

    Equation: centre_of_gravity, then tilt_limit and braking_limit with the room in each direction

    Parameters
    ----------
    parts : [part] list of Part; their numbers broadcast
    wheels : [m] x and y of each wheel's contact, shape [W,2], W at least 3

    Returns
    -------
    stance : [part] Stance

    Valid: as tilt_limit and footing.wheel_loads. Parts that are raised: move them first (see moved).
    Raises: ValueError when the parts have no mass, their centre is not above the floor, or the wheels make no
        footprint.
    Source: as tilt_limit, braking_limit and footing.wheel_loads.

    >>> four = [(0.15, 0.16), (0.15, -0.16), (-0.15, 0.16), (-0.15, -0.16)]
    >>> robot = [Part("frame", 9.0, 0.0, 0.0, 0.1), Part("arm", 2.0, 0.2, 0.0, 0.8)]
    >>> print(f"{stance(robot, four).braking:.2f} m/s2")
    4.90 m/s2
    """
    centre = centre_of_gravity(parts)
    check.positive("z of the centre of gravity", centre.z, "give z up from the floor")
    around = footprint(wheels)
    ahead, left, back, right = (room(around, centre.x, centre.y, quarter * np.pi / 2) for quarter in range(4))
    least, _ = nearest_edge(around, centre.x, centre.y)
    return Stance(
        centre,
        *(tilt_limit(one, centre.z) for one in (least, ahead, back, left, right)),
        *(braking_limit(one, centre.z) for one in (ahead, back, np.minimum(left, right))),
        wheel_loads(wheels, centre.mass * GRAVITY, centre.x, centre.y).loads,
    )


def stance_change(parts, wheels, names, dx=0.0, dy=0.0, dz=0.0):
    """Give what moving one part, or some parts, does to how a robot stands.

    Equation: stance after - stance before; the centre of gravity moves by m dx / M

    Parameters
    ----------
    parts : [part] list of Part; their numbers broadcast
    wheels : [m] x and y of each wheel's contact, shape [W,2], W at least 3
    names : [text] name of one part, or a list of names
    dx : [m] moved ahead; may be an array, to try several places at once
    dy : [m] moved to the left
    dz : [m] moved up

    Returns
    -------
    change : [part] Stance that holds differences; above 0 is more after the move

    Valid: as stance.
    Raises: ValueError as stance and moved.
    Source: as stance.

    >>> four = [(0.15, 0.16), (0.15, -0.16), (-0.15, 0.16), (-0.15, -0.16)]
    >>> robot = [Part("frame", 9.0, 0.0, 0.0, 0.1), Part("arm", 2.0, 0.2, 0.0, 0.8)]
    >>> change = stance_change(robot, four, "arm", dz=-0.5)
    >>> print(f"centre {change.centre.z:+.3f} m, braking {change.braking:+.2f} m/s2")
    centre -0.091 m, braking +3.27 m/s2
    """
    return _minus(stance(moved(parts, names, dx, dy, dz), wheels), stance(parts, wheels))


def _minus(after, before):
    """Differences of all fields of two dataclasses of one kind."""
    if not is_dataclass(after):
        return after - before
    return type(after)(*(_minus(getattr(after, one.name), getattr(before, one.name)) for one in fields(after)))
