"""What has changed since a design record was written, in sentences: rule of judging, version of the sizing, numbers.

Contents: Difference, notes, outcome.
"""

import math
from dataclasses import dataclass

from mechbench.engine import report_text
from mechbench.engine.judge import JUDGING

GOOD, BAD = "good", "bad"


@dataclass(frozen=True)
class Difference:
    """A finding that comes out otherwise than its record says, in SI: on a good day, or on a bad day only."""

    day: str  # "good" or "bad", as the record calls them
    was: float
    now: float


def notes(since, sizing, rule, version):
    """A sentence on the rule of judging, and one on the sizing's version; each only where it is another one since.

    since : "The record of 2026-11-29"; version : None where the record does not tell it
    """
    told = []
    if rule < JUDGING:
        told.append(
            f"{since} is older than today's rule of a bad day: then all values were those of one bad day, now each by"
            " itself is the one that is not worse on 19 of 20 days, so values of a bad day differ although the inputs"
            " are the same."
        )
    if rule > JUDGING:
        told.append(
            f"{since} was made by the rule {rule} of a bad day, and this mechbench has the rule {JUDGING}: get a newer"
            " mechbench."
        )
    if version != sizing.VERSION:
        what = "an unknown version" if version is None else f"version {version}"
        told.append(f"{since} was made with {what} of {sizing.NAME}, and this mechbench has version {sizing.VERSION}.")
    return told


def outcome(reopened):
    """Sentences on what comes out otherwise, and by how much."""
    differences, sizing = reopened.differences, reopened.design.sizing
    told = {day: [name for name, one in differences.items() if one.day == day] for day in (GOOD, BAD)}
    kit = ["the kit"] if sizing.WHOLE_KIT and reopened.design.tables.kit_changed else []
    rule = ["the rule"] if reopened.rule < JUDGING else []
    lines = [] if differences else ["Opened again, all its numbers are as they were."]
    if told[GOOD]:
        lines.append(f"On a good day not all numbers are as they were{_because(kit)}: {_each(reopened, told[GOOD])}.")
    if told[BAD]:
        why = _because([*rule, *kit])
        lines.append(f"On a bad day only, not all numbers are as they were{why}: {_each(reopened, told[BAD])}.")
    was, now = reopened.days_in_100, reopened.report.days_in_100
    if was is not None and was != now and reopened.report.good_margin:
        lines.append(f"It worked on {report_text.of_100(was)} and works on {now or 'none'}.")
    return lines


def _because(others):
    """', because formulas have changed since'; others come before the formulas."""
    return f", because {' or '.join([*others, 'formulas'])} have changed since"


def _each(reopened, names):
    findings = {finding.name: finding for finding in reopened.design.sizing.FINDINGS}
    return "; ".join(_told(findings[name], reopened.differences[name], reopened.design.system) for name in names)


def _told(finding, one, system):
    """'time up was 1.2 s and is 1.4 s (17 % more)'."""
    was, now = report_text.told_apart(finding, one.was, one.now, system)
    return f"{finding.label} was {was} and is {now}{_by(one)}"


def _by(one):
    """By how much, as a share of what it was; empty where a share makes no sense."""
    if not (math.isfinite(one.was) and math.isfinite(one.now)) or one.was == 0 or one.was * one.now < 0:
        return ""
    size = report_text.share(abs(one.now / one.was - 1))
    return f" ({size} {'more' if one.now > one.was else 'less'})"
