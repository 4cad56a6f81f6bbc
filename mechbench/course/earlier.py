"""The command `earlier`: the copies of the answers on this computer, and going back to one of them.

python3 -m mechbench earlier                  what there is, with the number of answers in each
python3 -m mechbench earlier 2026-03-02       back to the copy of that day; what is newer stays
python3 -m mechbench earlier --drop NAME      delete a copy or a damaged file
"""

import sqlite3

from mechbench.command_line import Parser, typed
from mechbench.course import database, rescue


def command(arguments):
    """Do `earlier [NAME] [--drop]`; give the exit code."""
    parser = Parser("earlier", description="List the copies of the answers, or go back to one; what is newer stays.")
    parser.add_argument(
        "name", metavar="NAME", nargs="?", help="a day such as 2026-03-02, or another name from the list"
    )
    parser.add_argument("--drop", action="store_true", help="delete the copy or damaged file of that name instead")
    chosen = parser.parse_args(arguments)
    if chosen.drop and not chosen.name:
        parser.refuse(f"--drop needs the name of a copy or a damaged file: {typed()} earlier lists them.")
    home = database.folder()
    try:
        print(database.patiently(lambda: _done(home, chosen)))
    except (OSError, ValueError, *database.FAULTS) as error:
        known = isinstance(error, (OSError, sqlite3.Error, database.ProgressError))
        print(database.sentence(error, home) if known else error)
        return 1
    return 0


def _done(home, chosen):
    if chosen.name is None:
        return "\n".join(_listing(home))
    return rescue.drop(home, chosen.name) if chosen.drop else rescue.go_back(home, chosen.name)


def _listing(home):
    """Give the lines that tell what there is."""
    now, copies, damaged = rescue.now_there(home), rescue.copies(home), rescue.damaged_files(home)
    yield f"Answers are kept in {home}."
    rows = [("now", now)] if now else []
    rows += [(rescue.short(one.name), one) for one in (*copies, *damaged)]
    if not rows:
        yield "There are none yet; the first copy is made with the first answer of a day."
        return
    width = max(len(name) for name, _ in rows)
    for name, one in rows:
        yield f"  {name:<{width}}  {_told(one)}"
    if copies:
        yield f"{typed()} earlier {rows[bool(now)][0]} goes back to the newest copy; what is newer stays."
    yield from rescue.notices(home)


def _told(one):
    learners = f"{one.learners} learner{'s' * (one.learners != 1)}"
    missing = f", {one.missing} of them not among those of now" if one.missing else ""
    return f"{one.answers} answer{'s' * (one.answers != 1)} by {learners}{missing}"
