"""Our own screens under an accessibility checker (axe-core, rules of WCAG 2.1 A and AA), light and dark."""

from pathlib import Path

import axe_core_python
import pytest

pytestmark = pytest.mark.browser

CHECKER = (Path(axe_core_python.__file__).parent / "axe.min.js").read_text(encoding="utf-8")
# Two things that ipywidgets gives no place for. A slider's handle has no name: the named box above it does the same by
# keyboard.
# The live picture has no alternative text: the sentence above it says what it shows.
NOT_OURS = (("aria-input-field-name: ", "noUi-handle"), ("image-alt: ", "mb-picture"))
RULES = ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa"]
CELLS = (
    "import mechbench as mb\nmb.bench('arm')",
    "from mechbench.course import registry\nmb.ask(registry.exercises('motors')[1].id)",
    "mb.warm_up('gearing')",
    "mb.pit('why does it reset')",
    "bench = mb.bench('lift').pin().set(payload='0.9 kg')\nbench._numbers.value = True\nbench._tell_best()\nbench",
    "mb.against('arm', payload=['0.3 kg', '0.9 kg'])",
    "mb.size('arm', payload='0.5 kg', battery='2.8 Ah')",
    "mb.find('arm', 'motor,gearbox', payload='0.5 kg')",
    "mb.sweep('arm', payload='0.2..0.8 kg', steps=4)",
    "mb.most('arm', 'payload')",
    "mb.labelled('intake')",
)
OURS = ".jp-OutputArea-output"  # what our cells show; the page around it is JupyterLab's


def faults(lab):
    """What the checker finds wrong in our boxes, one for each element: rule, what it asks, and the element."""
    lab.js(CHECKER)
    script = """const done = arguments[arguments.length - 1];
        axe.run({include: [...document.querySelectorAll(arguments[0])]}, {runOnly: {type: 'tag', values: arguments[1]}})
           .then(found => done(found.violations.flatMap(v => v.nodes.map(n =>
                v.id + ': ' + v.help + ' | ' + n.html.slice(0, 160)))))
           .catch(wrong => done(['the checker failed: ' + wrong]))"""
    return lab.driver.execute_async_script(script, OURS, RULES)


@pytest.mark.parametrize("theme", ["light", "dark"])
def test_our_boxes_pass_the_checker(notebook, lab, theme):
    page = notebook(*CELLS, name=f"access_{theme}.ipynb")
    lab.theme(theme)
    page.run_all()
    assert lab.js("return document.querySelectorAll(arguments[0]).length", OURS) >= 1
    found = [fault for fault in faults(lab) if not any(rule in fault and part in fault for rule, part in NOT_OURS)]
    lab.theme("light")
    assert found == [], "\n".join(found)
