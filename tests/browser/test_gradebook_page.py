"""The mentor's pages as a browser shows them: what to teach again stands at the top, and nothing in the page can
run.
"""

import base64
import random
import re

import pytest

from mechbench.course import gradebook_command, handin_file, handout, progress, registry
from mechbench.course.exercise import Challenge
from mechbench.course.gradebook import PAGE
from mechbench.course.learner_numbers import pose
from mechbench.kits import kit
from tests.browser.jupyterlab import wait
from tests.course.classroom import Classroom, planted_slips

pytestmark = pytest.mark.browser
PLANTED, LEARNERS = 10, 30
HOSTILE = [
    "<img src=x onerror=\"document.title='run'\">",
    "<script>document.title='run'</script>",
    "</style><style>*{display:none}</style>",
]


@pytest.fixture(scope="module")
def shown(browser, tmp_path_factory):
    """The gradebook of thirty learners, open in the browser; gives the slips that were planted."""
    place = tmp_path_factory.mktemp("class")
    planted = planted_slips(random.Random(6), PLANTED)
    # A page looks the same without the designs, which take long to find.
    asked = [exercise for exercise in registry.exercises() if not isinstance(exercise, Challenge)]
    Classroom(6, LEARNERS, planted, exercises=asked).write(place)
    for number, name in enumerate(HOSTILE):
        attempts = [
            progress.Attempt(registry.exercises()[1].id, 1, kit().digest, name, "right", at="2026-03-02T15:04Z")
        ]
        who = progress.Learner(f"{number:032x}", name, "mallory")
        (place / f"hostile-{number}.json").write_text(handin_file.text_of(who, attempts), encoding="utf-8")
    assert gradebook_command.command([str(place), "--to", str(place / "out")]) == 0
    browser.get((place / "out" / PAGE).as_uri())
    return planted


def test_the_page_names_the_planted_slips_ten_of_ten(browser, shown):
    items = [item.text for item in browser.find_elements("css selector", ".again li")]
    assert len(items) == PLANTED
    named = 0
    for id, slip in shown.items():
        exercise = registry.exercise(id)
        parts = getattr(exercise, "slips", None) or exercise.options
        say = pose(exercise).fill(next(part.feedback for part in parts if part.name == slip))
        named += any(text.startswith(exercise.title) and say in text for text in items)
    assert named == PLANTED


def test_names_are_shown_as_they_were_typed_and_nothing_runs(browser, shown):
    assert browser.title == f"Gradebook, {LEARNERS + len(HOSTILE)} learners"
    names = [cell.text for cell in browser.find_elements("css selector", ".grid:first-of-type th[scope=row]")]
    shown_names = [re.sub(r" \(\d\)$", "", name) for name in names]
    assert all(name[:39] in " ".join(shown_names) for name in HOSTILE)
    assert browser.find_element("css selector", "h1").is_displayed()


def test_the_policy_stops_what_would_be_added(browser, shown):
    """A script and a picture put into the page from outside: the browser refuses both."""
    browser.execute_script(
        "window.stopped = []; document.addEventListener('securitypolicyviolation', e =>"
        " stopped.push(e.effectiveDirective));let s = document.createElement('script'); s.textContent = 'window.ran ="
        " 1'; document.body.append(s);let i = new Image(); i.src = 'data:image/gif;base64,R0lGODlhAQABAAAAACw=';"
        " document.body.append(i);let d = document.createElement('style'); d.textContent = 'h1 { display: none }';"
        " document.body.append(d);let p = document.createElement('p'); p.setAttribute('style', 'color: red');"
        " document.body.append(p);"
    )
    refused = {"script-src-elem", "img-src", "style-src-elem", "style-src-attr"}
    wait(lambda: refused <= set(browser.execute_script("return window.stopped")), f"refusals: {refused}")
    assert browser.execute_script("return window.ran === undefined")
    assert browser.find_element("css selector", "h1").is_displayed()


def test_light_dark_and_narrow(browser, shown):
    papers = {}
    for scheme in ("light", "dark"):
        browser.execute_cdp_cmd(
            "Emulation.setEmulatedMedia", {"features": [{"name": "prefers-color-scheme", "value": scheme}]}
        )
        papers[scheme] = browser.execute_script("return getComputedStyle(document.body).backgroundColor")
    assert papers == {"light": "rgb(255, 255, 255)", "dark": "rgb(21, 25, 30)"}
    browser.execute_cdp_cmd(
        "Emulation.setDeviceMetricsOverride", {"width": 400, "height": 800, "deviceScaleFactor": 1, "mobile": False}
    )
    try:
        wide = browser.execute_script("return document.documentElement.scrollWidth")
    finally:
        browser.execute_cdp_cmd("Emulation.clearDeviceMetricsOverride", {})
    assert wide <= 400, "wide tables scroll by themselves, not the page"


def pages_of(browser):
    """How many sheets of paper the open page takes."""
    pdf = base64.b64decode(browser.execute_cdp_cmd("Page.printToPDF", {"preferCSSPageSize": True})["data"])
    return len(re.findall(rb"/Type\s*/Page\b(?!s)", pdf))


def test_a_handout_prints_with_each_answer_sheet_on_a_new_page(browser, tmp_path):
    lesson = registry.lessons()[0]
    counts = []
    for names in (("ana",), ("bo",), ("ana", "bo")):  # numbers of their own, and so perhaps a line more or less
        path = tmp_path / f"handout-{'-'.join(names)}.html"
        path.write_text("".join(handout.pages(lesson, names)), encoding="utf-8")
        browser.get(path.as_uri())
        counts.append(pages_of(browser))
        breaks = browser.execute_script(
            "return [...document.styleSheets[0].cssRules].flatMap(r => [...(r.cssRules || [])]).filter(r =>"
            " r.selectorText == '.sheet + .sheet' && r.style.breakBefore == 'page').length"
        )
        assert breaks == 1 and len(browser.find_elements("css selector", ".sheet")) == 2 * len(names)
    # Where the last sheet fills its last page to the edge, the browser adds an empty one, once for a file.
    assert min(counts) >= 2 and counts[0] + counts[1] - counts[2] in (0, 1)
