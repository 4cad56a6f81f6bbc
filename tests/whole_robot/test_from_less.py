"""Robots from less: a few weighed lumps, mounting places and the whole mass; what is not given is taken from the
mechanisms or guessed, and the balance carries how unsure that is.

Expected values: sums by hand, levers and circles as in OpenStax University Physics; the rest is common sense.
"""

import random
import re
from dataclasses import replace

import numpy as np
import pytest

from mechbench import mechanisms
from mechbench.catalog import judge, sizing_of
from mechbench.desk import review
from mechbench.engine import report_text
from mechbench.engine.spec import DRIVES, HOLDS
from mechbench.kits import KitError, kit, read_kit
from mechbench.kits.robots import FILE, PART_KEYS, Mount, read_robots
from mechbench.kits.tables import Spread
from mechbench.whole_robot.body import FOLDED, RAISED, body_of
from mechbench.whole_robot.build import build, kit_with, robots
from mechbench.whole_robot.part_first import weighed
from mechbench.whole_robot.reasons import rests_on
from mechbench.whole_robot.sizing import all_of, judged
from mechbench.whole_robot.work import Days, Work
from tests.drawing.read_back import pictured
from tests.kits.test_robots import damaged

MINIMAL = """
[robots.less]
label = "Less"
wheelbase = "300 mm"
track = "340 mm"
mass = "7.2 kg"
goals = ["loom_west", "hamper"]
{more}

[robots.less.mechanisms.drive]
sizing = "drivetrain"

[robots.less.mechanisms.arm]
sizing = "arm"
payload = "0.41 kg"
arm_mass = "0.25 kg"
length = "400 mm"
start_angle = "-40 deg"
end_angle = "100 deg"
{arm}

[robots.less.steps]
way = {{ drive = "2.2 m" }}
raise = {{ mechanism = "arm", after = ["way"] }}
let_go = {{ drive = "0.3 m", after = ["raise"], pose = "{pose}" }}
back = {{ drive = "2.2 m", after = ["let_go"] }}
"""


@pytest.fixture
def less(tmp_path):
    """Give a function that builds a robot from text: as little as possible, and what is added to it."""
    number = iter(range(1000))

    def make(more="", arm="", pose="raised", text=MINIMAL, name="less"):
        (tmp_path / FILE).write_text(text.format(more=more, arm=arm, pose=pose), encoding="utf-8")
        return build(name, replace(kit(), robots=read_robots(tmp_path), digest=f"less {tmp_path} {next(number)}"))

    return make


def part(robot, name):
    return robot.plan.parts[name]


def stands(robot, days=64):
    """Braking that balance allows, raised: on the good day, and on the worst of some days."""
    good, bad = (all_of(Work(robot, days))["stands"] for days in (Days.good(), Days.spread(days)))
    return float(np.ravel(good)[0]), float(np.min(bad))


# --- the least that makes a robot -----------------------------------------------------------------------------------


def test_the_least_is_judged_whole_and_says_what_it_rests_on(less):
    robot = less()
    found = judged(robot, Days.spread(16))
    assert not [name for name, value in found.items() if np.isnan(np.asarray(value, dtype=float)).any()]
    report = judge("robot", {"which": "less"}, robot.kit)
    assert report.good["points"] > 0 and report.bad["stands"] < report.good["stands"]
    told = " ".join(rests_on(robot))
    assert "guess" in told and "two scales" in told and "rest" in told, told


def test_what_is_weighed_is_the_mass_with_what_it_carries(less):
    robot = less()
    carried = robot.value("carries") * kit().roles.piece.mass
    centre = body_of(robot).stance.centre
    assert centre.mass == pytest.approx(7.2 + carried, abs=1e-12)
    assert part(robot, "pieces")["mass"] == pytest.approx(carried)
    assert part(robot, "arm_tip")["mass"] == pytest.approx(0.41 - carried)
    # Four motors with their gearboxes, two axles of wheels, the arm's own motor, link and tip, the battery; the rest.
    motors, boxes, wheels = (kit().table(name) for name in ("motors", "gearboxes", "wheels"))
    drive = robot.mechanisms["drive"].values
    own = 4 * (motors.row(drive["motor"])["mass"] + boxes.row(drive["gearbox"])["mass"])
    assert part(robot, "drive_motors")["mass"] == pytest.approx(own)
    by_name = {name: one["mass"] for name, one in robot.plan.parts.items()}
    assert by_name["rest"] == pytest.approx(7.2 + carried - sum(m for n, m in by_name.items() if n != "rest"))
    assert part(robot, "drive_wheels")["mass"] == pytest.approx(4 * wheels.row(drive["wheel"])["mass"])


def test_an_arm_stands_on_a_circle_about_its_pivot(less):
    robot = less(arm='at = ["-120 mm", "0 mm", "310 mm"]')
    for pose, angle in ((FOLDED, -40), (RAISED, 100)):
        tip = next(one for one in body_of(robot, pose).parts if one.name == "arm_tip")
        link = next(one for one in body_of(robot, pose).parts if one.name == "arm_link")
        ahead, up = 0.4 * np.cos(np.radians(angle)), 0.4 * np.sin(np.radians(angle))
        assert (tip.x, tip.y, tip.z) == pytest.approx((-0.12 + ahead, 0, 0.31 + up))
        assert (link.x, link.z) == pytest.approx((-0.12 + ahead / 2, 0.31 + up / 2))


def test_a_number_of_the_way_is_a_pose_of_its_own(less):
    more = "[robots.less.poses]\nhalf = { arm = 0.5 }"
    robot = less(more, 'at = ["-120 mm", "0 mm", "310 mm"]', "half")
    tip = next(one for one in body_of(robot, "half").parts if one.name == "arm_tip")
    assert (tip.x, tip.z) == pytest.approx((-0.12 + 0.4 * np.cos(np.radians(30)), 0.31 + 0.4 * np.sin(np.radians(30))))


# --- what is given wins, and nothing counts twice --------------------------------------------------------------------


def test_motors_that_sit_in_a_part_add_no_mass(less):
    base = '[robots.less.parts]\nbase = { mass = "3 kg" }'
    drive = "[robots.less.mechanisms.drive]"
    inside = less(base, text=MINIMAL.replace(drive, drive + '\npart = "base"'))
    beside = less(base)
    assert "drive_motors" in beside.plan.parts and "drive_motors" not in inside.plan.parts
    assert body_of(inside).stance.centre.mass == pytest.approx(body_of(beside).stance.centre.mass)
    moved = part(inside, "rest")["mass"] - part(beside, "rest")["mass"]
    motors = part(beside, "drive_motors")["mass"] + part(beside, "drive_wheels")["mass"]
    assert moved == pytest.approx(motors)


def test_a_lump_with_mass_alone_is_a_guess_of_place_and_one_with_both_is_not(less):
    base = '[robots.less.parts]\nbase = {{ mass = "4 kg"{} }}'
    alone, placed = less(base.format("")), less(base.format(', at = ["10 mm", "0 mm", "60 mm"]'))
    assert part(alone, "base")["place_off"] > 5 * part(placed, "base")["place_off"]
    assert part(placed, "base")["at"] == (0.01, 0.0, 0.06)
    assert body_of(placed, RAISED).stance.centre.z_sd < body_of(alone, RAISED).stance.centre.z_sd


def test_what_is_given_of_a_mechanisms_own_part_takes_the_place_of_what_it_tells(less):
    own = '[robots.less.parts]\narm_tip = { mass = "0.3 kg", size = ["90 mm", "90 mm", "90 mm"] }'
    given, taken = less(own), less()
    assert part(given, "arm_tip")["mass"] == 0.3 and part(given, "arm_tip")["at"] == part(taken, "arm_tip")["at"]
    assert part(given, "arm_tip")["size"] == (0.09, 0.09, 0.09)


def test_the_rest_sits_in_the_parts_without_a_mass(less):
    more = '[robots.less.parts]\ntower = { at = ["-100 mm", "0 mm", "200 mm"] }'
    robot = less(more)
    assert "rest" not in robot.plan.parts and part(robot, "tower")["mass"] > 2
    assert part(robot, "tower")["at"] == (-0.1, 0.0, 0.2)


@pytest.mark.parametrize(
    "more, says",
    [
        ('[robots.less.parts]\nbase = { mass = "9 kg" }', "mass is 7.2 kg, but what is known or assumed of it weighs"),
        ("[robots.less.poses]\nhalf = { amr = 0.5 }", 'did you mean "arm"?'),
        ("[robots.less.poses]\nhalf = { arm = 1.5 }", "must be from 0 to 1"),
        ('[robots.less.poses]\nhalf = { arm = "up" }', "folded, raised or a number from 0 to 1"),
        ('[robots.less.parts]\nbase = { mass = "1 kg", at_hlf = ["0 m", "0 m", "0 m"] }', "at_hlf"),
    ],
)
def test_a_mistake_is_named_with_its_place(less, more, says):
    with pytest.raises(KitError) as refused:
        less(more)
    assert says in str(refused.value) and "\n" not in str(refused.value), refused.value


def test_a_part_without_mass_needs_the_mass_of_the_robot(less):
    more = '[robots.less.parts]\nbase = { at = ["0 m", "0 m", "60 mm"] }'
    with pytest.raises(KitError, match="base.* has no mass"):
        less(more, text=MINIMAL.replace('mass = "7.2 kg"', ""))


def test_a_pose_that_is_not_there_is_told_with_the_nearest_name(less):
    with pytest.raises(KitError, match='did you mean "raised"?'):
        less(pose="raisd")


def test_a_part_without_mass_weighs_what_is_known_to_sit_in_it(less):
    """Motors with their gears; what holds them is not known, so the band is wide."""
    own = '[robots.less.parts]\nbase = { mass = "4 kg", at = ["0 m", "0 m", "60 mm"], '
    own += 'size = ["0.4 m", "0.4 m", "0.1 m"] }\ntower = { at = ["-0.1 m", "0 m", "0.3 m"] }'
    text = MINIMAL.replace('mass = "7.2 kg"', "").replace('sizing = "arm"', 'sizing = "arm"\npart = "tower"')
    robot = less(own, text=text)
    arm = robot.mechanisms["arm"].values
    motor, box = kit().table("motors").row(arm["motor"]), kit().table("gearboxes").row(arm["gearbox"])
    assert part(robot, "tower")["mass"] == pytest.approx(motor["mass"] + box["mass"])
    assert part(robot, "tower")["mass_off"] > 0.2


def test_where_a_piece_is_held_follows_from_where_the_arm_is_mounted(less):
    at = 'at = ["-120 mm", "0 mm", "360 mm"]'
    robot, given = less(arm=at), less('held_at = "33 mm"', at)
    assert robot.value("held_at") == pytest.approx(
        0.36 + 0.4 * np.sin(np.radians(-40)) - kit().roles.piece.height / 2, abs=1e-12
    )
    assert given.value("held_at") == 0.033 and less().value("held_at") == 0.0
    longer = robot.with_changes({"arm.length": "0.35 m"})
    assert longer.value("held_at") > robot.value("held_at")
    assert build("less", kit_with(longer)).value("held_at") == longer.value("held_at")


CHAINED = (
    MINIMAL.replace("{arm}", "").split('sizing = "arm"')[0]
    + """sizing = "chained"
{arm}
"""
    + "[robots.less.steps]"
    + MINIMAL.split("[robots.less.steps]")[1]
)


def test_the_height_of_a_pivot_is_said_once(less):
    robot = less(arm='at = ["0 mm", "0 mm", "300 mm"]', text=CHAINED)
    assert robot.mechanisms["arm"].values["pivot_height"] == 0.3
    assert (
        less(text=CHAINED).plan.parts["arm_motors"]["at"][2]
        == robot.mechanisms["arm"].sizing.field("pivot_height").first()
    )
    with pytest.raises(KitError, match="at is 300 mm up, but pivot_height is 400 mm"):
        less(arm='at = ["0 mm", "0 mm", "300 mm"]\npivot_height = "400 mm"', text=CHAINED)


# --- a changed robot ------------------------------------------------------------------------------------------------


def test_a_change_moves_the_parts_and_its_mass_is_weighed_apart(less):
    robot = less(arm='at = ["-120 mm", "0 mm", "310 mm"]')
    longer = robot.with_changes({"arm.length": "0.5 m"})
    assert part(longer, "arm_tip")["at"][0] == pytest.approx(-0.12 + 0.5 * np.cos(np.radians(-40)))
    other = next(name for name in kit().table("motors").names if name != robot.mechanisms["arm"].values["motor"])
    changed = robot.with_changes({"arm.motor": other})
    assert {name: one["mass"] for name, one in changed.plan.parts.items()} == {
        name: one["mass"] for name, one in robot.plan.parts.items()
    }
    heavy, heavier = weighed(robot, changed)
    more = part(heavy, "arm_motors")["mass"] - part(robot, "arm_motors")["mass"]
    assert more == pytest.approx(heavier["arm"]) and more != 0


def test_a_kit_with_a_changed_robot_has_the_same_robot(less):
    for changes in ({"arm.length": "0.5 m"}, {"arm.motor": kit().table("motors").names[-1]}, {"carries": 2}):
        changed = less(arm='at = ["-120 mm", "0 mm", "310 mm"]').with_changes(changes)
        again = build("less", kit_with(changed))
        for pose in changed.poses:
            assert body_of(again, pose).parts == body_of(changed, pose).parts, (changes, pose)
            assert body_of(again, pose).boxes == body_of(changed, pose).boxes, (changes, pose)


# --- more band, and more mass up high ---------------------------------------------------------------------------------


def test_more_band_never_makes_a_verdict_better(less):
    """Of the place of the rest, and of its mass's share of a lump: wider and wider."""
    low = '[robots.less.parts]\nbase = {{ mass = "3 kg", at = ["0 m", "0 m", "{}"], {} }}'
    for height in ("60 mm", "400 mm", "1200 mm"):
        for key, ends in (("place_off", ("10 mm", "30 mm", "100 mm", "300 mm")), ("mass_off", (0.05, 0.2, 0.6, 1))):
            offs = [f'{key} = "{one}"' if isinstance(one, str) else f"{key} = {one}" for one in ends]
            reports = [judge("robot", {"which": "less"}, less(low.format(height, one)).kit) for one in offs]
            assert len({one.good["stands"] for one in reports}) == 1, "the guess itself is the same"
            for name in ("stands", "braking", "reach", "start_box"):
                line = np.array([one.bad[name] for one in reports])
                assert np.isfinite(line).all() and np.all(np.diff(line) <= 1e-12), (name, line)
            days = np.array([[one.days_in_100, one.joint_margin] for one in reports])
            assert np.all(np.diff(days, axis=0) <= 1e-12), days
            assert reports[-1].bad["stands"] < reports[0].bad["stands"]


def test_a_kit_whose_masses_are_sure_still_has_days_on_which_guesses_are_bad(less):
    robot = less()
    sure = Spread(kind="relative", low=0.0, high=0.0)
    of = replace(robot.kit, digest="sure masses", _spreads={**robot.kit._spreads, "mass": sure})
    report = judge("robot", {"which": "less"}, of)
    assert report.bad["stands"] < report.good["stands"]


def test_the_place_of_a_mechanism_that_is_guessed_costs_room(less):
    known, guessed = less(arm='at = ["-120 mm", "0 mm", "310 mm"]'), less()
    for robot, falls in ((known, False), (guessed, True)):
        report = judge("robot", {"which": "less"}, robot.kit)
        assert (report.bad["reach"] < report.good["reach"]) == falls


@pytest.mark.parametrize("weighed", ['mass = "9.2 kg"', ""])
@pytest.mark.parametrize("off", ["10 mm", "200 mm"])
def test_a_heavier_lump_up_high_never_stands_better(less, off, weighed):
    at = f', at = ["20 mm", "0 mm", "700 mm"], place_off = "{off}"'
    base = 'base = { mass = "3 kg", at = ["0 mm", "0 mm", "60 mm"], size = ["350 mm", "350 mm", "120 mm"] }'
    found, text = [], MINIMAL.replace('mass = "7.2 kg"', weighed)
    for mass in np.linspace(0.1, 1.5, 12):
        more = f'[robots.less.parts]\n{base}\ntop = {{ mass = "{mass:.3f} kg"{at} }}'
        found.append(stands(less(more, 'at = ["-120 mm", "0 mm", "310 mm"]', text=text)))
    good, bad = np.array(found).T
    assert np.isfinite(good).all() and np.isfinite(bad).all()
    assert np.all(np.diff(bad) <= 1e-9), bad
    assert np.all(np.diff(good) < 0), good


def test_a_mounting_place_in_steps_makes_no_leap(less):
    """Higher and higher: the middle of mass rises by the share of mass that sits there, and by nothing else."""
    heights = np.linspace(100, 500, 9)
    made = [less(arm=f'at = ["-120 mm", "0 mm", "{one:.3f} mm"]') for one in heights]
    centres = np.array([body_of(one, RAISED).stance.centre.z for one in made])
    moved = sum(one["mass"] for name, one in made[0].plan.parts.items() if name.startswith("arm_") or name == "pieces")
    share = moved / body_of(made[0]).stance.centre.mass
    assert np.diff(centres) == pytest.approx(np.full(8, share * 0.05), rel=1e-6)
    assert np.all(np.diff([stands(one)[0] for one in made]) < 0)


# --- what it says -----------------------------------------------------------------------------------------------------


def test_a_robot_that_may_fall_says_that_its_height_is_a_guess(less):
    robot = less('[robots.less.parts]\ntop = { mass = "4 kg", at = ["0 m", "0 m", "600 mm"], place_off = "300 mm" }')
    report = judge("robot", {"which": "less"}, robot.kit)
    assert report.good["stands"] > 0.5 > report.bad["stands"]
    told = report_text.verdict(report)
    assert "braking that balance allows, raised: " in told and "is a guess" in told and "two scales" in told, told
    assert "most of it: the place of the top" in told, told


def test_a_robot_of_which_all_was_measured_rests_on_nothing():
    for robot in robots():
        assert rests_on(robot) == () and all(not body.guessed for body in Work(robot, Days.good()).bodies.values())


# --- poses ------------------------------------------------------------------------------------------------------------


def test_a_robot_is_judged_in_the_poses_that_it_uses_and_the_worst_is_named(less):
    more = "[robots.less.poses]\nhalf = { arm = 0.6 }\nunused = { arm = 0.9 }"
    robot = less(more, 'at = ["100 mm", "0 mm", "310 mm"]', "half")
    assert robot.poses == (FOLDED, "half")
    assert less(more, 'at = ["100 mm", "0 mm", "310 mm"]').poses == (FOLDED, RAISED)
    found = judged(robot, Days.good())
    half = body_of(robot, "half")
    assert np.ravel(found["stands"])[0] == half.braking and np.ravel(found["centre"])[0] == half.stance.centre.z
    heavy = '[robots.less.parts]\ntop = { mass = "4 kg", at = ["0 m", "0 m", "200 mm"], '
    heavy += 'at_half = ["300 mm", "0 m", "900 mm"] }\n'
    falls = less(heavy + more, 'at = ["-120 mm", "0 mm", "310 mm"]', "half")
    report = judge("robot", {"which": "less"}, falls.kit)
    assert report.good["stands"] < 0 and "in its pose half" in report_text.verdict(report)


def test_a_part_without_a_mechanism_is_raised_where_its_pose_says_so(less):
    lump = '[robots.less.parts]\nflag = { mass = "1 kg", at = ["0 m", "0 m", "0.1 m"], '
    lump += 'raised_at = ["0 m", "0 m", "0.5 m"] }\n'
    poses = '[robots.less.poses]\nup = { flag = "raised" }\ndown = { arm = "raised" }'
    up, down = (less(lump + poses, pose=pose) for pose in ("up", "down"))
    at = lambda robot, pose: next(one.z for one in body_of(robot, pose).parts if one.name == "flag")
    assert at(up, "up") == 0.5 and at(down, "down") == 0.1
    assert at(less(lump), RAISED) == 0.5 and at(less(lump), FOLDED) == 0.1


def test_raised_and_folded_may_be_said_otherwise(less):
    arm = 'at = ["-120 mm", "0 mm", "310 mm"]'
    tip = lambda robot, pose: next(one.z for one in body_of(robot, pose).parts if one.name == "arm_tip")
    robot = less("[robots.less.poses]\nfolded = { arm = 0.25 }\nraised = { arm = 0.5 }", arm)
    for pose, angle in ((FOLDED, -5), (RAISED, 30)):
        assert tip(robot, pose) == pytest.approx(0.31 + 0.4 * np.sin(np.radians(angle)))


# --- the robots of both kits, from less -------------------------------------------------------------------------------


def sparse(robot, rest):
    """The same robot as little as possible: its weighed mass, and where its mechanisms are mounted; with `rest` also
    where the middle is of what no mechanism brings. A mechanism is mounted where the part in which its motors sit has
    its middle; what rises straight up stands on that part's underside.
    """
    plan, mounts = robot.plan, {}
    for name, one in robot.mechanisms.items():
        own = plan.parts[plan.mechanisms[name].part]
        (x, y, z), down, says = own["at"], own["size"][2] / 2, one.values.get(one.sizing.MOUNT_HEIGHT)
        if one.sizing.ROLE != DRIVES and not may_be_held(one):
            mounts[name] = Mount((x, y, z - (down if rises_upright(one) else 0) if says is None else says))
    parts = {}
    if rest:
        at = tuple(not_brought(robot, sparse(robot, False))[1])
        parts["rest"] = {**dict.fromkeys(PART_KEYS), "at": at, "place_off": 0.01}
    whole = sum(one["mass"] for one in plan.parts.values()) - robot.value("carries") * robot.piece.mass
    mechanisms = {name: one._replace(part="") for name, one in plan.mechanisms.items()}
    less = replace(plan, parts=parts, mechanisms=mechanisms, weighed=whole, mounts=mounts)
    every = tuple(less if one.name == plan.name else one for one in robot.kit.robots)
    return build(robot.name, replace(robot.kit, robots=every, digest=f"{robot.kit.digest} {robot.name} {rest}"))


def not_brought(robot, less):
    """Mass and middle of what no mechanism brings: of parts that stand still, and of those in which a mechanism sits
    that no other one holds; without its motors, gears and wheels, and without what it moves where the part moves too.
    """
    mass, moment = 0.0, np.zeros(3)
    for part, one in robot.plan.parts.items():
        inside = [name for name, its in robot.plan.mechanisms.items() if its.part == part]
        if moves(one) and (not inside or may_be_held(robot.mechanisms[inside[0]])):
            continue
        its = [brought for name in inside for brought in brought_by(less, name, moves(one))]
        if one["mass"] > sum(lump["mass"] for lump in its):
            mass += one["mass"] - sum(lump["mass"] for lump in its)
            moment += one["mass"] * np.array(one["at"]) - sum(lump["mass"] * np.array(lump["at"]) for lump in its)
    return mass, moment / mass


def brought_by(less, name, moving):
    """Parts that a mechanism brings, without what it raises; without all that moves unless `moving`."""
    lumps = less.mechanisms[name].sizing.lumps(less.mechanisms[name].values, less.mechanisms[name].tables, 0.0)
    its = [less.plan.parts.get(f"{name}_{lump.name}") for lump in lumps if not lump.holds]
    return [one for one in its if one and (moving or not moves(one))]


def may_be_held(mechanism):
    return any(need.does == HOLDS for need in mechanism.sizing.NEEDS)


def rises_upright(mechanism):
    return bool({"stages", "cells"} & set(mechanism.values))


def moves(one):
    return one["raised_at"] is not None or one["raised_size"] is not None


EVERY = [(one.name, which) for which, of in enumerate((kit(), read_kit("tests/kits/second_kit"))) for one in robots(of)]
KITS = kit(), read_kit("tests/kits/second_kit")


def agrees(full, less, pose):
    """Whether the plan's own boxes have the pieces where its mechanism would bring them, within 150 mm.

    Some plans contradict themselves: the boxes were drawn by hand, and not by what the mechanism's inputs say.
    """
    its = next(one for one in body_of(less, pose).parts if one.name == "pieces")
    moved = [one for one in body_of(full, pose).parts if moves(full.plan.parts[one.name])]
    return min(np.hypot(one.x - its.x, one.z - its.z) for one in moved) < 0.15


@pytest.mark.parametrize("name, which", EVERY)
@pytest.mark.parametrize("rest", [False, True])
def test_a_robot_from_less_is_the_same_robot_within_bands(name, which, rest):
    full = build(name, KITS[which])
    less = sparse(full, rest)
    for pose in (FOLDED, RAISED):
        one, other = body_of(full, pose), body_of(less, pose)
        assert other.stance.centre.mass == pytest.approx(one.stance.centre.mass, abs=1e-9)
        assert abs(other.stance.centre.z - one.stance.centre.z) < 0.030
        assert abs(other.stance.centre.x - one.stance.centre.x) < 0.035
        assert other.braking == pytest.approx(one.braking, rel=0.25)
        if agrees(full, less, pose):
            assert abs(other.extent.z_high - one.extent.z_high) < 0.060
        if not rest:  # what is guessed is told to be so unsure
            off = other.unsure
            assert abs(other.stance.centre.z - one.stance.centre.z) < 2 * off.z_sd
    given, found = (judge("robot", {"which": name}, robot.kit) for robot in (full, less))
    assert found.good["points"] == pytest.approx(given.good["points"], rel=0.01)
    assert found.bad["points"] == pytest.approx(given.bad["points"], rel=0.01)
    if agrees(full, less, FOLDED):
        assert found.good["start_box"] == pytest.approx(given.good["start_box"], abs=0.06)
    assert not [key for key, value in (found.good | found.bad).items() if np.isnan(value)]


def test_some_plans_do_not_contradict_themselves():
    """Else the test above would look at nothing."""
    for pose, least in ((FOLDED, 2), (RAISED, 2)):
        pairs = [(build(name, KITS[which]), which) for name, which in EVERY]
        agree = [full.name for full, _ in pairs if agrees(full, sparse(full, True), pose)]
        assert len(agree) >= least, (pose, agree)


# --- all that is asked of a robot, asked of one from less -----------------------------------------------------------


def test_one_from_less_is_reviewed_compared_and_changed_first_like_any_other(less):
    robot = less("[robots.less.poses]\nhigh = { arm = 0.9 }", pose="high")
    one = review.found("less", robot.kit)
    body = next(part for part in one.parts if part.heading == "Mass, size, balance")
    assert [row[0] for row in body.rows] == [FOLDED, "high"] and any("is a guess" in said for said in body.says)
    assert body.rows[0][1].endswith(" kg") and "±" not in body.rows[0][1]  # it was weighed
    assert not re.search(r"\bnan\b", review.in_words(one))


@pytest.mark.parametrize("chosen", [{}, {"raising": "during"}, {"carries": "1", "drive_gearbox": "planetary_4_6"}])
def test_its_picture_has_every_outline_in_its_place(less, chosen):
    robot = less()
    picture, report, _ = pictured("robot", {"which": "less", **chosen}, robot.kit)
    (left, right), (low, high) = picture.side.get_xlim(), picture.side.get_ylim()
    boxes = [patch.get_bbox().extents for patch in picture.side.patches if hasattr(patch, "get_width")]
    assert len(boxes) > len(robot.plan.parts)
    assert all(left < x and x_end < right and low < z and z_end < high for x, z, x_end, z_end in boxes)
    assert np.isfinite(report.good["points"])


def test_damaged_text_of_one_from_less_gives_robots_or_one_sentence(tmp_path):
    """Values, names and lines lost or changed, as in the kit's own file."""
    more = '[robots.less.parts]\nbase = { mass = "3 kg" }\ntower = { at = ["0 m", "0 m", "0.2 m"] }\n'
    more += '[robots.less.poses]\nhigh = { arm = 0.5, base = "raised" }'
    text = MINIMAL.format(more=more, arm='at = ["-120 mm", "0 mm", "310 mm"]\nwide = "50 mm"', pose="high")
    lines, words, random_ = text.split("\n"), sorted(set(re.findall("[a-z_]{3,}", text))), random.Random(5)
    built = refused = 0
    for number in range(180):
        (tmp_path / FILE).write_text(damaged(random_, lines, words), encoding="utf-8")
        try:
            for robot in robots(replace(kit(), robots=read_robots(tmp_path), digest=f"damaged less {number}")):
                found = Work(robot, Days.good()).bodies
                built += all(np.isfinite(one.braking) or one.braking == np.inf for one in found.values())
        except KitError as wrong:
            said = str(wrong)
            assert said.isprintable() and len(said) < 450 and said.endswith((".", "?")), said
            refused += 1
    assert built > 12 and refused > 40, (built, refused)


@pytest.mark.parametrize("which", [0, 1])
@pytest.mark.parametrize("kind", [name for name in mechanisms.names() if sizing_of(name).ROLE or sizing_of(name).NEEDS])
def test_with_any_mechanism_the_least_is_judged_whole(tmp_path, kind, which):
    """Weighed whole, nothing measured: on the course's own kit and on another one."""
    of, sizing = KITS[which], sizing_of(kind)
    goal = next(iter(of.game.goals))
    text = f"""[robots.least]
label = "Least"
wheelbase = "300 mm"
track = "320 mm"
mass = "9 kg"
cord_exit = ["0 m", "0 m", "0.35 m"]
goals = ["{goal}"]
[robots.least.mechanisms.drive]
sizing = "drivetrain"
[robots.least.steps]
way = {{ drive = "2 m" }}
"""
    if sizing.ROLE != DRIVES:
        time = next(one.name for one in sizing.FINDINGS if one.unit == "s")
        text += f'work = {{ mechanism = "work", finding = "{time}", after = ["way"] }}\n'
        text += f'[robots.least.mechanisms.work]\nsizing = "{kind}"\n'
    (tmp_path / FILE).write_text(text, encoding="utf-8")
    least = build("least", replace(of, robots=read_robots(tmp_path), digest=f"least {kind} {which}"))
    found = judged(least, Days.spread(16))
    assert not [name for name, value in found.items() if np.isnan(np.asarray(value, dtype=float)).any()]
    assert body_of(least).stance.centre.mass == pytest.approx(9.0 + least.value("carries") * least.piece.mass)
    report = judge("robot", {"which": "least"}, least.kit)
    assert report.bad["stands"] < report.good["stands"] and rests_on(least)
