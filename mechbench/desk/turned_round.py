"""The question of a line turned round: payload=? asks for the most of it, time=? for the least; a part is looked for.

Contents: KINDS, turn_round (`payload=?`), turn (`heaviest`, `max payload`), left_out (what a search is not about).
"""

from mechbench.desk.arguments import taken_as
from mechbench.desk.common_words import BETTER, MOST, TURNED, WITHIN, usual_way
from mechbench.engine.inputs import Supply
from mechbench.engine.spec import Pick
from mechbench.wording import listed

KINDS = {"--find", "--most", "--least", "--sweep", "--against"}  # options that ask for more than one design
MASS = "mass"  # of the parts that can be chosen


def turn_round(reading, name, asked):
    """An input that was given as `?`, `max` or `least`."""
    better = BETTER.get((reading.sizing.NAME, name))
    if better:
        reading.say(f"{name}: taken as {better}, {reading.sizing.field(better).help}.")
        name = better
    found = reading.inputs(name)
    if len(found) != 1 or isinstance(found[0], Supply):
        reading.give(name, [asked])
    elif isinstance(found[0], Pick) and found[0].table != "counts":
        reading.looked.append(found[0].name)
    else:
        way = TURNED[asked].way if asked in TURNED else usual_way(found[0].name)
        reading.say(*taken_as(name, found[0]))
        _ask(reading, way, found[0].name)


def _ask(reading, way, name):
    reading.meant.options[f"--{way}"] = [name]


def turn(reading):
    """What `heaviest`, `max payload` and the like ask for, after all words were read."""
    for word, one in reading.turned:
        if one.mass:
            reading.looked = []
            _ask(reading, one.way, MASS)
        elif _within(reading, one):
            pass
        elif reading.looked:
            ranked = " and ".join(reading.looked)
            reading.say(f"{word}: left out; every {ranked} that works is ranked, so look it up in the table.")
        elif reading.asked and not reading.alone:
            name = max(reading.asked, key=reading.asked.get)
            reading.say(f"{word}: left out, as {name} is found; --{one.way} {name} looks for parts.")
        else:
            _turn_to(reading, one)


def _within(reading, one):
    """The largest ratio without slipping: found here, and then that one drivetrain is judged."""
    pick, finding, *bound = WITHIN.get(reading.sizing.NAME, ("", ""))
    if one.way != MOST or pick not in reading.looked or finding not in reading.asked or reading.typed.keys() & KINDS:
        return False
    from mechbench.desk import within  # it solves; few lines ask that

    asked = within.Within(pick, finding, *bound)
    given = {name: texts[0] for name, texts in reading.values.items()}
    ratio, told = within.largest(reading.sizing, given, asked, reading.tables)
    reading.say(told)
    reading.looked.remove(pick)
    if ratio:
        reading.values[pick] = [ratio]
    reading.asked[finding] += len(reading.words)  # told first
    return True


def _turn_to(reading, one):
    found = (reading.inputs(name) for name in (*reading.alone, *one.of))
    wanted = next(filter(None, found), [])
    if len(wanted) == 1 and not isinstance(wanted[0], Supply):
        _ask(reading, one.way, wanted[0].name)
        return
    numbers = [f.name for f in reading.known.numbers][:3]
    lines = listed([f"size {reading.sizing.NAME} --{one.way} {name}" for name in numbers])
    reading.wrong.append(f"the {one.way} of what? Type {lines}")


def left_out(reading):
    """Say what a search is not about: findings, and values for findings where no design is judged."""
    if not reading.meant.options and not reading.typed.keys() & KINDS:
        return
    told = [one for one in reading.sizing.FINDINGS if one.name in reading.asked and not one.sense]
    for one in told:
        design = f"size {reading.sizing.NAME} ... {one.name}"
        reading.say(f"{_word_of(reading, one)}: left out, as nothing is asked of it; {design} tells it of one design.")
    for name, typed in reading.meant.beside.items():
        reading.say(f"{typed}: left out, as {name} is found, not given.")


def _word_of(reading, finding):
    """The word of the line that asks for a finding."""
    return next((word for word in reading.words if word in (finding.name, *finding.also)), finding.name)
