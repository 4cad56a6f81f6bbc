"""Slips of somebody who types calls by heart: each is one sentence that leads on, in a notebook that sentence alone."""

import numpy as np
import pytest
from IPython.core.interactiveshell import InteractiveShell
from traitlets.config import Config

import mechbench as mb
from mechbench.desk.arguments import BadQuestion


@pytest.mark.parametrize(
    "call, says",
    [
        (lambda: mb.size("arm", 0.5), 'mb.size("arm", payload=0.5)'),
        (lambda: mb.size("arm", "payload=0.5 kg"), 'mb.size("arm", payload="0.5 kg")'),
        (lambda: mb.size("arm", {"payload": 0.5}), 'mb.size("arm", **values)'),
        (lambda: mb.size("arm", kit={"payload": 0.5}), 'mb.size("arm", **values)'),
        (lambda: mb.size("arm", mb.kit()), 'mb.size("arm", kit=...)'),
        (lambda: mb.find("arm", "motor", 0.5), 'mb.find("arm", "motor,gearbox", payload=0.5)'),
        (lambda: mb.most("arm", "payload", "length=0.4 m"), 'length="0.4 m")'),
        (lambda: mb.sweep("arm", "length", 5, "payload=1 kg"), 'payload="1 kg")'),
        (lambda: mb.pit("level", "payload=1 kg"), 'mb.pit("level", payload="1 kg")'),
    ],
)
def test_inputs_are_given_by_name(call, says):
    with pytest.raises(BadQuestion, match="Inputs are given by name: ") as refused:
        call()
    assert says in str(refused.value)


@pytest.mark.parametrize(
    "call",
    [
        lambda: mb.size("arrm"),
        lambda: mb.size("arm", paylod=0.5),
        lambda: mb.size("arm", payload=500),
        lambda: mb.size("arm", payload="500 kg"),
        lambda: mb.size("drivetrain", wheel=92),
        lambda: mb.size("arm", motor="banana"),
        lambda: mb.size("arm", battery="banana"),
        lambda: mb.size("arm", payload=[1, 2]),
        lambda: mb.size("arm", system="imperial"),
        lambda: mb.size("arm").changed(payload=500),
    ],
)
def test_alike_slips_are_of_one_kind(call):
    with pytest.raises(BadQuestion) as refused:
        call()
    assert "\n" not in str(refused.value)


def test_a_plain_number_that_is_refused_says_its_unit():
    with pytest.raises(BadQuestion, match="400 is 400 m; a text with a unit, such as length='400 mm', is safer"):
        mb.size("arm", length=400)
    with pytest.raises(BadQuestion) as refused:
        mb.size("arm", length="4 m")
    assert "SI" not in str(refused.value)


@pytest.mark.parametrize(
    "look, says",
    [
        (lambda: mb.compare, "mb.against("),
        (lambda: mb.max_payload, 'mb.most("arm", "payload")'),
        (lambda: mb.min_count, 'mb.least("arm", "count")'),
        (lambda: mb.size("arm").bad_day, ".bad"),
        (lambda: mb.size("arm").max_payload, 'mb.most("arm", "payload")'),
        (lambda: mb.size("arm").payload, ".values['payload']"),
        (lambda: mb.size("arm").bad.tme, "did you mean 'time'"),
        (lambda: mb.sweep("arm", "motor").tme, "did you mean 'time'"),
        (lambda: mb.sweep("arm", "motor").bad.tme, "did you mean 'time'"),
    ],
)
def test_a_misleading_name_leads_on(look, says):
    with pytest.raises(AttributeError) as refused:
        look()
    assert says in str(refused.value)


def test_names_and_units_are_taken_in_any_case():
    usual = mb.size("arm")
    assert mb.size("Arm").report == usual.report
    for shown in (mb.size("arm", system="US"), mb.size("arm", units="us"), mb.size("arm", units="US")):
        assert " in" in shown._repr_html_().replace("\u00a0", " ") and shown.report == usual.report
    assert "in" in repr(mb.inputs("arm", units="US")) and "lb" in repr(
        mb.against("arm", units="US", payload=[0.3, 0.4])
    )


def test_findings_are_read_by_a_dot_as_by_brackets():
    sized, swept, two = mb.size("arm"), mb.sweep("arm", "motor"), mb.against("arm", payload=[0.3, 0.5])
    assert sized.bad.time == sized.bad["time"]
    for several in (swept, two):
        assert np.array_equal(several.time, several["time"]) and np.array_equal(several.bad.time, several.bad["time"])


def test_a_record_into_no_folder_is_a_sentence(tmp_path):
    with pytest.raises(ValueError, match="There is no folder"):
        mb.size("arm").record(tmp_path / "none" / "arm.html")


@pytest.mark.parametrize(
    "code, says",
    [
        ("mb.size('arm', paylod=0.5)", "did you mean 'payload'?"),
        ("mb.size('arm', 0.5)", "Inputs are given by name"),
        ("mb.size('arm', payload=500)", "payload is 500 kg"),
        ("mb.size('drivetrain', wheel=92)", "'92' has no unit"),
        ("mb.find('arm', 'banana')", "'banana' is not an input"),
        ("mb.sweep('arm', battery=['2.8 Ah', '4 Ah'])", "mb.against("),
        ("mb.most('arm', 'banana')", "'banana' is not an input"),
        ("mb.against('arm', paylod=[1, 2])", "did you mean 'payload'?"),
        ("mb.pit('banana')", "mb.pit_questions()"),
        ("mb.bench('arm', paylod=0.5)", "did you mean 'payload'?"),
        ("mb.compare", "mb.against("),
        ("mb.size('arm').record('none/arm.html')", "There is no folder 'none'"),
    ],
)
def test_a_notebook_shows_the_sentence_alone(code, says, capsys, monkeypatch, tmp_path):
    """Without a learner, and without any other call before."""
    monkeypatch.setenv("IPYTHONDIR", str(tmp_path))
    monkeypatch.chdir(tmp_path)
    for name in list(vars(mb)):
        if name in mb.PUBLIC:
            monkeypatch.delitem(vars(mb), name)
    shell = InteractiveShell.instance(config=Config({"HistoryManager": {"enabled": False}}))
    try:
        result = shell.run_cell(f"import mechbench as mb\n{code}")
        shown = capsys.readouterr().out
    finally:
        InteractiveShell.clear_instance()
    assert says in shown and "Traceback" not in shown and len(shown.strip().splitlines()) == 1
    assert not result.success
