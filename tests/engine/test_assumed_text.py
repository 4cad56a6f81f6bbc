"""What is said of a verdict that rests on assumed numbers, and where it shows."""

import json
from types import SimpleNamespace

import pytest

import mechbench as mb
from mechbench.benches import page
from mechbench.catalog import sizing_of
from mechbench.course import grading
from mechbench.desk import answer, find, record, reopen, sweep
from mechbench.desk.fits import FITS
from mechbench.engine import assumed_text, report_text
from mechbench.engine.inputs import Tables
from mechbench.engine.judge import BAD_DAY, FAILS, judge
from mechbench.kits import read_kit
from tests.kits import four_numbers

MOTOR, ARM = sizing_of("motor"), sizing_of("arm")
HEAT = {"thermal_resistance": 5.0}


@pytest.fixture(scope="module")
def kit(tmp_path_factory):
    """All that heats is printed but the heat capacity; gears are strong as printed."""
    path = tmp_path_factory.mktemp("bare") / "kit"
    return read_kit(four_numbers.folder(path, {("motors", "brisk"): HEAT | {"mass": 0.31, "rotor_inertia": 9.5e-6}}))


def open_report(kit):
    """A run that ends between the times in which a motor of 0.4 and of 1.6 times the heat capacity is too hot."""
    hot = judge(MOTOR, {"load_torque": 0.09, "speed_wanted": 50.0, "run_time": 1.0}, kit).good["hot_after"]
    return judge(MOTOR, {"load_torque": 0.09, "speed_wanted": 50.0, "run_time": 0.99 * hot}, kit)


def test_the_sentence(kit):
    report = open_report(kit)
    said = report_text.verdict(report)
    assert said.startswith(
        "Not known: the label does not give the heat capacity. Hold one current steady, read how warm"
        " it gets, then `correct warming`. As assumed: "
    )
    assert report_text.opening(report).startswith("Not known: ")
    assert page.mark_of(report) == page.OPEN and "Not known" in page.verdict(report, "metric")
    assert answer.code_of(report) == answer.FAILS


def test_a_known_verdict_says_nothing_of_it(kit):
    report = judge(MOTOR, {"load_torque": 0.01, "run_time": 1.0, "speed_wanted": 50.0}, kit)
    assert report.verdict == BAD_DAY and report.known
    assert report_text.verdict(report).startswith("Works, on a bad day too")
    assert page.mark_of(report) == page.FITS and answer.code_of(report) == answer.FITS
    fails = judge(MOTOR, {"load_torque": 0.3, "speed_wanted": 300.0}, kit)
    assert fails.verdict == FAILS and report_text.verdict(fails).startswith("Does not work")


def test_each_way_is_said_once_and_several_are_listed():
    names = ("motor.heat_capacity", "motor.thermal_resistance", "motor.rotor_inertia", "gearbox.allowed_small")
    report = SimpleNamespace(known=False, rests_on=[SimpleNamespace(key=name.split(".")[1]) for name in names])
    said = assumed_text.rests(report)
    assert said.startswith(
        "Not known: no label gives the heat capacity, the thermal resistance, the rotor inertia and the gear"
    )
    assert said.count("correct warming") == 1 and "strength. " in said


def test_no_way_promises_a_correction_that_does_not_exist():
    words = " ".join(way for _, way in assumed_text.MEASURE.values())
    for named in (part.split("`")[0] for part in words.split("`correct ")[1:]):
        assert named in FITS
    corrected = {"rotor_inertia": "spin_up", "heat_capacity": "warming", "thermal_resistance": "warming"}
    assert all(name in assumed_text.MEASURE[key][1] for key, name in corrected.items())


def test_every_assumed_column_has_words(kit):
    keys = {key for name in kit.tables() for bands in kit.table(name).assumed.values() for key in bands}
    drives = Tables(sizing_of("linkage"), kit)("shaft_drives").assumed
    keys |= {key for bands in drives.values() for key in bands}
    assert keys <= set(assumed_text.MEASURE) and len(keys) >= 6


def test_what_is_assumed_is_told_with_its_band(kit):
    report = open_report(kit)
    (line,) = assumed_text.assumed_lines(report, Tables(MOTOR, kit))
    assert line == "heat capacity of brisk motor, 0.4 to 1.6 times 23.2 J/K"


@pytest.mark.parametrize("end", ["r.html", "r.md"])
def test_a_record_keeps_it_and_opens_again(kit, end, tmp_path, monkeypatch):
    report = open_report(kit)
    design = record.design(MOTOR, report.values, Tables(MOTOR, kit))
    path = record.write(design, tmp_path / end)
    text = path.read_text(encoding="utf-8")
    assert "heat capacity of brisk motor, 0.4 to 1.6 times" in text.replace("\\_", "_") and "Not known" in text
    data = json.loads(reopen.data_in_text(text))
    assert data["assumed"] == [
        {"input": "motor.heat_capacity", "value": pytest.approx(23.25), "low": 0.4, "high": 1.6, "turns": True}
    ]
    assert data["inputs"]["motor"]["numbers"]["counts_per_turn"] is None
    again = reopen.reopen(path)  # in the course's own kit, which has no such motor
    assert not again.differences and again.report.rests_on == report.rests_on
    assert again.report.days_in_100 == report.days_in_100
    assert "Not known" in repr(again)


@pytest.mark.parametrize("band", [None, 3, [0.5], [2.0, 0.5], ["x", 2.0], [0.5, "inf"]])
def test_a_damaged_band_is_refused(kit, band, tmp_path):
    design = record.design(MOTOR, open_report(kit).values, Tables(MOTOR, kit))
    data = record.data_of(design)
    data["inputs"]["motor"]["assumed"]["heat_capacity"] = band
    path = tmp_path / "r.md"
    path.write_text(f"```json mechbench-record\n{json.dumps(data)}\n```\n", encoding="utf-8")
    with pytest.raises(ValueError, match="record is damaged"):
        reopen.reopen(path)


def test_a_record_of_printed_numbers_has_no_word_of_it():
    full = read_kit(four_numbers.BY_HAND)
    data = record.data_of(record.design(MOTOR, {}, Tables(MOTOR, full)))
    assert "assumed" not in data and "assumed" not in data["inputs"]["motor"]


def test_a_search_shows_as_working_only_what_surely_works(kit):
    values = {"time_wanted": 2.0}
    found = find.look(ARM, "gearbox,motor", values, Tables(ARM, kit))
    assert found.best and all(one.report.surely_works for one in found.best)
    assert found.unsure and f"{found.unsure} of the first {found.looked_at} not surely" in " ".join(
        find.text_of(found).split()
    )
    rests = find.look(ARM, "gearbox=turn_100,motor=brisk", {"time_wanted": 2.0}, Tables(ARM, kit))
    assert not rests.best and "None surely works" in find.text_of(rests) and "Not known" in find.text_of(rests)
    assert find.code_of(rests) == answer.FAILS


def test_a_sweep_names_the_values_that_are_open(kit):
    report = open_report(kit)
    swept = sweep.read_sweep(
        MOTOR,
        f"run_time={0.2 * report.values['run_time']:.3f}s..{report.values['run_time']:.3f}s",
        "3",
        {"load_torque": report.values["load_torque"], "speed_wanted": 50.0},
        Tables(MOTOR, kit),
        "metric",
    )
    text = sweep.text_of(swept)
    assert "Not known, for it rests on what was assumed" in " ".join(text.split())
    assert sweep.works(swept.reports[0]) and not sweep.works(swept.reports[-1])


def test_a_bench_shows_it(kit):
    report = open_report(kit)
    bench = mb.bench("motor", report.values, kit=kit)
    assert "Not known: the label does not give the heat capacity" in bench.sentence


def test_a_challenge_is_graded_on_days_and_says_what_that_rests_on(kit, monkeypatch):
    report = open_report(kit)
    every = lambda sizing: [finding.name for finding in sizing.judged()]
    exercise = SimpleNamespace(bad_day=False, explain="Well done.", advice={}, asked_of=every)
    monkeypatch.setattr(grading, "_judge", lambda posed, raw: report)
    grade = grading._grade_challenge(SimpleNamespace(fill=lambda text: text, exercise=exercise), exercise, "")
    assert grade.state == grading.RIGHT
    assert grade.message.endswith(assumed_text.rests(report)) and "Not known" in grade.message
