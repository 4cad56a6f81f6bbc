"""Sizing: a gripper. Will it hold while the robot accelerates, with which servo, and what does letting go of one of
two do?
"""

import numpy as np

from mechbench.engine.spec import CHOICE, HOLDS, JOB, TAKES, Field, Finding, Lump, Need, Pick, Sizing
from mechbench.kits import Table, figures
from mechbench.mechanisms import words
from mechbench.physics import gripper, servo, wrist

NOT_PADS = ("piece_on_floor", "piece_on_piece")
JAW_WIDE = 0.015  # m, of a jaw outwards from the face of its pad: pad, carrier, levers; common practice, no source


def pads(kit):
    """What jaws may be covered with: every friction pair of the kit between the piece and something that is built, and
    what was given by its coefficient.
    """
    pairs, known = kit.table("friction"), kit.plain.table("friction").names
    is_pad = lambda name: name not in known or ("piece" in name and name not in NOT_PADS)
    rows = [i for i, name in enumerate(pairs.names) if is_pad(name)]
    names = tuple(pairs.names[i] for i in rows)
    return Table(
        "pads", names, "jaw_on_piece", {n: pairs.labels[n] for n in names}, {"friction": pairs.columns["value"][rows]}
    )


def jaw_kinds(kit):
    """Parallel and pivot jaws."""
    labels = {"parallel": "parallel: pads stay square", "pivot": "pivot: pads tilt"}
    return Table("jaw_kinds", tuple(labels), "parallel", labels, {"pivots": np.array([0.0, 1.0])})


def jaw_drives(kit):
    """One servo for both jaws through a pair of gears, or one for each; `mesh` is the efficiency of one pair."""
    labels = {"shared": "one servo, jaws geared together", "own": "a servo for each jaw"}
    mesh = np.full(2, np.min(kit.filled("spur_gears").columns["efficiency"]))
    columns = {
        "driven": np.array([2.0, 1.0]),
        "servos": np.array([1.0, 2.0]),
        "efficiency": np.array([mesh[0], 1.0]),
        "mesh": mesh,
    }
    return Table("jaw_drives", tuple(labels), "shared", labels, columns)


def squeeze_that_holds(kit):
    """Squeeze of each jaw that holds a piece while robot and arm speed up, with some to spare, to half a newton."""
    return _holding(figures.piece_mass, kit.friction("jaw_on_piece"))(kit)


def _holding(mass, friction):
    """The same for any figure of a mass, and any friction."""
    return figures.even(mass, 22.5 / friction, step=0.5)


class Gripper(Sizing):
    """One or several grippers on a wrist, each with two jaws that hold a piece by friction."""

    NAME = "gripper"
    ALSO = ("grip", "claw", "servo", "servos", "jaws", "grabber", "clamp", "hand", "pinch", "squeeze", "wrist")
    # 2: room between two pieces; 3: current of a pair; 4: wrist_torque; 5: that room with jaws open; 6: and as wide as
    # jaws are
    VERSION = 6
    TITLE = "A gripper"
    QUESTION = "Will it hold while the robot accelerates, with which servo, and let go of one of two?"
    FIELDS = (
        Field(
            "piece_mass",
            "Mass of the piece",
            "g",
            5.0,
            3000.0,
            150.0,
            "of one piece",
            JOB,
            follows=figures.piece_mass,
            also=("payload", "load", *words.PIECE),
        ),
        Field(
            "piece_width",
            "Width of the piece",
            "mm",
            2.0,
            200.0,
            72.0,
            "between the jaws",
            JOB,
            more=True,
            follows=figures.piece_width,
            also=("width", "diameter", "size", "piece_size", "ball", "piece_diameter"),
        ),
        Field(
            "upward",
            "Acceleration upwards",
            "m/s2",
            0.0,
            20.0,
            3.0,
            "of the gripper, when it starts up or stops going down",
            JOB,
            also=("acceleration",),
        ),
        Field(
            "level",
            "Level acceleration",
            "m/s2",
            0.0,
            20.0,
            5.0,
            "of the robot, along the pads",
            JOB,
            also=("braking", "acceleration"),
        ),
        Field(
            "time_wanted",
            "Time to close",
            "s",
            0.05,
            3.0,
            0.35,
            "from open to the piece",
            JOB,
            also=(*words.TIME_WANTED, "closing_time"),
        ),
        Field(
            "room",
            "Open further than the piece",
            "mm",
            1.0,
            150.0,
            34.0,
            "both sides together: what the driver needs to line up",
            JOB,
            follows=figures.even(figures.piece_width, 0.476),
        ),
        Field(
            "squeeze_allowed",
            "Squeeze the piece bears",
            "N",
            2.0,
            200.0,
            38.0,
            "more would dent it",
            JOB,
            more=True,
            follows=figures.bears,
        ),
        Field(
            "other_current",
            "Other servos",
            "A",
            0.0,
            5.0,
            1.0,
            "current of all other servos on the rail meanwhile",
            JOB,
            more=True,
        ),
        Field(
            "clear_ahead",
            "Clear room ahead",
            "mm",
            50.0,
            600.0,
            250.0,
            "from the wrist's axis to what it must miss when it folds",
            JOB,
            more=True,
        ),
        Pick("servo", "Jaw servo", "servos", None, "which servo of the kit"),
        Pick("drive", "Driven by", "jaw_drives", "shared", "one servo for both jaws, or one each", more=True),
        Pick("jaws", "Jaws", "jaw_kinds", "parallel", "how a pad hangs on its lever"),
        Field(
            "squeeze",
            "Squeeze",
            "N",
            0.1,
            150.0,
            5.5,
            "that the jaws are set to, each",
            follows=squeeze_that_holds,
            also=("force", "grip", "clamp", "pinch"),
        ),
        Field(
            "lever",
            "Jaw lever",
            "mm",
            10.0,
            200.0,
            50.0,
            "from pivot to pad (pivot jaws), or between the pins (parallel jaws)",
            follows=figures.even(figures.piece_width, 0.714, step=0.005),
            also=("jaw_length", "finger", "fingers", "finger_length", "jaw", "claw", "claw_length"),
        ),
        Field(
            "grip_angle",
            "Lever angle at the piece",
            "deg",
            -60.0,
            60.0,
            10.0,
            "outwards from straight ahead, while it holds",
            CHOICE,
            more=True,
        ),
        Field(
            "square_angle",
            "Angle at which pads are square",
            "deg",
            -60.0,
            60.0,
            0.0,
            "of pivot jaws",
            CHOICE,
            more=True,
        ),
        Field(
            "ratio",
            "Gear ratio, servo to jaw",
            "x",
            0.5,
            6.0,
            1.0,
            "more than 1 makes the jaws slower and stronger",
            more=True,
            also=("gear", "gears"),
        ),
        Field("safety", "Safety factor", "x", 1.0, 4.0, 1.5, "on the squeeze", CHOICE, more=True, also=("factor",)),
        Pick("pad", "Pads", "pads", None, "what touches the piece", more=True, also=("pads", "friction")),
        Field(
            "pad_length",
            "Length of contact",
            "mm",
            2.0,
            150.0,
            34.0,
            "a line, where a flat pad touches a round piece",
            CHOICE,
            more=True,
            follows=figures.even(figures.piece_width, 0.476),
        ),
        Field(
            "offset",
            "Held off its centre by",
            "mm",
            0.0,
            100.0,
            8.0,
            "level distance from the pads to the centre of gravity",
            CHOICE,
            more=True,
        ),
        Pick(
            "count", "Pieces held", "counts", "1", "each in jaws of its own", more=True, also=("pieces", "n", "number")
        ),
        Field(
            "spacing",
            "Between two pieces",
            "mm",
            5.0,
            300.0,
            150.0,
            "centre to centre, where two are held side by side",
            CHOICE,
            more=True,
            follows=figures.even(figures.piece_width, 1.476, step=0.005, plus=0.044),
        ),
        Pick("wrist", "Wrist servo", "servos", None, "turns the whole gripper up and down", more=True),
        Field(
            "gripper_mass",
            "Mass of the gripper",
            "g",
            0.0,
            3000.0,
            250.0,
            "without pieces",
            CHOICE,
            more=True,
            also=("own_mass",),
        ),
        Field(
            "reach",
            "Wrist to centre of gravity",
            "mm",
            1.0,
            500.0,
            90.0,
            "of gripper and pieces together",
            CHOICE,
            more=True,
            also=("length", "distance", "arm"),
        ),
        Field("front", "Wrist to the front", "mm", 20.0, 500.0, 180.0, "furthest point, jaws open", CHOICE, more=True),
        Field(
            "height",
            "Height of the gripper",
            "mm",
            5.0,
            300.0,
            100.0,
            "half above the wrist's axis, half below",
            CHOICE,
            more=True,
        ),
    )
    FINDINGS = (
        Finding(
            "holds",
            "squeeze over the squeeze needed",
            "x",
            "with the safety factor in it; below 1 the piece may slip",
            "at least",
            1.0,
            also=(
                "hold",
                "holding",
                "grip",
                "grips",
                "slip",
                "slips",
                "servo",
                "enough",
                "strong",
                "drop",
                "drops",
                "falls",
                "fall",
            ),
        ),
        Finding(
            "squeeze_set",
            "squeeze on the piece",
            "N",
            "of each jaw: the two do not add up",
            "at most",
            "squeeze_allowed",
            also=("crush",),
        ),
        Finding(
            "share",
            "share of the servo's stall torque",
            "%",
            "asked all the time while it holds",
            "at most",
            "servo.holding_share",
            also=("servo", "torque", "strong", "stall"),
        ),
        Finding(
            "time",
            "time to close, at best",
            "s",
            "from open to the piece, without load",
            "at most",
            "time_wanted",
            also=("speed", "fast", "quick", "close", "closes"),
        ),
        Finding(
            "opens",
            "opens further than the piece by",
            "mm",
            "at most, with the levers a quarter turn out",
            "at least",
            "room",
            also=("open", "opening"),
        ),
        Finding(
            "turn",
            "share of the servo's travel",
            "%",
            "that the jaws use; unlimited: the servo turns without end, so it can't stop at an angle",
            "at most",
            100.0,
            also=("travel",),
        ),
        Finding(
            "rail",
            "current of the servo rail",
            "A",
            "all jaws holding, and the other servos",
            "at most",
            "servo_rail.current_limit",
            also=("current", "amps", "draw", "draws"),
        ),
        Finding(
            "pair",
            "current of one output of the rail",
            "A",
            "two servos share an output; all jaws holding",
            "at most",
            "servo_rail.pair_limit",
        ),
        Finding(
            "wrist_share",
            "share of the wrist servo's stall torque",
            "%",
            "gripper and pieces level, while it speeds up",
            "at most",
            "wrist.holding_share",
            also=("wrist", "servo", "servos"),
        ),
        Finding(
            "fold_front",
            "reach ahead while it folds",
            "mm",
            "while the wrist turns it from level to straight up: its lower corner swings out",
            "at most",
            "clear_ahead",
        ),
        Finding(
            "between",
            "room between two open grippers",
            "mm",
            "side by side, both open as far as asked. Each jaw, pad and levers, is counted as 15 mm thick; below 0 two"
            " of them meet. Unlimited with one piece alone",
            "at least",
            0.0,
            scale=20.0,
        ),
        Finding(
            "needed",
            "squeeze needed",
            "N",
            "friction, weight, acceleration, twist and safety factor",
            worse="more",
            also=("force", "grip", "squeeze", "slip", "slips", "hard", "required"),
        ),
        Finding(
            "tilt",
            "tilt of the pads",
            "deg",
            "pivot jaws: beyond the angle of friction they push a round piece out",
            worse="more",
        ),
        Finding(
            "wrist_torque",
            "torque on the wrist servo",
            "N·m",
            "gripper and pieces level, their centre of gravity as far out as the reach, while it speeds up",
            worse="more",
        ),
        Finding(
            "stall_squeeze",
            "squeeze at the servo's stall",
            "N",
            "the most it can do, not for long",
            worse="less",
            also=("force", "stall"),
        ),
        Finding(
            "rail_stuck",
            "rail current with every jaw stuck",
            "A",
            "as when the jaws close on something hard: the rail's limit starves all servos",
            worse="more",
        ),
        Finding(
            "roll",
            "twist of the wrist after one let go",
            "N·m",
            "of two side by side: about the wrist's long axis",
            worse="more",
        ),
    )
    RECORDS = ("servo_rail",)
    TABLES = {"pads": pads, "jaw_kinds": jaw_kinds, "jaw_drives": jaw_drives}
    SPREADS = {"piece_mass": "mass", "gripper_mass": "mass", "pad.friction": "friction"}
    RANK = ("time", "rail")
    # Jaws close around a piece as soon as they open further than it, and hold it with the squeeze that friction needs;
    # room to line up and the safety factor make it sure. A servo asked for more than it holds for long gives way in
    # time, asked for its stall torque at once.
    NEEDS = (
        Need(TAKES, "opens", 0.0),
        Need(TAKES, "turn", 200.0),
        Need(HOLDS, "holds", lambda x: 1 / x.safety),
        Need(HOLDS, "share", 100.0),
        Need(HOLDS, "wrist_share", 100.0),
    )
    TRIES = {"ratio": ("1.5", "2", "3", "4", "6"), "reach": ("60 mm", "40 mm")}
    LESS = ("piece_mass", "squeeze", "gripper_mass", "upward", "level")
    FROM_GAME = {"piece_mass": "piece.mass", "piece_width": "piece.width"}
    FALLS = ("lets go", "Keep hands and feet from under the piece.")
    USES = (
        gripper.carried_force,
        gripper.squeeze_needed,
        gripper.twist_factor,
        gripper.tilted_friction,
        gripper.squeeze_given,
        servo.load_share,
        servo.turn_time,
        servo.rail_current,
        gripper.unbalance,
        wrist.wrist_torque,
        wrist.fold_sweep,
    )

    @classmethod
    def by_servo(cls, values, tables):
        """Servos alone move jaws and wrist."""
        return True

    @classmethod
    def motors_and_servos(cls, values, tables):
        """The servos of all jaws, and one for the wrist."""
        jaws = int(tables("jaw_drives").row(values["drive"])["servos"])
        return 0, int(values.get("count", "1")) * jaws + 1

    @classmethod
    def picked_mass(cls, values, tables):
        """The servos of all jaws, and one for the wrist."""
        jaws = cls.motors_and_servos(values, tables)[1] - 1
        found = super().picked_mass(values, tables)
        return {**found, "servo": jaws * found["servo"]}

    @classmethod
    def lumps(cls, values, tables, share, moving=()):
        """The whole gripper, its servos included, from the wrist ahead; as wide as its open jaws."""
        open_jaws = values["piece_width"] + values["room"] + (int(values["count"]) - 1) * values["spacing"]
        box = (values["front"], open_jaws, values["height"])
        return (Lump("hand", values["gripper_mass"], (values["front"] / 2, 0.0, 0.0), box, ("gripper_mass",)),)

    @classmethod
    def agreed(cls, values, given, tables):
        """Who gives the piece's mass and no squeeze squeezes it as the usual piece is, no harder than it bears."""
        if "piece_mass" not in given or "squeeze" in given:
            return values
        friction = tables("pads").row(values["pad"])["friction"]
        squeeze = min(_holding(lambda _: values["piece_mass"], friction)(None), values["squeeze_allowed"])
        field = cls.field("squeeze")
        return values | {"squeeze": min(max(squeeze, field.to_si(field.low)), field.to_si(field.high))}

    @classmethod
    def power_off(cls, report, system="metric"):
        """A servo without power is no brake: what its gears rub holds no piece for sure."""
        needed = cls._on_a_bad_day(report, "needed", system)[1]
        return False, f"a servo without power holds nothing that one can count on, and {needed} is needed on a bad day"

    @classmethod
    def rail_current(cls, found, number):
        """It squeezes all the time while it holds; a servo that starts, or meets the piece, draws what a stuck one
        does.
        """
        return found["rail"], found["rail_stuck"]

    @staticmethod
    def solve(x):
        """Squeeze needed against squeeze set; what that asks of servo, rail and wrist."""
        jaws, gap = _jaws(x), x.piece_width
        tilt = gripper.pad_tilt(jaws, gap)
        # Pads turned by more than a quarter hold no better than pads turned by a quarter: not at all.
        turned = np.clip(tilt, -gripper.QUARTER_TURN, gripper.QUARTER_TURN)
        needed = _needed(x, gripper.tilted_friction(x.pad.friction, turned))
        efficiency = x.drive.efficiency * np.where(x.ratio == 1, 1.0, x.drive.mesh)
        at_stall = gripper.squeeze_given(
            jaws, gripper.geared_torque(x.servo.stall_torque, x.ratio, efficiency, x.drive.driven), gap
        )
        share = x.squeeze / at_stall
        servos = x.count.number * x.drive.servos
        widest, turn = _opening(x)
        # The gripper level, as the wrist itself is raised faster.
        level = x.gripper_mass + x.count.number * x.piece_mass
        wrist_torque = wrist.wrist_torque(level, x.reach, 0.0, x.upward)
        return {
            "holds": x.squeeze / needed,
            "squeeze_set": x.squeeze,
            "share": share,
            "time": servo.turn_time(x.servo.free_speed, 0.0, turn),
            "opens": widest,
            "turn": np.where(np.isinf(x.servo.travel), np.inf, turn / x.servo.travel),
            "rail": _rail(x, share, servos),
            "pair": np.minimum(servos, 2) * servo.servo_current(x.servo.stall_current, share),
            "wrist_share": servo.load_share(x.wrist.stall_torque, wrist_torque),
            "fold_front": wrist.fold_sweep(x.front, x.height / 2, x.height / 2, 0.0, np.pi / 2)[0],
            "between": np.where(x.count.number >= 2, x.spacing - x.piece_width - x.room - 2 * JAW_WIDE, np.inf),
            "needed": needed,
            "tilt": tilt,
            "wrist_torque": wrist_torque,
            "stall_squeeze": at_stall,
            "rail_stuck": _rail(x, 1.0, servos),
            "roll": np.where(
                x.count.number >= 2, gripper.unbalance(x.spacing, x.piece_mass, 0.0, x.squeeze, 0.0, x.upward)[1], 0.0
            ),
        }


def _jaws(x):
    """Jaws whose levers stand at the chosen angle when they hold the piece."""
    straight = x.piece_width - 2 * x.lever * np.sin(x.grip_angle)
    return gripper.Jaws(x.lever, straight, x.jaws.pivots == 1, straight + 2 * x.lever * np.sin(x.square_angle))


def _needed(x, friction):
    """Squeeze that holds the piece, pads as they stand."""
    twist = gripper.twist_factor(x.offset, gripper.line_lever(x.pad_length))
    return gripper.squeeze_needed(gripper.carried_force(x.piece_mass, x.upward, x.level), friction, x.safety, twist)


def _opening(x):
    """How much further than the piece the jaws open at most, and the servo's turn to open as far as asked (or at
    most).
    """
    widest = 2 * x.lever * (1 - np.sin(x.grip_angle))
    open_angle = np.arcsin(np.minimum(np.sin(x.grip_angle) + x.room / (2 * x.lever), 1.0))
    return widest, x.ratio * (open_angle - x.grip_angle)


def _rail(x, share, servos):
    """Current of the jaw servos at a share of stall, and of the others."""
    each = np.stack(np.broadcast_arrays(servo.servo_current(x.servo.stall_current, share), x.other_current), axis=-1)
    return servo.rail_current(each, np.stack(np.broadcast_arrays(servos, np.ones_like(servos)), axis=-1))
