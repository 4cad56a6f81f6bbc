"""The figures that were asked for, which come before all others: a line each, the same large on a page, and as data.

Contents: Figure, figures_of, beside_typed, lines_of, html_of, data_of, STYLE.
"""

import math
from dataclasses import dataclass
from html import escape

from mechbench import quantity
from mechbench.desk import text_table
from mechbench.engine import report_text

WORKS, GOOD_DAY_ONLY, DOES_NOT = "works", "works on a good day only", "does not work"
# A kind (for the colour of the bar) and a sign, which say the same as the words.
MARKS = {WORKS: ("fits", "\u2714"), GOOD_DAY_ONLY: ("close", "\u2248"), DOES_NOT: ("fails", "\u2718"), "": ("told", "")}

# Words are in the page's own ink, which stands out from light and dark ground; only the bar at the left is coloured.
STYLE = """<style>
.mb-asked { color: var(--jp-content-font-color1, #1b1f24); max-width: 772px; line-height: 1.35; }
.mb-asked .mb-figures { display: flex; flex-wrap: wrap; gap: 4px 12px; }
.mb-asked .mb-figure { flex: 1 1 215px; border-left: 6px solid var(--jp-border-color1, #8a929b); padding: 2px 10px; }
.mb-asked .mb-figure b { font-size: 22px; margin-right: 8px; }
.mb-asked .mb-what { font-size: 16px; }
.mb-asked .mb-figure .mb-day { font-size: 14px; }
.mb-asked .mb-fits { border-left-color: #009E73; } .mb-asked .mb-close { border-left-color: #E69F00; }
.mb-asked .mb-fails { border-left-color: #D55E00; }
.mb-asked .mb-head { font-weight: 600; font-size: 15px; margin-top: 10px; }
.mb-asked .mb-said { font-size: 14px; margin: 4px 0; }
</style>"""


@dataclass(frozen=True)
class Figure:
    """One finding in words: on a good day, on a bad day ("" where that is the same), what is asked ("": nothing), and
    whether that is met ("" where nothing is asked).
    """

    name: str
    label: str
    good: str
    bad: str
    asked: str
    met: str
    known: bool

    @property
    def beside(self):
        """The bad day and what is asked, in one text; "" where neither tells more."""
        said = [f"bad day {self.bad}" if self.bad else "", f"asked: {self.asked}" if self.asked else ""]
        return "; ".join(filter(None, said))

    @property
    def verdict(self):
        """Whether what is asked is met, in words; "" where nothing is asked."""
        return self.met + (", as assumed" if self.met and not self.known else "")


def figures_of(report, names, system="metric"):
    """The findings of these names as Figures, in the order of the names."""
    return [_figure(report, report.sizing.finding(name), system) for name in names]


def beside_typed(report, typed, system="metric"):
    """Sentences on findings for which a value was typed: what each is, and on which day it is more than that.

    typed : name of the finding -> what was typed, "ramp=18deg"
    """
    return [_beside(report, report.sizing.finding(name), text, system) for name, text in typed.items()]


def _beside(report, finding, typed, system):
    value = quantity.read(typed.partition("=")[2], quantity.kind_of(finding.unit)).value
    figure = _figure(report, finding, system)
    good, bad = (day[finding.name] - value for day in (report.good, report.bad))
    day = f" (bad day {figure.bad})" if figure.bad else ""
    told = f"{typed}: it is found, not given: {figure.good}{day}"
    if good > 0 < bad or good < 0 > bad:
        return f"{told}, {'more' if good > 0 else 'less'} than that on both days."
    compared = " and ".join(f"{_more(much)} on a {when} day" for much, when in ((good, "good"), (bad, "bad")))
    return f"{told}, {compared}."


def _more(much):
    return "more than that" if much > 0 else "less than that" if much < 0 else "just that"


def _figure(report, finding, system):
    good, bad = (text for text, _ in report_text.both_days(report, finding, system))
    asked = report_text.asked(report, finding, system)
    bad = "" if bad == good else bad
    return Figure(finding.name, finding.label, good, bad, asked, _met(report, finding), report.known)


def _met(report, finding):
    """Whether what is asked is met, on a bad day too; "" where nothing is asked, or without any limit."""
    if not finding.sense or math.isinf(report.bounds[finding.name]):
        return ""
    if report.good_margin[finding.name] < 0:
        return DOES_NOT
    return WORKS if report.bad_margin[finding.name] >= 0 else GOOD_DAY_ONLY


def lines_of(report, names, system="metric"):
    """The figures as lines of letters: "time up: 0.74 s (bad day 0.81 s; asked: at most 0.9 s) works"."""
    lines = []
    for one in figures_of(report, names, system):
        beside = f" ({one.beside})" if one.beside else ""
        verdict = f" {one.verdict}" if one.verdict else ""
        lines += text_table.wrapped(f"{one.label}: {one.good}{beside}{verdict}", more=2)
    return lines


def html_of(report, names, system="metric"):
    """The figures for a page, the number first and large; STYLE must be on the page too."""
    blocks = "".join(_block(one) for one in figures_of(report, names, system))
    return f'<div class="mb-figures">{blocks}</div>' if blocks else ""


def _block(one):
    kind, mark = MARKS[one.met]
    met = _on_one_line(f"{mark} {one.verdict}") if one.verdict else ""
    day = "; ".join(filter(None, (escape(one.beside), met)))
    below = f'<div class="mb-day">{day}</div>' if day else ""
    value = _on_one_line(one.good)
    return (
        f'<div class="mb-figure mb-{kind}"><b>{value}</b><span class="mb-what">{escape(one.label)}</span>{below}</div>'
    )


def _on_one_line(text):
    return escape(text).replace(" ", "&nbsp;")


def data_of(report, names, number):
    """The figures as plain data: SI numbers by `number`, and whether what is asked is met (None: nothing is asked)."""
    met = {WORKS: True, GOOD_DAY_ONLY: False, DOES_NOT: False, "": None}
    return [
        {
            "sizing": report.sizing.NAME,
            "finding": one.name,
            "label": one.label,
            "good": number(report.good[one.name]),
            "bad": number(report.bad[one.name]),
            "works": met[one.met],
            "told": one.good,
        }
        for one in figures_of(report, names)
    ]
