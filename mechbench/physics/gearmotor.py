"""The gearmotor as its label prints it: a motor with gears in one piece, known by what its output shaft does.

        V, I                     k, R, I_0            N : 1, eta
    o----------->  [ winding ] ------------> [ gears ] -----------> output shaft: torque T, speed w

    At the output shaft     w = (V - R I) / k_f     k_f = N k          the gears turn it more slowly
                            T = k_s (I - I_0)       k_s = eta N k      and take their share of the torque
Contents
    LEAST_EFFICIENCY, ROUNDING                what is assumed of a label, and what it may say
    TOO_MUCH, TOO_LITTLE                      ends of the sentences that refuse an efficiency
    Gearmotor                                 the constants of a gearmotor
    from_label                                from speed without load, stall torque and currents
    from_points                               from torque, speed and current at two loads
    motor_of                                  its motor alone
    efficiency_driven                         of its gears when the load drives

A label that prints no ratio tells what the output shaft does, and that is all that a load feels: with N = 1 the motor's
constants are those of the output shaft. With the ratio the motor has k = k_f / N.

Where k_s and k_f of one label differ, the gears are the reason: k_s / k_f is their efficiency. It can't be above 1.
"""

import math
from dataclasses import dataclass

import numpy as np

from mechbench.physics import check
from mechbench.physics.assumed import FREE_SHARE
from mechbench.physics.gearing import efficiency_driven as of_one_stage
from mechbench.physics.motor import Motor

LEAST_EFFICIENCY = 0.25  # gears that pass on less are no gears for a robot: common practice, no source
ROUNDING = 1.03  # up to here an efficiency above 1 is a label's rounding
# Of the larger one: two readings nearer to each other tell more of their errors than of the motor. Assumed.
LEAST_APART = {"torque": 0.2, "speed": 0.05, "current": 0.2}
STAGE = 0.9  # share of the power that one stage passes on: common practice, no source
# Ends of the two sentences about an efficiency that can't be.
TOO_MUCH = "that is more torque than the free speed allows: is the torque the motor's own? Read the label again."
TOO_LITTLE = "is the speed the motor's own, or the torque a rated one? Read the label again."


@dataclass(frozen=True)
class Gearmotor:
    """Hold the constants of a gearmotor, as felt at its output shaft.

    Fields
    ------
    resistance : [ohm] of winding and brushes, cold, > 0
    torque_constant : [N·m/A] torque per current without losses, and as well back-EMF per speed of the output shaft, > 0
    free_current : [A] current that pays for its own friction, >= 0
    voltage : [V] of the label, > 0
    efficiency : [-] share of the power that its gears pass on, above 0 and at most 1
    ratio : [-] turns of the motor for one turn of the output shaft; 1 where it is not printed
    """

    resistance: float
    torque_constant: float
    free_current: float
    voltage: float
    efficiency: float
    ratio: float = 1.0

    def __post_init__(self):
        for name in ("resistance", "torque_constant", "voltage", "ratio"):
            object.__setattr__(self, name, check.positive(name, getattr(self, name)))
        object.__setattr__(self, "free_current", check.not_negative("free_current", self.free_current))
        object.__setattr__(self, "efficiency", check.fraction("efficiency", self.efficiency))


def from_label(voltage, output_speed, output_stall, stall_current, free_current=None, ratio=1.0):
    """Read a gearmotor from its label: all figures are those of the output shaft.

    Equation: R = V / I_s;  k_f = (V - I_0 R) / w_out;  k_s = T_out / (I_s - I_0);  eta = k_s / k_f

    Parameters
    ----------
    voltage : [V] at which the figures hold, > 0; any shape, all arguments broadcast
    output_speed : [rad/s] of the output shaft without load, > 0
    output_stall : [N·m] torque of the output shaft at standstill, > 0
    stall_current : [A] current at standstill, above free_current
    free_current : [A] current without load, >= 0; None: 4 % of the stall current
    ratio : [-] turns of the motor for one turn of the output shaft, at least 1; 1 where it is not printed

    Returns
    -------
    gearmotor : [part] Gearmotor; an efficiency above 1 and up to 1.03 is rounding, and read as 1

    Valid: a cold motor; the gears' loss as one share of the torque that they pass on, the rest in the free current.
    Raises: ValueError when an argument is out of its bound, or the figures make an efficiency under 0.25 or over 1.03.
    Source: the motor's two lines behind a gear train, as in physics/drive.py: first principles; 4 %: common practice,
        no source.

    >>> slow = from_label(16.0, 9.634, 6.6, 6.4, 0.35)
    >>> print(f"{slow.resistance:.2f} {slow.torque_constant:.3f} {slow.efficiency:.3f}")
    2.50 1.570 0.695
    """
    stall_current = check.positive("stall_current", stall_current)
    free_current = (
        FREE_SHARE * stall_current if free_current is None else check.not_negative("free_current", free_current)
    )
    check.positive("stall_current - free_current", stall_current - free_current, "the stall current is the larger one")
    zero = np.zeros(np.shape(stall_current))[()]
    torque = zero, check.positive("output_stall", output_stall)
    return _from_two(
        voltage, torque, (check.positive("output_speed", output_speed), zero), (free_current, stall_current), ratio
    )


def from_points(voltage, torque, speed, current, ratio=1.0):
    """Read a gearmotor from what was measured, or printed, at two loads.

    Equation: k_s = (T_2 - T_1) / (I_2 - I_1);  I_0 = I_1 - T_1 / k_s;  V = R I + k_f w at both;  eta = k_s / k_f

    Parameters
    ----------
    voltage : [V] at the motor, the same at both loads, > 0
    torque : [N·m] of the output shaft, >= 0; shape [2]
    speed : [rad/s] of the output shaft, >= 0; shape [2]
    current : [A] through the motor, >= 0; shape [2]
    ratio : [-] turns of the motor for one turn of the output shaft, at least 1; 1 where it is not printed

    Returns
    -------
    gearmotor : [part] Gearmotor; an efficiency above 1 and up to 1.03 is rounding, and read as 1

    Valid: as from_label; two loads far from each other, each held only for the seconds of a reading.
    Raises: ValueError when torques or currents are nearer than 20 %, speeds than 5 %, when the figures contradict a
        motor, or make an efficiency under 0.25 or over 1.03.
    Source: as from_label; its label is the two points without load and at standstill.

    >>> half = from_points(16.0, [1.0, 4.0], [8.174, 3.796], [1.2667, 4.0167])
    >>> print(f"{half.resistance:.2f} {half.torque_constant:.3f} {half.free_current:.2f} {half.efficiency:.3f}")
    2.50 1.570 0.35 0.695
    """
    pairs = [_two(name, values) for name, values in (("torque", torque), ("speed", speed), ("current", current))]
    order = np.argsort(pairs[0], kind="stable")
    torque, speed, current = (values[order] for values in pairs)
    for name, (low, high) in (("torque", torque), ("speed", speed[::-1]), ("current", current)):
        if high - low < LEAST_APART[name] * high or high <= low:
            way = "fall" if name == "speed" else "rise"
            raise ValueError(
                f"{name} is {low:g} and {high:g} at the two loads, but from the lighter to the heavier one it must"
                f" {way}, by {100 * LEAST_APART[name]:.0f} % at least; take loads that differ more."
            )
    return _from_two(voltage, torque, speed, current, ratio)


def _two(name, values):
    found = check.not_negative(name, values)
    if np.shape(found) != (2,):
        raise ValueError(f"{name} has {np.size(found)} values, but two loads have 2; give one for each load.")
    return found


def _from_two(voltage, torque, speed, current, ratio):
    """The gearmotor whose two straight lines go through two points, the lighter load first."""
    voltage, ratio = check.positive("voltage", voltage), check.at_least("ratio", ratio, 1.0, "gears turn more slowly")
    with_losses = (torque[1] - torque[0]) / (current[1] - current[0])
    free_current = current[0] - torque[0] / with_losses
    lines_cross = current[1] * speed[0] - current[0] * speed[1]
    constant = voltage * (current[1] - current[0]) / lines_cross
    resistance = voltage * (speed[0] - speed[1]) / lines_cross
    check.not_negative("free_current", free_current, "no motor runs for less than nothing: read both loads again")
    efficiency = with_losses / constant
    for wrong, way_out in ((efficiency > ROUNDING, TOO_MUCH), (efficiency < LEAST_EFFICIENCY, TOO_LITTLE)):
        if np.any(wrong):
            raise ValueError(
                f"efficiency of the gears, from torque and speed, is {np.extract(wrong, efficiency)[0]:.3g}, but it"
                f" must be from {LEAST_EFFICIENCY:g} to {ROUNDING:g}; {way_out}"
            )
    return Gearmotor(resistance, constant, free_current, voltage, np.minimum(efficiency, 1.0), ratio)


def motor_of(gearmotor):
    """Give the motor of a gearmotor alone; where no ratio is printed, as it is felt at the output shaft.

    Equation: k = k_f / N

    Parameters
    ----------
    gearmotor : [part] Gearmotor

    Returns
    -------
    motor : [part] Motor, without inertia and heat, which no label tells

    Valid: as from_label.
    Raises: nothing.
    Source: a gear train divides speed and multiplies torque by N: first principles.

    >>> print(f"{motor_of(from_label(12.0, 20.0, 2.5, 5.5, 0.2, ratio=30.0)).torque_constant:.4f}")
    0.0193
    """
    constant = gearmotor.torque_constant / gearmotor.ratio
    return Motor(gearmotor.resistance, constant, gearmotor.free_current, gearmotor.voltage)


def efficiency_driven(efficiency):
    """Give the efficiency of a gearmotor's gears when the load drives: as stages that pass on 0.9 each, one by one.

    Equation: (2 - 1 / 0.9)^n,  n = ln eta / ln 0.9

    Parameters
    ----------
    efficiency : [-] when the motor drives, above 0 and at most 1; any shape

    Returns
    -------
    efficiency_driven : [-] when the load drives; as one stage, gears under 0.5 would count as self-locking

    Valid: wheels and planets. A worm may lock itself; nothing may rely on that before it was tried.
    Raises: ValueError when efficiency is not above 0 and at most 1.
    Source: of each stage as gearing.efficiency_driven; 0.9: common practice, no source.

    >>> print(f"{efficiency_driven(0.9):.3f} {efficiency_driven(0.695):.3f}")
    0.889 0.666
    """
    stages = np.log(check.fraction("efficiency", efficiency)) / math.log(STAGE)
    return of_one_stage(STAGE) ** stages
