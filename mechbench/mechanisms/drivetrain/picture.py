"""The picture of a drivetrain: the robot from the side, to scale, with its forces, and its run from rest to rest.

Contents: DrivetrainPicture.
"""

import numpy as np

from mechbench.drawing.labelled import Label
from mechbench.drawing.motion import Motion
from mechbench.drawing.picture import Picture
from mechbench.drawing.shapes import Arrow, Part, block, circle
from mechbench.engine.spec import CHOICE, Field
from mechbench.mechanisms.drivetrain.sizing import Drivetrain
from mechbench.mechanisms.moved import motion_of
from mechbench.physics.motion import end_time, rotor_at

SPOKES = 5
EDGE, STROKES, STROKE = 0.33, 0.1, 0.012  # m: half of the view; from stroke to stroke of the floor, and of one
LEAST = 0.03  # m, of an arrow that is seen beside the mark at which it starts
DEEP = 0.05  # m, of the base that joins the wheels
ABOVE = 0.035  # m, from the arrow of force up to its words


class DrivetrainPicture(Picture):
    """Left: the robot at one moment of its run, pushing or braking. Right: speed and current over time."""

    VIEW = "from the side"
    SHOWS = "A robot on its wheels from the side, to scale, while it speeds up to the right."
    BESIDES = ("from_above",)
    EXTRA = (Field("moment", "Along the run", "%", 0.0, 100.0, 20.0, "the moment at which the robot is drawn", CHOICE),)

    def build(self):
        """The robot's parts and two plots."""
        self.side = self.figure.add_axes((0.01, 0.02, 0.47, 0.94))
        self.side.set_axis_off()
        self.side.set_aspect("equal")
        self.side.set_xlim(-EDGE, EDGE)
        self.side.set_ylim(-0.14, 0.57)  # the highest centre of gravity, and the words on its arrow
        self._build_robot()
        self.speed_axes = self.figure.add_axes((0.585, 0.6, 0.385, 0.26))
        self.amps_axes = self.figure.add_axes((0.585, 0.135, 0.385, 0.26), sharex=self.speed_axes)
        self._build_plots()

    def _build_robot(self):
        look, side = self.look, self.side
        self.floor = self.move(side.plot([-EDGE, EDGE], [0, 0], color=look.quiet, linewidth=1.2)[0])
        self.marks = self.move(side.plot([], [], color=look.quiet, linewidth=1.2)[0])
        self.body = Part(self, side, np.zeros((4, 2)))
        self.wheels = [Part(self, side, circle(0.05)) for _ in range(2)]
        self.spokes = [self.move(side.plot([], [], color=look.ink, linewidth=1.0)[0]) for _ in range(2)]
        self.centre = self.move(side.plot([], [], **look.mark("limit", 9))[0])
        self.height = self.move(side.plot([], [], color=look.quiet, linewidth=1.0)[0])
        self.push = Arrow(self, side, "give")
        self.told = self.move(side.text(-0.32, -0.02, "", va="top"))

    def _build_plots(self):
        look = self.look
        self.speed_axes.set_title(f"Speed [{self.unit('m/s')}]", pad=22)
        self.speed_axes.tick_params(labelbottom=False)
        self.amps_axes.set_title("Current of all motors [A]", pad=22)
        self.amps_axes.set_xlabel("time [s]", labelpad=1)
        self.speed = self.move(self.speed_axes.plot([], [], **look.line("give"), label="robot")[0])
        self.wanted = self.move(self.speed_axes.plot([], [], **look.line("ask"), label="time asked")[0])
        self.amps = self.move(self.amps_axes.plot([], [], **look.line("give"), label="motors")[0])
        self.fuse = self.move(self.amps_axes.plot([], [], **look.line("limit", 1.6), label="fuse's rating")[0])
        self.now_marks = [
            self.move(axes.plot([], [], **look.mark("give", 9), clip_on=False)[0])
            for axes in (self.speed_axes, self.amps_axes)
        ]
        for axes in (self.speed_axes, self.amps_axes):
            axes.legend(
                loc="lower left", bbox_to_anchor=(0, 1), borderaxespad=0.05, ncols=2, frameon=False, handlelength=2.2
            )

    def update(self, report, now, extra):
        """Run it, and draw the robot at the chosen moment."""
        done = self.kept("run", report, lambda: Drivetrain.run(now))
        time, speed, amps = done.t[0, 0], done.speed[0, 0] * now.wheel.radius, done.current[0, 0]
        there = np.isfinite(time)
        time, speed, amps = time[there], speed[there], amps[there]
        moment = extra["moment"] * time[-1]
        self._update_plots(float(done.bus_current[0]), now, time, speed, amps, moment)
        place = np.interp(moment, time, done.q[0, 0][there]) * now.wheel.radius
        turned = rotor_at(done, moment) if extra.get("spins") else place / now.wheel.radius
        speed, slope = (np.interp(moment, time, values) for values in (speed, self._slope(time, speed)))
        stands = moment >= time[-1] and there.all()
        self._update_robot(now, place, turned, 0.0 if stands else slope)
        # The motors push hardest at the start: wheels that slip do so from there, and grip from then on.
        what = "standing" if stands else self._doing(slope, moment < done.slip_time[0, 0])
        self._tell(now, what, speed, place)

    def motion(self, report, now):
        """The run in its own time; wheels that slip turn faster than the robot rolls."""
        done = self.kept("run", report, lambda: Drivetrain.run(now))
        seconds = end_time(done)
        if not np.isfinite(done.time[0, 0]):
            return motion_of(done, "moment", lambda q: q / done.q[0, 0, -1], lambda q: self.said(q, "m"))
        told = f"It is there and stands after {self.said(seconds, 's')}."
        if (slips := float(done.slip_time[0, 0])) > 0:
            told += f" Its wheels slip for {self.said(slips, 's')}: they turn faster than it rolls."
        return Motion(np.array([0.0, seconds]), {"moment": np.array([0.0, 1.0]), "spins": np.ones(2)}, told)

    def _update_floor(self, place):
        """Strokes in the floor, which stay where they are while the robot goes on over them."""
        first = np.ceil((place - EDGE) / STROKES) * STROKES
        strokes = np.arange(first, place + EDGE, STROKES) - place
        x = np.column_stack([strokes, strokes, np.full(strokes.size, np.nan)]).ravel()
        self.marks.set_data(x, np.tile([0.0, -STROKE, 0.0], strokes.size))

    def labels(self, report, now, marks):
        """Frame, wheels, centre of gravity and what is measured there."""
        half, low = now.wheelbase / 2, -0.03
        wheelbase = marks.length("wheelbase", (-half, low), (half, low))
        across = marks.length("wheel", (half, 0.0), (half, 2 * now.wheel.radius))
        seen = self.push.patch.get_visible() and np.ptp(self.push.patch.get_xy()[:, 0]) > LEAST
        return [
            Label("frame", self.body, "carries motors, battery and all mechanisms"),
            Label("wheel", self.wheels[0], "its motor turns it, and it pushes the floor backwards"),
            Label("diameter", across, "of a wheel; half of it is the radius", self.said(2 * now.wheel.radius, "mm")),
            Label("wheelbase", wheelbase, "from the rear wheels to the front wheels", self.said(now.wheelbase, "mm")),
            Label("centre of gravity", self.centre, "where all weight seems to pull"),
            Label("its height", self.height, "of the centre of gravity above the floor", self.said(now.height, "mm")),
            Label(
                "push",
                self.push,
                "of the floor on the wheels, drawn at the centre of gravity: it makes the robot faster",
            )
            if seen
            else None,
            Label("floor", self.floor, "holds the wheels by friction: traction"),
        ]

    def _slope(self, time, speed):
        """Acceleration at each point, the speed's slope towards the next point."""
        steps = np.diff(speed) / np.maximum(np.diff(time), 1e-9) if time.size > 1 else np.zeros(1)
        return np.r_[steps, steps[-1:]]

    def _update_plots(self, highest, now, time, speed, amps, moment):
        shown = self.shown(speed, "m/s")
        self.reach(self.speed_axes, "x", max(time[-1], now.time_wanted))
        self.reach(self.speed_axes, "y", max(float(np.max(shown)), 0.1))
        self.reach(self.amps_axes, "y", max(highest, now.fuse.rating))
        self.speed.set_data(time, shown)
        self.wanted.set_data([now.time_wanted] * 2, self.speed_axes.get_ylim())
        self.amps.set_data(time, np.maximum(amps, 0.0))
        self.fuse.set_data(self.speed_axes.get_xlim(), [now.fuse.rating] * 2)
        for mark, values in zip(self.now_marks, (shown, np.maximum(amps, 0.0))):
            mark.set_data([moment], [np.interp(moment, time, values)])

    def _update_robot(self, now, place, turned, acceleration):
        radius, half = now.wheel.radius, now.wheelbase / 2
        self.body.reshape(block(now.wheelbase + 0.08, DEEP, (0, radius + 0.01)))
        for wheel, spokes, x in zip(self.wheels, self.spokes, (-half, half)):
            wheel.reshape(circle(radius))
            wheel.place(0.0, (x, radius))
            angles = -turned + np.arange(SPOKES) * 2 * np.pi / SPOKES
            ends = np.column_stack([x + 0.8 * radius * np.cos(angles), radius + 0.8 * radius * np.sin(angles)])
            lines = np.full((3 * SPOKES, 2), np.nan)
            lines[0::3], lines[1::3] = (x, radius), ends
            spokes.set_data(*lines.T)
        self._update_floor(place)
        self.centre.set_data([0], [now.height])
        self.height.set_data([0, 0], [0, now.height])
        force = now.mass * acceleration
        along = np.clip(0.0016 * force, -0.24, 0.24)
        self.push.place((0, now.height), (along, 0), f"{self.said(abs(force), 'N')}" if abs(force) > 1 else "")
        self.push.text.set_position((along / 2, now.height + ABOVE))

    def _doing(self, slope, slips):
        way = "speeding up" if slope > 0.05 else "braking" if slope < -0.05 else "rolling on"
        return f"{way}, wheels slip" if slips else way

    def _tell(self, now, what, speed, place):
        self.told.set_text(
            f"{what}, {self.said(speed, 'm/s')}\n{self.said(place, 'm')} of {self.said(now.distance, 'm')}\ncentre of"
            f" gravity {self.said(now.height, 'mm')} up"
        )
