"""A robot whose parts print little: its verdict against kits that print the ends, and the days of its mechanisms."""

import numpy as np
import pytest

from mechbench.catalog import sizing_of
from mechbench.engine.bands import Bands
from mechbench.engine.judge import FAILS, judge
from mechbench.kits import read_kit
from mechbench.physics import assumed
from mechbench.whole_robot.build import build
from mechbench.whole_robot.sizing import _place
from mechbench.whole_robot.together import Together
from mechbench.whole_robot.work import SPREADS, Days, Work
from tests.kits import four_numbers

ROBOT = sizing_of("robot")
NAME = "crane"
LOW, HIGH = assumed.INERTIA_BAND


def middles(bare, but=()):
    """Every number that was assumed, printed as it was assumed, but for some."""
    printed = {}
    for table, keys in four_numbers.ASSUMED.items():
        for part in bare.table(table).names:
            row = bare.table(table).row(part)
            printed[table, part] = {key: row[key] for key in keys if (table, part, key) not in but}
    return printed


@pytest.fixture(scope="module")
def kits(tmp_path_factory):
    """By share: a kit in which only the rotor inertia of one motor is assumed (None), or printed at that share."""
    path = tmp_path_factory.mktemp("kits")
    bare = read_kit(four_numbers.folder(path / "bare"))
    key = ("motors", "brisk", "rotor_inertia")
    made = {None: read_kit(four_numbers.folder(path / "assumed", middles(bare, [key])))}
    for share in (LOW, 1.0, HIGH):
        printed = middles(bare)
        printed["motors", "brisk"]["rotor_inertia"] *= share
        made[share] = read_kit(four_numbers.folder(path / str(share), printed))
    return made


def asked(kit, points):
    return judge(ROBOT, {"which": NAME, "points_wanted": points}, kit)


def test_only_the_one_number_is_assumed(kits):
    report = asked(kits[None], 60.0)
    assert {one.key.rpartition("/")[2] for one in report.assumed} == {"rotor_inertia"}
    assert not kits[1.0].table("motors").assumed and not asked(kits[1.0], 60.0).assumed


def test_the_good_day_is_the_assumed_middle(kits):
    assert asked(kits[None], 60.0).good == pytest.approx(asked(kits[1.0], 60.0).good, rel=1e-9)


def test_more_inertia_never_scores_more(kits):
    points = [asked(kits[share], 60.0).good["points"] for share in (LOW, 1.0, HIGH)]
    assert points == sorted(points, reverse=True) and points[0] > points[-1]


@pytest.mark.parametrize("day", ["good", "bad"])
@pytest.mark.parametrize("place", [-0.5, 0.25, 0.5, 0.75, 1.5])
def test_verdicts_at_the_ends_printed_by_hand(kits, day, place):
    """Points asked for below, between and above what the two ends make on a good, or on a bad day."""
    low, high = (getattr(asked(kits[share], 60.0), day)["points"] for share in (HIGH, LOW))
    points = low + place * (high - low)
    verdicts = {asked(kits[share], points).verdict for share in (LOW, 1.0, HIGH)}
    report = asked(kits[None], points)
    assert report.known == (len(verdicts) == 1)
    if report.known:
        assert {report.verdict} == verdicts
    else:
        assert all(one.key.endswith("/rotor_inertia") for one in report.rests_on)


def test_a_day_at_an_end_is_the_kit_that_prints_the_end(kits):
    """All mechanisms' bands at one end: the findings of the same robot in the kit that prints that end."""
    good = np.full((1, len(SPREADS)), np.nan)
    names = [
        f"{one.name}/{path.replace('.', '/')}"
        for one in build(NAME, kits[None]).mechanisms.values()
        for path in one.bands.paths
    ]
    assert names
    for share, end in ((LOW, 0.0), (1.0, 0.5), (HIGH, 1.0)):
        days = Days(np.hstack([good, np.full((1, len(names)), end)]), names)
        robots = [build(NAME, kits[None])] * 2
        work, both = Work(robots[0], days), Together(robots, days)
        plain = Work(build(NAME, kits[share]), Days.good())
        for name in work.robot.mechanisms:
            for key, value in plain.findings(name).items():
                assert work.findings(name)[key] == pytest.approx(value, rel=1e-9), (name, key)
                assert both.findings(name)[key] == pytest.approx(np.repeat(value, 2), rel=1e-9), (name, key)


def test_places_are_read_back_from_shares():
    low, high, places = np.array([[0.4]]), np.array([[1.6]]), np.linspace(-1, 1, 41)
    shares = Bands(("a.b",), low, high).share(0, places)
    assert _place(shares, low[0], high[0]) == pytest.approx((places + 1) / 2)
    assert _place(np.array([0.7, 1.0]), 0.4, 1.0) == pytest.approx([0.5 - 0.5 * np.log(0.7) / np.log(0.4), 0.5])
    assert _place(np.array([1.0]), 1.0, 1.0) == 0.5


def test_a_robot_of_gears_that_nobody_knows_is_not_known(kits, tmp_path):
    bare = read_kit(four_numbers.folder(tmp_path / "kit"))
    report = asked(bare, 60.0)
    assert not report.known and report.verdict != FAILS
    assert {one.key.rpartition("/")[2] for one in report.rests_on} == {"allowed_small"}
