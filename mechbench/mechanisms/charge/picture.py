"""The picture of a battery's charge: how it is used up over time, and the voltage over the current.

Contents: ChargePicture.
"""

import numpy as np

from mechbench.drawing.picture import Picture

MINUTE, HOUR = 60.0, 3600.0
PAST = 1.25  # times the current and the time that are drawn beside those asked


class ChargePicture(Picture):
    """Left: charge left over time, down to what is kept back. Right: voltage of a full and of a worn battery."""

    def build(self):
        """Two plots with their lines and marks."""
        look = self.look
        self.left = self.figure.add_axes((0.09, 0.14, 0.4, 0.68))
        self.left.set_title("Charge left [A·h]", pad=24)
        self.left.set_xlabel("time [min]", labelpad=1)
        self.falls = self.move(self.left.plot([], [], **look.line("give"), label="left")[0])
        self.kept = self.move(self.left.plot([], [], **look.line("limit", 1.6), label="kept back")[0])
        self.must = self.move(self.left.plot([], [], **look.line("ask"), label="must last")[0])
        self.end = self.move(self.left.plot([], [], **look.mark("give"), clip_on=False)[0])
        self.right = self.figure.add_axes((0.57, 0.14, 0.4, 0.68))
        self.right.set_title("Battery voltage [V]", pad=24)
        self.right.set_xlabel("current [A]", labelpad=1)
        self.full = self.move(self.right.plot([], [], **look.line("give"), label="full")[0])
        self.worn = self.move(self.right.plot([], [], **look.line("ask"), label="worn, empty")[0])
        self.reset = self.move(self.right.plot([], [], **look.line("limit", 1.6), label="reset")[0])
        self.here = self.move(self.right.plot([], [], **look.mark("give"), clip_on=False)[0])
        for axes in (self.left, self.right):
            axes.legend(
                loc="lower left",
                bbox_to_anchor=(-0.03, 1),
                borderaxespad=0.05,
                borderpad=0.2,
                ncols=3,
                frameon=False,
                handlelength=1.6,
                columnspacing=0.9,
                handletextpad=0.4,
            )

    def update(self, report, now, extra):
        """Draw the charge down to what is kept back, and both voltages to the current and past it."""
        lasts, whole = report.good["lasts"] / MINUTE, now.capacity / HOUR
        kept, must = (1 - now.usable) * whole, now.time_wanted / MINUTE
        self.reach(self.left, "x", max(PAST * lasts, must))
        self.reach(self.left, "y", whole)
        end, top = self.left.get_xlim()[1], self.left.get_ylim()[1]
        self.falls.set_data([0, lasts], [whole, kept])
        self.kept.set_data([0, end], [kept, kept])
        self.must.set_data([must, must], [0, top])
        self.end.set_data([lasts], [kept])
        self._update_volts(report, now)

    def _update_volts(self, report, now):
        most, battery = PAST * report.good["drawn"], now.battery
        self.reach(self.right, "x", most)
        self.reach(self.right, "y", battery.open_circuit)
        amps = np.array([0.0, most])
        self.full.set_data(amps, battery.open_circuit - battery.resistance * amps)
        self.worn.set_data(amps, battery.open_circuit_empty - battery.resistance_worn * amps)
        self.reset.set_data([0, self.right.get_xlim()[1]], [now.controller.reset_level] * 2)
        self.here.set_data([report.good["drawn"]], [report.good["volts"]])
