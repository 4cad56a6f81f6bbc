"""The lessons as built so far, and where their notebooks are.

LESSONS     number, name, title and question of each lesson; the only list of them
NAMES       their names, in order
lesson      one of them, by name
sources     the notebooks of solutions/, the single source of every lesson
lesson_of   the path of the lesson that is derived from a source
ALONE       notebooks of lessons/ that have no source, because there is nothing to leave out
"""

from dataclasses import dataclass
from pathlib import Path

from mechbench.wording import nearest, quoted

ROOT = Path(__file__).resolve().parents[2]
ALONE = ("quick_reference",)


@dataclass(frozen=True)
class Lesson:
    """One lesson. `name` is the name of its file in exercises/; `question` is what it answers, in one sentence."""

    name: str
    title: str
    question: str

    @property
    def number(self):
        """Its place in the course, 0 for the first."""
        return NAMES.index(self.name)

    @property
    def heading(self):
        """Number and title.

        >>> LESSONS[1].heading
        '01 Motors'
        """
        return f"{self.number:02} {self.title}"

    @property
    def stem(self):
        """The name of its notebook, without .ipynb.

        >>> LESSONS[1].stem
        '01_motors'
        """
        return f"{self.number:02}_{self.name}"


LESSONS = (
    Lesson("start_here", "Start here", "How does this course work, and what is one second worth in a match?"),
    Lesson("motors", "Motors", "What does a motor give at my load, and for how long before it is too hot?"),
    Lesson("gearing", "Gearing", "Which gear train from the kit turns my motor's speed into the torque that I need?"),
    Lesson(
        "drivetrain",
        "Drivetrain",
        "How fast across the field and stopped, how hard can it push, and how long does the fuse last?",
    ),
    Lesson(
        "intake",
        "Intake and transfer",
        "Will the roller pull the piece in at driving speed, climb with it, and hand it on faster than it arrives?",
    ),
    Lesson(
        "gripper", "Gripper", "Will it hold while the robot accelerates, with which servo, and let go of one of two?"
    ),
    Lesson("arm", "Arm", "What holds an arm, what lifts it and stops it, and how much does a counter-spring help?"),
    Lesson(
        "linkages",
        "Linkages",
        "Parallel, chained and four-bar: where does the end go, which way does it point, how hard does it push?",
    ),
    Lesson(
        "lift", "Slide lift", "Stages, rigging, spool: how fast is the lift, does it stay up unpowered, does it bind?"
    ),
    Lesson(
        "winch",
        "Winch and scissor",
        "Drum layers, slack and cord: does it lift, and does it hold with the power off?",
    ),
    Lesson(
        "balance",
        "Fit and balance",
        "Does it fit the start box, does it stay upright with everything raised, and how gently must it brake then?",
    ),
    Lesson(
        "power",
        "Power and motion",
        "Sag, fuse and heat over a match; how fast may it move under control (loop time, encoder, drive, battery)?",
    ),
    Lesson(
        "cycle",
        "Cycle time",
        "How many seconds is a cycle with the driver's steps in, what overlaps, and what is a second worth?",
    ),
    Lesson(
        "robot",
        "The whole robot",
        "Which of the robots would you build, how would you improve it within the limits, and can you defend it with"
        " numbers?",
    ),
)

NAMES = tuple(known.name for known in LESSONS)


def lesson(name):
    """The lesson of that name, "motors"."""
    for known in LESSONS:
        if name == known.name:
            return known
    raise ValueError(f"{quoted(name)} is no lesson yet; {nearest(name, NAMES)}")


def sources(root=ROOT):
    """The paths of all notebooks in solutions/, in order."""
    return sorted((root / "solutions").glob("*.ipynb"))


def lesson_of(source):
    """The path of the lesson that is derived from a source: the same name, in lessons/ beside solutions/."""
    return source.parent.parent / "lessons" / source.name
