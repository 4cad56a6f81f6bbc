"""Play in a real browser: by keyboard, to the end, stopped, and for those who want less motion."""

import io
import time

import numpy as np
import pytest
from PIL import Image
from selenium.common.exceptions import StaleElementReferenceException

pytestmark = pytest.mark.browser

BENCH = 'import mechbench as mb\nbench = mb.bench("arm", payload="0.9 kg")\nbench'
FILM = ".mb-film img"


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


def less_motion(lab, value):
    """Set the browser's wish for motion, as the system's settings do."""
    features = [{"name": "prefers-reduced-motion", "value": value}]
    lab.driver.execute_cdp_cmd("Emulation.setEmulatedMedia", {"features": features})


def seen(lab, css):
    """Whether the first element that fits takes room on the page."""
    return lab.js("let e = document.querySelector(arguments[0]); return !!e && e.getClientRects().length > 0", css)


def screen(lab, css=FILM):
    """What the page shows of an element now, as an array; none while the page puts another one in its place."""
    try:
        element = lab.driver.find_element("css selector", css)
        return np.asarray(Image.open(io.BytesIO(element.screenshot_as_png)).convert("RGB")).astype(int)
    except StaleElementReferenceException:
        return None


def waits_for_film(lab):
    lab.wait(lambda: seen(lab, FILM), "film in the picture's place")


def place(page):
    return page.control("Along the swing").number


@pytest.mark.parametrize("key", ["space", "enter"])
def test_a_key_plays_it_and_the_slider_ends_with_it(page, lab, key):
    start = place(page)
    page.control("Slowly").press("space")
    page.control("Play").press(key)
    waits_for_film(lab)
    assert not seen(lab, ".mb-picture"), "one of both is seen"
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
    said = "let e = document.querySelectorAll('.mb-play [role=status]'); return [e.length, e[0].innerText]"
    count, words = lab.js(said)
    assert count == 1 and words.replace("\u00a0", " ").startswith("It arrives after 0.65 s.")
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
    lab.wait(lambda: not seen(lab, FILM) and seen(lab, ".mb-picture"), "still in the film's place")
    page.wait_kernel()
    here, still = place(page), screen(lab, ".mb-picture")
    assert here < 100
    time.sleep(3.5)  # longer than the film would have gone on
    assert place(page) == here and np.array_equal(screen(lab, ".mb-picture"), still)


def test_a_slider_goes_back_to_the_still_and_nothing_moves_its_place(page, lab):
    box = "let r = document.querySelector(arguments[0]).getBoundingClientRect(); return [r.x, r.y, r.width, r.height]"
    before = lab.js(box, ".mb-picture")
    page.control("Play").press("space")
    lab.wait(lambda: place(page) == 100, "end")
    assert lab.js(box, FILM) == pytest.approx(before, abs=0.6)
    page.control("Along the swing").press("left")
    lab.wait(lambda: not seen(lab, FILM) and seen(lab, ".mb-picture"), "still in the film's place")


def test_who_wants_less_motion_sees_the_end_with_the_start_behind(page, lab):
    less_motion(lab, "reduce")
    page.control("Slowly").press("space")
    page.control("Play").press("space")
    waits_for_film(lab)
    current = "return document.querySelector('.mb-film img').currentSrc.length"
    lab.wait(lambda: lab.js(current) > 1000, "a picture")
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
