"""From a key press on a slider to its new picture: our bench beside a bare echo and beside plain `interact`, in one
run.

The echo is the least that a slider can do through the kernel: it sets a label to its number. Plain `interact` draws the
same figure for the same numbers with `plt.show`. All three are timed by the same code in the page (stopwatch.py), one
press after the other, so that what else the machine does falls on all alike. Every day two benches are timed, with
MECHBENCH_THOROUGH=1 one of every lesson; most of these solve moves on hundreds of days, which an echo does not, so only
plain `interact`, which solves the same, bounds them.
"""

from statistics import median

import pytest

from mechbench.catalog import sizing_of
from tests.benchmarks.ratios import at_most
from tests.benchmarks.stopwatch import Stopwatch
from tests.tries import tries

pytestmark = [pytest.mark.browser, pytest.mark.benchmark]

# sizing: the slider that is pressed, and what the bench begins with.
EVERY_DAY = {"motor": ("load_torque", {}), "train": ("load_torque", {"last_stage": "nylon_22_to_70"})}
EVERY_LESSON = {
    "trips": ("trip_time", {}),
    "drivetrain": ("mass", {}),
    "intake": ("squeeze", {}),
    "gripper": ("squeeze", {}),
    "arm": ("payload", {}),
    "chained": ("payload", {}),
    "linkage": ("payload", {}),
    "lift": ("payload", {}),
    "winch": ("ahead", {}),
    "scissor": ("load", {}),
    "balance": ("raised_height", {}),
    "power": ("load_torque", {}),
    "cycle": ("drive_time", {}),
}  # (a robot's picture follows its lists alone)
BENCHES = tries(EVERY_DAY, thorough={**EVERY_DAY, **EVERY_LESSON})
PRESSES, WARM_UP = 64, 4
EACH = {"ours": 1, "echo": 1, "plain": 4}  # plain interact is slow and far from its bounds: pressed every fourth time
GOAL_ECHO, BOUND_ECHO = 1.5, 2.5
GOAL_PLAIN, BOUND_PLAIN = 0.5, 0.8

OURS = """
import mechbench as mb
bench = mb.bench({sizing!r}, {values}, show=[{slider!r}])
bench
"""
ECHO = """
import ipywidgets as w
slider, said = w.FloatSlider(description="Echo", min=0, max=10, step=0.1), w.Label("0")
slider.observe(lambda change: setattr(said, "value", str(change.new)), "value")
w.VBox([slider, said])
"""
PLAIN = """
import matplotlib.pyplot as plt
from ipywidgets import FloatSlider, interact
from mechbench.benches.input_control import step_of
from mechbench.catalog import judge, picture_of, sizing_of
from mechbench.drawing.palette import LIGHT
from mechbench.drawing.picture import DOTS_PER_INCH, plain, style
from mechbench.engine.columns import columns
from mechbench.engine.inputs import Tables

sizing = sizing_of({sizing!r})
field, Picture, tables = sizing.field({slider!r}), picture_of({sizing!r}), Tables(sizing)
extra = {{f.name: f.to_si(f.default) for f in Picture.EXTRA}}

def draw(x):
    report = judge(sizing, {{**{values}, {slider!r}: field.to_si(x)}})
    with plt.rc_context(style(LIGHT)):
        figure = plt.figure(figsize=Picture.SIZE, dpi=DOTS_PER_INCH)
        picture = Picture(figure, LIGHT)
        picture.update(report, plain(columns(sizing, report.values, tables)), extra)
        for artist in picture.moving:
            artist.set_animated(False)
        plt.show()

interact(draw, x=FloatSlider(description="Plain", min=field.low, max=field.high, step=step_of(field),
                             value=field.default));
"""


def watches(lab, page, label):
    """A stopwatch for each of the three, each on the element that changes."""
    bench, echo, plain = (page.show(cell) for cell in ("cell-1", "cell-2", "cell-3"))
    inside = lambda cell, css: lab.js("return [...arguments[0].querySelectorAll(arguments[1])].at(-1)", cell, css)
    around = lab.js("return arguments[0].parentElement", inside(bench, ".mb-picture"))
    return {
        "ours": Stopwatch(lab, page.control(label, "cell-1"), around),
        "echo": Stopwatch(lab, page.control("Echo", "cell-2"), inside(echo, ".jp-OutputArea .widget-label")),
        "plain": Stopwatch(lab, page.control("Plain", "cell-3"), inside(plain, ".widget-output")),
    }


@pytest.mark.parametrize("sizing", BENCHES)
def test_new_picture_comes_almost_as_fast_as_an_echo(notebook, lab, hold, sizing):
    slider, values = BENCHES[sizing]
    codes = (code.format(sizing=sizing, slider=slider, values=values) for code in (OURS, ECHO, PLAIN))
    page = notebook(*codes, name=f"latency_{sizing}.ipynb")
    page.run_all()
    timed = watches(lab, page, sizing_of(sizing).field(slider).label)
    hold(lambda: one_round(page, timed, sizing))


def one_round(page, timed, sizing):
    """Press each in turn, and give the ratios of the medians: ours over the echo and over plain interact."""
    times = {name: [] for name in timed}
    for press in range(PRESSES):
        for cell, (name, watch) in zip(("cell-1", "cell-2", "cell-3"), timed.items()):
            if press % EACH[name]:
                continue
            page.show(cell)
            page.wait_kernel()
            times[name].append(watch.time("left" if len(times[name]) % 2 else "right"))
    middle = {name: median(values[WARM_UP:]) for name, values in times.items()}
    told = {name: f"{time:.0f} ms" for name, time in middle.items()}
    bound_echo = BOUND_ECHO if sizing in EVERY_DAY else None
    return [
        at_most(
            f"{sizing}: from key press to picture, beside a bare echo",
            middle["ours"] / middle["echo"],
            bound_echo,
            GOAL_ECHO,
            f"{told['ours']} and {told['echo']}",
        ),
        at_most(
            f"{sizing}: from key press to picture, beside plain interact",
            middle["ours"] / middle["plain"],
            BOUND_PLAIN,
            GOAL_PLAIN,
            f"{told['ours']} and {told['plain']}",
        ),
    ]
