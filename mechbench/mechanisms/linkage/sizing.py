"""Sizing: a four-bar that lifts. Where does its end go, how hard is it to turn, and does it get stuck?"""

import numpy as np

from mechbench.engine.columns import columns
from mechbench.engine.spec import CHOICE, JOB, RAISES, Field, Finding, Lump, Need, Pick, Sizing
from mechbench.kits import Table, figures
from mechbench.mechanisms import words
from mechbench.mechanisms.outline import HELD, rod
from mechbench.mechanisms.powertrain import JAM, column, jammed, most_torque, runaway
from mechbench.mechanisms.shaft_drives import bus_of, line_of, shaft_drives
from mechbench.physics import arm, drive, gearing, linkage, linkage_load, motion
from mechbench.physics._carried import Carried
from mechbench.physics._peaks import places_of_most, with_places
from mechbench.physics.rounding import difference
from mechbench.quantity import show

EQUAL = 1e-6  # m, what no two links are alike to
POINTS = 41  # the inertia that the drive feels changes much along the turn
OPEN, CROSSED = "open", "crossed"
# What is told where the shortest link can turn round fully, by the name of that link: before and after the sum.
GOES_ROUND = {
    "input": ("The input link can", ""),
    "ground": ("Input and output link can both", ""),
    "coupler": ("Only the coupler can", " Input and output link swing to and fro."),
    "output": ("Only the output link can", " The input link swings to and fro."),
}


def branches(kit):
    """The two ways to put a four-bar together."""
    labels = {OPEN: "open", CROSSED: "crossed"}
    return Table("branches", (OPEN, CROSSED), OPEN, labels, {"side": np.array([1.0, -1.0])})


class LiftingFourbar(Sizing):
    """A four-bar whose output link carries an arm with a load; a servo or a geared motor turns its input link."""

    NAME = "linkage"
    ALSO = ("fourbar", "four_bar", "4bar", "4_bar", "bars", "parallelogram", "linkages")
    VERSION = 4  # 2: jam; 3: a held current has enough to spare; room is that of the worst place; 4: holds
    TITLE = "A four-bar that lifts"
    QUESTION = "Where does the end go, how hard is it to turn, and does it get stuck?"
    FIELDS = (
        Field(
            "payload",
            "Mass at the arm's tip",
            "kg",
            0.01,
            6.0,
            0.21,
            "piece and what holds it",
            JOB,
            follows=figures.exactly(figures.piece_mass, plus=0.06),
            also=words.TIP_MASS,
        ),
        Field(
            "rise_wanted",
            "Rise wanted",
            "mm",
            20.0,
            900.0,
            350.0,
            "how much higher the tip must end than it starts",
            JOB,
            also=("height",),
        ),
        Field(
            "time_wanted",
            "Time for the lift",
            "s",
            0.2,
            8.0,
            1.5,
            "from rest to rest",
            JOB,
            also=words.TIME_WANTED,
        ),
        Field(
            "angle_wanted",
            "Least transmission angle",
            "deg",
            20.0,
            60.0,
            40.0,
            "between coupler and output link; below 40 degrees a linkage pushes badly and jams early",
            JOB,
            more=True,
        ),
        Pick(
            "drive",
            "Servo or geared motor",
            "shaft_drives",
            None,
            "what turns the input link",
            also=("motor", "servo", "gearbox"),
        ),
        Field(
            "input",
            "Input link",
            "mm",
            10.0,
            200.0,
            70.0,
            "pin to pin; the link that the drive turns",
            also=("length", "links", "bars", "crank", "driver", "input_link"),
        ),
        Field(
            "coupler",
            "Coupler",
            "mm",
            10.0,
            300.0,
            80.0,
            "pin to pin; the link between the two others (it couples them)",
            also=("length", "links", "bars", "rod", "coupler_link"),
        ),
        Field(
            "output",
            "Output link",
            "mm",
            10.0,
            300.0,
            80.0,
            "pin to pin; it carries the arm",
            also=("length", "links", "bars", "follower", "rocker", "output_link"),
        ),
        Field(
            "ground",
            "Between the pivots",
            "mm",
            10.0,
            300.0,
            60.0,
            "from the drive's shaft to the output's pivot on the frame",
            also=("length", "links", "bars", "base", "frame", "pivots"),
        ),
        Field(
            "start",
            "Start angle of the input",
            "deg",
            -180.0,
            180.0,
            80.0,
            "from the line between the pivots; against the clock counts above 0",
            CHOICE,
            more=True,
        ),
        Field(
            "turn",
            "Turn of the input",
            "deg",
            5.0,
            270.0,
            160.0,
            "how far the drive turns it, against the clock",
            CHOICE,
            more=True,
            also=("angle",),
        ),
        Pick(
            "branch",
            "Put together",
            "branches",
            OPEN,
            "open or crossed: on which side of the diagonal the upper pin lies",
            CHOICE,
            more=True,
        ),
        Field(
            "tilt",
            "Tilt of the pivots' line",
            "deg",
            -180.0,
            180.0,
            -100.0,
            "from the drive's shaft to the output's pivot: 0 is level, -90 straight down",
            CHOICE,
            more=True,
        ),
        Field(
            "arm_length",
            "Arm on the output link",
            "mm",
            20.0,
            600.0,
            250.0,
            "from the output's pivot to the tip",
            also=("length", "reach"),
        ),
        Field(
            "arm_angle",
            "Arm ahead of the output link",
            "deg",
            -180.0,
            180.0,
            0.0,
            "0: the arm is the output link made longer",
            CHOICE,
            more=True,
        ),
        Field("arm_mass", "Mass of the arm", "kg", 0.01, 3.0, 0.06, "spread evenly along it", CHOICE, more=True),
        Field("rod_mass", "Mass of the coupler", "kg", 0.0, 0.5, 0.02, "spread evenly along it", CHOICE, more=True),
    )
    FINDINGS = (
        Finding(
            "time",
            "time for the lift, at best",
            "s",
            "from rest to rest; never where it stalls or does not go together",
            "at most",
            "time_wanted",
            also=words.SPEED,
        ),
        Finding(
            "rise",
            "rise of the tip",
            "mm",
            "how much higher it ends than it starts",
            "at least",
            "rise_wanted",
            also=("high",),
        ),
        Finding(
            "transmission",
            "least transmission angle",
            "deg",
            "between coupler and output link over the whole turn: how well one pushes the other; 0 is stuck",
            "at least",
            "angle_wanted",
            also=("stuck", "dead_point", "transmission_angle", "pressure_angle"),
        ),
        Finding(
            "spare",
            "torque to spare",
            "N·m",
            "at the worst place of the turn, from rest, with the drive's full torque",
            "at least",
            0.0,
            scale=0.5,
            also=("margin", "enough", "strong"),
        ),
        Finding(
            "strength",
            "share of the drive's strength",
            "%",
            "worst torque of the load over what gearbox or servo may give",
            "at most",
            100.0,
            also=("break", "breaks"),
        ),
        Finding(
            "holding",
            "share of what it holds for long",
            "%",
            "worst torque of the load over what servo or motor can hold without getting too hot",
            "at most",
            100.0,
            also=("hold", "holds"),
        ),
        Finding(
            "current",
            "highest current",
            "A",
            "when it starts or brakes",
            "at most",
            "drive.current_limit",
            held=True,
            also=words.CURRENT,
        ),
        Finding(
            "travel",
            "share of the servo's turn",
            "%",
            "turn of the input over what a servo can turn; motors turn without end",
            "at most",
            100.0,
        ),
        Finding(
            "room",
            "room before it is straight or folded",
            "mm",
            "how far coupler and output link are from being in line; below 0 they do not meet",
            worse="less",
            also=("dead_point", "stuck"),
        ),
        Finding(
            "grashof",
            "Grashof: shortest and longest less the others",
            "mm",
            "Grashof's rule: below 0 the shortest link can turn all the way round",
            also=("round", "turns", "rotate", "rotates", "goes_round", "full_turn"),
        ),
        Finding(
            "worst_torque",
            "worst torque of the load",
            "N·m",
            "of all weights, felt at the input link",
            worse="more",
            also=("torque", "needed", "required"),
        ),
        Finding(
            "advantage",
            "least torque out for torque in",
            "x",
            "how many times the input's torque reaches the output, at the worst place",
            worse="less",
        ),
        Finding("swing", "turn of the output", "deg", "from start to end"),
        Finding(
            "pin_force", "largest force on a pin", "N", "from the weights, at rest, at the worst place", worse="more"
        ),
        Finding(
            "holds",
            "torque held with the power off",
            "N·m",
            "by friction in motor and gears alone, at the input link; not to be trusted with hands near",
            worse="less",
            also=("fall", "falls", "falling", "stays", "unpowered", "power_off", "backdrive"),
        ),
        Finding(
            "droop",
            "drop of the tip by play",
            "mm",
            "the tip can sag this far while the drive stands",
            worse="more",
            also=("sag", "drop", "play"),
        ),
        *JAM,
    )
    DRAWN = ("gives",)
    LESS = ("payload",)
    RECORDS = ("battery", "controller", "servo_rail")
    TABLES = {"shaft_drives": shaft_drives, "branches": branches}
    SPREADS = {
        "payload": "mass",
        "arm_mass": "mass",
        "drive.efficiency": "efficiency",
        "battery.open_circuit": "battery_voltage",
        "battery.resistance": "battery_resistance",
    }
    RANK = ("time",)
    ROLE = RAISES
    POWER_OFF = ("holds", "worst_torque")
    NEEDS = (Need(RAISES, "travel"),)
    USES = (
        linkage.pose,
        linkage.transmission_angle,
        linkage.grashof_excess,
        linkage_load.weight_torque,
        linkage_load.inertia_felt,
        linkage_load.pin_forces,
        motion.move,
    )

    @classmethod
    def note(cls, values, tables):
        """Which link can turn round fully, by Grashof's law."""
        excess = float(linkage.grashof_excess(fourbar_of(columns(cls, values, tables)))[0, 0])
        if abs(excess) < EQUAL:
            return (
                "Shortest plus longest are as long as the other two: links can come into one line, and from there it"
                " may move on either way."
            )
        beside = f"turn round fully: shortest plus longest are {show(abs(excess), 'mm')}"
        if excess > 0:
            return f"No link can {beside} longer than the other two."
        who, then = GOES_ROUND[min(GOES_ROUND, key=lambda name: values[name])]
        return f"{who} {beside} shorter than the other two.{then}"

    @staticmethod
    def solve(x):
        """Weights through the linkage by virtual work, then the one solver; where links don't meet, no lift at all."""
        fourbar, lumps, side, line, bus = fourbar_of(x), lumps_of(x), column(x.branch.side), line_of(x), bus_of(x)
        carried, pull, transmission, meets, load = _turn(x, fourbar, lumps, side)
        done = motion.move(line, load, bus)
        stuck = np.minimum(bus.open_circuit / (line.resistance + bus.resistance), line.current_limit)
        worst = np.where(meets, np.max(np.abs(pull), axis=-1), np.inf)
        angle, turned = carried.here.input_angle, np.unwrap(carried.here.output_angle, axis=-1)
        tip_y, rate = carried.place(0)[1], np.max(carried.output_turns(), axis=-1)
        return {
            "time": np.where(meets, done.time[:, 0], np.inf),
            "rise": np.where(meets, tip_y[:, -1] - tip_y[:, 0], 0.0),
            "transmission": transmission,
            "spare": np.where(meets, np.min(done.headroom[:, 0], axis=-1), -np.inf),
            "gives": np.where(meets, np.max(done.gives[:, 0], axis=-1), np.nan),
            "strength": worst / x.drive.allowed,
            "holding": worst / x.drive.holding,
            "current": np.where(meets, done.peak_current[:, 0], stuck),
            "travel": x.turn / x.drive.travel,
            "room": _room(fourbar, angle[:, :1], angle[:, -1:]),
            "grashof": np.round(linkage.grashof_excess(fourbar)[:, 0], 9) + 0.0,  # equal links: 0, not -5e-14 mm
            "worst_torque": worst,
            "advantage": np.where(meets, 1.0 / np.maximum(rate, 1e-9), 0.0),
            "swing": np.where(meets, np.abs(turned[:, -1] - turned[:, 0]), 0.0),
            "pin_force": np.max(carried.pins()[2], axis=-1),
            **runaway(done),
            "holds": drive.unpowered_hold(line),
            "droop": np.where(meets, gearing.tip_drop(x.drive.play, x.arm_length) * np.where(meets, rate, 0.0), np.inf),
            **jammed(line, x.drive.allowed, bus),
        }

    @staticmethod
    def run(x):
        """The turn, from rest to rest; None where the links of the first row do not meet."""
        *_, meets, load = _turn(x, fourbar_of(x), lumps_of(x), column(x.branch.side))
        return motion.move(line_of(x), load, bus_of(x)) if meets[0] else None

    @staticmethod
    def pictured(x):
        """The torque that the drive gives from rest, where the links meet all along."""
        *_, meets, _ = _turn(x, fourbar_of(x), lumps_of(x), column(x.branch.side))
        return {"gives": np.where(meets, most_torque(line_of(x), bus_of(x)), np.nan)}

    @classmethod
    def lumps(cls, values, tables, share, moving=()):
        """The drive at its shaft, arm and coupler, and what is at the arm's tip. Links that do not meet can't be built:
        they are drawn straight down.
        """
        x = columns(cls, values, tables)
        fourbar, angle = fourbar_of(x), column(x.start + share * x.turn)
        turns = values["ground"] * np.array([np.cos(values["tilt"]), np.sin(values["tilt"])])
        found = linkage_load.lump_position(fourbar, lumps_of(x)[0], angle, column(x.branch.side))[:2]
        tip = np.array([float(np.ravel(one)[0]) for one in found])
        if not np.isfinite(tip).all():
            tip = turns - [0.0, values["arm_length"]]
        mass = values["arm_mass"] + values["rod_mass"]
        return (
            *super().lumps(values, tables, share, moving),
            Lump("arm", mass, *rod(turns, tip), ("arm_mass", "rod_mass")),
            Lump("tip", values["payload"], (tip[0], 0.0, tip[1]), HELD, ("payload",), holds=True),
        )


def _turn(x, fourbar, lumps, side):
    """What it carries along its turn, the pull of all weights, the least transmission angle, whether the links meet all
    along, and the Load.
    """
    angle = _places(x, fourbar, lumps, side)
    carried = Carried(fourbar, lumps, linkage.pose(fourbar, angle, side))
    torque = carried.weight_torque()
    transmission = linkage.least_transmission_angle(fourbar, angle[:, :1], angle[:, -1:])[:, 0]
    meets = np.isfinite(torque).all(axis=-1) & (transmission > 0)  # a toggle may lie between two points
    pull = _stand_in(torque, meets, 0.0)
    inertia = _stand_in(carried.inertia_felt(), meets, 1.0)
    return carried, pull, transmission, meets, arm.swing(angle, pull, inertia)


def _places(x, fourbar, lumps, side):
    """Angles of the input link: evenly spread, and where torque either way, output rate and pin forces peak."""
    start, end = column(x.start), column(x.start + x.turn)

    def peaking(angle):
        carried = Carried(fourbar, lumps, linkage.pose(fourbar, angle, side))
        torque, rate, force = carried.weight_torque(), carried.output_turns(), carried.pins()[2]
        return [np.where(np.isfinite(one), one, -np.inf) for one in (torque, -torque, rate, force)]  # where links meet

    return with_places(start, end, POINTS, places_of_most(peaking, start, end))


def fourbar_of(x):
    """The linkage of each row, as columns."""
    return linkage.Fourbar(column(x.input), column(x.coupler), column(x.output), column(x.ground), column(x.tilt))


def lumps_of(x):
    """The load at the arm's tip first, then the arm and the coupler."""
    ahead, aside = column(np.cos(x.arm_angle)), column(np.sin(x.arm_angle))
    length, mass = column(x.arm_length), column(x.arm_mass)
    return (
        linkage_load.Lump("output", length * ahead, length * aside, column(x.payload)),
        linkage_load.Lump("output", length / 2 * ahead, length / 2 * aside, mass, mass * length**2 / 12),
        linkage_load.bar("coupler", column(x.coupler), column(x.rod_mass)),
    )


def _stand_in(table, meets, value):
    """The table where the links meet; a plain value elsewhere, so that all rows can be solved at once."""
    return np.where(column(meets), table, value)


def _room(fourbar, start, end):
    """How far the diagonal is from stretched or folded links, at the worst place; below 0 they don't meet.

    The diagonal is least and greatest at the ends of the turn, or where input and ground are in line on the way.
    """
    ends = np.cos(np.concatenate([start, end], axis=-1))
    most = np.where(_passes(start, end, 0.0), 1.0, np.max(ends, axis=-1, keepdims=True))
    least = np.where(_passes(start, end, np.pi), -1.0, np.min(ends, axis=-1, keepdims=True))
    square = lambda cosine: fourbar.input**2 + fourbar.ground**2 - 2 * fourbar.input * fourbar.ground * cosine
    shorter, longer = (np.sqrt(np.maximum(square(cosine), 0.0)) for cosine in (most, least))
    longest, shortest = fourbar.coupler + fourbar.output, np.abs(fourbar.coupler - fourbar.output)
    size = fourbar.input + fourbar.ground + longest  # links that are just straight have no room, not 3e-14 mm
    return np.minimum(difference(longest, longer, size), difference(shorter, shortest, size))[:, 0]


def _passes(start, end, angle):
    """Whether an angle, or the same some whole turns away, lies between both, in either direction."""
    low, high = np.minimum(start, end), np.maximum(start, end)
    return angle + 2 * np.pi * np.ceil((low - angle) / (2 * np.pi)) <= high
