"""Rules of thumb, each with where it comes from. Numbers of the kit are computed from the kit in force.

Contents: Rule, rules, rules_markdown.
"""

from dataclasses import dataclass, fields

import numpy as np

from mechbench import quantity
from mechbench.desk.formulas import PRACTICE, facts_of
from mechbench.engine.report_text import CLOSE
from mechbench.kits import kit
from mechbench.physics import balance, belt, drive, gearing, intake, lift, linkage, motor, rope, scissor

SLOW_START, USUAL_START = np.radians(10), np.radians(45)


@dataclass(frozen=True)
class Rule:
    """One rule: what to do, and where it comes from: a function, or words where there is none."""

    text: str
    of: object

    @property
    def source(self):
        """Where the rule comes from."""
        if isinstance(self.of, str):
            return self.of
        facts = facts_of(self.of)
        return f"{facts.name}: {facts.source}"


def rules():
    """All rules, with the numbers of the kit in force."""
    return (*_motors(), *_trains(), *_mechanisms(), *_whole())


def _first_motor():
    table = kit().table("motors")
    row = table.row(table.usual)
    return (
        motor.Motor(**{f.name: row[f.name] for f in fields(motor.Motor) if f.name in row}),
        table.labels[table.usual],
        row,
    )


def _motors():
    part, label, row = _first_motor()
    volts = row["voltage"]
    best = motor.best_speed(part, volts) / motor.free_speed(part, volts)
    say = quantity.show
    yield Rule(
        "A motor gives its most power at half its free speed, where it gives half its stall torque.", motor.peak_power
    )
    yield Rule(
        f"It wastes least when it runs fast: the {label} at {100 * best:.0f} % of its free speed.", motor.best_speed
    )
    yield Rule("Twice the current makes four times the heat.", motor.heat)
    yield Rule(
        f"Stalled at {say(volts, 'V')}, the {label} is too hot after"
        f" {say(float(motor.stall_time_to_limit(part, volts)), 's')}.",
        motor.stall_time_to_limit,
    )
    yield Rule(
        f"The {label} can carry {say(float(motor.continuous_current(part)), 'A')} for ever; more is a matter of time.",
        motor.continuous_current,
    )


def _trains():
    yield Rule(
        f"Three stages of 90 % let {100 * 0.9**3:.0f} % through, four {100 * 0.9**4:.0f} %: fewer stages, more torque.",
        gearing.output_torque,
    )
    yield Rule(
        "A stage that wastes half or more can't be turned from its output: it holds itself.", gearing.efficiency_driven
    )
    yield Rule(
        'A shorted motor ("brake") does not hold a load, it creeps; only friction, a ratchet or current holds.',
        drive.shorted_creep,
    )
    yield Rule("A belt needs 6 teeth in mesh on its small pulley, or it jumps before it breaks.", belt.belt_torque)
    yield Rule("Play near the output counts in full; play before a ratio is divided by it.", gearing.train)


def _mechanisms():
    friction = kit().friction("slide_rail")
    steep = _steepness()
    yield Rule(
        "An arm is hardest to hold when it is level; choose the spring for there.",
        "T = m g l cos(a) is largest at a = 0",
    )
    yield Rule("Keep a linkage's transmission angle above 40 degrees.", linkage.transmission_angle)
    yield Rule(
        f"A load beside a slide jams it from {0.5 / friction:.1f} times the overlap on, at a friction of {friction:g};"
        " stay at half of that.",
        lift.binding,
    )
    yield Rule(
        "A cord is to be 3 times stronger than its highest pull, snatch load and knot counted; where people are near,"
        " much more.",
        rope.safety_factor,
    )
    yield Rule(
        f"A scissor that starts at 10 degrees needs {steep:.1f} times the push of one at 45 degrees.",
        scissor.foot_force,
    )
    yield Rule("A roller's surface should be 1.5 to 2 times as fast as the robot drives.", PRACTICE)
    yield Rule("A deeper squeeze opens the nip angle: press only as deep as the friction allows.", intake.nip_angle)
    yield Rule(
        f"A servo holds {100 * _holding():.0f} % of its stall torque for long; size it so.",
        f"the kit ({kit().name}), measure yours",
    )


def _steepness():
    pusher = scissor.Scissor(cells=1, arm=0.2, load=1.0, cell_mass=0.0)
    slow, usual = (scissor.foot_force(pusher, angle) for angle in (SLOW_START, USUAL_START))
    return float(slow / usual)


def _holding():
    table = kit().table("servos")
    return table.row(table.usual)["holding_share"]


def _whole():
    yield Rule(
        "The higher the centre of gravity, the softer the braking: g times the room to the wheels over the height.",
        balance.braking_limit,
    )
    yield Rule(f"A number within {100 * CLOSE:.0f} % of its bound is not known well enough: measure first.", PRACTICE)
    yield Rule(
        "Size for the bad day: tired battery, more friction, heavier parts, number by number.",
        "in each sizing only 1 day in 20 makes a number worse than its bad day says",
    )


def rules_markdown():
    """All rules as a Markdown table."""
    lines = ["| rule | where it comes from |", "| --- | --- |"]
    return "\n".join([*lines, *(f"| {rule.text} | {rule.source} |" for rule in rules())])
