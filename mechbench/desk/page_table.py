"""Tables on a notebook's page: cells that break at the blanks between words only, never between a number and its unit.

Contents: NOT_MET, MISSES, table, marked, typed_as, kept, sentence.
"""

import re
from html import escape

from mechbench.wording import numbers_kept, on_one_line

NOT_MET, MISSES = "\u2718", "!"  # on a page; in a window of letters


def table(rows, right=(), typed=()):
    """Rows of texts, their heads first, as a table; the columns named by their places in `right` end at the right.

    typed : the same rows as they can be typed, which a cell tells where it says something else
    """
    head, *body = [[marked(cell) for cell in row] for row in rows]
    typed = [[marked(cell) for cell in row] for row in typed]
    legend = f"<div>{NOT_MET} = not met</div>" if any(NOT_MET in cell for row in body for cell in row) else ""
    lines = [_row("td", *row, right) for row in zip(body, typed[1:] or body)]
    return f"<table>{_row('th', head, head, right)}{''.join(lines)}</table>{legend}"


def _row(kind, cells, typed, right):
    aligned = [' style="text-align:right"' if i in right else ' style="text-align:left"' for i in range(len(cells))]
    told = "".join(
        f"<{kind}{how}{typed_as(cell, other)}>{escape(kept(cell))}</{kind}>"
        for cell, other, how in zip(cells, typed, aligned)
    )
    return f"<tr>{told}</tr>"


def marked(cell):
    """A cell with the mark of a page for what is not met, in place of that of a window of letters."""
    return f"{cell.rstrip(f'{MISSES} ')} {NOT_MET}" if cell.rstrip().endswith(MISSES) else cell


def typed_as(cell, typed):
    """What can be typed for a cell, as its title; nothing where it is the cell itself."""
    return f' title="type: {escape(typed, quote=True)}"' if typed != cell else ""


def kept(text):
    """A number and its unit on one line; a cell that is one number stays whole."""
    return on_one_line(text) if re.match(r"[-\u2212]?\d", text) else numbers_kept(text)


def sentence(text, bold=""):
    """A sentence as a block of its own, with some words in front that stand out; nothing where it is empty."""
    told = [
        *([f"<b>{escape(bold)}</b>"] if bold else []),
        *([escape(numbers_kept(text))] if text else []),
    ]
    return f"<div>{' '.join(told)}</div>" if told else ""
