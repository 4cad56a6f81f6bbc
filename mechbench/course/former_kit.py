"""What the course's own kit of earlier editions asked: rows alone, kept so that answers to them can still be graded.

    kit(digest)      that kit, for its rows; None where the digest is of no such kit
    is_former(kit)   whether a kit is one of these
    rows(exercise)   the rows that an exercise had with it

Its parts are gone: such a kit has the parts of today's, and can't judge a design.
"""

import json
from dataclasses import replace
from functools import cache
from pathlib import Path

from mechbench.kits.load import own_kit


@cache
def _kept():
    return json.loads((Path(__file__).parent / "former_kit.json").read_text(encoding="utf-8"))


@cache
def kit(digest):
    """The kit that a digest is of, with its own digest and the parts of today's kit."""
    return replace(own_kit(), digest=digest) if digest in _kept()["digests"] else None


def is_former(kit):
    """Tell whether a kit is one of an earlier edition."""
    return kit.digest in _kept()["digests"]


def rows(exercise):
    """The rows as they were; ValueError where there was no such exercise, or none of that revision."""
    revision, names, listed = _kept()["rows"].get(exercise.id, (0, (), ()))
    if revision != exercise.revision:
        raise ValueError(f"{exercise.id} was not asked with the course's former kit.")
    return [{name: tuple(one) if isinstance(one, list) else one for name, one in zip(names, row)} for row in listed]
