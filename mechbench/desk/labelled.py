"""A mechanism as a drawing with the names of its parts, and the same in words: mb.labelled("intake").

Contents: labelled, LabelledDrawing.
"""

from html import escape

from mechbench.catalog import drawings_of
from mechbench.desk.arguments import BadQuestion
from mechbench.desk.called import called, units
from mechbench.desk.rich_text import Page, image_of_looks
from mechbench.drawing.palette import LIGHT
from mechbench.engine.columns import columns
from mechbench.engine.inputs import complete
from mechbench.engine.judge import judge_with
from mechbench.wording import quoted, together


def labelled(name="", drawing="", *stray, kit=None, system=None, **inputs):
    """A mechanism to scale with the names of its parts: mb.labelled("intake"), mb.labelled("intake", "friction angle").

    name : of the sizing; drawing : which drawing of it, the usual one when left out; another word lists them
    inputs : by name, as mb.size takes them: the drawing follows them, and the kit's parts
    kit : another kit than the one in force; system : "metric" or "us", the units that are shown
    """
    asked = called(name, kit, system, inputs, stray=stray, kind="labelled")
    return LabelledDrawing(asked, _chosen(asked.sizing, drawing))


def _chosen(sizing, drawing):
    """The class of a drawing by its name; an unknown one is refused with those that there are."""
    there = drawings_of(sizing.NAME)
    if not there:
        raise BadQuestion(f'{sizing.NAME} has no drawing with names; mb.bench("{sizing.NAME}") shows its picture.')
    if drawing and drawing not in there:
        names = " or ".join(quoted(one) for one in there)
        raise BadQuestion(f"{quoted(drawing)} is no drawing of {sizing.NAME}; name {names}, or none for the first.")
    return there[drawing or next(iter(there))]


class LabelledDrawing:
    """A drawing with the names of its parts: `png(look)`; `words` is the same for those who don't see it."""

    def __init__(self, asked, picture):
        from mechbench.drawing.picture import plain

        self._picture, self._system = picture, asked.system or units()
        values = complete(asked.sizing, asked.values, asked.tables)
        self._report = judge_with(asked.sizing, values, asked.tables)
        self._now = plain(columns(asked.sizing, values, asked.tables, picture.RECORDS))
        self.shows, self.labels = "", ()
        self._light = self.png(LIGHT)

    def png(self, look=LIGHT):
        """The drawing, on light or on dark paper."""
        from mechbench.drawing.labelled import Labelled

        drawn = Labelled(self._picture, look, self._system)
        found = drawn.png(self._report, self._now)
        self.shows, self.labels = drawn.shows, tuple(drawn.labels)
        return found

    @property
    def words(self):
        """What it shows, and each part with what it is."""
        from mechbench.drawing.labelled import twin

        return twin(self.shows, self.labels)

    def __repr__(self):
        return self.words

    def _repr_mimebundle_(self, include=None, exclude=None):
        return Page(self._html(), self.words)._repr_mimebundle_(include, exclude)

    def _html(self):
        """Both drawings, of which one is shown, and the parts in words, folded away."""
        names = ", ".join(label.name for label in self.labels)
        told = f"{self.shows} Named in it: {names}. The list below tells what each is."
        both = image_of_looks(lambda look: self._light if look is LIGHT else self.png(look), told)
        parts = "".join(
            f"<li><b>{escape(together(' '.join(filter(None, (one.name, one.number)))))}</b>: {escape(one.told)}</li>"
            for one in self.labels
        )
        inside = f"<p>{escape(self.shows)}</p><ul>{parts}</ul>"
        folded = f"<details><summary>These parts in words</summary>{inside}</details>"
        return f'<div class="mechbench-labelled">{both}{folded}</div>'
