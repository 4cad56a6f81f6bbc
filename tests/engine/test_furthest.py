"""The largest and smallest value that works: on toys in the head, and the numbers that people type against plain
arithmetic with decimal digits.
"""

from dataclasses import replace
from decimal import Decimal

import numpy as np
import pytest

from mechbench.engine.furthest import (
    BAD,
    GOOD,
    LEAST,
    MOST,
    TOGETHER,
    Range,
    Tries,
    failing,
    furthest,
    in_order,
    working_ranges,
)
from mechbench.engine.inputs import Tables
from mechbench.engine.judge import judge_with
from mechbench.engine.spec import Field, Finding, Pick, Sizing
from mechbench.kits import Table
from tests.engine.toys import BOARDS, TABLES, Shelf, toy_kit
from tests.tries import tries

TOYS = Tables(Shelf, toy_kit())
RANGES = tries(40, thorough=2_000)


# --- on a shelf, in the head ----------------------------------------------------------------------------------------


def test_the_heaviest_load_that_a_board_carries_on_a_bad_day():
    """On 12 of 256 days it may be missed; on the next best the load is heavier by 0.243: 200 N / 12.43 are 16.09 kg."""
    found = furthest(Shelf, {}, "load", MOST, TOYS)
    assert found.found.value == pytest.approx(16.0) and found.found.works
    assert found.beyond.value == pytest.approx(16.1) and not found.beyond.works
    assert failing(found.beyond.report) == (("weight",), BAD)
    assert found.inside.value == pytest.approx(14.0) and found.inside.works


def test_the_least_sag_that_a_load_keeps_to():
    """10 kg heavier by 0.243 sag 2 mm for each kilogram: 24.86 mm."""
    found = furthest(Shelf, {}, "sag_allowed", LEAST, TOYS)
    assert found.found.value == pytest.approx(0.0249) and found.beyond.value == pytest.approx(0.0248)
    assert failing(found.beyond.report) == (("sag",), BAD)


def test_it_is_typed_in_the_unit_that_is_shown():
    """16.09 kg are 35.47 lb, of three digits 35.4 lb."""
    found = furthest(Shelf, {}, "load", MOST, TOYS, "lb")
    assert found.found.value == pytest.approx(35.4 * 0.45359237) and found.beyond.value > 35.4 * 0.45359237
    assert found.found.works and not found.beyond.works


def test_where_only_the_range_ends_nothing_is_beyond():
    found = furthest(Shelf, {}, "load", LEAST, TOYS)
    assert found.found.value == 1.0 and found.beyond is None and found.inside.value > 1.0
    found = furthest(Shelf, {}, "sag_allowed", MOST, TOYS)
    assert found.found.value == pytest.approx(0.2) and found.beyond is None


def test_where_nothing_works_the_nearest_miss_is_told():
    """49 kg sag by 98 mm on a good day, and by 122 mm on a bad one; their weight fails anyhow."""
    found = furthest(Shelf, {"load": 49.0}, "sag_allowed", LEAST, TOYS)
    assert found.found is None and found.beyond is None
    assert failing(found.miss.report) == (("weight",), GOOD)
    assert found.miss.report.good_margin["sag"] >= 0, "a nearer one misses the weight alone"


def test_a_count_is_tried_one_by_one():
    found = furthest(Shelf, {}, "count", LEAST, TOYS)
    assert (found.found.value, found.beyond, found.inside.value) == ("1", None, "2")
    assert in_order(Shelf.field("count"), TOYS) == ["1", "2", "3", "4"]
    assert in_order(Shelf.field("board"), TOYS) == []


class Boards(Shelf):
    """Each board carries its share, and is in the way."""

    FIELDS = (*Shelf.FIELDS, Field("most", "Boards that fit in", "", 0.0, 9.0, 3.0, ""))
    FINDINGS = (*Shelf.FINDINGS, Finding("boards", "boards", "", "", "at most", "most", counted=True))

    @staticmethod
    def solve(x):
        """The weight is that on one board."""
        found = Shelf.solve(x)
        return {**found, "weight": found["weight"] / x.count.number, "boards": x.count.number * np.ones_like(x.load)}


def test_counts_between_two_bounds():
    """40 kg are 497 N on a bad day: three boards of 200 N carry that, of which each sags by 80 mm and more."""
    tables = Tables(Boards, toy_kit())
    given = {"load": 40.0}
    fewest, most = (furthest(Boards, given, "count", way, tables) for way in (LEAST, MOST))
    assert (fewest.found.value, fewest.beyond.value) == ("3", "2")
    assert failing(fewest.beyond.report)[0] == ("weight",)
    assert (most.found.value, most.beyond.value) == ("3", "4") and failing(most.beyond.report)[0] == ("boards",)
    none = furthest(Boards, {"load": 40.0, "most": 2.0}, "count", MOST, tables)
    assert none.found is None and none.miss.value in ("2", "3") and not none.miss.works


# --- what works need not hang together ------------------------------------------------------------------------------


class Comb(Sizing):
    """Works from 10 to 20, from 50 to 60, and can't be built above 70; nothing varies from day to day."""

    NAME = "comb"
    FIELDS = (
        Field("place", "Place", "mm", 0.0, 100.0, 15.0, ""),
        Pick("board", "Board", "boards", "middle", "for nothing"),
    )
    FINDINGS = (
        Finding("depth", "depth", "mm", "", "at least", 0.0, scale=1.0),
        Finding("height", "height", "mm", "", "at most", 55.5),
    )
    SPREADS = {}

    @staticmethod
    def solve(x):
        """How far inside the nearer tooth."""
        if np.any(x.place > 0.07):
            raise ValueError("place is beyond 70 mm; choose less.")
        teeth = [0.005 - np.abs(x.place - middle) for middle in (0.015, 0.055)]
        return {"depth": np.maximum(*teeth), "height": x.place}


COMB = Tables(Comb, toy_kit())


def test_every_range_that_works_is_found_and_its_ends():
    runs = working_ranges(Comb, {}, "place", COMB).runs
    assert [(low.found.value, high.found.value) for low, high in runs] == [
        (pytest.approx(0.010), pytest.approx(0.020)),
        (pytest.approx(0.050), pytest.approx(0.0555)),
    ]
    assert failing(runs[0][1].beyond.report)[0] == ("depth",) and failing(runs[1][1].beyond.report)[0] == ("height",)
    assert [low.way for low, _ in runs] == [LEAST] * 2 and [high.way for _, high in runs] == [MOST] * 2


def test_the_outermost_one_is_taken():
    assert furthest(Comb, {}, "place", MOST, COMB).found.value == pytest.approx(0.0555)
    assert furthest(Comb, {}, "place", LEAST, COMB).found.value == pytest.approx(0.010)


class Built(Comb):
    """Works as far as it can be built."""

    FINDINGS = Comb.FINDINGS[1:]

    @staticmethod
    def solve(x):
        """The place alone."""
        return {"height": Comb.solve(x)["height"] * 0.5}


def test_what_can_not_be_built_ends_it_and_says_why():
    found = furthest(Built, {}, "place", MOST, Tables(Built, toy_kit()))
    assert found.found.value == pytest.approx(0.07) and found.found.works
    assert found.beyond.report is None and found.beyond.problem == "place is beyond 70 mm; choose less."


def test_nothing_that_can_be_built():
    class Never(Built):
        """Always refuses."""

        @staticmethod
        def solve(x):
            """Nothing."""
            raise ValueError("nothing can be built.")

    found = furthest(Never, {}, "place", MOST, Tables(Never, toy_kit()))
    assert found.found is None and found.miss.report is None and found.miss.problem == "nothing can be built."


def test_many_are_not_solved_on_all_days():
    """What is solved in all is less than a tenth of the whole grid on all days; else the search is not quick."""
    rows = []

    class Counted(Shelf):
        """Counts its rows."""

        @staticmethod
        def solve(x):
            """As the shelf."""
            rows.append(np.size(x.load))
            return Shelf.solve(x)

    tables = Tables(Counted, toy_kit())
    tries_ = Tries(Counted, {}, "load", tables, "kg")
    rows.clear()
    place = tries_.first(tries_.range.grid()[::-1])
    assert place is not None and sum(rows) < 256 * len(tries_.range.grid()) / 10


def test_met_each_by_itself_but_not_together():
    class Two(Shelf):
        """Two boards, each of which fails on other days."""

        FIELDS = (Field("load", "Load", "kg", 1, 50, 10, ""), Field("other", "Other", "kg", 1, 50, 10, ""))
        FINDINGS = (
            Finding("one", "weight of one", "N", "", "at most", 124.35),
            Finding("two", "weight of the other", "N", "", "at most", 124.35),
        )
        SPREADS = {"load": "mass", "other": "mass"}
        DRAWN = ()

        @staticmethod
        def solve(x):
            """Weights."""
            return {"one": 10 * x.load, "two": 10 * x.other}

    report = judge_with(Two, {}, Tables(Two, toy_kit()))
    assert min(report.bad_margin.values()) >= 0 > report.joint_margin, "else this asks nothing"
    assert sorted(failing(report)[0]) == ["one", "two"] and failing(report)[1] == TOGETHER
    assert failing(judge_with(Two, {"load": 1.0, "other": 1.0}, Tables(Two, toy_kit()))) == ((), BAD)


def test_whether_physics_ends_where_the_range_does():
    class Whole(Built):
        """Has its range end where it can't be built any more."""

        FIELDS = (replace(Comb.FIELDS[0], high=70.0), Comb.FIELDS[1])

    assert furthest(Whole, {}, "place", MOST, Tables(Whole, toy_kit())).physics
    assert not furthest(Whole, {}, "place", LEAST, Tables(Whole, toy_kit())).physics


def test_what_rests_on_assumed_numbers_is_told_apart():
    """A strength of 200 N that may be half of it: surely 100 N, 8.04 kg on a bad day; as assumed 16.09 kg."""
    middle = {"middle": {"strength": (0.5, 1.0)}}
    boards = Table("boards", BOARDS.names, "middle", BOARDS.labels, BOARDS.columns, assumed=middle)
    bands = replace(toy_kit("half"), _tables={**TABLES, "boards": boards})
    found = furthest(Shelf, {}, "load", MOST, Tables(Shelf, bands))
    assert found.found.works and found.found.value <= 8.04 and found.found.value == pytest.approx(8.04, rel=0.01)
    assert not found.beyond.report.known and found.as_assumed.report.works_on_bad_day
    assert found.found.value < found.as_assumed.value <= 16.0


# --- narrow bands ---------------------------------------------------------------------------------------------------


class Band(Sizing):
    """Works from `low`, of each kilogram, to `high`: the load is heavier on a bad day, so the band is narrower then."""

    NAME = "band"
    FIELDS = (
        Field("place", "Place", "mm", 0.0, 100.0, 0.0, ""),
        Field("low", "Low end", "mm", 0.001, 100.0, 40.0, ""),
        Field("high", "High end", "mm", 0.001, 100.0, 60.0, ""),
        Field("load", "Load", "kg", 1.0, 2.0, 1.0, ""),
        Pick("board", "Board", "boards", "middle", "for nothing"),
    )
    FINDINGS = (
        Finding("over", "place for each kilogram", "mm", "", "at least", "low"),
        Finding("under", "place", "mm", "", "at most", "high"),
    )
    SPREADS = {"load": "mass"}

    @staticmethod
    def solve(x):
        """The place, and its share for each kilogram."""
        return {"over": x.place / x.load, "under": x.place}


class WideBand(Band):
    """The same in a range with many small values."""

    FIELDS = (Field("place", "Place", "mm", 1.0, 100.0, 1.0, ""), *Band.FIELDS[1:])


class Steep(Band):
    """The same without a way towards the band: outside it each place misses by as much, on every day."""

    FINDINGS = (Finding("inside", "whether it is inside", "", "", "at least", 1.0),)
    SPREADS = {}

    @staticmethod
    def solve(x):
        """1 inside, 0 outside."""
        return {"inside": np.where((x.place >= x.low) & (x.place <= x.high), 1.0, 0.0)}


def band(luck, heavier, share):
    """A band somewhere from 2 to 100 mm and so wide a share of 100 mm on a bad day; its ends on a bad day, in mm."""
    width = 100 * share
    low = luck.uniform(2.0, 100.0 - width)
    return {"low": low / heavier / 1000, "high": (low + width) / 1000}, low, low + width


@pytest.mark.parametrize(
    "sizing, heavier, narrowest", [(Band, 1.243, 0.002), (WideBand, 1.243, 0.002), (Steep, 1.0, 0.005)]
)
def test_a_narrow_band_is_found_wherever_it_is(sizing, heavier, narrowest):
    """A bad day is heavier by 0.243 at most (12 of 256 days are heavier). Numbers of three digits, worked out apart."""
    tables, luck = Tables(sizing, toy_kit()), np.random.default_rng(11)
    for _ in range(RANGES):
        given, low, high = band(luck, heavier, np.exp(luck.uniform(np.log(narrowest), np.log(0.05))))
        place = Decimal("0.1") if high >= 10 else Decimal("0.01")
        largest = float(Decimal(high) // place * place)
        place = Decimal("0.1") if low > 10 else Decimal("0.01")
        smallest = float(-(-Decimal(low) // place) * place) if Decimal(low) % place else low
        most, least = (furthest(sizing, given, "place", way, tables) for way in (MOST, LEAST))
        assert most.found is not None and least.found is not None, (low, high)
        assert most.found.value * 1000 == pytest.approx(largest), (low, high)
        assert least.found.value * 1000 == pytest.approx(smallest + float(place) * (smallest < low)), (low, high)
        ((one, other),) = working_ranges(sizing, given, "place", tables).runs
        assert (one.found.value, other.found.value) == (least.found.value, most.found.value)


def test_the_usual_value_is_tried_however_narrow_the_band_around_it():
    class Usual(Steep):
        """Opens with 73.3 mm, which no even grid has."""

        FIELDS = (Field("place", "Place", "mm", 0.0, 100.0, 73.3, ""), *Band.FIELDS[1:])

    given, tables = {"low": 0.07329, "high": 0.07331}, Tables(Usual, toy_kit())
    for way in (MOST, LEAST):
        assert furthest(Usual, given, "place", way, tables).found.value == pytest.approx(0.0733)
    assert len(working_ranges(Usual, given, "place", tables).runs) == 1


def test_where_nothing_works_it_is_told_how_many_were_tried_and_the_nearest_is_near():
    """From 60 mm up, to 40 mm down, as shares of these bounds: (60 - p) / 60 is (p - 40) / 40 at 48 mm."""
    tables = Tables(Band, toy_kit())
    none = furthest(Band, {"low": 0.06, "high": 0.04}, "place", MOST, tables)
    assert none.found is None and none.tried > 200
    assert none.miss.value * 1000 == pytest.approx(48.0, abs=0.1)


def test_what_is_counted_in_whole_steps_gives_whole_numbers():
    class Whole(Steep):
        """Pieces, one by one."""

        FIELDS = (Field("place", "Pieces", "", 0.0, 9.0, 1.0, "", step=1.0), *Band.FIELDS[1:3])
        FINDINGS = (Finding("inside", "pieces", "", "", "at most", 6.5),)

        @staticmethod
        def solve(x):
            """As many."""
            return {"inside": x.place}

    numbers = Range(Whole.FIELDS[0], "")
    assert numbers.grid() == list(range(10)) and (numbers.next(3.0, 1), numbers.next(9.0, 1)) == (4.0, None)
    found = furthest(Whole, {}, "place", MOST, Tables(Whole, toy_kit()))
    assert (found.found.value, found.beyond.value, found.inside.value) == (6.0, 7.0, 5.0)


# --- the numbers that people type -----------------------------------------------------------------------------------


def digits_of(number):
    """How many digits a number has, without the zeros around them."""
    return len(Decimal(repr(number)).normalize().as_tuple().digits)


@pytest.mark.parametrize(
    "low, high, number, above, below",
    [
        (0.05, 2.0, 0.613, 0.614, 0.612),
        (0.05, 2.0, 0.999, 1.0, 0.998),
        (0.05, 2.0, 1.0, 1.01, 0.999),
        (1.0, 7000.0, 1000.0, 1010.0, 999.0),
        (-80.0, 80.0, 0.0, 0.01, -0.01),
        (-80.0, 80.0, -40.0, -39.9, -40.1),
        (0.05, 2.0, 2.0, None, 1.99),
        (0.05, 2.0, 0.05, 0.0501, None),
    ],
)
def test_the_next_number_that_people_type(low, high, number, above, below):
    numbers = Range(Field("n", "N", "kg", low, high, low, ""), "kg")
    assert (numbers.next(number, 1), numbers.next(number, -1)) == (above, below)


def test_no_number_lies_between_two_neighbours_and_none_has_more_than_three_digits():
    luck = np.random.default_rng(5)
    for _ in range(RANGES):
        low = float(f"{luck.uniform(-100, 100):.2g}")
        high = low + float(f"{10 ** luck.uniform(-1, 3):.2g}")
        numbers = Range(Field("n", "N", "mm", low, high, low, ""), "mm")
        grid = numbers.grid()
        assert grid == sorted(set(grid)) and (grid[0], grid[-1]) == (numbers.low, numbers.high)
        assert low <= numbers.low < numbers.high <= high + 1e-9 * abs(high)
        for number in luck.choice(grid, 5):
            after = numbers.next(float(number), 1)
            if after is None:
                continue
            assert digits_of(after) <= 3 and numbers.next(after, -1) == pytest.approx(
                float(number), rel=1e-9, abs=1e-12
            )
            assert numbers.between(float(number), after) == []
        one, other = sorted(luck.choice(grid, 2, replace=False))
        inner = numbers.between(float(other), float(one))
        assert inner == sorted(inner, reverse=True) and all(one < n < other for n in inner)


def test_small_values_of_a_wide_range_have_their_own_places():
    grid = Range(Field("n", "N", "N·m", 0.05, 20.0, 1.0, ""), "N·m").grid()
    assert sum(number < 0.5 for number in grid) >= 10 and np.max(np.diff(grid)) <= 0.4 + 1e-9
