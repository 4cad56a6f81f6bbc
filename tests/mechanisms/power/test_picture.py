"""The picture of power and motion: its curves and bars are those of the sizing, and nothing leaves its place."""

import numpy as np
import pytest
from scipy.integrate import trapezoid

from mechbench.catalog import sizing_of
from mechbench.drawing.palette import LIGHT
from mechbench.drawing.picture import Screen
from mechbench.mechanisms.power.picture import END, ROWS, PowerPicture
from tests.drawing.read_back import pictured, state

STATES = [
    {},
    {"time_wanted": 0.3},
    {"profile": "cycloidal", "other_current": 20.0},
    {"load_torque": 12.0, "between": "holds"},
    {"motor": "stout", "count": "3", "pause": 0.0},
]


def drawn(system="metric", **values):
    return pictured("power", values, system=system)[:2]


@pytest.mark.parametrize("values", STATES)
def test_curves_are_those_of_the_sizing(values):
    picture, report = drawn(**values)
    time, rpm = picture.speed.get_data()
    assert time[-1] == pytest.approx(report.values["time_wanted"])
    assert rpm.max() * 2 * np.pi / 60 == pytest.approx(report.good["top_speed"], rel=1e-3)
    assert trapezoid(rpm * 2 * np.pi / 60, time) == pytest.approx(report.values["angle"], rel=1e-3), (
        "the area under the speed is the angle"
    )
    volts, needed = picture.battery.get_data()[1], picture.needed.get_data()[1]
    assert np.min(volts - np.abs(needed)) == pytest.approx(
        report.good["room"], abs=0.05 + 0.01 * np.abs(report.good["room"])
    )
    assert np.abs(picture.current.get_data()[1]).max() == pytest.approx(report.good["current"], rel=0.01)
    assert picture.heating.get_data()[1][0] == report.good["rms"]


@pytest.mark.parametrize("values", STATES)
def test_a_bar_passes_the_line_where_the_finding_is_not_met(values):
    picture, report = drawn(**values)
    findings = {
        "voltage": "room",
        "controller": "current",
        "gearbox": "strength",
        "battery": "volts",
        "fuse": "fuse_used",
        "heat": "rise",
        "loop": "off",
    }
    assert tuple(findings) == ROWS and set(findings.values()) == set(report.good_margin)
    ends = {name: picture.lines[name].get_data()[0][1] for name in ROWS}
    for name, end in ends.items():
        assert (end > 100) == (report.good_margin[findings[name]] < 0), name
        assert 0 <= end <= END
    assert len(picture.over.get_data()[0]) == sum(margin < 0 for margin in report.good_margin.values())


def test_curves_stay_inside_their_axes_at_both_ends_of_every_slider():
    sizing, screen = sizing_of("power"), Screen(PowerPicture, LIGHT)
    for field in sizing.FIELDS:
        if hasattr(field, "low"):
            for end in (field.low, field.high):
                screen.image(*state(sizing, {field.name: field.to_si(end)}), {})
                for axes in (screen.picture.speeds, screen.picture.volts, screen.picture.amps):
                    (left, right), (low, high) = axes.get_xlim(), axes.get_ylim()
                    for line in axes.get_lines():
                        x, y = line.get_data()
                        assert left <= np.min(x) and np.max(x) <= right and low <= np.min(y) and np.max(y) <= high, (
                            field.name,
                            end,
                        )


def test_words_are_in_the_readers_units():
    picture, _ = drawn("us")
    assert "rpm" in picture.speeds.get_title(loc="left") and picture.told["loop"].get_text().endswith("deg")
