"""Fixtures for browser tests: `lab`, JupyterLab in a browser; `notebook`, which makes a small notebook in it;
`browser`, a
browser alone, for pages in files.

Every test that uses them also bears the marker `browser`.
"""

import pytest

from tests.browser.jupyterlab import Lab, missing, start_browser


@pytest.fixture(scope="session")
def lab(tmp_path_factory):
    """A running Lab on an empty folder, one for each process; copy notebooks into `lab.folder`, then
    `lab.open(name)`.
    """
    if missing():
        pytest.skip(missing())
    scratch = tmp_path_factory.mktemp("lab")
    folder = scratch / "work"
    folder.mkdir()
    with Lab(folder, scratch) as running:
        yield running


@pytest.fixture(scope="session")
def notebook(lab):
    """Make a notebook from pieces of code, one a cell (ids cell-1, cell-2 ...), and open it: `notebook("1 + 1",
    ...)`.
    """

    def make(*code, name="trial.ipynb"):
        import nbformat

        kernel = {"name": "python3", "display_name": "Python 3", "language": "python"}
        made = nbformat.v4.new_notebook(metadata={"kernelspec": kernel})
        made.cells = [nbformat.v4.new_code_cell(text, id=f"cell-{i + 1}") for i, text in enumerate(code)]
        nbformat.write(made, lab.folder / name)
        return lab.open(name, page_anew=False)

    return make


@pytest.fixture(scope="module")
def browser(tmp_path_factory):
    """A browser without JupyterLab, one for each file of tests."""
    if missing():
        pytest.skip(missing())
    driver = start_browser(tmp_path_factory.mktemp("browser"))
    yield driver
    driver.quit()
