"""The exact lists: as they stand, and as `renew` would write them. uv itself is not run here; .ci/run does that."""

import re

import pytest
from packaging.requirements import Requirement

from mechbench import renew, wheels
from mechbench.launch import environment, exact
from mechbench.launch.places import ROOT

TEXTS = {name: exact.file(ROOT, name).read_text("utf-8") for name in ("learner", "test")}
PINNED = {name: [Requirement(pin) for pin in exact.blocks(text)] for name, text in TEXTS.items()}
TARGETS = [wheels.Target(kind, python) for kind in wheels.PLATFORMS for python in ("3.11", "3.12", "3.13", "3.14")]


def versions(pinned, target, edition):
    """The versions that an installer picks on a machine, by name: one each (PEP 508)."""
    chosen = [need for need in pinned if need.marker is None or need.marker.evaluate(target.machine(edition))]
    assert len({need.name for need in chosen}) == len(chosen), f"two versions of one package on {target}"
    return {need.name: str(need.specifier).removeprefix("==") for need in chosen}


@pytest.mark.parametrize("target", TARGETS, ids=str)
@pytest.mark.parametrize("edition", wheels.EDITIONS)
def test_on_every_kind_of_laptop_the_list_is_what_pyproject_asks_for(target, edition):
    asked = environment.sets(ROOT)
    for name, pinned in (("learner", PINNED["learner"]), ("test", PINNED["learner"] + PINNED["test"])):
        found = versions(pinned, target, edition)
        for line in asked[name]:
            need = Requirement(line)
            assert need.specifier.contains(found[need.name]), f"{line}, but {found.get(need.name)}: type renew"


@pytest.mark.parametrize("name", TEXTS)
def test_every_package_has_a_checksum_and_no_address(name):
    body = TEXTS[name].removeprefix(renew.HEAD.format(renew.FOR[name])).removeprefix(renew.FIRST)
    for pin, block in exact.blocks(TEXTS[name]).items():
        sums = re.findall(r"--hash=sha256:[0-9a-f]{64}(?= |\n)", block)
        assert sums and block.replace(pin, "", 1).replace("\\", "").split() == sums, pin
    assert "".join(exact.blocks(body).values()) == body and "://" not in body


def test_the_list_of_the_tests_begins_with_the_one_of_learners_and_repeats_nothing():
    assert TEXTS["test"].splitlines()[1] == "-r learner.txt"
    assert not {need.name for need in PINNED["learner"]} & {need.name for need in PINNED["test"]}


# What `renew` says

OLD = "a==1.0 \\\n    --hash=sha256:{0}\nb==1.0 ; os_name == 'nt' \\\n    --hash=sha256:{0}\n".format("0" * 64)


@pytest.fixture
def project(tmp_path, monkeypatch):
    """A project with a list, and what uv would give: texts."""
    (tmp_path / ".packages").mkdir()
    for name in ("learner", "test"):
        (tmp_path / ".packages" / f"{name}.txt").write_text(OLD if name == "learner" else "")
    texts = {"learner": OLD, "test": ""}
    monkeypatch.setattr(renew.places, "find", lambda *_: wheels.places.Places(tmp_path, tmp_path, tmp_path))
    monkeypatch.setattr(renew, "resolved", lambda root, before: texts)
    return tmp_path, texts


def test_a_list_that_holds_is_said_in_one_line(project, capsys):
    root, texts = project
    texts["learner"] = OLD.replace("0" * 64, "1" * 64)  # one more file of the same version changes nothing
    assert renew.command(["--check"]) == 0
    assert capsys.readouterr().out == (
        "The exact list of packages holds: each can be had, and is what pyproject.toml asks for.\n"
    )


def test_a_list_that_does_not_hold_is_said_in_one_line_and_left(project, capsys):
    root, texts = project
    texts["learner"] = OLD.replace("a==1.0", "a==2.0")
    assert renew.command(["--check"]) == 1
    said = capsys.readouterr().out
    assert said.count("\n") == 1 and "(without a==1.0; with a==2.0): type" in said
    assert (root / ".packages" / "learner.txt").read_text() == OLD
    assert renew.command([]) == 0 and "with a==2.0" in capsys.readouterr().out
    assert (root / ".packages" / "learner.txt").read_text() == texts["learner"]


def test_what_uv_could_not_do_is_said_in_one_line(project, capsys, monkeypatch):
    def fails(*_):
        raise renew.Problem("the network does not answer.")

    monkeypatch.setattr(renew, "resolved", fails)
    assert renew.command(["--check"]) == 1
    assert capsys.readouterr().out == "The exact list of packages could not be checked: the network does not answer.\n"


def test_what_uv_is_asked_for_names_every_kind_of_laptop():
    import tomllib

    asked = tomllib.loads(renew._project(environment.sets(ROOT)))
    assert asked["project"]["dependencies"] == environment.sets(ROOT)["learner"]
    kinds = asked["tool"]["uv"]["required-environments"]
    for target in TARGETS:
        assert sum(Requirement(f"a; {kind}").marker.evaluate(target.machine()) for kind in kinds) == 1
