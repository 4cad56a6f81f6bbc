"""What is worked out once for rows that are alike is what one gets row by row."""

from types import SimpleNamespace

import numpy as np
import pytest

from mechbench.catalog import sizing_of
from mechbench.engine import unique_rows as module
from mechbench.engine.columns import columns
from mechbench.engine.inputs import Tables, complete
from mechbench.engine.unique_rows import different, once


@pytest.fixture
def few_are_many(monkeypatch):
    """Rows are told apart however few they are."""
    monkeypatch.setattr(module, "FEW", 0)


def test_each_kind_once_and_every_row_finds_its_kind():
    random = np.random.default_rng(1)
    rows = [random.integers(0, 3, 200).astype(float), np.full(200, np.inf), random.choice([-0.5, 0.25], 200)]
    first, place = different(rows)
    kinds = {tuple(row) for row in zip(*rows)}
    assert len(first) == len(kinds) == 6
    assert all(np.array_equal(column[first][place], column) for column in rows)


def test_one_kind_alone_is_one_row():
    first, place = different([np.full(5, np.inf)])
    assert list(first) == [0] and list(place) == [0] * 5


def test_the_work_sees_each_kind_once_and_the_answer_has_all_rows(few_are_many):
    seen = []

    def work(part, more):
        seen.append(len(part.a))
        return {"sum": part.a + part.b + more}

    a, b, more = np.array([1.0, 2.0, 1.0, 2.0, 1.0]), np.array([10.0]), np.array([0.0, 0.0, 0.0, 5.0, 0.0])
    found = once(work, SimpleNamespace(a=a, b=b), more)
    assert seen == [3] and list(found["sum"]) == [11, 12, 11, 17, 11]


def test_what_no_part_brings_along_cannot_be_used(few_are_many):
    with pytest.raises(AttributeError):
        once(lambda part: {"strength": part.allowed}, SimpleNamespace(ratio=np.ones(3)))


def test_a_lift_with_all_pairs_of_gears_equals_each_pair_alone(few_are_many):
    """Many pairs share ratio and efficiency, but not their strength: no pair may get the finding of its like."""
    sizing = sizing_of("lift")
    tables = Tables(sizing)
    pairs = sizing.field("last_stage").options(tables)[::7]
    values = complete(sizing, {}, tables)
    together = sizing.solve(columns(sizing, {**values, "last_stage": pairs}, tables))
    for i, pair in enumerate(pairs):
        for name, alone in sizing.solve(columns(sizing, {**values, "last_stage": pair}, tables)).items():
            found = np.broadcast_to(together[name], len(pairs))[i]
            assert found == pytest.approx(np.ravel(alone)[0], rel=1e-12), (pair, name)
    assert len(set(together["time"])) < len(set(together["strength"]))


def test_few_rows_are_worked_out_as_they_are():
    alike = np.ones(5)
    assert list(once(lambda part: {"rows": np.full(len(part), len(part))}, alike)["rows"]) == [5] * 5
