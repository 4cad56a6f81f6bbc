"""What can't be braked in time, as the words of a report want it."""

import numpy as np
import pytest

from mechbench.engine.spec import RUNAWAY
from mechbench.mechanisms.powertrain import runaway
from mechbench.physics.drive import Line
from mechbench.physics.motion import Bus, Load, move

LINE = Line(1.3, 0.072, 0.28, 1e-4, 0.9, 0.89)  # holds 0.072 (I + 0.28) / 0.89 N·m with a current I
Q = np.linspace(0, 20.0, 41)


def moved(*pulls):
    """Cases whose load pulls so hard from the middle of the way on."""
    table = np.where(Q < 10.0, 0.1, -np.array(pulls)[:, None])
    return move(LINE, Load(Q, table, 0.0, 0.01), Bus(13.0, 0.1))


def test_of_several_moves_the_first_that_cannot_be_braked_is_told():
    """The brake gives 7 V / 1.3 ohm = 5.4 A, which holds 0.458 N·m; 0.6 and 0.8 N·m take 7.14 and 9.61 A."""
    up, down = moved(0.2, 0.6, 0.6, 0.2), moved(0.2, 0.8, 0.2, 0.8)
    found = runaway(up, down)
    assert tuple(found) == RUNAWAY
    assert found["stop_current"] == pytest.approx([0.0, 7.1367, 7.1367, 9.6089], rel=1e-4)
    assert found["stop_from"] == pytest.approx([0.0, 0.5, 0.5, 0.5], abs=0.026)
