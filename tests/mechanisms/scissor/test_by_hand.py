"""The scissor by hand: virtual work and energy of motion over the arms' angle, play from the places of all pins.

The sizing looks at 31 places of the stroke; torque is worst at the start of each, as checked here.
"""

from dataclasses import dataclass
from math import atan, cos, degrees, inf, pi, radians, sin, sqrt, tan

import numpy as np
from pytest import approx

from mechbench.catalog import judge, sizing_of
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
    Piece,
    agree,
    asks,
    geared,
    held_for_ever,
    jammed,
    losses,
    move,
    strongest,
    through,
)

CURVED = 2e-3  # of times: 31 places, straight between them
ROCKED = 1e-6  # of play, from differences


@dataclass(frozen=True)
class Arms:
    """A scissor, in m and kg: cells, length of an arm, load, mass of a cell, friction of the sliding ends."""

    cells: int
    arm: float
    load: float
    cell: float
    friction: float = 0.0

    def torque(self, angle):
        """Work of all weights for each radian: the load rises n arms, the middle of cell j (j - 1/2) of one."""
        levels = self.load * self.cells + self.cell * sum(j + 0.5 for j in range(self.cells))
        return GRAVITY * levels * self.arm * cos(angle)

    def rub(self, angle):
        """Half of all weight slides at the foot, half of the load on the platform, both as far as the foot goes."""
        borne = (self.load + self.cells * self.cell) / 2 + self.load / 2
        return self.friction * GRAVITY * borne * self.arm * sin(angle)

    def inertia(self, angle):
        """Twice the energy of motion at 1 rad/s: load up; arms' middles up and half the foot's way aside; turning."""
        up, aside = self.arm * cos(angle), self.arm * sin(angle)
        arms = sum(self.cell * (((j + 0.5) * up) ** 2 + (aside / 2) ** 2 + self.arm**2 / 12) for j in range(self.cells))
        return self.load * (self.cells * up) ** 2 + arms

    def top(self, angle, foot=0.0, moved=None):
        """Height of the platform's middle; foot: how far the sliding foot is off; moved: a pin and how far it gives.

        Two arms cross in each cell: their middles meet, half an arm from either foot. A loose pin puts what it holds
        that much aside. Pins: middle of each cell; left and right end of each level, 0 at the feet, n at the platform.
        """
        off = lambda *pin: np.array(moved[1]) if moved and moved[0] == pin else np.zeros(2)
        left = np.array([0.0, 0.0]) + off("left", 0)
        right = np.array([self.arm * cos(angle) + foot, 0.0]) + off("right", 0)
        for cell in range(self.cells):
            shift = off("middle", cell)  # the middle of the right foot's arm lies so far from that of the left foot's
            across = right - shift - left
            far = np.hypot(*across)
            square = np.array([-across[1], across[0]]) / far
            middle = left + across / 2 + sqrt((self.arm / 2) ** 2 - (far / 2) ** 2) * square
            over_right, over_left = 2 * middle - left, 2 * (middle + shift) - right
            left, right = over_left + off("left", cell + 1), over_right + off("right", cell + 1)
        return (left[1] + right[1]) / 2

    def rocking(self, angle, foot_play, pin_play):
        """From the lowest to the highest place of the top: each pin where it matters most, by differences."""
        middles, levels, far = range(self.cells), range(self.cells + 1), 1e-5
        pins = [("middle", i) for i in middles] + [(side, i) for side in ("left", "right") for i in levels]

        def most(pin):
            tops = [[self.top(angle, 0.0, (pin, far * way)) for way in (side, -side)] for side in np.eye(2)]
            return np.hypot(*(up - down for up, down in tops)) / (2 * far)

        by_foot = abs(self.top(angle, far) - self.top(angle, -far)) / (2 * far) * foot_play
        return by_foot + pin_play * sum(most(pin) for pin in pins)


@dataclass(frozen=True)
class Winding:
    """A drum of a radius that draws the foot in; a lead screw is a drum of lead / 2 pi."""

    arm: float
    radius: float

    def way(self, angle):
        return -self.arm * cos(angle) / self.radius

    def rate(self, angle):
        return self.arm * sin(angle) / self.radius

    def angle(self, way):
        return np.arccos(-way * self.radius / self.arm)


@dataclass(frozen=True)
class OnArm:
    """A shaft that turns the lowest arm."""

    def way(self, angle):
        return angle

    def rate(self, angle):
        return 1.0

    def angle(self, way):
        return way


@dataclass(frozen=True)
class Horn:
    """A servo arm and a rod to the foot; foot = place + horn cos(way) + sqrt(rod^2 - (horn sin(way))^2)."""

    arm: float
    horn: float
    rod: float
    place: float

    def way(self, angle):
        far = self.arm * cos(angle) - self.place
        return np.arccos((far**2 + self.horn**2 - self.rod**2) / (2 * far * self.horn))

    def rate(self, angle):
        along, aside, level = self._pin(self.way(angle))
        return self.arm * sin(angle) / (aside + aside * along / level)

    def angle(self, way):
        along, _, level = self._pin(way)
        return np.arccos((self.place + along + level) / self.arm)

    def _pin(self, way):
        """The horn's pin along the foot's way and aside of it, and how far the rod reaches along it."""
        along, aside = self.horn * cos(way), self.horn * sin(way)
        return along, aside, sqrt(self.rod**2 - aside**2)


def hand(arms, drive, start, end, shaft, supply):
    """What moves, statics and geometry give for any placement of the drive, play and what parts may bear aside."""
    zero = drive.way(start)
    felt = lambda part, power=1: lambda q: part(at(q)) / drive.rate(at(q)) ** power
    at = lambda q: drive.angle(zero + q)
    way = Piece(drive.way(end) - zero, felt(arms.torque), felt(arms.rub), felt(arms.inertia, 2))
    run, everywhere = move(shaft, supply, [way], how=QUICK), np.linspace(start, end, 61)
    pulls = [arms.torque(a) / drive.rate(a) for a in everywhere]
    asked = [pull + arms.rub(a) / drive.rate(a) for pull, a in zip(pulls, everywhere)]
    assert max(pulls) == pulls[0] and max(asked) == asked[0]
    high = lambda a: arms.cells * arms.arm * sin(a)
    assert high(end) == approx(arms.top(end))
    return {
        "time": approx(run.time, rel=CURVED),
        "rise": high(end) - high(start),
        "folded": high(start),
        "spare": strongest(shaft, supply) - asked[0],
        "current": approx(run.motor_peak, rel=1e-6),
        "steepness": pulls[0] / pulls[-1],
        "push": arms.torque(start) / (arms.arm * sin(start)),  # the same work at the foot
        "worst_torque": pulls[0],
        "way": way.length,
    }


def test_cord_on_a_drum_behind_a_motor():
    report = judge(
        "scissor",
        {
            "drive": "brisk_turn_14",
            "placement": "cord",
            "cells": "2",
            "arm": "240 mm",
            "load": "0.7 kg",
            "cell_mass": "90 g",
            "start": "14 deg",
            "end": "55 deg",
            "drum_radius": "9 mm",
            "friction": 0.2,
            "pin_play": "0.3 mm",
            "rise_wanted": "250 mm",
            "time_wanted": "1 s",
            "folded_allowed": "130 mm",
            "rocking_allowed": "9 mm",
        },
        KIT,
    )
    arms, drive, start, end = Arms(2, 0.240, 0.7, 0.090, 0.2), Winding(0.240, 0.009), radians(14), radians(55)
    shaft = geared(BRISK, 1, 14, *losses(STAGE, 2))
    agree(
        report,
        hand(arms, drive, start, end, shaft, BATTERY)
        | {
            "holding": arms.torque(end) / drive.rate(end) / held_for_ever(shaft, BRISK),
            "strength": (arms.torque(start) + arms.rub(start))
            / drive.rate(start)
            / 7.0,  # turn_14 behind a small motor
            "travel": 0.0,
            "rocking": approx(arms.rocking(end, radians(2.2) * 0.009, 0.0003), rel=ROCKED),
            "holds": shaft.friction_holds,
        },
    )
    asks(
        report,
        {
            "time": ("at most", 1.0),
            "rise": ("at least", 0.250),
            "folded": ("at most", 0.130),
            "spare": ("at least", 0.0, 0.2),
            "strength": ("at most", 1.0),
            "holding": ("at most", 1.0),
            "current": ("at most", OUTPUT_LIMIT, HELD),
            "travel": ("at most", 1.0),
            "rocking": ("at most", 0.009),
        },
    )


def threads(lead, diameter, friction):
    """Efficiency of a square thread of slope L and friction angle f: tan L / tan(L + f); driven tan(L - f) / tan L.

    Source: Shigley's Mechanical Engineering Design, section 8-2 (from memory).
    """
    slope, rub = atan(lead / (pi * diameter)), atan(friction)
    return tan(slope) / tan(slope + rub), max(tan(slope - rub), 0.0) / tan(slope)


def test_screw_that_its_load_can_turn():
    """Lead 8 mm on 6 mm: a slope of 23 degrees against 7 of friction. The gearbox gives what the thread loses, too."""
    report = judge(
        "scissor",
        {
            "drive": "brisk_turn_5",
            "placement": "screw",
            "cells": "3",
            "arm": "180 mm",
            "load": "0.6 kg",
            "cell_mass": "70 g",
            "start": "15 deg",
            "end": "58 deg",
            "lead": "8 mm",
            "screw_diameter": "6 mm",
            "thread_friction": 0.12,
            "friction": 0.0,
            "pin_play": "0.1 mm",
        },
        KIT,
    )
    arms, drive, start, end = Arms(3, 0.180, 0.6, 0.070), Winding(0.180, 0.008 / (2 * pi)), radians(15), radians(58)
    driving, driven = threads(0.008, 0.006, 0.12)
    box = geared(BRISK, 1, 5, *losses(STAGE))
    shaft = through(box, driving, driven)
    by_hand = hand(arms, drive, start, end, shaft, BATTERY)
    agree(
        report,
        by_hand
        | {
            "strength": by_hand["worst_torque"] / driving / 3.5,  # turn_5 behind a small motor
            **jammed(box, 3.5),
            "holding": arms.torque(end) / drive.rate(end) / held_for_ever(shaft, BRISK),
            "travel": 0.0,
            "rocking": approx(arms.rocking(end, radians(1.8) * 0.008 / (2 * pi), 0.0001), rel=ROCKED),
            "holds": shaft.friction_holds,
        },
    )


def test_screw_that_locks_itself():
    """Lead 2 mm on 8 mm: 4.5 degrees against 8.5; nothing is needed to hold, and the load can't drive it."""
    report = judge(
        "scissor",
        {
            "drive": "brisk_turn_5",
            "placement": "screw",
            "cells": "2",
            "arm": "150 mm",
            "load": "0.8 kg",
            "cell_mass": "70 g",
            "start": "20 deg",
            "end": "50 deg",
            "lead": "2 mm",
            "screw_diameter": "8 mm",
            "thread_friction": 0.15,
            "friction": 0.3,
        },
        KIT,
    )
    arms, drive = Arms(2, 0.150, 0.8, 0.070, 0.3), Winding(0.150, 0.002 / (2 * pi))
    start, end = radians(20), radians(50)
    driving, driven = threads(0.002, 0.008, 0.15)
    assert driven == 0.0
    shaft = through(geared(BRISK, 1, 5, *losses(STAGE)), driving, driven)
    agree(
        report,
        hand(arms, drive, start, end, shaft, BATTERY)
        | {
            "holding": 0.0,
            "travel": 0.0,
            "strength": (arms.torque(start) + arms.rub(start)) / drive.rate(start) / driving / 3.5,
            "rocking": approx(arms.rocking(end, radians(1.8) * 0.002 / (2 * pi), 0.0002), rel=ROCKED),
            "holds": inf,
        },
    )


def test_servo_on_the_lowest_arm():
    report = judge(
        "scissor",
        {
            "drive": "heavy",
            "placement": "arm",
            "cells": "1",
            "arm": "300 mm",
            "load": "0.5 kg",
            "cell_mass": "120 g",
            "start": "25 deg",
            "end": "70 deg",
            "friction": 0.0,
            "pin_play": "0.4 mm",
        },
        KIT,
    )
    arms, drive, start, end = Arms(1, 0.300, 0.5, 0.120), OnArm(), radians(25), radians(70)
    by_hand = hand(arms, drive, start, end, HEAVY, SERVO_RAIL)
    agree(
        report,
        by_hand
        | {
            "strength": by_hand["worst_torque"] / 2.9,
            "holding": arms.torque(end) / (0.35 * 2.9),  # holding_share
            "travel": 45 / 240,
            "rocking": approx(arms.rocking(end, radians(0.8) * 0.300 * sin(end), 0.0004), rel=ROCKED),
            "holds": 0.0,  # a servo's plate tells of no friction that could be trusted
        },
    )


def test_servo_arm_and_rod_at_the_foot():
    report = judge(
        "scissor",
        {
            "drive": "heavy",
            "placement": "horn",
            "cells": "3",
            "arm": "160 mm",
            "load": "0.35 kg",
            "cell_mass": "50 g",
            "start": "22 deg",
            "end": "52 deg",
            "horn": "50 mm",
            "rod": "80 mm",
            "shaft_place": "30 mm",
            "friction": 0.0,
        },
        KIT,
    )
    arms, drive, start, end = Arms(3, 0.160, 0.35, 0.050), Horn(0.160, 0.050, 0.080, 0.030), radians(22), radians(52)
    by_hand = hand(arms, drive, start, end, HEAVY, SERVO_RAIL)
    foot_play = radians(0.8) * 0.160 * sin(end) / drive.rate(end)
    agree(
        report,
        by_hand
        | {
            "strength": by_hand["worst_torque"] / 2.9,
            "holding": arms.torque(end) / drive.rate(end) / (0.35 * 2.9),
            "travel": degrees(drive.way(end) - drive.way(start)) / 240,
            "rocking": approx(arms.rocking(end, foot_play, 0.0002), rel=ROCKED),
            "holds": 0.0,
        },
    )


def test_rod_that_does_not_reach_lifts_nothing():
    """150 mm from the servo's shaft to the foot, with 50 mm and 80 mm to reach it."""
    good = judge(
        "scissor",
        {
            "drive": "heavy",
            "placement": "horn",
            "arm": "200 mm",
            "start": "20 deg",
            "end": "60 deg",
            "horn": "50 mm",
            "rod": "80 mm",
            "shaft_place": "30 mm",
        },
        KIT,
    ).good
    never = ("time", "strength", "holding", "current", "travel", "rocking", "steepness", "worst_torque", "way")
    assert [good[name] for name in never] == [inf] * 9 and good["spare"] == -inf
    assert sizing_of("scissor").battery_current(good, 1) == 0.0, "a robot has nothing there that draws"
