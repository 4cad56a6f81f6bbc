"""What every sizing opens with: on any kit it works on its good day, and names no part of one kit.

Contents: openings of VARIANTS; defaults of the course's own kit.
"""

import ast
import inspect
import math

import pytest

from mechbench.catalog import NAMES, ROBOT, sizing_of
from mechbench.desk import record
from mechbench.desk.reopen import reopen
from mechbench.engine import report_text
from mechbench.engine.inputs import Tables, complete
from mechbench.engine.judge import judge
from mechbench.engine.opening import as_opened, opening, plain
from mechbench.engine.spec import Field, Pick
from mechbench.kits import Record, Table, read_kit
from mechbench.kits import kit as kit_in_force
from mechbench.mechanisms import powertrain, shaft_drives, swing
from tests.kits.variants import BY_HAND, VARIANTS, heavy_pieces, made

SECOND = BY_HAND.parents[1] / "kits" / "second_kit"

MECHANISMS = [name for name in NAMES if name != ROBOT]


@pytest.fixture(scope="module")
def kits(tmp_path_factory):
    """All variants by name, the kit that they are made from, and the second kit, of a very different game."""
    folder = lambda change: tmp_path_factory.mktemp(change.__name__)
    own = {"second": read_kit(SECOND), "by_hand": read_kit(BY_HAND)}
    return {**own, **{change.__name__: made(folder(change), change) for change in VARIANTS}}


@pytest.mark.parametrize("name", ["second", "by_hand", *(change.__name__ for change in VARIANTS)])
def test_every_sizing_works_on_its_good_day_as_it_opens(kits, name):
    for sizing in map(sizing_of, MECHANISMS):
        tables = Tables(sizing, kits[name])
        report = judge(sizing, {}, kits[name])
        assert not any(math.isnan(value) for value in (*report.good.values(), *report.bad.values())), sizing.NAME
        assert report.values == opening(sizing, tables).values, "judged as opened"
        assert report.works and opening(sizing, tables).works, (name, sizing.NAME, report_text.verdict(report))
        for field in as_opened(sizing, tables):
            if isinstance(field, Field):
                inside = field.to_si(field.low) * (1 - 1e-9) - 1e-12, field.to_si(field.high) * (1 + 1e-9) + 1e-12
                assert inside[0] <= report.values[field.name] <= inside[1], (sizing.NAME, field.name)
                assert math.isfinite(field.default) and field.low < field.high


def test_where_no_servo_holds_the_piece_a_lighter_one_is_gripped(kits):
    """From first principles, standing still: both jaws press with 1.5 m g / (2 mu) each, and each has a servo, geared.
    A lever of length l opens by 2 l (1 + sin 60 deg) at most, from 60 degrees inwards to straight out.
    """
    kit, sizing = kits["heavy_pieces"], sizing_of("gripper")
    servos, found = kit.table("servos"), opening(sizing, Tables(sizing, kit))
    usual = plain(sizing, Tables(sizing, kit))
    lever = usual["room"] / 2 / (1 + math.sin(math.radians(60)))
    press = lambda mass: 1.5 * mass * 9.81 / (2 * kit.friction("jaw_on_piece"))
    holds = max(servos.columns["holding_share"] * servos.columns["stall_torque"])
    assert 2 * press(kit.roles.piece.mass) * lever > holds, "as the defaults have it: one servo, 1 : 1"
    assert found.values["piece_mass"] in [usual["piece_mass"] / 2**n for n in (1, 2, 3)]
    assert press(found.values["piece_mass"]) * usual["lever"] < holds * found.values["ratio"]


def test_another_order_of_parts_opens_the_same(kits):
    for sizing in map(sizing_of, MECHANISMS):
        both = [opening(sizing, Tables(sizing, kits[name])).values for name in ("by_hand", "other_order")]
        assert both[0] == both[1], sizing.NAME


def test_what_fails_to_be_one_motor_becomes_two(kits):
    """12:1 at 0.6 and 0.187 N·m at stall give 1.35 N·m less what is lost: a load of 2 N·m asks for more motors."""
    tables = Tables(sizing_of("train"), kits["one_gearbox"])
    found = opening(sizing_of("train"), tables)
    motor = kits["one_gearbox"].table("motors").row("brisk")
    assert motor["stall_torque"] * 12 * 0.6 < 2.0
    assert found.changed == ("count",) and int(found.values["count"]) >= 2


def test_a_rise_that_no_slide_has_is_eased_to_what_it_has(kits):
    """One stage of 190 mm, leaning by 70 degrees, rises by 178 mm; four fifths of that, to two digits, are 140 mm."""
    found = opening(sizing_of("lift"), Tables(sizing_of("lift"), kits["short_slide"]))
    assert math.floor(0.8 * 190 * math.sin(math.radians(70)) / 10) * 10 == 140
    assert found.changed == ("rise_wanted",) and found.values["rise_wanted"] == pytest.approx(0.14)


@pytest.mark.parametrize("name", NAMES)
def test_the_courses_own_kit_opens_with_the_fields_own_figures(name):
    """So that what the lessons show is what the tables of the sizings say."""
    sizing = sizing_of(name)
    tables = Tables(sizing, kit_in_force())
    found = opening(sizing, tables)
    assert found.works and found.changed == ()
    for field in sizing.FIELDS:
        if isinstance(field, Field):
            assert found.values[field.name] == pytest.approx(field.to_si(field.default), rel=1e-9, abs=1e-12), (
                field.name
            )
            assert (field.at(tables).low, field.at(tables).high) == (field.low, field.high)


def test_no_default_is_a_part_of_a_kit():
    """A name stands only where the sizing makes the table, and no kit has a part of that name."""
    kits = [kit_in_force(), read_kit(SECOND)]
    parts = {part for kit in kits for table in kit.tables() for part in kit.table(table).names if not part.isdigit()}
    for sizing in map(sizing_of, NAMES):
        for field in sizing.FIELDS:
            if isinstance(field, Pick) and isinstance(field.default, str):
                assert field.table in ("counts", *sizing.TABLES), (sizing.NAME, field.name)
                assert field.default not in parts, (sizing.NAME, field.name)


def test_no_text_of_a_sizing_is_the_name_of_a_part():
    """Read from the code itself: nothing that a sizing says in quotes is a part, except names of friction pairs that
    every kit has.
    """
    kits = [kit_in_force(), read_kit(SECOND)]
    of_all = set.intersection(*(set(kit.table("friction").names) for kit in kits))
    words = {word for kit in kits for table in kit.tables() for word in kit.table(table).names} - of_all
    parts = {word for word in words if "_" in word}  # a single word may be one of the language
    assert "planetary_74" in parts
    modules = {inspect.getmodule(sizing_of(name)) for name in NAMES} | {powertrain, shaft_drives, swing}
    for module in modules:
        texts = {
            node.value for node in ast.walk(ast.parse(inspect.getsource(module))) if isinstance(node, ast.Constant)
        }
        assert not parts & texts, module.__name__


def test_a_record_is_opened_again_with_its_own_kit_and_with_another(tmp_path, monkeypatch):
    """A piece of 240 mm is more than a gripper's own range: the kit's game widens it, and a record keeps it."""
    (tmp_path / "kit").mkdir()
    made(tmp_path / "kit", heavy_pieces)
    monkeypatch.setenv("MECHBENCH_KIT", str(tmp_path / "kit"))
    sizing = sizing_of("gripper")
    tables = Tables(sizing)
    values = complete(sizing, {"piece_width": "240 mm"}, tables)
    record.write(record.design(sizing, values, tables), tmp_path / "gripper.html")
    assert reopen(tmp_path / "gripper.html").values == pytest.approx(values)
    monkeypatch.delenv("MECHBENCH_KIT")
    assert reopen(tmp_path / "gripper.html").values == pytest.approx(values)
    with pytest.raises(ValueError, match="it must be from 2 mm to 200 mm"):
        complete(sizing, {"piece_width": "240 mm"}, Tables(sizing))


class Bare:
    """A kit whose game has a closing task and a driven time, and nothing else."""

    limits = Record(
        "limits", dict.fromkeys(("mass", "height", "start_length", "start_width", "motors", "hold"), math.inf)
    )
    roles = Record(
        "roles",
        {
            **dict.fromkeys(("piece", "flat", "highest", "best", "first", "second", "low", "reach_in", "hang", "ramp")),
            "match": Record("match", {"self_driving": 0.0, "pause": 0.0, "driven": 90.0, "closing": 0.0}),
            "ending": Record("ending", {"tried": ""}),
            "limits": limits,
        },
    )
    game = Record("game", {"field": Record("field", {"length": 3.0, "width": 2.0})})
    battery, friction, controller = kit_in_force().battery, kit_in_force().friction, kit_in_force().controller
    fuse = kit_in_force().fuse

    @staticmethod
    def table(name):
        """The course's own parts, and one goal of no points, as a game without goals has."""
        none = Table("goals", ("none",), "none", {}, {"height": [0.0], "points": [0.0]})
        return none if name == "goals" else kit_in_force().table(name)


def test_a_game_without_nearly_everything_leaves_the_fields_own_figures():
    own = {}
    for sizing in map(sizing_of, MECHANISMS):
        for field in sizing.FIELDS:
            if isinstance(field, Field) and field.follows is not None:
                figure = field.follows(Bare)
                assert figure is None or math.isfinite(figure), (sizing.NAME, field.name)
                own[sizing.NAME, field.name] = figure
    nothing = {name for name, figure in own.items() if figure is None}
    assert {
        ("lift", "rise_wanted"),
        ("winch", "mass"),
        ("winch", "clear_wanted"),
        ("gripper", "lever"),
    } <= nothing
    assert own["cycle", "closing_chance"] == own["cycle", "start_pieces"] == own["cycle", "leave"] == 0
    assert own["cycle", "points_wanted"] == own["trips", "points_wanted"] == 0
    assert own["intake", "pen_depth"] == own["intake", "reach"] == 0 and own["motor", "run_time"] == 90
    assert own["drivetrain", "distance"] == pytest.approx(1.1), "0.55 of the shorter side"


def test_what_is_given_changes_nothing_else(kits):
    """`size train load_torque=1` differs from the opened bench in that torque alone."""
    sizing, tables = sizing_of("train"), Tables(sizing_of("train"), kits["one_gearbox"])
    given = complete(sizing, {"load_torque": 1.0}, tables)
    assert given == {**opening(sizing, tables).values, "load_torque": 1.0}
    assert complete(sizing, {}, tables, opened=False) == plain(sizing, tables) != opening(sizing, tables).values
