"""A design record on paper: HTML that prints on one sheet, or Markdown. Both hold the data that opens it again.

Contents: html, markdown, picture.
"""

import json

from mechbench import quantity
from mechbench.benches.page import mark_of
from mechbench.desk import pictures
from mechbench.desk.answer import off_by
from mechbench.desk.formulas import facts_of_sizing
from mechbench.desk.overview import varies
from mechbench.desk.printed_page import BLANK, CAUTION, OWN, made, marked, page, rows_of
from mechbench.engine import assumed_text, report_text
from mechbench.engine.spec import CHOICE, JOB, Pick

ASKED_AFTERWARDS = (("day", 2), ("by", 2), ("with", 3), ("battery at", 1), ("what we changed", 6))
GROUPS = ((JOB, "The job asks"), (CHOICE, "Chosen"))

LARGEST, SMALLEST_LETTERS = 8.6, 6.0  # points
LINES = 51  # of the largest letters, that fit a sheet 279 mm high with room to spare
LETTERS_A_LINE = 152  # of the three columns of formulas together


def picture(design):
    """The machine to scale, as PNG."""
    return pictures.machine_alone(design)


def _letters(sizing):
    """The size of letters, in points, with which this sizing's record fits one sheet."""
    formulas = sum(len(" ".join((f.equation, f.name, f.valid, f.source))) for f in facts_of_sizing(sizing))
    lines = 20 + max(10, 1.1 * len(sizing.FIELDS) / 2) + len(sizing.FINDINGS) + 0.7 * formulas / LETTERS_A_LINE
    # Smaller letters also make longer lines, so the room grows with more than their height.
    return max(SMALLEST_LETTERS, min(LARGEST, LARGEST * (LINES / lines) ** 0.8))


# --- HTML -----------------------------------------------------------------------------------------------------------


def html(design, data):
    """The record as an HTML page."""
    sizing, report = design.sizing, design.report
    kind, _ = mark_of(report)
    return "".join(
        page(
            OWN,
            "record",
            title=f"{sizing.TITLE}: design record",
            question=sizing.QUESTION,
            instead=design.instead,
            made=_made(design),
            letters=_letters(sizing),
            verdict=report_text.verdict(report, design.system),
            hurts=" ".join(filter(None, (report_text.hurts(report), design.note))),
            mark=kind,
            picture=picture(design),
            groups=[{"head": head, "inputs": list(_inputs(design, group))} for group, head in GROUPS],
            heads=HEADS,
            findings=[{"asked": finding.sense, "cells": cells} for finding, cells in _findings(design)],
            days=report_text.of_100(report.days_in_100) if report.good_margin else None,
            afterwards=[f"{text} {BLANK * length}" for text, length in ASKED_AFTERWARDS],
            assumed=_days(design),
            caution=CAUTION,
            formulas=facts_of_sizing(sizing),
            data=data,
        )
    )


def _made(design):
    return f"{made(design.date, design.version, design.tables.kit)}."


def _days(design):
    """What a bad day is, and what varies; then what no label gives."""
    told = assumed_text.assumed_lines(design.report, design.tables, design.system)
    return _of_days(design) + (f" Assumed, since no label gives it: {'; '.join(told)}." if told else "")


def _of_days(design):
    return (
        "A good day: every number as given. A bad day: for each number by itself, the value that is not worse on 19 of"
        f" 20 days, of 256 days on which these vary together: {varies(design.sizing, design.tables, design.system)}"
    )


def _inputs(design, group):
    """Label and value of each input of a group, by these names."""
    for field in design.sizing.FIELDS:
        if field.group == group:
            value = design.report.values[field.name]
            shown = (
                _part(design, field, value)
                if isinstance(field, Pick)
                else quantity.show(value, field.unit, system=design.system)
            )
            yield {"label": field.label, "value": shown}


def _part(design, field, value):
    return design.tables(field.table).labels[value]


def _findings(design):
    """For each finding: label, good day, bad day, asked, measured."""
    report, system = design.report, design.system
    for finding in design.sizing.FINDINGS:
        name = finding.name
        days = [text + ("" if met else " ✘") for text, met in report_text.both_days(report, finding, system)]
        measured = BLANK
        if name in design.measured:
            value = design.measured[name]
            measured = report_text.number(finding, value, system) + off_by(value, report.good[name]).replace(
                " than predicted", ""
            )
        yield finding, (finding.label, *days, report_text.asked(report, finding, system), measured)


HEADS = ("Found", "Good day", "Bad day", "Asked", "Measured")


# --- Markdown -------------------------------------------------------------------------------------------------------


def markdown(design, data, picture_name):
    """The record as Markdown; its picture is a file beside it."""
    sizing, report = design.sizing, design.report
    lines = [f"# {marked(sizing.TITLE)}: design record", ""]
    lines += [f"**{marked(design.instead)}**", ""] if design.instead else []
    lines += [marked(sizing.QUESTION), "", marked(_made(design)), ""]
    lines += [f"**{marked(report_text.verdict(report, design.system))}** {marked(report_text.hurts(report))}", ""]
    lines += [marked(design.note), ""] if design.note else []
    lines += [f"![The machine to scale](<{marked(picture_name)}>)", ""]
    for group, head in GROUPS:
        rows = [(one["label"], one["value"]) for one in _inputs(design, group)]
        lines += [f"## {head}", "", *rows_of(("Input", "Value"), rows), ""] if rows else []
    lines += ["## Findings", "", *rows_of(HEADS, [cells for _, cells in _findings(design)]), ""]
    lines += ["Measured afterwards: " + ", ".join(f"{text} {BLANK}" for text, _ in ASKED_AFTERWARDS), ""]
    lines += ["## What is assumed", "", marked(_days(design)), "", f"**{marked(CAUTION)}**", "", "## Formulas", ""]
    lines += [
        f"- `{facts.equation}` ({facts.name}): {marked(facts.valid)} Source: {marked(facts.source)}"
        for facts in facts_of_sizing(sizing)
    ]
    lines += ["", "## Data", "", "```json mechbench-record", json.dumps(data, ensure_ascii=True, indent=1), "```", ""]
    return "\n".join(lines)
