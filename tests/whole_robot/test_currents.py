"""Who draws how much current: bars add up to everything on, marks lie where sums by hand put them; letters and picture
say the same.
"""

import io
import re
import tomllib
from pathlib import Path

import numpy as np
import pytest
from PIL import Image

from mechbench.catalog import judge, sizing_of
from mechbench.course.lessons import ROOT
from mechbench.desk import answer, current_bars, current_chart, record
from mechbench.drawing.palette import DARK, LIGHT
from mechbench.engine.inputs import Tables
from mechbench.engine.judge import judge_with
from mechbench.kits import kit
from mechbench.kits.load import with_robots
from mechbench.whole_robot.build import build
from mechbench.whole_robot.currents import Currents, User, currents_of
from mechbench.whole_robot.work import Days, Work

KITS = ("", "second_kit", "flat", "bare")


@pytest.fixture(params=KITS, ids=lambda name: name or "own")
def robots(request, monkeypatch):
    """Every robot of a kit, with its report and its currents."""
    if request.param:
        monkeypatch.setenv("MECHBENCH_KIT", str(ROOT / "tests" / "kits" / request.param))
    sizing = sizing_of("robot")
    tables = Tables(sizing)
    found = []
    for name in tables("robots").names:
        report = judge_with(sizing, {"which": name}, tables)
        robot = build(name, with_robots(kit()))
        found.append((robot, report, currents_of(robot, report)))
    return found


def printed(folder, table):
    """One table of a kit's file, as numbers without their units."""
    told = tomllib.loads((Path(folder) / "parts.toml").read_text(encoding="utf-8"))[table]
    number = lambda value: float(value.split()[0]) if isinstance(value, str) and value[:1].isdigit() else value
    return {key: number(value) for key, value in told.items()}


def test_the_bars_add_up_to_everything_on(robots):
    for _, report, found in robots:
        assert sum(user.amps for user in found.users) == pytest.approx(report.good["all_on"], rel=1e-9)
        assert found.all_on == report.good["all_on"] and found.at_once == report.good["peak"]
        amps = [user.amps for user in found.users]
        assert amps == sorted(amps, reverse=True) and min(amps) > 0 and max(amps) <= found.all_on


def test_each_motor_bar_is_what_the_robots_own_findings_say(robots):
    groups = ("drive_draws", "raise_draws", "hang_draws", "others_draw")
    for robot, report, found in robots:
        bars = {user.name.partition(" (")[0]: user.amps for user in found.users}
        motors = sum(bars.get(one.label, 0.0) for one in robot.mechanisms.values())
        assert motors == pytest.approx(sum(report.good[name] for name in groups), rel=1e-9)
        (drive,) = robot.of_role("drives")
        assert bars[drive.label] == pytest.approx(report.good["drive_draws"])


def test_servos_take_the_power_of_their_rail_from_a_battery_that_sags(robots):
    """By hand: amperes on the rail times its voltage over the converter's efficiency, over the voltage that is left."""
    for robot, _, found in robots:
        rail = robot.kit.servo_rail
        moving = [one.rail_current(Work(robot, Days.good()).findings(one.name))[1] for one in robot.mechanisms.values()]
        amps = min(float(np.sum(moving)), rail.current_limit)
        left = robot.kit.battery.open_circuit - robot.kit.battery.resistance * found.all_on
        bars = {user.name: user.amps for user in found.users}
        assert bars.get("servos, moving", 0.0) == pytest.approx(amps * rail.voltage / rail.efficiency / left, rel=1e-6)
        assert bars["electronics"] == robot.kit.controller.electronics


def test_the_marks_of_the_course_s_own_kit_by_the_numbers_in_its_file():
    """Ohm's law: (16.7 V - 11 V) / 0.11 ohm; on a bad day between that and the worst battery of the file."""
    battery, fuse, guard = (printed(kit().folder, table) for table in ("battery", "fuse", "controller"))
    report = judge("robot")
    found = current_bars.of_report(report, Tables(sizing_of("robot")))
    resets = (battery["open_circuit"] - guard["reset_level"]) / battery["resistance"]
    worst = (battery["open_circuit_empty"] - guard["reset_level"]) / battery["resistance_worn"]
    assert found.resets == pytest.approx(resets) and worst < found.resets_bad < 0.6 * resets
    assert (found.fuse, found.level, found.wait) == (fuse["rating"], guard["reset_level"], guard["reset_after"])


def test_a_mechanism_is_no_robot():
    assert current_bars.of_report(judge("arm"), Tables(sizing_of("arm"))) is None


def test_who_asks_what_the_drive_draws_gets_the_chart_and_who_asks_for_points_does_not():
    sizing = sizing_of("robot")
    page = lambda *focus: answer.text_of(record.design(sizing, {}, Tables(sizing), focus=focus))
    assert "Who draws how much" in page("drive_draws") and "Who draws how much" not in page("points")
    assert "Who draws how much" not in page()


# --- letters and picture --------------------------------------------------------------------------------------------


def round_numbers(**other):
    users = (User("drive (a drivetrain)", 20.0), User("arm (a swinging arm)", 10.0), User("electronics", 1.0))
    numbers = {"all_on": 31.0, "at_once": 21.0, "fuse": 15.0, "resets": 50.0, "resets_bad": 25.0, "level": 9.0}
    return Currents("Trial", users, **{**numbers, "wait": 0.2, **other})


def test_bars_of_letters_are_as_long_as_their_currents_and_every_mark_is_explained():
    lines = current_bars.lines_of(round_numbers())
    assert max(map(len, lines)) <= 100 and "Trial" in lines[0]
    rows = [line for line in lines if " A  " in line and ":" not in line]
    bars = [line.split(" A  ")[1] for line in rows]
    letter = 50 * 1.04 / current_bars.LONGEST  # amperes of one letter: the chart ends a little beyond the last mark
    for bar, amps in zip(bars, (20, 10, 1, 21, 31), strict=True):
        ends = max(place for place, sign in enumerate(bar) if sign == "#") + 1
        assert abs(ends - amps / letter) <= 1
        for sign, current in (("F", 15), ("r", 25), ("R", 50)):
            assert abs(bar.index(sign) - current / letter) <= 1
    told = "\n".join(lines[-6:])
    assert re.search(r"F  15 A: .*fuse", told) and re.search(r"r  25 A: .*9 V on a bad day", told) and "R  50 A" in told


def test_a_mark_far_away_is_told_and_not_drawn_and_a_fuse_without_a_limit_is_none():
    lines = current_bars.lines_of(round_numbers(resets=500.0, fuse=float("inf")))
    rows = [line for line in lines if " A  " in line and ":" not in line]
    assert not any("R" in row.split(" A  ")[1] or "F" in row for row in rows)
    assert "R  500 A" in "\n".join(lines) and "rated" not in "\n".join(lines)


def columns_of(picture, colour):
    """Columns of pixels in which a colour stands at all."""
    own = np.array([int(colour[i : i + 2], 16) for i in (1, 3, 5)])
    return np.flatnonzero(np.any(np.abs(np.asarray(picture.convert("RGB"), int) - own).max(-1) < 12, axis=0))


@pytest.mark.parametrize("look", (LIGHT, DARK), ids=lambda look: look.name)
def test_in_the_picture_the_longest_bar_ends_where_its_current_is(look):
    picture = Image.open(io.BytesIO(current_chart.png(round_numbers(), look)))
    bars, fuse = columns_of(picture, look.colour("give")), columns_of(picture, look.colour("limit"))
    left, right = bars.min(), bars.max()
    fuse = fuse[(fuse > left + 20) & (fuse < right)]
    # The axis begins at the left rim of the bars, 0 A; the longest of the users draws 20 A, the fuse bears 15 A.
    assert np.median(fuse) - left == pytest.approx((right - left) * 15 / 20, abs=0.02 * (right - left))
    assert "#{:02X}{:02X}{:02X}".format(*picture.convert("RGB").getpixel((2, 2))) == look.paper.upper()


def test_the_picture_has_a_twin_in_words():
    found = round_numbers()
    words = current_chart.words(found)
    assert all(f"{user.name}: {user.amps:g} A." in words for user in found.users) and "all of this" in words
    assert "15 A: what the fuse" in words and "25 A: with more" in words and "#" not in words
