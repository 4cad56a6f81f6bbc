"""The texts that a line gives for one input: one value or several, with the unit or the word that another one has.

Contents: parted.
"""

import math

from mechbench import quantity
from mechbench.desk.arguments import plain
from mechbench.desk.common_words import KINDS_OF_PAIR
from mechbench.desk.known_words import TEETH, kind_of
from mechbench.desk.tokens import NUMBER
from mechbench.engine.inputs import Supply
from mechbench.engine.spec import Field, Pick


def parted(reading, one, name, texts):
    """Values one by one: 1,2 are two, 12,36 teeth one pair of wheels, 1,5kg is one number."""
    if one is reading.known.wheels:
        return [_of_kind(reading, TEETH.sub(r"\1:\2", text.strip()), name) for text in texts]
    pieces = []
    for text in texts:
        pieces += [_like_named(reading, one, piece) for piece in _pieces(reading, one, text)]
    return [_usual_of(reading, one, _with_unit(reading, one, piece)) for piece in pieces]


def _of_kind(reading, text, name):
    """Teeth with belt or chain before them, where these were named."""
    kind = KINDS_OF_PAIR.get(name, reading.kind)
    return f"{kind},{text}" if kind and text[:1].isdigit() else text


def _with_unit(reading, one, text):
    """A plain number gets the unit that another figure of the same kind has in the same line."""
    if not isinstance(one, Field) or not NUMBER.fullmatch(text) or reading.known.counts_plainly(one):
        return text
    kind = quantity.kind_of(one.unit)
    like = [typed for typed in reading.figures if kind_of(typed) == kind]
    units = {quantity.read(typed).unit for typed in like}
    if len(units) != 1:
        return text
    unit = units.pop()
    reading.say(f"{one.name}={text}: taken in {quantity.written(unit)}, as {like[0]} is.")
    return f"{text}{unit}"


def _usual_of(reading, one, text):
    """Of several parts with one word, as every gearbox on one motor, the usual one, else the one most like it."""
    if not isinstance(one, Pick) or one.name != "drive":
        return text
    table, usual = reading.tables(one.table), one.first(reading.tables)
    like = [name for name in table.names if f"_{plain(text)}_" in f"_{name}_"]
    if len(like) < 2 or "torque_constant" not in table.columns:
        return text
    away = lambda name: abs(math.log(table.row(name)["torque_constant"] / table.row(usual)["torque_constant"]))
    chosen = usual if usual in like else min(like, key=away)
    reading.say(f"{one.name}={text}: of {len(like)} with it, {chosen} is taken; --find {one.name} looks at all.")
    return chosen


def _like_named(reading, one, text):
    """Figures of a part get the word of the line that says what kind it is: mecanum and 92mm."""
    if not isinstance(one, Pick) or one.table == "counts" or not text[:1].isdigit():
        return text
    if not reading.tables.reads_figures(one.table, text):
        return text
    parts = one.options(reading.tables)
    others = [word for word in reading.words if word not in (one.name, *one.also)]
    kinds = [word for word in others if any(f"_{word}_" in f"_{part}_" for part in parts)]
    return ",".join([text, *kinds[:1]])


def _pieces(reading, one, text):
    """The values of a text with commas; the figures of one part, and a decimal comma, stay together."""
    if isinstance(one, Supply) or "," not in text:
        return [text]
    if isinstance(one, Pick):
        return reading.tables.one_by_one(one.table, text) or [text]
    pieces = [piece.strip() for piece in text.split(",")]
    kind = quantity.kind_of(one.unit)
    return pieces if all(kind_of(piece) == kind for piece in pieces) else [text]
