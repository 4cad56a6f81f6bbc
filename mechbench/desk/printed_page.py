"""Pages that print well: HTML from templates, in which every text is escaped; and pieces of Markdown that show texts as
they are.

Contents: page, made, marked, rows_of, CAUTION, BLANK.

A page is NAME.html and its style NAME.css in the folder `templates` beside the code that fills them. `page.html` and
`page.css` here are the frame and the style of them all. A page is whole by itself: no script runs, nothing is fetched,
and its content policy says so to the browser. The one style that may stand in it is that whose digest is in the policy;
a page with pictures says that it has some.
"""

import base64
import hashlib
import re
from functools import cache
from pathlib import Path

from jinja2 import Environment, FileSystemLoader, StrictUndefined

OWN = Path(__file__).parent / "templates"
# Signs that turn the direction of writing could make a page show other numbers than it holds.
TURNING = re.compile("[\u061c\u200e\u200f\u202a-\u202e\u2066-\u2069]")
MARKS = re.compile(r"([\\`*_{}\[\]<>|#])")
BLANK = "…………"
CAUTION = (
    "Before hands go in: unplug, and secure what is raised, wound or stretched. An adult is present. Your event's rules"
    " and local codes come first."
)


def page(folder, name, /, **values):
    """Give a page of HTML piece by piece, so that a long one is never whole in memory.

    folder : where its template stands; name : of the template; values : what the template asks for
    """
    known = templates(folder)
    style = "".join(known.get_template(sheet).render(values) for sheet in ("page.css", f"{name}.css"))
    digest = base64.b64encode(hashlib.sha256(style.encode("utf-8")).digest()).decode("ascii")
    return known.get_template(f"{name}.html").generate(values, own_style=f"{name}.css", style_digest=digest)


@cache
def templates(folder):
    """Give the templates of a folder, with the frame of all pages beside them."""
    known = Environment(
        loader=FileSystemLoader([folder, OWN]),
        autoescape=True,
        undefined=StrictUndefined,
        finalize=_unturned,
        trim_blocks=True,
        lstrip_blocks=True,
    )
    known.filters["base64"] = lambda data: base64.b64encode(data).decode("ascii")
    known.policies["json.dumps_kwargs"] = {"ensure_ascii": True}
    return known


def _unturned(value):
    """A text without turning signs; a piece of HTML, which is a text of another kind, and everything else as they
    are.
    """
    return TURNING.sub("", value) if type(value) is str else value


def made(date, version, kit):
    """Say when a paper was made, with what, and from which kit."""
    return f"Made {date} with mechbench {version}; kit: {kit.name} ({kit.digest})"


def marked(text):
    """A text as Markdown that shows it as it is."""
    return MARKS.sub(r"\\\1", TURNING.sub("", text))


def rows_of(heads, rows):
    """A table as lines of Markdown."""
    lines = ["| " + " | ".join(heads) + " |", "|" + " --- |" * len(heads)]
    return lines + ["| " + " | ".join(marked(cell) for cell in row) + " |" for row in rows]
