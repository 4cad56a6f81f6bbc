"""Which part first: beside plain loops over every change and every pair, that share nothing with it."""

import shutil
from dataclasses import replace
from itertools import combinations
from pathlib import Path

import numpy as np
import pytest

from mechbench.kits import kit, pairing, read_kit
from mechbench.kits.load import OWN_FOLDER
from mechbench.whole_robot import part_first as first
from mechbench.whole_robot import part_first_words as words
from mechbench.whole_robot import work
from mechbench.whole_robot.body import FOLDED, RAISED, body_of
from mechbench.whole_robot.build import build, robots
from mechbench.whole_robot.sizing import all_of, judged
from mechbench.whole_robot.together import Together, alike
from mechbench.whole_robot.work import Days

SECOND = Path(__file__).parents[1] / "kits" / "second_kit"
SOME = ("planetary_4_6", "planetary_12", "planetary_21", "1", "3")
QUICKER = (("drive.gearbox", "planetary_12"),)
FEW = ("drive.gearbox", "drive.count", "arm.gearbox", "arm.motor", "drive.driven_share")


@pytest.fixture
def few(monkeypatch):
    """Only some inputs are tried, so that a plain loop can try them too."""
    every = first.changes_of
    monkeypatch.setattr(first, "changes_of", lambda robot: [one for one in every(robot) if one.path in FEW])


@pytest.fixture
def changed(tmp_path):
    """Give a function that reads the course's kit with some text of its files replaced."""
    folder = tmp_path / "kit"
    shutil.copytree(OWN_FOLDER, folder)

    def read(file, *pairs):
        text = (folder / file).read_text(encoding="utf-8")
        for old, new in pairs:
            assert old in text
            text = text.replace(old, new)
        (folder / file).write_text(text, encoding="utf-8")
        return read_kit(folder)

    return read


# --- what mends a robot that fails ------------------------------------------------------------------------------------


def test_what_mends_a_fuse_is_found_as_a_plain_loop_finds_it(changed, monkeypatch):
    """Swift without its limit melts the fuse; of five lower limits the best that mends it is found."""
    every = first.changes_of
    monkeypatch.setattr(first, "changes_of", lambda robot: [c for c in every(robot) if c.path == "drive.start_limit"])
    monkeypatch.setattr(first, "further_of", _only(first.further_of, "drive.start_limit"))
    swift = build("swift", changed("robots.toml", ('start_limit = "3.5 A"\n', "")))
    limits = [10.0 * share for share in (0.9, 0.75, 0.5, 0.35, 0.25)]
    robots_at = {limit: swift.with_changes({"drive.start_limit": limit}) for limit in limits}
    fuse = {limit: bad_day(one, "fuse", "more") for limit, one in robots_at.items()}
    points = {limit: bad_day(one) for limit, one in robots_at.items()}
    # 5 A mends it by a hair, and two limits cost no points: then the one that leaves the fuse more.
    best = max((limit for limit in limits if fuse[limit] <= 1), key=lambda limit: (points[limit], -fuse[limit]))
    assert 0 < sum(value > 1 for value in fuse.values()) < len(limits), "some mend it, some don't"
    fault = first.part_first(swift).fault
    assert fault.finding.name == "fuse" and fault.report.bad["fuse"] == pytest.approx(bad_day(swift, "fuse", "more"))
    (one,) = fault.mends
    assert one.becomes == pytest.approx(best) and one.effect.mended[0] == pytest.approx(fuse[best])
    assert one.effect.points_bad == pytest.approx((bad_day(swift), points[best]), abs=1e-9)
    assert one.effect.mass == 0, "a setting weighs nothing"


def _only(make, path):
    return lambda robot: [one for one in make(robot) if one.path == path]


def test_what_no_part_mends_is_said_with_what_comes_nearest(changed, few):
    """Swift with a frame of 9.5 kg: 15.5 kg, and its lightest motors and gears are on it already, or nearly."""
    frame = 'frame       = { mass = "2.5 kg",  at = ["0 mm", "0 mm", "65 mm"],     size = ["440 mm", "410 mm"'
    swift = build("swift", changed("robots.toml", (frame, frame.replace("2.5", "9.5"))))
    found = first.part_first(swift)
    assert found.fault.finding.name == "mass" and found.fault.mends == ()
    nearest, before = found.fault.nearest, bad_day(swift, "mass", "more")
    assert 14.5 < nearest.effect.mended[0] < before
    after = first.weighed(swift, swift.with_changes({nearest.path: nearest.becomes}))[0]
    assert nearest.effect.mended[0] == pytest.approx(bad_day(after, "mass", "more"))
    said = words.verdict(found)
    assert said.startswith("Does not work: mass: 15.5 kg (at most 14.5 kg); its heaviest part is the frame, 9.5 kg. No")
    assert "No change of one part of the kit mends that; nearest comes " in said


def test_what_no_part_changes_is_left_to_the_plan(changed, few):
    """No motor or gear makes a frame of 560 mm shorter."""
    frame = 'frame       = { mass = "2.5 kg",  at = ["0 mm", "0 mm", "65 mm"],     size = ["440 mm", "410 mm"'
    found = first.part_first(build("swift", changed("robots.toml", (frame, frame.replace("440 mm", "560 mm")))))
    assert found.fault.mends == () and found.fault.nearest is None
    assert words.verdict(found).endswith("No change of one part of the kit makes that better: change the plan itself.")
    assert not found.found or words.more(found)[0] == words.AFTER_MENDING


@pytest.mark.parametrize("wanted, said", [(300.0, True), (0.0, False)])
def test_points_that_are_missed_all_the_same_are_said(wanted, said, few):
    found = first.part_first("wren", wanted)
    assert found.found and found.fault is None
    short = wanted - found.found[0].effect.points_bad[1]
    told = f"With the first one it still misses the {wanted:g} points that are asked, by {short:.1f}."
    assert (told in words.more(found)) is said


# --- by hand ----------------------------------------------------------------------------------------------------------


def bad_day(robot, finding="points", worse="less"):
    """The value that on 19 of 20 of 256 days is not worse, and never better than that of the good day."""
    good = float(np.ravel(judged(robot, Days.good())[finding])[0])
    days = np.sort(np.broadcast_to(judged(robot, Days.spread(256))[finding], (256,)))
    return max(float(days[-13]), good) if worse == "more" else min(float(days[12]), good)


def wren_weighs(robot):
    """Mass of motors, gearboxes and wheels of Wren's two mechanisms, added up from the kit's file."""
    table = lambda name, part: kit().table(name).row(part)["mass"]
    drive, arm = robot.mechanisms["drive"].values, robot.mechanisms["arm"].values
    return {
        "drive": int(drive["count"]) * (table("motors", drive["motor"]) + table("gearboxes", drive["gearbox"]))
        + 2 * table("wheels", drive["wheel"])
        + 2 * table("wheels", drive["free_wheel"]),
        "arm_motor": int(arm["count"]) * (table("motors", arm["motor"]) + table("gearboxes", arm["gearbox"])),
    }


def by_hand(changes):
    """Wren with these changes, and with the masses of other motors and gearboxes where they sit."""
    plain, robot = build("wren"), build("wren", changes=changes)
    parts = dict(robot.plan.parts)
    for name, mass in wren_weighs(robot).items():
        more = mass - wren_weighs(plain)[name]
        parts[name] = {**parts[name], "mass": parts[name]["mass"] + more}
    return replace(robot, plan=replace(robot.plan, parts=parts))


def others():
    """All other values of the few inputs."""
    boxes, shares = pairing.loose(kit().table("gearboxes")), (0.54, 0.66)
    yield from (("drive.gearbox", box) for box in boxes if box != "planetary_16")
    yield from (("arm.gearbox", box) for box in boxes if box != "planetary_97")
    yield from (("drive.count", number) for number in ("1", "3"))
    yield from (("arm.motor", motor) for motor in kit().table("motors").names if motor != "slim")
    yield from (("drive.driven_share", share) for share in shares)


# --- one change -------------------------------------------------------------------------------------------------------


def test_the_best_change_is_the_best_of_a_plain_loop(few):
    found = first.part_first("wren")
    before = bad_day(build("wren"))
    gains = {one: bad_day(by_hand(dict([one]))) - before for one in others()}
    assert found.tried == len(gains)
    best = max(gains, key=gains.get)
    assert (found.found[0].path, found.found[0].becomes) == best
    assert found.found[0].effect.gain == pytest.approx(gains[best], abs=1e-9) and gains[best] > 0.5
    for one in found.found:
        assert one.effect.gain == pytest.approx(gains[one.path, one.becomes], abs=1e-9)
    # What is not offered gains nothing that is surely more than luck, or breaks something.
    left = set(gains) - {(one.path, one.becomes) for one in found.found}
    surely = [one for one in left if gains[one] > 1.0]
    assert len(surely) <= found.broken


def test_what_a_change_costs_is_what_the_robot_by_hand_has_more(few):
    found = first.part_first("wren")
    for one in found.found:
        plain, robot = build("wren"), by_hand({one.path: one.becomes})
        more = lambda finding, worse: bad_day(robot, finding, worse) - bad_day(plain, finding, worse)
        assert one.effect.points_bad == pytest.approx((bad_day(plain), bad_day(robot)))
        assert one.effect.peak == pytest.approx(more("peak", "more"), abs=1e-9)
        assert one.effect.volts == pytest.approx(more("volts", "less"), abs=1e-9)
        assert one.effect.stands == pytest.approx(more("stands", "less"), abs=1e-9)


def test_the_best_pair_is_the_best_of_all_pairs_in_a_plain_loop(monkeypatch):
    """Each of these alone, then all pairs of different inputs: the best two alone are not the best pair."""
    small = [one for one in others() if one[0] in ("drive.gearbox", "drive.count") and one[1] in SOME]
    small += [("arm.gearbox", "planetary_74"), ("arm.motor", "stout")]
    every = first.changes_of
    monkeypatch.setattr(first, "changes_of", lambda robot: [c for c in every(robot) if (c.path, c.becomes) in small])
    found = first.part_first("wren", pairs=True)
    before = bad_day(build("wren"))
    two = [pair for pair in combinations(small, 2) if pair[0][0] != pair[1][0]]
    gains = {pair: bad_day(by_hand(dict(pair))) - before for pair in two}
    by_hand_of = {frozenset(pair): gain for pair, gain in gains.items()}
    told = [(frozenset((c.path, c.becomes) for c in one.changes), one.effect) for one in found.pairs.found]
    assert all(effect.gain == pytest.approx(by_hand_of[pair], abs=1e-9) for pair, effect in told)
    best = max(gains.values())
    assert told[0][1].gain == pytest.approx(best, abs=1e-9) and best > found.found[0].effect.gain
    as_good = {pair for pair, gain in by_hand_of.items() if gain == pytest.approx(best, abs=1e-9)}
    assert told[0][0] in as_good and told[0][1].mass == min(e.mass for pair, e in told if pair in as_good)
    assert len(small) == found.tried == 7 and found.pairs.tried <= len(two)
    assert f"est of {found.pairs.tried} pairs" in words.more(found)[-1]


def test_pairs_are_of_different_inputs_and_all_of_them_are_tried(few, monkeypatch):
    tried = []
    plain = first._Hunt.best
    monkeypatch.setattr(first._Hunt, "best", lambda self, changes: (tried.append(changes), plain(self, changes))[1])
    found = first.part_first("wren", pairs=3)
    pairs = tried[1]
    pool = {(one.path, one.becomes) for pair in pairs for one in pair.changes}
    by_paths = [two for two in combinations(pool, 2) if two[0][0] != two[1][0]]
    assert len(pairs) == found.pairs.tried == len(by_paths)
    assert found.pairs.best <= 3 and found.pairs.broken <= 3 and found.pairs.unlock > 0


# --- mass -------------------------------------------------------------------------------------------------------------


def test_four_motors_bring_four_gearboxes():
    """Another stage of 35 g in each of Stork's four gearboxes is 140 g, where the drive sits."""
    stork = build("stork")
    heavy, heavier = first.weighed(stork, stork.with_changes({"drive.gearbox": "planetary_56"}))
    assert heavier == pytest.approx({"drive": 4 * 0.035})
    assert heavy.plan.parts["drive"]["mass"] == pytest.approx(2.2 + 0.14)
    was, now = (body_of(one).stance.centre for one in (stork, heavy))
    assert now.mass == pytest.approx(was.mass + 0.14) and now.mass_sd == pytest.approx(was.mass_sd)
    assert now.z == pytest.approx((was.z * was.mass + 0.045 * 0.14) / (was.mass + 0.14))


@pytest.mark.parametrize(
    "change, heavier",
    [
        ({"lift.count": "2"}, {"lift": 0.26 + 2 * 0.035}),
        ({"lift.stages": "2"}, {"lift": -0.17}),
        ({"lift.drum": "spool_28"}, {"lift": -0.011}),
        ({"drive.wheel": "omni_80"}, {"drive": 4 * (0.125 - 0.095)}),
        ({"drive.driven": "rear"}, {"drive": 2 * (0.125 - 0.095)}),
        ({"tray.servo": "light"}, {"tray": 2 * (0.017 - 0.071)}),
        ({"tray.count": "2"}, {"tray": 2 * 0.071}),
        ({"tray.drive": "shared"}, {"tray": -0.071}),
        ({"winch.ratchet": "none"}, {"winch": -0.07}),
        ({"lift.rigging": "cascade"}, {}),
        ({"lift.offset": 0.02}, {}),
    ],
)
def test_masses_by_hand_from_the_kit_file(change, heavier):
    stork = build("stork")
    assert first.weighed(stork, stork.with_changes(change))[1] == pytest.approx(heavier)


def test_the_mass_of_a_pair_is_known_only_where_both_are():
    stork = build("stork")
    hunt = first._Hunt(stork, None, lambda words: None)
    every = {(one.path, one.becomes): one for one in first.changes_of(stork)}
    motor, rigging = every["lift.motor", "stout"], every["lift.rigging", "cascade"]
    count = every["lift.count", "2"]
    both, known, alone = hunt._effects([first.Pair((motor, rigging)), first.Pair((motor, count)), rigging], 64)
    assert both.effect.mass is None and alone.effect.mass is None
    assert known.effect.mass == pytest.approx(2 * (0.45 + 0.07) - (0.26 + 0.07))


def test_pairs_need_two_changes():
    with pytest.raises(ValueError, match="pairs is 1, but two changes at once need at least 2"):
        first.part_first("wren", pairs=1)


def test_what_cannot_be_built_is_counted_and_left_out(few, monkeypatch):
    """A gearbox that its sizing refuses: the others of the same call are found all the same."""
    plain = first.play
    bad = lambda work: any(one.robot.mechanisms["drive"].values["gearbox"] == "planetary_4_6" for one in work.works)

    def refuse(work, matches):
        if bad(work):
            raise ValueError("this gearbox can't be built in.")
        return plain(work, matches)

    monkeypatch.setattr(first, "play", refuse)
    found = first.part_first("wren")
    assert found.impossible == 1 and found.found[0].becomes == "planetary_12"
    assert "1 of them can't be built." in words.more(found)


def test_without_a_place_the_centre_of_gravity_stays(changed):
    own = changed("robots.toml", ('part = "lift_base"\n', ""))
    stork = build("stork", own)
    heavy, heavier = first.weighed(stork, stork.with_changes({"lift.motor": "stout"}))
    assert heavier == pytest.approx({"lift": 0.19})
    for pose in (FOLDED, RAISED):
        was, now = (body_of(one, pose).stance.centre for one in (stork, heavy))
        assert now.mass == pytest.approx(was.mass + 0.19)
        assert (now.x, now.y, now.z) == pytest.approx((was.x, was.y, was.z))


def test_more_than_its_part_weighs_is_taken_off_the_whole_robot(changed):
    own = changed("robots.toml", ('tray        = { mass = "0.36 kg"', 'tray        = { mass = "0.1 kg"'))
    stork = build("stork", own)
    heavy, _ = first.weighed(stork, stork.with_changes({"tray.servo": "light"}))
    assert all(one["mass"] > 0 for one in heavy.plan.parts.values())
    assert body_of(heavy).stance.centre.mass == pytest.approx(body_of(stork).stance.centre.mass - 2 * 0.054)


# --- what breaks something --------------------------------------------------------------------------------------------


def test_a_change_that_breaks_the_mass_limit_is_counted_but_not_offered(few, changed):
    """Wren may weigh 50 g more; the quicker gearboxes of its two drive motors now weigh 60 g more than the others."""
    free = first.part_first("wren").found[0]
    assert (free.path, free.becomes) == ("drive.gearbox", "planetary_12") and not free.effect.breaks
    limit = f"{bad_day(build('wren'), 'mass', 'more') + 0.05:.4f} kg"
    changed("game.toml", ('mass = "14.5 kg"', f'mass = "{limit}"'))
    own = changed("parts.toml", ("stages = [3.5, 3.5], ", 'mass_per_stage = "0.05 kg", stages = [3.5, 3.5], '))
    found = first.part_first("wren", kit=own)
    assert ("drive.gearbox", "planetary_12") not in {(one.path, one.becomes) for one in found.found}
    assert found.broken >= 1
    assert any("gain" in one and "break" in one for one in words.more(found))


def test_what_a_change_breaks_and_meets_is_what_the_sizings_ask(few):
    hunt = first._Hunt(build("wren"), None, lambda words: None)
    told = {
        (one.path, one.becomes): one.effect for one in hunt._effects(first.changes_of(build("wren")), first.SIEVE_DAYS)
    }
    stalls = told["arm.gearbox", "planetary_4_6"]
    assert "least torque to spare" in stalls.breaks and stalls.gain < 0
    quicker = told["drive.gearbox", "planetary_12"]
    between = sum(quicker.points_bad) / 2
    asked = first._Hunt(build("wren"), between, lambda words: None)
    (more,) = asked._effects(
        [one for one in first.changes_of(build("wren")) if first._key(one) == QUICKER], first.SIEVE_DAYS
    )
    assert "points a match" in more.effect.meets and "points a match" not in quicker.meets


# --- general ----------------------------------------------------------------------------------------------------------


def test_together_is_each_alone():
    """Robots with other gears, servos and masses, solved in one call, find what each finds alone."""
    stork, days = build("stork"), Days.spread(16)
    changes = [
        {},
        {"drive.gearbox": "planetary_12"},
        {"drive.gearbox": "planetary_25", "lift.gearbox": "planetary_16"},
        {"winch.spool": "spool_52"},
        {"lift.motor": "stout"},
        {"tray.squeeze": 4.0},
    ]
    many = [first.weighed(stork, stork.with_changes(one))[0] for one in changes]
    assert len({alike(one) for one in many}) == 1 != len({alike(stork), alike(stork.with_changes({"lift.count": "2"}))})
    found = all_of(Together(many, days))
    own = {"mass", "start_box", "reach", "motors", "servos", "motors_and_servos", "stands", "braking", "height"}
    own |= {"passes", "centre"}
    for i, robot in enumerate(many):
        alone = judged(robot, days)
        for key in alone.keys() - own:
            here = np.broadcast_to(found[key], (6 * 16,)).reshape(6, 16)[i]
            np.testing.assert_allclose(here, np.broadcast_to(alone[key], (16,)), rtol=1e-9, atol=1e-9, err_msg=key)


def test_a_search_leaves_what_a_slider_needs(few):
    """What was solved for the robot on screen is still known after hundreds of others were met."""
    robot = build("wren")
    judged(robot, Days.spread(16))
    before = set(work._kept)
    first.part_first(robot)
    assert before and before == set(work._kept)


def test_nothing_the_job_asks_or_the_robot_gives_is_changed():
    stork = build("stork")
    paths = {one.path for one in first.changes_of(stork)}
    assert {"drive.gearbox", "lift.motor", "winch.spool", "tray.servo", "intake.roller", "lift.spring"} <= paths
    assert not {"lift.payload", "lift.time_wanted", "drive.mass", "winch.mass", "drive.wheelbase"} & paths
    stages = [one.becomes for one in first.changes_of(stork) if one.path == "lift.stages"]
    assert stages == ["2", "4"]
    lean = [one for one in first.changes_of(stork) if one.path == "lift.lean"]
    assert [np.degrees(one.becomes) for one in lean] == pytest.approx([81.0])
    assert lean[0].told(lean[0].becomes) == "81 deg" and lean[0].label == "lift: lean from level"


def test_a_number_stays_in_its_range_and_leaves_zero():
    wren = build("wren", changes={"drive.driven_share": 0.9, "arm.anchor_height": 0.2})
    share = [one.becomes for one in first.changes_of(wren) if one.path == "drive.driven_share"]
    assert share == pytest.approx([0.81])
    winch = build("stork", changes={"winch.before": 0.0})
    field = winch.mechanisms["winch"].sizing.field("before")
    before = [one.becomes for one in first.changes_of(winch) if one.path == "winch.before"]
    assert before == pytest.approx([0.1 * field.to_si(field.high - field.low)])


def test_the_error_is_that_of_the_mean_where_days_are_alike():
    """Where all days are alike the jackknife is the standard error of a mean difference: textbook."""
    rng = np.random.default_rng(5)
    before, more = rng.normal(90, 9, 61), rng.normal(1, 2, 61)
    flat = lambda points: np.broadcast_to(points, (65, 61))
    assert first._error(flat(before), flat(before + more)) == pytest.approx(np.std(more, ddof=1) / np.sqrt(61))
    assert first._error(flat(before), flat(before)) == 0


def test_a_gain_that_luck_may_tell_is_none():
    one = first.Effect((90.0, 91.0), (80.0, 81.0), 0.4, 0.0, 0.0, 0.0, 0.0)
    assert not one.gains and replace(one, error=0.3).gains
    assert not first.Effect((90.0, 90.0), (80.0, 80.04), 0.0, 0.0, 0.0, 0.0, 0.0).gains


def test_what_luck_cannot_tell_from_the_first_is_as_good():
    """By hand: 61 matches in which one of two robots has 1 point more on average, by a spread of 2 or of 8."""
    hunt = first._Hunt.__new__(first._Hunt)
    rng = np.random.default_rng(3)
    noise = rng.normal(0, 1, 61)
    noise = (noise - noise.mean()) / noise.std(ddof=1)
    flat = lambda points: np.broadcast_to(points, (257, 61))
    steady, close = change(), change(becomes="planetary_21")
    for spread, surely in ((2.0, True), (8.0, False)):
        assert (1 > 3 * spread / np.sqrt(61)) == surely
        played = {first._key(steady): flat(91 + spread * noise), first._key(close): flat(np.full(61, 90.0))}
        hunt.played = {first.DAYS: played}
        assert hunt.is_more(steady, close) == surely and not hunt.is_more(close, steady)
    lean = change("lift.lean", 1.3)
    told = words.more(result(change(), lean, as_good=(lean,)))
    assert "Luck alone may put the first one ahead of lift: lean from level." in told


def test_another_kit_has_its_first_part_too(monkeypatch):
    every = first.changes_of
    monkeypatch.setattr(first, "changes_of", lambda robot: [one for one in every(robot) if "last" not in one.path])
    own = read_kit(SECOND)
    for robot in robots(own):
        found = first.part_first(robot)
        assert found.tried > 40 and found.robot is robot
        before = bad_day(robot)
        for one in found.found[:2]:
            heavy, _ = first.weighed(robot, robot.with_changes({one.path: one.becomes}))
            assert bad_day(heavy) - before == pytest.approx(one.effect.gain, abs=1e-9) and one.effect.gain > 0
        assert words.verdict(found)[-1] == "."


# --- words ------------------------------------------------------------------------------------------------------------


def effect(**other):
    whole = {"points_good": (97.0, 101.0), "points_bad": (96.6, 99.7), "error": 0.1, "mass": 0.06, "peak": 2.1}
    return first.Effect(**{**whole, "volts": -0.3, "stands": -0.02, **other})


def change(path="lift.gearbox", becomes="planetary_16", **other):
    stork = build("stork")
    name, _, key = path.partition(".")
    lift = stork.mechanisms[name]
    return first.Change(path, lift, lift.sizing.field(key), lift.values[key], becomes, effect(**other))


def result(*found, **other):
    return first.PartFirst(build("stork"), found, **{"tried": 800, "broken": 0, "impossible": 0, **other})


def test_the_verdict_says_what_it_gains_and_costs():
    assert words.verdict(result(change())) == (
        "Change first: lift: gearbox, from 12.3 : 1 planetary to 16.1 : 1 planetary: +3.1 points on a bad day (96.6 →"
        " 99.7); costs 60 g, +2.1 A."
    )
    assert words.verdict(result(change(mass=None, peak=0.0))).endswith("; its mass is not known.")
    assert words.verdict(result(change(mass=None))).endswith("; its mass is not known, costs +2.1 A.")
    assert words.verdict(result(change(mass=-0.06, peak=-2.1))).endswith("; saves 60 g, 2.1 A.")
    assert words.verdict(result(change(mass=-0.06))).endswith("; costs +2.1 A, saves 60 g.")
    assert words.verdict(result(change(mass=0.0, peak=0.01))).endswith("; costs neither mass nor current.")
    assert words.verdict(result(change(mass=0.06), broken=2), "us").endswith("; costs 2.1 oz, +2.1 A.")
    assert words.verdict(result()) == "No change of one part gains points on a bad day."


def test_the_table_shows_the_best_change_of_each_input():
    found = result(change(), change(becomes="planetary_21"), change("lift.lean", 1.3, mass=None))
    rows = words.rows(found)
    assert [row[0] for row in rows] == [
        "lift: gearbox, from 12.3 : 1 planetary to 16.1 : 1 planetary",
        "lift: lean from level, from 90 deg to 74.5 deg",
    ]
    assert rows[0][1:] == ("+3.1 points", "+60 g", "+2.1 A", "-0.02 m/s²") and rows[1][2] == "not known"
    assert len(rows[0]) == len(words.HEADS)
    assert any(one.startswith("Mass not known") for one in words.more(found))


def test_it_says_what_breaks_and_what_was_compared():
    assert "17 changes gain points but break something that was met before." in words.more(result(broken=17))
    assert "1 change gains points but breaks something that was met before." in words.more(result(broken=1))
    assert words.more(result())[-1].startswith("Two changes at once were not tried")
    one, other = change(), change("lift.lean", 1.3)
    pairs = first.Pairs((first.Pair((one, other), effect(points_bad=(96.6, 101.6))),), 66, 12, 0, 0, 0, True)
    told = words.more(result(one, pairs=pairs))[-1]
    assert told.startswith("Best of 66 pairs of the 12 best single changes: lift: gearbox, from")
    assert " and lift: lean from level, from 90 deg to 74.5 deg: +5.0 points on a bad day (96.6 → 101.6);" in told
    assert told.endswith("; the best single change gains +3.1.")
    close = words.more(result(one, pairs=replace(pairs, more=False)))[-1]
    assert close.endswith("; the best single change gains +3.1, and luck alone may make the difference.")
    none = words.more(result(pairs=first.Pairs((), 3, 1, 1, 1, 9)))[-1]
    assert none == (
        "None of 3 pairs of the 1 best single changes, 1 that gain but break something alone, 1 of 9 that gain nothing"
        " alone but newly meet what is asked gains points on a bad day."
    )
