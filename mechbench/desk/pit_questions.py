"""Questions that are asked in a pit, each with the lines that answer it. The list of sizings and the quick reference
show
them, and the tests ask every one.

Contents: Question, QUESTIONS, QUICK.
"""

from dataclasses import dataclass


@dataclass(frozen=True)
class Question:
    """What is asked; what to type after `size`; and which findings of which sizing the answer must hold."""

    asked: str
    lines: tuple
    answers: dict

    @property
    def sizing(self):
        """The sizing that answers first."""
        return next(iter(self.answers))


QUESTIONS = (
    Question(
        "Will this arm hold level, and how long before the motor is too hot?",
        ("arm payload=0.36kg length=400mm",),
        {"arm": ("spare", "hot_after", "holds")},
    ),
    Question(
        "Which ratio, and the next one up and down?",
        ("arm --find motor,gearbox", "lift --find gearbox"),
        {"arm": ("time",), "lift": ("time",)},
    ),
    Question(
        "How fast does it drive ahead and sideways, and how far does it go until it stops with the lift up?",
        ("drivetrain distance=2m", "balance raised_height=750mm speed=1.2m/s"),
        {"drivetrain": ("time", "top_speed", "sideways_time"), "balance": ("way", "braking")},
    ),
    Question(
        "Why does it reset or blow the fuse: what draws how much current?",
        ("robot", "drivetrain push_time=10s", "gripper", "power other_current=15A"),
        {
            "robot": ("drive_draws", "raise_draws", "hang_draws", "all_on", "volts", "fuse"),
            "drivetrain": ("fuse_lasts", "push_current", "volts"),
            "gripper": ("rail",),
            "power": ("volts", "fuse_used", "rise"),
        },
    ),
    Question(
        "Will it tip if we brake now, and how hard may we brake?",
        ("balance raised_height=900mm raised_mass=2.5kg",),
        {"balance": ("braking", "grip", "way")},
    ),
    Question(
        "Will this servo hold the piece, and which instead?",
        ("gripper squeeze=8N", "gripper --find servo"),
        {"gripper": ("holds", "share", "time")},
    ),
    Question(
        "How long is the lift up, and on which spool?",
        ("lift", "lift --find drum"),
        {"lift": ("time", "hot_after")},
    ),
    Question(
        "Does it hang with the power off, at what tilt, and does the cord hold when the slack runs out?",
        ("winch slack=100mm",),
        {"winch": ("holds", "tilt", "factor", "snatch")},
    ),
    Question(
        "Which roller speed for our driving speed, and how much squeeze?",
        ("intake ground_speed=0.9m/s", "intake --find drive,roller"),
        {"intake": ("ratio", "surface", "nip", "deepest")},
    ),
    Question(
        "Where does the cycle lose seconds?",
        ("cycle", "cycle --sweep drive_time=1s..3s --steps 5"),
        {"cycle": ("time", "people", "second")},
    ),
)

# Asked in passing; each is one line.
QUICK = (
    Question(
        "How long a belt or chain for this centre distance?",
        ("pair distance=140mm",),
        {"pair": ("loop", "teeth", "centre")},
    ),
    Question("How far does the tip drop by play?", ("arm length=400mm",), {"arm": ("droop",)}),
    Question("Which spring helps the arm?", ("arm --find spring",), {"arm": ("time",)}),
    Question(
        "Which teeth for this ratio?",
        ("pair ratio_wanted=2.5 distance=40mm moved_allowed=25mm --find last_stage",),
        {"pair": ("off",)},
    ),
)
