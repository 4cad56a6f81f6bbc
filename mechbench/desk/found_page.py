"""What a search for parts found, in letters, on a notebook's page, in a few words and as plain data.

Contents: text_of, html_of, short_of, data_of, code_of.

What is shown here is a Found of ranking.py: the best that fit, or the nearest miss; then the ratios beside the first.
"""

from html import escape

import numpy as np

from mechbench import quantity
from mechbench.desk import page_table, text_table
from mechbench.desk.answer import FAILS, FITS, MISSES, instead_lines, verdict_data
from mechbench.desk.arguments import as_typed
from mechbench.desk.record import number
from mechbench.desk.rows import filled_in
from mechbench.engine import report_text

MASS = "mass"  # of a sizing's finding, else of the parts that are looked for


def code_of(found):
    """0 where something fits."""
    return FITS if found.best else FAILS


def text_of(found):
    """The ranking as a table, or why nothing fits; then the ratios beside the first."""
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
    """What was tried for an input: a number, or a part, in words or by its name."""
    if isinstance(value, str):
        if words:
            return found.labels[name].get(value, value)
        return as_typed(found.sizing.field(name), value, tables=found.tables)
    return quantity.show(value, found.sizing.field(name).unit, system=found.system)


def short_of(found):
    """In a few words: the best, and the ratios beside it."""
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
        **verdict_data(report),
        "mass": one.mass,
        "tightest": report.weakest(),
        "good": {name: number(v) for name, v in report.good.items()},
        "bad": {name: number(v) for name, v in report.bad.items()},
    }
