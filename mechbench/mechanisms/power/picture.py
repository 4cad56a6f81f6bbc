"""The picture of power and motion: a move over time with what limits it, and how much is used of all that is allowed.

Contents: PowerPicture.
"""

from types import SimpleNamespace

import numpy as np

from mechbench.drawing.picture import Picture, stepped
from mechbench.mechanisms.power.sizing import planned, unit_moves

INSTANTS, UNITS = unit_moves(60)
END = 125.0  # %, where the bars are cut
ROWS = ("voltage", "controller", "gearbox", "battery", "fuse", "heat", "loop")
THICK = 7  # points


class PowerPicture(Picture):
    """Left: speed, voltage and current over one move. Right: bars, one for each limit; the longest is what limits."""

    SIZE = (7.0, 4.6)
    BESIDES = ("wiring", "plans")

    def build(self):
        """Three plots over time, one with bars."""
        self.speeds = self.figure.add_axes((0.085, 0.775, 0.42, 0.165))
        self.volts = self.figure.add_axes((0.085, 0.435, 0.42, 0.205), sharex=self.speeds)
        self.amps = self.figure.add_axes((0.085, 0.105, 0.42, 0.185), sharex=self.speeds)
        self.bars = self.figure.add_axes((0.595, 0.075, 0.365, 0.85))
        self._build_plots()
        self._build_bars()

    def _build_plots(self):
        look = self.look
        self.speeds.set_title(f"Speed of the output [{self.unit('rpm')}]", pad=4)
        self.volts.set_title("Voltage [V]", pad=20)
        self.amps.set_title("Current of one motor [A]", pad=20)
        for axes in (self.speeds, self.volts):
            axes.tick_params(labelbottom=False)
        self.amps.set_xlabel("time [s]", labelpad=1)
        self.speed = self.move(self.speeds.plot([], [], **look.line("give"))[0])
        self.battery = self.move(self.volts.plot([], [], **look.line("give"), label="battery")[0])
        self.needed = self.move(self.volts.plot([], [], **look.line("ask"), label="motor needs")[0])
        self.reset = self.move(self.volts.plot([], [], **look.line("limit", 1.6), label="resets")[0])
        self.current = self.move(self.amps.plot([], [], **look.line("ask"), label="flows")[0])
        self.heating = self.move(self.amps.plot([], [], **look.line("share"), label="heats as much (rms)")[0])
        for axes in (self.volts, self.amps):
            axes.legend(
                loc="lower left",
                bbox_to_anchor=(-0.02, 1),
                borderaxespad=0.05,
                borderpad=0.2,
                ncols=3,
                frameon=False,
                handlelength=1.9,
                columnspacing=1.0,
                handletextpad=0.4,
            )

    def _build_bars(self):
        look, axes = self.look, self.bars
        axes.set_title("Used of what is allowed [%]", pad=4)
        axes.set_xlim(0, END)
        axes.set_xticks([0, 50, 100])
        axes.set_ylim(len(ROWS) + 0.15, 0)
        axes.set_yticks([])
        axes.spines["left"].set_visible(False)
        self.allowed = self.move(axes.plot([100, 100], [0, len(ROWS) + 0.15], **look.line("limit", 1.6))[0])
        self.lines, self.told = {}, {}
        for place, name in enumerate(ROWS):
            self.lines[name] = self.move(
                axes.plot([], [], color=look.colour("give"), linewidth=THICK, solid_capstyle="butt")[0]
            )
            self.told[name] = self.move(axes.text(0, place + 0.42, "", va="center"))
        self.over = self.move(axes.plot([], [], **look.mark("limit", 10))[0])

    def update(self, report, now, extra):
        """Draw the move as it is planned, and the bars from the findings."""
        x = _rows(now)
        done = planned(x, x.time_wanted, UNITS)
        time = INSTANTS * now.time_wanted
        self.reach(self.speeds, "x", now.time_wanted)
        self._update_plots(now, report.good, done, time)
        self._update_bars(now, report, done)

    def _update_plots(self, now, good, done, time):
        ends = [0.0, now.time_wanted]
        rpm, needed, amps = self.shown(done.speed[0], "rpm"), done.motor_volts[0], done.amps[0] / now.count.number
        self.reach(self.speeds, "y", rpm.max())
        self._span(self.volts, [needed, now.battery.open_circuit])
        self._span(self.amps, [amps, good["rms"]])
        self.speed.set_data(time, rpm)
        self.battery.set_data(time, done.volts[0])
        self.needed.set_data(time, needed)
        self.reset.set_data(ends, [now.controller.reset_level] * 2)
        self.current.set_data(time, amps)
        self.heating.set_data(ends, [good["rms"]] * 2)

    def _span(self, axes, values):
        """Room from the least value, if that is below 0, to the highest."""
        values = np.hstack(values)
        lowest = axes.get_ylim()[0]
        start = -stepped(-values.min(), -lowest if lowest < 0 else None) if values.min() < 0 else 0.0
        self.reach(axes, "y", values.max(), start)

    def _update_bars(self, now, report, done):
        good = report.good
        worst = np.argmin(done.volts[0] - np.abs(done.motor_volts[0]))
        volts = done.volts[0, worst]
        warmer = f"{self.said(good['rise'], 'K')} warmer" if np.isfinite(good["rise"]) else "melts"
        rows = {
            "voltage": (
                (volts - good["room"]) / max(volts, 0.1),
                f"motor needs {self.said(volts - good['room'], 'V')}",
            ),
            "controller": (
                good["current"] / now.controller.output_limit,
                f"controller: {self.said(good['current'], 'A')}",
            ),
            "gearbox": (good["strength"], f"gearbox's strength {self.said(good['strength'], '%')}"),
            "battery": (
                (now.battery.open_circuit - good["volts"]) / (now.battery.open_circuit - now.controller.reset_level),
                f"battery sags to {self.said(good['volts'], 'V')}",
            ),
            "fuse": (good["fuse_used"], f"fuse used up {self.said(good['fuse_used'], '%')}"),
            "heat": (good["rise"] / now.motor.max_rise, f"winding {warmer}"),
            "loop": (good["off"] / now.error_allowed, f"place off by {self.said(good['off'], 'deg')}"),
        }
        for place, name in enumerate(ROWS):
            share, words = rows[name]
            self.lines[name].set_data([0, min(max(100 * share, 0.0), END)], [place + 0.8] * 2)
            self.told[name].set_text(words)
        over = [place + 0.8 for place, name in enumerate(ROWS) if rows[name][0] > 1]
        self.over.set_data([100] * len(over), over)


def _rows(now):
    """Plain numbers as columns of one row again, as a sizing has them."""
    return SimpleNamespace(
        **{
            name: _rows(part) if isinstance(part, SimpleNamespace) else np.array([part])
            for name, part in vars(now).items()
        }
    )
