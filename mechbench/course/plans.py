"""The plans in the mentor's guide: days and evenings, with the minutes that the lessons take.

planned    the guide with these minutes written in, and with the starts and sums that follow from them
write      the same, in the file
"""

import re

from mechbench.course import lesson_template, minutes
from mechbench.course.lessons import LESSONS, ROOT
from mechbench.course.notebook import read

GUIDE = ROOT / "solutions" / "mentor_guide.md"
DAY = re.compile(r"\| start \| minutes \| what \|\n.*?\n\n", re.DOTALL)
ENTRY = re.compile(r"(?m)^\| (\d\d):(\d\d) \| (\d+) \| (.*) \|$")
EVENING = re.compile(r"(?m)^(\| \d+ \| (\d\d) [^|]*) \| (\d+) \| \d+ \| \d+ \| (\d+) \| \d+ \|$")
LESSON = re.compile(r"lesson (\d\d) ")


def planned(guide):
    """Give the guide's text with the minutes of each lesson, and of its measurement, as they are counted now."""
    counted = {f"{lesson.number:02}": _counted(lesson) for lesson in LESSONS}
    guide = DAY.sub(lambda day: _day(day.group(), counted), guide)
    return EVENING.sub(lambda row: _evening(row, counted), guide)


def _counted(lesson):
    """Minutes of a lesson's core and of its measurement, as told."""
    found = minutes.stretches(read(ROOT / "solutions" / f"{lesson.stem}.ipynb"))
    measure = sum(one.minutes for one in found if one.name == lesson_template.MEASURE)
    return minutes.told(found[0].minutes), minutes.told(measure)


def _day(table, counted):
    """A day: each entry begins where the one before ends."""
    first = ENTRY.search(table)
    at = 60 * int(first.group(1)) + int(first.group(2))

    def entry(row):
        nonlocal at
        start, lesson = at, LESSON.match(row.group(4))
        length = counted[lesson.group(1)][0] if lesson else int(row.group(3))
        at += length
        return f"| {start // 60:02}:{start % 60:02} | {length} | {row.group(4)} |"

    return ENTRY.sub(entry, table)


def _evening(row, counted):
    """An evening, which adds up."""
    head, number, again, hand_in = row.groups()
    core, measure = counted[number]
    total = int(again) + core + measure + int(hand_in)
    return f"{head} | {again} | {core} | {measure} | {hand_in} | {total} |"


def write():
    """Write the minutes into the guide."""
    before = GUIDE.read_text(encoding="utf-8")
    after = planned(before)
    if after != before:
        GUIDE.write_text(after, encoding="utf-8", newline="\n")
