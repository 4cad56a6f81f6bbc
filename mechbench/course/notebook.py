"""Notebooks as files: making cells, reading, writing.

markdown, code     one cell, with an id, a text and tags
new                a notebook of such cells
read, write        a notebook and its file
tags_of            the tags of a cell
parsed, calls      the code of a cell as a tree; what it gives to mb.NAME

For whoever begins a lesson; from then on the .ipynb file is the source and is edited as a notebook:

    write(path, new([markdown("motors-title", "# 01 Motors"), code("motors-import", "import mechbench as mb")]))
"""

import ast
import os
from pathlib import Path

import nbformat

KERNEL = {"display_name": "Python 3", "language": "python", "name": "python3"}
LANGUAGE = {"file_extension": ".py", "mimetype": "text/x-python", "name": "python"}


def markdown(id, text, *tags):
    """A cell of text."""
    return nbformat.v4.new_markdown_cell(text.strip("\n"), id=id, metadata=_metadata(tags))


def code(id, text, *tags, prompt=""):
    """A cell of code. `prompt` is what stands in a cell tagged "answer" before the learner writes in it."""
    return nbformat.v4.new_code_cell(text.strip("\n"), id=id, metadata=_metadata(tags, prompt))


def _metadata(tags, prompt=""):
    return ({"tags": list(tags)} if tags else {}) | ({"mechbench": {"prompt": prompt}} if prompt else {})


def new(cells):
    """A notebook of these cells, that opens without a question about its kernel."""
    return nbformat.v4.new_notebook(
        cells=list(cells), metadata={"kernelspec": dict(KERNEL), "language_info": dict(LANGUAGE)}
    )


def read(path):
    """Read a notebook; ValueError when the file is none."""
    path = Path(path)
    try:
        return nbformat.read(path, as_version=4)
    except nbformat.reader.NotJSONError:
        raise ValueError(f"{path.name} is no notebook; open it in a text editor, or take the last good one.") from None


def write(path, notebook):
    """Write a notebook in one stroke, laid out as JupyterLab does, so that saving it there changes nothing."""
    path = Path(path)
    nbformat.validate(notebook)
    path.parent.mkdir(exist_ok=True)
    unfinished = path.with_name(path.name + ".new")
    unfinished.write_text(nbformat.writes(notebook) + "\n", encoding="utf-8", newline="\n")
    os.replace(unfinished, path)


def tags_of(cell):
    """The tags of a cell."""
    return cell["metadata"].get("tags", [])


def parsed(cell):
    """The code of a cell as a tree; None where it is no Python."""
    try:
        return ast.parse(cell["source"])
    except SyntaxError:
        return None


def calls(cell, name):
    """The first argument of each call of mb.NAME in a cell, where it is written out."""
    tree = parsed(cell)
    found = [] if tree is None else [node for node in ast.walk(tree) if isinstance(node, ast.Call)]
    mine = [node for node in found if ast.unparse(node.func) == f"mb.{name}"]
    return [node.args[0].value if node.args and isinstance(node.args[0], ast.Constant) else None for node in mine]
