"""The picture of a whole robot: its parts to scale, its cycle as the sizing has it, and nothing outside its place."""

import tomllib
from dataclasses import replace

import numpy as np
import pytest

import mechbench as mb
from mechbench.desk import review
from mechbench.drawing.palette import DARK, LIGHT
from mechbench.drawing.picture import Screen
from mechbench.kits import kit, read_kit
from mechbench.kits.load import OWN_FOLDER
from mechbench.whole_robot.body import FOLDED, RAISED, body_of
from mechbench.whole_robot.build import build
from mechbench.whole_robot.picture import BAR, LONGEST, RobotPicture
from mechbench.whole_robot.score import cycle_of
from mechbench.whole_robot.work import Days, Work
from tests.drawing.read_back import pictured

STATES = [
    {"which": "wren"},
    {"which": "stork"},
    {"which": "swift"},
    {"which": "stork", "raising": "during", "raise_gearbox": "planetary_259"},
    {"which": "wren", "raise_gearbox": "planetary_4_6"},
    {"which": "swift", "carries": "1", "drive_gearbox": "planetary_259"},
]
SECOND = "tests/kits/second_kit"


def drawn(values, kit=None, look=LIGHT):
    return pictured("robot", values, kit, look=look)[:2]


def bars(picture):
    """Name -> the bar of that step."""
    names = [tick.get_text() for tick in picture.steps.get_yticklabels()]
    return dict(zip(names, picture.steps.patches, strict=True))


def drawn_boxes(picture, dashed):
    """The boxes of the parts: folded ones are drawn full, raised ones dashed."""
    found = [patch for patch in picture.side.patches if hasattr(patch, "get_width") and patch.get_linewidth() == 1.2]
    return [patch for patch in found if (patch.get_linestyle() not in ("-", "solid")) == dashed]


def outlines(picture, dashed):
    """Left, low, right, high of those boxes."""
    return [patch.get_bbox().extents for patch in drawn_boxes(picture, dashed)]


@pytest.mark.parametrize("name", ["wren", "stork", "swift"])
def test_each_part_stands_where_the_plan_has_it(name):
    picture, report = drawn({"which": name})
    across, up = np.diff(picture.side.transData.transform([(0, 0), (1, 1)]), axis=0).ravel()
    assert across == pytest.approx(up)
    parts = build(name).plan.parts.values()
    for part, (left, low, right, high) in zip(parts, outlines(picture, dashed=False), strict=True):
        assert ((left + right) / 2, (low + high) / 2) == pytest.approx((part["at"][0], part["at"][2]))
        assert (right - left, high - low) == pytest.approx((part["size"][0], part["size"][2]))
    assert max(high for _, _, _, high in outlines(picture, dashed=False)) == pytest.approx(report.good["height"])
    moved = [part for part in parts if part["raised_at"] is not None or part["raised_size"] is not None]
    assert len(outlines(picture, dashed=True)) == len(moved)


@pytest.mark.parametrize("name", ["wren", "stork", "swift"])
def test_no_part_is_hidden_by_a_larger_one(name):
    picture, _ = drawn({"which": name})
    drawn_in_order = sorted(drawn_boxes(picture, dashed=False), key=lambda patch: patch.get_zorder())
    areas = [patch.get_width() * patch.get_height() for patch in drawn_in_order]
    assert len(areas) >= 8 and areas == sorted(areas, reverse=True)


@pytest.mark.parametrize("name, across", [("wren", 0.080), ("stork", 0.080), ("swift", 0.115)])
def test_wheels_are_as_large_as_those_of_the_kit_and_lie_before_all_parts(name, across):
    picture, _ = drawn({"which": name})
    wheels = [patch for patch in picture.side.patches if patch.get_linewidth() == 1.4]
    for patch in wheels:
        (left, low), (right, high) = patch.get_xy().min(axis=0), patch.get_xy().max(axis=0)
        assert (right - left, high - low, low) == pytest.approx((across, across, 0.0), abs=1e-3)
    assert len(wheels) == 2
    assert min(patch.get_zorder() for patch in wheels) > max(
        patch.get_zorder() for patch in drawn_boxes(picture, dashed=False)
    )


@pytest.mark.parametrize("look", [LIGHT, DARK], ids=["light", "dark"])
@pytest.mark.parametrize("name", ["wren", "stork", "swift"])
def test_the_name_of_what_it_passes_under_runs_through_nothing(name, look):
    picture, _ = drawn({"which": name}, look=look)
    words = next(text for text in picture.side.texts if text.get_text() == kit().roles.low.label)
    told = words.get_window_extent(picture.figure.canvas.get_renderer())
    for patch in picture.side.patches:
        box = patch.get_window_extent()
        assert told.x0 > box.x1 or told.y0 > box.y1 or told.y1 < box.y0, patch


@pytest.mark.parametrize("name", ["wren", "stork", "swift"])
def test_two_marks_are_the_centre_of_gravity_folded_and_raised(name):
    picture, report = drawn({"which": name})
    marks = [tuple(np.ravel(line.get_data())) for line in picture.side.get_lines() if len(line.get_xdata()) == 1]
    for mark, pose in zip(marks, (FOLDED, RAISED), strict=True):
        centre = body_of(build(name), pose).stance.centre
        assert mark == pytest.approx((centre.x, centre.z))
    assert marks[1][1] == pytest.approx(report.good["centre"])


@pytest.mark.parametrize("name", ["wren", "stork", "swift"])
def test_whether_it_passes_under_the_footbridge_can_be_seen(name):
    picture, report = drawn({"which": name})
    bridge = next(line.get_ydata()[0] for line in picture.side.get_lines() if line.get_linewidth() == 1.8)
    assert bridge == kit().roles.low.clear_height
    highest = max(high for _, _, _, high in outlines(picture, dashed=False))
    goes_there = any(step["passes"] for step in build(name).plan.steps.values())
    assert (highest <= bridge or not goes_there) == (report.good["passes"] == 1)


@pytest.mark.parametrize("values", [state for state in STATES if state.get("raise_gearbox") != "planetary_4_6"])
def test_the_last_bar_ends_where_the_cycle_does(values):
    picture, report = drawn(values)
    ends = [bar.get_x() + bar.get_width() for bar in bars(picture).values()]
    # The bars have the mean times of people; the sizing's time is the mean of some drawn cycles.
    assert max(ends) == pytest.approx(report.good["time"], rel=0.06)
    assert max(ends) <= picture.steps.get_xlim()[1]


def test_striped_is_what_people_do_and_thin_is_what_nobody_waits_for():
    picture, _ = drawn({"which": "stork"})
    here = bars(picture)
    assert {name for name, bar in here.items() if bar.get_hatch()} == {
        "find",
        "find (2)",
        "find (3)",
        "held up",
        "line up",
    }
    assert {name for name, bar in here.items() if bar.get_height() < 0.9 * BAR} == {"raise"}, (
        "the driver lines up meanwhile, and takes longer"
    )
    assert all(bar.get_edgecolor() != here["raise"].get_edgecolor() for name, bar in here.items() if name != "raise")


@pytest.mark.parametrize("name", ["wren", "stork", "swift"])
def test_a_step_is_called_as_its_plan_calls_it(name):
    """By the file: its label, else its name with blanks; the second piece's step says so."""
    robot = build(name)
    steps = tomllib.loads((OWN_FOLDER / "robots.toml").read_text(encoding="utf-8"))["robots"][name]["steps"]
    called = {step.get("label", key.replace("_", " ")) for key, step in steps.items()}
    here = bars(drawn({"which": name})[0])
    assert {label.partition(" (")[0] for label in here} == called and len(called) == len(steps)
    told = review.in_words(review.found(name, robot.kit))
    assert all(label in told for label in here)
    if robot.value("carries") > 1:
        each = next(step.get("label", key) for key, step in steps.items() if step.get("each") == "piece")
        assert f"{each} (2)" in here


def test_a_step_without_a_label_is_called_by_its_name():
    """Robots of another kit, and with other labels: these change no number."""
    robot = build("swift")
    plain = {key: {**step, "label": ""} for key, step in robot.plan.steps.items()}
    bare = replace(robot, plan=replace(robot.plan, steps=plain))
    cycle = cycle_of(Work(bare, Days.good()))
    told = [bare.step_label(step) for step in cycle.steps]
    assert told[:4] == ["way to", "line up", "over", "over (2)"]
    assert cycle.time == pytest.approx(cycle_of(Work(robot, Days.good())).time, rel=1e-12)


def test_raised_while_driving_the_two_bars_begin_together():
    here = bars(drawn({"which": "stork", "raising": "during"})[0])
    assert here["raise"].get_x() == pytest.approx(here["to the goal"].get_x(), rel=1e-12)
    apart = bars(drawn({"which": "stork"})[0])
    assert apart["raise"].get_x() > apart["to the goal"].get_x() + apart["to the goal"].get_width()


def test_what_as_planned_means_and_the_points_are_seen():
    """Ratios by the kit's file: 16.1 and 12.25, which its list calls 12.3; 139.3 points and 16.69 s by the sizing."""
    picture, report = drawn({"which": "stork"})
    assert picture.has.get_text() == "drive 16.1 : 1; lift 12.3 : 1, after driving"
    points, time = report.good["points"], report.good["time"]
    assert picture.scores.get_text() == f"a good day: {points:.3g} points, {time:.3g} s a cycle"
    changed, _ = drawn({"which": "stork", "drive_gearbox": "planetary_21", "raising": "during"})
    assert changed.has.get_text() == "drive 21.2 : 1; lift 12.3 : 1, while driving"
    stuck, _ = drawn({"which": "wren", "raise_gearbox": "planetary_4_6"})
    assert stuck.scores.get_text().endswith(", no cycle ends")


def test_a_step_that_never_ends_says_so():
    picture, report = drawn({"which": "wren", "raise_gearbox": "planetary_4_6"})
    assert report.good["spare"] < 0 and report.good["time"] == np.inf
    assert bars(picture)["raise"].get_width() == LONGEST
    assert [text.get_text() for text in picture.steps.texts] == ["never ends"] * 2, "raising, and lowering again"
    assert not drawn({"which": "wren"})[0].steps.texts


def test_another_input_than_the_robot_draws_nothing_anew():
    bench = mb.bench("robot", {"which": "stork"})
    screen = Screen(RobotPicture, LIGHT)
    screen.image(bench.report, bench._now, {})
    before = bars(screen.picture)["find"]
    bench.set(points_wanted=100)
    screen.image(bench.report, bench._now, {})
    assert bars(screen.picture)["find"] is before
    bench.set(which="wren")
    screen.image(bench.report, bench._now, {})
    assert "scoop it up" in bars(screen.picture)


@pytest.mark.parametrize("look", [LIGHT, DARK], ids=["light", "dark"])
@pytest.mark.parametrize("values", [*STATES, None])
def test_parts_and_words_stay_in_their_places(values, look):
    picture, _ = drawn(values or {}, kit=None if values else read_kit(SECOND), look=look)
    (left, right), (low, high) = picture.side.get_xlim(), picture.side.get_ylim()
    for box in outlines(picture, dashed=False) + outlines(picture, dashed=True):
        assert left < box[0] and box[2] < right and low < box[1] and box[3] < high
    renderer, page = picture.figure.canvas.get_renderer(), picture.figure.bbox
    words = [
        text
        for text in (*picture.figure.texts, *picture.side.texts, *picture.steps.texts, *picture.steps.get_yticklabels())
        if text.get_text()
    ]
    boxes = [text.get_window_extent(renderer) for text in words]
    for one, box in zip(words, boxes):
        assert page.x0 <= box.x0 and box.x1 <= page.x1 and page.y0 <= box.y0 and box.y1 <= page.y1, one.get_text()
    pairs = [
        (words[i].get_text(), words[j].get_text())
        for i in range(len(boxes))
        for j in range(i)
        if boxes[i].padded(-1.5).overlaps(boxes[j].padded(-1.5))
    ]
    assert not pairs
