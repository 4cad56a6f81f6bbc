"""Pictures of a motor: its lines over speed with the point where it works, and its winding warming towards the limit.

Contents: MotorPicture.
"""

import numpy as np
from matplotlib.ticker import MaxNLocator

from mechbench.drawing.picture import Picture
from mechbench.mechanisms.powertrain import at_load
from mechbench.physics import motor

POINTS = 80
PAST_THE_END = 1.3  # how much more time is drawn than the motor must run
OVER_LIMIT = 1.25  # how far over the allowed rise the temperature axis goes


class MotorPicture(Picture):
    """Left: torque over speed, below it power and efficiency. Right: how warm the winding gets while time passes."""

    BESIDES = ("cut_open", "lever")

    def build(self):
        """Three plots with their lines and marks."""
        self.torque_axes = self.figure.add_axes((0.1, 0.5, 0.44, 0.36))
        self.share_axes = self.figure.add_axes((0.1, 0.135, 0.44, 0.21), sharex=self.torque_axes)
        self.heat_axes = self.figure.add_axes((0.655, 0.135, 0.315, 0.725))
        self._build_torque()
        self._build_share()
        self._build_heat()

    def _build_torque(self):
        axes, look = self.torque_axes, self.look
        axes.set_title(f"Torque [{self.unit('N·m')}]", pad=24)
        axes.tick_params(labelbottom=False)
        self.gives = self.move(axes.plot([], [], **look.line("give"), label="the motor gives")[0])
        self.asks = self.move(axes.plot([], [], **look.line("ask"), label="the job asks")[0])
        self.corner = self.move(axes.plot([], [], **look.mark("ask", 8), clip_on=False)[0])
        self.point = self.move(axes.plot([], [], **look.mark("give"), clip_on=False)[0])
        self.told = self.move(axes.text(0.97, 0.95, "", ha="right", va="top", transform=axes.transAxes))
        self._legend(axes)

    def _build_share(self):
        axes, look = self.share_axes, self.look
        axes.set_title("Share [%]", pad=24)
        axes.set_ylim(0, 115)
        axes.set_yticks([0, 50, 100])
        axes.set_xlabel(f"speed [{self.unit('rpm')}]", labelpad=1)
        self.power = self.move(axes.plot([], [], **look.line("power"), label="power, of its peak")[0])
        self.efficiency = self.move(axes.plot([], [], **look.line("share", 2.6), label="efficiency")[0])
        # Near the middle of the lines both marks meet: through a hollow one the other is seen.
        hollow = look.mark("share", 11) | {"markerfacecolor": "none"}
        self.power_point = self.move(axes.plot([], [], **look.mark("power", 8), clip_on=False)[0])
        self.efficiency_point = self.move(axes.plot([], [], **hollow, clip_on=False)[0])
        self._legend(axes)

    def _build_heat(self):
        axes, look = self.heat_axes, self.look
        axes.set_title(f"Winding warmer by [{self.unit('K')}]", pad=24)
        axes.set_xlabel("time [s]", labelpad=1)
        self.limit = self.move(axes.plot([], [], **look.line("limit", 1.8), label="too hot")[0])
        self.warms = self.move(axes.plot([], [], **look.line("give"))[0])
        self.must = self.move(axes.plot([], [], **look.line("ask"), label="must run")[0])
        self.end = self.move(axes.plot([], [], **look.mark("give"))[0])
        self.reached = self.move(axes.plot([], [], **look.mark("limit", 11))[0])
        self._legend(axes)

    def _legend(self, axes):
        axes.legend(
            loc="lower left",
            bbox_to_anchor=(0, 1),
            borderaxespad=0.05,
            borderpad=0.2,
            ncols=2,
            frameon=False,
            columnspacing=1.2,
            handlelength=2.2,
            handletextpad=0.5,
        )
        axes.xaxis.set_major_locator(MaxNLocator(5))

    def update(self, report, now, extra):
        """Draw the motor's lines on its battery, the point at this load, and the warming at this current."""
        count = now.count.number
        stall = report.drawn["gives"]
        torque = np.linspace(0.0, max(stall, 0.0), POINTS)
        volts, amps, speed = at_load(now.motor, count, torque, now.battery, now.controller.output_limit)
        power = torque * speed
        efficiency = power / (volts * amps * count)
        self._update_torque(report, now, torque, speed)
        self._update_share(report, speed, power, efficiency)
        self._update_heat(report, now)

    def _update_torque(self, report, now, torque, speed):
        load, wanted = self.shown(now.load_torque, "N·m"), self.shown(now.speed_wanted, "rpm")
        self.reach(self.torque_axes, "x", self.shown(max(speed.max(), now.speed_wanted), "rpm"))
        self.reach(self.torque_axes, "y", max(self.shown(torque.max(), "N·m"), load))
        self.gives.set_data(self.shown(speed, "rpm"), self.shown(torque, "N·m"))
        self.asks.set_data([0, wanted, wanted], [load, load, 0])
        self.corner.set_data([wanted], [load])
        found = report.good["speed"]
        self.point.set_data([self.shown(found, "rpm")], [load])
        words = f"{self.said(found, 'rpm')}, {self.said(report.good['current'], 'A')}"
        self.told.set_text(words if found > 0 else f"stalled, {self.said(report.good['current'], 'A')}")

    def _update_share(self, report, speed, power, efficiency):
        rpm, peak = self.shown(speed, "rpm"), max(power.max(), 1e-9)
        self.power.set_data(rpm, 100 * power / peak)
        self.efficiency.set_data(rpm, 100 * efficiency)
        here = [self.shown(report.good["speed"], "rpm")]
        self.power_point.set_data(here, [100 * report.good["power"] / peak])
        self.efficiency_point.set_data(here, [100 * report.good["efficiency"]])

    def _update_heat(self, report, now):
        amps, limit = report.good["current"], now.motor.max_rise
        self.reach(self.heat_axes, "x", PAST_THE_END * now.run_time)
        self.reach(self.heat_axes, "y", OVER_LIMIT * limit)
        end, top = self.heat_axes.get_xlim()[1], self.heat_axes.get_ylim()[1]
        # Beyond the limit the line is drawn to the top of the axes only: there the motor has long failed.
        time = np.linspace(0.0, end, POINTS)
        rise = motor.temperature_rise(now.motor, amps, time, now.start_rise)
        self.warms.set_data(time, np.where(rise <= 2 * top, rise, np.nan))
        self.limit.set_data([0, end], [limit, limit])
        self.must.set_data([now.run_time, now.run_time], [0, top])
        at_end = motor.temperature_rise(now.motor, amps, now.run_time, now.start_rise)
        self.end.set_data([now.run_time], [at_end] if at_end <= top else [np.nan])
        hot = report.good["hot_after"]
        self.reached.set_data([hot] if hot <= end else [], [limit] if hot <= end else [])
