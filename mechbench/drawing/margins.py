"""For a sizing without a picture of its own: how far each finding is inside what is asked, on a good and on a bad day.

Contents: MarginsPicture.
"""

import numpy as np

from mechbench.drawing.picture import Picture

MOST = 1.0  # margins are drawn from -100 % to +100 %


class MarginsPicture(Picture):
    """One row for each finding of which something is asked; marks to the right of the middle line are inside."""

    def build(self):
        """One plot, whose rows are named at the first update."""
        self.axes = self.figure.add_axes((0.34, 0.2, 0.62, 0.7))
        self.axes.set_xlim(-1.08 * MOST, 1.08 * MOST)
        self.axes.set_xticks(np.linspace(-MOST, MOST, 5), ["-100 %", "-50 %", "just", "+50 %", "+100 %"])
        self.axes.set_xlabel("too little   \u2190   beside what is asked   \u2192   to spare")
        self.axes.axvline(0, **self.look.line("limit", 1.6))
        self.good = self.move(self.axes.plot([], [], **self.look.mark("give", 11), label="good day")[0])
        self.bad = self.move(self.axes.plot([], [], **self.look.mark("ask", 9), label="bad day")[0])
        self.axes.legend(loc="lower left", bbox_to_anchor=(0, 1.0), ncols=2, frameon=False)
        self.rows = ()

    def update(self, report, now, extra):
        """Place the marks; what is further than the ends is drawn at the ends."""
        names = tuple(report.good_margin)
        if names != self.rows:
            self.rows, self.stale = names, True
            labels = {f.name: f.label for f in report.sizing.FINDINGS}
            self.axes.set_yticks(range(len(names)), [labels[n] for n in names])
            self.axes.set_ylim(len(names) - 0.4, -0.6)
        places = np.arange(len(names))
        for marks, margins, shift in ((self.good, report.good_margin, -0.12), (self.bad, report.bad_margin, 0.12)):
            marks.set_data(np.clip([margins[n] for n in names], -MOST, MOST), places + shift)
