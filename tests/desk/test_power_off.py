"""Who holds what with the power off: one line in an answer, a row each of a whole robot, never without the caution."""

import re

import pytest

from mechbench.catalog import sizing_of
from mechbench.desk import answer, pit_answer, record
from mechbench.desk.pit_questions import question_meant
from mechbench.engine import power_off
from mechbench.engine.inputs import Tables, complete
from mechbench.whole_robot.build import build
from tests.desk.asked import ask

FALLS = classmethod(lambda cls, report, system: (False, "friction holds 0.4 N·m of 2.1 N·m"))
STAYS = classmethod(lambda cls, report, system: (True, "the ratchet holds"))


def page(name, values=None):
    sizing = sizing_of(name)
    return answer.text_of(record.design(sizing, values or {}, Tables(sizing)))


def words(text):
    return " ".join(text.split())


def test_what_falls_says_so_with_the_caution(monkeypatch):
    monkeypatch.setattr(sizing_of("arm"), "power_off", FALLS)
    told = words(page("arm"))
    assert "With the power off it falls: friction holds 0.4 N·m of 2.1 N·m. Keep hands out" in told


def test_what_stays_is_not_to_be_trusted_either(monkeypatch):
    monkeypatch.setattr(sizing_of("winch"), "power_off", STAYS)
    told = words(page("winch"))
    assert "With the power off it stays: the ratchet holds. Rope or pin it all the same" in told


def test_a_winch_without_a_ratchet_sinks_in_the_verdict_as_it_does_in_play():
    assert "With the power off it sinks" in words(
        page("winch", complete(sizing_of("winch"), {"ratchet": "none"}, Tables(sizing_of("winch"))))
    )


def test_what_can_t_fall_says_nothing(monkeypatch):
    assert "power off it" not in page("cycle") and not power_off.tells(sizing_of("cycle"))
    monkeypatch.setattr(sizing_of("motor"), "power_off", classmethod(lambda cls, report, system: None))
    assert "power off it" not in page("motor")


def test_a_question_of_the_pit_says_it_too(monkeypatch):
    monkeypatch.setattr(sizing_of("arm"), "power_off", FALLS)
    assert "With the power off it falls" in words(pit_answer.answer_of(question_meant("level hot"))[0])


def test_of_a_whole_robot_each_mechanism_has_a_row(monkeypatch):
    """Each sizing is asked with the report of that robot's own mechanism, with the mass that the robot gives it."""
    seen = {}

    def falls(cls, report, system):
        seen[cls.NAME] = report.values
        return False, "nothing holds it"

    monkeypatch.setattr(sizing_of("lift"), "power_off", classmethod(falls))
    monkeypatch.setattr(sizing_of("winch"), "power_off", STAYS)
    told = ask("robot").out.partition("With the power off\n")[2]
    usual = build(Tables(sizing_of("robot"))("robots").usual)
    lift, winch = (
        next(one for one in usual.mechanisms.values() if one.sizing.NAME == name) for name in ("lift", "winch")
    )
    assert re.search(rf"^ +{lift.label} +falls +nothing holds it$", told, re.M) and power_off.CAUTION in told
    assert re.search(rf"^ +{winch.label} +stays +the ratchet holds$", told, re.M) and set(seen) == {"lift"}
    assert seen["lift"]["payload"] == lift.values["payload"], "the robot's own lift is asked, not a usual one"


def test_what_a_robot_s_mechanism_can_t_be_asked_is_not_called_safe(monkeypatch):
    def refuses(cls, report, system):
        raise ValueError("mass is 40 kg, but it must be from 2 kg to 20 kg; choose a value in that range.")

    monkeypatch.setattr(sizing_of("lift"), "power_off", classmethod(refuses))
    told = ask("robot")
    assert told.code in (0, 1) and "not known  mass is 40 kg" in told.out


@pytest.mark.parametrize("name", ["arm", "lift", "winch", "robot"])
def test_lines_fit_the_window(monkeypatch, name):
    for one in ("arm", "lift", "winch"):
        monkeypatch.setattr(sizing_of(one), "power_off", FALLS)
    assert max(map(len, page(name).splitlines())) <= 100


def test_a_gripper_lets_go_and_says_who_stands_below():
    assert "With the power off it lets go: " in words(page("gripper")) and "hands and feet" in words(page("gripper"))


def test_in_us_units_it_is_told_in_them():
    told = words(ask("arm --us").out).partition("With the power off it ")[2].partition("on a bad day")[0]
    assert "lbf" in told and "N·m" not in told
