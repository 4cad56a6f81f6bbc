"""Benches in a real browser: by keyboard alone, in narrow and wide windows, light and dark, faster than they can
draw.
"""

import pytest

pytestmark = pytest.mark.browser

BENCH = "import mechbench as mb\nmb.bench({name!r})"
SIZES = [(1280, 900), (900, 900)]


@pytest.fixture(scope="module", params=["motor", "train"])
def opened(request, notebook):
    """A notebook with one bench; opening it takes seconds, so the tests share it."""
    return notebook(BENCH.format(name=request.param))


@pytest.fixture
def page(opened, lab):
    """That notebook, run anew. What a bench hands on to those that are opened after it, a test puts back."""
    lab.resize(*SIZES[0])
    opened.run_all()
    opened.show("cell-1")
    return opened


def size_of(page, css):
    """Place and size of the first element on the page that fits, within the output."""
    script = (
        "let r = document.querySelector(arguments[0]).getBoundingClientRect(); return [r.x, r.y, r.width, r.height]"
    )
    return page.lab.js(script, css)


def test_keys_move_slider_picture_and_verdict(page, lab):
    picture, words = page.picture_bytes("cell-1"), page.text("cell-1")
    assert "Works" in words and "of 100 days" in words
    load = page.control("Torque of the load")
    start = load.number
    load.press("end")
    page.wait_text("cell-1", "Does not work")
    lab.wait(
        lambda: load.number > start and page.picture_bytes("cell-1") != picture, "slider at its end, with its picture"
    )
    load.press("home")
    lab.wait(lambda: load.number < start, "slider at its start")
    assert page.errors() == [] and lab.console_errors() == []


def test_every_control_is_reached_by_tab_and_moves_by_keys(page, lab):
    for label in page.labels("cell-1"):
        if label.startswith("More"):
            page.control(label).click()
    wanted = {"Units", "All numbers", "Torque of the load", "Motor", "How many motors"}
    lab.wait(lambda: wanted <= set(page.labels("cell-1")), 'all controls, those behind "more" too')
    lab.js("document.querySelector('.mechbench input').focus()")
    script = """let e = document.activeElement, box = e.closest('.mechbench-control');
        let label = box ? box.querySelector('label').innerText.trim() : e.innerText.trim();
        return [!!e.closest('.mechbench'), label, e.getAttribute('role') || e.tagName]"""
    reached = set()
    for _ in range(60):
        inside, label, kind = lab.js(script)
        if not inside:
            break
        reached.add((label, kind))
        lab.press("tab")
    seen = "filter(e => e.getClientRects().length)"  # a box for own figures waits until it is asked for
    every = "[...document.querySelectorAll('.mechbench :is([role=slider], input, select, button)')]"
    parts = lab.js(f"return {every}.{seen}.length")
    assert len(reached) == parts
    sliders = [label for label, kind in reached if kind == "slider"]
    assert len(sliders) >= 4
    for label in sliders:
        control = page.control(label)
        before = control.number
        control.press("right", 2)
        lab.wait(lambda: control.number > before, f"{label} after two keys")


def test_a_value_is_typed_with_another_unit(page, lab):
    load = page.control("Torque of the load")
    load.type("1 kgf cm")
    lab.wait(lambda: load.value == "0.09807 N·m", "value in the bench's unit")
    load.type("0.2")
    lab.wait(lambda: load.value == "0.2 N·m", "a number alone in the unit that the box showed")
    load.type("0.2 kg")
    page.wait_text("cell-1", "a torque is asked")
    load.type("0.2 N·m")
    lab.wait(lambda: "a torque is asked" not in page.text("cell-1"), "value with its unit")


def test_a_part_is_chosen_and_units_are_switched(page, lab):
    picture = page.picture_bytes("cell-1")
    page.control("Motor").choose("stout motor")
    lab.wait(lambda: page.picture_bytes("cell-1") != picture, "picture of the other motor")
    page.control("Units").choose("US")
    lab.wait(lambda: page.control("Torque of the load").value.endswith("lbf·in"), "US units")
    page.control("All numbers").click()
    text = page.wait_text("cell-1", "What hurts most on a bad day")
    assert "Good day" in text and "lbf·in" in text and "N·m" not in text
    page.control("Units").choose("metric")
    lab.wait(lambda: page.control("Torque of the load").value.endswith("N·m"), "metric units")


def test_a_design_is_pinned_and_the_best_parts_are_set_by_keys_and_the_focus_stays(page, lab):
    focus = lambda: lab.js("let e = document.activeElement; return [e.tagName, e.innerText.trim()]")
    page.control("Pin as A").press("enter")
    lab.wait(lambda: focus() == ["BUTTON", "Unpin A"], "pinned, and the focus still there")
    picture = page.picture_bytes("cell-1")
    page.control("Torque of the load").press("page up")
    page.wait_text("cell-1", "A, pinned, is thin and grey: torque of the load")
    assert page.picture_bytes("cell-1") != picture
    page.control("Find").press("enter")
    page.wait_text("cell-1", "Tried: ")
    page.wait_kernel()
    assert focus() == ["BUTTON", "Find"]
    for _ in range(12):
        lab.press("tab")
        if lab.js("return !!document.activeElement.closest('.mb-offers')"):
            break
    kind, offered = focus()
    assert kind == "BUTTON" and "motor" in offered
    lab.press("enter")
    page.wait_text("cell-1", "(B: ")
    page.wait_kernel()
    assert focus() == [kind, offered], "the offers stay, and the focus"
    page.control("All numbers").click()
    lab.wait(lambda: lab.js("return !!document.querySelector('.mb-compared')"), "both designs in the table")
    assert lab.js(CUT) == [] and page.errors() == []


def test_values_that_nobody_moved_stay(page, lab):
    """The browser rounds to a slider's places; a bench that was only opened must still show its defaults."""
    from mechbench import quantity
    from mechbench.catalog import sizing_of
    from mechbench.engine.spec import Field

    lab.wait(lambda: page.labels("cell-1"), "labels")
    text = page.lab.js("return document.body.textContent")
    sizing = sizing_of("motor" if "Warm already by" in text else "train")
    for field in sizing.FIELDS:
        if isinstance(field, Field) and not field.more:
            shown = quantity.show(field.to_si(field.default), field.unit, digits=4)
            assert page.control(field.label).value == shown


# What is wider inside than it is shown. The handle at the end of a slider reaches 2 pixels over it, and is seen whole.
CUT = """return [...document.querySelectorAll('.mechbench, .mechbench *')].filter(e =>
    e.clientWidth > 0 && e.scrollWidth > e.clientWidth + 1 && getComputedStyle(e).display != 'inline'
    && !e.matches('input, select, .mb-picture, .widget-slider') && !e.closest('.slider-container'))
     .map(e => e.className + ': ' + e.innerText)"""


@pytest.mark.parametrize("width, height", SIZES)
def test_nothing_is_cut_and_the_picture_stands_still(page, lab, width, height):
    lab.resize(width, height)
    page.show("cell-1")
    lab.wait(lambda: size_of(page, ".mb-picture")[2] > 100, "picture at its new size")
    assert lab.js(CUT) == []
    bench, picture = size_of(page, ".mechbench"), size_of(page, ".mb-picture")
    assert picture[2] >= 440 and picture[0] + picture[2] <= bench[0] + bench[2] + 1
    load, places = page.control("Torque of the load"), set()
    for key in ("home", "page up", "page up", "page up", "end"):
        load.press(key)
        page.wait_kernel()
        page.show("cell-1")
        places.add(tuple(round(v) for v in size_of(page, ".mb-picture")[1:]))
    lab.resize(*SIZES[0])
    assert len(places) == 1


# What of the live pictures is on screen: the class that says on which paper, and the colour of its corner.
SEEN = """let [cell, done] = arguments, seen = [...cell.querySelectorAll('.mb-picture')].filter(e => e.offsetWidth);
Promise.all(seen.map(img => img.decode().then(() => {
  let canvas = document.createElement('canvas'), pen = canvas.getContext('2d');
  [canvas.width, canvas.height] = [img.naturalWidth, img.naturalHeight];
  pen.drawImage(img, 0, 0);
  return [img.className.match(/mb-on-(\\w+)/)[1], ...pen.getImageData(1, 1, 1, 1).data.slice(0, 3)];
}))).then(done);"""
PAPERS = {"light": [255, 255, 255], "dark": [0x15, 0x19, 0x1E]}


def test_the_picture_follows_the_theme_of_the_page_by_itself(page, lab):
    """Nobody touches the bench: one picture is seen, on the paper that goes with the page, as large as before."""
    seen = lambda: lab.driver.execute_async_script(SEEN, page.show("cell-1"))
    words = "let s = getComputedStyle(document.querySelector('.mb-verdict')); return [s.color, s.backgroundColor]"
    places, colours = {}, {}
    for theme in ("light", "dark", "light"):
        lab.theme(theme)
        lab.wait(lambda: seen() == [[theme, *PAPERS[theme]]], f"one {theme} picture")
        places[theme] = [round(v) for v in size_of(page, f".mb-on-{theme}")]
        colours[theme] = lab.js(words)
    assert places["dark"] == places["light"]
    light, dark = (sum(map(int, c[c.index("(") + 1 : -1].split(",")[:3])) for c in colours["dark"])
    assert light > dark + 250


# A picture that takes as long as the file `held` is there.
SLOW = """
import time
from pathlib import Path
import mechbench as mb
from mechbench.drawing.margins import MarginsPicture
from tests.benches.pendulum import Pendulum

class Slow(MarginsPicture):
    drawn = 0
    def update(self, *given):
        Slow.drawn += 1
        while Path("held").exists():
            time.sleep(0.01)
        super().update(*given)

bench = mb.bench(Pendulum, picture=Slow)
bench
"""
# Sixty presses, eight milliseconds apart.
BURST = """
let [handle, done] = arguments, left = 60;
let press = () => {
  handle.dispatchEvent(new KeyboardEvent('keydown', {key: 'ArrowRight', bubbles: true, cancelable: true}));
  --left ? setTimeout(press, 8) : done();
};
press();
"""


FEW = 3  # redraws: of the first position, of the last, and of one between that was under way


def test_positions_that_come_faster_than_redraws_are_left_out_and_the_last_one_arrives(notebook, lab):
    page = notebook(SLOW, "Slow.drawn, bench.values['mass']")
    page.run_all()
    mass = page.control("Mass at the end")
    drawn_before = int(page.outputs("cell-2")[0]["data"]["text/plain"].strip("()").split(",")[0])
    held = lab.folder / "held"
    held.touch()
    try:
        lab.driver.execute_async_script(BURST, mass.handle)
    finally:
        held.unlink()
    lab.wait(lambda: mass.value == "4 kg", "the last position")
    page.run("cell-2")
    drawn, value = page.outputs("cell-2")[0]["data"]["text/plain"].strip("()").split(", ")
    print(f"{int(drawn) - drawn_before} redraws for 60 positions")
    assert float(value) == pytest.approx(4.0)
    assert 1 <= int(drawn) - drawn_before <= FEW


# The smallest usual laptop; the list of files at the left is open, as it is when JupyterLab starts.
LAPTOP = (1366, 768)
LESSONS = {
    "winch": "show=['before', 'gearbox', 'ratchet', 'ahead']",
    "scissor": "show=['load', 'cells', 'start', 'drive']",
    "intake": "show=['ground_speed', 'drive', 'other', 'squeeze']",
    "gripper": "show=['piece_mass', 'upward', 'servo', 'squeeze']",
    "linkage": "show=['payload', 'drive', 'input', 'coupler']",
    "cycle": "show=['points_wanted', 'drive_time', 'raise_time', 'raising', 'pieces']",
}


@pytest.mark.parametrize("name", LESSONS)
def test_on_a_small_laptop_the_whole_picture_is_seen_while_a_slider_moves(notebook, lab, name):
    lab.resize(*LAPTOP)
    try:
        page = notebook(f"import mechbench as mb\nmb.bench({name!r}, {LESSONS[name]})", name="laptop.ipynb")
        page.run_all()
        page.show("cell-1")
        lab.wait(lambda: size_of(page, ".mb-picture")[2] > 100, "picture")
        seen = size_of(page, ".jp-WindowedPanel-outer")
        handles = lab.js(
            "return [...document.querySelectorAll('.mb-groups [role=slider]')].filter(e => e.getClientRects().length)"
            ".map(e => e.getBoundingClientRect()).map(r => [r.top, r.bottom])"
        )
        picture, cut = size_of(page, ".mb-picture"), lab.js(CUT)
        for label in page.labels("cell-1"):
            if label.startswith("More"):
                page.control(label, "cell-1").click()
        page.show("cell-1")
        picture_then, cut_then = size_of(page, ".mb-picture"), lab.js(CUT)
    finally:
        lab.resize(*SIZES[0])
    assert len(handles) >= 2 and picture[2] >= 560 and cut == cut_then == []
    assert picture_then == picture, "all inputs open beside the picture"
    top, bottom = min(picture[1], *(t for t, _ in handles)), max(picture[1] + picture[3], *(b for _, b in handles))
    assert seen[1] <= top and bottom <= seen[1] + seen[3], (seen, picture, handles)
