"""A few lines that a notebook shows as Markdown and everything else as text.

Contents: Note.
"""


class Note:
    """Lines of Markdown."""

    def __init__(self, markdown):
        self.markdown = markdown

    def _repr_mimebundle_(self, include=None, exclude=None):
        return {"text/markdown": self.markdown, "text/plain": self.markdown}

    def __repr__(self):
        return self.markdown
