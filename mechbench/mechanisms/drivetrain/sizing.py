"""Sizing: a drivetrain. How fast across the field and stopped, how hard can it push, how long does the fuse last?"""

import numpy as np

from mechbench.engine.spec import CHOICE, DRIVES, JOB, Field, Finding, Pick, Sizing
from mechbench.kits import Table
from mechbench.mechanisms.powertrain import JAM, bus_of, drawn, fuse_lasts, fuse_used, jammed
from mechbench.physics import balance, battery, drive, drivetrain, motion, motor
from mechbench.physics.constants import GRAVITY

WHEELS = 4
MOST_TRANSFER = 0.95  # from here on the driven rear wheels carry all: the front ones are in the air


def drive_wheels(kit):
    """The kit's wheels, with a column that says which can go sideways."""
    wheels = kit.table("wheels")
    slants = np.array([float(kind == "mecanum") for kind in wheels.texts["kind"]])
    return Table("drive_wheels", wheels.names, wheels.usual, wheels.labels, {**wheels.columns, "goes_sideways": slants})


def driven_ends(kit):
    """Which wheels are driven."""
    labels = {"all": "all wheels", "rear": "the rear wheels", "front": "the front wheels"}
    return Table("driven_ends", tuple(labels), "all", labels, {"end": np.array([0.0, 1.0, -1.0])})


class Drivetrain(Sizing):
    """A robot on four wheels, all or two of them driven, over a distance from rest to rest, and pushing."""

    NAME = "drivetrain"
    VERSION = 2  # 2: jam, fuse_used
    TITLE = "A drivetrain"
    QUESTION = "How fast across the field and stopped, how hard can it push, and how long does the fuse last?"
    FIELDS = (
        Field("distance", "Distance", "m", 0.3, 6.0, 2.0, "how far it goes, from rest to rest", JOB),
        Field("time_wanted", "Time for the run", "s", 0.3, 10.0, 1.6, "from rest to rest", JOB),
        Field("mass", "Mass of the robot", "kg", 2.0, 20.0, 14.5, "with battery and all it carries", JOB),
        Field(
            "height",
            "Height of the centre of gravity",
            "mm",
            20.0,
            500.0,
            120.0,
            "over the floor, with everything raised as it drives",
            JOB,
        ),
        Field(
            "push_time",
            "Time it pushes",
            "s",
            1.0,
            60.0,
            10.0,
            "how long it may have to push another robot",
            JOB,
            more=True,
        ),
        Field("wheelbase", "Wheelbase", "mm", 150.0, 420.0, 300.0, "from the front axle to the rear axle", more=True),
        Field("track", "Track", "mm", 150.0, 420.0, 350.0, "from the left wheels to the right ones", more=True),
        Pick("motor", "Motor", "motors", "small", "which motor of the kit"),
        Pick("count", "How many motors", "counts", "4", "all drive motors together, each with its gearbox"),
        Pick("gearbox", "Gearbox", "gearboxes", "planetary_16", "planetary gearbox on each motor"),
        Pick("wheel", "Driven wheels", "drive_wheels", "mecanum_100", "which wheels of the kit"),
        Pick("driven", "Which are driven", "driven_ends", "all", "all four wheels, or the two at one end", more=True),
        Field(
            "driven_share",
            "Weight on the driven wheels",
            "%",
            20.0,
            90.0,
            60.0,
            "standing still, where only two are driven",
            CHOICE,
            more=True,
        ),
        Pick(
            "free_wheel",
            "Wheels not driven",
            "drive_wheels",
            "omni_90",
            "the other two, where only two are driven",
            more=True,
        ),
        Field(
            "sideways_share",
            "Force left going sideways",
            "%",
            30.0,
            100.0,
            80.0,
            "of the force ahead, mecanum only: no formula gives it, measure it with a pull scale",
            CHOICE,
            more=True,
        ),
    )
    FINDINGS = (
        Finding(
            "time",
            "time to get there and stop, at best",
            "s",
            "braking as hard as grip and balance allow",
            "at most",
            "time_wanted",
        ),
        Finding(
            "fuse_lasts",
            "time the fuse lasts while pushing",
            "s",
            "all motors pushing against a wall at full voltage",
            "at least",
            "push_time",
        ),
        Finding(
            "fuse_used",
            "share of the fuse used up",
            "%",
            "by one run; at 100 % it melts; a short peak counts little, 0 %: it carries this for ever",
            "at most",
            100.0,
        ),
        Finding(
            "hot_after",
            "time until a motor is too hot, pushing",
            "s",
            "from cold, with spinning wheels or stalled",
            "at least",
            "push_time",
        ),
        Finding(
            "stays_down",
            "room before it tips backwards",
            "%",
            "speeding up: what balance allows over the most it can do",
            "at least",
            100.0,
        ),
        Finding(
            "turns",
            "share of the push used to turn",
            "%",
            "on the spot: wheels that can't roll sideways are dragged",
            "at most",
            100.0,
        ),
        Finding(
            "strength",
            "share of the gearbox's strength",
            "%",
            "grip of one motor's wheels over what its gearbox may carry",
            "at most",
            100.0,
        ),
        Finding("volts", "lowest battery voltage", "V", "while it speeds up", "at least", "controller.reset_level"),
        Finding(
            "current",
            "highest current of all motors",
            "A",
            "in the run: the time is flat over the gear ratio, this is not",
        ),
        Finding(
            "spins",
            "motors' strength over grip",
            "%",
            "pushing: above 100 % the wheels spin first, below it the motors stall first",
        ),
        Finding("push", "force of a push", "N", "against something that does not move"),
        Finding("push_current", "current of a push", "A", "of all motors together, through the fuse"),
        Finding("top_speed", "highest speed in the run", "m/s", "before it brakes"),
        Finding("slips", "time the wheels slip", "s", "while it speeds up"),
        Finding(
            "braking",
            "braking that balance allows",
            "m/s2",
            "harder, and the rear wheels lift; it is kept to in the run",
        ),
        Finding(
            "sideways_time", "time going sideways", "s", "the same distance, mecanum only; stands on the measured share"
        ),
        Finding("slope", "steepest slope", "deg", "that grip, motors and balance let it climb slowly"),
        *JAM,
    )
    RECORDS = ("battery", "controller", "fuse")
    TABLES = {"drive_wheels": drive_wheels, "driven_ends": driven_ends}
    SPREADS = {
        "mass": "mass",
        "wheel.along": "friction",
        "gearbox.efficiency": "efficiency",
        "battery.open_circuit": "battery_voltage",
        "battery.resistance": "battery_resistance",
        "fuse.patience": "fuse",
    }
    RANK = ("time", "current")
    ROLE = DRIVES
    GIVEN = ("mass", "height", "wheelbase", "track", "distance")
    USES = (
        drivetrain.grip_force,
        drivetrain.sprint,
        drivetrain.push,
        drivetrain.sideways,
        drivetrain.scrub,
        balance.braking_limit,
        motion.move,
        battery.time_to_blow,
        motor.time_to_limit,
    )

    @staticmethod
    def solve(x):
        """Sprint ahead and sideways through the one solver; pushing, turning and tipping from statics."""
        count, bus = x.count.number, bus_of(x)
        line = line_of(x)
        robot, rear_share = chassis_of(x)
        braking = balance.braking_limit(x.wheelbase * rear_share, x.height)
        ahead = _run(x, line, robot, braking)
        grip = drivetrain.grip_force(robot)
        push, _, motor_amps, amps, _ = drivetrain.push(line, bus, x.wheel.radius, grip)
        stall = drive.stall_torque(
            line, x.battery.open_circuit * line.resistance / (line.resistance + x.battery.resistance)
        )
        tips = balance.braking_limit(x.wheelbase * (1 - rear_share), x.height)
        allowed = np.where(x.motor.size == 0, x.gearbox.allowed_small, x.gearbox.allowed_large)
        return {
            "time": ahead.time[:, 0],
            "fuse_lasts": fuse_lasts(x, amps),
            "fuse_used": fuse_used(x, line, ahead),
            "hot_after": motor.time_to_limit(x.motor, motor_amps / count),
            "stays_down": tips / (push / x.mass),
            "turns": _scrub(x, rear_share) / x.track / (push / 2),
            "strength": grip * x.wheel.radius / count / allowed,
            "volts": ahead.volts_min,
            "current": ahead.bus_current,
            "spins": stall / (grip * x.wheel.radius),
            "push": push,
            "push_current": amps,
            "top_speed": np.max(ahead.speed[:, 0], axis=-1) * x.wheel.radius,
            "slips": ahead.slip_time[:, 0],
            "braking": braking,
            "sideways_time": _sideways_time(x, line, bus),
            "slope": _slope(x, push, x.wheelbase * (1 - rear_share)),
            **jammed(line, count * allowed, bus, count),
        }

    @classmethod
    def given(cls, robot, body, values):
        """The robot's own mass, balance and wheels; the distance stays as it is, for each step has one of its own."""
        centre = body.stance.centre
        return {
            "mass": centre.mass,
            "height": centre.z,
            "wheelbase": robot.value("wheelbase"),
            "track": robot.value("track"),
            "distance": values["distance"],
        }

    @staticmethod
    def drawn(x, done):
        """What a run draws from the battery, in order: seconds and amperes, each [S,N]."""
        return drawn(x, line_of(x), done)

    @staticmethod
    def run(x, braking=None):
        """The run over the distance, from rest to rest, braking no harder than given, or than balance allows."""
        robot, rear_share = chassis_of(x)
        return _run(
            x,
            line_of(x),
            robot,
            balance.braking_limit(x.wheelbase * rear_share, x.height) if braking is None else braking,
        )


def line_of(x):
    """All drive motors with their gearboxes, on the axle of the wheels."""
    return drive.line(
        x.motor,
        x.gearbox.ratio,
        x.gearbox.efficiency,
        x.gearbox.efficiency_driven,
        x.count.number,
        x.controller.output_limit,
    )


def _run(x, line, robot, braking):
    return motion.move(line, drivetrain.sprint(robot, x.distance, most_braking=braking), bus_of(x))


def chassis_of(x):
    """The robot as its drivetrain feels it, and the share of the weight on the rear wheels."""
    end = x.driven.end
    rear = np.where(end == 1, x.driven_share, np.where(end == -1, 1 - x.driven_share, 0.5))
    share = np.where(end == 0, 1.0, x.driven_share)
    rears_up = (end == 1) & (x.wheel.along * x.height / x.wheelbase > MOST_TRANSFER)
    robot = drivetrain.Chassis(
        x.mass,
        x.wheel.radius,
        x.wheel.along,
        x.wheel.rolling,
        np.where(rears_up, 1.0, share),
        np.where(rears_up, 0, end),
        x.height,
        x.wheelbase,
        WHEELS * x.wheel.inertia,
    )
    return robot, rear


def _slope(x, push, room):
    """Steepest slope that it can push itself up slowly without tipping over backwards."""
    climbs = np.arcsin(np.minimum(push / (x.mass * GRAVITY), 1.0)) - np.arctan(x.wheel.rolling)
    return np.minimum(np.maximum(climbs, 0.0), balance.tilt_limit(room, x.height))


def _scrub(x, rear_share):
    """Moment that the four wheels resist a turn with; wheels that go sideways roll instead."""
    sideways = np.where(x.wheel.goes_sideways > 0, 0.0, x.wheel.across)
    free = np.where(x.free_wheel.goes_sideways > 0, 0.0, x.free_wheel.across)
    rear, front = np.where(x.driven.end == -1, free, sideways), np.where(x.driven.end == 1, free, sideways)
    friction = np.stack(np.broadcast_arrays(rear, front), axis=-1)
    loads = np.stack(np.broadcast_arrays(rear_share * x.mass, (1 - rear_share) * x.mass), axis=-1) * GRAVITY
    places = np.stack(np.broadcast_arrays(0 * x.wheelbase, x.wheelbase), axis=-1)
    return drivetrain.scrub(friction, loads, places)[0]


def _sideways_time(x, line, bus):
    """Time over the same distance going sideways; never without wheels that can."""
    robot = drivetrain.Chassis(
        x.mass, x.wheel.radius, x.wheel.across, x.wheel.rolling, 1.0, 0, x.height, x.track, WHEELS * x.wheel.inertia
    )
    run = drivetrain.sprint(robot, x.distance, most_braking=balance.braking_limit(x.track / 2, x.height), points=21)
    done = motion.move(drivetrain.sideways(line, x.sideways_share), run, bus)
    return np.where(x.wheel.goes_sideways > 0, done.time[:, 0], np.inf)
