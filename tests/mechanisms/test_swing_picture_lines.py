"""Where a tip goes is drawn unlike every curve beside it: nobody takes a place for a torque."""

import pytest

from tests.drawing.read_back import pictured


def _look(line):
    return line.get_color(), line.get_linestyle(), line.get_dash_capstyle()


@pytest.mark.parametrize("name", ["arm", "chained", "linkage"])
def test_the_path_of_the_tip_looks_like_no_curve_of_torque(name):
    picture = pictured(name, {})[0]
    curves = [line for line in picture.torques.get_lines() if len(line.get_xdata()) > 1]
    assert len(curves) >= 2
    assert _look(picture.path) not in [_look(line) for line in curves]
    assert picture.path.get_color() not in [line.get_color() for line in curves if line.get_label()[0] != "_"]
