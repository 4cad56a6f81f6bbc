"""What a search takes for the best that a row could reach is never worse than what that row does reach."""

from pathlib import Path

import numpy as np
import pytest

from mechbench.catalog import NAMES, sizing_of
from mechbench.kits import kit, read_kit
from tests.mechanisms.sweeps import drawn, findings
from tests.tries import tries

ROWS = tries(1_000, thorough=24_000)
KITS = {"course": kit, "second": lambda: read_kit(Path(__file__).parents[1] / "kits" / "second_kit")}


@pytest.mark.parametrize("which", KITS)
@pytest.mark.parametrize("name", [name for name in NAMES if sizing_of(name).at_best is not None])
def test_no_row_does_better_than_its_bound(name, which):
    sizing, x = drawn(name, ROWS, np.random.default_rng(17), KITS[which]())
    found, best = findings(sizing, x, ROWS), sizing.at_best(x)
    arrived = 0
    for finding in sizing.FINDINGS:
        if finding.name not in best or not finding.sense:
            continue
        got, bound = found[finding.name], np.broadcast_to(best[finding.name], (ROWS,))
        least = bound * (1 - 1e-9 * np.sign(bound)) if finding.sense == "at most" else got
        most = got if finding.sense == "at most" else bound * (1 + 1e-9 * np.sign(bound))
        worse = np.flatnonzero(np.isfinite(got) & (least > most))
        assert not worse.size, f"{name}.{finding.name}: {worse.size} rows; {got[worse[0]]} beats {bound[worse[0]]}"
        arrived += np.sum(np.isfinite(got))
    assert arrived > ROWS, "most rows can be built"
