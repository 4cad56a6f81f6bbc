"""What a notebook shows as Markdown or HTML, and everything else as text.

Contents: Note, Page.
"""


class Note:
    """Lines of Markdown."""

    def __init__(self, markdown):
        self.markdown = markdown

    def _repr_mimebundle_(self, include=None, exclude=None):
        return {"text/markdown": self.markdown, "text/plain": self.markdown}

    def __repr__(self):
        return self.markdown


class Page:
    """HTML, with the same as plain text."""

    def __init__(self, html, text):
        self.html, self.text = html, text

    def _repr_mimebundle_(self, include=None, exclude=None):
        return {"text/html": self.html, "text/plain": self.text}

    def __repr__(self):
        return self.text
