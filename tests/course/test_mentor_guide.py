"""The mentor's guide says nothing that is not so: its times add up, its commands and options exist, its lessons are
the course's.
"""

import contextlib
import re

import pytest

from mechbench import wheels
from mechbench.course import gradebook, gradebook_page, plans
from mechbench.course.lessons import LESSONS, ROOT
from mechbench.desk import kit_command
from mechbench.launch import commands

GUIDE = (ROOT / "solutions" / "mentor_guide.md").read_text(encoding="utf-8")
DAYS = re.findall(r"\| start \| minutes \| what \|\n.*?\n\n", GUIDE, re.DOTALL)


def rows(table):
    """The rows of a table below its head."""
    return [[cell.strip() for cell in line.strip("| \n").split("|")] for line in table.strip().splitlines()[2:]]


@pytest.mark.parametrize("day", range(3))
def test_each_line_of_a_day_begins_where_the_one_before_ends(day):
    found = rows(DAYS[day])
    at = [60 * int(start[:2]) + int(start[3:]) for start, _, _ in found]
    assert all(begin + int(minutes) == then for begin, (_, minutes, _), then in zip(at, found, at[1:]))
    assert sum("break" in what for _, _, what in found) == 2 and sum("lunch" in what for _, _, what in found) == 1
    assert at[-1] + int(found[-1][1]) <= 16 * 60 + 15


def test_the_evenings_add_up():
    table = re.search(r"\| evening \|.*?\n\n", GUIDE, re.DOTALL).group()
    for number, (evening, _, *minutes, total) in enumerate(rows(table), 1):
        assert int(evening) == number and sum(map(int, minutes)) == int(total) <= 90


def test_every_lesson_of_the_course_is_in_both_plans_and_in_the_table_of_safety():
    titles = [f"{lesson.number:02} {lesson.title[0].lower()}{lesson.title[1:]}" for lesson in LESSONS]
    evenings = re.search(r"\| evening \|.*?\n\n", GUIDE, re.DOTALL).group()
    table = re.search(r"\| lesson \| on the table \|.*?\n\n", GUIDE, re.DOTALL).group()
    assert (
        re.findall(r"lesson (\d\d [^|]*?) \|", "".join(DAYS)) == titles and [row[1] for row in rows(evenings)] == titles
    )
    assert [row[0] for row in rows(table)] == [title[:2] for title in titles]


def test_the_minutes_are_those_that_the_lessons_say():
    """A lesson says its minutes in its own second part, and those of its measurement beside that heading; both plans
    give just as many.
    """
    days = {name: minutes for minutes, name in re.findall(r"\| (\d+) \| lesson (\d\d) ", "".join(DAYS))}
    table = re.search(r"\| evening \|.*?\n\n", GUIDE, re.DOTALL).group()
    evenings = {row[1][:2]: (row[3], row[4]) for row in rows(table)}
    told = {}
    for path in sorted((ROOT / "solutions").glob("[0-9][0-9]_*.ipynb")):
        text = path.read_text(encoding="utf-8")
        core = re.search(r"\"(\d+) minutes\. Have ", text).group(1)
        told[path.name[:2]] = core, re.search(r"\"### Measure it [^\"]*\((\d+) minutes\)", text).group(1)
    assert told and told == evenings
    assert {number: core for number, (core, _) in told.items()} == days


def test_new_minutes_move_all_that_comes_after(monkeypatch):
    monkeypatch.setattr(plans, "_counted", lambda lesson: (30, 15) if lesson.number == 1 else (40, 20))
    text = "| start | minutes | what |\n| --- | --- | --- |\n"
    text += "| 09:00 | 20 | hello |\n| 09:10 | 5 | lesson 01 motors |\n| 09:20 | 15 | break |\n\n"
    text += "| 2 | 01 motors | 10 | 99 | 99 | 5 | 99 |\n"
    planned = plans.planned(text)
    assert "| 09:00 | 20 | hello |\n| 09:20 | 30 | lesson 01 motors |\n| 09:50 | 15 | break |" in planned
    assert "| 2 | 01 motors | 10 | 30 | 15 | 5 | 60 |" in planned


def test_every_command_exists():
    typed = set(re.findall(r"mechbench ([a-z]+)", GUIDE)) | set(re.findall(r"`(start|check|handin|forget)\b", GUIDE))
    assert (
        {"start", "check", "wheels", "kit", "handout", "gradebook", "handin", "forget"}
        <= typed
        <= commands.COMMANDS.keys()
    )


@pytest.mark.parametrize("name", ["start", "wheels", "handout", "gradebook", "kit new", "kit use"])
def test_every_option_exists(name, capsys):
    with contextlib.suppress(SystemExit):
        commands.main([*name.split(), "--help"])
    told = capsys.readouterr().out
    for line in re.findall(rf"mechbench {name} ([^`\n]*)", GUIDE):
        assert set(re.findall(r"--[a-z]+", line)) <= set(re.findall(r"--[a-z]+", told))


def test_every_word_behind_kit_is_one():
    typed = set(re.findall(r"mechbench kit ([a-z]+)", GUIDE))
    assert {"new", "check", "use", "convert"} == typed == kit_command.COMMANDS.keys()


def test_names_of_files_kinds_and_headings_are_the_real_ones():
    for kind in wheels.PLATFORMS:
        assert f"`{kind}`" in GUIDE
    for name in (gradebook.PAGE, gradebook.TABLE, "mechbench/kits", "game.toml", "parts.toml", "robots.toml"):
        assert f"`{name}`" in GUIDE
    page = (gradebook_page.TEMPLATES / "gradebook.html").read_text(encoding="utf-8")
    for head in (
        "Teach again tomorrow",
        "How the lessons went",
        "Exercise by exercise",
        "Not read or not graded",
        "Worth a look",
        "Learners by exercises",
    ):
        assert f"*{head}*" in GUIDE and f">{head}</h2>" in page
