"""A bench that moves: buttons that play the machine's move as a film in place of the still picture.

Contents: STYLE, Player.

The film is one animated picture, drawn before it is shown, so it runs evenly however slow the kernel is. It lies over
the still picture, which is seen until the film's first picture is there: so nothing flickers, and nothing on the page
changes its place. It is sent in each look, first in the one that goes with the page: the other one follows. Who has
asked the browser for less motion sees the last frame instead, with the start faint behind it; the kernel can't know
that setting, the page can (`prefers-reduced-motion`, CSS Media Queries Level 5). What moves longer than 5 s must be
stoppable (WCAG 2.2, criterion 2.2.2): so is all of it.
"""

import threading
import time
from base64 import b64encode
from html import escape

import ipywidgets as w

from mechbench.benches import page, page_theme
from mechbench.drawing.palette import LOOKS
from mechbench.drawing.picture import in_look

PLAY, SLOWLY, STOP = "Play", "Slowly", "Stop"
PLAY_HELP = "The machine makes its move, in true time where the eye can follow; the start stays faint"
SLOWLY_HELP = "Play then shows the move in slow motion"
STOP_HELP = "The machine stays where it is now in the picture"
DRAWING = "Drawing the move"

STYLE = """<style>
.mechbench .mb-film { position: absolute; inset: 0; line-height: 0; overflow: visible; margin: 0; width: 100%;
  height: auto; }
.mechbench .mb-film .widget-html-content, .mechbench .mb-film picture { display: block; width: 100%; line-height: 0; }
.mechbench .mb-film img { display: block; width: 100%; height: auto; box-sizing: border-box; margin: 4px 0;
  border: 1px solid var(--mb-line); }
.mechbench .mb-film.mb-film:not(:has(picture)) { display: none; }
/* Room for the sentence, so that what stands below stays where it is. */
.mechbench .mb-moved { min-height: 1.7em; }
.mechbench .mb-moved .mb-told { border-left: 0; padding: 0; margin: 0; }
</style>"""


class Player:
    """The film of a bench, its buttons, and what is said of it.

    make(slowly): the film to show, or None where nothing moves. stand(extra): put the bench's sliders and its still
    picture to these values; back tells whether the still is to be seen again.
    """

    def __init__(self, make, stand):
        self._make, self._stand = make, stand
        self._film, self._began, self._timer = None, 0.0, None
        self.films = {name: w.HTML().add_class("mb-film").add_class(f"mb-on-{name}") for name in LOOKS}
        self.said = w.HTML().add_class("mb-moved")
        play, stop = (w.Button(description=PLAY, tooltip=PLAY_HELP), w.Button(description=STOP, tooltip=STOP_HELP))
        self.slowly = w.ToggleButton(description=SLOWLY, tooltip=SLOWLY_HELP)
        play.on_click(lambda _: self.play())
        stop.on_click(lambda _: self.stop())
        self.play_button, self.stop_button = play, stop
        self.buttons = (play, self.slowly, stop)

    def play(self):
        """Show the move from its start, and say how it ends."""
        self._forget()
        self.said.value = page.waiting(DRAWING)
        film = None
        try:
            film = self._make(self.slowly.value)
        finally:
            if film is None:
                self.leave()
        if film is not None:
            self._show(film)

    def _show(self, film):
        seen, once = page_theme.look(), time.time_ns()
        self.films[seen].value = _in_page(film, once, LOOKS[seen])
        self.said.value = page.status(film.told)
        for name in LOOKS.keys() - {seen}:
            self.films[name].value = _in_page(film, once, LOOKS[name])
        self._film, self._began = film, time.monotonic()
        self._timer = threading.Timer(film.seconds, self._end, (film,))
        self._timer.daemon = True
        self._timer.start()

    def stop(self):
        """Leave the machine where it is now; what has ended stays at its end."""
        if self._timer is None:
            return
        self._stand(self._film.at(time.monotonic() - self._began), back=True)

    def leave(self):
        """Go back to the still picture, at once."""
        self._forget()
        for part in (*self.films.values(), self.said):
            part.value = ""

    def _forget(self):
        """Let no film end any more."""
        if self._timer is not None:
            self._timer.cancel()
        self._timer = self._film = None

    def _end(self, film):
        """The film stands on its last frame: so do the sliders, and the still picture below it."""
        if film is self._film:
            self._timer = None
            self._stand(film.at(film.seconds), back=False)


def _in_page(film, once, look):
    """The film in one look, or its last frame, as the browser is set. `once`, a number that was never used before,
    makes each address a new one: a film that was seen would else stand on its last frame, from another cell too.
    """
    still, moving = (
        f"data:image/png;play={once};base64,{b64encode(in_look(png, look)).decode()}" for png in (film.still, film.png)
    )
    reduced = f'<source media="(prefers-reduced-motion: reduce)" srcset="{still}">'
    shown = f'<img src="{moving}" alt="{escape(film.told, quote=True)}">'
    return f"<picture>{reduced}{shown}</picture>"
