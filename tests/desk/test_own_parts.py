"""Parts by their figures on the command line: asked, searched, swept, recorded and opened again, with any kit."""

import json
from pathlib import Path

import pytest

import mechbench as mb
from mechbench.benches import best_parts
from mechbench.catalog import judge, sizing_of
from mechbench.desk import reopen as reopening
from mechbench.engine.inputs import Tables, complete
from tests.desk.asked import ask, is_one_sentence

SECOND = Path(__file__).parents[1] / "kits" / "second_kit"
TOLD = "findings", "inputs", "records", "spreads", "days_in_100"
LINES = (
    "drivetrain wheel=92mm gearbox=16:1 motor=slim battery=2.8Ah,12V fuse=20A",
    "arm motor=275rpm,2.6Nm last_stage=12:36 spring=0.3N/mm",
    "gripper servo=19kgfcm",
    "intake roller=54mm drive=275rpm,2.6Nm,9A",
    "lift drum=30mm gearbox=20:1 motor=stout spring=7N",
    "robot battery=2.8Ah",
    "drivetrain motor=435rpm,1.2Nm gearbox=15:40",
    "gripper pad=0.6",
)


@pytest.mark.parametrize("line", LINES)
def test_an_answer_says_what_was_taken_from_which_part(line):
    said = ask(line)
    assert said.code in (0, 1) and said.err == "" and (" as " in said.out or "in proportion to the kit's" in said.out)
    sizing, *given = line.split()
    shown = " ".join(said.out.split())
    assert all(one in shown for one in given)
    data = json.loads(ask(f"{line} --json").out)
    own = {one.partition("=")[0] for one in given if one.partition("=")[2] not in ("slim", "stout")}
    assert set(data["figures"]) == own
    assert all(one["said"].startswith(name) and one["said"] in data["note"] for name, one in data["figures"].items())


def test_without_own_parts_the_data_is_as_it_was():
    data = json.loads(ask("drivetrain --json").out)
    assert "figures" not in data and "+" not in data["made"]["kit"]["digest"]


@pytest.mark.parametrize("end", ["html", "md"])
@pytest.mark.parametrize("line", LINES)
def test_a_record_with_an_own_part_opens_again_with_the_same_numbers(line, end, tmp_path, monkeypatch):
    """From the parts that it holds: with another kit in force, too, but for a whole robot, which is built anew."""
    monkeypatch.chdir(tmp_path)
    assert f"The record is a.{end}." in ask(f"{line} --record a.{end}").out
    again = reopening.reopen(tmp_path / f"a.{end}")
    assert again.notes == () and again.differences == {}
    said = ask(f"--reopen a.{end}")
    assert "Opened again, all its numbers are as they were." in said.out
    assert "in proportion" in said.out or " as " in said.out
    assert again.design.note in " ".join(ask(f"{line}").out.split()), "told as it was then"
    bench = mb.bench(again.sizing, again.values)
    assert bench.report.good == pytest.approx(again.report.good, rel=1e-9, nan_ok=True)
    if not line.startswith("robot"):
        monkeypatch.setenv("MECHBENCH_KIT", str(SECOND))
        elsewhere = reopening.reopen(tmp_path / f"a.{end}")
        assert (
            elsewhere.differences == {} and len(elsewhere.notes) == 1 and "its own parts are used" in elsewhere.notes[0]
        )


def test_a_record_of_an_own_part_that_was_tampered_with_is_refused(tmp_path):
    data = json.loads(ask("robot battery=2.8Ah --json").out)
    for figures, says in (
        ([], "its figures is no table"),
        ({"battery": {"given": "low", "said": ""}}, "has no number"),
    ):
        path = tmp_path / "a.md"
        path.write_text(f"```json mechbench-record\n{json.dumps(data | {'figures': figures})}\n```\n", encoding="utf-8")
        with pytest.raises(ValueError, match=says):
            reopening.reopen(path)


def test_own_parts_are_searched_among_and_swept():
    data = json.loads(ask("arm --find gearbox=20:1,60:1,motor=slim,bare,6000rpm,0.2Nm --json").out)
    found = [one for one in (*data["fits"], data["nearest_miss"], *data["beside"].values()) if one]
    assert data["tried"] == 4 and "60:1" in {one["choice"]["gearbox"] for one in found}
    assert any(told.startswith("gearbox 20 : 1: ") for told in data["said"])
    rows = json.loads(ask("drivetrain --sweep wheel=70mm,80mm,mecanum_115,92mm --json").out)
    assert [one["value"] for one in rows["rows"]] == ["70mm", "80mm", "mecanum_115", "92mm"]
    by_name = judge("drivetrain", {"wheel": "traction_80"})
    assert rows["rows"][1]["good"]["push"] == pytest.approx(by_name.good["push"])
    assert "wheel 70 mm across" in ask("drivetrain --sweep wheel=70mm,80mm").out
    assert "roller 54 mm across" in ask("intake roller=54mm --find drive").out


@pytest.mark.parametrize(
    "name, own, looked_for",
    [
        ("drivetrain", {"wheel": "92mm"}, "gearbox"),
        ("arm", {"motor": "275rpm,2.6N·m"}, "gearbox"),
        ("lift", {"battery": "2.8A·h", "drum": "40mm"}, "motor,gearbox"),
    ],
)
def test_an_own_part_stays_while_others_are_searched(name, own, looked_for):
    """What the search finds with it is what the sizing alone finds: at the command, in a notebook, on a bench."""
    found = mb.find(name, looked_for, **own)
    first = found.best[0] if found.best else found.miss
    alone = mb.size(name, **own, **first.choice)
    of_search = next(one.good for one in found.candidates if one.choice == first.choice)
    assert of_search == pytest.approx(dict(alone.good), rel=1e-9, nan_ok=True)
    given = " ".join(f"{key}={value}" for key, value in own.items())
    data = json.loads(ask(f"{name} {given} --find {looked_for} --json").out)
    one = data["fits"][0] if data["fits"] else data["nearest_miss"]
    told = [said for said in data["said"] if not said.startswith("Label read at ")]
    assert one["choice"] == first.choice and len(told) == len(own)
    sizing = sizing_of(name)
    tables = Tables(sizing)
    values = complete(sizing, own, tables)
    answer = best_parts.look(sizing, [sizing.field(one) for one in looked_for.split(",")], values, tables)
    offer = answer.best[0] if answer.best else answer.miss
    again = mb.size(name, **{**values, **own, **offer.choice})
    assert offer.report.good == pytest.approx(dict(again.good), rel=1e-9, nan_ok=True)


@pytest.mark.parametrize(
    "line, name, parts",
    [
        ("arm motor=275rpm,2.6Nm motor=312rpm,2Nm", "motor", ["275rpm,2.6Nm", "312rpm,2Nm"]),
        ("drivetrain motor=312rpm,2Nm vs 435rpm,1.4Nm", "motor", ["312rpm,2Nm", "435rpm,1.4Nm"]),
        ("drivetrain --against motor=312rpm,2Nm,slow,435rpm,1.4Nm", "motor", ["312rpm,2Nm", "slow", "435rpm,1.4Nm"]),
        ("drivetrain --against wheel=62mm,92mm", "wheel", ["62mm", "92mm"]),
        ("drivetrain gearbox=15:40 vs 20:60", "gearbox", ["15:40", "20:60"]),
        ("gripper pad=0.3 vs 60%", "pad", ["0.3", "0.6"]),
        ("drivetrain battery=2.8Ah vs 3Ah", "battery", ["2.8Ah", "3Ah"]),
        ("drivetrain --against fuse=15A,20A", "fuse", ["15A", "20A"]),
        ("drivetrain motor=435rpm,1.2Nm,12V gearbox=15:40 vs 20:60", "gearbox", ["15:40", "20:60"]),
    ],
)
def test_own_parts_side_by_side_are_as_each_alone(line, name, parts):
    data = json.loads(ask(f"{line} --json").out)
    sizing, *words = line.split()
    same = [one for one in words if "=" in one and not one.startswith(name)]
    given = [
        [one["figures"][name]["given"] if name in one.get("figures", {}) else one["inputs"][name]["part"]]
        for one in data["designs"]
    ]
    assert given == [[part] for part in parts] and name in data["differ"]
    for part, one in zip(parts, data["designs"]):
        alone = json.loads(ask([sizing, *(same if "--against" not in words else []), f"{name}={part}", "--json"]).out)
        assert {key: one[key] for key in TOLD} == {key: alone[key] for key in TOLD}


def test_own_parts_side_by_side_in_a_notebook():
    found = mb.against("arm", motor=["275rpm,2.6N·m", "312rpm,2N·m"])
    assert [one.report.values["motor"] for one in found.designs] == ["275rpm,2.6Nm", "312rpm,2Nm"]
    alone = judge("arm", {"motor": "312rpm,2N·m"})
    assert found.designs[1].report.good == alone.good


def test_how_a_label_is_read_comes_before_the_answer():
    told = "Label read at 16 V; write 312rpm,2Nm,12V if yours says 12 V."
    for line in ("drivetrain motor=312rpm,2Nm", "drivetrain motor=312rpm,2Nm battery=3Ah,12V"):
        lines = ask(line).out.splitlines()
        assert lines[2].strip() == told and told in json.loads(ask(f"{line} --json").out)["said"]
    assert told in ask("drivetrain motor=312rpm,2Nm --most mass").out.splitlines()[0]
    assert told.partition(";")[0] not in ask("drivetrain motor=312rpm,2Nm,12V").out
    speed = lambda line: json.loads(ask(f"drivetrain {line} --json").out)["findings"]["top_speed"]["good"]
    assert speed("motor=312rpm,2Nm") == speed("motor=312rpm,2Nm,16V") < speed("motor=312rpm,2Nm,12V")


@pytest.mark.parametrize(
    "line, says",
    [
        ("drivetrain wheel=92", "wheel: '92' has no unit"),
        ("drivetrain wheel=5mm", "must be from 10 mm to 1 m"),
        ("drivetrain wheel=traction_81", "wheel='traction_81' is no part of the kit; did you mean 'traction_80'?"),
        ("gripper battery=2.8Ah", "'battery' is not an input of gripper"),
        ("lift --find battery", "battery is taken one at a time by --find"),
        ("lift --sweep battery=2.8Ah,3Ah", "battery is taken one at a time by --sweep"),
        ("lift battery=much", "battery: 'much' has no number"),
        ("lift battery=5kg", "battery: '5kg' is a mass"),
        ("arm motor=275rpm,2.6Nm gearbox=20:1", "of a motor without gears write bare,6000rpm,0.2Nm."),
        ("motor motor=275rpm,2.6Nm load_torque=90Nm", "load_torque is 90 N·m, but it must be from 0 N·m to 10.4 N·m"),
        ("arm motor=435rpm,1.2Nm gearbox=15:40", "wheels behind its gears are given by their teeth: last_stage=15:40"),
        ("drivetrain motor=435rpm,1.2Nm gearbox=20:1", "given by their teeth: gearbox=15:40"),
        ("arm motor=slow gearbox=15:40", "by their teeth: last_stage=15:40"),
        ("arm --find gearbox=20:1,spring=5kg", "spring: '5kg' is a mass; a stiffness is asked"),
    ],
)
def test_what_cannot_be_is_refused_in_one_sentence(line, says):
    said = ask(line)
    assert said.code == 2 and is_one_sentence(said.err) and says in said.err


def test_a_label_answers_how_fast_its_motor_turns_at_a_load():
    """By the label alone 275 rpm (1 - 0.9 / 2.6) = 180 rpm; a battery of 16.7 V that sags by 0.3 V is 2.5 % more."""
    good = json.loads(ask("motor load_torque=0.9Nm motor=275rpm,2.6Nm --json").out)["findings"]["speed"]["good"]
    assert 30 / 3.141592653589793 * good == pytest.approx(180, rel=0.05)


def test_a_search_and_what_is_judged_again_are_of_one_job():
    """Nobody gives a ratio, so the usual one is looked for: not, of each pair, that which it has anyway."""
    found = mb.find("pair", "last_stage")
    wanted = mb.size("pair").values["ratio_wanted"]
    for one in found.best or [found.miss]:
        of_search = next(other.good for other in found.candidates if other.choice == one.choice)
        assert one.report.values["ratio_wanted"] == wanted
        assert of_search == pytest.approx(one.report.good, rel=1e-9)
