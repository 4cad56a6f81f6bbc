"""Sizing: a battery at a steady current. How long does its charge last, and what do fuse and electronics say to it?"""

import numpy as np

from mechbench.engine.columns import columns
from mechbench.engine.spec import CHOICE, JOB, Field, Finding, Sizing
from mechbench.kits import figures
from mechbench.mechanisms.powertrain import fuse_lasts
from mechbench.physics import battery
from mechbench.quantity import show

# Of the charge on the label: an old or cold battery holds less, and none should be emptied to the last. Common
# practice, no source.
USABLE = 80.0


class Charge(Sizing):
    """A battery that gives one current all the time: the mean of a match, or what stands on a label."""

    NAME = "charge"
    ALSO = ("battery", "runtime", "capacity")
    TITLE = "A battery's charge"
    QUESTION = "How long does a charge last at this current, and do fuse and voltage last as long?"
    FIELDS = (
        Field(
            "current",
            "Current",
            "A",
            0.1,
            150.0,
            7.5,
            "of each that draws it, all the time; of a match its mean",
            JOB,
            follows=figures.even(figures.fuse_rating, 0.5),
            also=("amps", "draw", "load", "amp", "ampere", "amperes", "draws"),
        ),
        Field(
            "count",
            "So many draw that current",
            "x",
            1.0,
            20.0,
            1.0,
            "motors, or other parts that draw the same; 1, where the current is of everything together",
            JOB,
            more=True,
            also=("motors", "number", "n", "how_many", "motor_count", "times"),
        ),
        Field(
            "time_wanted",
            "Time it must last",
            "s",
            10.0,
            7200.0,
            200.0,
            "without a change of battery; a match, as usual",
            JOB,
            follows=figures.match_time,
            also=("time", "seconds", "duration", "match"),
        ),
        Field(
            "capacity",
            "Charge on the label",
            "A·h",
            0.1,
            100.0,
            3.3,
            "of the battery, full",
            follows=figures.battery_capacity,
            also=("charge", "size", "mah", "ah"),
        ),
        Field(
            "usable",
            "Usable share of it",
            "%",
            10.0,
            100.0,
            USABLE,
            f"an old or cold battery holds less, and none should be emptied to the last; many reckon with {USABLE:g} %",
            CHOICE,
            more=True,
            also=("share",),
        ),
    )
    FINDINGS = (
        Finding(
            "lasts",
            "time the usable charge lasts",
            "min",
            "usable charge over current",
            "at least",
            "time_wanted",
            also=("time", "hours", "minutes", "last", "runtime", "battery", "capacity", "empty", "flat"),
        ),
        Finding(
            "drawn",
            "current of all together",
            "A",
            "current of each times how many",
            worse="more",
            also=("amps", "total"),
        ),
        Finding(
            "volts",
            "battery voltage",
            "V",
            "while this current flows, the battery full",
            "at least",
            "controller.reset_level",
            also=("voltage", "sag", "sags", "reset", "drop", "drops"),
        ),
        Finding(
            "fuse_lasts",
            "time until the fuse blows",
            "s",
            "at this current all the time; a current that it carries for ever melts it never",
            "at least",
            "time_wanted",
            also=("fuse", "breaker", "blows"),
        ),
        Finding("all_of_it", "time with all of the label's charge", "min", "nothing kept back", worse="less"),
        Finding(
            "matches",
            "such times on one charge",
            "x",
            "time the charge lasts over time it must last",
            worse="less",
            also=("match", "n"),
        ),
        Finding("used", "charge used in that time", "%", "of the usable charge", worse="more"),
        Finding(
            "worn_volts",
            "voltage of a worn battery, nearly empty",
            "V",
            "while this current flows: the worst of the bad days",
            worse="less",
        ),
        Finding("power", "power that it gives", "W", "voltage times current, the battery full"),
        Finding("heat", "heat in battery and wires", "W", "resistance times current squared", worse="more"),
    )
    LESS = ("current",)
    RECORDS = ("battery", "controller", "fuse")
    SPREADS = {
        "current": "friction",
        "battery.open_circuit": "battery_voltage",
        "battery.resistance": "battery_resistance",
        "fuse.patience": "fuse",
    }
    RANK = ("used",)
    USES = (battery.run_time, battery.voltage, battery.time_to_blow)

    @classmethod
    def agreed(cls, values, given, tables):
        """Another battery than the kit's brings its own charge."""
        own, usual = tables.kit.battery.capacity, getattr(tables, "plain", tables).kit.battery.capacity
        if own == usual:
            return values
        asked = values["capacity"]
        if "capacity" in given and not np.isclose(asked, own, rtol=1e-6):
            raise ValueError(
                f"capacity is {show(asked, 'A·h')}, but the battery that was given has {show(own, 'A·h')}; give one"
                " of the two."
            )
        return values | {"capacity": own}

    @classmethod
    def note(cls, values, tables):
        """How long it lasts, and that not all of the charge on the label is counted, where it is not."""
        found = cls.solve(columns(cls, values, tables))
        amps, lasts = show(float(found["drawn"][0]), "A"), show(float(found["lasts"][0]), "min")
        told = f"At {amps} the charge lasts {lasts}"
        if values["usable"] >= 1:
            return f"{told}."
        share, label = show(values["usable"], "%"), show(values["capacity"], "A·h")
        return f"{told}, counted with {share} of the {label} on the label (usable=100% for all of it)."

    @staticmethod
    def solve(x):
        """Charge over current; the voltage at that current, of the battery as it is and of a worn one."""
        amps, usable = x.count * x.current, x.usable * x.capacity
        lasts = _run_time(x, usable, amps)
        volts = _volts(x.battery.open_circuit, x.battery.resistance, amps)
        return {
            "drawn": amps,
            "lasts": lasts,
            "volts": volts,
            "fuse_lasts": fuse_lasts(x, amps),
            "all_of_it": _run_time(x, x.capacity, amps),
            "matches": lasts / x.time_wanted,
            "used": x.time_wanted / lasts,
            "worn_volts": _volts(x.battery.open_circuit_empty, x.battery.resistance_worn, amps),
            "power": volts * amps,
            "heat": x.battery.resistance * amps**2,
        }


def _run_time(x, charge, amps):
    """Time that a charge lasts at a current; what the voltage is plays no part in it."""
    return battery.run_time(battery.Battery(x.battery.open_circuit, x.battery.resistance, charge), amps)


def _volts(source, resistance, amps):
    """Voltage at a current; no battery goes below 0 by its own current."""
    return np.maximum(battery.voltage(battery.Battery(source, resistance), amps), 0.0)
