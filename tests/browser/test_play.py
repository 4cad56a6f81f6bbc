"""Play in a real browser: by keyboard, to the end, stopped, in the dark, and for those who want less motion."""

import io
import time
from base64 import b64decode

import numpy as np
import pytest
from PIL import Image
from selenium.common.exceptions import StaleElementReferenceException

from tests.browser.screencast import Screencast

pytestmark = pytest.mark.browser

BENCH = 'import mechbench as mb\nbench = mb.bench("arm", payload="0.9 kg")\nbench'
FILM, STILL = ".mb-film.mb-on-{} img", ".mb-picture.mb-on-{}"
SAID = "return document.querySelector('.mb-moved').innerText.replaceAll('\u00a0', ' ')"


@pytest.fixture(scope="module")
def opened(notebook):
    """A notebook with one bench; opening it takes seconds, so the tests share it."""
    return notebook(BENCH, name="play.ipynb")


@pytest.fixture
def page(opened, lab):
    """That notebook, run anew; the browser as it is without settings."""
    lab.resize(1366, 768)
    less_motion(lab, "no-preference")
    opened.run_all()
    opened.show("cell-1")
    yield opened
    less_motion(lab, "no-preference")
    lab.theme("light")


def less_motion(lab, value):
    """Set the browser's wish for motion, as the system's settings do."""
    features = [{"name": "prefers-reduced-motion", "value": value}]
    lab.driver.execute_cdp_cmd("Emulation.setEmulatedMedia", {"features": features})


def seen(lab, css):
    """Whether the first element that fits takes room on the page."""
    return lab.js("let e = document.querySelector(arguments[0]); return !!e && e.getClientRects().length > 0", css)


def screen(lab, css=FILM.format("light")):
    """What the page shows of an element now, as an array; none while the page puts another one in its place."""
    try:
        element = lab.driver.find_element("css selector", css)
        return np.asarray(Image.open(io.BytesIO(element.screenshot_as_png)).convert("RGB")).astype(int)
    except StaleElementReferenceException:
        return None


def waits_for_film(lab, look="light"):
    shown = "let i = document.querySelector(arguments[0]); return !!i && i.complete && i.naturalWidth > 0"
    lab.wait(lambda: lab.js(shown, FILM.format(look)), "film over the picture")
    assert seen(lab, FILM.format(look))


def on_top(lab, look="light"):
    """Whether the middle of the picture's place shows the film."""
    point = """let r = document.querySelector(arguments[0]).getBoundingClientRect();
      return !!document.elementFromPoint(r.x + r.width / 2, r.y + r.height / 2).closest('.mb-film')"""
    return lab.js(point, STILL.format(look))


def place(page):
    return page.control("Along the swing").number


@pytest.mark.parametrize("key", ["space", "enter"])
def test_a_key_plays_it_and_the_slider_ends_with_it(page, lab, key):
    start = place(page)
    page.control("Slowly").press("space")
    page.control("Play").press(key)
    waits_for_film(lab)
    assert on_top(lab), "the still lies below"
    shots, places = [screen(lab)], [place(page)]
    while places[-1] != 100:
        shots.append(screen(lab))
        places.append(place(page))
    assert places[0] == start and set(places) == {start, 100}, "the slider goes to the end with the picture, at once"
    assert any(np.any(shot != shots[0]) for shot in shots), "the picture moved meanwhile"
    page.wait_kernel()
    last = screen(lab)
    time.sleep(0.5)
    assert np.array_equal(screen(lab), last), "it stands at the end"
    assert lab.js("return document.querySelectorAll('.mb-moved [role=status]').length") == 1
    assert lab.js(SAID).startswith("It arrives after 0.65 s.")
    assert page.errors() == [] and lab.console_errors() == []


def test_it_plays_again_from_the_start(page, lab):
    page.control("Play").press("space")
    lab.wait(lambda: place(page) == 100, "end of the first time")
    page.wait_kernel()
    end = screen(lab)
    page.control("Slowly").press("space")
    page.control("Play").press("space")
    changed = lambda now: now is not None and np.any(now != end)
    lab.wait(lambda: changed(screen(lab)), "film from its start")
    page.control("Stop").press("space")


def test_stop_stops_it_on_the_way(page, lab):
    page.control("Slowly").press("space")
    page.wait_kernel()
    page.control("Play").press("space")
    waits_for_film(lab)
    page.control("Stop").press("enter")
    lab.wait(lambda: not on_top(lab), "the still alone")
    page.wait_kernel()
    here, still = place(page), screen(lab, STILL.format("light"))
    assert here < 100
    time.sleep(3.5)  # longer than the film would have gone on
    assert place(page) == here and np.array_equal(screen(lab, STILL.format("light")), still)


def test_a_slider_goes_back_to_the_still_and_nothing_moves_its_place(page, lab):
    box = "let r = document.querySelector(arguments[0]).getBoundingClientRect(); return [r.x, r.y, r.width, r.height]"
    before, words = lab.js(box, STILL.format("light")), lab.js(box, ".mb-moved")
    page.control("Play").press("space")
    lab.wait(lambda: place(page) == 100, "end")
    for css in (FILM.format("light"), STILL.format("light")):
        assert lab.js(box, css) == pytest.approx(before, abs=0.6)
    assert lab.js(box, ".mb-moved") == pytest.approx(words, abs=0.6)
    page.control("Along the swing").press("left")
    lab.wait(lambda: not on_top(lab) and not lab.js(SAID), "the still alone")


def test_who_wants_less_motion_sees_the_end_with_the_start_behind(page, lab):
    less_motion(lab, "reduce")
    page.control("Slowly").press("space")
    page.control("Play").press("space")
    waits_for_film(lab)
    first = screen(lab)
    time.sleep(1.0)
    assert np.array_equal(screen(lab), first), "it stands still"
    source = lab.js("let i = document.querySelector('.mb-film img'); return [i.currentSrc, i.src]")
    assert source[0] != source[1]
    lab.wait(lambda: place(page) == 100, "slider at its end")
    less_motion(lab, "no-preference")
    page.control("Play").press("space")
    lab.wait(
        lambda: lab.js("let i = document.querySelector('.mb-film img'); return i && i.currentSrc == i.src"), "film"
    )


# What the page says, in turn.
WATCH = """
window.told = [];
let said = document.querySelector('.mb-moved');
new MutationObserver(() => told.push(said.innerText)).observe(said, {subtree: true, childList: true});
"""
ARRIVED = "return window.told.filter(words => words.startsWith('It arrives')).length"


def test_it_says_at_once_that_it_draws(page, lab):
    lab.js(WATCH)
    page.control("Play").press("space")
    lab.wait(lambda: place(page) == 100, "end")
    first, *later = [words for words in lab.js("return window.told") if words]
    assert first == "Drawing the move …" and later[-1].startswith("It arrives after")


def brightness(shot):
    """How bright most of a picture is, 0 to 255: its paper."""
    return float(np.median(shot))


@pytest.mark.parametrize("look, paper", [("light", 255), ("dark", 0x19)])
def test_film_and_still_are_on_the_paper_of_the_page_and_nothing_flashes(page, lab, look, paper):
    """All that the browser paints from the press to the end, as its screencast has it: the place of the picture is
    never without a picture, nor on the other paper.
    """
    lab.theme(look)
    page.control("Slowly").press("space")
    page.wait_kernel()
    lab.wait(lambda: seen(lab, STILL.format(look)), "still")
    box = lab.js(
        "let r = arguments[0].getBoundingClientRect(); return [r.x, r.y, r.right, r.bottom]",
        lab.driver.find_element("css selector", STILL.format(look)),
    )
    lab.js(WATCH)
    cast = Screencast(lab, *lab.js("return [innerWidth, innerHeight]"))
    try:
        for times in (1, 2):  # the second time the film of the first one lies there
            page.control("Play").press("space")
            shots = []
            while lab.js(ARRIVED) < times:
                shots += cast.watch(1.0)
            shots += cast.watch(4.0)  # the film takes less
            assert place(page) == 100 and len(shots) > 2
            for _, shot in shots:
                seen_now = np.asarray(Image.open(io.BytesIO(b64decode(shot))).convert("RGB"))
                left, top, right, bottom = (round(edge) for edge in box)
                inside = seen_now[max(top, 0) + 6 : bottom - 6, left + 6 : right - 6]
                assert brightness(inside) == pytest.approx(paper, abs=6)
                drawn = np.abs(inside.astype(int) - int(brightness(inside))).max(axis=-1) > 60
                assert drawn.mean() > 0.01, "nothing is drawn there"
    finally:
        cast.close()
    assert seen(lab, FILM.format(look))
    other = next(name for name in ("light", "dark") if name != look)
    lab.theme(other)
    lab.wait(lambda: seen(lab, FILM.format(other)) and not seen(lab, FILM.format(look)), "film in the other theme")
    assert brightness(screen(lab, FILM.format(other))) == pytest.approx(255 + 0x19 - paper, abs=6)
