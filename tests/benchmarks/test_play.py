"""A bench that moves, in the browser: how many pictures a second are really seen, and how soon the first one comes.

Pictures are counted by the browser itself: its screencast sends one whenever it has painted something new, with the
time of that; nothing else on the page moves meanwhile. They are set against the 20 a second that are wanted. The time
from the press to the first picture is set against the redraw of a slider on the same bench, by the same stopwatch.
"""

from statistics import median

import pytest

from mechbench.catalog import NAMES, picture_of
from tests.benchmarks.ratios import at_least, at_most
from tests.benchmarks.stopwatch import Stopwatch
from tests.browser.screencast import Screencast
from tests.tries import tries

pytestmark = [pytest.mark.browser, pytest.mark.benchmark]

MOVING = [name for name in NAMES if picture_of(name).moves()]
BENCHES = tries(["arm", "winch"], thorough=MOVING)
CODE = "import mechbench as mb\nbench = mb.bench({name!r})\nbench"
WANTED = 20.0  # pictures a second
GOAL, BOUND = 1.0, 0.5
MOST_PICTURES = 40  # of a film, which is drawn whole before it is shown; a slider draws one
PAUSE = 0.5  # s, from one picture to the next: where a machine stands for longer, nothing new is to be seen
PRESSES = 3


@pytest.mark.parametrize("name", BENCHES)
def test_a_film_runs_at_its_pace_and_starts_soon(notebook, lab, hold, name):
    page = notebook(CODE.format(name=name), name=f"play_{name}.ipynb")
    page.run_all()
    page.show("cell-1")
    page.control("Slowly").press("space")  # short moves give no rate
    page.wait_kernel()
    hold(lambda: one_round(page, lab, name))


def one_round(page, lab, name):
    """Ratios of pictures seen to those wanted, and of the first picture's time to a slider's."""
    first = Stopwatch(lab, page.control("Play"), lab.js("return document.querySelector('.mb-film')"))
    extra = picture_of(name).EXTRA[0].label
    around = lab.js("return document.querySelector('.mb-picture').parentElement")
    starts, slides = [], []
    for _ in range(PRESSES):
        starts.append(first.time("space"))
        page.control("Stop").press("space")
        page.wait_kernel()
        page.control(extra).press("home")  # it may stand there already: from there it can go to the right only
        page.wait_kernel()
        slides.append(Stopwatch(lab, page.control(extra), around).time("right"))
        page.wait_kernel()
    rate, seconds = rate_of(page, lab)
    start, slide = median(starts), median(slides)
    return [
        at_least(f"{name}: pictures a second, beside {WANTED:g}", rate / WANTED, BOUND, GOAL, f"{rate:.1f} a second"),
        at_most(
            f"{name}: from Play to the first picture, beside a slider's redraw",
            start / slide,
            MOST_PICTURES,
            None,
            f"{start:.0f} ms for a film of {seconds:.1f} s, and {slide:.0f} ms",
        ),
    ]


def rate_of(page, lab):
    """Pictures a second while a film plays, and how long it played."""
    cast = Screencast(lab, 700, 500)
    try:
        cast.watch(0.5)
        page.control("Play").press("space")
        lab.wait(lambda: lab.js("return !!document.querySelector('.mb-film img')"), "film")
        seen = cast.watch(2.0)
    finally:
        cast.close()
    moving = [at for at, _ in seen]
    steps = [later - before for before, later in zip(moving, moving[1:]) if later - before < PAUSE]
    page.control("Stop").press("space")
    page.wait_kernel()
    return (len(steps) / sum(steps) if steps else 0.0), sum(steps)
