"""The harness itself: what it says of a page is what the page holds."""

import pytest

pytestmark = pytest.mark.browser

WIDGETS = """
import ipywidgets as w
torque = w.FloatSlider(description="Torque", min=0, max=10, step=0.5)
name = w.Text(description="Name", continuous_update=False)
motor = w.Dropdown(description="Motor", options=["small", "large"])
said = w.HTML("nothing yet")
def change(_):
    said.value = f"torque {torque.value}, name {name.value!r}, motor {motor.value}"
for each in (torque, name, motor):
    each.observe(change, "value")
ask = w.Button(description="Ask")
ask.on_click(lambda _: setattr(said, "value", "asked"))
spoil = w.Button(description="Spoil")
def fail(_):
    raise KeyError("spoiled on purpose")
spoil.on_click(fail)
w.VBox([torque, name, motor, ask, spoil, said])
"""


def test_slider_box_list_and_button(notebook, lab):
    page = notebook("1 + 1", WIDGETS)
    page.run_all()
    assert page.outputs("cell-1")[0]["data"]["text/plain"] == "2"
    slider = page.control("Torque")
    slider.press("right", 3)
    page.wait_text("cell-2", "torque 1.5")
    assert slider.number == 1.5
    page.control("Name").type("ana")
    page.wait_text("cell-2", "name 'ana'")
    assert page.control("Name").value == "ana"
    page.control("Motor").choose("large")
    page.wait_text("cell-2", "motor large")
    page.control("Ask").click()
    page.wait_text("cell-2", "asked")
    assert page.errors() == [] and lab.console_errors() == []


def test_an_error_in_a_cell_and_in_a_button_is_seen(notebook):
    page = notebook("x = 3", "x / 0")
    with pytest.raises(AssertionError, match="cell-2: ZeroDivisionError"):
        page.run_all()
    page = notebook(WIDGETS, name="spoil.ipynb")
    page.run_all()
    page.control("Spoil").click()
    page.lab.wait(lambda: any("spoiled on purpose" in text for _, text in page.errors()), "error of the button")


def test_restart_forgets_and_theme_changes(notebook, lab):
    page = notebook("try:\n    print(known)\nexcept NameError:\n    print('not known')\nknown = 'known'")
    page.run_all()
    page.run("cell-1")
    assert page.outputs("cell-1")[0]["text"] == "known\n"
    page.restart()
    page.run("cell-1")
    assert page.outputs("cell-1")[0]["text"] == "not known\n"
    colour = "return getComputedStyle(document.body).getPropertyValue('--jp-layout-color0').trim()"
    lab.theme("dark")
    dark = lab.js(colour)
    lab.theme("light")
    assert dark != lab.js(colour)


def test_a_control_that_is_not_there_is_named(notebook):
    page = notebook("1")
    with pytest.raises(TimeoutError, match="control 'Nowhere'"):
        page.control("Nowhere", timeout=0.5)
    with pytest.raises(LookupError, match="no cell 'cell-9'"):
        page.show("cell-9")
