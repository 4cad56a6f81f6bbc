import importlib

import pytest

import mechbench
from mechbench.launch.places import ROOT


def test_dir_lists_the_public_names_and_nothing_else():
    assert dir(mechbench) == sorted(mechbench.PUBLIC)


@pytest.mark.parametrize("name", sorted(mechbench.PUBLIC))
def test_a_public_name_whose_file_exists_can_be_used(name):
    module = mechbench.PUBLIC[name].partition(":")[0]
    path = ROOT.joinpath(*module.split("."))
    if path.with_suffix(".py").exists() or (path / "__init__.py").exists():
        assert getattr(mechbench, name) is not None
    else:
        with pytest.raises(ModuleNotFoundError, match=module):
            getattr(mechbench, name)


def test_a_public_name_gives_its_module():
    assert mechbench.motor is importlib.import_module("mechbench.physics.motor")


@pytest.mark.parametrize("name, near", [("moter", "motor"), ("gears", "gearing"), ("hand_inn", "hand_in")])
def test_an_unknown_name_is_answered_with_the_nearest(name, near):
    with pytest.raises(AttributeError, match=f"mechbench has no '{name}'; did you mean mechbench.{near}\\?"):
        getattr(mechbench, name)


def test_a_name_with_no_neighbour_points_to_the_list():
    with pytest.raises(AttributeError, match="dir\\(mechbench\\) lists what there is"):
        mechbench.qqqqqq


def test_no_folder_bears_a_public_name():
    """Importing a folder sets its name in the package: a function of that name would be gone."""
    folders = {path.name for path in (ROOT / "mechbench").iterdir() if (path / "__init__.py").exists()}
    files = {path.stem for path in (ROOT / "mechbench").glob("*.py")}
    hidden = {name for name, target in mechbench.PUBLIC.items() if target != f"mechbench.{name}"}
    assert not hidden & (folders | files)
