"""A slider of a bench with a design pinned as A beside the same slider without, in one run: what is behind is kept."""

from statistics import median

import pytest

import mechbench as mb
from tests.benchmarks.ratios import at_most, processor_time

pytestmark = pytest.mark.benchmark
SLIDERS = {"train": ("load_torque", 1.0, 3.0), "arm": ("payload", 0.35, 0.75), "intake": ("squeeze", 1.0, 4.0)}
PLACES, WARM_UP = 40, 4
GOAL, BOUND = 1.25, 1.6


def redraw(bench, name):
    """Processor time of one move of the slider, in seconds: the median of a drag from one end to the other."""
    slider, low, high = SLIDERS[name]
    handle = bench._controls[slider].slider
    places = [low + (high - low) * place / PLACES for place in range(PLACES)]
    return median([processor_time(lambda at=at: setattr(handle, "value", at)) for at in places][WARM_UP:])


@pytest.mark.parametrize("name", SLIDERS)
def test_a_slider_with_a_design_pinned(hold, name):
    def measure():
        alone, pinned = redraw(mb.bench(name), name), redraw(mb.bench(name).pin(), name)
        told = f"{1000 * pinned:.1f} ms and {1000 * alone:.1f} ms"
        return [at_most(f"{name}: a slider with a design pinned", pinned / alone, BOUND, GOAL, told)]

    hold(measure)
