"""How long files of twice the length take, beside the shorter ones in one run: twice as long at most, and a little.

What grows with the square of the length takes four times as long.
"""

import json

import pytest

from mechbench.catalog import sizing_of
from mechbench.course import gradebook, handin_file, progress, registry
from mechbench.course.exercise import Quantity
from mechbench.desk import record, reopen
from mechbench.desk.reopen import AROUND
from mechbench.engine.inputs import Tables
from mechbench.kits import kit
from tests.benchmarks.ratios import at_most, processor_time

pytestmark = pytest.mark.benchmark
BOUND, GOAL = 3.0, 2.4
BYTES = 400_000
FILES = 150


def refuse(path):
    with pytest.raises(ValueError, match="holds no data"):
        reopen.reopen(path)


def with_odd_inputs(count):
    """A record with so many inputs that nobody knows."""
    sizing = sizing_of("arm")
    data = record.data_of(record.design(sizing, {}, Tables(sizing)))
    data["inputs"] |= {f"odd {number}": {"value": 1} for number in range(count)}
    head, end = AROUND[0]
    return f"{head}{json.dumps(data)}{end}"


def test_records_of_twice_the_length(tmp_path, hold):
    texts = {
        f"{suffix} {times}": (suffix, around[0] * (times * BYTES // len(around[0])))
        for around, suffix in zip(AROUND, ("html", "md"))
        for times in (1, 2)
    }
    texts |= {f"odd {times}": ("html", with_odd_inputs(times * BYTES // 20)) for times in (1, 2)}
    paths = {name: tmp_path / f"{name}.{suffix}" for name, (suffix, _) in texts.items()}
    for name, (_, text) in texts.items():
        paths[name].write_text(text)
    tasks = {"html": refuse, "md": refuse, "odd": lambda path: repr(reopen.reopen(path))}

    def measure():
        for kind, task in tasks.items():
            short, long = (processor_time(lambda: task(paths[f"{kind} {times}"]), 5) for times in (1, 2))
            yield at_most(f"a record of twice the length, {kind}", long / short, BOUND, GOAL, f"{1000 * long:.1f} ms")

    hold(lambda: list(measure()))


def attempt(exercise, number):
    at = f"2026-03-02T{number // 60 % 24:02}:{number % 60:02}Z"
    return progress.Attempt(exercise.id, exercise.revision, kit().digest, f"{number + 1}.25 N", "not yet", at=at)


def hand_ins(folder, count, who, answers):
    folder.mkdir()
    for number in range(count):
        text = handin_file.text_of(who(number), answers(number))
        (folder / f"{number:05}.json").write_text(text, encoding="utf-8")
    return folder


def test_twice_as_many_hand_ins(tmp_path, hold):
    """Of one learner with ever new answers, of one id under many names, and of many who share the same answers."""
    asked = [exercise for exercise in registry.exercises() if isinstance(exercise, Quantity)][:40]
    named = lambda number: progress.Learner(f"{number + 1:032x}", f"learner {number}", f"learner {number}")
    kinds = {
        "one learner": (lambda number: progress.Learner("a" * 32, "ana", "ana"), lambda n: n),
        "one id": (lambda number: progress.Learner("a" * 32, f"ana {number}", f"ana {number}"), lambda n: n),
        "the same answers": (named, lambda n: 0),
    }
    folders = {
        (kind, times): hand_ins(
            tmp_path / f"{kind} {times}",
            times * FILES,
            who,
            lambda n, turn=turn: [attempt(one, turn(n)) for one in asked],
        )
        for kind, (who, turn) in kinds.items()
        for times in (1, 2)
    }

    def measure():
        for kind in kinds:
            few, many = (processor_time(lambda: gradebook.read_folder(folders[kind, times]), 2) for times in (1, 2))
            yield at_most(f"twice as many hand-ins, {kind}", many / few, BOUND, GOAL, f"{many:.2f} s")

    hold(lambda: list(measure()))
