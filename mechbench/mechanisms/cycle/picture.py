"""The picture of a cycle: its steps as bars over time with the longest way through them, and the points of a match.

Contents: CyclePicture, second_worth.
"""

import numpy as np
from matplotlib.collections import PolyCollection
from matplotlib.patches import Patch

from mechbench.drawing.picture import Picture
from mechbench.drawing.shapes import Part, block
from mechbench.mechanisms.cycle.sizing import end_points, so_far, steps_of, times_of
from mechbench.physics.cycle import critical_path, schedule, total_time

ROWS = {
    "find": "find",
    "grab": "take in",
    "drive": "drive",
    "held up": "held up",
    "raise": "raise",
    "line up": "line up",
    "place": "let go",
    "back": "drive back",
    "jam": "jams (mean)",
}
PEOPLE = ("find", "held up", "line up", "jam")
THICK, LINE = 0.27, 0.40  # half of a bar, and the longest way below its middle, as shares of a row
LEFT = -0.385  # where words begin, left of the plot, as a share of its width
POINTS = 61
MOST_STROKES = 60  # cycles that are marked on the curve; more of them would make one thick line


class CyclePicture(Picture):
    """Above: one cycle, a row for each kind of step. Below: points over the time that people drive."""

    SIZE = (7.0, 4.9)  # with the sliders beside it and the verdict above it, it is seen whole on a low screen
    BESIDES = ("field",)

    def build(self):
        """The rows of steps, and the plot of points."""
        self.steps = self.figure.add_axes((0.245, 0.485, 0.615, 0.378))
        self.match = self.figure.add_axes((0.085, 0.097, 0.895, 0.194))
        self._build_steps()
        self._build_match()

    def _build_steps(self):
        look, axes = self.look, self.steps
        axes.set_ylim(len(ROWS), 0)
        axes.set_yticks([])
        axes.spines["left"].set_visible(False)
        axes.set_xlabel("time in the cycle [s]", labelpad=1)
        self.slack = self.move(axes.plot([], [], **look.line("share", 2.4))[0])
        looks = (
            {"facecolor": look.colour("give"), "edgecolor": look.ink},
            {
                "facecolor": look.body,
                "edgecolor": look.ink,
                "hatch": "////",
            },
        )
        self.machine, self.people = (
            self.move(axes.add_collection(PolyCollection([], linewidth=1.0, **one))) for one in looks
        )
        self.way = self.move(axes.plot([], [], **look.line("ask", 2.6), solid_joinstyle="miter")[0])
        across = axes.get_yaxis_transform()  # sideways as a share of the plot, downwards in rows
        middles = np.arange(len(ROWS)) + 0.5
        for y, name in zip(middles, ROWS.values()):
            axes.text(LEFT, y, name, transform=across, va="center")
        self.told = [self.move(axes.text(-0.02, y, "", transform=across, ha="right", va="center")) for y in middles]
        self.worth = [self.move(axes.text(1.13, y, "", transform=across, ha="right", va="center")) for y in middles]
        self.total = self.move(axes.text(LEFT, -1.64, "", transform=across, va="bottom", fontsize=11))
        axes.text(1.165, -0.15, "points for\n1 s less", transform=across, ha="right", va="bottom", linespacing=1.05)
        handles = [Patch(**looks[0]), Patch(**looks[1]), self.way, self.slack]
        self._legend(axes, handles, ["machine", "people", "longest way", "may take longer"], LEFT - 0.008)

    def _build_match(self):
        look, axes = self.look, self.match
        axes.set_title("Points of a match, on average", pad=21)
        axes.set_xlabel("time that people drive [s]", labelpad=1)
        self.closing = Part(self, axes, np.zeros((4, 2)), face=look.body, edge=look.body, width=0.5, zorder=0.5)
        self.closing_told = self.move(
            axes.text(0, 1.03, "closing time", transform=axes.get_xaxis_transform(), ha="right", va="bottom")
        )
        self.wanted = self.move(axes.plot([], [], **look.line("limit", 1.6))[0])
        self.quicker = self.move(axes.plot([], [], **look.line("share", 2.0))[0])
        self.curve = self.move(axes.plot([], [], **look.line("give"))[0])
        self.strokes = self.move(
            axes.plot([], [], linestyle="none", marker="|", markersize=9, color=look.colour("give"))[0]
        )
        self.bad = self.move(axes.plot([], [], **look.mark("ask", 8))[0])
        labels = ["as planned", "each cycle 1 s shorter", "wanted", "bad day"]
        self._legend(axes, [self.curve, self.quicker, self.wanted, self.bad], labels, -0.01)

    def _legend(self, axes, handles, labels, left):
        axes.legend(
            handles,
            labels,
            loc="lower left",
            bbox_to_anchor=(left, 1),
            borderaxespad=0.05,
            borderpad=0.2,
            ncols=4,
            frameon=False,
            handlelength=1.9,
            columnspacing=1.0,
            handletextpad=0.4,
        )

    def update(self, report, now, extra):
        """Place the bars, the longest way and the words beside them, and draw the points over the match."""
        steps = steps_of(int(now.pieces.number), bool(now.raising.during))
        times = times_of(now)
        each = [times[step.kind] for step in steps]
        self._update_bars(steps, each)
        self._update_words(now, steps, times)
        self.total.set_text(f"One cycle: {self.said(report.good['time'], 's')}")
        self._update_match(report, now)

    def _update_bars(self, steps, each):
        plan = schedule(steps, each)
        self.reach(self.steps, "x", float(np.max(plan.finish + plan.slack)))
        rows = [list(ROWS).index(step.kind) + 0.5 for step in steps]
        bars = [_bar(start, end, row) for start, end, row in zip(plan.start, plan.finish, rows)]
        human = [step.kind in PEOPLE for step in steps]
        self.machine.set_verts([bar for bar, people in zip(bars, human) if not people])
        self.people.set_verts([bar for bar, people in zip(bars, human) if people])
        waits = [(end, end + more, row) for end, more, row in zip(plan.finish, plan.slack, rows) if more > 1e-9]
        self.slack.set_data(
            np.ravel([(start, end, np.nan) for start, end, _ in waits]), np.repeat([row for _, _, row in waits], 3)
        )
        places = {step.name: place for place, step in enumerate(steps)}
        way = [places[name] for name in critical_path(steps, each)]
        self.way.set_data(
            np.ravel([[plan.start[i], plan.finish[i]] for i in way]), np.repeat([rows[i] + LINE for i in way], 2)
        )

    def _update_words(self, now, steps, times):
        counts = {kind: sum(step.kind == kind for step in steps) for kind in ROWS}
        for kind, told, worth, points in zip(ROWS, self.told, self.worth, second_worth(now)):
            often = f"{counts[kind]} × " if counts[kind] > 1 else ""
            told.set_text(f"{often}{self.said(times[kind], 's')}")
            worth.set_text(f"{points:+.1f}" if points > 0.05 else "0")

    def _update_match(self, report, now):
        driven, leaves = now.match.driven, now.match.driven - now.leave
        total = report.good["time"]
        time = np.linspace(0, leaves, POINTS)
        end = end_points(now)
        ends = np.r_[time, driven, driven]
        scored = so_far(now, total, time)[2]
        quicker = so_far(now, total - min(1.0, total / 2), time)[2]
        if self.match.get_xlim() != (0, 1.02 * driven):
            self.match.set_xlim(0, 1.02 * driven)
            self.stale = True
        self.reach(self.match, "y", max(quicker[-1] + end, report.bad["points"], now.points_wanted))
        self.curve.set_data(ends, np.r_[scored, scored[-1], scored[-1] + end])
        self.quicker.set_data(ends, np.r_[quicker, quicker[-1], quicker[-1] + end])
        done = np.arange(1, np.floor(leaves / total) + 1) * total
        done = done if len(done) <= MOST_STROKES else done[:0]
        self.strokes.set_data(done, so_far(now, total, done)[2])
        self.wanted.set_data([0, 1.02 * driven], [now.points_wanted] * 2)
        self.bad.set_data([driven], [report.bad["points"]])
        high = self.match.get_ylim()[1]
        self.closing.reshape(block(now.match.closing, high, (driven - now.match.closing / 2, high / 2)))
        self.closing_told.set_x(driven)
        self.closing_told.set_visible(bool(now.match.closing > 0))


def _bar(start, end, row):
    return [(start, row - THICK), (end, row - THICK), (end, row + THICK), (start, row + THICK)]


def second_worth(now):
    """Points more in a match for each kind of step that takes one second less each time; less where it does not last
    so long.
    """
    steps = steps_of(int(now.pieces.number), bool(now.raising.during))
    usual = times_of(now)
    less = {kind: max(time - 1.0, 0.0) for kind, time in usual.items()}
    less["jam"] = now.jam_chance * max(now.clear_jam.likely - 1.0, 0.0)
    rows = [[(less if step.kind == kind else usual)[step.kind] for step in steps] for kind in ROWS]
    totals = total_time(steps, [[usual[step.kind] for step in steps], *rows])
    points = so_far(now, totals, now.match.driven - now.leave)[2]
    return points[1:] - points[0]
