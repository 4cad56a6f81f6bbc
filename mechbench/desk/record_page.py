"""A design record on paper: HTML that prints on one sheet, or Markdown. Both hold the data that opens it again.

Contents: html, markdown, picture.
"""

import json
from base64 import b64encode

from mechbench import quantity
from mechbench.benches.page import mark_of
from mechbench.desk import pictures
from mechbench.desk.answer import off_by
from mechbench.desk.formulas import facts_of_sizing
from mechbench.desk.overview import varies
from mechbench.desk.paper import BLANK, CAUTION, made, marked, page, rows_of, safe
from mechbench.engine import report_text
from mechbench.engine.spec import CHOICE, JOB, Pick

ASKED_AFTERWARDS = (("day", 2), ("by", 2), ("with", 3), ("battery at", 1), ("what we changed", 6))
GROUPS = ((JOB, "The job asks"), (CHOICE, "Chosen"))

# Sizes in rem: the sheet's own size of letters is set so that all of it fits (_letters).
STYLE = """
@page { size: auto; margin: 9mm; }
body { font-size: 1rem; line-height: 1.26; max-width: 192mm; padding: 1mm 2mm; }
h1 { font-size: 1.7rem; } h2 { font-size: 1.08rem; margin: .6rem 0 .15rem; }
p { margin: .12rem 0; }
.verdict { font-size: 1.15rem; margin: .4rem 0; }
.fits { border-color: #009E73; } .close { border-color: #E69F00; } .fails { border-color: #D55E00; }
.side { grid-template-columns: 47% 53%; gap: 0 4mm; width: calc(100% - 4mm); }
.inputs { columns: 2; column-gap: 4mm; } .inputs h2 { margin-top: 0; } .inputs > div { break-inside: avoid; }
.row { display: flex; justify-content: space-between; gap: 2mm; border-bottom: .15mm solid #dfe3e8; padding: .06rem 0; }
.row span:last-child { text-align: right; flex: 0 0 auto; max-width: 62%; }
img { border: .2mm solid #dfe3e8; }
td, th { padding: .06rem .3rem; } td.n, th.n { text-align: right; white-space: nowrap; } tr.info td { color: #59626c; }
.small { font-size: .74rem; line-height: 1.16; columns: 3; column-gap: 4mm; } .small p { break-inside: avoid; margin: 0 0 .2rem; }
code { font: .7rem "DejaVu Sans Mono", monospace; }
"""
LARGEST, SMALLEST_LETTERS = 8.6, 6.0  # points
LINES = 51  # of the largest letters, that fit a sheet 279 mm high with room to spare
LETTERS_A_LINE = 152  # of the three columns of formulas together


def picture(design):
    """The machine to scale, as PNG."""
    return pictures.machine_alone(design)


def _letters(sizing):
    """The size of letters, in points, with which this sizing's record fits one sheet."""
    formulas = sum(len(" ".join((f.equation, f.name, f.valid, f.source))) for f in facts_of_sizing(sizing))
    lines = 18 + max(10, 1.1 * len(sizing.FIELDS) / 2) + len(sizing.FINDINGS) + 0.7 * formulas / LETTERS_A_LINE
    # Smaller letters also make longer lines, so the room grows with more than their height.
    return max(SMALLEST_LETTERS, min(LARGEST, LARGEST * (LINES / lines) ** 0.8))


# --- HTML -----------------------------------------------------------------------------------------------------------


def html(design, data):
    """The record as an HTML page."""
    sizing, report = design.sizing, design.report
    stored = json.dumps(data, ensure_ascii=True).replace("<", "\\u003c").replace(">", "\\u003e").replace("&", "\\u0026")
    drawing = b64encode(picture(design)).decode()
    verdict = report_text.verdict(report, design.system)
    image = f'<img alt="{safe(verdict)}" src="data:image/png;base64,{drawing}">'
    inputs = "".join(_inputs_html(design, *group) for group in GROUPS)
    return page(f"{sizing.TITLE}: design record", f"html {{ font-size: {_letters(sizing):.1f}pt; }}{STYLE}", [
        f"<h1>{safe(sizing.TITLE)}: design record</h1>\n<p>{safe(sizing.QUESTION)}</p>",
        f'<p class="quiet">{safe(_made(design))}</p>',
        f'<p class="verdict {mark_of(report)[0]}">{safe(verdict)} {safe(report_text.hurts(report))}</p>',
        f'<div class="side"><div>{image}</div><div class="inputs">{inputs}</div></div>',
        f"{_findings_html(design)}{_measured_html()}",
        f"<h2>What is assumed</h2><p>{safe(_days(design))}</p><p><b>{safe(CAUTION)}</b></p>",
        f'<h2>Formulas, where they hold, and where they come from</h2><div class="small">{_formulas_html(sizing)}</div>',
        f'<script type="application/json" id="mechbench-record">{stored}</script>',
    ])  # fmt: skip


def _made(design):
    return f"{made(design.date, design.version, design.tables.kit)}."


def _days(design):
    """What a bad day is, and what varies."""
    return (
        "A good day: every number as given. A bad day: the one that 19 of 20 beat, of 256 days on which these vary together: "
        f"{varies(design.sizing, design.tables, design.system)}"
    )


def _inputs(design, group):
    """Label and value of each input of a group."""
    for field in design.sizing.FIELDS:
        if field.group == group:
            value = design.report.values[field.name]
            yield field.label, _part(design, field, value) if isinstance(field, Pick) else quantity.show(value, field.unit, system=design.system)


def _part(design, field, value):
    return design.tables(field.table).labels[value]


def _inputs_html(design, group, head):
    rows = [f'<div class="row"><span>{safe(label)}</span><span>{safe(value)}</span></div>' for label, value in _inputs(design, group)]
    return f"<div><h2>{head}</h2>{rows[0]}</div>{''.join(rows[1:])}" if rows else ""


def _findings(design):
    """For each finding: label, good day, bad day, asked, measured."""
    report, system = design.report, design.system
    for finding in design.sizing.FINDINGS:
        name = finding.name
        misses = [" ✘" if margins.get(name, 0) < 0 else "" for margins in (report.good_margin, report.bad_margin)]
        days = [report_text.found(report, finding, values, system) + miss for values, miss in zip((report.good, report.bad), misses)]
        measured = BLANK
        if name in design.measured:
            value = design.measured[name]
            measured = report_text.number(finding, value, system) + off_by(value, report.good[name]).replace(" than predicted", "")
        yield finding, (finding.label, *days, report_text.asked(report, finding, system), measured)


HEADS = ("Found", "Good day", "Bad day", "Asked", "Measured")


def _findings_html(design):
    head = "".join(f'<th class="n">{text}</th>' if i else f"<th>{text}</th>" for i, text in enumerate(HEADS))
    rows = ""
    for finding, cells in _findings(design):
        kind = "" if finding.sense else ' class="info"'
        rows += f"<tr{kind}>" + "".join(f'<td class="n">{safe(c)}</td>' if i else f"<td>{safe(c)}</td>" for i, c in enumerate(cells)) + "</tr>"
    days = design.report.days_in_100
    note = f'<p class="quiet">✘ is not met. All that is asked is met on {days} of 100 days.</p>' if design.report.good_margin else ""
    return f"<h2>Findings</h2><table><tr>{head}</tr>{rows}</table>{note}"


def _measured_html():
    asked = "".join(f"<span>{text} {BLANK * length}</span> " for text, length in ASKED_AFTERWARDS)
    return f"<h2>Measured afterwards: fill in the last column, and</h2><p>{asked}</p>"


def _formulas_html(sizing):
    return "".join(
        f"<p><code>{safe(facts.equation)}</code> <b>{safe(facts.name)}</b>: {safe(facts.valid)} <span class=quiet>{safe(facts.source)}</span></p>"
        for facts in facts_of_sizing(sizing)
    )


# --- Markdown -------------------------------------------------------------------------------------------------------

def markdown(design, data, picture_name):
    """The record as Markdown; its picture is a file beside it."""
    sizing, report = design.sizing, design.report
    lines = [f"# {marked(sizing.TITLE)}: design record", "", marked(sizing.QUESTION), "", marked(_made(design)), ""]
    lines += [f"**{marked(report_text.verdict(report, design.system))}** {marked(report_text.hurts(report))}", ""]
    lines += [f"![The machine to scale](<{marked(picture_name)}>)", ""]
    for group, head in GROUPS:
        rows = list(_inputs(design, group))
        lines += [f"## {head}", "", *rows_of(("Input", "Value"), rows), ""] if rows else []
    lines += ["## Findings", "", *rows_of(HEADS, [cells for _, cells in _findings(design)]), ""]
    lines += ["Measured afterwards: " + ", ".join(f"{text} {BLANK}" for text, _ in ASKED_AFTERWARDS), ""]
    lines += ["## What is assumed", "", marked(_days(design)), "", f"**{marked(CAUTION)}**", "", "## Formulas", ""]
    lines += [f"- `{facts.equation}` ({facts.name}): {marked(facts.valid)} Source: {marked(facts.source)}" for facts in facts_of_sizing(sizing)]
    lines += ["", "## Data", "", "```json mechbench-record", json.dumps(data, ensure_ascii=True, indent=1), "```", ""]
    return "\n".join(lines)
