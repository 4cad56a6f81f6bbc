"""The SQLite file that keeps the answers: opened for one task, made, checked, and set aside when it is damaged.

Contents: writing (a transaction), reading, patiently, check, set_aside, damaged, sentence (an error in words).

Each task opens its own connection. So no handle outlives a file that another process has set aside, and what is read
back after a commit comes from the file that the next session will open.
"""

import errno
import os
import sqlite3
import time
import uuid
from contextlib import closing, contextmanager

from mechbench.course import old_store

SCHEMA = 2
OLD_SCHEMA = 1  # an answer had its kit's digest, and not the numbers that were asked
NAME = "progress.sqlite"
BUSY_SECONDS = 5.0
# SQLite waits longer and longer between two looks, up to 0.1 s, and so can starve among busy writers. It is asked again
# and again instead, each time for so short that it looks often.
NAP_SECONDS = 0.02

# EXTRA is FULL that also syncs the folder once the journal is gone: without it a power cut right after a commit can
# bring the journal back and undo an answer that was confirmed.
SETTINGS = ("journal_mode = DELETE", "synchronous = EXTRA", "secure_delete = ON", "foreign_keys = ON")


def _columns(kind, *names):
    # With the check, a flipped byte that turns a text into a number is found by the integrity check.
    return ", ".join(f"{name} {kind} NOT NULL CHECK (typeof({name}) = '{kind.lower()}')" for name in names)


def _attempt_table(*more):
    return (
        f"CREATE TABLE attempt ({_columns('TEXT', 'id', 'uid', 'edition', 'exercise')}, {_columns('INTEGER', 'rev')},"
        f" {_columns('TEXT', 'kit_digest')}, {_columns('INTEGER', 'seq', 'practice')}, {_columns('TEXT', 'raw')},"
        f" parsed_si REAL CHECK (typeof(parsed_si) IN ('real', 'null')), {_columns('TEXT', 'unit', 'state', 'slip')},"
        f" {_columns('INTEGER', 'hints')}, {_columns('TEXT', 'at', 'made_by', *more)}, PRIMARY KEY (id), UNIQUE (uid,"
        " seq), FOREIGN KEY (uid) REFERENCES learner (uid))"
    )


WIDTH = {"learner": 4, "attempt": 18}
OLD_WIDTH = {"attempt": 16}
TABLES = (
    f"CREATE TABLE meta ({_columns('TEXT', 'key', 'value')}, PRIMARY KEY (key))",
    f"CREATE TABLE learner ({_columns('TEXT', 'uid', 'shown', 'key', 'made')}, PRIMARY KEY (uid), UNIQUE (key))",
    _attempt_table("posed_digest", "posed"),
    (
        "CREATE TRIGGER answers_stay BEFORE UPDATE ON attempt "
        "BEGIN SELECT RAISE(ABORT, 'answers are added, never changed'); END"
    ),
)

OLD_TABLES = (*TABLES[:2], _attempt_table(), TABLES[3])

# What SQLite says, and what the operating system says (its numbers overlap with SQLite's).
WRONG_CONTENT = (sqlite3.SQLITE_CORRUPT, sqlite3.SQLITE_NOTADB)
IN_USE = (sqlite3.SQLITE_BUSY, sqlite3.SQLITE_LOCKED)
NOT_ALLOWED = (sqlite3.SQLITE_READONLY, sqlite3.SQLITE_CANTOPEN, sqlite3.SQLITE_PERM)
SYSTEM_FULL = (errno.ENOSPC, errno.EDQUOT, errno.EFBIG)
SYSTEM_NOT_ALLOWED = (errno.EACCES, errno.EPERM, errno.EROFS)


class ProgressError(RuntimeError):
    """The progress file cannot be used just now; the text is one sentence for the learner."""


class Damaged(ProgressError):
    """The progress file can be opened, but what it holds is not what mechbench wrote."""


# Python reports a damaged table in words that it takes from the table, so its own report may fail to decode.
FAULTS = (sqlite3.Error, ProgressError, UnicodeDecodeError)


@contextmanager
def writing(folder):
    """Give a connection inside a transaction; the end of the with block commits it, an exception undoes it."""
    os.makedirs(folder, mode=0o700, exist_ok=True)
    os.close(os.open(folder / NAME, os.O_RDWR | os.O_CREAT, 0o600))
    with closing(_connect(folder / NAME)) as connection:
        connection.execute("BEGIN IMMEDIATE")
        if not _made(connection):
            _make_tables(connection)
        _check_schema(connection)
        yield connection
        connection.execute("COMMIT")


@contextmanager
def reading(folder):
    """Give a connection to read from, or None where there is no progress file yet."""
    if not os.path.exists(folder / NAME):
        yield None
        return
    with closing(_connect(folder / NAME)) as connection:
        if not _made(connection):
            yield None
            return
        _check_schema(connection)
        yield connection


def patiently(task):
    """Do a task again while another program keeps the file locked, for BUSY_SECONDS at most."""
    end = time.monotonic() + BUSY_SECONDS
    while True:
        try:
            return task()
        except sqlite3.OperationalError as error:
            if _code(error) not in IN_USE or time.monotonic() > end:
                raise


def check(folder):
    """Read the whole progress file and raise Damaged where its pages do not fit together."""
    with reading(folder) as connection:
        if connection and connection.execute("PRAGMA integrity_check(1)").fetchall() != [("ok",)]:
            raise Damaged("The pages of the file with the answers do not fit together.")


def set_aside(folder):
    """Move a damaged progress file beside, start a new one with the answers that can still be read, and say so."""
    with _alone(folder):
        if _healthy(folder):
            return ""  # Another process was quicker.
        aside = f"damaged-{time.strftime('%Y-%m-%d', time.gmtime())}-{uuid.uuid4().hex[:8]}.sqlite"
        # A journal that is left stays: SQLite has tried it already, and throws it away when it finds the new, empty
        # file.
        os.rename(folder / NAME, folder / aside)
        carried = _carry_over(folder / aside, folder)
    return (
        f"The file with the answers was damaged: it is kept as {aside}, a new one was started, and {carried} "
        f"earlier answer{'' if carried == 1 else 's'} could be carried over."
    )


def damaged(error):
    """Tell whether an exception means that the progress file holds something wrong."""
    return isinstance(error, (Damaged, UnicodeDecodeError)) or _code(error) in WRONG_CONTENT


def sentence(error, folder):
    """Say in one sentence why the progress file or its folder could not be used."""
    code, system = _code(error), getattr(error, "errno", None)
    if damaged(error):
        return "The file with the answers is damaged and could not be replaced."
    if isinstance(error, ProgressError):
        return str(error)
    if code in IN_USE:
        return f"Another program kept the file with the answers locked for more than {BUSY_SECONDS:g} seconds."
    if code == sqlite3.SQLITE_FULL or system in SYSTEM_FULL:
        return "The disk is full: make room on it."
    if code in NOT_ALLOWED or system in SYSTEM_NOT_ALLOWED:
        return (
            f"mechbench may not write in the folder {folder}: allow it, or name another folder in the setting "
            "MECHBENCH_HOME."
        )
    return f"The disk did not take the answer ({_reason(error)}): it may be full, over its quota, or failing."


def _connect(path):
    connection = sqlite3.connect(
        f"{path.absolute().as_uri()}?mode=rw", uri=True, timeout=NAP_SECONDS, isolation_level=None
    )
    # A flipped bit inside a text must not make all the other answers unreadable.
    connection.text_factory = lambda content: content.decode("utf-8", "replace")
    try:
        for setting in SETTINGS:
            connection.execute("PRAGMA " + setting)
    except FAULTS:
        connection.close()
        raise
    return connection


def _made(connection):
    """List what was made in a file, in SQL."""
    return [sql for (sql,) in connection.execute("SELECT sql FROM sqlite_master WHERE sql IS NOT NULL")]


def _make_tables(connection):
    for table in TABLES:
        connection.execute(table)
    connection.execute("INSERT INTO meta VALUES ('schema', ?)", (str(SCHEMA),))


def _check_schema(connection):
    made = _made(connection)
    if TABLES[0] not in made:
        raise Damaged("The file with the answers is not one of mechbench.")
    found = connection.execute("SELECT value FROM meta WHERE key = 'schema'").fetchone()
    version = found[0][:9] if found else ""
    if version.isascii() and version.isdigit() and int(version) > SCHEMA:
        raise ProgressError(
            "The file with the answers was made by a newer edition of mechbench and was left as it is: "
            "use that edition."
        )
    if version == str(OLD_SCHEMA) and set(made) == set(OLD_TABLES):
        old_store.take_over(connection, SCHEMA, TABLES)
    elif version != str(SCHEMA) or set(made) != set(TABLES):
        raise Damaged("The file with the answers lacks one of its tables.")


def _healthy(folder):
    try:
        check(folder)
    except FAULTS as error:
        return not damaged(error)
    return True


@contextmanager
def _alone(folder):
    # SQLite's own lock on an empty file: it works on every system and ends with the process, however that ends.
    path = folder / "alone.lock"
    os.close(os.open(path, os.O_RDWR | os.O_CREAT, 0o600))
    with closing(sqlite3.connect(path, timeout=BUSY_SECONDS, isolation_level=None)) as lock:
        lock.execute("BEGIN EXCLUSIVE")
        yield


def _carry_over(aside, folder):
    """Copy what can be read from a damaged file into a new one and count the answers."""
    with writing(folder) as new:
        for table, width in WIDTH.items():
            for row in _readable_rows(aside, table, width):
                try:
                    new.execute(f"INSERT INTO {table} VALUES ({', '.join('?' * width)})", row)
                except sqlite3.IntegrityError:
                    continue  # A row that breaks the table's own rules is part of the damage.
        return new.execute("SELECT count(*) FROM attempt").fetchone()[0]


def _readable_rows(aside, table, width):
    rows = []
    try:
        with closing(_connect(aside)) as old:
            for row in old.execute(f"SELECT * FROM {table}"):
                if len(row) in (width, OLD_WIDTH.get(table)):
                    rows.append(row + ("",) * (width - len(row)))
    except FAULTS:
        return rows  # The rows before the damaged page are all that can be had.
    return rows


def _code(error):
    # The lower byte is the kind, the upper ones say more about it.
    return getattr(error, "sqlite_errorcode", -1) & 0xFF


def _reason(error):
    return getattr(error, "strerror", None) or str(error) or type(error).__name__
