"""The balance sizing gives what the same robot gives part by part and wheel by wheel."""

import numpy as np
import pytest

from mechbench.catalog import judge, sizing_of
from mechbench.physics.balance import Part, stance

SIZING = sizing_of("balance")


@pytest.mark.parametrize(
    "given",
    [
        {},
        {"raised_height": "950 mm", "raised_forward": "-200 mm", "forward": "30 mm"},
        {"wheelbase": "200 mm", "track": "150 mm", "raised_mass": "5 kg"},
        {"forward": "200 mm", "wheelbase": "150 mm"},
    ],
)
def test_it_equals_the_stance_of_two_parts(given):
    report = judge(SIZING, given)
    v, good = report.values, report.good
    wheels = [(x * v["wheelbase"] / 2, y * v["track"] / 2) for x in (1, -1) for y in (1, -1)]
    robot = stance(
        [
            Part("rest", v["mass"], v["forward"], 0.0, v["height"]),
            Part("raised", v["raised_mass"], v["raised_forward"], 0.0, v["raised_height"]),
        ],
        wheels,
    )
    assert good["centre_height"] == pytest.approx(robot.centre.z) and good["total"] == pytest.approx(robot.centre.mass)
    assert good["tilt"] == pytest.approx(robot.tilt_least)
    if robot.tilt_least > 0:
        assert (good["braking"], good["speeding_up"], good["sideways"]) == pytest.approx(
            (robot.braking, robot.speeding_up, robot.sideways)
        )
        assert good["one_front"] == pytest.approx(robot.loads[0])
        assert good["front"] == pytest.approx(robot.loads[:2].sum() / robot.loads.sum())
    else:
        assert not report.works and good["way"] == np.inf


def test_the_way_to_stop_follows_the_weaker_of_tipping_and_grip():
    good = judge(SIZING, {"speed": "2 m/s"}).good
    assert good["way"] == pytest.approx(4.0 / (2 * min(good["braking"], good["grip"])))
    low = judge(SIZING, {"speed": "2 m/s", "raised_mass": "0 kg"}).good
    assert low["braking"] > low["grip"] and low["way"] == pytest.approx(4.0 / (2 * low["grip"]))
