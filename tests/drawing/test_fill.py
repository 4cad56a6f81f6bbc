"""A drawn machine fills its view: seen small, it teaches little; what leaves the view is not seen at all.

What counts is all that the machine covers while it moves, as its film and its picture's sliders show it: a view that
held only the start would cut the end. The share is of the direction that is used better; the other one follows from it.
How much is enough was chosen, common practice, no source: two thirds.
"""

import numpy as np
import pytest
from matplotlib.patches import Patch
from matplotlib.spines import Spine

from mechbench.catalog import NAMES, picture_of, sizing_of
from mechbench.drawing.film import FRAMES
from mechbench.drawing.palette import LIGHT
from mechbench.drawing.picture import Screen
from tests.drawing.read_back import state

ENOUGH, EDGE = 0.66, 0.03  # of a view; a line's half width may stand over its edge
STILL = 9  # places of a slider that are looked at


def covered(axes):
    """Boxes of all shapes that are drawn in a view, as shares of it: left, low, right, high."""
    frame, found = axes.get_window_extent(), []
    for shape in axes.get_children():
        if (
            isinstance(shape, Patch)
            and not isinstance(shape, Spine)
            and shape.get_visible()
            and shape is not axes.patch
        ):
            (left, low), (right, high) = shape.get_window_extent().get_points()
            if max(right - left, high - low) > 1:  # an arrow of nothing is a point
                found.append([left - frame.x0, low - frame.y0, right - frame.x0, high - frame.y0])
    return np.array(found).reshape(-1, 4) / (2 * [frame.width, frame.height])


def turns_of(picture, report, now):
    """What the picture's own sliders say: at first, at places of each, and through the machine's move."""
    usual = {field.name: field.to_si(field.default) for field in picture.EXTRA}
    turns = [usual]
    for field in picture.EXTRA:
        turns += [{**usual, field.name: field.to_si(at)} for at in np.linspace(field.low, field.high, STILL)]
    motion = picture.motion(report, now)
    if motion is not None:
        turns += [{**usual, **motion.at(time)} for time in np.linspace(0, motion.seconds, FRAMES)]
    return turns


def views(name):
    """For each view of a machine (it has no numbers at its edges) what its shapes cover, all places together."""
    report, now = state(sizing_of(name), {})
    screen = Screen(picture_of(name), LIGHT, "metric")
    boxes = {}
    for turns in turns_of(screen.picture, report, now):
        screen.image(report, now, turns)
        for number, axes in enumerate(screen.figure.axes):
            if not axes.axison:
                boxes.setdefault(number, []).append(covered(axes))
    return {number: np.vstack(found) for number, found in boxes.items()}


@pytest.mark.parametrize("name", NAMES)
def test_a_machine_fills_its_view_and_stays_in_it(name):
    for number, boxes in views(name).items():
        (left, low), (right, high) = boxes[:, :2].min(axis=0), boxes[:, 2:].max(axis=0)
        assert max(right - left, high - low) >= ENOUGH, f"view {number} of {name}: {right - left:.2f}, {high - low:.2f}"
        assert min(left, low) >= -EDGE and max(right, high) <= 1 + EDGE, f"view {number} of {name} cuts its machine"
