"""The permanent-magnet direct-current motor: torque, speed, current, power, heat, and its constants from readings.

         R                              torque
    +---/\\/\\/---+                  T_s |*.                     I = (V - k w) / R
    |    I ->    |                      |   *.                   T = k (I - I_0)
    V          (k w)  back-EMF          |      *.
    |            |                      |         *.             T_s, I_s   at standstill (stall)
    +------------+                      |            *.          w_0, I_0   running free
                                        +---------------*-- speed
                                                        w_0
Contents
    Motor, Point                              a motor's constants; all figures at one speed
    from_nameplate, nameplate_mismatch        constants from four figures on a data sheet, and whether the four agree
    constant_from_stall, constant_from_free_run
    shared, warmed                            several motors on one shaft; a motor whose copper is warm
    current, torque, speed                    the straight lines above, at any voltage, either way round
    stall_current, stall_torque, free_speed   their ends
    power_in, power_out, heat, idle_loss, efficiency, point      power_in = power_out + heat + idle_loss
    peak_power, best_efficiency, best_current, best_speed
    temperature_rise, steady_rise, rise_over, duty_rise          winding temperature over the air around the motor
    time_to_limit, stall_time_to_limit, continuous_current
    MotorFit, fit, fit_torque                 constants from bench readings, with intervals

Signs: a positive voltage drives towards positive speed; torque is what the shaft gives. Speed over the free speed, or
against the voltage, means that something else turns the motor. The friction inside (brushes, bearings, iron) is one
torque, k I_0, that always opposes motion.

Temperature: one lump of copper and iron, heat I^2 R, a straight way out to the air, and a resistance that grows with
the rise. That growth feeds itself: above a certain current no temperature is high enough to get rid of the heat.
Magnets that weaken when warm, and heat from friction, are left out.

Everything broadcasts: the fields of a Motor may be columns (many motors), the other arguments arrays (many speeds).
Work on arrays ends in `[()]`, which turns an array without dimensions into a plain number.
"""

from dataclasses import dataclass, fields, replace

import numpy as np

from mechbench.physics import check
from mechbench.physics.fit import CONFIDENCE, Estimate, estimate, fit_line, least_squares, mean, paired

COPPER = 0.00393  # 1/K, rise of copper's resistance at 20 degC (IEC 60028, from memory)
# Stall torque of a nameplate over the torque that its other figures make: rounding above; below, what iron and brushes
# take under load, too. Common practice, no source.
MISMATCH = 0.03  # by which rounding makes the two torque constants of a nameplate differ
LEAST_SHARE, MOST_SHARE = 0.9, (1 + MISMATCH / 2) / (1 - MISMATCH / 2)


@dataclass(frozen=True)
class Motor:
    """Hold the constants of a motor, or of a column of motors.

    Fields
    ------
    resistance : [ohm] of winding and brushes, cold, > 0
    torque_constant : [N·m/A] torque per current, and as well back-EMF per speed, > 0
    free_current : [A] current that pays for the motor's own friction, >= 0
    voltage : [V] nominal voltage, > 0
    rotor_inertia : [kg·m2] of the rotor, >= 0
    heat_capacity : [J/K] of the winding and what warms with it, > 0; None when not known
    thermal_resistance : [K/W] from the winding to the air, > 0; None when not known
    max_rise : [K] allowed rise of the winding over the air, > 0; None when not known
    copper_coefficient : [1/K] growth of the resistance per kelvin of rise, >= 0
    """

    resistance: float
    torque_constant: float
    free_current: float
    voltage: float
    rotor_inertia: float = 0.0
    heat_capacity: float | None = None
    thermal_resistance: float | None = None
    max_rise: float | None = None
    copper_coefficient: float = COPPER

    def __post_init__(self):
        for field in fields(self):
            value = getattr(self, field.name)
            if value is None and field.name in _THERMAL:
                continue
            rule = check.not_negative if field.name in _MAY_BE_ZERO else check.positive
            object.__setattr__(self, field.name, rule(field.name, value))


_THERMAL = ("heat_capacity", "thermal_resistance", "max_rise")
_MAY_BE_ZERO = ("free_current", "rotor_inertia", "copper_coefficient")


@dataclass(frozen=True)
class Point:
    """Hold all figures of a motor at one speed and voltage.

    Fields
    ------
    speed : [rad/s] shaft speed
    torque : [N·m] at the shaft
    current : [A] drawn
    power_in : [W] electrical
    power_out : [W] at the shaft
    heat : [W] in the winding
    efficiency : [-] power_out / power_in, 0 where the shaft gives nothing
    """

    speed: float
    torque: float
    current: float
    power_in: float
    power_out: float
    heat: float
    efficiency: float


# --- constants ------------------------------------------------------------------------------------------------------


def constant_from_stall(stall_torque, stall_current, free_current):
    """Give the torque constant that the stall figures of a nameplate imply.

    Equation: k = T_s / (I_s - I_0)

    Parameters
    ----------
    stall_torque : [N·m] torque at standstill, > 0; any shape, all arguments broadcast
    stall_current : [A] current at standstill, above free_current
    free_current : [A] current without load, >= 0

    Returns
    -------
    torque_constant : [N·m/A] torque per current

    Valid: friction torque the same at standstill and running free.
    Raises: ValueError when stall_torque is not above 0, free_current is below 0, or stall_current is not above it.
    Source: Hughes & Drury, Electric Motors and Drives, 5th ed., chapter 3 (from memory).

    >>> print(f"{constant_from_stall(0.175, 7.5, 0.5):.4f}")
    0.0250
    """
    free_current = check.not_negative("free_current", free_current)
    turning = check.finite("stall_current", stall_current) - free_current
    check.positive("stall_current - free_current", turning, "give the stall current, which is the larger one")
    return check.positive("stall_torque", stall_torque) / turning


def constant_from_free_run(voltage, free_speed, free_current, resistance):
    """Give the back-EMF constant that a run without load implies.

    Equation: k = (V - I_0 R) / w_0

    Parameters
    ----------
    voltage : [V] at the motor, > 0; any shape, all arguments broadcast
    free_speed : [rad/s] speed without load, > 0
    free_current : [A] current without load, >= 0
    resistance : [ohm] of winding and brushes, > 0

    Returns
    -------
    torque_constant : [V·s/rad] back-EMF per speed; the same number in N·m/A

    Valid: steady speed; free_current times resistance below the voltage.
    Raises: ValueError when an argument is out of its bound, or no voltage is left for the back-EMF.
    Source: Fitzgerald, Kingsley & Umans, Electric Machinery, 6th ed., Example 7.9 (a published re-solution seen, the
        printed page not).

    >>> print(f"{constant_from_free_run(50.0, 219.9, 1.25, 1.03):.4f}")
    0.2215
    """
    lost = check.not_negative("free_current", free_current) * check.positive("resistance", resistance)
    left = check.positive(
        "voltage - free_current * resistance",
        check.positive("voltage", voltage) - lost,
        "give the voltage while it runs free, or measure the resistance again",
    )
    return left / check.positive("free_speed", free_speed)


def nameplate_mismatch(voltage, free_speed, free_current, stall_torque, stall_current):
    """Give by how much the two torque constants of a nameplate differ.

    Equation: 2 (k_s - k_f) / (k_s + k_f), k_s from the stall point, k_f from the free run, R = V / I_s

    Parameters
    ----------
    voltage : [V] at which the other four hold, > 0; any shape, all arguments broadcast
    free_speed : [rad/s] speed without load, > 0
    free_current : [A] current without load, >= 0
    stall_torque : [N·m] torque at standstill, > 0
    stall_current : [A] current at standstill, above free_current

    Returns
    -------
    mismatch : [-] relative difference; above 0: more stall torque than the free speed allows, which no motor can have

    Valid: figures of a cold motor.
    Raises: ValueError when an argument is out of its bound.
    Source: torque and back-EMF constant are one number in SI units: Hughes & Drury, Electric Motors and Drives, 5th
        ed., chapter 3 (from memory).

    >>> print(f"{nameplate_mismatch(15.0, 565.6, 0.5, 0.175, 7.5):.4f}")
    0.0099
    """
    _, from_stall, from_free = _nameplate(voltage, free_speed, free_current, stall_torque, stall_current)
    return 2 * (from_stall - from_free) / (from_stall + from_free)


def _nameplate(voltage, free_speed, free_current, stall_torque, stall_current):
    """Return the resistance and the two torque constants, from the stall point and from the free run."""
    from_stall = constant_from_stall(stall_torque, stall_current, free_current)
    resistance = check.positive("voltage", voltage) / check.positive("stall_current", stall_current)
    return resistance, from_stall, constant_from_free_run(voltage, free_speed, free_current, resistance)


def from_nameplate(
    voltage,
    free_speed,
    free_current,
    stall_torque,
    stall_current,
    rotor_inertia=0.0,
    heat_capacity=None,
    thermal_resistance=None,
    max_rise=None,
    copper_coefficient=COPPER,
):
    """Make a Motor from the four figures of a data sheet.

    Equation: R = V / I_s;  k = mean of T_s / (I_s - I_0) and (V - I_0 R) / w_0

    Parameters
    ----------
    voltage : [V] at which the four figures hold, > 0; any shape, all arguments broadcast
    free_speed : [rad/s] speed without load, > 0
    free_current : [A] current without load, >= 0
    stall_torque : [N·m] torque at standstill, > 0
    stall_current : [A] current at standstill, above free_current
    rotor_inertia : [kg·m2] of the rotor, >= 0
    heat_capacity : [J/K] of the winding, > 0; None when not known
    thermal_resistance : [K/W] from the winding to the air, > 0; None when not known
    max_rise : [K] allowed rise of the winding, > 0; None when not known
    copper_coefficient : [1/K] growth of the resistance per kelvin of rise, >= 0

    Returns
    -------
    motor : [part] Motor; its stall torque and free speed miss the nameplate by half the mismatch each

    Valid: the stall torque is at most 3 % above and 10 % below what the other figures make; a gearmotor's is lower.
    Raises: ValueError when they do not agree, or an argument is out of its bound.
    Source: Hughes & Drury, Electric Motors and Drives, 5th ed., chapter 3 (from memory); 3 % and 10 %: common
        practice, no source.

    >>> motor = from_nameplate(15.0, 560.0, 0.5, 0.175, 7.5)
    >>> print(f"{motor.resistance:.2f} {motor.torque_constant:.4f}")
    2.00 0.0250
    """
    mismatch = nameplate_mismatch(voltage, free_speed, free_current, stall_torque, stall_current)
    check.between(
        "nameplate mismatch of free_speed, stall_torque, stall_current and voltage",
        mismatch,
        *(2 * (share - 1) / (share + 1) for share in (LEAST_SHARE, MOST_SHARE)),
        "check the unit of each figure, or measure the motor",
    )
    resistance, from_stall, from_free = _nameplate(voltage, free_speed, free_current, stall_torque, stall_current)
    return Motor(
        resistance,
        (from_stall + from_free) / 2,
        free_current,
        voltage,
        rotor_inertia,
        heat_capacity,
        thermal_resistance,
        max_rise,
        copper_coefficient,
    )


def shared(motor, count):
    """Give the one motor that stands for several of a kind on one shaft, all wired to the same voltage.

    Equation: R / n, k, n I_0, n J, n C, R_th / n

    Parameters
    ----------
    motor : [part] Motor
    count : [whole] motors n, at least 1; any shape, broadcasts with the fields

    Returns
    -------
    motor : [part] Motor whose current is that of all motors together and whose rise is that of each

    Valid: motors alike that share the load evenly; a stiff shaft.
    Raises: ValueError when count is not a whole number of at least 1.
    Source: resistances side by side: first principles.

    >>> motor = Motor(2.0, 0.025, 0.5, 15.0)
    >>> print(f"{stall_torque(motor, 15.0):.3f} {stall_torque(shared(motor, 2), 15.0):.3f}")
    0.175 0.350
    """
    count = check.whole("count", count, 1)
    capacity, to_air = motor.heat_capacity, motor.thermal_resistance
    return replace(
        motor,
        resistance=motor.resistance / count,
        free_current=motor.free_current * count,
        rotor_inertia=motor.rotor_inertia * count,
        heat_capacity=None if capacity is None else capacity * count,
        thermal_resistance=None if to_air is None else to_air / count,
    )


def warmed(motor, rise):
    """Give the motor as it is when its copper has warmed: for torque and current, not for another temperature sum.

    Equation: R (1 + a T)

    Parameters
    ----------
    motor : [part] Motor, cold
    rise : [K] rise T of the winding over the air, >= 0; any shape, broadcasts with the fields

    Returns
    -------
    motor : [part] Motor with the larger resistance

    Valid: rises up to some 150 K; magnets taken as unchanged (they weaken too, so a warm motor is a little worse).
    Raises: ValueError when rise is below 0.
    Source: IEC 60028, temperature coefficient of annealed copper (from memory).

    >>> print(f"{warmed(Motor(2.0, 0.025, 0.5, 15.0, copper_coefficient=0.0039), 100.0).resistance:.3f}")
    2.780
    """
    grown = 1 + motor.copper_coefficient * check.not_negative("rise", rise)
    return replace(motor, resistance=motor.resistance * grown)


# --- the straight lines ---------------------------------------------------------------------------------------------


def current(motor, voltage, speed):
    """Give the current at a voltage and a speed.

    Equation: I = (V - k w) / R

    Parameters
    ----------
    motor : [part] Motor
    voltage : [V] at the motor, either sign; any shape, all arguments broadcast
    speed : [rad/s] shaft speed, either sign

    Returns
    -------
    current : [A] below 0 where the motor feeds current back

    Valid: steady or slowly changing current (the winding's inductance is left out).
    Raises: ValueError when voltage or speed is not finite.
    Source: OpenStax University Physics, volume 2, section 13.7 and Example 13.10.

    >>> print(f"{current(Motor(2.0, 0.025, 0.5, 15.0), 15.0, 300.0):.2f}")
    3.75
    """
    voltage, speed = check.finite("voltage", voltage), check.finite("speed", speed)
    return (voltage - motor.torque_constant * speed) / motor.resistance


def torque(motor, voltage, speed):
    """Give the torque at the shaft at a voltage and a speed.

    Equation: T = k I - k I_0 sign(w);  at standstill T = sign(I) max(k |I| - k I_0, 0)

    Parameters
    ----------
    motor : [part] Motor
    voltage : [V] at the motor, either sign; any shape, all arguments broadcast
    speed : [rad/s] shaft speed, either sign

    Returns
    -------
    torque : [N·m] what the shaft gives; at standstill what it gives when just held from turning with the voltage

    Valid: friction inside is one torque at every speed. At standstill it holds either way: 0 V gives 0, and to turn
        the motor backwards by hand takes k (|I| + I_0).
    Raises: ValueError when voltage or speed is not finite.
    Source: Hughes & Drury, Electric Motors and Drives, 5th ed., chapter 3 (from memory).

    >>> print(f"{torque(Motor(2.0, 0.025, 0.5, 15.0), 15.0, 300.0):.4f}")
    0.0813
    """
    made = motor.torque_constant * current(motor, voltage, speed)
    friction = motor.torque_constant * motor.free_current
    standing = np.sign(made) * np.maximum(np.abs(made) - friction, 0.0)
    return np.where(np.asarray(speed) == 0, standing, made - friction * np.sign(speed))[()]


def speed(motor, voltage, torque):
    """Give the speed at which the motor gives a torque.

    Equation: w = V / k - R (T / k + I_0 sign(w)) / k, and 0 where the friction holds the shaft still

    Parameters
    ----------
    motor : [part] Motor
    voltage : [V] at the motor, either sign; any shape, all arguments broadcast
    torque : [N·m] asked of the shaft, either sign

    Returns
    -------
    speed : [rad/s] 0 when the load stops the motor; below 0 (at a positive voltage) when the load drives it back

    Valid: steady speed.
    Raises: ValueError when voltage or torque is not finite.
    Source: Hughes & Drury, Electric Motors and Drives, 5th ed., chapter 3 (from memory).

    >>> print(f"{speed(Motor(2.0, 0.025, 0.5, 15.0), 15.0, 0.08):.1f}")
    304.0
    """
    voltage, torque = check.finite("voltage", voltage), check.finite("torque", torque)
    frictionless = (voltage - motor.resistance * torque / motor.torque_constant) / motor.torque_constant
    friction = motor.resistance * motor.free_current / motor.torque_constant
    return np.maximum(frictionless - friction, 0.0) + np.minimum(frictionless + friction, 0.0)


def stall_current(motor, voltage):
    """Give the current at standstill.

    Equation: I_s = V / R

    Parameters
    ----------
    motor : [part] Motor
    voltage : [V] at the motor, either sign; any shape, broadcasts with the fields

    Returns
    -------
    current : [A] sign of the voltage

    Valid: cold winding; use warmed for a warm one.
    Raises: ValueError when voltage is not finite.
    Source: Ohm's law.

    >>> print(f"{stall_current(Motor(2.0, 0.025, 0.5, 15.0), 15.0):.2f}")
    7.50
    """
    return current(motor, voltage, 0.0)


def stall_torque(motor, voltage):
    """Give the torque at standstill.

    Equation: T_s = k (V / R - I_0)

    Parameters
    ----------
    motor : [part] Motor
    voltage : [V] at the motor, either sign; any shape, broadcasts with the fields

    Returns
    -------
    torque : [N·m] sign of the voltage; 0 when the voltage is too small to overcome the friction inside

    Valid: cold winding; use warmed for a warm one.
    Raises: ValueError when voltage is not finite.
    Source: Hughes & Drury, Electric Motors and Drives, 5th ed., chapter 3 (from memory).

    >>> print(f"{stall_torque(Motor(2.0, 0.025, 0.5, 15.0), 6.0):.4f}")
    0.0625
    """
    return torque(motor, voltage, 0.0)


def free_speed(motor, voltage):
    """Give the speed without load.

    Equation: w_0 = (V - I_0 R) / k

    Parameters
    ----------
    motor : [part] Motor
    voltage : [V] at the motor, either sign; any shape, broadcasts with the fields

    Returns
    -------
    speed : [rad/s] sign of the voltage; 0 when the voltage is too small to overcome the friction inside

    Valid: steady speed.
    Raises: ValueError when voltage is not finite.
    Source: Hughes & Drury, Electric Motors and Drives, 5th ed., chapter 3 (from memory).

    >>> print(f"{free_speed(Motor(2.0, 0.025, 0.5, 15.0), 15.0):.1f}")
    560.0
    """
    return speed(motor, voltage, 0.0)


# --- power ----------------------------------------------------------------------------------------------------------


def power_in(motor, voltage, speed):
    """Give the electrical power that the motor takes.

    Equation: P = V I

    Parameters
    ----------
    motor : [part] Motor
    voltage : [V] at the motor, either sign; any shape, all arguments broadcast
    speed : [rad/s] shaft speed, either sign

    Returns
    -------
    power : [W] below 0 where the motor feeds power back

    Valid: as current.
    Raises: ValueError when voltage or speed is not finite.
    Source: OpenStax University Physics, volume 2, Example 13.10.

    >>> print(f"{power_in(Motor(2.0, 0.025, 0.5, 15.0), 15.0, 300.0):.1f}")
    56.2
    """
    return voltage * current(motor, voltage, speed)


def power_out(motor, voltage, speed):
    """Give the mechanical power at the shaft.

    Equation: P = T w

    Parameters
    ----------
    motor : [part] Motor
    voltage : [V] at the motor, either sign; any shape, all arguments broadcast
    speed : [rad/s] shaft speed, either sign

    Returns
    -------
    power : [W] below 0 where the load drives the motor

    Valid: as torque.
    Raises: ValueError when voltage or speed is not finite.
    Source: Hughes & Drury, Electric Motors and Drives, 5th ed., chapter 3 (from memory).

    >>> print(f"{power_out(Motor(2.0, 0.025, 0.5, 15.0), 15.0, 300.0):.1f}")
    24.4
    """
    return torque(motor, voltage, speed) * speed


def heat(motor, current):
    """Give the heat made in the cold winding.

    Equation: P = I^2 R

    Parameters
    ----------
    motor : [part] Motor
    current : [A] either sign; any shape, broadcasts with the fields

    Returns
    -------
    power : [W] heat

    Valid: cold winding; steady current (a current that comes in pulses heats more than its mean).
    Raises: ValueError when current is not finite.
    Source: OpenStax University Physics, volume 2, Example 13.10.

    >>> print(f"{heat(Motor(2.0, 0.025, 0.5, 15.0), 7.5):.0f}")
    112
    """
    return check.finite("current", current) ** 2 * motor.resistance


def idle_loss(motor, speed):
    """Give the power that the motor's own friction takes.

    Equation: P = k I_0 |w|

    Parameters
    ----------
    motor : [part] Motor
    speed : [rad/s] shaft speed, either sign; any shape, broadcasts with the fields

    Returns
    -------
    power : [W] lost in brushes, bearings and iron

    Valid: friction inside is one torque at every speed.
    Raises: ValueError when speed is not finite.
    Source: Fitzgerald, Kingsley & Umans, Electric Machinery, 6th ed., Example 7.9 (a published re-solution seen, the
        printed page not).

    >>> print(f"{idle_loss(Motor(2.0, 0.025, 0.5, 15.0), 560.0):.2f}")
    7.00
    """
    return motor.torque_constant * motor.free_current * np.abs(check.finite("speed", speed))


def efficiency(motor, voltage, speed):
    """Give the share of the electrical power that reaches the shaft.

    Equation: T w / (V I)

    Parameters
    ----------
    motor : [part] Motor
    voltage : [V] at the motor, either sign; any shape, all arguments broadcast
    speed : [rad/s] shaft speed, either sign

    Returns
    -------
    efficiency : [-] 0 at standstill, at the free speed, and wherever the load drives the motor

    Valid: as torque.
    Raises: ValueError when voltage or speed is not finite.
    Source: Hughes & Drury, Electric Motors and Drives, 5th ed., chapter 3 (from memory).

    >>> print(f"{efficiency(Motor(2.0, 0.025, 0.5, 15.0), 15.0, 300.0):.3f}")
    0.433
    """
    taken, given = np.broadcast_arrays(power_in(motor, voltage, speed), power_out(motor, voltage, speed))
    drives = (taken > 0) & (given > 0)
    return np.divide(given, taken, out=np.zeros(taken.shape), where=drives)[()]


def point(motor, voltage, speed):
    """Give all figures of a motor at one speed and voltage.

    Equation: those of torque, current, power_in, power_out, heat and efficiency

    Parameters
    ----------
    motor : [part] Motor
    voltage : [V] at the motor, either sign; any shape, all arguments broadcast
    speed : [rad/s] shaft speed, either sign

    Returns
    -------
    point : [part] Point

    Valid: as torque.
    Raises: ValueError when voltage or speed is not finite.
    Source: Hughes & Drury, Electric Motors and Drives, 5th ed., chapter 3 (from memory).

    >>> print(f"{point(Motor(2.0, 0.025, 0.5, 15.0), 15.0, 300.0).heat:.1f}")
    28.1
    """
    speed = check.finite("speed", speed)
    drawn = current(motor, voltage, speed)
    return Point(
        speed,
        torque(motor, voltage, speed),
        drawn,
        power_in(motor, voltage, speed),
        power_out(motor, voltage, speed),
        heat(motor, drawn),
        efficiency(motor, voltage, speed),
    )


def peak_power(motor, voltage):
    """Give the most mechanical power that the motor has; it comes at half the free speed.

    Equation: P = T_s w_0 / 4

    Parameters
    ----------
    motor : [part] Motor
    voltage : [V] at the motor, either sign; any shape, broadcasts with the fields

    Returns
    -------
    power : [W] at the shaft

    Valid: for a moment; at half speed nearly half the stall current heats the winding.
    Raises: ValueError when voltage is not finite.
    Source: Massachusetts Institute of Technology, Understanding D.C. Motor Characteristics, page "motors4".

    >>> print(f"{peak_power(Motor(2.0, 0.025, 0.5, 15.0), 15.0):.1f}")
    24.5
    """
    return stall_torque(motor, voltage) * free_speed(motor, voltage) / 4


def best_current(motor, voltage):
    """Give the current at which the motor is most efficient.

    Equation: I = sqrt(I_0 I_s)

    Parameters
    ----------
    motor : [part] Motor
    voltage : [V] at the motor, > 0; any shape, broadcasts with the fields

    Returns
    -------
    current : [A] and the stall current where the voltage is too small to start the motor

    Valid: as torque.
    Raises: ValueError when voltage is not above 0.
    Source: maximum of (V - I R)(I - I_0) / (V I): first principles, checked by search in the tests.

    >>> print(f"{best_current(Motor(2.0, 0.025, 0.5, 15.0), 15.0):.2f}")
    1.94
    """
    at_stall = stall_current(motor, check.positive("voltage", voltage))
    return np.minimum(np.sqrt(motor.free_current * at_stall), at_stall)


def best_speed(motor, voltage):
    """Give the speed at which the motor is most efficient.

    Equation: w = (V - R sqrt(I_0 I_s)) / k

    Parameters
    ----------
    motor : [part] Motor
    voltage : [V] at the motor, > 0; any shape, broadcasts with the fields

    Returns
    -------
    speed : [rad/s] and 0 where the voltage is too small to start the motor

    Valid: as torque.
    Raises: ValueError when voltage is not above 0.
    Source: as best_current.

    >>> print(f"{best_speed(Motor(2.0, 0.025, 0.5, 15.0), 15.0):.0f}")
    445
    """
    left = voltage - motor.resistance * best_current(motor, voltage)
    return np.maximum(left, 0.0) / motor.torque_constant


def best_efficiency(motor, voltage):
    """Give the highest efficiency that the motor has at a voltage.

    Equation: (1 - sqrt(I_0 / I_s))^2

    Parameters
    ----------
    motor : [part] Motor
    voltage : [V] at the motor, > 0; any shape, broadcasts with the fields

    Returns
    -------
    efficiency : [-] and 0 where the voltage is too small to start the motor

    Valid: as torque.
    Raises: ValueError when voltage is not above 0.
    Source: as best_current.

    >>> print(f"{best_efficiency(Motor(2.0, 0.025, 0.5, 15.0), 15.0):.3f}")
    0.550
    """
    best, stalled = np.broadcast_arrays(best_current(motor, voltage), stall_current(motor, voltage))
    share = np.divide(best, stalled, out=np.ones(stalled.shape), where=stalled > 0)
    return ((1 - share) ** 2)[()]


# --- winding temperature --------------------------------------------------------------------------------------------
#
#     C dT/dt = I^2 R (1 + a T) - T / R_th    is    dT/dt = warming - settling T
#
# with warming = I^2 R / C and settling = (1 / R_th - I^2 R a) / C. Where settling is 0 or less nothing ever settles:
# the copper's growing resistance adds heat faster than the air takes it.


def temperature_rise(motor, current, time, start_rise=0.0):
    """Give the rise of the winding after some time at a constant current.

    Equation: T = T_0 exp(-s t) + (I^2 R / C) (1 - exp(-s t)) / s, with s = (1 / R_th - I^2 R a) / C

    Parameters
    ----------
    motor : [part] Motor with heat_capacity and thermal_resistance
    current : [A] held, either sign; any shape, all arguments broadcast
    time : [s] from the start, >= 0
    start_rise : [K] rise T_0 at the start, >= 0

    Returns
    -------
    rise : [K] over the air; grows without end where s <= 0, and is inf when no float can hold it

    Valid: one lump of heat, air that stays as it is; on a real motor the casing follows minutes later.
    Raises: ValueError when an argument is out of its bound, or the motor has no thermal figures.
    Source: Dubey, Fundamentals of Electrical Drives, 2nd ed., Example 4.1 for a = 0 (a published re-solution seen, the
        printed page not); with a: first principles, checked against a numerical solution in the tests.

    >>> motor = Motor(2.0, 0.025, 0.5, 15.0, heat_capacity=25.0, thermal_resistance=5.0)
    >>> print(f"{temperature_rise(motor, 5.0, 30.0):.0f}")
    60
    """
    warming, settling = _rates(motor, current)
    time, start_rise = check.not_negative("time", time), check.not_negative("start_rise", start_rise)
    return start_rise + (warming - settling * start_rise) * _settled(settling, time)


def _rates(motor, current):
    """Return warming [K/s] and settling [1/s] of the equation above."""
    _need(motor, "heat_capacity", "thermal_resistance")
    made = heat(motor, current)
    settling = 1 / motor.thermal_resistance - made * motor.copper_coefficient
    return made / motor.heat_capacity, settling / motor.heat_capacity


def _settled(settling, time):
    """Return the integral of exp(-settling t) over the time: (1 - exp(-settling t)) / settling, or t when it is 0."""
    with np.errstate(over="ignore"):
        return np.where(settling == 0, time, -np.expm1(-settling * time) / np.where(settling == 0, 1.0, settling))[()]


def _need(motor, *names):
    for name in names:
        if getattr(motor, name) is None:
            raise ValueError(
                f"{name} of the motor is not given, but temperatures need a number above 0; make the "
                f"motor with {name}=..., from its data sheet or measured."
            )


def steady_rise(motor, current):
    """Give the rise at which the winding stays when a constant current flows for ever.

    Equation: T = I^2 R R_th / (1 - I^2 R R_th a)

    Parameters
    ----------
    motor : [part] Motor with heat_capacity and thermal_resistance
    current : [A] held, either sign; any shape, broadcasts with the fields

    Returns
    -------
    rise : [K] over the air; inf where the temperature runs away

    Valid: as temperature_rise.
    Raises: ValueError when current is not finite, or the motor has no thermal figures.
    Source: as temperature_rise, after a long time.

    >>> motor = Motor(2.0, 0.025, 0.5, 15.0, heat_capacity=25.0, thermal_resistance=5.0)
    >>> print(f"{steady_rise(motor, 2.0):.1f} {steady_rise(motor, 9.0)}")
    47.5 inf
    """
    warming, settling = np.broadcast_arrays(*_rates(motor, current))
    return np.divide(warming, settling, out=np.full(warming.shape, np.inf), where=settling > 0)[()]


def rise_over(motor, time, current, start_rise=0.0):
    """Give the rise of the winding over a history of currents.

    Equation: temperature_rise from each instant to the next, exact for a current that changes in steps

    Parameters
    ----------
    motor : [part] Motor with heat_capacity and thermal_resistance; columns of shape [S] or plain numbers
    time : [s] instants in rising order; shape [N] or [S, N]
    current : [A] held from each instant to the next (the last one is not used); shape [N] or [S, N]
    start_rise : [K] rise at the first instant, >= 0; shape [S] or a plain number

    Returns
    -------
    rise : [K] at each instant; shape [N] or [S, N]

    Valid: as temperature_rise.
    Raises: ValueError when time goes back, an argument is out of its bound, or the motor has no thermal figures.
    Source: as temperature_rise.

    >>> motor = Motor(2.0, 0.025, 0.5, 15.0, heat_capacity=25.0, thermal_resistance=5.0)
    >>> print(np.round(rise_over(motor, [0, 10, 40], [5.0, 0.0, 0.0])))
    [ 0. 20. 16.]
    """
    time, current = np.broadcast_arrays(np.atleast_1d(check.finite("time", time)), check.finite("current", current))
    steps = check.not_negative("step of time", np.diff(time), "give the instants in rising order")
    _, settling = _rates(motor, current[..., 0])
    first, _ = np.broadcast_arrays(check.not_negative("start_rise", start_rise), settling)
    rises = [first]
    for j in range(time.shape[-1] - 1):
        rises.append(temperature_rise(motor, current[..., j], steps[..., j], rises[-1]))
    return np.stack(rises, axis=-1)


def duty_rise(motor, current, time_on, time_off, rest_current=0.0):
    """Give the two rises between which a cycle of load and rest swings when it repeats for ever.

    Equation: the two temperatures that the load and the rest turn into each other

    Parameters
    ----------
    motor : [part] Motor with heat_capacity and thermal_resistance
    current : [A] under load, either sign; any shape, all arguments broadcast
    time_on : [s] load in each cycle, > 0
    time_off : [s] rest in each cycle, > 0
    rest_current : [A] at rest, 0 for switched off

    Returns
    -------
    after_rest : [K] at the end of each rest
    after_load : [K] at the end of each load; both inf where the cycle runs away

    Valid: as temperature_rise.
    Raises: ValueError when an argument is out of its bound, or the motor has no thermal figures.
    Source: Dubey, Fundamentals of Electrical Drives, 2nd ed., Example 4.1 for a = 0 (a published re-solution seen, the
        printed page not).

    >>> motor = Motor(2.0, 0.025, 0.5, 15.0, heat_capacity=25.0, thermal_resistance=5.0)
    >>> after_rest, after_load = duty_rise(motor, 5.0, 2.0, 8.0)
    >>> print(f"{after_rest:.1f} {after_load:.1f}")
    60.3 64.2
    """
    time_on, time_off = check.positive("time_on", time_on), check.positive("time_off", time_off)
    warming, settling = _rates(motor, current)
    rest_warming, rest_settling = _rates(motor, rest_current)
    gain, rest_gain = warming * _settled(settling, time_on), rest_warming * _settled(rest_settling, time_off)
    with np.errstate(over="ignore", invalid="ignore", divide="ignore"):
        cooled = -np.expm1(-settling * time_on - rest_settling * time_off)
        ends = (
            (rest_gain + gain * np.exp(-rest_settling * time_off)) / cooled,
            (gain + rest_gain * np.exp(-settling * time_on)) / cooled,
        )
    # What overflows a float on its way is a runaway as well.
    return tuple(np.where((cooled > 0) & np.isfinite(end), end, np.inf)[()] for end in ends)


def time_to_limit(motor, current, start_rise=0.0):
    """Give how long a constant current may flow until the winding reaches max_rise.

    Equation: t = -ln(1 - s (T_max - T_0) / (I^2 R / C - s T_0)) / s, with s of temperature_rise

    Parameters
    ----------
    motor : [part] Motor with heat_capacity, thermal_resistance and max_rise
    current : [A] held, either sign; any shape, all arguments broadcast
    start_rise : [K] rise T_0 at the start, >= 0

    Returns
    -------
    time : [s] 0 when it starts there, inf when it never gets there

    Valid: as temperature_rise.
    Raises: ValueError when an argument is out of its bound, or the motor has no thermal figures.
    Source: as temperature_rise, solved for the time.

    >>> motor = Motor(2.0, 0.025, 0.5, 15.0, heat_capacity=25.0, thermal_resistance=5.0, max_rise=80.0)
    >>> print(f"{time_to_limit(motor, 7.5):.1f} {time_to_limit(motor, 2.0)}")
    16.4 inf
    """
    warming, settling = _rates(motor, current)
    start_rise = check.not_negative("start_rise", start_rise)
    _need(motor, "max_rise")
    missing = motor.max_rise - start_rise
    first_rate = np.asarray(warming - settling * start_rise)
    with np.errstate(divide="ignore", invalid="ignore", over="ignore"):
        share = settling * missing / first_rate
        time = np.where(settling == 0, missing / first_rate, -np.log1p(-share) / settling)
    never = (first_rate <= 0) | (share >= 1)
    return np.where(missing <= 0, 0.0, np.where(never, np.inf, time))[()]


def stall_time_to_limit(motor, voltage, start_rise=0.0):
    """Give how long a stalled motor may stay at a constant voltage until the winding reaches max_rise.

    Equation: C dT/dt = (V^2 / R) / (1 + a T) - T / R_th, integrated exactly: the current falls as the copper warms

    Parameters
    ----------
    motor : [part] Motor with heat_capacity, thermal_resistance and max_rise
    voltage : [V] at the motor, either sign; any shape, all arguments broadcast
    start_rise : [K] rise T_0 at the start, >= 0

    Returns
    -------
    time : [s] 0 when it starts there, inf when it never gets there

    Valid: as temperature_rise. When testing a hold, end it within 2 s (common practice, no source).
    Raises: ValueError when an argument is out of its bound, or the motor has no thermal figures.
    Source: first principles, checked against a numerical solution in the tests.

    >>> motor = Motor(2.0, 0.025, 0.5, 15.0, heat_capacity=25.0, thermal_resistance=5.0, max_rise=80.0)
    >>> print(f"{stall_time_to_limit(motor, 15.0):.1f}")
    22.7
    """
    _need(motor, "heat_capacity", "thermal_resistance", "max_rise")
    start_rise, growth = check.not_negative("start_rise", start_rise), motor.copper_coefficient
    cold_rise = heat(motor, stall_current(motor, voltage)) * motor.thermal_resistance
    # The rise settles at the positive root of growth T^2 + T = cold_rise; `top` is that root, without a difference of
    # near numbers. Partial fractions of dt/dT then give the two logarithms; no term divides by growth, which may be 0.
    root = np.sqrt(1 + 4 * growth * cold_rise)
    top = 2 * cold_rise / (1 + root)
    missing = motor.max_rise - start_rise
    with np.errstate(divide="ignore", invalid="ignore", over="ignore"):
        to_top = -(1 + growth * top) * np.log1p(-missing / (top - start_rise))
        beyond = growth * top * np.log1p(growth * missing / (1 + growth * (top + start_rise)))
        time = motor.heat_capacity * motor.thermal_resistance / root * (to_top - beyond)
    return np.where(missing <= 0, 0.0, np.where(top <= motor.max_rise, np.inf, time))[()]


def continuous_current(motor):
    """Give the current that just brings the winding to max_rise when it flows for ever.

    Equation: I = sqrt(T_max / (R_th R (1 + a T_max)))

    Parameters
    ----------
    motor : [part] Motor with thermal_resistance and max_rise

    Returns
    -------
    current : [A] the motor stays below max_rise with any smaller current

    Valid: as temperature_rise.
    Raises: ValueError when the motor has no thermal figures.
    Source: as steady_rise, solved for the current.

    >>> motor = Motor(2.0, 0.025, 0.5, 15.0, thermal_resistance=5.0, max_rise=80.0)
    >>> print(f"{continuous_current(motor):.2f}")
    2.47
    """
    _need(motor, "thermal_resistance", "max_rise")
    hot = warmed(motor, motor.max_rise).resistance
    return np.sqrt(motor.max_rise / (motor.thermal_resistance * hot))


# --- constants from readings ----------------------------------------------------------------------------------------


@dataclass(frozen=True)
class MotorFit:
    """Hold the constants of a motor found from bench readings.

    Fields
    ------
    resistance : [part] Estimate in ohm
    torque_constant : [part] Estimate in N·m/A
    free_current : [part] Estimate in A
    residual_sd : [A] standard deviation of the current readings about the fit
    """

    resistance: Estimate
    torque_constant: Estimate
    free_current: Estimate
    residual_sd: float


def fit(voltage, speed, current, free_current, confidence=CONFIDENCE):
    """Find a motor's constants from voltage, speed and current read at several loads.

    Equation: I = V (1 / R) - w (k / R), least squares in 1 / R and k / R;  I_0 = mean of the readings without load

    Parameters
    ----------
    voltage : [V] read at the motor; shape [N], or one number when it stayed the same
    speed : [rad/s] read; shape [N]
    current : [A] read; shape [N], at least 3 readings
    free_current : [A] read without load; shape [M], at least 2 readings
    confidence : [-] probability that each interval holds the true value

    Returns
    -------
    fit : [part] MotorFit

    Valid: errors sit mostly in the current; winding about as warm in all readings (read fast, let it cool between).
    Raises: ValueError when there are too few readings, lengths differ, all loads are alike, or the current does not
        fall as the speed rises.
    Source: Draper & Smith, Applied Regression Analysis, 3rd ed., chapter 5 (from memory); intervals of R and k by the
        first-order rule for a quotient.

    >>> found = fit(15.0, [0.0, 200.0, 400.0, 500.0], [7.52, 4.99, 2.49, 1.26], [0.49, 0.51])
    >>> print(f"{found.resistance.value:.2f} {found.torque_constant.value:.4f} {found.free_current.value:.2f}")
    2.00 0.0250 0.50
    """
    voltage = np.broadcast_to(voltage, np.shape(speed)) if np.ndim(voltage) == 0 else voltage
    voltage, speed, current = paired(3, voltage=voltage, speed=speed, current=current)
    (per_volt, per_speed), covariance, residual_sd = least_squares([voltage, -speed], current)
    check.positive("fall of current with speed", per_speed, "check the readings: current falls as speed rises")
    check.positive("rise of current with voltage", per_volt, "check the readings: current rises with voltage")
    freedom, constant = speed.size - 2, per_speed / per_volt
    slopes = np.array([-constant, 1.0]) / per_volt  # of the quotient, by 1 / R and by k / R
    return MotorFit(
        estimate(1 / per_volt, covariance[0, 0] / per_volt**4, freedom, confidence),
        estimate(constant, slopes @ covariance @ slopes, freedom, confidence),
        mean(free_current, confidence),
        residual_sd,
    )


def fit_torque(current, torque, confidence=CONFIDENCE):
    """Find the torque constant and the idle current from torque read at several currents, with a lever on a scale.

    Equation: T = k I - k I_0, least squares of a straight line

    Parameters
    ----------
    current : [A] read; shape [N], at least 3 readings
    torque : [N·m] read at the shaft; shape [N]
    confidence : [-] probability that each interval holds the true value

    Returns
    -------
    torque_constant : [part] Estimate in N·m/A
    free_current : [part] Estimate in A

    Valid: errors sit mostly in the torque. A stalled motor is hot within seconds: use a low voltage and read fast.
    Raises: ValueError when there are too few readings, lengths differ, or the torque does not rise with the current.
    Source: Draper & Smith, Applied Regression Analysis, 3rd ed., chapter 1 (from memory); interval of I_0 by the
        first-order rule for a quotient.

    >>> constant, idle = fit_torque([1.0, 2.0, 3.0, 4.0], [0.0126, 0.0374, 0.0626, 0.0874])
    >>> print(f"{constant.value:.4f} {idle.value:.2f}")
    0.0250 0.50
    """
    current, torque = paired(3, current=current, torque=torque)
    line = fit_line(current, torque, confidence)
    constant = check.positive("rise of torque with current", line.slope.value, "check the signs of the readings")
    idle = -line.intercept.value / constant
    # Slope and intercept err together: their covariance is minus the mean current times the slope's variance.
    variance = (line.intercept.error**2 + (idle**2 - 2 * idle * current.mean()) * line.slope.error**2) / constant**2
    return line.slope, estimate(idle, variance, current.size - 2, confidence)
