"""What is said of a line that a sizing can't read: one sentence for all of it, with a line that can be typed.

Contents: NotRead, Open, Unknown, refused, in_full.
"""

from typing import NamedTuple

from mechbench import quantity
from mechbench.desk.arguments import BadQuestion, closest_of, seen_first, values_of
from mechbench.desk.known_words import kind_of
from mechbench.desk.spoken import all_of_it
from mechbench.desk.tokens import NUMBER
from mechbench.engine.judge import judge_with
from mechbench.engine.spec import Finding
from mechbench.wording import listed, quoted

LINE = "type size "  # a sentence that leads to a line has it
TOLD = 2  # findings that a suggested line asks for


class NotRead(BadQuestion):
    """A line that a sizing can't read; `words` are those that mean nothing to it, `faults` how much
    of it could not be read.
    """

    def __init__(self, sentence, words, faults):
        super().__init__(sentence)
        self.words, self.faults = words, faults


class Open(NamedTuple):
    """A value that may be one of several inputs; alone: a bare number, of which nobody said what it is."""

    text: str
    may_be: tuple
    alone: bool = False
    value: str = ""  # where the text says more than that


class Unknown(NamedTuple):
    """A word that means nothing to a sizing, and what was given for it."""

    word: str
    texts: tuple = ()


def refused(reading):
    """The NotRead for all that can't be read."""
    near = {one: _near(reading, one) for one in reading.unknown}
    line = _line_to_type(reading, near)
    told = [*(_open(reading, one) for one in reading.open), *reading.wrong, *_unknown(reading, near, bool(line))]
    whole = "; ".join(one.rstrip(".") for one in told).replace("?; ", "? ")
    if line and not any(LINE in one for one in reading.wrong):
        whole += f"{' Or' if whole.endswith('?') else '; for example,'} type: {line}"
    sentence = whole if whole.endswith(("?", "…")) else f"{whole}."
    faults = len(reading.open) + len(reading.wrong) + len(reading.unknown)
    return NotRead(sentence, [one.word for one in reading.unknown], faults)


def _open(reading, one):
    text = one.value or one.text
    found = [finding.name for finding in reading.sizing.FINDINGS if quantity.kind_of(finding.unit) == kind_of(text)]
    if not one.may_be and found and kind_of(text):
        return (
            f"{quoted(one.text)} is no input of {reading.sizing.NAME}, which finds such a value: {listed(found[:TOLD])}"
        )
    if one.alone or not one.may_be:
        return f"{quoted(one.text)} stands alone; write what it is"
    if not any(reading.known.in_range(field, text) for field in one.may_be):
        ranges = [f"{field.name} ({_range(field.at(reading.tables))})" for field in one.may_be]
        return f"{quoted(one.text)} is in the range of none that it can be: {listed(ranges)}"
    return f"{quoted(one.text)} can be {' or '.join(field.name for field in one.may_be)}; write which"


def _range(field):
    low, high = (quantity.show(field.to_si(end), field.unit) for end in (field.low, field.high))
    return f"{low} to {high}"


def _near(reading, one):
    """The input or finding that was surely meant by a word; None where none is that near."""
    known = reading.sizing.FIELDS if one.texts else (*reading.sizing.FIELDS, *reading.sizing.FINDINGS)
    name = closest_of(one.word, known)
    return next((found for found in known if found.name == name), None)


def _unknown(reading, near, has_line):
    """Words that are nothing here, and what may be meant by them."""
    sizing = reading.sizing
    choose = "" if has_line else f"; {seen_first(sizing.FIELDS)}"
    words = dict.fromkeys(one.word for one in near)
    if len(words) == 1:
        one, meant = next(iter(near.items()))
        what = "not an input" if one.texts else "neither an input nor a finding"
        end = f"; did you mean {quoted(meant.name)}?" if meant else choose
        return [f"{quoted(one.word)} is {what} of {sizing.NAME}{end}"]
    if any(near.values()):
        each = [f"{quoted(one.word)} ({meant.name if meant else 'nothing near'})" for one, meant in near.items()]
        return [f"Of these, {sizing.NAME} knows none; in brackets what may be meant: {', '.join(each)}"]
    return [f"{' and '.join(map(quoted, words))} mean nothing to {sizing.NAME}{choose}"] if words else []


def _line_to_type(reading, near):
    """A line with all that was read, and with a possible meaning of what was not, which works; "" where there is
    none, or where it would drop a value that was given by a name.
    """
    given = {name: texts[0] for name, texts in reading.values.items()} | reading.perhaps
    asked = dict(reading.asked)
    if any(one.texts and meant is None for one, meant in near.items()):
        return ""
    for one, meant in near.items():
        if one.texts:
            given.setdefault(meant.name, one.texts[0])
        elif isinstance(meant, Finding):
            asked[meant.name] = 1
    for one in reading.open:
        text = one.value or one.text
        free = [field for field in one.may_be if field.name not in given and reading.known.in_range(field, text)]
        for field in free[:1]:
            given[field.name] = f"{text}{field.unit}" if NUMBER.fullmatch(text) else text
    if not (given or asked or reading.looked) or not _works(reading, given):
        return ""
    more = sorted(asked, key=lambda name: -asked[name])[:TOLD]
    looked = [name for name in reading.looked if name not in given]
    return all_of_it(in_full(reading.sizing, given, ["--find", ",".join(looked)] if looked else more))


def _works(reading, given):
    """Whether a line with these values is answered."""
    tables = reading.tables.fresh()
    try:
        judge_with(reading.sizing, values_of(reading.sizing, given, tables), tables)
    except ValueError:
        return False
    return True


def in_full(sizing, given, more=()):
    """A line after `size` in the calculator's own words; more: findings, or options."""
    inputs = [f"{name}={_one_word(text)}" for name, text in given.items()]
    return " ".join([sizing.NAME, *inputs, *more]).rstrip()


def _one_word(text):
    """A value as it can be typed without quotes."""
    return text.replace(" ", "" if text[:1].isdigit() else "_")
