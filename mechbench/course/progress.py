"""Each learner's answers, kept on this machine; an answer that was called saved is never lost.

    store()                    the Store of this account: the folder in MECHBENCH_HOME, or one in the home folder
    Store.learner(name)        the Learner of a shown name; no name is the book learner
    Store.record(...)          keep one Attempt; the Receipt says whether it is confirmed, waits, or is not saved
    Store.again(...)           is this answer kept already? read at that moment
    Store.attempts(learner)    the answers so far, in order
    Store.news()               what was found out about the files with the answers, in sentences
    Store.forget(name)         delete a learner
    forget_command(arguments)  the command `forget NAME`

Nothing in these files names the machine, the account or a folder. Times are UTC, to the minute.
"""

import math
import os
import platform
import sys
import unicodedata
import uuid
from contextlib import suppress
from dataclasses import asdict, dataclass, fields
from datetime import UTC, datetime
from functools import cache
from pathlib import Path

from mechbench.command_line import Parser
from mechbench.course import database, old_store, pending, rescue
from mechbench.course.database import ProgressError, folder
from mechbench.course.learner_numbers import canonical

EDITION = "0.1.0"
RAW_LIMIT = 200
TEXT_LIMIT = 200
POSED_LIMIT = 2000
MADE_BY = f"Python {platform.python_version()}, {sys.platform}"
TIME = "%Y-%m-%dT%H:%MZ"


@dataclass(frozen=True)
class Learner:
    """Someone who answers: a random id made once, the name as shown, and its canonical form (empty: the book)."""

    uid: str
    shown: str
    key: str


@dataclass(frozen=True)
class Attempt:
    """One answer. The raw text counts; state, slip, value (SI) and unit are what the learner was told at the time.

    posed and posed_digest are the numbers that were asked, as posed_numbers.py keeps them.
    """

    exercise: str
    revision: int
    kit_digest: str
    raw: str
    state: str
    slip: str = ""
    hints: int = 0
    practice: int = 0
    value: float | None = None
    unit: str = ""
    at: str = ""
    posed_digest: str = ""
    posed: str = ""


@dataclass(frozen=True)
class Receipt:
    """What became of an answer: confirmed (in the progress file), pending (in a file beside it), or neither."""

    confirmed: bool
    pending: bool
    message: str


def store():
    """Give the Store of this account."""
    return _store_of(folder())


@cache
def _store_of(place):
    return Store(place)


def visible(text):
    """Give a text without control, format (bidi, zero-width) and surrogate characters, its spaces folded to one."""
    if text.isascii() and text.isprintable():  # nearly all are, and this is quick
        return " ".join(text.split())
    kept = (" " if mark.isspace() else mark for mark in text if mark.isspace() or not hidden(mark))
    return " ".join("".join(kept).split())


def hidden(mark):
    """Tell whether a character shows nothing by itself: control, format or half a surrogate pair."""
    return unicodedata.category(mark) in ("Cc", "Cf", "Cs")


def now():
    """Give this minute, in UTC."""
    return datetime.now(UTC).strftime(TIME)


class Store:
    """The answers of all learners of one account, in one folder; `trouble` says why the last task failed, if it did."""

    def __init__(self, place):
        self.folder = Path(place)
        self.trouble = ""
        self._news = []
        self._checked = None  # the file that was looked at; None before
        self._copied = ""  # the day of the last copy
        self._told = set()
        self._guests = {}

    def learner(self, shown_name):
        """Give the learner of a name, made when it is new; an empty name is the book learner.

        Where the progress file cannot be written, the learner is kept in memory and comes in with the first answer.
        """
        key = _key(shown_name)
        guest = self._guests.setdefault(key, Learner(uuid.uuid4().hex, _shown(shown_name), key))
        try:
            found = self.find(shown_name)
            if found is None or pending.waiting(self.folder):
                row = {**asdict(guest), "at": now()}
                _, merged = self._write(lambda connection: _add_learner(connection, row))
                self._news += filter(None, [_say_moved(merged)])
                found = self.find(shown_name)
        except ProgressError:
            return guest
        return found

    def find(self, shown_name):
        """Give the learner of a name, or None where nobody of that name has answered here."""
        key = _key(shown_name)
        return next((learner for learner in self.learners() if learner.key == key), None)

    def learners(self):
        """List the learners in the progress file, in the order in which they came."""
        return [Learner(*row) for row in self._read("SELECT uid, shown, key FROM learner ORDER BY rowid")]

    def lately(self, most=10):
        """List learners who have a name, those who answered or came last first; none where that can't be read."""
        try:
            return [Learner(*row) for row in self._read(LATELY, (most,))]
        except ProgressError:
            return []

    def record(self, learner, attempt):
        """Keep one answer and say what became of it; "confirmed" only after it was committed and read back.

        A raw text beyond RAW_LIMIT is kept cut, and the receipt says so: no answer that can be right is that long.
        """
        row = _row(learner, attempt)
        try:
            last, merged = self._write(lambda connection: _add_attempt(connection, row))
            self._read_back(row)
        except ProgressError as error:
            return self._keep_waiting(row, str(error))
        self._copy_of_the_day()
        said = ["Saved.", *self.news(), _say_moved(merged), _say_clock(last, row["at"]), _say_cut(attempt.raw)]
        return Receipt(True, False, " ".join(filter(None, said)))

    def again(self, learner, attempt, is_alike):
        """Say that an answer is kept already, as it is read at this moment; nothing where it has to be recorded.

        `is_alike` tells which attempts are at the same question; the last of them counts.
        """
        if pending.waiting(self.folder):
            with suppress(ProgressError):
                self._write(lambda connection: None)
        try:
            kept, waits = self._kept_and_waiting(learner, strict=True)
        except ProgressError:
            kept, waits = [], self._waiting(learner, ())
        alike = [(one.raw, place) for place, some in enumerate((kept, waits)) for one in some if is_alike(one)]
        if not alike or alike[-1][0] != _storable(attempt.raw):
            return ""
        became = ("it is kept and counted once", "it waits in a file of its own and moves in by itself later")
        return " ".join([f"The same answer as before; {became[alike[-1][1]]}.", *self.news()])

    def news(self):
        """Give, once, what was found out about the files with the answers: each text is for the learner."""
        told, self._news = self._news, []
        return told

    def attempts(self, learner, exercise=None, strict=False):
        """List a learner's answers in the order in which they were given, those that still wait at the end.

        Where the progress file cannot be read, those are given that can be read of it, of its copies and of the files
        that wait, and `trouble` says why; with `strict` that is a ProgressError.
        """
        kept, waits = self._kept_and_waiting(learner, strict)
        return [attempt for attempt in (*kept, *waits) if exercise in (None, attempt.exercise)]

    def _kept_and_waiting(self, learner, strict=False):
        try:
            rows = self._read(ATTEMPTS, (learner.key,))
        except ProgressError:
            if strict:
                raise
            rows = [
                [row["id"], *(row[column] for column in COLUMN.values())]
                for row in rescue.still_readable(self.folder, learner.key)
            ]
        known = {row[0] for row in rows}
        kept = [Attempt(**dict(zip(COLUMN, row[1:]))) for row in rows]
        return kept, self._waiting(learner, known)

    def _waiting(self, learner, known):
        return [
            Attempt(**{field: row[column] for field, column in COLUMN.items()})
            for row in pending.waiting(self.folder).values()
            if row["key"] == learner.key and row["id"] not in known
        ]

    def knows(self, name):
        """Tell whether anything of a learner is kept here: in the progress file, or in a copy of it."""
        return self.find(name) is not None or bool(rescue.holders(self.folder, _key(name)))

    def forget(self, name):
        """Delete a learner and all answers, also those that wait and those in copies; say what was deleted.

        The progress file comes last: whoever is stopped on the way finds the learner in it and can do it again.
        """
        key = _key(name)
        self._write(lambda connection: None)  # those that wait move in
        learner = self.find(name)
        cleaned, left = self._try(lambda: rescue.erase(self.folder, key, [learner.uid] if learner else []))
        left += [path.name for path, row in pending.waiting(self.folder).items() if row["key"] == key]
        count, _ = self._write(lambda connection: _delete_learner(connection, key))
        self._guests.pop(key, None)
        also = f" Cleaned as well: {', '.join(cleaned)}." if cleaned else ""
        said = [f"Deleted: {_answers(count)} of {_quoted(key)}.{also}", "Hand-in files were not touched."]
        if left:
            said.append(
                f"These may still hold some and could not be cleaned, delete them by hand in {self.folder}: "
                f"{', '.join(left)}."
            )
        return " ".join(said)

    def _write(self, task):
        """Do a task in one transaction, after moving in the answers that wait; give its result and their number."""

        def whole():
            waiting = pending.waiting(self.folder)
            with database.writing(self.folder) as connection:
                for row in waiting.values():
                    _add_attempt(connection, old_store.with_numbers(row))
                result = task(connection)
            pending.remove(waiting)
            return result, len(waiting)

        return self._try(whole)

    def _read(self, query, values=()):
        def whole():
            with database.reading(self.folder) as connection:
                return connection.execute(query, values).fetchall() if connection else []

        return self._try(whole)

    def _try(self, whole):
        """Do a task; a damaged file is set aside and the task done once more; what else fails is a ProgressError."""
        try:
            result = database.patiently(lambda: self._on_sound_file(whole))
        except (OSError, *database.FAULTS) as error:
            self.trouble = database.sentence(error, self.folder)
            raise ProgressError(self.trouble) from error
        self.trouble = ""
        return result

    def _on_sound_file(self, whole):
        try:
            self._look()
            return whole()
        except database.FAULTS as error:
            if not database.damaged(error):
                raise
        try:
            self._news += filter(None, [rescue.set_aside(self.folder)])
        except (OSError, *database.FAULTS) as error:
            if database.in_use(error):
                raise
            why = database.sentence(error, self.folder)
            raise ProgressError(f"The file with the answers is damaged, and no new one could be made. {why}") from error
        self._checked = (_which(self.folder / database.NAME),)  # what is new was checked before it was put there
        return whole()

    def _bring_up_to_date(self):
        """Give answers of the first edition the numbers that were asked, while their kit is still at hand.

        Where the file can't be written just now, the next start does it.
        """
        with database.reading(self.folder) as connection:
            # Before the file is locked, because making the numbers takes its time; they are kept for then.
            found = old_store.lacking(connection) if connection else []
        if not found:
            return
        try:
            with database.writing(self.folder) as connection:
                old_store.fill(connection, database.TABLES[-1])
        except (OSError, *database.FAULTS) as error:
            if database.damaged(error):
                raise

    def _look(self):
        """Check the file when it is met first, and again where another one stands in its place."""
        now_there = _which(self.folder / database.NAME)
        if self._checked == (now_there,):
            return
        if self._checked is None:
            database.tidy(self.folder)
        database.check(self.folder)
        self._bring_up_to_date()
        if self._checked is None:
            with suppress(OSError, *database.FAULTS):  # No answer has to wait for them.
                self._news += rescue.notices(self.folder)
        self._checked = (now_there,)

    def _copy_of_the_day(self):
        if self._copied == (today := now()[:10]):
            return
        try:
            rescue.copy_of_the_day(self.folder)
            self._copied = today
        except (OSError, *database.FAULTS) as error:
            why = f"Today's copy of the answers could not be made: {database.sentence(error, self.folder)}"
            self._news += [why] * (why not in self._told)
            self._told.add(why)

    def _read_back(self, row):
        if self._read("SELECT raw, state FROM attempt WHERE id = ?", (row["id"],)) != [(row["raw"], row["state"])]:
            raise ProgressError("The answer could not be read back from the file.")

    def _keep_waiting(self, row, why):
        try:
            pending.keep(self.folder, row)
        except OSError as error:
            also = database.sentence(error, self.folder)
            why = why if also == why else f"{why} {also}"
            return Receipt(False, False, f"NOT SAVED. {why} Write your answer down and give it again later.")
        return Receipt(False, True, f"{why} Your answer waits in a file of its own and moves in by itself later.")


# Field of an Attempt -> column of the progress file.
COLUMN = {
    field.name: {"revision": "rev", "value": "parsed_si"}.get(field.name, field.name) for field in fields(Attempt)
}

ATTEMPTS = f"SELECT id, {', '.join(COLUMN.values())} FROM attempt JOIN learner USING (uid) WHERE key = ? ORDER BY seq"

# The learner is found by the key: an answer that waited may carry an id that was made while the file could not be read.
NEW_ATTEMPT = """
    INSERT INTO attempt
           (id, uid, edition, exercise, rev, kit_digest, practice, raw, parsed_si, unit, state, slip,
            hints, at, made_by, posed_digest, posed, seq)
    SELECT :id, uid, :edition, :exercise, :rev, :kit_digest, :practice, :raw, :parsed_si, :unit, :state, :slip,
           :hints, :at, :made_by, :posed_digest, :posed,
           (SELECT coalesce(max(seq), 0) + 1 FROM attempt WHERE attempt.uid = learner.uid)
    FROM learner WHERE key = :key
    ON CONFLICT (id) DO NOTHING"""

LATELY = """
    SELECT uid, shown, key FROM learner LEFT JOIN attempt USING (uid) WHERE key <> '' GROUP BY uid
    ORDER BY max(coalesce(at, made)) DESC, max(attempt.rowid) DESC, learner.rowid DESC LIMIT ?"""

LAST = "SELECT at FROM attempt JOIN learner USING (uid) WHERE key = ? ORDER BY seq DESC LIMIT 1"


def _add_learner(connection, row):
    connection.execute(
        "INSERT INTO learner (uid, shown, key, made) VALUES (:uid, :shown, :key, :at) ON CONFLICT (key) DO NOTHING", row
    )


def _add_attempt(connection, row):
    """Add an answer (once: its id decides) and give the time of the learner's answer before it, or an empty text."""
    _add_learner(connection, row)
    last = connection.execute(LAST, (row["key"],)).fetchone()
    connection.execute(NEW_ATTEMPT, row)
    return last[0] if last else ""


def _delete_learner(connection, key):
    theirs = "DELETE FROM attempt WHERE uid IN (SELECT uid FROM learner WHERE key = ?)"
    count = connection.execute(theirs, (key,)).rowcount
    connection.execute("DELETE FROM learner WHERE key = ?", (key,))
    return count


def _row(learner, attempt):
    for name in ("exercise", "kit_digest", "state", "slip", "unit", "posed_digest", "posed"):
        most = POSED_LIMIT if name == "posed" else TEXT_LIMIT
        if len(getattr(attempt, name)) > most:
            raise ValueError(f"{name} has {len(getattr(attempt, name))} characters: give at most {most}.")
    value = attempt.value
    return {
        "id": uuid.uuid4().hex,
        "uid": learner.uid,
        "shown": learner.shown,
        "key": learner.key,
        "edition": EDITION,
        "exercise": attempt.exercise,
        "rev": int(attempt.revision),
        "kit_digest": attempt.kit_digest,
        "practice": int(attempt.practice),
        "raw": _storable(attempt.raw),
        "parsed_si": float(value) if value is not None and math.isfinite(value) else None,
        "unit": attempt.unit,
        "state": attempt.state,
        "slip": attempt.slip,
        "hints": int(attempt.hints),
        "at": now(),
        "made_by": MADE_BY,
        "posed_digest": attempt.posed_digest,
        "posed": attempt.posed,
    }


def _storable(raw):
    # Half a surrogate pair can come out of a text box, and no file can hold it.
    raw = raw.encode("utf-8", "replace").decode("utf-8")
    return raw if len(raw) <= RAW_LIMIT else raw[: RAW_LIMIT - 1] + "…"


def _which(path):
    """Tell one file from another that has its name; nothing where there is none."""
    try:
        found = os.stat(path)
    except OSError:
        return None
    return found.st_dev, found.st_ino


def _key(name):
    return canonical(name) if name.strip() else ""


def _shown(name):
    return visible(unicodedata.normalize("NFC", name))


def _say_moved(count):
    return f"{_answers(count)} that waited moved in." if count else ""


def _say_clock(last, at):
    if at >= last:
        return ""
    return f"This computer's clock stands before your last answer ({last}): set it right; the order of answers is kept."


def _say_cut(raw):
    return f"Only the first {RAW_LIMIT} characters were kept." if len(raw) > RAW_LIMIT else ""


def _answers(count):
    return f"{count} answer{'' if count == 1 else 's'}"


def _quoted(key):
    return f"'{key}'" if key else "the book learner (no name)"


def forget_command(arguments, ask=input, copies=lambda name: ()):
    """Do `forget NAME`: delete a learner after asking twice (or with --yes); give the exit code.

    copies : deletes what other programs keep of this learner, and gives sentences on it
    """
    parser = Parser("forget", description="Delete one learner and all answers.")
    parser.add_argument("name", metavar="NAME", help="the learner's name, as typed in the lessons")
    parser.add_argument("--yes", action="store_true", help="do not ask")
    chosen = parser.parse_args(arguments)
    try:
        if not store().knows(chosen.name):
            print(nobody(chosen.name))
            return 1
        learner = store().find(chosen.name) or store().learner(chosen.name)
        count = len(store().attempts(learner, strict=True))
        if not (chosen.yes or _sure(learner, count, ask)):
            print("Nothing was deleted.")
            return 1
        also = list(copies(chosen.name))  # first: whoever is stopped here finds the learner, and can do it again
        print("\n".join([store().forget(chosen.name), *also]))
    except (ProgressError, ValueError) as error:
        print(error)
        return 1
    return 0


def nobody(name):
    """Say that there are no answers by a name, and which names there are."""
    names = ", ".join(_quoted(learner.key) for learner in store().learners())
    there_are = f"there are answers by {names}" if names else "there are no answers yet"
    return f"Nobody called '{visible(name)}' has answered on this computer: {there_are}."


def _sure(learner, count, ask):
    try:
        first = ask(f"Delete {_answers(count)} of {_quoted(learner.key)} for good? Type yes: ")
        if first.strip().casefold() != "yes":
            return False
        return _key(ask("There is no way back. Type the name once more: ")) == learner.key
    except EOFError:
        return False
