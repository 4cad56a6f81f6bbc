"""A design exercise opens the bench with its job, and takes the design back."""

import pytest

from mechbench.catalog import sizing_of
from mechbench.course import ask as asking
from mechbench.course import registry
from mechbench.course.ask import Ask, learner
from mechbench.course.design_bench import CLOSE, OPEN
from mechbench.course.exercise import Challenge
from mechbench.course.grading import RIGHT, grade_posed
from mechbench.course.vetting import answers_to_try

DESIGNS = [one.id for one in registry.exercises() if isinstance(one, Challenge)]


@pytest.fixture(autouse=True)
def fresh(tmp_path, monkeypatch):
    monkeypatch.setenv("MECHBENCH_HOME", str(tmp_path))
    monkeypatch.setitem(asking._notebook, "learner", None)
    monkeypatch.setattr(asking, "display", lambda note: None)


def panel_of(id):
    learner("ana")
    return Ask(registry.exercise(id), asking.current_learner()).panel()


@pytest.mark.parametrize("id", DESIGNS)
def test_the_bench_has_the_job_and_what_may_be_chosen(id):
    panel = panel_of(id)
    panel.design.turn()
    bench, posed = panel.design.bench, panel.ask.posed
    for name in posed.exercise.fixed:
        today = sizing_of(posed.exercise.sizing).FORMERLY.get(name, name)
        assert bench.values[today] == pytest.approx(getattr(posed.si, name))
        assert today not in bench._controls
    assert set(posed.exercise.choose) <= set(bench._controls)
    assert panel.design.opener.description == CLOSE
    panel.design.turn()
    assert not panel.design.area.children and panel.design.opener.description == OPEN


@pytest.mark.parametrize("id", DESIGNS)
def test_a_design_that_works_comes_back_and_is_right(id):
    panel = panel_of(id)
    works = next(raw for raw in answers_to_try(panel.ask.posed) if grade_posed(panel.ask.posed, raw).state == RIGHT)
    panel.design.turn()
    for name, given in (part.split(" = ", 1) for part in works.split("; ")):
        panel.design.bench.set(**{name: given})
    panel.design.take()
    assert panel.ask.submit(panel.form.raw()).state == RIGHT
    assert "Now test it" in panel.design.told.value


def test_the_bench_begins_with_what_is_answered_already():
    panel = panel_of("arm-design")
    entry = registry.exercise("arm-design").choose[0]
    other = asking._options(panel.ask.posed, entry)[-1]
    panel.form.put(f"{entry} = {other}")
    panel.design.turn()
    assert panel.design.bench.values[entry] == other


def test_a_part_of_ones_own_is_left_out_and_said():
    panel = panel_of("arm-design")
    panel.design.turn()
    panel.design.bench.set(spring="0.3 N/mm")
    panel.design.take()
    assert "Left out: " in panel.design.told.value and "spring" not in panel.form.raw()


def test_other_exercises_have_no_bench():
    assert panel_of("arm-ratio").design is None
