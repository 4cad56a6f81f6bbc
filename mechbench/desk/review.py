"""The design review of a whole robot, on paper: what holds it back first, what it must do, what was chosen and found.

Contents: review (on a notebook's page, or a file), command (`review ROBOT ...`), Review, found, Standing, stand,
holds_back, of_parts (a review of other parts: looks, measure).

    what holds it back -> requirement -> choice -> numbers on a good and a bad day -> pictures -> what to measure first
"""

import datetime
import math
import os
import sys
from dataclasses import dataclass
from itertools import groupby
from pathlib import Path

from mechbench import quantity
from mechbench.catalog import judge
from mechbench.command_line import Parser, number
from mechbench.desk import pictures
from mechbench.desk.printed_page import BLANK, CAUTION, OWN, made, marked, page, rows_of
from mechbench.desk.record import Design, Written, edition
from mechbench.desk.rich_text import Note
from mechbench.desk.safe_write import write_new
from mechbench.engine import assumed_text, report_text
from mechbench.engine.inputs import Tables
from mechbench.engine.spec import Pick
from mechbench.kits import kit as kit_in_force
from mechbench.kits.load import robot_instead
from mechbench.whole_robot import part_first_words as words
from mechbench.whole_robot.body import body_of, counts
from mechbench.whole_robot.build import build, kit_with, robots
from mechbench.whole_robot.compare import BY_HAND, counts_most, versus
from mechbench.whole_robot.own_reports import own_report
from mechbench.whole_robot.part_first import remembered
from mechbench.whole_robot.reasons import rests_on
from mechbench.whole_robot.score import cycle_of
from mechbench.whole_robot.work import Days, Work, power
from mechbench.wording import quoted

FIRST_TO_MEASURE = 3
LEAST_MOVED = 0.1  # points; what moves the score by less is not told
TITLE = "design review"


@dataclass(frozen=True)
class Part:
    """One part of a review: a heading, sentences, and a table (heads, rows) or a picture (PNG, words that say the
    same).
    """

    heading: str
    says: tuple = ()
    heads: tuple = ()
    rows: tuple = ()
    picture: bytes = b""
    alt: str = ""
    half: bool = False  # two such parts stand side by side

    @property
    def tells(self) -> bool:
        """Whether it has something to say: sentences about a table tell nothing without its rows."""
        return bool(self.rows or self.picture or (self.says and not self.heads))


@dataclass(frozen=True)
class Review:
    """All that a review tells, ready to be put on paper."""

    robot: object
    report: object
    mechanisms: dict  # name -> Report
    parts: tuple
    changes: dict
    date: str
    version: str
    instead: str = ""  # whose robot it is, where the kit in force has none


@dataclass(frozen=True)
class Standing:
    """A robot, as planned or changed, with all that is found of it: its own report, those of its mechanisms by name.

    work : the robot on a good day; kit : the one in which it is planned so; changes : what is other than planned
    instead : see Review
    """

    robot: object
    report: object
    mechanisms: dict
    work: object
    kit: object
    changes: dict
    instead: str = ""


def stand(name, kit=None, points_wanted=None, changes=None):
    """Judge a robot and each of its mechanisms. changes: other inputs than planned, {"lift.gearbox":
    "planetary_16"}.
    """
    given = kit or kit_in_force()
    changed = build(name, given, changes)
    kit = kit_with(changed)
    robot = build(name, kit)
    values = {"which": robot.name} | ({} if points_wanted is None else {"points_wanted": points_wanted})
    report = judge("robot", values, kit)
    work = Work(robot, Days.good())
    mechanisms = {one: own_report(work, robot.mechanisms[one]) for one in robot.mechanisms}
    return Standing(robot, report, mechanisms, work, kit, changed.changes, robot_instead(given, robot.name))


def of_parts(standing, parts):
    """A review of a robot that tells these parts alone."""
    one, day = standing, datetime.date.today().isoformat()
    told = tuple(part for part in parts if part.tells)
    return Review(one.robot, one.report, one.mechanisms, told, one.changes, day, edition(), one.instead)


def found(name, kit=None, points_wanted=None, changes=None):
    """Find all that the review of a robot tells. changes: other inputs than planned, {"lift.gearbox":
    "planetary_16"}.
    """
    one = stand(name, kit, points_wanted, changes)
    robot, report, mechanisms, work = one.robot, one.report, one.mechanisms, one.work
    cycle = cycle_of(work)
    most = counts_most(robot)
    parts = (
        _asked(robot, report),
        _chosen(robot),
        _body(robot),
        _numbers(report),
        looks(report, one.kit),
        _each_mechanism(mechanisms),
        _draws(work, cycle),
        _cycle(robot, cycle),
        _against(robot),
        _strongest(most),
        _first(robot, report),
        measure(most, mechanisms),
    )
    return of_parts(one, parts)


# --- what holds it back ---------------------------------------------------------------------------------------------


def holds_back(robot, report, mechanisms):
    """One sentence: what holds a robot back first, by its own report and those of its mechanisms (name -> Report)."""
    whole = f"{robot.label} back"
    if report.joint_margin < 0:
        return f"What holds {whole} first: {report_text.nearest(report)}."
    weakest = _least_to_spare(report, mechanisms)
    nothing = "Nothing" if report.known and all(one.known for one in mechanisms.values()) else "As assumed, nothing"
    if weakest is None:
        return f"{nothing} holds {whole}; nearest to its limit: {report_text.nearest(report)}."
    its, nearest = robot.mechanisms[weakest].label, report_text.nearest(mechanisms[weakest])
    if mechanisms[weakest].joint_margin < 0:
        return f"What holds {whole} first is the {its}: {nearest}."
    return f"{nothing} holds {whole}; nearest to its limit is the {its}: {nearest}."


def _least_to_spare(report, mechanisms):
    """The name of the mechanism with the least margin of all that is asked; None where it is the robot itself."""
    margins = {name: one.joint_margin for name, one in mechanisms.items() if one.bad_margin}
    name = min(margins, key=margins.get, default=None)
    if name is None or margins[name] >= max(0.0, report.joint_margin):
        return None
    return name


def _opening(one):
    """What is said before all parts: what holds it back, and the verdict where that names something else."""
    told, verdict = holds_back(one.robot, one.report, one.mechanisms), report_text.verdict(one.report)
    return told, report_text.opening(one.report) if report_text.nearest(one.report) in told else verdict


# --- the parts ------------------------------------------------------------------------------------------------------


def _asked(robot, report):
    game, most = robot.kit.game, robot.kit.roles.limits
    box = (most.start_length, most.start_width, most.start_height)
    asked = [
        ("points a match, on average", f"at least {quantity.show(report.values['points_wanted'], 'points')}"),
        ("start box", _limits((side, "mm", "") for side in box)),
        ("raised", _limits(((most.height, "mm", " high"), (most.level, "mm", " level")), ", ")),
        ("mass", _limits([(most.mass, "kg", "")], before="at most ")),
        ("motors, servos, both", ", ".join(_limit(one) for one in (most.motors, most.servos, most.drives))),
        *((one.label, _obstacle(one)) for one in game.obstacles.values()),
    ]
    return Part("What is asked", (f"Game: {game.label}.",), ("What", "Limit"), tuple(asked))


def _limits(given, between=" by ", before=""):
    """The limits that the game sets, of (value, unit, what follows) each, joined; "no limit" where it sets none."""
    told = [f"{before}{_limit(value, unit)}{after}" for value, unit, after in given if math.isfinite(value)]
    return between.join(told) or report_text.NO_LIMIT


def _limit(value, unit=""):
    """A limit of the game as text; a number of things has no unit."""
    if not math.isfinite(value):
        return report_text.NO_LIMIT
    return quantity.show(value, unit) if unit else f"{value:g}"


def _counted(number, thing):
    return f"{number} {thing}{'s' * (number != 1)}"


def _obstacle(one):
    """What an obstacle asks of a robot: how low, how steep, how high."""
    if one.kind == "low":
        return quantity.show(one.clear_height, "mm")
    return quantity.show(one.slope, "deg") if one.kind == "ramp" else f"{quantity.show(one.height, 'mm')} high"


def _chosen(robot):
    rows = tuple((one.label, one.sizing.TITLE, _picked(one)) for one in robot.mechanisms.values())
    idea, heads = robot.plan.idea[:1].upper() + robot.plan.idea[1:], ("Mechanism", "Kind", "Parts")
    return Part("What was chosen", (idea,), heads if rows else (), rows)


def _picked(mechanism):
    """The parts of a mechanism that its bench shows first, by the names that people read."""
    picks = [f for f in mechanism.sizing.FIELDS if isinstance(f, Pick) and (not f.more or f.name == "count")]
    return ", ".join(filter(None, (_label(mechanism, pick) for pick in picks)))


def _label(mechanism, pick):
    label = mechanism.tables(pick.table).labels[mechanism.values[pick.name]]
    if pick.table != "counts":
        return label
    return "" if pick.name == "count" and label == "1" else f"{pick.label.lower()}: {label}"


def _body(robot):
    rows, weighed = [], robot.plan.weighed is not None
    for pose in robot.poses:
        body = body_of(robot, pose)
        centre = body.stance.centre
        rows.append(
            (
                pose.replace("_", " "),
                f"{centre.mass:.1f} kg" if weighed else f"{centre.mass:.1f} ± {centre.mass_sd:.1f} kg",
                f"{1000 * centre.x:.0f} ± {1000 * centre.x_sd:.0f} mm",
                f"{1000 * centre.z:.0f} ± {1000 * centre.z_sd:.0f} mm",
                " x ".join(f"{1000 * side:.0f}" for side in body.size) + " mm",
                quantity.show(body.braking, "m/s2"),
            )
        )
    made = counts(robot)
    driven_by = f"{_counted(made.motors, 'motor')} and {_counted(made.servos, 'servo')}"
    says = (f"{driven_by}. ± is one standard deviation of the parts list.", *rests_on(robot))
    return Part(
        "Mass, size, balance",
        says,
        ("Pose", "Mass", "Centre ahead", "Centre up", "Long x wide x high", "Braking before it tips"),
        tuple(rows),
    )


def _numbers(report):
    findings = sorted(report.sizing.FINDINGS, key=lambda f: not f.sense)  # what is asked comes first
    rows = tuple(
        (
            f.label,
            *(text + ("" if met else " !") for text, met in report_text.both_days(report, f)),
            report_text.asked(report, f),
        )
        for f in findings
    )
    return Part(
        "Numbers on a good and on a bad day",
        ("A bad day: for each number by itself, the value that is not worse on 19 of 20 days; ! is not met.",),
        ("What", "Good day", "Bad day", "Asked"),
        rows,
    )


def looks(report, kit):
    """The picture of the robot, and of its cycle."""
    return Part(
        "What it looks like, and its cycle",
        picture=pictures.machine_alone(Design(report, Tables(report.sizing, kit))),
        alt=report_text.verdict(report),
    )


def _each_mechanism(mechanisms):
    rows = tuple(
        (name.replace("_", " "), report_text.verdict(report), f"{report.days_in_100} of 100")
        for name, report in mechanisms.items()
    )
    return Part("Each mechanism by itself", (), ("Mechanism", "Verdict", "Days it works"), rows)


def _draws(work, cycle):
    used = power(work, cycle.steps, cycle.times)
    rows = [(name.replace("_", " "), f"{float(amps.ravel()[0]):.1f} A") for name, amps in used.draws.items()]
    rows.append(("electronics, servos, the rest", f"{float(used.rest.ravel()[0]):.1f} A"))
    rows.sort(key=lambda row: -float(row[1].split()[0]))
    labels = [work.robot.step_label(step) for step in cycle.steps if step.name in used.together]
    at_once = f" ({' and '.join(labels)})" if labels else ""
    says = (
        f"Highest at once in a cycle: {used.peak[0]:.1f} A{at_once}, battery then {used.volts[0]:.1f} V.",
        f"All at once would be {used.all_on[0]:.1f} A. Servos run on a rail of their own, whose converter draws on the"
        " battery: it is counted with the rest.",
    )
    return Part("What draws how much current", says, ("Mechanism", "Highest current"), tuple(rows), half=True)


def _cycle(robot, cycle):
    rows = tuple((robot.step_label(step), f"{time:.2f} s") for step, time in zip(cycle.steps, cycle.times[0]))
    return Part(
        "The cycle, step by step",
        (f"Mean time of a cycle: {cycle.time[0]:.1f} s. What overlaps is not added.",),
        ("Step", "Mean time"),
        rows,
        half=True,
    )


def _against(robot):
    rows = []
    for other in robots(robot.kit):
        if other.name == robot.name:
            continue
        one = versus(robot, other)
        rows.append(
            (
                other.label,
                f"{one.points[0]:.1f} : {one.points[1]:.1f}",
                f"{one.difference:+.1f} ({one.low:+.1f} to {one.high:+.1f})",
                f"{100 * one.wins:.0f} % ({100 * one.draws:.0f} % equal)",
            )
        )
    says = (
        (
            "In the same matches, day by day. The interval (95 of 100) counts luck in the simulation alone; inputs that"
            " are not well known change more: see below."
        ),
    )
    return Part("Against the others", says, ("Other robot", "Points", "Difference", "It wins"), tuple(rows))


def _strongest(most):
    most, heading = _moving(most), "What moves the score most"
    if not most:
        return Part(heading)
    says = (f"Each input alone at its low and at its high end; chances {100 * BY_HAND:.0f} % lower and higher.",)
    alt = ", ".join(f"{one.name}: {moves(one)}" for one in most[:5])
    return Part(heading, says, picture=pictures.influences(most), alt=alt)


def _first(robot, report):
    found = remembered(robot, report.values["points_wanted"])
    says = (words.verdict(found), *words.more(found))
    return Part("Which part first", says, words.HEADS if found.found else (), words.rows(found))


def _moving(most):
    """Those inputs that move the score by what can be seen."""
    return [one for one in most if one.width >= LEAST_MOVED]


def moves(one):
    """What an input does to the score: '40 to 50 points', '44.7 to 45.0 points'."""
    digits = 0 if f"{one.low:.0f}" != f"{one.high:.0f}" else 1
    return f"{one.low:.{digits}f} to {one.high:.{digits}f} points"


def measure(most, mechanisms):
    """What moves the score most, what decides whether it works, and what no label gives."""
    rows = [(one.name, moves(one), BLANK) for one in _moving(most)[:FIRST_TO_MEASURE]]
    for name, report in mechanisms.items():
        if report.hurts and report.bad_margin and report.bad_margin[report.weakest()] < report_text.CLOSE:
            rows.append(
                (
                    f"{name.replace('_', ' ')}: {report_text.label_of(report.sizing, report.hurts[0][0])}",
                    "decides whether it works",
                    BLANK,
                )
            )
    for name, report in mechanisms.items():
        for what, way in assumed_text.to_measure(report):
            rows.append(
                (f"{name.replace('_', ' ')}: {what}", f"the verdict rests on it, and no label gives it. {way}", BLANK)
            )
    return Part("What to measure first", (), ("What", "Why: it moves the score from", "Measured, by, on"), tuple(rows))


# --- on paper -------------------------------------------------------------------------------------------------------


def html(found_review, one_page=False):
    """The review as an HTML page; one_page: in smaller letters, for one that has few parts."""
    one = found_review
    # Halves that follow each other share a row.
    rows = [
        {"side_by_side": half, "parts": list(parts)} for half, parts in groupby(one.parts, key=lambda part: part.half)
    ]
    title, (told, verdict) = f"{one.robot.label}: {TITLE}", _opening(one)
    return "".join(
        page(
            OWN,
            "review",
            one_page=one_page,
            title=title,
            instead=one.instead,
            first=told,
            made=_made(one),
            verdict=verdict,
            rows=rows,
            caution=CAUTION,
        )
    )


def _made(one):
    changed = (
        "; changed from the plan: " + ", ".join(f"{key} = {value}" for key, value in one.changes.items())
        if one.changes
        else ""
    )
    return f"{made(one.date, one.version, one.robot.kit)}{changed}."


def markdown(found_review, files):
    """The review as Markdown; files: heading -> name of the picture's file beside it."""
    one = found_review
    told, verdict = _opening(one)
    lines = [f"# {marked(one.robot.label)}: {TITLE}", "", *_instead(one), f"**{marked(told)}** {marked(verdict)}", ""]
    lines += [marked(_made(one)), ""]
    for part in one.parts:
        picture = [f"![{marked(part.alt)}](<{files[part.heading]}>)", ""] if part.picture else []
        lines += [f"## {part.heading}", "", *_lines_of(part, picture)]
    return "\n".join([*lines, f"**{marked(CAUTION)}**", ""])


def _instead(one):
    return [f"**{marked(one.instead)}**", ""] if one.instead else []


def _lines_of(part, picture):
    """Sentences, picture and table of a part as lines of Markdown."""
    says = [line for sentence in filter(None, part.says) for line in (marked(sentence), "")]
    return [*says, *picture, *([*rows_of(part.heads, part.rows), ""] if part.rows else [])]


def in_words(found_review):
    """The review for a notebook's own page: no date, no headings that its table of contents would list, words for
    pictures.
    """
    one = found_review
    told, verdict = _opening(one)
    lines = [*_instead(one), f"**{marked(one.robot.label)}: {TITLE}.** {marked(told)} {marked(verdict)}", ""]
    for part in one.parts:
        if part.says or part.rows:
            lines += [f"**{part.heading}**", "", *_lines_of(part, [marked(part.alt) + ".", ""] if part.picture else [])]
    return "\n".join(lines)


def review(robot, path=None, points_wanted=None, changes=None):
    """Show the design review of a robot of the kit; with a path, write it into a file: .html prints on paper, .md is
    Markdown.

    robot : its name in robots.toml; path : a new file, "review.html" or "review.md"; a file that is there is never
    touched
    points_wanted : points that it must make in a match, on average; changes : inputs other than planned
    """
    one = found(robot, None, points_wanted, changes)
    return Note(in_words(one)) if path is None else Filed(_write(one, Path(path)))


class Filed(Written):
    """Where a review was written; shown as a sentence."""

    def __repr__(self):
        return f"The review is in the file {self.path.name}: open it with a browser, read it, print it."


def _write(one, path):
    if path.suffix.lower() == ".html":
        return write_new(path, html(one))
    if path.suffix.lower() == ".md":
        files = {}
        for number, part in enumerate(one.parts):
            if part.picture:
                files[part.heading] = write_new(path.with_name(f"{path.stem}-{number}.png"), part.picture).name
        return write_new(path, markdown(one, files))
    raise ValueError(f"{quoted(path.name)} ends neither in .html nor in .md; give the review one of these two names.")


def command(arguments):
    """Do `review ROBOT`: write the design review into a new file; give the exit code."""
    parser = Parser(
        "review", description="Write the design review of a whole robot of the kit, as a page to print or as Markdown."
    )
    parser.add_argument("robot", metavar="ROBOT", help="its name in robots.toml")
    parser.add_argument(
        "--to", metavar="FILE", help="a new file that ends in .html or .md; left out: review_ROBOT.html here"
    )
    parser.add_argument(
        "--points", metavar="POINTS", type=number, help="points that it must make in a match, on average"
    )
    chosen = parser.parse_args(arguments)
    try:
        one = found(chosen.robot, None, chosen.points)
        path = _write(
            one,
            Path(os.path.expanduser(chosen.to or f"review_{chosen.robot}.html")).absolute(),
        )
    except ValueError as wrong:
        print(" ".join(str(wrong).split()), file=sys.stderr)
        return 2
    except OSError as error:
        print(f"No file could be written ({error.strerror}): name another file with --to.", file=sys.stderr)
        return 2
    print(*filter(None, (one.instead, f"Written: {path}.")), sep="\n")
    return 0
