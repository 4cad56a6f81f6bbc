"""A pytest plugin: the same surroundings for every test and every notebook, wherever the tests run.

pyproject.toml loads it with ``-p mechbench.pytest_plugin``, in each worker, before any kernel starts; kernels
inherit the environment that is set here. Nothing of a learner's is read or written. Lessons never import this file.

Whatever a run writes goes into one temporary folder, which is gone afterwards. To look at what a test wrote,
give pytest ``--basetemp FOLDER``.
"""

import atexit
import os
import shutil
import tempfile
from pathlib import Path

import nbval.kernel
import pytest

from mechbench.course.notebook_environment import book_surroundings
from mechbench.launch import chromium

KERNEL_TRIES = 3
PATIENCE = 300  # s that a notebook's output may take to arrive; ends only what hangs
BROWSER = "tests/browser/"
# Files that take long come first, so that no worker is left with one at the end while the other has nothing to do.
FIRST = (BROWSER, "tests/launch/", "tests/course/", "tests/desk/", "solutions/", "lessons/", "tests/")

_scratch = Path(tempfile.mkdtemp(prefix="mechbench-test-"))
atexit.register(shutil.rmtree, _scratch, ignore_errors=True)
_scratch.chmod(0o711)  # some tests act as another account, which has to get through
# What libraries put into the temporary folder and forget (a kernel's connection file) goes with it.
tempfile.tempdir = str(_scratch)

os.environ.update(
    book_surroundings(_scratch),
    HYPOTHESIS_STORAGE_DIRECTORY=str(_scratch / "hypothesis"),
    SE_AVOID_STATS="true",
    **dict.fromkeys(("TMPDIR", "TEMP", "TMP"), str(_scratch)),
)


def tried_again(start, tries=KERNEL_TRIES):
    """A kernel's start that is tried again where the kernel died at once.

    Its ports are chosen before it takes them, so a program that starts at the same moment may have taken one of them.
    """

    def start_again(*args, **kwargs):
        for left in reversed(range(tries)):
            try:
                return start(*args, **kwargs)
            except RuntimeError as fault:
                if "died" not in str(fault) or not left:
                    raise

    return start_again


nbval.kernel.start_new_kernel = tried_again(nbval.kernel.start_new_kernel)


def pytest_addoption(parser):
    group = parser.getgroup("mechbench")
    group.addoption(
        "--benchmarks", action="store_true", help="run the benchmarks and nothing else; without it they are left out"
    )
    group.addoption(
        "--kit", metavar="FOLDER", default="", help="run notebooks with this kit instead of the course's own"
    )


@pytest.hookimpl(tryfirst=True)  # a profile that is named on the command line comes after
def pytest_configure(config):
    os.environ["MECHBENCH_KIT"] = config.getoption("--kit") and os.path.abspath(config.getoption("--kit"))
    from hypothesis import HealthCheck, settings

    # How long an example takes depends on what else the machine does.
    settings.register_profile("mechbench", deadline=None, suppress_health_check=[HealthCheck.too_slow])
    settings.load_profile("mechbench")


def pytest_collection_modifyitems(config, items):
    """Choose tests or benchmarks, and leave the browser out where there is none; long files come first."""
    chosen, left_out, browser = [], [], chromium.find()
    for item in items:
        of_this_run = bool(item.get_closest_marker("benchmark")) == config.getoption("--benchmarks")
        can_run = browser or not item.get_closest_marker("browser")
        (chosen if of_this_run and can_run else left_out).append(item)
        if hasattr(item, "output_timeout"):  # a notebook's cell: nbval waits 5 s
            item.output_timeout = PATIENCE
    items[:] = sorted(chosen, key=_place)
    config.hook.pytest_deselected(items=left_out)


def pytest_unconfigure(config):
    shutil.rmtree(_scratch, ignore_errors=True)


def _place(item):
    return next((place for place, folder in enumerate(FIRST) if item.nodeid.startswith(folder)), len(FIRST))


@pytest.hookimpl(optionalhook=True)
def pytest_xdist_make_scheduler(config, log):
    """Give a file to one worker, or a notebook's cells go to different kernels; all that use a browser share one."""
    from xdist.scheduler import LoadFileScheduling

    class ByFile(LoadFileScheduling):
        def _split_scope(self, nodeid):
            return BROWSER if nodeid.startswith(BROWSER) else super()._split_scope(nodeid)

    return ByFile(config, log)
