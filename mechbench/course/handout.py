"""Handouts on paper: a lesson's exercises with one learner's numbers, and the answer sheet on its own page.

    pages(lesson, names)       the page, piece by piece: all question sheets first, then all answer sheets
    command(arguments)         the command `handout LESSON [--name NAME]... [--to FOLDER]`

The numbers are those that the same name gets in a notebook, so paper and screen can be mixed.
"""

import os
import sys
from pathlib import Path

from mechbench.command_line import Parser
from mechbench import quantity
from mechbench.course import lessons, registry
from mechbench.course.exercise import Challenge, Choice, Order, Prediction, Quantity
from mechbench.course.grading import RIGHT, answer_text, grade_posed
from mechbench.course.numbers import canonical, pose
from mechbench.course.paper import document, joined, lesson_title, said, tag
from mechbench.course.shop import readings_of
from mechbench.course.question_text import asked_for, input_lines, lettered, question
from mechbench.course.vetting import answers_to_try
from mechbench.desk.new_file import write_new
from mechbench.kits import KitError
from mechbench.kits import kit as kit_in_force

BOOK = "the book"


def pages(lesson, names=(), kit=None):
    """Give the page with the sheets of a lesson for these names; without a name, with the book's numbers."""
    kit = kit or kit_in_force()
    learners = [(said(name), canonical(name)) for name in names] or [(BOOK, "")]
    sheets = [(shown, key, [pose(exercise, key, kit=kit) for exercise in registry.exercises(lesson)]) for shown, key in learners]
    questions = (_question_sheet(lesson, *sheet) for sheet in sheets)
    answers = (_answer_sheet(lesson, *sheet) for sheet in sheets)
    return document(f"Handout, lesson {lesson_title(lesson)}", STYLE, (*questions, *answers))


def _head(title, shown, key):
    numbers = tag("p", "Numbers for: ", tag("strong", key or BOOK), class_="who")
    given = f"Name: {shown}" if key else "Name:"
    return tag("header", tag("h1", title), tag("p", given, class_="who"), numbers)


# --- the question sheet --------------------------------------------------------------------------------------------


def _question_sheet(lesson, shown, key, posed):
    asked = lessons.lesson(lesson).question
    tasks = (_task(number, one, key) for number, one in enumerate(posed, 1))
    return tag("section", _head(lesson_title(lesson), shown, key), tag("p", asked, class_="quiet"), *tasks, class_="sheet")


def _task(number, posed, key):
    exercise = posed.exercise
    options = tag("ol", *(tag("li", f"{letter}) {text}") for letter, text in lettered(posed)), class_="letters") if posed.order else ""
    table = ""
    if getattr(exercise, "shop", None):
        table = tag("pre", repr(readings_of(exercise, key, kit=posed.kit)))
    return tag("article", tag("h2", f"{number}. {exercise.title}"), tag("p", question(posed)), options, table,
               tag("p", asked_for(posed), class_="quiet"), _room(posed))


def _room(posed):
    """Room for sums and for the answer."""
    if isinstance(posed.exercise, Challenge):
        lines = (tag("li", f"{line} ", tag("span", class_="blank")) for line in input_lines(posed))
        test = tag("p", "Test it in the notebook: ", tag("code", f'mb.ask("{posed.exercise.id}")'), class_="quiet")
        return joined((tag("ul", *lines, class_="settings"), test))
    sums = tag("div", class_="sums") if isinstance(posed.exercise, Quantity) else ""
    return joined((sums, tag("p", "Answer: ", tag("span", class_="blank"))))


# --- the answer sheet ----------------------------------------------------------------------------------------------


def _answer_sheet(lesson, shown, key, posed):
    heads = tag("tr", *(tag("th", words, scope="col") for words in ("Exercise", "Answer", "If it says something else", "Hints")))
    rows = (_answer_row(number, one) for number, one in enumerate(posed, 1))
    table = tag("table", tag("thead", heads), tag("tbody", *rows))
    about = tag("p", "For the mentor. Any unit of the right kind counts, within the tolerance that the question names.", class_="quiet")
    return tag("section", _head(f"Answer sheet: {lesson_title(lesson)}", shown, key), about, table, class_="sheet")


def _answer_row(number, posed):
    answer, others = _ANSWERS[type(posed.exercise)](posed, posed.exercise)
    hints = tag("ol", *(tag("li", posed.fill(hint)) for hint in posed.exercise.hints)) if posed.exercise.hints else ""
    listed = tag("ul", *(tag("li", tag("strong", seen), f": {means}") for seen, means in others)) if others else ""
    return tag("tr", tag("th", f"{number}. {posed.exercise.title}", scope="row"), tag("td", answer), tag("td", listed), tag("td", hints))


def _quantity(posed, exercise):
    others = [(quantity.show(slip.formula(posed.si), exercise.unit), slip.name) for slip in exercise.slips]
    return tag("strong", answer_text(posed)), others


def _choice(posed, exercise):
    told = dict(zip(posed.order, lettered(posed)))
    right = next(option.name for option in exercise.options if option.right)
    letter, text = told[right]
    others = [(told[option.name][0], posed.fill(option.feedback)) for option in exercise.options if not option.right]
    return joined((tag("strong", letter), f") {text}")), sorted(others)


def _order(posed, exercise):
    letters = {name: letter for name, (letter, _) in zip(posed.order, lettered(posed))}
    others = [(f"{letters[item.name]} too early", posed.fill(item.early)) for item in exercise.items[1:]]
    return tag("strong", " ".join(letters[item.name] for item in exercise.items)), others


def _prediction(posed, exercise):
    return joined(("Every guess is fine. To talk about afterwards: ", posed.fill(exercise.explain))), []


def _challenge(posed, exercise):
    works = next((raw for raw in answers_to_try(posed) if grade_posed(posed, raw).state == RIGHT), "")
    example = joined((" For example: ", tag("strong", works), ".")) if works else ""
    return joined(("Many answers are right.", example)), []


_ANSWERS = {Quantity: _quantity, Choice: _choice, Order: _order, Prediction: _prediction, Challenge: _challenge}


# --- the command ---------------------------------------------------------------------------------------------------


def command(arguments):
    """Do `handout LESSON`: write the sheets into one new file; give the exit code."""
    parser = Parser("handout", description="Write a lesson's exercises for paper, with the answer sheets at the end, as one "
        "page to print from a browser.")
    parser.add_argument("lesson", metavar="LESSON", help="number or name: 1, 01, motors")
    parser.add_argument("--name", metavar="NAME", action="append", default=[],
                        help="whose numbers; may come several times; left out: the book's")
    parser.add_argument("--to", metavar="FOLDER", default=".", help="where the file goes; made when it is not there; the current folder when left out")
    chosen = parser.parse_args(arguments)
    try:
        lesson = _lesson(chosen.lesson)
        stem = f"handout_{lessons.lesson(lesson).stem}"
        folder = Path(os.path.expanduser(chosen.to)).absolute()
        folder.mkdir(exist_ok=True)
        path = write_new(folder / f"{stem}.html", pages(lesson, chosen.name))
    except (ValueError, KitError) as error:
        print(error, file=sys.stderr)
        return 1
    except OSError as error:
        print(f"No file could be written in {chosen.to} ({error.strerror}): name another folder with --to.", file=sys.stderr)
        return 1
    print(f"Written: {path}. Open it in a browser and print it; the answer sheets are the last pages.")
    return 0


def _lesson(text):
    """Find a lesson by its number or its name."""
    word = text.strip().casefold()
    by_number = {str(lessons.lesson(name).number): name for name in registry.lessons()}
    name = by_number.get(word.lstrip("0") or "0" if word.isdigit() else "", word)
    registry.exercises(name)  # says what there is where there is none of that name
    return name


STYLE = """
.sheet { max-width: 50em; margin: 0 auto 60px; }
.who { display: inline-block; margin-right: 2.5em; }
article { margin-bottom: 22px; }
article h2 { font-size: 17px; margin: 18px 0 4px; padding-top: 6px; border-top: 1px solid var(--rule); }
.letters { list-style: none; padding-left: 1.2em; margin: 0 0 8px; }
.sums { height: 76px; }
.blank { display: inline-block; min-width: 16em; border-bottom: 1px solid var(--ink); height: 1.2em; }
.settings .blank { min-width: 9em; }
pre { font-size: 12px; line-height: 1.35; }
td ul, td ol { margin: 0; padding-left: 1.2em; }
.sheet table { font-size: 13px; }
@media print {
  @page { size: portrait; margin: 15mm; }
  .sheet { max-width: none; margin: 0; }
  .sheet + .sheet { break-before: page; }
  .sheet table { font-size: 8.5pt; }
  article { break-inside: avoid; } }
"""
