"""The words of a line, put together to what belongs together: `a = b`, "0.5 kg" with a blank, one against another.

Contents: Given, Value, Word, tokens, plain, as_torque.

Nothing is known here of any sizing: whether a name is an input, and which, is read later (meant.py).
"""

import re
from dataclasses import dataclass

from mechbench import quantity

AGAINST = ("vs", "vs.", "versus", "against", "or")
NUMBER = re.compile(r"[+-]?(?:[0-9]+(?:[.,][0-9]+)?|[.,][0-9]+|[0-9]+/[0-9]+)(?:[eE][+-]?[0-9]+)?")
WITH_DIGIT = re.compile(r"[-+−]?[.,]?[0-9½¼¾]")
KG_CM = re.compile(r"(?i)(?<![a-z])kg[ ·.*-]?cm\b")
ENDS = ",;!."  # marks after a word that belong to the sentence, not to the word
LONGEST = 80  # of what is tried as a quantity


@dataclass
class Given:
    """`name=value`; several values where the same was given more than once, or one against another."""

    name: str
    values: list

    @property
    def typed(self):
        """As it would be typed in one word."""
        return f"{self.name}={','.join(self.values)}"


@dataclass
class Value:
    """A value alone: "120mm", "12", "12:36"; against: one of several to choose from, after `or` or `vs`."""

    text: str
    against: bool = False

    @property
    def typed(self):
        """As it was typed."""
        return self.text


@dataclass
class Word:
    """A word alone, in small letters and with _ between its parts; `text` is how it was typed."""

    name: str
    text: str

    @property
    def typed(self):
        """As it was typed."""
        return self.text


def plain(name):
    """A name as names are written inside: small letters, _ for other marks between words."""
    return name.strip().lower().replace("-", "_").replace(" ", "_")


def as_torque(text):
    """A text in which the kg·cm of a label is written as the torque that it is: kgf·cm."""
    return KG_CM.sub("kgf·cm", text)


def tokens(words):
    """What a line says, in its order: Given, Value and Word."""
    found, against = [], False
    for word in _with_their_equals(words):
        if plain(word) in AGAINST:
            against = True
            continue
        if _joined(found, word):
            continue
        _take(found, word, against)
        against = False
    return found


def _with_their_equals(words):
    """Words one by one; `a`, `=` and `b` are one word where that was meant."""
    pieces = []
    for word in words:
        pieces += [word] if word.count("=") == 1 else word.split()
    joined = []
    for piece in pieces:
        after = bool(joined) and joined[-1].endswith("=") and len(joined[-1]) > 1
        before = bool(joined) and piece.startswith("=") and "=" not in joined[-1]
        if (after and "=" not in piece) or before:
            joined[-1] += piece
        else:
            joined.append(piece)
    return [piece.rstrip(ENDS) or piece for piece in joined]


def _take(found, word, against):
    last = found[-1] if found else None
    if "=" in word:
        name, _, value = word.partition("=")
        same = next((one for one in found if isinstance(one, Given) and plain(one.name) == plain(name)), None)
        if same is None:
            found.append(Given(name, [value]))
        elif value not in same.values:
            same.values.append(value)
    elif against and isinstance(last, Given):
        last.values.append(word)
    elif WITH_DIGIT.match(word):
        found.append(Value(word, against))
    else:
        found.append(Word(plain(word.rstrip("?.:") or word), word))


def _joined(found, word):
    """True where a word belongs to the value before it, to which it is then added: its unit, or 6in after 5ft."""
    last = found[-1] if found else None
    if last is None or isinstance(last, Word):
        return False
    before = last.values[-1] if isinstance(last, Given) else last.text
    whole = _whole(before, word)
    if whole:
        _put(last, whole)
        _join_pair(found)
    return bool(whole)


def _put(token, text):
    if isinstance(token, Given):
        token.values[-1] = text
    else:
        token.text = text


def _join_pair(found):
    """Two values in a row that are one: `5ft` and `6in`."""
    if len(found) < 2 or isinstance(found[-2], Word) or not isinstance(found[-1], Value):
        return
    first = found[-2].values[-1] if isinstance(found[-2], Given) else found[-2].text
    whole = _whole(first, found[-1].text)
    if whole and not NUMBER.fullmatch(first):
        found.pop()
        _put(found[-1], whole)


def _whole(before, word):
    """A value and the word after it as one value; "" where they are none."""
    if len(before) + len(word) > LONGEST or not before:
        return ""
    if NUMBER.fullmatch(before):
        fraction = before.isdigit() and re.fullmatch("[0-9]+/[0-9]+", word)
        return f"{before} {word}" if fraction else before + word if _is_unit(word) else ""
    if re.fullmatch("[0-9]+ [0-9]+/[0-9]+", before):
        return f"{before} {word}" if _is_unit(word) else ""
    more = not word[:1].isdigit() and _is_unit(word) or re.match(r"[0-9/.]+[A-Za-z\"']", word)
    whole = f"{before} {word}"
    return whole if more and _reads(before) and _reads(whole) else ""


def _is_unit(word):
    try:
        return bool(word.strip("-")) and bool(quantity.kind_of(word))
    except ValueError:
        return False


def _reads(text):
    try:
        return bool(quantity.read(text))
    except ValueError:
        return False
