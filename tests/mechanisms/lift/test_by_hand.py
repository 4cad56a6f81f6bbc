"""The slide lift by hand: balance of each slide, work of all weights over the cord wound, moves integrated apart."""

from dataclasses import dataclass
from math import cos, inf, pi, radians, sin

from pytest import approx

from mechbench.catalog import judge
from tests.mechanisms.by_hand_handling import altered_kit
from tests.mechanisms.by_hand_moves import (
    BATTERY,
    BRISK,
    COUNTED,
    GRAVITY,
    KIT,
    MELTED,
    RESET,
    STAGE,
    STOUT,
    Piece,
    agree,
    asks,
    geared,
    jammed,
    losses,
    move,
    steady,
    strongest,
    time_to_hot,
)

RUN = 1e-6  # of times and peaks where nothing changes along a stretch
CURVED = 2e-3  # where friction of shortening guides is a curve, which the sizing takes as straight between 13 points
RAIL = 0.18  # friction slide_rail


@dataclass(frozen=True)
class Slides:
    """A lift of equal slides, from [slides] of the kit by hand."""

    stages: int
    cascade: bool
    length: float
    travel: float
    stage: float  # kg
    drag: float  # N
    payload: float  # kg
    lean: float  # deg
    offset: float = 0.0
    spring: float = 0.0

    @property
    def wound(self):
        """Cord wound from bottom to top."""
        return self.travel * (1 if self.cascade else self.stages)

    def rails(self, out):
        """Friction of each rail, stage 1 in the base first; out: how far each slide is out.

        Two guides hold a slide at the ends of what is inside: their forces N1 and N2 bear the weight P across the rail
        and the moment M about their middle, so |N1| + |N2| is P, or 2 M / l where one of them pulls back.
        """
        across, along = GRAVITY * cos(radians(self.lean)), GRAVITY * sin(radians(self.lean))
        feet = [sum(out[: i + 1]) for i in range(self.stages)]
        friction = []
        for i in range(self.stages):
            guide = self.length - out[i]
            middle = feet[i] + guide / 2
            moment = along * self.payload * self.offset + across * self.payload * (feet[-1] + self.length - middle)
            moment += sum(across * self.stage * (foot + self.length / 2 - middle) for foot in feet[i:])
            pressed = across * (self.payload + self.stage * (self.stages - i))
            friction.append(self.drag + RAIL * max(pressed, 2 * moment / guide))
        return friction

    def out(self, wound):
        """How far each slide is out: all alike, or the one with the least weight on it, the last, first."""
        if self.cascade:
            return [wound] * self.stages
        return [min(max(wound - (self.stages - 1 - i) * self.travel, 0.0), self.travel) for i in range(self.stages)]

    def cord(self, wound, moving):
        """Pull of weights less spring, friction, and mass as the drive's cord feels them, by the work over its way.

        Stage i of a cascade goes i times as far as the cord; else the last `moving` ones go as far as it.
        """
        far = [i + 1 if self.cascade else float(i >= self.stages - moving) for i in range(self.stages)]
        rails = self.rails(self.out(wound))
        weights = sum(f * self.stage for f in far) + far[-1] * self.payload
        mass = sum(f**2 * self.stage for f in far) + far[-1] ** 2 * self.payload
        rub = sum(rails) if self.cascade else rails[self.stages - moving]
        return GRAVITY * sin(radians(self.lean)) * weights - far[-1] * self.spring, rub, mass

    def way(self, radius, turning):
        """Pieces of the way up, one for each pick-up, as a drum of this radius and inertia feels them."""
        if self.cascade:
            return [self._piece(self.travel, self.stages, radius, turning)]
        return [self._piece(self.travel, moving, radius, turning) for moving in range(1, self.stages + 1)]

    def _piece(self, length, moving, radius, turning):
        at = lambda q: self.cord(min(max(q * radius, 0.0), self.wound), moving)
        inertia = at(0.0)[2] * radius**2 + turning
        return Piece(length / radius, lambda q: at(q)[0] * radius, lambda q: at(q)[1] * radius, lambda q: inertia)

    def rise(self):
        return self.stages * self.travel * sin(radians(self.lean))

    def tip(self, play):
        """Each rail lets its slide turn by play / guide about the middle of what is inside, and all above with it."""
        guide, top = self.length - self.travel, self.length + self.stages * self.travel
        return sum(play / guide * (top - ((i + 1) * self.travel + guide / 2)) for i in range(self.stages))

    def fall(self):
        """m g h: stage i stands i travels higher than at the bottom, the payload as high as the last."""
        high = self.travel * sin(radians(self.lean))
        return GRAVITY * high * (sum(self.stage * (i + 1) for i in range(self.stages)) + self.payload * self.stages)


def both_ways(shaft, pieces):
    """The moves up and down. Down: the same stretches from the other end, where the weight helps."""
    whole = sum(piece.length for piece in pieces)
    turn = lambda part, sign=1: lambda q: sign * part(whole - q)
    turned = [Piece(p.length, turn(p.pull, -1), turn(p.rub), turn(p.inertia)) for p in reversed(pieces)]
    return move(shaft, BATTERY, pieces), move(shaft, BATTERY, turned)


def holding(shaft, torque):
    """Current that holds a load up, friction in gears and motor helping: eta_driven T = k (I + I_0)."""
    return max(shaft.driven * torque / shaft.constant - shaft.idle, 0.0)


def hand(lift, shaft, radius, turning, close):
    """What moves and statics give for any lift on one layer of cord; close: how near times and peaks must be."""
    up, down = both_ways(shaft, lift.way(radius, turning))
    ends = [
        lift.cord(wound, moving)
        for moving, wound in (
            ((lift.stages, 0.0), (lift.stages, lift.travel))
            if lift.cascade
            else [(j, (j - 1 + far) * lift.travel) for j in range(1, lift.stages + 1) for far in (0, 1)]
        )
    ]
    return {
        "time": approx(up.time, rel=close),
        "time_down": approx(down.time, rel=close),
        "current": approx(max(up.battery_peak, down.battery_peak), rel=close),
        "volts": approx(min(up.lowest, down.lowest), rel=close),
        "fuse_used": approx(max(up.melted(), down.melted()), rel=MELTED, abs=1.5e-4),
        "spare": strongest(shaft) - radius * max(pull + rub for pull, rub, _ in ends),
        "stays_up": shaft.friction_holds + radius * min(rub - pull for pull, rub, _ in ends),
        "holds": shaft.friction_holds,
        "sinks_with": radius * max(0.0, *(pull - rub for pull, rub, _ in ends)),
        "return_pull": max(0.0, *(rub - pull for pull, rub, _ in ends)),
        "rise": lift.rise(),
        "falls_with": lift.fall(),
        "stages": lift.stages,
    }


def test_upright_cascade_on_two_motors():
    lift = Slides(2, True, 0.350, 0.270, 0.24, 4.0, 2.4, 90.0)  # track_350
    report = judge(
        "lift",
        {
            "payload": "2.4 kg",
            "lean": "90 deg",
            "stages": "2",
            "motor": "brisk",
            "count": "2",
            "gearbox": "turn_5",
            "drum": "drum_30",
            "cord": "twine_4",
            "slide": "track_350",
            "offset": "0 mm",
            "rail_play": "0.4 mm",
            "factor_wanted": 4.0,
            "hold_time": "30 s",
            "rise_wanted": "500 mm",
            "time_wanted": "0.9 s",
            "lean_allowed": "12 mm",
        },
        KIT,
    )
    shaft, radius = geared(BRISK, 2, 5, *losses(STAGE)), 0.015 + 0.002  # drum_30 and half of a 4 mm cord
    pull = GRAVITY * (3 * 0.24 + 2 * 2.4)
    assert lift.cord(0.1, 2)[:2] == approx((pull, 8.0))
    agree(
        report,
        hand(lift, shaft, radius, 0.020 * 0.015**2 / 2, RUN)
        | {
            "binds": 0.0,
            "cord_used": (pull + 8.0) / (1900 * 0.5 / 4),  # twine_4 keeps half of 1.9 kN at a knot
            "strength": (pull + 8.0) * radius / (2 * 3.5),
            **jammed(shaft, 2 * 3.5, 2),
            "hot_after": time_to_hot(BRISK, holding(shaft, (pull - 8.0) * radius) / 2),
            "tip": lift.tip(0.0004),
            "spring_used": 0.0,
            "layers": 1,  # 3 turns of 4 mm fill 14 mm: 320 mm, and 270 mm are wound
        },
    )
    assert report.good["hot_after"] < inf
    assert report.good["tip"] == approx(0.0004 / 0.080 * ((0.620 - 0.040) + (0.350 - 0.040)), rel=1e-9)
    asks(
        report,
        {
            "time": ("at most", 0.9),
            "time_down": ("at most", 0.9),
            "rise": ("at least", 0.500),
            "spare": ("at least", 0.0, 0.5),
            "binds": ("at most", 1.0),
            "cord_used": ("at most", 1.0),
            "strength": ("at most", 1.0),
            "hot_after": ("at least", 30.0),
            "fuse_used": ("at most", 1.0),
            "volts": ("at least", RESET),
            "tip": ("at most", 0.012),
            "spring_used": ("at most", 1.0),
            "stages": ("at most", 3, COUNTED),
        },
    )


def test_leaning_cascade_with_a_last_stage_and_a_load_beside_its_rail():
    """Friction is least at the bottom, where holding asks most, and most at the top, where raising asks most."""
    lift = Slides(3, True, 0.260, 0.190, 0.17, 2.5, 0.9, 65.0, 0.080)  # track_260
    report = judge(
        "lift",
        {
            "payload": "0.9 kg",
            "lean": "65 deg",
            "stages": "3",
            "motor": "brisk",
            "count": "2",
            "gearbox": "turn_5",
            "drum": "drum_50",
            "last_stage": "nylon_15_to_45",
            "cord": "twine_2",
            "slide": "track_260",
            "offset": "80 mm",
            "rail_play": "0.2 mm",
        },
        KIT,
    )
    (first, first_back), (last, last_back) = losses(STAGE), losses(0.94)
    shaft, radius = geared(BRISK, 2, 15, first * last, first_back * last_back), 0.025 + 0.001
    (bottom, rub_bottom, _), (top, rub_top, _) = lift.cord(0.0, 3), lift.cord(0.190, 3)
    assert rub_top > 2 * rub_bottom and bottom == top
    agree(
        report,
        hand(lift, shaft, radius, 0.041 * 0.025**2 / 2, CURVED)
        | {
            "binds": 2 * RAIL * 0.080 / 0.070,  # two guide forces e / l times the load, 70 mm apart
            "cord_used": (top + rub_top) / (700 * 0.55 / 3),
            "strength": (top + rub_top) * radius / (1.1 * 45 / 20),  # less than two gearboxes: 3.5 N·m * 3 * 0.94 each
            "hot_after": time_to_hot(BRISK, holding(shaft, (bottom - rub_bottom) * radius) / 2),
            "tip": lift.tip(0.0002),
            "spring_used": 0.0,
            "layers": 1,
        },
    )


def test_holding_a_leaning_lift_asks_most_at_its_bottom():
    """There its slides rub least, and friction helps to hold."""
    lift = Slides(2, True, 0.260, 0.190, 0.17, 2.5, 2.2, 75.0, 0.020)
    good = judge(
        "lift",
        {
            "payload": "2.2 kg",
            "lean": "75 deg",
            "stages": "2",
            "motor": "brisk",
            "count": "1",
            "gearbox": "turn_5",
            "drum": "drum_22",
            "cord": "twine_2",
            "slide": "track_260",
            "offset": "20 mm",
        },
        KIT,
    ).good
    shaft, (pull, bottom, _), (_, top, _) = geared(BRISK, 1, 5, *losses(STAGE)), lift.cord(0.0, 2), lift.cord(0.190, 2)
    assert good["hot_after"] == approx(time_to_hot(BRISK, holding(shaft, (pull - bottom) * 0.012)), rel=1e-9)
    assert good["hot_after"] < inf and top > 1.5 * bottom


def test_continuous_rigging_with_a_helping_spring():
    """The last stage goes first; at its stop it picks up the one below, and the drum loses speed."""
    lift = Slides(2, False, 0.260, 0.190, 0.17, 2.5, 3.6, 90.0, 0.0, 8.0)
    report = judge(
        "lift",
        {
            "payload": "3.6 kg",
            "lean": "90 deg",
            "stages": "2",
            "rigging": "continuous",
            "spring": "tape_8",
            "motor": "stout",
            "count": "2",
            "gearbox": "turn_5",
            "drum": "drum_22",
            "cord": "twine_2",
            "slide": "track_260",
            "offset": "0 mm",
        },
        KIT,
    )
    shaft, radius = geared(STOUT, 2, 5, *losses(STAGE)), 0.011 + 0.001
    assert BATTERY.stall(shaft) == 36.0, "the controllers hold the current"
    pull = GRAVITY * (2 * 0.17 + 3.6) - 8.0
    agree(
        report,
        hand(lift, shaft, radius, 0.013 * 0.011**2 / 2, RUN)
        | {
            "binds": 0.0,
            "cord_used": (pull + 2.5) / (700 * 0.55 / 3),
            "strength": (pull + 2.5) * radius / (2 * 7.0),
            "hot_after": time_to_hot(STOUT, holding(shaft, (pull - 2.5) * radius) / 2),
            "tip": lift.tip(0.0003),
            "spring_used": 0.380 / 0.600,
            "layers": 1,  # 380 mm; 7 turns of 2 mm fill 14 mm: 528 mm
        },
    )


def test_belt_and_a_spring_on_a_lift_that_hardly_sinks():
    """A belt runs on its pitch circle and bears its working load. The lift hardly sinks, so it must be pulled down."""
    lift = Slides(2, True, 0.350, 0.270, 0.24, 4.0, 1.1, 80.0, 0.050, 8.0)
    report = judge(
        "lift",
        {
            "payload": "1.1 kg",
            "lean": "80 deg",
            "stages": "2",
            "spring": "tape_8",
            "motor": "brisk",
            "count": "2",
            "gearbox": "turn_14",
            "drum": "wide_25",
            "slide": "track_350",
            "offset": "50 mm",
            "hold_time": "1 s",
        },
        KIT,
    )
    shaft, radius = geared(BRISK, 2, 14, *losses(STAGE, 2)), 25 * 0.005 / (2 * pi)
    top, rub_top, _ = lift.cord(0.270, 2)
    assert top == approx(GRAVITY * sin(radians(80)) * (3 * 0.24 + 2 * 1.1) - 2 * 8.0) and rub_top > top > 0
    turning = 0.014 * (25 / 20) ** 2 * radius**2 / 2  # a disc; 14 g with 20 teeth, more by the square of the teeth
    agree(
        report,
        hand(lift, shaft, radius, turning, CURVED)
        | {
            "binds": 2 * RAIL * 0.050 / 0.080,
            "cord_used": (top + rub_top) / 170,
            "strength": (top + rub_top) * radius / (2 * 7.0),
            "hot_after": inf,
            "tip": lift.tip(0.0003),
            "spring_used": 0.540 / 0.600,
            "layers": 1,
        },
    )
    assert report.good["return_pull"] > 5 and report.good["stays_up"] > 0


def test_second_layer_of_cord_pulls_at_a_larger_radius():
    """7 turns of 2 mm fill 14 mm: 7 * 2 pi * 12 mm = 528 mm, and 570 mm are wound.

    Stages are picked up, J w is kept. On the way onto the outer layer the cord's pull P slows what turns, and makes the
    load faster: J (w2 - w1) = -P r2, m (w2 r2 - w1 r1) = P; on the way off it the same with r1 and r2 the other way.
    """
    good = judge(
        "lift",
        {
            "payload": "1.5 kg",
            "lean": "90 deg",
            "stages": "3",
            "rigging": "continuous",
            "motor": "brisk",
            "count": "2",
            "gearbox": "turn_14",
            "drum": "drum_22",
            "cord": "twine_2",
            "slide": "track_260",
            "offset": "0 mm",
        },
        KIT,
    ).good
    shaft, radius = geared(BRISK, 2, 14, *losses(STAGE, 2)), 0.011 + 1.5 * 0.002
    pull = GRAVITY * (3 * 0.17 + 1.5)
    assert 7 * 2 * pi * 0.012 < 3 * 0.190 < 7 * 2 * pi * (0.012 + 0.014) and good["layers"] == 2
    assert good["strength"] == approx((pull + 2.5) * radius / (2 * 7.0), rel=1e-9)
    assert good["spare"] == approx(strongest(shaft) - (pull + 2.5) * radius, rel=1e-9)
    assert good["stays_up"] == approx(shaft.friction_holds + (2.5 - pull) * radius, rel=1e-9)
    assert good["hot_after"] == approx(time_to_hot(BRISK, holding(shaft, (pull - 2.5) * radius) / 2), rel=1e-9)
    inner, turning, full = 0.012, 0.013 * 0.011**2 / 2, 7 * 2 * pi * 0.012
    masses, radii = [1.67, 1.84, 2.01, 2.01], [inner, inner, inner, radius]
    lengths = [0.190, 0.190, full - 0.380, 0.570 - full]
    inertias = [m * r**2 + turning for m, r in zip(masses, radii)]
    turns = shaft.rotor + turning
    climbs, returns = ((turns + 2.01 * inner * radius) / (turns + 2.01 * onto**2) for onto in (radius, inner))
    picked = [(shaft.rotor + inertias[n]) / (shaft.rotor + inertias[n + 1]) for n in (0, 1)]
    way = [
        [steady(far / r, sign * GRAVITY * m * r, 2.5 * r, j) for far, m, r, j in zip(lengths, masses, radii, inertias)]
        for sign in (1, -1)
    ]
    up = move(shaft, BATTERY, way[0], kept=[*picked, climbs])
    down = move(shaft, BATTERY, way[1][::-1], kept=[returns, 1.0, 1.0])
    assert climbs < 1 < returns
    assert good["time"] == approx(up.time, rel=5e-4) and good["time_down"] == approx(down.time, rel=5e-4)


FOUR_STAGES = {
    "lean": "90 deg",
    "stages": "4",
    "motor": "stout",
    "gearbox": "turn_5",
    "slide": "track_260",
    "offset": "0 mm",
}


def held_at_its_limit(given, lift, count, radius, turning):
    """A lift of FOUR_STAGES; the way that runs up to the limit's end draws all of it. Gives the peaks of both ways."""
    good, limit = judge("lift", FOUR_STAGES | given, KIT).good, count * 18.0
    up, down = both_ways(geared(STOUT, count, 5, *losses(STAGE)), lift.way(radius, turning))
    assert max(up.battery_peak, down.battery_peak) == approx(limit)
    assert good["current"] == approx(limit, rel=RUN) and good["volts"] == approx(15.8 - 0.10 * limit, rel=RUN)
    assert good["time"] == approx(up.time, rel=RUN) and good["time_down"] == approx(down.time, rel=RUN)
    return up.battery_peak / limit, down.battery_peak / limit


def test_heavy_lift_draws_more_on_its_way_down():
    """Held at its limit, a motor that hardly turns draws little from the battery."""
    up, down = held_at_its_limit(
        {"payload": "3.8 kg", "count": "2", "drum": "drum_50", "cord": "twine_4"},
        Slides(4, True, 0.260, 0.190, 0.17, 2.5, 3.8, 90.0),
        2,
        0.027,
        0.041 * 0.025**2 / 2,
    )
    assert up < 0.97 * down


def test_lift_with_a_strong_spring_draws_more_on_its_way_up():
    belt = 50 * 0.005 / (2 * pi)
    up, down = held_at_its_limit(
        {"payload": "50 g", "drum": "wide_50", "spring": "tape_16"},
        Slides(4, True, 0.260, 0.190, 0.17, 2.5, 0.05, 90.0, 0.0, 16.0),
        1,
        belt,
        0.014 * (50 / 20) ** 2 * belt**2 / 2,
    )
    assert down < 0.97 * up


def test_a_short_peak_over_the_rating_uses_up_a_part_of_the_fuse(tmp_path):
    """Two motors start with 16 A through a fuse of 10 A, for a part of a second: it bears that a few times."""
    kit = altered_kit(tmp_path, parts={'rating = "25 A"': 'rating = "10 A"'})
    report = judge(
        "lift",
        {"payload": "2.4 kg", "lean": "90 deg", "stages": "2", "motor": "brisk", "count": "2", "gearbox": "turn_5"}
        | {"drum": "drum_30", "cord": "twine_4", "slide": "track_350", "offset": "0 mm", "rise_wanted": "500 mm"},
        kit,
    )
    lift = Slides(2, True, 0.350, 0.270, 0.24, 4.0, 2.4, 90.0)
    shaft = geared(BRISK, 2, 5, *losses(STAGE))
    up, down = both_ways(shaft, lift.way(0.015 + 0.002, 0.020 * 0.015**2 / 2))
    used = max(up.melted(rating=10.0), down.melted(rating=10.0))
    assert 0.005 < used < 1 and up.battery_peak > 1.5 * 10.0
    assert report.good["fuse_used"] == approx(used, rel=MELTED) and report.good_margin["fuse_used"] > 0
