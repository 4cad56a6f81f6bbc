"""The gripper's picture shows jaws and pieces to scale, forces in balance, and the curve of the sizing."""

import numpy as np
import pytest

from mechbench.catalog import judge
from mechbench.physics.constants import GRAVITY
from tests.drawing.read_back import corners, motion_of, pictured


def drawn(closed=1.0, **values):
    return pictured("gripper", values, closed=closed)


def pads(picture, number=0):
    """Inner edges of the two pads of one gripper, read from their drawn outlines."""
    left, right = (corners(part)[:, 0] for part in picture.sets[number]["pads"])
    return left.max(), right.min()


def length(arrow, way):
    """How long an arrow is drawn, along x (0) or along y (1)."""
    return np.ptp(arrow.patch.get_xy()[:, way]) if arrow.patch.get_visible() else 0.0


@pytest.mark.parametrize("jaws", ["parallel", "pivot"])
def test_closed_jaws_touch_the_piece(jaws):
    picture, _, now = drawn(jaws=jaws, grip_angle=np.radians(20), square_angle=np.radians(20))
    left, right = pads(picture)
    assert right - left == pytest.approx(now.piece_width)
    piece = corners(picture.sets[0]["piece"])
    assert np.ptp(piece[:, 0]) == pytest.approx(now.piece_width, rel=1e-3)


def test_a_tilted_pad_touches_the_round_piece():
    picture, _, now = drawn(jaws="pivot", grip_angle=np.radians(25))
    pad = corners(picture.sets[0]["pads"][1])[:4]
    middle = corners(picture.sets[0]["piece"])[:-1].mean(axis=0)
    edges = zip(pad, np.roll(pad, -1, axis=0))
    cross = lambda a, b: a[0] * b[1] - a[1] * b[0]
    distances = [abs(cross(b - a, middle - a)) / np.hypot(*(b - a)) for a, b in edges]
    assert min(abs(d - now.piece_width / 2) for d in distances) < 1e-4


def test_open_jaws_are_as_wide_as_the_job_asks_or_as_the_levers_allow():
    picture, _, now = drawn(0.0, room=0.05)
    left, right = pads(picture)
    assert right - left == pytest.approx(now.piece_width + 0.05)
    picture, report, now = drawn(0.0, lever=0.02, room=0.15)
    left, right = pads(picture)
    assert right - left == pytest.approx(now.piece_width + report.good["opens"])


def test_of_two_pieces_the_left_one_is_let_go():
    picture, _, now = drawn(0.0, count="2", spacing=0.16, drive="own")
    gaps = [right - left for left, right in (pads(picture, 0), pads(picture, 1))]
    assert gaps == pytest.approx([now.piece_width + now.room, now.piece_width])
    shown = [any(push.patch.get_visible() for push in picture.sets[i]["pushes"]) for i in range(3)]
    assert shown == [False, True, False]
    assert not picture.sets[2]["piece"].patch.get_visible()


@pytest.mark.parametrize("jaws", ["parallel", "pivot"])
@pytest.mark.parametrize("room, spacing", [(0.034, 0.150), (0.048, 0.150), (0.012, 0.150), (0.060, 0.162)])
def test_an_open_jaw_and_the_jaw_beside_it_lie_on_one_another_in_no_picture_that_tells_of_room(jaws, room, spacing):
    """The left gripper is open, the right one closed; both open need more, which is what the finding tells."""
    picture, report, _ = drawn(0.0, count="2", jaws=jaws, room=room, spacing=spacing, square_angle=np.radians(10))
    assert report.good["between"] >= -1e-12
    edge = lambda number, side, far: far(
        far(corners(part)[:, 0])
        for name, places in (("pads", (side,)), ("carriers", (side,)), ("levers", (side, side + 2)))
        for part in (picture.sets[number][name][place] for place in places)
        if part.patch.get_visible()
    )
    apart = edge(1, 0, min) - edge(0, 1, max)
    assert apart >= report.good["between"] + room / 2 - 0.004  # the pads of pivot jaws turn as they open


def test_forces_on_a_held_piece_are_in_balance_and_to_one_scale():
    picture, _, now = drawn(level=0.0, squeeze=5.0, upward=6.0)
    carried = now.piece_mass * (GRAVITY + 6.0)
    assert length(picture.carried, 1) == pytest.approx(2 * length(picture.rubs[0], 1))
    assert length(picture.carried, 1) / length(picture.squeezes[0], 0) == pytest.approx(carried / 5.0)
    assert picture.verdict.get_text() == "it holds"


def test_a_piece_that_slips_is_told_and_its_friction_is_what_the_pads_can_give():
    picture, _, now = drawn(level=0.0, offset=0.0, squeeze=0.8)
    assert picture.verdict.get_text() == "it slips"
    assert length(picture.rubs[0], 1) / length(picture.squeezes[0], 0) == pytest.approx(now.pad.friction)
    assert "little to spare" in drawn(level=0.0, offset=0.0, squeeze=2.0)[0].verdict.get_text()
    assert "pushed out" in drawn(jaws="pivot", grip_angle=np.radians(45))[0].verdict.get_text()
    assert "open" in drawn(0.5)[0].verdict.get_text()
    assert "overlap" in drawn(count="2", spacing=0.05)[0].verdict.get_text()
    assert "jaws meet" in drawn(0.5, count="2", piece_width=0.084, room=0.03, spacing=0.143)[0].verdict.get_text()
    assert "are open" in drawn(0.5, count="2", piece_width=0.084, room=0.03, spacing=0.145)[0].verdict.get_text()


def test_a_squeeze_that_the_servo_can_not_hold_is_told():
    """By hand: a servo's torque grows as the squeeze does, so at squeeze / share it gives all that it has."""
    calm = {"level": 0.0, "offset": 0.0, "upward": 0.0}
    _, report, now = drawn(**calm)
    stalls = now.squeeze / report.good["share"]
    long = stalls * now.servo.holding_share
    words = lambda squeeze: drawn(squeeze=squeeze, **calm)[0].verdict.get_text()
    assert report.good["holds"] * 0.95 * long / now.squeeze > 1
    assert [words(squeeze) for squeeze in (0.95 * long, 1.05 * long, 0.95 * stalls)] == [
        "it holds",
        *["it holds, but\nnot for long"] * 2,
    ]
    assert words(1.05 * stalls) == "too hard for\nthe servo"
    moves, *_ = motion_of("gripper", {"squeeze": 1.05 * stalls, **calm})
    assert "Too hard for the servo." in moves.told


def test_the_curve_is_the_sizings_at_every_acceleration():
    picture, report, _ = drawn(upward=4.0)
    x, y = picture.needed.get_data()
    for upward in (0.0, 4.0, 13.0):
        assert np.interp(upward, x, y) == pytest.approx(judge("gripper", {"upward": upward}).good["needed"], rel=0.005)
    assert picture.here.get_data()[1][0] == pytest.approx(report.good["needed"])
    longest = report.good["stall_squeeze"] * 0.35
    assert picture.long.get_data()[1][0] == pytest.approx(longest)


EXTREMES = [(0.02, 60, 0.2), (0.03, -30, 0.2), (0.06, 40, 0.2), (0.2, 60, 0.01), (0.2, -60, 0.2), (0.06, 0, 0.084)]


@pytest.mark.parametrize("lever, angle, width", EXTREMES)
@pytest.mark.parametrize("jaws, count", [("pivot", "1"), ("parallel", "4")])
def test_jaws_and_pieces_stay_in_view(lever, angle, width, jaws, count):
    values = {
        "lever": lever,
        "grip_angle": np.radians(angle),
        "piece_width": width,
        "jaws": jaws,
        "count": count,
        "spacing": 0.3,
        "room": 0.15,
    }
    picture, _, _ = drawn(0.0, **values)
    (left, right), (low, high) = picture.top.get_xlim(), picture.top.get_ylim()
    for parts in picture.sets[: int(count)]:
        for part in (parts["piece"], *parts["pads"], *parts["gears"], *parts["levers"], *parts["carriers"]):
            if part.patch.get_visible():
                points = corners(part)
                assert left <= points[:, 0].min() and points[:, 0].max() <= right
                assert low <= points[:, 1].min() and points[:, 1].max() <= high


@pytest.mark.parametrize("closed", [0.0, 1.0])
@pytest.mark.parametrize(
    "values",
    [
        {},
        {"drive": "own"},
        {"drive": "own", "count": "2", "spacing": 0.16},
        {"jaws": "pivot", "grip_angle": 0.6},
        {"lever": 0.2},
        {"piece_width": 0.03, "lever": 0.03},
        {"piece_width": 0.03, "lever": 0.08, "grip_angle": 0.3},
    ],
)
def test_servos_lie_on_the_base_and_the_base_in_the_view(closed, values):
    picture, _, now = drawn(closed, **values)
    left, right = picture.top.get_xlim()
    shown = [parts for parts in picture.sets if parts["base"].patch.get_visible()]
    assert len(shown) == now.count.number
    for parts in shown:
        base = corners(parts["base"])
        assert left <= base[:, 0].min() and base[:, 0].max() <= right
        servos = [corners(servo) for servo in parts["servos"] if servo.patch.get_visible()]
        assert len(servos) == (1 if now.drive.driven == 2 else 2)
        for servo in servos:
            assert (base.min(axis=0) - 1e-9 <= servo.min(axis=0)).all()
            assert (servo.max(axis=0) <= base.max(axis=0) + 1e-9).all()


def test_jaws_close_as_fast_as_the_servo_turns():
    moves, report, now = motion_of("gripper")
    opened = np.arcsin(np.sin(now.grip_angle) + now.room / (2 * now.lever))
    closes = now.ratio * (opened - now.grip_angle) / now.servo.free_speed
    assert moves.at(closes / 2)["closed"] == pytest.approx(0.5) and moves.at(closes)["closed"] == 1
    assert moves.seconds > closes and moves.told.endswith("It holds.")


def test_jaws_that_squeeze_too_little_say_that_it_slips():
    moves, _, _ = motion_of("gripper", {"squeeze": 1.0})
    assert moves.told.endswith("It slips.")
