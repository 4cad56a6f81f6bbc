"""What the button "Find" of a bench does: tries all parts of the lists on screen, and gives the three best.

Contents: OFFERED, Offer, Answer, look, on_screen, summary, words_of, numbers_of.
"""

import math
from dataclasses import dataclass

from mechbench.catalog import search
from mechbench.engine import report_text
from mechbench.engine.judge import Report, judge_all
from mechbench.engine.search import MOST, in_full
from mechbench.engine.spec import CHOICE, Pick

OFFERED, JUDGED = 3, 12  # of those that fit in the search's own days, so many are judged on all days at most


@dataclass(frozen=True)
class Offer:
    """One choice of parts, by input, and its report on all days."""

    choice: dict
    report: Report


@dataclass(frozen=True)
class Answer:
    """The best, or else the nearest miss (None where nothing can be built); how many were tried; the lists that were
    left as they are, because there would be too many.
    """

    best: tuple
    miss: Offer | None
    tried: int
    varied: tuple
    left: tuple


def look(sizing, picks, values, tables):
    """Try every part of these picks, all other values as they are."""
    picks = list(picks)
    varied, left = _as_many_as_can_be(picks, tables)
    given = {name: value for name, value in values.items() if name not in varied}
    ranking = search(sizing, given, dict.fromkeys(varied), tables.kit)

    def judged(choices):
        return [Offer(*one) for one in zip(choices, judge_all(sizing, [{**values, **one} for one in choices], tables))]

    ones = in_full(ranking, judged, lambda ones: len(ones) == JUDGED or len(_best(ones)) == OFFERED, OFFERED)
    best = _best(ones)
    return Answer(best, ones[0] if ones and not best else None, ranking.tried, varied, left)


def _best(ones):
    return tuple(one for one in ones if one.report.surely_works)


def _as_many_as_can_be(picks, tables):
    """Names of the lists to try, the first ones where there are too many, and of those that are left."""
    sizes = [len(pick.options(tables)) for pick in picks]
    count = len(picks)
    while count and math.prod(sizes[:count]) > MOST:
        count -= 1
    names = tuple(pick.name for pick in picks)
    return names[:count], names[count:]


def on_screen(fields, tables):
    """Of the inputs that are on screen those that Find tries: the lists that are chosen, with two parts or more."""
    return [f for f in fields if isinstance(f, Pick) and f.group == CHOICE and len(f.options(tables)) > 1]


def summary(answer, labels, tables, system):
    """What came of a search, in sentences: how many were tried, and what is nearest where none works."""
    tried = (
        f"Tried: {answer.tried} combination{'s' * (answer.tried != 1)} of {', '.join(map(labels.get, answer.varied))}."
    )
    left = f" Left as they are, for there would be too many: {', '.join(map(labels.get, answer.left))}."
    if answer.best:
        came = " The best that work, on a bad day too; press one to set it:"
    elif answer.miss:
        one = answer.miss
        nearest = f"{words_of(one.report.sizing, one.choice, tables)}: {report_text.verdict(one.report, system)}"
        came = f" None {'surely ' * (not one.report.known)}works on a bad day. The nearest: {nearest}"
    else:
        came = " None of them can be built."
    return f"{tried}{left * bool(answer.left)}{came}"


def words_of(sizing, choice, tables):
    """A choice in words: 'slim motor, 56.4 : 1 planetary, no last stage, how many motors 2'."""
    told = []
    for name, part in choice.items():
        field = sizing.field(name)
        label = tables(field.table).labels.get(part, part)
        told.append(f"{field.label[0].lower()}{field.label[1:]} {label}" if label.isdigit() else label)
    return ", ".join(told)


def numbers_of(report, system):
    """What the search ranks by, on a bad day, and what is nearest to its limit: 'time up 0.9 s; ...'."""
    ranked = [report.sizing.finding(name.lstrip("-")) for name in report.sizing.RANK[:2]]
    others = [f for f in ranked if f.name != report.weakest()]  # that one is told anyway
    told = [f"{f.label} {report_text.on_a_bad_day(report, f, system)}" for f in others]
    return "; ".join(filter(None, (", ".join(told), report_text.nearest(report, system))))
