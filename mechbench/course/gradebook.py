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
from dataclasses import dataclass, field, replace
from pathlib import Path

from mechbench.course import registry
from mechbench.course.exercise import Challenge, Prediction
from mechbench.course.grading import NOT_TRIED, NOT_YET, RECORDED, RIGHT
from mechbench.course.handin import NOT_GRADED, regrade
from mechbench.course.handin_file import HandInError, called, read, said
from mechbench.kits import kit as kit_in_force

PAGE, TABLE = "gradebook.html", "gradebook.csv"
LONGEST_NAME = 40
NO_NAME = "(no name: the book's numbers)"
# What systems put beside a person's files.
NOBODYS = ("thumbs.db", "desktop.ini")
# What an answer or a kit may break in an exercise: said of that one file, and the others go on.
FAULTS = (ValueError, ArithmeticError, LookupError)
MOST_DESIGNS = 100
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
    """All that was found. `unread` and `odd` are sentences, each about one file or one pair of learners."""

    exercises: tuple
    kits: tuple
    learners: list = field(default_factory=list)
    unread: list = field(default_factory=list)
    odd: list = field(default_factory=list)
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


def read_folder(folder, kits=()):
    """Read all hand-ins of a folder and of the folders in it; `kits` are further kits that answers were made with.

    OSError where the folder itself can't be read.
    """
    all_kits = {kit.digest: kit for kit in (kit_in_force(), *kits)}
    book = Gradebook(registry.exercises(), tuple(all_kits.values()))
    files, found, designs = defaultdict(list), {}, {}
    for file in _files(Path(folder), book):
        handin = _read(file, book)
        if handin is None:
            continue
        who = handin.uid, handin.key
        files[who].append(file)
        # A second file of the same learner waits until the end, so that only one hand-in at a time is in memory.
        if len(files[who]) == 1:
            found[who] = _graded(handin, file.place, book.kits, designs)
    for who, theirs in files.items():
        if len(theirs) > 1:
            found[who] = _read_together(theirs, book, designs) or found[who]
    for one in found.values():
        book.unread += one.unread
        book.odd += one.odd
    book.learners = _named(found, files, book)
    return book


@dataclass(frozen=True)
class _Graded:
    """What came of one hand-in: exercise id -> Standing, and what there is to say."""

    shown: str
    standings: dict
    unread: list
    odd: list


@dataclass(frozen=True)
class _File:
    """A file that may be a hand-in; `inside` is the name of its folder where that is not the first one."""

    path: str
    inside: str = ""

    @property
    def name(self):
        return f"{self.inside}/{called(self.path)}" if self.inside else called(self.path)

    @property
    def place(self):
        return f"In '{self.inside}': " if self.inside else ""


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


def _read_together(files, book, designs):
    """Read the files of one learner once more and grade them as one hand-in; None where none is there any more."""
    handins = [handin for file in files if (handin := _read(file, book))]
    if not handins:
        return None
    names = " and ".join(f"'{file.name}'" for file in files[:3]) + (" ..." if len(files) > 3 else "")
    book.odd.append(f"{names} are of the same learner; an answer that stands in several counts once.")
    return _graded(merged(handins), files[-1].place, book.kits, designs)


def merged(handins):
    """Make one hand-in of several of the same learner; the newest gives name and notes, answers in several count
    once.
    """
    newest, *older = sorted(handins, key=lambda handin: handin.made, reverse=True)
    seen = Counter(map(_mark, newest.attempts))
    earlier = []
    for handin in older:
        here = Counter()
        for attempt in handin.attempts:
            here[_mark(attempt)] += 1
            if here[_mark(attempt)] > seen[_mark(attempt)]:
                earlier.append(attempt)
        seen |= here
    return replace(newest, attempts=(*earlier, *newest.attempts))


def _mark(attempt):
    """What makes two answers the same one: not what a file says about its grade."""
    return attempt.exercise, attempt.revision, attempt.kit_digest, attempt.practice, attempt.raw, attempt.at


# --- grading -------------------------------------------------------------------------------------------------------


def _graded(handin, place, kits, designs):
    """Grade a hand-in again, and say what is odd or could not be graded."""
    file = f"{place}'{handin.file}': "
    handin, too_many = _without_too_many_designs(handin)
    try:
        answers = regrade(handin, kits, designs)
    except FAULTS as fault:
        return _Graded(handin.shown, {}, [f"{file}its answers can't be graded ({said(fault)})."], [])
    unread = [file + said(sentence) for sentence in _not_graded(answers, handin)]
    remarks = [said(one) for one in (*handin.notes, *too_many, *_marked_otherwise(answers), *_from_file(answers))]
    by_exercise = defaultdict(list)
    for answer in answers:
        if answer.state != NOT_GRADED:
            by_exercise[answer.attempt.exercise].append(answer)
    standings = {id: _standing(answers) for id, answers in by_exercise.items()}
    return _Graded(handin.shown, standings, unread, [file + " ".join(remarks)] if remarks else [])


def _without_too_many_designs(handin):
    """Leave out early designs of a challenge beyond MOST_DESIGNS: each takes a simulation of many days."""
    designs = {exercise.id for exercise in registry.exercises() if isinstance(exercise, Challenge)}
    left, kept, dropped = Counter(), [], Counter()
    for attempt in reversed(handin.attempts):
        left[attempt.exercise] += attempt.exercise in designs
        if left[attempt.exercise] > MOST_DESIGNS:
            dropped[attempt.exercise] += 1
        else:
            kept.append(attempt)
    notes = [
        f"Only the last {MOST_DESIGNS} designs for {id} were graded, {count} were not." for id, count in dropped.items()
    ]
    return replace(handin, attempts=tuple(reversed(kept))), notes


def _marked_otherwise(answers):
    count = sum(answer.state not in (NOT_GRADED, answer.attempt.state) for answer in answers)
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
    states = {answer.state for answer in asked}
    return Standing(
        state=next((state for state in BEST_FIRST if state in states), NOT_TRIED),
        tries=sum(answer.state in (RIGHT, NOT_YET) for answer in asked),
        hints=max((answer.attempt.hints for answer in asked), default=0),
        slips=tuple(sorted({answer.slip for answer in answers if answer.slip})),
        raw=asked[-1].attempt.raw if asked else "",
        first=asked[0].attempt.at if asked else "",
        last=asked[-1].attempt.at if asked else "",
    )


def _named(found, files, book):
    """Give the learners in the order of their names, those of the same name told apart by a number."""
    same_name, same_id = defaultdict(list), defaultdict(list)
    for uid, key in found:
        same_name[key].append((uid, key))
        same_id[uid].append(key)
    learners = []
    for key in sorted(same_name):
        for number, who in enumerate(same_name[key], 1):
            name = said(found[who].shown, LONGEST_NAME) or NO_NAME
            name = f"{name} ({number})" if len(same_name[key]) > 1 else name
            learners.append(Learner(name, key, tuple(file.name for file in files[who]), found[who].standings))
    book.odd.extend(_say_same_name(key, len(who)) for key, who in same_name.items() if len(who) > 1)
    book.odd.extend(_say_same_id(keys) for keys in same_id.values() if len(keys) > 1)
    return learners


def _say_same_id(keys):
    names = ", ".join(f"'{said(key, LONGEST_NAME)}'" for key in keys)
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
