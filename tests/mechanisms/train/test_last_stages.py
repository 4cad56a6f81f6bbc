"""What people read of a last stage: two wheels, and whose they are."""

from pathlib import Path

from mechbench.kits import read_kit
from mechbench.kits.load import own_kit
from mechbench.mechanisms.powertrain import last_stages

BARE = Path(__file__).parents[2] / "kits" / "bare"


def test_a_pair_reads_like_a_label_and_says_last_whose_it_is():
    """The course's chain_9_to_12, in its own kit and in one that has no sprockets."""
    assert last_stages(own_kit()).labels["chain_9_to_12"] == "sprocket 9:12"
    assert last_stages(read_kit(BARE)).labels["chain_9_to_12"] == "sprocket 9:12 (course's own)"
