"""With the course's own kit every exercise asks what it always asked: else answers that were given would be lost.

rows_of_the_own_kit.json keeps, for each exercise, with the kit of Weavers' Yard: its revision, a digest of its rows
with their texts, and the digest of each row, as it stands with an answer. A new exercise need not stand there. An
exercise that changes gets a new revision, and a new line.
"""

import hashlib
import json
from dataclasses import replace
from pathlib import Path

import pytest

from mechbench.course import registry
from mechbench.course.learner_numbers import pose
from mechbench.course.posed_numbers import own_kit, question

KEPT = json.loads((Path(__file__).parent / "rows_of_the_own_kit.json").read_text(encoding="utf-8"))


def _asked(exercise):
    """The questions of an exercise with the course's own kit: the book's, and those of its practice in turn."""
    first = question(pose(exercise, kit=own_kit()))
    rows = [first]
    for practice in range(1, 100):
        one = question(pose(exercise, practice=practice, kit=own_kit()))
        if one == first or one == rows[-1] or one in rows[1:]:
            break
        rows.append(one)
    return rows


@pytest.mark.parametrize("id", KEPT)
def test_the_rows_are_what_they_were(id):
    revision, texts, digests = KEPT[id]
    exercise = registry.exercise(id)
    asked = _asked(exercise)
    assert exercise.revision == revision
    assert [one.digest for one in asked] == digests.split(" ")
    assert hashlib.sha256("\n".join(one.row for one in asked).encode()).hexdigest()[:12] == texts


def test_a_row_that_changes_is_seen():
    exercise = registry.exercise("arm-level")
    longer = tuple({**row, "length": (row["length"][0] + 1, "cm")} for row in exercise.table(own_kit()))
    asked, kept = _asked(replace(exercise, rows=longer)), KEPT["arm-level"][2].split(" ")
    assert len(asked) == len(kept) and not {one.digest for one in asked} & set(kept)
