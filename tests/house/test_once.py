"""What stands in one place only: how a given value is quoted, how the nearest name is found, how a command's words
are read, and module names.
"""

import ast
import re
from collections import Counter

import pytest

from mechbench.course.lessons import ROOT

PACKAGE = ROOT / "mechbench"
FOLDERS = ("benches", "course", "desk", "engine", "kits", "launch", "physics", "whole_robot")
FILES = sorted(PACKAGE.glob("*.py")) + [path for folder in FOLDERS for path in sorted((PACKAGE / folder).glob("*.py"))]
CUT_AND_QUOTED = re.compile(r"\[[^\[\]]*:[^\[\]]*\]!r")  # name[:40]!r


def uses(path):
    """The modules that a file imports, and the names that it takes from other names: "argparse.ArgumentParser"."""
    nodes = list(ast.walk(ast.parse(path.read_text(encoding="utf-8"))))
    yield from (alias.name for node in nodes if isinstance(node, ast.Import) for alias in node.names)
    yield from (
        f"{node.module}.{alias.name}" for node in nodes if isinstance(node, ast.ImportFrom) for alias in node.names
    )
    yield from (
        f"{node.value.id}.{node.attr}"
        for node in nodes
        if isinstance(node, ast.Attribute) and isinstance(node.value, ast.Name)
    )


@pytest.mark.parametrize(
    "begins, home", [("difflib", "wording"), ("argparse.ArgumentParser", "command_line"), ("jinja2", "printed_page")]
)
def test_one_file_uses_it_and_the_others_use_that_file(begins, home):
    users = [path.stem for path in FILES if any(name == begins or name.startswith(f"{begins}.") for name in uses(path))]
    assert users == [home]


def test_a_given_value_is_quoted_and_cut_in_one_place():
    found = [
        f"{path.name}: {hit}" for path in FILES for hit in CUT_AND_QUOTED.findall(path.read_text(encoding="utf-8"))
    ]
    assert CUT_AND_QUOTED.search('f"{name[:40]!r} is"') and not found, found


def test_no_two_modules_have_one_name():
    names = Counter(path.stem for path in FILES if path.stem != "__init__")
    assert [name for name, count in names.items() if count > 1] == []
