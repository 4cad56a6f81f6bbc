"""What defaults follow from a game: the points that a plain robot makes, by hand, in the own game and in others.

A plain robot brings one piece after another into the goal at hand, and what that does not take into the goal after it.
Per piece: people's steps at the mean of a triangle (low + likely + high) / 3, the way from the nearest pieces and back
at 0.8 m/s, raising at 0.5 m/s. Both speeds are assumed.
"""

import pytest

from mechbench.catalog import ROBOT, judge, sizing_of
from mechbench.engine.inputs import Tables
from mechbench.kits import figures, read_kit
from mechbench.kits import kit as kit_in_force
from mechbench.kits.load import OWN_FOLDER
from tests.kits.variants import BY_HAND

SECOND = BY_HAND.parents[1] / "kits" / "second_kit"
TESTS = BY_HAND.parents[1]


def wanted(kit):
    """What `size robot` and `size cycle` ask of a match with this kit, if nobody says it."""
    first = {sizing_of(name).field("points_wanted").first(Tables(sizing_of(name), kit)) for name in (ROBOT, "cycle")}
    return first.pop() if len(first) == 1 else first


def with_game(folder, source, *changes):
    """A kit of one game alone, with places of its text changed."""
    text = (source / "game.toml").read_text(encoding="utf-8")
    for old, new in changes:
        assert text.count(old) >= 1, old
        text = text.replace(old, new)
    folder.mkdir()
    (folder / "game.toml").write_text(text, encoding="utf-8")
    return read_kit(folder)


def trip(people, ways, height):
    """Seconds for one piece: people's steps, there and back, raising."""
    return sum(sum(step) / 3 for step in people) + 2 * sum(ways) / 0.8 + height / 0.5


def test_in_the_own_game_a_plain_robot_fills_the_loom_and_begins_with_the_hamper():
    """200 s; the loom takes 14 at 5 points, 1.6 m away and 430 mm high; the hamper 2 points, 1.3 m, 160 mm."""
    people = [(0.7, 1.4, 3.4), (0.7, 1.3, 3.6), (0.0, 0.7, 6.0)]
    loom, hamper = trip(people, (1.2, 1.6), 0.43), trip(people, (1.2, 1.3), 0.16)
    assert 14 * loom < 35 + 165
    points = 14 * 5 + 2 * (200 - 14 * loom) / hamper
    assert points == pytest.approx(71.1, abs=0.05)
    assert figures.of_plain_match(kit_in_force()) == pytest.approx(points, rel=1e-12)
    assert wanted(kit_in_force()) == 70.0


def test_in_another_game_people_have_steps_of_their_own():
    """161 s; the hold takes any number at 3 points, 2.0 m away and 430 mm high; people also wait for a ferryman."""
    people = [(0.4, 0.9, 2.3), (1.1, 1.8, 4.9), (0.2, 0.8, 6.7), (0.9, 2.1, 5.6)]
    kit, points = read_kit(SECOND), 3 * (18 + 143) / trip(people, (0.6, 2.0), 0.43)
    assert points == pytest.approx(29.1, abs=0.05)
    assert figures.of_plain_match(kit) == pytest.approx(points, rel=1e-12)
    assert wanted(kit) == 29.0


def test_there_are_no_more_points_than_pieces(tmp_path):
    """17 cones at 2 points, nobody waits for anybody: 95 s are more than enough. Three games more by hand."""
    bare = read_kit(TESTS / "kits" / "bare")
    assert 17 * trip([], (1.2,), 0.31) < 95
    assert figures.of_plain_match(bare) == 17 * 2
    short = with_game(tmp_path / "short", TESTS / "kits" / "bare", ('time = "95 s"', 'time = "30 s"'))
    assert figures.of_plain_match(short) == pytest.approx(2 * 30 / trip([], (1.2,), 0.31), rel=1e-12)
    few = with_game(tmp_path / "few", TESTS / "kits" / "bare", ("count = 17", "count = 8"))
    assert figures.of_plain_match(few) == 8 * 2
    one = with_game(tmp_path / "one", TESTS / "kits" / "bare", ('way = "1.2 m"', 'way = "1.2 m"\ncapacity = 1'))
    assert figures.of_plain_match(one) == 2, "there is no goal after the only one"


@pytest.mark.parametrize("name", ["second_kit", "flat", "bare"])
def test_the_usual_cycle_makes_that_on_a_bad_day_too(name):
    report = judge("cycle", {}, read_kit(TESTS / "kits" / name))
    assert report.works_on_bad_day and report.bounds["points"] > 0.4 * report.bad["points"]


@pytest.mark.parametrize(
    "old, new",
    [
        ('high = "3.4 s"', 'high = "6.8 s"'),
        ('likely = "1.3 s"', 'likely = "2.6 s"'),
        ('way = "1.6 m"', 'way = "2.4 m"'),
        ('way = "1.2 m"', 'way = "1.3 m"'),
        ("capacity = 14", "capacity = 5"),
        ('time = "165 s"', 'time = "120 s"'),
    ],
)
def test_what_makes_a_game_slower_or_poorer_never_asks_for_more(old, new, tmp_path):
    changed = with_game(tmp_path / "kit", OWN_FOLDER, (old, new))
    assert figures.of_plain_match(changed) < figures.of_plain_match(kit_in_force())


@pytest.mark.parametrize("value, asked", [(71.1, 70), (50.0, 50), (49.9, 49), (29.1, 29), (0.987, 0.98), (0.0, 0.0)])
def test_a_wish_is_rounded_down(value, asked):
    assert figures.at_most(lambda kit: value)(None) == pytest.approx(asked, rel=1e-12)
    assert figures.at_most(lambda kit: None)(None) is figures.at_most(lambda kit: float("inf"))(None) is None
