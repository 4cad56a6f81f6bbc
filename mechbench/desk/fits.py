"""What readings can correct: which columns are read, the fit behind it, and which numbers of the kit it changes.

Contents: Fit, About, Constant, FITS.

Each fit gives its constants with intervals, and predicts one column of the readings from constants: with the kit's own
constants ("before") and with those that were found ("after").
"""

from dataclasses import dataclass, fields, replace

import numpy as np

from mechbench.kits import Kit
from mechbench.physics import fit, motor
from mechbench.physics.fit import Estimate

FREE, LOADED = "free", "loaded"


@dataclass(frozen=True)
class About:
    """What the readings are of: the kit, the part's name ("" for a record), and what else was told (motor, current)."""

    kit: Kit
    part: str
    more: dict

    def row(self, table):
        """The numbers of the part that was measured."""
        return self.kit.table(table).row(self.part)


@dataclass(frozen=True)
class Constant:
    """One constant: its name, its kind of quantity, what the kit says, and what the readings say."""

    name: str
    kind: str
    before: float
    after: Estimate


@dataclass(frozen=True)
class Fit:
    """One way to correct a kit."""

    name: str
    does: str
    how: str
    table: str
    columns: dict  # name -> kind of quantity, or words
    x: str  # column along the picture
    y: str  # column that is predicted
    find: object  # (readings, about) -> tuple of Constant
    predict: object  # (readings, about, constants by name) -> y
    keys: object  # (about, constants by name) -> {(table, part, key): SI value}
    more: dict  # further things to tell: name -> table of the kit, or kind of quantity
    usual: str = ""  # the part where none is told


def through(estimate, function):
    """An estimate seen through a function that only rises or only falls."""
    low, high = sorted((float(function(estimate.low)), float(function(estimate.high))))
    return Estimate(
        float(function(estimate.value)),
        (high - low) / (estimate.high - estimate.low) * estimate.error if estimate.error else 0.0,
        low,
        high,
    )


# --- friction -------------------------------------------------------------------------------------------------------


def _friction(readings, about):
    weights, covariance, _ = fit.least_squares([readings["press"]], readings["pull"])
    found = fit.estimate(weights[0], covariance[0, 0], len(readings["pull"]) - 1)
    return (Constant("friction", "number", about.kit.friction(about.part), found),)


def _slide(readings, about):
    line, row = fit.fit_line(readings["press"], readings["pull"]), about.row("slides")
    return Constant("friction", "number", row["rail"], line.slope), Constant(
        "drag", "force", row["drag"], line.intercept
    )


def _rail(about):
    table = about.kit.table("slides")
    return table.texts["rail"][table.index(about.part)]


# --- gearbox --------------------------------------------------------------------------------------------------------


def _gearbox(readings, about):
    row, of_motor = about.row("gearboxes"), about.kit.table("motors").row(about.more["motor"])
    line = fit.fit_line(readings["load"], readings["current"])
    if line.slope.low <= 0:
        raise ValueError(
            "The current does not rise clearly with the load, so no efficiency can be told; take heavier loads, and"
            " more readings."
        )
    felt = row["ratio"] * of_motor["torque_constant"]
    found = through(line.slope, lambda slope: 1 / (slope * felt))
    if found.value > 1:
        raise ValueError(
            f"The readings make an efficiency of {100 * found.value:.0f} %, more than can be; check motor, gearbox and"
            " the arm of the load."
        )
    return Constant("efficiency", "fraction", row["efficiency"], found), Constant(
        "idle current", "current", of_motor["free_current"], line.intercept
    )


def _gearbox_current(readings, about, constants):
    felt = about.row("gearboxes")["ratio"] * about.kit.table("motors").row(about.more["motor"])["torque_constant"]
    return readings["load"] / (constants["efficiency"] * felt) + constants["idle current"]


def _gearbox_keys(about, constants):
    each = constants["efficiency"] ** (1 / about.row("gearboxes")["stage_count"])
    return {("gearboxes", about.part, "efficiency_per_stage"): each}


# --- motor ----------------------------------------------------------------------------------------------------------


def _motor(readings, about):
    free = np.array([word == FREE for word in readings["load"]])
    found = motor.fit(readings["voltage"], readings["speed"], readings["current"], readings["current"][free])
    row = about.row("motors")
    return (
        Constant("resistance", "resistance", row["resistance"], found.resistance),
        Constant("torque constant", "torque-constant", row["torque_constant"], found.torque_constant),
        Constant("idle current", "current", row["free_current"], found.free_current),
    )


def _motor_keys(about, constants):
    """The nameplate that these constants make at the nameplate's voltage; so it closes by itself."""
    volts = about.row("motors")["voltage"]
    resistance, torque_constant, idle = (constants[name] for name in ("resistance", "torque constant", "idle current"))
    return {
        ("motors", about.part, "free_speed"): (volts - idle * resistance) / torque_constant,
        ("motors", about.part, "free_current"): idle,
        ("motors", about.part, "stall_torque"): torque_constant * (volts / resistance - idle),
        ("motors", about.part, "stall_current"): volts / resistance,
    }


def _motor_of(about, **other):
    """The motor as physics has it, with other numbers put in."""
    row = about.row("motors") | other
    return motor.Motor(**{field.name: row[field.name] for field in fields(motor.Motor) if field.name in row})


def _warming(readings, about):
    found, row = fit.fit_rise(readings["time"], readings["rise"]), about.row("motors")
    heat = about.more["current"] ** 2 * row["resistance"]
    growth = row["copper_coefficient"]
    to_air = through(found.final, lambda final: final / (heat * (1 + growth * final)))
    # Copper that warms takes more heat: at the start it is `heat`, so the first slope tells the capacity.
    capacity = heat * found.time_constant.value / found.final.value
    share = np.hypot(found.time_constant.error / found.time_constant.value, found.final.error / found.final.value)
    reach = (found.final.high - found.final.low) / 2 / found.final.error if found.final.error else 0.0
    held = Estimate(capacity, capacity * share, capacity * (1 - reach * share), capacity * (1 + reach * share))
    return (
        Constant("thermal resistance", "thermal-resistance", row["thermal_resistance"], to_air),
        Constant("heat capacity", "heat-capacity", row["heat_capacity"], held),
    )


def _warmed(readings, about, constants):
    part = replace(
        _motor_of(about), thermal_resistance=constants["thermal resistance"], heat_capacity=constants["heat capacity"]
    )
    return motor.temperature_rise(part, about.more["current"], readings["time"])


def _warming_keys(about, constants):
    keys = {"thermal_resistance": "thermal resistance", "heat_capacity": "heat capacity"}
    return {("motors", about.part, key): constants[name] for key, name in keys.items()}


def _spin_up(readings, about):
    """A motor alone on the battery runs up with the time constant J (R + R_battery) / k^2, whatever its friction."""
    found, row, battery = fit.fit_rise(readings["time"], readings["speed"]), about.row("motors"), about.kit.battery
    slowness = (row["resistance"] + battery.resistance) / row["torque_constant"] ** 2
    volts = battery.open_circuit - row["free_current"] * (row["resistance"] + battery.resistance)
    inertia = through(found.time_constant, lambda seconds: seconds / slowness)
    return (
        Constant("rotor inertia", "inertia", row["rotor_inertia"], inertia),
        Constant("highest speed", "turning-speed", volts / row["torque_constant"], found.final),
    )


def _running_up(readings, about, constants):
    row = about.row("motors")
    slowness = (row["resistance"] + about.kit.battery.resistance) / row["torque_constant"] ** 2
    return constants["highest speed"] * -np.expm1(-readings["time"] / (constants["rotor inertia"] * slowness))


# --- battery and springs --------------------------------------------------------------------------------------------


def _battery(readings, about):
    line = fit.fit_line(readings["current"], readings["voltage"])
    inside = through(line.slope, lambda slope: -slope)
    if inside.value <= 0:
        raise ValueError(
            "The voltage does not fall as the current rises; check the signs, and read both at the same moment."
        )
    kept = about.kit.battery
    return Constant("resistance", "resistance", kept.resistance, inside), Constant(
        "open circuit", "voltage", kept.open_circuit, line.intercept
    )


def _spring(readings, about):
    row = about.row("extension_springs")
    line = fit.fit_line(readings["length"] - row["free_length"], readings["force"])
    return Constant("rate", "stiffness", row["rate"], line.slope), Constant(
        "initial tension", "force", row["initial_tension"], line.intercept
    )


def _spring_force(readings, about, constants):
    return constants["initial tension"] + constants["rate"] * (
        readings["length"] - about.row("extension_springs")["free_length"]
    )


PULL = (
    "Pull slowly and evenly with a spring scale; read while it moves, not when it breaks loose. Six readings or more,"
    " over the whole range."
)

FITS = {
    known.name: known
    for known in (
        Fit(
            "friction",
            "a friction pair, from the force that presses and the pull that keeps it sliding",
            PULL,
            "friction",
            {"press": "force", "pull": "force"},
            "press",
            "pull",
            _friction,
            lambda r, about, c: c["friction"] * r["press"],
            lambda about, c: {("friction", about.part, "value"): c["friction"]},
            {},
        ),
        Fit(
            "slide",
            "a slide's drag without load and its friction under load, of one stage",
            PULL,
            "slides",
            {"press": "force", "pull": "force"},
            "press",
            "pull",
            _slide,
            lambda r, about, c: c["drag"] + c["friction"] * r["press"],
            lambda about, c: {
                ("slides", about.part, "drag"): c["drag"],
                ("friction", _rail(about), "value"): c["friction"],
            },
            {},
        ),
        Fit(
            "gearbox",
            "a gearbox's efficiency, from the current at loads that it lifts slowly and evenly",
            "Lift known weights on a spool, the same slow speed each time; load is weight times the spool's radius. Six"
            " loads or more.",
            "gearboxes",
            {"load": "torque", "current": "current"},
            "load",
            "current",
            _gearbox,
            _gearbox_current,
            _gearbox_keys,
            {"motor": "motors"},
        ),
        Fit(
            "motor",
            "a motor's nameplate, from voltage, speed and current, running free and under load",
            "At least two readings running free and three under different loads; read fast and let it cool between, it"
            " must not be hot.",
            "motors",
            {"voltage": "voltage", "speed": "turning-speed", "current": "current", "load": (FREE, LOADED)},
            "speed",
            "current",
            _motor,
            lambda r, about, c: (r["voltage"] - c["torque constant"] * r["speed"]) / c["resistance"],
            _motor_keys,
            {},
        ),
        Fit(
            "warming",
            "how fast a motor gets hot, from its rise above the air at one steady current",
            "Hold one current steady; read the rise above the air often at the start, and until it hardly grows. Stop"
            " well before the limit.",
            "motors",
            {"time": "time", "rise": "temperature-difference"},
            "time",
            "rise",
            _warming,
            _warmed,
            _warming_keys,
            {"current": "current"},
        ),
        Fit(
            "spin_up",
            "a motor's rotor inertia, from its speed while it runs up",
            "The motor alone, clamped, on a full battery, nothing on its shaft. Time 0 is when it is switched fully on;"
            " read the encoder's speed every few milliseconds until it hardly grows. Correct its nameplate first.",
            "motors",
            {"time": "time", "speed": "turning-speed"},
            "time",
            "speed",
            _spin_up,
            _running_up,
            lambda about, c: {("motors", about.part, "rotor_inertia"): c["rotor inertia"]},
            {},
        ),
        Fit(
            "battery",
            "a battery's resistance with its wiring, and its voltage without load",
            "Full battery; read voltage and current at the same moment at several loads, each for a few seconds only.",
            "battery",
            {"current": "current", "voltage": "voltage"},
            "current",
            "voltage",
            _battery,
            lambda r, about, c: c["open circuit"] - c["resistance"] * r["current"],
            lambda about, c: {
                ("battery", "", "resistance"): c["resistance"],
                ("battery", "", "open_circuit"): c["open circuit"],
            },
            {},
        ),
        Fit(
            "spring",
            "an extension spring's rate and initial tension, from its length and force",
            "Guard the line of fire and look away from the hook. Lengths from just open to the longest allowed; never"
            " beyond.",
            "extension_springs",
            {"length": "length", "force": "force"},
            "length",
            "force",
            _spring,
            _spring_force,
            lambda about, c: {
                ("extension_springs", about.part, "rate"): c["rate"],
                ("extension_springs", about.part, "initial_tension"): round(c["initial tension"], 9)
                + 0.0,  # no -6e-16 N
            },
            {},
        ),
    )
}
