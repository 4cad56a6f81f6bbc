r"""What a four-bar linkage carries: its weights, the forces on its pins, and the Load that its drive feels.

Weights are given as lumps: points of mass fixed to one of the links, with an inertia of their own where they are not
small. A bar of even thickness is one lump at its middle.

      across |  x lump                  along: from the link's first pin towards its second
             |  :                         input: from its pivot O to A; coupler: from A to B; output: from its pivot Q
             to B
        o----+--:---------o             across: to the left of that direction
      first  along      second

Contents
    Lump, bar, lump_position            masses on the links
    weight_torque, inertia_felt         what the input shaft feels of them, by virtual work
    lift                                the Load for motion.move, up or down
    PinForces, pin_forces               the forces that the pins bear, from the balance of each link
"""

from dataclasses import dataclass

import numpy as np

from mechbench.physics import check, linkage
from mechbench.physics._carried import Carried
from mechbench.physics.arm import swing
from mechbench.wording import quoted

LINKS = ("input", "coupler", "output")


@dataclass(frozen=True)
class Lump:
    """Hold a mass that is fixed to a link; it may lie outside the link's two pins.

    Fields
    ------
    link : [text] "input", "coupler" or "output"
    along : [m] from the link's first pin (O, A or Q) towards its second, any sign
    across : [m] to the left of that direction, any sign
    mass : [kg] >= 0
    inertia : [kg·m2] about its own centre of gravity, >= 0; 0 for something small

    Valid: rigidly fixed.
    Source: common practice, no source.
    """

    link: str
    along: float
    across: float
    mass: float
    inertia: float = 0.0

    def __post_init__(self):
        if self.link not in LINKS:
            raise ValueError(
                f"link is {quoted(self.link)}, but it must be one of {', '.join(LINKS)}; name the link that carries it."
            )
        for name in ("along", "across"):
            object.__setattr__(self, name, check.finite(name, getattr(self, name)))
        for name in ("mass", "inertia"):
            object.__setattr__(self, name, check.not_negative(name, getattr(self, name)))


def bar(link, length, mass):
    """Give the lump that stands for a link of even thickness.

    Equation: at l / 2; J = m l^2 / 12

    Parameters
    ----------
    link : [text] "input", "coupler" or "output"
    length : [m] from its first pin to its end, > 0
    mass : [kg] >= 0

    Returns
    -------
    lump : [part] a Lump

    Valid: thin against its length.
    Raises: ValueError when link is no link, length is not above 0 or mass is negative.
    Source: OpenStax University Physics Vol. 1, section 10.5, figure 10.20 (from memory).

    >>> print(f"{bar('output', 0.30, 0.2).inertia:.4f}")
    0.0015
    """
    length = check.positive("length", length)
    return Lump(link, length / 2, 0.0, mass, check.not_negative("mass", mass) * length**2 / 12)


def lump_position(fourbar, lump, angle, branch=1):
    """Give the place of a lump, from the input's pivot: level and up.

    Equation: plane geometry, turned by the tilt of the ground line

    Parameters
    ----------
    fourbar : [part] a linkage.Fourbar
    lump : [part] a Lump
    angle : [rad] of the input link from the ground line
    branch : [whole] +1 open, -1 crossed

    Returns
    -------
    x : [m] level
    y : [m] up
    assembles : [yes/no] whether the linkage can be there

    Valid: rigid links.
    Raises: as linkage.pose.
    Source: plane geometry.

    >>> fourbar = linkage.Fourbar(0.040, 0.120, 0.080, 0.100, tilt=-1.0)
    >>> x, y, _ = lump_position(fourbar, Lump("output", 0.250, 0.0, 0.36), np.radians(40))
    >>> print(f"{x:.3f} {y:.3f}")
    0.304 -0.084
    """
    carried = Carried(fourbar, [lump], linkage.pose(fourbar, angle, branch))
    return *carried.place(0), carried.here.assembles


def weight_torque(fourbar, lumps, angle, branch=1):
    """Give the torque that the input shaft needs to hold all weights.

    Equation: T = sum of m g dy/d(in), by virtual work

    Parameters
    ----------
    fourbar : [part] a linkage.Fourbar
    lumps : [part] list of Lump
    angle : [rad] of the input link from the ground line
    branch : [whole] +1 open, -1 crossed

    Returns
    -------
    torque : [N·m] against a growing input angle; inf at a toggle and where it does not assemble

    Valid: at rest or moving slowly, no friction.
    Raises: as linkage.pose.
    Source: principle of virtual work, Hibbeler & Gupta, Engineering Mechanics, chapter 11 (from memory).

    >>> fourbar = linkage.Fourbar(0.040, 0.120, 0.080, 0.100, tilt=-1.0)
    >>> print(f"{weight_torque(fourbar, [Lump('output', 0.250, 0.0, 0.36)], np.radians(40)):.3f}")
    0.247
    """
    return Carried(fourbar, lumps, linkage.pose(fourbar, angle, branch)).weight_torque()


def inertia_felt(fourbar, lumps, angle, branch=1):
    """Give the inertia that the input shaft feels of all lumps; it changes with the angle.

    Equation: J = sum of m |dp/d(in)|^2 + J_lump (d(link)/d(in))^2

    Parameters
    ----------
    fourbar : [part] a linkage.Fourbar
    lumps : [part] list of Lump
    angle : [rad] of the input link from the ground line
    branch : [whole] +1 open, -1 crossed

    Returns
    -------
    inertia : [kg·m2] about the input shaft; inf at a toggle and where it does not assemble

    Valid: rigid links. Where the output stands (dead_points) it comes from the other links alone.
    Raises: as linkage.pose.
    Source: kinetic energy of plane motion, OpenStax University Physics Vol. 1, section 11.1.

    >>> fourbar = linkage.Fourbar(0.040, 0.120, 0.080, 0.100, tilt=-1.0)
    >>> print(f"{inertia_felt(fourbar, [Lump('output', 0.250, 0.0, 0.36)], np.radians(60)):.5f}")
    0.00471
    """
    return Carried(fourbar, lumps, linkage.pose(fourbar, angle, branch)).inertia_felt()


def lift(fourbar, lumps, angle, branch=1, friction_torque=0.0, shaft_inertia=1e-6):
    """Make the Load of a four-bar that moves weights, for the shaft of its input link.

    Equation: pull = sum of m g dy/dq; J = sum of m |dp/dq|^2 + J_lump (d(link)/dq)^2; q = way of the input link

    Parameters
    ----------
    fourbar : [part] a linkage.Fourbar
    lumps : [part] list of Lump: links and what they carry
    angle : [rad] of the input link along its way, last axis the points; all rising or all falling
    branch : [whole] +1 open, -1 crossed
    friction_torque : [N·m] friction of bearings, felt at the input shaft, >= 0
    shaft_inertia : [kg·m2] of what turns with the input shaft besides, > 0

    Returns
    -------
    load : [part] a motion.Load over the way of the input link

    Valid: as motion.Load; 30 points where the rates change evenly.
    Raises: ValueError when the linkage meets a toggle or does not assemble on its way, or the angles turn back.
    Source: principle of virtual work and energy of motion, as weight_torque and inertia_felt.

    >>> fourbar = linkage.Fourbar(0.040, 0.120, 0.080, 0.100, tilt=-1.0)
    >>> load = lift(fourbar, [Lump("output", 0.250, 0.0, 0.36)], np.radians(np.linspace(40, 120, 31)))
    >>> print(f"{load.q[-1]:.3f} rad, pull {load.load_torque[0]:.2f} to {load.load_torque[-1]:.2f}")
    1.396 rad, pull 0.25 to 0.35
    """
    angle = np.asarray(check.finite("angle", angle))
    carried = Carried(fourbar, lumps, linkage.pose(fourbar, angle, branch))
    if not np.all(carried.turns):
        stuck = np.broadcast_to(angle, carried.turns.shape)[~carried.turns][0]
        raise ValueError(
            f"angle is {stuck:.4g} rad, but the linkage does not assemble or is at a toggle there; "
            "keep inside linkage.input_range."
        )
    inertia = carried.inertia_felt() + check.positive("shaft_inertia", shaft_inertia)
    return swing(angle, carried.weight_torque(), inertia, friction_torque)


# --- forces on the pins ---------------------------------------------------------------------------------------------


@dataclass(frozen=True)
class PinForces:
    """Hold what the pins of a four-bar bear; the last axis of a force is x along the ground line, y to its left.

    Fields
    ------
    input_torque : [N·m] that the input shaft must give
    input_pivot : [N] at O, on the input link from the frame
    input_pin : [N] at A, on the coupler from the input link
    output_pin : [N] at B, on the output link from the coupler
    output_pivot : [N] at Q, on the output link from the frame
    largest : [N] largest of the four, without direction
    """

    input_torque: float
    input_pivot: np.ndarray
    input_pin: np.ndarray
    output_pin: np.ndarray
    output_pivot: np.ndarray
    largest: float


def pin_forces(fourbar, lumps, angle, branch=1, output_torque=0.0):
    """Give the forces on all pins and the input torque, from the balance of each of the three moving links.

    Equation: sum of forces = 0 and sum of moments = 0 for input link, coupler and output link

    Parameters
    ----------
    fourbar : [part] a linkage.Fourbar
    lumps : [part] list of Lump; may be empty
    angle : [rad] of the input link from the ground line
    branch : [whole] +1 open, -1 crossed
    output_torque : [N·m] that the output link gives to what it turns, besides its lumps

    Returns
    -------
    forces : [part] PinForces; inf at a toggle and where it does not assemble

    Valid: at rest or moving slowly, no friction. Near a toggle forces grow without bound: pins bend, links snap.
    Raises: as linkage.pose; ValueError when output_torque is not a finite number.
    Source: Norton, Design of Machinery, section 11.4, without the inertia terms (from memory).

    >>> forces = pin_forces(linkage.Fourbar(0.040, 0.120, 0.080, 0.100), [], np.radians(60), output_torque=1.0)
    >>> print(f"{forces.input_torque:.3f} N m in, {forces.largest:.1f} N on the pins")
    0.457 N m in, 17.2 N on the pins
    """
    asked = check.finite("output_torque", output_torque)
    torque, forces, largest = Carried(fourbar, lumps, linkage.pose(fourbar, angle, branch)).pins(asked)
    return PinForces(torque, *(np.stack(pair, axis=-1) for pair in forces), largest)
