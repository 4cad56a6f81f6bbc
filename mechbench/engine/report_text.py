"""Words for a report: made here and nowhere else, at the very end, so that results hold no text.

Contents: number, told_apart, found, on_a_bad_day, both_days, asked, verdict, mended, opening, nearest, share, of_100,
bad_day_line, should_see, label_of, hurts, missed.
"""

import math
import re

from mechbench import quantity
from mechbench.engine import assumed_text
from mechbench.engine.spec import CHOICE, JOB

CLOSE = 0.05  # within 5 % of a bound: measure first
MOST_DIGITS = 7  # that tell a number from the bound it misses
NOTHING = 1e-9  # in the unit shown: what is less is what rounding left of 0
LEAST_SHARE = 1e-4  # what is less is not told by its size: nobody can tell 0.0057 % from nothing
NO_LIMIT = "no limit"
SPEEDS = ("speed", "turning-speed")
# Where a column's own name would say nothing to a learner.
COLUMNS = {
    "open_circuit": "voltage without load",
    "patience": "time it lasts",
    "along": "grip straight ahead",
    "people": "time that people take",
    "allowed": "strength of its gears",
    "allowed_small": "strength of its gears",
    "allowed_large": "strength of its gears",
}


def number(finding, value, system="metric", bound=None):
    """A finding's value as text with its unit; beside a bound that it misses, with so many digits that one sees it.

    15.02 A is "15 A" elsewhere, but "15.02 A" where at most 15 A are allowed.
    """
    if finding.lacks and value == math.inf:
        return finding.lacks
    unit = quantity.in_system(finding.unit, system)
    text = _shown(value, unit, finding.digits)
    if bound is None or finding.room(value, bound) >= 0:
        return "under 0.01 %" if unit == "%" and 0 < value < LEAST_SHARE else text
    asked = _shown(bound, unit, finding.digits)
    finer = (_shown(value, unit, digits) for digits in range(finding.digits, MOST_DIGITS + 1))
    return next((shown for shown in finer if shown != asked), text)


def _shown(value, unit, digits):
    """A value as text; 0 for what rounding left of it. A temperature is no crumb: 0 °C is not 0 K."""
    crumb = quantity.kind_of(unit) != "temperature" and abs(quantity.from_si(value, unit)) < NOTHING
    return quantity.show(0.0 if crumb else value, unit, digits=digits)


def told_apart(finding, one, other, system="metric"):
    """Two values of a finding as texts, with so many digits that one sees which is more."""
    unit = quantity.in_system(finding.unit, system)
    for digits in range(finding.digits, MOST_DIGITS + 1):
        texts = tuple(_shown(value, unit, digits) for value in (one, other))
        if texts[0] != texts[1]:
            break
    return texts


def found(report, finding, values, system="metric"):
    """What was found on a day, report.good or report.bad, as text."""
    return number(finding, values[finding.name], system, report.bounds.get(finding.name))


def on_a_bad_day(report, finding, system="metric"):
    """A finding's value on a bad day as text; "12 A to 14 A" where neither more nor less of it is worse."""
    if finding.name not in report.ends:
        return found(report, finding, report.bad, system)
    low, high = (number(finding, end, system) for end in report.ends[finding.name])
    return low if low == high else f"{low} to {high}"


def both_days(report, finding, system="metric"):
    """A good and a bad day: for each the finding as text, and whether what is asked of it is met."""
    good, bad = found(report, finding, report.good, system), on_a_bad_day(report, finding, system)
    margins = (report.good_margin, report.bad_margin)
    return [(text, margin.get(finding.name, 0.0) >= 0) for text, margin in zip((good, bad), margins)]


def asked(report, finding, system="metric"):
    """What is asked of a finding, 'at most 15 A', 'at least 11 V over 0.2 s' where only what lasts so long counts,
    or 'no limit' where a kit sets none; empty where nothing is asked.
    """
    if not finding.sense:
        return ""
    bound = report.bounds[finding.name]
    wait = report.lasting.get(finding.name)
    over = f" over {quantity.show(wait, 's')}" if wait else ""
    return NO_LIMIT if math.isinf(bound) else f"{finding.sense} {number(finding, bound, system)}{over}"


def _against(report, name, bad, system):
    """'time up is 1.4 s (at most 1.2 s)', or what the sizing says instead; of an effect both."""
    f = report.sizing.finding(name)
    value, margin, runaway = (
        (report.bad[name], report.bad_margin[name], report.bad_runaway)
        if bad
        else (report.good[name], report.good_margin[name], report.good_runaway)
    )
    because = report.sizing.because(report, name, bad) if margin < 0 else ""
    plain = "" if because and not f.effect else _plainly(report, f, value, runaway, system)
    return "; ".join(filter(None, (plain, because)))


def _plainly(report, f, value, runaway, system):
    """'time up is 1.4 s (at most 1.2 s)', '8 motors (at most 7)', 'it never arrives (time up must be at most 1 s)'."""
    kind, asks = quantity.kind_of(f.unit), asked(report, f, system)
    if f.sense == "at most" and value == math.inf and kind == "time":
        return f"{_runs_away(runaway) if runaway else 'it never arrives'} ({_so_that(f.label, 'must be')} {asks})"
    if f.sense == "at least" and value == 0 < report.bounds[f.name] and kind in SPEEDS:
        return f"it stands still ({_so_that(f.label, 'must be')} {asks})"
    if f.sense == "at most" and value == math.inf > report.bounds[f.name]:
        return f"{f.label} is beyond all limits ({asks})"
    shown = number(f, value, system, report.bounds[f.name])
    if f.counted and shown.isdigit() and shown != "1":
        return f"{shown} {f.label} ({asks})"
    if kind == "points" and f.label.startswith(f.unit):
        return f"{shown}{f.label[len(f.unit) :]} ({asks})"
    return f"{_so_that(f.label, 'is')} {shown} ({asks})"


def _so_that(label, verb):
    """'time up is', 'time up, at best, is', 'pieces held are'; one that ends in "by" needs no verb before a number."""
    if label.endswith(" by") and verb == "is":
        return label
    if verb == "is" and re.fullmatch(r"\w*[^s\W]s", label.split()[0]):  # pieces, not press or friction's
        verb = "are"
    return f"{label}{',' if ', ' in label else ''} {verb}"


def _runs_away(runaway):
    """'it can't be braked in time, from 40 % of its way on: a braking current of 21 A would hold it'."""
    current, share = runaway
    place = f"from {100 * share:.0f} % of its way on" if share >= 0.005 else "from the start on"
    would = f"a braking current of {quantity.show(current, 'A')} would hold it"
    return f"it can't be braked in time, {place}: {would if math.isfinite(current) else 'no current is enough'}"


def _named(report, finding, values, system):
    """'time up 1.4 s'."""
    return f"{finding.label} {found(report, finding, values, system)}"


def verdict(report, system="metric"):
    """One sentence: does it work, also on a bad day, and what comes nearest to its bound then."""
    if not report.good_margin:
        return ""
    opens, leads, told = _judged(report, system)
    return f"{opens}{leads}{told}."


def mended(mend, system="metric"):
    """One sentence on the number that mends what the verdict names, and on what is missed then; empty without one."""
    if mend is None:
        return ""
    label = f"{mend.field.label[0].lower()}{mend.field.label[1:]}"
    with_it = f"With the {label} at {quantity.show(mend.value, mend.field.unit, system=system)}"
    if mend.report.works_on_bad_day:
        return f"{with_it} it works, on a bad day too."
    return f"{with_it} that is met; what is missed then: {_judged(mend.report, system)[2]}."


def opening(report):
    """The verdict without what it names: does it work, also on a bad day."""
    return f"{_judged(report, 'metric')[0]}." if report.good_margin else ""


def _judged(report, system):
    """The verdict in three: whether it works, words that lead over, and what is told of the finding that it names.

    Where it turns within what was assumed, that comes first: a verdict as assumed is none to build on.
    """
    opens, leads, told = _judged_as_assumed(report, system)
    if report.known:
        return opens, leads, told
    return f"{assumed_text.rests(report)} As assumed: {opens[0].lower()}{opens[1:]}", leads, told


def _judged_as_assumed(report, system):
    """The same of the numbers that were assumed, as if they were known."""
    good, bad = report.weakest(bad=False), report.weakest()
    if report.good_margin[good] < 0:
        return "Does not work", ": ", _against(report, good, False, system)
    told = _against(report, bad, True, system)
    if report.bad_margin[bad] < 0:
        only = "only " if report.days_in_100 else ""
        return f"Works on a good day, but {only}on {of_100(report.days_in_100)}", ". On a bad day ", told
    if report.joint_margin < 0:
        only = " only" if report.days_in_100 else ""
        opens = f"Works on {of_100(report.days_in_100)}{only}: not all is met at once"
        return opens, ". Most often missed: ", _most_missed(report)
    if report.joint_margin < CLOSE:
        return "Just works, within 5 %: measure first", ". On a bad day ", told
    return "Works, on a bad day too", ". Nearest to its limit then: ", told


def nearest(report, system="metric"):
    """What the verdict names, for a sentence of another one: 'time up is 1.1 s (at most 1.2 s), 8.3 % to spare on a bad
    day'.
    """
    if not report.good_margin:
        return ""
    told = _judged(report, system)[2]
    if report.good_margin[report.weakest(bad=False)] < 0:
        return f"{told}, even on a good day"
    weakest = report.weakest()
    if report.joint_margin < 0 <= report.bad_margin[weakest]:
        return f"most often missed is {told}"
    return f"{told},{_spare(report, weakest)} on a bad day"


def _spare(report, name):
    """' 8.3 % to spare'; empty where a bad day misses, or where the margin is no share of a bound."""
    f, bound, margin = report.sizing.finding(name), report.bounds[name], report.bad_margin[name]
    if margin < 0 or f.counted or f.held or bound == 0 or not math.isfinite(bound) or not math.isfinite(margin):
        return ""
    return f" {share(margin) if margin > 0 else 'nothing'} to spare"


def share(part):
    """A share as text with two digits: '8.3 %', '250 %'; a tiny one is not told by its size."""
    percent = 100 * part
    if percent < 0.1:
        return "under 0.1 %"
    return f"{percent:.2g} %" if percent < 99.5 else f"{percent:.0f} %"


def _most_missed(report):
    """'time to hang (on 4 of 100 days), cord strength (on 2)'."""
    missed = [(report.sizing.finding(name), days) for name, days in report.missed_days.items() if days > 0]
    ranked = sorted(missed, key=lambda pair: (pair[0].effect, -pair[1]))[:2]
    (first, most), *rest = [(finding.label, days) for finding, days in ranked]
    return ", ".join([f"{first} (on {_days(most)} of 100 days)", *(f"{label} (on {_days(n)})" for label, n in rest)])


def of_100(days):
    """'43 of 100 days', 'none of 100 days'."""
    return f"{days or 'none'} of 100 days"


def _days(days):
    """A number of days in whole ones; less than one is not called none."""
    return f"{days:.0f}" if days >= 0.5 else "less than 1"


def label_of(sizing, path):
    """What people call an input: 'motor: resistance' for motor.resistance."""
    part, _, column = path.rpartition(".")
    if not part:
        return sizing.field(path).label.lower()
    records = {path.rpartition(".")[2] for path in sizing.RECORDS}
    owner = part.replace("_", " ") if part in records else sizing.field(part).label.lower()
    if assumed_text.INSIDE in column:  # of a mechanism in a whole robot
        mechanism, *_, column = column.split(assumed_text.INSIDE)
        owner = mechanism.replace("_", " ")
    if column == "likely":  # of a step that people do, in the game's file
        first, _, each = owner.partition(" ")
        return f"other steps of people, for each {each}" if first == "more" else f"step '{owner}'"
    return f"{owner}: {COLUMNS.get(column, column.replace('_', ' '))}"


def hurts(report):
    """One sentence on the input that hurts most, or an empty one."""
    if not report.hurts:
        return ""
    owner, _, column = label_of(report.sizing, report.hurts[0][0]).rpartition(": ")
    return f"What hurts most on a bad day is the {column}{f' ({owner})' if owner else ''}."


def bad_day_line(report, system="metric"):
    """One line: the two tightest things asked, as they are on a bad day, and on how many days all is met."""
    if not report.bad_margin:
        return ""
    first = report.weakest()
    others = {name: margin for name, margin in report.bad_margin.items() if name != first}
    tightest = [first, *filter(None, [report.sizing.weakest_of(others)])]
    found = ", ".join(_named(report, report.sizing.finding(name), report.bad, system) for name in tightest)
    return f"Bad day: {found}. Works on {of_100(report.days_in_100)}."


def should_see(report, inputs, labels=None, system="metric"):
    """The sentence under a bench: what was put in, what is found, and the verdict.

    inputs are the names of the inputs to tell; labels gives the words for the part that an input chose: "none" of two
    tables may be two things.
    """
    groups = [f"{head}: {', '.join(told)}." for head, told in _told(report, inputs, labels or {}, system) if told]
    asked = report.sizing.judged() or report.sizing.FINDINGS[:3]
    found = ", ".join(_named(report, f, report.good, system) for f in asked)
    return " ".join(filter(None, (*groups, f"Result: {found}.", verdict(report, system))))


def settings(report, inputs, labels=None, system="metric"):
    """Some inputs as they are now, for a sentence that holds with them: 'mass 0.5 kg; slim motor'. Where two lists
    offer the same or have chosen the same words, each says which list it is.
    """
    told = {name: _input(report, name, labels or {}, system) for name in inputs}
    chosen = [name for name in inputs if isinstance(report.values[name], str)]
    tables = [getattr(report.sizing.field(name), "table", "") for name in chosen]
    words = [told[name] for name in chosen]
    for name, table in zip(chosen, tables):
        if tables.count(table) > 1 or words.count(told[name]) > 1:
            label = report.sizing.field(name).label
            told[name] = f"{label[0].lower()}{label[1:]}: {told[name]}"
    return "; ".join(told.values())


def _told(report, inputs, labels, system):
    """What the job asks and what was chosen, each with its inputs as text."""
    for head, group in (("The job asks", JOB), ("Chosen", CHOICE)):
        names = [name for name in inputs if report.sizing.field(name).group == group]
        yield head, [_input(report, name, labels, system) for name in names]


def _input(report, name, labels, system):
    field, value = report.sizing.field(name), report.values[name]
    if isinstance(value, str):
        text = labels.get(name, value)
        return f"{field.label[0].lower()}{field.label[1:]} {text}" if text.isdigit() else text
    return f"{field.label[0].lower()}{field.label[1:]} {quantity.show(value, field.unit, system=system)}"


def missed(report, name, bad, system="metric"):
    """What a finding is that is missed on a good or a bad day, as a clause: 'time up is 1.4 s (at most 1.2 s)'."""
    return _against(report, name, bad, system)
