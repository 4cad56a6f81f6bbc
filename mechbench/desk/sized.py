"""One sizing with its answer, for notebooks: used as numbers, shown as a page, written as a record.

Contents: size, sized_of, Sized, NoSuchFinding, by_dot, not_found, PUBLIC_NAMES.
"""

from dataclasses import replace
from pathlib import Path

from mechbench import quantity
from mechbench.desk import answer, page_table, record
from mechbench.desk.called import called, read
from mechbench.engine import assumed_text, report_text
from mechbench.engine.inputs import supplies
from mechbench.engine.owned import given_by_figures
from mechbench.engine.spec import Pick, in_game
from mechbench.wording import nearest, quoted, shortened

LONGEST = 110  # letters of a line of the short text
IN_SHORT = 3  # findings that it tells
# What people call it -> what it is called here.
LEADS = {
    "bad_day": "bad",
    "good_day": "good",
    "inputs": "values",
    "findings": "good",
    "works_bad": "works_on_bad_day",
    "bad_works": "works_on_bad_day",
    "days": "days_in_100",
    "save": "record",
    "change": "changed",
}
MOST = {"max": "most", "min": "least"}
PUBLIC_NAMES = (
    "bad",
    "changed",
    "days_in_100",
    "given",
    "good",
    "items",
    "keys",
    "record",
    "report",
    "sizing",
    "tables",
    "to_dict",
    "values",
    "verdict",
    "works",
    "works_on_bad_day",
)


def size(name="", *stray, kit=None, system=None, **inputs):
    """Size a mechanism: mb.size("arm", payload="0.5 kg") gives its findings, on a good and on a bad day.

    name : "arm", "lift", "winch" ...; mb.inputs("arm") lists its inputs and findings, with units and ranges
    inputs : by name: text with a unit, a number in SI units, or the name of a part; the others are as usual
    kit : another kit than the one in force; system : "metric" or "us", the units that are shown

    What it gives is used as numbers, in SI units: r["time"] or r.time on a good day, r.bad["time"] on a bad one,
    r.values["payload"] for an input, r.works_on_bad_day, r.days_in_100. r.changed(payload="0.6 kg") sizes it anew,
    r.record("arm.html") writes the design record, r.to_dict() is plain data, print(r) tells all. Related: mb.find
    (which parts do it), mb.sweep (one input through a range), mb.bench (with sliders).
    """
    asked = called(name, kit, system, inputs, stray=stray)
    return _sized(asked.sizing, asked.values, asked.tables, asked.system, asked.said)


def _sized(sizing, values, tables, system, said):
    return Sized(record.design(sizing, values, tables, system, said=said), values)


def sized_of(report, tables, system, given):
    """What was judged already, as mb.size gives it."""
    return Sized(record.designed(report, tables, system), given)


class NoSuchFinding(KeyError):
    """A finding that a sizing does not have; said as a sentence."""

    def __str__(self):
        return self.args[0]


class _Findings(dict):
    """Findings by name; an unknown one is refused with the nearest."""

    def __init__(self, sizing, found):
        super().__init__(found)
        self._sizing = sizing

    def __missing__(self, name):
        raise NoSuchFinding(not_found(self._sizing, name))

    def __getattr__(self, name):
        return by_dot(self, name)

    def __dir__(self):
        return sorted([*self, "items", "keys"])

    def __reduce__(self):
        return _Findings, (self._sizing, dict(self))


class _Explained:
    """What `?` shows: of the class what it is, of a result its inputs and findings with units and ranges."""

    def __init__(self, of_class):
        self.of_class = of_class

    def __get__(self, sized, owner=None):
        if sized is None:
            return self.of_class
        from mechbench.desk import explained  # the overview of all sizings comes with it

        return repr(explained.explained(sized.report, sized._design.system))


ABOUT = """A sizing with its answer: r["time"] or r.time is a finding on a good day, in SI units, r.bad["time"] the same
    on a bad day. It is gone through like a dictionary of findings.

    values : all inputs; given : those of them that were given
    works : all that is asked is met on a good day; works_on_bad_day : on a bad day too; days_in_100 : on so many days
    verdict : the same in a sentence; report, sizing, tables : what the engine gave and took
    """


class Sized:
    # A result shows its own inputs and findings instead: see mb.size.
    __doc__ = _Explained(ABOUT)

    def __init__(self, design, given):
        self._design = design
        self.report, self.tables, self.sizing = design.report, design.tables, design.sizing
        first = {f.name: given[f.name] for f in self.sizing.FIELDS if f.name in given}
        self.given = {**first, **given}  # after the inputs battery and fuse
        own = given_by_figures(self.report.values, self.tables)
        self._supplied = {one: own[one.name] for one in supplies(self.sizing) if one.name in own}
        self.values = {**self.report.values, **{one.name: given.typed for one, given in self._supplied.items()}}
        self.good, self.bad = (_Findings(self.sizing, day) for day in (self.report.good, self.report.bad))
        self.works, self.works_on_bad_day = self.report.works, self.report.works_on_bad_day
        self.days_in_100 = self.report.days_in_100
        self.verdict = report_text.verdict(self.report, design.system)

    def __getitem__(self, name):
        return self.good[name]

    def __getattr__(self, name):
        return by_dot(self, name)

    def __iter__(self):
        return iter(self.good)

    def __len__(self):
        return len(self.good)

    def __contains__(self, name):
        return name in self.good

    def __dir__(self):
        return sorted([*PUBLIC_NAMES, *self.good])

    def _ipython_key_completions_(self):
        return list(self.good)

    def keys(self):
        """Names of the findings."""
        return self.good.keys()

    def items(self):
        """Names of the findings, each with its number on a good day."""
        return self.good.items()

    def to_dict(self):
        """All of it as plain data, as a design record holds it; another battery or fuse stands with the inputs."""
        data = record.data_of(self._design)
        told = {one.name: {"label": one.label, "given": own.typed} for one, own in self._supplied.items()}
        return {**data, "inputs": data["inputs"] | told} if told else data

    def changed(self, **inputs):
        """Size it anew with some inputs changed: r.changed(payload="0.6 kg"). None: as usual again."""
        tables, said = self.tables.fresh(), []
        own = {name: one.typed for name, one in given_by_figures(self.values, self.tables).items()}
        values = read(self.sizing, {**self.given, **own, **inputs}, tables, said)
        return _sized(self.sizing, values, tables, self._design.system, said)

    def record(self, path, measured=None):
        """Write the design record, one page: r.record("arm.html"); measured : findings, {"time": "0.9 s"}."""
        folder = Path(path).parent
        if not folder.is_dir():
            raise ValueError(
                f"There is no folder {quoted(str(folder))} for the record; make it first, or leave it out."
            )
        told = record.measured_values(self.sizing, measured or {})
        return record.Written(record.write(replace(self._design, measured=told), path))

    def __repr__(self):
        told, system = self.sizing.judged() or self.sizing.FINDINGS, self._design.system
        found = ", ".join(f"{f.name} {report_text.found(self.report, f, self.good, system)}" for f in told[:IN_SHORT])
        return f"{self.sizing.NAME}: {shortened(found, LONGEST)}\n{shortened(self.verdict, LONGEST)}".rstrip()

    def __str__(self):
        return answer.text_of(self._design, self.given)

    def _repr_html_(self):
        design = self._design
        said = (*design.said, design.instead, *answer.sentences(design))
        shown = [page_table.sentence("", self.sizing.TITLE), *map(page_table.sentence, said), *self._inputs_told()]
        return "".join([*shown, self._findings_told(), page_table.sentence(self._assumed_told())])

    def _inputs_told(self):
        """What was given, then the inputs that are as usual."""
        shown = {f.name: self._input_told(f) for f in self.sizing.FIELDS}
        own = given_by_figures(self.values, self.tables)
        shown |= {name: f"{name.capitalize()} {one.typed}" for name, one in own.items() if name not in shown}
        rest = [f for f in in_game(self.sizing.FIELDS, self.tables.kit) if f.name not in self.given]
        groups = (("You gave:", self.given), ("As usual:", [f.name for f in rest]))
        return [page_table.sentence("; ".join(shown[name] for name in names), head) for head, names in groups if names]

    def _input_told(self, field):
        value = self.values[field.name]
        if isinstance(field, Pick):
            return f"{field.label}: {self.tables(field.table).labels[value]}"
        return f"{field.label} {quantity.show(value, field.unit, system=self._design.system)}"

    def _findings_told(self):
        """A row for each finding, those of which something is asked first."""
        asked = [f for f in self.sizing.FINDINGS if f.sense]
        rows = [self._finding_told(f) for f in (*asked, *(f for f in self.sizing.FINDINGS if not f.sense))]
        return page_table.table([("name", "what was found", "good day", "bad day", "asked"), *rows], right=(2, 3))

    def _finding_told(self, finding):
        days = report_text.both_days(self.report, finding, self._design.system)
        cells = [text if met else f"{text} {page_table.NOT_MET}" for text, met in days]
        return (finding.name, finding.label, *cells, report_text.asked(self.report, finding, self._design.system))

    def _assumed_told(self):
        told = assumed_text.assumed_lines(self.report, self.tables, self._design.system)
        return f"Assumed: {'; '.join(told)}." if told else ""


def by_dot(answer, name):
    """What an answer has by a name in brackets, asked by a dot."""
    if name.startswith("_"):  # asked by Python and by notebooks, to see what it can
        raise AttributeError(name)
    try:
        return answer[name]
    except NoSuchFinding as unknown:
        raise AttributeError(str(unknown)) from None


def not_found(sizing, name):
    """Why a name is no finding, and where to look instead."""
    shown = quoted(name)
    if any(name == f.name for f in sizing.FIELDS):
        return f"{shown} is an input of {sizing.NAME}: .values[{shown}] has it."
    if name in LEADS:
        return f"Here it is called .{LEADS[name]}."
    way, _, what = name.partition("_")
    if way in ("max", "min") and what:
        what = what if any(what == f.name for f in (*sizing.FIELDS, *sizing.FINDINGS)) else sizing.FIELDS[0].name
        return f'One answer has no {shown}; mb.{MOST[way]}("{sizing.NAME}", "{what}") looks for it.'
    return f"{shown} is not a finding of {sizing.NAME}; {nearest(name, [f.name for f in sizing.FINDINGS])}"
