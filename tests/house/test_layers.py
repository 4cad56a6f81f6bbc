"""Imports of mechbench/ point down only, as the list in DEVELOPERS.md says; and this reader against small broken trees.

Besides: a mechanism imports no other one, and no sizing imports drawing.
"""

import ast
import pathlib
import re
import sys

import pytest

ROOT = pathlib.Path(__file__).parents[2]

# Layers that may import less than what lies below them: mechbench names, and packages that must be installed.
LOWEST = {"wording", "command_line", "kit_folder"}
ONLY_OURS = {
    "physics": {"physics", "wording"},
    "drawing": {"drawing", "quantity"},
    "launch": {"launch", *LOWEST},
    "__main__": {"launch"},
    "__init__": {"wording"},
}
ONLY_INSTALLED = {"physics": {"numpy"}, **dict.fromkeys(("launch", "__main__", "__init__", *LOWEST), set())}
# A module or something in it, in words: what the table of commands and the table of public names hold.
WORDS = re.compile(r"mechbench(\.[a-z_]\w*)+(:\w+)?")


def layers(text):
    """Read the list of layers from DEVELOPERS.md: name -> its height."""
    block = re.search(r"^## Layers$.*?^```$(.*?)^```$", text, re.DOTALL | re.MULTILINE).group(1)
    lines = [re.split(r" {2,}", line)[:-1] for line in block.strip().splitlines()]
    return {name.rstrip("/"): height for height, names in enumerate(reversed(lines)) for name in names}


# --- the reader -----------------------------------------------------------------------------------------------------


def problems(package, height):
    """List the imports of a package's files that don't point down, one sentence each."""
    return [
        f"{path.relative_to(package.parent).as_posix()}: {text}"
        for path in sorted(package.rglob("*.py"))
        for text in file_problems(path, package, height)
    ]


def file_problems(path, package, height):
    layer = layer_of(path.relative_to(package).parts[0])
    if layer not in height and layer != "__init__":
        return [f"{layer} is no layer of DEVELOPERS.md"]
    tree = ast.parse(path.read_text(encoding="utf-8"))
    names = sorted(set(imported(tree, path, package)))
    found = [f"imports {name}{why}" for name in names if (why := fault(layer, name, package.name, height))]
    found += [
        f"imports {name}; {why}" for name in names if (why := between_mechanisms(path.relative_to(package), name))
    ]
    if layer not in ("__init__", "launch"):
        above = [text for text in in_words(tree) if lies_above(text, layer, height)]
        found += [f"names {text} in words; import it" for text in above]
    return found


def fault(layer, name, ours, height):
    """Say what is wrong with an import in a layer; nothing where all is well."""
    first, _, rest = name.partition(".")
    if first != ours:
        allowed = ONLY_INSTALLED.get(layer, {first}) | sys.stdlib_module_names
        only = listed(ONLY_INSTALLED.get(layer, ()))
        return "" if first in allowed else f"; {layer} may import, of what must be installed, {only}"
    if layer_of(rest) not in height:
        return "; name the file that is meant, which is in a layer of DEVELOPERS.md"
    if layer_of(rest) not in ONLY_OURS.get(layer, height):
        return f"; {layer} may import, of ours, {listed(ONLY_OURS[layer])}"
    return f", which lies above {layer}" if lies_above(name, layer, height) else ""


def between_mechanisms(path, name):
    """Say what is wrong with an import in a mechanism's folder; nothing where all is well."""
    _, layer, folder, *_ = (*name.split("."), "", "")
    if path.name == "sizing.py" and layer == "drawing":
        return "a sizing knows nothing of its picture"
    if len(path.parts) < 3 or path.parts[0] != "mechanisms" or layer != "mechanisms":
        return ""
    is_folder = (ROOT / "mechbench" / "mechanisms" / folder / "sizing.py").exists()
    return "what two mechanisms need stands beside their folders" if is_folder and folder != path.parts[1] else ""


def listed(names):
    return f"only {', '.join(sorted(names))}" if names else "nothing"


def lies_above(name, layer, height):
    """Tell whether mechbench.NAME lies above a layer; above __init__ lies nothing that it may import."""
    return height.get(layer_of(name.partition(".")[2]), 0) > height.get(layer, len(height))


def layer_of(name):
    """The layer of "kits/load.py", "motor.py", "kits.load" or "kits:kit": its first word."""
    return re.match(r"\w*", name).group()


def imported(tree, path, package):
    """The full name of everything that a file imports, wherever in it."""
    here = (package.name, *path.relative_to(package).parts[:-1])
    for node in ast.walk(tree):
        if isinstance(node, ast.Import):
            yield from (alias.name for alias in node.names)
        elif isinstance(node, ast.ImportFrom):
            base = ".".join(here[: len(here) - node.level + 1]) if node.level else ""
            module = ".".join(filter(None, (base, node.module)))
            # `from mechbench import kits` imports mechbench.kits.
            yield from (f"{module}.{alias.name}" if module == package.name else module for alias in node.names)


def in_words(tree):
    texts = (node.value for node in ast.walk(tree) if isinstance(node, ast.Constant) and isinstance(node.value, str))
    return [text for text in texts if WORDS.fullmatch(text)]


# --- the check ------------------------------------------------------------------------------------------------------


HEIGHT = layers((ROOT / "DEVELOPERS.md").read_text(encoding="utf-8"))


def test_imports_point_down():
    found = problems(ROOT / "mechbench", HEIGHT)
    assert not found, "\n" + "\n".join(found)


def test_the_list_was_read():
    order = [
        "wording",
        "quantity",
        "physics",
        "kits",
        "engine",
        "drawing",
        "mechanisms",
        "whole_robot",
        "catalog",
        "benches",
        "desk",
        "course",
        "launch",
    ]
    assert sorted(order, key=HEIGHT.get) == order
    assert HEIGHT["__main__"] == HEIGHT["launch"] == len(order) - 1
    assert len(list((ROOT / "mechbench").rglob("*.py"))) > 40


# --- the reader itself, on small trees ------------------------------------------------------------------------------

TREE = {
    "__init__.py": 'PUBLIC = {"kit": "mechbench.kits:kit"}\ndef late():\n    from mechbench.wording import closest\n',
    "wording.py": "import difflib\n",
    "__main__.py": "import subprocess\nfrom mechbench.launch import commands\n",
    "launch/commands.py": 'from . import places\nTARGET = "mechbench.course.refresh:command"\n',
    "launch/places.py": "import os\nfrom mechbench.wording import quoted\n",
    "course/ask.py": "import ipywidgets\nfrom mechbench import quantity\nfrom mechbench.benches import bench\n",
    "benches/bench.py": "from ..catalog import sizing_of\nfrom . import page\n",
    "benches/page.py": "",
    "mechanisms/motor/sizing.py": "from mechbench.physics import motor\nfrom mechbench.kits import kit\n",
    "drawing/shapes.py": "import numpy as np\nfrom mechbench import quantity\n",
    "kits/load.py": "from mechbench.physics.check import finite\n",
    "physics/motor.py": (
        "import math\nimport numpy as np\nfrom . import check\nfrom mechbench.physics.check import finite\n"
    ),
    "physics/check.py": '"""No import of mechbench.kits here."""\n',
    "quantity.py": "import re\nfrom mechbench.wording import quoted\n",
}


def plant(folder, changes=()):
    package = folder / "mechbench"
    for name, text in {**TREE, **dict(changes)}.items():
        path = package / name
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_text(text)
    return package


def test_a_good_tree_passes(tmp_path):
    assert problems(plant(tmp_path), HEIGHT) == []


@pytest.mark.parametrize(
    "name, line, says",
    [
        ("quantity.py", "from mechbench.physics import motor", "imports mechbench.physics, which lies above quantity"),
        ("kits/load.py", "from mechbench.catalog import sizing_of", "imports mechbench.catalog, which lies above kits"),
        (
            "kits/load.py",
            "from ..engine.report_text import verdict",
            "imports mechbench.engine.report_text, which lies above kits",
        ),
        ("kits/load.py", "from .. import benches", "imports mechbench.benches, which lies above kits"),
        ("kits/load.py", "from mechbench import quantity, course", "imports mechbench.course, which lies above kits"),
        ("kits/load.py", "import mechbench.course.ask", "imports mechbench.course.ask, which lies above kits"),
        (
            "kits/load.py",
            "def late():\n    from mechbench.benches import page",
            "imports mechbench.benches, which lies above kits",
        ),
        ("kits/load.py", "import mechbench as mb", "imports mechbench; name the file that is meant"),
        ("kits/load.py", 'FILE = "mechbench.benches.page"', "names mechbench.benches.page in words; import it"),
        (
            "mechanisms/motor/sizing.py",
            "import mechbench.launch.places",
            "imports mechbench.launch.places, which lies above mechanisms",
        ),
        (
            "mechanisms/motor/sizing.py",
            "from mechbench.drawing import shapes",
            "imports mechbench.drawing; a sizing knows nothing of its picture",
        ),
        (
            "mechanisms/motor/sizing.py",
            "from mechbench.mechanisms.arm.sizing import Arm",
            "imports mechbench.mechanisms.arm.sizing; what two mechanisms need",
        ),
        (
            "drawing/shapes.py",
            "from mechbench.engine import spec",
            "imports mechbench.engine; drawing may import, of ours, only drawing, quantity",
        ),
        (
            "engine/judge.py",
            "from mechbench import mechanisms",
            "imports mechbench.mechanisms, which lies above engine",
        ),
        ("course/ask.py", "from mechbench.launch import places", "imports mechbench.launch, which lies above course"),
        (
            "physics/motor.py",
            "from mechbench import quantity",
            "imports mechbench.quantity; physics may import, of ours, only physics, wording",
        ),
        (
            "physics/motor.py",
            "import scipy.optimize",
            "imports scipy.optimize; physics may import, of what must be installed, only numpy",
        ),
        ("launch/places.py", "import numpy", "imports numpy; launch may import, of what must be installed, nothing"),
        (
            "launch/places.py",
            "from mechbench.kits import kit",
            "imports mechbench.kits; launch may import, of ours, only command_line, kit_folder, launch, wording",
        ),
        ("__main__.py", "import nbclient", "imports nbclient; __main__ may import, of what must be installed, nothing"),
        (
            "__main__.py",
            "from mechbench.course import refresh",
            "imports mechbench.course; __main__ may import, of ours, only launch",
        ),
        (
            "__init__.py",
            "from mechbench.kits import kit",
            "imports mechbench.kits; __init__ may import, of ours, only wording",
        ),
        ("__init__.py", "import numpy", "imports numpy; __init__ may import, of what must be installed, nothing"),
        ("wording.py", "from mechbench import quantity", "imports mechbench.quantity, which lies above wording"),
        ("wording.py", "import numpy", "imports numpy; wording may import, of what must be installed, nothing"),
        ("helpers/odds.py", "import os", "helpers is no layer of DEVELOPERS.md"),
    ],
)
def test_a_broken_tree_is_named(name, line, says, tmp_path):
    package = plant(tmp_path, {name: f"{TREE.get(name, '')}{line}\n"})
    (found,) = problems(package, HEIGHT)
    assert found.startswith(f"mechbench/{name}: {says}"), found
