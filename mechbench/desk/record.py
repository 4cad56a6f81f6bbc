"""The design record as data: what was asked, chosen and found, with every number that is needed to find it again.

Contents: Design, data_of, asked_data, digest_of, figures_of, measured_values, edition, record, NAME, SCHEMA.

The data is plain JSON. Numbers are SI; an infinite one is the text "inf". Its fields:

    "mechbench record"   the number of this layout, SCHEMA
    made                 date, mechbench's version, kit (name and digest), units ("metric" or "us") that the page shows
    sizing, version      the sizing's name, and its VERSION
    judging              the number of the rule of a bad day, JUDGING; records that lack it are older than that number
    inputs               name -> label, unit, value; for a part instead: part, label, table, numbers (its columns; null
                         where nobody gives it), assumed (column -> lowest and highest share, where no label gives it)
    records              records of the kit that the sizing uses, "battery" -> key -> number
    spreads              name of a spread -> kind, low, high: what a bad day is made of
    findings             name -> label, unit, good, bad; where something is asked: sense, bound, good_margin, bad_margin
    days_in_100, hurts   on how many days it works; inputs by how much they hurt, the worst first
    joint_margin         the least margin of all that is asked that is kept on 19 of 20 days
    measured             name of a finding -> what was measured afterwards; empty until then
    asked_for, said      findings that were asked for, each with what is met, and how the question was read: of an
                         answer alone, first in it; a written record has neither
    instead              whose robot it is, in which game, where the kit in force had none; else not there
    figures              input, or battery or fuse, given by its figures -> given, as these can be typed again, and
                         said, what was taken from which part of the kit; else not there
    note                 the same, what the team has too few of, and what the sums leave out, in sentences; else not
                         there
    assumed              numbers that no label gives and that change some finding: input ("motor.rotor_inertia"), value,
                         lowest and highest share of it, and whether the verdict turns within that
"""

import datetime
import math
import operator
import tomllib
from dataclasses import dataclass, field, replace
from pathlib import Path

from mechbench import quantity
from mechbench.desk import asked_first
from mechbench.desk.safe_write import write_new
from mechbench.engine.inputs import Tables
from mechbench.engine.judge import JUDGING, Report, judge_with
from mechbench.engine.owned import given_by_figures, note_of, read_as
from mechbench.engine.spec import Pick
from mechbench.wording import nearest, quoted

NAME, SCHEMA = "mechbench record", 1


@dataclass(frozen=True)
class Design:
    """One sizing with its inputs, its parts and what was found: all that a record tells."""

    report: Report
    tables: Tables
    system: str = "metric"
    measured: dict = field(default_factory=dict)  # finding -> SI number
    date: str = ""
    version: str = ""
    turns: dict = field(default_factory=dict)  # what belongs to the picture alone
    focus: tuple = ()  # names of the findings that were asked for, which are told first
    said: tuple = ()  # how the question was read where it was not asked in the calculator's own words, in sentences

    @property
    def sizing(self):
        """The sizing's class."""
        return self.report.sizing

    @property
    def instead(self):
        """What stands in for that which the kit lacks; empty where it lacks nothing."""
        return self.tables.instead(self.report.values)

    @property
    def note(self):
        """What is told beside the verdict: what the team has too few of, and what the sums leave out; often empty."""
        return note_of(self.sizing, self.report.values, self.tables)


def design(sizing, values, tables, system="metric", measured=None, focus=(), said=()):
    """Judge a sizing for a record made today."""
    return designed(judge_with(sizing, values, tables), tables, system, measured, focus, said)


def designed(report, tables, system="metric", measured=None, focus=(), said=()):
    """What was judged already, for a record made today."""
    return Design(
        report,
        tables,
        system=system,
        measured=measured or {},
        date=datetime.date.today().isoformat(),
        version=edition(),
        focus=tuple(focus),
        said=(*said, *read_as(report.values, tables)),
    )


def edition():
    """mechbench's version, from the project file beside it or from where it was installed."""
    project = Path(__file__).resolve().parents[2] / "pyproject.toml"
    if project.is_file():
        return tomllib.loads(project.read_text(encoding="utf-8"))["project"]["version"]
    from importlib import metadata  # slow to load, and the project file is nearly always there

    return metadata.version("mechbench")


def data_of(design):
    """A design as the plain data that this file's head describes."""
    report, tables = design.report, design.tables
    return (
        asked_data(design)
        | {
            NAME: SCHEMA,
            **({"instead": design.instead} if design.instead else {}),
            "made": {
                "date": design.date,
                "version": design.version,
                "units": design.system,
                "kit": {"name": tables.kit.name, "digest": digest_of(tables)},
            },
            "sizing": design.sizing.NAME,
            "version": design.sizing.VERSION,
            "judging": JUDGING,
            "inputs": {f.name: _input(f, report.values[f.name], tables) for f in design.sizing.FIELDS},
            "records": {path: _record(path, tables.kit) for path in design.sizing.RECORDS},
            "spreads": {
                name: _spread(tables.kit.spread(name)) for name in dict.fromkeys(design.sizing.SPREADS.values())
            },
            "findings": {f.name: _finding(f, report) for f in design.sizing.FINDINGS},
            "days_in_100": report.days_in_100,
            "joint_margin": number(report.joint_margin),
            "hurts": [{"input": path, "costs": number(loss)} for path, loss in report.hurts],
            "measured": {name: number(value) for name, value in design.measured.items()},
        }
        | ({"figures": figures} if (figures := figures_of(tables, report.values)) else {})
        | ({"note": design.note} if design.note else {})
        | ({"assumed": [_assumed(one, report) for one in report.assumed]} if report.assumed else {})
    )


def asked_data(design):
    """What was asked for, first of all that is told; a written record, the same for any question, has none of it."""
    first = {"asked_for": asked_first.data_of(design.report, design.focus, number)} if design.focus else {}
    return first | ({"said": list(design.said)} if design.said else {})


def digest_of(tables):
    """The digest of the kit that parts were taken from: as its files say, without those given by figures."""
    return getattr(tables.kit, "plain", tables.kit).digest


def figures_of(tables, values):
    """What was given by figures, as the data holds it."""
    own = given_by_figures(values, tables)
    return {name: {"given": one.typed, "said": one.said} for name, one in own.items()}


def _assumed(one, report):
    told = {"input": one.path, "value": number(one.value), "low": one.low, "high": one.high}
    return {**told, "turns": one in report.rests_on}


def number(value):
    """A number as JSON can hold it."""
    value = float(value)
    if math.isnan(value):
        raise ValueError(
            "A number of this sizing is lost (NaN), so no record can be made; change an input and try again."
        )
    return value if math.isfinite(value) else ("inf" if value > 0 else "-inf")


def _input(field_, value, tables):
    if isinstance(field_, Pick):
        table = tables(field_.table)
        numbers = {k: None if math.isnan(column) else number(column) for k, column in table.row(value).items()}
        told = {"part": value, "label": table.labels[value], "table": field_.table, "numbers": numbers}
        bands = table.assumed.get(value, {})
        return told | ({"assumed": {key: list(band) for key, band in bands.items()}} if bands else {})
    return {"label": field_.label, "unit": quantity.si_unit(quantity.kind_of(field_.unit)), "value": number(value)}


def _record(path, kit):
    """The numbers of one record of the kit; a list of numbers (the fuse's curve) stays one."""
    record = operator.attrgetter(path)(kit)
    found = {key: getattr(record, key) for key in record}
    listed = {key: [number(one) for one in value] for key, value in found.items() if isinstance(value, tuple)}
    return {key: number(value) for key, value in found.items() if isinstance(value, (int, float))} | listed


def _spread(spread):
    return {"kind": spread.kind, "low": number(spread.low), "high": number(spread.high)}


def _finding(finding, report):
    name = finding.name
    told = {
        "label": finding.label,
        "unit": quantity.si_unit(quantity.kind_of(finding.unit)),
        "good": number(report.good[name]),
        "bad": number(report.bad[name]),
    }
    if name in report.ends:
        told |= {"bad_from": number(report.ends[name][0]), "bad_to": number(report.ends[name][1])}
    if finding.sense:
        told |= {"sense": finding.sense, "bound": number(report.bounds[name])}
        told |= {"good_margin": number(report.good_margin[name]), "bad_margin": number(report.bad_margin[name])}
    return told


def measured_values(sizing, given):
    """What was measured, by finding: text with a unit or an SI number -> SI number."""
    known = {f.name: f for f in sizing.FINDINGS}
    values = {}
    for name, value in given.items():
        if name not in known:
            raise ValueError(f"{quoted(name)} is not a finding of {sizing.NAME}; {nearest(name, known)}")
        kind = quantity.kind_of(known[name].unit)
        try:
            values[name] = quantity.read(value, kind).value if isinstance(value, str) else float(value)
        except ValueError as wrong:
            raise ValueError(f"measured {name}: {wrong}") from None
    return values


# --- writing --------------------------------------------------------------------------------------------------------


def record(bench, path, measured=None):
    """Write the design record of a bench: one page, as .html (prints well) or .md; a file that is there is never
    touched.

    bench : what mb.bench(...) or mb.size(...) gave
    path : "arm.html" or "arm.md"; where there is such a file already, the new one gets a number: "arm-2.html"
    measured : findings that were measured afterwards, {"time": "1.3 s"}
    """
    if hasattr(type(bench), "record"):  # an answer, which knows how it was asked
        return bench.record(path, measured)
    if bench.report is None:
        raise ValueError(f"This bench has nothing to record yet: {bench.problem}")
    made = Design(
        bench.report,
        bench.tables,
        system=bench.system,
        measured=measured_values(bench.sizing, measured or {}),
        date=datetime.date.today().isoformat(),
        version=edition(),
        turns=bench.turns,
    )
    return Written(write(made, path))


class Written:
    """Where a record was written; shown as a sentence."""

    def __init__(self, path):
        self.path = path

    def __repr__(self):
        return f"The record is {self.path.name}, beside this notebook. mb.reopen({self.path.name!r}) opens it again."


def write(design, path):
    """Write a design's record and give its path."""
    from mechbench.desk import record_page  # with matplotlib behind it, which nothing else here needs

    path, data = Path(path), data_of(replace(design, focus=(), said=()))
    if path.suffix.lower() == ".html":
        return write_new(path, record_page.html(design, data))
    if path.suffix.lower() == ".md":
        picture = write_new(
            path.with_suffix(".png"), record_page.picture(design)
        )  # Markdown can't hold a picture itself
        return write_new(path, record_page.markdown(design, data, picture.name))
    raise ValueError(f"{quoted(path.name)} ends neither in .html nor in .md; give the record one of these two names.")
