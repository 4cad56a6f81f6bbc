"""Sizing: a scissor. Does it get off the ground, how high and how fast does it rise, and how much does it rock?"""

import numpy as np

from mechbench.engine.spec import CHOICE, JOB, RAISES, Field, Finding, Lump, Need, Pick, Sizing
from mechbench.kits import Table, figures
from mechbench.mechanisms import words
from mechbench.mechanisms.outline import LINK, PLATFORM
from mechbench.mechanisms.powertrain import JAM, column, jammed, most_torque, runaway
from mechbench.mechanisms.shaft_drives import bus_of, endless, line_of, shaft_drives
from mechbench.physics import drive, motion, scissor, scissor_load, screw
from mechbench.physics.lift import lower_load

POINTS = 31
PLACEMENTS = {
    "cord": "cord on a drum at the foot",
    "screw": "lead screw at the foot",
    "arm": "shaft on the lowest arm",
    "horn": "servo arm and rod at the foot",
}


def placements(kit):
    """Where the drive takes hold; one column for each, 1 where it is chosen."""
    names = tuple(PLACEMENTS)
    columns = {name: (np.arange(len(names)) == place).astype(float) for place, name in enumerate(names)}
    return Table("placements", names, "cord", PLACEMENTS, columns)


class LiftingScissor(Sizing):
    """A scissor of one to four cells with a load on top, raised by a servo or a geared motor."""

    NAME = "scissor"
    ALSO = ("scissors", "scissor_lift", "crosses")
    # 2: strength bears the friction of the sliding ends; unlimited where a rod does not reach; 3: jam; a held current
    # has enough to spare
    VERSION = 3
    TITLE = "A scissor"
    QUESTION = "Does it get off the ground, how high and how fast does it rise, and how much does it rock?"
    FIELDS = (
        Field(
            "load",
            "Mass on top",
            "kg",
            0.01,
            10.0,
            0.24,
            "platform or hook, and what it carries",
            JOB,
            follows=figures.exactly(figures.piece_mass, plus=0.09),
            also=("payload", *words.PIECE),
        ),
        Field("rise_wanted", "Rise wanted", "mm", 50.0, 1200.0, 350.0, "from folded to raised", JOB, also=("height",)),
        Field(
            "time_wanted",
            "Time for the rise",
            "s",
            0.3,
            15.0,
            2.5,
            "from rest to rest",
            JOB,
            also=words.TIME_WANTED,
        ),
        Field(
            "folded_allowed",
            "Height when folded",
            "mm",
            20.0,
            500.0,
            200.0,
            "pin to pin; what must fit below the platform",
            JOB,
            more=True,
            also=("folded_height",),
        ),
        Field(
            "rocking_allowed",
            "Rocking allowed at the top",
            "mm",
            1.0,
            50.0,
            10.0,
            "by play in pins and drive",
            JOB,
            more=True,
            also=("wobble", "play"),
        ),
        Pick(
            "cells",
            "Cells",
            "counts",
            "3",
            "pairs of crossed arms, one above the other",
            also=("crosses", "stages", "levels", "n", "number", "pairs", "sections"),
        ),
        Field(
            "arm",
            "Arm length",
            "mm",
            60.0,
            500.0,
            200.0,
            "from end pin to end pin",
            also=("length", "arm_length", "bar", "bars", "beam", "leg", "legs", "link"),
        ),
        Field(
            "start",
            "Start angle of the arms",
            "deg",
            3.0,
            40.0,
            12.0,
            "above level, folded; the smaller, the harder the start",
            also=("angle", "start_angle", "folded_angle", "from_angle"),
        ),
        Field(
            "end",
            "End angle of the arms",
            "deg",
            41.0,
            80.0,
            60.0,
            "above level, raised",
            CHOICE,
            more=True,
            also=("end_angle", "raised_angle", "to_angle"),
        ),
        Pick(
            "drive",
            "Servo or geared motor",
            "shaft_drives",
            endless,
            "what raises it",
            also=("motor", "servo", "gearbox"),
        ),
        Pick(
            "placement",
            "Where it takes hold",
            "placements",
            "cord",
            "cord, lead screw or servo arm at the sliding foot, or a shaft on the lowest arm",
        ),
        Field("drum_radius", "Radius of the drum", "mm", 3.0, 40.0, 8.0, "for the cord", CHOICE, more=True),
        Field("lead", "Lead of the screw", "mm", 1.0, 20.0, 8.0, "way of the nut in one turn", CHOICE, more=True),
        Field(
            "screw_diameter",
            "Diameter of the screw",
            "mm",
            4.0,
            20.0,
            7.0,
            "mean diameter of the thread",
            CHOICE,
            more=True,
        ),
        Field(
            "thread_friction",
            "Friction in the thread",
            "x",
            0.05,
            0.3,
            0.15,
            "coefficient, screw on nut",
            CHOICE,
            more=True,
        ),
        Field("horn", "Servo arm", "mm", 10.0, 200.0, 60.0, "from the servo's shaft to its pin", CHOICE, more=True),
        Field("rod", "Rod from servo arm to foot", "mm", 20.0, 300.0, 90.0, "pin to pin", CHOICE, more=True),
        Field(
            "shaft_place",
            "Servo's shaft from the held foot",
            "mm",
            -200.0,
            300.0,
            50.0,
            "level, towards the sliding foot",
            CHOICE,
            more=True,
        ),
        Field(
            "cell_mass", "Mass of one cell", "kg", 0.01, 1.0, 0.06, "all arms and pins of one cell", CHOICE, more=True
        ),
        Field(
            "friction",
            "Friction at the sliding ends",
            "x",
            0.0,
            0.6,
            0.25,
            "coefficient, at foot and platform",
            CHOICE,
            more=True,
        ),
        Field(
            "pin_play",
            "Play of each pin",
            "mm",
            0.0,
            1.0,
            0.2,
            "how far a pin can move in its hole, from side to side",
            CHOICE,
            more=True,
        ),
    )
    FINDINGS = (
        Finding(
            "time",
            "time for the rise, at best",
            "s",
            "from rest to rest; never where it does not get off the ground",
            "at most",
            "time_wanted",
            also=words.SPEED,
        ),
        Finding("rise", "rise", "mm", "from folded to raised", "at least", "rise_wanted", also=("height", "high")),
        Finding("folded", "height when folded", "mm", "pin to pin", "at most", "folded_allowed"),
        Finding(
            "spare",
            "torque to spare",
            "N·m",
            "at the worst place of the stroke, from rest, with the drive's full torque",
            "at least",
            0.0,
            scale=0.2,
            also=("margin", "enough", "strong"),
        ),
        Finding(
            "strength",
            "share of the drive's strength",
            "%",
            "worst torque of load and friction over what gearbox or servo may give; unlimited: the rod does not reach",
            "at most",
            100.0,
        ),
        Finding(
            "holding",
            "share of what it holds for long, raised",
            "%",
            "torque of the load at the top over what servo or motor can hold without getting too hot",
            "at most",
            100.0,
            also=("hold",),
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
            "way of the shaft over what a servo can turn; motors turn without end",
            "at most",
            100.0,
        ),
        Finding(
            "rocking",
            "rocking at the top",
            "mm",
            "when all pins are at their worst: it grows with the square of the cells",
            "at most",
            "rocking_allowed",
            also=("wobble", "play", "sway"),
        ),
        Finding(
            "push",
            "push at the foot at the start",
            "N",
            "what the weight alone asks there, however it is driven",
            worse="more",
            also=("force", "pull", "start_force"),
        ),
        Finding(
            "worst_torque",
            "worst torque of the load",
            "N·m",
            "of all weights, felt at the drive's shaft",
            worse="more",
            also=("torque", "start", "needed", "required"),
        ),
        Finding(
            "steepness",
            "torque at the start over torque at the end",
            "x",
            "how steep the start is, felt at the drive's shaft",
            worse="more",
        ),
        Finding("way", "turn of the drive's shaft", "deg", "from folded to raised"),
        Finding(
            "holds",
            "torque held with the power off",
            "N·m",
            "by friction in motor, gears and screw alone; not to be trusted with hands near",
            worse="less",
            also=words.HOLDS,
        ),
        *JAM,
    )
    DRAWN = ("gives",)
    LESS = ("load",)
    RECORDS = ("battery", "controller", "servo_rail")
    TABLES = {"shaft_drives": shaft_drives, "placements": placements}
    SPREADS = {
        "load": "mass",
        "cell_mass": "mass",
        "friction": "friction",
        "thread_friction": "friction",
        "drive.efficiency": "efficiency",
        "battery.open_circuit": "battery_voltage",
        "battery.resistance": "battery_resistance",
    }
    RANK = ("time",)
    ROLE = RAISES
    POWER_OFF = ("holds", "worst_torque")
    NEEDS = (Need(RAISES, "travel"),)
    USES = (
        scissor.height,
        scissor.foot_force,
        scissor.weight_torque,
        scissor.inertia_felt,
        scissor.slide_friction,
        scissor.play,
        scissor_load.foot_drive,
        scissor_load.horn_drive,
        motion.move,
    )

    @staticmethod
    def solve(x):
        """Weights through the chosen drive by virtual work, then the one solver; a rod that does not reach lifts
        nothing.
        """
        part, angle, rate, reaches, load = stroke(x)
        driving, driven = _stage(x)
        line = _line(x)
        done = motion.move(line, load, bus_of(x))
        worst = np.where(reaches, np.max(load.load_torque, axis=-1), np.inf)
        borne = np.where(reaches, np.max(load.load_torque + load.friction_torque, axis=-1), np.inf)
        top = np.where(reaches, load.load_torque[:, -1], np.inf)
        turned = np.where(reaches, load.q[:, -1], np.inf)
        foot_play = x.drive.play * part.arm[:, 0] * np.sin(x.end) / rate[:, -1]
        rocking = scissor.play(part, angle[:, -1:], column(foot_play), column(x.pin_play))[:, 0]
        return {
            "time": np.where(reaches, done.time[:, 0], np.inf),
            "rise": (scissor.height(part, angle[:, -1:]) - scissor.height(part, angle[:, :1]))[:, 0],
            "folded": scissor.height(part, angle[:, :1])[:, 0],
            "spare": np.where(reaches, np.min(done.headroom[:, 0], axis=-1), -np.inf),
            "gives": np.max(done.gives[:, 0], axis=-1),
            "strength": borne / (driving * x.drive.allowed),
            "holding": np.where(driven > 0, top, 0.0) * driven / x.drive.holding,
            "current": np.where(reaches, done.peak_current[:, 0], np.inf),
            "travel": np.where(reaches, load.q[:, -1] / x.drive.travel, np.inf),
            "rocking": np.where(reaches, rocking, np.inf),
            "steepness": np.where(reaches, load.load_torque[:, 0] / load.load_torque[:, -1], np.inf),
            "push": scissor.foot_force(part, angle[:, :1])[:, 0],
            "worst_torque": worst,
            "way": turned,
            "holds": drive.unpowered_hold(line),
            **runaway(done),
            **jammed(line_of(x), x.drive.allowed, bus_of(x)),  # what stands behind the drive's shaft takes no share
        }

    @staticmethod
    def run(x):
        """The stroke up, from rest to rest; and from its end down again with the power off."""
        *_, load = stroke(x)
        return motion.move(_line(x), load, bus_of(x)), motion.let_go(_line(x), lower_load(load))

    @staticmethod
    def pictured(x):
        """The torque that the drive gives from rest."""
        return {"gives": most_torque(_line(x), bus_of(x))}

    @classmethod
    def lumps(cls, values, tables, share, moving=()):
        """Motors at the middle of its foot, all cells, and what is on top."""
        angle, cells = values["start"] + share * (values["end"] - values["start"]), int(values["cells"])
        height, long = cells * values["arm"] * np.sin(angle), values["arm"] * np.cos(angle)
        box = (long + LINK[0], 2 * LINK[1], height + LINK[0])
        return (
            *super().lumps(values, tables, share, moving),
            Lump("cells", cells * values["cell_mass"], (0.0, 0.0, height / 2), box, ("cell_mass",)),
            Lump("top", values["load"], (0.0, 0.0, height + LINK[0]), PLATFORM, ("load",), holds=True),
        )

    @classmethod
    def battery_current(cls, found, number):
        """A rod that does not reach can't be built in, so it draws nothing."""
        return np.where(np.isfinite(found["current"]), found["current"], 0.0)


def stroke(x):
    """The scissor, the angles of its stroke [S,N], the drive's rate there, whether it reaches [S], and the Load."""
    part = scissor.Scissor(column(x.cells.number), column(x.arm), column(x.load), column(x.cell_mass))
    angle = column(x.start) + column(x.end - x.start) * np.linspace(0, 1, POINTS)
    way, rate, reaches = _drive(x, part, angle)
    return part, angle, rate, reaches, scissor_load.lift(part, angle, way, rate, column(x.friction))


def _line(x):
    """The drive with what stands between its shaft and the work."""
    driving, driven = _stage(x)
    return line_of(x, efficiency=driving, efficiency_driven=driven)


def _drive(x, part, angle):
    """Way and rate of the chosen drive [S,N], and whether it reaches all along [S]; plain values where it does not."""
    cord_way, cord_rate = scissor_load.foot_drive(part, angle, column(x.drum_radius))
    screw_way, screw_rate = scissor_load.foot_drive(part, angle, column(screw.lead_radius(x.lead)))
    horn_way, horn_rate, reach = scissor_load.horn_drive(
        part, angle, column(x.horn), column(x.rod), column(x.shaft_place)
    )
    reaches = reach.all(axis=-1) | (x.placement.horn == 0)
    sure = column(reaches & (x.placement.horn == 1))
    chosen = [column(x.placement.cord) == 1, column(x.placement.screw) == 1, sure]
    way = np.select(chosen, [cord_way, screw_way, horn_way], angle)
    rate = np.select(chosen, [cord_rate, screw_rate, horn_rate], 1.0)
    return way, rate, reaches


def _stage(x):
    """Efficiencies of what stands between the drive and its shaft's work: the lead screw's thread, else nothing."""
    slope, on_screw = screw.lead_angle(x.lead, x.screw_diameter), x.placement.screw == 1
    driving = screw.thread_efficiency(slope, x.thread_friction)
    driven = screw.thread_efficiency_driven(slope, x.thread_friction)
    return np.where(on_screw, driving, 1.0), np.where(on_screw, driven, 1.0)
