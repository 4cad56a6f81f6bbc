"""A game of any kind: what its entries become, which roles they have, and the old form brought over."""

import math

import pytest

from mechbench.kits import KitError, read_kit
from mechbench.kits.convert import convert
from mechbench.kits.load import OWN_FOLDER

HEAD = '[game]\nlabel = "Test"\n\n[phases.play]\nkind = "driven"\ntime = "100 s"\n\n'
RICH = (
    HEAD
    + """
[field]
length = "5 m"
width = "3 m"

[pieces]
usual = "brick"
brick = { label = "brick", shape = "box", length = "90 mm", width = "40 mm", height = "60 mm", mass = "200 g" }
ring = { label = "ring", shape = "disc", diameter = "100 mm", thickness = "20 mm", mass = "80 g", colours = 3 }

[pieces.cloth]
label = "cloth"
shape = "soft"
length = "80 mm"
width = "70 mm"
height = "50 mm"
stiffness = "0.5 N/mm"
floor_grip = 0.6
mass = "50 g"

[places]
floor = { label = "floor", kind = "open", pieces = ["brick", "ring"], counts = [12, 20], way = "1 m" }
nook = { label = "nook", kind = "pen", pieces = ["brick"], counts = [3], way = "1.5 m", depth = "20 cm", gap = "30 cm" }
cranny = { label = "cranny", kind = "pen", pieces = ["cloth"], counts = [4], way = "2 m", depth = "26 cm", gap = "1 m" }

[goals]
west = { label = "west post", kind = "peg", takes = ["ring"], height = "430 mm", points = 5, way = "1.6 m" }
east = { label = "east post", kind = "peg", takes = ["ring"], height = "430 mm", points = 4, way = "1.1 m" }
tub = { label = "tub", kind = "bin", height = "150 mm", points = 2, way = "1.3 m" }

[goals.window]
label = "window"
kind = "launch"
takes = ["ring"]
height = "1.2 m"
points = 7
way = "1.4 m"
distance = ["1 m", "3 m"]

[bonuses]
trio = { kind = "set", points = 6, goals = ["west"] }
full = { kind = "threshold", points = 10, need = 8, goals = ["tub"] }

[obstacles]
bridge = { label = "bridge", kind = "low", clear_height = "310 mm", way_round = "2 m" }
tunnel = { label = "tunnel", kind = "low", clear_height = "290 mm", way_round = "1 m" }
sill = { label = "sill", kind = "step", height = "15 mm", way_round = "1 m" }

[limits]
height = "900 mm"
start_box = ["500 mm", "400 mm", "350 mm"]

[human]
look = { label = "look for it", low = "1 s", likely = "2 s", high = "4 s", stands_for = "find" }
talk = { label = "talk", low = "1 s", likely = "1.5 s", high = "2 s", when = "trip" }
hand = { label = "hand over", low = "1 s", likely = "2 s", high = "4 s", when = "piece" }
turn = { label = "turn it", low = "0 s", likely = "0.5 s", high = "1 s", when = "piece" }

[closing]
slope = { label = "slope", kind = "ramp", points = 6, way = "1 m", slope = "12 deg" }
spot = { label = "spot", kind = "zone", points = 3, way = "1 m", instead_of = ["slope"] }
own = { label = "own ring", kind = "place", points = 5, way = "1 m", goal = "west", piece = "ring" }
"""
)


def game_of(folder, text, parts=None):
    (folder / "game.toml").write_text(text, encoding="utf-8")
    if parts is not None:
        (folder / "parts.toml").write_text(parts, encoding="utf-8")
    return read_kit(folder)


@pytest.fixture
def rich(tmp_path):
    return game_of(tmp_path, RICH)


def test_the_sides_of_every_shape(rich):
    """Width is the shorter level side, length the longer, height as it lies; narrow is the least of width
    and height."""
    sizes = {name: (one.width, one.length, one.height, one.narrow) for name, one in rich.game.pieces.items()}
    assert sizes == {
        "brick": (0.04, 0.09, 0.06, 0.04),
        "ring": (0.1, 0.1, 0.02, 0.02),
        "cloth": (0.07, 0.08, 0.05, 0.05),
    }
    assert rich.game.pieces["ring"].volume == pytest.approx(math.pi * 0.05**2 * 0.02)
    assert rich.game.pieces["brick"].plural == "bricks"


def test_counts_follow_from_places(rich):
    assert {name: one.count for name, one in rich.game.pieces.items()} == {"brick": 15, "ring": 20, "cloth": 4}


def test_roles(rich):
    roles = rich.roles
    named = lambda role: getattr(roles, role).name
    assert named("piece") == "brick", "the usual one, though there are more rings"
    assert named("flat") == "ring"
    assert named("highest") == "west", "of equal height the one with more points; nothing is brought to a launch goal"
    assert roles.highest.together == "west post and east post, both 430 mm high"
    taken = [rich.game.pieces[name].label for name in rich.game.goals["west"].takes]
    assert roles.highest.taken == ("piece" if len(taken) == len(rich.game.pieces) else " or ".join(taken))
    assert read_kit(OWN_FOLDER).roles.highest.taken == "bobbin", "one of two kinds"
    assert read_kit(OWN_FOLDER).roles.highest.together == "rafter, 680 mm high"
    assert named("best") == "window"
    assert named("reach_in") == "cranny" and named("low") == "tunnel" and named("ramp") == "slope"
    assert roles.hang is None and roles.pair is None and roles.self_driving is None
    assert named("set") == "trio" and roles.set.need == 3, "a set has one of each colour"
    assert named("threshold") == "full" and named("zone") == "spot" and named("place") == "own"


def test_first_and_second_by_points_a_second(rich):
    """People 2 + 2 + 0.5 + 1.5 s; from the nearest place, 1 m: (way + 1) x 2 at 0.8 m/s, and up at 0.5 m/s."""
    people, rates = 2 + 2 + 0.5 + 1.5, {}
    for name, goal in rich.game.goals.items():
        rates[name] = goal.points / (people + 2 * (goal.way + 1) / 0.8 + goal.height / 0.5)
    order = sorted(rates, key=lambda name: -rates[name])
    assert [rich.roles.first.name, rich.roles.second.name] == order[:2] == ["window", "west"]
    assert rich.table("goals").usual == "window"


def test_people_who_stand_for_nothing_are_added_up(rich):
    people = rich.roles.people
    assert (people.find.likely, people.line_up.likely, people.clear_jam.high) == (2, 0, 0)
    assert (people.more_piece.low, people.more_piece.likely, people.more_piece.high) == (1, 2.5, 5)
    assert (people.more_trip.likely, people.more_piece.label) == (1.5, "hand over and turn it")
    assert rich.spread("human_more_piece").high == pytest.approx(2.5)


def test_the_end(rich):
    ending = rich.roles.ending
    assert (ending.tried, ending.left, ending.tried_points, ending.left_points) == ("slope", "spot", 6, 3)


def test_limits_that_are_left_out_are_none(rich):
    limits = rich.game.limits
    assert (limits.start_length, limits.start_width, limits.start_height) == pytest.approx((0.5, 0.4, 0.35))
    assert limits.mass == limits.motors == limits.hold == limits.level == math.inf


def test_required_tables_alone(tmp_path):
    bare = game_of(tmp_path, HEAD + '[closing.home]\nlabel = "home"\nkind = "zone"\npoints = 5\nway = "1 m"\n')
    assert bare.roles.piece is bare.roles.first is bare.roles.highest is bare.roles.low is None
    assert bare.roles.match.driven == 100 and bare.roles.match.self_driving == 0 and bare.roles.match.factor == 1
    assert bare.table("goals").names == ("none",) and bare.table("goals").row("none")["points"] == 0
    assert len(bare.notes) == 2 and "no [human] steps" in bare.notes[0] and "no pieces" in bare.notes[1]


def test_the_old_form_is_brought_over(tmp_path):
    """A game in the form of before: the same numbers, read off OLD by hand, and each assumption told."""
    old = tmp_path / "old"
    old.mkdir()
    (old / "game.toml").write_text(OLD, encoding="utf-8")
    (old / "robots.toml").write_text(
        '[robots.one]\nshelves = ["ledge"]\nhang_chance = 0.5\n[robots.one.steps]\n'
        'way = { drive = "1 m", passes = "beam" }\n[robots.one.bar]\nway = { drive = "1 m" }\n',
        encoding="utf-8",
    )
    with pytest.raises(KitError, match="is of an older form: python3 -m mechbench kit convert .* overwrites nothing"):
        read_kit(old)
    done = convert(old, tmp_path / "new")
    assert [path.name for path in done.files] == ["game.toml", "robots.toml"]
    assert len(done.assumed) == 4 and "20 of 40 pieces lie open, 1.1 m from the middle" in done.assumed[0]
    (old / "robots.toml").rename(tmp_path / "robots.toml")
    beside = [convert(old).files[0].parent for _ in range(2)]
    assert beside == [tmp_path / "old-new", tmp_path / "old-new-2"], "a free name beside, nothing is written over"
    assert (beside[0] / "game.toml").read_bytes() == (tmp_path / "new" / "game.toml").read_bytes()
    words = (tmp_path / "new" / "robots.toml").read_text(encoding="utf-8")
    assert 'goals = ["ledge"]' in words and "closing_chance = 0.5" in words and "[robots.one.closing]" in words
    (tmp_path / "new" / "robots.toml").unlink()
    new = read_kit(tmp_path / "new")
    same_numbers_as_in_old(new)
    with pytest.raises(KitError, match="already holds game.toml; choose a new folder, nothing was written"):
        convert(old, tmp_path / "new")
    with pytest.raises(KitError, match="is not of the old form"):
        convert(tmp_path / "new", tmp_path / "third")


def same_numbers_as_in_old(kit):
    """Every number of OLD, in SI, in its new place."""
    game, roles = kit.game, kit.roles
    goals = {name: (one.height, one.depth, one.rim, one.points, one.capacity) for name, one in game.goals.items()}
    assert goals.keys() == {"ledge", "loft"}
    assert goals["ledge"] == pytest.approx((0.21, 0.16, 0.014, 2, math.inf))
    assert goals["loft"] == pytest.approx((0.62, 0.16, 0.014, 7, 9))
    steps = {name: (one.low, one.likely, one.high, one.label) for name, one in game.human.items()}
    assert steps == {
        "find": (0.5, 1.1, 2.5, "find a crock"),
        "line_up": (0.9, 1.6, 3.5, "line up at a ledge"),
        "held_up": (0, 0.4, 4.5, "held up by traffic"),
        "clear_jam": (2, 4, 9, "clear a jam"),
    }
    hang = game.closing["hang"]
    assert (hang.bar_diameter, hang.bar_height, hang.clear, hang.judged_after, hang.points) == pytest.approx(
        (0.028, 0.57, 0.022, 6, 21)
    )
    assert game.closing["park"].points == 3
    crock = roles.piece
    assert (crock.diameter, crock.height, crock.mass, crock.lying_share) == pytest.approx((0.07, 0.11, 0.13, 0.25))
    assert (crock.label, crock.plural, crock.shape, crock.colours, crock.count) == (
        "crock",
        "crocks",
        "cylinder",
        2,
        40,
    )
    limits = game.limits
    box = (limits.start_length, limits.start_width, limits.start_height, limits.height, limits.level, limits.mass)
    assert box == pytest.approx((0.41, 0.41, 0.41, 0.87, 0.96, 16.5))
    assert (limits.motors, limits.servos, limits.hold) == (6, 10, 2)
    assert (roles.low.clear_height, roles.low.way_round, roles.pair.points) == pytest.approx((0.32, 1.7, 3))
    assert (game.places["pens"].depth, game.places["pens"].gap) == pytest.approx((0.22, 0.33))
    match = roles.match
    assert (match.factor, match.self_driving, match.driven, match.closing) == (1.25, 25, 140, 27)


OLD = """
[game]
label = "Potters' Row"
[field]
width = "3.30 m"
floor = "foam"
robots_a_side = 2
[piece]
label = "crock"
plural = "crocks"
shape = "cylinder"
diameter = "70 mm"
height = "110 mm"
mass = "130 g"
colours = 2
count = 40
fallen_share = 0.25
[pens]
count = 4
depth = "220 mm"
gap = "330 mm"
[shelves]
every = { depth = "160 mm", lip = "14 mm" }
ledge = { label = "ledge", height = "210 mm", points = 2 }
loft = { label = "loft", height = "620 mm", points = 7, capacity = 9 }
[bonus]
same_colour_pair = 3
self_driving_factor = 1.25
[beam]
clear_height = "320 mm"
way_round = "1.7 m"
[possession]
limit = 2
[robot]
start_cube = "410 mm"
height_limit = "870 mm"
level_limit = "960 mm"
mass_limit = "16.5 kg"
motors = 6
servos = 10
[match]
self_driving = "25 s"
driven = "140 s"
closing = "27 s"
[closing]
bar_diameter = "28 mm"
bar_height = "570 mm"
wheels_clear = "22 mm"
judged_after = "6 s"
hang_points = 21
park_points = 3
[human]
find = { label = "find a crock", low = "0.5 s", likely = "1.1 s", high = "2.5 s" }
line_up = { label = "line up at a ledge", low = "0.9 s", likely = "1.6 s", high = "3.5 s" }
held_up = { label = "held up by traffic", low = "0 s", likely = "0.4 s", high = "4.5 s" }
clear_jam = { label = "clear a jam", low = "2 s", likely = "4 s", high = "9 s" }
"""
