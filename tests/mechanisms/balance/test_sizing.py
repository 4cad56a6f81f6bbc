"""The balance sizing gives what the same robot gives part by part and wheel by wheel."""

import numpy as np
import pytest

from mechbench.catalog import judge, sizing_of
from mechbench.engine.inputs import Tables
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


def told(**given):
    """The note on these inputs."""
    return SIZING.note(judge(SIZING, given).values, Tables(SIZING))


def test_what_is_raised_comes_on_top_and_is_told():
    """12 kg at 280 mm and 1.6 kg at 670 mm: 13.6 kg, (12 x 280 + 1.6 x 670) / 13.6 = 325.88 mm; 280 mm without it."""
    given = {"mass": "12 kg", "height": "28 cm", "raised_mass": "1.6 kg", "raised_height": "670 mm"}
    good = judge(SIZING, given).good
    assert good["total"] == pytest.approx(13.6) and good["centre_height"] == pytest.approx(4.432 / 13.6)
    assert told(**given) == "With 1.6 kg raised the whole robot weighs 13.6 kg, its centre of gravity 326 mm high."
    assert told(**given | {"raised_mass": "0 kg"}) == ""
    # 0.165 m ahead of a centre 0.28 m high: 9.81 x 0.165 / 0.28 = 5.78 m/s2 with nothing raised.
    alone = judge(SIZING, given | {"raised_mass": "0 kg", "wheelbase": "330 mm"}).good["braking"]
    assert alone == pytest.approx(5.78, abs=0.005)


def test_the_mass_asked_is_said_to_be_without_what_is_raised():
    assert "without" in SIZING.field("mass").label and "on top" in SIZING.field("mass").help
