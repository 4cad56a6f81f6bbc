"""Own numbers: names as they count, rows that never change, numbers as they are shown."""

import hashlib
import subprocess
import sys
import unicodedata

import pytest
from hypothesis import given
from hypothesis import strategies as st

from mechbench.course import learner_numbers
from mechbench.course.learner_numbers import (
    canonical,
    fill,
    near_tie,
    pose,
    practice_index,
    rounded,
    row_index,
    shown,
    shuffled,
)
from tests.course.samples import CHOICE, KITS, ORDER, TORQUE

# --- names ---------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    "name, key",
    [
        ("Ana M", "ana m"),
        ("  Ana \t  M\n", "ana m"),
        ("ANA\u200b M", "ana m"),  # a zero-width space survives NFKC
        ("\ufb01nn", "finn"),  # the ligature fi; Unicode's own example of a compatibility character (UAX 15)
        ("Ａｎａ", "ana"),  # full-width letters (UAX 15)
        ("Straße", "strasse"),  # full case folding, CaseFolding.txt of the Unicode Character Database
        ("ΑΝΑΣ", "ανας".replace("ς", "σ")),  # final sigma folds to sigma, CaseFolding.txt
        ("José", "josé"),
        ("Jose\u0301", "josé"),  # accent as a character of its own
        ("\u202eAna\u202c", "ana"),  # marks that turn the direction of writing
        ("Đặng", "đặng"),
        ("李雷", "李雷"),
        ("Ana\x1fM", "ana m"),  # the separator of the hash cannot come from a name
    ],
)
def test_canonical(name, key):
    assert canonical(name) == key


@pytest.mark.parametrize(
    "name, words",
    [
        ("", "0 characters"),
        (" \u200b ", "0 characters"),
        ("x" * 61, "61 characters"),
        ("x" * 5000, "5000 characters"),
        ("a\ud800b", "no letter"),
        ("a\x00b", "no letter"),
        (None, "must be text"),
        (7, "must be text"),
    ],
)
def test_names_that_are_refused(name, words):
    with pytest.raises(ValueError, match=words) as caught:
        canonical(name)
    assert str(caught.value).startswith("name ") and str(caught.value).endswith(".")


@given(st.text(max_size=40))
def test_a_canonical_name_is_its_own_canonical_name(name):
    try:
        key = canonical(name)
    except ValueError:
        return
    assert canonical(key) == key
    assert canonical(f" {key.upper()} ") == canonical(key.upper())
    assert not any(unicodedata.category(mark) in ("Cf", "Cs", "Cc") for mark in key) and 1 <= len(key) <= 60


# --- rows ----------------------------------------------------------------------------------------------------------


def test_the_row_is_the_one_that_the_published_hash_gives():
    """SHA-256 (FIPS 180-4) as the standard library has it, over the words that DEVELOPERS.md promises."""
    digest = hashlib.sha256(b"mechbench\x1fgearing-two-stages\x1f3\x1fana m").digest()
    assert row_index("gearing-two-stages", 3, "ana m", 8) == 1 + int.from_bytes(digest[:8], "big") % 7


def test_rows_never_change():
    """Frozen: a change here changes every learner's numbers."""
    names = ("ana m", "finn", "josé", "李雷", "x")
    assert [row_index("start-here-lever", 1, name, 8) for name in names] == FROZEN_ROWS
    assert shuffled(("any-arm", "weight", "newtons"), "start-here-sheet", 1, "ana m") == FROZEN_ORDER


FROZEN_ROWS = [4, 7, 7, 3, 7]
FROZEN_ORDER = ("newtons", "weight", "any-arm")


def test_no_name_gets_the_book_and_a_name_never_does():
    assert row_index("start-here-lever", 1, "", 8) == 0
    rows = {row_index("start-here-lever", 1, f"name {i}", 8) for i in range(300)}
    assert rows == set(range(1, 8))
    assert row_index("start-here-lever", 1, "ana", 1) == 0


def test_numbers_depend_on_exercise_and_revision():
    def all_of(id, revision):
        return [row_index(id, revision, f"name {i}", 20) for i in range(40)]

    assert all_of("arm-one", 1) != all_of("arm-two", 1) and all_of("arm-one", 1) != all_of("arm-one", 2)


def test_practice_goes_through_all_other_rows():
    for graded in range(5):
        assert {practice_index(graded, n, 5) for n in range(1, 5)} == set(range(5)) - {graded}
        assert practice_index(graded, 5, 5) == practice_index(graded, 1, 5)
    assert practice_index(0, 3, 1) == 0


def test_another_process_finds_the_same_numbers():
    code = (
        "from mechbench.course.registry import exercise as e; from mechbench.course.learner_numbers import pose; p ="
        " pose(e('start-here-sheet'), 'ana m'); q = pose(e('start-here-lever'), 'ana m'); print(p.order, q.texts)"
    )
    answers = set()
    for seed in ("1", "2"):
        done = subprocess.run(
            [sys.executable, "-c", code], env={**_environment(), "PYTHONHASHSEED": seed}, capture_output=True, text=True
        )
        assert done.returncode == 0, done.stderr
        answers.add(done.stdout)
    assert len(answers) == 1


def _environment():
    import os

    return {**os.environ, "PYTHONIOENCODING": "utf-8"}


# --- orders --------------------------------------------------------------------------------------------------------


def test_options_are_in_the_learners_own_order_and_in_the_books_own():
    assert pose(CHOICE).order == ("brake", "worm", "hope")
    orders = {pose(CHOICE, f"name {i}").order for i in range(60)}
    assert len(orders) == 6
    assert pose(CHOICE, "ana").order == pose(CHOICE, "ana").order


def test_an_order_is_never_shown_solved():
    right = tuple(item.name for item in ORDER.items)
    for key in ("", *(f"name {i}" for i in range(200))):
        assert sum(a == b for a, b in zip(pose(ORDER, key).order, right)) < 2


# --- numbers as shown ----------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    "given_, text",
    [
        ((0.0235678, "N·m/A"), "0.02357 N·m/A"),
        ((5230, "rpm"), "5230 rpm"),
        ((5230.4, "rpm"), "5230 rpm"),
        ((2, "whole"), "2"),
        (0.9, "0.9"),
        ("small", "small"),
        ((20.5, "degC"), "20.5 °C"),
    ],
)
def test_shown(given_, text):
    assert shown(given_) == text


def test_answers_come_from_the_numbers_shown():
    row = learner_numbers.posed(TORQUE, {"mass": (2.00004, "kg"), "out": (30, "cm")}, KITS["own"])
    assert row.texts["mass"] == "2 kg" and row.si.mass == 2.0 and row.si.out == pytest.approx(0.3)


def test_near_tie():
    assert near_tie(1.23450000001) and near_tie(-12345.0) and near_tie(0.00098765)
    assert (
        not near_tie(1.2344)
        and not near_tie(1.2346)
        and not near_tie(5230)
        and not near_tie(0)
        and not near_tie(1.23451)
    )
    assert rounded(-0.0235678) == -0.02357


def test_a_template_with_an_unknown_name_says_which_are_known():
    with pytest.raises(ValueError, match="asks for {fource}.*force"):
        fill("{fource}", {"force": "3 N"})
