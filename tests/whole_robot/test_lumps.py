"""What mechanisms bring to a whole robot: masses, places and boxes at a share of their way.

Expected values: circles, levers and chords by hand; heights beside what the sizing itself says it raises.
"""

import numpy as np
import pytest

from mechbench import mechanisms
from mechbench.catalog import sizing_of
from mechbench.engine.columns import columns
from mechbench.engine.inputs import Tables, complete
from mechbench.engine.spec import HANGS, RAISES
from mechbench.kits import kit, read_kit
from tests.mechanisms.sweeps import settings
from tests.tries import tries

KITS = kit(), read_kit("tests/kits/second_kit")
NAMES = [name for name in mechanisms.names() if sizing_of(name).NEEDS or sizing_of(name).ROLE]
RAISING = [name for name in NAMES if sizing_of(name).ROLE == RAISES]


def lumps(name, share, values=None, of=KITS[0]):
    sizing = sizing_of(name)
    tables = Tables(sizing, of)
    return {one.name: one for one in sizing.lumps(complete(sizing, values or {}, tables), tables, share)}


@pytest.mark.parametrize("name", RAISING)
def test_what_is_held_rises_by_what_the_sizing_says(name):
    sizing, tables = sizing_of(name), Tables(sizing_of(name))
    values = complete(sizing, {}, tables)
    x = columns(sizing, values, tables)
    folded, raised = (next(one for one in lumps(name, share).values() if one.holds) for share in (0.0, 1.0))
    before = values.get(sizing.MOUNT_HEIGHT, 0.0) + folded.at[2]
    after = float(np.ravel(sizing.raised_to(x, sizing.solve(x), before))[0])
    assert raised.at[2] - folded.at[2] == pytest.approx(after - before, abs=1e-9)


@pytest.mark.parametrize("rigging, ways", [("cascade", [0.5, 1.0, 1.5]), ("continuous", [0.0, 0.5, 1.5])])
def test_half_out_a_cascade_has_all_stages_half_out_and_a_continuous_one_the_last_first(rigging, ways):
    """Three stages, in travels of one: each half out; or the last out, the middle one half, the first not."""
    here = lumps("lift", 0.5, {"stages": "3", "rigging": rigging, "lean": "90 deg"})
    slide = kit().table("slides").row("slide_250")
    top = lumps("lift", 0.0, {"stages": "3", "rigging": rigging, "lean": "90 deg"})["top"].at[2]
    assert here["top"].at[2] - top == pytest.approx(slide["stage_travel"] * ways[-1])
    middle = slide["stage_travel"] * np.mean(ways) + slide["stage_length"] / 2
    assert here["slides"].at[2] == pytest.approx(middle)
    assert here["slides"].mass == pytest.approx(3 * slide["stage_mass"])


def test_both_links_of_a_chained_arm_end_to_end():
    """First link level, the second straight down from its end."""
    values = {"start_angle": 0.0, "end_angle": "90 deg", "second_angle": "270 deg"}
    values |= {"first_length": "0.3 m", "second_length": "0.2 m"}
    here = lumps("chained", 0.0, values)
    assert here["first_link"].at == pytest.approx((0.15, 0, 0)) and here["second_link"].at == pytest.approx(
        (0.3, 0, -0.1)
    )
    assert here["tip"].at == pytest.approx((0.3, 0, -0.2)) and here["elbow"].at == pytest.approx((0.3, 0, 0))


def test_wheels_of_two_kinds_and_motors_at_the_driven_axle():
    given = {"driven": "rear", "wheel": "traction_80", "free_wheel": "omni_80", "count": "2", "wheelbase": "0.3 m"}
    here, wheels = lumps("drivetrain", 0.0, given), kit().table("wheels")
    assert here["wheels"].mass == pytest.approx(
        2 * wheels.row("traction_80")["mass"] + 2 * wheels.row("omni_80")["mass"]
    )
    assert here["motors"].at[:2] == pytest.approx((-0.15, 0))


@pytest.mark.parametrize("which", [0, 1])
@pytest.mark.parametrize("name", NAMES)
def test_every_setting_gives_lumps_that_are_numbers(name, which):
    sizing = sizing_of(name)
    tables = Tables(sizing, KITS[which])
    drawn = settings(name, tries(12, thorough=60)) if which == 0 else [complete(sizing, {}, tables)]
    for values in drawn:
        for share in (0.0, 0.3, 1.0):
            for one in sizing.lumps(values, tables, share):
                assert np.isfinite([one.mass, *one.at, *(one.size or ())]).all(), one
                assert one.mass >= 0 and all(side > 0 for side in one.size or ()), one
                assert set(one.made_of) <= {field.name for field in sizing.FIELDS}


@pytest.mark.parametrize("name", NAMES)
def test_all_that_is_picked_weighs_once(name):
    """Whatever the lumps of a sizing are called: what they weigh is what is picked, and what their inputs say."""
    sizing, tables = sizing_of(name), Tables(sizing_of(name))
    values = complete(sizing, {}, tables)
    picked = sum(mass or 0.0 for mass in sizing.picked_mass(values, tables).values())
    here = lumps(name, 0.0).values()
    if any(one.made_of and not one.holds and one is next(iter(here)) for one in here):
        assert sum(one.mass for one in here) >= picked  # its own mass is an input, servos are in it
    else:
        assert sum(one.mass for one in here if not one.made_of) == pytest.approx(picked)


@pytest.mark.parametrize("name", [name for name in NAMES if sizing_of(name).ROLE != HANGS])
def test_a_box_holds_its_middle_and_moves_without_a_leap(name):
    """In small steps of the way no middle moves further than a share of the whole way allows."""
    shares = np.linspace(0, 1, 41)
    every = [lumps(name, share) for share in shares]
    for lump in every[0]:
        places = np.array([here[lump].at for here in every])
        steps = np.hypot(*np.diff(places, axis=0)[:, [0, 2]].T)
        assert steps.max() < 0.1 and np.isfinite(places).all()


def test_a_four_bar_that_does_not_meet_is_still_somewhere():
    short = {"input": "10 mm", "coupler": "10 mm", "output": "10 mm", "ground": "300 mm"}
    assert all(np.isfinite(one.at).all() for one in lumps("linkage", 0.5, short).values())
