"""The search equals trying every combination one by one, ranks stably, and tells the nearest miss."""

import itertools

import numpy as np
import pytest

from mechbench.kit import kit
from mechbench.sizing import size
from mechbench.sizing.judge import judge
from mechbench.sizing.search import search

SOME = {"motor": ["small", "large"], "gearbox": ["planetary_16", "planetary_64", "planetary_120"], "last_stage": ["none", "chain_10_to_20"]}


@pytest.mark.parametrize("torque", ["1 N·m", "4 N·m", "9 N·m", "20 N·m"])
def test_search_equals_judging_one_by_one(torque):
    train, asked = size("train"), {"load_torque": torque, "speed_wanted": "15 rpm"}
    ranking = search(train, asked, SOME, days=256)
    singles = {}
    for combination in itertools.product(*SOME.values()):
        choice = dict(zip(SOME, combination))
        singles[combination] = judge(train, {**asked, **choice})
    assert ranking.tried == len(singles) == len(ranking.candidates)
    for candidate in ranking.candidates:
        report = singles[tuple(candidate.choice.values())]
        assert candidate.good == pytest.approx(report.good)
        assert candidate.good_margin == pytest.approx(min(report.good_margin.values()))
        assert candidate.bad_margin == pytest.approx(min(report.bad_margin.values()))
    works = [c.works_on_bad_day for c in ranking.candidates]
    assert works == sorted(works, reverse=True)
    fitting = [c.good["mass"] for c in ranking.fitting]
    assert fitting == sorted(fitting)


def test_ranking_is_stable_and_says_why_nothing_fits():
    train = size("train")
    hard = {"load_torque": "20 N·m", "speed_wanted": "300 rpm"}
    first, second = (search(train, hard, {"motor": None, "gearbox": None, "last_stage": None}) for _ in range(2))
    assert first.candidates == second.candidates
    assert not first.fitting
    miss = first.nearest_miss
    assert miss.weakest in {f.name for f in train.judged()} and min(miss.good_margin, miss.bad_margin) < 0
    best = max(min(c.good_margin, c.bad_margin) for c in first.candidates)
    assert min(miss.good_margin, miss.bad_margin) == best


def test_the_whole_kit_is_tried():
    ranking = search(size("train"), {}, {"motor": None, "gearbox": None})
    assert ranking.tried == len(kit().table("motors")) * len(kit().table("gearboxes"))


def test_fewer_days_in_the_search_agree_with_all_days():
    """64 days instead of 256: the bad-day margin of the finalists moves little."""
    train, asked = size("train"), {"load_torque": "4 N·m", "speed_wanted": "15 rpm"}
    few = {tuple(c.choice.values()): c.bad_margin for c in search(train, asked, SOME, days=64).candidates}
    for c in search(train, asked, SOME, days=256).candidates:
        assert few[tuple(c.choice.values())] == pytest.approx(c.bad_margin, abs=0.04)


@pytest.mark.parametrize(
    "vary, says",
    [({"load_torque": None}, "give the values to try"), ({"motor": ["smal"]}, "did you mean"), ({"moter": None}, "did you mean")],
)
def test_bad_questions_are_one_sentence(vary, says):
    with pytest.raises(ValueError, match=says):
        search(size("train"), {}, vary)


def test_numbers_can_be_varied_too():
    ranking = search(size("motor"), {}, {"load_torque": ["10 mN·m", "50 mN·m"], "motor": None})
    assert ranking.tried == 4
    assert np.isfinite(ranking.candidates[0].good["speed"])
