"""What the checks by hand share: a kit by hand, a comparison that leaves no finding out, nameplates in plain sums.

Every number of a part stands in the tests as it is printed in tests/whole_robot/by_hand_kit. Nothing here uses
mechbench's physics.
"""

import math
import shutil
from pathlib import Path

import pytest

from mechbench.catalog import judge, search
from mechbench.kits import read_kit

BY_HAND = Path(__file__).resolve().parents[1] / "whole_robot" / "by_hand_kit"
KIT = read_kit(BY_HAND)
G = 9.80665  # m/s2, standard gravity: NIST SP 811
EXACT = 1e-9
HELD = "held"  # in place of what counts as a whole


def altered_kit(folder, **changes):
    """The kit by hand with some of its text replaced: altered_kit(folder, parts={'"18 A"': '"2 A"'}, robots="all")."""
    for name in ("game", "parts", "robots"):
        shutil.copy(BY_HAND / f"{name}.toml", folder)
        change = changes.get(name, {})
        text = (folder / f"{name}.toml").read_text(encoding="utf-8") if isinstance(change, dict) else change
        for old, new in change.items() if isinstance(change, dict) else ():
            assert text.count(old) == 1, f"{old} stands {text.count(old)} times in {name}.toml"
            text = text.replace(old, new)
        (folder / f"{name}.toml").write_text(text, encoding="utf-8")
    return read_kit(folder)


def judged(name, kit=KIT, **values):
    """The report of a sizing with parts of a kit by hand."""
    return judge(name, values, kit)


def agree(report, by_hand, loose=None, rel=EXACT):
    """Compare every finding of a good day; `loose` gives findings a relative tolerance of their own."""
    every = {one.name for one in report.sizing.FINDINGS}
    assert set(by_hand) == set(report.good) == every, "every finding is computed by hand"
    some_agree(report, by_hand, loose, rel)


def some_agree(report, by_hand, loose=None, rel=EXACT):
    """Compare those findings that are given."""
    wrong = {
        name: (report.good[name], value)
        for name, value in by_hand.items()
        if report.good[name] != pytest.approx(value, rel=(loose or {}).get(name, rel), abs=1e-12)
    }
    assert not wrong, f"found, by hand: {wrong}"


def rows_agree(name, values, vary, by_hand, loose=None, kit=KIT):
    """Many choices solved in one call are each what they are alone: by_hand gives the findings of one choice."""
    found = search(name, values, vary, kit).candidates
    assert len(found) == math.prod(len(one) for one in vary.values()), "every choice is told"
    for one in found:
        for finding, value in by_hand(one.choice).items():
            near = pytest.approx(value, rel=(loose or {}).get(finding, EXACT), abs=1e-12)
            assert one.good[finding] == near, (one.choice, finding)


def bounds_agree(report, by_hand):
    """Compare every bound and the margin to it: by_hand is finding -> (bound, what counts as a whole, +1 or -1)."""
    assert set(by_hand) == set(report.bounds), "every bound is given by hand"
    for name, (bound, whole, sense) in by_hand.items():
        assert report.bounds[name] == pytest.approx(bound, rel=EXACT, abs=1e-15), name
        margin = 1.0 if whole is HELD and report.good[name] <= bound else sense * (report.good[name] - bound) / whole
        assert report.good_margin[name] == pytest.approx(margin, rel=EXACT, abs=1e-12), name


def at_least(bound, whole=None):
    """A bound from below; a margin is a share of the bound, or of `whole` where the bound is 0."""
    return bound, bound if whole is None else whole, 1


def at_most(bound, whole=None):
    """A bound from above."""
    return bound, bound if whole is None else whole, -1


def held_at(bound):
    """A bound from above at which a thing stands by itself: what meets it has all the room that is needed."""
    return bound, HELD, -1


def constants(volts, free_rpm, free_amps, stall_torque, stall_amps):
    """Resistance and torque constant of a nameplate: the mean of what the stall point and the free run say."""
    resistance = volts / stall_amps
    from_stall = stall_torque / (stall_amps - free_amps)
    from_free_run = (volts - resistance * free_amps) / (free_rpm * 2 * math.pi / 60)
    return resistance, (from_stall + from_free_run) / 2


def driven_by_the_load(efficiency):
    """Efficiency of a stage that is driven backwards, its loss of torque taken equal both ways: 2 - 1 / efficiency."""
    return 2 - 1 / efficiency


def fuse_seconds(amps):
    """How long the kit's fuse of 25 A lasts: 1.4, 2.2, 4 times for 45, 4, 0.4 s, straight in logarithms.

    It carries the heat of 1.1 times for ever; below 1.4 times only what is more than that counts, as heat: by the
    square.
    """
    share = amps / 25.0
    if share <= 1.1:
        return math.inf
    (low, slow), (high, quick) = ((1.4, 45.0), (2.2, 4.0)) if share <= 2.2 else ((2.2, 4.0), (4.0, 0.4))
    seconds = slow * (quick / slow) ** (math.log(share / low) / math.log(high / low))
    return seconds * (1.4**2 - 1.1**2) / (share**2 - 1.1**2) if share < 1.4 else seconds
