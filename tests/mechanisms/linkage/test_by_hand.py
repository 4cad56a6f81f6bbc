"""The lifting four-bar by hand: places from two circles, rates as exact derivatives of the places, forces link by link.

The sizing looks at 31 places of the turn; the states here have their worst place at one end of it, or in its middle.
"""

from dataclasses import dataclass
from math import cos, inf, radians, sin

import numpy as np
from pytest import approx

from mechbench.catalog import judge
from tests.mechanisms.by_hand_moves import (
    BATTERY,
    BRISK,
    GRAVITY,
    HEAVY,
    HELD,
    KIT,
    OUTPUT_LIMIT,
    QUICK,
    SERVO_RAIL,
    STAGE,
    STOUT,
    Piece,
    agree,
    asks,
    geared,
    held_for_ever,
    jammed,
    losses,
    move,
    strongest,
)

CURVED = 2e-3  # of times: 31 places, straight between them
STEP = 1e-30  # of complex derivatives: f'(x) = Im f(x + i h) / h, exact to the last digit


@dataclass(frozen=True)
class Bars:
    """Four bars and what they carry, in m, kg and rad; side +1 open, -1 crossed."""

    input: float
    coupler: float
    output: float
    ground: float
    tilt: float
    side: int
    arm: float
    ahead: float
    payload: float
    arm_mass: float
    rod_mass: float

    def pins(self, angle):
        """A and B along the pivots' line and to its left: B lies where circles about A and the output's pivot meet."""
        a = np.array([self.input * np.cos(angle), self.input * np.sin(angle)])
        line = np.array([self.ground, 0.0]) - a
        far = np.sqrt(line[0] ** 2 + line[1] ** 2)
        along = (self.coupler**2 + far**2 - self.output**2) / (2 * far)
        aside = self.side * np.sqrt(self.coupler**2 - along**2)
        return a, a + (along * line + aside * np.array([-line[1], line[0]])) / far

    def masses(self, angle):
        """Places of payload, arm's middle and coupler's middle."""
        a, b = self.pins(angle)
        pivot = np.array([self.ground, 0.0])
        out = (b - pivot) / self.output
        arm = self.arm * (cos(self.ahead) * out + sin(self.ahead) * np.array([-out[1], out[0]]))
        return [(pivot + arm, self.payload), (pivot + arm / 2, self.arm_mass), ((a + b) / 2, self.rod_mass)]

    def high(self, place):
        """Height of a place: the pivots' line is tilted."""
        return place[0] * sin(self.tilt) + place[1] * cos(self.tilt)

    def torque(self, angle):
        """Work of all weights for each radian of the input."""
        return sum(m * GRAVITY * self.high(p) for p, m in self.masses(angle + 1j * STEP)).imag / STEP

    def rates(self, angle):
        """Turn of coupler and output for each radian of the input: speed of their pins over their length."""
        a, b = self.pins(angle + 1j * STEP)
        rod, rod_speed, b_speed = (b - a).real, (b - a).imag / STEP, b.imag / STEP
        out = b.real - np.array([self.ground, 0.0])
        turn = lambda r, v: (r[0] * v[1] - r[1] * v[0]) / (r @ r)
        return turn(rod, rod_speed), turn(out, b_speed)

    def inertia(self, angle):
        """Twice the energy of motion at 1 rad/s of the input: middles move, and slender bars turn (m l^2 / 12)."""
        coupler, output = self.rates(angle)
        moving = sum(m * np.sum((p.imag / STEP) ** 2) for p, m in self.masses(angle + 1j * STEP))
        return moving + self.arm_mass * self.arm**2 / 12 * output**2 + self.rod_mass * self.coupler**2 / 12 * coupler**2

    def swept(self, start, turn):
        """Turn of the output from start to end, from the angle between its two directions (less than half a turn)."""
        first, last = (self.pins(at)[1] - np.array([self.ground, 0.0]) for at in (start, start + turn))
        return abs(np.arctan2(first[0] * last[1] - first[1] * last[0], first @ last))

    def transmission(self, angle):
        """Acute angle between coupler and output link, from their directions."""
        a, b = self.pins(angle)
        rod, out = b - a, b - np.array([self.ground, 0.0])
        return np.arccos(abs(rod @ out) / (self.coupler * self.output))

    def room(self, angle):
        """How far the diagonal is from stretched and from folded links."""
        far = np.hypot(self.input * cos(angle) - self.ground, self.input * sin(angle))
        return min(self.coupler + self.output - far, far - abs(self.coupler - self.output))

    def pin_force(self, angle):
        """Largest force on a pin: forces and moments of input link, coupler and output link in balance, nine equations.

        Unknown: forces from the frame on the input at O, from the input on the coupler at A, from the coupler on the
        output at B, from the frame on the output at Q, and the torque on the input.
        """
        a, b = self.pins(angle)
        pivot, down = np.array([self.ground, 0.0]), -GRAVITY * np.array([sin(self.tilt), cos(self.tilt)])
        (tip, tip_mass), (arm, arm_mass), (rod, rod_mass) = self.masses(angle)
        left, right = np.zeros((9, 9)), np.zeros(9)
        moment = lambda at: np.array([-at[1], at[0]])  # of a force at a place, about the first pin
        left[0:2, 0:2], left[0:2, 2:4], left[2, 2:4], left[2, 8] = np.eye(2), -np.eye(2), -moment(a), 1.0
        left[3:5, 2:4], left[3:5, 4:6], left[5, 4:6] = np.eye(2), -np.eye(2), -moment(b - a)
        left[6:8, 4:6], left[6:8, 6:8], left[8, 4:6] = np.eye(2), np.eye(2), moment(b - pivot)
        right[3:5], right[5] = -rod_mass * down, -moment(rod - a) @ (rod_mass * down)
        right[6:8] = -(tip_mass + arm_mass) * down
        right[8] = -moment(tip - pivot) @ (tip_mass * down) - moment(arm - pivot) @ (arm_mass * down)
        found = np.linalg.solve(left, right)
        assert found[8] == approx(self.torque(angle), rel=1e-9), "balance of forces and virtual work say the same"
        return max(np.hypot(*found[i : i + 2]) for i in (0, 2, 4, 6))


def moved(bars, start, turn, shaft, supply):
    """The turn of the input link from rest to rest."""
    at = lambda part: lambda q: part(start + q)
    return move(shaft, supply, [Piece(turn, at(bars.torque), lambda q: 0.0, at(bars.inertia))], how=QUICK)


def hand(bars, start, turn, shaft, supply, play):
    """All that does not hang on what the drive may bear; load and rate are worst at the start, pins at an end."""
    run, load, rate = moved(bars, start, turn, shaft, supply), abs(bars.torque(start)), abs(bars.rates(start)[1])
    pins, everywhere = max(bars.pin_force(start), bars.pin_force(start + turn)), np.linspace(start, start + turn, 61)
    for at in everywhere[1:-1]:
        assert abs(bars.torque(at)) < load and abs(bars.rates(at)[1]) < rate and bars.pin_force(at) < pins
    first, last = bars.masses(start)[0][0], bars.masses(start + turn)[0][0]
    links = sorted((bars.input, bars.coupler, bars.output, bars.ground))
    return {
        "time": approx(run.time, rel=CURVED),
        "current": approx(run.motor_peak, rel=1e-6),
        "rise": bars.high(last) - bars.high(first),
        "transmission": min(bars.transmission(at) for at in everywhere),
        "room": min(bars.room(at) for at in everywhere),
        "grashof": approx(links[0] + links[3] - links[1] - links[2], abs=1e-9),
        "worst_torque": load,
        "spare": strongest(shaft, supply) - max(bars.torque(at) for at in (start, start + turn)),
        "advantage": 1 / rate,
        "swing": bars.swept(start, turn),
        "pin_force": pins,
        "holds": shaft.friction_holds,
        "droop": play * bars.arm * rate,
    }


def test_open_four_bar_that_a_servo_lifts():
    report = judge(
        "linkage",
        {
            "drive": "heavy",
            "input": "50 mm",
            "coupler": "110 mm",
            "output": "90 mm",
            "ground": "80 mm",
            "start": "90 deg",
            "turn": "70 deg",
            "tilt": "-60 deg",
            "arm_length": "220 mm",
            "arm_angle": "15 deg",
            "payload": "0.9 kg",
            "arm_mass": "80 g",
            "rod_mass": "30 g",
            "rise_wanted": "60 mm",
            "time_wanted": "0.7 s",
            "angle_wanted": "35 deg",
        },
        KIT,
    )
    bars = Bars(0.050, 0.110, 0.090, 0.080, radians(-60), 1, 0.220, radians(15), 0.9, 0.08, 0.03)
    start, turn = radians(90), radians(70)
    by_hand = hand(bars, start, turn, HEAVY, SERVO_RAIL, radians(0.8))
    agree(
        report,
        by_hand
        | {
            "strength": by_hand["worst_torque"] / 2.9,
            **jammed(HEAVY, 2.9, supply=SERVO_RAIL),
            "holding": by_hand["worst_torque"] / (0.35 * 2.9),  # holding_share
            "travel": 70 / 240,
        },
    )
    asks(
        report,
        {
            "time": ("at most", 0.7),
            "rise": ("at least", 0.060),
            "transmission": ("at least", radians(35)),
            "spare": ("at least", 0.0, 0.5),
            "strength": ("at most", 1.0),
            "holding": ("at most", 1.0),
            "current": ("at most", 6.5, HELD),
            "travel": ("at most", 1.0),
        },
    )


def test_crossed_four_bar_whose_load_drives_a_motor():
    """The arm goes down: the weight helps, and the worst torque is one that the gears hold back."""
    report = judge(
        "linkage",
        {
            "drive": "brisk_turn_25",
            "input": "50 mm",
            "coupler": "110 mm",
            "output": "90 mm",
            "ground": "80 mm",
            "start": "-75 deg",
            "turn": "55 deg",
            "branch": "crossed",
            "tilt": "-60 deg",
            "arm_length": "400 mm",
            "arm_angle": "-15 deg",
            "payload": "0.3 kg",
            "arm_mass": "900 g",
            "rod_mass": "40 g",
        },
        KIT,
    )
    bars = Bars(0.050, 0.110, 0.090, 0.080, radians(-60), -1, 0.400, radians(-15), 0.3, 0.9, 0.04)
    start, turn, shaft = radians(-75), radians(55), geared(BRISK, 1, 25, *losses(STAGE, 2))
    by_hand = hand(bars, start, turn, shaft, BATTERY, radians(2.2))
    agree(
        report,
        by_hand
        | {
            "strength": by_hand["worst_torque"] / 7.0,  # turn_25 behind a small motor
            **jammed(shaft, 7.0),
            "holding": by_hand["worst_torque"] / held_for_ever(shaft, BRISK),
            "travel": 0.0,
        },
    )
    assert report.good["rise"] < -0.05 and report.bounds["current"] == OUTPUT_LIMIT


def test_heavy_coupler():
    """Half a kilogram in a coupler of 300 mm on a quick drive: its turning counts beside the rotor."""
    good = judge(
        "linkage",
        {
            "drive": "brisk_turn_5",
            "input": "60 mm",
            "coupler": "300 mm",
            "output": "200 mm",
            "ground": "240 mm",
            "start": "100 deg",
            "turn": "120 deg",
            "tilt": "0 deg",
            "arm_length": "200 mm",
            "arm_angle": "0 deg",
            "payload": "20 g",
            "arm_mass": "10 g",
            "rod_mass": "500 g",
        },
        KIT,
    ).good
    bars = Bars(0.060, 0.300, 0.200, 0.240, 0.0, 1, 0.200, 0.0, 0.02, 0.01, 0.5)
    run = moved(bars, radians(100), radians(120), geared(BRISK, 1, 5, *losses(STAGE)), BATTERY)
    assert good["time"] == approx(run.time, rel=CURVED)


def test_through_the_folded_place_it_pushes_worst_in_the_middle():
    good = judge(
        "linkage",
        {
            "drive": "heavy",
            "input": "50 mm",
            "coupler": "90 mm",
            "output": "110 mm",
            "ground": "80 mm",
            "start": "-40 deg",
            "turn": "80 deg",
        },
        KIT,
    ).good
    assert good["transmission"] == approx(np.arccos((0.110**2 + 0.090**2 - 0.030**2) / (2 * 0.110 * 0.090)), rel=1e-9)
    assert good["room"] == approx(0.030 - 0.020, rel=1e-9)


def test_output_that_turns_past_its_back():
    """Its angle goes on where a compass jumps from 180 to -180 degrees."""
    good = judge(
        "linkage",
        {
            "drive": "heavy",
            "input": "80 mm",
            "coupler": "90 mm",
            "output": "70 mm",
            "ground": "30 mm",
            "start": "-150 deg",
            "turn": "90 deg",
        },
        KIT,
    ).good
    bars = Bars(0.080, 0.090, 0.070, 0.030, radians(-100), 1, 0.25, 0.0, 0.22, 0.06, 0.02)
    first, last = ((bars.pins(radians(at))[1] - (0.030, 0.0))[1] for at in (-150, -60))
    assert first > 0 > last and good["swing"] == approx(bars.swept(radians(-150), radians(90)), rel=1e-9)


def test_output_that_turns_against_its_input():
    """What counts is how fast it turns, whichever way."""
    good = judge(
        "linkage",
        {
            "drive": "brisk_turn_25",
            "input": "60 mm",
            "coupler": "300 mm",
            "output": "200 mm",
            "ground": "240 mm",
            "start": "-20 deg",
            "turn": "30 deg",
            "tilt": "0 deg",
            "arm_length": "200 mm",
        },
        KIT,
    ).good
    bars = Bars(0.060, 0.300, 0.200, 0.240, 0.0, 1, 0.200, 0.0, 0.22, 0.06, 0.02)
    rate = bars.rates(radians(-20))[1]
    assert rate < -0.4 and good["advantage"] == approx(-1 / rate, rel=1e-9)
    assert good["swing"] == approx(bars.swept(radians(-20), radians(30)), rel=1e-9)
    assert good["droop"] == approx(radians(2.2) * 0.200 * -rate, rel=1e-9)


def test_links_that_lose_each_other_between_two_places_of_the_table():
    """Stretched they are 0.1 um too short: a gap of 0.3 degrees about 180, between the places 179.8 and 180.5."""
    good = judge(
        "linkage",
        {
            "drive": "heavy",
            "input": "50 mm",
            "coupler": "70 mm",
            "output": "59.9999 mm",
            "ground": "80 mm",
            "start": "170 deg",
            "turn": "21 deg",
        },
        KIT,
    ).good
    assert good["transmission"] == 0.0 and good["time"] == inf and good["spare"] == -inf


def test_links_that_do_not_meet_lift_nothing():
    """Coupler and output reach 130 mm, but at the start pin and pivot are 140 mm apart."""
    links = {
        "input": "50 mm",
        "coupler": "70 mm",
        "output": "60 mm",
        "ground": "90 mm",
        "start": "180 deg",
        "turn": "90 deg",
    }
    stuck = {
        "heavy": (3.9, 90 / 240),
        "brisk_turn_72": (15.8 / (BRISK.resistance + 0.10), 0.0),
        "stout_turn_72": (OUTPUT_LIMIT, 0.0),
    }  # the controller holds 23 A at 18 A
    motors = {"brisk_turn_72": BRISK, "stout_turn_72": STOUT}
    for drive, (current, travel) in stuck.items():
        # A servo's plate tells of no friction that could be trusted.
        holds = geared(motors[drive], 1, 72, *losses(STAGE, 3)).friction_holds if drive in motors else 0.0
        good = judge("linkage", links | {"drive": drive}, KIT).good
        assert {name: value for name, value in good.items() if name not in ("jam", "safe_current")} == approx(
            {
                "time": inf,
                "rise": 0.0,
                "transmission": 0.0,
                "spare": -inf,
                "strength": inf,
                "holding": inf,
                "current": current,
                "travel": travel,
                "room": -0.010,
                "grashof": 0.010,
                "worst_torque": inf,
                "advantage": 0.0,
                "swing": 0.0,
                "pin_force": inf,
                "holds": holds,
                "droop": inf,
            },
            rel=1e-9,
        )


def test_the_room_where_all_bars_are_nearly_in_line_on_the_way():
    """Input and ground in line on one side of the pivot leave the shortest diagonal, on both sides the longest."""
    bars = {"coupler": "173 mm", "output": "199 mm", "ground": "113 mm", "branch": "open"}
    turns = {
        ("138 mm", "-179 deg", "213 deg"): (0.138 - 0.113) - (0.199 - 0.173),  # through 0: they just don't meet
        ("150 mm", "-100 deg", "213 deg"): (0.150 - 0.113) - (0.199 - 0.173),
        ("190 mm", "90 deg", "200 deg"): (0.199 + 0.173) - (0.190 + 0.113),  # through 180 degrees
    }
    for (length, start, turn), room in turns.items():
        good = judge("linkage", bars | {"input": length, "start": start, "turn": turn}).good
        assert good["room"] == approx(room, rel=1e-9, abs=1e-12), length
