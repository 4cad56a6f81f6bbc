"""Which exercises a lesson has with a kit, and in what form: a game may lack what an exercise is about.

    of_lesson(lesson, kit)   an Offer: exercises in order, and which are left out
    exercises(lesson, kit)   those of one lesson, or of all
    in_place_of(id, kit)     what is asked where a lesson asks that exercise; None where it is left out
    left_out_line(offer)     one sentence about what is left out; empty where nothing is

Where the game has all that an exercise needs, it is asked with the game's numbers. Else another exercise is asked,
where one stands `instead` and the game has what that one needs; or the one that stands instead of that one. Else, where
an exercise says what is `elsewhere`, it is asked with numbers of the course's own game. Else it is left out, and counts
for nobody. An answer that was given stays counted.
"""

from collections import Counter
from dataclasses import dataclass

from mechbench.course import registry
from mechbench.course.of_game import NEEDS, unmet
from mechbench.kits import kit as kit_in_force


@dataclass(frozen=True)
class Offer:
    """What a lesson has with a kit.

    exercises : those that are asked, in the lesson's order
    left_out : (exercise, the need that is not met), in the same order
    """

    exercises: tuple
    left_out: tuple = ()


def in_place_of(exercise, kit=None):
    """The exercise that is asked where a lesson asks this one; None where it is left out."""
    kit = kit or kit_in_force()
    tried, one = [], exercise
    while one and one not in tried:
        if not unmet(one, kit):
            return one
        tried.append(one)
        one = registry.exercise(one.instead) if one.instead else None
    return exercise if exercise.elsewhere else None


def of_lesson(lesson=None, kit=None):
    """What a lesson, or the whole course, has with a kit; with the one in force where none is given."""
    kit = kit or kit_in_force()
    asked, left_out = {}, []
    for exercise in registry.exercises(lesson):
        found = in_place_of(exercise, kit)
        if found:
            asked[found.id] = found  # one exercise may stand in for two: it is asked once
        else:
            left_out.append((exercise, unmet(exercise, kit)[0]))
    return Offer(tuple(asked.values()), tuple(left_out))


def exercises(lesson=None, kit=None):
    """All exercises that are asked with a kit, or those of one lesson."""
    return of_lesson(lesson, kit).exercises


def with_answered(offered, ids):
    """Exercises that are asked, and in their places those that are not asked any more, but were answered."""
    asked = {exercise.id for exercise in offered} | set(ids)
    return tuple(exercise for exercise in registry.everything() if exercise.id in asked)


def left_out_line(offer):
    """Say in one sentence what is left out of a lesson and why."""
    counts = Counter(need for _, need in offer.left_out)
    if not counts:
        return ""
    *before, last = (NEEDS[need].lacks for need in counts)
    lacks = f"{', '.join(before)} and {last}" if before else last
    total = counts.total()
    return f"Your game has {lacks}, so {total} exercise{'s are' if total > 1 else ' is'} left out."
