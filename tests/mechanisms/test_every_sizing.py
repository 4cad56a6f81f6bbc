"""The tables of every sizing fit each other: said here in words, before something else fails on them."""

import pytest

from mechbench.catalog import NAMES, sizing_of
from mechbench.engine.columns import columns
from mechbench.engine.inputs import Tables, complete
from mechbench.engine.judge import judge
from mechbench.engine.spec import Field, Finding, Sizing


def faults(sizing):
    """What is wrong with the tables of a sizing, one sentence each."""
    inputs, found = [f.name for f in sizing.FIELDS], [f.name for f in sizing.FINDINGS]
    for names, table in ((inputs, "FIELDS"), (found, "FINDINGS")):
        yield from (f"{name} stands twice in {table}" for name in sorted({n for n in names if names.count(n) > 1}))
    yield from (f"RANK has {rank}, which is no finding" for rank in sizing.RANK if rank.lstrip("-") not in found)
    yield from (f"DRAWN has {name}, which is a finding already" for name in sizing.DRAWN if name in found)
    yield from (f"GIVEN has {name}, which is no input" for name in sizing.GIVEN if name not in inputs)
    for field in sizing.FIELDS:
        if isinstance(field, Field) and not field.low <= field.default <= field.high:
            yield f"{field.name} begins at {field.default}, which is not from {field.low} to {field.high}"
    by_motors = {"motor", "drive"} & set(inputs) and not overrides(sizing, "by_servo")
    if by_motors and "current" not in found and not overrides(sizing, "battery_current"):
        yield "motors turn it, but it has neither a finding current nor a battery_current of its own"
    yield from _columns_that_are_missing(sizing)


def overrides(sizing, hook):
    return getattr(sizing, hook).__func__ is not getattr(Sizing, hook).__func__


def _columns_that_are_missing(sizing):
    tables = Tables(sizing)
    x = columns(sizing, complete(sizing, {}, tables, opened=False), tables)
    asked = {f"SPREADS has {path}": path for path in sizing.SPREADS}
    asked |= {f"{f.name} is held to {f.bound}": f.bound for f in sizing.FINDINGS if isinstance(f.bound, str)}
    for what, path in asked.items():
        part, _, column = path.rpartition(".")
        if not hasattr(getattr(x, part, None) if part else x, column):
            yield f"{what}, which is no column of the inputs; a record of the kit must be in RECORDS"


@pytest.mark.parametrize("name", NAMES)
def test_the_tables_fit_each_other(name):
    assert list(faults(sizing_of(name))) == []


class Crooked(Sizing):
    """Nearly everything is wrong with it."""

    NAME = "crooked"
    FIELDS = (Field("load", "Load", "kg", 0.1, 10.0, 15.0, "too much to begin with"),) * 2
    FINDINGS = (Finding("time", "time", "s", "", "at most", "time_wanted"),)
    RANK = ("speed",)
    DRAWN = ("time",)
    GIVEN = ("mass",)
    SPREADS = {"battery.resistance": "battery_resistance"}

    @staticmethod
    def solve(x):
        """Twice too deep."""
        return {"time": x.load[:, None]}


def test_what_is_wrong_is_named():
    assert list(faults(Crooked)) == [
        "load stands twice in FIELDS",
        "RANK has speed, which is no finding",
        "DRAWN has time, which is a finding already",
        "GIVEN has mass, which is no input",
        "load begins at 15.0, which is not from 0.1 to 10.0",
        "load begins at 15.0, which is not from 0.1 to 10.0",
        "SPREADS has battery.resistance, which is no column of the inputs; a record of the kit must be in RECORDS",
        "time is held to time_wanted, which is no column of the inputs; a record of the kit must be in RECORDS",
    ]


class Deep(Crooked):
    """It gives a table where one number a row is asked."""

    FINDINGS = (Finding("time", "time", "s", ""),)
    SPREADS = {}


class Empty(Deep):
    """It does not give what it promises."""

    FINDINGS = (*Deep.FINDINGS, Finding("speed", "speed", "m/s", ""))


@pytest.mark.parametrize(
    ("sizing", "says"),
    [
        (Deep, "Deep.solve gives time in the shape (1, 1); give one number a row"),
        (Empty, "Empty.solve does not give speed; FINDINGS or DRAWN promises it."),
    ],
)
def test_what_solve_gives_wrongly_is_named(sizing, says):
    with pytest.raises(TypeError) as told:
        judge(sizing)
    assert says in str(told.value)
