"""Text with units in, plain SI numbers out, and back again: the one door for units.

Reading         read, with_thousands, Reading, UnreadableQuantity
Converting      to_si, from_si, rpm_to_rad_s, rad_s_to_rpm
Asking          kind_of, units_of, si_unit, KINDS
Showing         show, unbroken, written, us_unit, in_system

What may be written as a number: an optional sign, digits with a decimal point or a decimal comma, spaces or
apostrophes between groups of three, and a power of ten (`1.2e3`, `1.2·10^3`, `1.2 x 10^3`). As in the SI Brochure
(9th ed., section 5.4.4, from memory) point and comma are both decimal marks and neither parts the thousands. But many
people do write `1,234` for a thousand and more: it can be read in two ways and is refused with a sentence that says so.
`0,234` and `1,23` can't, and are read; `1.234` has a decimal point, as everywhere in this course; `with_thousands`
gives the other reading, for those who grade. `1,234.5` is refused. A proper fraction as on a rule (`1/2`, `3 1/2`,
`1½`) is read; `5-1/2` and a bare `1/16` can be read in two ways and are refused; so is what is still to be worked out.

What may be written as a unit: a name of the table below, nothing else; powers are part of the name. It may be spelled
out (`meters per second`, `foot pounds`). Between the parts of a product `·`, `.`, `*`, `-`, a space or nothing are the
same. Upper and lower case are forgiven (`NM`, `Rpm`, `KG`) except for milli and mega (`mA` is never written `MA`, `MPa`
never `mPa`) and for the single letters of CASE_MATTERS. Two units in a row are read where both are usual (`5 ft 6 in`).
`lb in`, `oz in` and `lb/in` are read as pounds and ounces of force, as the trade writes them, and so is `lb` where a
force is asked, which the reading's note says; `kg cm` is not, because learners are to tell mass from weight: its
sentence asks for `kgf·cm`. A unit that is not known gets a hint only where it is a slip in one word and can be no other
unit; else the known ones are listed, for a wrong guess would change the value.

Every factor is built here from the exact definitions of inch, foot, mile, pound, ounce, standard gravity and turn;
the tests hold each one against pint and NIST SP 811. pint itself is not asked at run time: it takes a quarter of a
second to load, a text must be answered within 50 ms, and factors taken from it could not be checked by it. No text is
ever evaluated.
"""

import math
import re
import unicodedata
from dataclasses import dataclass, field, replace
from functools import cache

from mechbench.wording import one_slip_apart, quoted, shortened

LONGEST_TEXT = 80
LARGEST = 1e15
SMALLEST = 1e-15
LEAST_PLAIN, MOST_PLAIN = 1e-4, 1e6  # are shown without a power of ten
CASE_MATTERS = ("K", "m", "g", "h")

_INCH = 0.0254
_FOOT = 12 * _INCH
_YARD = 3 * _FOOT
_MILE = 5280 * _FOOT
_POUND = 0.45359237
_OUNCE = _POUND / 16
_GRAVITY = 9.80665
_TURN = 2 * math.pi

# Kind: (words for a sentence, units, the most usual first). A unit: (name, size in SI, other spellings); "(s)" stands
# for the spelling without and with an s.
_TABLE = {
    "length": (
        "a length",
        (
            ("mm", 1e-3, "millimetre(s) millimeter(s)"),
            ("m", 1.0, "metre(s) meter(s)"),
            ("cm", 1e-2, "centimetre(s) centimeter(s)"),
            ("in", _INCH, '" inch inches'),
            ("ft", _FOOT, "' foot feet"),
            ("km", 1e3, "kilometre(s) kilometer(s)"),
            ("yd", _YARD, "yard(s)"),
            ("mi", _MILE, "mile(s)"),
        ),
    ),
    "mass": (
        "a mass",
        (
            ("kg", 1.0, "kilogram(s)"),
            ("g", 1e-3, "gram(s)"),
            ("lb", _POUND, "lbs lbm pound(s)"),
            ("oz", _OUNCE, "ounce(s)"),
        ),
    ),
    "time": (
        "a time",
        (
            ("s", 1.0, "sec secs second(s)"),
            ("ms", 1e-3, "millisecond(s)"),
            ("min", 60.0, "mins minute(s)"),
            ("h", 3600.0, "hr hour(s)"),
        ),
    ),
    "force": (
        "a force",
        (
            ("N", 1.0, "newton(s) kg·m/s2"),
            ("mN", 1e-3, "millinewton(s)"),
            ("kN", 1e3, "kilonewton(s)"),
            ("lbf", _POUND * _GRAVITY, "lbsf"),
            ("ozf", _OUNCE * _GRAVITY, ""),
            ("kgf", _GRAVITY, "kp"),
            ("gf", 1e-3 * _GRAVITY, ""),
        ),
    ),
    "torque": (
        "a torque",
        (
            ("N·m", 1.0, "newton·metre(s) newton·meter(s)"),
            ("mN·m", 1e-3, ""),
            ("N·cm", 1e-2, ""),
            ("N·mm", 1e-3, ""),
            ("kgf·cm", 1e-2 * _GRAVITY, "cm·kgf"),
            ("lbf·in", _POUND * _GRAVITY * _INCH, "lb·in in·lb lbs·in in·lbs in·lbf"),
            ("lbf·ft", _POUND * _GRAVITY * _FOOT, "lb·ft ft·lb lbs·ft ft·lbs ft·lbf"),
            ("ozf·in", _OUNCE * _GRAVITY * _INCH, "oz·in in·oz in·ozf"),
            ("kgf·m", _GRAVITY, ""),
            ("gf·cm", 1e-5 * _GRAVITY, "cm·gf"),
        ),
    ),
    "speed": (
        "a speed",
        (
            ("m/s", 1.0, "m·s-1 m/sec mps"),
            ("mm/s", 1e-3, "mm·s-1 mm/sec"),
            ("cm/s", 1e-2, "cm·s-1 cm/sec"),
            ("km/h", 1 / 3.6, "kph km/hr kmh kmph"),
            ("ft/s", _FOOT, "fps ft/sec"),
            ("in/s", _INCH, "ips in/sec"),
            ("mph", _MILE / 3600, "mi/h"),
        ),
    ),
    "turning-speed": (
        "a turning speed",
        (
            ("rpm", _TURN / 60, "rpms r·p·m r/min U/min 1/min /min min-1 rev/min turn(s)/min"),
            ("rad/s", 1.0, "rad·s-1 rad/sec"),
            ("deg/s", _TURN / 360, "°/s deg·s-1 °·s-1 deg/sec"),
            ("rev/s", _TURN, "r/s rps turn(s)/s"),
        ),
    ),
    "turning-acceleration": ("a turning acceleration", (("rad/s2", 1.0, "rad·s-2"),)),
    "angle": (
        "an angle",
        (
            ("deg", _TURN / 360, "° degree(s)"),
            ("rad", 1.0, "radian(s)"),
            ("turn", _TURN, "turns rev revs revolution(s) rotation(s)"),
        ),
    ),
    "current": (
        "a current",
        (
            ("A", 1.0, "amp(s) ampere(s)"),
            ("mA", 1e-3, "milliamp(s)"),
        ),
    ),
    "voltage": (
        "a voltage",
        (
            ("V", 1.0, "volt(s)"),
            ("mV", 1e-3, "millivolt(s)"),
        ),
    ),
    "resistance": (
        "a resistance",
        (
            ("ohm", 1.0, "Ω ohms"),
            ("mohm", 1e-3, "mΩ mohms milliohm(s)"),
        ),
    ),
    "power": (
        "a power",
        (
            ("W", 1.0, "watt(s)"),
            ("kW", 1e3, "kilowatt(s)"),
            ("mW", 1e-3, "milliwatt(s)"),
        ),
    ),
    "energy": (
        "an energy",
        (
            ("J", 1.0, "joule(s) W·s"),
            ("kJ", 1e3, "kilojoule(s)"),
            ("mJ", 1e-3, "millijoule(s)"),
            ("W·h", 3600.0, ""),
        ),
    ),
    "charge": (
        "a charge",
        (
            ("A·h", 3600.0, ""),
            ("mA·h", 3.6, ""),
            ("A·s", 1.0, "C coulomb(s)"),
        ),
    ),
    "temperature-difference": (
        "a temperature difference",
        (("K", 1.0, "kelvin(s) °C degC deg·C °·C degree(s)·C degree(s)·celsius celsius C"),),
    ),
    "temperature": (
        "a temperature",
        (
            ("degC", 1.0, "°C deg·C °·C degree(s)·C degree(s)·celsius celsius C"),
            ("K", 1.0, "kelvin(s)"),
            ("degF", 5 / 9, "°F deg·F °·F degree(s)·F degree(s)·fahrenheit fahrenheit F"),
        ),
    ),
    "stiffness": (
        "a stiffness",
        (
            ("N/mm", 1e3, ""),
            ("N/m", 1.0, ""),
            ("lbf/in", _POUND * _GRAVITY / _INCH, "lb/in lbs/in"),
        ),
    ),
    "inertia": (
        "a moment of inertia",
        (
            ("kg·m2", 1.0, ""),
            ("kg·cm2", 1e-4, ""),
            ("g·cm2", 1e-7, ""),
            ("lb·in2", _POUND * _INCH**2, ""),
        ),
    ),
    "acceleration": (
        "an acceleration",
        (
            ("m/s2", 1.0, "m·s-2 m/s/s m/sec2"),
            ("ft/s2", _FOOT, "ft/s/s ft/sec2"),
        ),
    ),
    "torque-constant": (
        "a torque constant",
        (
            ("N·m/A", 1.0, ""),
            ("mN·m/A", 1e-3, ""),
            ("V·s/rad", 1.0, "V/(rad/s)"),
        ),
    ),
    "pressure": (
        "a pressure",
        (
            ("kPa", 1e3, ""),
            ("Pa", 1.0, "pascal(s) N/m2"),
            ("MPa", 1e6, "N/mm2"),
            ("bar", 1e5, "bars"),
            ("psi", _POUND * _GRAVITY / _INCH**2, "lbf/in2 lb/in2"),
        ),
    ),
    "frequency": (
        "a frequency",
        (
            ("Hz", 1.0, "hertz"),
            ("kHz", 1e3, ""),
        ),
    ),
    "heat-capacity": ("a heat capacity", (("J/K", 1.0, "J/°C J/degC"),)),
    "thermal-resistance": ("a thermal resistance", (("K/W", 1.0, "°C/W degC/W"),)),
    "temperature-coefficient": (
        "a temperature coefficient",
        (
            ("%/K", 1e-2, "%/°C %/degC"),
            ("1/K", 1.0, "/K 1/°C /°C 1/degC"),
        ),
    ),
    "area": (
        "an area",
        (
            ("mm2", 1e-6, ""),
            ("cm2", 1e-4, ""),
            ("m2", 1.0, ""),
            ("in2", _INCH**2, "sq·in"),
            ("ft2", _FOOT**2, "sq·ft"),
        ),
    ),
    "fraction": (
        "a fraction",
        (
            ("%", 1e-2, "percent per·cent"),
            ("fraction", 1.0, ""),
        ),
    ),
    "number": ("a plain number", (("", 1.0, "- x × :1"),)),
    "count": ("a whole number", (("whole", 1.0, ""),)),
    "points": ("a number of points", (("points", 1.0, "point pt pts"),)),
}

KINDS = {kind: words for kind, (words, _) in _TABLE.items()}

# Degrees are counted from another zero: SI = (number + shift) * size.
_SHIFT = {"degC": 273.15, "degF": 459.67}

# As shown, where that differs from the name that code and files use; a square is raised as well.
_WRITTEN = {"degC": "°C", "degF": "°F", "whole": "", "fraction": ""}
_SQUARE = str.maketrans("2", "²")

# Kinds whose number may stand alone, with the unit that it then has; a fraction alone is at most 1.
_ALONE = {"number": "", "count": "whole", "fraction": "fraction", "points": "points"}

_US = {
    "mm": "in",
    "cm": "in",
    "m": "ft",
    "km": "mi",
    "kg": "lb",
    "g": "oz",
    "N": "lbf",
    "kN": "lbf",
    "kgf": "lbf",
    "gf": "ozf",
    "N·m": "lbf·in",
    "mN·m": "ozf·in",
    "N·cm": "lbf·in",
    "N·mm": "lbf·in",
    "kgf·cm": "ozf·in",
    "kgf·m": "lbf·ft",
    "gf·cm": "ozf·in",
    "m/s": "ft/s",
    "mm/s": "in/s",
    "cm/s": "in/s",
    "km/h": "mph",
    "degC": "degF",
    "N/mm": "lbf/in",
    "N/m": "lbf/in",
    "kg·m2": "lb·in2",
    "kg·cm2": "lb·in2",
    "g·cm2": "lb·in2",
    "m/s2": "ft/s2",
    "kPa": "psi",
    "Pa": "psi",
    "MPa": "psi",
    "bar": "psi",
    "mm2": "in2",
    "cm2": "in2",
    "m2": "ft2",
}

# Written on servo data sheets, where the weight of so many kg at so many cm is meant.
_MASS_AS_FORCE = {
    "kg·cm": "kgf·cm",
    "kgcm": "kgf·cm",
    "cm·kg": "kgf·cm",
    "kg/cm": "kgf·cm",
    "kg·m": "kgf·m",
    "kgm": "kgf·m",
    "g·cm": "gf·cm",
    "gcm": "gf·cm",
    "g/cm": "gf·cm",
}

# Pounds and ounces are both mass and force in daily use; a kilogram is a mass, and that is what is taught. `lbm` says
# itself that it is a mass.
_WEIGHT_OF = {"lb": "lbf", "oz": "ozf"}
_SURELY_MASS = ("lbm",)

# Two units in a row: the second one, and how many of it make one of the first.
_PAIRS = {"ft": ("in", 12), "lb": ("oz", 16), "h": ("min", 60), "min": ("s", 60)}

LARGEST_DENOMINATOR = 64  # the finest marks of an inch rule
SHORTEST_WORD = 5  # letters of a unit's word for which a misspelling gets a hint; shorter ones are near to too many
MOST_LISTED = 7


@dataclass(frozen=True)
class Reading:
    """Hold one quantity as it was read.

    Fields
    ------
    value : [-] the quantity in SI
    unit : [text] the unit's own name in our spelling, for example "N·m"
    kind : [text] one of KINDS
    number : [-] the number as it was written, in that unit
    text : [text] what was read, without the blanks around it
    note : [text] a sentence where something was read otherwise than it stands there; else empty
    """

    value: float
    unit: str
    kind: str
    number: float
    text: str
    note: str = field(default="", repr=False)


class UnreadableQuantity(ValueError):
    """Say in one sentence why a text can't be read, and by `reason` in a word or two.

    The reasons: "empty", "too long", "no number", "not a number", "no unit", "unknown unit", "wrong kind",
    "not finite", "out of range".
    """

    def __init__(self, reason, sentence):
        super().__init__(sentence)
        self.reason = reason


@dataclass(frozen=True)
class _Unit:
    name: str
    kind: str
    size: float
    shift: float


def _spellings(name, others):
    """List every spelling of a unit: with and without s, with and without the dots."""
    spelled = [name]
    for other in others.split():
        spelled += [other.replace("(s)", ""), other.replace("(s)", "s")] if "(s)" in other else [other]
    return list(dict.fromkeys(spelled + [text.replace("·", "") for text in spelled]))


def _case_kept(spelling):
    """Give the places in a spelling whose case carries meaning: milli, mega, and some single letters."""
    if spelling in CASE_MATTERS:
        return (0,)
    milli = re.finditer(r"(?:^|[·/])(m)(?=m2?\b|s\b|A|V|W|J|N|ohm|Ω)", spelling)
    return tuple(hit.start(1) for hit in milli) + tuple(hit.start() for hit in re.finditer("M", spelling))


def _build():
    names, spelled, folded = {}, {}, {}
    for kind, (_, units) in _TABLE.items():
        for name, size, others in units:
            shift = _SHIFT.get(name, 0.0)
            unit = _Unit(name, kind, size, shift)
            names.setdefault(name, []).append(unit)
            for spelling in _spellings(name, others):
                spelled.setdefault(spelling, []).append(unit)
                folded.setdefault(spelling.lower(), []).append((spelling, unit))
    spelled[""] = [names[name][0] for name in _ALONE.values()]
    # The first of a list is what a spelling means when no kind is asked: K a difference, °C a temperature.
    for units in spelled.values():
        units.sort(key=lambda unit: not unit.shift)
    for pairs in folded.values():
        pairs.sort(key=lambda pair: not pair[1].shift)
    return names, spelled, folded


_NAMES, _SPELLED, _FOLDED = _build()


def _words():
    """Give each word for a simple unit, in small letters, with its symbol. Those of two meanings are left out, and
    those whose case carries meaning.
    """
    found = {}
    for spelling, units in _SPELLED.items():
        names = {unit.name for unit in units}
        is_word = len(spelling) > 1 and spelling.isascii() and spelling.isalpha() and not _case_kept(spelling)
        if is_word and spelling not in (*_NAMES, *_SURELY_MASS) and len(names) == 1:
            name = names.pop()
            if name not in _SHIFT and not re.search("^$|[·/0-9]", name):
                found[spelling.lower()] = name
    return found


_WORDS = _words()
_BEFORE_UNIT = re.compile(
    "(?<=[0-9]) (?=(?:"
    + "|".join(re.escape(_WRITTEN.get(name, name).translate(_SQUARE)) for name in sorted(filter(None, _NAMES)))
    + r")(?!\w))"
)


# --- reading -------------------------------------------------------------------------------------------------------

_NUMBER = re.compile(
    r"""(?P<sign>[+-]?)\ ?
    (?:(?P<whole>[1-9][0-9]{0,2}(?:[ '][0-9]{3})+(?![0-9'])|[0-9]+)(?:[.,](?P<part>[0-9]+)|\.)?
       |[.,](?P<bare_part>[0-9]+))
    (?:[eE](?P<e>[+-]?[0-9]+)
       |\ ?[x×·*]\ ?10\ ?(?:\^|\*\*)\ ?(?P<ten>[+-]?[0-9]+))?""",
    re.VERBOSE,
)
_FRACTION = re.compile("(?P<sign>[+-]?) ?(?:(?P<whole>[0-9]+) )?(?P<top>[0-9]+) ?[/⁄] ?(?P<bottom>[0-9]+)")
_RATIO = re.compile("[+-]? ?([0-9]+) ?/ ?([0-9]+)")
_DIFFERENCE = re.compile("[+-]? ?([0-9]+) ?- ?([0-9]+) ?[/⁄] ?([0-9]+)")
_SECOND = re.compile(r"(?P<first>[^0-9+-]+?)(?:,| and(?= ))? ?(?P<minus>- ?)?(?P<second>[0-9].*)")
_DOT_BEFORE_THREE = re.compile(r"([+-]? ?[1-9][0-9]{0,2})\.([0-9]{3})(?![0-9.,]|[eE][+-]?[0-9]| ?[x×·*] ?10)")
_TO_WORK_OUT = re.compile(r"(?:[-+*/^·x×] ?)+\(? ?[0-9.]")
_NOT_FINITE = re.compile(r"[+-]? ?(?:nan|inf(?:inity|inite)?|∞)(?![a-z])", re.IGNORECASE)
_TWO_WAYS = re.compile(r"[+-]? ?[1-9][0-9]{0,2},[0-9]{3}(?![0-9]|[.,][0-9])")
_THOUSANDS = re.compile(
    r"[+-]? ?[0-9]{1,3}(?:(?:,[0-9]{3})+\.[0-9]|(?:\.[0-9]{3})+,[0-9]|(?:,[0-9]{3}){2}|(?:\.[0-9]{3}){2})"
)
_ANOTHER_NUMBER = re.compile(r"(?:^|[^A-Za-z0-9^-])[0-9]|^[xX] ?[0-9]")
_OPERATORS = "+-*^=(),.:;_!?<>[]{}|&~@#\\"
_SUPERSCRIPT = re.compile("[⁰¹²³⁴⁵⁶⁷⁸⁹⁺⁻]+")
_SAME = str.maketrans(
    {
        "º": "°",
        "˚": "°",
        "−": "-",
        "–": "-",
        "—": "-",
        "―": "-",
        "‒": "-",
        "‐": "-",
        "‑": "-",
        "’": "'",
        "‘": "'",
        "′": "'",
        "ʹ": "'",
        "ʼ": "'",
        "´": "'",
        "ʺ": '"',
        "″": '"',
        "”": '"',
        "“": '"',
        "⋅": "·",
        "•": "·",
        "∙": "·",
        "‧": "·",
        "・": "·",
    }
)


def read(text, kind=None):
    """Read a number with its unit from a text.

    Parameters
    ----------
    text : [text] at most 80 characters, for example "3,2 N·m"
    kind : [text] one of KINDS, or None for any

    Returns
    -------
    reading : [part] a Reading

    Valid: the numbers and units named at the top of this file. Nothing is evaluated.
    Raises: UnreadableQuantity with its reason; ValueError when kind is none of KINDS.
    Source: common practice, no source.

    >>> read("20 kgf cm", "torque")
    Reading(value=1.96133, unit='kgf·cm', kind='torque', number=20.0, text='20 kgf cm')
    >>> print(f"{read('1 250 rpm').value:.1f}")
    130.9
    >>> read("3 kg", "force")
    Traceback (most recent call last):
        ...
    mechbench.quantity.UnreadableQuantity: '3 kg' is a mass; a force is asked, for example in N.
    """
    _known_kind(kind, or_none=True)
    if not isinstance(text, str):
        raise UnreadableQuantity("not a number", f"Write the quantity as text in quotes, {_for_example(kind)}.")
    trimmed = text.strip()
    if not trimmed:
        raise UnreadableQuantity("empty", f"Nothing is written yet: write {_wanted(kind)}, {_for_example(kind)}.")
    if len(trimmed) > LONGEST_TEXT:
        raise UnreadableQuantity(
            "too long",
            f"{quoted(trimmed)} is longer than {LONGEST_TEXT} characters: write "
            f"only {_wanted(kind)}, {_for_example(kind)}.",
        )
    tidy = _tidy(trimmed)
    number, rest = _take_pair(*_take_number(tidy, trimmed, kind), tidy, trimmed)
    unit, note = _take_unit(rest, trimmed, kind)
    _refuse_ratio(tidy, unit, trimmed)
    value = (number + unit.shift) * unit.size
    _check_range(number, value, unit, trimmed)
    return Reading(value, unit.name, unit.kind, number, trimmed, note)


def with_thousands(text, kind=None):
    """Read a text as somebody means it who parts the thousands with a dot: the other reading of "5.230 rpm".

    Parameters
    ----------
    text : [text] as for `read`
    kind : [text] one of KINDS, or None for any

    Returns
    -------
    reading : [part] a Reading; None where the text has no dot that could part thousands, or can't be read

    Valid: one dot, one to three digits before it (no leading zero) and just three behind it.
    Raises: ValueError when kind is none of KINDS.
    Source: common practice, no source.

    >>> read("5.230 rpm").number, with_thousands("5.230 rpm").number
    (5.23, 5230.0)
    >>> print(with_thousands("5.23 rpm"))
    None
    """
    tidy = _tidy(text[: 2 * LONGEST_TEXT])
    hit = _DOT_BEFORE_THREE.match(tidy)
    if not hit:
        return None
    try:
        return replace(read(hit[1] + hit[2] + tidy[hit.end() :], kind), text=text.strip())
    except UnreadableQuantity:
        return None


def _tidy(text):
    """Bring look-alike characters to one spelling, and drop the invisible ones."""
    text = _SUPERSCRIPT.sub(lambda hit: "^" + unicodedata.normalize("NFKC", hit.group()).replace("−", "-"), text)
    # A blank before it, or 1½ would become 11/2.
    text = "".join(f" {sign}" if unicodedata.decomposition(sign).startswith("<fraction>") else sign for sign in text)
    text = unicodedata.normalize("NFKC", text.translate(_SAME)).translate(_SAME)
    text = "".join(sign for sign in text if unicodedata.category(sign) != "Cf")
    return " ".join(text.replace("''", '"').split())


def _take_number(tidy, text, kind):
    """Split off the number at the start; give it and what follows it."""
    if _NOT_FINITE.match(tidy):
        raise UnreadableQuantity(
            "not finite", f"{quoted(text)} is not a finite number: write {_wanted(kind)}, {_for_example(kind)}."
        )
    found = _leading_fraction(tidy) or _leading_number(tidy, text)
    if found is None:
        if not re.search("[0-9]", tidy):
            raise UnreadableQuantity(
                "no number", f"{quoted(text)} has no number: write {_wanted(kind)}, {_for_example(kind)}."
            )
        raise _not_a_number(text, kind)
    return found


def _leading_fraction(tidy):
    """Give a proper fraction at the start, with a whole number before it or none, and what follows; else None."""
    hit = _FRACTION.match(tidy)
    if hit is None:
        return None
    top, bottom = int(hit["top"]), int(hit["bottom"])
    if not 1 <= top < bottom <= LARGEST_DENOMINATOR:
        return None
    number = int(hit["whole"] or 0) + top / bottom
    return -number if hit["sign"] == "-" else number, tidy[hit.end() :].strip()


def _leading_number(tidy, text):
    """Give the decimal number at the start and what follows it, or None."""
    hit = _NUMBER.match(tidy)
    if hit is None:
        return None
    _refuse_two_ways(tidy, text)
    whole = re.sub("[ ']", "", hit["whole"] or "0")
    part = hit["part"] or hit["bare_part"] or "0"
    number = float(f"{hit['sign']}{whole}.{part}e{hit['e'] or hit['ten'] or '0'}")
    lost = number == 0 and re.search("[1-9]", whole + part)
    if lost or math.isinf(number):
        raise _out_of_range(text)
    return number + 0.0, tidy[hit.end() :].strip()


def _take_pair(number, rest, tidy, text):
    """Where a second number with the smaller unit follows, as in 5 ft 6 in, give the sum and the first unit."""
    hit = _SECOND.match(rest)
    larger = _PAIRS.get(_only_name(hit["first"])) if hit else None
    if not larger:
        return number, rest
    smaller, make_one = larger
    found = _leading_fraction(hit["second"]) or _leading_number(hit["second"], text)
    if found is None or _only_name(found[1]) != smaller:
        return number, rest
    first, second = _only_name(hit["first"]), found[0]
    if hit["minus"]:
        raise UnreadableQuantity(
            "not a number",
            f"{quoted(text)} can be read in two ways: write {number:g} {first} {second:g} {smaller} where both are "
            "added, or work out the difference.",
        )
    if number != int(number) or second >= make_one:
        raise UnreadableQuantity(
            "not a number",
            f"{quoted(text)} has {number:g} {first} and {second:g} {smaller}: write whole {first}, and fewer than "
            f"{make_one} {smaller}.",
        )
    return math.copysign(abs(number) + second / make_one, -1 if tidy[0] == "-" else 1), hit["first"]


def _only_name(rest):
    """Give the name of the unit that a spelling stands for; "" where it stands for none or has several kinds."""
    names = {unit.name for unit in _look_up(_unit_key(rest)) if rest.strip()}
    return names.pop() if len(names) == 1 else ""


def _refuse_two_ways(tidy, text):
    """Refuse a comma that may be a decimal comma or a thousands separator, the two marks together, and 5-1/2."""
    hit = _THOUSANDS.match(tidy)
    if hit:
        raise UnreadableQuantity(
            "not a number",
            f"{quoted(text)} mixes marks in its number: leave out the thousands "
            "separators, and use one decimal point or comma.",
        )
    hit = _TWO_WAYS.match(tidy)
    if hit:
        comma = hit.group().replace(" ", "")
        raise UnreadableQuantity(
            "not a number",
            f"{quoted(text)} can be read in two ways: write {comma.replace(',', '')} or {comma.replace(',', '.')}.",
        )
    hit = _DIFFERENCE.match(tidy)
    if hit:
        raise UnreadableQuantity(
            "not a number",
            f"{quoted(text)} can be read in two ways: write {hit[1]} {hit[2]}/{hit[3]} where both are added, or work "
            "out the difference.",
        )


def _refuse_ratio(tidy, unit, text):
    """Refuse a bare 1/16: as a ratio it is written either way up."""
    hit = _RATIO.match(tidy)
    if hit and unit.kind in ("number", "count"):
        top, bottom = int(hit[1]), int(hit[2])
        raise UnreadableQuantity(
            "not a number",
            f"{quoted(text)} is a ratio that can be read both ways up: write it as one number, for example "
            f"{bottom / top:.4g} or {top / bottom:.4g}.",
        )


def _not_a_number(text, kind, why="does not begin with a number that can be read"):
    return UnreadableQuantity("not a number", f"{quoted(text)} {why}: write {_wanted(kind)}, {_for_example(kind)}.")


def _out_of_range(text):
    return UnreadableQuantity(
        "out of range", f"{quoted(text)} is too large or too small to be meant: check the number and its power of ten."
    )


def _check_range(number, value, unit, text):
    if value < 0 and unit.kind == "temperature":
        raise UnreadableQuantity(
            "out of range", f"{quoted(text)} is colder than absolute zero (-273.15 °C): check the sign and the unit."
        )
    for size in (abs(number), abs(value)):
        if size and not SMALLEST <= size <= LARGEST:
            raise _out_of_range(text)
    if unit.kind == "count" and number != int(number):
        raise UnreadableQuantity(
            "out of range", f"{quoted(text)} is not whole: a whole number is asked, for example 3."
        )
    if unit.name == "fraction" and abs(value) > 1:
        raise UnreadableQuantity(
            "no unit",
            f"{quoted(text)} has no % sign: write it too, for example 90 %, or a fraction up to 1, for example 0.9.",
        )


def _take_unit(rest, text, kind):
    """Find the unit that the rest of the text names, in the kind asked; give it and what is to be said about it."""
    name = _unit_key(rest)
    if not name and kind is not None and kind not in _ALONE:
        raise UnreadableQuantity("no unit", f"{quoted(text)} has no unit: write the unit too, {_for_example(kind)}.")
    units = _look_up(name)
    if not units:
        raise _no_such_unit(rest, name, text, kind)
    for unit in units:
        if kind in (None, unit.kind):
            return unit, ""
    given = units[0]
    weight = _WEIGHT_OF.get(given.name) if kind == "force" and name.lower() not in _SURELY_MASS else None
    if weight:
        return _NAMES[weight][0], f"{quoted(rest)} is read as {weight}, because a force is asked."
    raise UnreadableQuantity(
        "wrong kind",
        f"{quoted(text)} is {KINDS[given.kind]}; {KINDS[kind]} is asked, "
        f"{_for_example(kind, like=given.name, unit_only=True)}.",
    )


def _unit_key(rest):
    """Bring the spelling of a unit to the one of the table."""
    rest = rest.replace("**", "^").rstrip(" .")
    rest = re.sub(r"(?<=[A-Za-z])\^(?=-?[0-9])", "", rest)
    rest = re.sub(r" ?([/:]) ?", r"\1", rest)
    return re.sub(r"(?:[ ·.*]|-(?![0-9]))+", "·", rest)


def _look_up(name):
    """Give the units of a spelling: as it stands, else in symbols where it is in words."""
    return _spelled(name) or _spelled(_in_symbols(name))


def _spelled(name):
    """Give the units of a spelling: as it stands, else with its case forgiven where that can't mislead."""
    if name in _SPELLED:
        return _SPELLED[name]
    found = []
    for spelling, unit in _FOLDED.get(name.lower(), ()):
        if len(spelling) == len(name) and all(spelling[at] == name[at] for at in _case_kept(spelling)):
            found.append(unit)
    return found


def _in_symbols(name):
    """Write a unit that is spelled out with symbols: meters·per·second is m/s, pounds/square·inch is lb/in2."""
    name = re.sub("(?i)(?<![a-z])(pound|lb|ounce|oz|kilogram|kg|gram|g)s?·f(?:orce)?(?![a-z])", _of_force, name)
    name = re.sub("(?i)(?:^|·)per·", "/", name)
    name = "".join(_WORDS.get(part.lower(), part) for part in re.split("([·/])", name))
    name = re.sub("(?i)\\b(?:square|sq)·([a-z]+)", r"\g<1>2", name)
    return re.sub("(?i)([a-z]+)·squared", r"\g<1>2", name)


def _of_force(hit):
    """Write pound-force and lb-f as lbf."""
    mass = hit[1].lower()
    return f"{_WORDS.get(mass, mass)}f"


def _no_such_unit(rest, name, text, kind):
    """Say what is wrong with what follows the number."""
    if name.startswith(":"):
        return UnreadableQuantity(
            "not a number",
            f"{quoted(text)} is a ratio that can be read both ways up: write it as one number, for example 16 or 16:1.",
        )
    if _TO_WORK_OUT.match(rest):
        return UnreadableQuantity(
            "not a number",
            f"{quoted(text)} is still to be worked out: write {_wanted(kind)}, {_for_example(kind)}.",
        )
    if rest[0] in _OPERATORS or _ANOTHER_NUMBER.search(rest):
        return _not_a_number(text, kind, "is more than a number and a unit")
    meant = _MASS_AS_FORCE.get(_in_symbols(name).lower())
    if meant and kind in (None, "torque"):
        why = f"has a mass in its unit: data sheets mean a weight there, so write {meant} instead of {shortened(rest)}."
        return UnreadableQuantity("unknown unit", f"{quoted(text)} {why}")
    if name == "m·N":
        why = "can be read in two ways: write N·m for newton metres, or mN for millinewtons."
        return UnreadableQuantity("unknown unit", f"{quoted(text)} {why}")
    return UnreadableQuantity(
        "unknown unit", f"{quoted(text)} has the unknown unit {quoted(rest, 20)}; {_way_out(name, kind)}."
    )


def _way_out(name, kind):
    """Give the one unit that a misspelled one can only be, or else those that are known."""
    near = _nearest(name, kind)
    if near:
        return f"the nearest known one{f' for {KINDS[kind]}' if kind else ''} is {near}"
    if kind is None:
        return "known ones are, for example, N·m, mm, kg and s"
    known = [written(name) for name in units_of(kind) if written(name)]
    if not known:
        return f"{KINDS[kind]} is asked, {_for_example(kind, unit_only=True)}"
    if len(known) > MOST_LISTED:
        known = [*known[: MOST_LISTED - 1], "others"]
    *first, last = known
    return f"known for {KINDS[kind]} {'are' if first else 'is'} {' and '.join(filter(None, (', '.join(first), last)))}"


def _nearest(name, kind):
    """Give the known unit of which a word is a misspelling by one letter, where it can only be that one; or nothing."""
    if len(name) < SHORTEST_WORD or not name.isalpha():
        return ""
    near = {unit for word, unit in _choices(kind).items() if one_slip_apart(name.lower(), word)}
    return written(near.pop()) if len(near) == 1 else ""


@cache
def _choices(kind):
    """Words of a few letters for simple units of a kind, with the units."""
    return {
        word: unit
        for word, unit in _WORDS.items()
        if len(word) >= SHORTEST_WORD and kind in (None, *(known.kind for known in _NAMES[unit]))
    }


def _wanted(kind):
    return "one number" if kind in ("number", "count") else "one number and its unit"


def _for_example(kind, like="", unit_only=False):
    """Give an example of a kind; in US customary units when the unit given is one of these."""
    if kind == "fraction":
        return "for example 90 % or 0.9"
    if kind in ("number", "count"):
        return "for example 3" if kind == "count" else "for example 3.2"
    usual = units_of(kind or "torque")[0]
    usual = written(us_unit(usual) if like in _US.values() else usual)
    return f"for example in {usual}" if unit_only else f"for example {'3' if kind == 'points' else '3.2'} {usual}"


# --- converting ----------------------------------------------------------------------------------------------------


def _known(unit):
    units = None
    if isinstance(unit, str):
        units = _NAMES.get(unit) or _SPELLED.get(unit) or _look_up(_unit_key(_tidy(unit)))
    if not units:
        near = _nearest(unit, None) if isinstance(unit, str) else ""
        raise ValueError(
            f"unit={unit!r} is not in the table of units; "
            + (f"the nearest one is {near!r}." if near else "units_of(kind) lists what there is.")
        )
    return units[0]


def _known_kind(kind, or_none=False):
    if kind not in _TABLE and not (or_none and kind is None):
        raise ValueError(f"kind={kind!r} is not known; it must be one of {', '.join(KINDS)}.")


def to_si(value, unit):
    """Give the SI value of a number in a unit.

    Equation: SI = (number + shift) size

    Parameters
    ----------
    value : [-] number or array, in that unit
    unit : [text] any unit of the table; degC and degF are temperatures, K is a difference

    Returns
    -------
    si : [-] same shape

    Valid: all numbers.
    Raises: ValueError when unit is not in the table.
    Source: NIST SP 811 (2008), Appendix B.8, from the exact definitions.

    >>> print(f"{to_si(16, 'ozf·in'):.4f}")
    0.1130
    """
    found = _known(unit)
    return (value + found.shift) * found.size


def from_si(si, unit):
    """Give the number in a unit of an SI value.

    Equation: number = SI / size - shift

    Parameters
    ----------
    si : [-] number or array, in SI
    unit : [text] any unit of the table; degC and degF are temperatures, K is a difference

    Returns
    -------
    value : [-] same shape, in that unit

    Valid: all numbers.
    Raises: ValueError when unit is not in the table.
    Source: NIST SP 811 (2008), Appendix B.8, from the exact definitions.

    >>> print(f"{from_si(1.96133, 'kgf·cm'):.1f}")
    20.0
    """
    found = _known(unit)
    return si / found.size - found.shift


def rpm_to_rad_s(speed_rpm):
    """Give a turning speed in rad/s from rpm.

    Equation: w = 2 pi n / 60

    Parameters
    ----------
    speed_rpm : [rpm] any shape

    Returns
    -------
    speed : [rad/s] same shape

    Valid: all numbers.
    Raises: nothing.
    Source: NIST SP 811 (2008), Appendix B.8 (revolution per minute).

    >>> print(f"{rpm_to_rad_s(60):.3f}")
    6.283
    """
    return speed_rpm * (_TURN / 60)


def rad_s_to_rpm(speed):
    """Give a turning speed in rpm from rad/s.

    Equation: n = 60 w / (2 pi)

    Parameters
    ----------
    speed : [rad/s] any shape

    Returns
    -------
    speed_rpm : [rpm] same shape

    Valid: all numbers.
    Raises: nothing.
    Source: NIST SP 811 (2008), Appendix B.8 (revolution per minute).

    >>> print(f"{rad_s_to_rpm(300.0):.0f}")
    2865
    """
    return speed / (_TURN / 60)


# --- asking --------------------------------------------------------------------------------------------------------


def kind_of(unit):
    """Give the kind of quantity that a unit measures.

    Parameters
    ----------
    unit : [text] any unit of the table

    Returns
    -------
    kind : [text] one of KINDS; K gives "temperature-difference", degC and degF give "temperature"

    Valid: units of the table.
    Raises: ValueError when unit is not in the table.
    Source: common practice, no source.

    >>> kind_of("kgf·cm")
    'torque'
    """
    return _known(unit).kind


def units_of(kind):
    """List the units of a kind, the most usual first.

    Parameters
    ----------
    kind : [text] one of KINDS

    Returns
    -------
    units : [text] a tuple of names

    Valid: kinds of KINDS.
    Raises: ValueError when kind is none of KINDS.
    Source: common practice, no source.

    >>> units_of("time")
    ('s', 'ms', 'min', 'h')
    """
    _known_kind(kind)
    return tuple(name for name, _, _ in _TABLE[kind][1])


def si_unit(kind):
    """Give the SI unit of a kind, in which all values inside are kept.

    Parameters
    ----------
    kind : [text] one of KINDS

    Returns
    -------
    unit : [text] its name; "fraction", "whole" and "" for what has no unit

    Valid: kinds of KINDS.
    Raises: ValueError when kind is none of KINDS.
    Source: common practice, no source.

    >>> si_unit("length"), si_unit("torque-constant")
    ('m', 'N·m/A')
    """
    _known_kind(kind)
    return next(name for name, size, _ in _TABLE[kind][1] if size == 1.0 and name not in _SHIFT)


def us_unit(unit):
    """Give the US customary unit in which the same thing is usually shown.

    Parameters
    ----------
    unit : [text] any unit of the table

    Returns
    -------
    unit : [text] its counterpart, or the unit itself where there is none

    Valid: units of the table.
    Raises: ValueError when unit is not in the table.
    Source: common practice, no source.

    >>> us_unit("N·m"), us_unit("V")
    ('lbf·in', 'V')
    """
    name = _known(unit).name
    return _US.get(name, name)


def in_system(unit, system):
    """Give the unit to show in the system that the reader chose.

    Parameters
    ----------
    unit : [text] any unit of the table
    system : [text] "metric" (the unit as it is) or "us" (its US customary counterpart)

    Returns
    -------
    unit : [text] its name

    Valid: units of the table.
    Raises: ValueError when unit is not in the table, or system is another word.
    Source: common practice, no source.

    >>> in_system("mm", "metric"), in_system("mm", "us")
    ('mm', 'in')
    """
    if system not in ("metric", "us"):
        raise ValueError(f"system={system!r} is not known; it must be 'metric' or 'us'.")
    return us_unit(unit) if system == "us" else _known(unit).name


# --- showing -------------------------------------------------------------------------------------------------------


def written(unit):
    """Give a unit as it is shown to a reader.

    Parameters
    ----------
    unit : [text] any unit of the table

    Returns
    -------
    unit : [text] the same, but °C for degC, °F for degF, m/s² for m/s2, and nothing for "whole" and "fraction"

    Valid: units of the table.
    Raises: ValueError when unit is not in the table.
    Source: common practice, no source.

    >>> written("degC"), written("N·m"), written("m/s2")
    ('°C', 'N·m', 'm/s²')
    """
    name = _known(unit).name
    return _WRITTEN.get(name, name).translate(_SQUARE)


def show(si, unit, digits=3, system="metric"):
    """Write an SI value as text in a unit.

    Parameters
    ----------
    si : [-] one number in SI
    unit : [text] any unit of the table
    digits : [whole] digits that count, 1 to 15; digits before the decimal point are never cut
    system : [text] "metric" or "us"

    Returns
    -------
    text : [text] for example "0.175 N·m"; "never" for an infinite time, "unlimited" for anything else infinite,
        "far below 0" for what is infinite and negative

    Valid: a power of ten is used below 0.0001 and above 1 000 000 only.
    Raises: ValueError when si is not a number (NaN), unit or system is unknown, or digits is not 1 to 15.
    Source: common practice, no source.

    >>> show(0.1750, "N·m")
    '0.175 N·m'
    >>> show(0.175, "N·m", system="us")
    '1.55 lbf·in'
    >>> show(float("inf"), "s")
    'never'
    """
    unit = in_system(unit, system)
    if not 1 <= digits <= 15:
        raise ValueError(f"digits={digits} must be from 1 to 15; choose fewer or more digits.")
    number = float(from_si(si, unit))
    if math.isnan(number):
        raise ValueError(f"si=nan can't be shown in {unit!r}; find out where the value was lost.")
    if math.isinf(number):
        return "far below 0" if number < 0 else "never" if kind_of(unit) == "time" else "unlimited"
    text = _digits(number, digits)
    return f"{text} {'point' if text == '1' and unit == 'points' else written(unit)}".rstrip()


def unbroken(text):
    """Join each number in a text with the unit behind it, so that no line ends between the two.

    Parameters
    ----------
    text : [text] that is broken into lines next

    Returns
    -------
    text : [text] the same with no-break spaces there

    Valid: single spaces, and units as `show` writes them.
    Raises: nothing.
    Source: SI Brochure (9th ed., section 5.4.3, from memory): a space stands between number and unit.

    >>> unbroken("at least 100 % of 2.5 N·m").split(" ")
    ['at', 'least', '100\xa0%', 'of', '2.5\xa0N·m']
    """
    return _BEFORE_UNIT.sub("\N{NO-BREAK SPACE}", text)


def _digits(number, digits):
    if number == 0:
        return "0"
    power = math.floor(math.log10(abs(number)))
    if LEAST_PLAIN <= abs(number) <= MOST_PLAIN:
        text = f"{number:.{max(0, digits - 1 - power)}f}"
        return text.rstrip("0").rstrip(".") if "." in text else text
    mantissa, power = f"{number:.{digits - 1}e}".split("e")
    mantissa = mantissa.rstrip("0").rstrip(".") if "." in mantissa else mantissa
    return f"{mantissa}e{int(power)}"
