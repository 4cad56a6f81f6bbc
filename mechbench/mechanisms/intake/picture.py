"""The picture of an intake: a piece on its way, to scale, the friction that it takes, and three speeds.

Contents: IntakePicture.
"""

import numpy as np

from mechbench.drawing.labelled import Label
from mechbench.drawing.motion import Motion
from mechbench.drawing.picture import Picture, fitted
from mechbench.drawing.shapes import Arrow, Part, belt, circle, placed
from mechbench.engine.spec import CHOICE, Field
from mechbench.mechanisms.intake.sizing import FASTER
from mechbench.mechanisms.moved import STANDS, over_time
from mechbench.physics import intake, transfer

SQUEEZES = np.linspace(0.0, 0.012, 49)  # m, of the curves: as far as the sizing's slider goes
SPOKES, CUT = 5, 4.0  # spokes of a roller; friction above which a curve is not drawn
DRUM = 0.012  # m, radius of the drums of the next stage
BEHIND, AHEAD = 0.4, 0.8  # of the piece's diameter: floor in front of the ramp, length of the next stage
FURTHER = 0.4  # of the piece's diameter: so far it is shown on the next stage
SHORTEST = 0.05  # m, of the next stage as it is drawn
CUT_OUT = 0.002  # m, between a second roller and the edges of the plate
OFF = 11.0  # points, from an arrow to its word
WORDS = 1.3  # of the length of a push, with its word
ARC = np.linspace(0.0, 1.0, 16)


class IntakePicture(Picture):
    """Left: the piece at one place of its way, from the side, with the forces on it. Right: friction needed, and
    speeds.
    """

    SIZE = (7.0, 4.2)
    VIEW = "from the side"
    SHOWS = (
        "An intake from the side, to scale. A piece comes in from the left, as the robot drives onto it. Here it"
        " touches the roller for the first time."
    )
    LABELLED_HIGH = 4.6
    BESIDES = ("friction_angle",)
    EXTRA = (
        Field(
            "place",
            "Piece along its way",
            "%",
            0.0,
            100.0,
            0.0,
            "from first touch on; it stops where it gets stuck",
            CHOICE,
        ),
    )

    def build(self):
        """The parts of the intake, the plot of friction and the bars of speed."""
        self.side = self.figure.add_axes((0.01, 0.02, 0.50, 0.80))
        self.side.set_axis_off()
        self.told = self.move(self.figure.text(0.02, 0.975, "", va="top", linespacing=1.3))
        self._build_intake()
        self.friction = self.figure.add_axes((0.60, 0.47, 0.38, 0.30))
        self._build_friction()
        self.speeds = self.figure.add_axes((0.70, 0.12, 0.27, 0.16))
        self._build_speeds()

    def _build_intake(self):
        look, side = self.look, self.side
        self.floor = self.move(side.plot([], [], color=look.quiet, linewidth=1.2)[0])
        self.wall = self.move(side.plot([], [], color=look.ink, linewidth=3, solid_capstyle="butt")[0])
        self.stage = Part(self, side, np.zeros((3, 2)), zorder=2.2)
        self.drums = [Part(self, side, circle(DRUM), face=look.paper, zorder=2.3) for _ in range(2)]
        self.rollers = [Part(self, side, circle(0.03), zorder=2.5) for _ in range(2)]
        self.spokes = self.move(side.plot([], [], color=look.quiet, linewidth=1.0, zorder=2.6)[0])
        self.piece = Part(self, side, circle(0.04), face=look.grid, zorder=3)
        self.across = self.move(side.plot([], [], color=look.ink, linewidth=0.9, linestyle=(0, (4, 3)), zorder=4)[0])
        self.arc = self.move(side.plot([], [], color=look.ink, linewidth=1.4, zorder=4)[0])
        self.angle_word = self.move(side.text(0, 0, "nip angle", ha="center", va="center", color=look.ink, zorder=4.1))
        self.pushes = [Arrow(self, side, "ask") for _ in range(2)]
        self.grips = [Arrow(self, side, "give") for _ in range(2)]

    def _build_friction(self):
        look, axes = self.look, self.friction
        axes.set_title("Friction needed at the roller", pad=41)
        axes.set_xlabel(f"squeeze [{self.unit('mm')}]", labelpad=1)
        axes.set_xlim(0, self.shown(SQUEEZES[-1], "mm"))
        self.slides = self.move(axes.plot([], [], **look.line("ask"), label="wall, slides")[0])
        self.rolls = self.move(axes.plot([], [], **look.line("power", 1.8), label="wall, rolls")[0])
        self.driven = self.move(axes.plot([], [], **look.line("share"), label="two driven")[0])
        self.has = self.move(axes.plot([], [], **look.line("give"), label="available")[0])
        self.here = self.move(axes.plot([], [], clip_on=False, **look.mark("ask", 9))[0])
        axes.legend(
            loc="lower left",
            bbox_to_anchor=(-0.04, 1),
            borderaxespad=0.05,
            frameon=False,
            ncols=2,
            handlelength=2.2,
            labelspacing=0.15,
            columnspacing=1.0,
        )

    def _build_speeds(self):
        look, axes = self.look, self.speeds
        axes.set_title(f"Speed [{self.unit('m/s')}] (line: asked)", pad=6)
        axes.set_yticks([2, 1, 0], ["robot drives", "gripped piece", "next stage"])
        axes.set_ylim(-0.5, 2.5)
        axes.grid(False, axis="y")
        axes.tick_params(axis="y", length=0)
        like = {"height": 0.62, "edgecolor": look.ink}
        roles = {2: "ask", 1: "give", 0: "power"}
        self.bars = [
            self.move(axes.barh([at], [0.0], color=look.colour(role), **like)[0]) for at, role in roles.items()
        ]
        self.asked = self.move(axes.plot([], [], **look.line("limit", 1.8))[0])

    def update(self, report, now, extra):
        """Place the piece, draw the curves and the bars."""
        good = report.good
        driven = now.other.driven == 1
        start = (now.roller.diameter / 2 + now.piece_diameter / 2) * np.sin(good["nip_angle"])
        end, words = _gets_to(now, good, start)
        x = -start + extra["place"] * (end + start)
        turned = extra.get("turned", (x + start) * _surface_over_piece(now))
        self._frame(now, start, driven)
        self._update_stages(now)
        self._update_rollers(now, driven, turned)
        self._update_piece(now, x, driven)
        nip, squeeze = self.said(good["nip_angle"], "deg"), self.said(now.squeeze, "mm")
        self.told.set_text(f"nip angle {nip}, squeeze {squeeze}\n{words}")
        self._update_friction(now, good)
        self._update_speeds(now, good)

    def motion(self, report, now):
        """The piece's way at the speeds that the sizing finds: with the roller, by itself, with the next stage."""
        good = report.good
        start = (now.roller.diameter / 2 + now.piece_diameter / 2) * np.sin(good["nip_angle"])
        end, words = _gets_to(now, good, start)
        times, places = _way_of_the_piece(now, good, start, end)
        told = f"{words[0].upper()}{words[1:]}."
        if end > -start and good["climbs"] >= 1:
            told += f" It takes {self.said(times[-1], 's')}."
        share = (places + start) / (end + start) if end > -start else np.zeros(times.shape)
        return Motion(times, {"place": share, "turned": good["surface"] * times}, told)

    # --- the intake, seen from the side -----------------------------------------------------------------------------

    def _frame(self, now, start, driven):
        """Where things stand: along the ramp and away from it, turned by its slope; the view holds all of the way."""
        self.slope, radius, piece = now.slope, now.roller.diameter / 2, now.piece_diameter
        self.foot = -start - BEHIND * piece / 2
        self.end = now.next_start + max(AHEAD * piece, SHORTEST)
        self.long, low = max(2 * radius, 0.55 * piece), -2 * radius if driven else 0.0
        away = WORDS * self.long  # how far the arrows of the pushes and their words go
        high = piece + 2 * radius
        ends = [(self.foot, 0), (self.end, piece), (self.end, -2 * DRUM), (-start - piece / 2, piece)]
        ends += [(x, y) for x in (-radius, radius) for y in (low, high)]
        ends += [(x, y) for x in (-start, 0) for y in (-away, piece + away)]
        ways = self.at([(-start, piece / 2), (_taken_over(now, start) + FURTHER * piece, piece / 2)])
        pieces = [way + piece / 2 * side for way in ways for side in (-1, 1)]
        corners = np.vstack([self.at(ends), self.at([(self.foot, 0)]) - (BEHIND * piece, 0), pieces])
        self._view(corners.min(axis=0), corners.max(axis=0))

    def _view(self, least, most):
        """Let the view hold a box; it stays where it is while it still serves well."""
        side, box = self.side, self.side.get_position()
        shape = box.width * self.SIZE[0] / (box.height * self.SIZE[1])
        needed = float(max((most[0] - least[0]) / shape, most[1] - least[1]))
        limits = np.array([side.get_xlim(), side.get_ylim()])
        now = limits[1, 1] - limits[1, 0]
        self.size = fitted(needed, now if getattr(side, "stepped_y", False) else None)
        half = np.array([shape, 1.0]) * self.size / 2
        holds = np.all(limits[:, 0] <= least) and np.all(most <= limits[:, 1])
        if not (holds and np.allclose(limits[:, 1] - limits[:, 0], 2 * half) and getattr(side, "stepped_y", False)):
            middle = (least + most) / 2
            side.set_xlim(middle[0] - half[0], middle[0] + half[0])
            side.set_ylim(middle[1] - half[1], middle[1] + half[1])
            side.stepped_y = self.stale = True

    def at(self, points):
        """Places along the ramp and away from it as points of the picture."""
        return placed(np.asarray(points, float), self.slope)

    def _update_stages(self, now):
        foot = self.at([(self.foot, 0)])[0]
        self.floor.set_data([foot[0] - 4 * self.size, foot[0]], [foot[1]] * 2)
        self._update_wall(now)
        centres = self.at([(now.next_start + DRUM, -DRUM), (self.end - DRUM, -DRUM)])
        self.stage.reshape(belt(centres[0], DRUM, centres[1], DRUM))
        for drum, centre in zip(self.drums, centres):
            drum.reshape(circle(0.6 * DRUM))
            drum.place(0.0, centre)

    def _update_wall(self, now):
        """From the foot of the ramp to the next stage; where a second roller turns, the plate is cut out."""
        last = max(now.next_start, self.foot)
        if now.other.driven != 1:
            self.wall.set_data(*self.at([(self.foot, 0), (last, 0)]).T)
            return
        radius = now.roller.diameter / 2
        half = radius * np.sqrt(1 - max(1 - now.squeeze / 2 / radius, 0.0) ** 2) + CUT_OUT
        before, after = (
            self.at([(self.foot, 0), (max(-half, self.foot), 0)]),
            self.at([(half, 0), (max(last, half), 0)]),
        )
        self.wall.set_data(*np.vstack([before, np.full((1, 2), np.nan), after]).T)

    def _update_rollers(self, now, driven, turned):
        radius, piece, squeeze = now.roller.diameter / 2, now.piece_diameter, now.squeeze
        shared = squeeze / 2 if driven else squeeze
        self.centres = self.at([(0, piece - shared + radius), (0, shared - radius)])
        lines = []
        for roller, centre, shown, turn in zip(self.rollers, self.centres, (True, driven), (1, -1)):
            roller.show(shown)
            roller.reshape(circle(radius))
            roller.place(0.0, centre)
            if shown:
                angles = self.slope + turn * turned / radius + np.arange(SPOKES) * 2 * np.pi / SPOKES
                rim = centre + 0.85 * radius * np.column_stack([np.cos(angles), np.sin(angles)])
                lines += [part for end in rim for part in (centre, end, (np.nan, np.nan))]
        self.spokes.set_data(*np.array(lines).T)

    def _update_piece(self, now, x, driven):
        radius = now.piece_diameter / 2
        middle = self.at([(x, radius)])[0]
        self.piece.reshape(circle(radius))
        self.piece.place(0.0, middle)
        touches = np.hypot(*(middle - self.centres[0])) <= now.roller.diameter / 2 + radius + 1e-6
        self._update_angle(now, middle, touches)
        inwards, up = self.at([(1, 0), (0, 1)])
        for number, (push, grip) in enumerate(zip(self.pushes, self.grips)):
            away = _unit(middle - self.centres[number]) if number == 0 or driven else up
            along = np.array([away[1], -away[0]])
            along = along if along @ inwards > 0 else -along
            self._forces(now, push, grip, number, middle - radius * away, away, along * touches, touches)

    def _update_angle(self, now, middle, touches):
        """Lines from the roller's middle straight across and to the piece's middle, and the angle between them."""
        radius, piece = now.roller.diameter / 2, now.piece_diameter / 2
        top = self.centres[0]
        straight = top - self.at([(0, 1)])[0] * (radius + piece)
        self.across.set_data(*np.array([straight, top, middle]).T)
        first, last = (np.arctan2(*(end - top)[::-1]) for end in (straight, middle))
        angles = first + (np.mod(last - first + np.pi, 2 * np.pi) - np.pi) * ARC
        self.arc.set_data(*(top[:, None] + (radius + 0.7 * piece) * np.array([np.cos(angles), np.sin(angles)])))
        self.angle_word.set_position((straight + middle) / 2 - (0.0, self._letters(OFF)))
        for drawn in (self.across, self.arc, self.angle_word):
            drawn.set_visible(bool(touches))

    def _letters(self, points):
        """So many points as a length of the view."""
        return points * self.size / (self.side.get_position().height * self.SIZE[1] * 72)

    def _forces(self, now, push, grip, number, contact, away, along, touches):
        """The push of one side, and what its friction can add: a roller pulls, a wall drags a piece that slides."""
        long, rolls = self.long * touches, now.other.rolls == 1
        by_roller = number == 0 or now.other.driven == 1
        share = now.roller.friction if by_roller else now.other.friction
        push.place(contact - long * away, long * away, "push" if by_roller else "push of the wall")
        word = "pull" if by_roller else "hold" if rolls else "drag"
        grip.place(contact, (-1 if word == "drag" else 1) * share * long * along, word)
        # The words stand where no arrow and no line is: behind the push, and beside the end of what friction does.
        off = self._letters(OFF)
        push.text.set_position(contact - (long + off * (1 + 0.8 * abs(away[0]))) * away)
        if number == 1:
            grip.text.set_position(grip.text.get_position() + (off if by_roller else -off) * away)

    # --- its parts by name ------------------------------------------------------------------------------------------

    def labels(self, report, now, marks):
        """The parts of the intake, what is between them, and the forces at first touch."""
        said, good, piece = self.said, report.good, now.piece_diameter
        driven, rolls = now.other.driven == 1, now.other.rolls == 1
        low = now.squeeze / 2 if driven else 0.0
        top = piece - (now.squeeze - low)
        gap = marks.length("gap", *self.at([(0, low), (0, top)]))
        start = (now.roller.diameter + piece) / 2 * np.sin(good["nip_angle"])
        marks.line("as wide as the piece", self.at([(-start, piece), (0.4 * piece, piece)]), quiet=True)
        squeeze = marks.length("squeeze", *self.at([(0, top), (0, piece)]))
        nip = marks.point("nip", self.pushes[0].patch.get_xy()[3])
        other = "second roller" if driven else "wall"
        sloped = now.slope > 0 and not driven
        across = said(now.roller.diameter, "mm")
        straight, top, middle = np.transpose(self.across.get_data())
        return [
            Label("roller", self.rollers[0], "a motor turns it, and it pulls the piece in", across),
            Label("second roller", self.rollers[1], "a motor turns it the other way: it pulls, too", across),
            Label("piece", self.piece, "what the intake takes in", said(piece, "mm")),
            Label(
                "wall, a ramp" if sloped else "ramp" if driven else "wall",
                self.wall,
                f"on the roller's other side{'; it slopes up into the robot' * sloped}"
                if not driven
                else "leads up into the robot",
                said(now.slope, "deg") if now.slope > 0 else "",
            ),
            Label("next stage", self.stage, "a belt that takes the piece over and carries it on"),
            Label("gap", gap, f"between roller and {other}; narrower than the piece", said(piece - now.squeeze, "mm")),
            Label("squeeze", squeeze, "by so much the gap is narrower than the piece", said(now.squeeze, "mm")),
            Label("nip", nip, "the place where roller and piece first touch"),
            Label(
                "nip angle",
                self.arc,
                "between the line across and the line of the middles",
                said(good["nip_angle"], "deg"),
            ),
            Label(
                "line across",
                marks.line("line across", (straight, top), quiet=True),
                "from the middle of the roller straight across the gap",
            ),
            Label(
                "line of the middles",
                marks.line("line of the middles", (top, middle), quiet=True),
                "from the middle of the roller to the middle of the piece",
            ),
            Label(
                "push",
                self.pushes[0],
                f"of the roller on the piece; it points a little backwards{' along the ramp' * sloped}",
            ),
            Label("pull", self.grips[0], "the most that the roller's friction gives, inwards"),
            Label(f"push of the {other}", self.pushes[1], "presses the piece against the roller"),
            Label(
                "second pull" if driven else "hold" if rolls else "drag",
                self.grips[1],
                "the most that the second roller's friction gives, inwards"
                if driven
                else "the friction of the wall, on which the piece rolls"
                if rolls
                else "the friction of the wall, on which the piece slides: it pulls back",
            ),
        ]

    # --- friction and speeds ----------------------------------------------------------------------------------------

    def _update_friction(self, now, good):
        curves, at_squeeze = _needed(now, SQUEEZES), _needed(now, np.array([now.squeeze]))
        current = float(at_squeeze[2 if now.other.driven == 1 else 1 if now.other.rolls == 1 else 0][0])
        have = min(now.roller.friction, now.other.friction) if now.other.rolls == 1 else now.roller.friction
        for line, needed in zip((self.slides, self.rolls, self.driven), curves):
            line.set_data(self.shown(SQUEEZES[: needed.size], "mm"), np.where(needed < CUT, needed, np.nan))
        self.has.set_data(self.friction.get_xlim(), [have] * 2)
        self.here.set_data([self.shown(now.squeeze, "mm")], [current if current < CUT else np.nan])
        self.reach(self.friction, "y", max(1.25 * have, current if current < CUT else 0.0, 1.0))

    def _update_speeds(self, now, good):
        taken = intake.rolling_speed(good["surface"]) if now.other.rolls == 1 else good["surface"]
        values = [self.shown(value, "m/s") for value in (now.ground_speed, taken, now.next_speed)]
        asked = FASTER * values[0]
        self.reach(self.speeds, "x", max(*values, asked))
        for bar, value in zip(self.bars, values):
            bar.set_width(value)
        self.asked.set_data([asked] * 2, [0.55, 1.45])


def _unit(vector):
    return vector / max(np.hypot(*vector), 1e-9)


def _needed(now, squeezes):
    """Friction needed at the roller over the squeeze: wall and sliding, wall and rolling, two driven rollers."""
    radius, piece = now.roller.diameter / 2, now.piece_diameter / 2
    squeezes = squeezes[squeezes < radius + piece]
    whole, half = (intake.nip_angle(radius, piece, part) for part in (squeezes, squeezes / 2))
    return intake.sliding_nip(whole, now.other.friction), intake.rolling_nip(whole), intake.driven_nip(half)


def _surface_over_piece(now):
    """How far the roller's surface goes for each metre that the piece does."""
    return 1 / float(intake.rolling_speed(1.0)) if now.other.rolls == 1 else 1.0


def _way_of_the_piece(now, good, start, end):
    """When the piece is where along the ramp, as times and places: the roller drives it until it touches it behind as
    steeply as before, then it coasts to where the next stage drives it.
    """
    speed = good["surface"] / _surface_over_piece(now)
    if end <= -start or speed <= 0:
        return np.array([0.0, STANDS]), np.full(2, -start)
    let_go, taken = min(start, end), min(_taken_over(now, start), end)
    driven = (let_go + start) / speed
    if good["climbs"] < 1:  # there it slips, and goes on turning
        return np.array([0.0, driven, driven + STANDS]), np.array([-start, let_go, let_go])
    coasting, drag = _coasting(now, speed, taken - let_go), transfer.ramp_force(1.0, now.slope, now.other.friction)
    slid = let_go + speed * coasting - drag * coasting**2 / 2
    last = max(end - taken, 0.0) / now.next_speed
    times = np.r_[0.0, driven + coasting, driven + coasting[-1] + last]
    return times, np.r_[-start, slid, end]


def _coasting(now, speed, distance):
    """Times while the piece slides on by itself, over a distance or until it stops."""
    far = min(distance, float(transfer.coast_length(speed, now.slope, now.other.friction)))
    time = float(transfer.coast_time(speed, now.slope, now.other.friction, far * (1 - 1e-9))[0])
    return over_time(time)


def _taken_over(now, start):
    """Where the next stage drives the piece."""
    return max(now.next_start + (now.next_grip - 0.5) * now.piece_diameter, start)


def _gets_to(now, good, start):
    """How far along the ramp the piece gets, from the roller's axis, and in words why no further."""
    piece = now.piece_diameter
    if good["nip"] < 1:
        return -start, "the roller only rubs: the piece stays out"
    if good["ratio"] < 1:
        return -start, "slower than the robot: it pushes the piece away"
    if good["climbs"] < 1:
        return 0.0, "too little press: the roller slips on the ramp"
    taken_over = _taken_over(now, start)
    if good["coasts"] < 0:
        return max(taken_over + good["coasts"], start), "it stops before the next stage drives it"
    if good["hands_on"] < 1:
        words = "the next stage is slower: pieces run together"
    else:
        words = "taken in and handed on" if good["ratio"] >= FASTER else "taken in, but hardly faster than the robot"
    return taken_over + FURTHER * piece, words
