"""What mentors answer to `kit new` first, as the rule book or a label has it, and what comes of it: in the file, read
by tomllib, and in what is said.
"""

import json
import tomllib
from pathlib import Path

import pytest

from mechbench.desk import kit_command, kit_new
from mechbench.desk.kit_new import KEPT_IN
from tests.desk.asked import ask

GAME = ["Felt Race", "0", "2 min", "", *[""] * 5, *[""] * 8]  # up to the first piece
RING = ["ring", "", "disc", "90 mm", "9 mm", "80 g", "12", "", ""]
TASK = ["", "", "", "park", "zone", "7", "1 m", ""]  # no piece, no obstacle, no step; one closing task
PACK = ["yes", "Pack", "12 V", "3 A·h", "13 V", "10 V", "0.12 ohm", "", "570 g"]


@pytest.fixture
def typed(tmp_path, monkeypatch, capsys):
    """Type lines in the dialogue; give what was said, and the answers that were kept."""
    monkeypatch.setattr("sys.stdin", None)

    def type_in(*lines, folder="ours"):
        rest = iter([*lines, "stop"])

        def answer(prompt):
            try:
                return next(rest)
            except StopIteration:
                raise EOFError from None

        monkeypatch.setattr("builtins.input", answer)
        kit_new.by_questions(tmp_path / folder)
        kept = json.loads((tmp_path / folder / KEPT_IN).read_text(encoding="utf-8"))["answers"]
        return capsys.readouterr().out, kept

    return type_in


def written(folder, file="game.toml"):
    return tomllib.loads(Path(folder, file).read_text(encoding="utf-8"))


TWO_TASKS = ["", "", "", "hoist", "zone", "7", "1 m", "park", "zone", "3", "1 m"]


@pytest.mark.parametrize(
    ("answer", "instead"), [("yes", None), ("", None), ("y", None), ("no", ["hoist"]), ("NO", ["hoist"])]
)
def test_whether_two_tasks_go_together_is_asked_so_that_yes_means_yes(typed, tmp_path, answer, instead):
    said, _ = typed(*GAME, *TWO_TASKS, answer, *[""] * 30)
    assert "park: can it be scored besides hoist in the same match?" in said and "  !" not in said
    assert written(tmp_path / "ours")["closing"]["park"].get("instead_of") == instead


def test_what_is_neither_yes_nor_no_is_refused(typed):
    said, kept = typed(*GAME, *TWO_TASKS, "may be done as well as the hoist", "?")
    assert '! "may be done as well as the hoist" is no answer here: type yes or no.' in said
    assert "yes where one match may bring the points of both" in said
    assert not any("instead_of" in id for id in kept)


def test_of_three_tasks_each_pair_is_asked_once(typed, tmp_path):
    tasks = [*TWO_TASKS, "no", "bell", "zone", "2", "1 m", "yes", "no"]
    said, _ = typed(*GAME, *tasks, *[""] * 30)
    for pair in ("park: can it be scored besides hoist", "bell: can it be scored besides hoist", "besides park"):
        assert said.count(pair) == 1, pair
    closing = written(tmp_path / "ours")["closing"]
    assert closing["park"]["instead_of"] == ["hoist"] and closing["bell"]["instead_of"] == ["park"]


def test_a_battery_is_not_held_against_a_controller_that_was_not_asked_yet(typed, tmp_path):
    """The course's own controller, for a battery of 16 V, cuts off at 11 V; the team's own at 8 V."""
    said, _ = typed(*GAME, *TASK, *[""] * 6, *PACK, "", "yes", "8 A", "", "", "8 V", "", folder="good")
    assert "  !" not in said and "Written" in said
    assert written(tmp_path / "good", "parts.toml")["battery"]["open_circuit_empty"] == "10 V"


def test_a_fault_leads_to_the_question_at_fault_and_back_to_those_before_it(typed):
    flat = [one if one != "10 V" else "8 V" for one in PACK]  # the course's own guard waits for 11 of 16 V: 8.25 V
    said, kept = typed(*GAME, *TASK, *[""] * 6, *flat, "", "", "back", "13.5 V", "11.5 V", "")
    assert "! the course's own controller, lowest voltage is not below voltage when nearly empty of battery" in said
    asked = said.partition("the robot would never start")[2]
    assert "battery, voltage when nearly empty: near empty" in asked and "battery, name:" not in said
    assert "voltage when full: full, with nothing switched on" in asked
    assert (kept["battery.open_circuit"], kept["battery.open_circuit_empty"]) == ("13.5 V", "11.5 V")
    assert kept["battery.label"] == "Pack" and asked.count("  !") == 1, "13.5 V alone mends nothing"


def test_all_sizes_in_one_answer(typed):
    said, kept = typed(*GAME[:4], "3.2 m x 6.0 m", *GAME[6:], "crate", "", "box", "112 x 96 x 90 mm", "240 g")
    assert "taken: length 6.0 m, width 3.2 m" in said and "taken: length 112 mm, width 96 mm, height 90 mm" in said
    assert [kept[f"pieces.1.{key}"] for key in ("length", "width", "height")] == ["112 mm", "96 mm", "90 mm"]
    assert (kept["field.length"], kept["field.width"], kept["pieces.1.mass"]) == ("6.0 m", "3.2 m", "240 g")
    assert "  !" not in said
    said, _ = typed(*GAME, "can", "", "cylinder", "72 x 128 mm", folder="can")
    assert "! can, diameter has 2 values, but one is asked here: write it alone." in said
    said, kept = typed(*GAME, "crate", "", "box", "112 x 96 x 90 km", folder="far")
    assert "! crate, length" in said and "pieces.1.height" not in kept, "what is out of bounds fills nothing"


def test_a_figure_is_as_good_as_yes_where_it_can_be_one_alone(typed):
    said, kept = typed(*GAME, *TASK, *[""] * 7, "20 A", "", "8 A", "yes", "8 A")
    assert "taken: yes, rating 20 A" in said and (kept["fuse"], kept["fuse.rating"]) == ("yes", "20 A")
    assert '! "8 A" is no answer here: type yes, and its figures are asked' in said, "a controller has two currents"
    assert kept["controller.output_limit"] == "8 A" and said.count("  !") == 1


def test_a_box_may_lie_on_any_side(typed):
    """It has three pairs of sides; on one of them it stands as measured."""
    said, kept = typed(*GAME, "crate", "", "box", "112 x 96 x 90 mm", "240 g", "30", "", "they lie on any side")
    assert "two in three where they lie on any side" in said and "taken: 66.67 %" in said
    assert kept["pieces.1.lying_share"] == "they lie on any side"
    said, kept = typed(*GAME, "can", "", "cylinder", "72 mm", "128 mm", "90 g", "9", "", "any side", folder="can")
    assert "! can, share that lies: 'any side' has no number" in said and "pieces.1.lying_share" not in kept


def test_whoever_comes_back_is_told_of_which_entry_a_figure_is_asked(typed):
    typed(*GAME, *RING, "", "", "mast", "peg", "610 mm")
    said, _ = typed("8", "1 m")
    assert "mast, points: points for one piece" in said and "\nway from the middle: " in said, "named once"


def test_three_times_in_one_answer(typed):
    said, kept = typed(*GAME, "", "", "find one", "find", "about 1 s (0.5 to 3)")
    assert "taken: quickest 0.5 s, usual time 1 s, slowest 3 s" in said and "  !" not in said
    assert [kept[f"human.1.{key}"] for key in ("low", "likely", "high")] == ["0.5 s", "1 s", "3 s"]


@pytest.mark.parametrize(
    ("name", "refused"),
    [
        ("crate, rope ring", '! The name of a kind of piece is "crate, rope ring": one name at a time, without comma'),
        ("4", '! The name of a kind of piece is "4", but a name has a letter; type a name.'),
    ],
)
def test_what_is_no_name_is_refused(typed, name, refused):
    said, kept = typed(*GAME, name, "crate")
    assert refused in said and kept["pieces.1.label"] == "crate"


def test_a_part_whose_name_nobody_knows_is_not_left_out(typed):
    said, kept = typed(*GAME, *TASK, *["", "", ""], "don't know", "small servo", "6 V")
    assert "! Any name will do; or type nothing, for the course's own." in said
    assert kept["servos.1.label"] == "small servo" and "  !" in said and said.count("  !") == 1


def test_who_skipped_a_figure_by_mistake_is_told_the_way_back_to_it(typed):
    said, kept = typed(*GAME, *TASK, "", "crawler", "12 V", "", "", "back", "74", "5.9 Nm")
    assert "! crawler, torques must be there (torque of the output shaft at two loads" in said
    assert "Where you know its output speed, type back until that is asked." in said and "output_speed" not in said
    assert "taken: 74 rpm" in said and kept["gearmotors.1.output_stall"] == "5.9 Nm"


def test_a_friction_pair_is_told_in_words_of_no_game(typed, tmp_path):
    roller = ["tube", "48 mm", "60 mm", "1.3 N/mm", "?", "piece on soft roller", "50 g", ""]
    said, _ = typed(*GAME, *TASK, *[""] * 9, "yes", *[""] * 4, *roller, *[""] * 8)
    rollers = said.partition("Rollers of an intake.")[2].partition("Slides")[0]
    assert "grip: its friction on the pieces (such as 0.95, if you measured it; empty: as that of the jaws)" in rollers
    assert "There are: piece on soft roller, piece on hard roller." in rollers
    assert "bobbin" not in said.partition("Rollers of an intake.")[2] and "wheel" not in rollers
    assert written(tmp_path / "ours", "parts.toml")["rollers"]["tube"]["grip"] == "piece_on_soft"


def test_a_peg_has_no_depth_and_height_is_told_for_each_kind(typed):
    said, kept = typed(*GAME, *RING, "", "", "mast", "peg", "610mm", "8", "1 m", "6", "tub", "tray")
    assert "height: of the rod's upper end over the floor" in said
    assert "height: of its upper edge over the floor" in said and "taken: bin" in said
    assert "goals.1.depth" not in kept and kept["goals.1.capacity"] == "6"


def test_a_table_takes_what_the_dialogue_takes(tmp_path, monkeypatch):
    monkeypatch.chdir(tmp_path)
    monkeypatch.setenv("MECHBENCH_WORK", str(tmp_path / "work"))
    tables = {
        "game": "key,value\nname,Felt Race\n",
        "phases": "kind,time\ndriven,110\n",
        "field": "key,value\nlength,6.0 m x 3.2 m\n",
        "pieces": "name,shape,height,mass,count\ncrate,box,112 x 96 x 90 mm,240 g,30\n",
        "goals": "name,kind,height,points,way from the middle\nbarge,tray,90 mm,3,1 m\n",
        "obstacles": "name,kind,room under it,way round\nbridge,low,380 mm,1.9 m longer\n",
        "human": "name,what is done,quickest,usual time,slowest\nwait,held up,nothing,0.5 s,5 s\n"
        "nod,something else,1 s,2 s,3 s\n",
    }
    (tmp_path / "tables").mkdir()
    for name, text in tables.items():
        (tmp_path / "tables" / f"{name}.csv").write_text(text, encoding="utf-8")
    said = ask("new ours --from tables", kit_command)
    assert said.code == 0, said.err
    game = written("ours")
    assert game["field"] == {"length": "6.0 m", "width": "3.2 m"} and game["phases"]["driven"]["time"] == "110 s"
    assert {key: game["pieces"]["crate"][key] for key in ("length", "width", "height")} == {
        "length": "112 mm",
        "width": "96 mm",
        "height": "90 mm",
    }
    assert game["goals"]["barge"]["kind"] == "bin" and game["obstacles"]["bridge"]["way_round"] == "1.9 m"
    assert game["human"]["wait"]["low"] == "0 s" and "stands_for" not in game["human"]["nod"]
    assert "obstacles.csv, row 2, column way round: taken: 1.9 m" in said.out
    assert "phases.csv, row 2, column time: taken: 110 s" in said.out
    controller = "key,value\noutput limit,8 A\nlowest voltage,9 V\nelectronics,don't know\n"
    (tmp_path / "tables" / "controller.csv").write_text(controller, encoding="utf-8")
    said = ask("new theirs --from tables", kit_command)
    assert said.code and "controller.csv, row 4, electronics" in said.err and "is not nothing because" in said.err


@pytest.mark.parametrize(
    ("table", "text", "told"),
    [
        (
            "closing",
            "name,kind,points,way from the middle,instead of\nhoist,zone,9,1 m,\n"
            "park,zone,3,1 m,as well as the hoist\n",
            'closing.csv, row 3, column instead of has "as well as the hoist"',
        ),
        (
            "closing",
            "name,kind,points,way from the middle\n4,zone,9,1 m\n",
            'column name, is "4", but a name has a letter',
        ),
        (
            "field",
            "key,value\nlength,1 x 2 x 3 m\n",
            "field.csv, row 2, length has 3 values, but one is asked here: write it alone.",
        ),
    ],
)
def test_a_table_refuses_what_the_dialogue_refuses(tmp_path, monkeypatch, table, text, told):
    monkeypatch.chdir(tmp_path)
    (tmp_path / "tables").mkdir()
    given = {"game": "key,value\nname,Felt Race\n", "phases": "kind,time\ndriven,2 min\n", table: text}
    for name, rows in given.items():
        (tmp_path / "tables" / f"{name}.csv").write_text(rows, encoding="utf-8")
    said = ask("new ours --from tables", kit_command)
    assert said.code == 1 and told in said.err, said.err


def test_what_the_question_says_of_an_empty_answer_may_be_typed(typed):
    """A step of people that is something else, as its own question calls it."""
    said, kept = typed(*GAME, "", "", "find a ring", "something else", "1, 2, 4 s")
    assert "(empty: something else" in said and "  !" not in said
    assert kept["human.1.stands_for"] == "" and kept["human.1.low"] == "1 s"


def test_a_current_that_nobody_knows_is_not_nothing(typed):
    said, kept = typed(*GAME, *TASK, *[""] * 8, "yes", "8 A", "don't know", "none")
    assert "! controller, electronics is not nothing because nobody knows it: type about how much, such as" in said
    assert said.count("  !") == 1 and kept["controller.electronics"] == ""


def test_the_mass_of_a_stage_is_not_that_of_each_gearbox(typed):
    said, _ = typed(*GAME, *TASK, "", "", "box 12 : 1", "3.5, 3.5", *[""] * 3, "70 g each")
    assert "mass of a stage" in said and '"each" may change what is meant' in said
