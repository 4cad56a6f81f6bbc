"""The SQLite file that keeps the answers: opened for one task, made whole or not at all, checked, locked.

Contents: folder, writing (a transaction), reading, patiently, alone, making (a new file beside), put_in_place, check,
healthy, damaged, sentence (an error in words). What is done about damage and loss stands in rescue.py.

Each task opens its own connection. So no handle outlives a file that another process has replaced, and what is read
back after a commit comes from the file that the next session will open. The standard library alone: the launcher uses
it before anything is installed.
"""

import errno
import os
import sqlite3
import sys
import time
import uuid
from contextlib import ExitStack, closing, contextmanager
from pathlib import Path

from mechbench.course import old_store
from mechbench.course.pending import sync_folder

SCHEMA = 2
OLD_SCHEMA = 1  # an answer had its kit's digest, and not the numbers that were asked
NAME = "progress.sqlite"
LOCK = "alone.lock"
UNFINISHED, FINISHED = "making-*.sqlite", "made-*.sqlite"
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


def folder(environ=None, system=sys.platform):
    """Give the folder of the progress file: MECHBENCH_HOME, else the system's place for a person's data."""
    environ = os.environ if environ is None else environ
    chosen = environ.get("MECHBENCH_HOME", "").strip()
    if chosen:
        return Path(os.path.expanduser(chosen)).absolute()
    if system == "win32":
        base = environ.get("LOCALAPPDATA") or Path.home() / "AppData" / "Local"
    elif system == "darwin":
        base = Path.home() / "Library" / "Application Support"
    else:
        base = environ.get("XDG_DATA_HOME") or Path.home() / ".local" / "share"
    return Path(base) / "mechbench"


@contextmanager
def writing(folder):
    """Give a connection inside a transaction; the end of the with block commits it, an exception undoes it."""
    os.makedirs(folder, mode=0o700, exist_ok=True)
    if not os.path.exists(folder / NAME):
        _begin(folder)
    with _beside_others(folder), transaction(folder / NAME) as connection:
        _check_schema(connection)
        yield connection


@contextmanager
def transaction(path):
    """Give a connection to a file inside a transaction; the end of the with block commits it."""
    with closing(connect(path)) as connection:
        connection.execute("BEGIN IMMEDIATE")
        yield connection
        connection.execute("COMMIT")


@contextmanager
def reading(folder):
    """Give a connection to read from, or None where there is no progress file yet."""
    if not os.path.exists(folder / NAME) and not any(folder.glob(FINISHED)):
        yield None
        return
    if not os.path.exists(folder / NAME):
        _begin(folder)
    with _beside_others(folder), closing(connect(folder / NAME)) as connection:
        _check_schema(connection)
        yield connection


def patiently(task):
    """Do a task again while another program keeps the file locked, for BUSY_SECONDS at most."""
    end = time.monotonic() + BUSY_SECONDS
    while True:
        try:
            return task()
        except sqlite3.OperationalError as error:
            if not in_use(error) or time.monotonic() > end:
                raise


def check(folder):
    """Read the whole progress file and raise Damaged where its pages do not fit together."""
    with reading(folder) as connection:
        if connection:
            _check_pages(connection)


def check_file(path):
    """Raise Damaged where a file is none of mechbench or its pages do not fit together."""
    with closing(connect(path)) as connection:
        _check_schema(connection)
        _check_pages(connection)


def healthy(folder):
    """Tell whether nothing wrong is found in the progress file; what can't be looked at now is not called damaged."""
    try:
        check(folder)
    except FAULTS as error:
        return not damaged(error)
    return True


@contextmanager
def alone(folder):
    """Keep every other process off the answers while files are replaced; who holds this may ask for it again."""
    if _is_held(folder):
        yield
        return
    with _locked(folder, "rw", BUSY_SECONDS, "BEGIN EXCLUSIVE"):
        _held.add((os.getpid(), folder))
        try:
            yield
        finally:
            _held.discard((os.getpid(), folder))


_held = set()  # folders that a process has for itself; a child that it starts meanwhile has not


def _is_held(folder):
    return (os.getpid(), folder) in _held


@contextmanager
def making(folder):
    """Give (connection, path) of a new file with empty tables beside the answers; use it while `alone`.

    After the with block the file is whole, checked, on the disk and under a name that says so; an exception removes it.
    """
    unfinished, finished = (folder / kind.replace("*", uuid.uuid4().hex) for kind in (UNFINISHED, FINISHED))
    try:
        os.close(os.open(unfinished, os.O_RDWR | os.O_CREAT | os.O_EXCL, 0o600))
        with transaction(unfinished) as connection:
            _make_tables(connection)
            yield connection, finished
        check_file(unfinished)
        os.rename(unfinished, finished)
    except BaseException:
        for path in (unfinished, _journal(unfinished)):
            path.unlink(missing_ok=True)
        raise
    sync_folder(folder)


def put_in_place(folder, finished, aside=None):
    """Let a finished file take the place of the progress file, which keeps the name `aside`; use it while `alone`.

    Whenever this is ended, one of the two is in place, or the finished one waits beside and is put there by `_begin`.
    """
    if aside and os.path.exists(folder / NAME):
        try:
            os.link(folder / NAME, folder / aside)
        except OSError:  # a disk on which a file can't have two names
            os.rename(folder / NAME, folder / aside)
        sync_folder(folder)
    # A journal that is left has been tried already, when the file was looked at; the new file must not meet it.
    _journal(folder / NAME).unlink(missing_ok=True)
    os.replace(finished, folder / NAME)
    sync_folder(folder)


def sweep(folder):
    """Remove what an ended process left half done; use it while `alone`, when nobody does such things."""
    for path in _left(folder):
        path.unlink(missing_ok=True)


def tidy(folder):
    """Sweep, where something is left and nobody is at it; what can't be removed harms nothing."""
    if _left(folder):
        try:
            with alone(folder):
                sweep(folder)
        except (OSError, sqlite3.Error):
            return


def _left(folder):
    """List files that were half made, and other names of the progress file, which is just to be replaced then."""
    made = [*folder.glob(UNFINISHED), *folder.glob(FINISHED)] if os.path.exists(folder / NAME) else []
    again = [path for path in folder.glob("*.sqlite") if path.name != NAME and _same(path, folder / NAME)]
    return [*made, *(path for path in map(_journal, made) if path.exists()), *again]


def _same(one, other):
    try:
        return os.path.samefile(one, other)
    except OSError:
        return False


def damaged(error):
    """Tell whether an exception means that the progress file holds something wrong."""
    return isinstance(error, (Damaged, UnicodeDecodeError)) or _code(error) in WRONG_CONTENT


def in_use(error):
    """Tell whether an exception means that another program is at the file, so that a later try may do."""
    return _code(error) in IN_USE or _moved(error)


def lacks_something(error):
    """Tell whether an exception means that a file has no such table or column."""
    return getattr(error, "sqlite_errorcode", -1) == sqlite3.SQLITE_ERROR


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


def connect(path):
    """Open a file that is there."""
    connection = _opened(path, "rw", NAP_SECONDS)
    # A flipped bit inside a text must not make all the other answers unreadable.
    connection.text_factory = lambda content: content.decode("utf-8", "replace")
    try:
        for setting in SETTINGS:
            connection.execute("PRAGMA " + setting)
    except FAULTS:
        connection.close()
        raise
    return connection


def _opened(path, mode, seconds):
    return sqlite3.connect(f"{path.absolute().as_uri()}?mode={mode}", uri=True, timeout=seconds, isolation_level=None)


def _journal(path):
    return path.with_name(path.name + "-journal")


def _made(connection):
    """List what was made in a file, in SQL."""
    return [sql for (sql,) in connection.execute("SELECT sql FROM sqlite_master WHERE sql IS NOT NULL")]


def _make_tables(connection):
    for table in TABLES:
        connection.execute(table)
    connection.execute("INSERT INTO meta VALUES ('schema', ?)", (str(SCHEMA),))


def _check_pages(connection):
    if connection.execute("PRAGMA integrity_check(1)").fetchall() != [("ok",)]:
        raise Damaged("The pages of the file with the answers do not fit together.")


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


def _begin(folder):
    """Make the progress file, unless another process was quicker: no half-made one is ever seen under its name."""
    with alone(folder):
        if os.path.exists(folder / NAME):
            return
        waiting = sorted(folder.glob(FINISHED), key=os.path.getmtime)
        if not waiting:
            with making(folder) as (_, finished):
                waiting = [finished]
        put_in_place(folder, waiting[-1])
        sweep(folder)


@contextmanager
def _beside_others(folder):
    """Work on the answers together with others, while nobody replaces their file."""
    if _is_held(folder):
        yield
        return
    with ExitStack() as stack:
        try:
            stack.enter_context(_locked(folder, "ro", NAP_SECONDS, "BEGIN", "SELECT 1 FROM sqlite_master"))
        except (OSError, sqlite3.Error) as error:
            if in_use(error):
                raise
            # Where no lock can be had, no file can be replaced either: this account may not write in the folder.
        yield


@contextmanager
def _locked(folder, mode, seconds, *statements):
    # SQLite's own lock on an empty file: it works on every system and ends with the process, however that ends.
    path = folder / LOCK
    if not os.path.exists(path):  # Not opened without need: closing it would end the locks that this process has.
        os.close(os.open(path, os.O_RDWR | os.O_CREAT, 0o600))
    if os.path.getsize(path):
        os.truncate(path, 0)  # Someone wrote in it; it says nothing.
    with closing(_opened(path, mode, seconds)) as lock:
        for statement in statements:
            lock.execute(statement).fetchall()
        yield


def _moved(error):
    # The file was replaced between its opening and the task: the next try opens the new one.
    return getattr(error, "sqlite_errorcode", -1) == sqlite3.SQLITE_READONLY_DBMOVED


def _code(error):
    # The lower byte is the kind, the upper ones say more about it.
    return getattr(error, "sqlite_errorcode", -1) & 0xFF


def _reason(error):
    return getattr(error, "strerror", None) or str(error) or type(error).__name__
