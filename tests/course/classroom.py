"""Invented learners who hand in right answers, wrong ones and slips, always the same for the same seed.

Contents: Classroom (plants slips, writes hand-ins), planted_slips, right, wrong, slipped (raw answers to a posed
exercise).
"""

import random
from functools import cache

from mechbench import quantity
from mechbench.course import handin_file, progress, registry
from mechbench.course.exercise import Challenge, Choice, Order, Prediction, Quantity
from mechbench.course.grading import NOT_YET, RIGHT, grade_posed
from mechbench.course.learner_numbers import canonical, pose
from mechbench.course.vetting import answers_to_try
from mechbench.kits import kit

SYLLABLES = "ka le mi no ra si tu ve zo pi ha do jun bel ori".split()


def nickname(rng):
    """A made-up name of two or three syllables."""
    return "".join(rng.choices(SYLLABLES, k=rng.choice((2, 3)))).capitalize()


# --- raw answers ---------------------------------------------------------------------------------------------------


def right(posed):
    exercise = posed.exercise
    if isinstance(exercise, Quantity):
        return _number(exercise.answer(posed.si), exercise)
    if isinstance(exercise, Choice):
        return next(option.name for option in exercise.options if option.right)
    if isinstance(exercise, Order):
        return " ".join(item.name for item in exercise.items)
    if isinstance(exercise, Prediction):
        return exercise.options[0].name if exercise.options else f"3 {quantity.written(exercise.unit)}"
    return _designs(exercise.id, tuple(posed.texts.values()), posed)[RIGHT]


def wrong(posed):
    """A wrong answer; of a quantity one that is no slip."""
    exercise = posed.exercise
    if isinstance(exercise, Quantity):
        numbers = (exercise.answer(posed.si) * factor for factor in (1.17, 1.31, 1.73, 0.83, 0.37, 2.9, 4.7))
        texts = (_number(number, exercise) for number in numbers)
        return next(text for text in texts if grade_posed(posed, text).slip == "")
    if isinstance(exercise, Choice):
        return next(option.name for option in exercise.options if not option.right)
    if isinstance(exercise, Order):
        return " ".join(item.name for item in reversed(exercise.items))
    if isinstance(exercise, Challenge):
        return _designs(exercise.id, tuple(posed.texts.values()), posed)[NOT_YET]
    return right(posed)


def slipped(posed, slip):
    """The answer of somebody who takes the wrong path of that name."""
    if isinstance(posed.exercise, Quantity):
        formula = next(one.formula for one in posed.exercise.slips if one.name == slip)
        return _number(formula(posed.si), posed.exercise)
    return slip


def _number(si, exercise):
    return f"{quantity.from_si(si, exercise.unit):.6g} {quantity.written(exercise.unit)}".strip()


_known, _states = {}, {}


def _designs(id, texts, posed):
    """One right and one wrong design for one row; the search for them takes its time."""
    if (id, texts) not in _known:
        answers = list(answers_to_try(posed))
        _known[id, texts] = {grade_posed(posed, answer).state: answer for answer in (*answers[:3], *answers[-2:])}
    return _known[id, texts]


def _told(posed, raw):
    """The state that a learner was told."""
    question = posed.exercise.id, posed.order, tuple(posed.texts.values()), raw
    if question not in _states:
        _states[question] = grade_posed(posed, raw).state
    return _states[question]


# --- slips to plant ------------------------------------------------------------------------------------------------


@cache
def slips_of(id):
    """Names of the wrong paths of a quantity or a choice."""
    exercise = registry.exercise(id)
    if isinstance(exercise, Quantity):
        return tuple(slip.name for slip in exercise.slips)
    return tuple(option.name for option in getattr(exercise, "options", ()) if not option.right)


def can_slip(exercise):
    return isinstance(exercise, (Quantity, Choice))


def planted_slips(rng, count):
    """Choose exercises and one slip of each: a dict exercise id -> slip."""
    chosen = rng.sample([exercise.id for exercise in registry.exercises() if can_slip(exercise)], count)
    return {id: rng.choice(slips_of(id)) for id in chosen}


# --- the class -----------------------------------------------------------------------------------------------------


class Classroom:
    """Learners of one seed, and what they answered; `planted` is exercise id -> slip, taken by many.

    With `honest=False` every file says of every answer that it is right. `exercises` are all when left out.
    """

    def __init__(self, seed, count, planted=(), took_planted=0.4, stray=0.03, honest=True, exercises=None):
        self.rng = random.Random(seed)
        self.planted = dict(planted)
        self.took = {id: [] for id in self.planted}
        self.exercises = registry.exercises() if exercises is None else exercises
        self.learners = []
        names = set()
        while len(names) < count:
            names.add(nickname(self.rng) + (f" {len(names)}" if len(names) > 100 else ""))
        for name in sorted(names):
            uid = f"{self.rng.getrandbits(128):032x}"
            self.learners.append(progress.Learner(uid, name, canonical(name)))
        self._share, self._stray, self._honest = took_planted, stray, honest

    def attempts(self, learner):
        """Answer every exercise; slips and wrong answers first, then mostly right."""
        found = []
        for number, exercise in enumerate(self.exercises):
            posed = pose(exercise, learner.key)
            hints = self.rng.choice((0, 0, 0, 1, 2))
            at = f"2026-03-{2 + number // 12:02}T{15 + number % 4}:{self.rng.randrange(60):02}Z"
            for raw in self._raws(posed, learner):
                told = _told(posed, raw) if self._honest else RIGHT
                found.append(
                    progress.Attempt(exercise.id, exercise.revision, kit().digest, raw, told, "", hints, at=at)
                )
        return found

    def _raws(self, posed, learner):
        """The answers of one learner to one exercise, in order."""
        id, rng = posed.exercise.id, self.rng
        if rng.random() < 0.06:
            return []  # not tried
        if isinstance(posed.exercise, Prediction):
            return [right(posed)]
        if isinstance(posed.exercise, Challenge):
            # A design that is right with the book's numbers: those for whom it is wrong leave the challenge out.
            works, fails = right(pose(posed.exercise)), wrong(pose(posed.exercise))
            first = [fails] if rng.random() < self._stray else []
            return [*first, works] if _told(posed, works) == RIGHT else first
        raws = []
        if id in self.planted and rng.random() < self._share:
            self.took[id].append(learner.shown)
            raws.append(slipped(posed, self.planted[id]))
        elif can_slip(posed.exercise) and rng.random() < self._stray:
            raws.append(slipped(posed, rng.choice(slips_of(id))))
        elif rng.random() < 0.25 and isinstance(posed.exercise, Quantity):
            raws.append(wrong(posed))
        return raws + ([right(posed)] if rng.random() < 0.7 or not raws else [])

    def write(self, folder):
        """Write one hand-in for each learner and give the paths."""
        folder.mkdir(exist_ok=True)
        paths = []
        for number, learner in enumerate(self.learners):
            path = folder / f"handin_{number:04}.json"
            path.write_text(handin_file.text_of(learner, self.attempts(learner)), encoding="utf-8")
            paths.append(path)
        return paths
