"""What people type first, in a terminal or in a cell, and what a kit's file would hold: shares, lists, nothing."""

import pytest

from mechbench.kits.as_typed import left_out, sizes_in, three_times_in, told, value_of
from mechbench.kits.faults import KitError
from mechbench.kits.schema import SHAPES

PIECES = {"pot": "pot", "pots": "pot", "sack of soil": "sack_of_soil", "sack of soils": "sack_of_soil"}


def entry(place):
    table, key = place.split(".")
    return SHAPES[table].entries[key]


@pytest.mark.parametrize(
    ("place", "typed", "held"),
    [
        ("pieces.lying_share", "10 %", 0.1),
        ("pieces.lying_share", "10%", 0.1),
        ("pieces.lying_share", "10 percent", 0.1),
        ("pieces.lying_share", "0,1", 0.1),
        ("pieces.lying_share", "one in ten", 0.1),
        ("pieces.lying_share", "about 1 in 5", 0.2),
        ("pieces.lying_share", "half", 0.5),
        ("pieces.lying_share", "a third", 0.3333),
        ("gearboxes.efficiency_per_stage", "90 %", 0.9),
        ("gearboxes.stages", "3.6 and 5", [3.6, 5]),
        ("gearboxes.stages", "3.6, 5", [3.6, 5]),
        ("gearboxes.stages", "3,6 and 5", [3.6, 5]),
        ("gearboxes.stages", "3,6; 5", [3.6, 5]),
        ("gearboxes.stages", "3.6 5", [3.6, 5]),
        ("gearboxes.stages", "3.6 x 5", [3.6, 5]),
        ("gearboxes.stages", "18:1", [18]),
        ("limits.start_box", "480 x 480 x 420 mm", ["480 mm", "480 mm", "420 mm"]),
        ("limits.start_box", "480x480x420mm", ["480 mm", "480 mm", "420mm"]),
        ("limits.start_box", "48 cm by 48 cm by 42 cm", ["48 cm", "48 cm", "42 cm"]),
        ("limits.start_box", "480, 480 and 420 mm", ["480 mm", "480 mm", "420 mm"]),
        ("goals.opening", "260 x 190 mm", ["260 mm", "190 mm"]),
        ("goals.distance", "4 to 11 ft", ["4 ft", "11 ft"]),
        ("goals.distance", "from 1.2 m to 3 m", ["1.2 m", "3 m"]),
        ("goals.points", "6 points", 6),
        ("goals.capacity", "10 pots", 10),
        ("limits.motors", "at most 6", 6),
        ("limits.motors", "six", 6),
        ("phases.factor", "double", 2),
        ("phases.factor", "x2", 2),
        ("phases.factor", "2x", 2),
        ("phases.driven", "2:20", "140 s"),
        ("servos.time_per_60_deg", "0.16 s/60°", "0.16 s"),
        ("servos.time_per_60_deg", "0.16 s / 60 deg", "0.16 s"),
        ("goals.height", "0", "0 mm"),
        ("human.low", "0", "0 s"),
        ("pieces.shape", "soft bag", "soft"),
        ("pieces.shape", "A Cylinder", "cylinder"),
        ("human.stands_for", "line up", "line_up"),
        ("human.stands_for", "wait for the others", "held_up"),
        ("goals.kind", "hole", "slot"),
        ("obstacles.kind", "hose", "step"),
        ("human.stands_for", "jam", "clear_jam"),
        ("human.when", "for each piece", "piece"),
        ("goals.takes", "pots", ["pot"]),
        ("goals.takes", "the sack", ["sack_of_soil"]),
        ("goals.takes", "only pots", ["pot"]),
        ("goals.takes", "pots and sacks", ["pot", "sack_of_soil"]),
        ("goals.takes", "pot and sack of soil", ["pot", "sack_of_soil"]),
        ("goals.takes", "both", ["pot", "sack_of_soil"]),
        ("places.counts", "24 pots and 12 sacks", [24, 12]),
        ("places.counts", "24 and 12", [24, 12]),
        ("wheels.along", "0,95", 0.95),
        ("wheels.along", "about 0.95 on the tiles", 0.95),
        ("wheels.along", "tiles", "tiles"),
        ("obstacles.way_round", "1.9 m longer", "1.9 m"),
        ("gearmotors.output_speed", "240 rpm no load", "240 rpm"),
        ("gearmotors.output_speed", "240 rpm without load", "240 rpm"),
        ("wheels.mass", "0.21 kg each", "0.21 kg"),
        ("pieces.height", "90mm high", "90mm"),
        ("controller.output_limit", "8 A each", "8 A"),
        ("goals.height", "520 mm over the floor", "520 mm"),
        ("goals.capacity", "8 for each robot", 8),
        ("human.low", "nothing", "0 s"),
        ("human.stands_for", "clear a jam", "clear_jam"),
        ("goals.kind", "tray", "bin"),
        ("obstacles.kind", "bump", "step"),
        ("pieces.shape", "ring", "disc"),
        ("pieces.lying_share", "all of them lie", 1),
        ("goals.takes", "our pots only", ["pot"]),
        ("goals.height", "550 mm high", "550 mm"),
        ("closing.bar_height", "550 mm high", "550 mm"),
        ("places.height", "90 mm tall", "90 mm"),
        ("limits.height", "1100 mm high", "1100 mm"),
        ("pieces.colours", "two colours", 2),
        ("limits.motors", "eight motors", 8),
        ("goals.capacity", "ten pots", 10),
        ("bonuses.need", "eight or more", 8),
        ("bonuses.need", "8 pieces or more", 8),
        ("bonuses.points", "15 points more", 15),
        ("bonuses.points", "15 points for each pair", 15),
        ("pieces.count", "12 in all", 12),
        ("limits.servos", "ten in total", 10),
        ("battery.resistance", "0.13 ohm with wires", "0.13 ohm"),
        ("places.way", "1.9 m from the centre", "1.9 m"),
        ("goals.way", "1.9 m from the middle", "1.9 m"),
    ],
)
def test_first_guesses(place, typed, held):
    one = entry("phases.time") if place == "phases.driven" else entry(place)
    assert value_of(typed, one, "here", PIECES if one.names else ()) == held


@pytest.mark.parametrize(
    ("place", "typed", "is_nothing"),
    [
        ("goals.capacity", "no limit", True),
        ("goals.capacity", "None", True),
        ("goals.capacity", "unlimited", True),
        ("goals.capacity", "-", True),
        ("limits.mass", "don't know", True),
        ("limits.mass", "not known", True),
        ("goals.takes", "all", True),
        ("goals.takes", "everything", True),
        ("goals.rim", "no", True),
        ("goals.rim", "nothing", True),
        ("pieces.mass", "don't know", False),
        ("goals.takes", "pot", False),
        ("goals.takes", "none", False),
        ("human.pieces", "none", False),
        ("field.floor", "none", True),
        ("goals.capacity", "10", False),
    ],
)
def test_words_for_nothing(place, typed, is_nothing):
    assert left_out(typed, entry(place)) is is_nothing


@pytest.mark.parametrize(
    ("place", "typed", "said"),
    [
        ("pieces.lying_share", "35", 'here is 35, but it must be from 0 to 1, such as "10 %" (share'),
        ("pieces.lying_share", "many", "here: 'many' has no number: write a share, such as 10 %."),
        ("gearboxes.stages", "many", "here: 'many' has no number: write numbers, such as 3.6 and 5."),
        ("goals.points", "6 mm", "here: '6 mm' is a length; a plain number is asked, such as 6."),
        ("goals.height", "430", 'here is 430 without a unit; write it with its unit, such as "430 mm".'),
        ("limits.start_box", "480 mm", "here has one value, but 3 are asked, such as 480 x 480 x 420 mm."),
        ("goals.opening", "260 x 190 x 3 mm", "here has 3 values, but 2 are asked, such as 480 x 420 mm."),
        ("obstacles.between", "bench", 'here has one value, but 2 are asked: write "and" between them.'),
        ("pieces.shape", "blob", 'here is "blob", but it must be one of cylinder, disc, ball, box, soft.'),
        ("wheels.along", "9.5", "here is 9.5, but a coefficient of friction is above 0 and at most 3."),
        ("pieces.shape", "a ball or a box", "but it must be one of cylinder"),
        ("pieces.shape", "not a ball", "but it must be one of cylinder"),
        (
            "places.way",
            "1.5 m from the goals",
            'here is "1.5 m from the goals", and "from the goals" may change what is meant; write it alone',
        ),
        ("gearmotors.output_speed", "240 rpm load", 'and "load" may change'),
        ("gearmotors.stall_current", "0.28 A no load", 'and "no load" may change'),
        ("slides.stage_mass", "0.21 kg each", 'and "each" may change'),
        ("servo_rail.current_limit", "2 A each", 'and "each" may change'),
        ("battery.open_circuit_empty", "12.6 V when full", 'and "when full" may change'),
        ("pieces.height", "112 x 96 x 90 mm", "here has 3 values, but one is asked here: write it alone."),
        ("servo_rail.pair_limit", "3 A each", 'and "each" may change'),
        ("battery.resistance", "20 mohm each", 'and "each" may change'),
        ("goals.height", "90 mm lower", 'and "lower" may change'),
        ("goals.height", "90 mm over it", 'and "over it" may change'),
        ("goals.points", "10 for each four crates", "'10 for each four crates'"),
        ("limits.motors", "6 or 7", "'6 or 7'"),
        ("pieces.count", "2 dozen", "'2 dozen'"),
        ("limits.motors", "eight or more", "'eight or more'"),
        ("goals.points", "15 points more", "'15 points more'"),
        ("goals.capacity", "12 in all", "'12 in all'"),
        ("pieces.colours", "two of three colours", "'two of three colours'"),
        ("pieces.count", "two sets", "'two sets'"),
        ("pieces.width", "90 mm high", 'and "high" may change'),
        ("places.way", "1.9 m from the wall", 'and "from the wall" may change'),
        ("battery.resistance", "0.13 ohm without wires", 'and "without wires" may change'),
    ],
)
def test_a_wrong_answer_gets_an_example_of_the_right_form(place, typed, said):
    with pytest.raises(KitError) as wrong:
        value_of(typed, entry(place), "here")
    assert said in wrong.value.faults[0], wrong.value.faults[0]


@pytest.mark.parametrize(
    ("place", "typed", "example", "held"),
    [
        ("servos.time_per_60_deg", ".11", "0.23 s", ".11 s"),
        ("servos.travel", "180", "210 deg", "180 deg"),
        ("gearmotors.output_speed", "74", "92 rpm", "74 rpm"),
        ("spur_gears.module", "0.8", "1 mm", "0.8 mm"),
        ("pieces.length", "112", "72 mm", "112 mm"),
        ("limits.start_box", "450 x 450 x 450", "520 mm", ["450 mm"] * 3),
    ],
)
def test_a_bare_number_has_the_unit_of_the_example_where_no_other_fits(place, typed, example, held):
    """The example's unit makes it about as large as the example, any other usual unit seven times as large or small."""
    assert value_of(typed, entry(place), "here", example=example) == held


@pytest.mark.parametrize(
    ("place", "typed", "example"),
    [
        ("pieces.length", "11", "72 mm"),  # 11 cm is nearer to it than 11 mm
        ("limits.mass", "12", "14.5 kg"),  # kg or lb
        ("field.length", "6", "5.10 m"),  # m or ft
        ("phases.time", "2", "165 s"),  # minutes, and the example is in seconds
        ("motors.stall_torque", "2.1", "2.7 N·m"),  # N·m or lbf·ft
        ("pieces.length", "112", ""),
    ],
)
def test_a_bare_number_that_may_be_another_unit_is_refused(place, typed, example):
    with pytest.raises(KitError, match="without a unit"):
        value_of(typed, entry(place), "here", example=example)


@pytest.mark.parametrize(
    "typed", ["may be done as well as the hoist", "not besides the hoist", "anything but the hoist"]
)
def test_text_that_says_more_than_a_name_is_no_name(typed):
    """It may well say the opposite."""
    names = {"hoist": "hoist", "hoists": "hoist"}
    assert value_of(typed, entry("closing.instead_of"), "here", names) != ["hoist"]
    assert value_of("only the hoist", entry("closing.instead_of"), "here", names) == ["hoist"]


@pytest.mark.parametrize(
    ("place", "typed", "value", "said"),
    [
        ("obstacles.way_round", "1.9 m longer", "1.9 m", "1.9 m"),
        ("obstacles.way_round", "1.9 m", "1.9 m", ""),
        ("obstacles.way_round", "1,9m", "1,9m", ""),
        ("servos.travel", "180", "180 deg", "180 deg"),
        ("pieces.shape", "ring", "disc", "disc"),
        ("pieces.shape", "A Disc", "disc", ""),
        ("human.stands_for", "line up", "line_up", ""),
        ("pieces.lying_share", "one in ten", 0.1, "10 %"),
        ("pieces.lying_share", "10 %", 0.1, ""),
        ("pieces.lying_share", "0,1", 0.1, ""),
        ("goals.points", "6 points", 6, "6"),
        ("goals.points", "6", 6, ""),
        ("goals.takes", "pots and sacks", ["pot", "sack_of_soil"], "pot and sack of soil"),
        ("goals.takes", "pots", ["pot"], ""),
        ("gearboxes.stages", "3,6 and 5", [3.6, 5], ""),
        ("limits.start_box", "450 x 440 x 400 mm", ["450 mm", "440 mm", "400 mm"], ""),
        ("limits.start_box", "450 x 440 x 400", ["450 mm", "440 mm", "400 mm"], "450 mm, 440 mm and 400 mm"),
        ("field.floor", "tiles", "tiles", ""),
    ],
)
def test_what_was_taken_is_said_where_it_is_not_what_was_typed(place, typed, value, said):
    assert told(typed, value, entry(place), {"pot": "pot", "sack_of_soil": "sack of soil"}) == said


@pytest.mark.parametrize(
    ("typed", "held"),
    [
        ("about 1 s (0.5 to 3)", ["0.5 s", "1 s", "3 s"]),
        ("1 (0.5 to 3 s)", ["0.5 s", "1 s", "3 s"]),
        ("0.5, 1, 3 s", ["0.5 s", "1 s", "3 s"]),
        ("0.5 s", []),
        ("0.5 s, 1 min, 3 s", []),
        ("0.5, 1, 3", []),
        ("1 s (0.5)", []),
    ],
)
def test_three_times_in_one_answer(typed, held):
    assert three_times_in(typed) == held


@pytest.mark.parametrize(
    ("typed", "held"),
    [
        ("112 x 96 x 90 mm", ["112 mm", "96 mm", "90 mm"]),
        ("6.0 m x 3.2 m", ["6.0 m", "3.2 m"]),
        ("11 cm by 9 cm", ["11 cm", "9 cm"]),
        ("1.2 x 10^3 mm", []),
        ("112 mm", []),
    ],
)
def test_several_sizes_in_one_answer(typed, held):
    assert sizes_in(typed) == held
