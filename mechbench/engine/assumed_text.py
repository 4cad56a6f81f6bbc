"""Words for numbers that no label gives: what they are called, how to measure each, what a verdict rests on.

Contents: rests, to_measure, assumed_lines, one_line, MEASURE.
"""

from mechbench import quantity
from mechbench.engine.spec import Pick

CORRECT_HEAT = "Hold one current steady, read how warm it gets, then `correct warming`."
# Column of a part -> what people call it, and what to do to know it. Each way ends in a number in the kit.
MEASURE = {
    "rotor_inertia": ("rotor inertia", "Time one spin-up of the motor alone, then `correct spin_up`."),
    "mass": ("mass", "Weigh it, and write its mass into parts.toml."),
    "heat_capacity": ("heat capacity", CORRECT_HEAT),
    "thermal_resistance": ("thermal resistance", CORRECT_HEAT),
    "holding": ("torque held for long", CORRECT_HEAT),
    "allowed": (
        "gear strength",
        "Ask the maker, and write it into parts.toml. Don't try it out: gears that hold once may break later.",
    ),
    "stiffness": (
        "roller stiffness",
        "Press it by 5 mm onto a kitchen scale, and write newtons for each mm into parts.toml.",
    ),
    "drag": ("stage drag", "Pull one stage out level with a hand scale, and write the pull into parts.toml."),
    "stretch_at_break": (
        "cord stretch",
        "Hang a weight on a metre of it, read how much longer it gets, and write what that makes at the breaking load"
        " into parts.toml.",
    ),
}
MEASURE |= {f"allowed_{frame}": MEASURE["allowed"] for frame in ("small", "large")}
UNITS = {
    "rotor_inertia": "kg·m2",
    "mass": "kg",
    "heat_capacity": "J/K",
    "thermal_resistance": "K/W",
    "stiffness": "N/mm",
    "drag": "N",
    "stretch_at_break": "%",
}
TORQUE = "N·m"
INSIDE = "/"  # between a whole robot's mechanism, its input and the number


def rests(report):
    """'Not known: the label does not give the rotor inertia. Time ...'; empty where it is known."""
    if report.known:
        return ""
    ways = to_measure(report)
    named = list(dict.fromkeys(f"the {name}" for name, _ in ways))
    labels = "the label does not give" if len(named) == 1 else "no label gives"
    return " ".join([f"Not known: {labels} {_listed(named)}.", *dict.fromkeys(way for _, way in ways)])


def to_measure(report):
    """What a verdict rests on, as pairs: what it is called, and how to know it; each once."""
    return list(dict.fromkeys(_way(one.key) for one in report.rests_on))


def assumed_lines(report, tables, system="metric"):
    """Each number that was assumed and changes something: 'rotor inertia of big motor, 0.5 to 2 times 1.2e-5 kg·m2'."""
    return list(dict.fromkeys(_line(one, report, tables, system) for one in report.assumed))


def one_line(table, part, column):
    """'The rotor inertia of the big motor is assumed: its label does not give it.'; empty where the label gives it."""
    if column not in table.assumed.get(part, {}):
        return ""
    return f"The {_way(column)[0]} of the {table.labels[part]} is assumed: its label does not give it."


def _line(one, report, tables, system):
    part, key = one.path.split(".", 1)
    field = report.sizing.field(part)
    of = f" of {tables(field.table).labels[report.values[part]]}" if isinstance(field, Pick) else ""
    number = quantity.show(one.value, UNITS.get(key, TORQUE), system=system)
    if INSIDE in key:  # of a whole robot, where the number stands in its mechanism
        of, number = f" of {' '.join(key.split(INSIDE)[:-1]).replace('_', ' ')}", "what is assumed"
    return f"{_way(key)[0]}{of}, {one.low:.3g} to {one.high:.3g} times {number}"


def _way(key):
    """What a number is called and how to know it; one that nobody described is called by its own name."""
    key = key.rpartition(INSIDE)[2]
    plain = key.replace("_", " ")
    return MEASURE.get(key, (plain, f"Measure the {plain}, and write it into parts.toml."))


def _listed(names):
    """'a', 'a and b', 'a, b and c'."""
    return " and ".join(filter(None, (", ".join(names[:-1]), names[-1])))
