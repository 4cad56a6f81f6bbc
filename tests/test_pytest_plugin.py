"""A kernel that dies at its start is started again, and nothing else is tried twice."""

import pytest

from mechbench.pytest_plugin import KERNEL_TRIES, tried_again


def starts(*outcomes):
    """A start that ends so, one after the other, and how often it was called."""
    calls = []

    def start(name, cwd=None):
        calls.append((name, cwd))
        outcome = outcomes[len(calls) - 1]
        if isinstance(outcome, Exception):
            raise outcome
        return outcome

    return start, calls


DIED = RuntimeError("Kernel died before replying to kernel_info")


def test_a_kernel_that_died_is_started_again_with_the_same_words():
    start, calls = starts(DIED, DIED, "runs")
    assert tried_again(start)("python", cwd="here") == "runs"
    assert calls == [("python", "here")] * KERNEL_TRIES


def test_one_that_dies_every_time_is_told():
    start, calls = starts(*[DIED] * KERNEL_TRIES)
    with pytest.raises(RuntimeError, match="died"):
        tried_again(start)("python")
    assert len(calls) == KERNEL_TRIES


@pytest.mark.parametrize("fault", [RuntimeError("Kernel didn't respond in 300 seconds"), ValueError("died")])
def test_what_has_another_cause_is_told_at_once(fault):
    start, calls = starts(fault)
    with pytest.raises(type(fault), match=str(fault)):
        tried_again(start)("python")
    assert len(calls) == 1


def test_notebooks_are_started_that_way():
    import nbval.kernel

    assert nbval.kernel.start_new_kernel.__qualname__ == tried_again(print).__qualname__
