"""Drive: battery, motors and gear train as seen at one output shaft.

Contents
    Line              what turns the shaft: electrical and mechanical constants, all on the output shaft
    line              a Line from a motor, its count, a ratio and efficiencies
    behind            some equal Lines side by side with one more stage behind them
    stall_torque, free_speed, torque, speed, current_for_torque   the line's torque, speed and current
    driven_hold       current that holds a load in place under power
    shorted_creep     speed at which a load turns a motor whose terminals are joined
    unpowered_hold    load that friction alone holds with the power off

Three words that are never mixed: a *driven hold* needs current for as long as it holds; a *shorted* motor does not
hold, it creeps; an *unpowered hold* needs nothing, because friction in motor and gears is enough.
"""

from dataclasses import dataclass

import numpy as np

from mechbench.physics import check


@dataclass(frozen=True)
class Line:
    """Hold the constants of a drive, all as seen at the output shaft and from the battery.

    Fields
    ------
    resistance : [ohm] of all motors together, seen from the battery
    torque_constant : [N·m/A] output torque without losses per ampere of battery current; also V·s/rad of back-EMF
    free_current : [A] current that only turns the motors' own friction
    rotor_inertia : [kg·m2] of all rotors, already times ratio squared
    efficiency : [-] of the gear train when the motor drives
    efficiency_driven : [-] of the gear train when the load drives; 0 is self-locking
    current_limit : [A] that the controllers allow, inf without a limit

    Valid: linear motor, constant losses; every field a number or an array [S] of cases.
    Source: common practice, no source.
    """

    resistance: np.ndarray
    torque_constant: np.ndarray
    free_current: np.ndarray
    rotor_inertia: np.ndarray
    efficiency: np.ndarray
    efficiency_driven: np.ndarray
    current_limit: np.ndarray = np.inf

    def __post_init__(self):
        check.positive("resistance", self.resistance)
        check.positive("torque_constant", self.torque_constant)
        check.not_negative("free_current", self.free_current)
        check.not_negative("rotor_inertia", self.rotor_inertia)
        check.fraction("efficiency", self.efficiency)
        check.between("efficiency_driven", self.efficiency_driven, 0, 1)
        if np.any(~(np.asarray(self.current_limit) > np.asarray(self.free_current))):
            raise ValueError(
                f"current_limit is {np.min(self.current_limit):g} A, but it must be above the idle current of "
                f"{np.max(self.free_current):g} A; allow more current."
            )
        locked = (np.asarray(self.efficiency_driven) == 0) & (np.asarray(self.rotor_inertia) == 0)
        if np.any(locked):
            raise ValueError("rotor_inertia is 0, but a self-locking drive needs it above 0; give the rotor's inertia.")


def line(motor, ratio, efficiency, efficiency_driven, count=1, current_limit=np.inf):
    """Build a Line from motors on one shaft and the gear train behind them.

    Equation: R = R_m / n; k = k_m N; I_0 = n I_m0; J = n J_m N^2

    Parameters
    ----------
    motor : [part] with resistance, torque_constant, free_current and rotor_inertia
    ratio : [-] motor speed over output speed, > 0
    efficiency : [-] of the train when the motor drives, above 0 and at most 1
    efficiency_driven : [-] of the train when the load drives, 0 to 1
    count : [whole] motors side by side on the same train, at least 1
    current_limit : [A] for one motor, inf without a limit

    Returns
    -------
    line : [part] a Line; arrays where an argument is an array

    Valid: equal motors that share the load equally.
    Raises: ValueError when ratio or an efficiency is out of its range, or count is below 1.
    Source: common practice, no source; reflected inertia as Bevan, The Theory of Machines, 3rd ed., chapter 2.

    >>> from types import SimpleNamespace
    >>> made_up = SimpleNamespace(resistance=2.0, torque_constant=0.025, free_current=0.5, rotor_inertia=1e-5)
    >>> print(f"{line(made_up, 50, 0.7, 0.57).torque_constant:.3f} N·m/A")
    1.250 N·m/A
    """
    check.positive("ratio", ratio)
    check.whole("count", count, 1)
    return Line(
        resistance=motor.resistance / np.asarray(count),
        torque_constant=motor.torque_constant * np.asarray(ratio),
        free_current=motor.free_current * np.asarray(count),
        rotor_inertia=motor.rotor_inertia * np.asarray(count) * np.asarray(ratio) ** 2,
        efficiency=np.asarray(efficiency, dtype=float),
        efficiency_driven=np.asarray(efficiency_driven, dtype=float),
        current_limit=np.asarray(current_limit, dtype=float) * np.asarray(count),
    )


def behind(line, ratio=1.0, efficiency=1.0, efficiency_driven=1.0, count=1):
    """Give the Line of some equal drives side by side, with one more stage behind them.

    Equation: R = R_1 / n; k = k_1 N; I_0 = n I_01; J = n J_1 N^2; eta = eta_1 eta_stage; I_max = n I_max1

    Parameters
    ----------
    line : [part] a Line, as seen at the shaft before the stage
    ratio : [-] speed before the stage over speed behind it, > 0
    efficiency : [-] of the stage when the drives drive, above 0 and at most 1
    efficiency_driven : [-] of the stage when the load drives, 0 to 1
    count : [whole] drives side by side, at least 1

    Returns
    -------
    line : [part] a Line at the shaft behind the stage

    Valid: drives that share the load equally; the stage's own inertia is left out.
    Raises: ValueError when ratio or an efficiency is out of its range, or count is below 1.
    Source: common practice, no source; reflected inertia as Bevan, The Theory of Machines, 3rd ed., chapter 2.

    >>> one = Line(2.0, 1.25, 0.5, 0.025, 0.7, 0.57)
    >>> print(f"{stall_torque(behind(one, 3, 0.9, 0.89, count=2), 15):.2f} N·m")
    33.07 N·m
    """
    ratio, count = check.positive("ratio", ratio), check.whole("count", count, 1)
    return Line(
        line.resistance / count,
        line.torque_constant * ratio,
        line.free_current * count,
        line.rotor_inertia * count * ratio**2,
        line.efficiency * efficiency,
        line.efficiency_driven * efficiency_driven,
        line.current_limit * count,
    )


def torque(line, voltage, speed):
    """Give the torque at the output shaft at a speed, the motor driving or driven.

    Equation: X = k (min((V - k w) / R, I_max) - I_0); T = eta X where X >= 0, X / eta_driven below

    Parameters
    ----------
    line : [part] a Line
    voltage : [V] at the motor controllers, >= 0
    speed : [rad/s] of the output shaft, >= 0

    Returns
    -------
    torque : [N·m] on the output shaft; -inf where a self-locking train is overrun

    Valid: steady speed; the rotor's own acceleration takes no share.
    Raises: ValueError when voltage or speed is negative.
    Source: common practice, no source.

    >>> drive = Line(2.0, 1.25, 0.5, 0.025, 0.7, 0.57)
    >>> print(f"{torque(drive, 15, 0):.2f} N·m at standstill")
    6.13 N·m at standstill
    """
    voltage, speed = check.not_negative("voltage", voltage), check.not_negative("speed", speed)
    amps = np.minimum((voltage - line.torque_constant * speed) / line.resistance, line.current_limit)
    inner = line.torque_constant * (amps - line.free_current)
    return _through_train(line, inner)


def _through_train(line, inner):
    """Torque behind the train from the lossless torque before it."""
    with np.errstate(divide="ignore", invalid="ignore"):
        driven = np.where(inner < 0, inner / line.efficiency_driven, 0.0)
    return np.where(inner >= 0, line.efficiency * inner, driven)[()]


def stall_torque(line, voltage):
    """Give the torque at standstill.

    Equation: T = eta k (min(V / R, I_max) - I_0)

    Parameters
    ----------
    line : [part] a Line
    voltage : [V] at the motor controllers, >= 0

    Returns
    -------
    torque : [N·m] on the output shaft

    Valid: cold winding.
    Raises: ValueError when voltage is negative.
    Source: common practice, no source.

    >>> drive = Line(2.0, 1.25, 0.5, 0.025, 0.7, 0.57)
    >>> print(f"{stall_torque(drive, 15):.2f} N·m")
    6.13 N·m
    """
    return torque(line, voltage, 0.0)


def current_for_torque(line, torque):
    """Give the current that a driving line needs for an output torque.

    Equation: I = T / (eta k) + I_0

    Parameters
    ----------
    line : [part] a Line
    torque : [N·m] asked at the output shaft, >= 0

    Returns
    -------
    current : [A] from the battery with the motors fully on

    Valid: the motor drives and turns; it may be more than the line can give.
    Raises: ValueError when torque is negative.
    Source: common practice, no source.

    >>> drive = Line(2.0, 1.25, 0.5, 0.025, 0.7, 0.57)
    >>> print(f"{current_for_torque(drive, 2.0):.2f} A")
    2.79 A
    """
    return check.not_negative("torque", torque) / (line.efficiency * line.torque_constant) + line.free_current


def speed(line, voltage, torque):
    """Give the steady speed at which a line gives a torque; 0 where it stalls.

    Equation: w = (V - R I) / k with I = T / (eta k) + I_0

    Parameters
    ----------
    line : [part] a Line
    voltage : [V] at the motor controllers, >= 0
    torque : [N·m] asked at the output shaft, >= 0

    Returns
    -------
    speed : [rad/s] of the output shaft, 0 where the torque is more than the line can give

    Valid: the motor drives; steady state.
    Raises: ValueError when voltage or torque is negative.
    Source: common practice, no source.

    >>> drive = Line(2.0, 1.25, 0.5, 0.025, 0.7, 0.57)
    >>> print(f"{speed(drive, 15, 2.0):.2f} rad/s")
    7.54 rad/s
    """
    amps = current_for_torque(line, torque)
    turning = (check.not_negative("voltage", voltage) - line.resistance * amps) / line.torque_constant
    return np.where(amps <= line.current_limit, np.maximum(turning, 0.0), 0.0)[()]


def driven_hold(line, load_torque):
    """Give the current that holds a load in place under power.

    Equation: I = (eta_driven T - k I_0) / k, at least 0

    Parameters
    ----------
    line : [part] a Line
    load_torque : [N·m] that the load puts on the output shaft, >= 0

    Returns
    -------
    current : [A] through the motors; 0 where friction alone holds

    Valid: at rest; friction helps to hold, so the least current is meant; it heats the motor all the time.
    Raises: ValueError when load_torque is negative.
    Source: common practice, no source.

    >>> drive = Line(2.0, 2.5, 0.5, 0.1, 0.7, 0.57)
    >>> print(f"{driven_hold(drive, 8.0):.2f} A")
    1.32 A
    """
    asked = line.efficiency_driven * check.not_negative("load_torque", load_torque)
    return np.maximum(asked / line.torque_constant - line.free_current, 0.0)


def shorted_creep(line, load_torque):
    """Give the speed at which a load turns a motor whose terminals are joined: a "brake" that does not hold.

    Equation: w = R (eta_driven T - k I_0) / k^2, at least 0

    Parameters
    ----------
    line : [part] a Line
    load_torque : [N·m] that the load puts on the output shaft, >= 0

    Returns
    -------
    speed : [rad/s] of the output shaft; 0 where friction alone holds

    Valid: steady state, controller in its braking mode, battery on or off.
    Raises: ValueError when load_torque is negative.
    Source: common practice, no source.

    >>> drive = Line(2.0, 2.5, 0.5, 0.1, 0.7, 0.57)
    >>> print(f"{shorted_creep(drive, 8.0):.2f} rad/s")
    1.06 rad/s
    """
    return line.resistance * driven_hold(line, load_torque) / line.torque_constant


def unpowered_hold(line):
    """Give the load that friction alone holds with the power off.

    Equation: T = k I_0 / eta_driven

    Parameters
    ----------
    line : [part] a Line

    Returns
    -------
    load_torque : [N·m] on the output shaft; inf where the train is self-locking

    Valid: eta_driven = 2 - 1 / eta holds only for eta above 0.5; vibration can release what friction holds.
    Raises: nothing.
    Source: common practice, no source.

    >>> drive = Line(2.0, 3.75, 0.5, 0.225, 0.64, 0.44)
    >>> print(f"{unpowered_hold(drive):.1f} N·m")
    4.3 N·m
    """
    driven = np.asarray(line.efficiency_driven)
    held = line.torque_constant * line.free_current / np.where(driven > 0, driven, 1.0)
    return np.where(driven > 0, held, np.inf)[()]
