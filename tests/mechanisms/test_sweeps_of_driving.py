"""Drivetrain, balance, intake and cycle over the whole of each slider, on the good day: no hidden jump, no wrong way.

A jump is looked for where two neighbours differ by a fifth: the gap between them is halved until it is as good as
nothing; what is left of the step is a jump. Each jump that is right stands in JUMPS with its reason. What must not
get better when something gets worse stands in WORSE.
"""

import zlib

import numpy as np
import pytest

from mechbench.catalog import sizing_of
from mechbench.engine.columns import columns
from mechbench.engine.inputs import Tables, complete
from mechbench.engine.spec import Field
from tests.tries import tries

NAMES = ("drivetrain", "balance", "intake", "cycle")
SETTINGS, STEPS, HALVINGS = tries(3, thorough=10), tries(60, thorough=200), 30
JUMPS = {
    ("drivetrain", "slips"),  # none while the driver holds back, though just before the wheels may have slipped
    ("drivetrain", "push_current"),  # wheels that just stop spinning under a controller's limit: the motors stand
    ("drivetrain", "fuse_lasts"),  # it follows from that current
    ("drivetrain", "hot_after"),  # it follows from that current
    ("drivetrain", "current"),  # wheels that slip until the brakes go on, or just grip before
    ("drivetrain", "volts"),  # it follows from that current
    ("intake", "enters"),  # short or narrow enough, it passes at any heading; a little more, and not crosswise
    ("cycle", "end"),  # who leaves too late can't hang, or not even park
    ("cycle", "points"),  # the points of the end are in them
}
# What rises (an input, or a column of a part): what must not fall (+) or not rise (-) then, and by how much it may.
WORSE = {
    "drivetrain": {
        "mass": "+time +sideways_time -slope -top_speed",
        "height": "-stays_down -braking +sideways_time",
        "wheel.rolling": "-slope +sideways_time",
        "wheel.along": "-time +slope +push -stays_down",
        "battery.open_circuit": "-time -sideways_time +slope +top_speed",
        "battery.resistance": "+time +sideways_time -slope -top_speed",
        "gearbox.efficiency": "-time +slope +top_speed",
        "distance": "+time +sideways_time +top_speed",
    },
    "balance": {
        "track": "+sideways +tilt",
        "wheels.along": "+grip -way",
        "speed": "+way",
        "mass": "+total +one_front",
    },
    "intake": {
        "piece_mass": "-ratio -climbs +current -surface +period",
        "slope": "-ratio -climbs +current -coasts",
        "roller.friction": "+nip +climbs +deepest +jam_current +strength",
        "battery.open_circuit": "+ratio -period",
        "battery.resistance": "-ratio +period",
        "drive.efficiency": "+ratio -current",
        "pen_depth": "-reaches",
        "width": "-enters",
    },
    "cycle": {
        "drive_time": "+time -count -points",
        "raise_time": "+time -points -may_wait",
        "grab_time": "+time -points",
        "place_time": "+time -points",
        "success": "+points +clean",
        "jam_chance": "+time -points -clean",
        "bar_time": "-end",
    },
}


def settings(name):
    """The defaults, and some settings drawn from all sliders and lists of parts."""
    sizing = sizing_of(name)
    tables, rng = Tables(sizing), np.random.default_rng(zlib.crc32(name.encode()))
    drawn = [
        {
            field.name: f"{rng.uniform(field.low, field.high)} {field.unit}".strip()
            if isinstance(field, Field)
            else str(rng.choice(list(field.options(tables))))
            for field in sizing.FIELDS
        }
        for _ in range(SETTINGS)
    ]
    return sizing, tables, [complete(sizing, values, tables) for values in ({}, *drawn)]


def solved(sizing, tables, values, path, numbers):
    """All findings while one column takes these numbers."""
    x = columns(sizing, values, tables)
    *parts, last = path.split(".")
    place = x
    for part in parts:
        place = getattr(place, part)
    setattr(place, last, numbers)
    found = sizing.solve(x)
    return {name: np.broadcast_to(np.asarray(value, dtype=float), numbers.shape) for name, value in found.items()}


def steep(one, other, largest):
    """Two numbers of which one is a fifth off the other, or without end beside it; and not both next to nothing."""
    with np.errstate(invalid="ignore"):
        apart = np.where(one == other, 0.0, np.abs(one - other))
    return np.isfinite(apart) & (apart > 0.2 * np.maximum(np.abs(one), np.abs(other))) & (apart > 1e-3 * largest)


def jumps(sizing, tables, values, field):
    """Findings that jump over one slider."""
    grid = np.linspace(*(field.read(f"{end} {field.unit}".strip(), tables) for end in (field.low, field.high)), STEPS)
    found = solved(sizing, tables, values, field.name, grid)
    for name, value in found.items():
        assert not np.isnan(value).any(), (name, field.name, values)
        crumbs = (value != 0) & (np.abs(value) < 1e-13)
        assert not crumbs.any(), (name, field.name, value[crumbs])
        ends = np.abs(value[np.isfinite(value)])
        largest = ends.max() if ends.size else 0.0
        where = np.nonzero(steep(value[:-1], value[1:], largest))[0]
        if where.size and (sizing.NAME, name) not in JUMPS:
            low, high = grid[where].copy(), grid[where + 1].copy()
            left, right = value[where].copy(), value[where + 1].copy()
            for _ in range(HALVINGS):
                middle = 0.5 * (low + high)
                there = solved(sizing, tables, values, field.name, middle)[name]
                first = np.abs(there - left) > np.abs(right - there)  # the half with more of the step
                high, right = np.where(first, middle, high), np.where(first, there, right)
                low, left = np.where(first, low, middle), np.where(first, left, there)
            for place in np.nonzero(steep(left, right, largest))[0]:
                yield f"{name} jumps from {left[place]:g} to {right[place]:g} at {field.name} = {low[place]:g}"


@pytest.mark.parametrize("name", NAMES)
def test_nothing_jumps_without_a_reason(name):
    sizing, tables, chosen = settings(name)
    for values in chosen:
        for field in sizing.FIELDS:
            if isinstance(field, Field):
                assert list(jumps(sizing, tables, values, field)) == [], values


@pytest.mark.parametrize("name, path", [(name, path) for name in NAMES for path in WORSE[name]])
def test_nothing_gets_better_when_it_must_get_worse(name, path):
    sizing, tables, chosen = settings(name)
    for values in chosen:
        field = next((f for f in sizing.FIELDS if f.name == path), None)
        if field:
            ends = (field.read(f"{end} {field.unit}".strip(), tables) for end in (field.low, field.high))
        elif path.endswith("efficiency"):
            ends = (0.55, 1.0)
        else:
            x = columns(sizing, values, tables)
            part, column = path.split(".")
            ends = getattr(getattr(x, part), column)[0] * np.array([0.8, 1.3])
        found = solved(sizing, tables, values, path, np.linspace(*ends, STEPS))
        for wish in WORSE[name][path].split():
            value = found[wish[1:]] * (1 if wish[0] == "+" else -1)
            before = np.where(np.isfinite(value), value - 1e-9 * np.abs(np.nan_to_num(value)), value)[:-1]
            assert np.all(value[1:] >= before), (wish, path, values)
