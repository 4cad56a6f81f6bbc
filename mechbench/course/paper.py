"""Pages for mentors that print well: one HTML file each, complete in itself, escaped in one place.

Contents: tag (a piece of HTML; text inside is escaped), document (a whole page), said (text from a stranger, fit to be
shown), lesson_title.

A page holds no script and no address, and its content policy lets a browser load nothing and run nothing: what a stranger
wrote into a hand-in stays text. The only style allowed is the one whose digest stands in the policy.
"""

import base64
import hashlib
from html import escape

from mechbench.course import lessons
from mechbench.course.handin_file import showable

LONGEST_SAID = 400


class Html(str):
    """A piece of HTML, escaped already."""


def tag(name, *inside, **attributes):
    """Give a piece of HTML; what is inside and is not Html is escaped. `class_` stands for the attribute class."""
    marks = "".join(f' {key.rstrip("_").replace("_", "-")}="{escape(str(value))}"' for key, value in attributes.items() if value)
    return Html(f"<{name}{marks}>{joined(inside)}</{name}>")


def joined(parts):
    """Give pieces one after the other, those that are not Html escaped."""
    return Html("".join(part if type(part) is Html else escape(str(part)) for part in parts))


def said(text, most=LONGEST_SAID):
    """Give a text from a stranger on one line, without hidden characters."""
    return showable(str(text), most)


def document(title, style, parts):
    """Give a whole page piece by piece; `parts` is an iterable of Html."""
    sheet = STYLE + style
    digest = base64.b64encode(hashlib.sha256(sheet.encode("utf-8")).digest()).decode("ascii")
    policy = f"default-src 'none'; style-src 'sha256-{digest}'; base-uri 'none'; form-action 'none'"
    yield '<!doctype html>\n<html lang="en">\n<head>\n<meta charset="utf-8">\n'
    yield f'<meta http-equiv="Content-Security-Policy" content="{policy}">\n'
    yield '<meta name="referrer" content="no-referrer">\n<meta name="viewport" content="width=device-width, initial-scale=1">\n'
    yield f"{tag('title', title)}\n<style>{sheet}</style>\n</head>\n<body>\n"
    for part in parts:
        yield part
        yield "\n"
    yield "</body>\n</html>\n"


def lesson_title(name):
    """Give number and title of a lesson: "01 Motors"."""
    return lessons.lesson(name).heading


# Blue-green, vermillion and blue of Okabe and Ito (2008), darker or lighter where the paper asks for it; a sign and a word
# always say the same.
STYLE = """
:root { color-scheme: light dark; --paper: #ffffff; --ink: #1b1f24; --quiet: #59626c; --rule: #c9d0d7; --tint: #eef1f4;
  --right: #00614a; --yet: #9a4300; --yet-tint: #fbe9dd; --noted: #00507d; }
@media (prefers-color-scheme: dark) {
  :root { --paper: #15191e; --ink: #eceff2; --quiet: #a8b1ba; --rule: #3a434c; --tint: #20262d;
    --right: #4fd0a8; --yet: #f5a26b; --yet-tint: #3a2415; --noted: #7cc4f0; } }
* { box-sizing: border-box; }
body { margin: 0 auto; padding: 20px 24px 48px; max-width: 1280px; background: var(--paper); color: var(--ink);
  font: 15px/1.5 "Segoe UI", "Helvetica Neue", Arial, "Noto Sans", sans-serif; }
h1 { font-size: 27px; line-height: 1.2; margin: 0 0 10px; }
h2 { font-size: 20px; margin: 36px 0 10px; padding-top: 8px; border-top: 4px solid var(--ink); }
h3 { font-size: 16px; margin: 22px 0 6px; }
p { margin: 0 0 8px; max-width: 62em; }
.quiet { color: var(--quiet); }
table { border-collapse: collapse; }
th, td { border: 1px solid var(--rule); padding: 3px 7px; text-align: left; vertical-align: top; }
th { font-weight: 600; }
.number { text-align: right; font-variant-numeric: tabular-nums; }
@media print {
  :root { --paper: #ffffff; --ink: #000000; --quiet: #3d434a; --rule: #9aa2aa; --tint: #f2f4f6; --right: #00513e;
    --yet: #7d3600; --yet-tint: #ffffff; --noted: #003f63; }
  body { max-width: none; padding: 0; font-size: 10pt; }
  h2, h3 { break-after: avoid; }
  tr, li { break-inside: avoid; }
  thead { display: table-header-group; } }
"""
