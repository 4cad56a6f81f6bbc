"""Two wheels as one part: what they are, driver, driven, and the nearest of another kind; by hand, and in four kits."""

from math import log
from pathlib import Path

import pytest

from mechbench.catalog import sizing_of
from mechbench.engine.inputs import Tables
from mechbench.kits import read_kit, two_wheels
from mechbench.kits.load import own_kit
from mechbench.kits.tables import Table

KITS = {name: Path(__file__).parent / name for name in ("second_kit", "flat", "bare")}

# Brass wheels of 10, 20 and 30 teeth in some pairs only, oak wheels of 12 and 48, and one row that is no pair.
ROWS = [
    ("bare", "bare", "nothing between", 1, 1),
    ("b1", "brass", "brass wheel", 10, 20),
    ("b2", "brass", "brass wheel", 10, 30),
    ("b3", "brass", "brass wheel", 30, 20),
    ("o1", "oak", "oak wheel", 12, 48),
    ("o2", "oak", "oak wheel", 48, 12),
]


def table_of(rows=ROWS):
    names, families, words, first, second = zip(*rows)
    columns = {"teeth_in": first, "teeth_out": second, "ratio": [b / a for a, b in zip(first, second)]}
    labels = {name: two_wheels.label_of(said, one, other) if one > 1 else said for name, _, said, one, other in rows}
    return Table("any", names, names[0], labels, columns, {"family": families, "wheels": words})


def test_lists_hold_what_exists():
    pairs = two_wheels.Pairs(table_of(), [row[0] for row in ROWS])
    assert pairs.families == {"bare": "nothing between", "brass": "brass wheel", "oak": "oak wheel"}
    assert pairs.drivers("bare") == [], "one row is no choice"
    assert pairs.drivers("brass") == [10, 30] and pairs.driven("brass", 10) == [20, 30]
    assert pairs.driven("brass", 30) == [20] and pairs.driven("oak", 48) == [12]
    assert pairs.place("b3") == ("brass", 30, 20) and pairs.named("oak", 12, 48) == "o1"
    assert "b1" in pairs and "none" not in pairs
    assert "b1" not in two_wheels.Pairs(table_of(), ["bare", "o1"])


def test_the_nearest_in_ratio():
    """Brass has 2, 3 and 2/3. As ratios 2.5 is nearer to 3 (1.2) than to 2 (1.25); 1 is nearer to 2/3 than to 2; equal
    (1/4 and 4 to 1) is the one that makes slower.
    """
    pairs = two_wheels.Pairs(table_of(), [row[0] for row in ROWS])
    assert pairs.nearest("brass", 2.5) == "b2" and pairs.nearest("brass", 2.4) == "b1"
    assert pairs.nearest("brass", 1.0) == "b3" and pairs.nearest("oak", 1.0) == "o1"
    assert pairs.nearest("brass", 2.5, driver=30) == "b3"
    assert pairs.with_kind("brass", (10, 20), 3.0) == "b1", "the same teeth go first"
    assert pairs.with_kind("brass", (9, 27), 3.0) == "b2"


def test_words_with_and_without_teeth():
    assert two_wheels.words_of("oak wheel, 12 teeth") == "oak wheel" and two_wheels.words_of("wheel") == "wheel"
    assert two_wheels.words_of("oak wheel, 12 teeth (course's own)") == "oak wheel (course's own)"
    assert two_wheels.label_of("oak wheel (course's own)", 12, 48) == "oak wheel 12:48 (course's own)"
    assert two_wheels.typed(table_of(), "o1") == "oak_wheel_12:48" and two_wheels.typed(table_of(), "bare") == "bare"


def test_other_tables_are_none_of_pairs():
    kit = own_kit()
    assert not any(two_wheels.is_pairs(kit.table(name)) for name in kit.tables())
    assert two_wheels.is_pairs(table_of())


@pytest.mark.parametrize("sizing", ["train", "pair"])
@pytest.mark.parametrize("name", ["own", *KITS])
def test_every_pair_of_every_kit_is_reached_by_its_three_lists_and_by_what_can_be_typed(name, sizing):
    sizing = sizing_of(sizing)
    tables = Tables(sizing, own_kit() if name == "own" else read_kit(KITS[name]))
    pick = sizing.field("last_stage")
    table, names = tables(pick.table), pick.options(tables)
    pairs = two_wheels.Pairs(table, names)
    reached = {
        pairs.named(family, first, second)
        for family in pairs.families
        for first in pairs.drivers(family)
        for second in pairs.driven(family, first)
    }
    assert reached == {one for one in names if table.row(one)["kind"] != 0} and len(reached) > 2
    for one in names:
        for typed in (one, table.labels[one], two_wheels.typed(table, one)):
            assert pick.read(typed, tables) == one
    ratio = table.row(names[-1])["ratio"]
    for family in pairs.families:
        away = lambda one: abs(log(table.row(one)["ratio"] / ratio))
        least = min(away(one) for one in names if pairs.place(one)[0] == family)
        assert away(pairs.nearest(family, ratio)) == pytest.approx(least, abs=1e-8)


def test_a_pair_by_its_teeth_is_called_like_the_kits_and_typed_again():
    tables = Tables(sizing_of("train"), own_kit())
    pick = sizing_of("train").field("last_stage")
    name = pick.read("chain 16:32", tables)
    table = tables("last_stages")
    assert table.labels[name] == "own chain 16:32" and two_wheels.typed(table, name) == "chain,16:32"
    for again in ("own chain 16:32", "own_chain_16:32", "chain,16:32", name):
        assert pick.read(again, tables.fresh()) == name
    steel = pick.read("12:36 steel", tables)
    label = tables("last_stages").labels[steel]
    assert label == "own steel gear 12:36" and pick.read(label, tables.fresh()) == steel
