import json
import math
import re
from pathlib import Path

import pytest

from mechbench.catalog import NAMES, judge, sizing_of
from mechbench.desk.arguments import OPTIONS, TYPED
from mechbench.engine import report_text
from mechbench.engine.spec import Pick, in_game
from mechbench.kits import kit, pairing
from mechbench.launch import commands
from tests.desk.asked import ask, is_one_sentence

KITS = Path(__file__).parents[1] / "kits"
BOXES = [name for name in kit().table("gearboxes").names if name.startswith("planetary")]
# Ten gearboxes for each of two motors; a gearmotor has its own gears.
PAIRS = [*((motor, box) for motor in ("slim", "stout") for box in BOXES), ("slow", "slow")]


def test_the_command_is_one_of_mechbench(capsys):
    assert commands.main(["size", "motor"]) == 0
    assert "speed at the load" in capsys.readouterr().out


def test_alone_it_lists_every_sizing_with_its_question_and_how_the_usual_example_stands():
    said = ask("")
    flat = " ".join(said.out.split())
    assert said.code == 0 and said.err == ""
    for name in NAMES:
        assert f"{name} {judge(name).days_in_100} {sizing_of(name).QUESTION}" in flat
    assert all(option in ask("--help").out for option in OPTIONS)


def test_the_list_as_data():
    listed = json.loads(ask("--json").out)["sizings"]
    assert [one["name"] for one in listed] == list(NAMES)
    assert all(one["works"] == judge(one["name"]).works for one in listed)


@pytest.mark.parametrize("name", NAMES)
def test_each_sizing_says_its_verdict_and_every_finding_and_every_input(name):
    said, report = ask(name), judge(name)
    flat = " ".join(said.out.split())
    assert said.code == (0 if report.works and report.works_on_bad_day else 1)
    assert report_text.verdict(report) in flat and report_text.hurts(report) in flat
    for finding in sizing_of(name).FINDINGS:
        assert finding.label in flat and report_text.number(finding, report.bad[finding.name]) in flat
    assert all(f" {field.name}=" in said.out for field in in_game(sizing_of(name).FIELDS, kit()))


def test_values_come_in_any_unit_and_go_out_in_either_system():
    metric, us = ask("motor load=50mNm"), ask("motor load=0.4425lbf.in --us")
    assert "3e" not in metric.out and "load_torque=0.05Nm" in metric.out
    assert "load_torque=0.4425lbfin" in us.out and "lbf·in" in us.out
    speed = re.compile(r"speed at the load +([0-9.]+) rpm")
    assert float(speed.search(metric.out)[1]) == pytest.approx(float(speed.search(us.out)[1]), rel=1e-3)


def test_the_setting_for_units_holds_unless_another_is_asked(monkeypatch):
    monkeypatch.setenv("MECHBENCH_UNITS", "us")
    assert "lbf·in" in ask("motor").out and "lbf·in" not in ask("motor --metric").out
    monkeypatch.setenv("MECHBENCH_UNITS", "imperial")
    assert ask("motor").code == 2 and "MECHBENCH_UNITS" in ask("motor").err


@pytest.mark.parametrize(
    "line, code",
    [
        ("motor", 0),
        ("motor load=0.4Nm", 1),  # stalls
        ("motor load=0.4Nm --json", 1),
        ("motor --sweep load=0.01Nm..0.02Nm", 0),
        ("motor --sweep load=0.4Nm..0.5Nm", 1),
        ("train --find gearbox", 0),
        ("train load=20Nm speed=600rpm --find gearbox", 1),
        ("moter", 2),
        ("motor load=9Nm", 2),
        ("--reopen no_such_file.html", 2),
    ],
)
def test_exit_codes(line, code):
    said = ask(line)
    assert said.code == code
    if code == 2:
        assert said.out == "" and is_one_sentence(said.err)
    else:
        assert said.err == ""


@pytest.mark.parametrize(
    "line, says",
    [
        ("moter", "did you mean 'motor'"),
        ("l", "did you mean|'l' can be lift or linkage"),
        ("load=2Nm", "No sizing is named"),
        ("motor --find load_torque=1Nm", "load_torque is a number, so --find load_torque looks through"),
        ("motor --find motr", "did you mean 'motor'"),
        ("motor motor=slim --find motor", "motor is given and looked for"),
        ("motor load=0.1Nm --sweep load=0.1Nm..0.2Nm", "load_torque is given and swept"),
        ("motor --sweep load=0.2Nm..0.1Nm", "the first must be the lower one"),
        ("motor --sweep load=0.2Nm", "has no '..'"),
        ("motor --sweep load=0.1Nm..0.2Nm --steps 1", "must be a whole number from 2 to 101"),
        ("motor --find motor --sweep load", "can't be asked together"),
        ("robot --first --sweep points=50..90", "can't be asked together"),
        ("lift --first", "--first asks which part of a whole robot, but lift is one mechanism"),
        ("robot --first --picture a.png", "--picture does not go with --first"),
        ("robot --first --steps 5", "--steps goes with --sweep only"),
        ("robot which=hern --first", "is no part of the kit"),
        ("motor --us --metric", "contradict each other"),
        ("motor --steps 5", "--steps goes with --sweep only"),
        ("motor --record arm.pdf", "ends neither in .html nor in .md"),
        ("motor --picture arm.gif", "does not end in .png"),
        ("motor --measured speed=100rpm", "belongs in a record"),
        ("motor --record a.html --measured sped=100rpm", "did you mean 'speed'"),
        ("motor --find motor --record a.html", "does not go with --find"),
        ("arm --find motor,gearbox,last_stage,spring,count", "at most 250000 can be tried; name fewer parts"),
        ("--reopen a.html motor", "needs no sizing"),
    ],
)
def test_a_bad_question_is_answered_by_one_sentence(line, says, tmp_path, monkeypatch):
    monkeypatch.chdir(tmp_path)
    said = ask(line)
    assert said.code == 2 and is_one_sentence(said.err) and re.search(says, said.err), said.err
    assert not list(tmp_path.iterdir()), "nothing is written for a question that can't be answered"


# --- help -----------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    "name, system", [*((name, "") for name in NAMES), *((name, " --us") for name in ("motor", "winch", "intake"))]
)
def test_help_tells_everything_and_its_examples_run(name, system):
    said = ask(f"{name} --help{system}")
    assert said.code == 0
    for one in (*in_game(sizing_of(name).FIELDS, kit()), *sizing_of(name).FINDINGS):
        assert re.search(rf"^  {one.name} +\S", said.out, re.MULTILINE), one.name
    examples = re.findall(rf"^  {re.escape(TYPED)} (.*)$", said.out, re.MULTILINE)
    assert len(examples) >= 2
    for example in examples:
        answered = ask(example)
        assert answered.code in (0, 1) and answered.out, (example, answered.err)


@pytest.mark.parametrize(
    "folder, lacks, has",
    [
        ("", ["pair_chance"], ["start_pieces", "leave", "closing_chance", "next_goal"]),
        ("second_kit", [], ["pair_chance", "start_pieces", "leave", "closing_chance", "next_goal"]),
        ("flat", ["pair_chance", "start_pieces"], ["leave", "closing_chance", "next_goal"]),
        ("bare", ["pair_chance", "start_pieces", "leave", "closing_time", "closing_chance", "next_goal"], ["success"]),
    ],
)
def test_what_the_game_lacks_is_not_listed_but_stands_in_a_record(folder, lacks, has, monkeypatch, tmp_path):
    """By the files of these games: which of them has pairs, a self-driving time, a closing task, two goals."""
    if folder:
        monkeypatch.setenv("MECHBENCH_KIT", str(KITS / folder))
    asked, help, given = (
        ask(f"cycle --record {tmp_path / 'cycle.md'}"),
        ask("cycle --help"),
        ask("cycle pair_chance=7%"),
    )
    assert all(f" {name}=" in asked.out and f"\n  {name} " in help.out for name in has)
    assert not [name for name in lacks if f"{name}=" in asked.out or f"\n  {name} " in help.out]
    assert "pair_chance=7%" in given.out.partition("you gave")[2].partition("\n\n")[0], "what was typed is told"
    kept = (tmp_path / "cycle.md").read_text(encoding="utf-8")
    assert all(f'"{name}"' in kept for name in (*lacks, *has))


def test_help_as_data_knows_ranges_and_parts():
    data = json.loads(ask("arm --help --json").out)
    by_name = {one["name"]: one for one in data["inputs"]}
    assert by_name["payload"]["low"] == 0.01 and by_name["motor"]["parts"] == list(kit().table("motors").names)


# --- data -----------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize("name", NAMES)
def test_data_equals_the_report(name):
    data, report = json.loads(ask(f"{name} --json").out), judge(name)
    for finding, found in data["findings"].items():
        assert (float(found["good"]), float(found["bad"])) == (report.good[finding], report.bad[finding])
    assert data["days_in_100"] == report.days_in_100 and data["made"]["kit"]["digest"] == report.kit_digest


def test_data_is_strict_json_even_where_a_number_is_infinite():
    text = ask("arm --json").out
    data = json.loads(text, parse_constant=lambda word: pytest.fail(word))
    assert data["findings"]["hot_after"]["good"] == "inf"


# --- a sweep --------------------------------------------------------------------------------------------------------


def test_a_sweep_equals_judging_one_by_one():
    data = json.loads(ask("arm payload=0.8kg --sweep length=200mm..600mm --steps 5 --json").out)
    assert [row["value"] for row in data["rows"]] == pytest.approx([0.2, 0.3, 0.4, 0.5, 0.6])
    for row in data["rows"]:
        report = judge("arm", {"payload": "0.8 kg", "length": row["value"]})
        assert row["bad"]["time"] == report.bad["time"] and row["days_in_100"] == report.days_in_100


def test_a_sweep_tells_where_it_works():
    said = ask("arm payload=0.8kg --sweep length=200..600mm --steps 9")
    works = [
        200 + 50 * i for i in range(9) if judge("arm", {"payload": "0.8 kg", "length": 0.2 + 0.05 * i}).works_on_bad_day
    ]
    assert 2 < len(works) < 9 and works == list(range(works[0], works[-1] + 1, 50))
    assert f"Works, on a bad day too, of the values tried: {works[0]} mm to {works[-1]} mm." in said.out
    assert len(re.findall(r"^  \d+ mm", said.out, re.MULTILINE)) == 9


def test_parts_can_be_swept_too():
    said = ask("arm --sweep gearbox")
    assert said.out.count(": 1 planetary") >= 10
    two = json.loads(ask("arm --sweep gearbox=16,74 --json").out)
    assert [row["value"] for row in two["rows"]] == ["planetary_16", "planetary_74"]


def test_a_value_that_cannot_be_judged_does_not_end_a_sweep(monkeypatch):
    balance = sizing_of("balance")
    solve = balance.solve

    def picky(x):
        if (x.raised_height > 0.8).any():
            raise ValueError("raised_height is 0.9 m, but it must be at most 0.8 m; lower it.")
        return solve(x)

    monkeypatch.setattr(balance, "solve", staticmethod(picky))
    said = ask("balance --sweep raised_height=700mm..900mm --steps 3")
    assert (
        said.code in (0, 1)
        and "can't be judged" in said.out
        and "900 mm: raised_height is 0.9 m" in " ".join(said.out.split())
    )


# --- turned round ---------------------------------------------------------------------------------------------------


def test_what_is_found_works_and_is_ranked():
    data = json.loads(ask("arm --find motor,gearbox --json").out)
    assert data["tried"] == len(PAIRS) and data["fits"]
    times = [one["good"]["time"] for one in data["fits"]]
    assert times == sorted(times)
    for one in data["fits"]:
        report = judge("arm", one["choice"])
        assert (
            report.works_on_bad_day
            and report.days_in_100 == one["days_in_100"]
            and report.good["time"] == pytest.approx(one["good"]["time"], rel=1e-12)  # several are judged in one call
        )


def test_the_next_ratio_up_and_down_stands_beside_the_first():
    data = json.loads(ask("arm --find motor,gearbox --json").out)
    boxes = kit().table("gearboxes")
    ratio = lambda one: boxes.row(one["choice"]["gearbox"])["ratio"]
    first = ratio(data["fits"][0])
    ratios = sorted(boxes.row(box)["ratio"] for box in pairing.loose(boxes))
    assert ratio(data["beside"]["next ratio down"]) == ratios[ratios.index(first) - 1]
    assert ratio(data["beside"]["next ratio up"]) == ratios[ratios.index(first) + 1]
    assert {"next ratio down", "next ratio up"} <= {
        line.strip()[:15].strip() for line in ask("arm --find motor,gearbox").out.splitlines()
    }


def test_when_nothing_fits_the_nearest_miss_is_explained():
    said = ask("arm time_wanted=0.2s --find motor,gearbox")
    data = json.loads(ask("arm time_wanted=0.2s --find motor,gearbox --json").out)
    assert said.code == 1 and data["fits"] == []
    miss = data["nearest_miss"]
    assert "None works on a bad day; the nearest:" in said.out
    assert report_text.verdict(judge("arm", {"time_wanted": "0.2 s", **miss["choice"]})) in " ".join(said.out.split())
    assert sum(data["missed"].values()) >= len(PAIRS) and f"of {len(PAIRS)}." in said.out
    misses = [
        max(-m for m in judge("arm", {"time_wanted": "0.2 s", "motor": m, "gearbox": g}).bad_margin.values())
        for m, g in PAIRS
    ]
    mine = max(-m for m in judge("arm", {"time_wanted": "0.2 s", **miss["choice"]}).bad_margin.values())
    assert mine == pytest.approx(min(misses))


def tables(name):
    from mechbench.engine.inputs import Tables

    return Tables(sizing_of(name))


def test_some_parts_only_can_be_looked_through():
    data = json.loads(ask("arm --find gearbox,motor=slim --json").out)
    assert data["tried"] == 10 and all(one["choice"]["motor"] == "slim" for one in data["fits"])
    both = json.loads(ask("arm --find motor=slim,stout,gearbox --json").out)
    assert both["tried"] == 20


def test_mass_is_that_of_the_parts_looked_for():
    data = json.loads(ask("arm count=2 --find motor,gearbox --json").out)
    choice = data["fits"][0]["choice"]
    parts = tables("arm")
    each = parts("motors").row(choice["motor"])["mass"] + parts("gearboxes").row(choice["gearbox"])["mass"]
    assert data["fits"][0]["mass"] == pytest.approx(2 * each)


@pytest.mark.parametrize("name", NAMES)
def test_every_sizing_can_be_turned_round(name):
    picks = [f.name for f in sizing_of(name).FIELDS if isinstance(f, Pick) and f.table not in ("last_stages",)][:2]
    if picks:
        said = ask(f"{name} --find {','.join(picks)}")
        assert said.code in (0, 1) and "tried." in said.out, said.err
        data = json.loads(
            ask(f"{name} --find {','.join(picks)} --json").out, parse_constant=lambda word: pytest.fail(word)
        )
        assert data["fits"] or data["nearest_miss"]


# --- pictures and files ---------------------------------------------------------------------------------------------


def test_pictures_are_new_files_and_never_replace_one(tmp_path, monkeypatch):
    monkeypatch.chdir(tmp_path)
    (tmp_path / "a.png").write_bytes(b"mine")
    said = ask("motor --picture a.png")
    assert "The picture is a-2.png." in said.out and (tmp_path / "a.png").read_bytes() == b"mine"
    assert (tmp_path / "a-2.png").read_bytes().startswith(b"\x89PNG")
    ask("motor --sweep motor --picture b.png")
    ask("motor --sweep load=0.01Nm..0.5Nm --picture c.png")
    assert all((tmp_path / name).read_bytes().startswith(b"\x89PNG") for name in ("b.png", "c.png"))


def test_no_picture_no_matplotlib():
    import subprocess
    import sys

    code = (
        "import sys\nfrom mechbench.desk.size_command import command\ncommand(['arm', '--find',"
        " 'motor'])\ncommand(['arm', '--sweep', 'motor'])\ncommand([])\nprint(sorted({'matplotlib', 'ipywidgets',"
        " 'IPython', 'mechbench.whole_robot.part_first'} & set(sys.modules)), file=sys.stderr)"
    )
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True)
    assert done.stderr == "[]\n"


def test_a_file_that_cannot_be_written_is_one_sentence(tmp_path):
    said = ask(["motor", "--record", str(tmp_path / "no" / "such" / "a.html")])
    assert said.code == 2 and is_one_sentence(said.err) and "No such file" in said.err


def test_a_reader_that_has_enough_is_no_error():
    import subprocess
    import sys

    line = f"{sys.executable} -m mechbench size | {sys.executable} -c 'pass'"
    done = subprocess.run(["sh", "-c", line], capture_output=True, text=True)
    assert done.stderr == ""


def test_numbers_are_finite_or_said_in_words():
    assert math.isinf(judge("arm").good["hot_after"]) and "never" in ask("arm").out and "inf" not in ask("arm").out


def test_the_list_says_what_its_days_are_before_it_and_names_other_words():
    out = ask("").out
    assert out.index("Days in 100: ") < out.index("A bad day: ") < out.index("  trips ")
    lines = out.splitlines()
    for name, word in (("charge", "battery"), ("pair", "gears"), ("cycle", "cycles")):
        at = next(i for i, line in enumerate(lines) if line.startswith(f"  {name} "))
        assert f"({word}" in " ".join(" ".join(lines[at : at + 4]).split())
    assert max(map(len, lines)) <= 100


def test_the_list_is_short_and_its_help_tells_the_rest():
    short, whole = ask("").out, ask("--help").out
    assert len(short) < len(whole) and max(map(len, whole.splitlines())) <= 100
    for text in ("--sweep INPUT", "Asked in a pit", "The exit code"):
        assert text in whole and text not in short
    at = [whole.index(text) for text in ("  trips ", "--find INPUT", "For example", "Asked in a pit")]
    assert at == sorted(at)


@pytest.mark.parametrize(
    "line, names", [("cycles --help", ["trips", "cycle"]), ("battery --help", ["power", "charge", "robot"])]
)
def test_the_help_of_a_word_for_several_lists_them(line, names):
    said = ask(line)
    assert said.code == 0 and said.err == ""
    assert [line.split()[-2] for line in said.out.splitlines() if line.endswith("--help")] == names
    assert [one["name"] for one in json.loads(ask(f"{line} --json").out)["sizings"]] == names
