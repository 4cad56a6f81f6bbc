"""Designs side by side: the inputs that differ, one table of what was found with every difference marked, which works.

Contents: against (for notebooks), look, made, is_file, opened, beside, Against, text_of, table_of, cell_text, html_of,
pictured, data_of, code_of.

A design comes from inputs, or from a record; each has its own tables, so a record keeps the figures of its parts
whatever kit is in force. The first one is A, and the others are marked beside it.
"""

import re
import textwrap
from dataclasses import dataclass
from html import escape
from itertools import pairwise, zip_longest
from pathlib import Path

from mechbench import quantity
from mechbench.benches import page
from mechbench.desk import reopen, text_table
from mechbench.desk.answer import FAILS, FITS, MISSES, instead_lines, verdict_data
from mechbench.desk.arguments import BadQuestion, as_typed, input_named, path_named
from mechbench.desk.called import called, listed_values, units
from mechbench.desk.record import data_of as record_of
from mechbench.desk.record import design
from mechbench.desk.rich_text import Page, image_of_looks
from mechbench.desk.rows import Columned
from mechbench.desk.spoken import way
from mechbench.drawing.palette import LIGHT
from mechbench.engine import report_text, side_by_side
from mechbench.engine.inputs import Supply, complete, supplies
from mechbench.engine.owned import given_by_figures
from mechbench.engine.side_by_side import LETTERS
from mechbench.engine.spec import Field, Pick
from mechbench.kits import by_figures
from mechbench.wording import NO_BREAK, quoted, together

MOST = len(LETTERS)
NARROWEST, INDENT, GAP = 20, 2, 2  # letters: of the labels' column at least, before a line, between columns
ENDINGS = (".html", ".md")
TODAY = "today's inputs"
KITS_OWN = "the kit's"
SIGNS = "+ better than A, \u2212 worse, > more, < less, \u2260 other, = same"


@dataclass(frozen=True, repr=False)
class Against(Columned):
    """Two to four designs of one sizing. names: where each comes from, a file or today's inputs, empty where all were
    made now; given: inputs that were typed and are the same in all that were made now; notes: what records lacked.
    """

    designs: tuple
    names: tuple = ()
    given: tuple = ()
    notes: tuple = ()
    system: str = "metric"

    @property
    def sizing(self):
        """The sizing of all of them."""
        return self.designs[0].sizing

    def judged(self):
        """A report for each design, that of A first."""
        return self.reports

    def to_dict(self):
        """All of them as plain data, SI."""
        return data_of(self)

    def _repr_html_(self):
        return html_of(self)

    @property
    def reports(self):
        """A report for each design."""
        return [one.report for one in self.designs]

    def __repr__(self):
        return text_of(self)

    def png(self, look=LIGHT):
        """A picture of all: of two, A is drawn faint behind B; of more, one beside the other."""
        from mechbench.desk import pictures  # matplotlib, only when the picture is asked for

        return pictures.against(self, look)

    def _repr_mimebundle_(self, include=None, exclude=None):
        picture = image_of_looks(self.png, pictured(self))
        return Page(f"{html_of(self)}<div>{picture}</div>", repr(self))._repr_mimebundle_(include, exclude)


def against(name, *more, kit=None, system=None, **values):
    """Put designs side by side, in a notebook: mb.against("arm", payload=["0.3 kg", "0.5 kg"], gearbox="planetary_56").

    name : of the sizing; values : inputs, text with units or SI; a list or tuple has a value for each design
    Records instead: mb.against("a.html", "b.html"); a record beside inputs: mb.against("arm", "a.html", payload=0.5).
    """
    system = units(system or values.pop("units", None))
    files = [str(one) for one in (name, *more) if is_file(one)]
    named = [one for one in (name, *more) if not is_file(one)]
    if len(named) > 1:
        raise BadQuestion(f"{quoted(named[1])} is no record; one sizing is compared, with files that end in .html.")
    now = None
    if named:
        asked = called(named[0], kit, system, values, lists=True)
        vary = {name: list(listed_values(one, given, asked.tables)) for name, one, given in _lists(asked)}
        now = _made(asked.sizing, vary, asked.values, asked.tables, system)
    elif values:
        raise BadQuestion(f"{next(iter(values))} goes with a sizing; name it first: mb.against('arm', ...).")
    return beside(opened(files, system), now)


def look(sizing, texts, values, tables, system="metric"):
    """Designs side by side: "gearbox=small,large motor=fast,slow" (a text, or several) gives A the first value of each
    input, B the second one; `values` are the same in all.
    """
    return _enough(made(sizing, texts, values, tables, system))


def made(sizing, texts, values, tables, system="metric"):
    """The same, also of one design alone, to be put beside records."""
    vary = {}
    for text in [texts] if isinstance(texts, str) else texts:
        for piece in re.split(r"\s+(?=[^\W\d][\w-]*\s*=)", text.strip()):
            found, several = _several(sizing, piece, tables)
            if found.name in vary:
                raise BadQuestion(f"{found.name} is given twice in {way('against')}; give it once.")
            vary[found.name] = several
    for name in vary:
        if name in values:
            raise BadQuestion(f"{name} is given and compared; leave one of them out.")
    return _made(sizing, vary, values, tables, system)


def is_file(text):
    """Whether a word is the name of a record and not of an input."""
    return "=" not in str(text) and Path(str(text)).suffix.lower() in ENDINGS


def opened(files, system="metric"):
    """Records by their names, as designs: the first one is A."""
    found = [reopen.reopen(path_named(name)) for name in files]
    notes = tuple(f"{letter}: {note}" for letter, one in zip(LETTERS, found) for note in one.notes)
    names = tuple(f"{Path(one.name).name}, made {one.design.date or 'on an unknown day'}" for one in found)
    return Against(tuple(one.design for one in found), names, (), notes, system)


def beside(records, now=None):
    """Records, then designs that were made now, in one."""
    designs = (*records.designs, *(now.designs if now else ()))
    for letter, one in zip(LETTERS, designs):
        if one.sizing is not designs[0].sizing:
            raise BadQuestion(
                f"A is of {designs[0].sizing.NAME} and {letter} of {one.sizing.NAME}; compare designs of one sizing."
            )
    names = (*records.names, *((TODAY,) * len(now.designs) if now else ())) if records.names else ()
    return _enough(Against(designs, names, now.given if now else (), records.notes, records.system))


def _enough(found):
    count = len(found.designs)
    if count == 1:
        another = "name another record, or the sizing for its usual inputs, too" if found.names else _example(found)
        raise BadQuestion(f"One design is given, but two are compared; {another}.")
    if count > MOST:
        raise BadQuestion(f"{count} designs are given, but at most {MOST} stand side by side; leave some out.")
    return found


def _example(found):
    pick = next(f for f in found.sizing.FIELDS if isinstance(f, Pick))
    names = pick.options(found.designs[0].tables)
    return f"give an input two values, such as {pick.name}={','.join(names[:2])}"


def _several(sizing, piece, tables):
    """An input, and its value for each design: "payload=0.3,0.5 kg". A semicolon parts what has commas itself."""
    name, equals, rest = piece.partition("=")
    found = input_named(sizing, name)
    table = found.table if isinstance(found, Pick) else ""
    parts = tables.one_by_one(table, rest) if table else by_figures.one_by_one("", rest, tables.kit)
    if not equals or not parts:
        raise BadQuestion(f"{way('against')} {quoted(piece)} has no values; write {found.name}=ONE,OTHER.")
    if isinstance(found, Field):
        unit = re.sub(r"^[\s0-9.,'+eE-]+", "", parts[-1])
        parts = [part + unit if re.fullmatch(r"[\s0-9.'+-]+", part) else part for part in parts]
    return found, list(listed_values(found, parts, tables))


def _lists(asked):
    """The inputs of a call that have a value for each design: name, input, values."""
    for typed, given in asked.more.items():
        one = input_named(asked.sizing, typed).at(asked.tables)
        yield one.name, one, given


def _made(sizing, vary, values, tables, system):
    """A design for each place in the lists; a list of one holds for all."""
    counts = {name: len(several) for name, several in vary.items() if len(several) != 1}
    (first, many), *others = [*counts.items()] or [("", 1)]
    for name, count in others:
        if count != many:
            raise BadQuestion(f"{first} has {many} values and {name} has {count}; give each as many, or {name} one.")
    designs = []
    for place in range(min(many, MOST + 1)):
        own = {name: several[place % len(several)] for name, several in vary.items()}
        try:
            its = tables.apart()  # A may have another battery than B
            designs.append(design(sizing, complete(sizing, {**values, **own}, its), its, system))
        except ValueError as wrong:
            letter = LETTERS[min(place, MOST - 1)]
            raise BadQuestion(f"{letter} can't be judged: {wrong}") from None
    if many > MOST:
        raise BadQuestion(f"{first} has {many} values, but at most {MOST} designs stand side by side; leave some out.")
    return Against(tuple(designs), (), tuple(values), (), system)


# --- showing --------------------------------------------------------------------------------------------------------


def code_of(found):
    """0 where one of them works, on a bad day too."""
    return FITS if any(report.surely_works for report in found.reports) else FAILS


def text_of(found):
    """What differs, a verdict for each, the table, and which works."""
    lines = [*_instead(found), found.sizing.TITLE, ""]
    if found.names:
        lines += [f"  {letter}: {name}" for letter, name in zip(LETTERS, found.names)] + [""]
    lines += [*_inputs(found), ""]
    for sentence in (*_verdicts(found), *_figures(found), *found.notes):
        lines += _sentence(sentence, more=3)
    lines += ["", *table_of(found), "", *_sentence(side_by_side.sentence(found.reports, found.system))]
    return "\n".join(lines)


def _instead(found):
    told = dict.fromkeys(one.instead for one in found.designs if one.instead)
    return [line for sentence in told for line in instead_lines(sentence)]


def _inputs(found):
    """The inputs that differ, as they can be typed again; then those that were given and are the same."""
    fields = _differing(found)
    typed = lambda one, design: (
        _supplied(design, one)
        if isinstance(one, Supply)
        else as_typed(one, design.report.values[one.name], found.system, design.tables)
    )
    if not fields:
        return ["  All inputs are the same."]
    rows = [("inputs that differ", *LETTERS[: len(found.designs)])]
    rows += [(one.name, *(typed(one, design) for design in found.designs)) for one in fields]
    lines = text_table.table(rows, gap=GAP)
    if max(map(len, lines)) > text_table.WIDTH:
        each = ([f"{one.name}={typed(one, design)}" for one in fields] for design in found.designs)
        lines = [line for letter, given in zip(LETTERS, each) for line in text_table.together(letter, given)]
    others = (input_named(found.sizing, name) for name in found.given)
    same = [f"{one.name}={typed(one, found.designs[0])}" for one in others if one not in fields]
    return lines + (text_table.together("the same in all", same) if same else [])


def _differing(found):
    """The inputs that are not the same in all designs; battery and fuse, where they were given, after the others."""
    names = side_by_side.differing(found.reports)
    others = [one for one in supplies(found.sizing) if len({_supplied(each, one) for each in found.designs}) > 1]
    return [*map(found.sizing.field, names), *others]


def _supplied(one, supply):
    """The figures of a design's battery or fuse, as they were given."""
    own = given_by_figures(one.report.values, one.tables).get(supply.name)
    return own.typed if own else KITS_OWN


def _verdicts(found):
    """A line for each design: its letter, and what the verdict says; then its note."""
    for letter, one in zip(LETTERS, found.designs):
        told = filter(None, (report_text.verdict(one.report, found.system), one.note))
        if told := " ".join(told):
            yield f"{letter}: {told}"


def _figures(found):
    """A sentence for each design whose parts and records bear the names of A's but have other figures, as a record of
    another kit may. What was given by figures is told among the inputs.
    """
    first, *others = [record_of(one) for one in found.designs]
    told_anyway = {one.name for one in _differing(found) if isinstance(one, Supply)}
    for letter, other in zip(LETTERS[1:], others):
        parts = {
            f"{name} {one['part']}": _changed(one["numbers"], other["inputs"][name]["numbers"])
            for name, one in first["inputs"].items()
            if "part" in one and one["part"] == other["inputs"][name]["part"]
        }
        same = {path: one for path, one in first["records"].items() if path not in told_anyway}
        kept = {_plain(path): _changed(one, other["records"][path]) for path, one in same.items()}
        days = {} if told_anyway else {"spread of the days": _changed(first["spreads"], other["spreads"])}
        told = [f"{what} ({_some(keys)})" for what, keys in (parts | kept | days).items() if keys]
        if told:
            yield f"In A and {letter} these have not the same figures: {', '.join(told)}."


def _changed(one, other):
    return [key for key in one if one[key] != other.get(key)]


def _plain(path):
    return path.rpartition(".")[2].replace("_", " ")


def _some(keys, most=3):
    named = ", ".join(key.replace("_", " ") for key in keys[:most])
    return f"{named} and {len(keys) - most} more" if len(keys) > most else named


def table_of(found, only=()):
    """Two lines for each finding, or for some by name: a good day and a bad day, with a column for each design."""
    two = len(found.designs) == 2
    rows = [row for row in side_by_side.rows(found.reports, found.system) if not only or row.finding.name in only]
    lines = [("", "", *LETTERS[: len(found.designs)], "asked")]
    for row in rows:
        lines.append((row.finding.label, "good day", *(cell_text(cell, two) for cell in row.good), row.asked))
        lines.append(("", "bad day", *(cell_text(cell, two) for cell in row.bad), ""))
    signs = [] if two else [f"  {SIGNS}"]
    missed = any(not cell.met for row in rows for cell in (*row.good, *row.bad))
    return [*_fitted(lines), *signs, *([f"  {MISSES} = not met"] if missed else [])]


def cell_text(cell, two):
    """'0.74 s', '1.5 s! − worse'; beside more than one other design the sign alone."""
    mark = "" if cell.mark is None else f" {cell.mark}" if two else f"{NO_BREAK}{cell.mark.sign}"
    return f"{cell.text}{'' if cell.met else MISSES}{mark}"


def _fitted(rows):
    """A table that fits the window, its cells broken between words where it is too wide. The labels give way first;
    where that is not enough, what is asked stands with the label, and then the numbers give way too.
    """
    widths = _widths(rows)
    room = _room(widths)
    if room < NARROWEST:
        rows = [(f"{row[0]} ({row[-1]})" if row[0] and row[-1] else row[0], *row[1:-1]) for row in rows]
        widths = _widths(rows)
        room = _room(widths)
    if room < NARROWEST:
        each = (_room([0, widths[1], *[0] * (len(widths) - 2)]) - NARROWEST) // (len(widths) - 2)
        widths = [0, widths[1], *(min(width, each) for width in widths[2:])]
        room = _room(widths)
    widths[0] = min(room, max(len(row[0]) for row in rows))
    starts = [i for i, row in enumerate(rows) if row[0] or i == 0]
    groups = [rows[start:end] for start, end in pairwise([*starts, len(rows)])]
    return text_table.table([line for group in groups for line in _broken(group, widths)], gap=GAP)


def _widths(rows):
    return [max(map(len, column)) for column in zip(*rows)]


def _room(widths):
    """What is left for the first column."""
    return text_table.WIDTH - INDENT - sum(widths[1:]) - GAP * (len(widths) - 1)


def _broken(group, widths):
    """A row and those that go on with it, whose first cell is empty, as lines: the label runs down beside all."""
    beside = []
    for row in group:
        beside += zip_longest(*map(_words, row[1:], widths[1:]), fillvalue="")
    for label, cells in zip_longest(_words(group[0][0], widths[0]), beside):
        yield (label or "", *(cells or [""] * (len(widths) - 1)))


def _words(text, width):
    """A text as lines of so many letters; a number stays with its unit."""
    lines = textwrap.wrap(together(text), width, break_long_words=False, break_on_hyphens=False) or [""]
    return [line.replace(NO_BREAK, " ") for line in lines]


def _sentence(text, more=0):
    return [line.replace(NO_BREAK, " ") for line in text_table.wrapped(together(text), more=more)]


def html_of(found):
    """The same for a notebook's page, in the words that people read."""
    shown = [escape(told) for told in dict.fromkeys(one.instead for one in found.designs if one.instead)]
    shown += [f"<b>{escape(found.sizing.TITLE)}</b>"]
    shown += [escape(f"{letter}: {name}") for letter, name in zip(LETTERS, found.names)]
    shown += [_inputs_html(found), *map(escape, (*_verdicts(found), *_figures(found), *found.notes))]
    shown += [page.compared(found.reports, found.system), escape(side_by_side.sentence(found.reports, found.system))]
    return "".join(f"<div>{one}</div>" for one in shown)


def _inputs_html(found):
    fields = _differing(found)
    if not fields:
        return "All inputs are the same."
    letters = "".join(f'<th scope="col">{letter}</th>' for letter in LETTERS[: len(found.designs)])
    texts = ([together(_read(f, one, found.system)) for one in found.designs] for f in fields)
    rows = [page.line_of(f.label, *cells, typed=_typed(f, found)) for f, cells in zip(fields, texts)]
    return f'<table><tr><th scope="col"{page.LEFT}>Inputs that differ</th>{letters}</tr>{"".join(rows)}</table>'


def _typed(field, found):
    """The input's name, and of a part what can be typed for it in each design."""
    parts = [
        as_typed(field, one.report.values[field.name], tables=one.tables) if isinstance(field, Pick) else ""
        for one in found.designs
    ]
    return [field.name, *parts]


def _read(field, one, system):
    """An input's value as people read it."""
    if isinstance(field, Supply):
        return _supplied(one, field)
    value = one.report.values[field.name]
    if isinstance(field, Pick):
        return one.tables(field.table).labels.get(value, value)
    return quantity.show(value, field.unit, system=system)


def pictured(found):
    """What the picture shows, in words: which design is drawn how, and which works."""
    fields, told = _differing(found), []
    for place, (letter, one) in enumerate(zip(LETTERS, found.designs)):
        how = ("thin and grey", "in colour")[place] if len(found.designs) == 2 else ""
        differs = ", ".join(f"{f.label[0].lower()}{f.label[1:]} {_read(f, one, found.system)}" for f in fields)
        own = f" ({', '.join(filter(None, (found.names[place] if found.names else '', differs)))})"
        told.append(f"{letter}{own * (len(own) > 3)}{f': {how}' if how else ''}")
    return f"{'. '.join(told)}. {side_by_side.which(found.reports)}".strip()


def data_of(found):
    """Each design as its record holds it, SI; which inputs differ; the marks of each finding beside A."""
    rows = side_by_side.rows(found.reports)
    words = lambda cells: [cell.mark.word if cell.mark else "" for cell in cells]
    origins = found.names or ("",) * len(found.designs)
    designs = [
        {
            "name": letter,
            **({"from": name} if name else {}),
            **verdict_data(one.report),
            **record_of(one),
        }
        for letter, name, one in zip(LETTERS, origins, found.designs)
    ]
    return {
        "sizing": found.sizing.NAME,
        "designs": designs,
        "differ": [one.name for one in _differing(found)],
        "marks": {row.finding.name: {"good": words(row.good), "bad": words(row.bad)} for row in rows},
        "said": side_by_side.sentence(found.reports),
        "notes": [*_figures(found), *found.notes],
    }
