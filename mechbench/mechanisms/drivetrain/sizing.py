"""Sizing: a drivetrain. How fast across the field and stopped, how hard can it push, how long does the fuse last?"""

import numpy as np

from mechbench.engine.spec import CHOICE, DRIVES, JOB, Field, Finding, Lump, Nearest, Need, Pick, Sizing
from mechbench.kits import Table, figures
from mechbench.mechanisms import words
from mechbench.mechanisms.powertrain import (
    JAM,
    at_load,
    bus_of,
    drawn,
    fuse_lasts,
    fuse_share,
    fuse_used,
    gearbox_carries,
    jammed,
    lowest_voltage,
    stalled,
    up_to,
)
from mechbench.physics import balance, battery, drive, drivetrain, motion, motor
from mechbench.physics.constants import GRAVITY

WHEELS = 4
WHEEL_WIDE = 0.03  # m: common practice, no source
IDLE = 1 + 1e-9  # times its idle current: what a motor gets at least, so that one that gets no more stands
FEWEST = 4  # points of a run that is not looked at on its way
AT_AN_AXLE = 0.02  # m, standard deviation of where its motors are: common practice, no source


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
    """A robot on four wheels, all or two of them driven, over a distance from rest to rest, and pushing.

    Its driver never lets wheels lift: the run speeds up and brakes no harder than balance allows. How hard it would
    speed up at full throttle, and whether it would then tip over, is told beside that.
    """

    NAME = "drivetrain"
    ALSO = (
        "drive",
        "driving",
        "mecanum",
        "push",
        "pushing",
        "wheels",
        "chassis",
        "strafe",
        "sideways",
        "fuse",
        "stall",
    )
    # 2: the driver holds back before the front wheels lift; slope, stays_down, strength and top_speed say what a run or
    # a climb really does; 3: jam, fuse_used; 4: start_limit, push_volts; 5: even_speed, free_speed, sideways_speed
    VERSION = 5
    TITLE = "A drivetrain"
    QUESTION = "How fast across the field and stopped, how hard can it push, and how long does the fuse last?"
    FIELDS = (
        Field(
            "distance",
            "Distance",
            "m",
            0.1,
            12.0,
            1.5,
            "how far it goes, from rest to rest",
            JOB,
            follows=figures.even(figures.field_side, 0.55),
            also=("length", "way", "field", "run"),
        ),
        Field(
            "time_wanted",
            "Time for the run",
            "s",
            0.1,
            30.0,
            1.3,
            "from rest to rest",
            JOB,
            follows=figures.exactly(figures.even(figures.field_side, 0.55), 0.6, plus=0.4),
            also=words.TIME_WANTED,
        ),
        Field(
            "mass",
            "Mass of the robot",
            "kg",
            1.0,
            30.0,
            11.5,
            "with battery and all it carries",
            JOB,
            follows=figures.even(figures.mass_limit, 0.8, step=0.5),
            also=("weight", "robot_mass"),
        ),
        Field(
            "height",
            "Height of the centre of gravity",
            "mm",
            20.0,
            500.0,
            140.0,
            "over the floor, with everything raised as it drives",
            JOB,
            follows=figures.even(figures.start_length, 0.267, step=0.01),
            also=("centre_height", *words.CENTRE),
        ),
        Field(
            "push_time",
            "Time it pushes",
            "s",
            1.0,
            60.0,
            10.0,
            "how long it may have to push against something",
            JOB,
            more=True,
            also=("hold",),
        ),
        Field(
            "wheelbase",
            "Wheelbase",
            "mm",
            100.0,
            600.0,
            350.0,
            "from the front axle to the rear axle",
            more=True,
            follows=figures.even(figures.start_length, 0.667, step=0.01),
            also=("wheel_base",),
        ),
        Field(
            "track",
            "Track",
            "mm",
            100.0,
            600.0,
            340.0,
            "from the left wheels to the right ones",
            more=True,
            follows=figures.even(figures.start_width, 0.777, step=0.01),
            also=("width", "track_width"),
        ),
        Pick("motor", "Motor", "motors", None, "which motor of the kit"),
        Pick(
            "count",
            "How many motors",
            "counts",
            up_to(4),
            "all drive motors together, each with its gearbox",
            also=words.COUNT,
        ),
        Pick(
            "gearbox",
            "Gearbox",
            "gearboxes",
            None,
            "planetary gearbox on each motor",
            also=(*words.GEARBOX, "gears", "gearing"),
        ),
        Pick(
            "wheel",
            "Driven wheels",
            "drive_wheels",
            None,
            "which wheels of the kit",
            also=("wheels", "diameter", "wheel_diameter", "wheel_size"),
        ),
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
            Nearest("across", 0.0),
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
        Field(
            "start_limit",
            "Current limit of each drive motor",
            "A",
            1.0,
            60.0,
            10.0,
            "set in the program, for runs and pushing; as high as the controller's own: none is set",
            CHOICE,
            more=True,
            follows=figures.output_limit,
            also=("current_limit", "limit"),
        ),
    )
    FINDINGS = (
        Finding(
            "time",
            "time to get there and stop, at best",
            "s",
            "as hard as motors, grip and balance allow: its driver holds back before wheels lift",
            "at most",
            "time_wanted",
            also=("sprint", "quick", "quicker", "slow", "slower", "accelerate", "acceleration"),
        ),
        Finding(
            "fuse_lasts",
            "time until the fuse blows, pushing",
            "s",
            "all motors pushing against a wall at full voltage",
            "at least",
            "push_time",
            also=("fuse", "breaker", "blows", "blow", "push", "pushing", "stall", "stalls", "stalled"),
        ),
        fuse_share("one run"),
        Finding(
            "hot_after",
            "time until a motor is too hot, pushing",
            "s",
            "from cold, with spinning wheels or stalled",
            "at least",
            "push_time",
            also=words.HOT,
        ),
        Finding(
            "stays_down",
            "room before it tips backwards",
            "%",
            "speeding up: what balance allows over what motors and grip can do at full throttle; below 100 % the driver"
            " must hold back",
            "at least",
            100.0,
            also=("wheelie", "tip", "tips", "tipping"),
        ),
        Finding(
            "turns",
            "share of the push used to turn",
            "%",
            "on the spot: wheels that can't roll sideways are dragged",
            "at most",
            100.0,
            also=("turn", "turning"),
        ),
        Finding(
            "strength",
            "share of the gearbox's strength",
            "%",
            "the most that its wheels can put on the floor, pushing or speeding up, over what the gearbox may carry",
            "at most",
            100.0,
        ),
        lowest_voltage("while it speeds up"),
        Finding(
            "push_volts",
            "battery voltage of a push",
            "V",
            "all motors pushing against a wall, as long as they push",
            "at least",
            "controller.reset_level",
            also=("reset", "resets", "brownout"),
        ),
        Finding(
            "current",
            "highest current of all motors",
            "A",
            "in the run, for a moment; near the best gear ratio the time is flat, the current of a push is not",
            worse="more",
            also=words.CURRENT,
        ),
        Finding(
            "spins",
            "motors' strength over grip",
            "%",
            "pushing: above 100 % the wheels spin first, below it the motors stall first",
            also=("slip", "slips", "slipping", "grip", "spin", "traction", "spinning", "skid", "skids"),
        ),
        Finding(
            "push",
            "force of a push",
            "N",
            "against something that does not move",
            worse="less",
            also=("pushing", "force", "pull", "strong", "shove"),
        ),
        Finding(
            "push_current",
            "current of a push",
            "A",
            "of all motors together, through the fuse",
            worse="more",
            also=("stall", "stalled"),
        ),
        Finding(
            "top_speed",
            "highest speed in the run",
            "m/s",
            "before it brakes",
            worse="less",
            also=("speed", "fast", "velocity", "drive", "driving", "max_speed", "top"),
        ),
        Finding(
            "even_speed",
            "speed on a long way",
            "m/s",
            "once it speeds up no more, its wheels dragging; 0 where the motors can't turn them",
            worse="less",
            also=("speed", "fast", "velocity", "drive", "driving"),
        ),
        Finding(
            "free_speed",
            "speed without load",
            "m/s",
            "wheels in the air, the battery full",
            worse="less",
            also=("unloaded",),
        ),
        Finding(
            "slips", "time the wheels slip", "s", "while it speeds up; none while its driver holds back", worse="more"
        ),
        Finding(
            "braking",
            "braking that balance allows",
            "m/s2",
            "harder, and the rear wheels lift; it is kept to in the run",
            worse="less",
            also=("brake", "stop", "stops", "stopping"),
        ),
        Finding(
            "sideways_time",
            "time going sideways",
            "s",
            "the same distance, mecanum only; stands on the measured share",
            worse="more",
            also=("sideways", "strafe", "strafing", "mecanum"),
        ),
        Finding(
            "sideways_speed",
            "highest speed going sideways",
            "m/s",
            "over the same distance, mecanum only; 0 with wheels that can't",
            worse="less",
            also=("sideways", "strafe", "strafing", "mecanum"),
        ),
        Finding(
            "slope",
            "steepest slope",
            "deg",
            "that grip, motors and balance let it climb slowly",
            worse="less",
            also=("ramp", "climb", "steep", "incline", "hill", "uphill", "climbs"),
        ),
        *JAM,
    )
    LESS = ("mass",)
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
    RANK = ("time", "push_current")
    ROLE = DRIVES
    NEEDS = (Need(DRIVES, "turns"),)
    MENDS = dict.fromkeys(("fuse_lasts", "hot_after", "push_volts"), ("start_limit", "pushing"))
    GIVEN = ("mass", "height", "wheelbase", "track", "distance")
    USES = (
        drivetrain.grip_force,
        drivetrain.steepest_slope,
        drivetrain.sprint,
        drivetrain.motor_acceleration,
        drivetrain.held_back,
        drivetrain.highest_speed,
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
        count, bus, radius = x.count.number, bus_of(x), x.wheel.radius
        line = line_of(x)
        robot, rear_share = chassis_of(x)
        braking, tips = _limits(x, rear_share)
        ahead, top, most = _run(x, line, robot, braking, tips)
        grip = drivetrain.grip_force(robot)
        pushing = _pushing(x, line, bus, robot)
        stall, (aside, aside_speed) = stalled(line, bus), _sideways(x, line)
        return {
            **pushing,
            "time": ahead.time[:, 0],
            "fuse_used": fuse_used(x, line, ahead),
            "stays_down": np.where(most > 0, tips / np.where(most > 0, most, 1.0), np.inf),
            "turns": _turns(x, rear_share, pushing["push"]),
            "strength": _floor_torque(robot, radius, grip, np.minimum(most, tips), stall) / count / gearbox_carries(x),
            "volts": motion.lasting_volts(ahead, bus),
            "current": ahead.bus_current,
            "spins": stall / (grip * radius),
            "top_speed": top,
            "even_speed": _even_speed(x, line, x.wheel.rolling * x.mass * GRAVITY * radius),
            "free_speed": _even_speed(x, line, 0.0),
            "slips": ahead.slip_time[:, 0],
            "braking": braking,
            "sideways_time": aside,
            "sideways_speed": aside_speed,
            "slope": _slope(x, robot, stall, rear_share),
            **jammed(line, count * gearbox_carries(x), bus, count),
        }

    @staticmethod
    def pictured(x):
        """Nothing: the picture makes its own run, the only one that it shows."""
        return {}

    @staticmethod
    def pushing(x):
        """What a push against a wall takes: known without a run."""
        return _pushing(x, line_of(x), bus_of(x), chassis_of(x)[0])

    @staticmethod
    def needed(x):
        """What a whole robot asks besides its runs: whether it can turn, and what it climbs, is known without one."""
        line, bus, (robot, rear_share) = line_of(x), bus_of(x), chassis_of(x)
        push = drivetrain.push(line, bus, x.wheel.radius, drivetrain.grip_force(robot))[0]
        return {"turns": _turns(x, rear_share, push), "slope": _slope(x, robot, stalled(line, bus), rear_share)}

    @classmethod
    def idle(cls, values, tables):
        """Where all wheels are driven, none is left that is not."""
        return ("free_wheel", "driven_share") if tables("driven_ends").row(values["driven"])["end"] == 0 else ()

    @classmethod
    def picked_mass(cls, values, tables):
        """Four driven wheels, or two of each kind."""
        free = 0 if tables("driven_ends").row(values["driven"])["end"] == 0 else 2
        found = super().picked_mass(values, tables)
        wheels = {"wheel": (WHEELS - free) * found["wheel"], "free_wheel": free * found["free_wheel"]}
        return {**found, **wheels}

    @classmethod
    def lumps(cls, values, tables, share, moving=()):
        """Motors at the driven axle, and all wheels with the box around them; its mounting place is on the floor, in
        the middle between the wheels.
        """
        wheels, wheel = ("wheel", "free_wheel"), tables("drive_wheels").row(values["wheel"])
        mass = sum(cls.picked_mass(values, tables)[name] or 0.0 for name in wheels)
        radius, base, track = wheel["radius"], values["wheelbase"], values["track"]
        (motors,) = super().lumps(values, tables, share, (*moving, *wheels))
        axle = -tables("driven_ends").row(values["driven"])["end"] * base / 2
        around = (base + 2 * radius, track + WHEEL_WIDE, 2 * radius)
        return (
            motors._replace(at=(axle, 0.0, radius), place_off=AT_AN_AXLE),
            Lump("wheels", mass, (0.0, 0.0, radius), around),
        )

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
    def run(x, most=None):
        """The run over the distance, from rest to rest, no harder than given, both ways, or than balance allows."""
        robot, rear_share = chassis_of(x)
        braking, tips = _limits(x, rear_share) if most is None else (most, most)
        return _run(x, line_of(x), robot, braking, tips)[0]


def _run(x, line, robot, braking, tips, points=drivetrain.POINTS):
    """The run; its highest speed; and the most that it could speed up at full throttle.

    A driver who holds back has the controllers limit the current.
    """
    bus, radius = bus_of(x), x.wheel.radius
    load = drivetrain.sprint(robot, x.distance, most_braking=braking, points=points)
    most = np.minimum(drivetrain.top_acceleration(robot), drivetrain.motor_acceleration(line, bus, load) * radius)
    gentle = drivetrain.held_back(line, load, np.where(tips < most, tips, np.inf) / radius)
    done = motion.move(gentle, load, bus)
    return done, drivetrain.highest_speed(gentle, bus, load, done) * radius, most


def line_of(x):
    """All drive motors with their gearboxes, on the axle of the wheels.

    The program limits their current as the controller does: it holds it, nothing is switched off.
    """
    set_limit = np.maximum(x.start_limit, IDLE * x.motor.free_current)
    return drive.line(
        x.motor,
        x.gearbox.ratio,
        x.gearbox.efficiency,
        x.gearbox.efficiency_driven,
        x.count.number,
        np.minimum(set_limit, x.controller.output_limit),
    )


def chassis_of(x):
    """The robot as its drivetrain feels it, and the share of the weight on the rear wheels."""
    end = x.driven.end
    rear = np.where(end == 1, x.driven_share, np.where(end == -1, 1 - x.driven_share, 0.5))
    robot = drivetrain.Chassis(
        x.mass,
        x.wheel.radius,
        x.wheel.along,
        x.wheel.rolling,
        np.where(end == 0, 1.0, x.driven_share),
        end,
        x.height,
        x.wheelbase,
        WHEELS * x.wheel.inertia,
    )
    return robot, rear


def _limits(x, rear_share):
    """What balance allows: braking, before the rear wheels lift, and speeding up, before the front wheels do."""
    return tuple(balance.braking_limit(x.wheelbase * share, x.height) for share in (rear_share, 1 - rear_share))


def _floor_torque(robot, radius, grip, acceleration, stall):
    """The most that the wheels pass on to the floor: standing, by a knock too; speeding up, if the motors can."""
    moving = drivetrain.grip_force(robot, np.maximum(acceleration, 0.0))
    return np.maximum(grip * radius, np.minimum(moving * radius, stall))


def _pushing(x, line, bus, robot):
    push, _, motor_amps, amps, _ = drivetrain.push(line, bus, x.wheel.radius, drivetrain.grip_force(robot))
    return {
        "fuse_lasts": fuse_lasts(x, amps),
        "hot_after": motor.time_to_limit(x.motor, motor_amps / x.count.number),
        "push": push,
        "push_current": amps,
        "push_volts": x.battery.open_circuit - x.battery.resistance * amps,
    }


def _slope(x, robot, stall, rear_share):
    """Steepest slope that grip and motors let it climb slowly without tipping over backwards.

    The motors need m g (sin s + c cos s), which is sqrt(1 + c^2) m g sin(s + atan c).
    """
    rolling, strength, room = x.wheel.rolling, stall / x.wheel.radius, x.wheelbase * (1 - rear_share)
    climbs = np.arcsin(np.minimum(strength / (x.mass * GRAVITY * np.hypot(1, rolling)), 1.0)) - np.arctan(rolling)
    grips = np.minimum(drivetrain.steepest_slope(robot), balance.tilt_limit(room, x.height))
    return np.maximum(np.minimum(climbs, grips), 0.0)


def _turns(x, rear_share, push):
    """Share of the push that turning on the spot takes: one side pushes ahead, the other back."""
    return _scrub(x, rear_share) / x.track / (push / 2)


def _scrub(x, rear_share):
    """Moment that the four wheels resist a turn with; wheels that go sideways roll instead."""
    sideways = np.where(x.wheel.goes_sideways > 0, 0.0, x.wheel.across)
    free = np.where(x.free_wheel.goes_sideways > 0, 0.0, x.free_wheel.across)
    rear, front = np.where(x.driven.end == -1, free, sideways), np.where(x.driven.end == 1, free, sideways)
    friction = np.stack(np.broadcast_arrays(rear, front), axis=-1)
    loads = np.stack(np.broadcast_arrays(rear_share * x.mass, (1 - rear_share) * x.mass), axis=-1) * GRAVITY
    places = np.stack(np.broadcast_arrays(0 * x.wheelbase, x.wheelbase), axis=-1)
    return drivetrain.scrub(friction, loads, places)[0]


def _sideways(x, line):
    """Time over the same distance going sideways, and the highest speed then; never, and 0, without wheels that can."""
    if not np.any(x.wheel.goes_sideways > 0):
        return np.inf, 0.0
    robot = drivetrain.Chassis(
        x.mass, x.wheel.radius, x.wheel.across, x.wheel.rolling, 1.0, 0, x.height, x.track, WHEELS * x.wheel.inertia
    )
    tips = balance.braking_limit(x.track / 2, x.height)
    done, top, _ = _run(x, drivetrain.sideways(line, x.sideways_share), robot, tips, tips, FEWEST)
    can = x.wheel.goes_sideways > 0
    return np.where(can, done.time[:, 0], np.inf), np.where(can, top, 0.0)


def _even_speed(x, line, drag):
    """Speed at which the motors keep a torque on the axle turning, and no more than that."""
    count, box = x.count.number, x.gearbox
    limit, asked = line.current_limit / count, drag / (box.ratio * box.efficiency)
    return at_load(x.motor, count, asked, x.battery, limit)[2] / box.ratio * x.wheel.radius
