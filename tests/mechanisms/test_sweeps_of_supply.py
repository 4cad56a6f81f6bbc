"""Sweeps of a motor, a gear train, a gripper, and power and motion: no jumps, no NaN, and nothing gets better by what
makes it worse. Common sense and first principles, no source.
"""

import numpy as np
import pytest

from mechbench.catalog import sizing_of
from mechbench.engine.spec import Field
from mechbench.mechanisms.power import sizing as power
from tests.mechanisms.swept import ends, jumps, nans, settings, swept, turns_back
from tests.tries import tries

STEPS, SETTINGS = tries(15, 200), tries(1, 6)
# A limit's shortest time jumps where many times begin to fail at once: a drive that lags draws the same, however much
# too quick the move is. Below 0.05 s no time is tried, and 0 stands.
WARMTH = 0.02  # a slower move warms its winding a little more, which then asks for more
MAY_JUMP = {"power": ("least_drive", "least_battery", "least_fuse", "least_heat", "least")}
# More of the input: findings that must not fall, and findings that must not rise.
WORSE = {
    ("motor", "load_torque"): (("current",), ("speed", "hot_after", "spare", "volts")),
    ("motor", "start_rise"): ((), ("hot_after",)),
    ("train", "load_torque"): (("torque_used", "current"), ("speed", "hot_after")),
    ("gripper", "piece_mass"): (("needed", "wrist_share", "roll"), ("holds",)),
    ("gripper", "squeeze"): (("holds", "squeeze_set", "share", "rail"), ()),
    ("gripper", "upward"): (("needed", "wrist_share"), ("holds",)),
    ("gripper", "other_current"): (("rail", "rail_stuck"), ()),
    ("power", "time_wanted"): (("volts", "room"), ("all_current", "off", "strength", "top_speed")),
    ("power", "load_torque"): (("strength",), ()),
    ("power", "other_current"): (("all_current", "charge"), ("volts", "room")),
    ("power", "start_rise"): (("rise",), ("room",)),
    ("power", "angle"): (("off", "top_speed"), ()),
}


def all_settings(name):
    """The usual inputs first."""
    return enumerate(settings(sizing_of(name), SETTINGS - 1, seed=5))


@pytest.fixture(autouse=True)
def no_shortest_times(monkeypatch):
    """They take most of the time to find, and may jump: where many times begin to fail at once, because a drive that
    lags draws the same, however much too quick the move is; and below 0.05 s, where none is tried and 0 stands.
    """
    monkeypatch.setattr(power, "shortest", lambda x: dict.fromkeys(power.LIMITS, np.zeros(1)))


@pytest.mark.parametrize("name", ["motor", "train", "gripper", "power"])
def test_no_input_makes_a_finding_jump_or_lose_its_number(name):
    sizing = sizing_of(name)
    for number, values in all_settings(name):
        for field in sizing.FIELDS:
            if isinstance(field, Field):
                at = np.linspace(*ends(field), STEPS)
                found = swept(sizing, values, field.name, at)
                assert nans(found) == [], (number, field.name)
                assert jumps(sizing, values, field.name, at, found) == [], (number, field.name)


@pytest.mark.parametrize(("name", "given"), WORSE)
def test_nothing_gets_better_by_what_makes_it_worse(name, given):
    sizing, (rises, falls) = sizing_of(name), WORSE[name, given]
    for number, values in all_settings(name):
        found = swept(sizing, values, given, np.linspace(*ends(sizing.field(given)), 4 * STEPS))
        for sign, findings in ((1, rises), (-1, falls)):
            wrong = {finding: turns_back(found[finding], sign, WARMTH) for finding in findings}
            assert not any(wrong.values()), (number, given, wrong)


def test_a_jump_is_found_and_a_steep_slope_is_none():
    """The finder itself: a step of a finding is told, a slope a thousand times steeper than the rest is not."""
    from mechbench.engine.spec import Finding, Sizing

    class Steps(Sizing):
        NAME = "steps"
        FIELDS = (Field("given", "Given", "", 0.0, 10.0, 5.0, "a number"),)
        FINDINGS = (Finding("jumps", "jumps", "", ""), Finding("steep", "steep", "", ""))

        @staticmethod
        def solve(x):
            return {"jumps": 1 + (x.given > np.pi), "steep": 1 + np.clip(1000 * (x.given - np.pi), 0, 5)}

    at = np.linspace(0, 10, 41)
    found = swept(Steps, {"given": 5.0}, "given", at)
    told = jumps(Steps, {"given": 5.0}, "given", at, found)
    assert [one[0] for one in told] == ["jumps"] and told[0][1] == pytest.approx(np.pi, abs=1e-3)
    assert jumps(Steps, {"given": 5.0}, "given", at, found, ("jumps",)) == []
