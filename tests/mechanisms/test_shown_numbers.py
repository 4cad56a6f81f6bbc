"""What a reader sees of every sizing, with inputs drawn at random from round numbers: no crumbs of rounding, no lost
number. Round numbers are those at which differences should be exactly 0: a link straight up, equal bars.
"""

import re
import zlib

import numpy as np
import pytest

from mechbench.catalog import NAMES, ROBOT, judge, sizing_of
from mechbench.desk import answer
from mechbench.desk.record import design
from mechbench.engine.inputs import Tables, complete
from mechbench.engine.pairs import paired
from mechbench.engine.spec import Field
from tests.mechanisms.sweeps import settings
from tests.tries import tries

# A power of ten of -9 and less; "-0", but not "-0.5"; what is no number.
CRUMB = re.compile(r"\de-(?:9|\d\d)|(?<![\w.])-0(?![.\d])|\bnan\b")
ROUND, ANY = tries(8, thorough=150), tries(3, thorough=40)
WHERE_0_IS = [
    ("chained", {"first_length": "300 mm", "second_length": "300 mm", "start_angle": "0 deg", "end_angle": "90 deg"}),
    ("chained", {"start_angle": "-90 deg", "end_angle": "90 deg", "second_angle": "90 deg"}),
    ("linkage", {"input": "100 mm", "coupler": "100 mm", "output": "100 mm", "ground": "100 mm", "turn": "90 deg"}),
    ("gripper", {"jaws": "pivot", "grip_angle": "60 deg", "square_angle": "60 deg"}),
    ("gripper", {"jaws": "pivot", "grip_angle": "-35 deg", "square_angle": "-35 deg", "lever": "70 mm"}),
    ("arm", {"start_angle": "0 deg", "end_angle": "180 deg"}),
    ("balance", {"raised_forward": "-100 mm", "forward": "20 mm", "raised_mass": "1.6 kg", "mass": "8 kg"}),
    ("trips", {"saved": "0 s", "trip_time": "7.3 s"}),
]


def grid(field):
    """Round numbers of a field's range, angles in steps of 15 degrees, in the unit that is shown."""
    if field.unit == "deg":
        step = 15.0
    else:
        step = 10.0 ** np.floor(np.log10(field.high - field.low)) / 2
    count = np.arange(np.ceil(field.low / step), np.floor(field.high / step) + 1)
    return [*(count * step), field.low, field.high, field.default]


def round_settings(name, count):
    """Inputs whose numbers are round."""
    sizing, tables = sizing_of(name), Tables(sizing_of(name))
    random = np.random.default_rng(zlib.crc32(name.encode()) + 1)
    for _ in range(count):
        one = {}
        for field in sizing.FIELDS:
            here = field.at(tables)
            if isinstance(field, Field):
                one[field.name] = field.to_si(float(random.choice(grid(here))))
            else:
                one[field.name] = str(random.choice(field.options(tables)))
        yield complete(sizing, paired(sizing, one, tables), tables)


def shown(name, values):
    """What the command says; nothing for a swing that does not swing, which is refused."""
    sizing = sizing_of(name)
    try:
        return [answer.text_of(design(sizing, values, Tables(sizing), system)) for system in ("metric", "us")]
    except ValueError as refused:
        assert name in ("arm", "chained", "servo_arm") and "must swing" in str(refused)
        return []


@pytest.mark.parametrize("name", [name for name in NAMES if name != ROBOT])
def test_no_crumbs_are_shown(name):
    drawn = [*round_settings(name, ROUND), *settings(name, ANY)]
    texts = [(values, text) for values in drawn for text in shown(name, values)]
    assert texts
    for values, text in texts:
        wrong = [line for line in text.splitlines() if CRUMB.search(line)]
        assert wrong == [], values


@pytest.mark.parametrize(("name", "values"), WHERE_0_IS)
def test_what_should_be_0_is_shown_as_0(name, values):
    for text in shown(name, values):
        wrong = [line for line in text.splitlines() if CRUMB.search(line)]
        assert wrong == []


def test_a_tip_straight_over_its_pivot_is_exactly_0_ahead():
    """Both links upright at the end, whatever the chain turns the second one by: cos 90 degrees is no 6e-17 here."""
    links = {"first_length": 0.35, "second_length": 0.25, "start_angle": 0.0, "end_angle": np.pi / 2}
    turned = judge("chained", links).good["turns"] * np.pi / 2
    found = judge("chained", {**links, "second_angle": (np.pi / 2 - turned) % (2 * np.pi)}).good
    assert found["second_at_end"] % (2 * np.pi) == pytest.approx(np.pi / 2) and found["end_ahead"] == 0


def test_a_crumb_is_told_from_a_small_number():
    for crumb in ("-8.88e-16 s", "3e-14 mm", "-0 N", "is nan,", "1e-9 m"):
        assert CRUMB.search(crumb), crumb
    for number in ("8e-6 kg·m²", "-0.5 N", "0 N", "10 A", "0-0", "-0.000687 N·m", "nano"):
        assert not CRUMB.search(number), number
