"""Mistakes such as mentors make when they type a rule book and a shelf of parts: none is taken without a word.

Each is one change of the course's own files, or an entry added to one: what is typed, and what must be said about it.
REFUSED: the kit is not read, and the sentence names file, table and key. NOTED: it is read, and `check` tells the note.
"""

import re

import pytest

from mechbench.course import notebook_check
from mechbench.kits import KitError, read_kit
from mechbench.kits.load import OWN_FOLDER, SETTING
from mechbench.launch import commands

GAME, PARTS, ROBOTS = FILES = "game.toml", "parts.toml", "robots.toml"
TEXTS = {file: (OWN_FOLDER / file).read_text(encoding="utf-8") for file in FILES}
REFUSED, NOTED = "refused", "noted"

JAR = 'diameter = "84 mm"\nheight = "96 mm"\nmass = "160 g"'
LOW = 'height = "200 mm"\ndepth = "150 mm"\nrim = "15 mm"\npoints = 3'
BEAM = 'clear_height = "330 mm"          # from the floor to the underside'
DRIVEN = 'kind = "driven"\ntime = "130 s"'
RING = (
    '[pieces.ring]\nlabel = "ring"\nshape = "disc"\ndiameter = "120 mm"\nthickness = "20 mm"\nmass = "90 g"\n'
    "count = 10\n"
)
POST = '[goals.post]\nlabel = "post"\nkind = "peg"\nheight = "400 mm"\npoints = 4\nway = "1 m"\n'
WINDOW = (
    '[goals.window]\nlabel = "window"\nkind = "launch"\nheight = "1.3 m"\npoints = 4\nway = "1 m"\n'
    'distance = ["1 m", "2 m"]\n'
)
RAMP = '[closing.ramp]\nlabel = "ramp"\nkind = "ramp"\npoints = 6\nway = "1 m"\nslope = "12 deg"\n'


def change(old, new, file=GAME):
    """The files with one place changed."""
    assert TEXTS[file].count(old) >= 1, f"{file} no longer holds {old!r}"
    return {**TEXTS, file: TEXTS[file].replace(old, new, 1)}


def add(text, file=GAME):
    """The files with an entry added."""
    return {**TEXTS, file: TEXTS[file] + "\n" + text}


# Name -> (the files, what happens, what the sentence has in it: file, table, key first)
MISTAKES = {
    # units and writing
    "a length without unit": (
        change('diameter = "84 mm"', "diameter = 84"),
        REFUSED,
        "[pieces.jar], diameter is 84 without a unit; write it with its unit",
    ),
    "a unit of another kind": (
        change('mass = "160 g"', 'mass = "160 mm"'),
        REFUSED,
        "[pieces.jar], mass: '160 mm' is a length; a mass is asked",
    ),
    "a unit that is none": (change('mass = "160 g"', 'mass = "160 gr."'), REFUSED, "[pieces.jar], mass"),
    "text with no number": (
        change('mass = "160 g"', 'mass = "light"'),
        REFUSED,
        "[pieces.jar], mass: 'light' has no number",
    ),
    "a decimal comma in a bare number": (
        change("lying_share = 0.2", "lying_share = 0,2"),
        REFUSED,
        "a number has a decimal point: write lying_share = 0.2",
    ),
    "curly quotes": (change('diameter = "84 mm"', "diameter = \u201c84 mm\u201d"), REFUSED, "curly quotes"),
    "a quantity without quotes": (
        change('mass = "160 g"', "mass = 160 g"),
        REFUSED,
        'a number with a unit is text: write mass = "160 g"',
    ),
    "yes for a number": (change("colours = 2", "colours = yes"), REFUSED, "game.toml is not written as TOML asks"),
    "quotes around a plain number": (
        change("colours = 2", 'colours = "2"'),
        REFUSED,
        '[pieces.jar], colours is "2", but it must be a plain number: write 2 without quotes',
    ),
    "half a piece": (
        change("count = 48", "count = 48.5"),
        REFUSED,
        "[pieces.jar], count is 48.5, but it must be a whole number",
    ),
    "a quote that is not closed": (
        change('label = "jar"', 'label = "jar'),
        REFUSED,
        "game.toml is not written as TOML asks",
    ),
    "a bracket that is not closed": (
        change('pieces = ["jar"]', 'pieces = ["jar"'),
        REFUSED,
        "game.toml is not written as TOML asks",
    ),
    "an entry twice": (add("[goals.low]\n"), REFUSED, "game.toml is not written as TOML asks"),
    "a key twice": (
        change('label = "jar"', 'label = "jar"\nlabel = "can"'),
        REFUSED,
        "game.toml is not written as TOML asks",
    ),
    "two dots in a number": (change('mass = "160 g"', 'mass = "0.160.0 kg"'), REFUSED, "[pieces.jar], mass"),
    "a thousand with a comma": (change('mass = "160 g"', 'mass = "1,600 g"'), REFUSED, "can be read in two ways"),
    "inches as a word of its own": (
        change('diameter = "84 mm"', 'diameter = "3 inch-ish"'),
        REFUSED,
        "[pieces.jar], diameter",
    ),
    # names
    "a mistyped key": (
        change("lying_share", "lieing_share"),
        REFUSED,
        '[pieces.jar] has a key "lieing_share" that the course does not know; did you mean "lying_share"?',
    ),
    "a mistyped table": (
        change("[limits]", "[limit]"),
        REFUSED,
        'game.toml has a table [limit] that the course does not know; did you mean "limits"?',
    ),
    "a piece that is not there": (
        change('pieces = ["jar"]', 'pieces = ["jars"]'),
        REFUSED,
        '[places.aisle], pieces has "jars", which is no entry of [pieces]; did you mean "jar"?',
    ),
    "a goal takes what is not there": (
        change(LOW, LOW + '\ntakes = ["rings"]'),
        REFUSED,
        '[goals.low], takes has "rings"',
    ),
    "a capital letter": (
        change("[goals.low]", "[goals.Low]"),
        REFUSED,
        'has a part named "Low"; a name starts with a small letter',
    ),
    "a name with a blank": (change("[goals.low]", '[goals."low shelf"]'), REFUSED, 'has a part named "low shelf"'),
    "an obstacle between nothing": (
        change('between = ["aisle", "low"]', 'between = ["aisle", "lower"]'),
        REFUSED,
        '[obstacles.beam], between has "lower"',
    ),
    "instead of what is not there": (
        change('instead_of = ["hang"]', 'instead_of = ["hanging"]'),
        REFUSED,
        '[closing.park], instead_of has "hanging", which is no entry of [closing]; did you mean "hang"?',
    ),
    "a task instead of itself": (
        change('instead_of = ["hang"]', 'instead_of = ["park"]'),
        REFUSED,
        "[closing.park], instead_of names the task itself",
    ),
    "a kind that is none": (
        change('kind = "pen"', 'kind = "corner"'),
        REFUSED,
        '[places.pens], kind is "corner", but it must be one of open, pen, stack, chute, person',
    ),
    "two labels alike": (
        change('label = "middle shelf"', 'label = "low shelf"'),
        REFUSED,
        "[goals.low] and [goals.middle] both give a part with the label",
    ),
    "two steps for one role": (
        change('stands_for = "line_up"', 'stands_for = "find"'),
        REFUSED,
        '[human.line_up], stands_for is "find", as that of [human.find]: only one step may stand for find',
    ),
    "a table of parts in the game": (
        add("[motors]\n"),
        REFUSED,
        "game.toml has the table [motors], but it belongs in parts.toml",
    ),
    # keys that belong to another kind
    "a ball with a height": (
        change('shape = "cylinder"', 'shape = "ball"'),
        REFUSED,
        '[pieces.jar], height is given, but shape = "ball" has no such number',
    ),
    "a disc without thickness": (
        change('shape = "cylinder"', 'shape = "disc"'),
        REFUSED,
        "[pieces.jar] has no thickness (how high it lies); add a line thickness",
    ),
    "a box without width": (
        change('shape = "cylinder"\ndiameter = "84 mm"', 'shape = "box"\nlength = "84 mm"'),
        REFUSED,
        "[pieces.jar] has no width",
    ),
    "a soft piece without stiffness": (
        change('shape = "cylinder"\ndiameter = "84 mm"', 'shape = "soft"\nlength = "84 mm"\nwidth = "60 mm"'),
        REFUSED,
        "[pieces.jar], stiffness is missing",
    ),
    "a shelf to launch at": (
        change(LOW, LOW + '\ndistance = ["1 m", "2 m"]'),
        REFUSED,
        '[goals.low], distance is given, but kind = "shelf" has no such number',
    ),
    "a launch goal without distance": (
        add(WINDOW.replace('distance = ["1 m", "2 m"]\n', "")),
        REFUSED,
        "[goals.window] has no distance (nearest and furthest to launch from)",
    ),
    "a ramp without slope": (add(RAMP.replace('slope = "12 deg"\n', "")), REFUSED, "[closing.ramp] has no slope"),
    "a bar without height": (change('bar_height = "600 mm"\n', ""), REFUSED, "[closing.hang] has no bar_height"),
    "a pen without depth": (
        change('depth = "250 mm"\ngap', "gap"),
        REFUSED,
        "[places.pens], depth is missing (how far a robot must reach in), but a pen has one",
    ),
    "a goal without points": (
        change(LOW, LOW.replace("\npoints = 3", "")),
        REFUSED,
        "[goals.low] has no points (points for one piece); add a line points = ...",
    ),
    "a low obstacle without height": (change(BEAM, ""), REFUSED, "[obstacles.beam] has no clear_height"),
    "a threshold without number": (
        add('[bonuses.many]\nkind = "threshold"\npoints = 5\n'),
        REFUSED,
        "[bonuses.many], need is missing (from how many pieces on)",
    ),
    "a factor without factor": (add('[bonuses.double]\nkind = "factor"\n'), REFUSED, "[bonuses.double] has no factor"),
    # sizes that can't be
    "a piece wider than its goal": (
        change(LOW, LOW + '\nopening = ["60 mm", "50 mm"]'),
        REFUSED,
        (
            "[goals.low], opening is 60 by 50 mm, but a jar needs 84 by 84 mm at least; enlarge it or take jar "
            "out of takes"
        ),
    ),
    "a piece in metres": (
        change('diameter = "84 mm"', 'diameter = "84 m"'),
        REFUSED,
        '[pieces.jar], diameter is "84 m", but it must be from 1 mm to 20 m',
    ),
    "a piece larger than the start box": (
        change('height = "96 mm"\nmass', 'height = "960 mm"\nmass'),
        REFUSED,
        "larger than the start box of 450 by 450 by 450 mm",
    ),
    "a piece in kilograms": (
        change('mass = "160 g"', 'mass = "16 kg"'),
        REFUSED,
        (
            "[pieces.jar], mass is 16 kg: one piece of that in a robot of 18 kg at most is more than a third of "
            "it; look at the unit"
        ),
    ),
    "a piece heavier than steel": (
        change('mass = "160 g"', 'mass = "5.9 kg"'),
        NOTED,
        "[pieces.jar]: so small and so heavy, a jar would be heavier than steel: which is wrong, its mass or "
        "one of its sizes?",
    ),
    "a piece lighter than foam": (
        change('mass = "160 g"', 'mass = "2 g"'),
        NOTED,
        "[pieces.jar]: so large and so light, a jar would be lighter than foam",
    ),
    "a pen too narrow": (
        change('gap = "300 mm"', 'gap = "30 mm"'),
        REFUSED,
        "[places.pens], gap is 30 mm, but a jar is 84 mm at its narrowest: nothing can pass; measure again",
    ),
    "a shelf above every robot": (
        change('height = "700 mm"', 'height = "4.9 m"'),
        REFUSED,
        "[goals.high], height is 4.9 m, but a robot may be 1 m; only a launch goal may be higher",
    ),
    "a rim as high as its shelf": (
        change(LOW, LOW.replace('"15 mm"', '"250 mm"')),
        REFUSED,
        "[goals.low], rim is 250 mm, as high as the goal itself: nothing can pass",
    ),
    "a shelf of no depth": (
        change(LOW, LOW.replace('"150 mm"', '"0 mm"')),
        REFUSED,
        '[goals.low], depth is "0 mm", but it must be from 1 mm to 5 m',
    ),
    "a bar that no robot reaches": (
        change('bar_height = "600 mm"', 'bar_height = "3.6 m"'),
        REFUSED,
        "[closing.hang], bar_height is 3.6 m, but a robot may be 1 m high: no robot reaches it",
    ),
    "a start box that shrinks": (
        change('"450 mm", "450 mm"]', '"450 mm", "1450 mm"]'),
        REFUSED,
        "[limits], start_box is 1450 mm high, but height is 1000 mm: the robot may not shrink at the start",
    ),
    "a start box longer than later": (
        change('["450 mm",', '["1450 mm",'),
        REFUSED,
        "[limits], start_box is 1450 mm long, but level is 1000 mm",
    ),
    "one number for the start box": (
        change('start_box = ["450 mm", "450 mm", "450 mm"]', 'start_box = "450 mm"'),
        REFUSED,
        '[limits], start_box is "450 mm", but it must be a list',
    ),
    "a field in millimetres": (change('length = "3.60 m"', 'length = "360 mm"'), REFUSED, "[field], length"),
    "a field wider than long": (
        change('width = "3.60 m"', 'width = "4.60 m"'),
        REFUSED,
        "[field], width is more than length, but length is the longer side; swap the two",
    ),
    "a way longer than the field": (
        change('way = "1.1 m"', 'way = "11 m"'),
        REFUSED,
        "[places.aisle], way is 11 m from the middle, but the field is 5.09 m from corner to corner",
    ),
    "a launch from outside": (
        add(WINDOW.replace('"1 m", "2 m"', '"6 m", "8 m"')),
        REFUSED,
        (
            "[goals.window], distance begins at 6 m, but the field is 5.09 m from corner to corner: no robot can "
            "stand there"
        ),
    ),
    "near farther than far": (
        add(WINDOW.replace('"1 m", "2 m"', '"2 m", "1 m"')),
        REFUSED,
        "[goals.window], distance has the nearest place farther off than the farthest; swap the two",
    ),
    # counts that don't add up
    "more pieces in places than there are": (
        change("counts = [16]", "counts = [60]"),
        REFUSED,
        "[pieces.jar], count is 48, but the places hold 92 jars",
    ),
    "two numbers for one piece": (
        change("counts = [16]", "counts = [16, 4]"),
        REFUSED,
        "[places.aisle], counts has 2 numbers for 1 pieces",
    ),
    "numbers for no piece": (
        change('pieces = ["jar"]\ncounts = [16]', "pieces = []\ncounts = [16]"),
        REFUSED,
        "[places.aisle], counts is given, but the place has no pieces",
    ),
    "a piece that nobody counts": (
        change("count = 48                       # on the field when the match starts\n", "").copy()
        | {GAME: re.sub(r"(?m)^counts? = .*\n", "", TEXTS[GAME])},
        REFUSED,
        "[pieces.jar], count is missing, and no place says how many it holds",
    ),
    "a goal takes what lies nowhere": (
        add(RING + POST + 'takes = ["ring"]\n'),
        REFUSED,
        "[goals.post], takes has ring, but no place holds rings; add it to a place",
    ),
    "a goal that takes nothing": (
        change(LOW, LOW + "\ntakes = []"),
        REFUSED,
        "[goals.low], takes is an empty list, so that nothing scores there",
    ),
    "a set of more colours than there are": (
        add('[bonuses.set]\nkind = "set"\npoints = 5\nneed = 3\n'),
        REFUSED,
        "[bonuses.set], need is 3, but these pieces have 2 colours",
    ),
    "a bonus that nobody gets": (
        add('[bonuses.many]\nkind = "threshold"\npoints = 5\nneed = 30\ngoals = ["middle", "high"]\n'),
        REFUSED,
        "[bonuses.many], need is 30, but these goals take 20 pieces; nobody can get it",
    ),
    "points below 0": (
        change("points = 3", "points = -3"),
        REFUSED,
        "[goals.low], points is -3, but it must be from 0 to 1000",
    ),
    "points left at 0": (change("points = 3", "points = 0"), NOTED, "[goals.low]: it gives no points: is that so?"),
    "a factor of nothing": (
        change("factor = 2", "factor = 0"),
        REFUSED,
        "[phases.self_driving], factor is 0, but it must be from 1 to 100",
    ),
    "a piece that goes to a goal which does not take it": (
        add('[closing.own]\nlabel = "own"\nkind = "place"\npoints = 5\nway = "1 m"\ngoal = "low"\npiece = "ring"\n'),
        REFUSED,
        '[closing.own], piece has "ring", which is no entry of [pieces]',
    ),
    # times
    "a match without driven time": (
        change(DRIVEN, 'kind = "pause"\ntime = "130 s"').copy()
        | {GAME: TEXTS[GAME].replace(DRIVEN, 'kind = "pause"\ntime = "130 s"').replace('closing = "25 s"', "# none")},
        REFUSED,
        "a match needs driven time",
    ),
    "two self-driving phases": (
        add('[phases.again]\nkind = "self_driving"\ntime = "5 s"\n'),
        REFUSED,
        '[phases.again], kind is "self_driving" a second time',
    ),
    "two driven phases": (
        add('[phases.again]\nkind = "driven"\ntime = "5 s"\n'),
        REFUSED,
        '[phases.again], kind is "driven" a second time',
    ),
    "a closing time longer than its phase": (
        change('closing = "25 s"', 'closing = "250 s"'),
        REFUSED,
        "[phases.driven], closing is 250 s, but the whole phase has 130 s",
    ),
    "a pause with a closing time": (
        add('[phases.rest]\nkind = "pause"\ntime = "5 s"\nclosing = "2 s"\n'),
        REFUSED,
        '[phases.rest], closing is given, but kind = "pause" has no such number',
    ),
    "a driven time of no length": (
        change(DRIVEN, 'kind = "driven"\ntime = "0 s"'),
        REFUSED,
        "[phases.driven], time is under a second, but a match needs driven time",
    ),
    "a try in minutes": (
        change('high = "3.0 s"', 'high = "3.0 min"'),
        NOTED,
        "[human.find]: one try takes up to 180 s of a match of 130 s: is that so?",
    ),
    "a slowest try far off": (
        change('high = "3.0 s"', 'high = "30 s"'),
        NOTED,
        "[human.find]: the slowest try, 30 s, is 25 times the usual one: is that so?",
    ),
    "the quickest is the slowest": (
        change('low = "0.6 s"', 'low = "1.6 s"'),
        REFUSED,
        "[human.find], low is more than likely, but the quickest try cannot be slower than the usual one",
    ),
    "a match of hours": (
        change(DRIVEN, 'kind = "driven"\ntime = "130 min"'),
        REFUSED,
        '[phases.driven], time is "130 min", but it must be from 0 s to 1 h',
    ),
    # what must be there
    "no game": (
        change('[game]\nlabel = "Pantry Rush"', ""),
        REFUSED,
        "game.toml has no table [game]; add [game] with label",
    ),
    "no phases": (
        {**TEXTS, GAME: re.sub(r"(?ms)^\[phases\..*?(?=^# The steps)", "", TEXTS[GAME])},
        REFUSED,
        "game.toml has no table [phases]; a match needs driven time: add [phases.driven]",
    ),
    "nothing that scores": (
        {**TEXTS, GAME: '[game]\nlabel = "Void"\n[phases.driven]\nkind = "driven"\ntime = "60 s"\n'},
        REFUSED,
        "game.toml has no goal and no closing task, so that nothing scores",
    ),
    "a goal and no piece": (
        {**TEXTS, GAME: '[game]\nlabel = "Void"\n[phases.driven]\nkind = "driven"\ntime = "60 s"\n' + POST},
        REFUSED,
        "[goals.post], takes has nothing to take: add the game's pieces",
    ),
    "a game of an older form": (
        {**TEXTS, GAME: "[game]\n[piece]\n[shelves]\n[possession]\n[match]\n"},
        REFUSED,
        "is of an older form: python3 -m mechbench kit convert",
    ),
    "an empty file": ({**TEXTS, GAME: ""}, REFUSED, "game.toml has no table [game]"),
    # parts
    "a wheel of a metre": (
        change('diameter = "100 mm"\nwidth = "38 mm"', 'diameter = "1 m"\nwidth = "38 mm"', PARTS),
        REFUSED,
        "[wheels.mecanum_100], diameter is 1 m, but the start box is 0.779 m from corner to corner; look at the unit",
    ),
    "a motor heavier than half a robot": (
        change('mass = "0.28 kg"', 'mass = "28 kg"', PARTS),
        REFUSED,
        "[motors.small], mass is 28 kg, more than half of what a whole robot may weigh",
    ),
    "an efficiency in per cent": (
        change("efficiency_per_stage = 0.9", "efficiency_per_stage = 90", PARTS),
        REFUSED,
        "[gearboxes.every], efficiency_per_stage is 90, but it must be from 0.05 to 1",
    ),
    "a motor's speed without unit": (
        change('free_speed = "6170 rpm"', "free_speed = 6170", PARTS),
        REFUSED,
        '[motors.small], free_speed is 6170 without a unit; write it with its unit, such as "6170 rpm"',
    ),
    "a gearmotor's torque on a motor": (
        change('stall_torque = "0.161 N·m"', 'stall_torque = "0.150 N·m"', PARTS),
        NOTED,
        "[motors.small]: stall_torque is 7 % below what the other figures make: are these of the motor alone",
    ),
    "counts of an output shaft": (
        change("counts_per_turn = 28", "counts_per_turn = 537.7", PARTS),
        REFUSED,
        "counts_per_turn is 537.7, but one turn of a motor's own shaft has a whole number of counts; this looks like",
    ),
    "whole counts of an output shaft": (
        change('stall_current = "9.23 A"', 'stall_current = "9.23 A"\ncounts_per_turn = 752', PARTS),
        NOTED,
        "[motors.small]: counts_per_turn is 752, many for one turn of a motor's own shaft",
    ),
    "torque in kilograms": (
        change('stall_torque = "0.161 N·m"', 'stall_torque = "1.64 kg"', PARTS),
        REFUSED,
        "[motors.small], stall_torque: '1.64 kg' is a mass; a torque is asked",
    ),
    "a usual part that is not there": (
        change('[motors]\nusual = "small"', '[motors]\nusual = "smal"', PARTS),
        REFUSED,
        '[motors], usual is "smal", which is no part of this table; did you mean "small"?',
    ),
    "a friction pair that is not there": (
        change('rail = "slide_rail"', 'rail = "slide_rails"', PARTS),
        REFUSED,
        '[slides.slide_300], rail is "slide_rails", which is no pair of [friction]; did you mean "slide_rail"?',
    ),
    "without what a course needs": (
        change("[kit]", '[kit]\nwithout = ["motors"]', PARTS),
        REFUSED,
        '[kit], without, value 1 is "motors", but it must be one of',
    ),
    "gear ratios as text": (
        change("stages = [4],", 'stages = "4:1",', PARTS),
        REFUSED,
        '[gearboxes.planetary_4], stages is "4:1", but it must be a list',
    ),
    "a stage that slides out of itself": (
        change('stage_travel = "230 mm"', 'stage_travel = "330 mm"', PARTS),
        REFUSED,
        "[slides.slide_300], stage_travel is not less than stage_length",
    ),
    "a battery that never starts the robot": (
        change('reset_level = "7.0 V"', 'reset_level = "12 V"', PARTS),
        REFUSED,
        "[controller], reset_level is not below open_circuit_empty of [battery]",
    ),
    # robots
    "a frame of grams": (
        change('frame       = { mass = "2.4 kg"', 'frame       = { mass = "2.4 g"', ROBOTS),
        NOTED,
        "[robots.wren.parts.frame]: 2.4 g in a box that large is lighter than foam: is it in kg?",
    ),
    "a box of no size": (
        change('size = ["400 mm", "380 mm", "120 mm"]', 'size = ["400 mm", "0 mm", "120 mm"]', ROBOTS),
        REFUSED,
        "[robots.wren.parts.frame], size has a side of 0 mm, but every part takes room; measure it",
    ),
    "a part under the floor": (
        change('at = ["0 mm", "0 mm", "70 mm"]', 'at = ["0 mm", "0 mm", "10 mm"]', ROBOTS),
        REFUSED,
        "[robots.wren.parts.frame], at: the part reaches 50 mm under the floor",
    ),
    "a part heavier than steel": (
        change('battery     = { mass = "0.6 kg"', 'battery     = { mass = "60 kg"', ROBOTS),
        NOTED,
        "[robots.wren.parts.battery]: 60 kg in a box that small is heavier than steel",
    ),
    "a share in per cent": (
        change("success = 0.97", "success = 97", ROBOTS),
        REFUSED,
        "[robots.wren], success is 97, but it must be from 0 to 1",
    ),
    "a place of two numbers": (
        change('at = ["0 mm", "0 mm", "70 mm"]', 'at = ["0 mm", "70 mm"]', ROBOTS),
        REFUSED,
        "[robots.wren.parts.frame], at is a list of 2, but it must be a list of 3",
    ),
}


def read(folder, texts):
    for file, text in texts.items():
        (folder / file).write_text(text, encoding="utf-8")
    return read_kit(folder)


@pytest.mark.parametrize("texts, what, said", MISTAKES.values(), ids=MISTAKES)
def test_no_mistake_is_taken_without_a_word(tmp_path, texts, what, said):
    if what == NOTED:
        notes = read(tmp_path, texts).notes
        assert len(notes) == 1 and said in notes[0], notes
        return
    with pytest.raises(KitError) as caught:
        read(tmp_path, texts)
    told = caught.value.faults
    assert any(said in sentence for sentence in told), told
    assert all(sentence.isprintable() and len(sentence) < 420 and sentence.endswith((".", "?")) for sentence in told), (
        told
    )
    assert len(told) <= 3, "one mistake is told once, and what follows from it not at length"


def test_there_are_a_hundred_of_them():
    assert len(MISTAKES) >= 100


def test_all_mistakes_are_told_at_once(tmp_path):
    """Five mistakes in two files, each told; as text the first, and how many more."""
    game = TEXTS[GAME].replace('mass = "160 g"', "mass = 160").replace('kind = "pen"', 'kind = "corner"')
    game = game.replace("points = 5", "points = -5").replace('likely = "1.5 s"', 'likely = "0.5 s"')
    parts = TEXTS[PARTS].replace('free_speed = "6170 rpm"', "free_speed = 6170")
    with pytest.raises(KitError) as caught:
        read(tmp_path, {**TEXTS, GAME: game, PARTS: parts})
    told = " | ".join(caught.value.faults)
    for place in (
        "[pieces.jar], mass",
        "[places.pens], kind",
        "[goals.middle], points",
        "[human.line_up], low",
        "[motors.small], free_speed",
    ):
        assert place in told, place
    assert len(caught.value.faults) == 5
    assert str(caught.value).endswith("There are 4 more faults; python3 -m mechbench check tells all.")


def test_the_own_files_have_no_oddity():
    assert read_kit(OWN_FOLDER).notes == ()


# --- what the commands say -------------------------------------------------------------------------------------------


@pytest.mark.parametrize("line", [("size", "arm"), ("kit",), ("gradebook",), ("handout", "arm"), ("review", "any")])
@pytest.mark.parametrize("name", ["a length without unit", "no game", "curly quotes", "a game of an older form"])
def test_commands_tell_a_mistake_and_no_fault_of_their_own(tmp_path, monkeypatch, capsys, line, name):
    folder, hand_ins = tmp_path / "kit", tmp_path / "hand-ins"
    folder.mkdir()
    hand_ins.mkdir()
    texts, _, said = MISTAKES[name]
    for file, text in texts.items():
        (folder / file).write_text(text, encoding="utf-8")
    monkeypatch.setenv(SETTING, str(folder))
    code = commands.main([*line, str(hand_ins)] if line == ("gradebook",) else list(line))
    told = " ".join("".join(capsys.readouterr()).split())
    assert code != 0
    assert "fault of mechbench" not in told and "Traceback" not in told, told
    assert " ".join(said.split()) in told, told


@pytest.mark.parametrize("name", [name for name, (_, what, _) in MISTAKES.items() if what == REFUSED])
def test_check_tells_each_mistake_and_no_fault_of_its_own(tmp_path, monkeypatch, capsys, name):
    texts, _, said = MISTAKES[name]
    for file, text in texts.items():
        (tmp_path / file).write_text(text, encoding="utf-8")
    monkeypatch.setenv(SETTING, str(tmp_path))
    assert not notebook_check._told("Kit", notebook_check.kit_and_exercises)
    told = capsys.readouterr().out
    assert told.startswith("NOT OK  Kit: ") and said in told and "Error" not in told, told
