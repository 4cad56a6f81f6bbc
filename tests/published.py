"""Checks against published values: one helper that compares, and keeps a row for the table of checks.

    from tests.published import READ, check
    check("motor", "back-EMF at 10 A [V]", got, 100.0, 1e-9, "OpenStax University Physics 2, Example 13.10", READ)

Every check of a run is in ROWS. When the environment variable MECHBENCH_CHECKS_TABLE names a file, each row is also
added to it as one line of JSON; without it nothing is written.
"""

import json
import os

import numpy as np

# How a value is known. A check may say it in other words where these don't fit.
READ = "read on the page named"
COMPANION = "printed by an open re-solution of the textbook's numbered example; the printed book was not seen"
RECOMPUTED = "recomputed from first principles"
MEMORY = "from memory"
PRACTICE = "common practice, no source"

ROWS = []


def check(topic, what, got, expected, rtol, source, known):
    """Assert that got is within rtol of the published value, and keep the row."""
    assert all(text.strip() for text in (topic, what, source, known)), "name the source, and how the value is known"
    assert 0 < rtol < 0.1, f"rtol is {rtol}, but a check that means something has one above 0 and below 0.1"
    row = {
        "topic": topic,
        "what": what,
        "got": float(got),
        "expected": float(expected),
        "rtol": rtol,
        "source": source,
        "known": known,
    }
    ROWS.append(row)
    table = os.environ.get("MECHBENCH_CHECKS_TABLE")
    if table:
        with open(table, "a", encoding="utf-8") as file:
            file.write(json.dumps(row, ensure_ascii=False) + "\n")
    np.testing.assert_allclose(got, expected, rtol=rtol, err_msg=f"{topic}: {what}; {source}")
