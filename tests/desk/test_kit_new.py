"""A kit typed in, question by question, as a mentor does: through the standard input of a process, wrong answers, back,
stop and kill among them. What comes out is read by tomllib and by the kit's reader, apart from what wrote it.
"""

import json
import os
import re
import signal
import subprocess
import sys
import time
import tomllib
from pathlib import Path

import pytest

from mechbench.desk import kit_new, kit_outline, kit_questions
from mechbench.desk.kit_new import KEPT_IN
from mechbench.kits import read_kit
from mechbench.kits.load import look
from mechbench.kits.schema import GAME, SHAPES

ROOT = Path(__file__).parents[2]
SHORT = ["Felt Race", "0", "2 min", "", *[""] * 5, *[""] * 8]  # up to the first piece
# A whole game: what is typed, with the id of what is asked in mind; the table below says the same apart from it.
TYPED = """
Felt Race|15 s|double|5 s|2:00|25 s
4,2 m|3.6 m|carpet|2|none
450 mm x 440 x 460 mm|900 mm|1 m|15 kg|8|at most 10|no limit|3
felt disc||disc|12 cm|8 mm|55 g|40|2|10 %|Foam Ball|foam balls|Ball|70 mm|30 g|||
West pen|pen|felt disc, foam ball|30, 12|1.4 m|300 mm|250 mm|
West loom|slot|Felt Disc|430 mm|4|1.2 m|5 mm|150 mm; 30 mm|||bin|bin|foam_ball|10 cm|2,5|1.5 m|||20|
pair of one colour|pair||3||low bar|low|300 mm|1.8 m|west pen and bin|
find one|find|0.5 s|1 s|3 s|unpack|-|1 s|2 s|3 s|for each piece|discs|
park|zone|10|1.3 m|
our motor|12 V|6000 rpm||0,2 N·m|11 A||||
crawler|12 V|84 rpm|2.9 N·m|3.3 A||don't know||||4 pieces|
none
micro servo|5 V|0.2 N·m|0.8 A|0.1 s|180 deg|9 g|6|spinner|6 V|1 N·m|4 A||130 rpm|60 g||

90 mm wheel|traction|90 mm|30 mm|110 g|0.95|
y|Pack|12 V|3 A·h|13 V|11.8 V|0.12 ohm|0.17 ohm|570 g


yes






3 mm braid|3 mm|1.2 kN|0.1|0.6|




"""
GAME_TYPED = {
    "game": {"label": "Felt Race"},
    "phases": {
        "self_driving": {"kind": "self_driving", "time": "15 s", "factor": 2},
        "pause": {"kind": "pause", "time": "5 s"},
        "driven": {"kind": "driven", "time": "120 s", "closing": "25 s"},
    },
    "field": {"length": "4,2 m", "width": "3.6 m", "floor": "carpet", "robots_a_side": 2},
    "limits": {
        "start_box": ["450 mm", "440 mm", "460 mm"],
        "height": "900 mm",
        "level": "1 m",
        "mass": "15 kg",
        "motors": 8,
        "servos": 10,
        "hold": 3,
    },
    "pieces": {
        "felt_disc": {
            "label": "felt disc",
            "shape": "disc",
            "diameter": "12 cm",
            "thickness": "8 mm",
            "mass": "55 g",
            "count": 40,
            "colours": 2,
            "lying_share": 0.1,
        },
        "foam_ball": {
            "label": "Foam Ball",
            "plural": "foam balls",
            "shape": "ball",
            "diameter": "70 mm",
            "mass": "30 g",
        },
    },
    "places": {
        "west_pen": {
            "label": "West pen",
            "kind": "pen",
            "pieces": ["felt_disc", "foam_ball"],
            "counts": [30, 12],
            "way": "1.4 m",
            "depth": "300 mm",
            "gap": "250 mm",
        }
    },
    "goals": {
        "west_loom": {
            "label": "West loom",
            "kind": "slot",
            "takes": ["felt_disc"],
            "height": "430 mm",
            "points": 4,
            "way": "1.2 m",
            "rim": "5 mm",
            "opening": ["150 mm", "30 mm"],
        },
        "bin": {
            "label": "bin",
            "kind": "bin",
            "takes": ["foam_ball"],
            "height": "10 cm",
            "points": 2.5,
            "way": "1.5 m",
            "capacity": 20,
        },
    },
    "bonuses": {"pair_of_one_colour": {"label": "pair of one colour", "kind": "pair", "points": 3}},
    "obstacles": {
        "low_bar": {
            "label": "low bar",
            "kind": "low",
            "clear_height": "300 mm",
            "way_round": "1.8 m",
            "between": ["west_pen", "bin"],
        }
    },
    "human": {
        "find_one": {
            "label": "find one",
            "low": "0.5 s",
            "likely": "1 s",
            "high": "3 s",
            "stands_for": "find",
        },
        "unpack": {
            "label": "unpack",
            "low": "1 s",
            "likely": "2 s",
            "high": "3 s",
            "when": "piece",
            "pieces": ["felt_disc"],
        },
    },
    "closing": {"park": {"label": "park", "kind": "zone", "points": 10, "way": "1.3 m"}},
}


def type_in(folder, lines, *more, code=0):
    """Type lines after `kit new FOLDER`, in a process of its own; give what it printed."""
    done = subprocess.run(
        [sys.executable, "-m", "mechbench", "kit", "new", str(folder), *more],
        input="\n".join(lines) + "\n",
        capture_output=True,
        text=True,
        encoding="utf-8",
        env=surroundings(),
        cwd=ROOT,
    )
    assert done.returncode == code, done.stdout[-2000:] + done.stderr
    assert "Traceback" not in done.stderr
    return done.stdout + done.stderr


def surroundings():
    return {**os.environ, "PYTHONPATH": str(ROOT), "PYTHONUTF8": "1", "MECHBENCH_KIT": ""}


def whole():
    """The lines of TYPED: an empty line of it skips one question, | parts answers; an empty answer is one."""
    lines = TYPED[1:-1].split("\n")
    return [answer.strip() for line in lines for answer in line.split("|")]


def files(folder):
    return {name: tomllib.loads((folder / name).read_text(encoding="utf-8")) for name in ("game.toml", "parts.toml")}


@pytest.fixture(scope="module")
def typed_in(tmp_path_factory):
    """The folder of a kit that was typed in, and what was said."""
    folder = tmp_path_factory.mktemp("kit") / "ours"
    return folder, type_in(folder, whole())


def test_a_whole_game_typed_in_is_what_the_file_says(typed_in):
    folder, said = typed_in
    assert "  !" not in said, said
    found = files(folder)
    assert found["game.toml"] == GAME_TYPED
    parts = found["parts.toml"]
    assert parts["motors"] == {
        "our_motor": {
            "label": "our motor",
            "voltage": "12 V",
            "free_speed": "6000 rpm",
            "stall_torque": "0,2 N·m",
            "stall_current": "11 A",
        }
    }
    assert parts["friction"]["wheel_90_mm_wheel_along"] == {"label": "90 mm wheel on carpet", "value": 0.95}
    assert parts["kit"] == {"label": "Felt Race kit", "without": ["gearboxes"]}
    assert parts["servos"]["spinner"]["free_speed"] == "130 rpm" and "travel" not in parts["servos"]["spinner"]
    assert parts["cords"] == {
        "cord_3_mm_braid": {
            "label": "3 mm braid",
            "diameter": "3 mm",
            "breaking_strength": "1.2 kN",
            "stretch_at_break": 0.1,
            "knot_keeps": 0.6,
        }
    }
    kit = read_kit(folder)
    assert kit.game.label == "Felt Race" and kit.game.field.length == 4.2  # metres, worked out by hand
    assert kit.game.goals["west_loom"].height == pytest.approx(0.43)
    assert kit.table("motors").row("our_motor")["free_speed"] == pytest.approx(6000 * 2 * 3.141592653589793 / 60)
    assert kit.table("wheels").row("wheel_90_mm_wheel")["across"] == 0.95
    assert (parts["gearmotors"]["crawler"]["have"], parts["servos"]["micro_servo"]["have"]) == (4, 6)
    assert kit.battery.nominal == 12.0 and "wheels" not in kit.borrowed and "slides" in kit.borrowed
    assert "Fine: Felt Race kit" in said and "kit use" in said.splitlines()[-1]


def test_every_key_has_a_comment_and_what_was_left_out_a_line(typed_in):
    text = "".join((typed_in[0] / name).read_text(encoding="utf-8") for name in ("game.toml", "parts.toml"))
    for table, shape in SHAPES.items():
        assert f"[{table}" in text
        if table in ("field", "limits", "battery", "fuse", "human"):
            for key, entry in shape.entries.items():
                assert any(f"{key} = " in line and f"# {entry.help}" in line for line in text.splitlines()), key
    assert "\n# opponents = 0  " in text and re.search(r'# depth = "\d+ mm"', text)


def test_lines_with_a_mark_can_be_used_as_they_are(typed_in, tmp_path):
    """Each line that was left out and has an example can be read alone, its mark taken away."""
    lines = (typed_in[0] / "game.toml").read_text(encoding="utf-8").splitlines()
    used = 0
    for at, line in enumerate(lines):
        if line.startswith("# [") or " = " not in line or not line.startswith("# ") or "..." in line:
            continue
        head = next(one for one in reversed(lines[:at]) if one.lstrip("# ").startswith("["))
        if not head.startswith("#"):
            text = "\n".join([*lines[:at], line.removeprefix("# "), *lines[at + 1 :]])
            (tmp_path / "game.toml").write_text(text, encoding="utf-8")
            unread = [one for one in look(tmp_path)[0] if "must be" in one or "does not know" in one or "TOML" in one]
            assert not unread, (line, unread)
            used += 1
    assert used > 10


def test_wrong_answers_are_asked_again_with_the_words_of_the_reader(tmp_path):
    assert "! Type its name, or nothing for none." in type_in(tmp_path / "yes", [*SHORT, "yes", "stop"])
    typed = ["Felt Race", "0", "2", "9 h", "-3 s", "2 min", "3 min", "30 s", "", "", "stop"]
    said = type_in(tmp_path / "ours", typed)
    assert '! people drive, time is 2 without a unit; write it with its unit, such as "2 s".' in said
    assert '! people drive, time is "9 h", but it must be from 0 s to 1 h' in said
    assert "! people drive, closing time is 180 s, but the whole phase has 120 s; shorten it." in said
    assert said.count("people drive, closing time: ") == 2, "asked again when it did not fit the rest"
    assert "(so far: 3 min; an empty answer leaves it)" in said and ".toml" not in said and "[" not in said
    assert "Kept: 6 answers" in said


def test_a_contradiction_may_be_kept_and_is_told_at_the_end(tmp_path):
    lines = [*SHORT[:9], "300 mm; 300 mm; 300 mm", "500 mm", *[""] * 6]
    lines += ["ring", "", "disc", "90 mm", "9 mm", "80 g", "12", "", "", ""]
    lines += ["", "post", "peg", "1.2 m", "5", "1 m", "", "keep", ""]
    said = type_in(tmp_path / "ours", [*lines, *[""] * 30], code=1)
    assert "! post, height is 1.2 m, but a robot may be 0.5 m; only a launch goal may be higher." in said
    assert "In game.toml, [goals.post], height is 1.2 m, but a robot may be 0.5 m" in said, "check names the file"
    assert "Wrong: 1." in said and (tmp_path / "ours" / "game.toml").exists()


def test_a_game_in_which_nothing_scores_is_told_where_it_can_be_mended(tmp_path):
    said = type_in(tmp_path / "ours", [*SHORT, "", "", "", "", "park", "zone", "7", "1 m", *[""] * 30])
    assert said.count("has no goal and no closing task, so that nothing scores: add a goal or a closing task.") == 1
    assert read_kit(tmp_path / "ours").game.closing["park"].points == 7


def test_help_and_back(tmp_path):
    said = type_in(
        tmp_path / "ours", ["back", "Felt Race", "0", "?", "2 min", "back", "90 s", *["back"] * 3, "Wool", "stop"]
    )
    assert "This is the first question." in said
    assert "how long it lasts (from 0 s to 1 h)" in said and "Units: s, ms, min, h." in said
    assert "It must be there." in said and "In the file game.toml it is called time." in said
    assert said.count("> ") == 12
    again = type_in(tmp_path / "ours", ["stop"])
    assert "goes on where you stopped" in again and "the robot by itself, time" in again and "Kept: 1 answers" in again


def test_back_shows_what_was_answered_and_an_empty_answer_keeps_it(tmp_path):
    folder = tmp_path / "ours"
    said = type_in(folder, ["Felt Race", "15 s", "2", "back", "back", "back", "", "stop"])
    assert "(before: Felt Race; an empty answer keeps it)" in said
    said = type_in(folder, ["", "-", "", "2 min", "stop"])  # also after it was left
    assert "(before: 15 s; an empty answer keeps it; - takes it out)" in said
    assert "(before: 2; an empty answer keeps it; - takes it out)" in said and "Left out: not multiplied." in said
    kept = json.loads((folder / KEPT_IN).read_text(encoding="utf-8"))["answers"]
    assert kept == {
        "game.label": "Felt Race",
        "phases.self_driving.time": "15 s",
        "phases.self_driving.factor": "",
        "phases.pause.time": "",
        "phases.driven.time": "2 min",
    }


def test_no_key_of_a_file_is_named_in_the_dialogue(tmp_path):
    pack = ["y", "Pack", "12 V", "3 A·h", "11 V", "11.8 V", "0.12 ohm", "", "570 g"]
    typed = [*SHORT[:9], "480 x 480 x 420 mm", "", "300 mm", *[""] * 5, "stop"]
    said = type_in(tmp_path / "a", typed)
    assert "! limits, start box is 480 mm long, but after the start it may be 300 mm long or wide at most" in said
    typed = [*SHORT, "", "", "", "park", "zone", "7", "1 m", "", *[""] * 6, *pack, "stop"]
    said = type_in(tmp_path / "b", typed)
    assert (
        "! battery, voltage when nearly empty is more than voltage when full, but an empty battery gives less" in said
    )
    pack[4], more = "13.2 V", ["", "y", "20 A", "", "", "12.5 V", "stop"]
    said = type_in(tmp_path / "c", [*typed[:-10], *pack, *more])
    assert "! controller, lowest voltage is not below voltage when nearly empty of battery" in said
    assert not re.search(r"[a-z]_[a-z]", said.partition("Kept:")[0].replace(str(tmp_path), ""))


ONE_PIECE = ["pot", "", "cylinder", "95 mm", "88 mm", "210 g", "40", "", "", ""]


def test_every_word_that_may_be_chosen_is_explained(tmp_path):
    typed = [
        *SHORT,
        *ONE_PIECE,
        "",
        "bench",
        "?",
        "shelf",
        "500 mm",
        "6",
        "1 m",
        *[""] * 5,
        "hose",
        "low",
        "back",
        "step",
    ]
    said = type_in(tmp_path / "ours", [*typed, "14 mm", "1 m", "stop"])
    for line in ("low   you drive under it", "shelf   a board: pieces are put on it", "cylinder  round with flat ends"):
        assert f"\n    {line}" in said, line
    assert "(before: low; an empty answer keeps it)" in said
    assert "\n      shelf   a board: pieces are put on it" in said, "? tells it again"
    assert SHAPES["obstacles"].entries["kind"].means and all(
        len(entry.means) in (0, len(entry.choices)) for shape in SHAPES.values() for entry in shape.entries.values()
    )


def test_what_the_key_holds_is_said_where_it_is_not_understood(tmp_path):
    bag = ["bag", "", "soft bag", "60 mm", "150 mm", "110 mm", "320 g", "12", "", ""]
    assert "  !" not in type_in(tmp_path / "a", [*SHORT, *bag, "stop"]), "a soft piece needs no more"
    typed = [
        *SHORT,
        *ONE_PIECE[:-2],
        "many",
        "10 %",
        "",
        "shed",
        "pen",
        "pods",
        "pots",
        "all",
        "",
        "",
        "?",
        "300 mm",
        "stop",
    ]
    said = type_in(tmp_path / "b", typed)
    assert "! pot, share that lies: 'many' has no number: write a share, such as 10 %." in said
    assert '! shed, pieces: there is no "pods"; did you mean "pot"?' in said
    assert (
        "  ! shed, depth must be there (how far a robot must reach in, from the opening to the back). If you must find"
        in said
    )


def test_none_says_what_it_is_taken_for(tmp_path):
    """The team that has no slides is told so, and the one without motors that it can't be."""
    goal = ["", "bin", "bin", "200 mm", "1", "1 m", "", "", "no limit", "", "", "", ""]  # no place; one goal; no task
    parts = ["none", "", "none", "none", "", "", "", "", "", "yes", *["", "none", "", "", "", "none"], *[""] * 5]
    said = type_in(tmp_path / "ours", [*SHORT, *ONE_PIECE, *goal, "", *parts])
    assert "Left out: no limit." in said
    assert "Left out: every robot has some: the course's own stand in, and their labels say so." in said
    assert "Left out: the course's own stand in where you name no gearmotor either." in said
    assert said.count("Noted: the team has none.") == 2 + 1
    assert files(tmp_path / "ours")["parts.toml"]["kit"]["without"] == ["gearboxes", "bevel_gears", "slides"]
    assert "The team has none: gearboxes, bevel gears, slides of a lift." in said


def test_of_a_fuse_its_rating_is_asked_and_its_curve_may_be_skipped(tmp_path):
    parts = ["", "", "", "", "", "", "", "yes", "20 A", "", "yes", "12 A", "", "", "8 V", "none"]
    closing = ["", "", "", "park", "zone", "7", "1 m", ""]
    said = type_in(tmp_path / "ours", [*SHORT, *closing, *parts])
    assert "  !" not in said and "only its rating is given" in said
    kit = read_kit(tmp_path / "ours")
    assert (kit.fuse.rating, kit.controller.loop_time) == (20.0, 0.02)
    assert set(files(tmp_path / "ours")["parts.toml"]["kit"]["without"]) >= {"slides", "ratchets", "cords"}


def test_a_friction_pair_that_nobody_knows_is_told_at_once(tmp_path):
    wheel = ["tyre", "traction", "92 mm", "24 mm", "105 g", "rubber", "wheel rolling on linoleum", "", "stop"]
    said = type_in(tmp_path / "ours", [*SHORT, *["", "", "", "park", "zone", "7", "1 m", ""], *[""] * 5, *wheel])
    assert '! tyre, grip: there is no "rubber"; type what you measured, such as 0.95, or one that ? tells.' in said
    assert said.count("  !") == 1


def test_a_team_with_gearmotors_alone_has_no_motor_of_the_course(tmp_path):
    motor = ["none", "crawler", "12 V", "84 rpm", "2.9 N·m", "3.3 A", "", "19.2:1", "28", "at the motor", "", "", ""]
    typed = [*SHORT, *["", "", "", "park", "zone", "7", "1 m", ""], *motor]
    said = type_in(tmp_path / "ours", [*typed, "none", *[""] * 20])
    assert "  !" not in said, said
    assert "Left out: the course's own stand in where you name no gearmotor either." in said
    kit = read_kit(tmp_path / "ours")
    assert list(kit.table("motors").names) == ["crawler"]
    assert kit.table("motors").row("crawler")["counts_per_turn"] == 28
    assert "1 gearmotor" in said and "gearbox," not in said and "1 gearbox" not in said


def test_a_gearmotor_measured_at_two_loads(tmp_path):
    motor = ["crawler", "12 V", "", "0.5 and 2 N·m", "70, 31 rpm", "0.9 A and 2.7 A", "", "", "", ""]
    said = type_in(tmp_path / "ours", [*SHORT, *["", "", "", "park", "zone", "7", "1 m", "", ""], *motor, *[""] * 20])
    assert "  !" not in said, said
    assert files(tmp_path / "ours")["parts.toml"]["gearmotors"]["crawler"]["torques"] == ["0.5 N·m", "2 N·m"]


def test_tasks_that_exclude_each_other_are_asked_from_the_second_on(tmp_path):
    tasks = ["hoist", "zone", "7", "1 m", "park", "zone", "3", "1 m", "no", "no more"]
    said = type_in(tmp_path / "ours", [*SHORT, "", "", "", *tasks, *[""] * 30])
    assert said.count("park: can it be scored besides hoist in the same match? (yes or no; empty: yes)") == 1
    assert files(tmp_path / "ours")["game.toml"]["closing"]["park"]["instead_of"] == ["hoist"]


def test_stop_and_go_on_gives_the_same_files_as_in_one_sitting(tmp_path, typed_in):
    lines = whole()
    for start, end in ((0, 3), (3, 28), (28, 29), (29, 70)):
        ending = ["stop"] if start else []  # the first time, the end of the input
        assert not (tmp_path / "two" / "game.toml").exists()
        type_in(tmp_path / "two", [*lines[start:end], *ending])
    type_in(tmp_path / "two", lines[70:])
    for name in ("game.toml", "parts.toml"):
        assert (typed_in[0] / name).read_bytes() == (tmp_path / "two" / name).read_bytes()


@pytest.mark.parametrize("how", [signal.SIGKILL, signal.SIGINT])
def test_killed_in_the_middle_nothing_that_was_answered_is_lost(tmp_path, how):
    folder, lines = tmp_path / "ours", whole()
    process = subprocess.Popen(
        [sys.executable, "-m", "mechbench", "kit", "new", str(folder)],
        stdin=subprocess.PIPE,
        stdout=subprocess.PIPE,
        text=True,
        encoding="utf-8",
        env=surroundings(),
        cwd=ROOT,
    )
    process.stdin.write("\n".join(lines[:21]) + "\n")
    process.stdin.flush()
    while not (folder / KEPT_IN).exists() or "felt disc" not in (folder / KEPT_IN).read_text(encoding="utf-8"):
        assert process.poll() is None
        time.sleep(0.02)
    process.send_signal(how)
    process.communicate()
    count = len(json.loads((folder / KEPT_IN).read_text(encoding="utf-8"))["answers"])
    assert 20 <= count <= 21
    type_in(folder, lines[count:])
    assert files(folder)["game.toml"] == GAME_TYPED


def test_a_kit_that_is_there_is_never_written_over(tmp_path, typed_in):
    folder = tmp_path / "theirs"
    folder.mkdir()
    (folder / "game.toml").write_text("[game]\n")
    assert "already holds a kit" in type_in(folder, ["x"], code=1)
    assert (folder / "game.toml").read_text() == "[game]\n" and not (folder / KEPT_IN).exists()
    (folder / "game.toml").rename(folder / "parts.toml")
    assert "already holds parts.toml" in type_in(folder, ["x"], code=1)
    made, _ = typed_in
    before = (made / "game.toml").read_bytes()
    assert "the kit that was made here" in type_in(made, whole(), code=1)
    assert (made / "game.toml").read_bytes() == before
    (tmp_path / "file").write_text("")
    assert "is a file" in type_in(tmp_path / "file", ["x"], code=1)


def test_damaged_answers_are_told_and_kept(tmp_path):
    (tmp_path / KEPT_IN).write_text("{")
    assert "is damaged: give it another name" in type_in(tmp_path, ["x"], code=1)
    assert (tmp_path / KEPT_IN).read_text() == "{"


def test_an_answer_that_can_not_be_read_any_more_is_asked_again(tmp_path):
    (tmp_path / KEPT_IN).write_text(json.dumps({"answers": {"game.label": "Wool", "phases.self_driving.time": "soon"}}))
    said = type_in(tmp_path, ["", "15 s", "stop"])
    assert "(before: soon; an empty answer keeps it; - takes it out)" in said
    assert "! the robot by itself, time: 'soon' has no number" in said and "the robot by itself, points times" in said


def test_each_answer_is_read_once_however_long_the_dialogue_gets(tmp_path, monkeypatch, capsys):
    """What is asked costs no more at the end than at the beginning."""
    lines, read = iter(whole()), []
    monkeypatch.setattr("builtins.input", lambda prompt: next(lines))
    monkeypatch.setattr(sys, "stdin", None)
    as_it_is = kit_questions.value_of
    monkeypatch.setattr(kit_questions, "value_of", lambda text, *more: read.append(text) or as_it_is(text, *more))
    assert kit_new.by_questions(tmp_path / "ours")
    answers = json.loads((tmp_path / "ours" / KEPT_IN).read_text(encoding="utf-8"))["answers"]
    assert len(answers) > 100 and len(read) <= len(answers) and "Written" in capsys.readouterr().out


def test_names_are_made_from_any_label(tmp_path):
    labels = ["łódka", "機", "9 lives", "every", 'a "b" \\ c', "ÄÖ ü" * 12, "Park", "park it", "PARK"]
    tasks = [answer for place, label in enumerate(labels) for answer in (label, "zone", "3", "1 m", *[""] * place)]
    type_in(tmp_path / "ours", [*SHORT, *[""] * 3, *tasks, *[""] * 30])
    kit = read_kit(tmp_path / "ours")
    assert [one.label for one in kit.game.closing.values()] == labels


def test_every_table_of_the_schema_has_its_place_in_the_order():
    """The order lists tables, never keys of its own: a key named there is one of the schema."""
    assert set(kit_outline.ALL) == set(SHAPES)
    assert set(kit_outline.GAME_FIRST) == set(GAME)
    for table, how in kit_outline.ALL.items():
        conditions = [*how.when.values(), *(one for one in how.must.values() if one is not True)]
        named = {
            *how.also,
            *how.when,
            *how.must,
            *how.first,
            *how.asks,
            *how.each,
            *how.at_once,
            *(other for one in conditions for other in one),
        }
        assert set(how.must) <= set(how.also) and set(how.needs) <= set(SHAPES) and how.one and how.about
        assert named <= set(SHAPES[table].entries), table
        assert all(
            value in SHAPES[table].entries["kind"].choices for one in how.fixed.values() for value in one.values()
        )
