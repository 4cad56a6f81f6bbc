"""Benchmarks in a browser use the same JupyterLab as the tests of the browser."""

from tests.browser.conftest import lab, notebook  # noqa: F401  (fixtures)
