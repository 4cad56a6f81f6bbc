"""Imports of mechbench/ point down only, as the list in DEVELOPERS.md says; and this reader against small broken trees."""

import ast
import pathlib
import re
import sys

import pytest

ROOT = pathlib.Path(__file__).parents[2]

# Layers that may import less than what lies below them: mechbench names, and packages that must be installed.
LOWEST = {"wording", "command_line"}
ONLY_OURS = {"physics": {"physics", "wording"}, "launch": {"launch", *LOWEST}, "__main__": {"launch"}, "__init__": {"wording"}}
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
    return [f"{path.relative_to(package.parent).as_posix()}: {text}" for path in sorted(package.rglob("*.py"))
            for text in file_problems(path, package, height)]


def file_problems(path, package, height):
    layer = layer_of(path.relative_to(package).parts[0])
    if layer not in height and layer != "__init__":
        return [f"{layer} is no layer of DEVELOPERS.md"]
    tree = ast.parse(path.read_text(encoding="utf-8"))
    names = sorted(set(imported(tree, path, package)))
    found = [f"imports {name}{why}" for name in names if (why := fault(layer, name, package.name, height))]
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


def listed(names):
    return f"only {', '.join(sorted(names))}" if names else "nothing"


def lies_above(name, layer, height):
    """Tell whether mechbench.NAME lies above a layer; above __init__ lies nothing that it may import."""
    return height.get(layer_of(name.partition(".")[2]), 0) > height.get(layer, len(height))


def layer_of(name):
    """The layer of "kit/load.py", "motor.py", "kit.load" or "kit:kit": its first word."""
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
            # `from mechbench import kit` imports mechbench.kit.
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
    order = ["wording", "quantity", "physics", "kit", "sizing", "robot", "bench", "desk", "course", "launch"]
    assert sorted(order, key=HEIGHT.get) == order
    assert HEIGHT["sizing"] == HEIGHT["robot"]  # a whole robot is a sizing
    assert HEIGHT["__main__"] == HEIGHT["launch"] == len(order) - 2
    assert len(list((ROOT / "mechbench").rglob("*.py"))) > 40


# --- the reader itself, on small trees ------------------------------------------------------------------------------

TREE = {
    "__init__.py": 'import sys\nPUBLIC = {"kit": "mechbench.kit:kit"}\ndef late():\n    from mechbench.wording import closest\n',
    "__main__.py": "import subprocess\nfrom mechbench.launch import commands\n",
    "launch/commands.py": 'from . import places\nTARGET = "mechbench.course.refresh:command"\n',
    "launch/places.py": "import os\nfrom mechbench.wording import quoted\n",
    "course/ask.py": "import ipywidgets\nfrom mechbench import quantity\nfrom mechbench.bench import bench\n",
    "bench/bench.py": "from ..sizing import size\nfrom . import page\n",
    "bench/page.py": "",
    "sizing/motor.py": "from mechbench.physics import motor\nfrom mechbench.kit import kit\n",
    "kit/load.py": "from mechbench.physics.check import finite\n",
    "physics/motor.py": "import math\nimport numpy as np\nfrom . import check\nfrom mechbench.physics.check import finite\n",
    "physics/check.py": '"""No import of mechbench.kit here."""\n',
    "quantity.py": "import re\nfrom mechbench.wording import quoted\n",
    "wording.py": "import difflib\n",
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


@pytest.mark.parametrize("name, line, says", [
    ("quantity.py", "from mechbench.physics import motor", "imports mechbench.physics, which lies above quantity"),
    ("kit/load.py", "from mechbench.sizing import size", "imports mechbench.sizing, which lies above kit"),
    ("kit/load.py", "from ..sizing.words import verdict", "imports mechbench.sizing.words, which lies above kit"),
    ("kit/load.py", "from .. import bench", "imports mechbench.bench, which lies above kit"),
    ("kit/load.py", "from mechbench import quantity, course", "imports mechbench.course, which lies above kit"),
    ("kit/load.py", "import mechbench.course.ask", "imports mechbench.course.ask, which lies above kit"),
    ("kit/load.py", "def late():\n    from mechbench.bench import page", "imports mechbench.bench, which lies above kit"),
    ("kit/load.py", "import mechbench as mb", "imports mechbench; name the file that is meant"),
    ("kit/load.py", 'FILE = "mechbench.bench.page"', "names mechbench.bench.page in words; import it"),
    ("sizing/motor.py", "import mechbench.launch.places", "imports mechbench.launch.places, which lies above sizing"),
    ("course/ask.py", "from mechbench.launch import places", "imports mechbench.launch, which lies above course"),
    ("physics/motor.py", "from mechbench import quantity", "imports mechbench.quantity; physics may import, of ours, only physics, wording"),
    ("physics/motor.py", "import scipy.optimize", "imports scipy.optimize; physics may import, of what must be installed, only numpy"),
    ("launch/places.py", "import numpy", "imports numpy; launch may import, of what must be installed, nothing"),
    ("launch/places.py", "from mechbench.kit import kit", "imports mechbench.kit; launch may import, of ours, only command_line, launch, wording"),
    ("__main__.py", "import nbclient", "imports nbclient; __main__ may import, of what must be installed, nothing"),
    ("__main__.py", "from mechbench.course import refresh", "imports mechbench.course; __main__ may import, of ours, only launch"),
    ("__init__.py", "from mechbench.kit import kit", "imports mechbench.kit; __init__ may import, of ours, only wording"),
    ("__init__.py", "import numpy", "imports numpy; __init__ may import, of what must be installed, nothing"),
    ("wording.py", "from mechbench import quantity", "imports mechbench.quantity, which lies above wording"),
    ("wording.py", "import numpy", "imports numpy; wording may import, of what must be installed, nothing"),
    ("helpers/odds.py", "import os", "helpers is no layer of DEVELOPERS.md"),
])
def test_a_broken_tree_is_named(name, line, says, tmp_path):
    package = plant(tmp_path, {name: f"{TREE.get(name, '')}{line}\n"})
    (found,) = problems(package, HEIGHT)
    assert found.startswith(f"mechbench/{name}: {says}"), found
