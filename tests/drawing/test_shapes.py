"""Outlines of mechanisms against geometry that is known otherwise."""

import math

import numpy as np
import pytest
from matplotlib.figure import Figure
from matplotlib.path import Path

from mechbench.drawing import shapes
from mechbench.drawing.palette import LIGHT
from mechbench.drawing.picture import Picture
from mechbench.physics.belt import belt_length, wrap_angle


def radii(outline):
    return np.hypot(*outline.T)


@pytest.mark.parametrize("teeth", [20, 36, 80])
def test_gear_has_the_proportions_of_the_standard(teeth):
    """ISO 53: tip one module above the pitch circle, root 1.25 below, tooth as thick as the gap on the pitch circle."""
    module = 0.8
    outline = shapes.gear(teeth, module)
    pitch = module * teeth / 2
    assert radii(outline).max() == pytest.approx(pitch + module)
    assert radii(outline).min() == pytest.approx(pitch - 1.25 * module)
    circle = pitch * np.exp(1j * np.linspace(0, 2 * np.pi, 40 * teeth, endpoint=False))
    inside = Path(outline).contains_points(np.column_stack([circle.real, circle.imag]))
    assert inside.mean() == pytest.approx(0.5, abs=0.03)
    assert np.sum(inside & ~np.roll(inside, 1)) == teeth


@pytest.mark.parametrize("turned", np.linspace(0.0, 0.4, 9))
@pytest.mark.parametrize("direction", [0.0, 2.1])
def test_meshing_gears_touch_but_do_not_overlap(turned, direction):
    module, teeth, other = 0.8, 24, 60
    distance = module * (teeth + other) / 2
    centre = distance * np.array([math.cos(direction), math.sin(direction)])
    first = shapes.placed(shapes.gear(teeth, module), turned)
    second = shapes.placed(shapes.gear(other, module), shapes.mesh_angle(turned, teeth, other, direction), centre)
    assert overlap(first, second) < 0.03 * module and overlap(second, first) < 0.03 * module
    # Half a tooth out of step they would run into each other.
    wrong = shapes.placed(
        shapes.gear(other, module), shapes.mesh_angle(turned, teeth, other, direction) + math.pi / other, centre
    )
    assert max(overlap(first, wrong), overlap(wrong, first)) > 0.2 * module


def overlap(outline, other):
    """How deep points along one outline lie inside another."""
    fine = np.vstack(
        [a + (b - a) * s for a, b in zip(outline, np.roll(outline, -1, axis=0)) for s in np.linspace(0, 1, 6)[:, None]]
    )
    inside = fine[Path(other).contains_points(fine)]
    if not len(inside):
        return 0.0
    start, end = other, np.roll(other, -1, axis=0)
    along = end - start
    share = np.clip(((inside[:, None] - start) * along).sum(-1) / (along**2).sum(-1), 0, 1)
    return np.min(np.hypot(*np.moveaxis(start + share[..., None] * along - inside[:, None], -1, 0)), axis=1).max()


@pytest.mark.parametrize("first, second", [(10.0, 30.0), (30.0, 10.0), (20.0, 20.0)])
def test_belt_path_is_as_long_as_the_belt(first, second):
    path = shapes.belt((0, 0), first, (70, 40), second, points=400)
    length = np.hypot(*(np.roll(path, -1, axis=0) - path).T).sum()
    distance = math.hypot(70, 40)
    assert length == pytest.approx(belt_length(2 * first, 2 * second, distance), rel=1e-4)
    on_first = np.isclose(radii(path), first, rtol=1e-9).mean()
    assert on_first == 0.5 and wrap_angle(2 * first, 2 * second, distance) > 0


def test_belt_round_wheels_inside_each_other_is_refused():
    with pytest.raises(ValueError, match="distance is 5, but it must be above the difference of the radii"):
        shapes.belt((0, 0), 30, (5, 0), 10)


def test_placed_turns_then_moves():
    assert shapes.placed([(1.0, 0.0)], math.pi / 2, (10, 20)) == pytest.approx(np.array([(10.0, 21.0)]))


class Board(Picture):
    def build(self):
        self.axes = self.figure.add_axes((0, 0, 1, 1))
        self.axes.set_xlim(0, 70)
        self.axes.set_ylim(0, 38)
        self.arrow, self.length = shapes.Arrow(self, self.axes, "ask"), shapes.Dimension(self, self.axes)


def test_arrow_ends_where_the_force_ends_and_a_zero_force_is_not_drawn():
    board = Board(Figure(figsize=(7, 3.8)), LIGHT)
    board.arrow.place((10, 10), (0, 15), "12 N")
    points = board.arrow.patch.get_xy()
    assert points[:, 1].max() == pytest.approx(25) and board.arrow.text.get_text() == "12 N"
    assert points[:-1].mean(axis=0)[0] == pytest.approx(10)
    board.arrow.place((10, 10), (0, 0), "0 N")
    assert not board.arrow.patch.get_visible() and board.arrow.text.get_text() == ""


def test_dimension_runs_between_its_points_with_its_number_beside():
    board = Board(Figure(figsize=(7, 3.8)), LIGHT)
    board.length.place((10, 20), (50, 20), "40 mm")
    x, y = board.length.line.get_data()
    assert (np.nanmin(x), np.nanmax(x)) == (10, 50)
    assert board.length.text.get_position()[0] == 30 and board.length.text.get_position()[1] < np.nanmin(y)
