"""Lines as people type them: what each is taken for, and that this is said."""

import json
import shlex

import pytest

from mechbench import quantity
from mechbench.desk import which_sizing
from mechbench.desk.arguments import OPTIONS
from mechbench.desk.command_words import BadQuestion, read_words
from mechbench.desk.known_words import stem
from mechbench.desk.tokens import Given, Value, Word, tokens
from mechbench.kits import kit
from tests.desk.asked import ask, is_one_sentence
from tests.desk.guessed import judged


def read(line):
    options, words = read_words(shlex.split(line), OPTIONS)
    return which_sizing.read(tokens(words), options)[0]


# --- words put together ---------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    "line, expected",
    [
        ("a = b", [Given("a", ["b"])]),
        ("a= b", [Given("a", ["b"])]),
        ("a =b", [Given("a", ["b"])]),
        ("a=0.5 kg", [Given("a", ["0.5kg"])]),
        ("a = 0.5 kg b=2", [Given("a", ["0.5kg"]), Given("b", ["2"])]),
        ("a=5 ft 6 in", [Given("a", ["5ft 6in"])]),
        ("a=5ft 6in", [Given("a", ["5ft 6in"])]),
        ("a=3 1/2 in", [Given("a", ["3 1/2 in"])]),
        ("a=2 N m", [Given("a", ["2N m"])]),
        ("a=1 a=2 a=1", [Given("a", ["1", "2"])]),
        ("a=1 vs 2", [Given("a", ["1", "2"])]),
        ("a=1 or a=2", [Given("a", ["1", "2"])]),
        ("a=1, b=2,", [Given("a", ["1"]), Given("b", ["2"])]),
        ("12 36", [Value("12"), Value("36")]),
        ("120 mm", [Value("120mm")]),
        ("why Reset? Arm-mass", [Word("why", "why"), Word("reset", "Reset?"), Word("arm_mass", "Arm-mass")]),
    ],
)
def test_words_that_belong_together(line, expected):
    assert tokens(line.split()) == expected


# --- which sizing ---------------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    "line, name",
    [
        ("rope", "winch"),
        ("hoist mass=14kg", "winch"),
        ("fourbar", "linkage"),
        ("four bar", "linkage"),
        ("4bar", "linkage"),
        ("ramp", "balance"),
        ("grip", "gripper"),
        ("spring arm", "arm"),
        ("arm spring", "arm"),
        ("battery match", "robot"),
        ("battery current=9A", "charge"),
        ("fuse motors=4 stall", "drivetrain"),
        ("chain distance=120mm", "pair"),
        ("chain pivot_height=300mm", "chained"),
        ("drive stopping distance", "balance"),
    ],
)
def test_a_sizing_is_opened_by_another_word_and_by_what_else_is_said(line, name):
    assert read(line).sizing.NAME == name


@pytest.mark.parametrize(
    "line, says",
    [
        ("chain", ["pair (How long a belt", "chained (Where does the tip go"]),
        ("fuse", ["drivetrain", "power", "robot"]),
        ("ar", ["'ar' is not a sizing", "did you mean 'arm'"]),
        ("l", ["'lift'", "'linkage'"]),
        ("bal", ["did you mean 'balance'"]),
        ("ropes", ["did you mean 'winch'"]),
        ("lift stopping", ["'stopping' is asked of balance"]),
    ],
)
def test_what_can_be_several_or_none_is_offered_by_name(line, says):
    said = ask(line)
    assert said.code == 2 and is_one_sentence(said.err) and all(word in said.err for word in says), said.err


def test_the_beginning_of_a_name_opens_nothing():
    for word in ("ar", "dri", "chai", "win", "lif"):
        assert ask(word).code == 2


# --- inputs and findings --------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    "line, given, said",
    [
        ("lift height=600mm", {"rise_wanted": "600mm"}, "height: taken as rise_wanted, Rise wanted."),
        ("lift motors=2", {"count": "2"}, "motors: taken as count, How many motors."),
        ("winch weight=14kg", {"mass": "14kg"}, "weight: taken as mass, Mass of the robot."),
        ("arm payload 0.5kg length 350 mm", {"payload": "0.5kg", "length": "350mm"}, ""),
        ("arm 0.5kg", {"payload": "0.5kg"}, "0.5kg: taken as payload=0.5kg, Mass at the tip."),
        ("train speed=120rpm", {"speed_wanted": "120rpm"}, ""),
        ("gears 18 44", {"last_stage": "18:44"}, "18 44: taken as last_stage=18:44, Wheels, the driving one first."),
        ("belt teeth=18,48", {"last_stage": "belt,18:48"}, "teeth: taken as last_stage, Wheels."),
        ("arm slim", {"motor": "slim"}, "slim: taken as motor=slim."),
        ("trips trip=-2s", {"saved": "2s"}, "trip=-2s: taken as saved=2s."),
        ("cycle time=-2s", {"saved": "2s"}, "time=-2s: taken as saved=2s of trips, Trips in a match."),
        (
            "motor free=275rpm stall=2.6Nm torque=0.9",
            {"load_torque": "0.9N·m", "motor": "275rpm,2.6Nm"},
            "load_torque=0.9: taken in N·m, as 2.6Nm is.",
        ),
        ("mecanum wheel=92mm", {"wheel": "92mm,mecanum"}, "mecanum: taken as drivetrain, A drivetrain."),
    ],
)
def test_an_input_by_another_word_is_taken_and_that_is_said(line, given, said):
    meant = read(line)
    assert meant.given == given and said in " ".join(meant.said), meant.said


def test_a_line_in_the_calculators_own_words_passes_without_a_word():
    meant = read("arm payload=0.5kg length=350mm gear=74 --us")
    assert meant.said == [] and meant.options == {} and meant.focus == []


def test_what_would_be_typed_in_full_is_told_once_and_asks_the_same():
    meant = read("rope weight = 14 kg height=540mm time=5s")
    full = [one for one in meant.said if one.startswith("Typed in full")]
    assert full == ["Typed in full: size winch mass=14kg lift_height=540mm time_wanted=5s"]
    again = read(full[0].partition("size ")[2])
    assert again.given == meant.given and again.said == []


@pytest.mark.parametrize(
    "line, focus",
    [
        ("lift stages=3 height", ["rise"]),
        ("arm temperature", ["hot_after"]),
        ("lift power=off", ["stays_up"]),
        ("lift hold power=off", ["stays_up", "hot_after"]),
        ("rope", ["factor", "snatch"]),
        ("ramp angle", ["tilt"]),
        (
            "robot why does it reset",
            ["volts", "drive_draws", "raise_draws", "hang_draws", "others_draw", "rest_draws", "all_on"],
        ),
    ],
)
def test_a_word_for_a_finding_asks_for_it_first(line, focus):
    assert read(line).focus == focus


@pytest.mark.parametrize(
    "line, options",
    [
        ("lift payload=?", {"--most": ["payload"]}),
        ("lift max payload", {"--most": ["payload"]}),
        ("arm heaviest", {"--most": ["payload"]}),
        ("lift time=?", {"--least": ["time_wanted"]}),
        ("arm longest", {"--most": ["length"]}),
        ("arm motor=?", {"--find": ["motor"]}),
        ("arm spring", {"--find": ["spring"]}),
        ("arm lightest", {"--least": ["mass"]}),
        ("arm motor=slim,stout", {"--against": ["motor=slim,stout"]}),
        ("arm slim vs stout", {"--against": ["motor=slim,stout"]}),
        ("lift motors=1 or 2", {"--against": ["count=1,2"]}),
        ("lift max height", {}),
    ],
)
def test_words_that_turn_the_question_round(line, options):
    assert read(line).options == options


@pytest.mark.parametrize(
    "line, says",
    [
        ("lift hight=60mm wieght=2kg", ["'hight'", "'wieght'", "rise_wanted", "payload"]),
        ("intake diameter=54mm", ["piece_diameter (Diameter of the piece)", "roller (Roller)"]),
        ("train ratio=5 efficiency=80", ["'efficiency' is found, not given"]),
        ("arm length", ["'length' has no value", "length=?"]),
        ("arm 12", ["'12' stands alone"]),
        ("arm payload=1kg payload=2kg --find motor", ["payload is given twice"]),
        ("arm blorp", ["'blorp' is neither an input nor a finding of arm"]),
    ],
)
def test_what_cannot_be_read_is_told_all_at_once(line, says):
    with pytest.raises(BadQuestion) as wrong:
        read(line)
    assert all(word in str(wrong.value) for word in says), str(wrong.value)


def test_how_it_was_read_stands_before_every_kind_of_answer():
    for line in ("rope mass=14kg", "spring arm", "lift heaviest"):
        out = ask(line).out
        assert "Typed in full" in out or "taken as" in out


# --- no word is dropped in silence; what is found and yet given -----------------------------------------------------


@pytest.mark.parametrize(
    "line, says",
    [
        ("drivetrain smallest ratio without slipping", ["smallest: left out", "slipping: left out"]),
        ("lift least speed", ["least: left out"]),
        ("drivetrain ramp=18deg", ["ramp=18deg: it is found, not given: ", "more than that on both days"]),
        ("drivetrain ramp=44deg", ["ramp=44deg: it is found, not given: ", "less than that on both days"]),
        ("linkage 60 30 55 70", ["60 30 55 70: taken in this order, in mm: input, coupler, output, ground"]),
        ("linkage 6cm 30mm 55mm 70mm", ["input, coupler, output, ground"]),
        ("arm time=120s time_wanted=1s", ["time=120s: left out"]),
    ],
)
def test_what_is_left_out_or_compared_is_said(line, says):
    said = ask(line)
    told = " ".join(said.out.split())
    assert said.code in (0, 1) and all(word in told for word in says), said.out[:900] + said.err


def test_the_largest_ratio_without_slipping_is_the_last_that_does_not():
    """The strength at the wheels grows with the ratio, friction with nothing: two digits on, they spin."""
    meant = read("drivetrain mass=11.3kg wheel=96mm motors=4 largest ratio without slipping")
    ratio = float(meant.given["gearbox"].removesuffix(":1"))
    inputs = (("mass", "11.3kg"), ("wheel", "96mm"), ("count", "4"))
    ratios = [f"{one:g}:1" for one in (ratio, ratio + 0.1)]
    spins = [judged("drivetrain", (*inputs, ("gearbox", one))).good["spins"] for one in ratios]
    assert spins[0] <= 1 < spins[1] and meant.focus[0] == "spins" and not meant.options
    assert any(f": {ratio:g} : 1; the largest of the kit is " in one for one in meant.said), meant.said


@pytest.mark.parametrize("line", ["charge battery=3000mAh current=20A", "battery 3000mAh 20A", "charge 3000mAh 20A"])
def test_the_charge_of_a_battery_is_that_which_lasts(line):
    """3 A·h, of which 80 % count as usual, at 20 A: 0.12 h."""
    found = json.loads(ask(f"{line} usable=80% --json").out)["findings"]["lasts"]["good"]
    assert found == pytest.approx(0.8 * 3 * 3600 / 20, rel=1e-9)


@pytest.mark.parametrize(
    "line, given",
    [
        ("gripper torque=25kgcm", {"servo": "25kgcm"}),
        ("linkage servo=25kgcm", {"drive": "25kgcm"}),
        ("winch 60rpm stall=2Nm", {"motor": "60rpm,2Nm"}),
        ("arm 50rpm 25kgcm", {"motor": "50rpm,25kgcm"}),
    ],
)
def test_figures_of_what_turns_it_are_taken_for_a_motor_or_a_servo(line, given):
    assert read(line).given == given


def test_a_value_alone_gets_an_example_that_can_be_typed():
    assert ask("arm 12").err.endswith("type: python3 -m mechbench size arm start_angle=12deg.\n"), "12 kg is none"
    assert ask("arm 3J").err == "'3J' is no input of arm, which finds such a value: falls_with.\n"


@pytest.mark.parametrize(
    "line, teeth",
    [
        ("pair driver 16 driven 48", "16:48"),
        ("pair driven 48 driver 16", "16:48"),
        ("pair 48 driven 16 driver", "16:48"),
        ("pair 48 and 16 driver", "16:48"),
        ("pair 16 to 48", "16:48"),
        ("belt 18t and 36t", "belt,18:36"),
        ("20 teeth to 60 teeth belt", "belt,20:60"),
        ("chain 16 teeth and 48 teeth 21 cm apart", "chain,16:48"),
        ("train 2 motors 12 36", "12:36"),
    ],
)
def test_two_numbers_of_teeth_are_two_wheels_the_driving_one_first(line, teeth):
    assert read(line).given["last_stage"] == teeth


def test_three_numbers_are_no_two_wheels():
    with pytest.raises(BadQuestion, match="'16' stands alone; write what it is; '30' stands alone"):
        read("pair 16 30 48")


@pytest.mark.parametrize(
    "line, given",
    [
        ("arm from -30 to 60 deg", {"start_angle": "-30deg", "end_angle": "60deg"}),
        ("scissor 10deg to 50deg", {"start": "10deg", "end": "50deg"}),
        ("arm 2 ft long", {"length": "2ft"}),
        ("balance cg 30 cm high", {"height": "30cm"}),
        ("2 kg on an arm 40 cm", {"payload": "2kg", "length": "40cm"}),
        ("balance the arm is out 30 cm", {"raised_forward": "30cm"}),
        ("gripper box 5 cm wide 300 g", {"piece_width": "5cm", "piece_mass": "300g"}),
        ("4 motors 15 kg robot top speed", {"count": "4", "mass": "15kg"}),
    ],
)
def test_words_around_a_value_say_what_it_is(line, given):
    assert read(line).given == given


@pytest.mark.parametrize(
    "line, says",
    [
        ("arm 3m", ["length (50 mm to 1200 mm)", "pin_distance"]),
        ("arm 60 deg angle", ["start_angle or end_angle; write which", "type: ", "size arm start_angle=60deg"]),
        ("linkage from 10 to 60 deg", ["start is 'Start angle of the input'", "size linkage start=10deg turn=50deg"]),
        ("linkage 9 cm links", ["input or coupler or output or ground"]),
        ("6 motors 40 A each", ["No sizing is named that reads all of it", "size charge count=6 current=40A"]),
        ("gripper box=1kg elephant", ["'elephant' is neither", "size gripper piece_mass=1kg"]),
        ("arm lenght=40cm payload=1kg", ["did you mean 'length'? Or type: ", "size arm payload=1kg length=40cm"]),
        ("pair #25 chain 16 48", ["6.35 mm from link to link", "size pair last_stage=chain,16:48"]),
    ],
)
def test_what_may_be_several_things_is_asked_with_a_line_to_type(line, says):
    said = ask(line)
    assert said.code == 2 and is_one_sentence(said.err) and all(word in said.err for word in says), said.err
    if "size " in said.err:
        typed = said.err.rpartition("size ")[2].partition(" (")[0].strip(" .\n")
        assert ask(typed).code in (0, 1), ask(typed).err


def test_a_servo_with_a_reach_is_that_of_the_wrist():
    meant = read("gripper servo payload=300g length=150mm")
    assert meant.options == {"--find": ["wrist"]} and meant.given == {"piece_mass": "300g", "reach": "150mm"}
    assert any("it turns gripper_mass too" in one for one in meant.said)
    arm = read("servo payload=300g length=150mm")
    assert arm.sizing.NAME == "servo_arm" and arm.options == {"--find": ["servo"]}
    assert arm.given == {"payload": "300g", "length": "150mm"}
    assert read("gripper finger=9cm load=0.5kg which servo").options == {"--find": ["servo"]}


@pytest.mark.parametrize("word, ends", [("slipping", "slip"), ("slips", "slip"), ("slip", "slip"), ("pulled", "pull")])
def test_a_word_without_its_ending(word, ends):
    assert stem(word) == ends


def test_four_bare_lengths_ask_whether_the_bars_go_round():
    meant = read("linkage 60 30 55 70")
    assert meant.given == {"input": "60mm", "coupler": "30mm", "output": "55mm", "ground": "70mm"}
    assert meant.focus[:2] == ["grashof", "transmission"]


@pytest.mark.parametrize(
    "line, given",
    [
        ("battery voltage=12V current=40A resistance=0.05ohm", ("charge", "12V,0.05ohm,")),
        ("power voltage=12V capacity=3000mAh", ("power", "12V,3000mAh")),
        ("power capacity=3000mAh", ("power", "3000mAh")),
        ("drivetrain volts=12V", ("drivetrain", "12V,")),
        ("charge capacity=5Ah volts=12V", ("charge", "12V,5Ah")),
    ],
)
def test_figures_of_a_battery_are_put_together(line, given):
    meant = read(line)
    usual = f"{quantity.from_si(kit().battery.capacity, 'A·h'):.3g}Ah"
    name, figures = given
    assert (meant.sizing.NAME, meant.given["battery"]) == (name, figures + usual * figures.endswith(","))


@pytest.mark.parametrize(
    "line, name",
    [
        ("battery last", "charge"),
        ("how long does battery last", "charge"),
        ("battery", "charge"),
        ("battery capacity=3000mAh current=5A", "charge"),
        ("cycles trip_time=9s", "trips"),
        ("cycles cycle=9s faster=1.5s", "trips"),
    ],
)
def test_which_sizing_a_word_of_several_means(line, name):
    meant = read(line)
    assert meant.sizing.NAME == name and ("size " in meant.said[0] or name in line), meant.said


def test_a_time_that_no_trip_can_take_is_that_of_the_match():
    meant = read("cycles time=120s cycle=9s faster=1.5s")
    assert meant.given == {"trip_time": "9s", "saved": "1.5s", "driving_time": "120s"}
    assert "time=120s: taken as driving_time, as trip_time can't be that." in meant.said
    assert not any(one.startswith("time: ") for one in meant.said)


def test_the_other_sizing_of_a_word_is_named():
    assert read("cycles trip_time=9s").said[0].endswith("size cycle is another: A cycle from piece to piece.")


@pytest.mark.parametrize(
    "line, says",
    [
        ("arm motor=1.2Nm", ["1.2Nm lacks", "speed without load", "SPEED,1.2Nm", "your label"]),
        ("arm torque=25kgcm load=300g longest", ["SPEED,25kgfcm", "speed without load", "your label"]),
        ("gears 15:40 20:60", ["one pair", "8 : 1", "vs"]),
        ("pair 12:36 15:30 motor=6000rpm", ["one pair", "6 : 1", "'motor'"]),
    ],
)
def test_what_a_part_lacks_is_asked_for_with_the_figures_that_were_typed(line, says):
    said = ask(line)
    assert said.code == 2 and all(word in said.err for word in says), said.err


@pytest.mark.parametrize("line", ["drivetrain motor=435rpm", "winch speed=60rpm", "motor free=275rpm"])
def test_a_motor_may_go_by_its_speed_alone_and_its_torque_is_said_first(line):
    said = ask(line)
    assert said.code in (0, 1) and "Torque when held still taken as " in said.out.split("\n\n")[1]
    assert ",TORQUE as your label says, such as " in " ".join(said.out.split())


@pytest.mark.parametrize("word", ["stops", "finger", "rpm", "resistance", "blah", "knee", "60mm"])
def test_a_word_that_is_far_from_all_names_is_not_taken_for_one_of_them(word):
    for name in ("gripper", "arm", "intake", "balance"):
        said = ask(f"{name} {word}=1mm" if word[0].isalpha() else f"{name} {word}")
        assert "did you mean" not in said.err, said.err


def test_the_list_of_inputs_is_that_of_what_is_seen_first():
    said = ask("arm blah=3").err
    assert "choose from payload, start_angle, end_angle, time_wanted, length" in said and "--help tells" in said
    assert "hold_time" not in said


# --- words of learners ----------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    "line, given",
    [
        ("gripper finger=9cm", {"lever": "9cm"}),
        ("claw jaw=9cm object=0.5kg", {"lever": "9cm", "piece_mass": "0.5kg"}),
        ("scissor bar=30cm angle=20deg stages=4", {"arm": "30cm", "start": "20deg", "cells": "4"}),
        ("intake ball=127mm", {"piece_diameter": "127mm"}),
        ("intake piece_width=70mm ramp=20deg", {"piece_diameter": "70mm", "slope": "20deg"}),
        ("balance wheel_base=33cm", {"wheelbase": "33cm"}),
    ],
)
def test_words_that_learners_type_for_inputs(line, given):
    assert read(line).given == given


@pytest.mark.parametrize(
    "line, finding",
    [
        ("arm why does it fall when motor stops", "holds"),
        ("arm does it stay when the motor is off", "holds"),
        ("lift falls", "stays_up"),
        ("winch without power", "holds"),
        ("scissor power off", "holds"),
        ("linkage falls", "holds"),
        ("linkage does it go round", "grashof"),
        ("intake ball=127mm gap", "deepest"),
        ("drivetrain uphill", "slope"),
        ("balance stops", "way"),
    ],
)
def test_words_that_learners_type_for_findings(line, finding):
    meant = read(line)
    assert meant.focus[0] == finding and not meant.options, meant.focus


@pytest.mark.parametrize(
    "line, given",
    [
        ("drivetrain 4 motors 16:1 100mm wheels", {"count": "4", "gearbox": "16:1", "wheel": "100mm"}),
        ("scissor 4 crosses 1kg payload", {"cells": "4", "load": "1kg"}),
        ("lift 3 stages 60cm height", {"stages": "3", "rise_wanted": "60cm"}),
        ("lift 3kg payload spool 40mm", {"payload": "3kg", "drum": "40mm"}),
        ("lift stages 3 height 60cm", {"stages": "3", "rise_wanted": "60cm"}),
    ],
)
def test_a_number_before_what_it_counts_or_measures_is_its_value(line, given):
    assert read(line).given == given


def test_a_number_of_another_kind_before_a_word_is_not_its_value():
    with pytest.raises(BadQuestion, match="'4' stands alone"):
        read("arm 4 payload")
