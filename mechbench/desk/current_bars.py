"""Who draws how much current, as a chart of letters and in words; current_chart.py draws the same.

Contents: CHARTED, asked_for, of_report, lines_of, title_of, marks_of, words_of, totals_of, data_of, end_of.
"""

import math

from mechbench import quantity
from mechbench.desk import text_table

# Who asks for these findings of a whole robot gets the chart of all currents; on a page it stands in their place.
CHARTED = "drive_draws", "raise_draws", "hang_draws", "others_draw", "rest_draws"
LONGEST = 44  # letters of a bar
FAR = 2.0  # a mark further out than so many times all currents would make the bars too short to compare
FUSE, RESETS, RESETS_BAD = "F", "R", "r"


def asked_for(names, report, tables):
    """The currents of a report's robot, where findings of these names ask who draws what; else None."""
    return of_report(report, tables) if set(CHARTED) & set(names) else None


def of_report(report, tables):
    """The currents of a report's robot; None of a sizing that is no whole robot."""
    robot = report.sizing.machine(report.values, tables)
    if robot is None:
        return None
    from mechbench.whole_robot.currents import currents_of  # only where a whole robot is asked

    return currents_of(robot, report)


def title_of(found):
    """What the chart shows."""
    return f"Who draws how much current at most: {found.robot}, on a good day"


def totals_of(found):
    """The two sums below the users, with their names."""
    return (("most that runs at the same time", found.at_once), ("all of this at the same time", found.all_on))


def marks_of(found):
    """The currents that matter, the least first: sign, current, what it is in a word or two, and in a sentence."""
    lasts = f"if that lasts {quantity.show(found.wait, 's')}, " if found.wait else ""
    sags = f"with more, the battery falls below {quantity.show(found.level, 'V')}"
    marks = (
        (FUSE, found.fuse, "fuse", "what the fuse is rated for; well above that it melts, the more the sooner"),
        (RESETS_BAD, found.resets_bad, "resets, bad day", f"{sags} on a bad day; {lasts}the robot resets"),
        (RESETS, found.resets, "resets, good day", f"{sags} on a good day"),
    )
    return sorted((mark for mark in marks if math.isfinite(mark[1])), key=lambda mark: mark[1])


def end_of(found):
    """Where the chart ends, in A."""
    near = [amps for _, amps, *_ in marks_of(found) if amps <= FAR * found.all_on]
    return max(found.all_on, found.at_once, *near) * 1.04


def lines_of(found):
    """A row a user: name, current, bar; each mark is a letter in every row, told below."""
    end, rows = end_of(found), [(user.name, user.amps) for user in found.users]
    width = max(len(name) for name, _ in (*rows, *totals_of(found)))
    row = lambda name, amps: f"  {name:<{width}}  {_amps(amps):>8}  {_bar(found, amps, end)}".rstrip()
    lines = [*text_table.wrapped(title_of(found)), *(row(*one) for one in rows), ""]
    lines += [row(*one) for one in totals_of(found)]
    lines += ["", *(line for sentence in words_of(found) for line in text_table.wrapped(sentence, more=3))]
    return lines


def words_of(found):
    """What each mark is, a sentence each."""
    return [f"{sign}  {_amps(amps)}: {told}." for sign, amps, _, told in marks_of(found)]


def data_of(found):
    """The same as plain data, in A."""
    return {
        "robot": found.robot,
        "users": {user.name: user.amps for user in found.users},
        "at_once": found.at_once,
        "all_on": found.all_on,
        "fuse": found.fuse if math.isfinite(found.fuse) else "inf",
        "resets": found.resets,
        "resets_bad": found.resets_bad,
    }


def _bar(found, amps, end):
    """A bar of letters with the marks in it; a current that is not nothing has at least one letter."""
    place = lambda current: round(LONGEST * current / end)
    letters = ["#" if at < max(place(amps), 1) else " " for at in range(LONGEST)]
    for sign, current, *_ in marks_of(found):
        if current <= end:
            letters[min(place(current), LONGEST - 1)] = sign
    return "".join(letters)


def _amps(amps):
    return quantity.show(amps, "A")
