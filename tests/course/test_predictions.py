"""What the benches are said to show of each prediction, with four kits: the sizing finds it, as does a sum apart."""

import math
from pathlib import Path

import pytest

from mechbench.catalog import judge
from mechbench.course import registry
from mechbench.course.ask import ask
from mechbench.course.exercise import Prediction
from mechbench.course.lessons import NAMES
from mechbench.course.prediction import because_of
from mechbench.course.vetting import problems
from mechbench.kits import kit, read_kit
from mechbench.quantity import to_si

FOLDERS = Path(__file__).parents[1] / "kits"
KITS = {"own": kit(), **{name: read_kit(FOLDERS / name) for name in ("flat", "bare", "second_kit")}}
PREDICTIONS = [one for one in registry.everything() if isinstance(one, Prediction)]
G = 9.80665  # m/s2, standard gravity: BIPM, The International System of Units, resolution of 1901
# What statics and the law of the line say, whatever the parts are. Left out: what turns on the parts of a kit.
ALWAYS = {
    "start-here-which-second": "quick-robot",
    "motors-most-power": "middle",
    "gearing-bigger-ratio": "easier",
    "intake-squeeze-harder": "out",
    "gripper-start-upwards": "double",
    "arm-hardest-place": "level",
    "linkages-same-teeth": "keeps",
    "lift-which-rigging": "cascade",
    "winch-which-layer": "end",
    "balance-twice-as-high": "some",
    "power-which-shape": "soft",
    "cycle-quicker-lift": "same",
    "robot-one-gear": "few",
}


@pytest.fixture(params=KITS.values(), ids=KITS)
def one_kit(request):
    return request.param


def shown(id, kit):
    """What a bench shows, and its numbers in SI."""
    one = registry.exercise(id).shows(kit)
    told = {name: given for name, given in one.numbers.items() if isinstance(given, tuple)}
    return one.option, {name: float(to_si(*given)) for name, given in told.items()}


def test_each_lesson_has_one():
    assert sorted(one.lesson for one in PREDICTIONS) == sorted(NAMES)


@pytest.mark.parametrize("exercise", PREDICTIONS, ids=lambda exercise: exercise.id)
def test_it_is_an_option_with_a_reason_that_can_be_told(exercise, one_kit):
    assert problems(exercise, one_kit) == []
    assert "{" not in because_of(exercise.shows(one_kit))


@pytest.mark.parametrize(("id", "option"), ALWAYS.items(), ids=ALWAYS)
def test_what_it_shows(id, option, one_kit):
    assert shown(id, one_kit)[0] == option


def test_of_these_gearboxes_one_in_the_middle_is_quickest():
    assert shown("drivetrain-quickest-ratio", KITS["own"])[0] == "middle"


def test_the_quickest_gearbox_is_quicker_than_each_other_one():
    own = KITS["own"]
    time = {
        name: judge("drivetrain", {"gearbox": name}, own).good["time"]
        for name in ("planetary_4_6", "planetary_12", "planetary_16", "planetary_116")
    }
    assert shown("drivetrain-quickest-ratio", own)[1]["time"] == pytest.approx(min(time.values()), rel=1e-9)
    assert min(time, key=time.get) == "planetary_12"


def test_half_of_stall_torque_at_half_of_free_speed(one_kit):
    """On a straight line from (0, free) to (stall, 0) the product is largest in the middle: a parabola's top."""
    _, told = shown("motors-most-power", one_kit)
    assert told["speed"] == pytest.approx(told["free"] / 2, rel=0.06)  # loads go by twentieths of the stall torque


@pytest.mark.parametrize("name", ["own", "bare"])
def test_a_light_load_takes_little_power(name):
    """Where no current limit bends the line: 0.05 * 0.95 of stall times free speed, beside 1/4 in the middle."""
    _, told = shown("motors-most-power", KITS[name])
    assert told["light"] == pytest.approx(0.05 * 0.95 / 0.25 * told["most"], rel=0.02)


def test_a_start_at_g_takes_twice_the_force(one_kit):
    _, told = shown("gripper-start-upwards", one_kit)
    assert told["start"] / told["still"] == pytest.approx((G + 9.8) / G, rel=1e-4)


def test_the_lever_of_an_arm_goes_with_the_cosine_of_its_angle(one_kit):
    _, told = shown("arm-hardest-place", one_kit)
    for place in ("bottom", "top"):
        assert told[place] / told["level"] == pytest.approx(math.cos(math.radians(80)), rel=1e-3)


def test_a_layer_of_cord_is_a_longer_lever(one_kit):
    """Radius of a layer: half the drum, and for each layer below one cord, by hand."""
    _, told = shown("winch-which-layer", one_kit)
    report = judge("winch", {}, one_kit)
    spool, cord = (
        one_kit.table(table).row(report.values[name]) for table, name in (("spools", "spool"), ("cords", "cord"))
    )
    assert told["last"] / told["pull"] == pytest.approx(spool["radius"] + 1.5 * cord["diameter"], rel=0.01)
    assert told["first"] / told["pull"] == pytest.approx(spool["radius"] + 0.5 * cord["diameter"], rel=0.01)


def test_with_that_cord_before_the_winch_begins_on_one_layer_and_ends_on_the_next(one_kit):
    opens = ask("winch-which-layer").exercise.opens(one_kit)
    short = {"lift_height": "5 mm", "slack": "0 m"}
    layers = [judge("winch", inputs, one_kit).good["layers"] for inputs in (opens | short, opens)]
    assert layers == [1, 2]


def test_braking_goes_with_the_height_of_the_centre_of_gravity(one_kit):
    """Tipping about the wheels ahead: a = g x / h, with the centre of robot and load by hand."""
    _, told = shown("balance-twice-as-high", one_kit)
    v = judge("balance", {}, one_kit).values
    total = v["mass"] + v["raised_mass"]
    ahead = v["wheelbase"] / 2 - (v["mass"] * v["forward"] + v["raised_mass"] * v["raised_forward"]) / total
    for height, name in ((v["raised_height"], "full"), (v["raised_height"] / 2, "half")):
        up = (v["mass"] * v["height"] + v["raised_mass"] * height) / total
        assert told[name] == pytest.approx(G * ahead / up, rel=1e-3)


def test_a_second_is_worth_more_the_more_trips_there_are(one_kit):
    """Points grow as 1 / (t - 1 s) - 1 / t: at 8 s 1/56, at 20 s 1/380, by hand; where no goal is full."""
    _, told = shown("start-here-which-second", one_kit)
    assert told["quick"] / told["slow"] == pytest.approx(380 / 56, rel=1e-6)


def test_a_cycle_is_as_long_as_its_longest_way(one_kit):
    """The lift runs beside driving: raised while the robot drives, nothing depends on it but what comes after."""
    v = judge("cycle", {}, one_kit).values
    assert v["raising"] == "during" and v["raise_time"] < v["drive_time"]
    assert shown("cycle-quicker-lift", one_kit)[0] == "same"
