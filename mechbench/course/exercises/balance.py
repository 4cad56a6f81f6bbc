"""Exercises of lesson 10: does it fit, where is its centre of gravity, and how gently must it brake with all raised?"""

from dataclasses import replace

import numpy as np

from mechbench.course.exercise import (
    Challenge,
    Choice,
    Item,
    Option,
    Order,
    Prediction,
    Quantity,
    Shop,
    Shown,
    Slip,
    rows_of,
)
from mechbench.course.learner_numbers import in_unit, rounded
from mechbench.course.on_bench import found, opened

G = 9.81


# --- predict, then slide -------------------------------------------------------------------------------------------


def _raised_shown(kit):
    """The hardest braking with the load raised, and at half of that height."""
    top = opened("balance", kit)["raised_height"]
    half, full = found("balance", kit, "raised_height", (top / 2, top)).braking
    numbers = {"low": in_unit(top / 2, "mm"), "high": in_unit(top, "mm")}
    numbers |= {"half": (half, "m/s2"), "full": (full, "m/s2"), "left": f"{100 * full / half:.0f} %"}
    because = (
        "With the load at {low} it tips at {half}, at {high} at {full}: {left} is left. Braking goes with the"
        " height of the centre of gravity of the whole robot, and most of the robot stays low."
    )
    left = full / half
    return Shown("same" if left > 0.99 else "some" if left > 0.51 else "half", because, numbers)


PREDICT = Prediction(
    id="balance-twice-as-high",
    lesson="balance",
    title="Twice as high",
    text=(
        "A robot carries its arm and a piece at half height. Then it raises them to twice that height. What happens to"
        " the hardest braking before it tips over?"
    ),
    options=(
        Option(
            "same",
            "Nothing: the weight is the same.",
            (
                "It is true that the weight is the same. The surprise: where it is counts, too, for a high weight has"
                " a longer lever when it brakes."
            ),
        ),
        Option(
            "some",
            "It gets less, but more than half of it is left.",
            "A good thought: only a part of the robot goes up.",
        ),
        Option(
            "half",
            "It is halved: twice as high, half the braking.",
            "That would be so if the whole robot went up. The surprise: only the arm and the piece do.",
        ),
    ),
    hints=(),
    explain='Now move the slider "Height of what is raised" on the bench, and watch the mark.',
    shows=_raised_shown,
)


# --- the start box -------------------------------------------------------------------------------------------------


def _box_rows(kit):
    box = kit.roles.limits.start_length
    cases = (
        (0.06, 0.08, 0.03),
        (0.09, 0.07, 0.05),
        (0.05, 0.09, 0.025),
        (0.10, 0.08, 0.06),
        (0.07, 0.065, 0.035),
        (0.08, 0.10, 0.04),
    )
    return [
        {
            "cube": in_unit(box, "mm"),
            "frame": in_unit(rounded(box - less, 3), "mm"),
            "front": in_unit(front, "mm"),
            "rear": in_unit(rear, "mm"),
        }
        for less, front, rear in cases
    ]


BOX = Quantity(
    id="balance-start-cube",
    lesson="balance",
    needs=("start_box",),
    elsewhere="In another game a robot must fit into a box.",
    title="Does it fit the start box?",
    text=(
        "A folded robot must start inside a box that is {cube} long. Its frame is {frame} long. In front of the frame a"
        " roller sticks out by {front}, behind it a plug by {rear}. How much too long is the robot?"
    ),
    kind="length",
    unit="mm",
    rows=_box_rows,
    answer=lambda r: r.frame + r.front + r.rear - r.cube,
    slips=(
        Slip(
            "rear forgotten",
            lambda r: r.frame + r.front - r.cube,
            "You forgot what sticks out behind. The box counts everything: rollers, plugs, cables, screws.",
        ),
        Slip(
            "half at each end",
            lambda r: (r.frame + r.front + r.rear - r.cube) / 2,
            "You shared it over both ends. But the robot may stand anywhere in the box: asked is how much too long it"
            " is in all.",
        ),
        Slip(
            "whole length",
            lambda r: r.frame + r.front + r.rear,
            "That is how long the robot is in all. Asked is how much of it is too long for the box.",
        ),
        Slip(
            "what sticks out",
            lambda r: r.front + r.rear,
            "That is what sticks out of the frame. The frame is shorter than the box, so a part of it still fits.",
        ),
    ),
    hints=(
        "How long is it from the very front to the very end?",
        "That length minus the length of the box.",
    ),
    explain="From end to end it is {answer} too long. It is enough to fold in as much at one of the two ends.",
    short=True,
)


# --- the centre of gravity -----------------------------------------------------------------------------------------

CENTRE = Quantity(
    id="balance-centre-height",
    lesson="balance",
    title="How high is its centre of gravity?",
    text=(
        "A robot in three parts: a base of {base}, whose own centre is {low} up; a tower of {tower}, {middle} up; and"
        " an arm of two bars, together {arm}, raised to {high}. The arm holds a load of {load}, as high as the arm. How"
        " high is the centre of gravity of all together?"
    ),
    kind="length",
    unit="mm",
    rows=rows_of(
        {"base": "kg", "low": "mm", "tower": "kg", "middle": "mm", "arm": "kg", "high": "mm", "load": "kg"},
        (
            (7.5, 80, 1.8, 240, 0.9, 760, 0.8),
            (8.2, 70, 1.5, 260, 1.1, 700, 0.9),
            (6.8, 90, 2.1, 220, 0.8, 820, 0.7),
            (9.0, 75, 1.6, 280, 1.2, 680, 1.1),
            (7.1, 85, 2.3, 230, 1.0, 730, 0.75),
            (8.6, 65, 1.9, 250, 0.7, 850, 0.85),
        ),
    ),
    answer=lambda r: (
        (r.base * r.low + r.tower * r.middle + (r.arm + r.load) * r.high) / (r.base + r.tower + r.arm + r.load)
    ),
    slips=(
        Slip(
            "plain mean",
            lambda r: (r.low + r.middle + r.high) / 3,
            "You took the plain mean of the three heights, as if all parts weighed the same. The heavy base must count"
            " more than the arm.",
        ),
        Slip(
            "load forgotten",
            lambda r: (r.base * r.low + r.tower * r.middle + r.arm * r.high) / (r.base + r.tower + r.arm),
            "You left the load out. It is up there with the arm, and that is where a kilogram counts most.",
        ),
        Slip(
            "both bars twice",
            lambda r: (
                (r.base * r.low + r.tower * r.middle + (2 * r.arm + r.load) * r.high)
                / (r.base + r.tower + 2 * r.arm + r.load)
            ),
            "You counted the arm twice. {arm} is already what its two bars weigh together.",
        ),
        Slip(
            "load in the mass only",
            lambda r: (r.base * r.low + r.tower * r.middle + r.arm * r.high) / (r.base + r.tower + r.arm + r.load),
            "You divided by the whole mass, but the load's own mass × height is missing in the sum above.",
        ),
        Slip(
            "not divided",
            lambda r: r.base * r.low + r.tower * r.middle + (r.arm + r.load) * r.high,
            "That is the sum of mass × height. Divide it by the mass of all parts together.",
        ),
        Slip(
            "plain mean of four",
            lambda r: (r.low + r.middle + 2 * r.high) / 4,
            "You took the plain mean of four heights, as if all parts weighed the same. The heavy base must count"
            " more.",
        ),
        Slip(
            "arm and load left out",
            lambda r: (r.base * r.low + r.tower * r.middle) / (r.base + r.tower),
            "You left out all that is raised. The arm and its load are far up, where a kilogram counts most.",
        ),
    ),
    hints=(
        "For each part: mass × height. The load is a part too.",
        "Add these up, then divide by the mass of all parts together.",
    ),
    explain=(
        "Each height counts as often as there are kilograms at it: {answer}. Two kilograms far up raise it more than"
        " most people guess."
    ),
)


# --- moving one part -----------------------------------------------------------------------------------------------

MOVED = Quantity(
    id="balance-one-part-moved",
    lesson="balance",
    title="What does one part do?",
    text=(
        "A robot has a mass of {whole} in all. One part of it, a lift of {part}, is moved {way} towards the back. How"
        " far does the robot's centre of gravity move?"
    ),
    kind="length",
    unit="mm",
    rows=tuple(
        {"whole": (whole, "kg"), "part": (part, "kg"), "way": (way, "mm")}
        for whole, part, way in (
            (12.0, 2.4, 90),
            (14.0, 3.1, 75),
            (11.0, 1.9, 110),
            (15.0, 2.6, 85),
            (10.0, 2.2, 65),
            (13.0, 2.9, 120),
            (9.0, 1.7, 95),
        )
    ),
    answer=lambda r: r.part * r.way / r.whole,
    slips=(
        Slip(
            "whole way",
            lambda r: r.way,
            "The part moves that far, but the rest of the robot stays. The centre of gravity moves only a share of the"
            " way.",
        ),
        Slip(
            "mass of the rest",
            lambda r: r.part * r.way / (r.whole - r.part),
            "You divided by the mass of the rest. The moved part belongs to the robot too: divide by all of it.",
        ),
        Slip(
            "upside down",
            lambda r: r.whole * r.way / r.part,
            "You turned the share round. A part weighs less than the whole, so the centre moves less than the part.",
        ),
        Slip(
            "not divided",
            lambda r: r.part * r.way,
            "That is mass × way of the part. Divide it by the mass of the whole robot.",
        ),
    ),
    hints=(
        "Which share of the robot's mass is moved?",
        "The centre of gravity moves by the same share of the way.",
    ),
    explain=(
        "Its share of the mass, times the way: {answer}, and straight into the room to the front wheels. No new sum"
        " over all parts is needed."
    ),
    short=True,
)


# --- the load on a wheel -------------------------------------------------------------------------------------------

WHEEL = Quantity(
    id="balance-wheel-load",
    lesson="balance",
    title="What does one wheel carry?",
    text=(
        "A robot of {mass} stands on four wheels. From front to rear wheels it is {base}. Its centre of gravity lies"
        " {room} behind the front wheels, in the middle between left and right. With which force does one front wheel"
        " press on the floor?"
    ),
    kind="force",
    unit="N",
    rows=tuple(
        {"mass": (mass, "kg"), "base": (base, "mm"), "room": (room, "mm")}
        for mass, base, room in (
            (12.0, 310, 110),
            (14.0, 290, 120),
            (10.0, 330, 130),
            (11.0, 280, 100),
            (13.0, 320, 190),
            (15.0, 260, 155),
        )
    ),
    answer=lambda r: r.mass * G * (r.base - r.room) / r.base / 2,
    slips=(
        Slip(
            "both front wheels",
            lambda r: r.mass * G * (r.base - r.room) / r.base,
            "That is what both front wheels carry together. Asked is one of them.",
        ),
        Slip(
            "rear wheel",
            lambda r: r.mass * G * r.room / r.base / 2,
            "That is a rear wheel. The nearer the centre of gravity is to a wheel, the more that wheel carries.",
        ),
        Slip(
            "a quarter each",
            lambda r: r.mass * G / 4,
            "You gave a quarter to each wheel. That is so only if the centre of gravity is in the middle.",
        ),
        Slip(
            "mass for weight",
            lambda r: r.mass * (r.base - r.room) / r.base / 2,
            "You used kilograms as newtons. Weight is mass × 9.81 N/kg.",
        ),
        Slip(
            "both rear wheels",
            lambda r: r.mass * G * r.room / r.base,
            "That is what both rear wheels carry together. Asked is one front wheel.",
        ),
        Slip(
            "half the weight",
            lambda r: r.mass * G / 2,
            "You gave half of the weight to one wheel. The front pair has a share of the weight, and two wheels"
            " share that.",
        ),
    ),
    hints=(
        (
            "Think of a plank on two scales. Which share does the front one get, if you stand on the front end? In the"
            " middle?"
        ),
        "Front share = distance to the rear wheels / distance between the wheels. Then two wheels share it.",
    ),
    explain=(
        "Distance to the rear wheels ÷ wheelbase is the share of the front pair, and each wheel carries half of it:"
        " {answer}. Read the other way round, two scales tell where the centre of gravity is."
    ),
)


# --- how hard may it brake -----------------------------------------------------------------------------------------

BRAKE = Quantity(
    id="balance-braking",
    lesson="balance",
    title="How hard may it brake?",
    text=(
        "From front to rear wheels a robot measures {base}, from left to right {track}. With its lift up, the centre of"
        " gravity is {height} high, and {ahead} ahead of the middle between the wheels. How hard may it brake, driving"
        " ahead, before it tips?"
    ),
    kind="acceleration",
    unit="m/s2",
    rows=tuple(
        {"base": (base, "mm"), "track": (track, "mm"), "height": (height, "mm"), "ahead": (ahead, "mm")}
        for base, track, height, ahead in (
            (300, 260, 280, 30),
            (340, 290, 260, 25),
            (320, 280, 310, 35),
            (280, 240, 240, 20),
            (330, 280, 330, 38),
            (290, 250, 350, 28),
        )
    ),
    answer=lambda r: G * (r.base / 2 - r.ahead) / r.height,
    slips=(
        Slip(
            "from the middle",
            lambda r: G * r.ahead / r.height,
            "You took the distance from the middle. What counts is the room that is left to the front wheels, about"
            " which it would tip.",
        ),
        Slip(
            "as if in the middle",
            lambda r: G * r.base / 2 / r.height,
            "You put the centre of gravity in the middle. It lies {ahead} ahead of it, so there is less room to the"
            " front wheels.",
        ),
        Slip(
            "9.81 forgotten",
            lambda r: (r.base / 2 - r.ahead) / r.height,
            "You left 9.81 m/s² out. Room ÷ height alone is a plain number. Braking has a unit, m/s².",
        ),
        Slip(
            "track for wheelbase",
            lambda r: G * (r.track / 2 - r.ahead) / r.height,
            "You used the distance from left to right. Braking ahead it tips over its front wheels: front to rear"
            " counts.",
        ),
        Slip(
            "room behind",
            lambda r: G * (r.base / 2 + r.ahead) / r.height,
            "That is the room to the rear wheels. It counts when the robot speeds up. When it brakes, it tips over its"
            " front wheels.",
        ),
        Slip(
            "upside down",
            lambda r: G * r.height / (r.base / 2 - r.ahead),
            "You turned the fraction round. A higher centre of gravity must brake more gently: room ÷ height.",
        ),
        Slip(
            "whole wheelbase",
            lambda r: G * (r.base - r.ahead) / r.height,
            "You began at the rear wheels. The centre of gravity is {ahead} ahead of the middle: take half the"
            " wheelbase.",
        ),
    ),
    hints=(
        "About which wheels would it tip? How far ahead of the centre of gravity are they?",
        "Braking = 9.81 m/s² × room to the edge / height of the centre of gravity.",
    ),
    explain="(Half the wheelbase − what it lies ahead) ÷ height × 9.81 m/s²: {answer}.",
)


# --- the steepest ramp ---------------------------------------------------------------------------------------------

RAMP = Quantity(
    id="balance-ramp",
    lesson="balance",
    title="How steep a ramp?",
    text=(
        "A robot stands on a ramp and faces down. Its centre of gravity is {height} high, and {room} behind the front"
        " wheels. At which angle of the ramp does it begin to tip over its front wheels? (The slope, room ÷ height, is"
        " the tangent of the angle.)"
    ),
    kind="angle",
    unit="deg",
    rows=tuple(
        {"height": (height, "mm"), "room": (room, "mm")}
        for height, room in (
            (280, 130),
            (320, 150),
            (250, 140),
            (360, 170),
            (230, 150),
            (300, 190),
            (270, 140),
            (340, 170),
        )
    ),
    answer=lambda r: np.arctan(r.room / r.height),
    slips=(
        Slip(
            "upside down",
            lambda r: np.arctan(r.height / r.room),
            "You turned the fraction over. A higher centre of gravity must give a smaller angle: room ÷ height.",
        ),
        Slip(
            "sine for tangent",
            lambda r: np.arcsin(r.room / r.height),
            "You took the sine. Room and height are the two short sides, level and upright: their ratio is the"
            " tangent.",
        ),
        Slip(
            "half the room",
            lambda r: np.arctan(r.room / 2 / r.height),
            "You halved the room. {room} is already measured to the front wheels.",
        ),
        Slip(
            "slope in per cent",
            lambda r: np.radians(100 * r.room / r.height),
            "That is the slope in per cent. Asked is the angle that has this slope: look it up, or press tan⁻¹.",
        ),
        Slip(
            "slope for angle",
            lambda r: np.radians(r.room / r.height),
            "That is room ÷ height, the slope. Asked is the angle that has this slope: look it up, or press tan⁻¹.",
        ),
        Slip(
            "radians for degrees",
            lambda r: np.radians(np.arctan(r.room / r.height)),
            "Your calculator is set to radians. Set it to degrees, or look the slope up in the table.",
        ),
    ),
    hints=(
        "How much is room / height?",
        (
            "Find the angle with that slope in the table of slopes, between two columns if need be (on a calculator:"
            " tan⁻¹)."
        ),
    ),
    explain=(
        "At {answer} the centre of gravity is straight above the front wheels. Stay far below it: a robot also"
        " brakes on the ramp, and that takes its share."
    ),
)


# --- stopping with the lift up -------------------------------------------------------------------------------------

STOP = Quantity(
    id="balance-stop-raised",
    lesson="balance",
    title="How far to stop with the lift up?",
    text=(
        "A robot drives at {speed} with its lift up. The coefficient of friction of its wheels is {mu}. Its centre of"
        " gravity is {height} high and {room} behind the front wheels. How far does it go at least until it stands,"
        " without tipping and without slipping?"
    ),
    kind="length",
    unit="m",
    rows=tuple(
        {"speed": (speed, "m/s"), "mu": (mu, ""), "height": (height, "mm"), "room": (room, "mm")}
        for speed, mu, height, room in (
            (1.4, 0.8, 320, 140),
            (1.8, 0.75, 290, 150),
            (1.5, 0.9, 340, 160),
            (2.3, 0.7, 310, 130),
            (1.7, 1.0, 270, 150),
            (1.3, 0.85, 360, 150),
        )
    ),
    answer=lambda r: r.speed**2 / (2 * G * r.room / r.height),
    slips=(
        Slip(
            "as the grip allows",
            lambda r: r.speed**2 / (2 * r.mu * G),
            "You braked as hard as the wheels hold. Grip allows more than balance does: it tips. The smaller of both"
            " limits counts.",
        ),
        Slip(
            "the 2 forgotten",
            lambda r: r.speed**2 / (G * r.room / r.height),
            "You left the 2 out. While it brakes, its speed is on average only half of what it was.",
        ),
        Slip(
            "time, not way",
            lambda r: r.speed / (G * r.room / r.height),
            "You used the speed once. That is the time until it stands, not the distance.",
        ),
        Slip(
            "9.81 forgotten",
            lambda r: r.speed**2 / (2 * r.room / r.height),
            "You left 9.81 m/s² out of the braking.",
        ),
        Slip(
            "upside down",
            lambda r: r.speed**2 / (2 * G * r.height / r.room),
            "You turned the fraction round. A higher centre of gravity must brake more gently: room ÷ height.",
        ),
        Slip(
            "both limits added",
            lambda r: r.speed**2 / (2 * G * (r.mu + r.room / r.height)),
            "You added the two limits. Each of them is a limit by itself: the smaller one counts.",
        ),
    ),
    hints=(
        "There are two limits: friction × 9.81 m/s², and 9.81 m/s² × room / height. Which one is smaller?",
        "Distance = speed × speed / (2 × braking), as in lesson 03.",
    ),
    explain=(
        "It would tip before it slips, so it must brake more gently than its wheels could: {answer}. Allow some more on"
        " a real field."
    ),
)


# --- which change helps --------------------------------------------------------------------------------------------

HELPS = Choice(
    id="balance-which-change",
    lesson="balance",
    title="It nearly tips when it brakes",
    text=(
        "A robot drives ahead with its lift up, brakes, and its rear wheels leave the floor. Which change lets it brake"
        " harder without tipping?"
    ),
    options=(
        Option(
            "grip",
            "Wheels with more grip.",
            "The wheels held well enough: it tipped, it did not slide. More grip lets it brake harder, and tip sooner.",
        ),
        Option(
            "wide",
            "Left and right wheels further apart.",
            "That helps in a bend. When it brakes ahead it tips over its front wheels, and they are no further away.",
        ),
        Option(
            "battery",
            "Move the battery from the front to the back, low down.",
            "Yes. The centre of gravity moves back, and the room to the front wheels grows.",
            right=True,
        ),
        Option(
            "heavy",
            "Make everything heavier in the same proportion.",
            "The mass cancels: twice the weight holds it down, twice the push of braking tips it.",
        ),
    ),
    hints=(
        "Which two lengths stand in the formula? Which change alters one of them?",
        "It tips over its front wheels. What brings the centre of gravity further away from them, or lower?",
    ),
    explain=(
        "Only room and height count. More room to the wheels on that side, or a lower centre of gravity; neither grip"
        " nor mass."
    ),
    short=True,
)


# --- in order ------------------------------------------------------------------------------------------------------

ORDER = Order(
    id="balance-who-tips-first",
    lesson="balance",
    title="Who tips first?",
    text=(
        "Four robots brake harder and harder. Their wheels never slip. Room is how far ahead of the centre of gravity"
        " the front wheels are, height is how high the centre of gravity is."
    ),
    scale="from the one that tips first to the one that tips last",
    items=(
        Item("narrow", "room 60 mm, height 240 mm"),
        Item(
            "high",
            "room 150 mm, height 450 mm",
            "It is the highest, but it also has much room. Compare room ÷ height, not height alone.",
        ),
        Item("middle", "room 120 mm, height 240 mm", "Room ÷ height is 1/2 here. Which robots have less?"),
        Item(
            "low", "room 80 mm, height 100 mm", "It has little room, but it is very low: room ÷ height is the largest."
        ),
    ),
    hints=(
        "Height alone does not decide, and room alone does not decide.",
        "Work out room / height for each. The smallest tips first.",
    ),
    explain="Room ÷ height is 1/4, 1/3, 1/2 and 4/5. Times 9.81 m/s², that is the braking that each of them bears.",
    short=True,
)


# --- a design ------------------------------------------------------------------------------------------------------


_DESIGN_CASES = (
    (2.2, 780, 0.66, 16),
    (1.8, 850, 0.68, 15),
    (2.6, 700, 0.66, 18),
    (2.0, 820, 0.67, 17),
    (2.4, 740, 0.65, 14),
    (1.6, 900, 0.70, 15),
)


def _design_rows_1(kit):
    return _design_cases(kit, (*_DESIGN_CASES[:2], (2.6, 700, 0.64, 18), *_DESIGN_CASES[3:]))


def _design_rows(kit):
    """Harder braking than the bench's first wheels and masses bear on a bad day."""
    return _design_cases(kit, _DESIGN_CASES)


def _design_cases(kit, cases):
    wheels = kit.table("wheels")
    most = sorted(wheels.row(name)["along"] for name in wheels.names)[-2] * G
    return [
        {
            "raised_mass": (mass, "kg"),
            "raised_height": (height, "mm"),
            "braking_wanted": in_unit(rounded(share * most, 2), "m/s2"),
            "ramp_wanted": (ramp, "deg"),
        }
        for mass, height, share, ramp in cases
    ]


# As it was asked before: in one row what the bench opens with was enough.
_DESIGN_1 = Challenge(
    id="balance-design",
    lesson="balance",
    title="Stand with the lift up",
    text=(
        "A lift raises {raised_mass} to {raised_height}. The driver wants to brake with {braking_wanted}, and the robot"
        " must stay upright on any slope up to {ramp_wanted}. Choose the wheels, how far ahead of the middle the centre"
        " of gravity of the rest is (below 0 is behind), and the mass of the rest: weights may be added low down."
    ),
    sizing="balance",
    rows=_design_rows_1,
    fixed=("raised_mass", "raised_height", "braking_wanted", "ramp_wanted"),
    ease={"braking_wanted": 0.88, "ramp_wanted": 0.88, "raised_mass": 0.9},
    choose=("forward", "mass", "wheels"),
    require=(
        "Neither tipping nor slipping with {braking_wanted}, upright on a slope of {ramp_wanted} whichever way it"
        " faces, not too heavy: all on a bad day too."
    ),
    advice={
        "braking": "It tips over its front wheels. Move the rest further back, or make it heavier.",
        "grip": "Its wheels slip before it brakes so hard. Other wheels hold better.",
        "tilt": (
            "It falls over on the ramp. If the rest sits far back, it tips backwards: bring it nearer to the middle, or"
            " make it heavier."
        ),
        "total": "Too heavy for the rules: take some of the added weight off.",
    },
    hints=(
        "First the wheels: which of them can brake so hard on a bad day at all?",
        "Then move the rest back, step by step. Braking gets better, and at some point the tilt gets worse.",
    ),
    explain=(
        "It brakes, it stands, and it is not too heavy, on a bad day too. Where would you put the battery in your"
        " robot?"
    ),
)

DESIGN = replace(_DESIGN_1, revision=2, rows=_design_rows, earlier=(_DESIGN_1,))


# --- shop at home: weigh the wheels, level and with the front raised -----------------------------------------------

BLOCKS = np.array([0, 10, 20, 30, 40, 50, 60])  # mm under the front wheels
ROBOT = {"mass": 11.8, "ahead": 0.021}  # kg, and m ahead of the middle: whatever the scales show is made of these


def _slope(block, base):
    """The slope of the line from rear to front axle: up over level."""
    return block / np.sqrt(base**2 - block**2)


def _weighing(r, noise):
    """What scales under the rear wheels show as the front is raised: the centre of gravity leans back over them."""
    slope = _slope(BLOCKS / 1000, r.base)
    rear = ROBOT["mass"] * (0.5 - ROBOT["ahead"] / r.base + (r.height - r.radius) * slope / r.base)
    rear = rear + 0.012 * noise.standard_normal(BLOCKS.size)
    level = np.full(BLOCKS.size, ROBOT["mass"])
    return {"block": (BLOCKS, "mm"), "rear": (rear.round(2), "kg"), "whole": (level, "kg")}


def _height_of(columns, r):
    """Height from the slope of the rear reading over the slope of the robot."""
    grows, _ = np.polyfit(_slope(columns["block"], r.base), columns["rear"], 1)
    return float(r.radius + grows * r.base / columns["whole"][0])


SHOP = Quantity(
    id="balance-weighing",
    lesson="balance",
    title="Weigh its height",
    text=(
        "You put scales under the rear wheels of a robot and blocks under its front wheels. The higher the front, the"
        " more the rear wheels carry. Front and rear axles are {base} apart, the wheels have a radius of {radius}. How"
        " high is the centre of gravity above the floor? (It is hidden, and each learner's robot is another one. You"
        " may be further off than usual.)"
    ),
    kind="length",
    unit="mm",
    rows=tuple(
        {"base": (base, "mm"), "radius": (radius, "mm"), "height": (height, "")}
        for base, radius, height in (
            (310, 48, 0.21),
            (290, 45, 0.235),
            (330, 42, 0.19),
            (280, 50, 0.225),
            (300, 40, 0.2),
            (320, 52, 0.24),
            (270, 46, 0.18),
            (340, 44, 0.22),
        )
    ),
    answer=lambda r: r.height,
    tolerance=0.06,
    shop=Shop(
        about=f"{BLOCKS.size} weighings of a robot, with higher and higher blocks under its front wheels.",
        measure=_weighing,
        fit=_height_of,
    ),
    slips=(
        Slip(
            "height over the axles",
            lambda r: r.height - r.radius,
            "That is the height above the axles. They lie one wheel's radius above the floor: add it.",
        ),
        Slip(
            "half the distance",
            lambda r: r.radius + (r.height - r.radius) / 2,
            "You used half the distance between the axles. The whole robot turns about its rear wheels: take all"
            " of it.",
        ),
    ),
    hints=(
        (
            "Slope of the robot = height of the block / distance of the axles. Draw a graph: slope to the right, rear"
            " reading upwards. It is a line."
        ),
        "Height above the axles = steepness of that line × distance of the axles / mass of the whole robot.",
        "The axles lie one wheel's radius above the floor.",
    ),
    explain="It is {answer} above the floor. You never had to hold the robot on its edge to find it.",
)


EXERCISES = (PREDICT, BOX, CENTRE, MOVED, WHEEL, BRAKE, RAMP, STOP, HELPS, ORDER, DESIGN, SHOP)
