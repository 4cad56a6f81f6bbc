"""Every input from one end of its range to the other: nothing is lost, nothing jumps without a reason, and nothing gets
better where it must get worse. At the defaults and at settings drawn at random, on a good day.
"""

import numpy as np
import pytest

from mechbench.catalog import sizing_of
from mechbench.engine.spec import Field
from tests.mechanisms.sweeps import setting, sweep
from tests.tries import tries

PARTS = ("winch", "arm", "chained", "linkage", "scissor", "lift", "pair", "train", "motor")
STEPS, SETTINGS = 200, tries(1, thorough=10)
JUMP, SHARPER = 0.2, 4  # share of a finding; times the steps beside it
NEAR_AN_END = 4  # steps from where a finding becomes never or unlimited: on the way there it grows without bound

# Findings that jump, and why.
REASONS = {
    ("winch", "layers"): "they are counted; the radius, and so the torque on the drum, grows with each",
    ("winch", "spare"): "the torque on the drum grows with each layer",
    ("winch", "holds"): "the torque on the drum grows with each layer",
    ("winch", "factor"): "the first millimetres of slack let the drum get up speed",
    ("train", "speed"): "the motor stalls where the load asks more current than its controller lets through",
    ("motor", "speed"): "the same",
    ("motor", "power"): "the same",
    ("motor", "efficiency"): "the same",
    **{
        (name, finding): "a swing that could not be stopped at its end is not begun, and draws nothing"
        for name in ("arm", "chained", "linkage")
        for finding in ("current", "volts")
    },
    ("chained", "worst_angle"): "another place of the swing becomes the worst one",
    ("chained", "spare"): "where start and end are swapped, the weight helps that resisted",
}


def kinks(values, never):
    """Steps at which a finding jumps, away from where something has no value."""
    finite = np.isfinite(values) & ~never
    change = np.abs(np.diff(np.where(finite, values, 0.0)))
    size = np.maximum(np.abs(values[1:]), np.abs(values[:-1]))
    span = np.ptp(values[finite]) if finite.any() else 0.0
    found = []
    for n in np.flatnonzero(finite[1:] & finite[:-1] & (change > JUMP * size) & (change > 0.03 * span)):
        beside = np.r_[change[max(n - 2, 0) : n], change[n + 1 : n + 3]]
        if change[n] > SHARPER * max(np.median(beside), 1e-12) and size[n] > 1e-9:
            found.append(n)
    return found


def near_never(found):
    """Steps near one at which some finding gets or loses its value; near a toggle all forces of a linkage grow so."""
    finite = np.array([np.isfinite(values) for values in found.values()])
    toggles = found["transmission"] < np.radians(45) if "transmission" in found else np.zeros(finite.shape[1], bool)
    turns = np.flatnonzero((finite[:, 1:] != finite[:, :-1]).any(axis=0))
    away = np.abs(np.arange(finite.shape[1])[:, None] - (turns + 0.5)).min(axis=1, initial=np.inf)
    return toggles | (away < NEAR_AN_END)


def settings(name, count):
    random = np.random.default_rng(11)
    return [{}, *[setting(name, random) for _ in range(count)]]


@pytest.mark.parametrize("name", PARTS)
def test_no_input_makes_a_finding_jump_or_lose_its_value(name):
    sizing, built = sizing_of(name), 0
    for others in settings(name, SETTINGS):
        for field in sizing.FIELDS:
            places, found = sweep(name, field.name, STEPS, {k: v for k, v in others.items() if k != field.name})
            lost = {finding for finding, values in found.items() if np.isnan(values).any()}
            assert lost in (set(), set(found)), f"{name} {field.name}: {lost} lost, and not with all the others"
            built += np.sum(np.isfinite(next(iter(found.values()))))
            if not isinstance(field, Field):
                continue  # from one part to the next anything may change
            never = near_never(found)
            jumps = {finding: kinks(values, never) for finding, values in found.items()}
            jumps = {f: [places[n] for n in at] for f, at in jumps.items() if at and (name, f) not in REASONS}
            assert not jumps, f"{name} {field.name} {others}: {jumps}"
    assert built > STEPS


# What must grow (+) or fall (-) as an input grows. With a spring, or over the top, a load may help: not in this list.
MUST = (
    ("winch", "mass", "+time -spare +snatch -factor -holds +strength -clear +pull"),
    ("winch", "pulley_efficiency", "-time +spare -pull"),
    ("winch", "battery.open_circuit", "-time +spare"),
    ("lift", "payload", "+time -spare +strength +cord_used +falls_with"),
    ("lift", "battery.open_circuit", "-time +spare"),
    ("arm", "payload", "-spare +worst_torque +strength -hot_after +falls_with"),
    ("arm", "battery.open_circuit", "-time +spare"),
    ("chained", "battery.open_circuit", "-time +spare"),
    ("linkage", "battery.open_circuit", "-time +spare"),
    ("scissor", "load", "+time -spare +strength +holding +push"),
    ("scissor", "friction", "+time -spare +strength"),
    ("scissor", "thread_friction", "+time -spare +strength +holds"),
    ("scissor", "pin_play", "+rocking"),
    ("scissor", "battery.open_circuit", "-time +spare"),
    ("train", "load_torque", "-speed +torque_used +current -hot_after"),
    ("train", "battery.open_circuit", "+speed +stall_torque"),
    ("motor", "load_torque", "-speed +current -hot_after -spare -volts"),
    ("motor", "start_rise", "-hot_after"),
    ("motor", "battery.open_circuit", "+speed +spare"),
    ("pair", "load_torque", "+strength"),
)
ROUGH = {"linkage": 1e-2}  # of a time over a table of places where the inertia changes much


@pytest.mark.parametrize("name, field, ways", MUST, ids=[f"{name}-{field}" for name, field, _ in MUST])
def test_more_load_and_friction_or_less_battery_make_nothing_better(name, field, ways):
    for others in settings(name, tries(3, thorough=30)):
        given = {key: value for key, value in others.items() if key != field}
        _, found = sweep(name, field, 40, given | ({"spring": "none"} if name == "arm" else {}))
        for way in ways.split():
            values = found[way[1:]] * (1 if way[0] == "+" else -1)
            before, after = values[:-1], values[1:]
            both = np.isfinite(before) & np.isfinite(after)
            back = np.where(both, before, 0.0) - np.where(both, after, 0.0)
            wrong = (after < before) & ~(
                both & (back <= ROUGH.get(name, 2e-4) * np.maximum(np.abs(before), np.abs(after)))
            )
            assert not wrong.any(), f"{name} {field} {way} {others}: {found[way[1:]]}"
