"""The gradebook as one page: what to teach again, how each lesson went, learners by exercises, what was not read.

Contents: page (piece by piece), counted (a Trouble in numbers, as words).
"""

from mechbench.course.exercise import Challenge, Prediction
from mechbench.course.gradebook import has_answer
from mechbench.course.grading import NOT_TRIED, NOT_YET, RECORDED, RIGHT
from mechbench.course.numbers import pose
from mechbench.course.paper import document, joined, lesson_title, tag
from mechbench.course.progress import EDITION, now
from mechbench.course.misconceptions import wrong_path
from mechbench.course.question_text import STATES

SHOWN_FIRST = 10
MOST_NAMES = 8
MOST_OTHERS = 3
CLASSES = {RIGHT: "right", NOT_YET: "yet", RECORDED: "noted", NOT_TRIED: "none"}


def page(book, paths, worst):
    """Give the page; `paths` and `worst` are what wrong_paths and troubles found in the book."""
    posed = {exercise.id: pose(exercise, kit=book.kit) for exercise in book.exercises}
    parts = (_title(book), _again(worst, posed), _lessons(book), _exercises(book, paths, posed), _unread(book),
             *_learners(book), _about())
    return document(f"Gradebook, {len(book.learners)} learners", STYLE, parts)


def counted(trouble):
    """Say in words how many took a wrong path, and how many of them are not right yet."""
    took, stuck = len(trouble.took), len(trouble.stuck)
    if took == 1:
        rest = "not right yet" if stuck else "right by now"
    elif stuck in (0, took):
        rest = "none of them has it right yet" if stuck else "all of them have it right by now"
    else:
        rest = f"{stuck} of them {'do' if stuck > 1 else 'does'} not have it right yet"
    return f"{took} of {trouble.answered} learners, {rest}"


def _title(book):
    kits = ", ".join(f"{kit.name} ({kit.digest})" for kit in book.kits)
    facts = (("Learners", len(book.learners)), ("Not read", len(book.unread)), ("Worth a look", len(book.odd)),
             ("Made", f"{now().replace('T', ' ').rstrip('Z')} UTC"), ("Kit", kits), ("Edition", EDITION))
    block = tag("dl", *(tag("div", tag("dt", name), tag("dd", value)) for name, value in facts), class_="block")
    links = (("again", "Teach again"), ("lessons", "Lessons"), ("exercises", "Exercises"), ("unread", "Not read"),
             ("learners", "Learners"))
    jumps = joined(tag("a", words, href=f"#{place}") for place, words in links)
    return tag("header", tag("h1", "Gradebook"), block, tag("nav", jumps, aria_label="On this page"))


# --- what to teach again -------------------------------------------------------------------------------------------


def _again(worst, posed):
    head = tag("h2", "Teach again tomorrow", id="again")
    if not worst:
        return joined((head, tag("p", "No answer took a wrong path that the course knows.")))
    first = tag("ol", *(_one_again(trouble, posed) for trouble in worst[:SHOWN_FIRST]), class_="again")
    about = tag("p", "Of each exercise the wrong path that was taken most. At the top is what most learners took; those who "
                "do not have it right yet count twice. The numbers in the quotations are the book's.", class_="quiet")
    rest = worst[SHOWN_FIRST:]
    more = tag("p", "Less often: ", "; ".join(f"{one.exercise.title} ({_path(one, posed).did}, {len(one.took)})" for one in rest),
               ".") if rest else ""
    return joined((head, about, first, more))


def _path(trouble, posed):
    return wrong_path(posed[trouble.exercise.id], trouble.slip)


def _one_again(trouble, posed):
    wrong = _path(trouble, posed)
    where = tag("span", lesson_title(trouble.exercise.lesson), class_="quiet")
    say = tag("p", "What to say again: ", tag("q", wrong.say)) if wrong.say else ""
    sit = tag("p", f"Sit down with: {_some(trouble.stuck)}.", class_="quiet") if trouble.stuck else ""
    return tag("li", tag("h3", trouble.exercise.title, " ", where),
               tag("p", tag("strong", wrong.did), f": {counted(trouble)}."), say, sit)


def _some(names):
    more = len(names) - MOST_NAMES
    return ", ".join(names[:MOST_NAMES]) + (f" and {more} more" if more > 0 else "")


# --- lessons and exercises -----------------------------------------------------------------------------------------


def _by_lesson(book):
    lessons = dict.fromkeys(exercise.lesson for exercise in book.exercises)
    return {lesson: [exercise for exercise in book.exercises if exercise.lesson == lesson] for lesson in lessons}


def _begun(book):
    """The lessons in which somebody answered something; the others would only fill paper."""
    touched = {id for learner in book.learners for id in learner.standings}
    return {lesson: there for lesson, there in _by_lesson(book).items() if touched & {exercise.id for exercise in there}}


def _table(heads, rows, **attributes):
    head = tag("tr", *(tag("th", words, scope="col") for words in heads))
    return tag("div", tag("table", tag("thead", head), tag("tbody", *rows), **attributes), class_="wide")


def _figures(*values):
    return joined(tag("td", value, class_="number") for value in values)


def _lessons(book):
    heads = ("Lesson", "Learners who began", "Exercises with an answer", "Right so far", "Learners with all right")
    rows = [_lesson_row(book, lesson, there) for lesson, there in _by_lesson(book).items()]
    about = tag("p", "Lessons that nobody has begun stand in this table only.", class_="quiet")
    return joined((tag("h2", "How the lessons went", id="lessons"), _table(heads, rows), about))


def _lesson_row(book, lesson, there):
    asked = [exercise.id for exercise in there if has_answer(exercise)]
    began = [learner for learner in book.learners
             if any(exercise.id in learner.standings and learner.standings[exercise.id].last for exercise in there)]
    right = [sum(id in learner.standings and learner.standings[id].state == RIGHT for id in asked) for learner in began]
    share = f"{sum(right)} of {len(asked) * len(began)}" if began else "–"
    return tag("tr", tag("th", lesson_title(lesson), scope="row"),
               _figures(len(began), len(asked), share, sum(count == len(asked) for count in right)))


def _exercises(book, paths, posed):
    heads = ("Exercise", "Tried by", "Right", "Tries each", "Opened a hint", "Wrong path taken most", "Other wrong paths")
    parts = [tag("h2", "Exercise by exercise", id="exercises")]
    counts = _counts(book)
    for lesson, there in _begun(book).items():
        rows = [_exercise_row(exercise, counts[exercise.id], paths[exercise.id], posed) for exercise in there]
        parts += [tag("h3", lesson_title(lesson)), _table(heads, rows)]
    return joined(parts)


def _counts(book):
    """Give exercise id -> [tried, right, tries, opened a hint]."""
    counts = {exercise.id: [0, 0, 0, 0] for exercise in book.exercises}
    for learner in book.learners:
        for id, standing in learner.standings.items():
            if id in counts and standing.last:
                adds = 1, standing.state == RIGHT, standing.tries, standing.hints > 0
                counts[id] = [count + add for count, add in zip(counts[id], adds)]
    return counts


def _exercise_row(exercise, counts, here, posed):
    tried, right, tries, hinted = counts
    if not has_answer(exercise):
        figures = _figures(tried, "recorded", "–", "–")
    else:
        figures = _figures(tried, right, f"{tries / tried:.1f}" if tried else "–", hinted)
    most = f"{_path(here[0], posed).did} ({len(here[0].took)})" if here else "–"
    others = "; ".join(f"{_path(one, posed).did} ({len(one.took)})" for one in here[1:1 + MOST_OTHERS]) or "–"
    return tag("tr", tag("th", exercise.title, scope="row"), figures, tag("td", most), tag("td", others))


# --- what was not read ---------------------------------------------------------------------------------------------


def _unread(book):
    passed = f"{book.passed_over} hidden files of the system were passed over." if book.passed_over else ""
    return joined((
        tag("h2", "Not read or not graded", id="unread"), _list(book.unread, "Every file was read and every answer graded."),
        tag("h2", "Worth a look"), _list(book.odd, "Nothing odd was found."), tag("p", passed, class_="quiet"),
    ))


def _list(lines, none):
    return tag("ul", *(tag("li", line) for line in lines), class_="lines") if lines else tag("p", none)


# --- learners by exercises -----------------------------------------------------------------------------------------


def _learners(book):
    yield tag("h2", "Learners by exercises", id="learners")
    for lesson, there in _begun(book).items():
        yield tag("h3", lesson_title(lesson))
        heads = (tag("th", exercise.title, _kind(exercise), scope="col") for exercise in there)
        yield f'<div class="wide"><table class="grid"><thead>{tag("tr", tag("th", "Learner", scope="col"), *heads)}</thead><tbody>'
        for learner in book.learners:
            yield tag("tr", tag("th", learner.name, scope="row"), *(_cell(learner.standings.get(one.id)) for one in there))
        yield "</tbody></table></div>"


def _kind(exercise):
    words = {Prediction: "prediction", Challenge: "design"}.get(type(exercise), "")
    return tag("small", words) if words else ""


def _cell(standing):
    """One cell: a sign and a word, with tries and hints below."""
    state = standing.state if standing else NOT_TRIED
    told = []
    if standing and standing.tries:
        told.append(f"{standing.tries} tr{'ies' if standing.tries > 1 else 'y'}")
    if standing and standing.hints:
        told.append(f"{standing.hints} hint{'s' * (standing.hints > 1)}")
    below = tag("small", ", ".join(told)) if told else ""
    return tag("td", f"{STATES[state][0]} {state}", below, class_=CLASSES[state])


def _about():
    return tag("footer", tag("p", "Every grade here was made again from what was typed, with each learner's own numbers. "
               "Tries and hints are those of the graded question; wrong paths are counted in practice too. The solutions come "
               "with the course: this is feedback, not an examination. This page holds names: keep it as you keep other lists "
               "of names.", class_="quiet"))


STYLE = """
.block { display: flex; flex-wrap: wrap; margin: 0 0 10px; border: 2px solid var(--ink); width: fit-content; max-width: 100%; }
.block div { padding: 4px 14px 6px; border-right: 1px solid var(--rule); }
.block div:last-child { border-right: 0; }
.block dt { font-size: 12px; color: var(--quiet); }
.block dd { margin: 0; font-weight: 600; }
nav a { color: var(--noted); margin-right: 18px; }
.again { padding-left: 2.2em; }
.again li { margin-bottom: 14px; padding-left: 6px; }
.again li::marker { font-weight: 700; font-size: 18px; }
.again h3 { margin: 0 0 2px; }
.again h3 .quiet { font-weight: 400; font-size: 14px; margin-left: 6px; }
.again p { margin: 0 0 3px; }
.again strong { color: var(--yet); }
q { quotes: "“" "”"; }
.wide { overflow-x: auto; margin-bottom: 14px; }
thead th { background: var(--tint); font-size: 13px; line-height: 1.3; vertical-align: bottom; }
.grid { font-size: 13px; line-height: 1.3; }
.grid th[scope=row] { position: sticky; left: 0; background: var(--paper); min-width: 7em; max-width: 14em;
  overflow-wrap: anywhere; }
.grid thead th { min-width: 84px; }
.grid small { display: block; font-weight: 400; color: var(--quiet); }
.right { color: var(--right); }
.yet { color: var(--yet); background: var(--yet-tint); font-weight: 600; }
.noted { color: var(--noted); }
.none { color: var(--quiet); }
.lines { padding-left: 1.3em; overflow-wrap: anywhere; }
footer { margin-top: 36px; border-top: 1px solid var(--rule); padding-top: 10px; }
@media print {
  @page { size: landscape; margin: 12mm; }
  nav { display: none; }
  .wide { overflow: visible; }
  .grid { font-size: 7.5pt; width: 100%; }
  .grid thead th { min-width: 0; font-size: 7.5pt; }
  .grid th[scope=row] { position: static; }
  .again li { break-inside: avoid; } }
"""
