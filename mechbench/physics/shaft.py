"""Round shafts: the stress from a force that pulls on an overhanging end and from the torque.

    bearing            pulley, spool, sprocket
      |#|               |
    ==|#|===============|==      bending is greatest at the bearing: M = force x overhang
      |#|               |
        <-- overhang -->v force

Contents
    ShaftStress, shaft_stress     stresses from force and torque
    shaft_torque                  the torque that is left for a shaft that bends
"""

from dataclasses import dataclass

import numpy as np

from mechbench.physics import check


@dataclass(frozen=True)
class ShaftStress:
    """Hold the stresses on the skin of a round shaft.

    Fields
    ------
    bending : [Pa] pull and push along the shaft
    torsion : [Pa] shear from the torque
    max_shear : [Pa] largest shear of both together; compare with half the yield strength
    von_mises : [Pa] one number for both together; compare with the yield strength
    """

    bending: float
    torsion: float
    max_shear: float
    von_mises: float


def shaft_stress(torque, overhung_force, overhang, diameter):
    """Give the stresses in a round solid shaft that carries a torque and a force on its free end.

    Equation: sigma = 32 F x / (pi d^3); tau = 16 T / (pi d^3); tau_max = sqrt((sigma/2)^2 + tau^2);
        von Mises = sqrt(sigma^2 + 3 tau^2)

    Parameters
    ----------
    torque : [N·m] in the shaft; any shape, all arguments broadcast
    overhung_force : [N] across the shaft, >= 0
    overhang : [m] from the middle of the last bearing to the force, >= 0
    diameter : [m] of the shaft, > 0; for a D shape or a shaft with a flat: the smaller measure

    Returns
    -------
    stress : [part] ShaftStress with bending, torsion and both together

    Valid: at rest or a few loads; a turning shaft that bends all day breaks at less than half of that (fatigue), and a
        hole, a groove or a set-screw mark weakens it more. Direct shear is left out: small for an overhang above d.
    Raises: ValueError when a force, length or diameter is out of bounds.
    Source: Shigley's Mechanical Engineering Design, section 5-5 (from memory); T. H. Wentzell, Machine Design,
        Example 4.4.

    >>> print(f"{shaft_stress(0.0, 176.0, 0.030, 0.006).bending / 1e6:.0f} MPa")
    249 MPa
    """
    cube = np.pi * check.positive("diameter", diameter) ** 3
    moment = check.not_negative("overhung_force", overhung_force) * check.not_negative("overhang", overhang)
    bending = 32 * moment / cube
    torsion = 16 * np.abs(check.finite("torque", torque)) / cube
    return ShaftStress(
        bending=bending,
        torsion=torsion,
        max_shear=np.hypot(bending / 2, torsion),
        von_mises=np.hypot(bending, np.sqrt(3) * torsion),
    )


def shaft_torque(overhung_force, overhang, diameter, allowed_stress):
    """Give the torque that a round shaft may carry while a force bends it.

    Equation: T = pi d^3 sqrt((sigma_allowed^2 - sigma^2) / 3) / 16

    Parameters
    ----------
    overhung_force : [N] across the shaft, >= 0; any shape, all arguments broadcast
    overhang : [m] from the middle of the last bearing to the force, >= 0
    diameter : [m] of the shaft, > 0
    allowed_stress : [Pa] von Mises stress that the material may see, > 0

    Returns
    -------
    torque : [N·m] at most; 0 when the bending alone is too much

    Valid: at rest or a few loads, as in shaft_stress: take the allowed stress low enough for fatigue and notches.
    Raises: ValueError when an argument is out of bounds.
    Source: Shigley's Mechanical Engineering Design, section 5-5 (from memory).

    >>> print(f"{shaft_torque(50.0, 0.020, 0.006, 200e6):.2f}")
    4.76
    """
    allowed = check.positive("allowed_stress", allowed_stress)
    stress = shaft_stress(0.0, overhung_force, overhang, diameter)
    left = np.maximum(allowed**2 - stress.bending**2, 0.0)
    return np.pi * np.asarray(diameter) ** 3 * np.sqrt(left / 3) / 16
