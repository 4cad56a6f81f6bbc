"""Colours: the published set, told apart on their paper, and never alone."""

import pytest

from mechbench.drawing import palette
from mechbench.drawing.palette import LINES, LOOKS, contrast

# Okabe & Ito, "Color Universal Design (CUD)", 2008, figure 16: red, green, blue of the eight colours.
PUBLISHED = {
    "BLACK": (0, 0, 0),
    "ORANGE": (230, 159, 0),
    "SKY": (86, 180, 233),
    "GREEN": (0, 158, 115),
    "YELLOW": (240, 228, 66),
    "BLUE": (0, 114, 178),
    "VERMILLION": (213, 94, 0),
    "PURPLE": (204, 121, 167),
}


def test_colours_are_the_published_ones():
    for name, (red, green, blue) in PUBLISHED.items():
        assert getattr(palette, name) == f"#{red:02X}{green:02X}{blue:02X}", name


def test_contrast_of_black_and_white_is_that_of_the_standard():
    # WCAG 2.2, "contrast ratio": from 1 to 21. #767676 on white is the well known grey that just passes 4.5 (from
    # memory).
    assert contrast("#000000", "#FFFFFF") == pytest.approx(21)
    assert contrast("#767676", "#FFFFFF") == pytest.approx(4.54, abs=0.01)


@pytest.mark.parametrize("look", LOOKS.values(), ids=LOOKS)
def test_lines_and_words_stand_out_from_the_paper(look):
    # WCAG 2.2: 4.5 for text (criterion 1.4.3), 3 for the parts of a graph (1.4.11).
    for words in (look.ink, look.quiet):
        assert contrast(words, look.paper) >= 4.5
    for role in LINES:
        assert contrast(look.colour(role), look.paper) >= 3.0, role


def test_no_two_roles_share_colour_line_or_mark():
    for look in LOOKS.values():
        assert len(set(look.colours.values())) == len(LINES) and set(look.colours) == set(LINES)
    assert len({str(line) for line, _ in LINES.values()}) == len({mark for _, mark in LINES.values()}) == len(LINES)
