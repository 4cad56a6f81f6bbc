"""What a label does not print, assumed from what it does: a middle value, and the band in which the truth may lie.

Contents
    INERTIA_BAND, MASS_BAND, HEAT_BAND, STRENGTH_BAND, TOOTH_BAND   lowest and highest share of the assumed value
    ALLOWED_RISE, COPPER                 kelvins; 1/K: assumed without a band
    free_current                         from the four other figures of a label, without a band
    rotor_inertia                        from the constants of the motor
    mass                                 from its greatest power
    heat_capacity, thermal_resistance    from its mass
    strength                             of gears, from the motor that is sold with them
    tooth_strength                       of a gear of 20 teeth, from its size
    battery_resistance, empty_voltage    of a battery, from the figures in its name, without a band

Those of motors are rules for small brushed ones, some 5 W to 500 W. They are no laws: whoever needs such a number
surely must measure it.

How far they are off was looked up: in two university laboratories' motors, and in data sheets of four motors with an
iron core (0.25 to 1.1 kg) and three without (0.13 to 2.1 kg). Cheap motors print no such numbers, so the bands
reach beyond what was seen.
"""

import numpy as np

from mechbench.physics import check
from mechbench.physics.motor import MISMATCH
from mechbench.physics.teeth import tooth_torque

INERTIA_BAND = (0.3, 2.5)
MASS_BAND = (0.6, 1.6)
HEAT_BAND = (0.4, 1.6)
STRENGTH_BAND = (0.4, 1.0)
TOOTH_BAND = (0.5, 5.0)  # from worn plastic to steel
FREE_SHARE, MOST_FREE = 0.04, 0.08  # of the stall current
ALLOWED_RISE = 80.0
COPPER = 0.0039
TIME_CONSTANT = 0.020  # s, how long a motor alone takes to 63 % of its free speed
MASS_PER_WATT = 0.0095  # kg for each watt of greatest power
HEAT_PER_MASS = 75.0  # J/K for each kg of the whole motor
USUAL_RESISTANCE, USUAL_MASS = 12.0, 0.28  # K/W of a motor of so many kg
TOOTH_STRESS = 30e6  # Pa that plastic teeth may see
HOUR_DROP, HOUR = 0.03, 3600.0  # share of its voltage that a battery loses inside, when emptied in so many seconds
LEAST_FALL, MOST_FALL = 0.05, 0.2  # of a battery, from the voltage in its name to nearly empty
AREA = 2 / 3  # the surface of bodies of one shape grows with this power of their mass


def free_current(voltage, free_speed, stall_torque, stall_current):
    """Assume the current without load: 4 % of the stall current, or the nearest share with which the label closes.

    Equation: (1 - s)^2 = T_s w_0 / (V I_s) / q, s nearest to 0.04 with q, the one torque constant over the other, no
        further from 1 than a label's rounding; 0 <= s <= 0.08; I_0 = s I_s

    Parameters
    ----------
    voltage : [V] at which the others hold V, > 0; any shape, all arguments broadcast
    free_speed : [rad/s] speed without load w_0, > 0
    stall_torque : [N·m] torque at standstill T_s, > 0
    stall_current : [A] current at standstill I_s, > 0

    Returns
    -------
    free_current : [A] current that pays for the motor's own friction

    Valid: a motor without gears; where no share closes, motor.nameplate_mismatch tells by how much. More than 8 % is
        not assumed: a label that asks for more is rather a gearmotor's, whose gears take the torque that is missing.
    Raises: ValueError when an argument is not above 0.
    Source: torque and back-EMF constant are one number: Hughes & Drury, Electric Motors and Drives, 5th ed., chapter 3
        (from memory); 4 %: common practice, no source.

    >>> print(f"{free_current(15.0, 580.0, 0.175, 7.5):.3f}")
    0.300
    """
    amps = check.positive("stall_current", stall_current)
    out = check.positive("stall_torque", stall_torque) * check.positive("free_speed", free_speed)
    closes = out / (check.positive("voltage", voltage) * amps)
    reach = 0.999 * MISMATCH / 2  # a hair inside, so that rounding decides nothing
    furthest = (1 + reach) / (1 - reach)
    least, most = (1 - np.sqrt(closes * end) for end in (furthest, 1 / furthest))
    return (np.clip(np.clip(FREE_SHARE, least, most), 0.0, MOST_FREE) * amps)[()]


def rotor_inertia(torque_constant, resistance):
    """Assume the inertia of a rotor: a motor alone reaches 63 % of its free speed in 20 ms.

    Equation: J = 0.020 s k^2 / R; the truth may be 0.3 to 2.5 times that

    Parameters
    ----------
    torque_constant : [N·m/A] torque per current k, > 0; any shape, both broadcast
    resistance : [ohm] of winding and brushes R, > 0

    Returns
    -------
    rotor_inertia : [kg·m2] of the rotor, at its own shaft

    Valid: small brushed motors with an iron core; a coreless or a flat one may lie outside the band.
    Raises: ValueError when an argument is not above 0.
    Source: mechanical time constant J R / k^2 of a motor: first principles. Two laboratory motors have 17 and 19 ms
        (tests name them), four data sheets of motors with an iron core 6.8 to 11.2 ms, three without one 2.9 to 4.1 ms:
        20 ms and the band hold the first six. Up to 50 ms for cheap motors: common practice, no source.

    >>> print(f"{rotor_inertia(0.025, 2.0):.2e}")
    6.25e-06
    """
    constant = check.positive("torque_constant", torque_constant)
    return TIME_CONSTANT * constant**2 / check.positive("resistance", resistance)


def mass(stall_torque, free_speed):
    """Assume the mass of a motor from the most power that it can give.

    Equation: m = 9.5 g/W T_s w_0 / 4; the truth may be 0.6 to 1.6 times that

    Parameters
    ----------
    stall_torque : [N·m] torque at standstill T_s, > 0; any shape, both broadcast
    free_speed : [rad/s] speed without load w_0, > 0

    Returns
    -------
    mass : [kg] of the motor, without a gearbox

    Valid: small brushed motors with an iron core.
    Raises: ValueError when an argument is not above 0.
    Source: greatest power at half the free speed: first principles. Four data sheets of motors with an iron core have
        7.1, 7.8, 8.7 and 13.7 g/W; two without one 1.1 and 1.4 g/W, which the band does not hold.

    >>> print(f"{mass(0.175, 560.0):.3f}")
    0.233
    """
    power = check.positive("stall_torque", stall_torque) * check.positive("free_speed", free_speed) / 4
    return MASS_PER_WATT * power


def heat_capacity(mass):
    """Assume the heat that warms a motor's winding, and what warms with it, by one kelvin.

    Equation: C = 75 J/(K kg) m; the truth may be 0.4 to 1.6 times that

    Parameters
    ----------
    mass : [kg] of the motor m, > 0; any shape

    Returns
    -------
    heat_capacity : [J/K] of the one lump of copper and iron that the sums of heat use

    Valid: small brushed motors; minutes, in which the winding and the iron around it warm, and the case only in part.
    Raises: ValueError when mass is not above 0.
    Source: between the winding alone, 30 to 38 J/K for each kg of three motors whose data sheets tell it, and the whole
        motor, 336 to 388 J/K: as if a fifth of it were as warm as the copper (385 J/K per kg, from memory). The low end
        of the band is the winding alone, which is all that warms in the first seconds.

    >>> print(f"{heat_capacity(0.30):.1f}")
    22.5
    """
    return HEAT_PER_MASS * check.positive("mass", mass)


def thermal_resistance(mass):
    """Assume how much warmer than the air a motor's winding gets for each watt of heat.

    Equation: R = 12 K/W (0.28 kg / m)^(2/3); the truth may be 0.4 to 1.6 times that

    Parameters
    ----------
    mass : [kg] of the motor m, > 0; any shape

    Returns
    -------
    thermal_resistance : [K/W] from the winding to the air

    Valid: small brushed motors in still air, held by their front face.
    Raises: ValueError when mass is not above 0.
    Source: heat leaves through the surface, which grows with mass^(2/3): first principles; four data sheets of motors
        from 0.25 to 1.1 kg bear that out within 4 %. They make 17.4 to 19.0 K/W for 0.28 kg, hung in still air, and two
        motors without an iron core 7.3 and 12.1 K/W; a robot's plates cool better: 12 K/W in the middle.

    >>> print(f"{thermal_resistance(0.30):.1f} {thermal_resistance(0.60):.2f}")
    11.5 7.22
    """
    return USUAL_RESISTANCE * (USUAL_MASS / check.positive("mass", mass)) ** AREA


def strength(stall_torque, ratio, efficiency):
    """Assume what gears bear at their output: the motor behind them held fast, once; often, nobody knows.

    Equation: T = T_s N eta; the truth may be 0.4 to 1 times that

    Parameters
    ----------
    stall_torque : [N·m] of the motor at standstill T_s, > 0; any shape, all arguments broadcast
    ratio : [-] N, motor speed over output speed, > 0
    efficiency : [-] share of the power that gets through eta, above 0 and at most 1

    Returns
    -------
    strength : [N·m] highest torque at the output

    Valid: gears that are sold for this motor. Behind a high ratio the last stage is often weaker than the motor.
    Raises: ValueError when an argument is out of its bound.
    Source: torque behind a ratio: first principles; that gears bear it: common practice, no source.

    >>> print(f"{strength(0.175, 15.0, 0.8):.2f}")
    2.10
    """
    share = check.between("efficiency", efficiency, 0.0, 1.0, "give it as a share, 0.9 for 90 %")
    geared = check.positive("ratio", ratio) * check.positive("efficiency", share)
    return check.positive("stall_torque", stall_torque) * geared


def tooth_strength(module, face_width):
    """Assume what a gear of 20 teeth bears, as if it were of plastic.

    Equation: T = 30 MPa b m Y m z / 2 (Lewis) with z = 20; the truth may be 0.5 to 5 times that

    Parameters
    ----------
    module : [m] module m, > 0; any shape, both broadcast
    face_width : [m] width of the teeth b, > 0

    Returns
    -------
    torque : [N·m] on that gear

    Valid: slow gears of plastic. Of brass or steel they bear some 3 to 5 times that: whoever knows the material knows
        more.
    Raises: ValueError when an argument is not above 0.
    Source: Lewis equation: teeth.tooth_torque; 30 MPa for plastic: common practice, no source.

    >>> print(f"{tooth_strength(0.0015, 0.010):.2f}")
    2.17
    """
    return tooth_torque(module, face_width, 20, TOOTH_STRESS)


def battery_resistance(nominal, capacity):
    """Assume the resistance of a battery with its wiring: what empties it in an hour takes 3 % of its voltage.

    Equation: R = 0.03 V / (Q / 3600 s)

    Parameters
    ----------
    nominal : [V] voltage in its name V, > 0; any shape, both broadcast
    capacity : [A·s] what it gives from full to empty Q, > 0

    Returns
    -------
    resistance : [ohm] in the battery and its wiring

    Valid: packs of small cells that are charged again, in good order; half of it or twice as much is common.
    Raises: ValueError when an argument is not above 0.
    Source: common practice, no source.

    >>> print(f"{battery_resistance(10.0, 7200.0):.2f}")
    0.15
    """
    return HOUR_DROP * check.positive("nominal", nominal) * HOUR / check.positive("capacity", capacity)


def empty_voltage(nominal, full):
    """Assume the voltage of a nearly empty battery with no load.

    Equation: U = min(V - d, U_full), as far below the voltage in its name as above it when full: d = U_full - V,
        but from 0.05 V to 0.2 V

    Parameters
    ----------
    nominal : [V] voltage in its name V, > 0; any shape, both broadcast
    full : [V] when full, with no load U_full, > 0

    Returns
    -------
    empty : [V] when nearly empty, with no load, never above full

    Valid: batteries that are charged again, of any kind.
    Raises: ValueError when an argument is not above 0.
    Source: common practice, no source.

    >>> print(f"{empty_voltage(10.0, 11.5):.1f}")
    8.5
    """
    name, most = check.positive("nominal", nominal), check.positive("full", full)
    fall = np.clip(most - name, LEAST_FALL * name, MOST_FALL * name)
    return np.minimum(name - fall, most)
