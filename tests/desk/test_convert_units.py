"""One quantity in another unit, as people type it.

Sources beside the checks: NIST SP 811 (2008), Appendix B.8 (factors to seven digits); the definitions of degree Celsius
and Fahrenheit; a rule's fractions by long division.
"""

import json

import pint
import pytest

import mechbench as mb
from mechbench import quantity
from mechbench.desk import convert_units
from mechbench.launch import commands
from tests.desk.asked import ask, is_one_sentence

UNITS = pint.UnitRegistry()


def converted(line):
    return ask(line, convert_units)


def number_of(line):
    data = json.loads(converted(f"{line} --json").out)
    return next(iter(data["in"].values()))


@pytest.mark.parametrize(
    "line, expected",
    [
        # NIST SP 811 (2008), App. B.8: factors as printed there
        ("1 in to m", 2.54e-2),
        ("1 ft to m", 3.048e-1),
        ("1 mi to m", 1.609344e3),
        ("1 lb to kg", 4.535924e-1),
        ("1 oz to kg", 2.834952e-2),
        ("1 lbf to N", 4.448222),
        ("1 ozf to N", 2.780139e-1),
        ("1 lbf·in to N·m", 1.129848e-1),
        ("1 lbf·ft to N·m", 1.355818),
        ("1 ozf·in to mN·m", 7.061552),
        ("1 lbf/in to N/m", 1.751268e2),
        ("1 psi to Pa", 6.894757e3),
        ("1 rpm to rad/s", 1.047198e-1),
        ("1 km/h to m/s", 2.777778e-1),
        # kgf: standard gravity, exact
        ("1 kgf·cm to N·m", 0.0980665),
    ],
)
def test_published_factors(line, expected):
    assert number_of(line) == pytest.approx(expected, rel=5e-7)


@pytest.mark.parametrize(
    "text, unit, theirs, asked",
    [
        ("35", "ozf·in", "force_ounce * inch", "newton * meter"),
        ("14", "in", "inch", "millimeter"),
        ("2.5", "mph", "mile / hour", "meter / second"),
        ("19", "kgf·cm", "kilogram_force * centimeter", "newton * meter"),
        ("0.3", "N/mm", "newton / millimeter", "force_pound / inch"),
    ],
)
def test_another_library_of_units_agrees(text, unit, theirs, asked):
    ours = {"newton * meter": "N·m", "millimeter": "mm", "meter / second": "m/s", "force_pound / inch": "lbf/in"}[asked]
    expected = (float(text) * UNITS.parse_expression(theirs)).to(asked).magnitude
    assert number_of(f"{text} {unit} {ours}") == pytest.approx(expected, rel=1e-12)


@pytest.mark.parametrize(
    "line",
    [
        "35 ozf·in N·m",
        "35 ozin to Nm",
        "35 ozf in to Nm",
        "35 oz-in in N·m",
        "35ozf.in = N.m",
        "35 ozf·in -> Nm",
        "35 ozf·in as newton meters",
        "35 OZF·IN into nm",
    ],
)
def test_forms_that_people_type_give_the_same(line):
    # 35/16 lb x 0.45359237 kg x 9.80665 m/s2 x 0.0254 m: exact definitions, multiplied here
    assert number_of(line) == pytest.approx(35 / 16 * 0.45359237 * 9.80665 * 0.0254, rel=1e-12)
    assert "0.247 N·m" in converted(line).out


@pytest.mark.parametrize("line", ["14in mm", "14 in mm", "14in in mm", "14 in in mm", '14" to mm', "14 inches into mm"])
def test_in_is_a_unit_and_a_word(line):
    assert number_of(line) == pytest.approx(14 * 25.4, rel=1e-12) and "356 mm" in converted(line).out


@pytest.mark.parametrize(
    "line, told",
    [
        ("3 1/2 in to mm", "88.9 mm"),  # 3.5 x 25.4
        ("5 ft 6 in to m", "1.68 m"),  # 66 x 0.0254 = 1.6764
        ("1.5 m to in", "59.1 in"),
        ("20 mm to in", "Nearest mark of a rule: 25/32 in."),  # 20/25.4 = 0.78740; 50.39/64 -> 50/64
        ("12.7 mm to in", "On a rule: 1/2 in."),  # 25.4 / 2
        ("20 °C to °F", "68 °F"),  # 9/5 x 20 + 32
        ("-40 F to C", "-40 °C"),  # where both scales meet
        ("300 K to C", "26.9 °C"),  # 300 - 273.15 = 26.85
        ("90 deg to rad", "1.57 rad"),
        ("5 lb to N", "lb' is read as lbf"),
    ],
)
def test_fractions_pairs_of_units_and_temperatures(line, told):
    said = converted(line)
    assert said.code == 0 and told in said.out, said


def test_a_difference_of_temperatures_is_told_too():
    assert "As a difference of temperatures: 10" in converted("10 K to °C").out


@pytest.mark.parametrize(
    "line, says",
    [
        (
            "2 kg to N",
            r"is a mass, and N measures a force; where gravity is standard, 2 kg weighs 19.6 N",
        ),  # 2 x 9.80665
        ("19.6133 N to kg", "that is the weight of 2 kg"),
        ("2 kg to mm", "is a mass, and mm measures a length; ask for one of kg, g, lb, oz"),
        ("20 kg m to Nm", "write kgf·m"),
        ("35 blorp to Nm", "unknown unit"),
        ("35", "has no unit"),
        ("N·m to 35", "does not begin with a number|has no number|write"),
        ("1,234 mm to in", "can be read in two ways"),
        ("1e400 mm to in", "too large"),
        (" ".join(["5 mm"] * 20), "more than a number and two units"),
    ],
)
def test_what_cannot_be_converted_is_one_sentence(line, says):
    said = converted(line)
    assert said.code == 2 and said.out == "" and is_one_sentence(said.err), said
    import re

    assert re.search(says, said.err), said.err


def test_without_a_unit_asked_the_usual_ones_are_told():
    said = converted("14in")
    assert said.code == 0 and "14 in = 356 mm" in said.out and "14 in = 1.17 ft" in said.out


def test_it_is_a_command_and_size_knows_it_too(capsys):
    assert commands.main(["convert", "14", "in", "mm"]) == 0
    alone = capsys.readouterr().out
    assert ask("convert 14 in mm").out == ask("14 in to mm").out == alone
    assert converted("--help").code == 0 and "convert 35 ozf·in N·m" in converted("").out


@pytest.mark.parametrize("kind", list(quantity.KINDS))
def test_there_and_back_is_where_it_began(kind):
    units = [quantity.written(unit) for unit in quantity.units_of(kind)]
    if len([unit for unit in units if unit]) < 2 or kind == "temperature-difference":
        return
    first, second = units[0], units[1]
    there = number_of(f"3 {first} to {second}")
    assert number_of(f"{there!r} {second} to {first}") == pytest.approx(3, rel=1e-9)


@pytest.mark.parametrize("line", ["25 kgcm Nm", "25 kg·cm to N·m", "25 kg.cm in Nm", "25 kg cm to Nm", "25kgcm to Nm"])
def test_the_kilogram_centimetres_of_a_label_are_the_torque_of_a_weight(line):
    """25 kg weigh 25 · 9.80665 N where gravity is standard (NIST SP 811), at 0.01 m."""
    for words in (line.split(), ["convert", *line.split()]):
        said = ask([*words, "--json"])
        assert said.code == 0, said.err
        data = json.loads(said.out)
        assert list(data["in"].values()) == [pytest.approx(25 * 9.80665 * 0.01, rel=1e-12)]
        assert "kgf·cm" in data["notes"][0]


def test_the_usual_units_of_a_label_are_told_too():
    assert "2.45 N·m" in ask("convert 25 kgcm").out


# --- in a notebook --------------------------------------------------------------------------------------------------


def test_a_notebook_converts_by_the_same_words():
    """35 ozf in: 35 x 0.028349523125 kg x 9.80665 m/s2 x 0.0254 m (NIST SP 811, exact factors)."""
    found = mb.convert("35 ozf·in", "N·m")
    by_hand = 35 * 0.028349523125 * 9.80665 * 0.0254
    assert float(found) == found["N·m"] == pytest.approx(by_hand, rel=1e-12) and found.value == float(found)
    assert repr(found) == converted("35 ozf·in N·m").out.rstrip("\n") and found.to_dict()["unit"] == "ozf·in"
    assert float(mb.convert(14, "in", "mm")) == float(mb.convert("14 in to mm")) == pytest.approx(355.6, rel=1e-12)


@pytest.mark.parametrize("words", [(), ("35",)])
def test_a_notebook_is_told_a_call(words):
    with pytest.raises(ValueError, match=r'mb\.convert\("14 in", "mm"\)'):
        mb.convert(*words)


def test_a_unit_that_was_not_asked_is_refused_with_those_that_were():
    with pytest.raises(KeyError, match="is not told here, but mm; ask for that unit"):
        mb.convert("14 in", "mm")["m"]
