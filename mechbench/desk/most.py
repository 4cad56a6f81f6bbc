"""The sizing turned round for one number: the largest payload, the shortest time, the fewest motors that still work.

Contents: most, least (for notebooks), look, Turned, text_of, html_of, data_of, code_of.

What is asked for may be an input, a number or a count; a finding whose bound is an input, which then is meant; or
another finding, or the mass: then the parts are looked for that work with the most or the least of it.
"""

from dataclasses import dataclass, field
from html import escape
from math import prod

from mechbench import quantity
from mechbench.desk import edge, find, page_table, spoken, text_table
from mechbench.desk.answer import FAILS, FITS, inputs_lines, instead_lines
from mechbench.desk.arguments import BadQuestion, as_typed, finding_named, input_named
from mechbench.desk.called import called, not_supply
from mechbench.desk.found_page import MASS
from mechbench.desk.ranking import ranked
from mechbench.desk.record import Design
from mechbench.desk.rich_text import Shown
from mechbench.engine import report_text
from mechbench.engine.furthest import LEAST, MOST, Furthest, failing, furthest, in_order
from mechbench.engine.inputs import Tables, complete
from mechbench.engine.spec import Field, Pick

# Tables whose parts are looked for where a finding or the mass is asked for, the first ones first, as long as there are
# no more combinations than COMBINATIONS.
POWER = (
    "motors",
    "gearboxes",
    "last_stages",
    "pairs",
    "roller_drives",
    "shaft_drives",
    "servos",
    "drums",
    "spools",
    "drive_wheels",
    "gripping_rollers",
    "cords",
    "slides",
)
COMBINATIONS = 60_000
SIZES = {MOST: "Largest", LEAST: "Smallest"}


@dataclass(frozen=True, repr=False)
class Turned(Shown):
    """The largest or smallest value of an input that works, as it is shown."""

    edge: Furthest
    tables: Tables
    system: str = "metric"
    given: dict = field(default_factory=dict)

    @property
    def value(self):
        """The value in SI, or a count's name; None where nothing works."""
        return self.edge.found.value if self.edge.found else None

    @property
    def report(self):
        """The whole report with that value, or of the nearest miss; None where nothing can be built."""
        at = self.edge.found or self.edge.miss
        return at.report

    @property
    def limited_by(self):
        """Names of the findings that fail just beyond; empty where only the range ends."""
        beyond = self.edge.beyond
        return failing(beyond.report)[0] if beyond and beyond.report else ()

    @property
    def instead(self):
        """What stands in for that which the kit lacks; empty where it lacks nothing."""
        return self.tables.instead(self.report.values) if self.report else ""

    def __repr__(self):
        return " ".join([_answer(self), *(_limited(self) if self.edge.found else [])][:2])

    def to_dict(self):
        """The same as plain data, SI."""
        return data_of(self)

    def _repr_html_(self):
        return html_of(self)

    def letters(self):
        """All of it as plain text."""
        return text_of(self)


def most(name="", of="", *stray, kit=None, system=None, **values):
    """The most of something with which a sizing still works: mb.most("arm", "payload", length="0.4 m").

    name : of the sizing; of : an input, a finding or "mass"; values : the other inputs, as mb.size takes them

    What it gives has the number as .value, in SI units, the .report with it, and .limited_by, what fails beyond.
    """
    return _called(MOST, name, of, stray, kit, system, values)


def least(name="", of="", *stray, kit=None, system=None, **values):
    """The least of something with which a sizing still works: mb.least("lift", "count").

    name : of the sizing; of : an input, a finding or "mass"; values : the other inputs, as mb.size takes them

    What it gives has the number as .value, in SI units, the .report with it, and .limited_by, what fails beyond.
    """
    return _called(LEAST, name, of, stray, kit, system, values)


def _called(way, name, of, stray, kit, system, values):
    asked = called(name, kit, system, values, stray=stray, kind=way)
    if not of:
        such = spoken.again(asked.sizing, way, asked.sizing.FIELDS[0].name)
        raise BadQuestion(f"{spoken.way(way)} needs an input or a finding, such as {such}.")
    return look(asked.sizing, way, of, asked.values, asked.tables, asked.system)


def look(sizing, way, name, values, tables, system="metric"):
    """The largest (way "most") or smallest ("least") value of what is named; a Turned, or a Found where parts are
    looked for.
    """
    wanted = _wanted(sizing, way, name)
    if isinstance(wanted, str):
        return _by_parts(sizing, way, wanted, values, tables, system)
    if wanted.name in values:
        raise BadQuestion(f"{wanted.name} is given and looked for; leave one of them out.")
    if isinstance(wanted, Pick) and not in_order(wanted, tables):
        ranks = spoken.again(sizing, "find", wanted.name)
        raise BadQuestion(f"{wanted.name} is a part, not a number; {ranks} ranks the parts that work.")
    unit = "" if isinstance(wanted, Pick) else quantity.in_system(wanted.unit, system)
    return Turned(furthest(sizing, values, wanted.name, way, tables, unit), tables, system, dict(values))


def _wanted(sizing, way, typed):
    """The input that is meant; or the name of a finding, or MASS, where parts are to be looked for."""
    low = typed.strip().lower().replace("-", "_")
    exact = {one.name: one for one in (*sizing.FINDINGS, *sizing.FIELDS)}
    if low in exact:
        return _meant(sizing, exact[low])
    if low == MASS and way == LEAST:
        return MASS
    try:
        found = input_named(sizing, typed)
    except BadQuestion as wrong:
        if low == MASS:
            return MASS
        try:
            return _meant(sizing, finding_named(sizing, typed))
        except BadQuestion:
            raise wrong from None
    return not_supply(sizing, found, way)


def _meant(sizing, one):
    """An input itself, or the input that is a finding's bound; else the finding's name."""
    if isinstance(one, (Field, Pick)):
        return one
    return next((given for given in sizing.FIELDS if given.name == one.bound), one.name)


def _by_parts(sizing, way, name, values, tables, system):
    """The parts that work with the most or the least of a finding, or of mass."""
    vary = _parts(sizing, values, tables)
    if not vary:
        raise BadQuestion(
            f"{name} of {sizing.NAME} has no parts to look for that are not given; name an input, such as"
            f" {sizing.FIELDS[0].name}."
        )
    return ranked(sizing, vary, values, tables, system, ("-" if way == MOST else "") + name)


def _parts(sizing, values, tables):
    """Names of the picks that may be others: what the sizing opens with, else those of POWER; without those given, and
    without those that have one part only or change nothing.
    """
    known = {*values, *sizing.idle(complete(sizing, values, tables), tables)}
    picks = [one for one in sizing.FIELDS if isinstance(one, Pick) and one.name not in known]
    free = [one for one in picks if len(one.options(tables)) > 1]
    if sizing.OPENS_WITH is not None:
        free = [one for one in free if one.name in sizing.OPENS_WITH]
    free = sorted((one for one in free if one.table in POWER), key=lambda one: POWER.index(one.table))
    vary = {}
    for one in free:
        if prod(len(sizing.field(name).options(tables)) for name in [*vary, one.name]) <= COMBINATIONS:
            vary[one.name] = None
    return vary


# --- showing --------------------------------------------------------------------------------------------------------


def code_of(turned):
    """0 where some value works."""
    if not isinstance(turned, Turned):
        return find.code_of(turned)
    return FITS if turned.edge.found else FAILS


def text_of(turned):
    """The number first; then what limits it, and what is found around it."""
    if not isinstance(turned, Turned):
        return find.text_of(turned)
    lines = [*instead_lines(turned.instead), _answer(turned), "", turned.edge.sizing.TITLE]
    for sentence in _said(turned):
        lines += text_table.wrapped(sentence)
    if turned.edge.found:
        lines += ["", *_table(edge.rows_around(turned.edge, turned.system))]
    if turned.report:
        design = Design(turned.report, turned.tables, turned.system)
        lines += ["", *inputs_lines(design, {*turned.given, turned.edge.input.name})]
    return "\n".join(lines)


def _table(rows):
    """The table of what is found around the value, as narrow as the window; its first values may go for that."""
    narrow = [row[:1] + row[2:] for row in rows] if len(rows[0]) > 4 else rows
    for some, gap in ((rows, 2), (rows, 1), (narrow, 1)):
        lines = text_table.table(some, right=range(1, len(some[0]) - 1), gap=gap)
        if max(map(len, lines)) <= text_table.WIDTH:
            break
    missed = any(cell.rstrip().endswith(page_table.MISSES) for row in rows for cell in row)
    return [*lines[:-1], "", lines[-1], *([f"  {page_table.MISSES} = not met"] if missed else [])]


def _answer(turned):
    """'Largest payload that still works: 0.613 kg.'"""
    name = turned.edge.input.name.replace("_", " ")
    size = SIZES[turned.edge.way]
    if turned.edge.found is None:
        return f"{size} {name} that still works: {edge.none(turned.edge.input)}."
    return f"{size} {name} that still works: {_value(turned, turned.edge.found)}."


def _value(turned, at):
    return edge.value_text(turned.edge.input, at.value, turned.system)


def _said(turned):
    """What was found, in sentences."""
    asked = turned.edge.input
    label = f"{asked.name} is '{asked.label}'"
    if turned.edge.found is None:
        return [f"{label}.", *_nothing(turned)]
    return [f"{label}. {_how_sure(turned)}", *_limited(turned), *_not_less(turned)]


def _how_sure(turned):
    found, beyond = turned.edge.found, turned.edge.beyond
    value = f"{turned.edge.input.name}={as_typed(turned.edge.input, found.value, turned.system)}"
    fails = f"; {_value(turned, beyond)} does not" if beyond else ""
    return f"{value} works on at least 95 of 100 days{fails}."


def _limited(turned):
    return edge.limited(turned.edge, turned.system)


def _not_less(turned):
    """Where even what should be easier fails, it is said: what works need not hang together."""
    inside = turned.edge.inside
    if inside is None or inside.works:
        return []
    why = f": {'; '.join(edge.clauses(inside.report, turned.system))}" if inside.report else ""
    return [f"But not all on this side works: {_value(turned, inside)} does not{why}."]


def _nothing(turned):
    """The nearest miss, and what it misses."""
    miss, asked = turned.edge.miss, turned.edge.input
    tried = edge.tried(asked, turned.edge.tried, *_ends(turned))
    if miss.report is None:
        return [f"{tried} can be built. {miss.problem}"]
    tried = f"{tried} {'surely ' * _unsure(miss)}works on 95 of 100 days."
    nearest = f"{tried} Nearest: {_value(turned, miss)}."
    return [nearest, report_text.verdict(miss.report, turned.system), *edge.assumed(turned.edge, turned.system)]


def _unsure(miss):
    return miss.report is not None and not miss.report.known


def _ends(turned):
    asked = turned.edge.input
    if isinstance(asked, Pick):
        counts = in_order(asked, turned.tables)
        return counts[0], counts[-1]
    return [edge.value_text(asked, asked.to_si(end), turned.system) for end in (asked.low, asked.high)]


def html_of(turned):
    """The same for a notebook's page."""
    if not isinstance(turned, Turned):
        return find.html_of(turned)
    shown = [escape(turned.instead)] if turned.instead else []
    shown += [
        f"<b style='font-size:larger'>{escape(_answer(turned))}</b>",
        f"<b>{escape(turned.edge.sizing.TITLE)}.</b>",
    ]
    shown += map(escape, _said(turned))
    if turned.edge.found:
        shown.append(page_table.table(edge.rows_around(turned.edge, turned.system)))
    shown += map(escape, turned.tables.said)
    return "".join(f"<div>{one}</div>" for one in shown)


def data_of(turned):
    """The answer as plain data, SI."""
    if not isinstance(turned, Turned):
        return find.data_of(turned)
    found, asked = turned.edge, turned.edge.input
    return {
        **({"instead": turned.instead} if turned.instead else {}),
        "sizing": found.sizing.NAME,
        "input": asked.name,
        "way": found.way,
        "unit": "" if isinstance(asked, Pick) else quantity.si_unit(quantity.kind_of(asked.unit)),
        "value": turned.value,
        "limited_by": edge.limits_data(found),
        "as_assumed": edge.at_data(found.as_assumed),
        "range_ends": bool(found.found) and found.beyond is None,
        "at": edge.at_data(found.found),
        "beyond": edge.at_data(found.beyond),
        "inside": edge.at_data(found.inside),
        "nearest_miss": edge.at_data(found.miss),
    }
