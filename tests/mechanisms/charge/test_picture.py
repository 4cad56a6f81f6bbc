"""The picture of a battery's charge: its lines end where hand sums end."""

import numpy as np
import pytest

from tests.drawing.read_back import pictured
from tests.mechanisms.by_hand_handling import KIT


def test_the_charge_falls_to_what_is_kept_back():
    """2.4 A·h at 12 A: 0.2 h would empty it; 75 % of that are 9 min, and 0.6 A·h are left then."""
    picture, *_ = pictured("charge", {"current": "12 A", "usable": "75 %", "time_wanted": "5 min"}, KIT)
    minutes, left = picture.falls.get_data()
    assert list(minutes) == pytest.approx([0, 9]) and list(left) == pytest.approx([2.4, 0.6])
    assert picture.kept.get_data()[1] == pytest.approx([0.6, 0.6])
    assert picture.must.get_data()[0] == pytest.approx([5, 5])
    assert picture.left.get_xlim()[1] > 9 and picture.left.get_ylim()[1] >= 2.4


def test_both_voltages_fall_by_ohms_law():
    picture, *_ = pictured("charge", {"current": "20 A"}, KIT)
    for line, source, ohms in ((picture.full, 15.8, 0.10), (picture.worn, 14.1, 0.17)):
        amps, volts = line.get_data()
        assert volts == pytest.approx(source - ohms * np.asarray(amps)) and amps[0] == 0 and amps[-1] > 20
    assert [float(part[0]) for part in picture.here.get_data()] == pytest.approx([20.0, 13.8])
    assert picture.reset.get_data()[1] == pytest.approx([8.2, 8.2])
