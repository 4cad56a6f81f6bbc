"""The gradebook: a folder of hand-ins, graded again from what was typed.

    read_folder(folder)    a Gradebook: learners, how each stands with each exercise, what could not be read
    wrong_paths(book)      for each exercise the wrong paths that were taken and by whom, the most taken first
    troubles(paths)        the most taken of each exercise, what asks most to be taught again first

Files from anywhere are only read, never run, and what they say about grades counts for nothing. One bad file never
stops the rest; each gets one line. A learner who handed in twice counts once: an answer that stands in both files is
one answer.
"""

import os
from collections import Counter, defaultdict
from contextlib import suppress
from dataclasses import dataclass, field, replace
from itertools import islice
from pathlib import Path

from mechbench.course import offered, registry
from mechbench.course.exercise import Challenge, Prediction
from mechbench.course.gradebook_alike import MOST_COMPARED, NO_MARKS, Marks, alike, in_words, marks
from mechbench.course.grading import NOT_TRIED, NOT_YET, RECORDED, RIGHT
from mechbench.course.handin import NOT_GRADED, regrade
from mechbench.course.handin_file import HandInError, called, read, said
from mechbench.kits import kit as kit_in_force
from mechbench.wording import listed

PAGE, TABLE = "gradebook.html", "gradebook.csv"
LONGEST_NAME = 40
NO_NAME = "(no name: the book's numbers)"
# What systems put beside a person's files.
NOBODYS = ("thumbs.db", "desktop.ini")
# What an answer or a kit may break in an exercise: said of that one file, and the others go on.
FAULTS = (ValueError, ArithmeticError, LookupError)
MOST_FILES = 20_000
MOST_EARLIER = 20_000  # answers of one learner that only older files hold
MOST_DESIGNS = 30  # of one learner for one challenge: each takes a simulation of many days
BEST_FIRST = (RIGHT, RECORDED, NOT_YET, NOT_TRIED)


@dataclass(frozen=True, slots=True)
class Standing:
    """How a learner stands with one exercise.

    state, tries, hints : of the graded question; the best state counts
    slips : names of the wrong paths taken, in the graded question or in practice
    raw : the last answer as typed; `first` and `last` are times
    """

    state: str
    tries: int
    hints: int
    slips: tuple
    raw: str
    first: str
    last: str


@dataclass(frozen=True)
class Learner:
    """One learner: the name in the gradebook, the canonical name, the files, and exercise id -> Standing."""

    name: str
    key: str
    files: tuple
    standings: dict


@dataclass
class Gradebook:
    """All that was found. `unread` and `odd` are sentences, each about one file or a few learners.

    exercises : those that are asked with the kit in force, and those that were answered
    same_answers : (name of a learner, exercise id) -> names of the others with whom answers there are the same
    """

    exercises: tuple
    kits: tuple
    learners: list = field(default_factory=list)
    unread: list = field(default_factory=list)
    odd: list = field(default_factory=list)
    same_answers: dict = field(default_factory=dict)
    passed_over: int = 0

    @property
    def kit(self):
        """The kit in force, whose numbers stand in sentences."""
        return self.kits[0]


@dataclass(frozen=True)
class Trouble:
    """One wrong path in one exercise: who took it, who of them is not right yet, how many answered at all."""

    exercise: object
    slip: str
    took: tuple
    stuck: tuple
    answered: int

    @property
    def weight(self):
        """How much it asks to be taught again: all who took it, those who are not right yet counted twice."""
        return len(self.took) + len(self.stuck)


# --- reading -------------------------------------------------------------------------------------------------------


def read_folder(folder, kits=(), say=lambda text: None):
    """Read all hand-ins of a folder and of the folders in it; `kits` are further kits that answers were made with.

    `say` is told now and then how far it has come. OSError where the folder itself can't be read.
    """
    all_kits = {kit.digest: kit for kit in (kit_in_force(), *kits)}
    kits_of_class = tuple(all_kits.values())
    book = Gradebook(offered.exercises(kit=kits_of_class[0]), kits_of_class)
    files, found, known = defaultdict(list), {}, {}
    for number, file in enumerate(_first_files(Path(folder), book), 1):
        say(f"File {number} is read and graded ...")
        handin = _read(file, book)
        if handin is None:
            continue
        who = handin.uid, handin.key
        files[who].append(replace(file, made=handin.made))
        # A second file of the same learner waits until the end, so that only one hand-in at a time is in memory.
        if len(files[who]) == 1:
            found[who] = _graded(handin, file.place, book.kits, known)
    for who, theirs in files.items():
        if len(theirs) > 1:
            found[who] = _read_together(theirs, book, known) or found[who]
    for one in found.values():
        book.unread += one.unread
        book.odd += one.odd
    names = _names(found)
    book.learners = _learners(found, files, names)
    answered = [id for learner in book.learners for id in learner.standings]
    book.exercises = offered.with_answered(book.exercises, answered)
    book.odd.extend(_same_names_and_ids(found))
    _say_alike(found, files, names, book, say)
    return book


@dataclass(frozen=True)
class _Graded:
    """What came of one hand-in: exercise id -> Standing, and what there is to say."""

    shown: str
    standings: dict
    unread: list
    odd: list
    marks: Marks = NO_MARKS


@dataclass(frozen=True)
class _File:
    """A file that may be a hand-in; `inside` is the name of its folder where that is not the first one, `made` the time
    that it tells.
    """

    path: str
    inside: str = ""
    made: str = ""

    @property
    def name(self):
        return f"{self.inside}/{called(self.path)}" if self.inside else called(self.path)

    @property
    def place(self):
        return f"In '{self.inside}': " if self.inside else ""


def _first_files(folder, book):
    """Give the first MOST_FILES files in the order of names, and say in a sentence where there are more."""
    files = _files(folder, book)
    yield from islice(files, MOST_FILES)
    if next(files, None):
        book.unread.append(
            f"There are more than {MOST_FILES} files, and one gradebook reads the first {MOST_FILES} in the order of"
            " their names: put the others into a folder of their own and make a second gradebook of it."
        )


def _files(folder, book, inside=""):
    """Give every file that may be a hand-in, in the order of names; links are never followed."""
    for entry in sorted(os.scandir(folder), key=lambda entry: entry.name):
        if entry.name.startswith(".") or entry.name.casefold() in NOBODYS:
            book.passed_over += 1
        elif not entry.is_dir(follow_symlinks=False):
            if entry.name not in (PAGE, TABLE):
                yield _File(entry.path, inside)
        elif inside:
            book.unread.append(
                f"In '{inside}': '{called(entry.path)}' is a folder two levels down: give it a gradebook of its own."
            )
        elif not os.path.lexists(os.path.join(entry.path, PAGE)):  # else it is an earlier gradebook
            yield from _files_in(entry.path, book)


def _files_in(path, book):
    try:
        yield from _files(path, book, called(path))
    except OSError as error:
        book.unread.append(f"'{called(path)}' is a folder that can't be read ({error.strerror}).")


def _read(file, book):
    try:
        return read(file.path)
    except HandInError as error:
        book.unread.append(f"{file.place}{said(error)}")
        return None


def _read_together(files, book, known):
    """Read the files of one learner once more and grade them as one hand-in; None where none is there any more."""
    handin = merged(handin for file in _newest_first(files) if (handin := _read(file, book)))
    if handin is None:
        return None
    names = " and ".join(f"'{file.name}'" for file in files[:3]) + (" ..." if len(files) > 3 else "")
    book.odd.append(f"{names} are of the same learner; an answer that stands in several counts once.")
    return _graded(handin, files[-1].place, book.kits, known)


def _newest_first(files):
    return sorted(files, key=lambda file: file.made, reverse=True)


def merged(handins):
    """Make one hand-in of several of the same learner, the newest first, of which one at a time is in memory; None
    where there is none.

    The newest gives name and notes; answers in several count once.
    """
    handins = iter(handins)
    newest = next(handins, None)
    if newest is None:
        return None
    seen = Counter(map(_mark, newest.attempts))
    earlier, left = [], 0
    for handin in handins:
        here = Counter()
        for mark, attempt in zip(map(_mark, handin.attempts), handin.attempts):
            here[mark] += 1
            if here[mark] > seen[mark] and len(earlier) < MOST_EARLIER:
                seen[mark] = here[mark]
                earlier.append(attempt)
            else:
                left += here[mark] > seen[mark]
    notes = [f"Of answers that only its older files hold, {MOST_EARLIER} were graded, {left} were not."] if left else []
    return replace(newest, attempts=(*earlier, *newest.attempts), notes=(*newest.notes, *notes))


def _mark(attempt):
    """What makes two answers the same one: not what a file says about its grade."""
    return attempt.exercise, attempt.revision, attempt.kit_digest, attempt.practice, attempt.raw, attempt.at


# --- grading -------------------------------------------------------------------------------------------------------


def _graded(handin, place, kits, known):
    """Grade a hand-in again, and say what is odd or could not be graded."""
    file = f"{place}'{handin.file}': "
    handin, too_many = _without_too_many_designs(handin)
    try:
        answers = regrade(handin, kits, known)
        compared = marks(handin.attempts, handin.key, kits[0], known)
    except FAULTS as fault:
        return _Graded(handin.shown, {}, [f"{file}its answers can't be graded ({said(fault)})."], [])
    unread = [file + said(sentence) for sentence in _not_graded(answers, handin)]
    remarks = [said(one) for one in (*handin.notes, *too_many, *_marked_otherwise(answers), *_from_file(answers))]
    by_exercise = defaultdict(list)
    for answer in answers:
        if answer.state != NOT_GRADED:
            by_exercise[answer.attempt.exercise].append(answer)
    standings = {id: _standing(answers) for id, answers in by_exercise.items()}
    return _Graded(handin.shown, standings, unread, [file + " ".join(remarks)] if remarks else [], compared)


def _without_too_many_designs(handin):
    """Leave out designs of a challenge beyond MOST_DESIGNS.

    Those that the learner was told are right go first, then the newest: what was right once is not lost behind later
    tries. What the file says decides only which are graded, never how.
    """
    challenges = {exercise.id for exercise in registry.everything() if isinstance(exercise, Challenge)}
    by_challenge = defaultdict(list)
    for place, attempt in enumerate(handin.attempts):
        if attempt.exercise in challenges:
            by_challenge[attempt.exercise].append((attempt.state == RIGHT, place))
    left = {
        id: {place for _, place in sorted(designs)[:-MOST_DESIGNS]}
        for id, designs in by_challenge.items()
        if len(designs) > MOST_DESIGNS
    }
    gone = set().union(*left.values())
    notes = [
        f"Only {MOST_DESIGNS} designs for {id} were graded, first those told to be right, then the newest;"
        f" {len(places)} were not."
        for id, places in left.items()
    ]
    return replace(handin, attempts=tuple(one for n, one in enumerate(handin.attempts) if n not in gone)), notes


def _marked_otherwise(answers):
    # A text that can't be read costs no try; in an earlier edition it did, and that is no reason to wonder.
    told = ((answer.attempt.state, answer.state) for answer in answers)
    count = sum(here not in (NOT_GRADED, there) for there, here in told if (there, here) != (NOT_YET, NOT_TRIED))
    if count:
        yield (
            f"{count} of {len(answers)} answers {'is' if count == 1 else 'are'} marked otherwise in the file than here;"
            " what is here counts."
        )


def _from_file(answers):
    """Say how many answers rest on numbers that only the file has: they fit their exercise, and no more is known."""
    count = sum(answer.from_file and answer.state != NOT_GRADED for answer in answers)
    if count:
        yield (
            f"{count} of {len(answers)} answers {'was' if count == 1 else 'were'} asked with other numbers, of a kit"
            " that is not at hand; they are graded by the numbers in the file, which only that kit can prove"
            " (--kit FOLDER_OF_THE_KIT)."
        )


def _not_graded(answers, handin):
    """Say in one sentence how many answers have no grade and why."""
    left = [answer for answer in answers if answer.state == NOT_GRADED]
    if not left:
        return
    whys = Counter(answer.note for answer in left if answer.attempt.exercise not in handin.unknown)
    why = f" {whys.most_common(1)[0][0]}" if whys else ""
    more = f" And {len(whys) - 1} more reasons." if len(whys) > 1 else ""
    of_kit = " (gradebook FOLDER --kit FOLDER_OF_THE_KIT)" if "another kit" in why else ""
    none = " Their exercises are not in this edition." if not whys else ""
    yield f"{len(left)} of {len(answers)} answers not graded.{why.rstrip('.')}{of_kit}{'.' if why else ''}{none}{more}"


def _standing(answers):
    asked = [answer for answer in answers if not answer.attempt.practice]
    typed = [answer.attempt for answer in asked if answer.attempt.raw]  # the others tell of a hint that was opened
    states = {answer.state for answer in asked}
    return Standing(
        state=next((state for state in BEST_FIRST if state in states), NOT_TRIED),
        tries=sum(answer.state in (RIGHT, NOT_YET) for answer in asked),
        hints=max((answer.attempt.hints for answer in asked), default=0),
        slips=tuple(sorted({answer.slip for answer in answers if answer.slip})),
        raw=typed[-1].raw if typed else "",
        first=typed[0].at if typed else "",
        last=typed[-1].at if typed else "",
    )


def _names(found):
    """Give (id, canonical name) -> name in the gradebook, in the order of names, those of the same name told apart by a
    number.
    """
    same_name = defaultdict(list)
    for who in found:
        same_name[who[1]].append(who)
    names = {}
    for key in sorted(same_name):
        for number, who in enumerate(same_name[key], 1):
            name = said(found[who].shown, LONGEST_NAME) or NO_NAME
            names[who] = f"{name} ({number})" if len(same_name[key]) > 1 else name
    return names


def _learners(found, files, names):
    return [
        Learner(name, who[1], tuple(file.name for file in files[who]), found[who].standings)
        for who, name in names.items()
    ]


def _same_names_and_ids(found):
    same_name, same_id = Counter(key for _, key in found), defaultdict(list)
    for uid, key in found:
        same_id[uid].append(key)
    yield from (_say_same_name(key, count) for key, count in same_name.items() if count > 1)
    yield from (_say_same_id(keys) for keys in same_id.values() if len(keys) > 1)


def _say_same_id(keys):
    names = listed([f"'{said(key, LONGEST_NAME)}'" for key in keys])
    return f"{names} came with one and the same id: a file was changed by hand."


def _say_same_name(key, count):
    if not key:
        return (
            f"{count} learners gave no name: they have the book's numbers, and the gradebook can't tell who they are."
        )
    return (
        f"{count} learners are called '{said(key, LONGEST_NAME)}' and so have the same numbers. If it is one person on "
        f"{count} computers, read the {count} rows together."
    )


def _say_alike(found, files, names, book, say):
    """Say which learners share answers, as something to look at; who is behind it, and why, only they can tell."""
    everybody = list(found)

    def read_again(place):
        say(f"Hand-in {place + 1} is compared with others ...")
        handins = (_quietly(file) for file in _newest_first(files[everybody[place]]))
        return merged(handin for handin in handins if handin)

    groups, left = alike([found[who].marks for who in everybody], read_again, book.kit)
    if left:
        book.odd.append(
            f"{left} more pairs of hand-ins may share answers; {MOST_COMPARED} are compared in one gradebook, so give"
            " the others one of their own."
        )
    for shared in groups:
        theirs = sorted(names[everybody[place]] for place in shared.who)
        book.odd.append(in_words(shared, theirs, {exercise.id: exercise.title for exercise in book.exercises}))
        for name in theirs:
            for id in shared.questions:
                book.same_answers.setdefault((name, id), []).extend(other for other in theirs if other != name)


def _quietly(file):
    with suppress(HandInError):
        return read(file.path)


# --- counting ------------------------------------------------------------------------------------------------------


def has_answer(exercise):
    """Tell whether an exercise can be right: a prediction is recorded and never marked."""
    return not isinstance(exercise, Prediction)


def wrong_paths(book):
    """Give exercise id -> list of Trouble, the path that most learners took first."""
    took, stuck = defaultdict(lambda: defaultdict(list)), defaultdict(lambda: defaultdict(list))
    answered = Counter()
    for learner in book.learners:
        for id, standing in learner.standings.items():
            answered[id] += 1
            for slip in standing.slips:
                took[id][slip].append(learner.name)
                if standing.state != RIGHT:
                    stuck[id][slip].append(learner.name)
    found = {}
    for exercise in book.exercises:
        here = [
            Trouble(exercise, slip, tuple(names), tuple(stuck[exercise.id][slip]), answered[exercise.id])
            for slip, names in took[exercise.id].items()
        ]
        found[exercise.id] = sorted(here, key=lambda trouble: (-len(trouble.took), -len(trouble.stuck), trouble.slip))
    return found


def troubles(paths):
    """Of each exercise the wrong path that was taken most, what asks most to be taught again first."""
    return sorted((found[0] for found in paths.values() if found), key=lambda trouble: -trouble.weight)
