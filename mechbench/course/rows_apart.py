"""Rows in which each wrong path of a Quantity can be told from the answer and from each other one: told_apart."""

from mechbench.course.learner_numbers import posed


def told_apart(exercise, rows):
    """Those of some rows in which all slips of an exercise count."""
    return [row for row in rows if len(posed(exercise, row, None).slips) == len(exercise.slips)]
