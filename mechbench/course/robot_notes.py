"""What a learner says of the own robot: the robot it starts from, which designs are used, and why; kept as typed.

    keep(learner, "stork", "lift", REASON, "It is up sooner.")    one more note; the Receipt says what became of it
    said(attempts, "stork", "lift", REASON)                       the latest text of it; None where there is none

Contents: MY_ROBOT, REASON, USE, START, keep, said, is_note.

A note is a row among the answers, so it is kept, copied, handed in and deleted as they are. Nobody grades it. What was
said before stays in the file; the latest counts.
"""

import hashlib
import json

from mechbench.course.grading import RECORDED
from mechbench.course.progress import Attempt, store
from mechbench.kits import kit as kit_in_force

MY_ROBOT = "my-robot"  # stands where an answer has the id of its exercise
REASON, USE, START = "reason", "use", "start"


def keep(learner, robot, mechanism, about, text):
    """Keep a note as it was typed.

    robot, mechanism : names in the plan, empty where it is about none
    about : REASON, USE or START
    """
    posed = _posed(robot, mechanism, about)
    digest = hashlib.sha256(posed.encode("utf-8")).hexdigest()[:12]
    note = Attempt(MY_ROBOT, 1, kit_in_force().digest, text, RECORDED, posed_digest=digest, posed=posed)
    return store().record(learner, note)


def said(attempts, robot, mechanism, about):
    """The latest text of a note among a learner's answers; None where there is none."""
    posed = _posed(robot, mechanism, about)
    return next((one.raw for one in reversed(attempts) if is_note(one) and one.posed == posed), None)


def is_note(attempt):
    """Tell whether a row among the answers is a note on the own robot."""
    return attempt.exercise == MY_ROBOT


def _posed(robot, mechanism, about):
    return json.dumps({"robot": robot, "mechanism": mechanism, "about": about}, ensure_ascii=False)
