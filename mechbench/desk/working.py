"""Where a number works: the ranges of its values that work, alone or with each of some parts.

Contents: look, Working, text_of, html_of, short_of, data_of, code_of.

With parts, each set of them is looked at with a few numbers over the whole range on a good day; those with which most
numbers work come first, and of the first SHOWN that work on a bad day, too, the ranges are found in full.
"""

from dataclasses import dataclass
from html import escape
from itertools import product

import numpy as np

from mechbench import quantity
from mechbench.desk import edge, page_table, text_table
from mechbench.desk.answer import FAILS, FITS, instead_lines
from mechbench.desk.arguments import BadQuestion, as_typed
from mechbench.desk.rich_text import Shown
from mechbench.engine import report_text
from mechbench.engine.furthest import Tries, working_ranges
from mechbench.engine.inputs import complete
from mechbench.engine.pairs import go_together

SHOWN = 3
TRIED = 8  # sets of parts whose ranges are looked for on bad days, at most
MOST_SETS = 400
NUMBERS = 17  # over the range, with each set of parts


@dataclass(frozen=True)
class Row:
    """One set of parts (empty where only a number is looked for), and the ranges of the number that work with it."""

    choice: dict
    ranges: object


@dataclass(frozen=True, repr=False)
class Working(Shown):
    """Where a number works; rows has the sets of parts that were looked at in full, the widest first."""

    sizing: type
    input: object
    rows: tuple
    system: str = "metric"
    parts: tuple = ()  # names of the inputs whose parts were tried
    sets: int = 1  # of parts, that were tried
    labels: object = None
    typed: object = None
    instead: str = ""

    @property
    def best(self):
        """The rows with which some value works."""
        return [row for row in self.rows if row.ranges.runs]

    def __repr__(self):
        return short_of(self)

    def to_dict(self):
        """The same as plain data, SI."""
        return data_of(self)

    def _repr_html_(self):
        return html_of(self)

    def letters(self):
        """All of it as plain text."""
        return text_of(self)


def look(sizing, name, parts, values, tables, system="metric"):
    """The ranges of a number that work; `parts` are inputs whose parts vary, too, each with names or None for all."""
    one = sizing.field(name).at(tables)
    unit = quantity.in_system(one.unit, system)
    sets = _sets(sizing, parts, values, tables) if parts else [{}]
    rows = []
    for choice in _widest_first(sizing, one, sets, values, tables, unit)[:TRIED]:
        rows.append(Row(choice, working_ranges(sizing, {**values, **choice}, name, tables, unit)))
        if sum(bool(row.ranges.runs) for row in rows) == SHOWN:
            break
    whole = complete(sizing, {**values, **rows[0].choice}, tables)
    instead = tables.instead({given: value for given, value in whole.items() if given not in (*parts, name)})
    labels = {given: tables(sizing.field(given).table).labels for given in parts}
    typed = lambda given, part: as_typed(sizing.field(given), part, tables=tables)
    return Working(sizing, one, tuple(rows), system, tuple(parts), len(sets), labels, typed, instead)


def _sets(sizing, parts, values, tables):
    """Every combination of the parts that go together."""
    options = [some or sizing.field(name).options(tables) for name, some in parts.items()]
    count = int(np.prod([len(some) for some in options]))
    if count > MOST_SETS:
        raise BadQuestion(
            f"There are {count} combinations of {', '.join(parts)}, but beside a number at most {MOST_SETS} can be"
            " tried; name fewer parts."
        )
    sets = [dict(zip(parts, some)) for some in product(*options)]
    return [choice for choice in sets if _together(sizing, {**values, **choice}, tables)] or sets[:1]


def _together(sizing, values, tables):
    """Whether these parts go together, with what follows them where it is not given."""
    try:
        return go_together(sizing, complete(sizing, values, tables), tables)
    except ValueError:
        return False


def _widest_first(sizing, one, sets, values, tables, unit):
    """The sets of parts, first those with which most numbers over the range work on a good day."""
    if len(sets) == 1:
        return sets
    width = {}
    for place, choice in enumerate(sets):
        tries = Tries(sizing, {**values, **choice}, one.name, tables, unit)
        least = tries.on_a_good_day(tries.range.grid(NUMBERS, NUMBERS))
        width[place] = (int(np.sum(least >= 0)), float(np.max(np.minimum(least, 0.0))))
    return [sets[place] for place in sorted(width, key=lambda place: width[place], reverse=True)]


# --- showing --------------------------------------------------------------------------------------------------------


def code_of(working):
    """0 where some value works."""
    return FITS if working.best else FAILS


def text_of(working):
    """The ranges first, then what ends them; with parts a table of both."""
    lines = [*instead_lines(working.instead), short_of(working), "", working.sizing.TITLE]
    for sentence in _said(working):
        lines += text_table.wrapped(sentence)
    if working.parts and working.best:
        lines += ["", *text_table.table(_sheet(working, working.typed), gap=2)]
    return "\n".join(lines)


def html_of(working):
    """The same for a notebook's page."""
    shown = [escape(working.instead)] if working.instead else []
    shown += [f"<b style='font-size:larger'>{escape(short_of(working))}</b>", f"<b>{escape(working.sizing.TITLE)}.</b>"]
    shown += map(escape, _said(working))
    if working.parts and working.best:
        shown.append(page_table.table(_sheet(working, lambda name, part: working.labels[name].get(part, part))))
    return "".join(f"<div>{one}</div>" for one in shown)


def short_of(working):
    """'length that works: 120 mm to 704 mm.', with the parts where some were looked for."""
    name = working.input.name.replace("_", " ")
    if not working.best:
        return f"{name} that works: {edge.none(working.input)}."
    first = working.best[0]
    parts = " with ".join(working.labels[given].get(part, part) for given, part in first.choice.items())
    return f"{name} that works: {_runs(working, first)}{f', with {parts}' if parts else ''}."


def _runs(working, row):
    """'120 mm to 704 mm and 800 mm to 810 mm'."""
    texts = []
    for low, high in row.ranges.runs:
        ends = dict.fromkeys(edge.value_text(working.input, end.found.value, working.system) for end in (low, high))
        texts.append(" to ".join(ends))
    return " and ".join(texts)


def _said(working):
    asked = working.input
    said = [f"{asked.name} is '{asked.label}'. Works means: on at least 95 of 100 days."]
    if working.parts:
        said += [f"{working.sets} sets of {' and '.join(working.parts)} tried, each with numbers over the whole range."]
    if not working.best:
        return [*said, *_nothing(working)]
    return said if working.parts else [*said, *_ends(working, working.rows[0])]


def _ends(working, row):
    """What ends each range, below and above."""
    said = []
    for low, high in row.ranges.runs:
        for end, where in ((low, "Lower end"), (high, "Upper end")):
            value = edge.value_text(working.input, end.found.value, working.system)
            said.append(f"{where}, {value}. {' '.join(edge.limited(end, working.system))}")
    return said


def _nothing(working):
    """The nearest miss, and what it misses."""
    miss = working.rows[0].ranges.miss
    low, high = (edge.value_text(working.input, working.input.to_si(end), working.system) for end in _whole(working))
    tried = edge.tried(working.input, working.rows[0].ranges.tried, low, high)
    if miss.report is None:
        return [f"{tried} can be built. {miss.problem}"]
    parts = "".join(f" with {name}={part}" for name, part in working.rows[0].choice.items())
    near = edge.value_text(working.input, miss.value, working.system)
    return [f"{tried} works. Nearest: {near}{parts}.", report_text.verdict(miss.report, working.system)]


def _whole(working):
    return working.input.low, working.input.high


def _sheet(working, say):
    """Rows of texts, their heads first: the parts, the ranges, and what ends the outer ones."""
    head = [*working.parts, f"{working.input.name} that works", "below it fails", "above it fails"]
    rows = [
        [
            *(say(name, row.choice[name]) for name in working.parts),
            _runs(working, row),
            _fails(row.ranges.runs[0][0]),
            _fails(row.ranges.runs[-1][1]),
        ]
        for row in working.best
    ]
    return [head, *rows]


def _fails(end):
    """Labels of what fails just beyond an end."""
    if end.beyond is None:
        return "nothing: the range ends"
    if end.beyond.report is None:
        return edge.CANT
    labels = edge.limits_labels(end)
    return " and ".join(labels) or "not all is met at once"


def data_of(working):
    """The ranges as plain data, SI."""
    return {
        **({"instead": working.instead} if working.instead else {}),
        "sizing": working.sizing.NAME,
        "input": working.input.name,
        "unit": quantity.si_unit(quantity.kind_of(working.input.unit)),
        "tried": working.sets,
        "fits": [
            {
                "choice": row.choice,
                "ranges": [
                    {
                        "low": low.found.value,
                        "high": high.found.value,
                        "below": edge.limits_data(low),
                        "above": edge.limits_data(high),
                    }
                    for low, high in row.ranges.runs
                ],
            }
            for row in working.best
        ],
        "nearest_miss": None if working.best else edge.at_data(working.rows[0].ranges.miss),
    }
