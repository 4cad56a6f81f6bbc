"""One sizing on one page of letters: verdict, what mends it, what hurts most, findings on a good and a bad day, inputs.

Contents: text_of, sentences, code_of, instead_lines, inputs_lines, off_by, verdict_data, FITS, FAILS.
"""

import math

from mechbench.desk import asked_first, current_bars, text_table
from mechbench.desk.arguments import as_typed
from mechbench.desk.page_table import MISSES
from mechbench.engine import assumed_text, power_off, report_text
from mechbench.engine.mend import mended
from mechbench.engine.owned import given_by_figures
from mechbench.engine.spec import in_game

FITS, FAILS = 0, 1  # exit codes: works, on a bad day too; does not


def text_of(design, given=()):
    """The page for one sizing; `given` names the inputs that were typed, which are told first."""
    report, system = design.report, design.system
    lines = [*instead_lines(design.instead), design.sizing.TITLE, "", *_asked_for(design)]
    for sentence in sentences(design):
        lines += text_table.wrapped(sentence)
    lines += ["", *_findings(report, system), "", *_held(design), *inputs_lines(design, given), *_assumed(design)]
    return "\n".join(lines)


def sentences(design):
    """The verdict, and what is told with it: what mends it, what hurts most, what falls with the power off."""
    report, system = design.report, design.system
    mend = report_text.mended(mended(report, design.tables), system)
    verdicts = report_text.verdict(report, system), mend, report_text.hurts(report)
    return [*filter(None, (*verdicts, design.note, power_off.sentence(report, system)))]


def _asked_for(design):
    """How the question was read, then the figures that it asks for; nothing where it asks for none."""
    read = [line for sentence in design.said for line in text_table.wrapped(sentence)]
    figures = asked_first.lines_of(design.report, design.focus, design.system)
    currents = current_bars.asked_for(design.focus, design.report, design.tables)
    figures += ["", *current_bars.lines_of(currents)] if currents else []
    return [*read, *([""] if read else []), *figures, *([""] if figures else [])]


def _held(design):
    """Of a whole robot: which of its mechanisms stay with the power off, and which fall; nothing of anything else."""
    robot = design.sizing.machine(design.report.values, design.tables)
    if robot is None:
        return []
    from mechbench.whole_robot.own_reports import with_power_off  # only where a whole robot is asked

    held = with_power_off(robot, design.system)
    if not held:
        return []
    width, lines = max(len(one.name) for one in held), []
    for one in held:
        kind = {True: "stays", False: one.falls, None: "not known"}[one.stays]
        head = f"{one.name:<{width}}  {kind:<9}  "
        lines += text_table.wrapped(head + one.words, indent=4, more=len(head))
    return ["  With the power off", *lines, f"  {power_off.CAUTION}", ""]


def instead_lines(told):
    """The first lines of an answer: what stands in for that which the kit lacks; none where it lacks nothing."""
    return [*text_table.wrapped(told, indent=0), ""] if told else []


def _assumed(design):
    """What no label gives and changes something here."""
    told = assumed_text.assumed_lines(design.report, design.tables, design.system)
    return ["", *text_table.wrapped(f"Assumed: {'; '.join(told)}.")] if told else []


def code_of(report):
    """The exit code of a report."""
    return FITS if report.surely_works else FAILS


def _findings(report, system):
    """What is asked first, then what is for information."""
    asked = [_row(f, report, system) for f in report.sizing.FINDINGS if f.sense]
    told = [_row(f, report, system) for f in report.sizing.FINDINGS if not f.sense]
    rows = text_table.table([("", "good day", "", "bad day", "", "asked"), *asked, *told], right=(1, 3), gap=1)
    cut = 1 + len(asked)
    missed = any(MISSES in (row[2], row[4]) for row in asked)
    note = [f"  ({MISSES} = not met)"] if missed else []
    return [*rows[:cut], *note, *([""] if asked and told else []), *rows[cut:]]


def _row(finding, report, system):
    cells = [finding.label]
    for text, met in report_text.both_days(report, finding, system):
        cells += [text, " " if met else MISSES]
    asked = report_text.asked(report, finding, system)
    return (*cells, f"  {asked}" if asked else "")


def inputs_lines(design, given=()):
    """All inputs as they can be typed again, those that were typed first; of the rest those about what the game has."""
    told = {
        f.name: f"{f.name}={as_typed(f, design.report.values[f.name], design.system, design.tables)}"
        for f in design.sizing.FIELDS
    }
    own = given_by_figures(design.report.values, design.tables)
    told |= {name: f"{name}={one.typed}" for name, one in own.items()}
    mine = [told[name] for name in told if name in given]
    others = [f for f in design.sizing.FIELDS if f.name not in given]  # none of a record: its kit has no game
    rest = [told[f.name] for f in in_game(others, design.tables.kit)]
    lines = text_table.together("you gave", mine) if mine else []
    return lines + (text_table.together("as usual" if mine else "all as usual", rest) if rest else [])


def off_by(measured, predicted):
    """How far a measured number is from the predicted one: " (12 % more than predicted)"; empty where a share makes
    no sense.
    """
    if not (math.isfinite(measured) and math.isfinite(predicted)) or predicted == 0:
        return ""
    share = 100 * (measured / predicted - 1)
    return (
        f" ({abs(share):.0f} % {'more' if share > 0 else 'less'} than predicted)"
        if abs(share) >= 0.5
        else " (as predicted)"
    )


def verdict_data(report):
    """Whether a report works, on a bad day too, on how many days, and what that rests on, as plain data."""
    return {
        "works": report.works,
        "works_on_bad_day": report.works_on_bad_day,
        "rests_on": [one.path for one in report.rests_on],
        "days_in_100": report.days_in_100,
    }
