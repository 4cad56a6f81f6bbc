"""Benchmarks in a browser use the same JupyterLab as the tests of the browser; `hold` prints ratios and holds their
bounds.
"""

import pytest

from tests.benchmarks.ratios import held
from tests.browser.conftest import lab, notebook  # noqa: F401  (fixtures)


@pytest.fixture
def hold(capsys):
    """Hold the ratios that a function measures: `hold(measure)`."""

    def say(line):
        with capsys.disabled():
            print(f"\n{line}", end="")

    yield lambda measure: held(measure, say)
    say("")
