"""The file that a learner hands in: what stands in it, and how a file from anywhere is read without trusting it.

Contents: HandIn, HandInError, read, text_of, called, showable, said.

A hand-in is JSON. At the top: what it is and who made it. Under "attempts": each answer as it was typed, with what the
learner was told at the time, and the digest of the numbers that were asked; these numbers stand once each under "rows".
Grades are made again from the typed answer; what the file says about them counts for nothing. The first edition wrote
no numbers; its files are read as well.
"""

import json
import os
import re
import stat
from dataclasses import dataclass
from datetime import UTC, datetime, timedelta

from mechbench.course import registry
from mechbench.course.learner_numbers import canonical
from mechbench.course.posed_numbers import of_row
from mechbench.course.progress import EDITION, POSED_LIMIT, RAW_LIMIT, TEXT_LIMIT, Attempt, hidden, now, visible
from mechbench.course.robot_notes import is_note
from mechbench.wording import shortened

FORMAT = "mechbench hand-in"
SCHEMA = 2
OLD_SCHEMA = 1  # without the numbers that were asked
MOST_BYTES = 1 << 20
MOST_ATTEMPTS = 5000
MOST_DIGITS = 6
ROOM_FOR_TOP = 8192
LONGEST_SAID = 400

TOP = {
    "format": str,
    "schema": int,
    "edition": str,
    "uid": str,
    "shown": str,
    "key": str,
    "kit": str,
    "made": str,
    "left_out": int,
    "rows": dict,
    "attempts": list,
}
ATTEMPT = {
    "exercise": str,
    "revision": int,
    "kit": str,
    "raw": str,
    "state": str,
    "slip": str,
    "hints": int,
    "practice": int,
    "at": str,
    "asked": str,
}
NEW = ("rows", "asked")  # fields that files of OLD_SCHEMA do not have
IN_ATTEMPT = {"kit": "kit_digest", "asked": "posed_digest"}  # fields that an Attempt calls otherwise
WORDS = {str: "a text", int: "a whole number", list: "a list", dict: "a group", bool: "yes or no", type(None): "empty"}

MINUTE = re.compile(r"[0-9]{4}-[0-9]{2}-[0-9]{2}T[0-9]{2}:[0-9]{2}Z")
UID = re.compile(r"[0-9a-f]{32}")
OTHER_FILES = {
    b"PK": "a zip archive",
    b"%PDF": "a PDF",
    b"\x89PNG": "a picture",
    b"\xff\xd8\xff": "a picture",
    b"\x1f\x8b": "a packed file",
    b"SQLite format": "a database",
    b"\x7fELF": "a program",
    b"MZ": "a program",
    b"<": "a web page",
}


class HandInError(ValueError):
    """A file that is no hand-in that can be read; the text is one sentence that names the file."""


class _Refused(ValueError):
    """The end of that sentence."""


@dataclass(frozen=True)
class HandIn:
    """What a learner handed in.

    file : name of the file, fit to be shown
    edition : edition of the course that wrote it
    uid, shown, key : the learner: random id, name as typed, canonical name
    kit : digest of the kit of the last answer; each attempt carries its own
    made : when it was written
    attempts : tuple of progress.Attempt, in the order in which they were given
    unknown : ids of exercises that this edition does not have
    left_out : number of early answers that did not fit in
    notes : sentences on what is odd about the file
    own_robot : tuple of progress.Attempt, what the learner says of the own robot (robot_notes.py); it is not graded
    """

    file: str
    edition: str
    uid: str
    shown: str
    key: str
    kit: str
    made: str
    attempts: tuple
    unknown: tuple
    left_out: int
    notes: tuple
    own_robot: tuple = ()


def text_of(learner, attempts):
    """Give the text of a hand-in; of very many answers the last ones that a reader will take."""
    kept, rows, room = [], {}, MOST_BYTES - ROOM_FOR_TOP
    for attempt in reversed(attempts[-MOST_ATTEMPTS:]):
        line, row = json.dumps(_as_json(attempt), ensure_ascii=False), of_row(attempt.posed_digest)
        room -= len(line.encode("utf-8")) + 2
        if row and row not in rows:
            room -= len(json.dumps({row: attempt.posed}, ensure_ascii=False, indent=2).encode("utf-8"))
        if room < 0:
            break
        kept.append(line)
        if row:
            rows.setdefault(row, attempt.posed)
    top = {
        "format": FORMAT,
        "schema": SCHEMA,
        "edition": EDITION,
        "uid": learner.uid,
        "shown": learner.shown,
        "key": learner.key,
        "kit": attempts[-1].kit_digest if attempts else "",
        "made": now(),
        "left_out": len(attempts) - len(kept),
        "rows": rows,
    }
    head = json.dumps(top, ensure_ascii=False, indent=1).removesuffix("\n}")
    return head + ',\n "attempts": [\n' + ",\n".join(reversed(kept)) + "\n]}\n"


def _as_json(attempt):
    return {name: getattr(attempt, IN_ATTEMPT.get(name, name)) for name in ATTEMPT}


def read(path):
    """Read a hand-in from anywhere; HandInError in one sentence for whatever is not one. Nothing in it is run."""
    name = called(path)
    try:
        data = _parsed(_content(path))
        _check_top(data)
        return _handin(name, data)
    except _Refused as error:
        raise HandInError(f"'{name}' {error}") from None


def called(path):
    """Give the name of a file in a form that can be shown on one line."""
    return showable(os.path.basename(os.fspath(path)) or "?", 60)


def showable(text, most):
    """Give a text from a stranger as a part of a sentence on one line."""
    return shortened(visible(text), most)


def said(given, most=LONGEST_SAID):
    """Give whatever a stranger wrote, or an error that quotes it, as a sentence on one line."""
    return showable(str(given), most)


# --- from the disk -------------------------------------------------------------------------------------------------


def _content(path):
    try:
        first = os.lstat(path)
        _check_kind(first)
        # O_NOFOLLOW and O_NONBLOCK: what was a file a moment ago may be a link or a pipe now. Windows has neither.
        flags = sum(getattr(os, name, 0) for name in ("O_NOFOLLOW", "O_NONBLOCK", "O_BINARY", "O_CLOEXEC"))
        with open(os.open(path, os.O_RDONLY | flags), "rb") as file:
            then = os.fstat(file.fileno())
            _check_kind(then)
            if (first.st_dev, first.st_ino) != (then.st_dev, then.st_ino):
                raise _Refused("was exchanged while it was being opened: try again.")
            content = file.read(MOST_BYTES + 1)
    except OSError as error:
        raise _Refused(f"cannot be opened ({error.strerror}): ask for the file again.") from None
    except ValueError as error:
        if isinstance(error, _Refused):
            raise
        raise _Refused("has a name that no file can have.") from None
    if len(content) > MOST_BYTES:
        raise _Refused(_too_long())
    return content


def _check_kind(state):
    if stat.S_ISLNK(state.st_mode):
        raise _Refused("is a link to another place: copy the file itself here.")
    if stat.S_ISDIR(state.st_mode):
        raise _Refused("is a folder: name the file in it.")
    if not stat.S_ISREG(state.st_mode):
        raise _Refused("is a pipe or a device, not a file.")
    if state.st_size > MOST_BYTES:
        raise _Refused(_too_long())


def _too_long():
    return f"is longer than {MOST_BYTES // 1024} kB, which no hand-in is: ask for the file again."


# --- from text to values -------------------------------------------------------------------------------------------


def _parsed(content):
    start = content[:64].lstrip(b"\xef\xbb\xbf \t\r\n")
    if not content.strip(b"\0 \t\r\n"):
        raise _Refused("is empty: it was not copied whole; ask for the file again.")
    for mark, kind in OTHER_FILES.items():
        if start.startswith(mark):
            raise _Refused(f"is not a hand-in, it looks like {kind}.")
    if not start.startswith(b"{"):
        raise _Refused("is not a hand-in.")
    try:
        return json.loads(
            content.decode("utf-8-sig"),
            object_pairs_hook=_without_doubles,
            parse_int=_whole,
            parse_float=_no_float,
            parse_constant=_no_float,
        )
    except _Refused:
        raise
    except UnicodeDecodeError:
        raise _Refused("is not written in UTF-8: it was changed by another program; ask for the file again.") from None
    except RecursionError:
        raise _Refused("has brackets inside brackets too often to be a hand-in.") from None
    except ValueError:
        raise _Refused("is cut off or damaged: ask for the file again.") from None


def _without_doubles(pairs):
    found = dict(pairs)
    if len(found) < len(pairs):
        raise _Refused("holds the same field twice: it was changed by hand; ask for the file again.")
    return found


def _whole(digits):
    if len(digits.lstrip("-")) > MOST_DIGITS:
        raise _Refused(f"holds a number of {len(digits.lstrip('-'))} digits, and hand-ins have at most {MOST_DIGITS}.")
    return int(digits)


def _no_float(text):
    raise _Refused(f"holds the number {text[:20]}, and hand-ins have whole numbers only.")


# --- from values to a hand-in --------------------------------------------------------------------------------------


def _check_top(data):
    if "nbformat" in data:
        raise _Refused("is a notebook: hand in the file that the button in the notebook writes.")
    if data.get("format") != FORMAT:
        raise _Refused("is not a hand-in.")
    schema = data.get("schema")
    if type(schema) is not int or schema < 1:
        raise _Refused("does not say which kind of hand-in it is.")
    if schema > SCHEMA:
        raise _Refused("was made by a newer edition of the course: read it with that edition.")
    top, attempt_fields = _fields(TOP, schema), _fields(ATTEMPT, schema)
    _check_fields(data, top, "")
    if len(data["attempts"]) > MOST_ATTEMPTS:
        raise _Refused(f"holds {len(data['attempts'])} answers, and hand-ins have at most {MOST_ATTEMPTS}.")
    _time(data["made"])
    for number, attempt in enumerate(data["attempts"], 1):
        _check_fields(attempt, attempt_fields, f"in answer {number} ")
        _time(attempt["at"])
    for digest, row in data.get("rows", {}).items():
        _check_row(digest, row)


def _fields(fields, schema):
    return {name: kind for name, kind in fields.items() if schema > OLD_SCHEMA or name not in NEW}


def _check_row(digest, row):
    if type(row) is not str:
        raise _Refused(f"has in 'rows' {WORDS[type(row)]}, which must be a text.")
    _check_text(digest, "rows", "")
    _check_text(row, "rows", "", POSED_LIMIT)


def _check_fields(data, fields, where):
    if type(data) is not dict:
        raise _Refused(f"has {where}{WORDS[type(data)]} in place of a group of fields.")
    if data.keys() != fields.keys():
        odd = sorted(data.keys() ^ fields.keys())[0]
        there = "a field that hand-ins do not have" if odd in data else "no field"
        raise _Refused(f"has {where}{there}: '{showable(odd, 40)}'.")
    for name, kind in fields.items():
        value = data[name]
        if type(value) is not kind:
            raise _Refused(f"has {where}{WORDS[type(value)]} as '{name}', which must be {WORDS[kind]}.")
        if kind is int and value < 0:
            raise _Refused(f"has {where}a number below 0 as '{name}'.")
        if kind is str:
            _check_text(value, name, where)


def _check_text(value, name, where, most=TEXT_LIMIT):
    most = RAW_LIMIT if name == "raw" else most
    if len(value) > most:
        raise _Refused(f"has {where}{len(value)} characters as '{name}', and at most {most} can be.")
    if not value.isascii() and any("\ud800" <= mark <= "\udfff" for mark in value):
        raise _Refused(f"has {where}a broken character in '{name}'.")


def _handin(name, data):
    if not UID.fullmatch(data["uid"]):
        raise _Refused("has an id of the learner that mechbench did not make.")
    shown, key = visible(data["shown"]), data["key"]
    if any(hidden(mark) for mark in key):
        raise _Refused("has hidden characters in the canonical name.")
    rows = data.get("rows", {})
    rows_read = tuple(
        Attempt(
            **{IN_ATTEMPT.get(name, name): value for name, value in one.items()},
            posed=rows.get(of_row(one.get("asked", "")), ""),
        )
        for one in data["attempts"]
    )
    own_robot = tuple(filter(is_note, rows_read))
    attempts = tuple(one for one in rows_read if not is_note(one))
    known = {exercise.id for exercise in registry.everything()}
    unknown = tuple(sorted({attempt.exercise for attempt in attempts} - known))
    return HandIn(
        file=name,
        edition=data["edition"],
        uid=data["uid"],
        shown=shown,
        key=key,
        kit=data["kit"],
        made=data["made"],
        attempts=attempts,
        unknown=unknown,
        left_out=data["left_out"],
        notes=tuple(_notes(data, shown, unknown)),
        own_robot=own_robot,
    )


def _notes(data, shown, unknown):
    """Say what is odd about a hand-in that can be read."""
    if shown != data["shown"]:
        yield "The name held hidden characters; they were taken out."
    if not _belong_together(shown, data["key"]):
        yield (
            f"The numbers are those of '{showable(data['key'], 60)}', which is not how '{showable(shown, 60)}' would "
            "be written."
        )
    if data["edition"] != EDITION:
        yield f"It was made with edition {showable(data['edition'], 40)} of the course; this is edition {EDITION}."
    tomorrow = datetime.now(UTC) + timedelta(days=1)
    ahead = sum(_time(attempt["at"]) > tomorrow for attempt in data["attempts"])
    if ahead or _time(data["made"]) > tomorrow:
        yield f"A clock was wrong: {ahead} of {len(data['attempts'])} answers carry a date in the future."
    if unknown:
        some = ", ".join(f"'{showable(id, 40)}'" for id in unknown[:3]) + (" ..." if len(unknown) > 3 else "")
        yield f"This edition has no exercise {some}."
    if data["left_out"]:
        yield f"The first {data['left_out']} answers did not fit into the file."


def _belong_together(shown, key):
    try:
        return (canonical(shown) if shown else "") == key
    except ValueError:
        return False


def _time(text):
    if MINUTE.fullmatch(text):
        try:
            return datetime.fromisoformat(text.removesuffix("Z") + "+00:00")
        except ValueError:
            pass  # The 31st of February, or 25 o'clock: said below.
    raise _Refused(f"has '{showable(text, 20)}' as a time, which must be like 2026-03-02T15:04Z.")
