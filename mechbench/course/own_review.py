"""The design review of a learner's own robot, on one page: each choice with its reason, before and after, what fails.

Contents: review_of, BESIDE. It is the review of `desk/review.py` with other parts.
"""

from mechbench.course.own_robot import faults, told_names
from mechbench.desk import review
from mechbench.desk.against import cell_text
from mechbench.desk.printed_page import BLANK
from mechbench.engine import side_by_side
from mechbench.whole_robot.compare import counts_most

PLANNED = "as planned"
CHOICES, BESIDE, FAILS = "What I chose, and why", "Before and after", "What is not met with my designs"


def review_of(own, reasons):
    """The Review of the own robot; reasons: name of a mechanism -> why, as typed."""
    after = own.after
    return review.of_parts(
        after,
        (
            _choices(own, reasons),
            _before_and_after(own),
            review.Part(FAILS, tuple(faults(own))),
            review.looks(after.report, after.kit),
            review.each_mechanism(after.mechanisms),
            review.measure(counts_most(after.robot), after.mechanisms),
        ),
    )


def _choices(own, reasons):
    rows = []
    for line in own.lines:
        used = line.differing if line.name in own.used else ()
        planned, mine = ("; ".join(f"{one.label}: {getattr(one, day)}" for one in used) for day in ("planned", "mine"))
        rows.append((line.mechanism.label, planned or PLANNED, mine or PLANNED, reasons.get(line.name) or BLANK))
    return review.Part(CHOICES, (), ("Mechanism", "As planned", "As I designed it", "Why"), tuple(rows))


def _before_and_after(own):
    reports, names = (own.before.report, own.after.report), told_names(own)
    rows = tuple(
        (row.finding.label, *(cell_text(cell, True) for cell in (*row.good, *row.bad)), row.asked)
        for row in side_by_side.rows(reports)
        if row.finding.name in names
    )
    heads = ("What", "Good day, A", "Good day, B", "Bad day, A", "Bad day, B", "Asked")
    says = (f"A is as planned, B is with my designs; all other numbers are the same. ! is not met. {own.first(False)}",)
    return review.Part(BESIDE, says, heads, rows)
