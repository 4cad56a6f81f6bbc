"""The drawing of two spur gears is the pair of lesson 02's idea, and its teeth mesh."""

import numpy as np
import pytest
from matplotlib.path import Path

from mechbench.catalog import drawings_of, sizing_of
from mechbench.drawing.labelled import Labelled
from mechbench.drawing.palette import LIGHT
from tests.drawing.read_back import corners, state


@pytest.fixture(scope="module")
def found():
    drawn = Labelled(drawings_of("train")["spur gears"], LIGHT, "metric")
    drawn.png(*state(sizing_of("train"), {}))
    return drawn


def test_its_ratio_is_told_from_its_teeth(found):
    """45 / 15 = 3, driven over driver."""
    numbers = {label.name: label.number for label in found.labels}
    assert (numbers["driver"], numbers["driven"]) == ("15 teeth", "45 teeth")
    assert "3 times" in next(label.told for label in found.labels if label.name == "driver")


def test_tips_are_as_many_as_told_and_reach_into_gaps(found):
    outlines = [corners(wheel) for wheel in found.picture.wheels]
    centres = [(at.min(axis=0) + at.max(axis=0)) / 2 for at in outlines]
    apart = np.hypot(*(centres[1] - centres[0]))
    tips = [np.hypot(*(at - centre).T).max() for at, centre in zip(outlines, centres)]
    assert sum(tips) > apart + 1e-6, "teeth reach into each other's gaps"
    # Of no wheel a corner lies inside the other one, but for the width of a drawn line.
    for one, other in ((0, 1), (1, 0)):
        inside = Path(outlines[other]).contains_points(outlines[one], radius=0.0)
        depth = [np.hypot(*(outlines[other] - at).T).min() for at in outlines[one][inside]]
        assert max(depth, default=0.0) < 0.12


def test_they_turn_opposite_ways(found):
    heads = [corners(turn.head) for turn in found.picture.turns]
    ways = []
    for at, wheel in zip(heads, found.picture.wheels):
        outline = corners(wheel)
        centre = (outline.min(axis=0) + outline.max(axis=0)) / 2
        base, tip = (at[0] + at[1]) / 2, at[2]
        (x, y), (dx, dy) = base - centre, tip - base
        ways.append(np.sign(x * dy - y * dx))
    assert ways == [1, -1]
