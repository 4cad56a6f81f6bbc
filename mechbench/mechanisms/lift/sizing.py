"""Sizing: a slide lift. Stages, rigging, spool: how fast, does it stay up with the power off, does it bind?"""

from types import SimpleNamespace

import numpy as np

from mechbench.engine.bounds import most_spare, quickest
from mechbench.engine.spec import CHOICE, JOB, RAISES, RUNAWAY, Field, Finding, Lump, Need, Pick, Sizing
from mechbench.engine.unique_rows import once
from mechbench.kits import Table, figures
from mechbench.mechanisms import words
from mechbench.mechanisms.outline import HELD
from mechbench.mechanisms.powertrain import (
    JAM,
    NONE,
    OF_A_MOVE,
    SPOOL_SPEED,
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
from mechbench.physics import drive, lift, motion, motor, rope, winch
from mechbench.quantity import show

LEANING = 0.93  # share of the way out that is straight up, where it leans by 70 degrees
NEAR_END = 0.75  # of the last stage's length: where its load sits; common practice, no source
STACK = 0.04, 0.30  # m, deep and wide across, of slides that stand left and right: common practice, no source


def helping_springs(kit):
    """The kit's constant-force springs, and none."""
    return with_none(kit.table("constant_springs"), "helping_springs", "no spring", travel=np.inf)


def riggings(kit):
    """Cascade and continuous."""
    labels = {"cascade": "cascade: all stages at once", "continuous": "continuous: one stage after another"}
    return Table("riggings", tuple(labels), "cascade", labels, {"cascade": np.array([1.0, 0.0])})


def drums(kit):
    """The kit's spools for cord and its pulleys for belt, as drums. `belt` is 1 for a pulley; `bears` is a belt's
    working load.
    """
    spools, pulleys = kit.table("spools"), kit.table("pulleys")
    none = np.zeros(len(pulleys))
    columns = {
        "radius": np.r_[spools.columns["radius"], pulleys.columns["pitch_diameter"] / 2],
        "width": np.r_[spools.columns["width"], none + np.inf],
        "flange_radius": np.r_[spools.columns["flange_diameter"], pulleys.columns["pitch_diameter"]] / 2,
        "belt": np.r_[np.zeros(len(spools)), none + 1],
        "bears": np.r_[np.zeros(len(spools)), pulleys.columns["working_load"]],
        "mass": np.r_[spools.columns["mass"], pulleys.columns["mass"]],
    }
    return Table("drums", (*spools.names, *pulleys.names), spools.usual, {**spools.labels, **pulleys.labels}, columns)


def enough_stages(table, tables):
    """So many stages of the usual slide that they rise by six sevenths of the highest goal, leaning a little."""
    rise = figures.highest(tables.kit)
    if rise is None:
        return "3"
    slides = tables("slides")
    slide = slides.row(slides.usual)
    number = min(max(np.ceil(6 / 7 * rise / LEANING / slide["stage_travel"]), slide["fewest"]), slide["most"])
    return table.names[int(min(number, len(table.names))) - 1]


class SlideLift(Sizing):
    """One or two slide stacks in step, raised by cord or belt, with or without a spring that helps."""

    NAME = "lift"
    ALSO = ("elevator", "slides", "slide", "stages", "slide_lift")
    VERSION = 3  # 2: jam; fuse_used is judged in place of current; 3: holds, sinks_with
    TITLE = "A slide lift"
    QUESTION = "Stages, rigging, spool: how fast, does it stay up with the power off, does it bind?"
    FIELDS = (
        Field(
            "payload",
            "Mass at the top",
            "kg",
            0.01,
            10.0,
            0.53,
            "carriage, bucket and piece together",
            JOB,
            follows=figures.exactly(figures.held_mass, plus=0.23),
            also=(*words.TIP_MASS, "bucket"),
        ),
        Field(
            "rise_wanted",
            "Rise wanted",
            "mm",
            10.0,
            2000.0,
            580.0,
            "how much higher the top must go, straight up",
            JOB,
            follows=figures.even(figures.highest, 6 / 7, step=0.01),
            also=("height", "rises", "extension"),
        ),
        Field(
            "time_wanted",
            "Time up",
            "s",
            0.1,
            15.0,
            0.98,
            "from rest to rest",
            JOB,
            follows=figures.exactly(figures.even(figures.highest, 6 / 7, step=0.01), plus=0.4),
            also=words.TIME_WANTED,
        ),
        Field(
            "hold_time",
            "Time it must hold",
            "s",
            1.0,
            150.0,
            20.0,
            "raised, held by current",
            JOB,
            more=True,
            also=words.HOLD_TIME,
        ),
        Field(
            "lean", "Lean from level", "deg", 20.0, 90.0, 70.0, "90 degrees is upright", also=("angle", "tilt", "slope")
        ),
        Pick(
            "stages",
            "Moving stages",
            "counts",
            enough_stages,
            "slides that move, one in the other",
            also=("sections", "levels"),
        ),
        Pick(
            "rigging",
            "Rigging",
            "riggings",
            "cascade",
            "how the cord is led: all stages at once (cascade), or one after another",
        ),
        Pick("motor", "Motor", "motors", None, "which motor of the kit"),
        Pick(
            "gearbox",
            "Gearbox",
            "gearboxes",
            turning(SPOOL_SPEED),
            "planetary gearbox on the motor",
            also=words.GEARBOX,
        ),
        Pick(
            "drum",
            "Spool or pulley",
            "drums",
            None,
            "a spool winds cord, a pulley drives a belt",
            also=("spool", "pulley", "diameter", "drum_diameter", "spool_size"),
        ),
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
        Pick("slide", "Slide", "slides", None, "which slide of the kit", more=True, also=("slides", "rail", "rails")),
        Pick(
            "cord", "Cord", "cords", None, "which cord of the kit", more=True, also=("rope", "string", "cable", "line")
        ),
        Pick(
            "spring",
            "Helping spring",
            "helping_springs",
            NONE,
            "a constant-force spring from the base to the top stage",
            more=True,
            also=("constant_spring", "helper"),
        ),
        Field(
            "offset",
            "Load in front of the rails",
            "mm",
            0.0,
            300.0,
            60.0,
            "how far the mass at the top sits from its rail",
            CHOICE,
            more=True,
            also=("overhang",),
        ),
        Field(
            "rail_play",
            "Play in each rail",
            "mm",
            0.0,
            2.0,
            0.3,
            "how far one slide moves across the next",
            CHOICE,
            more=True,
        ),
        Field(
            "lean_allowed",
            "Top may move by play",
            "mm",
            1.0,
            100.0,
            15.0,
            "across the rails, with all stages out",
            JOB,
            more=True,
            also=("wobble", "play"),
        ),
        Field(
            "factor_wanted",
            "Cord stronger by",
            "x",
            1.0,
            10.0,
            3.0,
            "breaking strength at the knot over the steady pull",
            CHOICE,
            more=True,
            also=("safety",),
        ),
    )
    FINDINGS = (
        Finding(
            "time",
            "time up, at best",
            "s",
            "from rest to rest at the top; never where it stalls",
            "at most",
            "time_wanted",
            also=words.SPEED,
        ),
        Finding(
            "time_down",
            "time down, at best",
            "s",
            "from rest to rest, cord or return line kept tight",
            "at most",
            "time_wanted",
            also=("down", "lower"),
        ),
        Finding(
            "rise",
            "rise of the top",
            "mm",
            "all stages out, straight up: stages, travel of the slide and lean limit it",
            "at least",
            "rise_wanted",
            also=("height", "high", "reach", "top", "travel"),
        ),
        Finding(
            "spare",
            "torque to spare",
            "N·m",
            "at the worst place of the way up, from rest, at full voltage",
            "at least",
            0.0,
            scale=0.5,
            also=("torque", "margin", "enough", "strong"),
        ),
        Finding(
            "binds",
            "friction's share of the offset load",
            "%",
            "the offset load lies in front of its rail; at 100 % the slide jams on its way down, however heavy it is",
            "at most",
            100.0,
            also=("bind", "jams", "stuck", "friction"),
        ),
        Finding(
            "cord_used",
            "share of the allowed pull",
            "%",
            "worst pull over what cord or belt may bear; two stacks with a cord each share it",
            "at most",
            100.0,
            also=("cord", "rope", "string", "breaks", "break", "snap", "snaps"),
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
            "hot_after",
            "time until too hot, holding",
            "s",
            "held by current at the worst place, from cold",
            "at least",
            "hold_time",
            also=(
                "temperature",
                "temp",
                "hot",
                "heat",
                "warm",
                "overheats",
                "burns",
                "hold",
                "overheat",
                "burn",
                "too_hot",
            ),
        ),
        fuse_share("one move up or down"),
        lowest_voltage("while the lift moves alone"),
        Finding(
            "tip",
            "play at the top",
            "mm",
            "across the rails, with all stages out",
            "at most",
            "lean_allowed",
            also=("wobble", "play"),
        ),
        Finding(
            "spring_used",
            "share of the spring's travel",
            "%",
            "way of the top over the spring's travel",
            "at most",
            100.0,
            also=("spring",),
        ),
        Finding(
            "stages",
            "moving stages",
            "x",
            "the slide can be built with this many",
            "at most",
            "slide.most",
            counted=True,
        ),
        Finding(
            "stays_up",
            "spare holding torque, power off",
            "N·m",
            "by friction alone; below 0 it sinks: pin it before hands go in",
            worse="less",
            also=(*words.HOLDS, "holds", "sink", "sinks", "drops"),
        ),
        Finding(
            "holds",
            "torque held with the power off",
            "N·m",
            "by friction in motor and gears alone, on the spool; not to be trusted with hands near",
            worse="less",
        ),
        Finding(
            "sinks_with",
            "torque that pulls it down",
            "N·m",
            "on the spool, at the worst place, what rubs in the rails taken off; 0 where they hold it",
            worse="more",
        ),
        Finding(
            "return_pull",
            "pull of the return line",
            "N",
            "that it needs to come down slowly; 0 where its weight is enough",
            worse="more",
        ),
        Finding(
            "current",
            "highest current of all motors",
            "A",
            "highest through the fuse",
            worse="more",
            also=words.CURRENT,
        ),
        Finding(
            "falls_with",
            "energy of a fall",
            "J",
            "if the cord breaks with all stages out",
            worse="more",
            also=("falls", "fall", "energy", "danger"),
        ),
        Finding("layers", "layers on the spool", "x", "each one raises torque and speed; 1 for a belt"),
        *JAM,
    )
    DRAWN = ("gives",)
    LESS = ("payload",)
    RECORDS = ("battery", "controller", "fuse")
    TABLES = {"riggings": riggings, "drums": drums, "last_stages": last_stages, "helping_springs": helping_springs}
    SPREADS = {
        "payload": "mass",
        "slide.stage_mass": "mass",
        "slide.drag": "friction",
        "slide.rail": "friction",
        "gearbox.efficiency": "efficiency",
        "battery.open_circuit": "battery_voltage",
        "battery.resistance": "battery_resistance",
        "fuse.patience": "fuse",
    }
    RANK = ("time",)
    ROLE = RAISES
    POWER_OFF = ("holds", "sinks_with")
    NEEDS = (Need(RAISES, "binds"), Need(RAISES, "spring_used"), Need(RAISES, "stages"))
    USES = (
        lift.cord_pull,
        lift.rail_friction,
        lift.binding,
        lift.stage_tensions,
        lift.stays_up,
        lift.return_pull,
        lift.tip_play,
        winch.layer_radius,
        motion.move,
        drive.driven_hold,
        rope.safety_factor,
    )

    @classmethod
    def weakest_of(cls, margins):
        """A rise that is missed is told first: no other motor and no less mass mends it."""
        return "rise" if margins.get("rise", 0.0) < 0 else super().weakest_of(margins)

    @classmethod
    def because(cls, report, name, bad):
        """What limits the rise."""
        found = report.bad if bad else report.good
        if name != "rise":
            return ""
        number, lean = report.values["stages"], show(report.values["lean"], "deg")
        reached, asked = show(found["rise"], "mm"), show(report.bounds["rise"], "mm")
        stages = f"{number} stage{'' if number == '1' else 's'}"
        return f"rise of the top is {reached} (at least {asked}), limited by {stages} and a lean of {lean} from level"

    @classmethod
    def picked_mass(cls, values, tables):
        """The stages that move weigh as the kit says of one."""
        found = super().picked_mass(values, tables)
        stages = int(values["stages"]) * tables("slides").row(values["slide"])["stage_mass"]
        return {**found, "stages": stages, "slide": 0.0}

    @classmethod
    def lumps(cls, values, tables, share, moving=()):
        """Motors at the foot of the slides, all stages that move, and what the last one carries near its end."""
        slide, number, lean = tables("slides").row(values["slide"]), int(values["stages"]), values["lean"]
        along = np.array([np.cos(lean), np.sin(lean)])  # ahead, up
        ways = slide["stage_travel"] * _stages_out(number, values["rigging"] == "cascade", share)
        ahead, up = along * (np.mean(ways) + slide["stage_length"] / 2)
        box = along * (np.ptp(ways) + slide["stage_length"])
        ahead_of_rails = values["offset"] * np.array([along[1], -along[0]])
        x, z = along * (ways[-1] + NEAR_END * slide["stage_length"]) + ahead_of_rails
        stages = cls.picked_mass(values, tables)["stages"]
        return (
            *super().lumps(values, tables, share, (*moving, "stages")),
            Lump("slides", stages, (ahead, 0.0, up), (box[0] + STACK[0], STACK[1], box[1] + STACK[0])),
            Lump("top", values["payload"], (x, 0.0, z), HELD, ("payload",), holds=True),
        )

    @staticmethod
    def solve(x):
        """Up and down through the one solver, once for rows that move alike; cord, binding, play from statics."""
        count = x.count.number
        train, line, slides, drum, inertia = _built(x)
        moved = once(_moved, line, slides, drum, inertia, bus_of(x))
        moved |= {way: {name: moved[f"{way} {name}"] for name in OF_A_MOVE} for way in ("up", "down")}
        still = _still(x, train, slides, moved)
        return {
            "time": moved["time"],
            "time_down": moved["time_down"],
            "rise": still["rise"],
            "spare": moved["spare"],
            "binds": still["binds"],
            "cord_used": still["cord_used"],
            "strength": still["strength"],
            "hot_after": motor.time_to_limit(x.motor, moved["hold"] / count),
            "fuse_used": np.maximum(*(fuse_used(x, line, SimpleNamespace(**moved[way])) for way in ("up", "down"))),
            "current": moved["current"],
            "volts": moved["volts"],
            "tip": still["tip"],
            "spring_used": still["spring_used"],
            "stages": x.stages.number,
            **{name: moved[name] for name in ("stays_up", "holds", "sinks_with")},
            "gives": moved["gives"],
            **{name: moved[name] for name in RUNAWAY},
            "return_pull": moved["return_pull"],
            "falls_with": _fall(x, slides),
            "layers": moved["layers"],
            **jammed(line, carried(x, count), bus_of(x), count),
        }

    @staticmethod
    def run(x):
        """The way up, from rest to rest; and from the top down again with the power off."""
        _, line, slides, drum, inertia = _built(x)
        up = lift.raise_load(slides, drum, drum_inertia=inertia)
        return motion.move(line, up, bus_of(x)), motion.let_go(line, lift.lower_load(up))

    @staticmethod
    def pictured(x):
        """The torque that the drive gives from rest."""
        return {"gives": most_torque(_built(x)[1], bus_of(x))}

    @staticmethod
    def at_best(x):
        """What statics tell, and what no motor could better."""
        train, line, slides, drum, inertia = _built(x)
        best = once(_at_best, line, slides, drum, inertia, bus_of(x))
        return {**_still(x, train, slides, best), "time": best["time"], "spare": best["spare"]}


def _stages_out(number, cascade, share):
    """How far each moving stage is out, in travels of one stage: all at once, or the last one first."""
    each = np.full(number, share) if cascade else np.clip(number * share - np.arange(number)[::-1], 0.0, 1.0)
    return np.cumsum(each)


def _built(x):
    """Train, drive, slides and drum, and the inertia of what turns with the drum."""
    train = whole_train(x.gearbox, x.last_stage)
    line = drive.line(
        x.motor, train.ratio, train.efficiency, train.efficiency_driven, x.count.number, x.controller.output_limit
    )
    return train, line, slides_of(x), drum_of(x), x.drum.mass * x.drum.radius**2 / 2


def _moved(line, slides, drum, inertia, bus):
    """What depends on nothing but drive, slides, drum and battery: both ways, and what holds it up."""
    up = lift.raise_load(slides, drum, drum_inertia=inertia)
    done = motion.move(line, up, bus)
    down = motion.move(line, lift.lower_load(up), bus)
    return {
        **_worst(slides, up),
        "time": done.time[:, 0],
        "time_down": down.time[:, 0],
        "spare": np.min(done.headroom[:, 0], axis=-1),
        "gives": np.max(done.gives[:, 0], axis=-1),
        "current": np.maximum(done.bus_current, down.bus_current),
        **{f"{way} {name}": getattr(one, name) for way, one in (("up", done), ("down", down)) for name in OF_A_MOVE},
        "volts": np.minimum(motion.lasting_volts(done, bus), motion.lasting_volts(down, bus)),
        "hold": _hold(line, up),
        **runaway(done, down),
        "stays_up": lift.stays_up(up, line),
        "holds": drive.unpowered_hold(line),
        "sinks_with": np.maximum(np.max(up.load_torque - up.friction_torque, axis=-1), 0.0),
        "return_pull": lift.return_pull(slides),
        "layers": winch.layers_used(drum, np.where(slides.cascade, 1, slides.stages) * slides.travel),
    }


def _at_best(line, slides, drum, inertia, bus):
    """The same as far as it is known without a move."""
    up = lift.raise_load(slides, drum, drum_inertia=inertia)
    best = {"time": quickest(line, up, bus), "spare": most_spare(line, up, bus.open_circuit)}
    return {**_worst(slides, up), **best}


def _worst(slides, up):
    """Worst pull in a cord, and worst torque on the drum."""
    return {
        "pull": lift.stage_tensions(slides).max(axis=-1),
        "torque": np.max(up.load_torque + up.friction_torque, axis=-1),
    }


def _still(x, train, slides, worst):
    """Findings that need no motion."""
    allowed = np.where(x.drum.belt > 0, x.drum.bears, x.cord.knotted_strength / x.factor_wanted)
    return {
        "rise": slides.stages * slides.travel * np.sin(x.lean),
        "binds": lift.binding(x.offset, x.slide.stage_overlap, x.slide.rail),
        "cord_used": worst["pull"] / allowed,
        "strength": worst["torque"] / carried(x, x.count.number),
        "tip": lift.tip_play(slides, x.rail_play)[1],
        "spring_used": slides.stages * slides.travel / x.spring.travel,
        "stages": x.stages.number,
    }


def slides_of(x):
    """The slide stacks as physics has them."""
    return lift.Lift(
        x.stages.number,
        x.rigging.cascade > 0,
        x.slide.stage_travel,
        x.slide.stage_length,
        x.slide.stage_mass,
        x.payload,
        x.lean,
        x.slide.drag,
        x.slide.rail,
        x.offset,
        x.spring.force,
    )


def drum_of(x):
    """The spool with its cord, or the pulley with its belt."""
    thick = np.where(x.drum.belt > 0, 0.0, x.cord.diameter)
    return winch.Drum(x.drum.radius, np.maximum(x.drum.width, thick), x.drum.flange_radius, thick)


def _hold(line, up):
    """Current that holds the raised lift at the worst place, friction in the rails helping."""
    return drive.driven_hold(line, np.maximum(np.max(up.load_torque - up.friction_torque, axis=-1), 0.0))


def _fall(x, slides):
    """Energy of all stages that fall from the top to the bottom."""
    moved = x.slide.stage_mass * slides.stages * (slides.stages + 1) / 2 + x.payload * slides.stages
    return lift.GRAVITY * moved * slides.travel * np.sin(x.lean)
