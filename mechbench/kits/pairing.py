"""Which motor goes with which gearbox: a gearmotor with its own gears alone, any other motor with any other gearbox.

A row of gearboxes that is named "MOTOR+PAIR" holds that motor's own gears and a pair of wheels behind them.

Contents: BEHIND, go_together, geared (whether a motor has gears of its own), wrong_pair, gears_for, motor_for, pairs,
name_of (a pair), loose (what stands by itself), reducing, usual_of.

The one place of this rule. A gearmotor is a row of motors (column `geared`) and a row of gearboxes (`built_in`) of the
same name; tables without these columns hold no gearmotor.
"""

from mechbench.kits.tables import Table
from mechbench.wording import quoted

GEARED, BUILT_IN = "geared", "built_in"
BEHIND = "+"  # no name of a part in the files has it


def _is(table: Table, column: str, name: str) -> bool:
    return column in table.columns and bool(table.columns[column][table.index(name)] == 1)


def go_together(motors: Table, motor: str, boxes: Table, box: str) -> bool:
    """Whether this motor can stand in front of this gearbox."""
    own = _is(motors, GEARED, motor), _is(boxes, BUILT_IN, box)
    return motor == box.partition(BEHIND)[0] if any(own) else True


def geared(motors: Table, motor: str) -> bool:
    """Whether a motor has gears of its own."""
    return _is(motors, GEARED, motor)


def wrong_pair(motors: Table, motor: str, boxes: Table, box: str) -> str:
    """Say what is wrong with a pair, and the way out."""
    if _is(motors, GEARED, motor):
        return (
            f"{motors.labels[motor]} has gears of its own, but the gearbox is {quoted(box)}; choose {quoted(motor)} as"
            " gearbox too, or another motor."
        )
    return (
        f"{boxes.labels[box]} are built into that gearmotor, but the motor is {quoted(motor)}; choose {quoted(box)} as"
        " motor too, or another gearbox."
    )


def loose(table: Table) -> tuple[str, ...]:
    """Names of the motors, or of the gearboxes, that stand by themselves."""
    return tuple(name for name in table.names if not (_is(table, GEARED, name) or _is(table, BUILT_IN, name)))


def usual_of(table: Table, names: tuple[str, ...]) -> str:
    """The usual part where it is one of these, else their first; LookupError where there are none."""
    if not names:
        raise LookupError(f"no part of {table.name} is of this kind; take those of another kit")
    return table.usual if table.usual in names else names[0]


def reducing(boxes: Table) -> tuple[str, ...]:
    """Names of the gearboxes that stand by themselves and make a motor slower: no gearmotor's own gears, and not the
    row that says that there is no gearbox.
    """
    return tuple(name for name in loose(boxes) if boxes.row(name)["ratio"] > 1)


def gears_for(motors: Table, motor: str, boxes: Table, usual: str) -> str:
    """The gearbox to take with a motor: its own gears, else the usual one, else the first that stands by itself."""
    if _is(motors, GEARED, motor):
        return motor
    fitting = (name for name in (usual, boxes.usual, *boxes.names) if go_together(motors, motor, boxes, name))
    return next(fitting, usual)


def motor_for(motors: Table, usual: str, boxes: Table, box: str) -> str:
    """The motor to take with a gearbox: that of which it is a part, else the usual one, else the first without gears;
    the usual one, too, where no motor goes with it.
    """
    fitting = (name for name in (usual, motors.usual, *motors.names) if go_together(motors, name, boxes, box))
    return next(fitting, usual)


def pairs(motors: Table, boxes: Table) -> list[tuple[str, str]]:
    """All pairs that go together, motor by motor."""
    return [(motor, box) for motor in motors.names for box in boxes.names if go_together(motors, motor, boxes, box)]


def name_of(motors: Table, motor: str, box: str) -> str:
    """The name of a pair in a table of pairs: a gearmotor goes by its own."""
    return motor if _is(motors, GEARED, motor) else f"{motor}_{box}"
