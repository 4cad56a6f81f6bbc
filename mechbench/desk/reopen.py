"""A design record opened again: its numbers must come out as before, from the parts that it holds itself.

Contents: Reopened, reopen, data_in_text, shown_in, text_of, data_of_reopened, code_of.

A record carries the numbers of its parts, so it is judged with these, whatever became of the kit since. A record that
is older than the sizing lacks what was added; each such thing is told in one sentence and taken as usual. So is a rule
of judging or a version of the sizing that is another one since. A whole robot alone comes from the kit in force.
"""

import json
import math
import stat
from contextlib import suppress
from dataclasses import dataclass, replace
from pathlib import Path
from types import SimpleNamespace

from mechbench import quantity
from mechbench.catalog import NAMES, sizing_of
from mechbench.desk import answer, old_form, record_changes
from mechbench.desk.record import NAME, SCHEMA, Design, data_of, measured_values, number
from mechbench.desk.record_changes import Difference
from mechbench.desk.spoken import way
from mechbench.engine import report_text
from mechbench.engine.inputs import Tables
from mechbench.engine.inputs import supplies as supplies_of
from mechbench.engine.judge import JUDGING, judge_with
from mechbench.engine.spec import Pick
from mechbench.kits import Record, Spread, Table, pairing
from mechbench.kits import kit as kit_in_force
from mechbench.kits.derived_numbers import UNTOLD
from mechbench.kits.schema import SHAPES
from mechbench.wording import quoted, shortened

MOST_BYTES = 8_000_000
MOST_TEXT, MOST_SAID = 200, 600
# Older records hold no gearmotor, or take its gears as lossless, and do not tell.
OF_GEARMOTORS = {pairing.GEARED: 0.0, pairing.BUILT_IN: 0.0, "passes": 1.0}
SAME = 1e-9  # relative; another machine's arithmetic may differ in the last digits
# What stands before the data in a file and after it: in HTML, in Markdown.
AROUND = (
    ('<script type="application/json" id="mechbench-record">', "</script>"),
    ("\n```json mechbench-record\n", "\n```\n"),
)


@dataclass(frozen=True)
class Given:
    """What a record tells of a part that was given by its figures."""

    typed: str
    said: str


@dataclass(frozen=True)
class Reopened:
    """A record opened again. notes: what it lacked, and what is another one since; differences: findings that come out
    otherwise, by name.
    """

    design: Design
    notes: tuple
    differences: dict  # finding -> Difference
    name: str
    rule: int = JUDGING  # of judging, by which it was made
    days_in_100: int | None = None  # on which it worked; None where it does not tell

    @property
    def report(self):
        """The report, judged anew."""
        return self.design.report

    @property
    def values(self):
        """The inputs, for mb.bench(reopened.sizing, reopened.values); battery and fuse where they were given."""
        own = self.design.tables.own_of({})
        supplies = {one.name: own[one.name].typed for one in supplies_of(self.design.sizing) if one.name in own}
        return {**self.design.report.values, **supplies}

    @property
    def sizing(self):
        """The name of the sizing."""
        return self.design.sizing.NAME

    def __repr__(self):
        return text_of(self)


def reopen(path):
    """Open a design record (.html or .md) again; ValueError says in a sentence why it can't be."""
    path = Path(path)
    data, other_names = old_form.renamed(_data_in(path))
    sizing = _sizing_of(data)
    rule, kept = _rule(data), _Kept(sizing, data)
    if other_names:
        kept.notes.insert(0, f"{kept.since} is from before a game had entries of any name: {other_names}.")
    kept.notes += record_changes.notes(kept.since, sizing, rule, _whole(data.get("version")))
    try:
        report = judge_with(sizing, kept.values, kept)
    except ValueError as wrong:
        raise ValueError(f"{kept.since} can't be judged: {str(wrong).rstrip('.')}; size it anew.") from None
    made = _dict(data, "made")
    system = "us" if made.get("units") == "us" else "metric"
    measured = measured_values(
        sizing, {n: _number(v, n) for n, v in _dict(data, "measured").items() if n in _names(sizing.FINDINGS)}
    )
    design = Design(
        report, kept, system=system, measured=measured, date=_text(made.get("date")), version=_text(made.get("version"))
    )
    differences = _differences(data, design, kept.notes)
    return Reopened(design, tuple(kept.notes), differences, path.name, rule, _whole(data.get("days_in_100")))


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
        raise ValueError(f"{shown} holds no data of a design record; give a file that {way('record')} wrote.")
    try:
        data = json.loads(found, parse_constant=_refuse_constant)
    except (ValueError, RecursionError):
        raise ValueError(f"{shown} is damaged: its data can't be read; take the file as it was written.") from None
    if not isinstance(data, dict) or NAME not in data:
        raise ValueError(f"{shown} holds data, but not of a design record; give a file that {way('record')} wrote.")
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


def _rule(data):
    """The rule of judging of a record. Its number was not written at first; the margin of all at once came with the
    second rule.
    """
    if "judging" not in data:
        return 2 if "joint_margin" in data else 1
    rule = _whole(data["judging"])
    if rule is None:
        raise ValueError("The record is damaged: its judging is no whole number; take the file as it was written.")
    return rule


def _whole(value):
    """A number from 0 by which something is counted; None where the data holds something else."""
    return value if isinstance(value, int) and not isinstance(value, bool) and 0 <= value < 1e6 else None


def _text(value, most=MOST_TEXT):
    return value[:most] if isinstance(value, str) else ""


def _number(value, what):
    """A number of the data; "inf" and "-inf" are numbers too."""
    if value in ("inf", "-inf"):
        return float(value)
    if isinstance(value, bool) or not isinstance(value, (int, float)) or not abs(value) < 1e300:
        raise ValueError(f"The record is damaged: its {shortened(what)} is no number; take the file as it was written.")
    return float(value)


def _band(ends, what):
    """Lowest and highest share of an assumed number."""
    shares = _numbers(ends, what)
    if not (isinstance(shares, tuple) and len(shares) == 2 and 0 < shares[0] <= 1 <= shares[1] < math.inf):
        raise ValueError(
            f"The record is damaged: its band of {shortened(what)} is none; take the file as it was written."
        )
    return shares


def _numbers(values, what):
    """A number, or a tuple of numbers where a list stands."""
    return tuple(_number(one, what) for one in values) if isinstance(values, list) else _number(values, what)


# --- the parts that a record holds ----------------------------------------------------------------------------------


class _Kept:
    """Stands in for a kit's tables: parts, records and spreads as the record holds them; what it lacks comes from the
    kit in force, and a note says so. What is built from the whole kit is built from the kit in force.
    """

    def __init__(self, sizing, data):
        self.sizing, self.notes = sizing, []
        made = _dict(data, "made")
        self.since = f"The record of {_text(made.get('date')) or 'an unknown day'}"
        self._now = Tables(sizing, kit_in_force())
        self._inputs = _dict(data, "inputs")
        self._tables, self._rows = {}, {}
        self._own = self._figures(data)
        told = _dict(made, "kit")
        self.kit_name, digest = _text(told.get("name")), _text(told.get("digest"))
        self.kit_changed = digest != self._now.kit.plain.digest
        self.kit = self._now.kit if sizing.WHOLE_KIT else self._kit(data, told)
        if self.kit_changed:
            parts = "it is built from the kit as it is now" if sizing.WHOLE_KIT else "its own parts are used"
            self.notes.append(
                f"{self.since} was made with the kit {digest or '?'}, not {self._now.kit.plain.digest}: {parts}."
            )
        self.values = {f.name: self._value(f) for f in sizing.FIELDS}
        self.whole_kit = self._now.kit  # for the ranges of what follows the game
        numbers = {f.name: self.values[f.name] for f in sizing.FIELDS if not isinstance(f, Pick)}
        self.recorded = numbers if self.kit_changed else {}
        for name in self._inputs:
            if name not in self.values:
                self.notes.append(
                    f"{self.since} has an input {quoted(name)} that {sizing.NAME} no longer has: it is left out."
                )

    def __call__(self, name):
        if self.sizing.WHOLE_KIT:
            return self._now(name)
        if name not in self._tables:
            rows = self._rows[name]
            columns = {key: [numbers[key] for numbers, *_ in rows.values()] for key in next(iter(rows.values()))[0]}
            labels = {part: label for part, (_, label, _) in rows.items()}
            bands = {part: assumed for part, (*_, assumed) in rows.items()}
            self._tables[name] = Table(
                name=name, names=tuple(rows), usual=next(iter(rows)), labels=labels, columns=columns, assumed=bands
            )
        return self._tables[name]

    def _figures(self, data):
        """What was given by figures; what is built from the whole kit is built with these."""
        figures = _dict(data, "figures")
        own = {}
        for name in figures:
            given, said = (_text(_dict(figures, name).get(key), MOST_SAID) for key in ("given", "said"))
            own[name[:MOST_TEXT]] = Given(given, said)
            if self.sizing.WHOLE_KIT:
                self._now.add(name, given)
        return own

    def own_of(self, values):
        """What was given by figures."""
        return self._own

    def instead(self, values):
        """What is built from the whole kit is built from the kit in force, or from what stands in for it."""
        return self._now.instead(values)

    def _value(self, field):
        given = self._inputs.get(field.name)
        if isinstance(field, Pick):
            return self._part(field, given)
        if given is None:
            usual = self._usual(field)
            self.notes.append(
                f"{self.since} was made before {field.name} was an input: {quantity.show(usual, field.unit)} is taken,"
                " as usual."
            )
            return usual
        return _number(_dict(self._inputs, field.name).get("value"), field.name)

    def _usual(self, field):
        """The default of a number that was no input yet: where it follows what the record holds, such as its
        controller's limit, that; else as with the kit in force.
        """
        figure = None
        if field.follows is not None:
            with suppress(AttributeError):  # a record holds no game
                figure = field.follows(self.kit)
        return field.first(self._now) if figure is None else figure

    def _part(self, field, given):
        table = self._now(field.table)
        if given is None:
            part = field.first(self._now)
            self.notes.append(
                f"{self.since} was made before {field.name} was an input: {table.labels[part]} is taken, as usual."
            )
            numbers, label, bands = table.row(part), table.labels[part], table.assumed.get(part, {})
        elif self.sizing.WHOLE_KIT:
            return field.read(_text(_dict(self._inputs, field.name).get("part")), self._now)
        else:
            given = _dict(self._inputs, field.name)
            part, label = _text(given.get("part")), _text(given.get("label")) or _text(given.get("part"))
            numbers = {
                key: math.nan if value is None and key in UNTOLD else _number(value, f"{field.name} {key}")
                for key, value in _dict(given, "numbers").items()
            }
            numbers = self._completed(field, part, numbers, table)
            bands = {key: _band(band, f"{field.name} {key}") for key, band in _dict(given, "assumed").items()}
            bands = {key: band for key, band in bands.items() if key in numbers}
        self._rows.setdefault(field.table, {})[part] = (numbers, label, bands)
        return part

    def _completed(self, field, part, numbers, table):
        """A part's numbers, with those added that the sizing has come to need."""
        numbers = {**{key: one for key, one in OF_GEARMOTORS.items() if key in table.columns}, **numbers}
        lacks = [key for key in table.columns if key not in numbers]
        if lacks and part not in table.names:
            raise ValueError(
                f"{self.since} does not tell {lacks[0]} of {quoted(part)}, and the kit has no such part; size it anew."
            )
        self._note_lacks(lacks, part)
        numbers |= {key: table.row(part)[key] for key in lacks}
        return {key: numbers[key] for key in table.columns}

    def _note_lacks(self, lacks, owner):
        """Say which numbers of a part or record are not told."""
        if lacks:
            taken = "it is" if len(lacks) == 1 else "they are"
            self.notes.append(f"{self.since} does not tell {_listed(lacks)} of {owner}: {taken} taken from the kit.")

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
        entries = SHAPES[path].entries if path in SHAPES else {}
        kept = {key: entry.default for key, entry in entries.items() if entry.later} | kept
        lacks = [key for key in now if key not in kept and isinstance(getattr(now, key), (int, float, tuple))]
        self._note_lacks(lacks, path)
        return Record(path, kept | {key: getattr(now, key) for key in lacks})

    def _spread_from(self, spreads):
        def spread(name):
            if name not in spreads:
                self.notes.append(
                    f"{self.since} does not tell how far {name.replace('_', ' ')} varies: that is taken from the kit."
                )
                spreads[name] = vars(self._now.kit.spread(name))
            told = _dict(spreads, name)
            kind = told.get("kind") if told.get("kind") in ("relative", "absolute") else "relative"
            return Spread(kind=kind, low=_number(told.get("low"), name), high=_number(told.get("high"), name))

        return spread


def _listed(names):
    """'a', 'a and b', 'a, b and c'."""
    return " and ".join(filter(None, (", ".join(names[:-1]), names[-1])))


def _put(owner, path, record):
    """Hang a record below names that may be shared: "roles.match" and "roles.limits" are both below roles."""
    for word in path[:-1]:
        if not hasattr(owner, word):
            setattr(owner, word, SimpleNamespace())
        owner = getattr(owner, word)
    setattr(owner, path[-1], record)


# --- comparing and showing ------------------------------------------------------------------------------------------


def _differences(data, design, notes):
    """Findings that come out otherwise than the record says; those that one of the two does not have are noted."""
    was, now = _dict(data, "findings"), data_of(design)["findings"]
    old = design.tables.since
    lacks = [name for name in now if name not in was]
    if lacks:
        notes.append(f"{old} was made before {_listed(lacks)} {'was' if len(lacks) == 1 else 'were'} found.")
    gone = [name for name in was if name not in now]
    if gone:
        notes.append(
            f"{old} tells {', '.join(name[:40] for name in gone)}, which {design.sizing.NAME} no longer finds."
        )
    found = {}
    for name in now:
        if name in was:
            both = [
                Difference(day, _number(_dict(was, name).get(day), name), float(now[name][day]))
                for day in ("good", "bad")
            ]
            differ = [one for one in both if not _same(one.was, one.now)]
            if differ:
                found[name] = differ[0]
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
    differs = {
        name: {"day": one.day, "was": number(one.was), "is": number(one.now)}
        for name, one in reopened.differences.items()
    }
    return {**data_of(reopened.design), "notes": list(reopened.notes), "differences": differs}


def text_of(reopened):
    """What was opened, whether its numbers come out as before, and the page of the sizing."""
    design = reopened.design
    lines = [
        f"{reopened.name}: made {design.date or 'on an unknown day'} with mechbench {design.version or '?'}, kit"
        f" {design.tables.kit_name}."
    ]
    lines += [*reopened.notes, *record_changes.outcome(reopened)]
    lines += _measured(design)
    return "\n".join([*lines, "", answer.text_of(design, [f.name for f in design.sizing.FIELDS])])


def _measured(design):
    """What was measured afterwards, beside what was predicted for a good day."""
    finding = {f.name: f for f in design.sizing.FINDINGS}
    return [
        f"Measured: {finding[n].label} {report_text.number(finding[n], value, design.system)}; predicted "
        f"{report_text.number(finding[n], design.report.good[n], design.system)}"
        f"{answer.off_by(value, design.report.good[n])}."
        for n, value in design.measured.items()
    ]
