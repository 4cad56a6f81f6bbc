"""Verdicts on assumed numbers, against the same numbers printed by hand at the ends of their bands."""

from itertools import product

import numpy as np
import pytest

from mechbench.catalog import sizing_of
from mechbench.engine.inputs import Tables
from mechbench.engine.judge import judge
from mechbench.engine.spec import Pick
from mechbench.kits import read_kit
from mechbench.kits.load import OWN_FOLDER
from tests.kits import four_numbers
from tests.tries import tries

SECOND = read_kit(four_numbers.SECOND)
OWN = read_kit(OWN_FOLDER)
MOTOR = "brisk"
MANY = tries(2, thorough=40)


@pytest.fixture(scope="module")
def bare(tmp_path_factory):
    return read_kit(four_numbers.folder(tmp_path_factory.mktemp("bare") / "kit"))


class Printer:
    """Kits in which assumed numbers are printed, each made once."""

    def __init__(self, bare, path):
        self.bare, self.path, self.made = bare, path, {}

    def __call__(self, shares):
        """shares: (table, part, key) -> share of the assumed number that is printed."""
        key = tuple(sorted(shares.items()))
        if key not in self.made:
            printed = {}
            for (table, part, column), share in shares.items():
                number = self.bare.table(table).row(part)[column] * share
                printed.setdefault((table, part), {})[column] = float(number)
            self.made[key] = read_kit(four_numbers.folder(self.path / str(len(self.made)), printed))
        return self.made[key]


@pytest.fixture(scope="module")
def printer(bare, tmp_path_factory):
    return Printer(bare, tmp_path_factory.mktemp("printed"))


def draws(sizing, kit, seed, number=MANY):
    """Inputs at random, near enough to the usual ones that verdicts differ; the motor is the one that is looked at."""
    tables, random = Tables(sizing, kit), np.random.default_rng(seed)
    for _ in range(number):
        values = {}
        for field in sizing.FIELDS:
            if isinstance(field, Pick):
                names = field.options(tables)
                if field.table == "motors":
                    values[field.name] = MOTOR
                elif field.table.endswith("_drives"):
                    names = [name for name in names if name.startswith(f"{MOTOR}_")]
                    values[field.name] = str(random.choice(names)) if names else field.first(tables)
                elif field.name in ("gearbox", "count"):
                    values[field.name] = str(random.choice(names))
            else:
                low, high, usual = field.to_si(field.low), field.to_si(field.high), field.first()
                values[field.name] = float(np.clip(usual * random.uniform(0.6, 1.5), low, high))
        yield values


def assumed_of(bare, values):
    """What is assumed of the parts of these inputs, as (table, part, key)."""
    named = " ".join(str(value) for value in values.values())
    boxes = [name for name in bare.table("gearboxes").names if f"{name} " in f"{named} "]
    found = [("motors", MOTOR, key) for key in bare.table("motors").assumed[MOTOR]]
    return found + [("gearboxes", box, "allowed_small") for box in boxes]


def bands(bare, key):
    table, part, column = key
    return bare.table(table).assumed[part][column]


SIZINGS = ("motor", "train", "arm", "chained", "drivetrain", "lift", "winch", "linkage", "scissor", "intake", "power")


@pytest.mark.parametrize("name", SIZINGS)
def test_one_number_assumed(bare, printer, name):
    """All numbers printed but one: known where both ends printed by hand give one verdict, else that one is named."""
    sizing, known, unknown = sizing_of(name), 0, 0
    for values in draws(sizing, bare, 1):
        try:
            judge(sizing, values, bare)
        except ValueError:
            continue
        every = assumed_of(bare, values)
        for key in every:
            middle = {one: 1.0 for one in every if one != key}
            low, high = bands(bare, key)
            ends = [judge(sizing, values, printer({**middle, key: share})).verdict for share in (low, 1.0, high)]
            report = judge(sizing, values, printer(middle))
            told = f"{name} {values} {key} {ends}"
            if len(set(ends)) > 1:
                unknown += 1
                assert not report.known, told
                assert len(report.rests_on) == 1, told
            else:
                known += 1
                assert report.known and report.verdict == ends[0], told
    assert known


@pytest.mark.parametrize("name", SIZINGS)
def test_all_numbers_assumed(bare, printer, name):
    """Every corner of all bands printed by hand: known where all give one verdict, and then it is that one."""
    sizing = sizing_of(name)
    for values in draws(sizing, bare, 2):
        try:
            report = judge(sizing, values, bare)
        except ValueError:
            continue
        every = [key for key in assumed_of(bare, values) if key[2] != "mass"]
        verdicts = {
            judge(sizing, values, printer(dict(zip(every, corner)) | {("motors", MOTOR, "mass"): 1.0})).verdict
            for corner in product(*(bands(bare, key) for key in every))
        }
        told = f"{name} {values} {verdicts} {report.rests_on}"
        if len(verdicts) > 1:
            assert not report.known, told
        else:
            assert report.known and verdicts == {report.verdict}, told
