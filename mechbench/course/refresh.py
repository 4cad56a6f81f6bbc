"""Deriving every lesson and running every notebook, so that what is stored is what a reader will see.

refresh     run, write the minutes it takes into it, derive, run, store
run         run one notebook in the surroundings of the book
command     the command `refresh [NAME ...]`
"""

import copy
import os
import sys
import tempfile
import time
from pathlib import Path

import nbformat
from jupyter_client.kernelspec import KernelSpecManager
from jupyter_client.manager import AsyncKernelManager
from nbclient import NotebookClient
from nbclient.exceptions import CellExecutionError, CellTimeoutError, DeadKernelError

from mechbench.command_line import Parser
from mechbench.course import plans
from mechbench.course.derived_lesson import derive
from mechbench.course.lessons import ALONE, ROOT, lesson_of, sources
from mechbench.course.minutes import claimed
from mechbench.course.notebook import KERNEL, LANGUAGE, read, write
from mechbench.course.notebook_environment import book_surroundings
from mechbench.wording import nearest, quoted

CELL_TIMEOUT, START_TIMEOUT = 180, 120
WIDGET_VIEW = "application/vnd.jupyter.widget-view+json"


class LessonError(Exception):
    """A notebook that can't be run to its end; the text names the notebook and the cell."""


def refresh(paths=None):
    """Run each source and the lesson derived from it, and store both; give the paths written.

    paths : notebooks of solutions/, or of lessons/ where one has no source; all of them when left out
    """
    written = []
    for path in map(Path, everything() if paths is None else paths):
        source = run(read(path), path)
        if path.stem not in ALONE:
            source = claimed(source)
        write(path, source)
        written.append(path)
        if path.stem not in ALONE:
            write(lesson_of(path), run(derive(source), lesson_of(path)))
            written.append(lesson_of(path))
    return written


def everything(root=ROOT):
    """The paths of all notebooks to refresh."""
    alone = [root / "lessons" / f"{name}.ipynb" for name in ALONE]
    return [*sources(root), *(path for path in alone if path.exists())]


def run(notebook, path):
    """Give a copy of a notebook with its cells run from top to bottom; `path` is where it will stand."""
    fresh = nbformat.from_dict(copy.deepcopy(notebook))
    begun = []
    with tempfile.TemporaryDirectory(prefix="mechbench-refresh-") as scratch:
        client = NotebookClient(
            fresh,
            # Without folders of kernels, "python3" is the Python that runs this.
            km=AsyncKernelManager(kernel_name="python3", kernel_spec_manager=KernelSpecManager(kernel_dirs=[])),
            timeout=CELL_TIMEOUT,
            startup_timeout=START_TIMEOUT,
            # The kernel warns that it talks in plain text, which it does with this machine only.
            extra_arguments=["--log-level=ERROR"],
            store_widget_state=False,
            record_timing=False,
            resources={"metadata": {"path": scratch}},
            on_cell_start=lambda cell, cell_index: begun.append(cell["id"]),
        )
        try:
            client.execute(env=_environment(Path(scratch)))
        except (CellExecutionError, CellTimeoutError, DeadKernelError) as error:
            raise LessonError(f"{path.parent.name}/{path.name}, cell {begun[-1]}: {_reason(error)}") from None
    _strip(fresh)
    return fresh


def _environment(scratch):
    """The notebook finds this mechbench first, whatever else is installed."""
    path = os.pathsep.join(filter(None, [str(ROOT), os.environ.get("PYTHONPATH", "")]))
    return {**os.environ, **book_surroundings(scratch), "PYTHONPATH": path}


def _reason(error):
    if isinstance(error, CellExecutionError):
        return f"{error.ename}: {error.evalue}"
    return str(error).splitlines()[0]


def _strip(notebook):
    """Take out what differs from one run or one machine to the next, and views that only live in a running kernel."""
    notebook["metadata"].pop("widgets", None)
    notebook["metadata"].update(kernelspec=dict(KERNEL), language_info=dict(LANGUAGE))
    for cell in notebook["cells"]:
        cell["metadata"].pop("execution", None)
        for output in cell.get("outputs", ()):
            output.get("data", {}).pop(WIDGET_VIEW, None)


# --- the command ----------------------------------------------------------------------------------------------------


def command(arguments):
    """Refresh the notebooks named, or all; give the exit code."""
    reader = Parser(
        "refresh",
        description="Derive every lesson from its source in solutions/, run both, and store what they show; write the"
        " minutes that a lesson takes into it and into the plans of the mentor's guide.",
    )
    reader.add_argument("names", nargs="*", metavar="NAME", help="a lesson, such as motors; none named: all of them")
    try:
        for path in _named(reader.parse_args(arguments).names):
            _refresh_aloud(path)
        plans.write()
    except (LessonError, ValueError) as error:
        print(error, file=sys.stderr)
        return 1
    return 0


def _named(names):
    known = {key: path for path in everything() for key in (path.stem, path.stem.partition("_")[2])}
    if not known:
        raise ValueError(f"There is no notebook in {ROOT / 'solutions'}; begin one with the skeleton of DEVELOPERS.md.")
    for name in names:
        if name not in known:
            raise ValueError(f"There is no notebook {quoted(name)}; {nearest(name, sorted(known))}")
    return [known[name] for name in names] if names else everything()


def _refresh_aloud(path):
    began = time.monotonic()
    written = refresh([path])
    sizes = ", ".join(f"{one.parent.name} {one.stat().st_size / 1000:.0f} kB" for one in written)
    print(f"{path.stem}: {time.monotonic() - began:.0f} s; {sizes}", flush=True)
