"""Sizing: a whole robot. Does it fit, stand, start and score; and what does one other part do to all of that?

A robot is a sizing that is made of sizings: its mechanisms are solved on the same days, their times make the cycle, and
the cycle makes the match.
"""

import re
from functools import lru_cache
from operator import attrgetter

import numpy as np

from mechbench import quantity
from mechbench.engine import report_text
from mechbench.engine.columns import columns
from mechbench.engine.days import DAYS
from mechbench.engine.inputs import Tables
from mechbench.engine.spec import CHOICE, DRIVES, HANGS, JOB, Field, Finding, Pick, Sizing
from mechbench.kits import Table, figures, pairing
from mechbench.kits.load import robot_instead, with_robots
from mechbench.mechanisms import words
from mechbench.physics import balance, cycle, envelope, match, motion
from mechbench.whole_robot.ability import CLEAR, able
from mechbench.whole_robot.body import FOLDED, RAISED, counts
from mechbench.whole_robot.build import build
from mechbench.whole_robot.reasons import BESIDE, reason
from mechbench.whole_robot.score import cycle_of, play
from mechbench.whole_robot.work import NEVER, SPREADS, Days, Work, assumed_name, power

PLANNED = "as_planned"
AFTER, DURING = "after", "during"
RAISING = {AFTER: "after driving", DURING: "while driving"}
MATCHES = 61  # on each day, however many days: all days of a report are then one batch of the simulation
SHARES = "takes", "holds"  # findings that are 100 % at best
REMEMBERED = 512  # robots with their findings

# A sizing's columns hold numbers alone. The kits that robots come from are kept here, each under its own number.
_kits = []


def _number_of(kit):
    for number, known in enumerate(_kits):
        if known.digest == kit.digest:
            return number
    _kits.append(kit)
    return len(_kits) - 1


def _bands(kit):
    """What no label gives of the parts of each robot as planned: robot -> "lift/motor/rotor_inertia" -> band."""
    if not any(kit.table(name).assumed for name in kit.tables()):
        return {}
    found = {}
    for plan in kit.robots:
        try:
            built = build(plan.name, kit)
        except ValueError:  # said when this robot is asked for
            continue
        found[plan.name] = {
            assumed_name(one.name, path): (float(one.bands.low[i, 0]), float(one.bands.high[i, 0]))
            for one in built.mechanisms.values()
            for i, path in enumerate(one.bands.paths)
        }
    return found


@lru_cache(maxsize=16)
def _assumed(kit):
    """The bands of the kit's robots, and the names of all numbers in them, in order."""
    bands = _bands(kit)
    return bands, tuple(dict.fromkeys(name for own in bands.values() for name in own))


def robots(kit):
    """The kit's whole robots; columns of ones are what the days multiply."""
    names = [plan.name for plan in kit.robots] or ["none"]
    ones = np.ones(len(names))
    columns = {
        "number": np.arange(len(names)),
        "kit": ones * _number_of(kit),
        "mass": ones,
        "friction": ones,
        "efficiency": ones,
        "people": ones,
        "closing_asked": np.array([float(plan.values["tries"] > 0) for plan in kit.robots] or ones),
    }
    bands, assumed = _assumed(kit)
    columns |= dict.fromkeys(assumed, ones)
    labels = {plan.name: plan.label for plan in kit.robots} or {"none": "no robot in this kit"}
    return Table("robots", names, _richest(kit), labels, columns, assumed=bands)


def _richest(kit):
    """The robot at which there is most to see: with the most mechanisms, of equals the one that carries most."""
    plans = list(kit.robots)
    return max(plans, key=lambda plan: (len(plan.mechanisms), plan.values["carries"])).name if plans else "none"


def _or_planned(name, names, labels):
    """A table of choices with "as planned" first; its column is the place in the list, -1 for as planned."""
    return Table(
        name, (PLANNED, *names), PLANNED, {PLANNED: "as planned", **labels}, {"place": np.arange(-1.0, len(names))}
    )


def planned_gearboxes(kit):
    """The kit's gearboxes that stand by themselves, and the one that the plan has."""
    boxes = kit.table("gearboxes")
    names = pairing.loose(boxes)
    return _or_planned("planned_gearboxes", names, {name: boxes.labels[name] for name in names})


def planned_raising(kit):
    """When the robot raises: as planned, or one of two ways."""
    return _or_planned("planned_raising", (AFTER, DURING), RAISING)


def planned_counts(kit):
    """As planned, or 0 to 4."""
    names = [str(number) for number in range(5)]
    return _or_planned("planned_counts", names, {name: name for name in names})


# What is chosen of a robot: argument of changed_robot -> column of the inputs.
CHOSEN = {
    "robot": attrgetter("which.number"),
    "kit": attrgetter("which.kit"),
    "drive": attrgetter("drive_gearbox.place"),
    "raising_box": attrgetter("raise_gearbox.place"),
    "raising": attrgetter("raising.place"),
    "carries": attrgetter("carries.place"),
    "tries": attrgetter("tries.place"),
    "sooner": attrgetter("leave_sooner"),
}


# What people call the current of each user, and what they fear of it.
DRAWS = "brownout", "brownouts", "reset", "resets", "draw", "draws", "current", "currents", "amps"
AT_ONCE = "together", "at_once"  # asked of the battery, and of the current


class WholeRobot(Sizing):
    """A robot of the kit as planned, or with another gearbox, another way to raise, another number of pieces or
    tries.
    """

    NAME = "robot"
    ALSO = ("brownout", "brownouts", "reset", "resets", "battery", "match", "fuse", "whole_robot", "robots")
    # 2: electronics, servos and the rest draw too; the fuse over a whole cycle. 3: what it can do; people. 4: any game
    VERSION = 4
    TITLE = "A whole robot"
    QUESTION = "Does it fit, stand, start and score, and what does one other part do to all of that?"
    FIELDS = (
        Field(
            "points_wanted",
            "Points wanted",
            "points",
            0.0,
            300.0,
            70.0,
            "in a match, on average; as usual what a plain robot makes in this game: one piece after another into the"
            " handy goal, as quickly as people and ways let it",
            JOB,
            follows=figures.at_most(figures.of_plain_match),
            also=("score",),
        ),
        Pick("which", "Robot", "robots", None, "which robot of the kit", also=("robot", "plan")),
        Pick("drive_gearbox", "Drive gearbox", "planned_gearboxes", PLANNED, "on each drive motor", also=("ratio",)),
        Pick("raise_gearbox", "Raising gearbox", "planned_gearboxes", PLANNED, "on the motor that raises the pieces"),
        Pick(
            "raising",
            "Raise",
            "planned_raising",
            PLANNED,
            "while driving saves time, but a raised robot is high and must brake gently",
            more=True,
        ),
        Pick(
            "carries", "Pieces carried", "planned_counts", PLANNED, "at once; no more than it is built for", more=True
        ),
        Pick("tries", "Tries at the closing task", "planned_counts", PLANNED, "as far as the time allows", more=True),
        Field(
            "leave_sooner",
            "Leave for the closing task sooner by",
            "s",
            -20.0,
            40.0,
            0.0,
            "than planned; below 0 is later",
            CHOICE,
            more=True,
        ),
    )
    FINDINGS = (
        Finding(
            "points",
            "points a match",
            "points",
            "on average: start, pieces, pairs and end",
            "at least",
            "points_wanted",
            effect=True,
            also=("score",),
        ),
        Finding(
            "takes",
            "pieces taken in",
            "%",
            "of those that it drives at, by what intake and jaws can do; what is not met takes none",
            "at least",
            90.0,
        ),
        Finding("holds", "pieces held", "%", "of those taken in, by the squeeze of its jaws", "at least", 90.0),
        Finding(
            "reaches",
            "room over the highest goal it serves",
            "mm",
            f"of a raised piece's underside over the goal's rim and {1000 * CLEAR:.0f} mm; below 0 it gets nothing"
            " into that goal",
            "at least",
            0.0,
            scale=50.0,
        ),
        Finding("drives", "can drive and turn", "%", "100: yes; 0: it stays where it is", "at least", 100.0, held=True),
        Finding(
            "closes",
            "can do the closing task",
            "%",
            "100: of hanging: the hook gets over the bar, the winch lifts it, holds with the power off, and every"
            " wheel is clear; of a ramp: it gets up there",
            "at least",
            "which.closing_asked",
            held=True,
        ),
        Finding(
            "mass", "mass", "kg", "with the pieces that it carries", "at most", "limits.mass", also=("weight", "heavy")
        ),
        Finding(
            "start_box",
            "room in the start box",
            "mm",
            "at the side with the least; below 0 it does not fit",
            "at least",
            0.0,
            scale=50.0,
            also=("fit", "fits", "size", "box"),
        ),
        Finding(
            "reach",
            "room to the limits, raised",
            "mm",
            "of height and level length, the lesser",
            "at least",
            0.0,
            scale=100.0,
        ),
        Finding("motors", "motors", "", "in all mechanisms", "at most", "limits.motors", counted=True),
        Finding("servos", "servos", "", "in all mechanisms", "at most", "limits.servos", counted=True),
        Finding("motors_and_servos", "motors and servos", "", "together", "at most", "limits.drives", counted=True),
        Finding(
            "volts",
            "lowest battery voltage",
            "V",
            "with all steps on that run at once in a cycle or in the closing task, electronics, servos and "
            "the rest too; all but runs at their highest current from begin to end",
            "at least",
            "controller.reset_level",
            lasts="controller.reset_after",
            also=("voltage", "battery", "match", "brownout", "brownouts", "reset", "resets", "sag", *AT_ONCE),
        ),
        Finding(
            "fuse",
            "share of the fuse used up",
            "%",
            "in one cycle or one try at the closing task, each part by its own current; at 100 % it melts",
            "at most",
            100.0,
            also=("blow", "blows", "breaker"),
        ),
        Finding(
            "stands",
            "braking that balance allows, raised",
            "m/s2",
            "ahead or back, the lesser; below 0 it falls over standing still",
            "at least",
            0.5,
            also=("tip", "tips", "tipping", "topple"),
        ),
        Finding(
            "spare",
            "least torque to spare",
            "N·m",
            "of all mechanisms that move a load; below 0 one of them stalls",
            "at least",
            0.0,
            scale=0.5,
        ),
        Finding(
            "strength",
            "share of the strength that is used",
            "%",
            "of the mechanism that comes nearest to its own; above 100 % it breaks sooner or later",
            "at most",
            100.0,
            also=("break", "breaks"),
        ),
        Finding(
            "time",
            "time of a cycle",
            "s",
            "mean, with people's steps and traffic, without jams",
            worse="more",
            also=("cycle", "cycle_time"),
        ),
        Finding(
            "cycles",
            "cycles a match",
            "",
            "finished before it leaves for the closing task",
            worse="less",
            also=("n", "trips"),
        ),
        Finding("pieces", "pieces a match", "", "scored and counted", worse="less"),
        Finding("end_points", "points at the end", "points", "of closing tasks, on average", worse="less"),
        Finding(
            "height", "height, folded", "mm", "compare it with what it must pass under", worse="more", also=("tall",)
        ),
        Finding(
            "passes",
            "passes what is on its way",
            "%",
            "100: all obstacles that its plan names; 0: it goes the long way round one, or never gets there",
            worse="less",
        ),
        Finding("braking", "braking that balance allows, folded", "m/s2", "ahead or back, the lesser", worse="less"),
        Finding(
            "centre",
            "height of the centre of gravity, raised",
            "mm",
            "over the floor",
            worse="more",
            also=words.CENTRE,
        ),
        Finding(
            "peak",
            "highest current",
            "A",
            "of all that runs at once in a cycle or in the closing task, the rest too",
            worse="more",
            also=("current", "amps"),
        ),
        Finding(
            "drive_draws",
            "driving draws",
            "A",
            "at most, in a run of the cycle",
            worse="more",
            also=(*DRAWS, "drive", "driving"),
        ),
        Finding(
            "raise_draws",
            "arm or lift draws",
            "A",
            "at most; 0 without one, or where a servo raises",
            worse="more",
            also=(*DRAWS, "raise", "raising", "lift", "lifting"),
        ),
        Finding(
            "hang_draws",
            "winch draws",
            "A",
            "at most; 0 without one",
            worse="more",
            also=DRAWS,
        ),
        Finding(
            "others_draw",
            "all other motors draw",
            "A",
            "at most, one by one, added up",
            worse="more",
            also=DRAWS,
        ),
        Finding(
            "rest_draws",
            "electronics, servos and the rest draw",
            "A",
            "servos moving, through their rail's converter",
            worse="more",
            also=DRAWS,
        ),
        Finding(
            "all_on",
            "current with everything on",
            "A",
            "the highest of each mechanism, all at once",
            worse="more",
            also=("brownout", "brownouts", "reset", "resets", "current", "currents", "amps", *AT_ONCE),
        ),
    )
    RECORDS = ("battery", "controller", "fuse", "roles.limits")
    OPENS_WITH = ()
    WHOLE_KIT = True
    TABLES = {
        "robots": robots,
        "planned_gearboxes": planned_gearboxes,
        "planned_raising": planned_raising,
        "planned_counts": planned_counts,
    }
    SPREADS = {
        "which.mass": "mass",
        "which.friction": "friction",
        "which.efficiency": "efficiency",
        "battery.open_circuit": "battery_voltage",
        "battery.resistance": "battery_resistance",
        "fuse.patience": "fuse",
        "which.people": "people",
    }
    RANK = ("-points",)
    USES = (balance.stance, envelope.extent, motion.move, cycle.schedule, match.simulate)

    @classmethod
    def kit_for(cls, kit):
        """A kit without robots is told with those of the course's own, and its game."""
        return with_robots(kit)

    @classmethod
    def instead(cls, kit, values):
        """Whose robot it is, and in which game, where the kit has none."""
        return robot_instead(kit, values.get("which", ""))

    @classmethod
    def weakest_of(cls, margins):
        """What can't be any better, as all pieces taken in, is not called near to its limit."""
        left = {name: margin for name, margin in margins.items() if not (name in SHARES and _is_all(cls, name, margin))}
        return super().weakest_of(left or margins)

    @staticmethod
    def solve(x):
        """Rows with the same robot and the same choices are one robot on several days."""
        days = np.stack(np.broadcast_arrays(*fractions_of(x)), axis=-1)
        chosen = np.stack(np.broadcast_arrays(*(one(x) for one in CHOSEN.values()), days[:, 0])[:-1], axis=-1)
        days = np.broadcast_to(days, (len(chosen), days.shape[1]))
        different, group = np.unique(chosen, axis=0, return_inverse=True)
        found = {finding.name: np.zeros(len(chosen)) for finding in WholeRobot.FINDINGS}
        for number, one in enumerate(different):
            here = np.ravel(group) == number
            for key, value in _found(tuple(one.tolist()), days[here].tobytes()).items():
                found[key][here] = value
        return found

    @classmethod
    def machine(cls, values, tables):
        """The robot of the kit, with what was chosen other than planned."""
        x = columns(cls, values, tables)
        return changed_robot(**{name: float(np.ravel(one(x))[0]) for name, one in CHOSEN.items()})

    @classmethod
    def called(cls, values, tables):
        """What "as planned" means of this robot, for lists."""
        planned = {pick.name: PLANNED for pick in cls.FIELDS if isinstance(pick, Pick) and pick.name != "which"}
        robot = cls.machine({**values, **planned, "leave_sooner": 0.0}, tables)
        return {
            name: {PLANNED: f"as planned: {said}" if said else "as planned"} for name, said in _plan_said(robot).items()
        }

    @classmethod
    def because(cls, report, name, bad):
        """The cause, with the mechanism's name."""
        kit = next((one for one in _kits if one.digest == report.kit_digest), None)
        if kit is None:
            return ""
        robot = cls.machine(report.values, Tables(cls, kit))
        told = reason(Work(robot, Days.spread(DAYS) if bad else Days.good()), name)
        if told and name in BESIDE:
            finding, values = cls.finding(name), report.bad if bad else report.good
            value = report_text.number(finding, values[name], bound=report.bounds[name])
            return f"{finding.label}: {value} ({report_text.asked(report, finding)}); {told}"
        return told


def _is_all(sizing, name, margin):
    """Whether a share is 100 %, from its margin."""
    bound = sizing.finding(name).bound / 100
    return margin >= (1 - bound) / bound - 1e-9


@lru_cache(maxsize=REMEMBERED)
def _found(choice, days):
    """All findings of one choice on some days. Kept: who moves a slider or asks for other points meets the same
    robot again.
    """
    robot = changed_robot(**dict(zip(CHOSEN, choice)))
    assumed = _assumed(_kits[int(dict(zip(CHOSEN, choice))["kit"])])[1]
    return judged(robot, Days(np.frombuffer(days).reshape(-1, len(SPREADS) + len(assumed)), assumed))


def fractions_of(x):
    """Where each day lies in each spread, from 0 to 1, read back from the columns that the days have changed."""
    kit = _kits[int(np.ravel(x.which.kit)[0])]
    shifts = {
        "mass": x.which.mass - 1,
        "friction": x.which.friction - 1,
        "efficiency": x.which.efficiency - 1,
        "battery_voltage": x.battery.open_circuit - kit.battery.open_circuit,
        "battery_resistance": x.battery.resistance - kit.battery.resistance,
        "fuse": x.fuse.patience - kit.fuse.patience,
        "people": x.which.people - 1,
    }
    for name in SPREADS:
        spread = kit.spread(name)
        width = spread.high - spread.low
        if width > 0:
            yield (shifts[name] - spread.low) / width
        else:  # both ends are one: it is there, or the day is a good one
            yield np.where(shifts[name] == 0, np.nan, 0.0)
    bands, assumed = _assumed(kit)
    own = [bands.get(plan.name, {}) for plan in kit.robots]
    for name in assumed:
        low, high = (np.array([one.get(name, (1.0, 1.0))[end] for one in own]) for end in (0, 1))
        yield _place(getattr(x.which, name), *(ends[np.asarray(x.which.number, dtype=int)] for ends in (low, high)))


def _place(share, low, high):
    """Where a share lies in its band, from 0 (its low end) over 0.5 (as assumed) to 1."""
    below = np.where(low < 1, np.log(share) / np.where(low < 1, np.log(low), 1.0), 0.0)
    above = np.where(high > 1, np.log(share) / np.where(high > 1, np.log(high), 1.0), 0.0)
    return 0.5 + 0.5 * np.where(share < 1, -below, above)


@lru_cache(maxsize=64)
def _as_planned(robot, kit):
    """A robot by its number in the file, of one of _kits. Kept: every choice begins with it."""
    plans = _kits[kit].robots
    return build(plans[robot].name if plans else "", _kits[kit])


def changed_robot(robot, kit, drive, raising_box, raising, carries, tries, sooner):
    """The robot of one row: as planned, but for what was chosen."""
    built, kit = _as_planned(int(robot), int(kit)), _kits[int(kit)]
    boxes, changes = pairing.loose(kit.table("gearboxes")), {}
    driving, raiser = built.of_role(DRIVES), built.raiser
    if drive >= 0 and driving:
        changes[f"{driving[0].name}.gearbox"] = boxes[int(drive)]
    if raising_box >= 0 and raiser is not None and "gearbox" in raiser.values:
        changes[f"{raiser.name}.gearbox"] = boxes[int(raising_box)]
    if carries >= 0:
        changes["carries"] = int(min(max(carries, 1), built.value("carries")))  # it holds no more than it is built for
    if tries >= 0:
        changes["tries"] = int(tries)
    if sooner != 0:
        changes["leave"] = float(np.clip(built.value("leave") + sooner, 0.0, kit.roles.match.driven))
    if raising >= 0:
        changes |= raise_when(built, (AFTER, DURING)[int(raising)])
    return built.with_changes(changes) if changes else built


def _plan_said(robot):
    """What a robot has of all that may be chosen otherwise, in words; empty where it has nothing of the kind."""
    driving, raiser = robot.of_role(DRIVES), robot.raiser
    return {
        "drive_gearbox": ratio_said(driving[0]) if driving else "",
        "raise_gearbox": ratio_said(raiser) if raiser is not None else "",
        "raising": RAISING.get(raises(robot), ""),
        "carries": str(robot.value("carries")),
        "tries": str(robot.value("tries")),
    }


def ratio_said(mechanism):
    """'16.1 : 1', of the gearbox on its motor, as lists call it; empty where it has none."""
    if "gearbox" not in mechanism.values:
        return ""
    boxes, box = mechanism.tables("gearboxes"), mechanism.values["gearbox"]
    called = re.search(r"[\d.]+ ?: ?1\b", boxes.labels[box])
    return called[0] if called else f"{quantity.show(boxes.row(box)['ratio'], '')} : 1"


def raise_when(robot, when):
    """Changes of the steps so that the robot raises after driving or while driving to the goal."""
    steps, raiser = robot.plan.steps, robot.raiser
    raising = _raising(steps, raiser)
    way = None if raising is None else _way_with_pieces(steps, raising)
    if way is None:
        return {}
    if when == DURING:
        # What waited for the raised arm must still wait for all that came before it.
        before = steps[raising]["after"]
        waits = {
            f"{name}.after": tuple(dict.fromkeys((*step["after"], *before)))
            for name, step in steps.items()
            if raising in step["after"]
        }
        return {**waits, f"{raising}.after": steps[way]["after"], f"{way}.pose": RAISED}
    return {
        f"{raising}.after": (way,) if steps[raising]["after"] == steps[way]["after"] else steps[raising]["after"],
        f"{way}.pose": FOLDED,
    }


def raises(robot):
    """When the robot raises, AFTER driving to the goal or DURING; empty where it does not drive there or not raise."""
    steps, raiser = robot.plan.steps, robot.raiser
    raising = _raising(steps, raiser)
    way = None if raising is None else _way_with_pieces(steps, raising)
    if way is None:
        return ""
    return DURING if steps[raising]["after"] == steps[way]["after"] else AFTER


def _raising(steps, raiser):
    """The step in which it raises; None where there is none."""
    return next((name for name, step in steps.items() if raiser is not None and step["mechanism"] == raiser.name), None)


def _way_with_pieces(steps, raising):
    """The step that drives to the goal: of those that do not wait for the raising, and that begin with pieces where
    some do, the first that passes an obstacle, else the longest; None where there is none.
    """
    drives = [name for name, step in steps.items() if step["drive"] is not None and not _waits(steps, name, raising)]
    taking = [name for name, step in steps.items() if step["each"] == "piece" or step["mechanism"]]
    drives = [name for name in drives if any(_waits(steps, name, one) for one in taking)] or drives
    passing = [name for name in drives if steps[name]["passes"]]
    return (passing or sorted(drives, key=lambda name: -steps[name]["drive"]) or [None])[0]


def _waits(steps, name, other):
    """Whether a step waits for another one, at once or by way of others."""
    return any(one == other or _waits(steps, one, other) for one in steps[name]["after"])


def judged(robot, days):
    """All findings of a robot on some days, by name."""
    return all_of(Work(robot, days))


def all_of(work):
    """All findings of a robot at work, by name."""
    robot, days = work.robot, work.days
    done, outcome = play(work, MATCHES)
    drawn, at_end, can = power(work, done.steps, done.times), _at_the_end(work), able(work)
    each = lambda column: np.asarray(column, dtype=float).reshape(days.rows, MATCHES).mean(axis=-1)
    return {
        "points": each(outcome.points),
        "cycles": each(outcome.cycles),
        "pieces": each(outcome.pieces),
        "end_points": each(outcome.end_points),
        "time": np.where(done.time >= NEVER / 2, np.inf, done.time),
        **standing(work),
        "takes": can.takes,
        "holds": can.holds,
        "reaches": np.min(can.room, axis=-1, initial=np.inf),
        "drives": can.drives,
        "closes": can.closes,
        "spare": _of_all(work, "spare", np.min, np.inf),
        "strength": _of_all(work, "strength", np.max, 0.0),
        "volts": np.min([drawn.lasting, *(one.lasting for one in at_end)], axis=0),
        "fuse": np.max([drawn.fuse_share, *(one.fuse_share for one in at_end)], axis=0),
        "peak": np.max([drawn.peak, *(one.peak for one in at_end)], axis=0),
        "rest_draws": drawn.rest,
        "all_on": drawn.all_on,
        **_who_draws(robot, drawn),
    }


def _at_the_end(work):
    """Who draws what in one try at the closing task: one Power, or none where nothing is done there."""
    if not work.robot.plan.closing:
        return []
    one_try = cycle_of(work, "closing", pieces=1)
    return [power(work, one_try.steps, one_try.times, "closing")]


def _who_draws(robot, drawn):
    """The highest current of each group of mechanisms; together they are everything on."""
    raiser, groups = robot.raiser, {DRIVES: "drive_draws", HANGS: "hang_draws"}
    found = dict.fromkeys(("drive_draws", "raise_draws", "hang_draws", "others_draw"), 0.0)
    for name, amps in drawn.draws.items():
        mechanism = robot.mechanisms[name]
        group = "raise_draws" if mechanism is raiser else groups.get(mechanism.sizing.ROLE, "others_draw")
        found[group] = found[group] + amps
    return found


def standing(work):
    """What does not move: mass, room, balance and counts, the same on every day but for the mass."""
    robot, limits = work.robot, work.robot.kit.roles.limits
    folded, made, bad = work.bodies[FOLDED], counts(work.robot), work.bad_guess
    working, steps = list(work.working.values()), robot.plan.steps.values()
    mass = folded.stance.centre.mass * (1 + work.days.shift(robot.kit, "mass"))
    return {
        "mass": mass + bad * folded.unsure.mass_sd if folded.guessed and robot.plan.weighed is None else mass,
        "start_box": start_room(folded.sure_size(bad), limits),
        "reach": np.min([body.room_left(limits, bad) for body in working], axis=0),
        "motors": made.motors,
        "servos": made.servos,
        "motors_and_servos": made.motors + made.servos,
        "stands": np.min([body.sure_braking(bad) for body in working], axis=0),
        "braking": folded.sure_braking(bad),
        "height": folded.sure_size(bad)[2],
        "passes": float(all(work.passes(step["passes"], step["pose"]) for step in steps if step["passes"])),
        "centre": max(body.stance.centre.z for body in working),
    }


def start_room(size, limits):
    """Room in the start box at the side with the least, for a robot of that size; it may stand either way round."""
    length, width, high = size
    ways = [
        np.minimum(np.minimum(along - length, across - width), limits.start_height - high)
        for along, across in (
            (limits.start_length, limits.start_width),
            (limits.start_width, limits.start_length),
        )
    ]
    return np.maximum(*ways)


def _of_all(work, name, worst, none):
    """The worst of a finding that several mechanisms have, on each day; `none` where no mechanism has it."""
    found = [work.findings(one.name)[name] for one in work.robot.having(name)]
    return worst(found, axis=0) if found else np.full(work.days.rows, none)
