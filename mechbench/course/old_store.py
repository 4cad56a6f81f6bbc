"""Answers of the first edition, which had the digest of their kit and not the numbers that were asked.

Contents: VIEW, take_over (an old file), lacking and fill (answers without numbers), with_numbers (one that waited).

The file is changed in one transaction: whoever is killed on the way finds it as it was. No answer is lost or changed;
each gets two columns more, which stay empty where its numbers are not known.
"""

import sys
from functools import cache

QUESTIONS = "mechbench.course.posed_numbers"
# So that an old file can be read where it may not be written, or before it is.
VIEW = "CREATE TEMP VIEW attempt AS SELECT *, '' AS posed_digest, '' AS posed FROM main.attempt"
LACKING = (
    "SELECT id, exercise, rev, kit_digest, practice, learner.key FROM attempt JOIN learner USING (uid)"
    " WHERE posed_digest = ''"
)


def take_over(connection, schema, tables):
    """Make an old file one of today inside a transaction; outside of one, only let it be read like one."""
    if not connection.in_transaction:
        connection.execute(VIEW)
        return
    _, _, attempts, trigger = tables
    connection.execute("DROP TRIGGER answers_stay")
    connection.execute("ALTER TABLE attempt RENAME TO attempt_before")
    connection.execute(attempts)
    connection.execute("INSERT INTO attempt SELECT *, '', '' FROM attempt_before ORDER BY rowid")
    connection.execute("DROP TABLE attempt_before")
    connection.execute(trigger)
    connection.execute("UPDATE meta SET value = ? WHERE key = 'schema'", (str(schema),))
    fill(connection, trigger)


def lacking(connection):
    """List the answers that have no numbers but could have: rows of (id, Question)."""
    if not exercises_are_loaded():
        return []
    asked = ((id, numbers_of(*words)) for id, *words in connection.execute(LACKING).fetchall())
    return [(id, found) for id, found in asked if found.digest]


def fill(connection, trigger):
    """Put numbers to the answers that lack them; nothing else of an answer is ever changed."""
    found = lacking(connection)
    if not found:
        return
    connection.execute("DROP TRIGGER answers_stay")
    for id, one in found:
        connection.execute("UPDATE attempt SET posed_digest = ?, posed = ? WHERE id = ?", (one.digest, one.row, id))
    connection.execute(trigger)


def with_numbers(row):
    """Give the columns of an answer that waited, with the numbers that were asked."""
    if row["posed_digest"] or not exercises_are_loaded():
        return row
    found = numbers_of(row["exercise"], row["rev"], row["kit_digest"], row["practice"], row["key"])
    return {**row, "posed_digest": found.digest, "posed": found.row}


def numbers_of(*asked):
    """The Question of an old answer by exercise, revision, kit's digest, practice and canonical name."""
    return _finder()(*asked)


def exercises_are_loaded():
    """Tell whether this program puts questions. One that does not would wait long for them; a lesson is soon opened."""
    return QUESTIONS in sys.modules


@cache
def _finder():
    return sys.modules[QUESTIONS].of_old()
