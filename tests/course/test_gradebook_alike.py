"""Which hand-ins share answers: a copied one is said, kindly; honest ones of one room are not.

Outside reference: whoever has other numbers and works by these types other numbers; copies and honest classes are made
here from that alone. How often two honest answers fall into the same minute is drawn, not assumed.
"""

import json
import random
import re
from dataclasses import replace

import pytest

from mechbench.course import gradebook, gradebook_alike, gradebook_csv, handin_file, progress, registry
from mechbench.course.exercise import Challenge, Quantity
from mechbench.course.gradebook import read_folder
from mechbench.course.grading import RIGHT
from mechbench.course.learner_numbers import canonical, pose
from mechbench.kits import kit
from tests.course.classroom import Classroom, planted_slips, right, slipped
from tests.course.test_gradebook import folder, hand_in, made  # noqa: F401  (a fixture)

SHARED = "look at it together with them"
ASKED = [exercise for exercise in registry.exercises() if not isinstance(exercise, Challenge)]
NUMBERS = [exercise for exercise in ASKED if isinstance(exercise, Quantity)]


def room(seed, count=12, exercises=ASKED):
    return Classroom(seed, count, planted_slips(random.Random(seed), 10), exercises=exercises)


def shared(book):
    return [line for line in book.odd if SHARED in line]


def renamed(path, name, change=lambda number, attempt: attempt):
    """Copy a hand-in and make it another learner's by hand: name, key, id; `change` edits its answers."""
    data = json.loads(path.read_text(encoding="utf-8"))
    data |= {"shown": name, "key": canonical(name), "uid": f"{random.Random(name).getrandbits(128):032x}"}
    data["attempts"] = [change(number, attempt) for number, attempt in enumerate(data["attempts"])]
    copy = path.parent / f"copy {name}.json"
    copy.write_text(json.dumps(data), encoding="utf-8")
    return copy


def shown(path):
    return json.loads(path.read_text(encoding="utf-8"))["shown"]


# --- what is said --------------------------------------------------------------------------------------------------


@pytest.mark.parametrize("seed", range(3))
def test_a_hand_in_with_another_name_on_it_is_worth_a_look(folder, seed):  # noqa: F811
    paths = room(seed).write(folder)
    assert shared(read_folder(folder)) == []
    renamed(paths[3], "zzz")
    book = read_folder(folder)
    (line,) = shared(book)
    assert line.startswith(f"{shown(paths[3])}, zzz: ") and "same number for" in line and "same minute" in line
    assert not any(word in line.lower() for word in ("copied", "cheat", "stole", "fraud", "guilt"))
    assert {name for name, _ in book.same_answers} == {shown(paths[3]), "zzz"}


def later(number, attempt):
    """Every answer some minutes later than in the file that it was taken from."""
    return attempt | {"at": f"{attempt['at'][:14]}{(int(attempt['at'][14:16]) + 7) % 60:02}Z"}


def test_other_times_do_not_hide_it(folder):  # noqa: F811
    renamed(room(5).write(folder)[0], "zzz", later)
    (line,) = shared(read_folder(folder))
    assert "zzz" in line and "same minute" not in line


def test_one_answer_in_three_is_enough(folder):  # noqa: F811
    paths = room(6).write(folder)
    other = json.loads(paths[1].read_text(encoding="utf-8"))["attempts"]
    renamed(paths[0], "zzz", lambda n, attempt: attempt if n % 3 == 0 else {**other[n % len(other)], "practice": 1})
    (line,) = shared(read_folder(folder))
    assert "zzz" in line


def test_a_file_that_went_from_hand_to_hand_is_one_sentence(folder):  # noqa: F811
    paths = room(7, 4).write(folder)
    names = [f"zz {number}" for number in range(14)]
    for name in names:
        renamed(paths[2], name)
    book = read_folder(folder)
    (line,) = shared(book)
    assert "(15 in all)" in line and {name for name, _ in book.same_answers} == {shown(paths[2]), *names}


def test_a_file_that_went_round_with_other_times_names_all(folder):  # noqa: F811
    paths = room(10, 8).write(folder)
    names = [f"zz {number}" for number in range(5)]
    for shift, name in enumerate(names):
        renamed(paths[2], name, lambda n, attempt, shift=shift: attempt | {"at": minute(3 * n + shift)})
    book = read_folder(folder)
    assert len(shared(book)) == 1 and {name for name, _ in book.same_answers} == {shown(paths[2]), *names}


def test_a_copy_of_answers_to_the_books_numbers_is_seen_as_a_whole(folder):  # noqa: F811
    """Without a name all have the same numbers, so texts say nothing: only a whole hand-in that is alike does."""
    who = progress.Learner("a" * 32, "", "")
    answers = [answer_of(exercise, "", number) for number, exercise in enumerate(NUMBERS[:40])]
    renamed(hand_in(folder, who, answers), "zzz")
    (line,) = shared(read_folder(folder))
    assert "nearly all their answers" in line and "(40)" in line


def test_page_table_and_screen_say_it(folder, capsys):  # noqa: F811
    paths = room(8, 3).write(folder)
    renamed(paths[0], "zzz")
    page, (head, *rows) = made(folder)
    screen = capsys.readouterr().out
    assert SHARED in screen.split("Worth a look:")[1] and SHARED in page[page.index("<h2>Worth a look</h2>") :]
    column = head.index("answers shared with")
    beside = {(row[0], row[column]) for row in rows if row[column]}
    assert beside == {(shown(paths[0]), "zzz"), ("zzz", shown(paths[0]))}
    assert len(head) == len(gradebook_csv.HEAD) and all(len(row) == len(head) for row in rows)


def test_grades_stay_as_they_are(folder):  # noqa: F811
    paths = room(9, 3).write(folder)
    before = {one.name: one.standings for one in read_folder(folder).learners}
    renamed(paths[0], "zzz")
    after = {one.name: one.standings for one in read_folder(folder).learners}
    assert {name: after[name] for name in before} == before


# --- what is not said ----------------------------------------------------------------------------------------------


def minute(number):
    return f"2026-03-02T{10 + number // 60:02}:{number % 60:02}Z"


def answer_of(exercise, key, number, raw=None):
    raw = right(pose(exercise, key)) if raw is None else raw
    return progress.Attempt(exercise.id, exercise.revision, kit().digest, raw, RIGHT, at=minute(number))


def learners(count):
    return [progress.Learner(f"{n + 1:032x}", f"learner {n}", f"learner {n}") for n in range(count)]


def test_one_room_one_exercise_one_minute(folder):  # noqa: F811
    """All answer each exercise in the very same minute, with wrong answers and slips, each by the own numbers."""
    class_, place = room(1, 30), {exercise.id: number for number, exercise in enumerate(ASKED)}
    for learner in class_.learners:
        hand_in(folder, learner, [replace(one, at=minute(place[one.exercise])) for one in class_.attempts(learner)])
    assert shared(read_folder(folder)) == []


def test_the_books_numbers_are_everybodys(folder):  # noqa: F811
    """Named learners all type the answers of the book, in the same minutes: wrong for all, and readable for all."""
    rng = random.Random(3)
    for learner in learners(12):
        answers = [answer_of(one, "", 2 * number + rng.randrange(2)) for number, one in enumerate(NUMBERS)]
        hand_in(folder, learner, [one for one in answers if rng.random() < 0.9])
    assert shared(read_folder(folder)) == []


def test_a_room_without_names_in_step(folder):  # noqa: F811
    """All have the book's numbers and all have them right, most in the same minute."""
    rng = random.Random(4)
    for n in range(12):
        who = progress.Learner(f"{n + 1:032x}", "", "")
        answers = [answer_of(one, "", 2 * number + rng.randrange(2)) for number, one in enumerate(NUMBERS)]
        hand_in(folder, who, answers)
    assert shared(read_folder(folder)) == []


def test_a_few_numbers_from_a_neighbour_are_nobodys_business(folder):  # noqa: F811
    one, other = learners(2)
    mine = [answer_of(exercise, one.key, number) for number, exercise in enumerate(NUMBERS[:30])]
    theirs = [answer_of(exercise, other.key, number) for number, exercise in enumerate(NUMBERS[:30])]
    hand_in(folder, one, mine)
    hand_in(folder, other, [*mine[:4], *theirs[4:]])
    assert shared(read_folder(folder)) == []


def test_short_guesses_are_no_sign(folder):  # noqa: F811
    for learner in learners(4):
        hand_in(folder, learner, [answer_of(one, learner.key, 3, "1 N") for one in NUMBERS])
    assert not any("same number" in line for line in shared(read_folder(folder)))


def test_the_same_wrong_path_that_gives_the_same_number_is_no_sign(folder):  # noqa: F811
    """Two who make the same known slip, each with the own numbers."""
    for learner in learners(6):
        slips = [(one, slipped(pose(one, learner.key), one.slips[0].name)) for one in NUMBERS if one.slips]
        hand_in(folder, learner, [answer_of(one, learner.key, n, raw) for n, (one, raw) in enumerate(slips)])
    assert shared(read_folder(folder)) == []


def test_one_learner_on_two_laptops_is_no_pair(folder):  # noqa: F811
    """The same name has the same numbers: two rows of one name are said elsewhere."""
    answers = [answer_of(exercise, "ana", number) for number, exercise in enumerate(NUMBERS[:15])]
    for n in (1, 2):
        hand_in(folder, progress.Learner(f"{n:032x}", "ana", "ana"), answers)
    book = read_folder(folder)
    assert shared(book) == [] and any("2 learners are called 'ana'" in line for line in book.odd)


def test_files_without_answers_or_with_unknown_ones_are_compared_too(folder):  # noqa: F811
    strange = [
        progress.Attempt("motors-no-such-thing", 1, "x", f"{n}.25 N", RIGHT, at="2026-03-02T10:00Z") for n in range(9)
    ]
    for learner, answers in zip(learners(3), ([], strange, strange)):
        hand_in(folder, learner, answers)
    assert shared(read_folder(folder)) == []


def test_pairs_beyond_the_bound_are_said(folder, monkeypatch):  # noqa: F811
    paths = room(12, 6).write(folder)
    for number in (0, 1, 2):
        renamed(paths[number], f"zz {number}")
    assert len(shared(read_folder(folder))) == 3
    monkeypatch.setattr(gradebook_alike, "MOST_COMPARED", 2)
    odd = read_folder(folder).odd
    assert len([line for line in odd if SHARED in line]) == 2, "those with most in common are compared first"
    assert any(re.match(r"\d+ more pairs of hand-ins may share answers", line) for line in odd)


def test_a_file_that_is_gone_when_it_is_read_again_is_passed_over(folder, monkeypatch):  # noqa: F811
    paths = room(11, 3).write(folder)
    renamed(paths[0], "zzz")
    monkeypatch.setattr(gradebook, "_quietly", lambda file: None)
    assert shared(read_folder(folder)) == []
    assert handin_file.read(paths[0]).attempts
