"""The picture of a gripper: jaws, servo and pieces from above, the forces on a piece, and squeeze over acceleration.

Contents: GripperPicture.
"""

import numpy as np

from mechbench.drawing.labelled import Label
from mechbench.drawing.motion import Motion
from mechbench.drawing.picture import Picture, fitted, stepped
from mechbench.drawing.shapes import Arrow, Dimension, Part, block, circle
from mechbench.engine.spec import CHOICE, Field
from mechbench.mechanisms.gripper.sizing import JAW_WIDE
from mechbench.mechanisms.moved import still
from mechbench.physics import gripper

MOST = 4  # grippers side by side for which the picture has parts
SERVO = (0.040, 0.020)  # m, a usual servo from above
RIM = 0.001  # m, of the base around a servo
LARGEST_GEAR = 0.040  # m, pitch radius up to which the gears of the jaws are drawn
AHEAD, BESIDE = 0.22, 0.12  # room for words, as a share of the view's height
BELOW = 0.044  # m, of the view, below the pivots
AFTER = 0.5  # s that closed jaws are shown
FASTEST = 20.0  # m/s2, to which the curve of needed squeeze goes
FULL, DEEPEST, HALF = 1.0, 0.66, (0.5, 0.28)  # inch: arrow of the largest force; longest down; half the piece
OUTWARDS = 4.2  # thicknesses of a lever, from a pad's face to the end of its carrier
DROP, AWAY = 0.10, 0.12  # inch: how much lower a piece is drawn that slips; how far away the pads of open jaws


class GripperPicture(Picture):
    """Left, from above and to scale: the gripper; below it, from the front: forces on one piece. Right: squeeze
    asked and given.
    """

    VIEW, MACHINE = "from above", "top"
    SHOWS = "A gripper from above, to scale. Its jaws are closed and hold a piece."
    BESIDES = ("forces",)
    EXTRA = (Field("closed", "Jaws closed", "%", 0.0, 100.0, 100.0, "of several grippers, those at the left", CHOICE),)

    def build(self):
        """The gripper's parts, the forces and the plot."""
        self.top = self._sketch((0.01, 0.435, 0.49, 0.515))
        self.figure.text(0.01, 0.985, "from above, to scale", va="top")
        self._build_grippers()
        self.front = self._sketch((0.01, 0.01, 0.49, 0.345))
        self.figure.text(0.01, 0.425, "one piece, from the front", va="top")
        width, height = (self.SIZE[i] * self.front.get_position().size[i] for i in (0, 1))
        self.front.set(xlim=(-width / 2, width / 2), ylim=(-0.5 * height, 0.5 * height))
        self._build_forces(width, height)
        self.plot = self.figure.add_axes((0.57, 0.135, 0.41, 0.61))
        self._build_plot()

    def _sketch(self, place):
        axes = self.figure.add_axes(place)
        axes.set_axis_off()
        return axes

    def _build_grippers(self):
        look, top, nothing = self.look, self.top, np.zeros((4, 2))
        self.sets = []
        for _ in range(MOST):
            self.sets.append(
                {
                    "base": Part(self, top, nothing, face=look.grid, zorder=1.5),
                    "servos": [Part(self, top, block(*SERVO), face=look.colour("give"), zorder=1.6) for _ in range(2)],
                    "gears": [
                        Part(self, top, nothing, face="none", edge=look.quiet, width=1.2, line=(0, (3, 2)), zorder=2.6)
                        for _ in range(2)
                    ],
                    "levers": [Part(self, top, nothing, width=1.0, zorder=2.2) for _ in range(4)],
                    "carriers": [Part(self, top, nothing, width=1.0, zorder=2.3) for _ in range(2)],
                    "pads": [
                        Part(self, top, nothing, face=look.colour("power"), width=1.0, zorder=2.5) for _ in range(2)
                    ],
                    "piece": Part(self, top, nothing, face=look.colour("ask"), zorder=2.4),
                    "pushes": [Arrow(self, top, "give") for _ in range(2)],
                }
            )
        self.gap = Dimension(self, top)

    def _build_forces(self, width, height):
        look, front = self.look, self.front
        self.scale = np.inf
        self.body = Part(self, front, block(2 * HALF[0], 2 * HALF[1]), face=look.body)
        self.pads = [Part(self, front, block(0.08, HALF[1]), face=look.colour("power")) for _ in range(2)]
        self.squeezes = [Arrow(self, front, "give") for _ in range(2)]
        self.rubs = [Arrow(self, front, "power") for _ in range(2)]
        self.carried = Arrow(self, front, "ask")
        words = {"va": "center", "linespacing": 1.3}
        self.squeeze_told = self.move(front.text(-0.49 * width, 0.30 * height, "", ha="left", **words))
        self.rub_told = self.move(front.text(0.49 * width, 0.30 * height, "", ha="right", **words))
        self.carried_told = self.move(front.text(0.49 * width, -0.36 * height, "", ha="right", **words))
        self.verdict = self.move(front.text(-0.49 * width, -0.36 * height, "", ha="left", **words))

    def _build_plot(self):
        look, axes = self.look, self.plot
        axes.set_title(f"Squeeze of each jaw [{self.unit('N')}]", pad=52)
        axes.set_xlabel(f"acceleration upwards [{self.unit('m/s2')}]", labelpad=1)
        axes.set_xlim(0, self.shown(FASTEST, "m/s2"))
        self.long = self.move(axes.plot([], [], **look.line("limit", 1.8), label="the servo can hold for long")[0])
        self.set = self.move(axes.plot([], [], **look.line("give", 2.4), label="the jaws are set to")[0])
        self.needed = self.move(axes.plot([], [], **look.line("ask"), label="needed, with its safety factor")[0])
        self.here = self.move(axes.plot([], [], clip_on=False, **look.mark("ask", 9))[0])
        axes.legend(
            loc="lower left",
            bbox_to_anchor=(0, 1),
            borderaxespad=0.05,
            frameon=False,
            handlelength=2.2,
            labelspacing=0.1,
        )

    def update(self, report, now, extra):
        """Place all jaws, the forces on a piece, and the curve."""
        shut = extra["closed"] >= 1.0
        self._update_grippers(report, now, extra["closed"])
        self._update_plot(report, now)
        self._update_forces(report, now, shut)

    def motion(self, report, now):
        """The jaws close at the servo's speed; then the piece is held, or not."""
        closes = report.good["time"]
        if not np.isfinite(closes):
            return still({"closed": 0.0}, "The jaws do not open that far.")
        times = np.array([0.0, closes, closes + AFTER])
        told = _verdict(report, now, report.good["holds"] * now.safety, True).replace("\n", " ")
        words = f"The jaws close in {self.said(closes, 's')}. {told[0].upper()}{told[1:]}."
        return Motion(times, {"closed": np.array([0.0, 1.0, 1.0])}, words)

    # --- from above ---------------------------------------------------------------------------------------------------

    def _update_grippers(self, report, now, closed):
        widest = np.arcsin(min(np.sin(now.grip_angle) + now.room / (2 * now.lever), 1.0))
        angles = widest + (now.grip_angle - widest) * closed, now.grip_angle
        count = min(int(now.count.number), MOST)
        left = -(count - 1) * now.spacing / 2
        self._frame(now, widest, count, report.good["tilt"])
        for number, parts in enumerate(self.sets):
            shown = number < count
            for part in _all(parts):
                part.show(shown)
            if shown:
                moves = number < max(count // 2, 1)
                middle = left + number * now.spacing
                self._place_gripper(parts, now, angles[0 if moves else 1], middle, report.good["tilt"])
            self._place_pushes(
                parts, now, left + number * now.spacing, shown and (closed >= 1.0 or number >= max(count // 2, 1))
            )
        half = self._half_gap(now, angles[0])
        ahead = max(self._front_of_piece(now, report.good["tilt"]), now.lever) + 0.08 * self.size
        self.gap.place((left + half, ahead), (left - half, ahead), self.said(2 * half, "mm"))

    def _middle_of_piece(self, now, tilt):
        """How far ahead of the pivots the jaws hold it; pads that open to the front hold it further ahead."""
        return now.lever * np.cos(now.grip_angle) + now.piece_width / 2 * np.tan(tilt / 2)

    def _front_of_piece(self, now, tilt):
        return self._middle_of_piece(now, tilt) + now.piece_width / 2

    def _half_gap(self, now, angle):
        return now.piece_width / 2 + now.lever * (np.sin(angle) - np.sin(now.grip_angle))

    def _frame(self, now, widest, count, tilt):
        """Room for all jaws open, in steps, so that the scale does not jump at every change."""
        top, box = self.top, self.top.get_position().size * self.SIZE
        half = max(
            self._half_gap(now, angle) - min(now.lever * np.sin(angle), 0.0) for angle in (widest, now.grip_angle)
        )
        wide = (count - 1) * now.spacing + 2 * half
        # a wide piece between short levers reaches behind the pivots, and so do the pads of jaws that are wide open
        behind = max(
            now.piece_width / 2 - self._middle_of_piece(now, tilt), 0.26 * now.piece_width - now.lever * np.cos(widest)
        )
        below = max(BELOW, np.ceil(behind * 50) / 50)
        tall = self._front_of_piece(now, tilt) + below
        needed = max(tall / (1 - AHEAD), wide / (box[0] / box[1] - 3 * BESIDE))
        size = fitted(needed, np.ptp(top.get_ylim()) if getattr(top, "stepped_y", False) else None)
        top.stepped_y = True
        if top.get_ylim() != (-below, size - below):
            top.set(xlim=np.array([-1, 1]) * size * box[0] / box[1] / 2, ylim=(-below, size - below))
            self.stale = True
        # Side by side they are as wide as the sizing has them: else they would lie on one another where it says room.
        self.size, self.thick = size, 0.028 * size if count == 1 else JAW_WIDE / OUTWARDS

    def _place_gripper(self, parts, now, angle, middle, tilt):
        """One gripper: `angle` of its levers now; the piece stands where the closed jaws hold it."""
        half, thick = self._half_gap(now, angle), self.thick
        pivot, ahead = half - now.lever * np.sin(angle), now.lever * np.cos(angle)
        pivots = now.jaws.pivots == 1
        turned = angle - now.square_angle if pivots else 0.0
        for side, number in ((-1, 0), (1, 1)):
            at = lambda x, y, side=side: (middle + side * x, y)
            bars = (0, 2) if not pivots else (0,)
            for bar in (0, 2):
                lever = parts["levers"][number + bar]
                lever.show(bar in bars)
                lever.reshape(block(thick, now.lever + thick, (0, now.lever / 2)))
                lever.place(-side * angle, at(pivot + (1.3 + bar) * thick, 0.0))
            carrier = parts["carriers"][number]
            carrier.show(not pivots)
            carrier.reshape(block(3.8 * thick, thick))
            carrier.place(0.0, at(half + 2.3 * thick, ahead))
            pad = parts["pads"][number]
            pad.reshape(block(0.8 * thick, max(0.5 * now.piece_width, 2 * thick), (side * 0.4 * thick, 0)))
            pad.place(-side * turned, at(half, ahead))
            self._place_drive(parts, now, number, at, pivot)
        parts["piece"].reshape(circle(now.piece_width / 2))
        parts["piece"].place(0.0, (middle, self._middle_of_piece(now, tilt)))
        axis = pivot + 1.3 * thick
        upright = _upright(axis)
        reach = max(abs(pivot) + 4 * thick, SERVO[0] / 2, axis + SERVO[1 if upright else 0] / 2 + RIM)
        parts["base"].reshape(block(2 * reach, SERVO[0] + 2 * RIM if upright else 0.7 * SERVO[0]))
        parts["base"].place(0.0, (middle, _servo_behind(axis)))

    def _place_drive(self, parts, now, number, at, pivot):
        """The servo under the pivot, one for each jaw, or one and a pair of gears."""
        shared = now.drive.driven == 2
        axis = pivot + 1.3 * self.thick
        servo, gear = parts["servos"][number], parts["gears"][number]
        servo.show(not shared or number == 1)
        servo.place(np.pi / 2 if _upright(axis) else 0.0, at(axis, _servo_behind(axis)))
        gear.show(shared and 2 * self.thick < axis < LARGEST_GEAR)
        gear.reshape(circle(abs(axis)))
        gear.place(0.0, at(axis, 0.0))

    def _place_pushes(self, parts, now, middle, shown):
        """Squeeze, seen from above, beside each pad."""
        length, ahead = 0.13 * self.size, now.lever * np.cos(now.grip_angle)
        for side, push in zip((-1, 1), parts["pushes"]):
            start = middle + side * (now.piece_width / 2 + 0.8 * self.thick + length)
            push.place((start, ahead), (-side * length if shown else 0.0, 0.0))

    def described(self, now):
        """What the drawing shows, with its kind of jaws."""
        kind = (
            "pivot jaws: each pad sits on one lever"
            if now.jaws.pivots == 1
            else "parallel jaws, with two equal levers each"
        )
        return f"{self.SHOWS} These are {kind}."

    def labels(self, report, now, marks):
        """The parts of the first gripper, at its right jaw."""
        parts, pivots, two = self.sets[0], now.jaws.pivots == 1, now.drive.driven != 2
        lever = parts["levers"][1]
        along = np.array([-np.sin(lever.angle), np.cos(lever.angle)])
        reach = marks.length("lever", lever.centre, lever.centre + now.lever * along)
        carrier = Label("carrier", parts["carriers"][1], "joins the two levers; the pad sits on it and stays straight")
        return [
            Label("jaw", lever, "turns about its pivot and closes on the piece"),
            Label("second lever", parts["levers"][3], "as long as the first: so the pad stays parallel"),
            None if pivots else carrier,
            Label("pivot", marks.point("pivot", lever.centre), "the point about which the jaw turns"),
            Label("lever", reach, "the distance from the pivot to the pad", self.said(now.lever, "mm")),
            Label("pad", parts["pads"][0], "touches the piece and must not slide on it"),
            Label("piece", parts["piece"], "what is held"),
            Label("between the pads", self.gap, "as wide as the piece", self.said(now.piece_width, "mm")),
            Label("squeeze", parts["pushes"][0], "the push of one jaw on the piece", self.said(now.squeeze, "N")),
            Label("servo", parts["servos"][1], f"closes {'this jaw' if two else 'both jaws'} and holds"),
            Label("gears", parts["gears"][0], "a pair of them turns the other jaw the other way"),
            Label("base", parts["base"], "carries jaws and servo; the lift moves it"),
        ]

    # --- forces on one piece ------------------------------------------------------------------------------------------

    def _update_forces(self, report, now, shut):
        carried = gripper.carried_force(now.piece_mass, now.upward, now.level)
        spare = report.good["holds"] * now.safety if shut else 0.0  # from 1 the piece does not slip
        held = carried / 2 * min(spare, 1.0)
        squeeze = now.squeeze if shut else 0.0
        scale = self._scale(now)
        drop = 0.0 if spare >= 1.0 else DROP
        self.body.place(0.0, (0.0, -drop))
        for side, pad, push, hold in zip((-1, 1), self.pads, self.squeezes, self.rubs):
            pad.place(0.0, (side * (HALF[0] + 0.04 + (0.0 if shut else AWAY)), 0.0))
            push.place((side * (HALF[0] + 0.08 + scale * squeeze), 0.0), (-side * scale * squeeze, 0.0))
            hold.place((side * (HALF[0] - 0.08), -0.16 - drop), (0.0, scale * held))
        self.carried.place((0.0, 0.2 - drop), (0.0, -scale * carried))
        self.squeeze_told.set_text(f"squeeze\n{self.said(squeeze, 'N')} each")
        self.rub_told.set_text(f"friction\n{self.said(held, 'N')} each")
        self.carried_told.set_text(f"to carry\n{self.said(carried, 'N')}")
        self.verdict.set_text(_verdict(report, now, spare, shut))

    def _scale(self, now):
        """Inch for each newton: a larger force has a longer arrow, so it stays until an arrow would find no room."""
        most = gripper.carried_force(now.piece_mass, FASTEST, now.level)
        self.scale = float(min(self.scale, FULL / self.most, DEEPEST / most))
        return self.scale

    # --- squeeze over acceleration ------------------------------------------------------------------------------------

    def _update_plot(self, report, now):
        carried = gripper.carried_force(now.piece_mass, np.linspace(0, FASTEST, 41), now.level)
        here = gripper.carried_force(now.piece_mass, now.upward, now.level)
        needed = report.good["needed"]
        can = np.isfinite(needed)
        curve = needed * carried / here if can else np.full(carried.shape, np.nan)
        long = report.good["stall_squeeze"] * now.servo.holding_share
        self.reach(self.plot, "y", self.shown(np.nanmax([np.max(curve), now.squeeze, long]), "N"))
        self.most = stepped(float(np.nanmax([np.max(curve), now.squeeze])))  # N, of the arrows
        across = self.shown(np.linspace(0, FASTEST, 41), "m/s2")
        self.needed.set_data(across, self.shown(curve, "N"))
        for line, level in ((self.set, now.squeeze), (self.long, long)):
            line.set_data(across[[0, -1]], [self.shown(level, "N")] * 2)
        self.here.set_data([self.shown(now.upward, "m/s2")], [self.shown(needed, "N") if can else np.nan])


def _upright(axis):
    """Whether the servo stands along the piece's way: so near to the middle there is no room across."""
    return axis < SERVO[0] / 2


def _servo_behind(axis):
    """Where the servo's middle is, behind the pivots; it stays inside the base."""
    return -SERVO[0] / 2 - RIM if _upright(axis) else -0.4 * SERVO[0]


def _all(parts):
    """All outlines of one gripper."""
    return (
        parts["base"],
        *parts["servos"],
        *parts["gears"],
        *parts["levers"],
        *parts["carriers"],
        *parts["pads"],
        parts["piece"],
    )


def _verdict(report, now, spare, shut):
    """What becomes of the piece, in two short lines."""
    if now.count.number > 1 and now.spacing < now.piece_width:
        return "too near: the\npieces overlap"
    if not shut:
        return "the open\njaws meet" if report.good["between"] < 0 else "the jaws\nare open"
    if not np.isfinite(report.good["needed"]):
        return "pushed out:\nthe pads tilt"
    if spare < 1.0:
        return "it slips"
    if report.good["share"] > 1.0:
        return "too hard for\nthe servo"
    if report.good["holds"] < 1.0:
        return "it just holds:\nlittle to spare"
    return "it holds" if report.good["share"] <= now.servo.holding_share else "it holds, but\nnot for long"
