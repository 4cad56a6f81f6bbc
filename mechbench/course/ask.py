"""What a lesson's cells call: exercises on screen or in code, the learner of this notebook, numbers in sentences.

    mb.learner("Ana M")                               whose numbers this notebook shows; no name gives the book's
    mb.ask("start-here-lever")                        an exercise to answer on screen
    mb.ask("start-here-lever").answer("3.2 N·m")      the same, answered in code
    mb.warm_up("motors")                              three short questions from earlier lessons
    mb.say("It stalls at {stall}.", stall=(0.175, "N·m"))     a sentence with numbers in, as Markdown
    mb.say("The bar is {up} high.", needs="hang", up=...)     the same, where the game has a bar to hang from
    data = mb.readings("start-here-stopwatch")        the shop at home

Contents: learner, current_learner, ask, Ask, say, readings, warm_up.
"""

import textwrap
import weakref
from dataclasses import dataclass
from string import Formatter

from IPython.display import display

from mechbench.catalog import sizing_of
from mechbench.course import lessons, offered, registry
from mechbench.course.exercise import Prediction
from mechbench.course.grading import LONGEST_RAW, NOT_TRIED, NOT_YET, RECORDED, RIGHT, Grade, grade_posed
from mechbench.course.learner_numbers import fill, pose, shown
from mechbench.course.nickname import ask_if_near, checked, escaped, note_of, note_or_offer, owner
from mechbench.course.of_game import NEEDS, lacking, unmet
from mechbench.course.plain_errors import speak_plainly
from mechbench.course.posed_numbers import is_same, question
from mechbench.course.progress import Attempt, store
from mechbench.course.question_text import options_of, outcome_line, statement
from mechbench.course.simulated_readings import readings_of
from mechbench.desk.rich_text import Note
from mechbench.kits import kit as kit_in_force
from mechbench.kits.load import own_kit

WARM_UP_LENGTH = 3
WIDTH = 96  # letters in a line of plain text
NOBODYS = "It is kept as the book's answer and belongs to nobody: put a nickname in the first cell to have your own."
_notebook = {"learner": None, "chosen": None}  # chosen: the name on the button that was pressed
_on_screen = weakref.WeakSet()  # every Ask that has a form
guesses_on_screen = weakref.WeakSet()  # every Guess, which follows what is recorded
cards_on_screen = weakref.WeakSet()  # every Card, which follows all answers

# A name without quotes stops the first cell before anything of the course was called: the import has to be enough.
speak_plainly()


# --- the learner of this notebook ----------------------------------------------------------------------------------


def learner(name="", new=False):
    """Say whose numbers this notebook shows. It holds until the kernel stops, for this notebook only.

    new : True says that a name so near to a known one is meant as it is written
    """
    speak_plainly()
    if checked(name).strip():
        if not new:
            ask_if_near(name)
        display(Note(note_of(_now_for(name))))
    else:
        display(note_or_offer(_now_for(_notebook["chosen"] or ""), _choose))
    _tell_news()


def _tell_news():
    """Show what was found out about the files with the answers, if there is anything to say."""
    told = store().news()
    if told:
        display(Note("\n\n".join(map(escaped, told))))


def _choose(name):
    """Take a name that was offered: it holds for this notebook as long as none is written in the first cell."""
    _notebook["chosen"] = name
    return _now_for(name)


def _now_for(name):
    """Make someone this notebook's learner; forms on screen show at once that they are another's."""
    _notebook["learner"] = store().learner(name)
    for one in list(_on_screen):
        one.panel().refresh_head()
    for one in [*guesses_on_screen, *cards_on_screen]:
        one.refresh()
    return _notebook["learner"]


def current_learner():
    """The learner of this notebook; the book's where no name was given."""
    if _notebook["learner"] is None:
        _notebook["learner"] = store().learner("")
    return _notebook["learner"]


# --- one exercise --------------------------------------------------------------------------------------------------


@dataclass(frozen=True)
class Past:
    """What was answered before: the best state, the text that stands for it, how many tries, hints opened.

    elsewhere : the best state of the answers to the same question with other numbers
    changed : whether there are other answers of that state
    """

    state: str = NOT_TRIED
    raw: str = ""
    tries: int = 0
    hints: int = 0
    elsewhere: str = NOT_TRIED
    changed: bool = False


def past_of(attempts, posed):
    """Sum up the attempts at the graded question with the numbers that are posed now; practice does not count."""
    exercise = posed.exercise
    asked = [attempt for attempt in attempts if (attempt.practice, attempt.revision) == (0, exercise.revision)]
    mine = [attempt for attempt in asked if is_same(attempt, posed)]
    elsewhere = best_of([attempt.state for attempt in asked if attempt not in mine])
    if not mine:
        return Past(elsewhere=elsewhere)
    states = [attempt.state for attempt in mine]
    state = best_of(states)
    # The first prediction counts, because it was made before sliding; of the other kinds the last of the best state.
    best = [attempt.raw for attempt in mine if attempt.state == state] or [mine[-1].raw]
    return Past(
        state=state,
        raw=best[0] if isinstance(exercise, Prediction) else best[-1],
        tries=sum(known in (RIGHT, NOT_YET) for known in states),
        hints=max(attempt.hints for attempt in mine),
        elsewhere=elsewhere,
        changed=len({attempt.raw for attempt in mine if attempt.state == state}) > 1,
    )


def best_of(states):
    """The best of some states of answers."""
    return next((known for known in (RIGHT, RECORDED, NOT_YET) if known in states), NOT_TRIED)


# The best state with other numbers -> what is said of it.
ASKED_BEFORE = {
    NOT_TRIED: "",
    NOT_YET: "Asked with other numbers before; your old answer was not right yet.",
    RIGHT: "Asked with other numbers before; your old answer was right, and it still counts.",
    RECORDED: "Asked with other numbers before; your old prediction is recorded.",
}


class Ask:
    """One exercise, put to one learner; shown at the end of a cell as a form, elsewhere as text."""

    def __init__(self, exercise, learner, practice=0):
        self.exercise, self.learner, self.practice = exercise, learner, practice
        self.posed = pose(exercise, learner.key, practice)
        attempts = store().attempts(learner, exercise.id)
        self.past = Past() if practice else past_of(attempts, self.posed)
        self.hints_open = self.past.hints
        self.state, self.tries = self.past.state, self.past.tries
        self.raw, self.grade, self.saved = "", None, ""
        self._opened_now = 0
        self._panel = None

    @property
    def asked_before(self):
        """Say what became of the same question with other numbers; empty where there was none."""
        return ASKED_BEFORE[self.past.elsewhere]

    def answer(self, value="", unit="", **settings):
        """Answer in code: "3.2 N·m", or 3.2 with its unit, or a letter, letters in order, or name=value of a design."""
        if settings:
            value = "; ".join(f"{name} = {given}" for name, given in settings.items())
        self.submit(f"{value} {unit}".strip() if not isinstance(value, str) or unit else value)
        return self

    @property
    def of_another(self):
        """Say that the notebook is another learner's by now; empty where it is still this one's."""
        now_for = current_learner()
        if now_for.key == self.learner.key:
            return ""
        return (
            f"This form belongs to {owner(self.learner)}, and the notebook is now for {owner(now_for)}: it takes "
            "nothing. Run its cell again."
        )

    def submit(self, raw):
        """Grade a raw text, keep it, and show what came of it."""
        if self.of_another:
            self._refresh()
            return Grade(NOT_TRIED, message=self.of_another)
        self.raw = " ".join(raw.split())
        self.grade = grade_posed(self.posed, self.raw)
        self.saved = self._keep(self.raw, self.grade)
        self._refresh()
        if self.grade.state == RECORDED:
            for one in [one for one in guesses_on_screen if one.exercise.id == self.exercise.id]:
                one.recorded(self.learner, self.raw)
        for one in list(cards_on_screen):
            one.refresh()
        return self.grade

    def _refresh(self):
        if self._panel is not None:
            self._panel.refresh()

    def _keep(self, raw, grade):
        """Keep an answer, and say what became of it."""
        if grade.state == NOT_TRIED:
            return ""
        if len(raw) > LONGEST_RAW:
            return "Not kept, because it is too long."
        attempt = self._attempt(raw, grade)
        # An opened hint is a row without text: it comes between two answers, and is none.
        again = store().again(self.learner, attempt, lambda one: one.raw and is_same(one, self.posed))
        if again:
            return self._whose(again)
        receipt = store().record(self.learner, attempt)
        if not (receipt.confirmed or receipt.pending):
            return receipt.message
        self.tries += grade.state in (RIGHT, NOT_YET)
        self.state = RIGHT if self.state == RIGHT else grade.state
        return self._whose(receipt.message)

    def _whose(self, kept):
        """What became of an answer that is kept; of one without a nickname it is said that it is nobody's."""
        return kept if self.learner.key else f"{kept} {NOBODYS}"

    def _attempt(self, raw, grade):
        asked = question(self.posed, raw)
        return Attempt(
            exercise=self.exercise.id,
            revision=self.exercise.revision,
            kit_digest=self.posed.kit.digest,
            raw=raw,
            state=grade.state,
            slip=grade.slip,
            hints=self.hints_open,
            practice=self.practice,
            value=grade.value,
            unit=grade.unit,
            posed_digest=asked.digest,
            posed=asked.row,
        )

    @property
    def numbers(self):
        """The numbers of the question in SI, by name: `mb.ask("motors-line").numbers.stall_torque`."""
        return self.posed.si

    @property
    def opens(self):
        """What the bench of a prediction opens with instead of the usual, so that it shows the answer."""
        return self.exercise.opens(self.posed.kit)

    @property
    def kit(self):
        """The kit whose parts the question is about: where parts of the course's own stand in, they are in it."""
        return self.posed.parts

    def options(self, name):
        """The parts that may be chosen for one input of a design, by name."""
        return _options(self.posed, name)

    def hint(self):
        """Open the next hint of those that this Ask shows as text, which is counted."""
        return self._open(self._opened_now + 1)

    def next_hint(self):
        """Open the next hint that was never opened, now or before: the button on screen."""
        return self._open(self.hints_open + 1)

    def _open(self, number):
        if number <= len(self.exercise.hints) and not self.of_another:
            self._opened_now = number
            if number > self.hints_open:
                self.hints_open = number
                self._keep_hint()
        self._refresh()
        return self

    def _keep_hint(self):
        """Keep that a hint was opened: an attempt without an answer. The next answer tells it again."""
        if not self.practice:
            store().record(self.learner, self._attempt("", Grade(NOT_TRIED)))

    @property
    def hints_shown(self):
        """Texts of the hints opened, now or when this exercise was on screen before."""
        return [self.posed.fill(hint) for hint in self.exercise.hints[: self.hints_open]]

    def another(self):
        """Another one like it: other numbers, for practice; it leaves the grade alone."""
        return Ask(self.exercise, self.learner, self.practice + 1)

    def shown_grade(self):
        """Raw text and grade to show: since it was put on screen, else of before; None where there is none."""
        if self.grade is not None:
            return self.raw, self.grade
        if self.past.raw:
            return self.past.raw, grade_posed(self.posed, self.past.raw)
        return None

    def text(self):
        """The exercise as plain text, with what was answered since it was put on screen."""
        lines = [statement(self.posed)]
        lines += [f"Hint {number}: {hint}" for number, hint in enumerate(self.hints_shown[: self._opened_now], 1)]
        if self.grade is not None:
            lines += [f"Your answer: {self.raw}"] if self.raw.strip() else []
            lines += [f"{outcome_line(self.grade.state, self.raw)}. {self.grade.message}"]
        lines += filter(None, [self.of_another])
        return "\n".join(
            textwrap.fill(line, WIDTH, subsequent_indent="    " if line[:2] == "  " else "") for line in _lines(lines)
        )

    def panel(self):
        """The form on screen, made when it is first shown."""
        if self._panel is None:
            from mechbench.course.panel import Panel

            self._panel = Panel(self)
            _on_screen.add(self)
        return self._panel

    def _repr_mimebundle_(self, include=None, exclude=None):
        return _bundle(self.panel().widget, self.text())

    def __repr__(self):
        return self.text()


def _lines(texts):
    return [line for text in texts for line in text.split("\n")]


def _options(posed, name):
    return list(options_of(posed, sizing_of(posed.exercise.sizing).field(name)))


def _bundle(widget, text):
    """A live view, with a text beside it for paper and for the tests."""
    return {**widget._repr_mimebundle_(), "text/plain": text}


class LeftOut:
    """What stands in place of an exercise about something that the game lacks: a sentence, and no form."""

    def __init__(self, exercise, kit):
        self.exercise, self.need = exercise, unmet(exercise, kit)[0]

    @property
    def numbers(self):
        """The book's numbers in the course's own game, so that a worked answer still shows the way."""
        return pose(self.exercise, kit=own_kit()).si

    @property
    def opens(self):
        """Nothing: the bench opens as usual."""
        return {}

    @property
    def kit(self):
        """The course's own kit, as above."""
        return own_kit()

    def options(self, name):
        """The parts of that kit that a design might be made of, by name."""
        return _options(pose(self.exercise, kit=own_kit()), name)

    def answer(self, value="", unit="", **settings):
        """Take no answer: nothing is asked."""
        return self

    def hint(self):
        """Give no hint: nothing is asked."""
        return self

    def text(self):
        """Say what is left out and why."""
        return f"Your game has {NEEDS[self.need].lacks}, so '{self.exercise.title}' is left out; it counts for nobody."

    __repr__ = text


def ask(id):
    """Put an exercise to the learner of this notebook, or what the game in force has in its place."""
    exercise, kit = registry.exercise(id), kit_in_force()
    found = offered.in_place_of(exercise, kit)
    return Ask(found, current_learner()) if found else LeftOut(exercise, kit)


def readings(id, practice=0):
    """The learner's readings for an exercise of the shop at home."""
    return readings_of(registry.exercise(id), current_learner().key, practice)


def say(template, *, needs=(), otherwise="", **numbers):
    """Show a sentence in Markdown with numbers in it; each is a text, a number, or a pair (number, unit).

    needs : what of the game the sentence is about, such as "hang" or ("low", "reach_in"), names of of_game.NEEDS
    otherwise : what is said where the game lacks it; nothing when left out

    A number may be a function of the game's roles, as `height=lambda role: (role.hang.bar_height, "m")`: it is asked
    for only where the sentence with that number is said.
    """
    kit, words = kit_in_force(), (needs,) if isinstance(needs, str) else tuple(needs)
    said = otherwise if lacking(words, kit) else template
    if said:
        named = {name for _, name, _, _ in Formatter().parse(said)}
        # A number of a role is worked out only where it is said: the game may lack it.
        there = {name: given for name, given in numbers.items() if name in named or not callable(given)}
        texts = {name: shown(given(kit.roles) if callable(given) else given) for name, given in there.items()}
        display(Note(fill(said, texts)))


# --- warm-up -------------------------------------------------------------------------------------------------------


class WarmUp:
    """A few questions in a row."""

    def __init__(self, asks):
        self.asks = asks

    def _repr_mimebundle_(self, include=None, exclude=None):
        from mechbench.course.panel import in_a_column

        return _bundle(in_a_column([one.panel().widget for one in self.asks]), repr(self))

    def __repr__(self):
        return "\n\n".join(one.text() for one in self.asks)


def warm_up(lesson):
    """Three short questions from earlier lessons, as practice; those first where this learner once slipped."""
    place = lessons.lesson(lesson).number
    before = [name for name in registry.lessons() if lessons.lesson(name).number < place]
    if not before:
        return Note("This is the first lesson, so there is nothing to warm up yet.")
    someone = current_learner()
    chosen = [*_slipped(someone, before), *_book_choice(before, place)]
    chosen = list({exercise.id: exercise for exercise in chosen}.values())[:WARM_UP_LENGTH]
    return WarmUp([Ask(exercise, someone, practice=place) for exercise in chosen])


def _short(lesson):
    return [exercise for exercise in offered.exercises(lesson) if exercise.short]


def _slipped(learner, lessons):
    """Exercises in which this learner slipped, the latest first; none for the book's learner, whom many share."""
    if not learner.key:
        return []
    known = {exercise.id: exercise for lesson in lessons for exercise in _short(lesson)}
    slips = [attempt.exercise for attempt in store().attempts(learner) if attempt.slip]
    return [known[id] for id in dict.fromkeys(reversed(slips)) if id in known]


def _book_choice(lessons, place):
    """One question of each earlier lesson, the nearest lesson first, then a second one of each; other ones each
    time.
    """
    pools = [_short(lesson) for lesson in reversed(lessons)]
    for turn in range(WARM_UP_LENGTH):
        for pool in pools:
            if turn < len(pool):
                yield pool[(place + turn) % len(pool)]


__all__ = ["Ask", "Grade", "ask", "current_learner", "learner", "readings", "say", "warm_up"]
