"""Questions that are asked in a pit, each with the lines that answer it, and the words by which it is known. The list
of sizings and the quick reference show them, pit_answer.py answers them, and the tests ask every one.

Contents: Question, QUESTIONS, QUICK, EVERY, question_meant, number_of.
"""

import re
from dataclasses import dataclass


@dataclass(frozen=True)
class Question:
    """What is asked; what to type after `size`; and which findings of which sizing the answer must hold, in the order
    in which they are told.

    show: the inputs of the first sizing that matter, which get sliders; also: words that tell it from other questions.
    """

    asked: str
    lines: tuple
    answers: dict
    show: tuple = ()
    also: tuple = ()

    @property
    def sizing(self):
        """The sizing that answers first."""
        return next(iter(self.answers))


QUESTIONS = (
    Question(
        "Will this arm hold level, and how long before the motor is too hot?",
        ("arm payload=0.36kg length=400mm",),
        {"arm": ("spare", "hot_after", "worst_torque")},
        ("payload", "length", "hold_time", "motor", "gearbox", "spring"),
        ("level", "hot", "heat", "overheat", "overheats", "temperature", "burn", "holding"),
    ),
    Question(
        "Which ratio, and the next one up and down?",
        ("arm --find motor,gearbox", "lift --find gearbox"),
        {"arm": ("time", "spare"), "lift": ("time", "spare")},
        ("payload", "length", "time_wanted", "motor", "gearbox"),
        ("ratio", "ratios", "next", "gearing"),
    ),
    Question(
        "How fast does it drive ahead and sideways, and how far does it go until it stops with the lift up?",
        ("drivetrain distance=2m", "balance raised_height=750mm speed=1.2m/s"),
        {"drivetrain": ("top_speed", "sideways_speed", "time", "sideways_time"), "balance": ("way",)},
        ("distance", "motor", "count", "gearbox", "wheel", "mass"),
        ("fast", "drive", "drives", "ahead", "sideways", "strafe", "strafing", "stop", "stops", "stopping"),
    ),
    Question(
        "Why does it reset or blow the fuse: what draws how much current?",
        ("robot", "drivetrain push_time=10s", "gripper", "power other_current=15A"),
        {
            "robot": (
                "volts",
                "fuse",
                "peak",
                "drive_draws",
                "raise_draws",
                "hang_draws",
                "others_draw",
                "rest_draws",
            ),
            "drivetrain": ("fuse_lasts", "push_current", "push_volts"),
            "gripper": ("rail", "rail_stuck"),
            "power": ("all_current", "fuse_used", "volts"),
        },
        ("which", "drive_gearbox", "raise_gearbox", "raising"),
        (
            *("reset", "resets", "reboot", "reboots", "restart", "restarts", "brownout", "brown", "sag", "sags"),
            *("fuse", "blow", "blows", "melt", "melts", "draw", "draws", "current", "amps", "amperes"),
        ),
    ),
    Question(
        "Will it tip if we brake now, and how hard may we brake?",
        ("balance raised_height=900mm raised_mass=2.5kg",),
        {"balance": ("braking", "grip")},
        ("raised_height", "raised_mass", "braking_wanted", "wheelbase", "height"),
        ("tip", "tips", "tipping", "topple", "topples", "fall", "falls", "brake", "braking", "hard"),
    ),
    Question(
        "Will this servo hold the piece, and which instead?",
        ("gripper squeeze=8N", "gripper --find servo"),
        {"gripper": ("holds", "share")},
        ("piece_mass", "servo", "squeeze", "lever", "upward", "level"),
        ("servo", "servos", "gripper", "jaw", "jaws", "grip", "piece"),
    ),
    Question(
        "How long is the lift up, and on which spool?",
        ("lift", "lift --find drum"),
        {"lift": ("time", "hot_after")},
        ("payload", "rise_wanted", "time_wanted", "motor", "gearbox", "drum"),
        ("lift", "spool", "drum", "slide", "elevator"),
    ),
    Question(
        "Does it hang with the power off, at what tilt, and does the cord hold when the slack runs out?",
        ("winch slack=100mm",),
        {"winch": ("holds", "tilt", "factor", "snatch")},
        ("mass", "slack", "spool", "ratchet", "cord", "ahead"),
        ("hang", "hangs", "hanging", "tilt", "cord", "rope", "slack", "winch", "climb", "off"),
    ),
    Question(
        "Which roller speed for our driving speed, and how much squeeze?",
        ("intake ground_speed=0.9m/s", "intake --find drive,roller"),
        {"intake": ("ratio", "surface", "nip", "deepest")},
        ("ground_speed", "drive", "roller", "squeeze", "slope"),
        ("roller", "rollers", "intake", "squeeze", "suck"),
    ),
    Question(
        "Where does the cycle lose seconds?",
        ("cycle", "cycle --sweep drive_time=1s..3s --steps 5"),
        {"cycle": ("time", "second", "people")},
        ("drive_time", "raise_time", "raising", "pieces", "success"),
        ("cycle", "cycles", "lose", "loses", "seconds", "trip", "trips", "slow"),
    ),
)

# Asked in passing; each is one line.
QUICK = (
    Question(
        "How long a belt or chain for this centre distance?",
        ("pair distance=140mm",),
        {"pair": ("loop", "teeth", "centre")},
        ("distance", "ratio_wanted", "last_stage"),
        ("belt", "belts", "chain", "chains", "links", "centre", "center"),
    ),
    Question(
        "How far does the tip drop by play?",
        ("arm length=400mm",),
        {"arm": ("droop",)},
        ("length", "droop_allowed", "gearbox", "last_stage"),
        ("drop", "drops", "play", "droop", "droops", "slop"),
    ),
    Question(
        "Which spring helps the arm?",
        ("arm --find spring",),
        {"arm": ("time", "worst_torque", "holds")},
        ("payload", "length", "spring", "anchor_height", "pin_distance"),
        ("spring", "springs", "helps", "counterbalance"),
    ),
    Question(
        "Which teeth for this ratio?",
        ("pair ratio_wanted=2.5 distance=40mm moved_allowed=25mm --find last_stage",),
        {"pair": ("ratio", "off", "centre")},
        ("ratio_wanted", "distance", "moved_allowed", "last_stage"),
        ("teeth", "tooth", "sprocket", "sprockets", "pulley", "pulleys"),
    ),
    Question(
        "How long does the battery last?",
        ("charge current=5A",),
        {"charge": ("lasts", "volts")},
        ("current", "time_wanted", "capacity", "usable"),
        ("battery", "batteries", "accu", "last", "lasts", "charge", "runtime", "empty"),
    ),
)
EVERY = (*QUESTIONS, *QUICK)

# Words that tell nothing of what is asked.
EMPTY = frozenset(
    "a an and are at be before by can do does far for from go goes have how if in instead is it its long many may much"
    " my now of on one or our out so than that the this to too until up us was we what when where which who why will"
    " with you your does".split()
)


def question_meant(words):
    """The question that some words mean: its number in the list, or words of it; None where they tell no single one.

    words : a text, or a list of words
    """
    text = words if isinstance(words, str) else " ".join(words)
    asked = [word for word in re.findall(r"[a-z0-9]+", text.lower()) if word not in EMPTY]
    if len(asked) == 1 and asked[0].isdigit():
        return EVERY[int(asked[0]) - 1] if 0 < int(asked[0]) <= len(EVERY) else None
    hits = [_hits(question, asked) for question in EVERY]
    most = max(hits)
    return EVERY[hits.index(most)] if most > (0, 0) and hits.count(most) == 1 else None


def _hits(question, asked):
    """How many of the words are telling ones of a question, and how many are in it at all; none where most are not."""
    own = {*re.findall(r"[a-z0-9]+", question.asked.lower()), *question.also, *question.answers}
    known = [word for word in asked if word in own]
    telling = sum(word in question.also for word in known)
    return (telling, len(known)) if telling and 2 * len(known) >= len(asked) else (0, 0)


def number_of(question):
    """Its number in the list, from 1."""
    return 1 + EVERY.index(question)
