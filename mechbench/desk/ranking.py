"""Every combination of parts tried, and the first of them judged in full, with all their numbers.

Contents: Combination, Found, ranked, mass_of_rows, MASS.

The search ranks on 64 days; what is shown (found_page.py) is judged again on all days.
"""

from dataclasses import dataclass, field

import numpy as np

from mechbench.catalog import search
from mechbench.desk import found_page, text_table
from mechbench.desk.found_page import MASS
from mechbench.desk.rich_text import Shown
from mechbench.desk.rows import Rows, filled_in
from mechbench.desk.sized import sized_of
from mechbench.engine.days import DAYS
from mechbench.engine.judge import Report, judge_all
from mechbench.engine.pairs import that_fit
from mechbench.engine.search import ENOUGH, FINALISTS, SEARCH_DAYS, Ranking, in_full
from mechbench.engine.spec import Pick

SHOWN = 6
# A motor and its gearbox come once for each motor; of all other parts one is taken.
ONE_EACH = ("motor", "gearbox", "drive")
MORE = 8  # times as many finalists, where the first ones all rest on what no label gives


@dataclass(frozen=True)
class Combination:
    """One combination, judged in full: its parts, its report, the mass of these parts (None where the kit has none)."""

    choice: dict
    report: Report
    mass: float | None


@dataclass(frozen=True, repr=False)
class Found(Shown, Rows):
    """What the search found: the best that fit, or else the nearest miss, and the next ratios beside the first of
    them.
    """

    sizing: type
    ranking: Ranking
    best: tuple
    miss: Combination | None
    beside: dict = field(default_factory=dict)  # "next ratio down", "next ratio up" -> Combination
    system: str = "metric"
    names: tuple = ()  # inputs that were looked for
    looked_at: int = 0  # so many of those that fit were judged in full
    unsure: int = 0  # of these so many rest on what was assumed; they are not shown
    labels: dict = field(default_factory=dict)  # input -> name of a part -> its words
    instead: str = ""  # what stands in for that which the kit lacks
    least: str = (
        ""  # what it is ranked by where that was asked for: a finding, or MASS; "-name" where most of it is best
    )
    tables: object = None
    given: dict = field(default_factory=dict)  # the other inputs that were given

    def judged(self):
        """The reports of the best."""
        return [one.report for one in self.best]

    def answers(self):
        """The best that fit, each as mb.size gives it."""
        return [sized_of(one.report, self.tables, self.system, {**self.given, **one.choice}) for one in self.best]

    @property
    def fitting(self):
        """All that fit on the days of the search, the best first: each with its choice and what was found."""
        return self.ranking.fitting

    @property
    def candidates(self):
        """All that were looked at closely, the best first, those that miss too."""
        return self.ranking.candidates

    @property
    def nearest_miss(self):
        """Where nothing fits, what comes nearest; else None."""
        return self.ranking.nearest_miss

    @property
    def tried(self):
        """How many combinations were tried."""
        return self.ranking.tried

    @property
    def missed(self):
        """For each finding that is asked, how many combinations miss it."""
        return self.ranking.missed

    def to_dict(self):
        """The ranking as plain data, SI."""
        return found_page.data_of(self)

    def __repr__(self):
        return "\n".join([found_page.text_of(self), *text_table.below(filled_in(self))])

    def _repr_html_(self):
        return found_page.html_of(self)


def ranked(sizing, vary, values, tables, system="metric", least=""):
    """Every combination of parts tried (input -> names of parts, None for all), and the first judged in full.

    least : a finding, or MASS, to rank by instead of the sizing's own RANK; "-name" puts the most of it first
    """
    named = sizing.has(least.lstrip("-"))
    rank = None if not least else (least, *sizing.RANK) if named else mass_of_rows(sizing, vary, tables)
    # Where the very least is asked for, no day is left out: a lighter one may fail on 4 of 64 days and on 12 of 256.
    days = DAYS if least else SEARCH_DAYS
    for many in (1, MORE) if least else (1,):
        more = {"finalists": many * FINALISTS, "enough": many * ENOUGH}
        ranking = search(sizing, values, vary, tables.kit, days=days, rank=rank, **more)
        ones = _in_full(sizing, ranking, tables)
        best = [one for one in ones if one.report.surely_works]
        if best or not ranking.fitting:
            break
    miss = ones[0] if ones and not best else None
    first = best[0] if best else miss
    one = first.report.values if first else {}
    return Found(
        sizing,
        ranking,
        tuple(best[:SHOWN]),
        miss,
        _beside(sizing, first, ranking.values, tables) if first and not least else {},
        system,
        tuple(vary),
        looked_at=len(ones),
        unsure=sum(not one.report.known for one in ones if one.report.works_on_bad_day),
        labels={f.name: tables(f.table).labels for f in sizing.FIELDS if isinstance(f, Pick)},
        instead=tables.instead({name: value for name, value in one.items() if name not in vary}),
        least=least,
        tables=tables,
        given=dict(values),
    )


def _in_full(sizing, ranking, tables):
    """The first that fit, or the nearest miss, judged with all values as the search had them: else what follows from a
    part that is given is another job.
    """
    return in_full(ranking, lambda choices: _judged(sizing, ranking.values, choices, tables), _enough, 2 * SHOWN)


def _enough(ones):
    """Twice as many as are shown, for some may just fail; more of them as long as none surely works."""
    return len(ones) >= 2 * SHOWN and any(one.report.surely_works for one in ones)


def mass_of_rows(sizing, names, tables):
    """A function for the search's `rank`: the mass of the parts named, of whole values and so many rows."""

    def masses(whole, rows):
        count = np.broadcast_to(np.asarray(whole.get("count", "1"), dtype=float), (rows,))
        total = np.zeros(rows)
        for name in names:
            table = tables(sizing.field(name).table)
            if MASS in table.columns:
                each = dict(zip(table.names, table.columns[MASS]))
                parts = [whole[name]] * rows if isinstance(whole[name], str) else whole[name]
                total += np.array([each[part] for part in parts]) * (count if name in ONE_EACH else 1.0)
        return total

    return masses


def _judged(sizing, values, choices, tables):
    """These choices, each with what it was judged to be."""
    reports = judge_all(sizing, [{**values, **choice} for choice in choices], tables)
    return [Combination(one, report, _mass(sizing, report, one, tables)) for one, report in zip(choices, reports)]


def _mass(sizing, report, choice, tables):
    """The sizing's own mass of its parts, else that of the parts looked for."""
    if MASS in report.good:
        return report.good[MASS]
    count = float(report.values.get("count", 1))
    masses = []
    for name, part in choice.items():
        input_ = sizing.field(name)
        columns_of = tables(input_.table).columns if isinstance(input_, Pick) else {}
        if MASS in columns_of:
            place = tables(input_.table).index(part)
            masses.append(float(columns_of[MASS][place]) * (count if name in ONE_EACH else 1.0))
    return sum(masses) if masses else None


def _beside(sizing, first, values, tables):
    """The same with the next ratio up and down, where one of the parts has a ratio."""
    picks = [f for f in sizing.FIELDS if isinstance(f, Pick) and "ratio" in tables(f.table).columns]
    geared = sorted(picks, key=lambda f: f.name not in first.choice)[:1]
    if not geared:
        return {}
    table, now = tables(geared[0].table), first.report.values[geared[0].name]
    ratios = table.columns["ratio"]
    fitting = that_fit(sizing, first.report.values, geared[0], tables)
    order = [int(i) for i in np.argsort(ratios, kind="stable") if table.names[i] in fitting]
    here = float(ratios[table.index(now)])
    lower, higher = [i for i in order if ratios[i] < here], [i for i in order if ratios[i] > here]
    heads = {"next ratio down": lower[-1:], "next ratio up": higher[:1]}
    beside = {head: {**first.choice, geared[0].name: table.names[i]} for head, places in heads.items() for i in places}
    return dict(zip(beside, _judged(sizing, values, list(beside.values()), tables)))
