"""The picture of trips in a match: points over the time of a trip, and what the time saved is worth.

Contents: TripsPicture.
"""

import numpy as np

from mechbench.drawing.picture import Picture
from mechbench.mechanisms.trips.sizing import scored

SHORTEST, LONGEST = 2.0, 30.0  # s, ends of the axis of time
POINTS = 120
ROOM = 7.0  # s, that the words need at the left


class TripsPicture(Picture):
    """One curve with two marks on it, and the step in points between them."""

    BESIDES = ("field",)

    def build(self):
        """One plot with its curve, marks and the step."""
        self.axes = self.figure.add_axes((0.1, 0.14, 0.86, 0.74))
        self.axes.set_title("Points in a match")
        self.axes.set_xlabel("time of one trip [s]", labelpad=1)
        self.axes.set_xlim(0, LONGEST)
        look = self.look
        self.curve = self.move(self.axes.plot([], [], **look.line("give"))[0])
        self.rise = self.move(self.axes.plot([], [], **look.line("power", 3.0))[0])
        self.saved = self.move(self.axes.plot([], [], **look.line("limit", 1.6))[0])
        self.before = self.move(self.axes.plot([], [], **look.mark("ask", 9))[0])
        self.after = self.move(self.axes.plot([], [], **look.mark("give"))[0])
        self.worth = self.move(self.axes.text(0, 0, "", va="center", ha="right"))

    def update(self, report, now, extra):
        """Draw the curve for this goal, the trip before and after, and the step between."""
        time = np.linspace(SHORTEST, LONGEST, POINTS)
        slow, quick = now.trip_time, now.trip_time - now.saved
        before, after = report.good["before"], report.good["points"]
        self.reach(self.axes, "y", max(after, scored(now, 6.0)))
        self.curve.set_data(time, scored(now, time))
        self.before.set_data([slow], [before])
        self.after.set_data([quick], [after])
        self.saved.set_data([slow, quick], [before, before])
        self.rise.set_data([quick, quick], [before, after])
        beside = quick > ROOM  # the words stand at the left of the step where there is room
        self.worth.set_position((quick - 0.5 if beside else slow + 0.9, (before + after) / 2))
        self.worth.set_horizontalalignment("right" if beside else "left")
        self.worth.set_text(f"+{self.said(round(float(report.good['gain']), 1), 'points')}")
