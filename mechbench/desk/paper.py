"""What all papers of the desk share, HTML that prints well or Markdown: the frame of a page, its style, texts made safe.

Contents: page, safe, made, marked, rows_of, CAUTION, BLANK.

A page is whole by itself: no script runs, nothing is fetched, and a strict content policy says so to the browser.
"""

import re
from html import escape

POLICY = "default-src 'none'; style-src 'unsafe-inline'; img-src data:; base-uri 'none'; form-action 'none'"
# Signs that turn the direction of writing could make a page show other numbers than it holds.
TURNING = re.compile("[\u061c\u200e\u200f\u202a-\u202e\u2066-\u2069]")
MARKS = re.compile(r"([\\`*_{}\[\]<>|#])")
BLANK = "…………"
CAUTION = (
    "Before hands go in: unplug, and secure what is raised, wound or stretched. An adult is present. Your event's rules and local "
    "codes come first."
)
# Each paper adds its own sizes.
STYLE = """
* { box-sizing: border-box; }
body { color: #1b1f24; background: #fff; margin: 0 auto; font-family: system-ui, "DejaVu Sans", sans-serif; }
h1 { margin: 0; } h2 { border-bottom: .3mm solid #59626c; } .quiet { color: #59626c; }
.verdict { border-left: 1.6mm solid #59626c; padding: .8mm 2mm; background: #f1f3f5; print-color-adjust: exact; -webkit-print-color-adjust: exact; }
.side { display: grid; align-items: start; } img { width: 100%; height: auto; }
table { border-collapse: collapse; width: 100%; } th, td { text-align: left; border-bottom: .15mm solid #dfe3e8; }
th { color: #59626c; font-weight: normal; }
"""


def page(title, style, parts):
    """A whole page of HTML; parts are pieces of HTML, its title is text."""
    return "\n".join([
        '<!doctype html>\n<html lang="en">\n<head>\n<meta charset="utf-8">',
        f'<meta http-equiv="Content-Security-Policy" content="{POLICY}">',
        '<meta name="viewport" content="width=device-width">',
        f"<title>{safe(title)}</title>\n<style>{STYLE}{style}</style>\n</head>\n<body>",
        *parts,
        "</body>\n</html>\n",
    ])  # fmt: skip


def made(date, version, kit):
    """Say when a paper was made, with what, and from which kit."""
    return f"Made {date} with mechbench {version}; kit: {kit.name} ({kit.digest})"


def safe(text):
    """A text as HTML that shows it as it is."""
    return escape(TURNING.sub("", text))


def marked(text):
    """A text as Markdown that shows it as it is."""
    return MARKS.sub(r"\\\1", TURNING.sub("", text))


def rows_of(heads, rows):
    """A table as lines of Markdown."""
    lines = ["| " + " | ".join(heads) + " |", "|" + " --- |" * len(heads)]
    return lines + ["| " + " | ".join(marked(cell) for cell in row) + " |" for row in rows]
