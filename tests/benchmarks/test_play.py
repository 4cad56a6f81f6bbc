"""A bench that moves, in the browser: how many pictures a second are really seen, and how soon the first one comes.

Pictures are counted by the browser itself: its screencast gives a frame whenever it has painted something new, with the
time of that. They are set against the 20 a second that a film is worth. From the press to the first frame is set
against the redraw of a slider on the same bench, timed by the same stopwatch.
"""

import time
from statistics import median

import pytest

from mechbench.catalog import NAMES, picture_of
from tests.benchmarks.ratios import at_least, at_most
from tests.benchmarks.stopwatch import Stopwatch
from tests.tries import tries

pytestmark = [pytest.mark.browser, pytest.mark.benchmark]

MOVING = [name for name in NAMES if picture_of(name).moves()]
BENCHES = tries(["arm", "winch"], thorough=MOVING)
OURS = "import mechbench as mb\nbench = mb.bench({name!r})\nbench"
WANTED, BOUND = 20.0, 0.5  # pictures a second; a machine with nothing to spare may show half of them
BOUND_START = 80.0  # a film is drawn whole before it is shown: at most some 200 pictures, a slider draws one
TIMES = 3

# A screencast tells of every paint; of those the ones in which the film's pixels changed are not told apart, so
# nothing else on the page may move: the pointer rests, the caret has no box.
_PAINTS = """
let [img, seconds, done] = arguments, canvas = document.createElement('canvas'), seen = [], last = '';
canvas.width = canvas.height = 96;
let pen = canvas.getContext('2d', {willReadFrequently: true}), begun = performance.now();
let look = () => {
  pen.drawImage(img, 0, 0, 96, 96);
  let now = pen.getImageData(0, 0, 96, 96).data.join();
  if (now !== last) { seen.push(performance.now() - begun); last = now; }
  performance.now() - begun < 1000 * seconds ? requestAnimationFrame(look) : done(seen);
};
requestAnimationFrame(look);
"""
