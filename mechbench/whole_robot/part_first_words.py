"""What part_first found, in words: the table of the best, and the sentences above and below it.

Contents: HEADS, QUESTION, rows, verdict, more, plain.
"""

from mechbench import quantity
from mechbench.engine import report_text
from mechbench.engine.days import DAYS
from mechbench.whole_robot.part_first import FIRST_DAYS, SIEVE_DAYS

QUESTION = "Which part first?"
HEADS = ("Change", "Gain on a bad day", "Mass", "Highest current", "Balance")
SHOWN = 5
MENDS = 3  # changes that mend, told in the verdict
AFTER_MENDING = "The table is of points alone: mend first what fails."
NOTHING = "No change of one part gains points on a bad day."
UNKNOWN = "not known"
# unit -> the least that is shown; below it there is no change
LEAST = {"g": 5e-4, "A": 0.05, "m/s2": 0.005}
BALANCE = (
    "Balance is the braking that balance allows with all raised, on a bad day; current is the highest on a bad day."
)


def _mends(fault, system):
    """What to change first so that nothing fails, with numbers before and after; or that nothing does that."""
    if fault.mends:
        first, *others = fault.mends
        also = f" Also mends it: {'; '.join(_change(one, system) for one in others[: MENDS - 1])}." if others else ""
        return f"Change first: {_mended(first, fault, system)}; {_costs(first.effect, system)}.{also}"
    if fault.nearest is None:
        return "No change of one part of the kit makes that better: change the plan itself."
    return f"No change of one part of the kit mends that; nearest comes {_mended(fault.nearest, fault, system)}."


def _mended(one, fault, system):
    """'drive: motor, from A to B: mass 15.5 kg → 14.2 kg on a bad day, points 84.0 → 83.1'; what is missed then."""
    name, label = fault.finding.name, fault.finding.label
    bound = fault.report.bounds[name]
    was, now = (
        report_text.number(fault.finding, value, system, bound)
        for value in (fault.report.bad[name], one.effect.mended[0])
    )
    before, after = one.effect.points_bad
    told = f"{_change(one, system)}: {label} {was} → {now} on a bad day, points {before:.1f} → {after:.1f}"
    left = [other for other in one.effect.left if other != label]
    return f"{told}; still missed then: {', '.join(left)}" if left else told


def rows(found, system="metric"):
    """The best change of each input, five at most: change, gain on a bad day, mass, current, balance, each as text."""
    return tuple(_row(one, system) for one in found.inputs[:SHOWN])


def verdict(found, system="metric"):
    """What to change first, what it gains and what it costs; or that nothing gains. Where something fails: why, and
    what mends it.
    """
    if found.fault:
        return f"{found.fault.said} {_mends(found.fault, system)}"
    if not found.found:
        return NOTHING
    return f"Change first: {_told(found.found[0], system)}; {_costs(found.found[0].effect, system)}."


def more(found, system="metric"):
    """Sentences below the table: what was tried, what breaks something, and what pairs bring."""
    said = [AFTER_MENDING] if found.fault and found.found else []
    said += [
        f"Tried: {found.tried} changes of one part, count or number, on {FIRST_DAYS} days; what helps there on"
        f" {SIEVE_DAYS}, the best on all {DAYS}. What luck alone could tell is no gain."
    ]
    if any(len(one.bands) for one in found.robot.mechanisms.values()):
        said.append("Numbers that no label gives were taken as assumed: measure them before you change anything.")
    if found.impossible:
        said.append(f"{found.impossible} of them can't be built.")
    if found.as_good:
        others = "; ".join(one.label for one in found.as_good[:SHOWN])
        said.append(f"Luck alone may put the first one ahead of {others}.")
    short = found.wanted - found.found[0].effect.points_bad[1] if found.found and not found.fault else 0.0
    if short > 0:
        said.append(f"With the first one it still misses the {found.wanted:g} points that are asked, by {short:.1f}.")
    if found.broken:
        said.append(f"{_number(found.broken)} points but {_breaks(found.broken)} something that was met before.")
    if any(one.effect.mass is None for one in found.inputs[:SHOWN]):
        said.append("Mass not known: the kit does not say it, and nothing was added to the robot.")
    if found.found:
        said.append(BALANCE)
    if found.found and found.found[0].effect.meets:
        said.append(f"The first one newly meets: {', '.join(found.found[0].effect.meets)}.")
    return (*said, _together(found, system))


def plain(found, system="metric"):
    """Everything as plain sentences: the verdict, a line for each row of the table, and what is below it."""
    told = [
        f"{change}: " + ", ".join(f"{head.lower()} {cell}" for head, cell in zip(HEADS[1:], numbers))
        for change, *numbers in rows(found, system)
    ]
    return (verdict(found, system), *told, *more(found, system))


def _row(one, system):
    effect = one.effect
    mass = UNKNOWN if effect.mass is None else _signed(effect.mass, "g", system)
    numbers = _signed(effect.peak, "A", system), _signed(effect.stands, "m/s2", system)
    return _change(one, system), f"{effect.gain:+.1f} points", mass, *numbers


def _change(one, system):
    return " and ".join(
        f"{each.label}, from {each.told(each.was, system)} to {each.told(each.becomes, system)}" for each in one.changes
    )


def _told(one, system):
    """'lift: gearbox, from 20:1 to 16:1: +3.1 points on a bad day (96.6 → 99.7)'."""
    before, after = one.effect.points_bad
    return f"{_change(one, system)}: {one.effect.gain:+.1f} points on a bad day ({before:.1f} → {after:.1f})"


def _costs(effect, system):
    """'costs 60 g, +2.1 A', 'saves 94 g', 'costs neither mass nor current'."""
    mass, amps = effect.mass, _signed(effect.peak, "A", system)
    weight = "" if mass is None or abs(mass) < LEAST["g"] else _signed(abs(mass), "g", system)[1:]
    costs = [weight] if weight and mass > 0 else []
    saves = [weight] if weight and mass < 0 else []
    (costs if amps.startswith("+") else saves if amps.startswith("-") else []).append(amps)
    told = [f"costs {', '.join(costs)}" if costs else "", f"saves {', '.join(one.lstrip('-') for one in saves)}"]
    if mass is None:
        return ", ".join(["its mass is not known", *filter(None, told[: 1 + bool(saves)])])
    return ", ".join(filter(None, told[: 1 + bool(saves)])) or "costs neither mass nor current"


def _signed(value, unit, system):
    """A difference with its sign; "0 g" where it is too small to be shown."""
    unit_shown = quantity.in_system(unit, system)
    if abs(value) < LEAST[unit]:
        return quantity.show(0.0, unit_shown)
    return ("+" if value > 0 else "-") + quantity.show(abs(value), unit_shown, digits=2)


def _number(broken):
    return "1 change gains" if broken == 1 else f"{broken} changes gain"


def _breaks(broken):
    return "breaks" if broken == 1 else "break"


def _together(found, system):
    """What pairs bring, and among which pairs the best was looked for."""
    if found.pairs is None:
        return "Two changes at once were not tried: the best pair need not begin with the best single change."
    pairs = found.pairs
    some = f"{pairs.unlock} of {pairs.unlocking}" if pairs.unlock < pairs.unlocking else f"{pairs.unlock}"
    whose = [f"the {pairs.best} best single changes"] if pairs.best else []
    whose += [f"{pairs.broken} that gain but break something alone"] if pairs.broken else []
    whose += [f"{some} that gain nothing alone but newly meet what is asked"] if pairs.unlock else []
    tried = f"{pairs.tried} pairs of {', '.join(whose)}"
    if not pairs.tried:
        return "No two changes could be made at once."
    if not pairs.found:
        return f"None of {tried} gains points on a bad day."
    best = pairs.found[0]
    alone = f"; the best single change gains {found.found[0].effect.gain:+.1f}" if found.found else ""
    alone += "" if pairs.more else ", and luck alone may make the difference"
    return f"Best of {tried}: {_told(best, system)}; {_costs(best.effect, system)}{alone}."
