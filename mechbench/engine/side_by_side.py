"""Designs side by side: what differs in what was found, marked by a sign and a word, and which of them works.

Contents: LETTERS, Mark, SAME, BETTER, WORSE, MORE, LESS, OTHER, Cell, Row, mark_of, rows, differing, which, largest,
sentence.

The first design is A; each other one is marked beside it.
"""

import math
from dataclasses import dataclass

from mechbench.engine import report_text
from mechbench.engine.judge import BAD_DAY, FAILS

LETTERS = "ABCD"
TOLD = 3  # differences that the last sentence tells of each design
ENDLESS = 2.0  # the size of a difference between a number and one without end, above that of all others


@dataclass(frozen=True)
class Mark:
    """How a number stands beside that of A: a sign and the word for it."""

    sign: str
    word: str

    def __str__(self):
        return f"{self.sign} {self.word}"


SAME, BETTER, WORSE = Mark("=", "same"), Mark("+", "better"), Mark("\u2212", "worse")
MORE, LESS, OTHER = Mark(">", "more"), Mark("<", "less"), Mark("\u2260", "other")  # where neither way is worse


@dataclass(frozen=True)
class Cell:
    """What one design gives on one day: the number as text, whether what is asked is met, the mark beside A."""

    text: str
    met: bool
    mark: Mark | None  # None of A itself


@dataclass(frozen=True)
class Row:
    """One finding: a cell for each design, on a good and on a bad day, and what is asked."""

    finding: object
    good: tuple
    bad: tuple
    asked: str


def rows(reports, system="metric"):
    """A Row for each finding, in the sizing's order; `reports` are of one sizing, A first."""
    return [_row(finding, reports, system) for finding in reports[0].sizing.FINDINGS]


def _row(finding, reports, system):
    good, bad = (_day(finding, reports, bad, system) for bad in (False, True))
    return Row(finding, good, bad, _asked(finding, reports, system))


def _day(finding, reports, bad, system):
    told = [report_text.both_days(report, finding, system)[bad] for report in reports]
    marks = [None, *(mark_of(finding, reports[0], one, bad, system) for one in reports[1:])]
    return tuple(Cell(text, met, mark) for (text, met), mark in zip(told, marks))


def _asked(finding, reports, system):
    """What is asked of A, and of each other design of which something else is asked: 'at most 1 s; B: at most 2 s'."""
    told = [report_text.asked(report, finding, system) for report in reports]
    others = [f"{letter}: {text}" for letter, text in zip(LETTERS, told) if text != told[0]]
    return "; ".join([told[0], *others])


def mark_of(finding, one, other, bad, system="metric"):
    """How a finding of another design stands beside that of A on a good or on a bad day."""
    if report_text.both_days(one, finding, system)[bad] == report_text.both_days(other, finding, system)[bad]:
        return SAME
    lows, highs = zip(_ends(finding, one, bad), _ends(finding, other, bad))
    if lows[0] <= lows[1] and highs[0] <= highs[1]:
        return {"more": WORSE, "less": BETTER}.get(finding.worse_way, MORE)
    if lows[0] >= lows[1] and highs[0] >= highs[1]:
        return {"more": BETTER, "less": WORSE}.get(finding.worse_way, LESS)
    return OTHER


def _ends(finding, report, bad):
    """The lowest and the highest value of a finding on that day; on most days both are one number."""
    if bad and finding.name in report.ends:
        return report.ends[finding.name]
    value = (report.bad if bad else report.good)[finding.name]
    return value, value


def differing(reports):
    """Names of the inputs that are not the same in all designs, in the sizing's order."""
    first, *others = (report.values for report in reports)
    return tuple(f.name for f in reports[0].sizing.FIELDS if not all(_alike(first[f.name], v[f.name]) for v in others))


def _alike(one, other):
    if isinstance(one, str) or isinstance(other, str):
        return one == other
    return one == other or math.isclose(one, other, rel_tol=1e-9, abs_tol=1e-12)


# --- in a sentence --------------------------------------------------------------------------------------------------

# How a design stands, for one design and for several.
SURELY = "works, on a bad day too", "work, on a bad day too"
GOOD_ONLY = "works on a good day only", "work on a good day only"
NEVER = "does not work", "do not work"
NOT_KNOWN = "rests on what was assumed: measure first", "rest on what was assumed: measure first"


def _stands(report):
    if not report.known:
        return NOT_KNOWN
    return {BAD_DAY: SURELY, FAILS: NEVER}.get(report.verdict, GOOD_ONLY)


def which(reports):
    """Which of the designs work: 'B works, on a bad day too; A does not work.'; empty where nothing is asked."""
    if not reports[0].good_margin:
        return ""
    told = []
    for stands in (SURELY, GOOD_ONLY, NOT_KNOWN, NEVER):
        letters = [letter for letter, report in zip(LETTERS, reports) if _stands(report) is stands]
        if letters:
            told.append(f"{_and(letters)} {stands[len(letters) > 1]}")
    return f"{'; '.join(told)}."


def _and(letters):
    return " and ".join(filter(None, (", ".join(letters[:-1]), letters[-1])))


def largest(one, other, letter="B", system="metric"):
    """The largest differences between A and another design on a bad day; empty where they come out the same."""
    found = [f for f in one.sizing.FINDINGS if mark_of(f, one, other, True, system) is not SAME]
    ranked = {name.lstrip("-") for name in one.sizing.RANK}
    # What is asked comes before what is told for information, however much that differs.
    found.sort(key=lambda f: (not f.sense and f.name not in ranked, -_size(one.bad[f.name], other.bad[f.name])))
    if not found:
        return ""
    told = "; ".join(_difference(f, one, other, system) for f in found[:TOLD])
    return f"{letter} beside A, on a bad day: {told}."


def _size(one, other):
    """How large a difference is, as a share of the larger number."""
    if one == other:
        return 0.0
    if not (math.isfinite(one) and math.isfinite(other)):
        return ENDLESS
    return abs(other - one) / max(abs(one), abs(other))


def _difference(finding, one, other, system):
    """'time up 0.74 s, not 0.91 s (19 % less: better)'."""
    mark = mark_of(finding, one, other, True, system)
    texts = [report_text.on_a_bad_day(report, finding, system) for report in (one, other)]
    ends = math.isfinite(one.bad[finding.name])  # else it reads 'never', and 'not never' would be no English
    beside = f", not {texts[0]}" if ends else f" instead of {texts[0]}"
    return f"{finding.label} {texts[1]}{beside} ({_by(finding, one, other, mark)})"


def _by(finding, one, other, mark):
    """'19 % less: better'; without the share where one makes no sense."""
    was, now = one.bad[finding.name], other.bad[finding.name]
    way = "more" if now > was else "less"
    word = mark.word if mark in (BETTER, WORSE) else ""
    ranges = any(low != high for low, high in (_ends(finding, report, True) for report in (one, other)))
    if ranges or finding.unit == "%" or not (math.isfinite(was) and math.isfinite(now)) or was == 0 or was * now < 0:
        return mark.word
    share = f"{report_text.share(abs(now / was - 1))} {way}"
    return f"{share}: {word}" if word else share


def sentence(reports, system="metric"):
    """At the end: which works, and the largest differences."""
    told = [largest(reports[0], one, letter, system) for letter, one in zip(LETTERS[1:], reports[1:])]
    same = [letter for letter, text in zip(LETTERS[1:], told) if not text]
    alike = f"{_and(['A', *same])} come out the same on a bad day." if same else ""
    return " ".join(filter(None, (which(reports), *told, alike)))
