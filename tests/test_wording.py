"""How sentences about a given value are worded."""

import string
from difflib import SequenceMatcher

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from mechbench.wording import LONGEST, MOST_NAMES, NEAR, closest, listed, nearest, one_slip_apart, quoted, shortened


@pytest.mark.parametrize(
    "given_value, says",
    [
        ("arm", "'arm'"),
        ("", "''"),
        (3, "'3'"),
        (None, "'None'"),
        ("a\nb\x00", "'a b?'"),
        ("\u202eabc", "'?abc'"),
        ("\ud800", "'?'"),
        ("µm ½", "'µm ½'"),
        ("x" * LONGEST, f"'{'x' * LONGEST}'"),
        ("x" * (LONGEST + 1), f"'{'x' * LONGEST}…'"),
    ],
)
def test_a_given_value_in_quotes(given_value, says):
    assert quoted(given_value) == says
    assert quoted(given_value, mark='"') == f'"{says[1:-1]}"' and shortened(given_value) == says[1:-1]


@settings(deadline=None)
@given(st.text(), st.integers(1, 50))
def test_whatever_is_given_stays_on_one_line_and_short(text, most):
    shown = shortened(text, most)
    assert len(shown) <= most + 1 and shown.isprintable()
    assert (shown == text) == (text.isprintable() and len(text) <= most)


def test_the_nearest_name_is_said_or_those_that_there_are():
    assert nearest("moter", {"motor": 1, "arm": 2}) == "did you mean 'motor'?"
    assert nearest("moter", ["motor"], mark='"') == 'did you mean "motor"?'
    assert nearest("xyz", ("motor", "arm")) == "choose from motor, arm."
    assert nearest("xyz", (name for name in ("motor", "arm"))) == "choose from motor, arm."
    assert nearest("xyz", []) == "there is none to choose from."
    assert nearest(None, [16, 64]) == "choose from 16, 64." and nearest(65, [16, 64]) == "did you mean '64'?"


@settings(deadline=None)
@given(
    st.text(string.ascii_lowercase, max_size=8),
    st.lists(st.text(string.ascii_lowercase, min_size=1, max_size=8), max_size=6),
)
def test_the_closest_is_the_most_alike_of_all_that_are_near(name, names):
    alike = {one: SequenceMatcher(None, one, name).ratio() for one in names}
    near = closest(name, names)
    assert near == "" and all(share < NEAR for share in alike.values()) or alike[near] == max(alike.values()) >= NEAR


def test_a_name_of_any_length_is_compared_quickly():
    assert closest("arm" * 100_000, ["arm", "motor"] * 50) == ""


def test_a_long_list_is_cut_and_counted():
    names = [f"part{number}" for number in range(MOST_NAMES + 1)]
    assert listed(names[:-1]) == ", ".join(names[:-1])
    assert listed(names) == f"{', '.join(names[:-1])} … ({MOST_NAMES + 1} in all)"
    assert listed(names, most=1) == f"part0 … ({MOST_NAMES + 1} in all)"


@pytest.mark.parametrize(
    "one, other, apart",
    [
        ("ana", "anna", True),
        ("ana", "an", True),
        ("ana", "ina", True),
        ("ana", "naa", True),
        ("ana", "aan", True),
        ("a", "", True),
        ("a", "b", True),
        ("ana", "ana", False),
        ("ana", "annaa", False),
        ("ana", "nan", False),
        ("abcd", "acdb", False),
        ("abcd", "badc", False),
        ("", "", False),
    ],
)
def test_one_slip(one, other, apart):
    """Distance 1 of Damerau (1964): a letter too many, too few, another one, or two neighbours exchanged."""
    assert one_slip_apart(one, other) is one_slip_apart(other, one) is apart
