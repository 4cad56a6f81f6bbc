"""What a notebook shows as Markdown or HTML, and everything else as text.

Contents: Note, Shown, Page, Pictured, image, image_of_looks.
"""

from base64 import b64encode
from html import escape

from mechbench.drawing.palette import DARK, LIGHT

LOOKS = LIGHT, DARK


class Note:
    """Lines of Markdown."""

    def __init__(self, markdown):
        self.markdown = markdown

    def _repr_mimebundle_(self, include=None, exclude=None):
        return {"text/markdown": self.markdown, "text/plain": self.markdown}

    def __repr__(self):
        return self.markdown


class Shown:
    """Base of what is HTML on a page, by its `_repr_html_`, and the same in letters."""

    def letters(self):
        """All of it as plain text."""
        return repr(self)

    def _repr_mimebundle_(self, include=None, exclude=None):
        return {"text/html": self._repr_html_(), "text/plain": self.letters()}


class Page(Shown):
    """HTML, with the same as plain text."""

    def __init__(self, html, text):
        self.html, self.text = html, text

    def _repr_html_(self):
        return self.html

    def __repr__(self):
        return self.text


def image(png, words):
    """A picture as HTML, with what it shows in words."""
    address = f"data:image/png;base64,{b64encode(png).decode()}"
    return f'<img alt="{escape(words, quote=True)}" src="{address}" style="max-width: 100%; height: auto">'


# Which of two pictures goes with the page's theme. Where a page drops the style, the first one is seen.
FOLLOWS = """<style>[data-jp-theme-light=false] .mb-paper-light { display: none; }
[data-jp-theme-light=false] .mb-paper-dark { display: inline !important; }</style>"""


def image_of_looks(png, words):
    """A picture as HTML that follows JupyterLab's theme; png: function of a look -> the picture on its paper."""
    light, dark = (image(png(look), words).replace("<img ", f'<img class="mb-paper-{look.name}" ') for look in LOOKS)
    return FOLLOWS + light + dark.replace('style="', 'style="display: none; ')


class Pictured:
    """Base of what is a picture (`png`) and the same in words (`repr`): two outputs, so that a page shows both."""

    def png(self):
        """The picture, as PNG."""
        raise NotImplementedError

    def outputs(self):
        """What a notebook shows, in order."""
        return {"image/png": b64encode(self.png()).decode(), "text/plain": "A picture of the words below."}, {
            "text/plain": repr(self)
        }

    def _ipython_display_(self):
        from IPython.display import display  # there where a notebook is

        for output in self.outputs():
            display(output, raw=True)
