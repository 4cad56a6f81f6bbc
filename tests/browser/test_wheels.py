"""Two wheels on a bench, chosen by keys alone in three lists, which a screen reader tells apart."""

import pytest

pytestmark = pytest.mark.browser

BENCH = (
    'import mechbench as mb\nbench = mb.bench("train", last_stage="none", show=["load_torque", "last_stage"])\nbench'
)
KIND, DRIVER, DRIVEN = (f"Last stage: {list_}" for list_ in ("kind", "driver teeth", "driven teeth"))


def test_the_three_lists_by_keys(notebook, lab):
    page = notebook(BENCH, "bench.values['last_stage']", name="wheels.ipynb")
    page.run_all()
    focus = lambda: lab.js("let e = document.activeElement; return e.labels && e.labels[0].innerText.trim()")
    choices = lambda name: page.control(name).parts("select")[0]
    chosen = lambda name: lab.js("return arguments[0].selectedOptions[0].innerText", choices(name))
    assert not {DRIVER, DRIVEN} & set(page.labels("cell-1")), "without wheels there are no teeth"
    picture = page.picture_bytes("cell-1")
    page.control(KIND).press("down")
    lab.wait(lambda: {DRIVER, DRIVEN} <= set(page.labels("cell-1")), "lists of teeth")
    lab.wait(lambda: page.picture_bytes("cell-1") != picture, "picture with wheels")
    assert focus() == KIND
    before = chosen(DRIVEN)
    for name in (DRIVER, DRIVEN):
        lab.press("tab")
        lab.wait(lambda name=name: focus() == name, f"{name} after a tab")
    lab.press("end")
    lab.wait(lambda: chosen(DRIVEN) != before, "the last driven wheel")
    page.wait_kernel()
    assert focus() == DRIVEN, "the focus stays"
    kind, driver, driven = (chosen(name) for name in (KIND, DRIVER, DRIVEN))
    page.run("cell-2")
    value = page.outputs("cell-2")[0]["data"]["text/plain"].strip("'")
    assert value.endswith(f"_{driver}_to_{driven}") and int(driven) > int(driver), (kind, value)
    # What the page calls each list is what a screen reader says: its own label, and no other list's.
    names = lab.js(
        "return [...document.querySelectorAll('.mechbench select')].filter(e => e.getClientRects().length)"
        ".map(e => [...e.labels].map(l => l.innerText.trim()).join(' '))"
    )
    assert {KIND, DRIVER, DRIVEN} <= set(names) and len(set(names)) == len(names)
    assert page.errors() == [] and lab.console_errors() == []
