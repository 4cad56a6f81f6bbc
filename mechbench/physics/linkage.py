r"""Four-bar linkage: where its links go, how fast, which way it can turn, and where it gets stuck.

                    B                     pins: A between input link and coupler, B between coupler and output link
        coupler  .-'o
            .-'    /                      Angles are counted from the ground line, against the clock: from the
     A  o-'       /  output               input's pivot O towards the output's pivot Q, in rad.
       /         /
input /         /                         Two ways to put it together, the branches: seen from A towards Q, pin B
     o---------o                          lies on the left (+1, "open") or on the right (-1, "crossed").
     O  ground  Q

Contents
    Fourbar, Pose, pose                            the links' angles, both branches, and whether it can be put together
    rates                                          how fast coupler and output turn for each radian of the input
    mechanical_advantage                           torque out over torque in
    transmission_angle, least_transmission_angle   how well the coupler pushes the output
    grashof, grashof_excess                        which link can turn all the way round
    input_range, dead_points                       the limits of the input's and of the output's motion
    coupler_curve, coupler_point_rate              the path of a point on the coupler

Forces, weights and the Load of a lifting four-bar are in linkage_load; a four-bar through three wanted positions in
synthesis; crank and slider in slider_crank; arms that keep or steer the direction of what they carry in parallel.

Positions where the links can't meet are answered, not refused, so that a whole table can be asked at once: the answer
says so (assembles is no), its angles are those of the links pulled straight or folded towards each other, and what
would be found there is without bound (rates are inf, the advantage is 0). Nothing is ever nan.
"""

from dataclasses import dataclass

import numpy as np

from mechbench.physics import check

_FLAT = 1e-9  # sine of a transmission angle below this is a toggle


@dataclass(frozen=True)
class Fourbar:
    """Hold the lengths of a four-bar linkage, pin to pin; arrays broadcast.

    Fields
    ------
    input : [m] link that is turned, > 0
    coupler : [m] link between the two pins A and B, > 0
    output : [m] link that is moved, > 0
    ground : [m] between the two pivots on the frame, > 0
    tilt : [rad] of the ground line above level, from the input's pivot to the output's; it matters to weights only

    Valid: rigid links in one plane, pins without play.
    Source: common practice, no source.
    """

    input: float
    coupler: float
    output: float
    ground: float
    tilt: float = 0.0

    def __post_init__(self):
        for name in ("input", "coupler", "output", "ground"):
            object.__setattr__(self, name, check.positive(name, getattr(self, name)))
        object.__setattr__(self, "tilt", check.finite("tilt", self.tilt))


@dataclass(frozen=True)
class Pose:
    """Hold where the links of a four-bar are.

    Fields
    ------
    input_angle : [rad] of the input link, as asked
    coupler_angle : [rad] of the coupler, from pin A to pin B; -2 pi to 2 pi
    output_angle : [rad] of the output link, from its pivot to pin B; -pi to pi
    assembles : [yes/no] whether the links can meet there
    """

    input_angle: float
    coupler_angle: float
    output_angle: float
    assembles: bool


def _branch(branch):
    if not np.all(np.abs(check.finite("branch", branch)) == 1):
        raise ValueError(
            f"branch is {branch}, but it must be +1 or -1; give +1 for the open linkage, -1 for the crossed one."
        )
    return np.asarray(branch, dtype=float)


def _diagonal_squared(fourbar, angle):
    """Square of the distance from pin A to the output's pivot Q."""
    return fourbar.input**2 + fourbar.ground**2 - 2 * fourbar.input * fourbar.ground * np.cos(angle)


def pose(fourbar, angle, branch=1):
    """Give the angles of coupler and output link for an angle of the input link.

    Equation: s = |AQ|; cos(corner at A) = (b^2 + s^2 - c^2) / (2 b s); coupler = direction of AQ + branch corner

    Parameters
    ----------
    fourbar : [part] a Fourbar
    angle : [rad] of the input link; any shape, broadcasts with the lengths
    branch : [whole] +1 for pin B on the left of the line from A to Q (open), -1 on the right (crossed)

    Returns
    -------
    pose : [part] a Pose; where assembles is no, links pulled straight or folded towards each other

    Valid: any lengths. Where pin A lies on the other pivot the coupler is free: it counts as not assembled.
    Raises: ValueError when angle is not a finite number or branch is not +1 or -1.
    Source: law of cosines; Norton, Design of Machinery, section 4.5 (from memory).

    >>> here = pose(Fourbar(0.040, 0.120, 0.080, 0.100), np.radians(40))
    >>> print(f"coupler {np.degrees(here.coupler_angle):.1f} deg, output {np.degrees(here.output_angle):.1f} deg")
    coupler 20.3 deg, output 57.3 deg
    """
    angle, branch = check.finite("angle", angle), _branch(branch)
    b, c = fourbar.coupler, fourbar.output
    a_x, a_y = fourbar.input * np.cos(angle), fourbar.input * np.sin(angle)
    diagonal = np.sqrt(np.maximum(_diagonal_squared(fourbar, angle), 0.0))
    apart = diagonal > 1e-12 * fourbar.ground
    corner = (b**2 + diagonal**2 - c**2) / (2 * b * np.where(apart, diagonal, 1.0))
    assembles = apart & (np.abs(corner) <= 1 + 1e-12)
    coupler = np.arctan2(-a_y, fourbar.ground - a_x) + branch * np.arccos(np.clip(corner, -1.0, 1.0))
    output = np.arctan2(a_y + b * np.sin(coupler), a_x + b * np.cos(coupler) - fourbar.ground)
    return Pose(*(part[()] for part in np.broadcast_arrays(angle, coupler, output, assembles)))


def _rates(fourbar, here):
    """Rates of coupler and output, and where they are bounded; 0 where they are not."""
    slant = np.sin(here.output_angle - here.coupler_angle)
    turns = here.assembles & (np.abs(slant) > _FLAT)
    slant = np.where(turns, slant, 1.0)
    coupler = fourbar.input * np.sin(here.input_angle - here.output_angle) / (fourbar.coupler * slant)
    output = fourbar.input * np.sin(here.input_angle - here.coupler_angle) / (fourbar.output * slant)
    return np.where(turns, coupler, 0.0), np.where(turns, output, 0.0), turns


def rates(fourbar, angle, branch=1):
    """Give how far coupler and output link turn for each radian of the input link; times its speed: their speeds.

    Equation: d(coupler) = a sin(in - out) / (b sin(out - coupler)); d(output) = a sin(in - coupler) / (c sin(out -
        coupler))

    Parameters
    ----------
    fourbar : [part] a Fourbar
    angle : [rad] of the input link
    branch : [whole] +1 open, -1 crossed

    Returns
    -------
    coupler_rate : [-] rad of the coupler for each rad of the input link
    output_rate : [-] the same of the output link; inf at a toggle, and where it does not assemble

    Valid: any speed; rigid links.
    Raises: as pose.
    Source: Norton, Design of Machinery, section 6.7 (from memory); Khurmi & Gupta, Theory of Machines, 14th ed.,
        Example 7.1.

    >>> print(f"{rates(Fourbar(0.040, 0.150, 0.080, 0.150), np.radians(60))[1]:.3f}")
    0.381
    """
    coupler, output, turns = _rates(fourbar, pose(fourbar, angle, branch))
    return np.where(turns, coupler, np.inf)[()], np.where(turns, output, np.inf)[()]


def mechanical_advantage(fourbar, angle, branch=1):
    """Give the torque of the output link for each N·m on the input link.

    Equation: T_out / T_in = w_in / w_out = c sin(out - coupler) / (a sin(in - coupler))

    Parameters
    ----------
    fourbar : [part] a Fourbar
    angle : [rad] of the input link
    branch : [whole] +1 open, -1 crossed

    Returns
    -------
    advantage : [-] below 0 where the output turns against the input; inf where the output stands (coupler and input in
        line), 0 at a toggle and where it does not assemble

    Valid: without friction and weights; no power is lost.
    Raises: as pose.
    Source: power in equals power out; Norton, Design of Machinery, section 6.4 (from memory).

    >>> print(f"{mechanical_advantage(Fourbar(0.040, 0.150, 0.080, 0.150), np.radians(60)):.2f}")
    2.62
    """
    _, output, turns = _rates(fourbar, pose(fourbar, angle, branch))
    stands = turns & (output == 0)
    return np.where(stands, np.inf, np.where(turns, 1.0 / np.where(output == 0, 1.0, output), 0.0))[()]


# --- how well it pushes ---------------------------------------------------------------------------------------------


def _acute(fourbar, diagonal_squared):
    """Acute angle between coupler and output link; 0 where they can't meet."""
    b, c = fourbar.coupler, fourbar.output
    return np.arccos(np.minimum(np.abs(b**2 + c**2 - diagonal_squared) / (2 * b * c), 1.0))


def transmission_angle(fourbar, angle):
    """Give the acute angle between coupler and output link: 90 degrees pushes best, below 40 it pushes badly.

    Equation: cos(mu) = |b^2 + c^2 - s^2| / (2 b c), s^2 = a^2 + d^2 - 2 a d cos(in)

    Parameters
    ----------
    fourbar : [part] a Fourbar
    angle : [rad] of the input link; both branches have the same transmission angle

    Returns
    -------
    transmission_angle : [rad] 0 to pi/2; 0 at a toggle and where it does not assemble

    Valid: the input link drives. The limit of 40 degrees is common practice.
    Raises: ValueError when angle is not a finite number.
    Source: law of cosines; Norton, Design of Machinery, section 3.3 (from memory).

    >>> print(f"{np.degrees(transmission_angle(Fourbar(0.040, 0.120, 0.080, 0.100), 0.0)):.1f} deg")
    26.4 deg
    """
    return _acute(fourbar, _diagonal_squared(fourbar, check.finite("angle", angle)))


def least_transmission_angle(fourbar, start, end):
    """Give the least transmission angle of a swing of the input link.

    Equation: the least of transmission_angle at both ends and at 0 and 180 degrees where the swing passes them

    Parameters
    ----------
    fourbar : [part] a Fourbar
    start : [rad] input angle where the swing begins
    end : [rad] input angle where it ends, counted on beyond 180 degrees where it turns further

    Returns
    -------
    least : [rad] 0 where the swing leaves the range in which it assembles

    Valid: as transmission_angle.
    Raises: ValueError when start or end is not a finite number.
    Source: cos(mu) changes in one direction with cos(in); Norton, Design of Machinery, section 3.3 (from memory).

    >>> rocker = Fourbar(0.040, 0.120, 0.080, 0.100)
    >>> print(f"{np.degrees(least_transmission_angle(rocker, -np.pi, np.pi)):.1f} deg")
    26.4 deg
    """
    low, high = np.minimum(check.finite("start", start), check.finite("end", end)), np.maximum(start, end)
    first = np.ceil(low / np.pi) * np.pi  # the first half turn that the swing passes, if it gets there
    second = first + np.pi
    places = (low, high, np.where(first <= high, first, low), np.where(second <= high, second, low))
    at = np.stack(np.broadcast_arrays(*places), axis=0)
    return np.min(_acute(fourbar, _diagonal_squared(fourbar, at)), axis=0)


# --- which link turns, and how far ----------------------------------------------------------------------------------


def _links(fourbar):
    return np.stack(np.broadcast_arrays(fourbar.input, fourbar.coupler, fourbar.output, fourbar.ground), axis=-1)


def grashof_excess(fourbar):
    """Give the shortest and the longest link together, less the two others.

    Equation: S + L - (P + Q)

    Parameters
    ----------
    fourbar : [part] a Fourbar

    Returns
    -------
    excess : [m] below 0 the shortest link can turn all the way round against its neighbours; above 0 no link can

    Valid: any lengths that close (longest shorter than the three others together).
    Raises: nothing.
    Source: Grashof's rule; Norton, Design of Machinery, section 2.13 (from memory).

    >>> print(f"{grashof_excess(Fourbar(0.020, 0.045, 0.070, 0.090)):.3f}")
    -0.005
    """
    links = _links(fourbar)
    return 2 * (np.min(links, axis=-1) + np.max(links, axis=-1)) - np.sum(links, axis=-1)


def grashof(fourbar):
    """Tell which kind of four-bar the lengths make.

    Equation: S + L < P + Q: the shortest link turns all the way round; its place gives the name

    Parameters
    ----------
    fourbar : [part] a Fourbar

    Returns
    -------
    kind : [text] "crank-rocker" (input shortest: it turns all the way, the output rocks), "rocker-crank" (output
        shortest), "double crank" (ground shortest), "double rocker" (coupler shortest), "triple rocker" (no link turns
        all the way), "change point" (S + L = P + Q, it can fall flat), "cannot close" (one link is too long)

    Valid: equal within one part in 10^9 of the longest link counts as a change point.
    Raises: nothing.
    Source: Grashof's rule; IIT Kharagpur Virtual Lab, RRRR double crank, theory.

    >>> print(grashof(Fourbar(0.040, 0.120, 0.080, 0.100)))
    crank-rocker
    """
    links, excess = _links(fourbar), grashof_excess(fourbar)
    longest, shortest = np.max(links, axis=-1), np.argmin(links, axis=-1)
    names = np.array(["crank-rocker", "double rocker", "rocker-crank", "double crank"])
    cases = [2 * longest >= np.sum(links, axis=-1), np.abs(excess) <= 1e-9 * longest, excess > 0]
    kind = np.select(cases, ["cannot close", "change point", "triple rocker"], names[shortest])
    return kind if kind.ndim else str(kind)


def input_range(fourbar):
    """Give how far the input link can turn: its angle from the ground line lies between two limits, on either side.

    Equation: cos(in) = (a^2 + d^2 - (b - c)^2) / (2 a d) folded, (a^2 + d^2 - (b + c)^2) / (2 a d) stretched

    Parameters
    ----------
    fourbar : [part] a Fourbar

    Returns
    -------
    least : [rad] 0 where it can pass the ground line
    most : [rad] pi where it can pass the ground line's far side; 0 and pi: it turns all the way round
    closes : [yes/no] whether there is any input angle at which it assembles

    Valid: both limits are toggles: near them the output runs away from its drive.
    Raises: nothing.
    Source: law of cosines; Norton, Design of Machinery, section 4.11, toggle positions (from memory).

    >>> least, most, _ = input_range(Fourbar(0.10, 0.06, 0.09, 0.08))
    >>> print(f"{np.degrees(least):.0f} to {np.degrees(most):.0f} deg")
    14 to 112 deg
    """
    double = 2 * fourbar.input * fourbar.ground
    square = fourbar.input**2 + fourbar.ground**2
    folded = (square - (fourbar.coupler - fourbar.output) ** 2) / double
    stretched = (square - (fourbar.coupler + fourbar.output) ** 2) / double
    closes = (folded >= -1) & (stretched <= 1)
    return np.arccos(np.clip(folded, -1, 1)), np.arccos(np.clip(stretched, -1, 1)), closes


def dead_points(fourbar, branch=1):
    """Give the input angles at which input link and coupler are in line: the output stands and turns back.

    Equation: cos(in) = (k^2 + d^2 - c^2) / (2 k d), k = a + b stretched, k = a - b folded

    Parameters
    ----------
    fourbar : [part] a Fourbar
    branch : [whole] +1 open, -1 crossed

    Returns
    -------
    stretched : [rad] input angle with pin A between O and B
    folded : [rad] input angle with coupler folded back over the input link
    has_stretched : [yes/no] whether there is such a position; else the angle says nothing
    has_folded : [yes/no] the same for the folded one

    Valid: here a little torque on the input holds any load on the output: clamps and folding legs use it. They snap:
        keep fingers out.
    Raises: ValueError when branch is not +1 or -1.
    Source: law of cosines; Norton, Design of Machinery, section 3.3 (from memory).

    >>> stretched, folded, _, _ = dead_points(Fourbar(0.040, 0.120, 0.080, 0.100))
    >>> print(f"{np.degrees(stretched):.1f} {np.degrees(folded):.1f} deg")
    24.1 -128.7 deg
    """
    branch, d, c = _branch(branch), fourbar.ground, fourbar.output
    found = []
    for k, side in ((fourbar.input + fourbar.coupler, branch), (fourbar.input - fourbar.coupler, -branch)):
        cosine = (k**2 + d**2 - c**2) / (2 * d * np.where(k == 0, 1.0, k))
        found.append((side * np.arccos(np.clip(cosine, -1, 1)), (np.abs(cosine) <= 1) & (k != 0)))
    (stretched, has_stretched), (folded, has_folded) = found
    return stretched[()], folded[()], has_stretched, has_folded


# --- a point on the coupler -----------------------------------------------------------------------------------------


def coupler_curve(fourbar, angle, along, across, branch=1):
    """Give the path of a point that is fixed to the coupler.

    Equation: P = A + along (cos, sin)(coupler) + across (-sin, cos)(coupler)

    Parameters
    ----------
    fourbar : [part] a Fourbar
    angle : [rad] of the input link; many values make the curve
    along : [m] from pin A towards pin B, any sign
    across : [m] to the left of the line from A to B, any sign
    branch : [whole] +1 open, -1 crossed

    Returns
    -------
    x : [m] along the ground line, from the input's pivot
    y : [m] to the left of the ground line
    assembles : [yes/no] whether the linkage can be there

    Valid: rigid links.
    Raises: ValueError when a number is not finite or branch is not +1 or -1.
    Source: Norton, Design of Machinery, section 4.9 (from memory).

    >>> x, y, _ = coupler_curve(Fourbar(1.0, 2.5, 2.5, 2.0), np.radians([90, 180, 270]), 5.0, 0.0)
    >>> print(np.round(y, 2))
    [4. 4. 4.]
    """
    along, across = check.finite("along", along), check.finite("across", across)
    here = pose(fourbar, angle, branch)
    cosine, sine = np.cos(here.coupler_angle), np.sin(here.coupler_angle)
    x = fourbar.input * np.cos(here.input_angle) + along * cosine - across * sine
    y = fourbar.input * np.sin(here.input_angle) + along * sine + across * cosine
    return x, y, here.assembles


def coupler_point_rate(fourbar, angle, along, across, branch=1):
    """Give how fast a point on the coupler moves for each radian of the input link.

    Equation: dP = a (-sin, cos)(in) + d(coupler) (along (-sin, cos) - across (cos, sin))(coupler)

    Parameters
    ----------
    fourbar : [part] a Fourbar
    angle : [rad] of the input link
    along : [m] from pin A towards pin B
    across : [m] to the left of the line from A to B
    branch : [whole] +1 open, -1 crossed

    Returns
    -------
    x_rate : [m] along the ground line, for each rad of the input; inf at a toggle and where it does not assemble
    y_rate : [m] to the left of the ground line

    Valid: times the input's speed it is the point's velocity.
    Raises: as coupler_curve.
    Source: derivative of coupler_curve.

    >>> print(np.round(coupler_point_rate(Fourbar(1.0, 2.5, 2.5, 2.0), np.pi, 5.0, 0.0), 2))
    [-1.33  0.  ]
    """
    along, across = check.finite("along", along), check.finite("across", across)
    here = pose(fourbar, angle, branch)
    coupler, _, turns = _rates(fourbar, here)
    cosine, sine = np.cos(here.coupler_angle), np.sin(here.coupler_angle)
    x = -fourbar.input * np.sin(here.input_angle) - coupler * (along * sine + across * cosine)
    y = fourbar.input * np.cos(here.input_angle) + coupler * (along * cosine - across * sine)
    return np.where(turns, x, np.inf)[()], np.where(turns, y, np.inf)[()]
