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

HAMPER = 'height = "160 mm"\ndepth = "320 mm"\npoints = 2'
BRIDGE = 'clear_height = "310 mm"          # from the floor to the underside'
DRIVEN = 'kind = "driven"\ntime = "165 s"'
SLOPE = 'slope = "12 deg"\nlength = "0.80 m"'
RING = (
    '[pieces.ring]\nlabel = "ring"\nshape = "disc"\ndiameter = "120 mm"\nthickness = "20 mm"\nmass = "90 g"\n'
    "count = 10\n"
)
STAKE = '[goals.stake]\nlabel = "stake"\nkind = "peg"\nheight = "400 mm"\npoints = 4\nway = "1 m"\n'


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
        change('diameter = "72 mm"', "diameter = 72"),
        REFUSED,
        "[pieces.bobbin], diameter is 72 without a unit; write it with its unit",
    ),
    "a unit of another kind": (
        change('mass = "150 g"', 'mass = "150 mm"'),
        REFUSED,
        "[pieces.bobbin], mass: '150 mm' is a length; a mass is asked",
    ),
    "a unit that is none": (change('mass = "150 g"', 'mass = "150 gr."'), REFUSED, "[pieces.bobbin], mass"),
    "text with no number": (
        change('mass = "150 g"', 'mass = "light"'),
        REFUSED,
        "[pieces.bobbin], mass: 'light' has no number",
    ),
    "a decimal comma in a bare number": (
        change("lying_share = 0.35", "lying_share = 0,35"),
        REFUSED,
        "a number has a decimal point: write lying_share = 0.35",
    ),
    "curly quotes": (change('diameter = "72 mm"', "diameter = \u201c72 mm\u201d"), REFUSED, "curly quotes"),
    "a quantity without quotes": (
        change('mass = "150 g"', "mass = 150 g"),
        REFUSED,
        'a number with a unit is text: write mass = "150 g"',
    ),
    "yes for a number": (change("colours = 3", "colours = yes"), REFUSED, "game.toml is not written as TOML asks"),
    "quotes around a plain number": (
        change("colours = 3", 'colours = "3"'),
        REFUSED,
        '[pieces.bobbin], colours is "3", but it must be a plain number: write 3 without quotes',
    ),
    "half a piece": (
        change("count = 54", "count = 54.5"),
        REFUSED,
        "[pieces.bobbin], count is 54.5, but it must be a whole number",
    ),
    "a quote that is not closed": (
        change('label = "bobbin"', 'label = "bobbin'),
        REFUSED,
        "game.toml is not written as TOML asks",
    ),
    "a bracket that is not closed": (
        change('pieces = ["bobbin"]', 'pieces = ["bobbin"'),
        REFUSED,
        "game.toml is not written as TOML asks",
    ),
    "an entry twice": (add("[goals.hamper]\n"), REFUSED, "game.toml is not written as TOML asks"),
    "a key twice": (
        change('label = "bobbin"', 'label = "bobbin"\nlabel = "reel"'),
        REFUSED,
        "game.toml is not written as TOML asks",
    ),
    "two dots in a number": (change('mass = "150 g"', 'mass = "0.150.0 kg"'), REFUSED, "[pieces.bobbin], mass"),
    "a thousand with a comma": (change('mass = "150 g"', 'mass = "1,500 g"'), REFUSED, "can be read in two ways"),
    "inches as a word of its own": (
        change('diameter = "72 mm"', 'diameter = "3 inch-ish"'),
        REFUSED,
        "[pieces.bobbin], diameter",
    ),
    # names
    "a mistyped key": (
        change("lying_share", "lieing_share"),
        REFUSED,
        '[pieces.bobbin] has a key "lieing_share" that the course does not know; did you mean "lying_share"?',
    ),
    "a mistyped table": (
        change("[limits]", "[limit]"),
        REFUSED,
        'game.toml has a table [limit] that the course does not know; did you mean "limits"?',
    ),
    "a piece that is not there": (
        change('pieces = ["bobbin"]', 'pieces = ["bobbins"]'),
        REFUSED,
        '[places.yard], pieces has "bobbins", which is no entry of [pieces]; did you mean "bobbin"?',
    ),
    "a goal takes what is not there": (
        change(HAMPER, HAMPER + '\ntakes = ["rings"]'),
        REFUSED,
        '[goals.hamper], takes has "rings"',
    ),
    "a capital letter": (
        change("[goals.hamper]", "[goals.Hamper]"),
        REFUSED,
        'has a part named "Hamper"; a name starts with a small letter',
    ),
    "a name with a blank": (change("[goals.hamper]", '[goals."big hamper"]'), REFUSED, 'has a part named "big hamper"'),
    "an obstacle between nothing": (
        change('between = ["yard", "loom_west"]', 'between = ["yard", "loom_wst"]'),
        REFUSED,
        '[obstacles.footbridge], between has "loom_wst"',
    ),
    "instead of what is not there": (
        change('instead_of = ["hoist"]', 'instead_of = ["hoisting"]'),
        REFUSED,
        '[closing.ramp], instead_of has "hoisting", which is no entry of [closing]; did you mean "hoist"?',
    ),
    "a task instead of itself": (
        change('instead_of = ["hoist"]', 'instead_of = ["ramp"]'),
        REFUSED,
        "[closing.ramp], instead_of names the task itself",
    ),
    "a kind that is none": (
        change('kind = "pen"', 'kind = "corner"'),
        REFUSED,
        '[places.bays], kind is "corner", but it must be one of open, pen, stack, chute, person',
    ),
    "two labels alike": (
        change('label = "west loom"', 'label = "hamper"'),
        REFUSED,
        "[goals.hamper] and [goals.loom_west] both give a part with the label",
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
        '[pieces.bobbin], height is given, but shape = "ball" has no such number',
    ),
    "a disc without thickness": (
        change('shape = "cylinder"', 'shape = "disc"'),
        REFUSED,
        "[pieces.bobbin] has no thickness (how high it lies); add a line thickness",
    ),
    "a box without width": (
        change('shape = "cylinder"\ndiameter = "72 mm"', 'shape = "box"\nlength = "72 mm"'),
        REFUSED,
        "[pieces.bobbin] has no width",
    ),
    "a share in per cent and in quotes": (
        change("lying_share = 0.35", 'lying_share = "35 %"'),
        REFUSED,
        '[pieces.bobbin], lying_share is "35 %", but it must be a plain number: write 0.35 without quotes',
    ),
    "a bin to launch at": (
        change(HAMPER, HAMPER + '\ndistance = ["1 m", "2 m"]'),
        REFUSED,
        '[goals.hamper], distance is given, but kind = "bin" has no such number',
    ),
    "a launch goal without distance": (
        change('distance = ["1.2 m", "3.0 m"]\n', ""),
        REFUSED,
        "[goals.window] has no distance (nearest and furthest to launch from)",
    ),
    "a ramp without slope": (change(SLOPE, 'length = "0.80 m"'), REFUSED, "[closing.ramp] has no slope"),
    "a bar without height": (change('bar_height = "540 mm"\n', ""), REFUSED, "[closing.hoist] has no bar_height"),
    "a pen without depth": (
        change('depth = "210 mm"\ngap', "gap"),
        REFUSED,
        "[places.bays], depth is missing (how far a robot must reach in), but a pen has one",
    ),
    "a goal without points": (
        change(HAMPER, HAMPER.replace("\npoints = 2", "")),
        REFUSED,
        "[goals.hamper] has no points (points for one piece); add a line points = ...",
    ),
    "a low obstacle without height": (change(BRIDGE, ""), REFUSED, "[obstacles.footbridge] has no clear_height"),
    "a threshold without number": (
        add('[bonuses.many]\nkind = "threshold"\npoints = 5\n'),
        REFUSED,
        "[bonuses.many], need is missing (from how many pieces on)",
    ),
    "points for each so many without saying how many": (
        add('[bonuses.fours]\nkind = "each"\npoints = 5\n'),
        REFUSED,
        "[bonuses.fours], need is missing (for each how many pieces)",
    ),
    "a factor without factor": (add('[bonuses.double]\nkind = "factor"\n'), REFUSED, "[bonuses.double] has no factor"),
    # sizes that can't be
    "a piece wider than its goal": (
        change(HAMPER, HAMPER + '\nopening = ["60 mm", "50 mm"]'),
        REFUSED,
        (
            "[goals.hamper], opening is 60 by 50 mm, but a bobbin needs 72 by 72 mm at least; enlarge it or take "
            "bobbin out of takes"
        ),
    ),
    "a piece in metres": (
        change('diameter = "72 mm"', 'diameter = "72 m"'),
        REFUSED,
        '[pieces.bobbin], diameter is "72 m", but it must be from 1 mm to 20 m',
    ),
    "a piece larger than the start box": (
        change('height = "128 mm"\nmass', 'height = "1280 mm"\nmass'),
        REFUSED,
        "larger than the start box of 405 by 440 by 520 mm",
    ),
    "a piece in kilograms": (
        change('mass = "150 g"', 'mass = "15 kg"'),
        REFUSED,
        (
            "[pieces.bobbin], mass is 15 kg: one piece of that in a robot of 14.5 kg at most is more than a third of "
            "it; look at the unit"
        ),
    ),
    "a piece heavier than steel": (
        change('mass = "150 g"', 'mass = "4.8 kg"'),
        NOTED,
        "[pieces.bobbin]: so small and so heavy, a bobbin would be heavier than steel: which is wrong, its mass or "
        "one of its sizes?",
    ),
    "a piece lighter than foam": (
        change('mass = "150 g"', 'mass = "2 g"'),
        NOTED,
        "[pieces.bobbin]: so large and so light, a bobbin would be lighter than foam",
    ),
    "a pen too narrow": (
        change('gap = "360 mm"', 'gap = "36 mm"'),
        REFUSED,
        "[places.bays], gap is 36 mm, but a bobbin is 72 mm at its narrowest: nothing can pass; measure again",
    ),
    "a shelf above every robot": (
        change('height = "680 mm"', 'height = "4.9 m"'),
        REFUSED,
        "[goals.rafter], height is 4.9 m, but a robot may be 0.89 m; only a launch goal may be higher",
    ),
    "a rim as high as its goal": (
        change('rim = "12 mm"', 'rim = "450 mm"'),
        REFUSED,
        "[goals.loom_west], rim is 450 mm, as high as the goal itself: nothing can pass",
    ),
    "a goal of no depth": (
        change(HAMPER, HAMPER.replace('"320 mm"', '"0 mm"')),
        REFUSED,
        '[goals.hamper], depth is "0 mm", but it must be from 1 mm to 5 m',
    ),
    "a bar that no robot reaches": (
        change('bar_height = "540 mm"', 'bar_height = "3.6 m"'),
        REFUSED,
        "[closing.hoist], bar_height is 3.6 m, but a robot may be 0.89 m high: no robot reaches it",
    ),
    "a start box that shrinks": (
        change('"440 mm", "405 mm"]', '"440 mm", "1405 mm"]'),
        REFUSED,
        "[limits], start_box is 1405 mm high, but height is 890 mm: the robot may not shrink at the start",
    ),
    "a start box longer than later": (
        change('["520 mm",', '["1520 mm",'),
        REFUSED,
        "[limits], start_box is 1520 mm long, but after the start it may be 930 mm long or wide at most",
    ),
    "one number for the start box": (
        change('start_box = ["520 mm", "440 mm", "405 mm"]', 'start_box = "520 mm"'),
        REFUSED,
        '[limits], start_box is "520 mm", but it must be a list',
    ),
    "a field in millimetres": (
        change('length = "5.10 m"', 'length = "510 mm"'),
        REFUSED,
        "[field], width is more than length",
    ),
    "a field wider than long": (
        change('width = "2.80 m"', 'width = "5.80 m"'),
        REFUSED,
        "[field], width is more than length, but length is the longer side; swap the two",
    ),
    "a way longer than the field": (
        change('way = "1.2 m"', 'way = "12 m"'),
        REFUSED,
        "[places.yard], way is 12 m from the middle, but the field is 5.82 m from corner to corner",
    ),
    "a launch from outside": (
        change('distance = ["1.2 m", "3.0 m"]', 'distance = ["12 m", "18 m"]'),
        REFUSED,
        (
            "[goals.window], distance begins at 12 m, but the field is 5.82 m from corner to corner: no robot can "
            "stand there"
        ),
    ),
    "near farther than far": (
        change('distance = ["1.2 m", "3.0 m"]', 'distance = ["3.0 m", "1.2 m"]'),
        REFUSED,
        "[goals.window], distance has the nearest place farther off than the farthest; swap the two",
    ),
    # counts that don't add up
    "more pieces in places than there are": (
        change("counts = [34]", "counts = [60]"),
        REFUSED,
        "[pieces.bobbin], count is 54, but the places hold 80 bobbins",
    ),
    "two numbers for one piece": (
        change("counts = [34]", "counts = [34, 4]"),
        REFUSED,
        "[places.yard], counts has 2 numbers for 1 pieces",
    ),
    "numbers for no piece": (
        change('pieces = ["bobbin"]\ncounts = [34]', "pieces = []\ncounts = [34]"),
        REFUSED,
        "[places.yard], counts is given, but the place has no pieces",
    ),
    "a piece that nobody counts": (
        change("count = 54                       # on the field when the match starts\n", "").copy()
        | {GAME: re.sub(r"(?m)^counts? = .*\n", "", TEXTS[GAME])},
        REFUSED,
        "[pieces.bobbin], count is missing, and no place says how many it holds",
    ),
    "a goal takes what lies nowhere": (
        add(RING + STAKE + 'takes = ["ring"]\n'),
        REFUSED,
        "[goals.stake], takes has ring, but no place holds rings; add it to a place",
    ),
    "a goal that takes nothing": (
        change(HAMPER, HAMPER + "\ntakes = []"),
        REFUSED,
        "[goals.hamper], takes is an empty list, so that nothing scores there",
    ),
    "a set of more colours than there are": (
        add('[bonuses.set]\nkind = "set"\npoints = 5\nneed = 4\n'),
        REFUSED,
        "[bonuses.set], need is 4, but these pieces have 3 colours",
    ),
    "a bonus that nobody gets": (
        add('[bonuses.many]\nkind = "threshold"\npoints = 5\nneed = 30\ngoals = ["loom_east", "rafter"]\n'),
        REFUSED,
        "[bonuses.many], need is 30, but these goals take 19 pieces; nobody can get it",
    ),
    "points below 0": (
        change("points = 2", "points = -2"),
        REFUSED,
        "[goals.hamper], points is -2, but it must be from 0 to 1000",
    ),
    "points left at 0": (change("points = 2", "points = 0"), NOTED, "[goals.hamper]: it gives no points: is that so?"),
    "a factor of nothing": (
        change("factor = 1.5", "factor = 0"),
        REFUSED,
        "[phases.self_driving], factor is 0, but it must be from 1 to 100",
    ),
    "a piece that goes to a goal which does not take it": (
        add('[closing.own]\nlabel = "own"\nkind = "place"\npoints = 5\nway = "1 m"\ngoal = "hamper"\npiece = "ring"\n'),
        REFUSED,
        '[closing.own], piece has "ring", which is no entry of [pieces]',
    ),
    # times
    "a match without driven time": (
        change(DRIVEN, 'kind = "pause"\ntime = "165 s"').copy()
        | {GAME: TEXTS[GAME].replace(DRIVEN, 'kind = "pause"\ntime = "165 s"').replace('closing = "40 s"', "# none")},
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
        change('closing = "40 s"', 'closing = "250 s"'),
        REFUSED,
        "[phases.driven], closing is 250 s, but the whole phase has 165 s",
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
        change('high = "3.4 s"', 'high = "3.0 min"'),
        NOTED,
        "[human.find]: one try takes up to 180 s of a match of 165 s: is that so?",
    ),
    "a slowest try far off": (
        change('high = "3.4 s"', 'high = "34 s"'),
        NOTED,
        "[human.find]: the slowest try, 34 s, is 24 times the usual one: is that so?",
    ),
    "the quickest is the slowest": (
        change('low = "0.7 s"', 'low = "1.7 s"'),
        REFUSED,
        "s: the quickest one cannot take longer; change one of the two.",
    ),
    "a match of hours": (
        change(DRIVEN, 'kind = "driven"\ntime = "165 min"'),
        REFUSED,
        '[phases.driven], time is "165 min", but it must be from 0 s to 1 h',
    ),
    # what must be there
    "no game": (
        change('[game]\nlabel = "Weavers\' Yard"', ""),
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
        {**TEXTS, GAME: '[game]\nlabel = "Void"\n[phases.driven]\nkind = "driven"\ntime = "60 s"\n' + STAKE},
        REFUSED,
        "[goals.stake], takes has nothing to take: add the game's pieces",
    ),
    "a game of an older form": (
        {**TEXTS, GAME: "[game]\n[piece]\n[shelves]\n[possession]\n[match]\n"},
        REFUSED,
        "is of an older form: python3 -m mechbench kit convert",
    ),
    "an empty file": ({**TEXTS, GAME: ""}, REFUSED, "game.toml has no table [game]"),
    # parts
    "a wheel of a metre": (
        change('diameter = "115 mm"\nwidth = "44 mm"', 'diameter = "1 m"\nwidth = "44 mm"', PARTS),
        REFUSED,
        "[wheels.mecanum_115], diameter is 1 m, but the start box is 0.792 m from corner to corner; look at the unit",
    ),
    "a motor heavier than half a robot": (
        change('mass = "0.26 kg"', 'mass = "26 kg"', PARTS),
        REFUSED,
        "[motors.slim], mass is 26 kg, more than half of what a whole robot may weigh",
    ),
    "an efficiency in per cent": (
        change("efficiency_per_stage = 0.88", "efficiency_per_stage = 88", PARTS),
        REFUSED,
        "[gearboxes.every], efficiency_per_stage is 88, but it must be from 0.05 to 1",
    ),
    "a motor's speed without unit": (
        change('free_speed = "7400 rpm"', "free_speed = 7400", PARTS),
        REFUSED,
        '[motors.slim], free_speed is 7400 without a unit; write it with its unit, such as "7400 rpm"',
    ),
    "a gearmotor's torque on a motor": (
        change('stall_torque = "0.167 N·m"', 'stall_torque = "0.155 N·m"', PARTS),
        NOTED,
        "[motors.slim]: stall_torque is 7 % below what the other figures make: are these of the motor alone",
    ),
    "counts of an output shaft": (
        change("counts_per_turn = 34", "counts_per_turn = 537.7", PARTS),
        REFUSED,
        "counts_per_turn is 537.7, but one turn of a motor's own shaft has a whole number of counts; this looks like",
    ),
    "whole counts of an output shaft": (
        change('stall_current = "8.80 A"', 'stall_current = "8.80 A"\ncounts_per_turn = 752', PARTS),
        NOTED,
        "[motors.slim]: counts_per_turn is 752, many for one turn of a motor's own shaft",
    ),
    "torque in kilograms": (
        change('stall_torque = "0.167 N·m"', 'stall_torque = "1.70 kg"', PARTS),
        REFUSED,
        "[motors.slim], stall_torque: '1.70 kg' is a mass; a torque is asked",
    ),
    "a usual part that is not there": (
        change('[motors]\nusual = "slim"', '[motors]\nusual = "slm"', PARTS),
        REFUSED,
        '[motors], usual is "slm", which is no part of this table; did you mean "slim"?',
    ),
    "a friction pair that is not there": (
        change('rail = "slide_rail"', 'rail = "slide_rails"', PARTS),
        REFUSED,
        '[slides.slide_250], rail is "slide_rails", which is no pair of [friction]; did you mean "slide_rail"?',
    ),
    "without what a course needs": (
        change("[kit]", '[kit]\nwithout = ["motors"]', PARTS),
        REFUSED,
        '[kit], without, value 1 is "motors", but it must be one of',
    ),
    "gear ratios as text": (
        change("stages = [4.6],", 'stages = "4.6:1",', PARTS),
        REFUSED,
        '[gearboxes.planetary_4_6], stages is "4.6:1", but it must be a list',
    ),
    "a stage that slides out of itself": (
        change('stage_travel = "183 mm"', 'stage_travel = "283 mm"', PARTS),
        REFUSED,
        "[slides.slide_250], stage_travel is not less than stage_length",
    ),
    "a battery that never starts the robot": (
        change('reset_level = "11.0 V"', 'reset_level = "15.6 V"', PARTS),
        REFUSED,
        "[controller], reset_level is not below open_circuit_empty of [battery]",
    ),
    # robots
    "a frame of grams": (
        change('frame       = { mass = "2.6 kg"', 'frame       = { mass = "2.6 g"', ROBOTS),
        NOTED,
        "[robots.wren.parts.frame]: 2.6 g in a box that large is lighter than foam: is it in kg?",
    ),
    "a box of no size": (
        change('size = ["440 mm", "390 mm", "110 mm"]', 'size = ["440 mm", "0 mm", "110 mm"]', ROBOTS),
        REFUSED,
        "[robots.wren.parts.frame], size has a side of 0 mm, but every part takes room; measure it",
    ),
    "a part under the floor": (
        change('at = ["0 mm", "0 mm", "65 mm"]', 'at = ["0 mm", "0 mm", "10 mm"]', ROBOTS),
        REFUSED,
        "[robots.wren.parts.frame], at: the part reaches 45 mm under the floor",
    ),
    "a part heavier than steel": (
        change('battery     = { mass = "0.56 kg"', 'battery     = { mass = "56 kg"', ROBOTS),
        NOTED,
        "[robots.wren.parts.battery]: 56 kg in a box that small is heavier than steel",
    ),
    "a share in per cent": (
        change("success = 0.97", "success = 97", ROBOTS),
        REFUSED,
        "[robots.wren], success is 97, but it must be from 0 to 1",
    ),
    "a place of two numbers": (
        change('at = ["0 mm", "0 mm", "65 mm"]', 'at = ["0 mm", "65 mm"]', ROBOTS),
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
    game = TEXTS[GAME].replace('mass = "150 g"', "mass = 150").replace('kind = "pen"', 'kind = "corner"')
    game = game.replace("points = 5\n", "points = -5\n", 1).replace('likely = "1.3 s"', 'likely = "0.5 s"')
    parts = TEXTS[PARTS].replace('free_speed = "7400 rpm"', "free_speed = 7400")
    with pytest.raises(KitError) as caught:
        read(tmp_path, {**TEXTS, GAME: game, PARTS: parts})
    told = " | ".join(caught.value.faults)
    for place in (
        "[pieces.bobbin], mass",
        "[places.bays], kind",
        "[goals.loom_west], points",
        "[human.line_up], low",
        "[motors.slim], free_speed",
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
