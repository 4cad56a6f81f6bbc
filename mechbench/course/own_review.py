"""The design review of a learner's own robot, on one page: each choice with its reason, before and after, what fails.

Contents: html_of. It is the review of `desk/review.py` with other parts, in smaller letters.
"""

from dataclasses import replace

from mechbench.course.own_robot import ALWAYS, faults, told_names
from mechbench.desk import review
from mechbench.desk.against import cell_text
from mechbench.desk.printed_page import BLANK
from mechbench.engine import side_by_side
from mechbench.whole_robot.compare import counts_most

PLANNED = "as planned"
CHOICES, BESIDE, FAILS = "What I chose, and why", "Before and after, on a bad day", "What is not met with my designs"


def html_of(own, reasons):
    """The page, in pieces; reasons: name of a mechanism -> why, as typed."""
    after = own.after
    parts = (
        _choices(own, reasons),
        _before_and_after(own),
        replace(review.looks(after.report, after.kit), half=True),
        review.Part(FAILS, tuple(faults(own))),
        review.measure(counts_most(after.robot), after.mechanisms),
    )
    # What was changed stands in the first table, in words that people read.
    return review.html(replace(review.of_parts(after, parts), changes={}), one_page=True)


def _choices(own, reasons):
    rows = []
    for line in own.lines:
        used = line.differing if line.name in own.used else ()
        chosen = "; ".join(f"{one.label}: {one.planned} → {one.mine}" for one in used)
        rows.append((line.mechanism.label, chosen or PLANNED, reasons.get(line.name) or BLANK))
    return review.Part(CHOICES, (), ("Mechanism", "As planned → as I designed it", "Why"), tuple(rows))


def _before_and_after(own):
    reports, names = (own.before.report, own.after.report), told_names(own)
    rows = tuple(
        (row.finding.label, *(cell_text(cell, True) for cell in row.bad), row.asked)
        for row in side_by_side.rows(reports)
        if row.finding.name in names and (row.finding.sense or row.finding.name in ALWAYS)
    )
    says = (f"! is not met. As planned: {own.first(False)}",)
    return review.Part(BESIDE, says, ("What", "As planned", "With my designs", "Asked"), rows, half=True)
