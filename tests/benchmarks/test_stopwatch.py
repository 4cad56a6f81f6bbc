"""The stopwatch against the browser's own account of painting.

Source: W3C Element Timing: `renderTime` is when an image that has come whole was first painted. Both count from the
    event of
the same key, so their ratio is near 1.
"""

from statistics import median

import pytest

from tests.benchmarks.ratios import at_least, at_most
from tests.benchmarks.stopwatch import Stopwatch

pytestmark = [pytest.mark.browser, pytest.mark.benchmark]

BENCH = """
import mechbench as mb
mb.bench("motor", show=["load_torque"])
"""
LISTEN = """
arguments[0].elementTiming = 'picture';
window.painted = [];
new PerformanceObserver(list => list.getEntries().forEach(e => painted.push(e.renderTime))).observe({type: 'element'});
"""
PRESSES = 30


def test_a_picture_is_there_when_the_browser_says_that_it_was_painted(notebook, lab, hold):
    page = notebook(BENCH, name="stopwatch.ipynb")
    page.run_all()
    picture = lab.js("return arguments[0].querySelector('.mb-picture')", page.show("cell-1"))
    watch = Stopwatch(
        lab, page.control("Torque of the load", "cell-1"), lab.js("return arguments[0].parentElement", picture)
    )
    lab.js(LISTEN, picture)

    def measure():
        ours, browsers = [], []
        for press in range(PRESSES):
            page.wait_kernel()
            lab.js("painted.length = 0")
            ours.append(watch.time("left" if press % 2 else "right"))
            painted = lab.wait(lambda: lab.js("return painted.at(-1)"), "the browser's account")
            browsers.append(painted - lab.js("return stopwatch.start"))
        ratio, told = median(ours) / median(browsers), f"{median(ours):.1f} and {median(browsers):.1f} ms"
        return [
            at_least(
                "from key press to picture by the stopwatch, not too short beside the browser's account",
                ratio,
                0.5,
                0.7,
                told,
            ),
            at_most(
                "from key press to picture by the stopwatch, not too long beside the browser's account",
                ratio,
                1.3,
                1.1,
                told,
            ),
        ]

    hold(measure)
