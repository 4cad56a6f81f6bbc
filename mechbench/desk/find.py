"""The sizing turned round: from what the job asks to the parts of the kit that do it.

Contents: find (for notebooks), look, ranked, mass_of_rows, Found, Combination, text_of, html_of,
short_of, data_of, code_of.

The search ranks on 64 days; what is shown is judged again on all days, with all its numbers. Where a number is looked
for, too, working.py answers.
"""

from collections.abc import Mapping
from dataclasses import dataclass, field
from html import escape

import numpy as np

from mechbench import quantity
from mechbench.catalog import search
from mechbench.desk import page_table, text_table, working
from mechbench.desk.answer import FAILS, FITS, MISSES, instead_lines
from mechbench.desk.arguments import BadQuestion, as_typed, input_named, value_of, words_apart
from mechbench.desk.called import called, listed_values, not_supply
from mechbench.desk.record import number
from mechbench.desk.rich_text import Page
from mechbench.desk.rows import Rows, filled_in
from mechbench.desk.sized import sized_of
from mechbench.desk.spoken import again, way
from mechbench.engine import report_text
from mechbench.engine.days import DAYS
from mechbench.engine.judge import Report, judge_with
from mechbench.engine.pairs import that_fit
from mechbench.engine.search import ENOUGH, FINALISTS, SEARCH_DAYS, Ranking, in_full
from mechbench.engine.spec import Pick

SHOWN = 6
# A motor and its gearbox come once for each motor; of all other parts one is taken.
ONE_EACH = ("motor", "gearbox", "drive")
MASS = "mass"  # of a sizing's finding, else of the parts that are looked for
MORE = 8  # times as many finalists, where the first ones all rest on what no label gives


@dataclass(frozen=True)
class Combination:
    """One combination, judged in full: its parts, its report, the mass of these parts (None where the kit has none)."""

    choice: dict
    report: Report
    mass: float | None


@dataclass(frozen=True, repr=False)
class Found(Rows):
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
        return data_of(self)

    def __repr__(self):
        return "\n".join([text_of(self), *text_table.below(filled_in(self))])

    def _repr_html_(self):
        return html_of(self)

    def _repr_mimebundle_(self, include=None, exclude=None):
        return Page(html_of(self), repr(self))._repr_mimebundle_(include, exclude)


def find(name="", parts="", *stray, kit=None, system=None, **values):
    """Turn a sizing round: mb.find("arm", "motor,gearbox", payload="0.5 kg") tries every motor with every gearbox.

    name : of the sizing; parts : inputs to look for, "motor,gearbox", or some parts of one only, "gearbox,motor=slim"
    values : the other inputs, as mb.size takes them; a list is tried value by value: squeeze=["6 N", "8 N"]
    kit : another kit than the one in force; system : "metric" or "us", the units that are shown

    What it gives is gone through row by row, the best first, each as mb.size gives it; found["time"] is a column, and
    found.fitting lists all that fit. Where nothing fits it is empty, and found.nearest_miss comes nearest.
    """
    asked = called(name, kit, system, values, lists=True, ranges=True, stray=stray, kind="find")
    text = _words(asked.sizing, parts, asked.more)
    vary = _vary(asked.sizing, text, asked.tables) if text or not asked.more else {}
    for given, value in asked.more.items():
        if not isinstance(value, str):
            _add_list(asked.sizing, given, value, vary, asked.tables)
    # Values may be those of a bench, whole; what is looked for is looked for.
    rest = {given: value for given, value in asked.values.items() if given not in vary}
    return _look_for(asked.sizing, vary, rest, asked.tables, asked.system)


def _words(sizing, parts, more):
    """Inputs to look for as one text; among them those that were given a range."""
    if isinstance(parts, Mapping):
        call = f'mb.find("{sizing.NAME}", "motor,gearbox", **values)'
        raise BadQuestion(f"What to look for is a text, and inputs are given by name, such as {call}.")
    ranges = [f"{name}={value}" for name, value in more.items() if isinstance(value, str)]
    return ",".join([*([parts] if isinstance(parts, str) else parts), *ranges]).strip(",")


def _add_list(sizing, name, given, vary, tables):
    """Try the values of a list, for one input."""
    field_ = not_supply(sizing, input_named(sizing, name).at(tables), "find")
    if field_.name in vary:
        raise BadQuestion(f"{field_.name} is given twice in {way('find')}; give it once.")
    vary[field_.name] = listed_values(field_, given, tables)


def look(sizing, text, values, tables, system="metric"):
    """Try every part of the kit for the inputs named: "motor,gearbox", or "gearbox,motor=small,large" for some parts
    only; of a number, "length", the ranges that work.
    """
    return _look_for(sizing, _vary(sizing, text, tables), values, tables, system)


def _look_for(sizing, vary, values, tables, system):
    """The same with the inputs to try as a dictionary: name -> values, or None for every part."""
    for name in vary:
        if name in values:
            raise BadQuestion(f"{name} is given and looked for; leave one of them out.")
    numbers = [name for name, some in vary.items() if some is None and not isinstance(sizing.field(name), Pick)]
    if numbers:
        numbers = [name for name in vary if not isinstance(sizing.field(name), Pick)]
    if len(numbers) > 1:
        raise BadQuestion(f"{' and '.join(numbers)} are numbers, but one can be looked for at a time; give the others.")
    if numbers:
        parts = {name: some for name, some in vary.items() if name not in numbers}
        return working.look(sizing, numbers[0], parts, values, tables, system)
    return ranked(sizing, vary, values, tables, system)


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
    return in_full(ranking, lambda choice: _one(sizing, {**ranking.values, **choice}, choice, tables), _enough)


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


def _vary(sizing, text, tables):
    """Names to vary, each with None for every part of the kit or the parts named."""
    vary = {}
    for word in words_apart(sizing, text, tables):
        name, given, part = word.partition("=")
        if given or not vary:
            last = _looked_for(sizing, name)
        elif _is_part(vary, last, word, tables):
            vary[last.name].append(value_of(last, word, tables))
            continue
        else:
            last = _looked_for(sizing, name)
        if given and not isinstance(last, Pick):
            runs = again(sizing, "sweep", f"{last.name}=LOW..HIGH")
            raise BadQuestion(
                f"{last.name} is a number, so {again(sizing, 'find', last.name)} looks through its whole range;"
                f" {runs} runs it through a part of it."
            )
        if last.name in vary:
            raise BadQuestion(f"{last.name} is given twice in {way('find')}; give it once.")
        vary[last.name] = [value_of(last, part, tables)] if given else None
    if not vary:
        raise BadQuestion(
            f"{way('find')} needs inputs to look for, such as"
            f" {', '.join(f.name for f in sizing.FIELDS if isinstance(f, Pick)) or sizing.FIELDS[0].name}."
        )
    return vary


def _looked_for(sizing, name):
    return not_supply(sizing, input_named(sizing, name), "find")


def _is_part(vary, last, word, tables):
    """True where a word after "motor=small" is another part for the same input."""
    return vary[last.name] is not None and (word in last.options(tables) or tables.reads_figures(last.table, word))


def _one(sizing, values, choice, tables):
    report = judge_with(sizing, values, tables)
    return Combination(choice, report, _mass(sizing, report, choice, tables))


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
    found = {}
    for head, places in (("next ratio down", lower[-1:]), ("next ratio up", higher[:1])):
        for place in places:
            choice = {**first.choice, geared[0].name: table.names[place]}
            found[head] = _one(sizing, {**values, **choice}, choice, tables)
    return found


# --- showing --------------------------------------------------------------------------------------------------------


def code_of(found):
    """0 where something fits."""
    if not isinstance(found, Found):
        return working.code_of(found)
    return FITS if found.best else FAILS


def text_of(found):
    """The ranking as a table, or why nothing fits; then the ratios beside the first."""
    if not isinstance(found, Found):
        return working.text_of(found)
    lines = [
        *instead_lines(found.instead),
        *_answer(found),
        found.sizing.TITLE,
        *text_table.wrapped(_summary(found, found.names)),
        "",
    ]
    rows, listed = _listed(found)
    if rows:
        lines += _table(found, rows, listed)
        told = ", ".join(f"{f.name} ({f.label})" for f in _told(found))
        missed = any(_number(f, one.report, found.system).endswith(MISSES) for f in _told(found) for _, one in rows)
        legend = f" {MISSES} = not met." if missed else ""
        lines += ["", *text_table.wrapped(f"Shown for a good day: {told}.{legend}")] if told else []
    if not found.best and found.miss:
        lines += ["", *(line for sentence in _why(found) for line in text_table.wrapped(sentence))]
    return "\n".join(lines)


def html_of(found):
    """The same for a notebook's page, where a table takes the width that there is: parts and numbers in words."""
    labels = {f.name: f.label for f in found.sizing.FIELDS}
    names = [labels[name][:1].lower() + labels[name][1:] for name in found.names]
    shown = [escape(found.instead)] if found.instead else []
    shown += [f"<b style='font-size:larger'>{escape(line)}</b>" for line in _answer(found) if line]
    shown += [f"<b>{escape(found.sizing.TITLE)}.</b> {escape(_summary(found, names))}"]
    if len(found.fitting) > len(found.best) > 0:
        shown.append(f"The first {len(found.best)} are shown; found.fitting has all {len(found.fitting)}.")
    rows, _ = _listed(found)
    if rows:
        told = {f.name: f"{f.label}, good day" for f in _told(found)}
        head, *body = _sheet(found, rows, lambda name, value: _said(found, name, value))
        head = [labels.get(name) or told.get(name) or name for name in head]
        _, *typed = _sheet(found, rows, lambda name, value: _said(found, name, value, words=False))
        shown.append(page_table.table([head, *body], typed=[()] + typed))
    if not found.best and found.miss:
        shown += map(escape, _why(found))
    shown += map(escape, filled_in(found))
    return "".join(f"<div>{one}</div>" for one in shown)


def _said(found, name, value, words=True):
    """What was tried for an input: a number, or a part, in words or as it can be typed."""
    if isinstance(value, str):
        return (
            found.labels[name].get(value, value)
            if words
            else as_typed(found.sizing.field(name), value, tables=found.tables)
        )
    return quantity.show(value, found.sizing.field(name).unit, system=found.system)


def short_of(found):
    """In a few words: the best, and the ratios beside it."""
    if not isinstance(found, Found):
        return working.short_of(found)
    if not found.best:
        return f"nothing fits; nearest: {_parts(found, found.miss)}" if found.miss else "nothing fits"
    beside = "".join(f"; {head}: {_parts(found, one)}" for head, one in found.beside.items())
    return f"best: {_parts(found, found.best[0])}{beside}"


def _parts(found, one):
    return " with ".join(_said(found, name, value) for name, value in one.choice.items())


def _answer(found):
    """'Least mass that still works: 0.34 kg, with motor=slim gearbox=planetary_74.', where that was asked for."""
    if not found.least:
        return []
    name = found.least.lstrip("-")
    begins = f"{'Most' if found.least.startswith('-') else 'Least'} {name.replace('_', ' ')} that still works:"
    if not found.best:
        return [f"{begins} none.", ""]
    first = found.best[0]
    finding = next((f for f in found.sizing.FINDINGS if f.name == name), None)
    value = _number(finding, first.report, found.system) if finding else _mass_text(first, found.system)
    return [f"{begins} {value}, with {' '.join(f'{given}={part}' for given, part in first.choice.items())}.", ""]


def _mass_text(one, system):
    return quantity.show(one.mass, "kg", system=system) if one.mass is not None else ""


def _listed(found):
    """What is shown: pairs of a head and a combination; and how many of them come before the ratios beside the
    first.
    """
    listed = list(found.best) or [one for one in (found.miss,) if one]
    return [("", one) for one in listed] + (list(found.beside.items()) if listed else []), len(listed)


def _summary(found, names):
    """How many were tried, and how many work."""
    tried = f"{found.ranking.tried} combination{'s' * (found.ranking.tried != 1)} of {' and '.join(names)} tried."
    return f"{tried} {_works(found)}"


def _works(found):
    if not found.best:
        rests = found.miss is not None and not found.miss.report.known
        return f"None {'surely ' * rests}works on a bad day; the nearest:"
    first = [name.lstrip("-") for name in _rank(found)[:1]]
    rank = next((f.label for f in found.sizing.FINDINGS if [f.name] == first), "mass" if first == [MASS] else "")
    count = max(len(found.ranking.fitting), len(found.best))
    many = "One works" if count == 1 else f"{'At least ' * (count >= 10)}{count} work"
    sure = "" if found.unsure == 0 else f", but {found.unsure} of the first {found.looked_at} not surely"
    return f"{many} on a bad day too{sure}" + (f", sorted by {rank}:" if rank and count > 1 else ":")


def _table(found, rows, cut):
    """One line for each combination; in a window that is too narrow the last column is told more shortly."""
    sheet = _sheet(found, rows, lambda name, value: _said(found, name, value, words=False))
    lines = text_table.table(sheet, gap=2)
    if max(map(len, lines)) > text_table.WIDTH:
        short = [[*row[:-1], row[-1].removesuffix(" to spare")] for row in sheet[1:]]
        lines = text_table.table([[*sheet[0][:-1], "least to spare on a bad day"], *short], gap=1)
    return [*lines[: cut + 1], *([""] if len(rows) > cut else []), *lines[cut + 1 :]]


def _sheet(found, rows, say):
    """Rows of texts, their heads first; `say` gives the text of a part of an input."""
    told = _told(found)
    picks = dict.fromkeys(
        name for _, one in rows for name in one.choice
    )  # a ratio beside may vary what the search did not
    head = [
        "",
        *picks,
        *(f.name for f in told),
        _head_of_mass(found),
        "days in 100",
        "nearest to its limit on a bad day",
    ]
    body = [_row(head_text, one, picks, told, found.system, say) for head_text, one in rows]
    keep = [i for i in range(len(head)) if i == len(head) - 1 or any(row[i] for row in body)]
    return [[row[i] for i in keep] for row in [head, *body]]


def _head_of_mass(found):
    """Where the sizing has no mass of its own, it is that of the parts, and no input "mass" is meant."""
    return "mass" if found.sizing.has("mass") else "parts' mass"


def _told(found):
    """What the search ranks by, and the current."""
    names = list(dict.fromkeys(name.lstrip("-") for name in _rank(found)))[:2]
    names += [f.name for f in found.sizing.FINDINGS if f.name == "current" and f.name not in names]
    return [f for name in names for f in found.sizing.FINDINGS if f.name == name and f.name != "mass"]


def _rank(found):
    """What it is ranked by: what was asked for, then what the sizing ranks by."""
    return [*filter(None, [found.least]), *found.sizing.RANK]


def _number(finding, report, system):
    missed = report.good_margin.get(finding.name, 0) < 0
    return report_text.found(report, finding, report.good, system) + (MISSES if missed else "")


def _row(head, one, picks, told, system, say):
    report = one.report
    numbers = [_number(f, report, system) for f in told]
    return [
        head,
        *(say(name, one.choice.get(name, report.values[name])) for name in picks),
        *numbers,
        _mass_text(one, system),
        str(report.days_in_100),
        _tightest(report),
    ]


def _tightest(report):
    name = report.weakest()
    if name is None:
        return ""
    label, margin = next(f.label for f in report.sizing.FINDINGS if f.name == name), report.bad_margin[name]
    if not np.isfinite(margin) or margin < -10:
        return f"{label}: far off"
    return f"{label}: {abs(100 * margin):.0f} % {'to spare' if margin >= 0 else 'short'}"


def _why(found):
    """What the nearest miss lacks, and what most combinations miss."""
    labels = {f.name: f.label for f in found.sizing.FINDINGS}
    said = [report_text.verdict(found.miss.report, found.system)]
    missed = sorted(((n, name) for name, n in found.ranking.missed.items() if n), reverse=True)
    if missed:
        told = ", ".join(f"{labels[name]} by {n}" for n, name in missed)
        least = "" if found.ranking.counted else "at least: "
        said.append(f"Missed on a good day already: {least}{told} of {found.ranking.tried}.")
    if found.ranking.impossible:
        count, sentence = found.ranking.impossible
        said.append(f"{count} can't be built; the first because: {sentence}")
    return said


def data_of(found):
    """The ranking as plain data, SI."""
    if not isinstance(found, Found):
        return working.data_of(found)
    return {
        **({"instead": found.instead} if found.instead else {}),
        "sizing": found.sizing.NAME,
        "tried": found.ranking.tried,
        "fits": [_as_data(one) for one in found.best],
        "nearest_miss": _as_data(found.miss) if found.miss else None,
        "beside": {head: _as_data(one) for head, one in found.beside.items()},
        "missed": found.ranking.missed,
    }


def _as_data(one):
    report = one.report
    return {
        "choice": one.choice,
        "works": report.works,
        "works_on_bad_day": report.works_on_bad_day,
        "rests_on": [one.path for one in report.rests_on],
        "days_in_100": report.days_in_100,
        "mass": one.mass,
        "tightest": report.weakest(),
        "good": {name: number(v) for name, v in report.good.items()},
        "bad": {name: number(v) for name, v in report.bad.items()},
    }
