"""Why a robot fails, in the verdict's own words: cause and part or mechanism, from numbers of a changed plan by hand.

Swift of the course's own kit, each time with one change of its plan.
"""

import re

import pytest

from mechbench.catalog import judge
from mechbench.engine import report_text
from mechbench.kits import read_kit
from mechbench.kits.load import OWN_FOLDER
from mechbench.whole_robot.build import build
from mechbench.whole_robot.sizing import judged
from mechbench.whole_robot.work import Days

FRAME = 'frame       = { mass = "2.5 kg",  at = ["0 mm", "0 mm", "65 mm"],     size = ["440 mm", "410 mm"'
TEXTS = {name: (OWN_FOLDER / name).read_text(encoding="utf-8") for name in ("game.toml", "parts.toml", "robots.toml")}


@pytest.fixture
def kit_of(tmp_path):
    """Give a function that makes the course's kit with one place of its robots changed."""

    def make(old, new):
        assert TEXTS["robots.toml"].count(old) == 1
        for name, text in TEXTS.items():
            (tmp_path / name).write_text(text.replace(old, new) if name == "robots.toml" else text, encoding="utf-8")
        return read_kit(tmp_path)

    return make


def verdict(kit):
    return report_text.verdict(judge("robot", {"which": "swift"}, kit))


def test_too_heavy_names_the_heaviest_part(kit_of):
    """9.5 + 2.6 + 0.56 + 0.8 + 0.8 + 0.5 + 0.30 + 0.28 + 0.16 kg."""
    assert 9.5 + 2.6 + 0.56 + 0.8 + 0.8 + 0.5 + 0.30 + 0.28 + 0.16 == pytest.approx(15.5)
    assert verdict(kit_of(FRAME, FRAME.replace("2.5", "9.5"))) == (
        "Does not work: mass: 15.5 kg (at most 14.5 kg); its heaviest part is the frame, 9.5 kg."
    )


@pytest.mark.parametrize(
    "old, new, says",
    [
        ("440 mm", "560 mm", "-40 mm (at least 0 mm); it is 560 mm long, and there are 520 mm"),
        ("410 mm", "600 mm", "-80 mm (at least 0 mm); it is 600 mm wide, and there are 520 mm"),
    ],
)
def test_too_large_names_the_side_and_the_part(old, new, says, kit_of):
    """The box is 520 by 440 mm: who is 600 mm wide and 440 mm long stands across it, 80 mm too long."""
    said = verdict(kit_of(FRAME, FRAME.replace(old, new)))
    assert said == f"Does not work: room in the start box: {says}; the frame reaches furthest."


def test_too_high_raised_names_the_part(kit_of):
    """The jaw's box is 90 mm high, its middle 900 mm up: 945 mm, and 890 mm are allowed."""
    jaw = 'raised_at = ["-30 mm", "0 mm", "600 mm"] }'
    assert verdict(kit_of(jaw, jaw.replace("600", "900"))) == (
        "Does not work: room to the limits, raised: -55 mm (at least 0 mm); it is 945 mm high, and 890 mm are allowed;"
        " the jaw reaches furthest."
    )


def test_a_fuse_that_melts_names_who_draws_most(kit_of):
    """Without a limit in its program swift's four motors take what they can, all at once."""
    kit = kit_of('start_limit = "3.5 A"', "")
    said = verdict(kit)
    told = re.search(
        r"share of the fuse used up: \d+ % \(at most 100 %\); the drive draws most, (.+) A of (.+) A at the highest\.$",
        said,
    )
    assert told, said
    good = judged(build("swift", kit), Days.good())
    drawn, peak = (float(told[number]) for number in (1, 2))
    assert drawn == pytest.approx(float(good["drive_draws"][0]), rel=0.1) and drawn < peak
