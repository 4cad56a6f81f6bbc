"""The cycle of the usual piece in the course's own game: what people do for a bobbin, and nothing of other pieces."""

import pytest

from mechbench.engine.judge import judge
from mechbench.kits.load import own_kit
from mechbench.mechanisms.cycle.sizing import Cycle


def test_nobody_hands_over_what_lies_on_the_floor():
    """Bobbins are found; felts alone are handed over, which takes the place of finding."""
    people = own_kit().roles.people
    assert people.more_piece.likely == people.more_trip.likely == people.more_jam.likely == 0
    assert own_kit().game.human["hand_over"].likely == 1.8


def test_a_cycle_of_one_bobbin_by_hand():
    """Find 1.4 s, line up 1.3 s, held up 0.7 s as the game says; a jam of 4.5 s in one cycle of 20; drive twice 1.6 s,
    take in 0.5 s, let go 0.4 s, raising beside it.
    """
    given = {"pieces": "1", "raising": "during", "drive_time": "1.6 s", "raise_time": "1.2 s"}
    more = {"grab_time": "0.5 s", "place_time": "0.4 s", "jam_chance": "5 %"}
    found = judge(Cycle, {**given, **more}, own_kit()).good["time"]
    assert found == pytest.approx(1.4 + 0.5 + 1.6 + 0.7 + 1.3 + 0.4 + 1.6 + 0.05 * 4.5)
