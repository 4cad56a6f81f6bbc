"""The gripper sizing: servo, jaws, pads and pieces act as they do in physics, and rows are solved one by one."""

import numpy as np
import pytest

from mechbench.catalog import judge, sizing_of
from mechbench.engine import report_text
from mechbench.engine.furthest import Tries
from mechbench.engine.inputs import Tables, complete
from mechbench.kits import kit
from mechbench.physics.constants import GRAVITY

SIZING = sizing_of("gripper")


def good(**values):
    return judge(SIZING, values).good


def test_squeeze_and_share_by_hand():
    """One strong servo, jaws geared together, levers of 50 mm at 10 degrees: all by hand."""
    found = good(offset="0 mm", safety="1.5", squeeze="5.5 N")
    force = 0.150 * np.hypot(GRAVITY + 3, 5)
    assert found["needed"] == pytest.approx(1.5 * force / (2 * 0.6))
    assert found["holds"] == pytest.approx(5.5 / found["needed"])
    torque = 2 * 5.5 * 0.050 * np.cos(np.radians(10)) / 0.94
    assert found["share"] == pytest.approx(torque / 2.7)
    assert found["rail"] == pytest.approx(3.6 * torque / 2.7 + 1.0)
    assert found["rail_stuck"] == pytest.approx(4.6)


def test_a_servo_for_each_jaw_halves_the_share_and_not_the_current():
    shared, own = good(drive="shared"), good(drive="own")
    assert own["share"] == pytest.approx(shared["share"] * 0.94 / 2)
    assert own["rail"] - 1 == pytest.approx((shared["rail"] - 1) * 0.94)
    assert own["rail_stuck"] - 1 == pytest.approx(2 * (shared["rail_stuck"] - 1))


def test_two_pieces_in_jaws_of_their_own():
    one, two = good(count="1"), good(count="2")
    assert two["holds"] == one["holds"] and two["rail"] - 1 == pytest.approx(2 * (one["rail"] - 1))
    assert one["roll"] == 0 and two["roll"] == pytest.approx(0.150 * (GRAVITY + 3) * 0.075)
    assert two["wrist_share"] > one["wrist_share"]


def test_two_grippers_need_room_for_their_open_jaws():
    """Pieces 84 mm wide, jaws that open 30 mm further, both sides together: the pads of two jaws that face one another
    stand 15 mm beyond their pieces each, and each jaw is 15 mm thick (common practice, no source), so the pieces are
    84 + 15 + 15 + 15 + 15 = 144 mm apart, centre to centre, at least.
    """
    near = {"count": "2", "piece_width": "84 mm", "room": "30 mm", "spacing": "140 mm"}
    report = judge(SIZING, near)
    assert report.good["between"] == pytest.approx(-0.004) and not report.works
    assert report_text.verdict(report) == "Does not work: room between two open grippers is -4 mm (at least 0 mm)."
    assert judge(SIZING, {**near, "spacing": "145 mm"}).works
    assert judge(SIZING, {**near, "count": "1"}).good["between"] == np.inf


def test_two_as_usual_have_room():
    assert judge(SIZING, {"count": "2"}).good["between"] > 0


def test_pivot_jaws_tilt_and_at_last_push_the_piece_out():
    square, tilted, out = (good(jaws="pivot", grip_angle=a) for a in ("0 deg", "20 deg", "40 deg"))
    assert square["tilt"] == 0 and np.degrees(tilted["tilt"]) == pytest.approx(20)
    assert square["needed"] < tilted["needed"] < out["needed"] == np.inf and out["holds"] == 0
    assert good(jaws="parallel", grip_angle="40 deg")["tilt"] == 0
    assert good(jaws="pivot", grip_angle="20 deg", square_angle="20 deg")["needed"] == pytest.approx(square["needed"])


def test_jaws_that_cannot_open_so_far_say_so():
    report = judge(SIZING, {"lever": "20 mm", "room": "60 mm"})
    assert report.good_margin["opens"] < 0 and np.isfinite(report.good["time"])


def test_a_ratio_trades_squeeze_for_time():
    plain, geared = good(), good(ratio="2")
    assert geared["time"] == pytest.approx(2 * plain["time"]) and geared["turn"] == pytest.approx(2 * plain["turn"])
    assert geared["share"] == pytest.approx(plain["share"] / 2 / 0.94)
    assert geared["stall_squeeze"] == pytest.approx(2 * 0.94 * plain["stall_squeeze"])


def test_the_weakest_servo_cannot_hold_it_for_long():
    """2 x 5.5 N on 50 mm at 10 degrees ask 0.54 N·m and what is lost: 0.31 N·m is all that the light one has."""
    assert judge(SIZING).works_on_bad_day
    assert judge(SIZING, {"servo": "light"}).good_margin["share"] < 0
    assert kit().table("servos").row("light")["holding_share"] == 0.35


def test_slippery_and_heavy_days_are_the_bad_ones():
    report = judge(SIZING)
    assert report.bad["needed"] > report.good["needed"] and report.bad["squeeze_set"] == report.good["squeeze_set"]


def test_pads_that_are_turned_by_more_than_a_quarter_hold_nothing():
    """Levers at 51 deg, square at -40.5 deg: 91.6 deg between the pads and square. It is a result, not an error."""
    report = judge(SIZING, {"jaws": "pivot", "grip_angle": "51.1 deg", "square_angle": "-40.5 deg"})
    assert np.degrees(report.good["tilt"]) == pytest.approx(91.6) and report.good["needed"] == np.inf
    assert report.good["holds"] == 0 and not report.works


def test_the_squeeze_needed_is_the_first_that_is_told_for_information():
    assert [one.name for one in SIZING.FINDINGS if not one.sense][0] == "needed"


def test_who_gives_a_heavier_piece_squeezes_it_harder():
    """300 g on 0.6: 22.5 x 0.3 / 0.6 = 11.25 N, in half newtons 11 N; 150 g of the game: 5.5 N as usual."""
    assert judge(SIZING).values["squeeze"] == 5.5
    heavy = judge(SIZING, {"piece_mass": "300 g", "reach": "150 mm"})
    assert heavy.values["squeeze"] == 11.0 and heavy.good["squeeze_set"] == 11.0 and heavy.good["holds"] > 1
    # (250 g + 300 g) x 150 mm x (9.81 + 3) m/s2 on the wrist
    assert heavy.good["wrist_torque"] == pytest.approx(0.55 * 0.15 * (GRAVITY + 3))
    assert judge(SIZING, {"piece_mass": "150 g"}).values == judge(SIZING).values
    given = judge(SIZING, {"piece_mass": "300 g", "squeeze": "5.5 N"})
    assert given.values["squeeze"] == 5.5


def test_the_squeeze_that_follows_is_no_more_than_the_piece_bears():
    assert judge(SIZING, {"piece_mass": "2 kg"}).values["squeeze"] == judge(SIZING).values["squeeze_allowed"] == 38.0
    soft = judge(SIZING, {"piece_mass": "300 g", "squeeze_allowed": "8 N"})
    assert soft.values["squeeze"] == 8.0
    assert judge(SIZING, {"piece_mass": "5 g"}).values["squeeze"] == 0.5
    most = judge(SIZING, {"piece_mass": "3 kg", "squeeze_allowed": "200 N"})
    assert most.values["squeeze"] == 112.5  # 22.5 x 3 / 0.6


def test_the_squeeze_follows_the_friction_of_the_pads_too():
    table = Tables(SIZING)("pads")
    for pad in table.names:
        friction = table.row(pad)["friction"]
        squeeze = judge(SIZING, {"piece_mass": "300 g", "pad": pad}).values["squeeze"]
        assert squeeze == pytest.approx(min(22.5 * 0.3 / friction, 38.0), abs=0.2501)


def test_the_heaviest_piece_is_looked_for_as_it_is_typed():
    """Each mass with its own squeeze; where a squeeze is given, all with that one."""
    tries = Tries(SIZING, {}, "piece_mass", Tables(SIZING), "g")
    for grams in (20.0, 150.0, 300.0):
        typed = judge(SIZING, {"piece_mass": f"{grams} g"})
        assert tries.judge(grams).good == pytest.approx(typed.good)
        least = min(typed.good_margin.values())
        assert tries.on_a_good_day([grams, 40.0])[0] == pytest.approx(least, rel=1e-9)
    held = Tries(SIZING, {"squeeze": "5.5 N"}, "piece_mass", Tables(SIZING), "g")
    assert held.judge(300.0).values["squeeze"] == 5.5


def test_in_a_plan_of_a_robot_what_is_left_out_has_its_plain_default():
    plan = complete(SIZING, {"piece_mass": "300 g"}, Tables(SIZING), opened=False)
    assert plan["squeeze"] == 5.5 and plan["piece_mass"] == 0.3
