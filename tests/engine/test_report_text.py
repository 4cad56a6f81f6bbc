"""Words for a report: a number beside its bound, the verdict, the bad day, and what one should see."""

import dataclasses
import math
import re

import pytest

from mechbench import quantity
from mechbench.catalog import judge, sizing_of
from mechbench.engine import report_text
from mechbench.engine.judge import Report
from mechbench.engine.judge import judge as judge_class
from mechbench.engine.spec import Finding, Sizing
from tests.engine.toys import Shelf, toy_kit

KIT = toy_kit()


def shelf(load, **values):
    """A report of the shelf: 10 N for each kilogram, at most 200 N; on the bad day the load is 24.3 % heavier."""
    return judge_class(Shelf, {"load": load, **values}, KIT)


@pytest.mark.parametrize(
    "load, said",
    [
        (10, "Works, on a bad day too. Nearest to its limit then: weight on the board is 124 N (at most 200 N)."),
        (15.28, "Works, on a bad day too. Nearest to its limit then: weight on the board is 190 N (at most 200 N)."),
        (15.3, "Just works, within 5 %: measure first. On a bad day weight on the board is 190 N (at most 200 N)."),
        (16, "Just works, within 5 %: measure first. On a bad day weight on the board is 199 N (at most 200 N)."),
        (
            18,
            "Works on a good day, but only on 43 of 100 days. "
            "On a bad day weight on the board is 224 N (at most 200 N).",
        ),
        (25, "Does not work: weight on the board is 250 N (at most 200 N)."),
        (20.01, "Does not work: weight on the board is 200.1 N (at most 200 N)."),
    ],
)
def test_the_verdict_follows_the_margin_on_a_good_and_on_a_bad_day(load, said):
    """15.28 kg 1.243 is 189.93 N, which leaves 5.03 %; 15.3 kg 1.243 is 190.18 N: 4.91 %. 18 kg hold up to 11.1 % more:
    the days at 0.001 to 0.111 and the one at 0.0005 are 112 of 256, 43.75 of 100."""
    assert report_text.verdict(shelf(load)) == said


def test_what_is_met_one_by_one_and_missed_at_once_is_said_with_what_is_missed_most():
    margins = {"weight": 0.02, "sag": 0.01}
    days = {"weight": 2.3, "sag": 4.3}
    found, bounds = {"weight": 196.0, "sag": 0.099}, {"weight": 200.0, "sag": 0.1}
    report = Report(Shelf, {}, found, found, margins, margins, 94, -0.1, days, bounds=bounds)
    assert (
        report_text.verdict(report) == "Works on 94 of 100 days only: not all is met at once. "
        "Most often missed: sag in the middle (on 4 of 100 days), weight on the board (on 2)."
    )
    few = dataclasses.replace(report, missed_days={"weight": 0.4, "sag": 0.0})
    assert report_text.verdict(few).endswith("Most often missed: weight on the board (on less than 1 of 100 days).")


@pytest.mark.parametrize(
    "load, opening, nearest",
    [
        (10, "Works, on a bad day too.", "weight on the board is 124 N (at most 200 N), 38 % to spare on a bad day"),
        (
            16,
            "Just works, within 5 %: measure first.",
            "weight on the board is 199 N (at most 200 N), 0.56 % to spare on a bad day",
        ),
        (
            18,
            "Works on a good day, but only on 43 of 100 days.",
            "weight on the board is 224 N (at most 200 N), on a bad day",
        ),
        (25, "Does not work.", "weight on the board is 250 N (at most 200 N), even on a good day"),
    ],
)
def test_the_verdict_in_two_halves_says_the_same(load, opening, nearest):
    """16 kg 1.243 is 198.88 N of 200 N: 0.56 %; 10 kg 1.243 is 124.3 N: 37.9 %."""
    report = shelf(load)
    assert report_text.opening(report) == opening
    assert report_text.nearest(report) == nearest
    assert opening[:-1] in report_text.verdict(report)


def test_what_is_missed_at_once_only_is_told_with_what_is_missed_most():
    margins = {"weight": 0.02, "sag": 0.01}
    found, bounds = {"weight": 196.0, "sag": 0.099}, {"weight": 200.0, "sag": 0.1}
    report = Report(Shelf, {}, found, found, margins, margins, 94, -0.1, {"weight": 2.3, "sag": 4.3}, bounds=bounds)
    assert report_text.opening(report) == "Works on 94 of 100 days only: not all is met at once."
    assert report_text.nearest(report) == (
        "most often missed is sag in the middle (on 4 of 100 days), weight on the board (on 2)"
    )


@pytest.mark.parametrize(
    "margin, bound, kind, said",
    [
        (0.25, 8.0, {}, " 25 % to spare"),
        (2.5, 8.0, {}, " 250 % to spare"),
        (0.0004, 8.0, {}, " under 0.1 % to spare"),
        (0.0, 8.0, {}, " nothing to spare"),
        (0.25, 0.0, {"scale": 4.0}, ""),
        (0.12, 8.0, {"counted": True}, ""),
        (1.0, 8.0, {"held": True}, ""),
        (0.25, math.inf, {}, ""),
        (math.inf, 8.0, {}, ""),
    ],
)
def test_a_share_to_spare_is_told_where_the_margin_is_one(margin, bound, kind, said):
    """Of a bound that is 0, that is counted up to, or at which a controller holds, no share says how much is left."""

    class One(Sizing):
        FINDINGS = (Finding("one", "one", "s", "x", "at most", 8.0, **kind),)

    report = Report(
        One, {}, {"one": 5.0}, {"one": 6.0}, {"one": margin}, {"one": margin}, 99, margin, bounds={"one": bound}
    )
    told = report_text.nearest(report)
    asked = "no limit" if math.isinf(bound) else f"at most {bound:g} s"
    assert told.startswith(f"one is 6 s ({asked})") and told.split(")", 1)[1] == f",{said} on a bad day"


def test_of_what_nothing_is_asked_nothing_is_nearest():
    report = Report(Shelf, {}, {}, {}, {}, {}, 100)
    assert report_text.opening(report) == "" == report_text.nearest(report)


def test_what_is_nearly_missed_at_once_is_within_5_percent():
    margins = {"weight": 0.3, "sag": 0.2}
    found, bounds = {"weight": 140.0, "sag": 0.08}, {"weight": 200.0, "sag": 0.1}
    report = Report(Shelf, {}, found, found, margins, margins, 95, 0.01, bounds=bounds)
    said = report_text.verdict(report)
    assert said.startswith("Just works, within 5 %: measure first. On a bad day sag in the middle is 80 mm")


def test_what_has_no_worse_way_is_told_from_end_to_end():
    report = shelf(10)
    finding = Shelf.FINDINGS[2]
    assert report_text.on_a_bad_day(report, finding) == "2 kg", "the same on every day"
    wide = dataclasses.replace(report, ends={"mass": (1.5, 2.25)})
    assert report_text.on_a_bad_day(wide, finding) == "1.5 kg to 2.25 kg"
    assert report_text.on_a_bad_day(report, Shelf.FINDINGS[0]) == "124 N"


def test_both_days_are_told_with_whether_they_are_met():
    """18 kg: 180 of 200 N, on a bad day 223.7 N. Of the mass nothing is asked, so nothing of it is missed."""
    report = dataclasses.replace(shelf(18), ends={"mass": (1.5, 2.25)})
    assert report_text.both_days(report, Shelf.FINDINGS[0]) == [("180 N", True), ("224 N", False)]
    assert report_text.both_days(report, Shelf.FINDINGS[2]) == [("2 kg", True), ("1.5 kg to 2.25 kg", True)]


def test_the_verdict_names_what_misses_by_most():
    """25 kg sag 50 mm, twice what is allowed; the weight is a quarter too much."""
    assert (
        report_text.verdict(shelf(25, sag_allowed="25 mm"))
        == "Does not work: sag in the middle is 50 mm (at most 25 mm)."
    )
    assert report_text.verdict(shelf(25), "us") == "Does not work: weight on the board is 56.2 lbf (at most 45 lbf)."


def test_no_day_at_all_is_called_none():
    """20 kg are 200 N, all that the board carries: on a day with more mass it fails, on every other one too."""
    assert report_text.opening(shelf(20)) == "Works on a good day, but on none of 100 days."
    assert report_text.bad_day_line(shelf(20)).endswith(" Works on none of 100 days.")
    margins = {"weight": 0.1, "sag": 0.1}
    values, bounds, missed = (
        {"weight": 180.0, "sag": 0.09},
        {"weight": 200.0, "sag": 0.1},
        {"weight": 60.0, "sag": 40.0},
    )
    none = Report(Shelf, {}, values, values, margins, margins, 0, -0.1, missed, bounds=bounds)
    assert report_text.opening(none) == "Works on none of 100 days: not all is met at once."


def test_the_bad_day_is_told_by_its_two_tightest_numbers():
    assert (
        report_text.bad_day_line(shelf(10))
        == "Bad day: weight on the board 124 N, sag in the middle 24.9 mm. Works on 100 of 100 days."
    )
    assert (
        report_text.bad_day_line(shelf(18, sag_allowed="40 mm"), "us")
        == "Bad day: weight on the board 50.3 lbf, sag in the middle 1.76 in. Works on 43 of 100 days."
    )
    assert report_text.bad_day_line(shelf(10, sag_allowed="20 mm")).startswith(
        "Bad day: sag in the middle 24.9 mm, weight"
    )


def test_of_three_things_asked_the_bad_day_tells_two():
    class Three(Sizing):
        FINDINGS = tuple(Finding(name, name, "s", "x", "at most", 10.0) for name in ("one", "two", "three"))

    bad, bounds = {"one": 9.0, "two": 2.0, "three": 8.0}, dict.fromkeys(("one", "two", "three"), 10.0)
    margins = {"one": 0.1, "two": 0.8, "three": 0.2}
    report = Report(Three, {}, bad, bad, margins, margins, 96, bounds=bounds)
    assert report_text.bad_day_line(report) == "Bad day: one 9 s, three 8 s. Works on 96 of 100 days."


def test_what_hurts_most_is_named():
    assert report_text.hurts(shelf(10)) == "What hurts most on a bad day is the load on the shelf."
    others = dataclasses.replace(shelf(10), hurts=(("board.strength", 0.1), ("load", 0.05)))
    assert report_text.hurts(others) == "What hurts most on a bad day is the strength (board)."


def test_inputs_are_called_as_people_call_them():
    class Recorded(Shelf):
        RECORDS = ("battery", "game.human.line_up")

    label = lambda path: report_text.label_of(Recorded, path)
    assert label("load") == "load on the shelf" and label("board.strength") == "board: strength"
    assert label("battery.open_circuit") == "battery: voltage without load"
    assert label("battery.inner_resistance") == "battery: inner resistance"
    assert label("line_up.likely") == "step 'line up'"


def test_one_should_see_what_was_put_in_what_is_found_and_the_verdict():
    report = shelf(10, count="2")
    found = "Result: weight on the board 100 N, sag in the middle 20 mm. " + report_text.verdict(report)
    assert (
        report_text.should_see(report, ["count", "load", "board"], {"board": "Middle board"})
        == f"The job asks: load on the shelf 10 kg. Chosen: how many boards 2, Middle board. {found}"
    )
    assert report_text.should_see(report, ["board"]) == f"Chosen: middle. {found}"
    assert report_text.should_see(report, ["load"], system="us").startswith(
        "The job asks: load on the shelf 22 lb. Result: "
    )


class Told(Sizing):
    """Three findings of which nothing is asked, and one more."""

    FINDINGS = tuple(Finding(name, name, "s", "x") for name in ("one", "two", "three", "four"))


def test_where_nothing_is_asked_there_is_no_verdict():
    numbers = {"one": 1.0, "two": 2.0, "three": 3.0, "four": 4.0}
    report = Report(Told, {}, numbers, numbers, {}, {}, 100)
    assert report_text.verdict(report) == report_text.bad_day_line(report) == report_text.hurts(report) == ""
    assert report_text.should_see(report, []) == "Result: one 1 s, two 2 s, three 3 s."
    assert (
        report_text.asked(report, Told.FINDINGS[0]) == ""
        and report_text.found(report, Told.FINDINGS[3], numbers) == "4 s"
    )


@pytest.mark.parametrize(
    "sense, unit, value, said",
    [
        ("at most", "s", math.inf, "Does not work: it never arrives (trip must be at most 2 s)."),
        ("at most", "s", 3.0, "Does not work: trip is 3 s (at most 2 s)."),
        ("at least", "s", 1.0, "Does not work: trip is 1 s (at least 2 s)."),
        ("at least", "m/s", 0.0, "Does not work: it stands still (trip must be at least 2 m/s)."),
        ("at least", "rpm", 0.0, "Does not work: it stands still (trip must be at least 19.1 rpm)."),
        ("at most", "m/s", 3.0, "Does not work: trip is 3 m/s (at most 2 m/s)."),
        ("at least", "N", 0.0, "Does not work: trip is 0 N (at least 2 N)."),
        ("at most", "A", math.inf, "Does not work: trip is beyond all limits (at most 2 A)."),
    ],
)
def test_what_never_arrives_or_stands_still_is_told_in_words(sense, unit, value, said):
    class Trip(Sizing):
        FINDINGS = (Finding("trip", "trip", unit, "x", sense, 2.0),)

    missed = {"trip": -1.0}
    report = Report(Trip, {}, {"trip": value}, {"trip": value}, missed, missed, 0, bounds={"trip": 2.0})
    assert report_text.verdict(report) == said


def test_no_more_than_seven_digits_tell_a_number_from_its_bound():
    """15.00002 A has seven digits. 15.00001 A is within a millionth of 15 A, which is rounding: it meets the bound."""
    assert report_text.number(CURRENT, 15.00002, bound=15.0) == "15.00002 A"
    assert report_text.number(CURRENT, 15.00001, bound=15.0) == "15 A"


def test_words_follow_the_margin():
    """The four verdicts, each from inputs that lead there."""
    motor, alone = sizing_of("motor"), {"run_time": "1 s", "count": "1"}
    says = [report_text.verdict(judge(motor, {"load_torque": f"{t} mN·m", **alone})) for t in (5, 120, 200)]
    assert says[0].startswith("Works, on a bad day too")
    assert says[2].startswith("Does not work: it stands still (speed at the load must be at least")
    for torque in range(40, 100):
        report = judge(motor, {"load_torque": torque / 1000, "speed_wanted": "3500 rpm", **alone})
        worst = min(report.bad_margin.values())
        start = report_text.verdict(report).split(" ")[0:2]
        if report.works and worst < 0:
            assert start == ["Works", "on"]
        elif report.works and worst < report_text.CLOSE:
            assert start == ["Just", "works,"]


@pytest.mark.parametrize(
    "label, said",
    [
        ("time up", "time up is 3 s (at most 2 s)"),
        ("time up, at best", "time up, at best, is 3 s (at most 2 s)"),
        ("late by", "late by 3 s (at most 2 s)"),
    ],
)
def test_a_label_and_its_number_make_a_sentence(label, said):
    class Trip(Sizing):
        FINDINGS = (Finding("trip", label, "s", "x", "at most", 2.0),)

    missed = {"trip": -0.5}
    report = Report(Trip, {}, {"trip": 3.0}, {"trip": 3.0}, missed, missed, 0, bounds={"trip": 2.0})
    assert report_text.verdict(report) == f"Does not work: {said}."


@pytest.mark.parametrize(
    "value, bound, said",
    [
        (5.7e-5, None, "under 0.01 %"),
        (5.7e-5, 1.0, "under 0.01 %"),
        (1.1e-4, None, "0.011 %"),
        (0.0, None, "0 %"),
        (5.7e-5, 1e-5, "0.0057 %"),
        (-5.7e-5, None, "-0.0057 %"),
    ],
)
def test_a_tiny_share_is_not_told_by_its_size_but_where_it_misses(value, bound, said):
    assert report_text.number(Finding("share", "share used up", "%", "x", "at most", 100.0), value, bound=bound) == said


@pytest.mark.parametrize(
    "label, unit, counted, value, said",
    [
        ("motors", "", True, 8.0, "Does not work: 8 motors (at most 5)."),
        ("points a match", "points", False, 8.0, "Does not work: 8 points a match (at most 5 points)."),
        ("pieces held", "x", False, 8.0, "Does not work: pieces held are 8 (at most 5)."),
        ("press on the ramp", "x", False, 8.0, "Does not work: press on the ramp is 8 (at most 5)."),
        ("friction's share", "x", False, 8.0, "Does not work: friction's share is 8 (at most 5)."),
        ("motors' strength", "x", False, 8.0, "Does not work: motors' strength is 8 (at most 5)."),
    ],
)
def test_many_are_and_one_is(label, unit, counted, value, said):
    class Many(Sizing):
        FINDINGS = (Finding("number", label, unit, "H", "at most", 5.0, counted=counted),)

    missed = {"number": -0.5}
    report = Report(Many, {}, {"number": value}, {"number": value}, missed, missed, 0, bounds={"number": 5.0})
    assert report_text.verdict(report) == said


def test_what_never_arrives_is_said_so():
    report = judge("arm", {"gearbox": "planetary_4_6"})
    assert math.isinf(report.good["time"])
    assert (
        report_text.verdict(report)
        == "Does not work: it never arrives (time for the swing, at best, must be at most 0.8 s)."
    )


@pytest.mark.parametrize(
    "runaway, said",
    [
        ((21.3, 0.4), "from 40 % of its way on: a braking current of 21.3 A would hold it"),
        ((21.3, 0.0), "from the start on: a braking current of 21.3 A would hold it"),
        ((math.inf, 0.0), "from the start on: no current is enough"),
    ],
)
def test_what_cannot_be_braked_in_time_is_told_with_what_would_do(runaway, said):
    class Trip(Sizing):
        FINDINGS = (Finding("trip", "trip", "s", "x", "at most", 2.0),)

    missed, never = {"trip": -1.0}, {"trip": math.inf}
    report = Report(Trip, {}, never, never, missed, missed, 0, bounds={"trip": 2.0}, good_runaway=runaway)
    assert (
        report_text.verdict(report) == f"Does not work: it can't be braked in time, {said} (trip must be at most 2 s)."
    )
    met = {"trip": 0.5}
    report = Report(Trip, {}, {"trip": 1.0}, never, met, missed, 7, bounds={"trip": 2.0}, bad_runaway=runaway)
    assert report_text.verdict(report).endswith(
        f"On a bad day it can't be braked in time, {said} (trip must be at most 2 s)."
    )


@pytest.mark.parametrize("name", ["arm", "chained", "linkage", "scissor"])
def test_a_current_that_its_controller_holds_meets_the_limit(name):
    """The stout motor stalls at 16.7 V / 1.206 ohm = 13.8 A: its controller holds 10 A, which is what is allowed."""
    stout = {"drive": "stout_planetary_56"} if name in ("linkage", "scissor") else {"motor": "stout"}
    report = judge(name, stout)
    assert report.good["current"] == pytest.approx(10.0, rel=1e-12) and report.good["current"] <= 10.0
    assert report.good_margin["current"] >= 0


def test_an_arm_that_its_spring_throws_cannot_be_braked_in_time():
    """The slim motor, little gearing: its brake gives 11 V / 1.818 ohm, and the spring pulls harder from the start."""
    report = judge("arm", {"gearbox": "planetary_4_6", "spring": "spring_1_00_50"})
    brake = 11.0 / (16.0 / 8.80)
    assert report.good["current"] == pytest.approx(brake, rel=1e-3) and math.isinf(report.good["time"])
    said = report_text.verdict(report)
    told = re.match(r"Does not work: it can't be braked in time, from the start on: a braking current of (.*?) A", said)
    assert told and float(told[1]) > brake, said


CURRENT = Finding("current", "current", "A", "x", "at most", 15.0)


@pytest.mark.parametrize(
    "value, text",
    [
        (15.02, "15.02 A"),
        (15.0003, "15.0003 A"),
        (16.04, "16 A"),
        (14.98, "15 A"),
        (15.0, "15 A"),
        (15 + 1e-12, "15 A"),
    ],
)
def test_a_number_beside_the_bound_that_it_misses_has_the_digits_that_show_it(value, text):
    assert report_text.number(CURRENT, value, bound=15.0) == text
    assert report_text.number(CURRENT, value) == f"{value:.3g} A"


def test_nor_does_rounding_hide_a_speed_that_is_too_low():
    speed = Finding("speed", "speed", "m/s", "x", "at least", 1.5)
    assert report_text.number(speed, 1.4996, bound=1.5) == "1.4996 m/s"
    assert report_text.number(speed, 1.5004, bound=1.5) == "1.5 m/s"
    assert report_text.number(speed, 1.4996, "us", bound=1.5) == "4.9199 ft/s"
    assert report_text.number(speed, 1.5, "us") == "4.92 ft/s"


def test_verdict_and_lines_show_why_a_bound_is_missed_by_a_hair():
    motor, asked = sizing_of("motor"), {"load_torque": "30 mN·m", "run_time": "1 s"}
    speed = judge(motor, asked).good["speed"]
    report = judge(motor, {**asked, "speed_wanted": float(speed * 1.0002)})
    bound, found = (quantity.show(v, "rpm", digits=9) for v in (report.bounds["speed"], speed))
    assert bound != found and report.good_margin["speed"] < 0
    says = r"Does not work: speed at the load is (.*) rpm \(at least (.*) rpm\)\."
    told = re.fullmatch(says, report_text.verdict(report))
    assert told and told[1] != told[2]
    assert f"speed at the load {told[1]} rpm" in report_text.should_see(report, [])
