"""Pictures of gear trains: a gearbox as a box, its last stage to scale, all turning as the motor is turned.

Contents: TrainPicture.
"""

import math

import numpy as np
from matplotlib.patches import Polygon

from mechbench.drawing.labelled import Label
from mechbench.drawing.picture import Picture, stepped
from mechbench.drawing.shapes import Dimension, Part, Turn, belt, block, circle, cog, gear, mesh_angle
from mechbench.engine.spec import Field
from mechbench.mechanisms.powertrain import KINDS
from mechbench.physics.belt import nearest_belt, nearest_chain, sprocket_diameter, wrap_angle
from mechbench.physics.gearing import motor_torque
from mechbench.physics.teeth import centre_distance

LONE_DRUM = 0.025  # m, radius of the drum that stands for the load where there is no last stage
ROOM = 0.6  # between belt wheels, as a share of both their radii
AROUND = {1: 1.34, 2: 1.56}  # height of the view over that of the largest wheel: room for one or two lines of words
BAND = 4.0  # points, width of a belt or chain


class TrainPicture(Picture):
    """Left: motor and gearbox with their speed and torque. Right, seen from the front and to scale: the last stage."""

    VIEW, MACHINE, BESIDES = "last stage", "view", ("planetary_stage", "spur_pair")
    SHOWS = "The last stage of a gear train from the front, to scale."
    EXTRA = (
        Field("turn", "Turn the motor", "turn", 0.0, 30.0, 0.0, "how far the motor's shaft has been turned", step=0.1),
    )

    def build(self):
        """The fixed words, and parts that get their outline at the first update."""
        self._chosen = None
        self._build_left()
        self.view = self.figure.add_axes((0.29, 0.02, 0.7, 0.85))
        self.view.set_aspect("equal")
        self.view.set_axis_off()
        self.caption = self.figure.text(0.3, 0.975, "", va="top", linespacing=1.3)
        self.result = self.move(self.view.text(0.995, 0.0, "", ha="right", va="bottom", transform=self.view.transAxes))
        self._build_wheels()

    def _build_left(self):
        axes = self.left = self.figure.add_axes((0.0, 0.0, 0.29, 1.0))
        axes.set_axis_off()
        axes.set_xlim(0, 2.03)
        axes.set_ylim(0, 3.8)
        axes.set_aspect("equal")
        self.figure.text(0.145, 0.975, "motor", ha="center", va="top")
        axes.plot([0.95, 0.95], [2.55, 1.5], color=self.look.quiet, linewidth=4, zorder=1)
        axes.plot([0.95, 1.72], [1.2, 1.2], color=self.look.quiet, linewidth=4, zorder=1)
        axes.plot([1.75], [1.2], color=self.look.quiet, marker=">", markersize=11)
        self.rotor = Part(self, axes, circle(0.44), width=1.6)
        self.rotor.place(0, (0.95, 2.98))
        self.rotor_hand = Part(self, axes, block(0.4, 0.1, (0.2, 0)), face=self.look.colour("give"), width=0.8)
        self.rotor_turn = Turn(self, axes)
        self.rotor_turn.place((0.95, 2.98), 0.54, 1, middle=0)
        box = block(1.05, 0.66, (0.95, 1.2))
        axes.add_patch(Polygon(box, facecolor=self.look.body, edgecolor=self.look.ink, linewidth=1.6))
        self.box_words = axes.text(0.95, 1.2, "", ha="center", va="center", linespacing=1.3)
        self.motor_words = self.move(axes.text(1.02, 2.02, "", ha="left", va="center", linespacing=1.3))
        self.box_after = self.move(axes.text(0.95, 0.72, "", ha="center", va="top", linespacing=1.3))

    def _build_wheels(self):
        view, look = self.view, self.look
        nothing = np.zeros((3, 2))
        self.band = Part(self, view, nothing, face="none", edge=look.quiet, width=BAND, zorder=3)
        self.links = Part(self, view, nothing, face="none", edge=look.ink, width=BAND, zorder=3.1)
        roles = ("give", "ask")
        self.wheels = [Part(self, view, nothing, width=1.0) for _ in roles]
        thin = {"face": "none", "edge": look.quiet, "width": 0.9, "line": (0, (4, 3)), "zorder": 2.5}
        self.pitch_circles = [Part(self, view, nothing, **thin) for _ in roles]
        self.hands = [Part(self, view, nothing, face=look.colour(role), width=0.8, zorder=4) for role in roles]
        self.shafts = [Part(self, view, nothing, face=look.paper, zorder=4.5) for _ in roles]
        self.turns = [Turn(self, view) for _ in roles]
        self.names = [view.text(0, 0, "", ha="center", va="bottom") for _ in roles]
        self.apart = Dimension(self, view, moving=False)

    def update(self, report, now, extra):
        """Arrange the parts when others were chosen, turn them, and tell speeds and torques."""
        chosen = (report.values["gearbox"], report.values["last_stage"], report.values["motor"], report.values["count"])
        if chosen != self._chosen:
            self._chosen = chosen
            self._arrange(now)
        self._show_ways(report.good["speed"] > 0)
        self._turn(now, extra["turn"])
        self._tell(report, now, extra["turn"])

    def _show_ways(self, shown):
        """Show or hide the ways of turning: what stands still has none."""
        for turn in (self.rotor_turn, *self.turns[: len(self.radii)]):
            turn.show(shown)

    # which parts there are -------------------------------------------------------------------------------------------

    def _arrange(self, now):
        """Everything that changes only with the parts chosen; much of it is background, which is drawn anew after
        this.
        """
        last, self.stale = now.last_stage, True
        self.box_words.set_text(f"gearbox\n{now.gearbox.ratio:.4g} : 1")
        kind = self.kind = next(k for k, number in KINDS.items() if number == last.kind)
        self.radii = (last.diameter_in / 2, last.diameter_out / 2) if last.kind else (LONE_DRUM,)
        outlines, words, distance = {"gear": self._gears, "belt": self._belt, "chain": self._chain}.get(
            kind, self._drum
        )(last)
        title = f"last stage {last.ratio:.3g} : 1, to scale" if last.kind else "no last stage"
        self.words(self.caption, f"{title}\n{words}")
        self.centres = ((0.0, 0.0), (distance, 0.0))[: len(self.radii)]
        for i in range(2):
            shown = i < len(outlines)
            for part in (self.wheels[i], self.pitch_circles[i], self.hands[i], self.shafts[i], self.turns[i]):
                part.show(shown)
            self.names[i].set_text("")
            if shown:
                self._arrange_wheel(i, outlines[i], now)
        self._arrange_view(distance)
        self._arrange_band(kind, last, distance)

    def _arrange_wheel(self, i, outline, now):
        radius, last = self.radii[i], now.last_stage
        way = -1 if i == 1 and self.kind == "gear" else 1
        self.wheels[i].reshape(outline)
        self.pitch_circles[i].reshape(circle(radius))
        self.pitch_circles[i].place(0, self.centres[i])
        self.hands[i].reshape(block(0.8 * radius, 0.1 * radius, (0.4 * radius, 0)))
        across = now.motor.shaft_diameter
        self.shafts[i].reshape(circle(across / 2 if math.isfinite(across) else 0.0))  # nobody gave it: none is drawn
        self.shafts[i].place(0, self.centres[i])
        self.turns[i].place(self.centres[i], 0.62 * radius, way, middle=-math.pi / 2)
        teeth = f"{('driver', 'driven')[i]}\n{(last.teeth_in, last.teeth_out)[i]:.0f} teeth"
        self.names[i].set_text(teeth if last.kind else "output shaft")

    def _gears(self, last):
        outlines = [gear(int(teeth), last.tooth) for teeth in (last.teeth_in, last.teeth_out)]
        words = f"gears of module {self.said(last.tooth, 'mm')}, they turn opposite ways"
        return outlines, words, centre_distance(last.tooth, last.teeth_in, last.teeth_out)

    def _belt(self, last):
        wished = (1 + ROOM) * sum(self.radii)
        chosen = nearest_belt(last.tooth, last.teeth_in, last.teeth_out, wished)
        words = f"belt of {chosen.pitches} teeth, wraps the small wheel by {self.said(chosen.wrap, 'deg')}"
        return self._cogs(last), words, chosen.centre_distance

    def _cogs(self, last):
        return [
            cog(int(z), radius, 0.35 * last.tooth) for z, radius in zip((last.teeth_in, last.teeth_out), self.radii)
        ]

    def _chain(self, last):
        wished = (1 + ROOM) * sum(self.radii)
        chosen = nearest_chain(last.tooth, last.teeth_in, last.teeth_out, wished)
        small, large = sorted(sprocket_diameter(last.tooth, teeth) for teeth in (last.teeth_in, last.teeth_out))
        wrap = self.said(wrap_angle(small, large, chosen.centre_distance), "deg")
        return (
            self._cogs(last),
            f"chain of {chosen.links} links, wraps the small wheel by {wrap}",
            chosen.centre_distance,
        )

    def _drum(self, last):
        return [circle(LONE_DRUM)], "the gearbox turns the load itself", 0.0

    def _arrange_view(self, distance):
        """Fit the view to the wheels, in steps, so that it seldom jumps from one choice to the next."""
        largest = max(self.radii)
        left, right = -self.radii[0], distance + self.radii[-1]
        box = self.view.get_position()
        wide, high = box.width * self.SIZE[0], box.height * self.SIZE[1]
        need = max(AROUND[len(self.radii)] * 2 * largest, 1.08 * (right - left) * high / wide)
        self.height = stepped(need)
        middle = (left + right) / 2
        self.view.set_xlim(middle - self.height * wide / high / 2, middle + self.height * wide / high / 2)
        self.view.set_ylim(-0.54 * self.height, 0.46 * self.height)
        for name, centre, top in zip(self.names, self.centres, self._tops(distance)):
            name.set_position((centre[0], top + 0.03 * self.height))
        low = -largest - 0.05 * self.height
        label = f"centre distance {self.said(distance, 'mm')}" if distance else ""
        self.apart.place((0.0, low), (distance, low), label)

    def _tops(self, distance):
        """How high the picture reaches over each wheel, within the width of its words: the wheel itself, or its
        belt.
        """
        if self.kind not in ("belt", "chain"):
            return self.radii
        lean, half_word = math.acos((self.radii[0] - self.radii[1]) / distance), 0.12 * self.height
        side = lambda x: (self.radii[0] - x * math.cos(lean)) / math.sin(lean)
        return max(self.radii[0], side(half_word)), max(self.radii[1], side(distance - half_word))

    def _arrange_band(self, kind, last, distance):
        shown = kind in ("belt", "chain")
        self.band.show(shown)
        self.links.show(shown)
        if shown:
            path = belt(self.centres[0], self.radii[0], self.centres[1], self.radii[1])
            self.band.reshape(path)
            self.links.reshape(path)
            points = 72 * self.view.get_position().height * self.SIZE[1] / self.height
            self.pitch_points = last.tooth * points

    # its parts by name ------------------------------------------------------------------------------------------

    def described(self, now):
        """What the drawing shows, with the kind of the last stage."""
        if not now.last_stage.kind:
            return "The output shaft of a gearbox from the front, to scale. No last stage: it turns the load itself."
        kinds = {"gear": "Two spur gears: they turn opposite ways", "belt": "A belt: both wheels turn the same way"}
        return f"{self.SHOWS} {kinds.get(self.kind, 'A chain: both wheels turn the same way')}."

    def labels(self, report, now, marks):
        """The two wheels, what joins them, and how far apart they are."""
        last = now.last_stage
        self._show_ways(True)  # here they have names, whatever the load
        if not last.kind:
            return [
                Label("drum", self.wheels[0], "stands for the load"),
                Label("output shaft", self.shafts[0], "of the gearbox"),
                Label("way of turning", self.turns[0], "as the gearbox turns it"),
                Label("mark", self.hands[0], "turns with the shaft, so that you see how far"),
            ]
        teeth = [f"{count:.0f} teeth" for count in (last.teeth_in, last.teeth_out)]
        return [
            Label("driver", self.wheels[0], "the wheel nearer to the motor", teeth[0]),
            Label("driven", self.wheels[1], "the wheel that turns the load", teeth[1]),
            Label("shaft", self.shafts[0], "of the gearbox: it turns the driver"),
            Label("output shaft", self.shafts[1], "turns the load"),
            Label("centre distance", self.apart, "from shaft to shaft", self.said(self.centres[1][0], "mm")),
            Label("pitch circle", self.pitch_circles[1], "half of each tooth is outside: here the two wheels roll")
            if self.kind == "gear"
            else Label(self.kind, self.links, "runs round both wheels"),
            Label("driver turns", self.turns[0], "its way of turning"),
            Label("driven turns", self.turns[1], "the other way" if self.kind == "gear" else "the same way"),
        ]

    # how far they are turned ------------------------------------------------------------------------------------------

    def _turn(self, now, motor_angle):
        last = now.last_stage
        first = motor_angle / now.gearbox.ratio
        self.rotor_hand.place(motor_angle, (0.95, 2.98))
        angles = [first]
        if self.kind == "gear":
            angles.append(mesh_angle(first, last.teeth_in, last.teeth_out, 0.0))
        elif len(self.radii) == 2:
            angles.append(first / last.ratio)
        # Every hand points to the right at first, whatever tooth the gears mesh on.
        hands = [first, first / last.ratio * (-1 if self.kind == "gear" else 1)]
        for angle, hand_angle, centre, wheel, hand in zip(angles, hands, self.centres, self.wheels, self.hands):
            wheel.place(angle, centre)
            hand.place(hand_angle, centre)
        if self.kind in ("belt", "chain"):
            # Dashes are counted in widths of the line, and a larger offset moves them back.
            moved = first / (2 * math.pi) * last.teeth_in % 1.0
            step = self.pitch_points / BAND
            self.links.patch.set_linestyle((-moved * step, (0.35 * step, 0.65 * step)))

    def _tell(self, report, now, motor_angle):
        speed, torque, last = report.good["speed"], now.load_torque, now.last_stage
        after_box = motor_torque(torque, last.ratio, last.efficiency)
        at_motor = motor_torque(torque, report.good["ratio"], report.good["efficiency"]) / now.count.number
        motors = "" if now.count.number == 1 else f"{now.count.number:.0f} motors, each\n"
        turning = self._both(speed * report.good["ratio"], at_motor)
        self.motor_words.set_text(motors + (turning if speed > 0 else f"stalled: needs\n{self.said(at_motor, 'N·m')}"))
        self.box_after.set_text(self._both(speed * last.ratio, after_box))
        turned = motor_angle / report.good["ratio"]
        load = f"load: {self.said(speed, 'rpm')}, {self.said(torque, 'N·m')}"
        self.result.set_text(f"{load}, turned {self.said(turned, 'deg')}")

    def _both(self, speed, torque):
        return f"{self.said(speed, 'rpm')}\n{self.said(torque, 'N·m')}"
