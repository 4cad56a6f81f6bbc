"""How a sentence about what was given is worded: the given value in quotes, and the nearest right name.

Contents: quoted, shortened, closest, nearest, listed, one_slip_apart; and what no line may part: NO_BREAK, together,
numbers_kept, on_one_line. The standard library alone: the launcher uses it before anything is installed.
"""

import difflib
import re

LONGEST = 40  # characters of a given value that one sentence shows
MOST_NAMES = 20  # names that one sentence lists
LONGEST_NAME = 60  # of a given name that is compared: a comparison takes as long as the product of both lengths
NEAR = 0.5  # from 0, nothing alike, to 1, the same
NO_BREAK = "\u00a0"
MARKS, SIGNS = "\u2714\u2718", "+=><\u2212\u2260"  # what stays with the number before it, and with the word after it


def quoted(given, most=LONGEST, mark="'"):
    """Give a value in quotes for a sentence.

    >>> print(quoted("planetary_75"), quoted(3.5), quoted("a" * 50, most=4))
    'planetary_75' '3.5' 'aaaa…'
    """
    return f"{mark}{shortened(given, most)}{mark}"


def shortened(given, most=LONGEST):
    """Give a value as text on one line: cut after `most` characters, with ? for what can't be printed."""
    text = str(given)
    shown = text[:most]
    if not shown.isprintable():  # nearly all are, and then this is quick
        shown = "".join(sign if sign.isprintable() else " " if sign.isspace() else "?" for sign in shown)
    return f"{shown}…" if len(text) > most else shown


def closest(name, names, near=NEAR):
    """Give the one of names that was probably meant; "" where none is near: as like it as `near` says, from 0 to 1."""
    found = difflib.get_close_matches(str(name)[:LONGEST_NAME], [str(one) for one in names], n=1, cutoff=near)
    return found[0] if found else ""


def nearest(name, names, most=MOST_NAMES, mark="'"):
    """Say which of names was probably meant, or which there are; the end of a sentence.

    >>> nearest("moter", ["motor", "arm"])
    "did you mean 'motor'?"
    >>> nearest("xyz", ["motor", "arm"])
    'choose from motor, arm.'
    """
    names = list(names)
    near = closest(name, names)
    if near:
        return f"did you mean {mark}{near}{mark}?"
    return f"choose from {listed(names, most)}." if names else "there is none to choose from."


def listed(names, most=MOST_NAMES):
    """Give names in a row; of a longer list the first ones, and how many there are."""
    texts = [str(name) for name in names]
    if len(texts) <= most:
        return ", ".join(texts)
    return f"{', '.join(texts[:most])} … ({len(texts)} in all)"


def one_slip_apart(one, other):
    """Tell whether two words differ by one slip: a letter too many, too few, or another one, or two exchanged.

    >>> one_slip_apart("anna", "ana"), one_slip_apart("naa", "ana"), one_slip_apart("ana", "ana")
    (True, True, False)
    """
    if one == other or abs(len(one) - len(other)) > 1:
        return False
    same = next((at for at, pair in enumerate(zip(one, other)) if pair[0] != pair[1]), min(len(one), len(other)))
    one, other = one[same:], other[same:]
    exchanged = one[:2] == other[1::-1] and one[2:] == other[2:]
    return one[1:] == other[1:] or one[1:] == other or one == other[1:] or (exchanged and len(one) > 1)


def together(text):
    """A text in which no number is parted from its unit or from the letter before it, no ratio is broken, and no sign
    of a mark stands without its word; quantity.unbroken does it for units alone.
    """
    number = r"(?<=\d) (?!to )(?=[^\W\d]|%|: \d)|(?<=:) (?=-?\d)"
    return re.sub(f"{number}| (?=[{MARKS}])|(?<=[{SIGNS}]) ", NO_BREAK, text)


def numbers_kept(text):
    """A text in which each number keeps the word behind it, whatever that is."""
    return re.sub(r"(?<=\d) (?=\S)", NO_BREAK, text)


def on_one_line(text):
    """A number, its unit and its mark on one line; a range may break after "to"."""
    return text.replace(" ", NO_BREAK).replace(f"{NO_BREAK}to{NO_BREAK}", f"{NO_BREAK}to ")
