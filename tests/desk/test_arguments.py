import pytest

from mechbench.catalog import NAMES, sizing_of
from mechbench.desk.arguments import BadQuestion, as_typed, input_named, part_named, read_line, values_of, words_apart
from mechbench.engine.inputs import Tables
from mechbench.engine.spec import Pick

ARM = sizing_of("arm")


def test_inputs_options_and_the_sizing_are_told_apart():
    line = read_line(["arm", "payload=0.5kg", "--us", "--sweep", "length=1..2", "--find=motor"])
    assert (line.name, line.given) == ("arm", {"payload": "0.5kg"})
    assert line.has("--us") and line.one("--sweep") == "length=1..2" and line.one("--find") == "motor"


def test_a_negative_number_is_no_option():
    assert read_line(["arm", "start_angle=-40deg"]).given == {"start_angle": "-40deg"}
    with pytest.raises(BadQuestion, match="'-40' has no '='"):
        read_line(["arm", "-40"])


@pytest.mark.parametrize(
    "words, says",
    [
        (["arm", "payload=1kg", "payload=2kg"], "'payload' is given twice"),
        (["arm", "--us=1"], "--us takes nothing after it"),
        (["arm", "--find"], "--find needs INPUT,INPUT after it"),
        (["arm", "--fnid=motor"], "did you mean '--find'"),
        (["arm", "payload=2", "kg"], "leave out the space before it: payload=2kg"),
        (["arm", "lift"], "only one sizing can be asked at once"),
    ],
)
def test_what_cannot_be_read_is_refused_in_a_sentence(words, says):
    with pytest.raises(BadQuestion, match=says):
        read_line(words)


def test_an_input_may_be_cut_short_as_long_as_it_is_clear():
    assert input_named(ARM, "pay").name == "payload" and input_named(ARM, "ANCHOR-height").name == "anchor_height"
    assert input_named(ARM, "length").name == "length"
    with pytest.raises(BadQuestion, match="'arm_masss' is not an input of arm; did you mean 'arm_mass'"):
        input_named(ARM, "arm_masss")
    with pytest.raises(BadQuestion, match="can be payload or pin_distance"):
        input_named(ARM, "p")


def test_a_part_may_be_named_by_a_word_that_only_it_has():
    tables = Tables(ARM)
    assert part_named(ARM.field("gearbox"), "74", tables) == "planetary_74"
    assert part_named(ARM.field("motor"), "STOUT", tables) == "stout"
    with pytest.raises(BadQuestion, match=r"can be nylon_22_to_44, bronze_22_to_44, steel_22_to_44; write more"):
        part_named(ARM.field("last_stage"), "22_to_44", tables)
    with pytest.raises(BadQuestion, match="'planetary_744' is no part of the kit; did you mean 'planetary_74'"):
        part_named(ARM.field("gearbox"), "planetary_744", tables)


def test_a_part_may_be_named_by_its_figures_where_no_name_has_them():
    tables = Tables(ARM)
    assert part_named(ARM.field("gearbox"), "16", tables) == "planetary_16", "a word of a name comes first"
    assert part_named(ARM.field("gearbox"), "20:1", tables) == "20:1"
    assert part_named(ARM.field("last_stage"), "chain 10:30", tables) == "own_chain_10_to_30"
    with pytest.raises(BadQuestion, match="gearbox is 0.05 : 1, but its ratio must be from 0.1 : 1"):
        part_named(ARM.field("gearbox"), "0.05", tables)
    values = values_of(ARM, {"battery": "2.8Ah", "motor": "275rpm,2.6Nm"}, tables)
    assert values == {"battery": "2.8Ah", "motor": "275rpm,2.6Nm"} and tables.kit.battery.capacity == 2.8 * 3600
    assert input_named(ARM, "bat").name == "battery"


def test_words_of_a_list_keep_figures_together():
    words = words_apart(ARM, "motor=275rpm,2.6Nm,slim,gearbox=20:1,25,spring", Tables(ARM))
    assert words == ["motor=275rpm,2.6Nm", "slim", "gearbox=20:1", "25", "spring"]
    assert words_apart(ARM, "motor,gearbox", Tables(ARM)) == ["motor", "gearbox"]


@pytest.mark.parametrize(
    "given, says",
    [
        ({"payload": "3"}, "has no unit: write the unit too"),
        ({"payload": "3 N"}, "is a force; a mass is asked"),
        ({"payload": "30 kg"}, "must be from 0.01 kg to 6 kg"),
        ({"pay": "1kg", "payload": "1kg"}, "payload is given twice"),
    ],
)
def test_values_are_refused_with_the_name_of_the_input(given, says):
    with pytest.raises(BadQuestion, match="payload.*" + says if "twice" not in says else says):
        values_of(ARM, given, Tables(ARM))


@pytest.mark.parametrize("name", NAMES)
@pytest.mark.parametrize("system", ["metric", "us"])
def test_what_is_shown_can_be_typed_again(name, system):
    sizing = sizing_of(name)
    tables = Tables(sizing)
    for field in sizing.FIELDS:
        value = field.first(tables) if isinstance(field, Pick) else field.to_si(field.default)
        text = as_typed(field, value, system)
        assert " " not in text
        again = values_of(sizing, {field.name: text}, tables)[field.name]
        assert again == value or again == pytest.approx(value, rel=1e-5)
