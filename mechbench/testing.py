"""A pytest plugin: the same surroundings for every test and every notebook, wherever the tests run.

pyproject.toml loads it with ``-p mechbench.testing``, in each worker, before any kernel starts; kernels inherit the
environment that is set here. Nothing of a learner's is read or written. Lessons never import this file.
"""

import os
import shutil
import tempfile
from pathlib import Path

from mechbench.course.notebook_environment import book_surroundings
from mechbench.launch import chromium

_scratch = Path(tempfile.mkdtemp(prefix="mechbench-test-"))

os.environ.update(
    book_surroundings(_scratch),
    HYPOTHESIS_STORAGE_DIRECTORY=str(_scratch / "hypothesis"),
    SE_AVOID_STATS="true",
)


def pytest_collection_modifyitems(config, items):
    """Leave the browser tests out where there is no browser; the command `test` says so."""
    if chromium.find():
        return
    browser_tests = [item for item in items if item.get_closest_marker("browser")]
    items[:] = [item for item in items if item not in browser_tests]
    config.hook.pytest_deselected(items=browser_tests)


def pytest_unconfigure(config):
    shutil.rmtree(_scratch, ignore_errors=True)
