"""Tables on a notebook's page: cells that break at the blanks between words only, never between a number and its unit.

Contents: table, typed_as, together, sentence.
"""

import re
from html import escape

NO_BREAK = "\u00a0"
AFTER_NUMBER = re.compile(r"(?<=\d) (?=\S)")


def table(rows, right=(), typed=()):
    """Rows of texts, their heads first, as a table; the columns named by their places in `right` end at the right.

    typed : the same rows as they can be typed, which a cell tells where it says something else
    """
    head, *body = rows
    lines = [_row("td", *row, right) for row in zip(body, typed[1:] or body)]
    return f"<table>{_row('th', head, head, right)}{''.join(lines)}</table>"


def _row(kind, cells, typed, right):
    aligned = [' style="text-align:right"' if i in right else ' style="text-align:left"' for i in range(len(cells))]
    told = "".join(
        f"<{kind}{how}{typed_as(cell, other)}>{escape(together(cell))}</{kind}>"
        for cell, other, how in zip(cells, typed, aligned)
    )
    return f"<tr>{told}</tr>"


def typed_as(cell, typed):
    """What can be typed for a cell, as its title; nothing where it is the cell itself."""
    return f' title="type: {escape(typed, quote=True)}"' if typed != cell else ""


def together(text):
    """A number and its unit on one line; a cell that is one number stays whole, a range may break after "to"."""
    if not re.match(r"[-\u2212]?\d", text):
        return AFTER_NUMBER.sub(NO_BREAK, text)
    return text.replace(" ", NO_BREAK).replace(f"{NO_BREAK}to{NO_BREAK}", f"{NO_BREAK}to ")


def sentence(text, bold=""):
    """A sentence as a block of its own, with some words in front that stand out; nothing where it is empty."""
    told = [
        *([f"<b>{escape(bold)}</b>"] if bold else []),
        *([escape(AFTER_NUMBER.sub(NO_BREAK, text))] if text else []),
    ]
    return f"<div>{' '.join(told)}</div>" if told else ""
