"""The picture of a cycle: bars, longest way and points are those of the sizing, and nothing leaves its place."""

import numpy as np
import pytest

from mechbench.catalog import judge, sizing_of
from mechbench.drawing.palette import LIGHT
from mechbench.drawing.picture import Screen
from mechbench.kits import read_kit
from mechbench.mechanisms.cycle.picture import PEOPLE, ROWS, CyclePicture, second_worth
from tests.drawing.read_back import pictured, state

STATES = [
    {},
    {"pieces": "1"},
    {"raising": "after"},
    {"raise_time": 10.0},
    {"drive_time": 0.3},
    {"goal": "hamper", "leave": 0.0, "jam_chance": 0.0},
]
SECOND = "tests/kits/second_kit"
THREE_AT_ONCE = "tests/whole_robot/by_hand_kit"


def drawn(values, kit=None):
    return pictured("cycle", values, kit)


def bars(picture, which):
    """Start, end and row of each bar, read from its drawn outline."""
    outlines = [path.vertices for path in getattr(picture, which).get_paths()]
    return [(one[:, 0].min(), one[:, 0].max(), int(one[:, 1].mean())) for one in outlines]


@pytest.mark.parametrize("values", STATES)
def test_the_last_bar_ends_where_the_cycle_does_and_the_longest_way_has_no_gap(values):
    picture, report, _ = drawn(values)
    every = bars(picture, "machine") + bars(picture, "people")
    assert max(end for _, end, _ in every) == pytest.approx(report.good["time"])
    along = picture.way.get_data()[0]
    assert along[0] == 0.0 and along[-1] == pytest.approx(report.good["time"])
    assert along[1:-1:2] == pytest.approx(along[2::2]), (
        "each step of the longest way begins where the one before it ends"
    )


@pytest.mark.parametrize("values", STATES)
def test_hatched_bars_are_the_steps_of_people(values):
    picture, report, now = drawn(values)
    assert {list(ROWS)[row] for _, _, row in bars(picture, "people")} == set(PEOPLE)
    times = [end - start for start, end, row in bars(picture, "people") if list(ROWS)[row] != "jam"]
    assert sum(times) / report.good["time"] == pytest.approx(report.good["people"])
    assert picture.people.get_hatch() and not picture.machine.get_hatch()


def test_a_piece_more_is_found_taken_in_and_let_go_once_more():
    counts = {}
    for pieces in ("1", "2", "3"):
        picture, _, _ = drawn({"pieces": pieces}, read_kit(THREE_AT_ONCE))
        rows = [list(ROWS)[row] for _, _, row in bars(picture, "machine") + bars(picture, "people")]
        counts[pieces] = {name: rows.count(name) for name in ROWS}
    for name in ROWS:
        each = name in ("find", "grab", "place")
        assert [counts[pieces][name] for pieces in "123"] == ([1, 2, 3] if each else [1, 1, 1])


@pytest.mark.parametrize("values", STATES)
def test_dotted_is_what_raising_may_take_longer(values):
    picture, report, _ = drawn(values)
    along, rows = picture.slack.get_data()
    raised = list(ROWS).index("raise") + 0.5
    longer = [along[i + 1] - along[i] for i in range(0, len(rows), 3) if rows[i] == raised]
    assert sum(longer) == pytest.approx(report.good["may_wait"], abs=1e-9)


@pytest.mark.parametrize("values", STATES)
def test_the_curve_begins_with_the_start_and_ends_with_the_points_of_the_match(values):
    picture, report, now = drawn(values)
    time, points = picture.curve.get_data()
    assert points[0] == pytest.approx(now.start_pieces * now.bonus.factor * now.goal.points)
    assert time[-1] == now.match.driven and points[-1] == pytest.approx(report.good["points"])
    assert picture.quicker.get_data()[1][-1] - points[-1] == pytest.approx(report.good["second"])
    assert np.interp(now.match.driven - now.leave, time[:-1], points[:-1]) == pytest.approx(points[-2]), (
        "nothing is scored on the way to the bar"
    )
    assert picture.bad.get_data()[1][0] == report.bad["points"]
    assert len(picture.strokes.get_data()[0]) == int(report.good["count"])


@pytest.mark.parametrize("values", STATES)
def test_a_second_less_on_a_step_is_worth_what_the_sizing_gives_for_it(values):
    picture, report, now = drawn(values)
    worth = dict(zip(ROWS, second_worth(now)))
    raised = (
        judge("cycle", {**report.values, "raise_time": max(now.raise_time - 1.0, 0.1)}).good["points"]
        - report.good["points"]
    )
    assert worth["raise"] == pytest.approx(raised, rel=0.15, abs=1e-9)  # the slider ends at 0.1 s, a step at 0
    both = (
        judge("cycle", {**report.values, "drive_time": max(now.drive_time - 1.0, 0.3)}).good["points"]
        - report.good["points"]
    )
    if now.drive_time > 1.3 and worth["drive"] > 0:
        assert worth["drive"] < both and worth["back"] < both, "two ways of driving are saved together"
    if now.drive_time <= 1.0:
        assert both == 0.0 < worth["back"]
    assert worth["line up"] == pytest.approx(report.good["second"] if worth["line up"] else 0.0), (
        "one second, once in each cycle"
    )
    told = [text.get_text() for text in picture.worth]
    assert told == [f"+{one:.1f}" if one > 0.05 else "0" for one in worth.values()]


@pytest.mark.parametrize("kit", [None, SECOND])
def test_lines_and_bars_stay_inside_their_axes_at_both_ends_of_every_slider(kit):
    kit = kit and read_kit(kit)
    sizing, screen = sizing_of("cycle"), Screen(CyclePicture, LIGHT)
    for field in sizing.FIELDS:
        if hasattr(field, "low"):
            for end in (field.low, field.high):
                screen.image(*state(sizing, {field.name: field.to_si(end)}, kit), {})
                for axes in (screen.picture.steps, screen.picture.match):
                    (left, right), low, high = axes.get_xlim(), *sorted(axes.get_ylim())
                    for line in axes.get_lines():
                        x, y = (np.asarray(values, dtype=float) for values in line.get_data())
                        x, y = x[np.isfinite(x)], y[np.isfinite(y)]
                        assert x.size == 0 or (
                            left <= x.min() and x.max() <= right and low <= y.min() and y.max() <= high
                        ), (field.name, end)


def test_words_tell_how_often_and_how_long():
    picture, _, now = drawn({})
    told = dict(zip(ROWS, (text.get_text() for text in picture.told)))
    assert told["find"] == f"2 × {now.find.likely:g} s" and told["drive"] == f"{now.drive_time:g} s"
    # 2 x (1.4 + 0.5 + 0.4) + 2 x 1.6 + 0.7 + 1.3 + 0.1 x 4.5 = 10.25 s
    assert picture.total.get_text() == "One cycle: 10.2 s"


def test_closing_time_is_told_where_the_game_has_one():
    for folder, told in ((SECOND, True), ("tests/kits/bare", False)):
        picture, _, now = drawn({}, read_kit(folder))
        assert (now.match.closing > 0) == picture.closing_told.get_visible() == told
