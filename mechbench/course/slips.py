"""Which slips of a Quantity can be told apart with the numbers of one row.

Contents: kept, values_of, apart, FROM_TRUTH, FROM_OTHER_SLIP.

An author sees to it that all of them can, with the course's own kit. Another kit may bring two of them together, or one
to the answer: that one is left out for that row alone. So grading, feedback and the check of exercises agree.
"""

import math

FROM_TRUTH = 3  # tolerances
FROM_OTHER_SLIP = 2  # tolerances


def apart(a, b):
    """Relative distance of two values, on the larger one."""
    return abs(a - b) / max(abs(a), abs(b), 1e-300)


def kept(exercise, si):
    """The slips of an exercise that count with the numbers of a row in SI: of two that are too near, the first."""
    found = []  # (slip, its value)
    truth = exercise.answer(si)
    for slip in exercise.slips:
        value = _value(slip, si)
        far = math.isfinite(value) and apart(value, truth) >= FROM_TRUTH * exercise.tolerance
        if far and all(apart(value, other) >= FROM_OTHER_SLIP * exercise.tolerance for _, other in found):
            found.append((slip, value))
    return tuple(slip for slip, _ in found)


def values_of(slips, si):
    """What some wrong paths give with the numbers of a row in SI."""
    return [_value(slip, si) for slip in slips]


def _value(slip, si):
    try:
        return slip.formula(si)
    except ArithmeticError:  # a wrong path that leads nowhere with these numbers
        return math.nan
