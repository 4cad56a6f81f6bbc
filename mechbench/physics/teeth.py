"""Teeth of spur and bevel gears: size, centre distance, contact, strength.

The module is the size of a tooth: pitch diameter over number of teeth. Gears mesh when their modules are equal.

Contents
    pitch_diameter, centre_distance       spur gears
    Contact, contact                      how many teeth are in touch
    Cones, bevel_cones                    bevel gears
    lewis_factor, tooth_torque            what a tooth bears
"""

from dataclasses import dataclass

import numpy as np

from mechbench.physics import check

PRESSURE_ANGLE = np.radians(20.0)  # of nearly all gears made today (ISO 53, from memory)

# Lewis form factor of 20 degree full-depth teeth: Shigley's Mechanical Engineering Design, Table 14-2 (from memory).
_LEWIS = np.array(
    [
        (12, 0.245),
        (13, 0.261),
        (14, 0.277),
        (15, 0.290),
        (16, 0.296),
        (17, 0.303),
        (18, 0.309),
        (19, 0.314),
        (20, 0.322),
        (21, 0.328),
        (22, 0.331),
        (24, 0.337),
        (26, 0.346),
        (28, 0.353),
        (30, 0.359),
        (34, 0.371),
        (38, 0.384),
        (43, 0.397),
        (50, 0.409),
        (60, 0.422),
        (75, 0.435),
        (100, 0.447),
        (150, 0.460),
        (300, 0.472),
        (400, 0.480),
    ]
)


@dataclass(frozen=True)
class Contact:
    """Hold how a pair of spur gears touches.

    Fields
    ------
    path : [m] length of the straight line along which one pair of teeth touches
    arc : [m] the same along the pitch circle
    ratio : [-] pairs of teeth in touch, on average
    """

    path: float
    arc: float
    ratio: float


@dataclass(frozen=True)
class Cones:
    """Hold the pitch cones of a bevel pair.

    Fields
    ------
    driver : [rad] half angle of the driver's cone
    driven : [rad] half angle of the driven gear's cone
    distance : [m] from the common tip of the cones to the large end of the teeth
    """

    driver: float
    driven: float
    distance: float


def pitch_diameter(module, teeth):
    """Give the pitch diameter of a spur gear.

    Equation: d = m z

    Parameters
    ----------
    module : [m] module, > 0; both broadcast
    teeth : [whole] number of teeth, >= 4

    Returns
    -------
    diameter : [m] of the pitch circle; the outside is two modules more

    Valid: straight teeth without profile shift.
    Raises: ValueError when module is not above 0 or teeth is not a whole number of at least 4.
    Source: ISO 21771, reference diameter (from memory).

    >>> print(f"{1000 * pitch_diameter(0.0015, 40):.1f} mm")
    60.0 mm
    """
    return check.positive("module", module) * check.whole("teeth", teeth, 4)


def centre_distance(module, driver_teeth, driven_teeth):
    """Give the distance between the shafts of two spur gears.

    Equation: a = m (z_driver + z_driven) / 2

    Parameters
    ----------
    module : [m] module of both, > 0; all arguments broadcast
    driver_teeth : [whole] teeth of the driver, >= 4
    driven_teeth : [whole] teeth of the driven gear, >= 4

    Returns
    -------
    distance : [m] between the axes; common practice adds 0.05 to 0.1 mm so that small gears run free

    Valid: both with outside teeth, without profile shift.
    Raises: ValueError when module is not above 0 or teeth are not whole numbers of at least 4.
    Source: ISO 21771, reference centre distance (from memory).

    >>> print(f"{1000 * centre_distance(0.0015, 20, 60):.1f} mm")
    60.0 mm
    """
    together = check.whole("driver_teeth", driver_teeth, 4) + check.whole("driven_teeth", driven_teeth, 4)
    return check.positive("module", module) * together / 2


def contact(module, driver_teeth, driven_teeth, pressure_angle=PRESSURE_ANGLE, addendum=None):
    """Give the path, the arc and the ratio of contact of two spur gears.

    Equation: path = sqrt(ra1^2 - rb1^2) + sqrt(ra2^2 - rb2^2) - (r1 + r2) sin phi; arc = path / cos phi;
        ratio = arc / (pi m)

    Parameters
    ----------
    module : [m] module of both, > 0; all arguments broadcast
    driver_teeth : [whole] teeth of the driver, >= 4
    driven_teeth : [whole] teeth of the driven gear, >= 4
    pressure_angle : [rad] 0.1 to 0.7; nearly always 20 degrees
    addendum : [m] height of a tooth above the pitch circle, > 0; left out: one module

    Returns
    -------
    contact : [part] Contact with path, arc and ratio

    Valid: outside teeth without profile shift, no interference. Keep the ratio above 1.2 (common practice).
    Raises: ValueError when a tip would cut into the other gear's root (too few teeth), or an argument is out of bounds.
    Source: Khurmi & Gupta, Theory of Machines, 14th ed., Example 12.3.

    >>> print(f"{contact(0.012, 30, 80, addendum=0.010).ratio:.3f}")
    1.475
    """
    module = check.positive("module", module)
    first = module * check.whole("driver_teeth", driver_teeth, 4) / 2
    second = module * check.whole("driven_teeth", driven_teeth, 4) / 2
    angle = check.between("pressure_angle", pressure_angle, 0.1, 0.7, "give radians, 20 degrees is 0.349")
    height = module if addendum is None else check.positive("addendum", addendum)
    line = (first + second) * np.sin(angle)
    reach = [np.sqrt((r + height) ** 2 - (r * np.cos(angle)) ** 2) for r in (first, second)]
    # Beyond the point where the line of contact leaves the other base circle there is no involute to touch.
    if np.any(np.maximum(*reach) > line * (1 + 1e-12)):
        raise ValueError(
            f"addendum is {np.max(height):g}, but it must be so low that no tip cuts into a root; "
            "take more teeth or a lower addendum."
        )
    path = reach[0] + reach[1] - line
    return Contact(path=path, arc=path / np.cos(angle), ratio=path / np.cos(angle) / (np.pi * module))


def bevel_cones(module, driver_teeth, driven_teeth, shaft_angle=np.pi / 2):
    """Give the pitch cones of two bevel gears.

    Equation: tan gamma_1 = sin S / (z2 / z1 + cos S); gamma_2 = S - gamma_1; distance = m z1 / (2 sin gamma_1)

    Parameters
    ----------
    module : [m] module at the large end, > 0; all arguments broadcast
    driver_teeth : [whole] teeth of the driver, >= 4
    driven_teeth : [whole] teeth of the driven gear, >= 4
    shaft_angle : [rad] S, between the shafts, 0.1 to 2.5; nearly always 90 degrees

    Returns
    -------
    cones : [part] Cones with both half angles and the cone distance

    Valid: straight bevel gears whose shafts meet.
    Raises: ValueError when an argument is out of bounds.
    Source: U. C. Jindal, Machine Design (2010), Example 27-3.

    >>> print(f"{np.degrees(bevel_cones(0.006, 30, 45).driver):.1f} deg")
    33.7 deg
    """
    first = check.whole("driver_teeth", driver_teeth, 4)
    second = check.whole("driven_teeth", driven_teeth, 4)
    angle = check.between("shaft_angle", shaft_angle, 0.1, 2.5, "give radians, 90 degrees is 1.571")
    driver = np.arctan2(np.sin(angle), second / first + np.cos(angle))
    return Cones(
        driver=driver, driven=angle - driver, distance=check.positive("module", module) * first / (2 * np.sin(driver))
    )


def lewis_factor(teeth):
    """Give the Lewis form factor of a spur gear: how well the shape of its teeth bears bending.

    Equation: a table, with straight lines between its rows

    Parameters
    ----------
    teeth : [whole] number of teeth, >= 12; any shape

    Returns
    -------
    factor : [-] Y

    Valid: 20 degree full-depth teeth; above 400 teeth the factor of 400 (a rack has 0.485).
    Raises: ValueError when teeth is not a whole number of at least 12.
    Source: Shigley's Mechanical Engineering Design, Table 14-2 (from memory).

    >>> print(f"{lewis_factor(20):.3f}")
    0.322
    """
    return np.interp(check.whole("teeth", teeth, 12, "the table starts there"), _LEWIS[:, 0], _LEWIS[:, 1])


def tooth_torque(module, face_width, teeth, allowed_stress):
    """Give the torque that the teeth of a gear bear.

    Equation: T = sigma b m Y m z / 2 (Lewis)

    Parameters
    ----------
    module : [m] module, > 0; all arguments broadcast
    face_width : [m] width of the teeth, > 0
    teeth : [whole] number of teeth, >= 12
    allowed_stress : [Pa] bending stress that the material may see, with all reserve taken off already, > 0

    Returns
    -------
    torque : [N·m] on this gear; compare it on the smaller gear of a pair, whose teeth bend first

    Valid: slow gears, one pair of teeth bears all; no wear, no shock.
    Raises: ValueError when an argument is out of bounds.
    Source: Lewis equation; T. H. Wentzell, Machine Design, Example 12.7.

    >>> print(f"{tooth_torque(0.0015, 0.010, 20, 30e6):.2f}")
    2.17
    """
    force = (
        check.positive("allowed_stress", allowed_stress)
        * check.positive("face_width", face_width)
        * check.positive("module", module)
        * lewis_factor(teeth)
    )
    return force * pitch_diameter(module, teeth) / 2
