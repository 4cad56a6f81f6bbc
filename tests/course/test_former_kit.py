"""Answers made with the course's own kit of earlier editions still count, though its parts are gone.

What is expected was written down from those editions, with their own programs: the digest of the kit (its first form,
and its last), what each question asked of ana, and how each design was graded.
"""

from dataclasses import replace

import pytest

from mechbench.course import former_kit, gradebook, handin, handin_file, progress, registry
from mechbench.course.grading import NOT_YET, RIGHT, grade_posed
from mechbench.course.learner_numbers import pose
from mechbench.course.posed_numbers import is_same, of_old, own_kit, posed_again
from mechbench.course.progress import Attempt
from mechbench.kits.load import SETTING
from tests.course import old_edition
from tests.course.samples import KITS

FORMER, STRANGE = ("6cee08632191", "7726230ff103"), "ffffffffffff"
AT = "2026-11-29T15:04Z"
# Exercise, as it was asked then (revision 1) -> digest and numbers of ana's question, and its answer.
ASKED = {
    "power-sag": (
        "4b39c0383938",
        '{"source":[13.2,"V"],"inner":[0.12,"ohm"],"count":[3.0,""],"each":[9.0,"A"],"others":[3.5,"A"]}',
        "9.54 V",
    ),
    "motors-line": (
        "bb689cb73db6",
        '{"motor":"large motor","voltage":[12.0,"V"],"free_speed":[4750.0,"rpm"],"free_current":[0.5,"A"],'
        '"stall_torque":[0.443,"N·m"],"stall_current":[19.35,"A"],"speed":[1190.0,"rpm"]}',
        "0.332 N·m",
    ),
    "gearing-torque-out": (
        "1d25abb2dc28",
        '{"gearbox":"80:1 planetary","ratio":[80.0,""],"stages":[3.0,"whole"],"stage":[90.0,"%"],'
        '"torque":[0.035,"N·m"]}',
        "2.041 N·m",
    ),
}
DESIGN_ROW = '{"points_wanted":[86.0,"points"],"drive_time":[1.4,"s"],"raise_time":[1.6,"s"],"hang_chance":[80.0,"%"]}'
# (shelf, next shelf) of two pieces, raised during the drive -> digest, state.
DESIGNS = {
    ("low", "middle"): ("a612a109c17f-970f1c069513", NOT_YET),
    ("middle", "middle"): ("a612a109c17f-68161d4a5416", NOT_YET),
    ("high", "high"): ("a612a109c17f-f7a194bf441b", NOT_YET),
    ("middle", "low"): ("a612a109c17f-a8180c4be114", RIGHT),
    ("high", "middle"): ("a612a109c17f-42740380654a", RIGHT),
}
DESIGN = registry.exercise("cycle-design")


def plan(shelf, following):
    return f"pieces = 2; raising = during; shelf = {shelf}; next_shelf = {following}"


def attempts(kit_digest):
    """All of these answers, as the former edition kept them."""
    kept = [
        Attempt(id, 1, kit_digest, raw, RIGHT, at=AT, posed_digest=digest, posed=row)
        for id, (digest, row, raw) in ASKED.items()
    ]
    for shelves, (digest, state) in DESIGNS.items():
        slip = "points not met" if state == NOT_YET else ""
        kept.append(
            Attempt(DESIGN.id, 1, kit_digest, plan(*shelves), state, slip, at=AT, posed_digest=digest, posed=DESIGN_ROW)
        )
    return kept


@pytest.fixture(params=("own", "second"))
def in_force(request, monkeypatch, tmp_path):
    """Grade with the course's own kit in force, and with a team's."""
    monkeypatch.setenv(SETTING, str(KITS[request.param].folder))
    monkeypatch.setenv("MECHBENCH_HOME", str(tmp_path / "home"))


each_former = pytest.mark.parametrize("former", FORMER)


# --- one by one ----------------------------------------------------------------------------------------------------


@each_former
@pytest.mark.parametrize("id", ASKED)
def test_its_rows_are_what_they_were(former, id):
    exercise, (digest, row, raw) = registry.exercise(id, 1), ASKED[id]
    found = of_old()(id, exercise.revision, former, 0, "ana")
    assert (found.digest, found.row) == (digest, row)
    assert grade_posed(pose(exercise, "ana", kit=former_kit.kit(former)), raw).state == RIGHT
    assert not of_old()(id, exercise.revision, STRANGE, 0, "ana").digest


@each_former
def test_numbers_of_another_learner_are_seen(former):
    mine = attempts(former)[0]
    again, only_file = posed_again(mine, "ana", {own_kit().digest: own_kit()})
    assert again.si == pose(again.exercise, "ana", kit=former_kit.kit(former)).si and not only_file
    with pytest.raises(ValueError, match="never asked this learner"):
        for other in ("ben", "cleo", "dan", "eve"):  # two learners may have the same numbers, but not all
            posed_again(mine, other, {own_kit().digest: own_kit()})


@each_former
def test_the_question_is_asked_anew_with_the_numbers_of_today(former):
    for attempt in attempts(former):
        now = pose(registry.exercise(attempt.exercise), "ana", kit=own_kit())
        assert not is_same(attempt, now) and not is_same(replace(attempt, state=NOT_YET), now)


@each_former
def test_an_exercise_that_came_later_was_not_asked(former):
    exercise = registry.exercise("power-sag")
    with pytest.raises(ValueError, match="was not asked"):
        former_kit.rows(replace(exercise, id="power-of-tomorrow"))
    with pytest.raises(ValueError, match="was not asked"):
        former_kit.rows(replace(exercise, revision=exercise.revision + 1))


def test_only_these_are_former_kits():
    assert former_kit.kit(STRANGE) is None and former_kit.kit(own_kit().digest) is None
    assert not former_kit.is_former(own_kit()) and former_kit.is_former(former_kit.kit(FORMER[0]))


# --- a hand-in -----------------------------------------------------------------------------------------------------


def handed_in(folder, kept):
    place = folder / "class"
    place.mkdir()
    path = place / "ana.json"
    path.write_text(handin_file.text_of(progress.Learner("a" * 32, "ana", "ana"), kept), encoding="utf-8")
    return path


@each_former
def test_a_hand_in_is_graded_as_before(in_force, former, tmp_path):
    path = handed_in(tmp_path, attempts(former))
    graded = {(one.attempt.exercise, one.attempt.raw): one for one in handin.regrade(handin.read(path))}
    for id, (_, _, raw) in ASKED.items():
        one = graded[id, raw]
        assert (one.state, one.note, one.from_file) == (RIGHT, "", False)
    # The parts of a design are gone: never wrong where it was right, nor the other way round.
    for goals, (_, state) in DESIGNS.items():
        one = graded[DESIGN.id, plan(*goals)]
        assert one.state in (state, handin.NOT_GRADED) and ("earlier edition" in one.note) == (one.state != state)
    (told,) = gradebook.read_folder(path.parent).unread
    assert "not graded. Its parts are of the course's kit of an earlier edition" in told and "--kit" not in told


@each_former
def test_a_hand_in_without_numbers_too(in_force, former, tmp_path):
    kept = [(registry.exercise(id, 1), raw, RIGHT) for id, (_, _, raw) in ASKED.items()]
    path = tmp_path / "old.json"
    for digest, state in ((former, RIGHT), (STRANGE, handin.NOT_GRADED)):
        path.write_text(old_edition.hand_in_text("ana", kept, digest), encoding="utf-8")
        graded = handin.regrade(handin.read(path))
        assert [one.state for one in graded] == [state] * len(kept)
        assert all(("another kit" in one.note) == (digest == STRANGE) for one in graded)
