"""The command `forget NAME`: the answers of one learner, and what other programs keep of the notebooks' cells."""

import os
from pathlib import Path

from mechbench.course import handin_file, progress
from mechbench.course.learner_numbers import canonical
from mechbench.launch import copies, places, workfolder


def command(arguments):
    """Delete all that is kept of one learner on this computer, after asking; give the exit code."""
    return progress.forget_command(arguments, copies=of_copies)


def of_copies(name):
    """Delete the copies that other programs made, and say in a few sentences what was deleted and what is left."""
    home = places.home()
    where = places.find(os.environ, home)
    report = copies.delete(where, os.environ, home)
    many = f"{report.copies} {'copy' if report.copies == 1 else 'copies'} of notebooks that JupyterLab made"
    gone = [many] * bool(report.copies) + ["what IPython kept of lessons' cells"] * report.history
    if gone:
        yield f"Deleted too: {', and '.join(gone)}."
    for file, why in report.failed.items():
        yield f"Could not be cleaned: {file} ({why}): delete it by hand."
    # Whoever works by hand has the notebooks in the project's folder.
    folders = [folder for folder in (where.work, where.lessons) if any(folder.glob("*.ipynb"))][:1]
    left = [*(f"the notebooks in {folder}" for folder in folders), *map(str, hand_ins(where, name))]
    trash = "what was thrown away in JupyterLab, which lies in this computer's trash"
    yield f"Not deleted: {'; '.join([*left, trash])}. Delete by hand what nobody needs."


def hand_ins(where, name):
    """List a learner's hand-in files in the work folder, the project's folder, and this one."""
    key = canonical(name) if name.strip() else ""
    inside = where.work.rglob if workfolder.is_ours(where) else where.work.glob
    found = [*inside("handin_*.json"), *where.root.glob("handin_*.json"), *Path.cwd().glob("handin_*.json")]
    return sorted({path.resolve() for path in found if _whose(path) == key})


def _whose(path):
    try:
        return handin_file.read(path).key
    except (OSError, handin_file.HandInError):
        return None
