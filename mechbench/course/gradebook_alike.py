"""Hand-ins that hold the same answers: said as something to look at, never as a reproach.

    marks(attempts, key, kit, known)     what of one hand-in is compared, as numbers
    alike(all_marks, read_again, kit)    the groups of hand-ins that share answers, each an Alike
    in_words(shared, names, titles)      an Alike as a sentence

Each learner has numbers of the own, so two who work side by side type other numbers. Compared are

- texts: a number of three digits and more, typed alike for one question though the two learners' numbers differ.
  What both were asked to find counts for nothing (it is right for both, or the same known wrong path for both), nor do
  answers that the book's numbers explain, for everybody can read those;
- whole hand-ins: nearly all answers alike in text and in minute.

A class that solves the same exercise in the same minutes so shares nothing. Hand-ins are not compared each with each:
their answers are sorted, and neighbours are pairs. A pair that may be alike is read again and compared exactly.
"""

import re
from collections import Counter, defaultdict
from dataclasses import dataclass, replace
from functools import lru_cache

import numpy as np

from mechbench.course import registry
from mechbench.course.exercise import Quantity
from mechbench.course.grading import RIGHT, grade_posed
from mechbench.course.learner_numbers import own_row, pose
from mechbench.wording import listed

FEWEST_TEXTS = 5  # questions with the same text: what may happen once or twice by chance, or by a word to a neighbour
FEWEST_ANSWERS, SHARE = 20, 0.9  # of whole hand-ins; a minute is easily the same, ninety minutes of a hundred are not
STRONG = 0.5  # of the texts of the strongest pair of each of the two
LEAST_DIGITS = 3
MOST_NAMES, MOST_TITLES = 8, 3  # in a sentence
REACH = 64  # hand-ins with the same text, in their order: each is a pair with so many after it that have other numbers
REACH_OF_MINUTES = 8  # the same for an answer in the same minute; of more hand-ins than that, each with the next one
MOST_READ = 32  # hand-ins that are in memory at a time
MOST_COMPARED = 500  # pairs that are read again, those with most in common first


@dataclass(frozen=True)
class Marks:
    """What of one hand-in is compared: a number for each text, the row of the own numbers, a number for each answer
    with its minute.
    """

    texts: np.ndarray
    rows: np.ndarray
    timed: np.ndarray


NO_MARKS = Marks(*(np.zeros(0, np.int64) for _ in range(3)))


@dataclass(frozen=True)
class Alike:
    """Hand-ins that share answers.

    who : their places
    texts : on how many questions the same number was typed though their own differ; of them `same_minute` in the same
        minute
    answers : how many answers of hand-ins that are alike as a whole; else 0
    questions : ids of the exercises
    """

    who: tuple
    texts: int
    same_minute: int
    answers: int
    questions: tuple


# --- one hand-in ---------------------------------------------------------------------------------------------------


def marks(attempts, key, kit, known):
    """Give what is compared of one hand-in; `known` is a dict that keeps from one hand-in to the next what the book's
    numbers explain.
    """
    texts, timed = {}, set()
    for attempt in attempts:
        question = _question(attempt)
        timed.add(hash((question, attempt.at)))
        if question not in texts and _is_typed_number(attempt) and not _is_the_books(attempt, kit, known):
            texts[question] = own_row(_exercise(attempt), key, attempt.practice, kit)
    return Marks(
        np.fromiter(map(hash, texts), np.int64, len(texts)),
        np.fromiter(texts.values(), np.int32, len(texts)),
        np.fromiter(timed, np.int64, len(timed)),
    )


def _question(attempt):
    return attempt.exercise, attempt.revision, attempt.practice, attempt.raw.strip()


def _exercise(attempt):
    """The exercise that was answered; None where this edition does not have it."""
    try:
        return registry.exercise(attempt.exercise, attempt.revision)
    except ValueError:
        return None


def _is_typed_number(attempt):
    digits = "".join(re.findall("[0-9]", attempt.raw)).strip("0")
    return len(digits) >= LEAST_DIGITS and isinstance(_exercise(attempt), Quantity)


def _is_the_books(attempt, kit, known):
    """Tell whether an answer is one that the book's numbers explain."""
    question = _question(attempt)
    if question not in known:
        known[question] = bool(_explained(attempt, "", kit))
    return known[question]


def _explained(attempt, key, kit):
    """Give how an answer follows from the numbers of a learner: right, or the name of a wrong path; "" if not at
    all.
    """
    grade = grade_posed(pose(_exercise(attempt), key, attempt.practice, kit), attempt.raw)
    return RIGHT if grade.state == RIGHT else grade.slip


# --- all hand-ins --------------------------------------------------------------------------------------------------


def alike(all_marks, read_again, kit):
    """Give groups of hand-ins that share answers, and how many pairs beyond MOST_COMPARED may do so too.

    all_marks : Marks of each hand-in
    read_again : function of a place in that list -> the hand-in, None where it can't be read any more
    """
    candidates = _candidates(all_marks)
    read, pairs = lru_cache(MOST_READ)(read_again), {}
    for pair in sorted(candidates[:MOST_COMPARED]):  # in this order one hand-in serves several pairs in a row
        one, other = map(read, pair)
        if one and other:
            pairs[pair] = _compared(one, other, kit)
    found = _without_bystanders(pairs)
    return [_together(group, found) for group in _groups(found)], max(0, len(candidates) - MOST_COMPARED)


def _candidates(all_marks):
    """Give pairs of places that may be alike, those with most in common first."""
    texts = _neighbours([one.texts for one in all_marks], REACH, [one.rows for one in all_marks])
    timed = _neighbours([one.timed for one in all_marks], REACH_OF_MINUTES)
    lengths = [len(one.timed) for one in all_marks]
    counts = Counter({pair: count for pair, count in texts.items() if count >= FEWEST_TEXTS})
    for (one, other), count in timed.items():
        # Answers that very many share join only neighbours, so fewer than SHARE may be counted here.
        if count >= FEWEST_ANSWERS and count >= SHARE / 2 * max(lengths[one], lengths[other]):
            counts[one, other] += count
    return [pair for pair, _ in counts.most_common()]


def _neighbours(marks, reach, rows=None):
    """Count what pairs share: pair of places -> count. Where rows are given, only marks with different rows count."""
    lengths = [len(one) for one in marks]
    if sum(lengths) < 2:
        return {}
    owner, mark = np.repeat(np.arange(len(marks)), lengths), np.concatenate(marks)
    order = np.argsort(mark, kind="stable")
    owner, mark = owner[order], mark[order]
    row = np.concatenate(rows)[order] if rows else None
    _, place, sizes = np.unique(mark, return_inverse=True, return_counts=True)
    is_small = sizes[place] <= reach + 1
    pairs = []
    for step in range(1, min(reach, len(mark) - 1) + 1):
        same = mark[step:] == mark[:-step]
        # Of equal texts nearly all come from equal numbers; of equal minutes there may be as many as learners.
        same &= row[step:] != row[:-step] if rows else is_small[step:] | (step == 1)
        pairs.append(owner[:-step][same] * len(marks) + owner[step:][same])
    codes, counts = np.unique(np.concatenate(pairs), return_counts=True)
    enough = counts >= min(FEWEST_TEXTS, FEWEST_ANSWERS)
    return {divmod(int(code), len(marks)): int(n) for code, n in zip(codes[enough], counts[enough])}


# --- two hand-ins, exactly -----------------------------------------------------------------------------------------


@dataclass(frozen=True)
class _Pair:
    """What two hand-ins share: question with text -> _Text; `whole` are all answers, where nearly all are alike."""

    texts: dict
    whole: tuple


@dataclass(frozen=True)
class _Text:
    """A text that two typed: whether in the same minute, and the row of the own numbers of each."""

    same_minute: bool
    rows: tuple


def _compared(one, other, kit):
    asked_there = {_question(attempt) for attempt in other.attempts}
    there = {(_question(attempt), attempt.at) for attempt in other.attempts}
    here = {(_question(attempt), attempt.at) for attempt in one.attempts}
    texts = {}
    for attempt in one.attempts:
        question = _question(attempt)
        if question in asked_there and question not in texts and _is_typed_number(attempt):
            rows = tuple(own_row(_exercise(attempt), who.key, attempt.practice, kit) for who in (one, other))
            if rows[0] != rows[1] and not _is_explained(attempt, one.key, other.key, kit):
                texts[question] = _Text(False, rows)
    same = here & there
    for question in {question for question, _ in same if question in texts}:
        texts[question] = replace(texts[question], same_minute=True)
    is_whole = len(same) >= FEWEST_ANSWERS and len(same) >= SHARE * len(here | there)
    return _Pair(texts, tuple(question for question, _ in sorted(same)) if is_whole else ())


def _is_explained(attempt, key, other_key, kit):
    """Tell whether one text by two learners says nothing: the book's numbers explain it, or both went the same way,
    each with the own numbers.
    """
    way = _explained(attempt, key, kit)
    return bool(_explained(attempt, "", kit) or (way and way == _explained(attempt, other_key, kit)))


def _without_bystanders(pairs):
    """Keep the pairs that share enough, the strongest first.

    Who typed the answers of another has by chance those of a bystander too, who has the same numbers as that other one.
    So an answer counts no more where stronger pairs explain it; but where a file went round, all its pairs are about as
    strong, and nobody is a bystander.
    """
    kept, taken, strongest = {}, defaultdict(set), Counter()
    for pair, shared in pairs.items():
        for place in pair:
            strongest[place] = max(strongest[place], len(shared.texts))
    for pair, shared in sorted(pairs.items(), key=lambda item: (-len(item[1].texts), item[0])):
        is_strong = len(shared.texts) >= STRONG * max(strongest[place] for place in pair)
        texts = {
            question: text
            for question, text in shared.texts.items()
            if is_strong or not _is_taken(pair, question, text, taken)
        }
        if len({question[:3] for question in texts}) < FEWEST_TEXTS:
            texts = {}
        for question, text in texts.items():
            for place, row in zip(pair, text.rows[::-1]):
                taken[place, question].add(row)
        if texts or shared.whole:
            kept[pair] = replace(shared, texts=texts)
    return kept


def _is_taken(pair, question, text, taken):
    """Tell whether stronger pairs explain a text: of one of the two with somebody who has the other's numbers, or of
    both.
    """
    partners = [taken[place, question] for place in pair]
    return all(partners) or any(row in rows for rows, row in zip(partners, text.rows[::-1]))


# --- groups --------------------------------------------------------------------------------------------------------


def _groups(pairs):
    """Join pairs that have a member in common: lists of places, in order."""
    group = {}
    for one, other in pairs:
        joined = group.get(one, {one}) | group.get(other, {other})
        group.update(dict.fromkeys(joined, joined))
    return sorted({tuple(sorted(members)) for members in group.values()})


def _together(members, found):
    """What the pairs of a group share: of numbers the largest, of exercises all."""
    inside = [shared for (one, _), shared in found.items() if one in members]
    return Alike(
        who=members,
        texts=max(len({question[:3] for question in shared.texts}) for shared in inside),
        same_minute=max(_same_minute(shared) for shared in inside),
        answers=max(len(shared.whole) for shared in inside),
        questions=tuple(dict.fromkeys(question[0] for one in inside for question in (*one.texts, *one.whole))),
    )


def _same_minute(shared):
    return len({question[:3] for question, text in shared.texts.items() if text.same_minute})


def in_words(shared, names, titles):
    """Say in a sentence what a group shares: what was seen, and what may be behind it."""
    told = []
    if shared.answers:
        told.append(f"nearly all their answers are the same to the letter and to the minute ({shared.answers})")
    if shared.texts:
        at_once = f", {shared.same_minute} of them in the same minute" if shared.same_minute else ""
        told.append(
            f"they typed the same number for {shared.texts} questions although their own numbers differ{at_once}"
        )
    some = listed([titles.get(id, id) for id in shared.questions], MOST_TITLES)
    return (
        f"{listed(names, MOST_NAMES)}: {', and '.join(told)} ({some}). It may be help between friends, or a file that"
        " was mixed up: look at it together with them."
    )
