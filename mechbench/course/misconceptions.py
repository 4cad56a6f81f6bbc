"""What the name of a slip means, in words for a mentor: what the learner did, and what the course says to it.

Contents: Wrong, wrong_path. A grade names the slip of a Quantity, the wrong option of a Choice, the item that stood too
early in an Order, or the requirement of a Challenge that was not met.
"""

from dataclasses import dataclass

from mechbench.catalog import sizing_of
from mechbench.course.design_feedback import ALL_AT_ONCE
from mechbench.course.exercise import Challenge, Choice, Order, Quantity
from mechbench.course.grading import AT_ONCE


@dataclass(frozen=True)
class Wrong:
    """A wrong path: `did` says in a few words what was done, `say` is the course's own feedback."""

    did: str
    say: str = ""


def wrong_path(posed, slip):
    """Give the words for a slip of an exercise that was posed; its numbers stand in them."""
    found = _WORDS.get(type(posed.exercise), _unknown)(posed, posed.exercise, slip)
    # A slip that only an older revision of the exercise knew has a name and nothing else.
    return found or Wrong(slip)


def _unknown(posed, exercise, slip):
    return None


def _of_quantity(posed, exercise, slip):
    return next((Wrong(one.name, posed.fill(one.feedback)) for one in exercise.slips if one.name == slip), None)


def _of_choice(posed, exercise, slip):
    options = {option.name: option for option in exercise.options}
    if slip not in options:
        return None
    return Wrong(f"chose: {posed.fill(options[slip].text).rstrip('.')}", posed.fill(options[slip].feedback))


def _of_order(posed, exercise, slip):
    items = {f"{item.name} too early": item for item in exercise.items}
    if slip not in items:
        return None
    return Wrong(f"put too early: {posed.fill(items[slip].text).rstrip('.')}", posed.fill(items[slip].early))


def _of_challenge(posed, exercise, slip):
    findings = {f"{finding.name} not met": finding for finding in sizing_of(exercise.sizing).judged()}
    if slip == AT_ONCE:
        return Wrong("not met: all at once, on 19 of 20 days", ALL_AT_ONCE)
    if slip not in findings:
        return None
    finding = findings[slip]
    return Wrong(f"not met: {finding.label}", posed.fill(exercise.advice.get(finding.name, "")))


_WORDS = {Quantity: _of_quantity, Choice: _of_choice, Order: _of_order, Challenge: _of_challenge}
