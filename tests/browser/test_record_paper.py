"""On paper, A4 and US letter: a design record is one sheet, with nothing cut off and nothing blocked by its own policy;
the formulas are two pages.
"""

import base64
import re

import pytest

from mechbench.catalog import NAMES
from mechbench.desk.formula_sheet import sheet_html
from tests.desk.asked import ask

pytestmark = pytest.mark.browser
SHEETS = {"A4": (21.0, 29.7), "letter": (21.59, 27.94)}  # cm
CENTIMETRE = 1 / 2.54  # inches


def pages(driver, sheet):
    """How many sheets a page takes; the page's own margins hold."""
    width, height = (length * CENTIMETRE for length in SHEETS[sheet])
    settings = {"paperWidth": width, "paperHeight": height, "printBackground": True, "preferCSSPageSize": False}
    printed = base64.b64decode(driver.execute_cdp_cmd("Page.printToPDF", settings)["data"])
    return len(re.findall(rb"/Type\s*/Page\b", printed))


@pytest.mark.parametrize("name", NAMES)
def test_a_record_is_one_sheet(name, browser, tmp_path, monkeypatch):
    monkeypatch.chdir(tmp_path)
    measured = " --measured time=1.234s" if name in ("arm", "lift", "winch") else ""
    ask(f"{name} --record a.html{measured}")
    browser.get((tmp_path / "a.html").as_uri())
    assert [pages(browser, sheet) for sheet in SHEETS] == [1, 1]
    overhang = browser.execute_script(
        "return document.documentElement.scrollWidth - document.documentElement.clientWidth"
    )
    assert overhang <= 0, "nothing sticks out sideways"
    assert browser.execute_script("return document.querySelector('img').naturalWidth") > 300
    assert browser.get_log("browser") == []


def test_the_formulas_are_two_pages(browser, tmp_path):
    (tmp_path / "sheet.html").write_text(
        f"<!doctype html><meta charset=utf-8><body style='font-family: sans-serif'>{sheet_html()}", encoding="utf-8"
    )
    browser.get((tmp_path / "sheet.html").as_uri())
    assert all(pages(browser, sheet) <= 2 for sheet in SHEETS)
