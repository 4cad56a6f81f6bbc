"""Words for a value at the edge of what works: what it is, what fails just beyond it, and what stands around it.

Contents: value_text, none, tried, limited, assumed, limits_labels, clauses, around, rows_around, at_data, limits_data.
"""

from mechbench import quantity
from mechbench.desk.answer import MISSES, verdict_data
from mechbench.desk.record import number
from mechbench.engine import assumed_text, report_text
from mechbench.engine.furthest import BAD, GOOD, MOST, TOGETHER, failing
from mechbench.engine.spec import Pick

CANT = "can't be built"


def value_text(one, value, system="metric"):
    """A value of an input for people: '0.613 kg'; a count as it is."""
    return value if isinstance(value, str) else quantity.show(value, one.unit, system=system)


def none(one):
    """In place of a value, where nothing works: of counts all are judged, of numbers only some."""
    return "none" if isinstance(one, Pick) else "none found"


def tried(one, count, low, high):
    """What was looked at where nothing works, up to the verb: 'None of the 290 values tried from 0 m to 2 m'."""
    some = "" if isinstance(one, Pick) else f"the {count} values tried from "
    return f"None of {some}{low} to {high}"


def limited(edge, system="metric"):
    """What ends the range that works, and its value just beyond, in sentences."""
    at = edge.beyond
    if at is None:
        return [_end(edge, system)]
    shown = value_text(edge.input, at.value, system)
    if at.report is None:
        return [f"Limited by: what can be built. With {shown}: {at.problem}"]
    names, when = failing(at.report)
    said = clauses(at.report, system)
    if not names:
        return ["Limited by: numbers that no label gives.", f"With {shown}: {said[0]}", *assumed(edge, system)]
    day = {BAD: ", on a bad day"}.get(when, "")
    return [f"Limited by: {' and '.join(limits_labels(edge))}.", f"With {shown}{day}: {'; '.join(said)}."]


def assumed(edge, system="metric"):
    """How far it works if what no label gives is as it was assumed; none where that is the same."""
    if edge.as_assumed is None:
        return []
    shown = value_text(edge.input, edge.as_assumed.value, system)
    return [f"If all is as assumed, it works {'up' if edge.way == MOST else 'down'} to {shown}."]


def limits_labels(edge):
    """Labels of the findings that fail just beyond."""
    return [edge.sizing.finding(name).label for name in failing(edge.beyond.report)[0]]


def _end(edge, system):
    """Where nothing fails up to the end of what can be typed or chosen."""
    name, end = edge.input.name, value_text(edge.input, edge.found.value, system)
    if edge.physics:
        where = f"{name} can't be {'more' if edge.way == MOST else 'less'} than {end} by its nature"
    else:
        where = f"Only the {'choice' if isinstance(edge.input, Pick) else 'range'} of {name} ends at {end}"
    return f"{where}: nothing that is asked fails up to there."


def clauses(report, system="metric"):
    """What is missed, each as a clause: 'time for the swing is 0.81 s (at most 0.8 s)'; one sentence where it is not
    known.
    """
    names, when = failing(report)
    if when == TOGETHER:
        return [f"not all is met at once on 95 of 100 days; {report_text.nearest(report, system)}"]
    return [report_text.missed(report, name, when == BAD, system) for name in names] or [assumed_text.rests(report)]


def around(edge):
    """What stands around the edge, as it is to be shown: a value with more to spare, the edge, the next beyond."""
    return [at for at in (edge.inside, edge.found, edge.beyond) if at is not None]


def rows_around(edge, system="metric"):
    """A table of texts: for each finding of which something is asked its values on a bad day, and what is asked."""
    shown = around(edge)
    head = ["on a bad day", *(value_text(edge.input, at.value, system) for at in shown), "asked"]
    days = ["works on days in 100", *(str(at.report.days_in_100) if at.report else CANT for at in shown), "95"]
    body = [[f.label, *(_cell(at, f, system) for at in shown), _asked(edge, f, system)] for f in edge.sizing.judged()]
    return [head, *body, days]


def _asked(edge, finding, system):
    """What is asked of a finding; where that is the input itself, its name in place of a number."""
    if finding.bound == edge.input.name:
        return f"{finding.sense} {edge.input.name}"
    return report_text.asked(edge.found.report, finding, system)


def _cell(at, finding, system):
    if at.report is None:
        return ""
    missed = at.report.bad_margin[finding.name] < 0
    return f"{report_text.on_a_bad_day(at.report, finding, system)} {MISSES if missed else ' '}"


def at_data(at):
    """One value as plain data, SI."""
    if at is None or at.report is None:
        return None if at is None else {"value": at.value, "problem": at.problem}
    report = at.report
    return {
        "value": at.value,
        **verdict_data(report),
        "bad": {name: number(value) for name, value in report.bad.items()},
    }


def limits_data(edge):
    """What fails just beyond, as plain data: finding, value and bound in SI; empty where only the range ends."""
    at = edge.beyond
    if at is None or at.report is None:
        return []
    names, when = failing(at.report)
    found = at.report.good if when == GOOD else at.report.bad
    return [{"finding": n, "value": number(found[n]), "bound": number(at.report.bounds[n])} for n in names]
