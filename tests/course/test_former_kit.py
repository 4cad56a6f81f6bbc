"""Answers made with the course's own kit in its older form still count, and designs by the names that inputs had.

What is expected was written down from the edition before games of any form, with its own program: the digest of its
kit, what each question asked of ana, and how each design was graded.
"""

from dataclasses import replace

import pytest

from mechbench.course import gradebook, handin, handin_file, progress, registry
from mechbench.course.ask import ask
from mechbench.course.grading import NOT_YET, RIGHT, grade_posed
from mechbench.course.learner_numbers import pose
from mechbench.course.posed_numbers import is_same, of_old, own_kit, posed_again, question
from mechbench.course.progress import Attempt
from mechbench.kits.load import SETTING
from tests.course import old_edition
from tests.course.samples import KITS

FORMER, STRANGE = "6cee08632191", "ffffffffffff"
AT = "2026-11-29T15:04Z"
# Exercise -> digest and numbers of ana's question, and its answer.
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


def attempts(kit_digest=FORMER):
    """All of these answers, as the former edition kept them."""
    kept = [
        Attempt(id, registry.exercise(id).revision, kit_digest, raw, RIGHT, at=AT, posed_digest=digest, posed=row)
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


# --- one by one ----------------------------------------------------------------------------------------------------


@pytest.mark.parametrize("attempt", attempts(), ids=lambda one: f"{one.exercise} {one.posed_digest[-4:]}")
def test_an_answer_is_one_to_what_is_asked_now(attempt):
    now = pose(registry.exercise(attempt.exercise), "ana", kit=own_kit())
    assert is_same(attempt, now) and grade_posed(now, attempt.raw).state == attempt.state
    assert not is_same(attempt, pose(now.exercise, "ana", practice=1, kit=own_kit()))
    again, only_file = posed_again(attempt, "ana", {own_kit().digest: own_kit()})
    assert again.si == now.si and not only_file


@pytest.mark.parametrize("id", ASKED)
def test_an_answer_without_numbers_finds_those_of_its_kit(id):
    exercise, (digest, row, _) = registry.exercise(id), ASKED[id]
    found = of_old()(id, exercise.revision, FORMER, 0, "ana")
    assert (found.digest, found.row) == (digest, row)
    wrong = Attempt(id, exercise.revision, FORMER, "1 kN", NOT_YET, at=AT)
    assert is_same(wrong, pose(exercise, "ana", kit=own_kit()))
    assert not is_same(replace(wrong, kit_digest=STRANGE), pose(exercise, "ana", kit=own_kit()))
    assert not of_old()(id, exercise.revision, STRANGE, 0, "ana").digest


def test_old_and_new_names_are_one_and_the_same_design():
    now = pose(DESIGN, "ana", kit=own_kit())
    for shelves in DESIGNS:
        old = plan(*shelves)
        new = old.replace("next_shelf", "next_goal").replace("shelf =", "goal =")
        assert "shelf" not in new and grade_posed(now, new) == grade_posed(now, old)
        assert question(now, new) == question(now, old)


# --- a store, and a hand-in ----------------------------------------------------------------------------------------


def test_a_learners_answers_still_stand(monkeypatch, tmp_path):
    monkeypatch.setenv(SETTING, str(own_kit().folder))
    monkeypatch.setenv("MECHBENCH_HOME", str(tmp_path / "home"))
    import mechbench.course.ask as asking

    keeper = progress.store()
    ana = keeper.learner("ana")
    monkeypatch.setitem(asking._notebook, "learner", ana)
    for attempt in attempts():
        keeper.record(ana, attempt)
    assert {ask(id).state for id in [*ASKED, DESIGN.id]} == {RIGHT}
    assert ask(DESIGN.id).tries == len(DESIGNS) and not ask(DESIGN.id).asked_before


def handed_in(folder, kept):
    place = folder / "class"
    place.mkdir()
    path = place / "ana.json"
    path.write_text(handin_file.text_of(progress.Learner("a" * 32, "ana", "ana"), kept), encoding="utf-8")
    return path


def test_a_hand_in_is_graded_as_before_and_nothing_is_said_of_another_kit(in_force, tmp_path):
    path = handed_in(tmp_path, attempts())
    graded = handin.regrade(handin.read(path))
    assert [one.state for one in graded] == [one.attempt.state for one in graded]
    assert {(one.note, one.from_file) for one in graded} == {("", False)}
    book = gradebook.read_folder(path.parent)
    assert book.unread == [] and book.odd == []
    assert book.learners[0].standings[DESIGN.id].tries == len(DESIGNS)


def test_a_hand_in_without_numbers_too(in_force, tmp_path):
    kept = [(registry.exercise(id), raw, RIGHT) for id, (_, _, raw) in ASKED.items()]
    kept += [(DESIGN, plan(*shelves), state) for shelves, (_, state) in DESIGNS.items()]
    path = tmp_path / "old.json"
    for digest, states in ((FORMER, [state for _, _, state in kept]), (STRANGE, [handin.NOT_GRADED] * len(kept))):
        path.write_text(old_edition.hand_in_text("ana", kept, digest), encoding="utf-8")
        graded = handin.regrade(handin.read(path))
        assert [one.state for one in graded] == states
        assert all(("another kit" in one.note) == (digest == STRANGE) for one in graded)
