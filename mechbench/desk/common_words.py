"""Words that people type in a line and that no sizing knows: those that say nothing, those that ask for the most of
something, and what else the trade says in its own way.

Contents: SAYS_NOTHING, POWER_OFF, SAME, Turned, TURNED, ASKED, ASKS_WHICH, MOST, LEAST, LABEL, OF_MOTOR, RECORDS,
OF_BATTERY, WEAK, CHANGES, KINDS_OF_PAIR, DRIVER, DRIVEN, OF_WHEELS, FROM_TO, FROM_AND_BY, LITTLE, MEASURES, WHICH_OF,
IN_A_ROW, BETTER, WITHIN, ELSE, FIRST_MEANT, usual_way.
"""

from typing import NamedTuple

MOST, LEAST = "most", "least"

# Words of a sentence; left out without a word about it.
SAYS_NOTHING = frozenset(
    "a an the is are was do does did will would can could may might must should how why what which who when where "
    "it its this that these those my our your we i us they he she robot's with without of for from at to on by in "
    "into and if so then than much many long far please tell me need needs want wants have has having get gets "
    "give gives use uses using while per best there here be been still only just really also else value values "
    "number find work works working show calculate compute answer compare compared comparison between both go "
    "goes going not no isn't doesn't before after up down over under below above during off out stops stopped "
    "about around roughly approximately each apiece robot".split()
)
# What is said instead of "with the power off", and other phrases for what one word says.
POWER_OFF = "power_off"
SAME = dict.fromkeys("brown_out brown_outs browns_out browning_out".split(), "brownout") | dict.fromkeys(
    "stops stopped motor_stops motor_stopped motor_stop motors_stop motor_off motors_off motor_is_off motors_are_off"
    " motor_dies power_goes power_cut power_fails power_is_off no_power without_power switched_off turned_off".split(),
    POWER_OFF,
)


class Turned(NamedTuple):
    """A word that turns the question round: the most or the least of something that still works. `of` are words for
    that something, the first that the sizing knows; none where another word of the line says it. mass: the mass of
    the parts is meant.
    """

    way: str
    of: tuple[str, ...] = ()
    mass: bool = False


TURNED = {
    **dict.fromkeys(("most", "max", "maximum", "largest", "biggest", "greatest", "highest"), Turned(MOST)),
    **dict.fromkeys(("least", "min", "minimum", "smallest", "lowest", "fewest"), Turned(LEAST)),
    "heaviest": Turned(MOST, ("payload", "load", "piece_mass", "mass")),
    "longest": Turned(MOST, ("length", "distance", "cord_length")),
    "farthest": Turned(MOST, ("distance", "length", "reach")),
    "furthest": Turned(MOST, ("distance", "length", "reach")),
    "quickest": Turned(LEAST, ("time_wanted", "time")),
    "fastest": Turned(LEAST, ("time_wanted", "time")),
    "shortest": Turned(LEAST, ("time_wanted", "time")),
    "lightest": Turned(LEAST, mass=True),
}
ASKED = ("?", "max", "maximum", "most", "min", "minimum", "least")  # in place of a value

# A word for a part that asks which one, even where it opens the sizing: size ratio, size spring arm.
ASKS_WHICH = ("ratio", "gearbox", "gear_ratio", "reduction", "spring", "springs", "servo", "servos")

# What stands on a motor's label, typed one by one: free=275rpm stall=2.6Nm.
LABEL = {
    **dict.fromkeys(("free", "free_speed", "no_load", "no_load_speed", "noload", "free_rpm"), "free speed"),
    **dict.fromkeys(("stall", "stall_torque", "stalled"), "stall torque"),
}
# Figures of a motor that are typed by what they measure: kind of quantity -> what it is on the label.
OF_MOTOR = {"turning-speed": "free speed", "torque": "stall torque"}
# Records of a kit that may be given by a figure, and what people call them.
RECORDS = {
    "battery": ("battery", "capacity", "accu", "pack"),
    "fuse": ("fuse", "breaker"),
}
# Figures of a battery, typed one by one: voltage=12V resistance=0.05ohm.
OF_BATTERY = {
    **dict.fromkeys(("voltage", "volts", "volt", "battery_voltage", "emf"), "voltage"),
    **dict.fromkeys(("resistance", "internal_resistance", "battery_resistance", "ohms", "ohm"), "resistance"),
    **dict.fromkeys(("capacity", "battery_capacity", "mah", "ah"), "charge"),
}
# A battery that is no good is what a bad day is.
WEAK = ("low", "weak", "tired", "bad", "old", "empty", "worn", "flat", "used", "half")
# A time that is given as less than nothing is a change: where that is asked, and as which input.
CHANGES = {("cycle", "time"): ("trips", "saved"), ("trips", "trip_time"): ("trips", "saved")}
# What two wheels are made of, said before their teeth.
KINDS_OF_PAIR = {
    **dict.fromkeys(("belt", "belts", "pulley", "pulleys"), "belt"),
    **dict.fromkeys(("chain", "chains", "sprocket", "sprockets", "links"), "chain"),
}
# Which of two wheels a number of teeth is of, and words for both that may stand between the two.
DRIVER = frozenset(("driver", "driving", "drive", "first", "input", "motor"))
DRIVEN = frozenset(("driven", "second", "output", "follower"))
OF_WHEELS = frozenset("gear gears pulley pulleys sprocket sprockets wheel wheels belt belts chain chains".split())
# Words between the two ends of a motion: -30 to 60 deg.
FROM_TO = ("to", "until", "till", "and")
# A motion that is asked as where it begins and how far it goes: (sizing, kind of quantity) -> these two inputs.
FROM_AND_BY = {("linkage", "angle"): ("start", "turn")}
# Small words inside a name: arm is out, height of the robot.
LITTLE = frozenset(("is", "are", "the", "a", "an", "my", "our"))
# Words behind a value that say how it lies, and the inputs that this may be: 2 ft long, 5 kg heavy.
MEASURES = {
    "long": ("length", "distance"),
    "high": ("height",),
    "tall": ("height",),
    "wide": ("width",),
    "apart": ("distance",),
    "away": ("distance", "reach"),
    "across": ("diameter",),
    "heavy": ("mass",),
    "robot": ("robot_mass",),
}
# Of two like parts the one that is meant where a value of it was given, and why that is to be said: a servo with a
# length turns something far from its shaft. (sizing, word) -> the input that tells it, the part, and what to say.
WHICH_OF = {
    ("gripper", "servo"): ("reach", "wrist", "it turns gripper_mass too"),
}
# Lengths in a row without names: in which order they are meant, and what is then asked for.
IN_A_ROW = {"linkage": (("input", "coupler", "output", "ground"), ("grashof", "transmission"))}
# A name that means something else where it stands without a value: the gap at a roller is what is squeezed.
BETTER = {("intake", "gap"): "squeeze"}
# The largest gearbox without slipping: which input, and up to where which finding: at 100 % the wheels begin to spin.
WITHIN = {"drivetrain": ("gearbox", "spins", 100.0, "%")}
# What a time is where it can't be that of one trip: cycles time=120s cycle=9s.
ELSE = {("trips", "trip_time"): "driving_time"}
# Which sizing is meant by a word of several, where the rest of the line does not say it.
FIRST_MEANT = {"battery": "charge", "cycles": "trips", "servo": "gripper", "servos": "gripper"}


def usual_way(name):
    """Whether the most or the least of an input is asked, where only `?` says that one of them is."""
    little = ("time_wanted", "count", "droop", "play", "friction")
    return LEAST if name in little or name.endswith(("_allowed", "_mass")) and name != "piece_mass" else MOST
