"""Lift: a published bracket, free bodies of every stage, potential and kinetic energy, an independent solver, and
laws.
"""

from dataclasses import replace
from itertools import pairwise

import numpy as np
import pytest

from mechbench.physics import drive, lift, rope
from mechbench.physics.constants import GRAVITY
from mechbench.physics.lift import Lift
from mechbench.physics.motion import Bus, move
from mechbench.physics.winch import Drum
from tests.physics.reference_motion import Drive, Piece, flat, run
from tests.published import READ, RECOMPUTED, check

BUS = Bus(14.0, 0.05)
PULLEY = Drum(0.018, np.inf, 0.018, 0.0)
LEANING = Lift(3, True, 0.21, 0.28, 0.18, 0.55, np.radians(70), 3.0, 0.15, 0.06)
LINE = drive.Line(1.25, 0.0175 * 12, 0.25, 7.5e-6 * 144, 0.81, 0.79, 15.0)
RIGGINGS = [replace(LEANING, cascade=c, stages=n) for c in (True, False) for n in (1, 2, 3, 4)]


def end_of(some):
    return some.travel * (1 if some.cascade else some.stages)


# ---- binding and friction --------------------------------------------------------------------------------------------


def test_bracket_on_a_pipe():
    """Where the load may stand without sliding down: 12 in from the axis of the pipe, friction 0.25, guides 6 in
    apart.
    """
    source = (
        "Beer, Johnston et al., Vector Mechanics for Engineers: Statics, Sample Problem 4.13 (8.3 in older editions),"
        " at holooly.com"
    )
    check(
        "lift",
        "movable bracket: friction eats the whole load at 12 in [-]",
        lift.binding(12.0, 6.0, 0.25),
        1.0,
        1e-9,
        source,
        READ,
    )
    assert lift.binding(11.9, 6.0, 0.25) < 1 < lift.binding(12.1, 6.0, 0.25)


def friction_by_free_body(some, rail, wound):
    """Side loads of one rail: two guide forces from two equations of equilibrium, stages where their cord has put
    them.
    """
    ways = lift.stage_ways(some, wound)
    below = ways[rail - 2] if rail > 1 else 0.0
    low, high = ways[rail - 1], below + some.length  # foot of the stage, head of the one that guides it
    cos, sin = GRAVITY * np.cos(some.lean), GRAVITY * np.sin(some.lean)
    loads = [(some.stage_mass * cos, ways[k] + some.length / 2, 0.0) for k in range(rail - 1, some.stages)]
    loads.append((some.payload * cos, ways[-1] + some.length, some.payload * sin * some.offset))
    total, moment = sum(f for f, _, _ in loads), sum(f * (at - low) + extra for f, at, extra in loads)
    upper = moment / (high - low)
    return some.drag + some.friction * (abs(upper) + abs(total - upper))


@pytest.mark.parametrize("some", [*RIGGINGS, replace(LEANING, lean=np.pi / 2), replace(LEANING, lean=0.2, offset=0.0)])
def test_rail_friction_by_free_bodies(some):
    for share in (0.0, 0.4, 1.0):
        wound = share * end_of(some)
        moving = int(np.sum(lift.stage_ways(some, wound) > 0)) or 1
        rub = lift.cord_pull(some, [wound], [moving])[1][0]
        rails = [friction_by_free_body(some, rail, wound) for rail in range(1, some.stages + 1)]
        check(
            "lift",
            f"friction in the cord, {some.stages} stages, lean {np.degrees(some.lean):.0f} deg, {share:.0%} up [N]",
            rub,
            sum(rails) if some.cascade else rails[some.stages - moving],
            1e-9,
            "two guide forces from equilibrium",
            RECOMPUTED,
        )
    assert lift.rail_friction(some)[: some.stages] == pytest.approx(rails), "all out"
    assert np.all(lift.rail_friction(some)[some.stages :] == 0)


def test_an_upright_lift_feels_only_its_offset():
    upright = replace(LEANING, lean=np.pi / 2)
    lost = lift.binding(upright.offset, upright.length - upright.travel, upright.friction) * upright.payload * GRAVITY
    assert lift.rail_friction(upright)[:3] == pytest.approx(upright.drag + lost)
    assert lift.rail_friction(replace(upright, offset=0.0))[:3] == pytest.approx(upright.drag)


# ---- pulls -----------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize("some", RIGGINGS)
def test_pull_and_mass_are_slopes_of_the_energies(some):
    """Virtual work from the stages' own ways: d(weight x height)/ds is the pull, sum of m (dy/ds)^2 the mass."""
    end, h = end_of(some), 1e-6
    masses = np.r_[np.full(some.stages - 1, some.stage_mass), some.stage_mass + some.payload]
    for wound in np.linspace(0.05, 0.95, 12) * end:
        rates = (lift.stage_ways(some, wound + h) - lift.stage_ways(some, wound - h)) / (2 * h)
        moving = int(np.sum(rates > 1e-9))
        pull, rub, mass = lift.cord_pull(some, [wound], [moving])
        assert pull[0] == pytest.approx(GRAVITY * np.sin(some.lean) * (masses @ rates), rel=1e-6)
        assert mass[0] == pytest.approx(masses @ rates**2, rel=1e-6)
        against = np.diff(np.r_[0.0, rates])  # each rail's own sliding
        rails = [friction_by_free_body(some, rail, wound) for rail in range(1, some.stages + 1)]
        assert rub[0] == pytest.approx(rails @ np.abs(against), rel=1e-6)


@pytest.mark.parametrize("some", RIGGINGS)
def test_both_riggings_do_the_same_work(some):
    """Potential energy of all stages out, however the cord runs; friction between that of a lift all in and all out."""
    load = lift.raise_load(some, PULLEY)
    step = np.diff(load.q)
    number = np.arange(1, some.stages + 1)
    height = some.travel * np.sin(some.lean) * GRAVITY
    raised = height * (some.stage_mass * number.sum() + some.payload * some.stages)
    assert (0.5 * (load.load_torque[1:] + load.load_torque[:-1]) * step).sum() == pytest.approx(raised, rel=1e-9)
    rubbed = (0.5 * (load.friction_torque[1:] + load.friction_torque[:-1]) * step).sum()
    assert some.travel * lift.rail_friction(some, 0.0).sum() < rubbed < some.travel * lift.rail_friction(some).sum()
    assert load.q[-1] * PULLEY.core_radius == pytest.approx(end_of(some))


@pytest.mark.parametrize("stages", [1, 2, 3, 4])
def test_tensions_of_a_cascade_by_free_bodies(stages):
    """Each stage: up by its own cord, down by weight, by its rail, by twice the next cord on its pulley; up by the
    next but one's anchor.
    """
    some = replace(LEANING, stages=stages)
    rails, w = lift.rail_friction(some)[:stages], np.full(stages, some.stage_mass)
    w[-1] += some.payload
    matrix, right = np.zeros((stages, stages)), w * GRAVITY * np.sin(some.lean) + rails
    for i in range(stages):
        matrix[i, i] = 1
        if i + 1 < stages:
            matrix[i, i + 1] = -2
            right[i] -= rails[i + 1]
        if i + 2 < stages:
            matrix[i, i + 2] = 1
    tension = np.linalg.solve(matrix, right)
    ours = lift.stage_tensions(some)
    check(
        "lift",
        f"pull of the drive's cord, cascade of {stages} [N]",
        ours[0],
        tension[0],
        1e-9,
        "free body of each stage",
        RECOMPUTED,
    )
    assert ours[:stages] == pytest.approx(tension) and np.all(ours[stages:] == 0)
    pull, rub, _ = lift.cord_pull(some, [some.travel], [1])
    assert ours[0] == pytest.approx(pull[0] + rub[0])
    one_cord = replace(some, cascade=False)
    load = lift.raise_load(one_cord, PULLEY)
    assert lift.stage_tensions(one_cord)[0] == pytest.approx(np.max(load.load_torque + load.friction_torque) / 0.018)


def test_a_cascade_is_a_tackle_run_backwards():
    """Without stage weight: n times the load, as a tackle of n falls pulled at its heavy end."""
    bare = replace(LEANING, stage_mass=1e-12, drag=0.0, friction=0.0)
    for n in (1, 2, 3, 4):
        pull = lift.cord_pull(replace(bare, stages=n), [0.1], [1])[0][0]
        weight = bare.payload * GRAVITY * np.sin(bare.lean)
        assert rope.tackle_pull(pull, n) == pytest.approx(weight)
        assert lift.stage_ways(replace(bare, stages=n), 0.1)[-1] == pytest.approx(n * 0.1)


def test_a_counter_spring_takes_its_share():
    for some in RIGGINGS:
        helped = replace(some, spring=5.0)
        gain = some.stages if some.cascade else 1
        assert lift.cord_pull(some, [0.1], [1])[0] - lift.cord_pull(helped, [0.1], [1])[0] == pytest.approx(gain * 5.0)
        assert lift.stage_tensions(some)[0] - lift.stage_tensions(helped)[0] == pytest.approx(gain * 5.0)


# ---- moves -----------------------------------------------------------------------------------------------------------


def test_continuous_lift_against_a_second_solver():
    """Three stages picked up one after another, and a second layer on the drum on the way."""
    some, drum = replace(LEANING, cascade=False), Drum(0.014, 0.012, 0.030, 0.003)
    ours = move(LINE, lift.raise_load(some, drum, drum_inertia=2e-5, points=41), BUS)
    radii, climb = (0.0155, 0.0185), 4 * 2 * np.pi * 0.0155
    masses = [0.18 * j + some.payload for j in (1, 2, 3)]
    breaks = [0.21 / radii[0], climb / radii[0]]  # wound 0.21 m, then 0.390 m
    breaks.append(breaks[1] + (0.42 - climb) / radii[1])
    end = breaks[2] + 0.21 / radii[1]
    states = [(0, 0), (1, 0), (1, 1), (2, 1)]  # (stage picked up, layer) between the breaks

    def rub(q):
        wound = min(q, breaks[1]) * radii[0] + max(q - breaks[1], 0.0) * radii[1]
        stage, layer = states[sum(q >= b for b in breaks)]
        return friction_by_free_body(some, 3 - stage, min(wound, 0.63)) * radii[layer]

    j = [masses[s] * radii[l] ** 2 + 2e-5 for s, l in states]
    weights = [masses[s] * GRAVITY * np.sin(some.lean) * radii[l] for s, l in states]
    climbing = masses[1] * radii[0] * radii[1] + 2e-5  # onto the second layer: as in test_winch
    came = {2: climbing}
    ways = pairwise([0.0, *breaks, end])
    parts = [Piece(*way, flat(weights[i]), rub, flat(j[i]), inertia_before=came.get(i)) for i, way in enumerate(ways)]
    ref = Drive(LINE, parts)
    found = run([ref], BUS.open_circuit, BUS.resistance, BUS.reset_level)
    source, known = "second solver: adaptive steps, root search on torques and on Kirchhoff's law", "recomputed here"
    check(
        "lift",
        "continuous lift of three stages, up and stopped [s]",
        ours.time[0, 0],
        found["time"][0],
        1e-3,
        source,
        known,
    )
    check("lift", "winding heat of the same [J]", ours.heat[0, 0], found["heat"][0], 5e-3, source, known)
    assert ours.balance_error.max() < 1e-3


@pytest.mark.parametrize("some", RIGGINGS)
def test_up_and_down_close_the_energy_balance_and_stop(some):
    up = lift.raise_load(some, Drum(0.014, 0.012, 0.030, 0.003), drum_inertia=1e-5)
    done = [move(LINE, load, BUS) for load in (up, lift.lower_load(up))]
    for one in done:
        assert one.why[0, 0] == "arrived" and one.speed[0, 0, -1] == 0 and one.balance_error[0, 0] < 1e-3
    assert done[1].time[0, 0] < done[0].time[0, 0] and done[1].heat[0, 0] < done[0].heat[0, 0]
    back = lift.lower_load(lift.lower_load(up))
    assert (
        np.allclose(back.q, up.q)
        and np.allclose(back.load_torque, up.load_torque)
        and np.allclose(back.friction_torque, up.friction_torque)
    )


def test_rigging_trades_speed_for_pull():
    slow, fast = (move(LINE, lift.raise_load(replace(LEANING, cascade=c), PULLEY), BUS) for c in (False, True))
    assert fast.time[0, 0] < slow.time[0, 0]
    light = drive.Line(1.25, 0.0175 * 4, 0.25, 7.5e-6 * 16, 0.9, 0.89, 15.0)
    assert move(light, lift.raise_load(LEANING, PULLEY), BUS).why[0, 0] == "stalled"
    assert move(light, lift.raise_load(replace(LEANING, cascade=False), PULLEY), BUS).why[0, 0] == "arrived"


def test_stays_up_is_where_friction_just_holds():
    upright = replace(LEANING, lean=np.pi / 2)
    load = lift.raise_load(upright, PULLEY)
    spare = lift.stays_up(load, LINE)
    pull, rub, _ = lift.cord_pull(upright, [0.0], [1])
    assert spare == pytest.approx(drive.unpowered_hold(LINE) - (pull - rub)[0] * 0.018) and spare < 0
    assert drive.shorted_creep(LINE, (pull - rub)[0] * 0.018) > 0, "what does not stay up creeps with a shorted motor"
    balanced = replace(upright, spring=(pull - rub)[0] / 3)
    assert lift.stays_up(lift.raise_load(balanced, PULLEY), LINE) == pytest.approx(drive.unpowered_hold(LINE))


def test_return_line_is_needed_where_friction_or_spring_holds_it_up():
    upright = replace(LEANING, lean=np.pi / 2, friction=0.0)
    assert lift.return_pull(upright) == 0
    assert lift.return_pull(replace(upright, spring=20.0)) > 0
    pull, rub, mass = lift.cord_pull(upright, [0.21], [1])
    a = 2 * (pull - rub)[0] / mass[0]  # faster than it falls
    assert lift.return_pull(upright, a) == pytest.approx((pull - rub)[0])
    for low in (replace(LEANING, lean=np.radians(10)), replace(LEANING, lean=np.radians(10), cascade=False)):
        load = lift.raise_load(low, PULLEY)
        assert lift.return_pull(low) == pytest.approx(np.max(load.friction_torque - load.load_torque) / 0.018)


def test_tip_play_by_turning_stage_after_stage():
    """The stages as a chain of straight pieces, each turned by its rail's play."""
    play, guide = 0.0004, LEANING.length - LEANING.travel
    point, angle = np.array([0.0, 0.0]), 0.0
    for rail in range(1, 4):  # from the middle of one guide to the middle of the next, then to the top
        angle += play / guide
        reach = LEANING.travel if rail < 3 else LEANING.length - guide / 2
        point = point + reach * np.array([np.sin(angle), np.cos(angle)])
    rotation, shift, sink = lift.tip_play(LEANING, play)
    assert rotation == pytest.approx(angle) and shift == pytest.approx(point[0], rel=1e-3)
    assert sink == pytest.approx(shift * np.cos(np.radians(70)))
    assert lift.tip_play(replace(LEANING, lean=np.pi / 2), play)[2] == pytest.approx(0.0, abs=1e-12)


def test_scalars_equal_arrays():
    stages, cascade, lean = (
        np.array([1, 3, 4, 2]),
        np.array([True, False, True, False]),
        np.radians([90.0, 70.0, 45.0, 60.0]),
    )
    many = Lift(stages, cascade, 0.21, 0.28, 0.18, 0.5, lean, 3.0, 0.15, 0.06, np.array([0.0, 5.0, 0.0, 10.0]))
    drums = Drum(np.array([0.012, 0.017, 0.012, 0.0225]), 0.012, 0.04, 0.003)
    load = lift.raise_load(many, drums)
    done = [move(LINE, one, BUS) for one in (load, lift.lower_load(load))]
    for i in range(4):
        one = Lift(int(stages[i]), bool(cascade[i]), 0.21, 0.28, 0.18, 0.5, lean[i], 3.0, 0.15, 0.06, many.spring[i])
        single = lift.raise_load(one, Drum(drums.core_radius[i], 0.012, 0.04, 0.003))
        for both, way in zip(done, (single, lift.lower_load(single))):
            assert move(LINE, way, BUS).time[0, 0] == pytest.approx(both.time[i, 0], rel=1e-9)
        assert lift.stage_tensions(one) == pytest.approx(lift.stage_tensions(many)[i])
        assert lift.return_pull(one, 1.0) == pytest.approx(lift.return_pull(many, 1.0)[i])
        assert lift.tip_play(one, 0.001) == pytest.approx([part[i] for part in lift.tip_play(many, 0.001)])
        assert lift.stays_up(single, LINE) == pytest.approx(lift.stays_up(load, LINE)[i])


@pytest.mark.parametrize(
    "wrong, says",
    [
        (lambda: replace(LEANING, stages=0), "stages is 0"),
        (lambda: replace(LEANING, lean=0.0), "lean is 0"),
        (lambda: replace(LEANING, lean=2.0), "lean is 2"),
        (lambda: replace(LEANING, travel=0.30), "travel is 0.3"),
        (lambda: replace(LEANING, payload=-1.0), "payload is -1"),
        (lambda: replace(LEANING, stage_mass=0.0), "stage_mass is 0"),
        (lambda: lift.stage_ways(LEANING, 0.24), "wound is 0.24"),
        (lambda: lift.binding(0.1, 0.0, 0.1), "guide_length is 0"),
        (lambda: lift.cord_pull(LEANING, [0.1], [0]), "moving is 0"),
        (lambda: lift.cord_pull(LEANING, [0.231], [1]), "share of the cord wound is 1.1,"),
        (lambda: lift.rail_friction(LEANING, 1.2), "out is 1.2"),
        (lambda: lift.raise_load(LEANING, PULLEY, before=-0.1), "before is -0.1"),
        (lambda: lift.raise_load(LEANING, PULLEY, drum_inertia=-0.1), "drum_inertia is -0.1"),
        (lambda: lift.return_pull(LEANING, -1.0), "acceleration is -1"),
        (lambda: lift.tip_play(LEANING, -1.0), "play is -1"),
    ],
)
def test_bad_input_is_one_sentence_that_names_it(wrong, says):
    with pytest.raises(ValueError, match=says):
        wrong()
