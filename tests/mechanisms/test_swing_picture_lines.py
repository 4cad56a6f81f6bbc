"""Where a tip goes is drawn unlike every curve beside it: nobody takes a place for a torque."""

import pytest

from mechbench.kits import kit
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


@pytest.mark.parametrize("name", ["arm", "chained"])
def test_the_weight_alone_is_told_only_where_a_spring_helps(name):
    spring = next(iter(kit().table("extension_springs").names))
    for values, shown in (({"spring": "none"}, False), ({"spring": spring}, True)):
        picture = pictured(name, values)[0]
        words = [text.get_text() for text in picture.torques.get_legend().get_texts() if text.get_visible()]
        assert ("weight alone" in words) == shown == picture.alone.get_visible()
        assert {"the drive can give", "asked of the drive"} <= set(words)
