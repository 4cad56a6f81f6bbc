"""What strangers write costs no more than what they should have written: texts, answers and files, each beside an
honest one.

The baselines: one plain quantity read; the new picture of a bench of the same sizing, for which a learner waits at
every slider; an honest hand-in of four thousand answers.
"""

import json

import pytest

from mechbench.catalog import picture_of, sizing_of
from mechbench.course import handin, handin_file, progress, registry
from mechbench.course.exercise import Challenge, Quantity
from mechbench.course.grading import grade_posed
from mechbench.course.learner_numbers import pose
from mechbench.drawing.palette import LIGHT
from mechbench.drawing.picture import Screen
from mechbench.kits import kit
from mechbench.quantity import UnreadableQuantity, read
from tests.benchmarks.ratios import at_most, processor_time
from tests.course.classroom import right
from tests.drawing.read_back import state
from tests.test_quantity import REFUSED, random_texts

pytestmark = pytest.mark.benchmark
MANY = 4000


def refused(text, kind=None):
    try:
        read(text, kind)
    except UnreadableQuantity:
        pass


def test_texts_that_are_no_quantity(hold):
    texts = random_texts(5000)

    def measure():
        plain = processor_time(lambda: [read("3.2 N·m", "torque") for _ in range(1000)], 3) / 1000
        slowest, text = max((processor_time(lambda: refused(text, kind), 5), text) for text, kind, _ in REFUSED)
        random = processor_time(lambda: [refused(text) for text in texts], 3) / len(texts)
        return [
            at_most(
                "the slowest text that is refused, beside a plain one",
                slowest / plain,
                300,
                100,
                f"it begins {text[:20]!r}",
            ),
            at_most("a text of random signs, beside a plain one", random / plain, 20, 5),
        ]

    hold(measure)


def picture_anew(name):
    """What a bench does when a slider moves: judge, draw, encode."""
    screen, extra = Screen(picture_of(name), LIGHT), {f.name: f.to_si(f.default) for f in picture_of(name).EXTRA}
    draw = lambda: screen.png(*state(sizing_of(name), {}), extra)
    draw()  # what stands still is drawn once
    return processor_time(draw, 4)


def test_a_grade_beside_a_new_picture(hold):
    """A design beside a bench of its own sizing; every other answer beside a bench of a motor."""
    asked = [
        (pose(exercise, "ana"), exercise.sizing if isinstance(exercise, Challenge) else "motor")
        for exercise in registry.exercises()
    ]
    answers = [(posed, right(posed), sizing) for posed, sizing in asked]

    def measure():
        pictures = {sizing: picture_anew(sizing) for _, sizing in asked}
        found = [
            (processor_time(lambda: grade_posed(posed, raw), 4) / pictures[sizing], posed.exercise.id)
            for posed, raw, sizing in answers
        ]
        slowest, name = max(found)
        return [at_most("the slowest grade, beside a new picture of a bench", slowest, 2, 1, name)]

    hold(measure)


@pytest.fixture
def honest():
    """A hand-in of many answers, as data."""
    asked = [exercise for exercise in registry.exercises() if isinstance(exercise, Quantity)]
    attempts = [
        progress.Attempt(exercise.id, exercise.revision, kit().digest, "3.2 N·m", "not yet", at="2026-03-02T15:04Z")
        for exercise in (asked * MANY)[:MANY]
    ]
    return json.loads(handin_file.text_of(progress.Learner("f" * 32, "ana", "ana"), attempts))


def test_hand_ins_of_strangers(honest, tmp_path, hold):
    unknown = [{**answer, "exercise": f"gearing-{n}-{'x' * 20}"} for n, answer in enumerate(honest["attempts"])]
    files = {"honest": honest, "unknown": {**honest, "attempts": unknown}, "keys": {str(n): n for n in range(60_000)}}
    texts = {name: json.dumps(data) for name, data in files.items()}
    texts["brackets"], texts["digits"] = "[" * 1_000_000, "9" * 1_000_000
    paths = {name: tmp_path / f"{name}.json" for name in texts}
    for name, text in texts.items():
        paths[name].write_text(text)

    def refuse(name):
        with pytest.raises(handin.HandInError):
            handin.read(paths[name])

    def measure():
        plain = processor_time(lambda: handin.read(paths["honest"]), 3)
        slowest, name = max((processor_time(lambda: refuse(name), 3), name) for name in ("keys", "brackets", "digits"))
        graded, wild = (
            processor_time(lambda: handin.regrade(handin.read(paths[name]))) for name in ("honest", "unknown")
        )
        return [
            at_most("the slowest file that is refused, beside an honest one", slowest / plain, 6, 3, name),
            at_most(f"{MANY} answers to exercises that nobody knows, beside known ones", wild / graded, 100, 10),
        ]

    hold(measure)
