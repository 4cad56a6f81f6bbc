"""Handouts on paper: a lesson's exercises with one learner's numbers, and the answer sheet on its own page.

    pages(lesson, names)       the page, piece by piece: all question sheets first, then all answer sheets
    command(arguments)         the command `handout LESSON [--name NAME]... [--to FOLDER]`

The numbers are those that the same name gets in a notebook, so paper and screen can be mixed. How the page looks is
templates/handout.html.
"""

import os
import sys
from pathlib import Path

from mechbench import quantity
from mechbench.command_line import Parser
from mechbench.course import core, lessons, offered, registry
from mechbench.course.exercise import Challenge, Choice, Order, Prediction, Quantity
from mechbench.course.grading import RIGHT, answer_text, grade_posed
from mechbench.course.handin_file import said
from mechbench.course.learner_numbers import canonical, pose
from mechbench.course.question_text import asked_for, design_in_words, lettered, paper_lines, question
from mechbench.course.simulated_readings import readings_of
from mechbench.course.vetting import answers_to_try
from mechbench.desk import printed_page
from mechbench.desk.safe_write import write_new
from mechbench.kits import KitError
from mechbench.kits import kit as kit_in_force

BOOK = "the book"
TEMPLATES = Path(__file__).parent / "templates"


def pages(lesson, names=(), kit=None):
    """Give the page with the sheets of a lesson for these names; without a name, with the book's numbers."""
    kit, known = kit or kit_in_force(), lessons.lesson(lesson)
    learners = [(said(name), canonical(name)) for name in names] or [(BOOK, "")]
    return printed_page.page(
        TEMPLATES,
        "handout",
        title=f"Handout, lesson {known.heading}",
        lesson=known.heading,
        question=known.question,
        left_out=offered.left_out_line(offered.of_lesson(lesson, kit)),
        core=_core_line(lesson, kit),
        learners=[_learner(lesson, shown, key, kit) for shown, key in learners],
    )


def _core_line(lesson, kit):
    """Which numbers on the sheet are the core of the lesson."""
    in_core = [offered.in_place_of(one, kit) for one in core.exercises(lesson)]
    asked = enumerate(offered.exercises(lesson, kit), 1)
    numbers = [str(number) for number, one in asked if one in in_core]
    return f"The core, for everybody: {', '.join(numbers)}. Of the others take what you like." if numbers else ""


def _learner(lesson, shown, key, kit):
    """One learner's name, canonical name (empty for the book), tasks and answers."""
    posed = [pose(exercise, key, kit=kit) for exercise in offered.exercises(lesson, kit)]
    return {
        "shown": shown,
        "key": key,
        "tasks": [_task(number, one, key) for number, one in enumerate(posed, 1)],
        "answers": [_answers(number, one) for number, one in enumerate(posed, 1)],
    }


# --- the question sheet --------------------------------------------------------------------------------------------


def _task(number, posed, key):
    exercise = posed.exercise
    return {
        "title": f"{number}. {exercise.title}",
        "question": question(posed),
        "options": lettered(posed),
        "asked_for": asked_for(posed),
        "readings": repr(readings_of(exercise, key, kit=posed.kit)) if getattr(exercise, "shop", None) else "",
        "settings": list(paper_lines(posed)) if isinstance(exercise, Challenge) else [],
        "code": f'mb.ask("{exercise.id}")',
        "sums": isinstance(exercise, Quantity),
    }


# --- the answer sheet ----------------------------------------------------------------------------------------------


def _answers(number, posed):
    answer, others = _ANSWERS[type(posed.exercise)](posed, posed.exercise)
    return {
        "title": f"{number}. {posed.exercise.title}",
        "answer": {"before": "", "right": "", "after": "", **answer},
        "others": [{"seen": seen, "means": means} for seen, means in others],
        "hints": [posed.fill(hint) for hint in posed.exercise.hints],
    }


def _quantity(posed, exercise):
    others = [(quantity.show(slip.formula(posed.si), exercise.unit), slip.name) for slip in posed.slips]
    return {"right": answer_text(posed)}, others


def _choice(posed, exercise):
    told = {one.name: one for one in lettered(posed)}
    right = next(told[option.name] for option in exercise.options if option.right)
    others = [
        (told[option.name].letter, posed.fill(option.feedback)) for option in exercise.options if not option.right
    ]
    return {"right": right.letter, "after": f") {right.text}"}, sorted(others)


def _order(posed, exercise):
    letters = {one.name: one.letter for one in lettered(posed)}
    others = [(f"{letters[item.name]} too early", posed.fill(item.early)) for item in exercise.items[1:]]
    return {"right": " ".join(letters[item.name] for item in exercise.items)}, others


def _prediction(posed, exercise):
    return {"before": f"Every guess is fine. To talk about afterwards: {posed.fill(exercise.explain)}"}, []


def _challenge(posed, exercise):
    works = next((raw for raw in answers_to_try(posed) if grade_posed(posed, raw).state == RIGHT), "")
    return {
        "before": f"Many answers are right.{' For example: ' if works else ''}",
        "right": design_in_words(posed, works),
        "after": "." if works else "",
    }, []


_ANSWERS = {Quantity: _quantity, Choice: _choice, Order: _order, Prediction: _prediction, Challenge: _challenge}


# --- the command ---------------------------------------------------------------------------------------------------


def command(arguments):
    """Do `handout LESSON`: write the sheets into one new file; give the exit code."""
    parser = Parser(
        "handout",
        description=(
            "Write a lesson's exercises for paper, with the answer sheets at the end, as one "
            "page to print from a browser."
        ),
    )
    parser.add_argument("lesson", metavar="LESSON", help="number or name: 1, 01, motors")
    parser.add_argument(
        "--name",
        metavar="NAME",
        action="append",
        default=[],
        help="whose numbers; may come several times; left out: the book's",
    )
    parser.add_argument(
        "--to",
        metavar="FOLDER",
        default=".",
        help="where the file goes; made when it is not there; the current folder when left out",
    )
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
        print(
            f"No file could be written in {chosen.to} ({error.strerror}): name another folder with --to.",
            file=sys.stderr,
        )
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
