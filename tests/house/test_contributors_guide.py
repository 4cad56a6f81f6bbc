"""The contributor's guide names files that are there, and its list of what a mechanism is made of holds for each of
them.
"""

import re

import pytest

from mechbench import mechanisms
from mechbench.catalog import NAMES, ORDER, ROBOT
from mechbench.course.lessons import ROOT

GUIDE = (ROOT / "DEVELOPERS.md").read_text(encoding="utf-8")
PATH = re.compile(r"`((?:[\w.]+/)+[\w.]*|[\w]+\.(?:py|toml|md))`")
ROOTS = ("", "mechbench", "mechbench/kits/weavers_yard", "mechbench/whole_robot")


@pytest.mark.parametrize("path", sorted({found for found in PATH.findall(GUIDE) if "NN_" not in found}))
def test_what_is_named_is_there(path):
    assert any((ROOT / root / path).exists() for root in ROOTS), f"{path} is in DEVELOPERS.md and nowhere else"


def test_every_sizing_has_its_place_in_the_course():
    assert set(ORDER) == {*mechanisms.names(), ROBOT} and NAMES == ORDER


@pytest.mark.parametrize("name", mechanisms.names())
def test_a_mechanism_is_a_folder_with_tests_of_its_own(name):
    sizing = mechanisms.part_of(name, mechanisms.SIZING)
    assert sizing.NAME == name
    folder = ROOT / "tests" / "mechanisms"
    by_hand = "".join(
        path.read_text(encoding="utf-8") for path in (folder / name / "test_by_hand.py", *folder.glob("by_hand*.py"))
    )
    missing = [finding.name for finding in sizing.FINDINGS if not re.search(rf"\b{finding.name}\b", by_hand)]
    assert not missing, "every finding is computed by hand once"
    picture = mechanisms.part_of(name, mechanisms.PICTURE)
    assert picture is None or picture.__name__.endswith("Picture")
