"""The learner's own robot in a real page: reasons are typed, kept through a new kernel, and printed on one sheet."""

import re

import pytest

from mechbench.course import my_robot
from mechbench.course.progress import RAW_LIMIT
from tests.browser.test_access import NOT_OURS, faults
from tests.browser.test_record_paper import SHEETS, pages

pytestmark = pytest.mark.browser

# Designs that were right, one for each mechanism of the robot with the most of them.
SETTING = """
import mechbench as mb
from mechbench.course import ask, registry, robot_notes
from mechbench.course.progress import Attempt, store
mb.learner("{name}")
for id, raw in {{
    "drivetrain-design": "motor = slim; count = 2; gearbox = planetary_12; wheel = omni_80",
    "intake-design": "squeeze = 3 mm; drive = slim_planetary_16; roller = soft_80; other = roller",
    "gripper-design": "servo = strong; squeeze = 14 N; lever = 60 mm; ratio = 2",
    "lift-design": "stages = 3; rigging = continuous; gearbox = planetary_4_6; drum = spool_28",
    "winch-design": "gearbox = planetary_12; spool = spool_52; ratchet = ratchet; falls = 4; lift_height = 60 mm",
}}.items():
    revision = registry.exercise(id).revision
    store().record(ask.current_learner(), Attempt(id, revision, mb.kit().digest, raw, "right"))
robot_notes.keep(ask.current_learner(), "", "", robot_notes.START, "stork")
"""
CELL = "cell-2"
WHY = "The drum is small, so the lift has torque to spare; "


def opened(notebook, name):
    page = notebook(SETTING.format(name=name), "import mechbench as mb\nmb.my_robot()", name=f"{name}.ipynb")
    page.run_all()
    page.wait_text(CELL, "With my designs")
    return page


def test_reasons_are_typed_kept_and_printed_on_one_sheet(notebook, lab, tmp_path):
    page = opened(notebook, "ida")
    for label in ("drive", "intake", "lift", "tray", "winch"):
        page.control(f"Why this {label}?", CELL).type((WHY * 9)[:RAW_LIMIT])
        page.wait_text(CELL, "Saved.")
    before = page.text(CELL)
    page.control("Use my winch", CELL).click()
    lab.wait(lambda: page.text(CELL) != before, "other numbers without the winch")
    page.control("Use my winch", CELL).click()
    page.restart()
    page.run("cell-1")
    page.run(CELL)
    page.wait_text(CELL, "With my designs")
    assert page.control("Why this lift?", CELL).value == (WHY * 9)[:RAW_LIMIT].strip()
    page.control(my_robot.MAKE, CELL).click()
    page.wait_text(CELL, "Open my_robot_review.html")
    made = lab.folder / my_robot.FILE
    assert len(re.findall(re.escape(WHY), made.read_text(encoding="utf-8"))) >= 5
    home = lab.driver.current_window_handle
    lab.driver.switch_to.new_window("tab")
    try:
        lab.driver.get(made.as_uri())
        assert [pages(lab.driver, sheet) for sheet in SHEETS] == [1, 1]
    finally:
        lab.driver.close()
        lab.driver.switch_to.window(home)


@pytest.mark.parametrize("theme", ["light", "dark"])
def test_the_page_passes_the_checker(notebook, lab, theme):
    lab.theme(theme)
    opened(notebook, f"eva{theme}")
    found = [fault for fault in faults(lab) if not any(rule in fault and part in fault for rule, part in NOT_OURS)]
    lab.theme("light")
    assert found == [], "\n".join(found)
