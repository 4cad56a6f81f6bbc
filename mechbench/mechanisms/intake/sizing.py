"""Sizing: an intake. Will the roller pull the piece in at driving speed, climb with it, and hand it on faster than
it arrives?
"""

from dataclasses import replace

import numpy as np

from mechbench.engine.spec import CHOICE, JOB, TAKES, Field, Finding, Need, Pick, Sizing
from mechbench.kits import Table, figures, pairing
from mechbench.mechanisms import words
from mechbench.mechanisms.powertrain import JAM, ROLLER_SPEED, jammed, turning
from mechbench.mechanisms.shaft_drives import bus_of, line_of, shaft_drives
from mechbench.physics import drive, intake, transfer
from mechbench.physics.rounding import difference

FASTER = 1.5  # roller over driving speed: common practice, no source
SURE = 1.1  # grip over the grip needed, from which on no piece stays out: assumed


def roller_drives(kit):
    """What can turn a roller: every motor behind every gearbox, and the servos that turn without end."""
    whole = shaft_drives(kit)
    rows = [i for i, travel in enumerate(whole.columns["travel"]) if np.isinf(travel)]
    names = tuple(whole.names[i] for i in rows)
    columns = {key: values[rows] for key, values in whole.columns.items()}
    motors, boxes = kit.table("motors"), kit.table("gearboxes")
    usual = pairing.gears_for(motors, motors.usual, boxes, turning(ROLLER_SPEED).of(boxes, kit))
    usual = pairing.name_of(motors, motors.usual, usual)
    usual = usual if usual in names else names[0]
    return Table("roller_drives", names, usual, {n: whole.labels[n] for n in names}, columns, assumed=whole.assumed)


def gripping_rollers(kit):
    """The kit's rollers, each with its friction on the piece."""
    rollers = kit.table("rollers")
    friction = np.array([kit.friction(pair) for pair in rollers.texts["grip"]])
    return Table(
        "gripping_rollers",
        rollers.names,
        rollers.usual,
        rollers.labels,
        {**rollers.columns, "friction": friction},
        assumed=rollers.assumed,
    )


def other_sides(kit):
    """What the piece is pressed against: a wall on which it slides, or rolls, or a second driven roller."""
    labels = {
        "wall": "a wall, the piece slides",
        "rolling": "a wall, the piece rolls",
        "roller": "a second driven roller",
    }
    columns = {
        "friction": np.full(3, kit.friction("piece_on_plastic")),
        "rolls": np.array([0.0, 1.0, 0.0]),
        "driven": np.array([0.0, 0.0, 1.0]),
    }
    return Table("other_sides", tuple(labels), "wall", labels, columns)


class Intake(Sizing):
    """A roller that pulls pieces in against a wall or a second roller, up a ramp, to the next stage."""

    NAME = "intake"
    ALSO = ("roller", "rollers", "suck", "feeder")
    VERSION = 4  # 2: jam; 3: a servo's own gears bear what it gives when it stalls; 4: roller_speed
    TITLE = "An intake"
    QUESTION = (
        "Will the roller pull the piece in at driving speed, climb with it, and hand it on faster than it arrives?"
    )
    FIELDS = (
        Field(
            "ground_speed",
            "Driving speed",
            "m/s",
            0.0,
            3.0,
            0.9,
            "of the robot onto the piece",
            JOB,
            also=("speed", "driving", "driving_speed", "robot_speed", "velocity"),
        ),
        Field(
            "piece_diameter",
            "Diameter of the piece",
            "mm",
            3.0,
            300.0,
            72.0,
            "a round piece",
            JOB,
            more=True,
            follows=figures.piece_across,
            also=("piece", "diameter", "ball", "piece_width", "ball_width", "piece_size", "ball_size", "ball_diameter"),
        ),
        Field(
            "piece_mass",
            "Mass of the piece",
            "g",
            2.0,
            2000.0,
            150.0,
            "of one piece",
            JOB,
            more=True,
            follows=figures.piece_mass,
            also=("mass", "weight", "ball_mass", "payload"),
        ),
        Field("slope", "Ramp behind the roller", "deg", 0.0, 70.0, 20.0, "above level", JOB, also=("angle", "ramp")),
        Field(
            "period_wanted",
            "Time for a piece",
            "s",
            0.05,
            5.0,
            0.26,
            "from one piece to the next",
            JOB,
            more=True,
            follows=figures.even(figures.piece_across, 3.57),
            also=("time",),
        ),
        Field(
            "pen_depth",
            "Depth to reach into",
            "mm",
            0.0,
            500.0,
            210.0,
            "of a place that is open in front alone, from its mouth to the wall where pieces lie",
            JOB,
            more=True,
            follows=figures.where("reach_in", figures.pen_depth, 0.0),
            about=figures.has("reach_in"),
        ),
        Field(
            "pen_gap",
            "Mouth to come in by",
            "mm",
            100.0,
            600.0,
            360.0,
            "between its posts; narrower than the robot",
            JOB,
            more=True,
            follows=figures.pen_gap,
            about=figures.has("reach_in"),
        ),
        Field(
            "heading", "Heading off by", "deg", 0.0, 45.0, 10.0, "how crooked the driver may come in", JOB, more=True
        ),
        Field(
            "offset",
            "Piece off the middle by",
            "mm",
            0.0,
            200.0,
            34.0,
            "how far aside the piece may lie",
            JOB,
            more=True,
            follows=figures.even(figures.piece_across, 0.476),
        ),
        Field(
            "run_allowed",
            "Distance to bring it to the middle",
            "mm",
            10.0,
            1000.0,
            130.0,
            "that the robot may drive meanwhile",
            JOB,
            more=True,
            follows=figures.even(figures.piece_across, 1.79),
        ),
        Pick(
            "drive",
            "Motor and gearbox",
            "roller_drives",
            None,
            "or a servo that turns without end",
            also=("motor", "servo", "gearbox", "ratio"),
        ),
        Pick(
            "count",
            "How many",
            "counts",
            "1",
            "drives side by side on the roller",
            more=True,
            also=words.COUNT,
        ),
        Pick(
            "roller",
            "Roller",
            "gripping_rollers",
            None,
            "which roller of the kit",
            also=("diameter", "roller_diameter", "wheel", "rollers"),
        ),
        Pick("other", "Other side", "other_sides", "wall", "what is on the piece's other side"),
        Field(
            "squeeze",
            "Squeeze",
            "mm",
            0.5,
            12.0,
            2.0,
            "how much the gap is narrower than the piece; two rollers share it",
            follows=figures.even(figures.piece_across, 1 / 36, step=0.0005),
            also=("compression", "pinch"),
        ),
        Field(
            "reach",
            "Reach ahead",
            "mm",
            0.0,
            500.0,
            170.0,
            "of the roller's axis, intake out; past a mouth, where there is one",
            more=True,
            follows=figures.reach_past_pen,
        ),
        Field(
            "width",
            "Width of the intake",
            "mm",
            50.0,
            400.0,
            280.0,
            "outside, with its plates",
            CHOICE,
            more=True,
            follows=figures.even(figures.pen_gap, 0.767, step=0.01),
        ),
        Field(
            "plate_angle", "Angle of the side plates", "deg", 5.0, 85.0, 30.0, "from straight ahead", CHOICE, more=True
        ),
        Field(
            "gap",
            "Gap between pieces",
            "mm",
            0.0,
            300.0,
            34.0,
            "as they come in",
            CHOICE,
            more=True,
            follows=figures.even(figures.piece_across, 0.476),
        ),
        Field("next_speed", "Speed of the next stage", "m/s", 0.1, 4.0, 2.0, "of its surface", CHOICE, more=True),
        Field(
            "next_start",
            "Roller to the next stage",
            "mm",
            0.0,
            400.0,
            60.0,
            "from the roller's axis to where the next stage begins",
            CHOICE,
            more=True,
            follows=figures.even(figures.piece_across, 0.833),
        ),
        Field(
            "next_grip",
            "Next stage needs",
            "%",
            0.0,
            100.0,
            50.0,
            "of the piece's length on it before it drives the piece",
            CHOICE,
            more=True,
        ),
    )
    FINDINGS = (
        Finding(
            "ratio",
            "speed going in / driving speed",
            "x",
            "of the piece; below 1 the robot pushes it away; many builders take 1.5, to have some to spare",
            "at least",
            FASTER,
            also=("speed", "fast", "quick"),
        ),
        Finding(
            "nip",
            "friction available / friction needed",
            "x",
            "when the roller first touches: below 1 it rubs and the piece stays out",
            "at least",
            1.0,
            also=("grip", "grips", "pull", "pulls", "slip", "slips", "friction", "bite", "bites"),
        ),
        Finding(
            "climbs",
            "push available / push needed on the ramp",
            "x",
            "below 1 the roller slips on the piece",
            "at least",
            1.0,
            also=("climb",),
        ),
        Finding(
            "period",
            "time for a piece",
            "s",
            "piece and gap, at the speed it is taken in; one over it is the throughput",
            "at most",
            "period_wanted",
            also=("time",),
        ),
        Finding(
            "jam_current",
            "current of a drive on a jam",
            "A",
            "a piece is stuck: the roller slips on it, or the drive stalls",
            "at most",
            "drive.current_limit",
            also=("stall", "stuck"),
        ),
        Finding(
            "strength",
            "share of the drive's strength",
            "%",
            "on a jam, over what gearbox or servo may give",
            "at most",
            100.0,
        ),
        # An intake jams every day, so this is asked of it; a servo's own gears bear just what it gives when it stalls.
        replace(JAM[0], sense="at most", bound=100.0, held=True),
        Finding("reaches", "reach to spare", "mm", "for a piece at the wall behind it", "at least", 0.0, scale=50.0),
        Finding(
            "enters",
            "heading at which it still enters",
            "deg",
            "into a mouth as wide as given, as far as it reaches",
            "at least",
            "heading",
        ),
        Finding(
            "run",
            "distance to bring it to the middle",
            "mm",
            "along a side plate; never where the plate is too blunt",
            "at most",
            "run_allowed",
        ),
        Finding(
            "hands_on",
            "speed of the next stage / speed going in",
            "x",
            "below 1 pieces run into each other",
            "at least",
            1.0,
        ),
        Finding(
            "coasts",
            "coasting to spare",
            "mm",
            "how far it slides on by itself, less the way where nothing drives it",
            "at least",
            0.0,
            scale=50.0,
        ),
        Finding(
            "surface", "speed of the roller's surface", "m/s", "while it carries a piece", worse="less", also=("speed",)
        ),
        Finding(
            "roller_speed",
            "turning speed of the roller",
            "rpm",
            "while it carries a piece: speed of its surface over its way round, pi times its diameter",
            worse="less",
            also=("rpm", "turns", "turning_speed", "roller_rpm"),
        ),
        Finding(
            "roller_needed",
            "turning speed it should have",
            "rpm",
            "to take a piece in 1.5 times as fast as the robot drives",
            worse="more",
            also=("rpm", "needed", "roller_rpm", "turning_speed"),
        ),
        Finding("press", "push on the piece", "N", "across the gap", also=("force",)),
        Finding(
            "nip_angle",
            "nip angle",
            "deg",
            "how steeply the roller meets the piece where they first touch (the nip)",
            worse="more",
        ),
        Finding(
            "deepest",
            "squeeze it could have",
            "mm",
            "before the piece stays out",
            worse="less",
            also=("squeeze", "compression", "gap"),
        ),
        Finding(
            "current",
            "current of a drive",
            "A",
            "while it carries a piece",
            worse="more",
            also=words.CURRENT,
        ),
        *JAM[1:],
    )
    RECORDS = ("battery", "controller", "servo_rail")
    TABLES = {"roller_drives": roller_drives, "gripping_rollers": gripping_rollers, "other_sides": other_sides}
    SPREADS = {
        "piece_mass": "mass",
        "roller.friction": "friction",
        "other.friction": "friction",
        "drive.efficiency": "efficiency",
        "battery.open_circuit": "battery_voltage",
        "battery.resistance": "battery_resistance",
    }
    RANK = ("-ratio", "jam_current")
    # A piece comes in at all from a ratio, a nip and a press of 1 on; that it comes in every time takes more: assumed.
    NEEDS = (
        Need(TAKES, "ratio", 1.0),
        Need(TAKES, "nip", 1.0, SURE),
        Need(TAKES, "climbs", 1.0, SURE),
        Need(TAKES, "coasts"),
    )
    LESS = ("slope", "ground_speed", "next_start")
    FROM_GAME = {
        "piece_diameter": "piece.narrow",
        "piece_mass": "piece.mass",
        "pen_depth": "reach_in.depth",
        "pen_gap": "reach_in.gap",
    }
    USES = (
        intake.nip_angle,
        intake.sliding_nip,
        intake.rolling_nip,
        intake.driven_nip,
        intake.press_force,
        intake.roller_torque,
        intake.slip_torque,
        transfer.ramp_press,
        transfer.coast_length,
        transfer.stall_zone,
        transfer.piece_period,
        intake.heading_limit,
        intake.funnel_run,
        drive.speed,
    )

    @classmethod
    def lumps(cls, values, tables, share, moving=()):
        """Drive and roller, as wide as it is."""
        (own,) = super().lumps(values, tables, share, moving)
        thick = 2 * tables("gripping_rollers").row(values["roller"])["radius"]
        return (own._replace(name="roller", size=(2 * thick, values["width"], 2 * thick)),)

    @staticmethod
    def solve(x):
        """Nip and press from geometry, the speed from the drive under that load, then what it hands on."""
        radius, rolls, driven = x.piece_diameter / 2, x.other.rolls == 1, x.other.driven == 1
        squeeze = np.where(driven, x.squeeze / 2, x.squeeze)
        angle = intake.nip_angle(x.roller.radius, radius, squeeze)
        press = intake.press_force(x.roller.stiffness, squeeze)
        grip = np.where(rolls, np.minimum(x.roller.friction, x.other.friction), x.roller.friction)
        wall = np.where(rolls | driven, 0.0, x.other.friction)  # what holds the piece back
        along = transfer.ramp_force(x.piece_mass, x.slope, wall)
        carrying = intake.roller_torque(x.roller.radius, press, wall, np.where(rolls, along / 2, along))
        jam = intake.slip_torque(x.roller.radius, press, x.roller.friction) * np.where(driven, 2, 1) / x.count.number
        amps, turning = _turning(x, carrying / x.count.number)
        surface = intake.surface_speed(x.roller.diameter, turning)
        speed = np.where(rolls, intake.rolling_speed(surface), surface)
        sides = np.where(rolls | driven, 2, 1)  # both contacts pull: the second roller, or the wall on which it rolls
        with np.errstate(
            divide="ignore"
        ):  # on the level nothing may hold a piece back: there is no end to what it climbs
            climbs = sides * press / transfer.ramp_press(x.piece_mass, x.slope, grip, wall)
        return {
            "ratio": intake.speed_ratio(speed, x.ground_speed),
            "nip": grip / _needed(angle, rolls, wall),
            "climbs": climbs,
            "period": transfer.piece_period(speed, x.piece_diameter, x.gap),
            "jam_current": _turning(x, jam)[0],
            "strength": jam / x.drive.allowed,
            "reaches": difference(
                x.reach, intake.reach_needed(x.pen_depth, radius, x.roller.radius, angle), x.pen_depth
            ),
            "enters": intake.heading_limit(x.pen_gap, x.width, x.reach),
            "run": intake.funnel_run(x.offset, x.plate_angle, x.other.friction),
            "hands_on": np.where(speed > 0, x.next_speed / np.where(speed > 0, speed, 1.0), 0.0),
            "coasts": difference(
                transfer.coast_length(speed, x.slope, x.other.friction), _undriven(x, angle), x.next_start
            ),
            "surface": surface,
            "roller_speed": turning,
            # A piece that rolls along a wall is half as fast as the roller's surface.
            "roller_needed": FASTER * x.ground_speed * np.where(rolls, 2, 1) / x.roller.radius,
            "press": press,
            "nip_angle": angle,
            "deepest": _deepest(x),
            "current": amps,
            **_stuck(x),
        }

    @classmethod
    def battery_current(cls, found, number):
        """All drives on a jam: no more is drawn than then."""
        return found["jam_current"] * number


def _needed(angle, rolls, wall):
    """Friction that the nip needs; a second driven roller is a wall that does not hold the piece back."""
    return np.where(rolls, intake.rolling_nip(angle), intake.sliding_nip(angle, wall))


def _turning(x, torque):
    """Current and speed of one of the drives at a torque, all on one sagging battery; stalled: speed 0."""
    line, bus = line_of(x), bus_of(x)
    stalled = bus.open_circuit / (line.resistance + x.count.number * bus.resistance)
    amps = np.minimum(np.minimum(drive.current_for_torque(line, torque), stalled), line.current_limit)
    return amps, drive.speed(line, bus.open_circuit - x.count.number * bus.resistance * amps, torque)


def _stuck(x):
    """The rollers themselves are held fast, all drives on one battery."""
    bus = bus_of(x)
    return jammed(line_of(x), x.drive.allowed, replace(bus, resistance=x.count.number * bus.resistance))


def _deepest(x):
    """The most squeeze at which the piece is still pulled in, all sides together."""
    driven = x.other.driven == 1
    wall = np.where(driven, 0.0, x.other.friction)
    one = intake.deepest_squeeze(x.roller.radius, x.piece_diameter / 2, x.roller.friction, wall, x.other.rolls == 1)
    return np.where(driven, 2 * one, one)


def _undriven(x, angle):
    """Way between roller and next stage on which nothing drives the piece.

    The roller drives it until it touches it behind as steeply as before: its middle is then past the axis. Told as a
    stage, the roller ends where a piece would lose its grip just there.
    """
    past = (x.roller.radius + x.piece_diameter / 2) * np.sin(angle)
    grip = x.next_grip * x.piece_diameter
    return transfer.stall_zone(x.next_start - (past - x.piece_diameter / 2 + grip), x.piece_diameter, grip)
