"""The store and the hand-ins of the first edition: an answer had its kit's digest, not the numbers that were asked.

Contents: TABLES (SQL as it was written then), write_store, waiting_file, hand_in_text.
"""

import json
import sqlite3
from contextlib import closing

from mechbench.course import database, progress

TABLES = (
    "CREATE TABLE meta (key TEXT NOT NULL CHECK (typeof(key) = 'text'), value TEXT NOT NULL CHECK (typeof(value) ="
    " 'text'), PRIMARY KEY (key))",
    "CREATE TABLE learner (uid TEXT NOT NULL CHECK (typeof(uid) = 'text'), shown TEXT NOT NULL CHECK (typeof(shown) ="
    " 'text'), key TEXT NOT NULL CHECK (typeof(key) = 'text'), made TEXT NOT NULL CHECK (typeof(made) = 'text'),"
    " PRIMARY KEY (uid), UNIQUE (key))",
    "CREATE TABLE attempt (id TEXT NOT NULL CHECK (typeof(id) = 'text'), uid TEXT NOT NULL CHECK (typeof(uid) ="
    " 'text'), edition TEXT NOT NULL CHECK (typeof(edition) = 'text'), exercise TEXT NOT NULL CHECK (typeof(exercise) ="
    " 'text'), rev INTEGER NOT NULL CHECK (typeof(rev) = 'integer'), kit_digest TEXT NOT NULL CHECK (typeof(kit_digest)"
    " = 'text'), seq INTEGER NOT NULL CHECK (typeof(seq) = 'integer'), practice INTEGER NOT NULL CHECK"
    " (typeof(practice) = 'integer'), raw TEXT NOT NULL CHECK (typeof(raw) = 'text'), parsed_si REAL CHECK"
    " (typeof(parsed_si) IN ('real', 'null')), unit TEXT NOT NULL CHECK (typeof(unit) = 'text'), state TEXT NOT NULL"
    " CHECK (typeof(state) = 'text'), slip TEXT NOT NULL CHECK (typeof(slip) = 'text'), hints INTEGER NOT NULL CHECK"
    " (typeof(hints) = 'integer'), at TEXT NOT NULL CHECK (typeof(at) = 'text'), made_by TEXT NOT NULL CHECK"
    " (typeof(made_by) = 'text'), PRIMARY KEY (id), UNIQUE (uid, seq), FOREIGN KEY (uid) REFERENCES learner (uid))",
    "CREATE TRIGGER answers_stay BEFORE UPDATE ON attempt BEGIN SELECT RAISE(ABORT, 'answers are added, never"
    " changed'); END",
)
AT = "2026-03-02T15:04Z"


def write_store(folder, answers, kit_digest):
    """Write an old progress file; `answers` are (name, exercise, raw, state), or with practice as a fifth."""
    folder.mkdir(parents=True, exist_ok=True)
    uids, seqs = {}, {}
    with closing(sqlite3.connect(folder / database.NAME)) as connection:
        for table in TABLES:
            connection.execute(table)
        connection.execute("INSERT INTO meta VALUES ('schema', '1')")
        for number, (name, exercise, raw, state, *practice) in enumerate(answers):
            if name not in uids:
                uids[name] = f"{len(uids) + 1:032x}"
                connection.execute("INSERT INTO learner VALUES (?, ?, ?, ?)", (uids[name], name, name, AT))
            seqs[name] = seqs.get(name, 0) + 1
            row = (f"{number:032x}", uids[name], "0.1.0", exercise.id, exercise.revision, kit_digest, seqs[name])
            row += ((practice or [0])[0], raw, None, "", state, "", 0, AT, "Python")
            connection.execute(f"INSERT INTO attempt VALUES ({', '.join('?' * 16)})", row)
        connection.commit()


def waiting_file(folder, name, exercise, raw, state, kit_digest):
    """Write an answer that waits beside an old progress file."""
    row = {"id": "a" * 32, "uid": "b" * 32, "shown": name, "key": name, "edition": "0.1.0", "exercise": exercise.id}
    row |= {"rev": exercise.revision, "kit_digest": kit_digest, "practice": 0, "raw": raw, "parsed_si": None}
    row |= {"unit": "", "state": state, "slip": "", "hints": 0, "at": AT, "made_by": "Python"}
    (folder / "pending-old.jsonl").write_text(json.dumps(row) + "\n", encoding="ascii")


def hand_in_text(name, answers, kit_digest):
    """Give the text of an old hand-in; `answers` are (exercise, raw, state)."""
    attempts = [
        {"exercise": exercise.id, "revision": exercise.revision, "kit": kit_digest, "raw": raw, "state": state}
        | {"slip": "", "hints": 0, "practice": 0, "at": AT}
        for exercise, raw, state in answers
    ]
    top = {"format": "mechbench hand-in", "schema": 1, "edition": progress.EDITION, "uid": "c" * 32, "shown": name}
    top |= {"key": name, "kit": kit_digest, "made": AT, "left_out": 0, "attempts": attempts}
    return json.dumps(top)
