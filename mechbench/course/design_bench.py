"""A bench with the job of a design exercise: try a design on it, then take it into the answer.

Contents: DesignBench. The job is fixed, so that what is tried is judged for the job that is asked, with the kit of the
question. The bench is made when it is first opened.
"""

import ipywidgets as widgets

from mechbench import quantity
from mechbench.benches import page
from mechbench.catalog import sizing_of
from mechbench.course.grading import fixed_inputs
from mechbench.course.question_text import inputs, options_of
from mechbench.engine.spec import Pick

OPEN, CLOSE, TAKE = "Open a bench with this job", "Close the bench", "Take this design"
OPEN_HELP = "The job of this exercise is set there; you move what you may choose"
TAKE_HELP = "Puts what the bench shows into the answer above; then test it"
TAKEN = "Taken into the answer above. Now test it."
DIGITS = 10  # so that nothing is rounded on the way


class DesignBench:
    """Two buttons and the bench. `form` gives the answer as text, raw(), and takes one, put(raw)."""

    def __init__(self, posed, form):
        self.posed, self.form, self.bench = posed, form, None
        narrow = {"width": "auto", "align_self": "flex-start"}
        self.opener = widgets.Button(description=OPEN, tooltip=OPEN_HELP, layout=narrow)
        self.taker = widgets.Button(description=TAKE, tooltip=TAKE_HELP, layout=narrow)
        self.opener.on_click(lambda _: self.turn())
        self.taker.on_click(lambda _: self.take())
        self.told, self.area = widgets.HTML(), widgets.VBox([])
        self.widget = widgets.VBox([self.opener, self.area])

    def turn(self):
        """Open the bench where it is closed, with the answer as it stands; else close it."""
        if self.area.children:
            self.area.children, self.opener.description = (), OPEN
            return
        self.bench, self.told.value = self._made(), ""
        self.area.children = (self.bench.view, self.taker, self.told)
        self.opener.description = CLOSE

    def _made(self):
        from mechbench.benches.bench import Bench

        exercise, posed = self.posed.exercise, self.posed
        sizing, job = sizing_of(exercise.sizing), fixed_inputs(posed)
        made = Bench(sizing, None, show=exercise.choose, fixed=job, kit=posed.parts)
        for name, given in self._answered().items():
            try:
                made.set(**{name: given})
            except ValueError:
                continue  # what can't be read stays in the answer, where testing it says why
        return made

    def _answered(self):
        pairs = (part.partition("=") for part in self.form.raw().split(";"))
        return {name.strip(): given.strip() for name, _, given in pairs if given.strip()}

    def take(self):
        """Put what the bench shows into the answer; say which own part it can't take."""
        values, chosen, left = self.bench.values, [], []
        for entry in inputs(self.posed):
            value = values[entry.name]
            if not isinstance(entry, Pick):
                value = quantity.show(value, entry.unit, digits=DIGITS)
            elif value not in options_of(self.posed, entry):
                left.append(entry.label)
                continue
            chosen.append(f"{entry.name} = {value}")
        self.form.put("; ".join(chosen))
        own = f" Left out: {', '.join(left)}; the answer takes parts of the kit only." if left else ""
        self.told.value = page.status(f"{TAKEN}{own}")
