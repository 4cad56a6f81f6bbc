"""Lines of plain text: they fit the window, and none ends between a number and its unit."""

import re

import pytest

from mechbench import quantity
from mechbench.desk import text_table

UNITS = [name for kind in quantity.KINDS for name in quantity.units_of(kind)]
LINE_ENDS_WITH_A_NUMBER = re.compile(r"\d$")


@pytest.mark.parametrize("unit", [unit for unit in UNITS if quantity.written(unit)])
def test_no_line_ends_between_a_number_and_its_unit(unit):
    """Words of every length before it, so that without care some line would end right behind the number."""
    for before in range(60, text_table.WIDTH - 2):
        text = f"{'x' * before} {quantity.show(quantity.to_si(250.0, unit), unit)} and more words behind it"
        lines = text_table.wrapped(text)
        assert " ".join(line.strip() for line in lines) == text, "nothing is lost, and no odd space is left"
        assert not any(LINE_ENDS_WITH_A_NUMBER.search(line) for line in lines)
        assert all(len(line) <= text_table.WIDTH for line in lines)


def test_a_long_text_breaks_elsewhere_and_is_set_in():
    text = "fuse 15 A, " * 30
    first, *others = text_table.wrapped(text, indent=2, more=3)
    assert first.startswith("  fuse") and others and all(re.match(r"     (fuse|15 A)", line) for line in others)
    assert text_table.wrapped("") == [""]
