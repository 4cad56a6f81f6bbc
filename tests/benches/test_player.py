"""A bench that moves, without a browser: what Play shows and says, where it ends, and what goes back to the still."""

import io
import threading
from base64 import b64decode
from re import findall

import ipywidgets as w
import pytest
from PIL import Image

import mechbench as mb
from mechbench.benches import player
from mechbench.benches.bench import Bench
from mechbench.catalog import NAMES, picture_of
from mechbench.drawing.palette import LOOKS


@pytest.fixture(autouse=True)
def first_choice(monkeypatch):
    """Switches that one test moves must not reach the next."""
    monkeypatch.setattr(Bench, "_chosen", {"system": "metric"})


class Clock:
    """Stands in for the clock and the timers of a player: time goes on when the test says so."""

    def __init__(self, monkeypatch):
        self.now, self.waiting = 100.0, []
        monkeypatch.setattr(player.time, "monotonic", lambda: self.now)
        monkeypatch.setattr(player.threading, "Timer", self._timer)

    def _timer(self, seconds, task, arguments):
        timer = threading.Event()
        timer.start, timer.cancel = lambda: None, timer.set
        self.waiting.append((self.now + seconds, task, arguments, timer))
        return timer

    def go(self, seconds):
        """Let time pass, with all that falls due meanwhile."""
        self.now += seconds
        due = [one for one in self.waiting if one[0] <= self.now]
        self.waiting = [one for one in self.waiting if one[0] > self.now]
        for _, task, arguments, timer in due:
            if not timer.is_set():
                task(*arguments)


@pytest.fixture
def clock(monkeypatch):
    return Clock(monkeypatch)


def shown(bench, look="light"):
    """Addresses of the still for less motion and of the film, as the page has them; none while the still is shown."""
    return findall(r'src(?:set)?="(data:[^"]*)"', bench._player.films[look].value)


def image(address):
    return Image.open(io.BytesIO(b64decode(address.partition("base64,")[2])))


def place(bench):
    return bench._extra["place"].slider.value


def test_play_shows_a_film_and_says_once_how_it_ends(clock):
    bench = mb.bench("arm")
    bench._player.play_button.click()
    still, moving = shown(bench)
    assert image(moving).n_frames > 5 and getattr(image(still), "n_frames", 1) == 1
    assert image(moving).size == image(bytes(bench._images["light"].value).decode()).size
    told = bench._player.said.value
    assert told.count('role="status"') == 1 and told.count("It arrives after") == 1
    assert 'media="(prefers-reduced-motion: reduce)"' in bench._player.films["light"].value


def messages(bench):
    """What the player sends to the page, in order: its part's name and the new text."""
    sent = []
    for name, part in {**bench._player.films, "said": bench._player.said}.items():
        part.observe(lambda change, name=name: sent.append((name, change.new)), "value")
    return sent


@pytest.mark.parametrize("look", LOOKS)
def test_it_says_at_once_that_it_draws_and_sends_the_look_first_that_is_seen(clock, monkeypatch, look):
    monkeypatch.setattr(player.page_theme, "look", lambda: look)
    bench = mb.bench("arm")
    sent, make = messages(bench), bench._player._make
    monkeypatch.setattr(bench._player, "_make", lambda slowly: (sent.append(("drawn", "")), make(slowly))[1])
    bench._player.play()
    assert [name for name, _ in sent] == ["said", "drawn", look, "said", next(iter(LOOKS.keys() - {look}))]
    assert sent[0][1].count('role="status"') == 1 and "Drawing the move" in sent[0][1]
    assert "Drawing" not in bench._player.said.value


def test_the_old_film_stays_until_the_new_one_is_there(clock):
    """What lies below it shows where its machine stands: so that no other place flashes up."""
    bench = mb.bench("arm")
    before = bytes(bench._images["light"].value)
    bench._player.play()
    assert bytes(bench._images["light"].value) == before
    clock.go(60.0)
    assert bytes(bench._images["light"].value) != before
    sent = messages(bench)
    bench._player.play()
    assert all(text for _, text in sent)


def test_a_film_that_can_not_be_drawn_leaves_no_promise(clock, monkeypatch):
    bench = mb.bench("arm")

    def fails(slowly):
        raise RuntimeError("nothing drawn")

    monkeypatch.setattr(bench._player, "_make", fails)
    with pytest.raises(RuntimeError, match="nothing drawn"):
        bench._player.play()
    assert not bench._player.said.value and not shown(bench)


def test_what_is_too_quick_for_the_eye_plays_slower_by_itself(clock):
    bench = mb.bench("intake")
    bench._player.play()
    film = bench._player._film
    assert film.motion.seconds < 0.1 and 1.0 <= film.seconds <= 2.5
    slower = round(film.seconds / film.motion.seconds)
    assert f"too quick for the eye: shown {slower} times slower." in bench._player.said.value.replace("\u00a0", " ")


def test_the_film_is_there_on_both_papers(clock):
    bench = mb.bench("arm")
    bench._player.play()
    papers = {look.name: tuple(int(look.paper[i : i + 2], 16) for i in (1, 3, 5)) for look in LOOKS.values()}
    still, moving, dark_still, dark_moving = map(image, [*shown(bench, "light"), *shown(bench, "dark")])
    for name, picture in (("light", still), ("light", moving), ("dark", dark_still), ("dark", dark_moving)):
        for frame in (0, getattr(picture, "n_frames", 1) - 1):
            picture.seek(frame)
            assert picture.convert("RGB").getpixel((3, 3)) == papers[name]
    assert moving.n_frames == dark_moving.n_frames > 5
    for look, film in bench._player.films.items():
        assert film._dom_classes == ("mb-film", f"mb-on-{look}")


def test_at_the_end_the_slider_stands_where_the_picture_does(clock):
    bench = mb.bench("arm", {"start_angle": "-90 deg", "payload": "2.6 kg"})
    before = place(bench)
    bench._player.play()
    assert place(bench) == before
    clock.go(60.0)
    assert place(bench) == pytest.approx(100 * bench.turns["place"], abs=0.5)
    angle = -90 + 190 * bench.turns["place"]
    told = bench._player.said.value.replace("\u00a0", " ").partition("It stalls at ")[2]
    assert float(told.split()[0]) == pytest.approx(angle, abs=0.05)
    assert shown(bench), "the film stays, on its last frame"


def test_stop_leaves_it_where_it_is_now(clock):
    bench = mb.bench("arm")
    bench._player.slowly.value = True
    bench._player.play()
    seconds = bench._player._film.seconds
    assert seconds > 1.5
    clock.go(seconds / 2)
    bench._player.stop_button.click()
    assert not shown(bench) and 20 < place(bench) < 80
    here = place(bench)
    clock.go(60.0)
    assert place(bench) == here, "nothing is left that goes on"
    bench._player.stop_button.click()
    assert place(bench) == here


def test_stop_after_the_end_changes_nothing(clock):
    bench = mb.bench("arm")
    bench._player.play()
    clock.go(60.0)
    film = shown(bench)
    bench._player.stop_button.click()
    assert shown(bench) == film and place(bench) == 100


@pytest.mark.parametrize("move", ["input", "extra", "pin", "units", "set"])
def test_moving_anything_goes_back_to_the_still(clock, move):
    bench = mb.bench("arm")
    bench._player.play()
    {
        "input": lambda: setattr(bench._controls["payload"].slider, "value", 0.5),
        "extra": lambda: setattr(bench._extra["place"].slider, "value", 50.0),
        "pin": bench.pin,
        "units": lambda: bench._switch("us"),
        "set": lambda: bench.set(payload="0.4 kg"),
    }[move]()
    assert not shown(bench) and not bench._player.said.value
    here = place(bench)
    clock.go(60.0)
    assert place(bench) == here


def test_the_same_film_has_another_address_each_time(clock):
    """A browser that has played a picture to its end shows its last frame when it gets the same address again."""
    bench = mb.bench("arm")
    bench._player.play()
    first = shown(bench)
    bench._player.play()
    second = shown(bench)
    other = mb.bench("arm")  # as the same cell makes it when it is run again
    other._player.play()
    addresses = [first[1], second[1], shown(other)[1]]
    assert len(set(addresses)) == 3
    assert len({address.partition("base64,")[2] for address in addresses}) == 1


def test_playing_anew_is_not_ended_by_the_first_time(clock):
    bench = mb.bench("arm")
    before = place(bench)
    bench._player.play()
    clock.go(0.9 * bench._player._film.seconds)
    bench._player.play()
    clock.go(0.5 * bench._player._film.seconds)
    assert place(bench) == before


def test_inputs_that_are_refused_play_nothing(clock):
    bench = mb.bench("arm")
    bench._controls["end_angle"].box.value = "-40 deg"  # the same as the start
    assert bench.report is None
    bench._player.play()
    assert not shown(bench) and not bench._player.said.value


@pytest.mark.parametrize("name", [name for name in NAMES if picture_of(name).EXTRA or picture_of(name).moves()])
def test_only_benches_that_move_have_the_buttons(name):
    bench = mb.bench(name)
    on_page = set(parts(bench.view))
    labels = {part.description for part in on_page if isinstance(part, w.Button | w.ToggleButton)}
    moves = picture_of(name).moves()
    assert ({"Play", "Slowly", "Stop"} <= labels) == ({"Play", "Slowly", "Stop"} & labels != set()) == moves
    assert [part in on_page for part in (bench._player.said, *bench._player.films.values())] == [moves] * 3


def parts(view):
    """Everything on a page, in its order."""
    yield view
    for child in getattr(view, "children", ()):
        yield from parts(child)


def test_the_buttons_stand_above_the_picture_and_what_they_say_below_it():
    bench = mb.bench("arm")
    order = list(parts(bench.view))
    shown = bench._player.play_button, bench._images["light"], bench._player.said
    play, still, said = map(order.index, shown)
    assert play < still < said


def test_the_true_timer_ends_a_film(monkeypatch):
    """No clock stands in here: the thread that waits for the end is the real one."""
    ended = threading.Event()
    bench = mb.bench("arm")
    stand = bench._player._stand
    monkeypatch.setattr(bench._player, "_stand", lambda *given, **more: (stand(*given, **more), ended.set()))
    bench._player.play()
    assert ended.wait(300) and place(bench) == 100
