"""What an exercise is: five kinds, each written once as data, with no learner's answer in it.

Quantity     a number with a unit is asked; the wrong paths that people take are named (Slip)
Choice       one of several options is right; every option has its own feedback (Option)
Order        things are put in order (Item)
Prediction   a guess before a slider is moved; recorded, never marked wrong
Challenge    the learner picks values, and a sizing judges them on a good and on a bad day
Shop         readings of a measurement at home, for a Quantity whose answer is found by a fit
rows_of      rows from the units of their names and from numbers in the same order

In every text, {name} stands for a number of the learner's row as it is shown ("5230 rpm"); in `explain`, {answer}
stands for the answer. A row is a dict: name -> (number, unit), or a text. `rows` is a function of the kit that gives
the list of rows, the book's row first, or that list itself. Numbers are shown, and computed with, at four digits.

When an exercise changes so that old answers would be judged differently, its `revision` goes up by one, and the old
exercise goes into `earlier`, with its rows as a plain list, or with the function that made them from the kit: answers
handed in before stay gradeable.
"""

from collections.abc import Callable
from dataclasses import dataclass, field

TOLERANCE = 0.03


@dataclass(frozen=True)
class Slip:
    """A wrong path that people take: what it gives, as a formula on a row in SI, and what to say to it.

    name : for the records, in a few words
    formula : function of a row in SI -> the wrong answer in SI
    feedback : names the mistake and points to the idea; never says the answer
    """

    name: str
    formula: Callable
    feedback: str


@dataclass(frozen=True)
class Option:
    """One option of a Choice or a Prediction. `name` is what is kept as the answer; `feedback` says why or why not. Of
    a Prediction it is kind: it is said to who guessed this where the bench shows something else.
    """

    name: str
    text: str
    feedback: str = ""
    right: bool = False


@dataclass(frozen=True)
class Item:
    """One thing of an Order. `early` is said to those who put it before the item that stands above it here."""

    name: str
    text: str
    early: str = ""


@dataclass(frozen=True)
class Shown:
    """What the bench shows of a prediction, with the parts of one kit.

    option : name of an option; of a guessed number that number, in SI
    because : why, in one or two sentences, with {name} for each number
    numbers : name -> (number, unit), a number or a text, as the bench's sizing finds them
    """

    option: str | float
    because: str
    numbers: dict = field(default_factory=dict)


@dataclass(frozen=True)
class Shop:
    """A measurement that can be done at home: readings made from a row's hidden value, with honest noise.

    about : what was measured and how, in a sentence or two
    measure : function of (row in SI, numpy Generator) -> dict of column name -> (numbers, unit), as the instrument
    shows
    fit : function of (columns as arrays in SI, row in SI) -> the value in SI that a good fit finds
    """

    about: str
    measure: Callable
    fit: Callable


def rows_of(units, cases):
    """Rows of an exercise, from the units of their names and from numbers in the same order.

    >>> rows_of({"mass": "kg", "turns": ""}, ((2, 5),))
    ({'mass': (2, 'kg'), 'turns': (5, '')},)
    """
    return tuple({name: (number, unit) for (name, unit), number in zip(units.items(), case)} for case in cases)


@dataclass(frozen=True, kw_only=True)
class Exercise:
    """What all kinds have.

    id : lesson and a few words, "gearing-two-stages"; never changes
    lesson : name of the file in exercises/ that it stands in
    title : a few words
    text : the question
    hints : two or three steps towards the answer, never the answer
    explain : why; shown when the answer is right (a Prediction: when it is recorded)
    revision : see the top of this file
    rows : see the top of this file; left out where a question has no numbers of its own
    short : can be answered in a minute, so it may serve as a warm-up of later lessons
    earlier : older revisions of this exercise
    needs : what of the game it is about, names of of_game.NEEDS; offered.py says what is asked where a game lacks it
    instead : id of the exercise that then stands in its place, where there is one
    elsewhere : else a sentence that begins it, such as "In another game robots carry pieces."; it is then asked with
        the course's own kit. Without it the exercise is left out
    rests_on : function of a row and the kit of its parts -> table, part and column of a number in it that a label may
        not give; the question then says that it is assumed. None where the row tells none
    """

    id: str
    lesson: str
    title: str
    text: str
    hints: tuple
    explain: str
    revision: int = 1
    rows: Callable | tuple = ({},)
    short: bool = False
    earlier: tuple = ()
    needs: tuple = ()
    instead: str = ""
    elsewhere: str = ""
    rests_on: Callable | None = None

    def table(self, kit):
        """All rows for a kit, the book's row first."""
        return list(self.rows(kit) if callable(self.rows) else self.rows)


@dataclass(frozen=True, kw_only=True)
class Quantity(Exercise):
    """A number with a unit is asked.

    kind : kind of quantity, one of quantity.KINDS
    unit : the unit that the question asks for; every other unit of the kind is right too
    answer : function of a row in SI -> the answer in SI; never 0
    slips : see Slip
    tolerance : share of the answer that counts as right
    shop : see Shop; the answer is then a hidden value of the row
    near : what is said to a number up to 10 % off, where it is known how that comes about; else a general sentence up
        to 5 % off
    direction : whether an angle tells where something points, so that a whole turn more or less is the same
    """

    kind: str
    unit: str
    answer: Callable
    slips: tuple = ()
    tolerance: float = TOLERANCE
    shop: Shop | None = None
    near: str = ""
    direction: bool = False


@dataclass(frozen=True, kw_only=True)
class Choice(Exercise):
    """One of the options is right; each has its own feedback. The order on screen is the learner's own."""

    options: tuple


@dataclass(frozen=True, kw_only=True)
class Order(Exercise):
    """The items, given here in the right order, are to be put in order. `scale` says from what to what."""

    items: tuple
    scale: str


@dataclass(frozen=True, kw_only=True)
class Prediction(Exercise):
    """A guess before sliding: one of `options`, or a number of a `kind` (then `unit` is what the bench shows it in).

    shows : function of a kit -> what the bench shows, a Shown; computed by the sizing of the bench, so that it is true
        of any kit. It comes back beside the guess after the bench (guess.py)
    opens : function of a kit -> inputs that the bench opens with instead of the usual, so that it shows the answer; the
        lesson's cell takes them from `mb.ask(id).opens`
    """

    options: tuple = ()
    kind: str = ""
    unit: str = ""
    shows: Callable
    opens: Callable = lambda kit: {}


@dataclass(frozen=True, kw_only=True)
class Challenge(Exercise):
    """A design that a sizing judges; many answers are right.

    sizing : name of the sizing
    fixed : names in the row that are also inputs of the sizing: what the job asks
    choose : inputs of the sizing that the learner sets, within the sizing's own bounds
    require : what must be met, in a sentence
    asks : findings that the text asks for; left out: all that the sizing judges. The others are told where they are
        missed, and make nothing wrong
    advice : finding of the sizing -> what to try when it is not met
    bad_day : whether it must work on a bad day too
    ease : name in the row -> factor that makes the task a step easier, for kits whose parts can't do it as it stands
    """

    sizing: str
    choose: tuple
    require: str
    advice: dict
    asks: tuple = ()
    fixed: tuple = ()
    bad_day: bool = True
    ease: dict = field(default_factory=dict)

    def asked_of(self, sizing):
        """Names of the findings that count."""
        return self.asks or tuple(finding.name for finding in sizing.judged())
