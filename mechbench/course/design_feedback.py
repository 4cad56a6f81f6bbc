"""What is said of a design: one line for each thing that is asked, what is missed first, each with what to try.

Contents: Line, asked_lines, missed_of, met, as_text, ALSO, ALL_AT_ONCE.

A sizing judges more than a lesson asks. What its text does not ask is told apart, as "also checked", and only where it
is missed; it makes no design wrong.
"""

from dataclasses import dataclass

from mechbench.engine import report_text

ALSO = "Also checked, not asked here"
ALL_AT_ONCE = "Each by itself is met often enough. Find what is missed most often, and give it more to spare."


@dataclass(frozen=True)
class Line:
    """One thing that a design is judged by.

    name, label : of the finding
    asked : "at most 10 A", or "no limit"
    good, bad : what is found on a good and on a bad day; empty where there is no limit
    good_met, bad_met : whether it is met then
    to_try : what to try where it is missed, else empty
    missed : whether it makes the design wrong
    also : whether the text does not ask it
    """

    name: str
    label: str
    asked: str
    good: str = ""
    bad: str = ""
    good_met: bool = True
    bad_met: bool = True
    to_try: str = ""
    missed: bool = False
    also: bool = False


def asked_lines(posed, report):
    """The lines of a design: what is missed, what is met, and what is missed though it was not asked."""
    asked = posed.exercise.asked_of(report.sizing)
    lines = [_line(posed, report, finding, finding.name not in asked) for finding in report.sizing.judged()]
    told = [line for line in lines if not line.also or line.to_try]
    return tuple(sorted(told, key=lambda line: (line.also, not line.missed)))


def _line(posed, report, finding, also):
    label, asked = finding.label[0].upper() + finding.label[1:], report_text.asked(report, finding)
    if asked == report_text.NO_LIMIT:
        return Line(finding.name, label, asked, also=also)
    good, bad = (report_text.found(report, finding, values) for values in (report.good, report.bad))
    good_met, bad_met = (margin[finding.name] >= 0 for margin in (report.good_margin, report.bad_margin))
    missed = not good_met or (posed.exercise.bad_day and not bad_met)
    to_try = posed.fill(posed.exercise.advice.get(finding.name, "")) if missed else ""
    return Line(finding.name, label, asked, good, bad, good_met, bad_met, to_try, missed and not also, also)


def missed_of(lines):
    """Names of the findings that make a design wrong."""
    return [line.name for line in lines if line.missed]


def met(is_met):
    """In words, never by a colour alone."""
    return "met" if is_met else "NOT met"


def as_text(lines, after):
    """'Current of one motor (at most 10 A): good day 7.2 A, met; bad day 11.1 A, NOT met. Try: ...', 'Motors: no
    limit.'
    """
    return "\n".join([*map(_sentence, lines), *filter(None, (after,))])


def _sentence(line):
    if not line.good:
        return f"{line.label}: {line.asked}."
    head = f"{ALSO}: {line.label[0].lower()}{line.label[1:]}" if line.also else line.label
    days = f"good day {line.good}, {met(line.good_met)}; bad day {line.bad}, {met(line.bad_met)}"
    return f"{head} ({line.asked}): {days}.{f' To try: {line.to_try}' if line.to_try else ''}"
