"""Plain text in columns, for a window of letters.

Contents: WIDTH, table, wrapped, together, below.
"""

import textwrap

from mechbench.quantity import unbroken

WIDTH = 100


def table(rows, right=(), gap=3, indent=2):
    """Rows of texts as lines; the columns named by their places in `right` end at the same place."""
    widths = [max(len(row[i]) for row in rows) for i in range(len(rows[0]))]
    lines = []
    for row in rows:
        cells = [
            cell.rjust(width) if i in right else cell.ljust(width) for i, (cell, width) in enumerate(zip(row, widths))
        ]
        lines.append(" " * indent + (" " * gap).join(cells).rstrip())
    return lines


def wrapped(text, indent=2, more=0):
    """A text as lines that fit the window; lines after the first are set in by `more`. A number and its unit stay on
    one line.
    """
    lines = textwrap.wrap(
        unbroken(text),
        WIDTH,
        initial_indent=" " * indent,
        subsequent_indent=" " * (indent + more),
        break_long_words=False,
        break_on_hyphens=False,
    )
    return [line.replace("\N{NO-BREAK SPACE}", " ") for line in lines] or [""]


def together(name, texts, indent=2):
    """A word, then texts after it, broken into lines only between two texts."""
    lines, line = [], " " * indent + name
    for text in texts:
        if len(line) + 2 + len(text) > WIDTH:
            lines.append(line)
            line = " " * (indent + len(name))
        line += "  " + text
    return [*lines, line]


def below(sentences):
    """Sentences as lines under a table, after an empty one; nothing where there are none."""
    lines = [line for one in sentences for line in wrapped(one)]
    return ["", *lines] if lines else []
