"""What a mentor need not know of a part or a piece: what stands in for it, and what is said about it."""

import re
from pathlib import Path

import pytest

from mechbench.desk import kit_use
from mechbench.kits import KitError, read_kit
from mechbench.kits.load import look, own_kit

GAME = '[game]\nlabel = "x"\n[phases.driven]\nkind = "driven"\ntime = "1 min"\n'
SIZES = 'length = "150 mm"\nwidth = "110 mm"\nheight = "60 mm"\n'
BAG = f'[pieces.bag]\nlabel = "bag"\nshape = "soft"\nmass = "0.3 kg"\n{SIZES}'
BIN = '[goals.bin]\nlabel = "bin"\nkind = "bin"\nheight = "0.2 m"\npoints = 1\nway = "1 m"\n'
WHEEL = '[wheels.tyre]\nlabel = "tyre"\nkind = "{}"\ndiameter = "92 mm"\nwidth = "24 mm"\nmass = "105 g"\n'
PAIR = '[friction.tiles]\nlabel = "tyre on tiles"\nvalue = 0.95\n'


def folder(tmp_path, parts="", game=BAG + "count = 12\n"):
    (tmp_path / "game.toml").write_text(GAME + game + BIN, encoding="utf-8")
    (tmp_path / "parts.toml").write_text(parts, encoding="utf-8")
    return tmp_path


def test_a_soft_piece_needs_no_number_that_no_sum_uses(tmp_path):
    piece = read_kit(folder(tmp_path)).game.pieces["bag"]
    assert (piece.stiffness, piece.floor_grip, piece.height) == (None, None, 0.06)


def test_of_a_fuse_its_rating_is_enough(tmp_path):
    kit = read_kit(folder(tmp_path, '[fuse]\nrating = "20 A"\n'))
    assert kit.fuse.rating == 20.0 and "fuse" not in kit.borrowed
    # ISO 8820-3, blade fuses, from memory: the times are given at shares of the rating, whatever the rating is.
    for key in ("holds", "ratio", "time", "time_quick"):
        assert getattr(kit.fuse, key) == getattr(own_kit().fuse, key), key
    assert any("[fuse]" in note and "only its rating is given" in note for note in kit.notes)


def test_the_guard_of_the_courses_own_controller_goes_with_the_battery(tmp_path):
    """The own guard cuts 16 V off below 11 V, 0.6875 of it; of 12 V that is 8.25 V. Both in parts.toml."""
    battery = 'label = "pack"\nnominal = "12 V"\ncapacity = "3 A·h"\nopen_circuit = "12.9 V"\nmass = "0.6 kg"\n'
    kit = read_kit(folder(tmp_path, f"[battery]\n{battery}"))
    assert (own_kit().controller.reset_level, own_kit().battery.nominal) == (11.0, 16.0)
    assert kit.controller.reset_level == 8.25 and any("same share of its voltage, 8.25 V" in one for one in kit.notes)
    ours = '[controller]\noutput_limit = "8 A"\nelectronics = "0.6 A"\nreset_level = "9 V"\n'
    assert read_kit(folder(tmp_path, f"[battery]\n{battery}{ours}")).controller.reset_level == 9.0
    assert read_kit(folder(tmp_path)).controller.reset_level == 11.0


@pytest.mark.parametrize("given", ["ratio = [1.4, 2.0]", 'time = ["9 s", "1 s"]', 'time_quick = ["9 s", "1 s"]'])
def test_half_a_curve_of_a_fuse_is_none(tmp_path, given):
    faults, _ = look(folder(tmp_path, f'[fuse]\nrating = "20 A"\n{given}\n'))
    assert len(faults) == 1 and "belong together: give both, or leave both out" in faults[0]


def test_a_fuse_with_its_own_curve_is_left_as_it_is(tmp_path):
    curve = 'rating = "20 A"\nratio = [1.4, 2.0]\ntime = ["99 s", "1 s"]\n'
    kit = read_kit(folder(tmp_path, f"[fuse]\nholds = 1.2\n{curve}"))
    assert kit.fuse.holds == 1.2 and kit.fuse.time_quick == (99.0, 1.0) and not kit.notes[2:]
    assert read_kit(folder(tmp_path, f"[fuse]\n{curve}")).fuse.holds == own_kit().fuse.holds


BATTERY = (
    'nominal = "12 V"\ncapacity = "3 A·h"\nopen_circuit = "13 V"\nopen_circuit_empty = "11.5 V"\nmass = "0.5 kg"\n'
)


def test_an_old_battery_has_twice_the_resistance(tmp_path):
    """Twice is where a battery's life is said to end: common practice, no source."""
    text = f'[battery]\nlabel = "pack"\nresistance = "0.09 ohm"\n{BATTERY}'
    kit = read_kit(folder(tmp_path, text))
    assert kit.battery.resistance_worn == pytest.approx(0.18)
    assert kit.spread("battery_resistance").high == pytest.approx(0.09)
    told = read_kit(folder(tmp_path, text + 'resistance_worn = "0.1 ohm"\n'))
    assert told.battery.resistance_worn == 0.1


def test_a_slide_rubs_as_the_courses_own(tmp_path):
    slide = (
        '[slides.s]\nlabel = "s"\nstage_length = "330 mm"\nstage_travel = "240 mm"\nstage_mass = "0.2 kg"\nfewest = 1\n'
    )
    kit = read_kit(folder(tmp_path, slide + 'most = 4\ndrag = "2 N"\n'))
    assert kit.table("slides").row("s")["rail"] == own_kit().friction("slide_rail")


def test_a_controller_without_loop_time(tmp_path):
    kit = read_kit(folder(tmp_path, '[controller]\noutput_limit = "12 A"\nreset_level = "8 V"\n'))
    assert kit.controller.loop_time == pytest.approx(0.02)  # common practice, no source


def test_a_plain_tyre_grips_sideways_as_ahead(tmp_path):
    """Of an isotropic tyre the direction does not matter: Coulomb's law of friction."""
    traction = read_kit(folder(tmp_path, WHEEL.format("traction") + 'along = "tiles"\n' + PAIR)).table("wheels")
    assert (traction.row("tyre")["along"], traction.row("tyre")["across"]) == (0.95, 0.95)
    omni = read_kit(folder(tmp_path, WHEEL.format("omni") + 'along = "tiles"\n' + PAIR)).table("wheels")
    assert omni.row("tyre")["across"] == own_kit().friction("omni_across")


def test_a_team_without_slides_is_told_what_lessons_show(tmp_path):
    kit = read_kit(folder(tmp_path, '[kit]\nlabel = "k"\nwithout = ["slides", "ratchets"]\n'))
    assert len(kit.table("slides")) and not len(kit.table("ratchets"))
    assert kit.without == ("slides", "ratchets") and not any("slides" in note for note in kit.notes)


def test_what_the_team_has_none_of_can_not_be_there(tmp_path):
    ratchet = '[ratchets.r]\nlabel = "r"\ntorque = "5 N·m"\nmass = "20 g"\n'
    faults, _ = look(folder(tmp_path, f'[kit]\nlabel = "k"\nwithout = ["ratchets"]\n{ratchet}'))
    assert faults == (
        "In parts.toml, [kit], without has ratchets, but there is a table [ratchets]; take one of the two out.",
    )


def test_a_robot_that_needs_more_of_a_part_than_the_team_has_is_noted(tmp_path):
    """Wren drives with two slim motors and raises its arm with a third, as its plan says."""
    own = Path(own_kit().folder)
    for file in ("game.toml", "robots.toml", "parts.toml"):
        text = (own / file).read_text(encoding="utf-8")
        (tmp_path / file).write_text(text.replace("\n[motors.slim]\n", "\n[motors.slim]\nhave = 2\n"), encoding="utf-8")
    _, notes = look(tmp_path)
    (wren,) = (note for note in notes if "[robots.wren]" in note)
    assert wren == "In robots.toml, [robots.wren]: it needs 3 of slim motor, but the team has 2: build another one?"
    text = (tmp_path / "parts.toml").read_text(encoding="utf-8").replace("have = 2", "have = 3")
    (tmp_path / "parts.toml").write_text(text, encoding="utf-8")
    assert not any("[robots.wren]" in note for note in look(tmp_path)[1])
    assert "have" not in read_kit(tmp_path).table("motors").columns


def test_a_share_in_quotes_is_told_how_to_write_it(tmp_path):
    faults, _ = look(folder(tmp_path, game=BAG + 'count = 12\nlying_share = "10 %"\n'))
    assert faults == (
        'In game.toml, [pieces.bag], lying_share is "10 %", but it must be a plain number: write 0.1 without quotes.',
    )
    with pytest.raises(KitError, match="write 0.1 without quotes"):
        read_kit(tmp_path)


# --- what a game's rules need not tell ------------------------------------------------------------------------------

SHELF = '[goals.shelf]\nlabel = "long shelf"\nkind = "shelf"\nheight = "0.4 m"\npoints = 3\n'
HEAP = '[places.heap]\nlabel = "heap"\nkind = "open"\npieces = ["bag"]\n'
END = '[closing.flag]\nlabel = "own flag"\nkind = "{}"\npoints = 4\n'
BAGS = BAG + "count = 12\n"


def notes_on(kit, word):
    return [note for note in kit.notes if word in note]


@pytest.mark.parametrize(("field", "way"), [('[field]\nlength = "6 m"\nwidth = "3 m"\n', 1.5), ("", 1.5)])
def test_a_way_that_no_rule_tells_is_assumed_and_told(tmp_path, field, way):
    """A quarter of the field's length: half way from the middle to an end. Without a field 1.5 m."""
    kit = read_kit(folder(tmp_path, game=BAGS + field + HEAP + SHELF + END.format("zone")))
    game = kit.game
    assert game.places["heap"].way == game.goals["shelf"].way == game.closing["flag"].way == way
    assert game.goals["bin"].way == 1.0
    (told,) = notes_on(kit, "way of")
    assert "way of heap, long shelf, own flag is not given: 1.5 m is assumed" in told
    assert ("a quarter of the field's length" in told) == bool(field)


def test_a_quarter_of_the_field_follows_its_length(tmp_path):
    kit = read_kit(folder(tmp_path, game=BAGS + '[field]\nlength = "3 m"\n' + SHELF))
    assert kit.game.goals["shelf"].way == pytest.approx(0.75) and "way of long shelf" in notes_on(kit, "way of")[0]


def test_a_game_that_gives_all_ways_is_told_nothing_of_them(tmp_path):
    assert not notes_on(read_kit(folder(tmp_path)), "way of")


def test_writing_the_way_that_is_assumed_changes_no_digest(tmp_path):
    assumed = read_kit(folder(tmp_path, game=BAGS + SHELF)).digest
    assert read_kit(folder(tmp_path, game=BAGS + SHELF + 'way = "1.5 m"\n')).digest == assumed


def test_a_piece_may_have_a_place_of_its_own_at_the_end(tmp_path):
    task = read_kit(folder(tmp_path, game=BAGS + END.format("place") + 'height = "300 mm"\n')).game.closing["flag"]
    assert (task.goal, task.height, task.piece) == (None, 0.3, None)
    assert read_kit(folder(tmp_path, game=BAGS + END.format("place"))).game.closing["flag"].height is None


@pytest.mark.parametrize(
    ("more", "fault"),
    [
        (
            'goal = "bin"\nheight = "0.2 m"\n',
            "height is given, but the piece must be in the goal bin, which has its own",
        ),
        ('height = "1.2 m"\n[limits]\nheight = "0.9 m"\n', "height is 1.2 m, but a robot may be 0.9 m"),
    ],
)
def test_a_place_of_its_own_that_can_not_be(tmp_path, more, fault):
    faults, _ = look(folder(tmp_path, game=BAGS + END.format("place") + more))
    assert len(faults) == 1 and "[closing.flag]" in faults[0] and fault in faults[0]


def test_check_tells_whose_friction_it_is(tmp_path, capsys):
    assert kit_use.check(folder(tmp_path)) == 0
    assert re.search(r"The course's own: .*friction\.$", capsys.readouterr().out, re.M)
    assert kit_use.check(folder(tmp_path, PAIR)) == 0
    assert "friction but for tyre on tiles." in capsys.readouterr().out


def test_check_says_nothing_of_friction_that_is_all_the_kits(capsys):
    assert kit_use.check(Path(__file__).parent / "second_kit") == 0
    assert "friction" not in capsys.readouterr().out
