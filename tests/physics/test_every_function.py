"""Every public function of the physics, by what its docstring promises.

The call in a function's own example is a valid one. From it: the answer is finite (or inf where the text says so); with
every number made a column of two, the answer is that column; with one number beyond its bound, one sentence names it.
"""

import doctest
import importlib
import inspect
import re
from pathlib import Path

import numpy as np
import pytest

import mechbench.physics

FOLDER = Path(mechbench.physics.__file__).parent
BEYOND = (
    (r"> 0\b", 0.0),
    (r"> 0\b", -1.0),
    (r">= 0\b", -1.0),
    (r"above 0 and at most 1", 1.5),
    (r"above 0 and at most 1", 0.0),
    (r", 0 to 1\b", -0.2),
)


# One thing at a time by its nature; each with the reason.
ONE_ONLY = {
    "fit.student_t": "the quantile is found by bisection, for one confidence",
    "fit.estimate": "one estimate of one fit",
    "kinematics.mecanum_matrix": "one matrix of one robot",
    "kinematics.mecanum_wheels": "one robot, many motions",
    "kinematics.mecanum_motion": "one robot, many motions",
    "train_search.find_trains": "one wish at a time",
}


def public():
    for path in sorted(FOLDER.glob("[!_]*.py")):
        if path.stem in ("check", "constants"):
            continue
        module = importlib.import_module(f"mechbench.physics.{path.stem}")
        for name, found in vars(module).items():
            if inspect.isfunction(found) and found.__module__ == module.__name__ and not name.startswith("_"):
                yield module, name


def example_call(module, name):
    """The arguments of the first call of a function in its own example, and its answer."""
    function, calls = getattr(module, name), []

    def recorder(*args, **kwargs):
        answer = function(*args, **kwargs)
        calls.append((inspect.signature(function).bind(*args, **kwargs), answer))
        return answer

    names = {**vars(module), name: recorder}
    for example in doctest.DocTestParser().get_examples(function.__doc__):
        exec(compile(example.source, "<example>", "single"), names)
    return calls[0] if calls else (None, None)


def numbers_in(answer):
    """All numbers of an answer, whatever it is made of."""
    if isinstance(answer, dict):
        answer = list(answer.values())
    if hasattr(answer, "__dataclass_fields__"):
        answer = [getattr(answer, f) for f in answer.__dataclass_fields__]
    if isinstance(answer, (tuple, list)):
        return [n for part in answer for n in numbers_in(part)]
    array = np.asarray(answer)
    return [array.astype(float)] if array.dtype.kind in "fiub" else []


def is_number(value):
    return isinstance(value, (int, float, np.floating, np.integer)) and not isinstance(value, bool)


def notes(function):
    """What the docstring says of each parameter."""
    part = re.search(r"Parameters\n\s*-+\n(.*?)\n\s*\n\s*Returns", function.__doc__, re.S)
    lines = re.findall(r"^\s*(\w+) : (.*(?:\n(?!\s*\w+ : ).*)*)", part.group(1), re.M) if part else []
    return {name: re.sub(r"\s+", " ", text) for name, text in lines}


EVERY = [pytest.param(module, name, id=f"{module.__name__.rpartition('.')[2]}.{name}") for module, name in public()]


@pytest.mark.parametrize("module, name", EVERY)
def test_the_answer_is_finite(module, name):
    call, answer = example_call(module, name)
    assert call is not None, "its example does not call it"
    # A Line or a Load may hold inf for "no limit".
    said = re.search(r"\binf\b|never|endless|Returns\n\s*-+\n\s*\w+ : \[part\]", getattr(module, name).__doc__)
    for numbers in numbers_in(answer):
        assert not np.any(np.isnan(numbers))
        assert said or np.all(np.isfinite(numbers))


@pytest.mark.parametrize("module, name", EVERY)
def test_a_column_of_two_is_twice_the_same(module, name):
    if f"{module.__name__.rpartition('.')[2]}.{name}" in ONE_ONLY:
        return
    function = getattr(module, name)
    call, answer = example_call(module, name)
    text = notes(function)
    single = lambda key: re.search(r"\[(whole|text|part|yes/no)\]|one number|a number", text.get(key, ""))
    columns = {k: np.array([v, v], dtype=float) for k, v in call.arguments.items() if is_number(v) and not single(k)}
    if not columns or any(np.ndim(v) for v in call.arguments.values() if not isinstance(v, (str, list))):
        return
    wide = function(**{**call.arguments, **columns}) if "args" not in call.arguments else answer
    for one, two in zip(numbers_in(answer), numbers_in(wide)):
        if one.ndim == 0:
            assert np.broadcast_to(two, (2,)) == pytest.approx([float(one)] * 2, rel=1e-9, nan_ok=False)


@pytest.mark.parametrize("module, name", EVERY)
def test_beyond_its_bound_an_argument_is_named(module, name):
    function = getattr(module, name)
    call, _ = example_call(module, name)
    for key, text in notes(function).items():
        if key not in call.arguments or not is_number(call.arguments[key]):
            continue
        for pattern, value in BEYOND:
            if re.search(pattern, text):
                with pytest.raises(ValueError, match=re.escape(key)) as raised:
                    function(**{**call.arguments, key: value})
                assert len(str(raised.value)) < 300 and "\n" not in str(raised.value)
