"""The drawing of a lever on a shaft shows torque as force times lever: the lever is square to the force that pulls."""

import numpy as np
import pytest

from mechbench.catalog import drawings_of, sizing_of
from mechbench.drawing.labelled import Labelled
from mechbench.drawing.palette import LIGHT
from tests.drawing.read_back import corners, state


@pytest.fixture(scope="module")
def found():
    drawn = Labelled(drawings_of("motor")["lever"], LIGHT, "metric")
    drawn.png(*state(sizing_of("motor"), {}))
    return drawn


def middle(part):
    """The middle of a part's outline, in the units of its axes."""
    at = corners(part)
    return (at.min(axis=0) + at.max(axis=0)) / 2


def test_the_lever_reaches_from_the_shaft_to_where_the_force_pulls(found):
    lever = next(label for label in found.labels if label.name == "lever").artist
    across, up = (np.asarray(values)[np.isfinite(values)] for values in lever.get_data())
    assert np.ptp(up) < 0.1 * np.ptp(across), "square to the pull of the Earth but for the strokes at its ends"
    assert min(across) == pytest.approx(middle(found.picture.shaft)[0])
    assert max(across) == pytest.approx(middle(found.picture.force)[0])
    assert max(across) == pytest.approx(middle(found.picture.mass)[0])


def test_a_weight_at_the_right_turns_it_with_the_clock(found):
    """Lever (+x) cross force (-y) points into the page: with the clock. The head's tip is its third corner."""
    centre, head = middle(found.picture.shaft), corners(found.picture.torque.head)
    base, tip = (head[0] + head[1]) / 2, head[2]
    (x, y), (dx, dy) = base - centre, tip - base
    assert x * dy - y * dx < 0
    down = corners(found.picture.force)
    assert down[3][1] == min(down[:, 1]), "the arrow's tip is its lowest point"
