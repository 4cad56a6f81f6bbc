"""Damage and loss of the file with the answers: daily copies, carrying over, going back, and what is still missing.

    copy_of_the_day(folder)    at the first answer of a day; the last KEPT days stay
    set_aside(folder)          a damaged file gets another name, once all that can be read of it is in a new one
    go_back(folder, name)      to a copy, or to what a damaged file holds; nothing newer is lost
    copies, damaged_files, now_there    what there is, by name; `drop` deletes one
    still_readable(folder, key)    a learner's answers while no sound file can be had
    notices(folder)            what is not in order, one sentence each, told at each start (`at_start`)
    erase(folder, key)         delete a learner from all of them

An answer is added and never changed, and has an id made once. So files are joined by adding what one of them lacks.
Where a file takes the place of another, the new one is whole and on the disk before, and both are on the disk after.
"""

import math
import os
import re
import time
import uuid
from contextlib import closing
from dataclasses import dataclass

from mechbench.command_line import typed
from mechbench.course import database, pending
from mechbench.course.database import FAULTS, NAME

KEPT = 7
COPY, DAMAGED = "copy-*.sqlite", "damaged-*.sqlite"
DAY = re.compile(r"copy-\d{4}-\d\d-\d\d\.sqlite")
# A page holds about thirty answers; so many places behind an unreadable one are tried, one by one.
LEAPS = 10_000
LEARNER = ("uid", "shown", "key", "made")
ATTEMPT = (
    *("id", "uid", "edition", "exercise", "rev", "kit_digest", "seq", "practice", "raw", "parsed_si", "unit"),
    *("state", "slip", "hints", "at", "made_by", "posed_digest", "posed"),
)
COLUMNS = {"learner": LEARNER, "attempt": ATTEMPT}
LOST_NAME = "lost name"  # answers whose learner can't be read are kept under this, with a part of the learner's id
LATER = {"posed_digest": "", "posed": ""}  # what stands in a column that files of an earlier edition lack
ADD_LEARNER = f"INSERT OR IGNORE INTO learner ({', '.join(LEARNER)}) VALUES (:{', :'.join(LEARNER)})"
# The learner is found by name, for the same one may have another id in another file; a place in the order that is taken
# becomes the next free one. What breaks the table's own rules is part of the damage and is left out.
PLACE = """CASE WHEN EXISTS (SELECT 1 FROM attempt WHERE uid = learner.uid AND seq = :seq)
    THEN (SELECT max(seq) + 1 FROM attempt WHERE uid = learner.uid) ELSE :seq END"""
GIVEN = ", ".join({"uid": "uid", "seq": PLACE}.get(name, f":{name}") for name in ATTEMPT)
ADD_ATTEMPT = f"INSERT OR IGNORE INTO attempt ({', '.join(ATTEMPT)}) SELECT {GIVEN} FROM learner WHERE key = :key"


@dataclass(frozen=True)
class Found:
    """A file beside the progress file: its name, the answers and learners in it, the answers that are only in it."""

    name: str
    answers: int
    learners: int
    missing: int


# --- copies --------------------------------------------------------------------------------------------------------


def copy_of_the_day(folder):
    """Keep a copy of the answers as they are, once a day; the oldest ones go, unless an answer is only there."""
    path = folder / f"copy-{_today()}.sqlite"
    if path.exists():
        return
    with database.alone(folder):
        if path.exists():
            return
        database.sweep(folder)
        unfinished = folder / database.UNFINISHED.replace("*", uuid.uuid4().hex)
        try:
            _copy(folder / NAME, unfinished)
            os.replace(unfinished, path)
        finally:
            database.sweep(folder)
        pending.sync_folder(folder)
        _thin_out(folder)


def _copy(source, target):
    os.close(os.open(target, os.O_RDWR | os.O_CREAT | os.O_EXCL, 0o600))
    with closing(database.connect(source)) as old, closing(database.connect(target)) as new:
        old.execute("BEGIN")  # With a read lock of its own it has not to wait for one in the middle.
        old.execute("SELECT 1 FROM meta").fetchall()
        old.backup(new)
    database.check_file(target)


def _thin_out(folder):
    """Delete the oldest copies beyond KEPT, of those made daily and of those made when someone went back."""
    kinds = [], []
    for path in _newest_first(folder, COPY):
        kinds[bool(DAY.fullmatch(path.name))].append(path)
    kept = _ids(folder / NAME)
    for path in (*kinds[0][KEPT:], *kinds[1][KEPT:]):
        if _ids(path) <= kept:
            path.unlink(missing_ok=True)


# --- from one file into another ------------------------------------------------------------------------------------


def set_aside(folder):
    """Put a new file in place of a damaged one, with the answers that can still be read, and say so."""
    with database.alone(folder):
        if database.healthy(folder):
            return ""  # Another process was quicker.
        empty = not os.path.getsize(folder / NAME)
        aside = _new_name("damaged")
        copies = [path for path in _newest_first(folder, COPY) if _if_it_can_be(_ids, path)]
        carried, *more = _renew(folder, aside, [folder / NAME, *copies])
    also = f" {_answers(sum(more))} came from the daily copies." if sum(more) else ""
    also += _say_lost_names(folder)
    also += f" {typed()} earlier tells more."
    return (
        f"The file with the answers was {'empty (0 bytes)' if empty else 'damaged'}: it is kept as {aside}, a new one "
        f"was started, and {carried} earlier answer{'' if carried == 1 else 's'} could be carried over.{also}"
    )


def _say_lost_names(folder):
    lost = [row["key"] for row in readable(folder / NAME, "learner") if row["key"].startswith(LOST_NAME)]
    return f" Whose some are could not be read, they are under: {', '.join(lost)}." if lost else ""


def go_back(folder, name):
    """Go back to a copy, or take in what a damaged file holds, and say what came of it."""
    chosen = folder / _file_of(folder, name)
    with database.alone(folder):
        aside = _new_name("copy" if _sound(folder) else "damaged")
        there = (folder / NAME).exists()
        sources = [folder / NAME, chosen] if chosen.match(DAMAGED) else [chosen, folder / NAME]
        counts = dict(zip(sources, _renew(folder, aside, sources)))
    was = f" What was there before is kept as {aside}." if there else ""
    if chosen.match(DAMAGED):
        return f"{_answers(counts[chosen])} of {chosen.name} came back.{was} {_how_to_drop(chosen.name)}"
    newer = counts[folder / NAME]
    return f"Back at {chosen.name}, with {_answers(counts[chosen])}; {newer} that {_was(newer)} not in it stayed.{was}"


def _sound(folder):
    """Tell a sound file from a damaged one; what can't be used for another reason is an error."""
    try:
        database.check(folder)
    except FAULTS as error:
        if not database.damaged(error):
            raise
        return False
    return True


def drop(folder, name):
    """Delete a copy or a damaged file, and say so."""
    file = _file_of(folder, name)
    (folder / file).unlink()
    pending.sync_folder(folder)
    return f"Deleted: {file}."


def _renew(folder, aside, sources):
    """Put a file made of others in place, the first of them first; give how many answers came from each."""
    database.sweep(folder)
    os.makedirs(folder, mode=0o700, exist_ok=True)
    with database.making(folder) as (new, finished):
        counts = _join(new, sources)
    database.put_in_place(folder, finished, aside)
    return counts


def _join(new, sources):
    """Add what can be read of files to an open one that lacks it; give how many answers came from each."""
    names = {}
    for path in sources:
        for row in learners_of(path):
            names.setdefault(row["uid"], row["key"])
            new.execute(ADD_LEARNER, row)
    return [sum(_add(new, row, names) for row in readable(path, "attempt")) for path in sources]


def learners_of(path):
    """List the learners of a file: a name that can't be read in the table may be read in its two indexes."""
    rows = readable(path, "learner")
    known = {row["uid"] for row in rows}
    uids, keys = (_by_place(path, column, index) for column, index in (("uid", 1), ("key", 2)))
    found = {uid: keys[place] for place, uid in uids.items() if place in keys and uid not in known}
    return [*rows, *({"uid": uid, "shown": key, "key": key, "made": ""} for uid, key in found.items())]


def _by_place(path, column, index):
    query = f"SELECT rowid, {column} FROM learner INDEXED BY sqlite_autoindex_learner_{index}"
    found = {}
    try:
        with closing(database.connect(path)) as old:
            found.update(old.execute(query))
    except FAULTS:
        pass  # One way out of several; the rows before the fault are in.
    return found


def _add(new, row, names):
    if row["uid"] not in names:
        name = f"{LOST_NAME} {row['uid'][:8]}"
        names[row["uid"]] = name
        new.execute(ADD_LEARNER, {"uid": row["uid"], "shown": name, "key": name, "made": ""})
    return max(0, new.execute(ADD_ATTEMPT, {**row, "key": names[row["uid"]]}).rowcount)


def readable(path, table, columns=None):
    """List the rows of a table, by column, that can be read of a file, whole or damaged.

    What is no damage is an error: a file that is locked or may not be read just now does not count as empty.
    """
    rows = []
    if not path.exists():
        return rows
    try:
        with closing(database.connect(path)) as old:
            for row in _rows(old, table, ", ".join(columns or "*")):
                row = row if columns else {**LATER, **row}
                if row.keys() >= set(columns or COLUMNS[table]):
                    rows.append(row)
    except FAULTS as error:
        if not (database.damaged(error) or database.lacks_something(error)):
            raise
    return rows


def _if_it_can_be(look, path, *more):
    """Look at a file that nothing depends on; an empty list where that can't be done now."""
    try:
        return look(path, *more)
    except FAULTS:
        return []


def _rows(connection, table, columns):
    """Give rows by their place in the file; behind a page that can't be read, the next places are tried one by one."""
    at, leaps, end = -1, 0, _last_place(connection, table)
    query = f"SELECT rowid AS place, {columns} FROM {table} WHERE rowid > ? ORDER BY rowid"
    while leaps <= LEAPS and at < end:
        try:
            for row in (found := connection.execute(query, (at,))):
                named = dict(zip((column for column, *_ in found.description), row))
                at, leaps = max(at, named.pop("place")), 0
                yield named
            return
        except FAULTS as error:
            if not database.damaged(error):
                raise
            at, leaps = at + 1, leaps + 1


def _last_place(connection, table):
    # The index stands on other pages than the table, and names each place too.
    try:
        query = f"SELECT max(rowid) FROM (SELECT rowid FROM {table} INDEXED BY sqlite_autoindex_{table}_1)"
        (last,) = connection.execute(query).fetchone()
    except FAULTS:
        return math.inf
    return 0 if last is None else last


# --- what there is, and what is missing ------------------------------------------------------------------------------


def copies(folder):
    """List the copies, the newest first."""
    return _look_at(_newest_first(folder, COPY), _ids(folder / NAME))


def damaged_files(folder):
    """List the damaged files that were set aside, the newest first."""
    return _look_at(_newest_first(folder, DAMAGED), _ids(folder / NAME))


def notices(folder):
    """Say what is not in order, each with the way out; nothing where all is well.

    An answer that is missing is told with one file, the newest copy that has it.
    """
    hurt, copied = _newest_first(folder, DAMAGED), _newest_first(folder, COPY)
    known = _ids(folder / NAME) if hurt or copied else set()
    told = [
        f"{one.name} is a copy with answers: {_only_there(one)} {_how_to_drop(one.name)}"
        for path in copied
        for one in _look_at([path], known, add=True)
        if one.missing
    ]
    told += [
        f"{one.name} is a damaged file with answers: {_only_there(one)} {_how_to_drop(one.name)}"
        for path in hurt
        for one in _look_at([path], known, add=True)
    ]
    told += [
        f"{path.name} held an answer that waited, and can't be read. {_how_to_drop(path.name)}"
        for path in pending.unreadable(folder)
    ]
    return told


def at_start():
    """Say what is not in order with the answers of this account, for a program that starts."""
    try:
        return database.patiently(lambda: notices(database.folder()))
    except FAULTS:
        return []  # The lessons say what is wrong, with the first answer.


def now_there(folder):
    """Tell what is in the progress file; None where there is none."""
    path = folder / NAME
    return _look_at([path], _ids(path))[0] if path.exists() else None


def still_readable(folder, key):
    """List a learner's answers in their order, as far as they can be read, where no sound file can be had just now."""
    found = {}
    for path in (folder / NAME, *_newest_first(folder, COPY)):
        uids = _if_it_can_be(_uids, path, key)
        for row in _if_it_can_be(readable, path, "attempt"):
            if row["uid"] in uids:
                found.setdefault(row["id"], row)
    return sorted(found.values(), key=lambda row: row["seq"])


def _only_there(one):
    if not one.missing:
        return "each answer that can be read of it is kept elsewhere, what can't be read may be lost."
    bring = f"{typed()} earlier {short(one.name)} brings {'it' if one.missing == 1 else 'them'} back."
    return f"{_answers(one.missing)} in it {'is' if one.missing == 1 else 'are'} not among those kept now; {bring}"


def _how_to_drop(name):
    return f"When you don't need it any more: {typed()} earlier --drop {short(name)} deletes it."


def _look_at(paths, known, add=False):
    """Tell what is in files, and how many of the answers are not among the known ones; with `add` they are then."""
    found = []
    for path in paths:
        ids, learners = _if_it_can_be(_ids, path), _if_it_can_be(learners_of, path)
        found.append(Found(path.name, len(ids), len(learners), len(set(ids) - known)))
        known.update(ids if add else ())
    return found


def _ids(path):
    return {row["id"] for row in readable(path, "attempt", ["id"])}


# --- forgetting ------------------------------------------------------------------------------------------------------


def holders(folder, key):
    """List the files beside the progress file in which a learner can be read."""
    return [path.name for path in _beside(folder) if _uids(path, key)]


def erase(folder, key, known):
    """Delete a learner from copies and damaged files; list those that were cleaned, and those that may hold more.

    `known` are the learner's ids in the progress file. A file is clean when it is whole and none of the ids is left in
    its bytes: each answer has one.
    """
    with database.alone(folder):
        database.sweep(folder)
        pending.remove(pending.parts(folder))
        files = _beside(folder)
        uids = {*known, *(uid for path in files for uid in _uids(path, key))}
        held = [path for path in files if any(uid.encode() in path.read_bytes() for uid in uids)]
        clean = [path.name for path in files if _erased(path, uids)]
    return [path.name for path in held if path.name in clean], [path.name for path in files if path.name not in clean]


def _erased(path, uids):
    if not path.stat().st_size:
        return True
    try:
        with database.transaction(path) as old:
            for uid in uids:
                old.execute("DELETE FROM attempt WHERE uid = ?", (uid,))
                old.execute("DELETE FROM learner WHERE uid = ?", (uid,))
        database.check_file(path)
    except FAULTS:
        return False
    content = path.read_bytes()
    return not any(uid.encode() in content for uid in uids)


def _uids(path, key):
    return {row["uid"] for row in learners_of(path) if row["key"] == key}


# --- names -----------------------------------------------------------------------------------------------------------


def _beside(folder):
    return [*_newest_first(folder, COPY), *_newest_first(folder, DAMAGED)]


def _newest_first(folder, kind):
    return sorted(folder.glob(kind), key=lambda path: path.name, reverse=True)


def _file_of(folder, name):
    """Give the name of a file beside the progress file that is meant by a day or by its name."""
    names = [path.name for path in (*_beside(folder), *pending.unreadable(folder))]
    for known in names:
        if name in (known, short(known)):
            return known
    there = ", ".join(map(short, names)) or "none yet; the first is made with the first answer of a day"
    raise ValueError(f"There is no copy of the answers called '{name[:60]}'; there are: {there}.")


def short(name):
    """Give what is typed for a file: a day for a copy, else its name."""
    return name.removeprefix("copy-").removesuffix(".sqlite")


def _new_name(kind):
    return f"{kind}-{_today()}-{uuid.uuid4().hex[:8]}.sqlite"


def _today():
    return time.strftime("%Y-%m-%d", time.gmtime())


def _answers(count):
    return f"{count} answer{'' if count == 1 else 's'}"


def _was(count):
    return "was" if count == 1 else "were"
