"""What a sizing opens with: other parts first, then easier wishes, then less of the job."""

import math

import numpy as np
import pytest

from mechbench.engine import opening as module
from mechbench.engine.inputs import Tables, complete
from mechbench.engine.opening import as_opened, opening, plain
from mechbench.engine.search import search
from mechbench.engine.spec import CHOICE, JOB, Field, Finding, Nearest, Pick, Sizing, two_digits
from mechbench.kits import Kit, Record, Table
from tests.engine.toys import Shelf, toy_kit

KIT = toy_kit()


def opened(sizing):
    return opening(sizing, Tables(sizing, KIT))


class Sags(Shelf):
    """12 kg weigh 120 N: too much for the thin board."""

    FIELDS = (
        Field("load", "Load", "kg", 1, 50, 12, "It", JOB),
        *Shelf.FIELDS[1:2],
        Pick("board", "B", "boards", "thin", ""),
        *Shelf.FIELDS[3:],
    )


def test_defaults_that_work_are_opened():
    found = opened(Shelf)
    assert found.works and found.changed == () and found.values == plain(Shelf, Tables(Shelf, KIT))


def test_where_a_part_fails_the_nearest_that_works_takes_its_place():
    found = opened(Sags)
    assert found.works and found.changed == ("board",) and found.values["board"] == "middle"


def test_a_wish_that_no_part_meets_is_eased():
    """Only the thick board bears 400 N; on it 40 kg sag by 40 mm, and 40 mm / 0.8 are 50 mm."""

    class Stiff(Shelf):
        FIELDS = (
            Field("load", "L", "kg", 1, 50, 40, "", JOB),
            Field("sag_allowed", "S", "mm", 1, 200, 10, "", JOB),
            *Shelf.FIELDS[2:],
        )

    found = opened(Stiff)
    assert found.values["board"] == "thick"
    assert found.values["sag_allowed"] == pytest.approx(0.050)
    assert found.works and set(found.changed) == {"board", "sag_allowed"}


class Heavy(Shelf):
    """45 kg are 450 N, more than the thickest board bears."""

    LESS = ("load",)
    FIELDS = (Field("load", "L", "kg", 1, 50, 45, "", JOB), *Shelf.FIELDS[1:])


def test_a_limit_is_never_eased_the_job_is_halved_instead():
    found = opened(Heavy)
    assert found.values["load"] == 22.5 and found.values["board"] == "thick" and found.works


def test_where_nothing_works_it_opens_as_it_is():
    class Fixed(Heavy):
        LESS = ()

    found = opened(Fixed)
    assert not found.works and found.changed == () and found.values["load"] == 45


def test_a_chosen_number_that_is_tried_counts_as_a_part():
    """12 kg are too much for the thin board, 9 kg are not; the load is chosen here, so that other loads are tried."""

    class Tried(Shelf):
        OPENS_WITH = ()
        TRIES = {"load": ("11 kg", "9 kg", "5 kg")}
        FIELDS = (
            Field("load", "L", "kg", 1, 50, 12, ""),
            Shelf.FIELDS[1],
            Pick("board", "B", "boards", "thin", ""),
            Shelf.FIELDS[3],
        )

    found = opened(Tried)
    assert found.works and found.changed == ("load",) and found.values["load"] == 9


def test_halving_stops_at_the_low_end_and_after_three_times():
    class Least(Heavy):
        FIELDS = (Field("load", "L", "kg", 41, 50, 45, "", JOB), *Shelf.FIELDS[1:])

    assert not opened(Least).works
    assert module.HALVINGS == 3


def test_picks_that_may_not_be_others_stay():
    class Kept(Sags):
        OPENS_WITH = ()

    assert not opened(Kept).works and opened(Kept).values["board"] == "thin"


def test_it_is_looked_for_once(monkeypatch):
    class Counted(Sags):
        pass

    calls = []
    monkeypatch.setattr(Counted, "solve", staticmethod(lambda x: calls.append(1) or Shelf.solve(x)))
    for _ in range(3):
        complete(Counted, {}, Tables(Counted, KIT))
    first = len(calls)
    complete(Counted, {"load": 3}, Tables(Counted, KIT))
    assert 1 < first == len(calls)


def test_where_all_is_given_nothing_is_looked_for(monkeypatch):
    class Told(Sags):
        pass

    monkeypatch.setattr(Told, "solve", staticmethod(lambda x: pytest.fail("nothing is left to open")))
    given = {"load": 3.0, "sag_allowed": 0.1, "board": "thin", "count": "1"}
    assert complete(Told, given, Tables(Told, KIT)) == given


def test_every_face_takes_the_same():
    tables = Tables(Sags, KIT)
    assert complete(Sags, {}, tables) == opened(Sags).values
    assert search(Sags, {}, {"load": [5, 6]}, KIT).values["board"] == "middle"
    assert [one.default for one in as_opened(Sags, tables)] == [12, 100, "middle", "1"]


def test_one_that_cannot_be_built_is_passed_over():
    """The thick board raises; the middle one is found all the same."""

    class Brittle(Sags):
        @staticmethod
        def solve(x):
            if np.any(x.board.mass == 4.0):
                raise ValueError("too thick to be cut")
            return Shelf.solve(x)

    assert opened(Brittle).values["board"] == "middle"


# --- motors and gearboxes of one piece ------------------------------------------------------------------------------


def turned(usual_motor, usual_box):
    """A kit with one plain motor and a gearmotor, whose gears go with it alone."""
    motors = Table("motors", ("bare", "whole"), usual_motor, {}, {"geared": [0.0, 1.0], "speed": [100.0, 10.0]})
    boxes = Table(
        "gearboxes", ("five", "ten", "whole"), usual_box, {}, {"built_in": [0.0, 0.0, 1.0], "ratio": [5.0, 10.0, 1.0]}
    )
    none = dict.fromkeys(("game", "roles", "battery", "fuse", "controller", "servo_rail"))
    return Kit(
        "T",
        f"turned {usual_motor} {usual_box}",
        "",
        **none,
        robots=(),
        notes=(),
        borrowed=(),
        _tables={"motors": motors, "gearboxes": boxes},
        _spreads={},
    )


class Turns(Sizing):
    """A motor with a gearbox turns at a speed."""

    NAME = "turns"
    FIELDS = (
        Field("speed_wanted", "S", "rad/s", 0.0, 100.0, 8.0, "", JOB),
        Pick("motor", "M", "motors", None, ""),
        Pick("gearbox", "G", "gearboxes", None, "", CHOICE),
    )
    FINDINGS = (Finding("speed", "speed", "rad/s", "", "at least", "speed_wanted"),)

    @staticmethod
    def solve(x):
        """Speed over ratio."""
        return {"speed": x.motor.speed / x.gearbox.ratio}


@pytest.mark.parametrize(
    "motor, box, opens", [("bare", "five", "five"), ("whole", "five", "whole"), ("bare", "whole", "five")]
)
def test_a_gearmotor_opens_with_its_own_gears_and_nothing_else_does(motor, box, opens):
    found = opening(Turns, Tables(Turns, turned(motor, box)))
    assert (found.values["motor"], found.values["gearbox"]) == (motor, opens)


@pytest.mark.parametrize(
    "given, motor, box",
    [
        ({"motor": "whole"}, "whole", "whole"),
        ({"gearbox": "whole"}, "whole", "whole"),
        ({"gearbox": "ten"}, "bare", "ten"),
    ],
)
def test_a_gearmotor_that_is_given_brings_its_gears(given, motor, box):
    found = complete(Turns, given, Tables(Turns, turned("bare", "five")))
    assert (found["motor"], found["gearbox"]) == (motor, box)


# --- figures and roles ----------------------------------------------------------------------------------------------


RATIOS = Table("boxes", ("b10", "b40", "b160", "none"), "b10", {"b40": "Forty"}, {"ratio": [10.0, 40.0, 160.0, 0.0]})


@pytest.mark.parametrize(
    "figure, log, found",
    [(80, True, "b40"), (81, True, "b160"), (99, False, "b40"), (101, False, "b160"), (5, True, "b10")],
)
def test_the_nearest_part_is_by_ratio_or_by_difference(figure, log, found):
    """80 is twice 40 and half 160: of equals the first."""
    assert Nearest("ratio", figure, log)(RATIOS, None) == found


def test_what_the_table_lacks_leaves_the_usual():
    assert Nearest("teeth", 20)(RATIOS, None) is None


@pytest.mark.parametrize(
    "figure, default, low, high",
    [
        (0.2, 200, 50, 500),
        (None, 100, 50, 500),
        (0.9, 900, 50, 1800),
        (0.01, 10, 5, 500),
        (0.0, 50, 50, 500),
        (0.5, 500, 50, 500),
    ],
)
def test_a_default_follows_the_game_and_widens_its_range(figure, default, low, high):
    class Game:
        kit = Record("kit", {"roles": 1, "table": 1})

    field = Field("reach", "Reach", "mm", 50, 500, 100, "", follows=lambda kit: figure)
    at = field.at(Game)
    assert (at.default, at.low, at.high) == (pytest.approx(default), low, high)
    assert field.first(Game) == pytest.approx(default / 1000) and field.read(at.high / 1000, Game) == at.high / 1000
    assert field.at().default == 100, "without a kit it is the field's own figure"


def test_what_a_record_holds_was_inside_the_range_of_its_kit():
    """Another kit is in force now: 700 mm, which that game asked for, is still read, 1 m is not."""

    class Kept:
        kit, recorded = None, {"reach": 0.7, "width": 0.7}

    follows = Field("reach", "Reach", "mm", 50, 500, 100, "", follows=lambda kit: None)
    assert follows.read(0.7, Kept) == 0.7
    with pytest.raises(ValueError, match="from 50 mm to 700 mm"):
        follows.read(1.0, Kept)
    with pytest.raises(ValueError, match="from 50 mm to 500 mm"):
        Field("width", "Width", "mm", 50, 500, 100, "").read(0.7, Kept)


@pytest.mark.parametrize(
    "number, way, found",
    [
        (0.0500001, math.ceil, 0.051),
        (0.05 * (1 + 1e-15), math.ceil, 0.05),
        (178.5, math.floor, 170),
        (3.0, math.floor, 3.0),
    ],
)
def test_two_digits_up_or_down(number, way, found):
    assert two_digits(number, way) == pytest.approx(found, rel=1e-12)
