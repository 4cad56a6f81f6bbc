"""One input through a range: what a good and a bad day give at each value, and where it works.

Contents: sweep (for notebooks), read_sweep, Sweep, text_of, html_of, data_of, code_of.
"""

import re
from dataclasses import dataclass, field

import numpy as np

from mechbench import quantity
from mechbench.desk import page_table, text_table
from mechbench.desk.answer import FAILS, FITS, instead_lines, verdict_data
from mechbench.desk.arguments import BadQuestion, as_typed, input_named, value_of
from mechbench.desk.called import called, listed_values, not_supply
from mechbench.desk.record import number
from mechbench.desk.rich_text import Pictured, image_of_looks
from mechbench.desk.rows import Rows, filled_in
from mechbench.desk.sized import sized_of
from mechbench.desk.spoken import again, option, way
from mechbench.drawing.palette import LIGHT
from mechbench.engine import report_text
from mechbench.engine.judge import judge_with
from mechbench.engine.spec import Pick
from mechbench.wording import quoted

STEPS, MOST_STEPS = 11, 101
MOST_PARTS = 400
COLUMNS = 3  # findings in the table and panels in the picture


@dataclass(frozen=True, repr=False)
class Sweep(Rows, Pictured):
    """Values of one input, and a report for each; None with a sentence in `problems` where one can't be judged."""

    sizing: type
    input: object
    values: tuple
    reports: tuple
    problems: tuple
    system: str
    labels: dict
    instead: str = ""  # what stands in for that which the kit lacks
    tables: object = None
    given: dict = field(default_factory=dict)  # the other inputs that were given

    def judged(self):
        """The reports of all values that can be judged."""
        return [report for report in self.reports if report]

    def answers(self):
        """The values that can be judged, each as mb.size gives it."""
        judged = [(value, report) for value, report in zip(self.values, self.reports) if report]
        given = lambda value: {**self.given, self.input.name: value}
        return [sized_of(report, self.tables, self.system, given(value)) for value, report in judged]

    def to_dict(self):
        """The sweep as plain data, SI."""
        return data_of(self)

    def outputs(self):
        """The picture, then the table."""
        picture, told = super().outputs()
        drawn = image_of_looks(self.png, pictured(self))
        return {"text/html": drawn, **picture}, {"text/html": self._repr_html_(), **told}

    def _repr_html_(self):
        return html_of(self)

    def told(self):
        """The findings that are shown: what the search ranks by, then what is tightest, as far as it changes."""
        reports = [report for report in self.reports if report]
        asked = {f.name: f for f in self.sizing.FINDINGS}
        tight = (
            sorted(self.sizing.judged(), key=lambda f: min(r.bad_margin[f.name] for r in reports)) if reports else []
        )
        names = [rank.lstrip("-") for rank in self.sizing.RANK] + [f.name for f in tight]
        varied = [
            n for n in dict.fromkeys(names) if len({r.good[n] for r in reports} | {r.bad[n] for r in reports}) > 2
        ]
        return [asked[name] for name in (varied or names)[:COLUMNS]]

    def __repr__(self):
        return "\n".join([text_of(self), *text_table.below(filled_in(self))])

    def png(self, look=LIGHT):
        """One panel for each finding that is told."""
        from mechbench.desk import pictures  # matplotlib, only when the picture is asked for

        return pictures.sweep(self, look)

    def value_text(self, value):
        """One value of the input, for people."""
        return (
            self.labels.get(value, value)
            if isinstance(value, str)
            else quantity.show(value, self.input.unit, digits=4, system=self.system)
        )


def sweep(name="", swept="", steps="", *stray, kit=None, system=None, **values):
    """Run one input through a range: mb.sweep("arm", payload="0.2..0.8 kg"); or some values, motor=["slim", "stout"].

    name : of the sizing; swept : the same as a text, "payload=0.2..0.8 kg"; "motor" for every part, "length" for its
    whole range
    steps : how many values a range has; 11 when left out
    values : the other inputs, as mb.size takes them; the one that is given a range, or a list, is swept
    kit : another kit than the one in force; system : "metric" or "us", the units that are shown

    What it gives is gone through row by row, each as mb.size gives it, without values that can't be judged;
    s["payload"] and s["time"] are columns, on a good day and in SI units, s.bad["time"] those of a bad day.
    """
    asked = called(name, kit, system, values, lists=True, ranges=True, stray=stray, kind="sweep")
    several = list(dict.fromkeys([swept] if swept else []) | asked.more)
    if len(several) != 1:
        raise BadQuestion(_not_one(asked.sizing, several, asked.tables))
    text, given = several[0], asked.more.get(several[0], "")
    if not isinstance(given, str):
        found = _free(asked.sizing, text, asked.values, asked.tables)
        listed = listed_values(found, given, asked.tables)
        return _run(asked.sizing, found, listed, asked.values, asked.tables, asked.system)
    text = f"{text}={given}" if given else text
    return read_sweep(asked.sizing, text, str(steps), asked.values, asked.tables, asked.system)


def _not_one(sizing, several, tables):
    """One sentence where no input is to be swept, or more than one."""
    if several:
        return f"{' and '.join(several)} are given several values, but one input is swept at a time; use mb.find."
    numbers = [f for f in sizing.FIELDS if not isinstance(f, Pick)]
    first = f"{numbers[0].name}={_example(numbers[0].at(tables))}" if numbers else sizing.FIELDS[0].name
    return f"{way('sweep')} needs an input with its range, such as {again(sizing, 'sweep', first)}."


def read_sweep(sizing, text, steps, values, tables, system):
    """Judge a sweep: "length=300mm..500mm", "motor" (every part), "motor=small,large", "length" (its whole range)."""
    name, given, rest = text.partition("=")
    found = _free(sizing, name, values, tables)
    swept = (
        _parts(sizing, found, rest, tables)
        if isinstance(found, Pick)
        else _numbers(sizing, found, rest if given else "", _count(steps))
    )
    return _run(sizing, found, swept, values, tables, system)


def _free(sizing, name, values, tables):
    """The input to sweep, which no value may be given for."""
    found = not_supply(sizing, input_named(sizing, name).at(tables), "sweep")
    if found.name in values:
        raise BadQuestion(f"{found.name} is given and swept; leave one of them out.")
    return found


def _run(sizing, found, swept, values, tables, system):
    """Judge each value of an input."""
    reports, problems = [], []
    for value in swept:
        try:
            reports.append(judge_with(sizing, {**values, found.name: value}, tables))
            problems.append("")
        except ValueError as wrong:
            reports.append(None)
            problems.append(str(wrong))
    labels = dict(tables(found.table).labels) if isinstance(found, Pick) else {}
    one = next((report.values for report in reports if report), {})
    instead = tables.instead({name: value for name, value in one.items() if name != found.name})
    return Sweep(
        sizing, found, tuple(swept), tuple(reports), tuple(problems), system, labels, instead, tables, dict(values)
    )


def _count(text):
    if not text:
        return STEPS
    if not text.isascii() or not text.isdigit() or not 2 <= int(text[:9]) <= MOST_STEPS:
        raise BadQuestion(f"{option('steps')} {quoted(text)} must be a whole number from 2 to {MOST_STEPS}.")
    return int(text)


def _parts(sizing, found, rest, tables):
    names = found.options(tables)
    swept = tuple(value_of(found, one, tables) for one in tables.one_by_one(found.table, rest)) if rest else names
    if len(swept) > MOST_PARTS:
        raise BadQuestion(
            f"{found.name} has {len(swept)} parts, more than a table can show; use"
            f" {again(sizing, 'find', found.name)} to rank them."
        )
    return swept


def _numbers(sizing, found, rest, count):
    if not rest:
        return tuple(found.to_si(float(n)) for n in np.linspace(found.low, found.high, count))
    low, dots, high = rest.partition("..")
    if not dots:
        raise BadQuestion(
            f"{found.name}={quoted(rest)} has no '..'; a range is LOW..HIGH, for example"
            f" {again(sizing, 'sweep', f'{found.name}={_example(found)}')}."
        )
    unit = re.sub(r"^[\s0-9.,'+eE-]+", "", high)
    bare = re.fullmatch(r"[\s0-9.,'+-]+", low)
    ends = [value_of(found, low + unit if bare else low, None), value_of(found, high, None)]
    if ends[0] >= ends[1]:
        raise BadQuestion(f"{found.name} goes from {quoted(low)} to {quoted(high)}; the first must be the lower one.")
    # Counted in the input's own unit, so that 0.1 s steps stay round numbers.
    shown_ends = [quantity.from_si(end, found.unit) for end in ends]
    return tuple(found.to_si(float(f"{n:.12g}")) for n in np.linspace(*shown_ends, count))


def _example(found):
    return f"{as_typed(found, found.to_si(found.low))}..{as_typed(found, found.to_si(found.high))}"


# --- showing --------------------------------------------------------------------------------------------------------


def works(report):
    """True where a report works on a bad day too, whatever was assumed."""
    return report is not None and report.surely_works


def code_of(sweep):
    """0 where some value works on a bad day too."""
    return FITS if any(map(works, sweep.reports)) else FAILS


def text_of(sweep):
    """The sweep as a table, and one sentence on where it works."""
    told, system = sweep.told(), sweep.system
    head = [sweep.input.name, "days in 100", *(f.name for f in told)]
    units = ["", "", *(_asked(f, sweep) for f in told)]
    rows = [_row(sweep, i, told, system) for i in range(len(sweep.values))]
    lines = [*instead_lines(sweep.instead), sweep.sizing.TITLE, *text_table.wrapped(_where(sweep)), ""]
    lines += text_table.table([head, units, *rows], right=range(1, 2 + len(told)))
    lines += ["", *text_table.wrapped("Shown for a bad day: " + ", ".join(f"{f.name} ({f.label})" for f in told) + ".")]
    return "\n".join([*lines, *(line for said in _problems(sweep) for line in text_table.wrapped(said, more=2))])


def html_of(sweep):
    """The same for a notebook's page."""
    told = sweep.told()
    head = [sweep.input.label, "days in 100", *(_head(f, sweep) for f in told)]
    rows = [_row(sweep, i, told, sweep.system) for i in range(len(sweep.values))]
    note = "What was found is shown for a bad day."
    said = [page_table.sentence(sweep.instead), page_table.sentence(_where(sweep), f"{sweep.sizing.TITLE}.")]
    said += [page_table.table([head, *rows], right=range(1, 2 + len(told))), page_table.sentence(note)]
    return "".join([*said, *map(page_table.sentence, (*_problems(sweep), *filled_in(sweep)))])


def _head(finding, sweep):
    asked = _asked(finding, sweep)
    return f"{finding.label} ({asked})" if asked else finding.label


def _asked(finding, sweep):
    report = next((r for r in sweep.reports if r), None)
    return report_text.asked(report, finding, sweep.system) if report else ""


def _row(sweep, i, told, system):
    report = sweep.reports[i]
    cells = (
        [report_text.on_a_bad_day(report, f, system) for f in told]
        if report
        else ["can't be judged", *[""] * (len(told) - 1)]
    )
    return [sweep.value_text(sweep.values[i]), str(report.days_in_100) if report else "", *cells]


def _where(sweep):
    """On a bad day too it works from ... to ..."""
    runs = [[]]
    for value, report in zip(sweep.values, sweep.reports):
        if works(report):
            runs[-1].append(value)
        elif runs[-1]:
            runs.append([])
    runs = [run for run in runs if run]
    open_ones = [sweep.value_text(v) for v, report in zip(sweep.values, sweep.reports) if report and not report.known]
    rests = f" Not known, for it rests on what was assumed: {', '.join(open_ones)}." if open_ones else ""
    if not runs:
        return f"None of these values {'surely ' * bool(open_ones)}works on a bad day.{rests}"
    if isinstance(sweep.input, Pick):
        some = ", ".join(sweep.value_text(value) for run in runs for value in run)
        return f"Works, on a bad day too: {some}.{rests}"
    ends = [
        sweep.value_text(run[0]) if len(run) == 1 else f"{sweep.value_text(run[0])} to {sweep.value_text(run[-1])}"
        for run in runs
    ]
    return f"Works, on a bad day too, of the values tried: {', '.join(ends)}.{rests}"


def _problems(sweep):
    """Each sentence on what can't be judged once, with a value that it is said of."""
    said = {problem: value for value, problem in zip(sweep.values, sweep.problems) if problem}
    return [f"{sweep.value_text(value)}: {problem}" for problem, value in said.items()]


def pictured(sweep):
    """What the picture shows, in words."""
    told = ", ".join(f.label for f in sweep.told())
    return f"Curves of {told} over {sweep.input.label}, on a good and on a bad day. {_where(sweep)}"


def data_of(sweep):
    """The sweep as plain data, SI."""
    return {
        **({"instead": sweep.instead} if sweep.instead else {}),
        "sizing": sweep.sizing.NAME,
        "input": sweep.input.name,
        "unit": "" if isinstance(sweep.input, Pick) else quantity.si_unit(quantity.kind_of(sweep.input.unit)),
        "rows": [_point(*row) for row in zip(sweep.values, sweep.reports, sweep.problems)],
    }


def _point(value, report, problem):
    if report is None:
        return {"value": value, "problem": problem}
    return {
        "value": value,
        **verdict_data(report),
        "good": {name: number(v) for name, v in report.good.items()},
        "bad": {name: number(v) for name, v in report.bad.items()},
    }
