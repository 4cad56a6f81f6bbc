"""A design record opened again: its numbers must come out as before, from the parts that it holds itself.

Contents: Reopened, reopen, data_in_text, shown_in, text_of, data_of_reopened, code_of.

A record carries the numbers of its parts, so it is judged with these, whatever became of the kit since. A record that
is older than the sizing lacks what was added; each such thing is told in one sentence and taken as usual.
"""

import json
import math
import stat
from dataclasses import dataclass, replace
from pathlib import Path
from types import SimpleNamespace

from mechbench import quantity
from mechbench.catalog import NAMES, sizing_of
from mechbench.desk import answer
from mechbench.desk.record import NAME, SCHEMA, Design, data_of, measured_values, number
from mechbench.engine import report_text
from mechbench.engine.inputs import Tables
from mechbench.engine.judge import judge_with
from mechbench.engine.spec import Pick
from mechbench.kits import Record, Spread, Table
from mechbench.kits import kit as kit_in_force
from mechbench.wording import quoted, shortened

MOST_BYTES = 8_000_000
MOST_TEXT = 200
SAME = 1e-9  # relative; another machine's arithmetic may differ in the last digits
# What stands before the data in a file and after it: in HTML, in Markdown.
AROUND = (
    ('<script type="application/json" id="mechbench-record">', "</script>"),
    ("\n```json mechbench-record\n", "\n```\n"),
)


@dataclass(frozen=True)
class Reopened:
    """A record opened again. notes: what it lacked; differences: findings that come out otherwise, by name."""

    design: Design
    notes: tuple
    differences: dict  # finding -> (as it was, as it is)
    name: str

    @property
    def report(self):
        """The report, judged anew."""
        return self.design.report

    @property
    def values(self):
        """The inputs, for mb.bench(reopened.sizing, reopened.values)."""
        return dict(self.design.report.values)

    @property
    def sizing(self):
        """The name of the sizing."""
        return self.design.sizing.NAME

    def __repr__(self):
        return text_of(self)


def reopen(path):
    """Open a design record (.html or .md) again; ValueError says in a sentence why it can't be."""
    path = Path(path)
    data = _data_in(path)
    sizing = _sizing_of(data)
    kept = _Kept(sizing, data)
    report = judge_with(sizing, kept.values, kept)
    made = _dict(data, "made")
    system = "us" if made.get("units") == "us" else "metric"
    measured = measured_values(
        sizing, {n: _number(v, n) for n, v in _dict(data, "measured").items() if n in _names(sizing.FINDINGS)}
    )
    design = Design(
        report, kept, system=system, measured=measured, date=_text(made.get("date")), version=_text(made.get("version"))
    )
    differences = _differences(data, design, kept.notes)
    return Reopened(design, tuple(kept.notes), differences, path.name)


def _names(known):
    return [one.name for one in known]


# --- reading --------------------------------------------------------------------------------------------------------


def _data_in(path):
    """The data that stands in a file."""
    shown = quoted(path.name)
    state = path.stat()
    if not stat.S_ISREG(state.st_mode):
        raise ValueError(
            f"{shown} is no file that can be read; give a design record, a file that ends in .html or .md."
        )
    if state.st_size > MOST_BYTES:
        raise ValueError(
            f"{shown} has {state.st_size} bytes, more than any design record, which has at most {MOST_BYTES}; give"
            " another file."
        )
    text = path.read_bytes().decode("utf-8", errors="replace")
    found = data_in_text(text)
    if found is None:
        raise ValueError(f"{shown} holds no data of a design record; give a file that --record wrote.")
    try:
        data = json.loads(found, parse_constant=_refuse_constant)
    except (ValueError, RecursionError):
        raise ValueError(f"{shown} is damaged: its data can't be read; take the file as it was written.") from None
    if not isinstance(data, dict) or NAME not in data:
        raise ValueError(f"{shown} holds data, but not of a design record; give a file that --record wrote.")
    if data[NAME] != SCHEMA:
        raise ValueError(
            f"{shown} has the layout {shortened(data[NAME])}, and this mechbench reads {SCHEMA}; get a newer mechbench."
        )
    return data


def data_in_text(text):
    """The data in the text of a record, as text; None where there is none.

    Only the first head counts: where nothing closes it, nothing closes a later one. So a file of heads alone is read
    once, not once for each head.
    """
    text = f"\n{text}\n"
    for head, end in AROUND:
        start = text.find(head)
        # The line break that ends a head may be the one that begins the end.
        stop = text.find(end, start + len(head.rstrip("\n"))) if start >= 0 else -1
        if stop >= 0:
            return text[start + len(head) : stop]
    return None


def _refuse_constant(word):
    raise ValueError(word)


def _sizing_of(data):
    name = data.get("sizing")
    if not isinstance(name, str) or name not in NAMES:
        raise ValueError(
            f"The record is of the sizing {quoted(name)}, which this mechbench does not have; it has"
            f" {', '.join(NAMES)}."
        )
    return sizing_of(name)


def _dict(data, key):
    """A part of the data that must be a table; empty where it is missing."""
    found = data.get(key, {}) if isinstance(data, dict) else None
    if not isinstance(found, dict):
        raise ValueError(f"The record is damaged: its {key} is no table; take the file as it was written.")
    return found


def _text(value):
    return value[:MOST_TEXT] if isinstance(value, str) else ""


def _number(value, what):
    """A number of the data; "inf" and "-inf" are numbers too."""
    if value in ("inf", "-inf"):
        return float(value)
    if isinstance(value, bool) or not isinstance(value, (int, float)) or not abs(value) < 1e300:
        raise ValueError(f"The record is damaged: its {shortened(what)} is no number; take the file as it was written.")
    return float(value)


def _numbers(values, what):
    """A number, or a tuple of numbers where a list stands."""
    return tuple(_number(one, what) for one in values) if isinstance(values, list) else _number(values, what)


# --- the parts that a record holds ----------------------------------------------------------------------------------


class _Kept:
    """Stands in for a kit's tables: parts, records and spreads as the record holds them; what it lacks comes from the
    kit
    in force, and a note says so."""

    def __init__(self, sizing, data):
        self.sizing, self.notes = sizing, []
        made = _dict(data, "made")
        self._since = f"The record of {_text(made.get('date')) or 'an unknown day'}"
        self._now = Tables(sizing, kit_in_force())
        self._inputs = _dict(data, "inputs")
        self._tables, self._rows = {}, {}
        self.kit = self._kit(data, _dict(made, "kit"))
        if self.kit.digest != self._now.kit.digest:
            self.notes.append(
                f"{self._since} was made with the kit {self.kit.digest or '?'}, not {self._now.kit.digest}: its own"
                " parts are used."
            )
        self.values = {f.name: self._value(f) for f in sizing.FIELDS}
        for name in self._inputs:
            if name not in self.values:
                self.notes.append(
                    f"{self._since} has an input {quoted(name)} that {sizing.NAME} no longer has: it is left out."
                )

    def __call__(self, name):
        if name not in self._tables:
            rows = self._rows[name]
            columns = {key: [numbers[key] for numbers, _ in rows.values()] for key in next(iter(rows.values()))[0]}
            labels = {part: label for part, (_, label) in rows.items()}
            usual = next(iter(rows))
            self._tables[name] = Table(name=name, names=tuple(rows), usual=usual, labels=labels, columns=columns)
        return self._tables[name]

    def _value(self, field):
        given = self._inputs.get(field.name)
        if isinstance(field, Pick):
            return self._part(field, given)
        if given is None:
            usual = field.to_si(field.default)
            self.notes.append(
                f"{self._since} was made before {field.name} was an input: {quantity.show(usual, field.unit)} is taken,"
                " as usual."
            )
            return usual
        return _number(_dict(self._inputs, field.name).get("value"), field.name)

    def _part(self, field, given):
        table = self._now(field.table)
        if given is None:
            part = field.first(self._now)
            self.notes.append(
                f"{self._since} was made before {field.name} was an input: {table.labels[part]} is taken, as usual."
            )
            numbers, label = table.row(part), table.labels[part]
        else:
            given = _dict(self._inputs, field.name)
            part, label = _text(given.get("part")), _text(given.get("label")) or _text(given.get("part"))
            numbers = {key: _number(value, f"{field.name} {key}") for key, value in _dict(given, "numbers").items()}
            numbers = self._completed(field, part, numbers, table)
        self._rows.setdefault(field.table, {})[part] = (numbers, label)
        return part

    def _completed(self, field, part, numbers, table):
        """A part's numbers, with those added that the sizing has come to need."""
        lacks = [key for key in table.columns if key not in numbers]
        if lacks and part not in table.names:
            raise ValueError(
                f"{self._since} does not tell {lacks[0]} of {quoted(part)}, and the kit has no such part; size it anew."
            )
        for key in lacks:
            numbers[key] = table.row(part)[key]
            self.notes.append(
                f"{self._since} does not tell {key} of {part}: it is taken from the kit, {numbers[key]:.4g} in SI."
            )
        return {key: numbers[key] for key in table.columns}

    def _kit(self, data, told):
        kept = {
            "digest": _text(told.get("digest")),
            "name": _text(told.get("name")),
            "spread": self._spread_from(_dict(data, "spreads")),
        }
        kit = SimpleNamespace(**kept)
        for path in self.sizing.RECORDS:
            _put(kit, path.split("."), self._record(path, _dict(data, "records")))
        return kit

    def _record(self, path, records):
        """The numbers of one record of the kit, with those added that it lacks."""
        now = self._now.kit
        for word in path.split("."):
            now = getattr(now, word)
        kept = {key: _numbers(value, f"{path} {key}") for key, value in _dict(records, path).items()}
        for key in now:
            if key not in kept and isinstance(getattr(now, key), (int, float, tuple)):
                kept[key] = getattr(now, key)
                self.notes.append(f"{self._since} does not tell {key} of {path}: it is taken from the kit.")
        return Record(path, kept)

    def _spread_from(self, spreads):
        def spread(name):
            if name not in spreads:
                self.notes.append(
                    f"{self._since} does not tell how far {name.replace('_', ' ')} varies: that is taken from the kit."
                )
                spreads[name] = vars(self._now.kit.spread(name))
            told = _dict(spreads, name)
            kind = told.get("kind") if told.get("kind") in ("relative", "absolute") else "relative"
            return Spread(kind=kind, low=_number(told.get("low"), name), high=_number(told.get("high"), name))

        return spread


def _put(owner, path, record):
    """Hang a record below names that may be shared: "game.match" and "game.robot" are both below game."""
    for word in path[:-1]:
        if not hasattr(owner, word):
            setattr(owner, word, SimpleNamespace())
        owner = getattr(owner, word)
    setattr(owner, path[-1], record)


# --- comparing and showing ------------------------------------------------------------------------------------------


def _differences(data, design, notes):
    """Findings that come out otherwise than the record says; those that one of the two does not have are noted."""
    was, now = _dict(data, "findings"), data_of(design)["findings"]
    old = f"The record of {design.date or 'an unknown day'}"
    lacks = [name for name in now if name not in was]
    if lacks:
        notes.append(f"{old} was made before {' and '.join(lacks)} {'was' if len(lacks) == 1 else 'were'} found.")
    gone = [name for name in was if name not in now]
    if gone:
        notes.append(
            f"{old} tells {', '.join(name[:40] for name in gone)}, which {design.sizing.NAME} no longer finds."
        )
    found = {}
    for name in now:
        if name in was:
            pairs = [(_number(_dict(was, name).get(day), name), float(now[name][day])) for day in ("good", "bad")]
            if not all(_same(*pair) for pair in pairs):
                found[name] = pairs[0] if not _same(*pairs[0]) else pairs[1]
    return found


def _same(one, other):
    return one == other or math.isclose(one, other, rel_tol=SAME, abs_tol=1e-12)


def code_of(reopened):
    """As the sizing itself."""
    return answer.code_of(reopened.report)


def shown_in(reopened, system):
    """The same, shown in another system of units."""
    return replace(reopened, design=replace(reopened.design, system=system))


def data_of_reopened(reopened):
    """The record's data as it comes out now, with what it lacked and what differs."""
    differs = {name: {"was": number(was), "is": number(now)} for name, (was, now) in reopened.differences.items()}
    return {**data_of(reopened.design), "notes": list(reopened.notes), "differences": differs}


def text_of(reopened):
    """What was opened, whether its numbers come out as before, and the page of the sizing."""
    design = reopened.design
    lines = [
        f"{reopened.name}: made {design.date or 'on an unknown day'} with mechbench {design.version or '?'}, kit"
        f" {design.tables.kit.name}."
    ]
    lines += reopened.notes
    lines.append(_outcome(reopened))
    lines += _measured(design)
    return "\n".join([*lines, "", answer.text_of(design, [f.name for f in design.sizing.FIELDS])])


def _outcome(reopened):
    if not reopened.differences:
        return "Opened again, all its numbers are as they were."
    finding = {f.name: f for f in reopened.design.sizing.FINDINGS}
    told = [
        f"{finding[n].label} was {report_text.number(finding[n], was, reopened.design.system)} and is "
        f"{report_text.number(finding[n], now, reopened.design.system)}"
        for n, (was, now) in reopened.differences.items()
    ]
    return f"Not all numbers are as they were, because formulas have changed since: {'; '.join(told)}."


def _measured(design):
    """What was measured afterwards, beside what was predicted for a good day."""
    finding = {f.name: f for f in design.sizing.FINDINGS}
    return [
        f"Measured: {finding[n].label} {report_text.number(finding[n], value, design.system)}; predicted "
        f"{report_text.number(finding[n], design.report.good[n], design.system)}"
        f"{answer.off_by(value, design.report.good[n])}."
        for n, value in design.measured.items()
    ]
