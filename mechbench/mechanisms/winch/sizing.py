"""Sizing: a winch that lifts the robot. Drum layers, cord and knot, slack, tilt, holding with the power off."""

import numpy as np

from mechbench.engine.bounds import most_spare, quickest
from mechbench.engine.spec import CHOICE, HANGS, JOB, Field, Finding, Need, Pick, Sizing
from mechbench.kits import figures
from mechbench.mechanisms import words
from mechbench.mechanisms.powertrain import (
    JAM,
    NONE,
    WINCH_SPEED,
    bus_of,
    carried,
    fuse_share,
    fuse_used,
    jammed,
    last_stages,
    lowest_voltage,
    most_torque,
    runaway,
    turning,
    whole_train,
    with_none,
)
from mechbench.physics import drive, motion, rope, winch
from mechbench.physics.constants import GRAVITY
from mechbench.physics.lift import lower_load
from mechbench.quantity import show


def ratchets(kit):
    """The kit's ratchets, and none."""
    return with_none(kit.table("ratchets"), "winch_ratchets", "no ratchet", usual=kit.table("ratchets").usual)


class Winch(Sizing):
    """A robot that pulls itself up on one hook: slack first, then its whole weight, and it must stay up with the
    power off.
    """

    NAME = "winch"
    ALSO = ("rope", "cord", "hoist", "hang", "hanging", "climb", "climber", "climbing", "hook")
    # 2: snatch, which was called jerk; 3: snatch and factor count the motor that pulls on; 4: jam; fuse_used is judged
    # in place of current; 5: held, hangs_with
    VERSION = 5
    TITLE = "A winch"
    QUESTION = (
        "How fast, does the cord hold when the slack runs out, how much height does the tilt cost, does it stay up with"
        " the power off?"
    )
    FIELDS = (
        Field(
            "mass",
            "Mass of the robot",
            "kg",
            0.5,
            30.0,
            11.5,
            "all that hangs on the cord",
            JOB,
            follows=figures.even(figures.mass_limit, 0.8, step=0.5),
            also=("weight", "payload", "load", "robot_mass"),
        ),
        Field(
            "lift_height",
            "Height to lift",
            "mm",
            5.0,
            1000.0,
            90.0,
            "of the hook line, from wheels on the floor",
            JOB,
            follows=figures.exactly(figures.clear, plus=0.06),
            also=("height", "distance", "rise", "travel"),
        ),
        Field(
            "clear_wanted",
            "Clear under every wheel",
            "mm",
            0.0,
            200.0,
            30.0,
            "once it hangs",
            JOB,
            follows=figures.clear,
            also=("clearance",),
        ),
        Field(
            "time_wanted",
            "Time to hang",
            "s",
            0.3,
            20.0,
            4.0,
            "slack included, stopped at the end",
            JOB,
            also=words.TIME_WANTED,
        ),
        Pick("motor", "Motor", "motors", None, "which motor of the kit"),
        Pick(
            "gearbox",
            "Gearbox",
            "gearboxes",
            turning(WINCH_SPEED),
            "planetary gearbox on the motor",
            also=words.GEARBOX,
        ),
        Pick(
            "spool",
            "Spool",
            "spools",
            None,
            "what the cord winds on",
            also=("drum", "diameter", "spool_diameter", "drum_diameter"),
        ),
        Pick("ratchet", "Ratchet", "winch_ratchets", None, "lets the spool turn one way only"),
        Pick(
            "last_stage",
            "Last stage",
            "last_stages",
            NONE,
            "gears, belt or chain between gearbox and spool",
            more=True,
            also=words.LAST_STAGE,
        ),
        Pick(
            "count",
            "How many motors",
            "counts",
            "1",
            "motors side by side on the spool's shaft",
            more=True,
            also=words.COUNT,
        ),
        Pick(
            "cord",
            "Cord",
            "cords",
            None,
            "which cord of the kit",
            more=True,
            also=("rope", "string", "cable", "line", "wire"),
        ),
        Pick(
            "falls",
            "Falls",
            "counts",
            "1",
            "parts of the cord that carry the robot (falls): 2 with a pulley on the hook",
            more=True,
            also=("strands", "block"),
        ),
        Field(
            "slack",
            "Slack cord",
            "mm",
            0.0,
            500.0,
            100.0,
            "wound before the cord is tight",
            CHOICE,
            more=True,
            also=("drop",),
        ),
        Field(
            "before",
            "Cord on the spool before",
            "mm",
            0.0,
            2000.0,
            0.0,
            "already wound when it starts",
            CHOICE,
            more=True,
        ),
        Field(
            "cord_length",
            "Free cord",
            "mm",
            100.0,
            2000.0,
            360.0,
            "between spool and hook when it becomes tight: it stretches",
            CHOICE,
            more=True,
            follows=figures.even(figures.bar_height, 2 / 3, step=0.01),
            also=("rope_length", "length"),
        ),
        Field(
            "ahead",
            "Centre of gravity ahead of the hook",
            "mm",
            0.0,
            150.0,
            20.0,
            "in the robot as it stands; ahead or behind alike",
            CHOICE,
            more=True,
        ),
        Field(
            "below",
            "Centre of gravity below the cord's exit",
            "mm",
            20.0,
            600.0,
            220.0,
            "where the cord leaves the robot",
            CHOICE,
            more=True,
        ),
        Field(
            "wheel_ahead",
            "Lowest wheel from the hook line",
            "mm",
            50.0,
            400.0,
            160.0,
            "the wheel on the side that sinks",
            CHOICE,
            more=True,
        ),
        Field(
            "wheel_below",
            "Wheels below the cord's exit",
            "mm",
            50.0,
            800.0,
            320.0,
            "from where the cord leaves the robot down to the floor",
            CHOICE,
            more=True,
        ),
        Field(
            "pulley_efficiency",
            "Efficiency of a pulley",
            "%",
            50.0,
            100.0,
            95.0,
            "of each one the cord runs over",
            CHOICE,
            more=True,
        ),
        Field(
            "factor_wanted",
            "Cord stronger by",
            "x",
            1.0,
            10.0,
            3.0,
            "strength at the knot over the highest pull, snatch load included",
            JOB,
            more=True,
            also=("safety",),
        ),
    )
    FINDINGS = (
        Finding(
            "time",
            "time to hang, at best",
            "s",
            "slack wound, robot lifted, stopped; never where it stalls",
            "at most",
            "time_wanted",
            also=words.SPEED,
        ),
        Finding(
            "spare",
            "torque to spare",
            "N·m",
            "at the worst place, from rest, at full voltage",
            "at least",
            0.0,
            scale=2.0,
            also=("torque", "margin", "enough", "strong", "lift", "lifts"),
        ),
        Finding(
            "holds",
            "spare holding torque, power off",
            "N·m",
            "ratchet, or friction alone, less the weight on the last layer",
            "at least",
            0.0,
            scale=2.0,
            also=(*words.HOLDS, "hang", "hangs", "hanging", "drops", "sinks"),
        ),
        Finding(
            "clear",
            "clear under the lowest wheel",
            "mm",
            "height lifted less tilt and stretch",
            "at least",
            "clear_wanted",
            also=("clearance",),
        ),
        Finding(
            "factor",
            "cord strength over highest pull",
            "x",
            "at the knot, over the snatch load: the highest pull as the cord becomes tight",
            "at least",
            "factor_wanted",
            also=("rope", "cord", "string", "breaks", "break", "safety"),
        ),
        Finding(
            "strength",
            "share of the gears' strength",
            "%",
            "worst torque on the spool over what the gears may carry",
            "at most",
            100.0,
        ),
        Finding(
            "full",
            "share of the spool filled",
            "%",
            "cord wound over what fits below the flange",
            "at most",
            100.0,
            also=("spool", "fits"),
        ),
        fuse_share("one try at the bar"),
        lowest_voltage("while the winch runs alone"),
        Finding(
            "current",
            "highest current of all motors",
            "A",
            "highest through the fuse",
            worse="more",
            also=words.CURRENT,
        ),
        Finding("pull", "steady pull in the cord", "N", "while it lifts", worse="more", also=("force", "tension")),
        Finding(
            "snatch",
            "highest pull in the cord",
            "N",
            "the snatch load, as the cord becomes tight and the motor pulls on: wind the last slack slowly",
            worse="more",
            also=("rope", "cord", "string", "jerk", "shock"),
        ),
        Finding(
            "side_load",
            "share of the allowed side load",
            "%",
            "steady pull on the gearbox's shaft, sideways; above 100 % give the spool a second bearing",
            worse="more",
        ),
        Finding(
            "tilt",
            "tilt while it hangs",
            "deg",
            "until its centre of gravity is under the hook",
            worse="more",
            also=("angle",),
        ),
        Finding("tilt_costs", "height lost by the tilt", "mm", "the lowest wheel hangs that much lower", worse="more"),
        Finding("layers", "layers on the spool", "x", "each one raises torque and speed", also=("spool",)),
        Finding(
            "held",
            "torque held with the power off",
            "N·m",
            "by the ratchet, or by friction in gears and motor where that is more",
            worse="less",
        ),
        Finding("hangs_with", "torque of what hangs", "N·m", "its weight on the last layer of the spool", worse="more"),
        Finding(
            "friction_holds",
            "torque held by friction alone",
            "N·m",
            "by gears and motor without a ratchet; it lets go when shaken",
            worse="less",
        ),
        *JAM,
    )
    DRAWN = ("gives",)
    LESS = ("mass",)
    RECORDS = ("battery", "controller", "fuse")
    TABLES = {"winch_ratchets": ratchets, "last_stages": last_stages}
    SPREADS = {
        "mass": "mass",
        "gearbox.efficiency": "efficiency",
        "battery.open_circuit": "battery_voltage",
        "battery.resistance": "battery_resistance",
        "fuse.patience": "fuse",
    }
    RANK = ("time",)
    ROLE = HANGS
    POWER_OFF = ("held", "hangs_with")
    FALLS = ("sinks", Sizing.FALLS[1])  # friction lets it go slowly
    NEEDS = (Need(HANGS, "full"), Need(HANGS, "holds"), Need(HANGS, "clear"))
    GIVEN = ("mass", "ahead", "below", "wheel_ahead", "wheel_below", "clear_wanted")
    USES = (
        winch.haul,
        winch.layer_radius,
        winch.cord_capacity,
        winch.power_off_hold,
        winch.hang_tilt,
        winch.hang_drop,
        winch.snatch,
        rope.stiffness,
        rope.safety_factor,
        rope.tackle_efficiency,
        motion.move,
    )

    @staticmethod
    def solve(x):
        """Slack and lift through the one solver; snatch load of a cord that stretches, the rest from statics."""
        falls = x.falls.number
        train, drum, line, load, pull, felt, drum_inertia = _hauled(x)
        travel = x.slack + falls * x.lift_height
        done = motion.move(line, load, bus_of(x))
        radius, stiffness = load.load_torque[:, -1] / pull, _stiffness(x)
        snatch = _snatch(line, bus_of(x), load, done, pull, felt, stiffness, drum_inertia)
        held, hangs_with = winch.power_off_hold(line, x.ratchet.torque), x.mass * GRAVITY / falls * radius
        return {
            "time": done.time[:, 0],
            "spare": np.min(done.headroom[:, 0], axis=-1),
            "gives": np.max(done.gives[:, 0], axis=-1),
            "holds": held - hangs_with,
            "held": held,
            "hangs_with": hangs_with,
            **_hanging(x, pull),
            "factor": rope.safety_factor(x.cord.breaking_strength, x.cord.knot_keeps, snatch),
            "strength": np.max(load.load_torque, axis=-1) / carried(x, x.count.number),
            "full": _full(drum, x.before + travel),
            "fuse_used": fuse_used(x, line, done),
            "current": done.bus_current,
            "volts": motion.lasting_volts(done, bus_of(x)),
            **runaway(done),
            "snatch": snatch,
            "side_load": pull / x.gearbox.overhung_load,
            "layers": winch.layers_used(drum, x.before + travel),
            "friction_holds": drive.unpowered_hold(line),
            **jammed(line, carried(x, x.count.number), bus_of(x), x.count.number),
        }

    @staticmethod
    def pictured(x):
        """How the robot hangs, and the torque that the drive gives from rest."""
        _, _, line, _, pull, *_ = _hauled(x)
        return {**_hanging(x, pull), "gives": most_torque(line, bus_of(x))}

    @staticmethod
    def run(x):
        """Slack and lift, from rest to rest; and from the end down again, with the power off and without a ratchet."""
        _, _, line, load, *_ = _hauled(x)
        return motion.move(line, load, bus_of(x)), motion.let_go(line, lower_load(load))

    @staticmethod
    def at_best(x):
        """What statics tell, and what no motor could better."""
        train, drum, line, load, *_ = _hauled(x)
        return {
            "time": quickest(line, load, bus_of(x)),
            "spare": most_spare(line, load, x.battery.open_circuit),
            "strength": np.max(load.load_torque, axis=-1) / carried(x, x.count.number),
            "full": _full(drum, x.before + x.slack + x.falls.number * x.lift_height),
        }

    @classmethod
    def held_by(cls, values):
        """The ratchet, where there is one."""
        return super().held_by(values) if values["ratchet"] == NONE else "the ratchet"

    @classmethod
    def given(cls, robot, body, values):
        """The robot's own mass, where its centre of gravity and its wheels are from where the cord leaves it; the rule
        for hanging.
        """
        centre = body.stance.centre
        x, _, z = robot.value("cord_exit")
        ahead = centre.x - x
        if z <= centre.z:
            raise robot.plan.fault(
                f"cord_exit is {show(z, 'mm')} up, but it must be above the robot's centre of gravity, which is"
                f" {show(centre.z, 'mm')} up, or the robot turns over as it hangs; let the cord leave it higher, or"
                " place what is heavy lower."
            )
        return {
            "mass": centre.mass,
            "ahead": abs(ahead),
            "below": z - centre.z,
            "wheel_ahead": robot.value("wheelbase") / 2 - np.sign(ahead) * x,
            "wheel_below": z,
            "clear_wanted": 0.0 if robot.kit.roles.hang is None else robot.kit.roles.hang.clear,
        }


def drum_of(x):
    """The spool with its cord."""
    return winch.Drum(
        x.spool.radius, np.maximum(x.spool.width, x.cord.diameter), x.spool.flange_diameter / 2, x.cord.diameter
    )


def _hauled(x):
    """Train, drum, drive and load; the steady pull in the cord, the mass that it feels, and what turns with the
    drum.
    """
    falls = x.falls.number
    train = whole_train(x.gearbox, x.last_stage)
    line = drive.line(
        x.motor, train.ratio, train.efficiency, train.efficiency_driven, x.count.number, x.controller.output_limit
    )
    drum = drum_of(x)
    eta = rope.tackle_efficiency(falls, x.pulley_efficiency, falls - 1)  # the cord onto the drum carries, too
    pull, felt, travel = (
        rope.tackle_pull(x.mass * GRAVITY, falls, eta),
        x.mass / falls**2,
        x.slack + falls * x.lift_height,
    )
    drum_inertia = x.spool.mass * x.spool.radius**2 / 2
    load = winch.haul(drum, pull, felt, travel, x.slack, x.before, drum_inertia=drum_inertia)
    return train, drum, line, load, pull, felt, drum_inertia


def _stiffness(x):
    """Pull of the cord for each metre that it stretches."""
    return rope.stiffness(x.cord.breaking_strength, x.cord.stretch_at_break, x.cord_length)


def _hanging(x, pull):
    """How the robot hangs at last, and how far its wheels are then from the floor."""
    tilt = winch.hang_tilt(x.ahead, x.below)
    drop = winch.hang_drop(tilt, x.wheel_ahead, x.wheel_below)
    clear = x.lift_height - drop - pull / _stiffness(x) / x.falls.number
    return {"pull": pull, "clear": clear, "tilt": tilt, "tilt_costs": drop}


def _snatch(line, bus, load, done, pull, mass, stiffness, drum_inertia):
    """Highest pull as the cord becomes tight, at the speed that the drum has then, and the motor pulls on."""
    speeds = done.speed[:, 0]
    table, rows = np.broadcast_to(load.load_torque, speeds.shape), np.arange(speeds.shape[0])
    tight = np.argmax(
        table > 0, axis=-1
    )  # the point where the weight hangs on; the one before is the same place, still slack
    radius = table[rows, tight] / pull
    speed = speeds[rows, np.maximum(tight - 1, 0)] * radius
    return winch.snatch(line, bus, pull, mass, speed, radius, stiffness, drum_inertia)


def _full(drum, length):
    """Share of the spool that a length of cord fills; beyond all limits where not one layer fits below the rim."""
    holds = np.asarray(winch.cord_capacity(drum)[1], dtype=float)
    full = np.full(np.broadcast_shapes(np.shape(length), holds.shape), np.inf)
    return np.divide(length, holds, out=full, where=holds > 0)
