"""Gear trains: ratio, direction, losses driving and driven, play, allowed torque, inertia through a train.

    motor o--[ stage 1 ]--[ stage 2 ]--[ stage 3 ]--o output
            N_1, eta_1   N_2, eta_2   N_3, eta_3         N = N_1 N_2 N_3, speed / N, torque x N x eta

Contents
    Stage, Train, train, combine                          stages one after the other become one train
    teeth_ratio, mesh_direction, efficiency_driven        what one stage does
    output_speed, output_torque                           the motor drives: forward through the train
    motor_torque, holding_torque                          the load is known: back through the train
    inertia_at_output, inertia_at_motor, best_ratio       masses that are turned through a train
    geared_acceleration                                   the same with losses, driving or driven
    tip_drop                                              play, as the tip of an arm shows it

Geometry is elsewhere: teeth (spur and bevel), planetary, belt (belts and chains), screw (worm and lead screw). What a
shaft bears is in shaft. The search over a kit is in train_search.

"Driving": the motor turns the load. "Driven": the load turns the motor. A train loses differently both ways.
"""

from dataclasses import dataclass

import numpy as np

from mechbench.physics import check
from mechbench.wording import quoted

# The direction of the output against the input where both shafts are parallel. The shafts of bevel and worm cross:
# there the sign is a matter of assembly, and +1 stands until the builder says otherwise.
DIRECTIONS = {"spur": -1, "internal": 1, "bevel": 1, "planetary": 1, "belt": 1, "chain": 1, "worm": 1, "lead screw": 1}


def _limit(name, value):
    numbers = np.asarray(value, dtype=float)
    check.positive(name, np.where(np.isposinf(numbers), 1.0, numbers), "give the torque it bears, inf for no limit")
    return numbers[()]


def _efficiency_driven(value):
    return check.between("efficiency_driven", value, 0.0, 1.0, "give a fraction, 0 for a self-locking train")


@dataclass(frozen=True)
class Stage:
    """One stage of a train: what it does between its own input shaft and its own output shaft.

    Fields
    ------
    kind : [text] spur, internal (a gear inside a ring), bevel, planetary, belt, chain, worm or lead screw
    ratio : [-] input speed over output speed, > 0; more than 1 slows down; 1 for a lead screw (see screw.lead_radius)
    efficiency : [-] power out over power in when the motor drives the load, above 0 and at most 1
    efficiency_driven : [-] the same when the load drives the motor; 0 is self-locking; left out: 2 - 1/efficiency
    backlash : [rad] free turning of its output shaft while its input shaft is held, >= 0
    allowed_torque : [N·m] the most its output shaft may give, > 0; inf where there is no limit
    inertia : [kg·m2] of its own turning parts, as felt on its output shaft, >= 0
    direction : [whole] +1 when the output turns like the input, -1 when against it; left out: what the kind does

    Numbers may be arrays; stages that are joined to one train broadcast.
    """

    kind: str
    ratio: float
    efficiency: float
    efficiency_driven: float | None = None
    backlash: float = 0.0
    allowed_torque: float = np.inf
    inertia: float = 0.0
    direction: int | None = None

    def __post_init__(self):
        if self.kind not in DIRECTIONS:
            raise ValueError(
                f"kind is {quoted(self.kind)}, but it must be one of {', '.join(DIRECTIONS)}; "
                "give the kind that moves like yours."
            )
        driven = efficiency_driven(self.efficiency) if self.efficiency_driven is None else self.efficiency_driven
        direction = DIRECTIONS[self.kind] if self.direction is None else self.direction
        if not np.all(np.abs(check.finite("direction", direction)) == 1):
            raise ValueError(f"direction is {direction}, but it must be +1 or -1; give +1 for the same direction.")
        checked = {
            "ratio": check.positive("ratio", self.ratio),
            "efficiency": check.fraction("efficiency", self.efficiency),
            "efficiency_driven": _efficiency_driven(driven),
            "backlash": check.not_negative("backlash", self.backlash),
            "allowed_torque": _limit("allowed_torque", self.allowed_torque),
            "inertia": check.not_negative("inertia", self.inertia),
            "direction": np.asarray(direction, dtype=int)[()],
        }
        for name, value in checked.items():
            object.__setattr__(self, name, value)


@dataclass(frozen=True)
class Train:
    """A whole train from the motor's shaft to the output shaft.

    Fields
    ------
    ratio : [-] motor speed over output speed; more than 1 slows down
    direction : [whole] +1 when the output turns like the motor, -1 when against it
    efficiency : [-] power out over power in when the motor drives
    efficiency_driven : [-] the same when the load drives the motor; 0 is self-locking
    play : [rad] free turning of the output shaft while the motor is held
    allowed_torque : [N·m] the most the output shaft may give before a stage of the train is overloaded
    inertia : [kg·m2] of the train's own parts, felt on the output shaft; the motor's rotor is not in it
    """

    ratio: float
    direction: int
    efficiency: float
    efficiency_driven: float
    play: float
    allowed_torque: float
    inertia: float


def train(stages):
    """Join stages, the motor's end first, to one train.

    Equation: N = product of N_i; eta = product of eta_i; play = sum of backlash_i / N_after_i

    Parameters
    ----------
    stages : [part] list of Stage, in the order from motor to output; their numbers broadcast

    Returns
    -------
    train : [part] Train; each field has the shape of the stages' numbers broadcast together

    Valid: rigid shafts, constant efficiencies. The allowed torque is that of the weakest stage while the motor drives:
        what a stage may give, times the ratio and the efficiency of the stages after it.
    Raises: ValueError when stages is empty.
    Source: common practice, no source; the ratio: Khurmi & Gupta, Theory of Machines, 14th ed., Example 13.1.

    >>> whole = train([Stage("planetary", 9.0, 0.64, backlash=0.03), Stage("chain", 2.0, 0.9)])
    >>> print(f"{whole.ratio:.0f}:1, efficiency {whole.efficiency:.2f}, play {whole.play:.4f} rad")
    18:1, efficiency 0.58, play 0.0150 rad
    """
    stages = list(stages)
    if not stages:
        raise ValueError("stages is empty, but it must be a list of at least one Stage; give the stages of the train.")
    names = ("ratio", "direction", "efficiency", "efficiency_driven", "backlash", "allowed_torque", "inertia")
    columns = np.broadcast_arrays(*[getattr(stage, name) for name in names for stage in stages])
    count = len(stages)
    return combine(*[np.stack(columns[i * count : (i + 1) * count], axis=-1) for i in range(len(names))])


def combine(ratio, direction, efficiency, efficiency_driven, backlash, allowed_torque, inertia):
    """Join columns of checked stage numbers to trains; the stages lie along the last axis, the motor's end first.

    Equation: N = product of N_i; eta = product of eta_i; play = sum of backlash_i / N_after_i

    Parameters
    ----------
    ratio : [-] input speed over output speed of each stage
    direction : [whole] +1 or -1 of each stage
    efficiency : [-] of each stage, driving
    efficiency_driven : [-] of each stage, driven
    backlash : [rad] of each stage at its own output shaft
    allowed_torque : [N·m] of each stage at its own output shaft
    inertia : [kg·m2] of each stage at its own output shaft

    Returns
    -------
    train : [part] Train; each field has the shape of the columns without their last axis

    Valid: as in train; a neutral stage (ratio 1, efficiencies 1, backlash 0, torque inf, inertia 0) changes nothing.
    Raises: nothing; Stage and train check the numbers.
    Source: common practice, no source.

    >>> one = np.ones((1, 2))
    >>> whole = combine(3 * one, -one, 0.95 * one, 0.947 * one, 0.01 * one, 2.0 * one, 0 * one)
    >>> print(f"{whole.ratio[0]:.0f}:1, weakest part allows {whole.allowed_torque[0]:.1f} N m")
    9:1, weakest part allows 2.0 N m
    """
    ratio_after = _product_after(ratio)
    return Train(
        ratio=np.prod(ratio, axis=-1),
        direction=np.prod(direction, axis=-1),
        efficiency=np.prod(efficiency, axis=-1),
        efficiency_driven=np.prod(efficiency_driven, axis=-1),
        play=np.sum(backlash / ratio_after, axis=-1),
        allowed_torque=np.min(allowed_torque * ratio_after * _product_after(efficiency), axis=-1),
        inertia=np.sum(inertia * ratio_after**2, axis=-1),
    )


def _product_after(values):
    """Multiply, for each stage, the values of the stages that come after it."""
    from_here = np.cumprod(values[..., ::-1], axis=-1)[..., ::-1]
    return np.concatenate([from_here[..., 1:], np.ones_like(from_here[..., :1])], axis=-1)


def teeth_ratio(driver_teeth, driven_teeth):
    """Give the ratio of a pair of gears, toothed pulleys or sprockets.

    Equation: N = z_driven / z_driver

    Parameters
    ----------
    driver_teeth : [whole] teeth of the wheel on the motor's side, >= 1
    driven_teeth : [whole] teeth of the wheel on the output's side, >= 1; both broadcast

    Returns
    -------
    ratio : [-] driver speed over driven speed; more than 1 slows down

    Valid: toothed wheels, which do not slip. Teeth of an idler between the two do not count.
    Raises: ValueError when a number of teeth is not a whole number of at least 1.
    Source: Khurmi & Gupta, Theory of Machines, 14th ed., section 13.4 (from memory).

    >>> print(f"{teeth_ratio(20, 60):.1f}")
    3.0
    """
    return check.whole("driven_teeth", driven_teeth, 1) / check.whole("driver_teeth", driver_teeth, 1)


def mesh_direction(external_meshes):
    """Give the direction of the last of a chain of gears against the first.

    Equation: direction = (-1)^meshes

    Parameters
    ----------
    external_meshes : [whole] how many times two gears with outside teeth mesh, >= 0; one idler makes it 2

    Returns
    -------
    direction : [whole] +1 the same direction, -1 against it

    Valid: parallel shafts. A gear inside a ring, a belt and a chain keep the direction: do not count them.
    Raises: ValueError when external_meshes is not a whole number of at least 0.
    Source: Khurmi & Gupta, Theory of Machines, 14th ed., section 13.4 (from memory).

    >>> print(mesh_direction(1), mesh_direction(2))
    -1 1
    """
    return 1 - 2 * (check.whole("external_meshes", external_meshes, 0) % 2)


def efficiency_driven(efficiency):
    """Estimate the efficiency of a stage that the load drives backwards.

    Equation: eta_driven = 2 - 1 / eta where eta > 1/2; 0 (self-locking) where eta <= 1/2

    Parameters
    ----------
    efficiency : [-] efficiency when the motor drives, above 0 and at most 1; any shape

    Returns
    -------
    efficiency_driven : [-] efficiency when the load drives; 0 means that no load can turn the motor

    Valid: the friction torque at one load is the same both ways: gears, screws with small lead angle. Play, oil drag
        and vibration are left out: a train near 1/2 may creep. Never trust friction alone to hold over people.
    Raises: ValueError when efficiency is not above 0 and at most 1.
    Source: common practice; the power screw's limit of 1/2 is in Khurmi & Gupta, Theory of Machines, 14th ed.,
        section 10.20 (from memory).

    >>> print(f"{efficiency_driven(0.9):.3f} {efficiency_driven(0.4):.0f}")
    0.889 0
    """
    driving = check.fraction("efficiency", efficiency)
    return np.maximum(2.0 - 1.0 / driving, 0.0)


def output_speed(motor_speed, ratio):
    """Give the speed of the output shaft.

    Equation: w_out = w_motor / N

    Parameters
    ----------
    motor_speed : [rad/s] speed of the motor; any shape, all arguments broadcast
    ratio : [-] motor speed over output speed, > 0

    Returns
    -------
    output_speed : [rad/s] the sign is the motor's; multiply by the train's direction where it matters

    Valid: no slip.
    Raises: ValueError when ratio is not above 0.
    Source: common practice, no source.

    >>> print(f"{output_speed(480.0, 16.0):.0f}")
    30
    """
    return check.finite("motor_speed", motor_speed) / check.positive("ratio", ratio)


def output_torque(motor_torque, ratio, efficiency):
    """Give the torque of the output shaft when the motor drives.

    Equation: T_out = T_motor N eta

    Parameters
    ----------
    motor_torque : [N·m] torque of the motor; any shape, all arguments broadcast
    ratio : [-] motor speed over output speed, > 0
    efficiency : [-] of the whole train, driving, above 0 and at most 1

    Returns
    -------
    output_torque : [N·m] torque on the load

    Valid: the motor drives the load, steady speed. For a load that drives the motor see holding_torque.
    Raises: ValueError when ratio is not above 0 or efficiency is not above 0 and at most 1.
    Source: common practice, no source.

    >>> print(f"{output_torque(0.10, 50.0, 0.7):.2f}")
    3.50
    """
    return (
        check.finite("motor_torque", motor_torque)
        * check.positive("ratio", ratio)
        * check.fraction("efficiency", efficiency)
    )


def motor_torque(load_torque, ratio, efficiency):
    """Give the torque that the motor needs to drive a load: to raise it, to push it on.

    Equation: T_motor = T_load / (N eta)

    Parameters
    ----------
    load_torque : [N·m] what the load asks on the output shaft; any shape, all arguments broadcast
    ratio : [-] motor speed over output speed, > 0
    efficiency : [-] of the whole train, driving, above 0 and at most 1

    Returns
    -------
    motor_torque : [N·m] torque of the motor

    Valid: the motor drives the load, steady speed. To hold or lower takes less: see holding_torque.
    Raises: ValueError when ratio is not above 0 or efficiency is not above 0 and at most 1.
    Source: common practice, no source.

    >>> print(f"{motor_torque(3.5, 50.0, 0.7):.3f}")
    0.100
    """
    return check.finite("load_torque", load_torque) / (
        check.positive("ratio", ratio) * check.fraction("efficiency", efficiency)
    )


def holding_torque(load_torque, ratio, efficiency_driven):
    """Give the least torque that the motor needs to hold a load still, or to let it down steadily.

    Equation: T_motor = T_load eta_driven / N

    Parameters
    ----------
    load_torque : [N·m] what the load pulls on the output shaft; any shape, all arguments broadcast
    ratio : [-] motor speed over output speed, > 0
    efficiency_driven : [-] of the whole train when the load drives, 0 to 1

    Returns
    -------
    holding_torque : [N·m] torque of the motor; 0 when the train locks itself

    Valid: friction helps to hold; count on it only where a fall hurts nobody.
    Raises: ValueError when ratio is not above 0 or efficiency_driven is not 0 to 1.
    Source: common practice, no source.

    >>> print(f"{holding_torque(3.5, 50.0, efficiency_driven(0.7)):.3f}")
    0.040
    """
    return (
        check.finite("load_torque", load_torque)
        * _efficiency_driven(efficiency_driven)
        / check.positive("ratio", ratio)
    )


def inertia_at_output(motor_inertia, ratio):
    """Give what the inertia of the motor's rotor feels like on the output shaft.

    Equation: J_out = J_motor N^2

    Parameters
    ----------
    motor_inertia : [kg·m2] of everything that turns with the motor, >= 0; all arguments broadcast
    ratio : [-] motor speed over output speed, > 0

    Returns
    -------
    inertia : [kg·m2] felt on the output shaft

    Valid: rigid train without loss; geared_acceleration has the losses.
    Raises: ValueError when motor_inertia is below 0 or ratio is not above 0.
    Source: Bevan, The Theory of Machines, 3rd ed., chapter 2 (kinetic energy of geared shafts; from memory).

    >>> print(f"{inertia_at_output(1e-5, 50.0):.4f}")
    0.0250
    """
    return check.not_negative("motor_inertia", motor_inertia) * check.positive("ratio", ratio) ** 2


def inertia_at_motor(load_inertia, ratio):
    """Give what the inertia of the load feels like on the motor's shaft.

    Equation: J_motor = J_load / N^2

    Parameters
    ----------
    load_inertia : [kg·m2] of everything that turns with the output shaft, >= 0; all arguments broadcast
    ratio : [-] motor speed over output speed, > 0

    Returns
    -------
    inertia : [kg·m2] felt on the motor's shaft

    Valid: rigid train without loss; geared_acceleration has the losses.
    Raises: ValueError when load_inertia is below 0 or ratio is not above 0.
    Source: Bevan, The Theory of Machines, 3rd ed., chapter 2 (kinetic energy of geared shafts; from memory).

    >>> print(f"{inertia_at_motor(0.10, 20.0):.5f}")
    0.00025
    """
    return check.not_negative("load_inertia", load_inertia) / check.positive("ratio", ratio) ** 2


def best_ratio(motor_inertia, load_inertia):
    """Give the ratio that speeds a load up most quickly from rest.

    Equation: N = sqrt(J_load / J_motor)

    Parameters
    ----------
    motor_inertia : [kg·m2] of everything that turns with the motor, > 0; both broadcast
    load_inertia : [kg·m2] of everything that turns with the output shaft, > 0

    Returns
    -------
    ratio : [-] motor speed over output speed

    Valid: constant motor torque, no weight and no friction on the load, no loss in the train. A motor that loses
        torque as it speeds up, and a weight to lift, ask for more.
    Raises: ValueError when an inertia is not above 0.
    Source: standard inertia matching result; follows from geared_acceleration.

    >>> print(f"{best_ratio(0.002, 0.08):.2f}")
    6.32
    """
    return np.sqrt(check.positive("load_inertia", load_inertia) / check.positive("motor_inertia", motor_inertia))


def geared_acceleration(
    motor_inertia, load_inertia, ratio, motor_torque, load_torque, efficiency=1.0, efficiency_driven=1.0
):
    """Give the acceleration of the output shaft of a geared drive that turns forward.

    Equation: eta N (T_m - J_m N a) = T_load + J_load a when the motor drives;
        N (T_m - J_m N a) = eta_driven (T_load + J_load a) when the load drives

    Parameters
    ----------
    motor_inertia : [kg·m2] of everything that turns with the motor, > 0; all arguments broadcast
    load_inertia : [kg·m2] of everything that turns with the output shaft, > 0
    ratio : [-] motor speed over output speed, > 0
    motor_torque : [N·m] of the motor, forward
    load_torque : [N·m] of the load on the output shaft, against forward; negative where the load helps
    efficiency : [-] of the train, driving, above 0 and at most 1
    efficiency_driven : [-] of the train, driven, 0 to 1

    Returns
    -------
    acceleration : [rad/s2] of the output shaft, forward

    Valid: the shaft turns forward, or starts to. Negative: it slows down.
    Raises: ValueError when an inertia, the ratio or the efficiency is out of bounds.
    Source: Bevan, The Theory of Machines, 3rd ed., chapter 2, Example 10 (geared hoist).

    >>> print(f"{geared_acceleration(0.002, 0.08, 6.3246, 0.1, 0.0):.3f}")
    3.953
    """
    rotor, load = check.positive("motor_inertia", motor_inertia), check.positive("load_inertia", load_inertia)
    n, eta = check.positive("ratio", ratio), check.fraction("efficiency", efficiency)
    driven = _efficiency_driven(efficiency_driven)
    push, pull = check.finite("motor_torque", motor_torque), check.finite("load_torque", load_torque)
    motor_drives = push * load + n * rotor * pull >= 0
    driving = (eta * n * push - pull) / (load + eta * n**2 * rotor)
    pushed = (n * push - driven * pull) / (driven * load + n**2 * rotor)
    return np.where(motor_drives, driving, pushed)[()]


def tip_drop(play, length):
    """Give how far the tip of an arm can drop in the play of its train.

    Equation: drop = play length

    Parameters
    ----------
    play : [rad] free turning of the arm's shaft, 0 to pi; both broadcast
    length : [m] from the shaft to the tip, >= 0

    Returns
    -------
    drop : [m] way of the tip from one side of the play to the other, along its arc

    Valid: the straight way is shorter, by 0.2 % at 11 degrees of play.
    Raises: ValueError when play is not 0 to pi or length is below 0.
    Source: common practice, no source (an arc).

    >>> print(f"{1000 * tip_drop(0.04, 0.30):.1f} mm")
    12.0 mm
    """
    return check.between("play", play, 0.0, np.pi, "check the unit, 1 degree is 0.0175 rad") * check.not_negative(
        "length", length
    )
