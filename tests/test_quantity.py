"""Units in and out: published factors, pint for every unit, and every kind of text that can't be read."""

import builtins
import random
import re
import subprocess
import sys

import numpy as np
import pint
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from mechbench import quantity
from mechbench.quantity import (
    KINDS,
    Reading,
    UnreadableQuantity,
    from_si,
    in_system,
    kind_of,
    rad_s_to_rpm,
    read,
    rpm_to_rad_s,
    show,
    si_unit,
    to_si,
    units_of,
    us_unit,
    written,
)
from tests.published import MEMORY, RECOMPUTED, check
from tests.tries import tries

REASONS = {
    "empty",
    "too long",
    "no number",
    "not a number",
    "no unit",
    "unknown unit",
    "wrong kind",
    "not finite",
    "out of range",
}

# --- published factors ---------------------------------------------------------------------------------------------

NIST = "NIST SP 811 (2008), Appendix B.8"
SEEN = "read in an open copy of the table"

PUBLISHED = [
    # what, unit, factor to SI, relative tolerance, source, how known
    ("inch, exact", "in", 0.0254, 1e-12, NIST, SEEN),
    ("standard gravity, exact, as 1 kgf", "kgf", 9.80665, 1e-12, NIST + "; CODATA", SEEN),
    ("pound-force", "lbf", 4.448222, 5e-7, NIST, SEEN),
    ("pound-force inch", "lbf·in", 0.1129848, 5e-7, NIST, SEEN),
    ("pound-force foot", "lbf·ft", 1.355818, 5e-7, NIST, SEEN),
    ("pound-force per inch", "lbf/in", 175.1268, 5e-7, NIST, SEEN),
    ("ounce-force inch", "ozf·in", 7.061552e-3, 3e-7, NIST, SEEN),
    ("ounce-force", "ozf", 0.2780139, 3e-7, NIST, SEEN),
    ("kilogram-force centimetre", "kgf·cm", 0.0980665, 1e-12, NIST, RECOMPUTED),
    ("revolution per minute", "rpm", 0.1047198, 5e-7, NIST, SEEN),
    ("pound-force per square inch", "psi", 6894.757, 5e-7, NIST, SEEN),
    ("foot, exact", "ft", 0.3048, 1e-12, NIST, MEMORY),
    ("pound", "lb", 0.4535924, 5e-7, NIST, MEMORY),
    ("ounce", "oz", 0.02834952, 5e-7, NIST, MEMORY),
    ("mile per hour, exact", "mph", 0.44704, 1e-12, NIST, MEMORY),
    ("pound inch squared", "lb·in2", 2.926397e-4, 5e-7, NIST, MEMORY),
    ("mile, exact", "mi", 1609.344, 1e-12, NIST, MEMORY),
    ("yard, exact", "yd", 0.9144, 1e-12, NIST, MEMORY),
    ("kilometre per hour", "km/h", 0.2777778, 5e-7, NIST, MEMORY),
    ("foot per second, exact", "ft/s", 0.3048, 1e-12, NIST, MEMORY),
    ("inch per second, exact", "in/s", 0.0254, 1e-12, NIST, MEMORY),
]

# The same table, for units that are spelled out as people write them.
SPELLED_OUT = [
    # text, kind, factor to SI, relative tolerance, source, how known
    ("1 foot pound", "torque", 1.355818, 5e-7, NIST, SEEN),
    ("1 inch pound", "torque", 0.1129848, 5e-7, NIST, SEEN),
    ("1 mile per hour", "speed", 0.44704, 1e-12, NIST, MEMORY),
    ("1 foot per second", "speed", 0.3048, 1e-12, NIST, MEMORY),
    ("1 kilometer per hour", "speed", 0.2777778, 5e-7, NIST, MEMORY),
    ("1 revolution per minute", "turning-speed", 0.1047198, 5e-7, NIST, SEEN),
    ("1 pound per square inch", "pressure", 6894.757, 5e-7, NIST, SEEN),
    ("1 pound per inch", "stiffness", 175.1268, 5e-7, NIST, SEEN),
    ("1 lb", "force", 4.448222, 5e-7, NIST + " (pound-force)", SEEN),
    ("1 ounce", "force", 0.2780139, 3e-7, NIST + " (ounce-force)", SEEN),
    ("1 ft 1 in", "length", 0.3302, 1e-12, NIST + ", 0.3048 + 0.0254", MEMORY),
    ("1 lb 1 oz", "mass", 0.4819419, 5e-7, NIST + ", 0.4535924 + 0.02834952", MEMORY),
]


@pytest.mark.parametrize("what, unit, factor, rtol, source, known", PUBLISHED)
def test_published_factor(what, unit, factor, rtol, source, known):
    check("quantity", f"{what}: one {unit} in SI", to_si(1.0, unit), factor, rtol, source, known)


@pytest.mark.parametrize("text, kind, factor, rtol, source, known", SPELLED_OUT)
def test_published_factor_of_a_unit_in_words(text, kind, factor, rtol, source, known):
    check("quantity", f"{text} in SI", read(text, kind).value, factor, rtol, source, known)


def test_fixed_points_of_the_temperature_scales():
    # Freezing and boiling water, absolute zero, and the one reading that both scales share.
    for fahrenheit, kelvin in [(32.0, 273.15), (212.0, 373.15), (-40.0, 233.15)]:
        check("quantity", f"{fahrenheit} degF (K)", to_si(fahrenheit, "degF"), kelvin, 1e-12, NIST, MEMORY)
    check("quantity", "-40 degF (degC)", from_si(to_si(-40.0, "degF"), "degC"), -40.0, 1e-12, NIST, MEMORY)
    check("quantity", "absolute zero (degC)", from_si(0.0, "degC"), -273.15, 1e-12, NIST, MEMORY)


# --- pint, every unit ----------------------------------------------------------------------------------------------

# Our kind -> pint's SI unit; our unit -> pint's. Written here apart from the table that they check.
PINT_SI = {
    "length": "meter",
    "mass": "kilogram",
    "time": "second",
    "force": "newton",
    "torque": "newton*meter",
    "speed": "meter/second",
    "turning-speed": "radian/second",
    "turning-acceleration": "radian/second**2",
    "angle": "radian",
    "current": "ampere",
    "voltage": "volt",
    "resistance": "ohm",
    "power": "watt",
    "energy": "joule",
    "charge": "coulomb",
    "temperature": "kelvin",
    "temperature-difference": "kelvin",
    "stiffness": "newton/meter",
    "inertia": "kilogram*meter**2",
    "acceleration": "meter/second**2",
    "torque-constant": "newton*meter/ampere",
    "pressure": "pascal",
    "frequency": "1/second",
    "heat-capacity": "joule/kelvin",
    "thermal-resistance": "kelvin/watt",
    "temperature-coefficient": "1/kelvin",
    "area": "meter**2",
    "fraction": "",
    "number": "",
    "count": "",
    "points": "",
}
PINT_UNIT = {
    "mm": "millimeter",
    "m": "meter",
    "cm": "centimeter",
    "in": "inch",
    "ft": "foot",
    "km": "kilometer",
    "yd": "yard",
    "mi": "mile",
    "kg": "kilogram",
    "g": "gram",
    "lb": "pound",
    "oz": "ounce",
    "s": "second",
    "ms": "millisecond",
    "min": "minute",
    "h": "hour",
    "N": "newton",
    "mN": "millinewton",
    "kN": "kilonewton",
    "lbf": "force_pound",
    "ozf": "force_ounce",
    "kgf": "force_kilogram",
    "gf": "force_gram",
    "N·m": "newton*meter",
    "mN·m": "millinewton*meter",
    "N·cm": "newton*centimeter",
    "N·mm": "newton*millimeter",
    "kgf·cm": "force_kilogram*centimeter",
    "lbf·in": "force_pound*inch",
    "lbf·ft": "force_pound*foot",
    "ozf·in": "force_ounce*inch",
    "kgf·m": "force_kilogram*meter",
    "gf·cm": "force_gram*centimeter",
    "m/s": "meter/second",
    "mm/s": "millimeter/second",
    "cm/s": "centimeter/second",
    "km/h": "kilometer/hour",
    "ft/s": "foot/second",
    "in/s": "inch/second",
    "mph": "mile/hour",
    "rpm": "revolution/minute",
    "rad/s": "radian/second",
    "deg/s": "degree/second",
    "rev/s": "revolution/second",
    "rad/s2": "radian/second**2",
    "deg": "degree",
    "rad": "radian",
    "turn": "revolution",
    "A": "ampere",
    "mA": "milliampere",
    "V": "volt",
    "mV": "millivolt",
    "ohm": "ohm",
    "mohm": "milliohm",
    "W": "watt",
    "kW": "kilowatt",
    "mW": "milliwatt",
    "J": "joule",
    "kJ": "kilojoule",
    "mJ": "millijoule",
    "W·h": "watt*hour",
    "A·h": "ampere*hour",
    "mA·h": "milliampere*hour",
    "A·s": "ampere*second",
    "degC": "degC",
    "degF": "degF",
    "K": "kelvin",
    "N/mm": "newton/millimeter",
    "N/m": "newton/meter",
    "lbf/in": "force_pound/inch",
    "kg·m2": "kilogram*meter**2",
    "kg·cm2": "kilogram*centimeter**2",
    "g·cm2": "gram*centimeter**2",
    "lb·in2": "pound*inch**2",
    "m/s2": "meter/second**2",
    "ft/s2": "foot/second**2",
    "N·m/A": "newton*meter/ampere",
    "mN·m/A": "millinewton*meter/ampere",
    "V·s/rad": "volt*second/radian",
    "kPa": "kilopascal",
    "Pa": "pascal",
    "MPa": "megapascal",
    "bar": "bar",
    "psi": "force_pound/inch**2",
    "Hz": "1/second",
    "kHz": "1/millisecond",
    "J/K": "joule/kelvin",
    "K/W": "kelvin/watt",
    "%/K": "0.01/kelvin",
    "1/K": "1/kelvin",
    "mm2": "millimeter**2",
    "cm2": "centimeter**2",
    "m2": "meter**2",
    "in2": "inch**2",
    "ft2": "foot**2",
    "%": "0.01",
    "fraction": "",
    "": "",
    "whole": "",
    "points": "",
}
EVERY = [(kind, unit) for kind in KINDS for unit in units_of(kind)]


@pytest.fixture(scope="module")
def registry():
    return pint.UnitRegistry()


def test_pint_knows_each_kind_and_unit_of_ours():
    assert set(PINT_SI) == set(KINDS)
    assert set(PINT_UNIT) == {unit for _, unit in EVERY}


@pytest.mark.parametrize("kind, unit", EVERY)
def test_size_against_pint(registry, kind, unit):
    for number in (0.0, 1.0, -2.5, 1234.5):
        theirs = PINT_UNIT[unit]
        quantity_of_pint = number * registry(theirs) if theirs.startswith("0.01") else registry.Quantity(number, theirs)
        expected = quantity_of_pint.to(PINT_SI[kind]).magnitude
        assert to_si(number, unit) == pytest.approx(expected, rel=1e-12, abs=1e-12 * abs(to_si(1.0, unit)))
        assert from_si(expected, unit) == pytest.approx(number, rel=1e-12, abs=1e-10)


@pytest.mark.parametrize("kind", KINDS)
def test_si_unit_of_each_kind(kind):
    unit = si_unit(kind)
    assert unit in units_of(kind)
    assert to_si(7.0, unit) == 7.0
    # K means a difference when nobody asks for a temperature.
    assert kind_of(unit) == ("temperature-difference" if kind == "temperature" else kind)


# --- text that is read ---------------------------------------------------------------------------------------------

LBF = 0.45359237 * 9.80665
TURN = 2 * np.pi

NUMBERS = [
    ("3 m", 3),
    ("3m", 3),
    ("3. m", 3),
    (".5 m", 0.5),
    ("0.5 m", 0.5),
    ("3,5 m", 3.5),
    (",5 m", 0.5),
    ("+3 m", 3),
    ("-3 m", -3),
    ("−3 m", -3),
    ("–3 m", -3),
    ("—3 m", -3),
    ("‒ 3 m", -3),
    ("― 3 m", -3),
    ("－3 m", -3),
    ("1/2 m", 0.5),
    ("1 / 2 m", 0.5),
    ("½ m", 0.5),
    ("-½m", -0.5),
    ("—¾ m", -0.75),
    ("¼m", 0.25),
    ("1½ m", 1.5),
    ("1 ½ m", 1.5),
    ("3 1/2 m", 3.5),
    ("3 1⁄2 m", 3.5),
    ("12 3/16 m", 12.1875),
    ("-2 1/4 m", -2.25),
    ("63/64 m", 63 / 64),
    ("- 3 m", -3),
    ("1.2e3 m", 1200),
    ("1.2E3 m", 1200),
    ("1,2e-3 m", 0.0012),
    ("1.2e+3m", 1200),
    ("1.2·10^3 m", 1200),
    ("1.2 x 10^3 m", 1200),
    ("1.2 × 10³ m", 1200),
    ("1.2×10⁻³ m", 0.0012),
    ("1.2*10**3 m", 1200),
    ("1 250 m", 1250),
    ("1\u202f250,5 m", 1250.5),
    ("1'250 m", 1250),
    ("12 345 678 m", 12345678),
    ("３．２ｍ", 3.2),
    ("0,161 m", 0.161),
    ("1,23 m", 1.23),
    ("1.234 m", 1.234),
    ("1,2345 m", 1.2345),
    ("007 m", 7),
    ("  3 m \n", 3),
    ("3\u00a0m", 3),
    ("\u200b3 m\u200b", 3),
    ("3 m.", 3),
    ("1234,567 m", 1234.567),
    ("-0 m", 0),
]


@pytest.mark.parametrize("text, value", NUMBERS)
def test_numbers_that_are_read(text, value):
    reading = read(text, "length")
    assert reading.value == pytest.approx(value, rel=1e-15)
    assert reading == Reading(reading.value, "m", "length", reading.value, text.strip())
    assert read(text) == reading


SPELLINGS = [
    (
        "torque",
        "N·m",
        1.0,
        "N·m|Nm|N m|N.m|N*m|N-m|N⋅m|N • m|NM|nm|newton metre|newton-meters|Newton Meter|newton m|N-meters",
    ),
    ("torque", "mN·m", 1e-3, "mN·m|mNm|mN m"),
    ("torque", "kgf·cm", 0.0980665, "kgf·cm|kgf cm|kgfcm|kgf.cm|KGF*CM|kgf-cm"),
    ("torque", "ozf·in", LBF / 16 * 0.0254, "oz in|ozf in|ozf·in|oz-in|in oz|OZ IN|ozin|ounce inches|inch-ounces"),
    (
        "torque",
        "lbf·in",
        LBF * 0.0254,
        "lbf in|lb in|in lb|in-lbs|lbf·in|in lbf|inch pounds|inch-pound|pound inches|pound-force inches|in-lbf",
    ),
    (
        "torque",
        "lbf·ft",
        LBF * 0.3048,
        "lbf ft|ft lb|ft-lbs|lb ft|ft·lbf|foot pounds|foot-pound|Foot Pounds|ft-lb|ftlb|lb-ft|foot-lbs|pound feet",
    ),
    (
        "turning-speed",
        "rpm",
        TURN / 60,
        "rpm|r.p.m.|r/min|1/min|rev/min|/min|min⁻¹|U/min|rpms|revolutions per minute|revs/minute|rotations per minute",
    ),
    ("turning-speed", "rad/s", 1.0, "rad/s|rad / s|rad s^-1|RAD/S|radians per second|rad per sec"),
    ("turning-speed", "deg/s", TURN / 360, "deg/s|°/s|º/s|deg·s⁻¹|degrees per second|° per second"),
    ("turning-speed", "rev/s", TURN, "rev/s|turns/s|r/s|turns per second|revolutions per second"),
    ("length", "in", 0.0254, "in|in.|\"|inch|inches|″|''|”|IN|ʺ|＂"),
    ("length", "ft", 0.3048, "ft|'|feet|foot|′|’|ʹ|ʼ|´"),
    ("length", "mm", 1e-3, "mm|㎜|millimetres|mM"),
    ("mass", "kg", 1.0, "kg|KG|Kg|㎏|kilograms"),
    ("mass", "lb", 0.45359237, "lb|lbs|lbm|pounds"),
    ("force", "N", 1.0, "N|n|newtons|Ｎ|kg·m/s²|kg m/s^2"),
    ("force", "lbf", LBF, "lbf|pounds-force|pound force|lb-f|lbs force"),
    ("force", "kgf", 9.80665, "kgf|kp|kilogram-force|kg-force"),
    ("resistance", "ohm", 1.0, "ohm|ohms|Ω|\u2126|OHM"),
    ("resistance", "mohm", 1e-3, "mohm|mΩ"),
    ("energy", "W·h", 3600.0, "W·h|Wh|W h"),
    ("charge", "mA·h", 3.6, "mA·h|mAh|mah"),
    ("angle", "deg", TURN / 360, "deg|°|º|˚|degrees|Deg"),
    ("angle", "turn", TURN, "turn|turns|rev|revs"),
    ("temperature-difference", "K", 1.0, "K|°C|degC|kelvin|C|degrees Celsius"),
    ("thermal-resistance", "K/W", 1.0, "K/W|°C/W|k/w"),
    ("temperature-coefficient", "%/K", 1e-2, "%/K|% / K|%/°C"),
    ("inertia", "kg·m2", 1.0, "kg·m2|kg m²|kg*m^2|kgm2|kg m**2|kg-m2|kilogram square meters|kg meter squared"),
    (
        "acceleration",
        "m/s2",
        1.0,
        "m/s2|m/s²|m/s^2|m s^-2|m·s⁻²|m/s/s|meters per second squared|metres per second per second|m/sec²",
    ),
    (
        "speed",
        "m/s",
        1.0,
        "m/s|m·s⁻¹|ms^-1|M/S|m/sec|meters per second|metres per second|Meters Per Second|m per s|meter/second|mps",
    ),
    ("speed", "km/h", 1 / 3.6, "km/h|kmh|kph|km/hr|kmph|km per hour|kilometers per hour|kilometres/hour"),
    ("speed", "ft/s", 0.3048, "ft/s|fps|ft/sec|feet per second|foot per second|feet/s"),
    ("speed", "in/s", 0.0254, "in/s|ips|in/sec|inches per second"),
    ("speed", "mm/s", 1e-3, "mm/s|mm/sec|mm per second|millimeters per second"),
    ("speed", "mph", 0.44704, "mph|mi/h|miles per hour|mile/hr"),
    ("length", "km", 1e3, "km|kilometers|kilometre"),
    ("stiffness", "N/mm", 1e3, "N/mm|newtons per millimeter|N per mm"),
    ("pressure", "psi", LBF / 0.0254**2, "psi|lb/in²|pounds per square inch|lbf/in^2|lb per sq in"),
    ("energy", "W·h", 3600.0, "watt hours|watt-hour"),
    ("charge", "A·h", 3600.0, "Ah|amp hours|ampere-hours"),
    ("area", "in2", 0.0254**2, "in²|square inches|sq in|inches squared"),
    ("torque-constant", "N·m/A", 1.0, "N·m/A|Nm/A|N m/A|newton meters per amp"),
    ("torque-constant", "V·s/rad", 1.0, "V·s/rad|Vs/rad|V s/rad|V/(rad/s)"),
    ("stiffness", "lbf/in", LBF / 0.0254, "lbf/in|lb/in|lbs/in|pounds per inch"),
    ("pressure", "MPa", 1e6, "MPa|MPA|Mpa"),
    ("fraction", "%", 1e-2, "%|percent|per cent|％"),
    ("number", "", 1.0, "|x|X|:1| : 1|×"),
    ("points", "points", 1.0, "|points|pt|pts|point"),
    ("count", "whole", 1.0, ""),
]


@pytest.mark.parametrize("kind, unit, size, spellings", SPELLINGS)
def test_spellings_of_a_unit(kind, unit, size, spellings):
    for spelling in spellings.split("|"):
        # "31/min" is thirty-one a minute.
        for text in {f"3 {spelling}", f"3{spelling}" if spelling != "1/min" else "3 1/min"}:
            reading = read(text, kind)
            assert (reading.unit, reading.kind, reading.number) == (unit, kind, 3.0), text
            assert reading.value == pytest.approx(3 * size, rel=1e-12), text


@pytest.mark.parametrize("kind, unit", EVERY)
def test_each_unit_reads_as_it_is_written(kind, unit):
    for spelled in {unit, written(unit)}:
        reading = read(f"0 {spelled}" if kind != "temperature" else f"300 {spelled}", kind)
        assert reading.kind == kind
        assert (reading.unit == unit) or not spelled


def test_nothing_below_zero_is_shown_as_minus_nothing():
    assert str(read("-0 m").value) == str(read("−0.0 mm").number) == "0.0"


def test_temperature_and_difference():
    assert read("20 °C").value == pytest.approx(293.15)
    assert read("20 °C", "temperature") == read("20 °C")
    assert read("20 °c") == Reading(293.15, "degC", "temperature", 20.0, "20 °c")
    assert read("20 °C", "temperature-difference") == Reading(20.0, "K", "temperature-difference", 20.0, "20 °C")
    assert read("68 °F", "temperature").value == pytest.approx(293.15)
    assert read("300 K", "temperature").value == 300.0
    assert read("300 K").kind == "temperature-difference"


def test_fraction_with_and_without_sign():
    assert read("90 %", "fraction").value == pytest.approx(0.9)
    assert read("0.9", "fraction") == Reading(0.9, "fraction", "fraction", 0.9, "0.9")
    assert read("150 %", "fraction").value == pytest.approx(1.5)
    assert reason("90", "fraction") == "no unit"


# --- text that is refused ------------------------------------------------------------------------------------------


def refusal(text, kind=None):
    """Read a text that must be refused; give the refusal, and see that it is well spoken."""
    with pytest.raises(UnreadableQuantity) as caught:
        read(text, kind)
    sentence = str(caught.value)
    assert caught.value.reason in REASONS
    assert len(sentence) <= 200 and sentence.isprintable()
    assert sentence.endswith(".") and sentence[0] in "'NW"
    return caught.value


def reason(text, kind=None):
    return refusal(text, kind).reason


REFUSED = [
    ("", None, "empty"),
    ("  \n\t ", "torque", "empty"),
    ("\u200b", None, "no number"),
    ("3" * 10_000, None, "too long"),
    ("(" * 10_000, None, "too long"),
    ("3" + " " * 100 + "m", None, "too long"),
    ("N·m", None, "no number"),
    ("__import__('os')", None, "no number"),
    ("((((((((((", None, "no number"),
    ("hello", "force", "no number"),
    ("٣ m", None, "no number"),
    ("e", None, "no number"),
    (".", None, "no number"),
    ("9**9**9 m", None, "not a number"),
    ("9**9 m", None, "not a number"),
    ("(((3))) m", None, "not a number"),
    ("5/2 in", None, "not a number"),
    ("1/65 in", None, "not a number"),
    ("0/4 in", None, "not a number"),
    ("3 5/4 in", None, "not a number"),
    ("5-1/2 in", None, "not a number"),
    ("1/2", None, "not a number"),
    ("1/16", "number", "not a number"),
    ("1/2/3 in", None, "not a number"),
    ("3½½ in", None, "not a number"),
    ("1.5 1/2 in", None, "not a number"),
    ("15*8", "number", "not a number"),
    ("15*8 N", "force", "not a number"),
    ("15×8 N", "force", "not a number"),
    ("15/8 N", "force", "not a number"),
    ("5 ft 14 in", "length", "not a number"),
    ("5.5 ft 6 in", "length", "not a number"),
    ("5 ft 6", "length", "not a number"),
    ("5'6", "length", "not a number"),
    ("5 in 6 ft", "length", "not a number"),
    ("5 ft -6 in", "length", "not a number"),
    ("5'-6\"", None, "not a number"),
    ("2 kg 3 g", "mass", "not a number"),
    ("3 h 61 min", "time", "not a number"),
    ("3+4 m", None, "not a number"),
    ("5-3 m", None, "not a number"),
    ("5–3 m", None, "not a number"),
    ("3 m 20 cm", None, "not a number"),
    ("1.2.3 m", None, "not a number"),
    ("1_000 m", None, "not a number"),
    ("1e3.5 m", None, "not a number"),
    ("1.2 x 103 m", None, "not a number"),
    ("~3 m", None, "not a number"),
    ("±3 m", None, "not a number"),
    ("5 N ± 1", None, "not a number"),
    ("3² m", None, "not a number"),
    ("m3", None, "not a number"),
    ("0x10 m", None, "not a number"),
    ("1:16", "number", "not a number"),
    ("3 4", "number", "not a number"),
    ("1,234 mm", None, "not a number"),
    ("12,500 rpm", None, "not a number"),
    ("1,234.5 m", None, "not a number"),
    ("1.234,5 m", None, "not a number"),
    ("1,234,567 m", None, "not a number"),
    ("1.234.567 m", None, "not a number"),
    ("3, m", None, "not a number"),
    ("3 = m", None, "not a number"),
    ("--3 m", None, "not a number"),
    ("3.2", "torque", "no unit"),
    ("3,2", "length", "no unit"),
    ("3 .", "length", "no unit"),
    ("12", "fraction", "no unit"),
    ("3 foo", None, "unknown unit"),
    ("3 Nmx", "torque", "unknown unit"),
    ("3 xx", None, "unknown unit"),
    ("3 €", None, "unknown unit"),
    ("3 MA", "current", "unknown unit"),
    ("3 mPa", None, "unknown unit"),
    ("3 mpa", None, "unknown unit"),
    ("3 MM", None, "unknown unit"),
    ("3 MN·m", None, "unknown unit"),
    ("3 MΩ", None, "unknown unit"),
    ("3 M", None, "unknown unit"),
    ("3 k", None, "unknown unit"),
    ("3 G", None, "unknown unit"),
    ("3 m3", None, "unknown unit"),
    ("3 m·s", None, "unknown unit"),
    ("3 N·ms", None, "unknown unit"),
    ("3 m\0", None, "unknown unit"),
    ("3 \ud800", None, "unknown unit"),
    ("25 kg cm", "torque", "unknown unit"),
    ("25 kg·cm", None, "unknown unit"),
    ("25 g cm", None, "unknown unit"),
    ("3 kg", "force", "wrong kind"),
    ("3 lbm", "force", "wrong kind"),
    ("3 lb", "torque", "wrong kind"),
    ("3 m N", "torque", "unknown unit"),
    ("3 mN", "torque", "wrong kind"),
    ("3 lbm in", "torque", "unknown unit"),
    ("3 hp", "power", "unknown unit"),
    ("3 per", "speed", "unknown unit"),
    ("3 meters per", "speed", "unknown unit"),
    ("3 per second per second per second", "speed", "unknown unit"),
    ("3 square", "area", "unknown unit"),
    ("3 Hz", "turning-speed", "wrong kind"),
    ("3 N", "torque", "wrong kind"),
    ("3 J", "torque", "wrong kind"),
    ("3 m", "number", "wrong kind"),
    ("90 %", "number", "wrong kind"),
    ("16:1", "force", "wrong kind"),
    ("20 °F", "temperature-difference", "wrong kind"),
    ("5 °", "temperature", "wrong kind"),
    ("25 kg cm", "force", "unknown unit"),
    ("nan", None, "not finite"),
    ("NaN m", None, "not finite"),
    ("inf m", "length", "not finite"),
    ("-Infinity m", None, "not finite"),
    ("∞ m", None, "not finite"),
    ("+ inf", None, "not finite"),
    ("1e999 m", None, "out of range"),
    ("-1e999 m", None, "out of range"),
    ("1e-999 m", None, "out of range"),
    ("1e16 m", None, "out of range"),
    ("9" * 70 + " m", None, "out of range"),
    ("1e" + "9" * 70, None, "out of range"),
    ("1e-14 mm", None, "out of range"),
    ("-300 °C", None, "out of range"),
    ("-1 K", "temperature", "out of range"),
    ("2.5", "count", "out of range"),
]


@pytest.mark.parametrize("text, kind, expected", REFUSED)
def test_text_that_is_refused(text, kind, expected):
    found = refusal(text, kind)
    assert found.reason == expected, str(found)
    if expected != "empty":
        echo = "".join(sign if sign.isprintable() else "?" for sign in text.strip()[:40])
        assert f"'{echo}" in str(found)
    assert text.strip()[:41] not in str(found) or len(text.strip()) < 41


def test_every_reason_is_met_with_a_sentence_of_its_own():
    sentences = {}
    for text, kind, expected in REFUSED:
        sentences.setdefault(expected, str(refusal(text, kind)))
    assert set(sentences) == REASONS
    without_echo = {re.sub("'.*?'", "", sentence) for sentence in sentences.values()}
    assert len(without_echo) == len(REASONS)


@pytest.mark.parametrize(
    "text, kind, sentence",
    [
        ("3.2", "torque", "'3.2' has no unit: write the unit too, for example 3.2 N·m."),
        ("3 kg", "force", "'3 kg' is a mass; a force is asked, for example in N."),
        ("3 lbm", "force", "'3 lbm' is a mass; a force is asked, for example in lbf."),
        (
            "5-1/2 in",
            "length",
            "'5-1/2 in' can be read in two ways: write 5 1/2 where both are added, or work out the difference.",
        ),
        (
            "1/16",
            "number",
            "'1/16' is a ratio that can be read both ways up: write it as one number, for example 16 or 0.0625.",
        ),
        ("15*8", "number", "'15*8' is still to be worked out: write one number, for example 3.2."),
        (
            "3 m N",
            "torque",
            "'3 m N' can be read in two ways: write N·m for newton metres, or mN for millinewtons.",
        ),
        (
            "5'-6\"",
            "length",
            "'5'-6\"' can be read in two ways: write 5 ft 6 in where both are added, or work out the difference.",
        ),
        ("5 ft 14 in", "length", "'5 ft 14 in' has 5 ft and 14 in: write whole ft, and fewer than 12 in."),
        ("1,234 mm", "length", "'1,234 mm' can be read in two ways: write 1234 or 1.234."),
        ("3 MA", "current", "'3 MA' has the unknown unit 'MA'; known for a current are A and mA."),
        ("3 nmx", None, "'3 nmx' has the unknown unit 'nmx'; known ones are, for example, N·m, mm, kg and s."),
        ("3 qq", "force", "'3 qq' has the unknown unit 'qq'; known for a force are N, mN, kN, lbf, ozf, kgf and gf."),
        ("3 qq", "number", "'3 qq' has the unknown unit 'qq'; a plain number is asked, for example 3.2."),
        (
            "25 kg cm",
            "torque",
            "'25 kg cm' has a mass in its unit: data sheets mean a weight there, so write kgf·cm instead of kg cm.",
        ),
        ("", "fraction", "Nothing is written yet: write one number and its unit, for example 90 % or 0.9."),
        ("-300 °C", None, "'-300 °C' is colder than absolute zero (-273.15 °C): check the sign and the unit."),
    ],
)
def test_sentences(text, kind, sentence):
    assert str(refusal(text, kind)) == sentence


# --- hints, and what is read otherwise than it stands --------------------------------------------------------------


@pytest.mark.parametrize(
    "text, kind, hint",
    [
        ("3 milimeters", "length", "the nearest known one for a length is mm"),
        ("3 millimetrs", "length", "the nearest known one for a length is mm"),
        ("3 newtns", "force", "the nearest known one for a force is N"),
        ("3 kilogramms", "mass", "the nearest known one for a mass is kg"),
        ("3 secnds", "time", "the nearest known one for a time is s"),
        ("3 inchs", None, "the nearest known one is in"),
    ],
)
def test_a_slip_in_a_word_gets_the_unit_it_can_only_be(text, kind, hint):
    assert hint in str(refusal(text, kind))


@pytest.mark.parametrize(
    "text, kind",
    [
        ("3 Mm", "length"),
        ("3 dm", "length"),
        ("3 um", "length"),
        ("3 nmi", "length"),
        ("3 MN", "force"),
        ("3 daN", "force"),
        ("3 Nk", "force"),
        ("3 MNm", "torque"),
        ("3 kN·m", "torque"),
        ("3 mi/s", "speed"),
        ("3 mpm", "speed"),
        ("3 rph", "turning-speed"),
        ("3 µs", "time"),
        ("3 decimeter", "length"),
        ("3 micrometer", "length"),
        ("3 megawatt", "power"),
        ("3 GW", "power"),
        ("3 hp", "power"),
        ("3 lb·m", "torque"),
        ("3 µA", "current"),
        ("3 MA", "current"),
    ],
)
def test_a_unit_that_is_not_known_is_never_answered_with_another_size(text, kind):
    said = str(refusal(text, kind))
    assert "nearest" not in said and (f"known for {KINDS[kind]} are " in said or "two ways" in said)


def test_every_hint_is_a_slip_in_one_word_and_of_one_unit_only():
    """Whatever is left out, doubled or exchanged in a spelling: a hint never names a unit of another size."""
    for kind, unit in EVERY:
        for spelling in [one for one in quantity._SPELLED if any(u.name == unit for u in quantity._SPELLED[one])]:
            for at in range(len(spelling)):
                for slip in (spelling[:at] + spelling[at + 1 :], spelling[:at] + spelling[at] + spelling[at:]):
                    try:
                        read(f"3 {slip}", kind)
                    except UnreadableQuantity as found:
                        hint = re.search("the nearest known one for .* is (.*)[.]$", str(found))
                        if hint:
                            assert to_si(1.0, hint[1]) == to_si(1.0, unit), (slip, str(found))


@pytest.mark.parametrize(
    "text, kind, unit, number",
    [
        ("5 ft 6 in", "length", "ft", 5.5),
        ("5'6\"", "length", "ft", 5.5),
        ("5' 6\"", "length", "ft", 5.5),
        ("5′6″", "length", "ft", 5.5),
        ("5’ 6”", None, "ft", 5.5),
        ("-5 ft 6 in", "length", "ft", -5.5),
        ("5ft6in", "length", "ft", 5.5),
        ("5 feet, 6 inches", "length", "ft", 5.5),
        ("5 feet and 6 inches", "length", "ft", 5.5),
        ("5 ft 6 1/2 in", "length", "ft", 5 + 6.5 / 12),
        ("5' 6½\"", "length", "ft", 5 + 6.5 / 12),
        ("5 ft 6.5 in", "length", "ft", 5 + 6.5 / 12),
        ("2 lb 4 oz", "mass", "lb", 2.25),
        ("2 lb 4 oz", "force", "lbf", 2.25),
        ("1 h 30 min", "time", "h", 1.5),
        ("2 min 30 s", "time", "min", 2.5),
    ],
)
def test_two_units_in_a_row(text, kind, unit, number):
    reading = read(text, kind)
    assert reading.unit == unit and reading.number == pytest.approx(number, rel=1e-15)
    assert reading.value == pytest.approx(to_si(number, unit), rel=1e-15)


def test_pounds_are_a_force_where_a_force_is_asked_and_it_is_said():
    for text, unit in (("3 lb", "lbf"), ("3 lbs", "lbf"), ("3 pounds", "lbf"), ("3 oz", "ozf"), ("3 Ounces", "ozf")):
        reading = read(text, "force")
        assert (reading.unit, reading.number) == (unit, 3.0) and f"is read as {unit}" in reading.note
        assert read(text).kind == "mass" and read(text).note == ""
    assert read("3 lb", "mass").note == read("3 lbf", "force").note == read("3 N").note == ""
    assert reason("3 kg", "force") == "wrong kind"  # a kilogram is never a force: that is what is taught


@pytest.mark.parametrize(
    "text, kind, other",
    [
        ("5.230 rpm", "turning-speed", 5230),
        ("12.000 N", "force", 12000),
        ("-1.250 mm", "length", -1250),
        ("+ 1.250 mm", "length", 1250),
        ("6.17 rpm", "turning-speed", None),
        ("5.2300 rpm", "turning-speed", None),
        ("0.170 rpm", "turning-speed", None),
        ("05.230 rpm", "turning-speed", None),
        ("5230 rpm", "turning-speed", None),
        ("5230.123 rpm", "turning-speed", None),
        ("1.250e3 rpm", "turning-speed", None),
        ("1 1.250 rpm", "turning-speed", None),
        ("5.230", "turning-speed", None),
        ("nonsense", "turning-speed", None),
        ("", "turning-speed", None),
    ],
)
def test_the_other_reading_of_a_dot(text, kind, other):
    """A dot is a decimal mark here; where three digits follow, some people part the thousands with it."""
    found = quantity.with_thousands(text, kind)
    assert (found and found.number) == other
    if found:
        assert found.value == to_si(other, found.unit) and found.text == text
        assert read(text, kind).number == pytest.approx(other / 1000, rel=1e-15)


def test_nothing_but_text_is_read():
    for thing in (3.2, None, b"3 m", ["3 m"]):
        assert reason(thing) == "not a number"
    with pytest.raises(ValueError, match="kind='weight' is not known"):
        read("3 N", "weight")


def test_nothing_is_evaluated(monkeypatch):
    real_import = builtins.__import__

    def forbidden(*_, **__):
        raise AssertionError("a text was evaluated")

    def no_system(name, *rest, **named):
        return forbidden() if name == "os" else real_import(name, *rest, **named)

    outcomes = []
    with monkeypatch.context() as patch:
        for name in ("eval", "exec", "compile", "open"):
            patch.setattr(builtins, name, forbidden)
        patch.setattr(builtins, "__import__", no_system)
        for text, kind, _ in REFUSED:
            try:
                read(text, kind)
            except UnreadableQuantity as found:
                outcomes.append(found.reason)
    assert outcomes == [expected for _, _, expected in REFUSED]


# --- any text at all -----------------------------------------------------------------------------------------------

KIND_OR_NONE = st.sampled_from([None, *KINDS])
SPELLED_UNITS = st.sampled_from(sorted(quantity._SPELLED))
ALMOST = st.tuples(
    st.one_of(st.floats(allow_nan=True, allow_infinity=True).map(str), st.from_regex(r"[0-9 .,'+\-eE^*x·]{0,12}")),
    st.sampled_from(["", " ", "·", "*", "-", "\u00a0"]),
    st.one_of(SPELLED_UNITS, st.text(max_size=6), SPELLED_UNITS.map(str.upper)),
).map("".join)


def outcome(text, kind):
    """Read any text; give the reason of the refusal, or None. No other exception is allowed."""
    try:
        reading, refused = read(text, kind), None
    except UnreadableQuantity as found:
        reading, refused = None, found.reason
    if refused is None:
        assert np.isfinite([reading.value, reading.number]).all()
        assert reading.kind == kind or kind is None
        assert to_si(reading.number, reading.unit) == reading.value
    return refused


@settings(max_examples=600, deadline=None)
@given(st.text(max_size=200), KIND_OR_NONE)
def test_any_text_is_read_or_refused(text, kind):
    assert outcome(text, kind) in REASONS | {None}


@settings(max_examples=600, deadline=None)
@given(ALMOST, KIND_OR_NONE)
def test_almost_right_text_is_read_or_refused(text, kind):
    assert outcome(text, kind) in REASONS | {None}


def random_texts(count):
    """Texts of all kinds of signs, always the same."""
    source = random.Random(20_000)
    signs = "0123456789 .,'-+eE^*·/x°%NmkgfcsrpadAVWJKhzΩ²³()_\"\t∞½﷽٣\u202e\ud800"
    return ["".join(source.choices(signs, k=source.randrange(1, 90))) for _ in range(count)]


def test_random_texts_are_read_or_refused():
    for text in random_texts(tries(5_000, thorough=20_000)):
        assert outcome(text, None) in REASONS | {None}


# --- showing, and back ---------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    "si, unit, digits, text",
    [
        (0.175, "N·m", 3, "0.175 N·m"),
        (1234.0, "N", 3, "1234 N"),
        (12.345, "N", 3, "12.3 N"),
        (999.96, "N", 3, "1000 N"),
        (9.996, "N", 3, "10 N"),
        (100.0, "N", 3, "100 N"),
        (2.5, "V", 3, "2.5 V"),
        (0.0, "V", 3, "0 V"),
        (-0.0, "V", 3, "0 V"),
        (-0.5, "V", 3, "-0.5 V"),
        (8e-6, "kg·m2", 3, "8e-6 kg·m²"),
        (-6.87e-4, "N·m", 3, "-0.000687 N·m"),
        (1.0004e-4, "N·m", 3, "0.0001 N·m"),
        (9.9996e-5, "N·m", 3, "1e-4 N·m"),
        (1e6, "N", 3, "1000000 N"),
        (1.234567e6, "N", 3, "1.23e6 N"),
        (1e-3, "N", 3, "0.001 N"),
        (9.996e-4, "N", 3, "0.001 N"),
        (0.9, "%", 3, "90 %"),
        (0.9, "fraction", 3, "0.9"),
        (16, "", 3, "16"),
        (3, "whole", 3, "3"),
        (5, "points", 3, "5 points"),
        (313.15, "degC", 3, "40 °C"),
        (np.float64(0.25), "m", 3, "0.25 m"),
        (1 / 3, "m", 5, "0.33333 m"),
        (TURN * 1250 / 60, "rpm", 3, "1250 rpm"),
        (np.pi, "deg", 3, "180 deg"),
        (float("inf"), "s", 3, "never"),
        (float("inf"), "ms", 3, "never"),
        (float("inf"), "N", 3, "unlimited"),
        (float("-inf"), "N", 3, "far below 0"),
    ],
)
def test_show(si, unit, digits, text):
    assert show(si, unit, digits) == text


@pytest.mark.parametrize(
    "number, text", [(1.0, "1 point"), (0.0, "0 points"), (1.5, "1.5 points"), (-1.0, "-1 points")]
)
def test_one_point_is_one(number, text):
    assert quantity.show(number, "points") == text
    assert quantity.read(text, "points").value == number


def test_show_in_us_units():
    assert show(0.175, "N·m", system="us") == "1.55 lbf·in"
    assert show(0.3048, "m", system="us") == "1 ft"
    assert show(293.15, "degC", system="us") == "68 °F"
    assert show(12.0, "V", system="us") == "12 V"
    assert show(float("inf"), "s", system="us") == "never"


@pytest.mark.parametrize(
    "call, names",
    [
        (lambda: show(float("nan"), "m"), "si=nan"),
        (lambda: show(1.0, "m", digits=0), "digits=0"),
        (lambda: show(1.0, "m", system="imperial"), "system='imperial'"),
        (lambda: show(1.0, "foo"), "unit='foo'"),
        (lambda: to_si(1.0, "Nmx"), "unit='Nmx'"),
        (lambda: to_si(1.0, None), "unit=None"),
        (lambda: kind_of("€"), "unit='€'"),
        (lambda: units_of("weight"), "kind='weight'"),
        (lambda: si_unit(None), "kind=None"),
        (lambda: in_system("mm", "US"), "system='US'"),
        (lambda: us_unit("foo"), "unit='foo'"),
    ],
)
def test_wrong_arguments_are_named(call, names):
    with pytest.raises(ValueError, match=re.escape(names)) as caught:
        call()
    assert str(caught.value).endswith(".")


NUMBER_BACK = st.floats(1e-6, 1e6) | st.floats(-1e6, -1e-6) | st.just(0.0)


@settings(deadline=None)
@given(st.sampled_from(EVERY), NUMBER_BACK, st.sampled_from(["metric", "us"]))
def test_what_is_shown_is_read_back(kind_and_unit, number, system):
    kind, unit = kind_and_unit
    if kind == "count":
        number = float(round(number))
    if unit == "fraction":
        number /= 1e6
    if kind == "temperature":
        number = abs(number) if unit != "K" else abs(number) + 1
    si = to_si(number, unit)
    reading = read(show(si, unit, 15, system), kind)
    assert reading.kind == kind
    assert reading.unit == in_system(unit, system)
    assert reading.value == pytest.approx(si, rel=1e-13, abs=1e-12 if kind == "temperature" else 0)


@given(st.sampled_from([unit for _, unit in EVERY]), NUMBER_BACK)
def test_to_si_and_back(unit, number):
    shift = 500.0 if unit in ("degC", "degF") else 0.0
    assert from_si(to_si(number, unit), unit) == pytest.approx(number, rel=1e-14, abs=1e-14 * shift)


# --- the rest ------------------------------------------------------------------------------------------------------


def test_arrays_convert_in_one_go():
    column = np.array([[0.0, 1.0], [20.0, -40.0]])
    np.testing.assert_allclose(to_si(column, "degF"), [[255.372222, 255.927778], [266.483333, 233.15]], rtol=1e-8)
    np.testing.assert_allclose(from_si(to_si(column, "kgf·cm"), "kgf·cm"), column, rtol=1e-15)
    np.testing.assert_allclose(to_si(np.array([1, 2]), "in"), [0.0254, 0.0508])


def test_rpm_is_never_taken_for_a_frequency(registry):
    # pint by itself turns 60 rpm into 6.283 Hz, though the shaft makes one turn a second.
    assert registry.Quantity(60, "rpm").to("hertz").magnitude == pytest.approx(6.283, rel=1e-4)
    assert rpm_to_rad_s(60.0) == pytest.approx(2 * np.pi)
    check("quantity", "1 rpm by our own function (rad/s)", rpm_to_rad_s(1.0), 0.1047198, 5e-7, NIST, SEEN)
    np.testing.assert_allclose(rad_s_to_rpm(rpm_to_rad_s(np.array([0.0, -30.0, 5230.0]))), [0.0, -30.0, 5230.0])
    assert to_si(60.0, "rpm") == rpm_to_rad_s(60.0)
    assert kind_of("rpm") == "turning-speed" and kind_of("Hz") == "frequency"


def test_us_counterparts_measure_the_same_thing():
    pairs = {
        "N·m": "lbf·in",
        "mm": "in",
        "m": "ft",
        "kg": "lb",
        "N": "lbf",
        "m/s": "ft/s",
        "degC": "degF",
        "N/mm": "lbf/in",
        "km/h": "mph",
        "mm/s": "in/s",
        "g": "oz",
        "mN·m": "ozf·in",
        "kgf·cm": "ozf·in",
        "kPa": "psi",
        "mm2": "in2",
        "m2": "ft2",
        "m/s2": "ft/s2",
        "kg·m2": "lb·in2",
        "V": "V",
        "lbf": "lbf",
    }
    assert {unit: us_unit(unit) for unit in pairs} == pairs
    for _, unit in EVERY:
        counterpart = us_unit(unit)
        assert kind_of(counterpart) == kind_of(unit)
        assert us_unit(counterpart) == counterpart
        assert in_system(unit, "metric") == unit and in_system(unit, "us") == counterpart


def test_one_spelling_never_means_two_sizes():
    for spelling, units in quantity._SPELLED.items():
        kinds = [unit.kind for unit in units]
        assert len(set(kinds)) == len(kinds), spelling
        if len(units) > 1:
            assert spelling == "" or set(kinds) <= {"temperature", "temperature-difference", "charge"}, spelling
    for folded, pairs in quantity._FOLDED.items():
        assert len({(unit.kind, unit.name) for _, unit in pairs}) == len({unit.kind for _, unit in pairs}), folded


def test_si_units_of_the_house_are_known():
    for unit in (
        "m",
        "m2",
        "kg",
        "kg·m2",
        "s",
        "N",
        "N·m",
        "N/m",
        "rad",
        "rad/s",
        "rad/s2",
        "m/s",
        "m/s2",
        "V",
        "A",
        "ohm",
        "V·s/rad",
        "N·m/A",
        "W",
        "J",
        "Pa",
        "K",
        "K/W",
        "J/K",
        "1/K",
        "Hz",
        "whole",
        "-",
    ):
        assert to_si(2.0, unit) == 2.0
    for unit in ("deg", "rpm", "degC"):
        assert to_si(2.0, unit) != 2.0


def test_import_is_light():
    code = "import sys, mechbench.quantity; print([name for name in ('pint', 'numpy') if name in sys.modules])"
    ran = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    assert ran.stdout.strip() == "[]"
