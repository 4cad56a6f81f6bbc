"""The largest and smallest value that works: against plain judgements of many values on six sizings, one after the
other; and what is told of it, on the command line and in notebooks.
"""

import itertools
import json
import math
import re
from dataclasses import replace

import numpy as np
import pytest

import mechbench as mb
from mechbench import quantity
from mechbench.catalog import NAMES, judge, sizing_of
from mechbench.desk import find, most, working
from mechbench.engine.inputs import Tables
from mechbench.engine.pairs import go_together
from mechbench.engine.spec import Field, Pick
from mechbench.kits import Table, kit, read_kit
from tests.desk.asked import ask, is_one_sentence
from tests.tries import tries

# Fields that make a job harder as they grow (or, least, as they shrink), of six sizings; with what else is given.
HARDER = [
    ("arm", "most", "payload", {}),
    ("arm", "most", "length", {}),
    ("lift", "most", "payload", {}),
    ("lift", "least", "time_wanted", {"payload": "0.4 kg"}),
    ("drivetrain", "most", "mass", {}),
    ("winch", "most", "lift_height", {}),
    ("winch", "most", "mass", {"factor_wanted": 5.0}),
    ("gripper", "most", "piece_mass", {}),
    ("linkage", "most", "payload", {}),
]
PLACES = tries(24, thorough=800)  # over the whole range
KITS = {name: f"tests/kits/{name}" for name in ("second_kit", "flat", "bare")}
NOT_WORDS = re.compile(r"\b(nan|NaN|inf|Infinity|Traceback)\b")
SAMPLE = tries(1, thorough=40)  # number inputs of each sizing


def worked(name, field, given, values):
    """Which of the values work, each judged by itself; None where it can't be built."""
    found = []
    for value in values:
        try:
            found.append(judge(name, {**given, field: float(value)}).surely_works)
        except ValueError:
            found.append(False)
    return np.array(found)


def places(name, field, count):
    """Values over the range of a field that are none of the search's own."""
    one = sizing_of(name).field(field).at(Tables(sizing_of(name)))
    low, high = one.to_si(one.low), one.to_si(one.high)
    return low + (high - low) * (np.arange(count) + 0.382) / count


# --- against brute force --------------------------------------------------------------------------------------------


@pytest.mark.parametrize("name, way, field, given", HARDER, ids=lambda part: str(part))
def test_it_is_what_plain_judgements_of_many_values_give(name, way, field, given):
    turned = getattr(mb, way)(name, field, **given)
    assert turned.value is not None
    values = places(name, field, PLACES)
    works = worked(name, field, given, values)
    assert works.any() and not works.all(), "else this asks nothing"
    if way == "most":
        assert turned.value >= values[works].max() and not works[values > turned.value].any()
        assert turned.value < values[values > values[works].max()].min()
    else:
        assert turned.value <= values[works].min() and not works[values < turned.value].any()
        assert turned.value > values[values < values[works].min()].max()


NARROW = [  # sizing, field, what else is given, all numbers of three digits around what works
    ("pair", "ratio_wanted", {}, np.arange(200, 400) / 100),
    ("pair", "ratio_wanted", {"last_stage": "12:36"}, np.arange(200, 400) / 100),
    ("pair", "ratio_wanted", {"off_allowed": 0.002}, np.arange(200, 400) / 100),
    ("drivetrain", "start_limit", {"time_wanted": 1.18}, np.arange(400, 460) / 100),
]


@pytest.mark.parametrize("name, field, given, values", NARROW, ids=lambda part: str(part)[:40])
def test_a_band_narrower_than_a_step_of_the_grid_is_found(name, field, given, values):
    works = worked(name, field, given, values)
    assert works.any() and not works[0] and not works[-1], "else this asks nothing"
    largest, smallest = (getattr(mb, way)(name, field, **given).value for way in ("most", "least"))
    assert (smallest, largest) == (pytest.approx(values[works].min()), pytest.approx(values[works].max()))
    runs = [(low.found.value, high.found.value) for low, high in mb.find(name, field, **given).rows[0].ranges.runs]
    inside = [any(low - 1e-9 <= value <= high + 1e-9 for low, high in runs) for value in values]
    assert np.array_equal(inside, works)


@pytest.mark.parametrize("name, way, field, given", HARDER, ids=lambda part: str(part))
def test_what_is_told_works_as_typed_and_the_next_number_beyond_does_not(name, way, field, given):
    sizing = sizing_of(name)
    read = {key: sizing.field(key).read(value, Tables(sizing)) for key, value in given.items()}
    words = [f"{key}={value}".replace(" ", "") for key, value in given.items()]
    said = ask([name, *words, f"--{way}", field])
    first = said.out.splitlines()[0]
    value, beyond = re.search(
        rf"({field}=\S+) works on at least 95 of 100 days; (.+?) does not", flat(said.out)
    ).groups()
    assert said.code == 0 and first.startswith(("Largest ", "Smallest "))
    assert ask([name, *words, value]).code == 0
    assert ask([name, *words, f"{field}={beyond}".replace(" ", "")]).code == 1
    shown = quantity.show(judge(name, {**read, field: value.partition("=")[2]}).values[field], sizing.field(field).unit)
    assert first.endswith(f"{shown}.")


@pytest.mark.parametrize("name, way, field, given", HARDER, ids=lambda part: str(part))
def test_the_bound_that_is_named_is_what_misses_just_beyond(name, way, field, given):
    turned = getattr(mb, way)(name, field, **given)
    report = judge(name, {**given, field: turned.edge.beyond.value})
    missed = {n for n, margin in report.good_margin.items() if margin < 0}
    missed = missed or {n for n, margin in report.bad_margin.items() if margin < 0}
    missed = missed or {n for n, days in report.missed_days.items() if days > 0}
    assert turned.limited_by and set(turned.limited_by) <= missed
    for named in turned.limited_by:
        assert (
            report.sizing.finding(named).label in flat(most.text_of(turned)).split("Limited by: ")[1].split(". With")[0]
        )


def flat(text):
    """A text on one line."""
    return " ".join(text.split())


@pytest.mark.parametrize(
    "name, way, field, given",
    [
        ("arm", "most", "length", {"time_wanted": 0.25}),
        ("arm", "least", "payload", {"time_wanted": 0.3, "length": 0.5}),
        ("winch", "most", "lift_height", {"factor_wanted": 8.0}),
        ("drivetrain", "most", "distance", {}),
        ("gripper", "most", "squeeze", {"piece_mass": 0.5}),
        ("lift", "most", "payload", {"time_wanted": 0.4}),
    ],
    ids=lambda part: str(part),
)
def test_where_nothing_works_no_other_value_is_nearer(name, way, field, given):
    """Short of a good day first, then of a bad one; each value judged by itself. Nearer by a little is as near."""
    turned = getattr(mb, way)(name, field, **given)
    assert turned.value is None and turned.edge.miss.report is not None
    short = lambda report: (min(0.0, *report.good_margin.values()), report.joint_margin)
    mine = short(turned.edge.miss.report)
    for value in places(name, field, PLACES):
        good, bad = short(judge(name, {**given, field: float(value)}))
        assert good <= mine[0] + 0.02 and (good < mine[0] or bad <= mine[1] + 0.02)


def test_the_shortest_time_is_that_of_a_bad_day():
    """Where everything else has enough to spare, the least time wanted is the time of a bad day, to three digits up."""
    report = judge("arm")
    assert all(margin >= 0.05 for name, margin in report.bad_margin.items() if name not in ("time", "current"))
    expected = math.ceil(report.bad["time"] * 1000 - 1e-6) / 1000
    assert mb.least("arm", "time_wanted").value == pytest.approx(expected)


# --- what must not get better ---------------------------------------------------------------------------------------


def weaker(table, column, factor):
    """A table with one column changed for all its parts, as a kit's own."""
    columns = {**table.columns, column: table.columns[column] * factor}
    told = (table.texts, table.kinds, table.help, table.assumed, table.have)
    return Table(table.name, table.names, table.usual, table.labels, columns, *told)


def kit_with(name, column, factor):
    """The course's kit with one column of a table changed."""
    own = kit()
    tables = {**own._tables, name: weaker(own._tables[name], column, factor)}
    return replace(own, digest=f"{own.digest} {name} {column} {factor}", _tables=tables)


@pytest.mark.parametrize(
    "name, field, table, column, factors",
    [
        ("arm", "payload", "motors", "resistance", (1.0, 1.15, 1.5)),  # less torque at every speed
        ("lift", "payload", "motors", "resistance", (1.0, 1.05, 1.2)),
        ("winch", "lift_height", "motors", "resistance", (1.0, 1.3, 2.0)),
        ("winch", "mass", "cords", "breaking_strength", (1.0, 0.9, 0.6)),
        ("arm", "payload", "gearboxes", "efficiency", (1.0, 0.9, 0.6)),
    ],
)
def test_the_most_is_never_more_with_weaker_parts(name, field, table, column, factors):
    assert column in kit().table(table).columns
    found = []
    for factor in factors:
        values = dict(judge(name).values)  # the same parts, whatever the weaker kit would open with
        values.pop(field)
        found.append(mb.most(name, field, kit=kit_with(table, column, factor), **values).value or 0.0)
    assert found == sorted(found, reverse=True) and found[0] > found[-1]


@pytest.mark.parametrize("time", ["0.5 s", "0.8 s", "1.5 s"])
def test_more_time_never_allows_less(time):
    """A payload that works in a time works in a longer one; the most of one day's kit is at least as much."""
    asked = quantity.read(time, "time").value
    one, other = (mb.most("arm", "payload", time_wanted=asked * factor).value or 0.0 for factor in (1.0, 1.3))
    assert 0 < one <= other


# --- every sizing, every kit ----------------------------------------------------------------------------------------


def sampled(name):
    """Some number inputs of a sizing, in its order; the same on every machine."""
    fields = [one.name for one in sizing_of(name).FIELDS if isinstance(one, Field)]
    start = sum(map(ord, name)) % max(len(fields), 1)
    return (fields[start:] + fields[:start])[:SAMPLE]


@pytest.mark.parametrize("way", ["most", "least"])
@pytest.mark.parametrize("name", NAMES)
def test_every_number_of_every_sizing_gives_an_answer(name, way):
    for field in sampled(name):
        answers(name, way, field)


@pytest.mark.parametrize("folder", KITS)
@pytest.mark.parametrize("name", ["arm", "lift", "gripper", "winch"])
def test_it_works_with_other_kits(name, folder):
    other = read_kit(KITS[folder])
    answers(name, "most", next(one.name for one in sizing_of(name).FIELDS if isinstance(one, Field)), other)
    answers(name, "least", "mass", other)


def answers(name, way, field, kit_given=None):
    """It is answered: the number first, no odd word, and data without NaN; what works is judged to work."""
    turned = getattr(mb, way)(name, field, kit=kit_given)
    text, data = most.text_of(turned), json.loads(json.dumps(most.data_of(turned), allow_nan=False))
    lines = text.splitlines()
    assert not NOT_WORDS.search(text) and any(" that still works: " in line for line in lines[:4])
    if "input" not in data:
        assert all(judge(name, one["choice"], kit_given).surely_works for one in data["fits"])
        return
    assert max(map(len, lines)) <= 100
    if data["value"] is not None:
        assert judge(name, {data["input"]: data["value"]}, kit_given).surely_works
        assert data["beyond"] is None or not data["beyond"].get("works_on_bad_day") or data["beyond"]["rests_on"]
        assert (data["beyond"] is None) == data["range_ends"]


# --- what may be asked ----------------------------------------------------------------------------------------------


def test_a_finding_whose_bound_is_an_input_means_that_input():
    assert mb.least("arm", "time").edge.input.name == "time_wanted"
    assert mb.most("lift", "rise").edge.input.name == "rise_wanted"
    assert mb.most("balance", "braking").edge.input.name == "braking_wanted"


def test_an_input_goes_before_a_finding_and_before_mass():
    assert mb.most("winch", "mass").edge.input.name == "mass"
    assert isinstance(mb.least("arm", "mass"), find.Found)


def test_the_lightest_parts_are_the_lightest_of_all_that_work():
    """Every motor with every gearbox and a few last stages judged singly; masses added up from the kit."""
    arm, tables = sizing_of("arm"), Tables(sizing_of("arm"))
    light = np.argsort(tables("last_stages").columns["mass"], kind="stable")
    stages = tuple(tables("last_stages").names[i] for i in light[:2])
    vary = {"motor": None, "gearbox": None, "last_stage": stages}
    found = find.ranked(arm, vary, {}, tables, least="mass")
    masses = {}
    for motor, box, stage in itertools.product(tables("motors").names, tables("gearboxes").names, stages):
        choice = {"motor": motor, "gearbox": box, "last_stage": stage}
        if go_together(arm, {**judge("arm").values, **choice}, tables) and judge("arm", choice).surely_works:
            rows = (tables("motors").row(motor), tables("gearboxes").row(box), tables("last_stages").row(stage))
            masses[tuple(choice.values())] = sum(row["mass"] for row in rows)
    assert masses and found.best[0].mass == pytest.approx(min(masses.values()))
    assert masses[tuple(found.best[0].choice.values())] == pytest.approx(min(masses.values()))
    assert [one.mass for one in found.best] == sorted(one.mass for one in found.best)


@pytest.mark.parametrize("least, worst", [("current", max), ("-spare", min)])
def test_the_least_of_a_finding_is_that_of_all_pairs_that_work(least, worst):
    arm, tables = sizing_of("arm"), Tables(sizing_of("arm"))
    found = find.ranked(arm, {"motor": None, "gearbox": None}, {}, tables, least=least)
    name = least.lstrip("-")
    reports = []
    for motor, box in itertools.product(tables("motors").names, tables("gearboxes").names):
        if go_together(arm, {**judge("arm").values, "motor": motor, "gearbox": box}, tables):
            reports.append(judge("arm", {"motor": motor, "gearbox": box}))
    best = {max: min, min: max}[worst](one.good[name] for one in reports if one.surely_works)
    assert found.best[0].report.good[name] == pytest.approx(best)


@pytest.mark.parametrize(
    "line, says",
    [
        ("arm --most motor", "motor is a part, not a number; --find motor ranks the parts that work."),
        ("arm payload=1kg --most payload", "payload is given and looked for"),
        ("arm --most payload --least length", "can't be asked together"),
        ("arm --most payload --find motor", "can't be asked together"),
        ("arm --most paylod", "did you mean 'payload'"),
        ("arm --most payload --record a.html", "--record does not go with --most"),
        ("arm --least payload --steps 5", "--steps goes with --sweep only"),
        ("robot --least peak", "has no parts to look for that are not given; name an input, such as points_wanted."),
        ("arm --find length,payload", "are numbers, but one can be looked for at a time"),
        ("arm length=0.4m --find length", "length is given and looked for"),
        ("arm --find length=300mm", "length is a number, so --find length looks through its whole range"),
        ("arm --find motor,gearbox,last_stage,length", "beside a number at most"),
    ],
)
def test_what_can_not_be_asked_is_refused_in_one_sentence(line, says):
    said = ask(line)
    assert said.code == 2 and is_one_sentence(said.err) and says in said.err


# --- what is told ---------------------------------------------------------------------------------------------------


def test_the_number_stands_first_and_what_stands_around_it_is_judged():
    said = ask("arm --most payload")
    lines = said.out.splitlines()
    value = mb.most("arm", "payload")
    assert lines[0] == f"Largest payload that still works: {quantity.show(value.value, 'kg')}."
    assert max(map(len, lines)) <= 100
    for at in (value.edge.inside, value.edge.found, value.edge.beyond):
        report = judge("arm", {"payload": at.value})
        row = next(line for line in lines if line.startswith("  works on days"))
        assert str(report.days_in_100) in row.split()
    assert value.edge.inside.value < value.value < value.edge.beyond.value


def test_where_only_the_range_ends_it_is_said():
    asked = sizing_of("arm").field("time_wanted")
    end = quantity.show(asked.to_si(asked.high), "s")
    said = flat(ask("arm --most time_wanted").out)
    assert f"Only the range of time_wanted ends at {end}: nothing that is asked fails up to there." in said
    assert "Limited by" not in said and "does not." not in said


def test_where_nothing_works_the_nearest_miss_and_what_it_misses():
    said = ask("arm time_wanted=0.2s length=900mm --most payload")
    assert said.code == 1 and said.out.splitlines()[0] == "Largest payload that still works: none found."
    asked = sizing_of("arm").field("payload")
    least = asked.to_si(asked.low)
    report = judge("arm", {"time_wanted": 0.2, "length": 0.9, "payload": least})
    assert re.search(r"None of the \d+ values tried from \S+ kg to \S+ kg works", flat(said.out))
    assert f"Nearest: {quantity.show(least, 'kg')}." in flat(said.out)
    assert report.sizing.finding(report.weakest(bad=report.works)).label in said.out


def test_a_notebook_shows_a_page_and_says_it_in_one_line():
    turned = mb.most("arm", "payload", length="0.5 m")
    assert "\n" not in repr(turned) and repr(turned).startswith("Largest payload that still works: ")
    page = turned._repr_mimebundle_()
    assert page["text/plain"] == most.text_of(turned) and page["text/html"].count("<table>") == 1
    assert repr(turned).split(": ")[1].split(".  ")[0][:4] in page["text/html"]
    assert mb.most("arm", "payload", length="0.7 m").value < turned.value
    assert "lb" in repr(mb.most("arm", "payload", system="us"))
    with pytest.raises(ValueError, match="did you mean"):
        mb.most("arm", "payload", lenght="0.5 m")


# --- where a number works -------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    "name, field", [("arm", "length"), ("lift", "lean"), ("winch", "lift_height"), ("gripper", "squeeze")]
)
def test_the_ranges_that_work_are_those_of_plain_judgements(name, field):
    found = mb.find(name, field)
    values = places(name, field, PLACES)
    works = worked(name, field, {}, values)
    runs = [(low.found.value, high.found.value) for low, high in found.rows[0].ranges.runs]
    inside = np.array([any(low <= value <= high for low, high in runs) for value in values])
    assert works.any() and np.array_equal(inside, works)
    assert f"{field.replace('_', ' ')} that works: " in working.text_of(found).splitlines()[0]


def test_a_number_with_parts_has_a_range_for_each():
    found = mb.find("arm", "motor,length")
    text, data = working.text_of(found), working.data_of(found)
    assert working.code_of(found) == 0
    assert data["tried"] == len(kit().table("motors")) and 0 < len(data["fits"]) <= working.SHOWN
    for one in data["fits"]:
        for run in one["ranges"]:
            for end in (run["low"], run["high"]):
                assert judge("arm", {**one["choice"], "length": end}).surely_works
        assert one["choice"]["motor"] in text
    wide = [sum(run["high"] - run["low"] for run in one["ranges"]) for one in data["fits"]]
    assert wide[0] == max(wide)


def test_what_no_label_gives_is_told_apart():
    """A part with assumed numbers: what surely works ends before what works as assumed, and both are told."""
    tables = Tables(sizing_of("arm"))
    assumed = [name for name in tables("motors").names if tables("motors").assumed.get(name)]
    assert assumed, "else this asks nothing"
    turned = mb.most("arm", "length", motor=assumed[0])
    known, supposed = turned.edge.found, turned.edge.as_assumed
    assert known.works and supposed.report.works_on_bad_day and known.value < supposed.value
    assert not turned.edge.beyond.report.known and turned.edge.beyond.report.works_on_bad_day
    said = flat(most.text_of(turned))
    assert "Limited by: numbers that no label gives." in said and "If all is as assumed, it works up to" in said


def test_where_the_first_all_rest_on_what_no_label_gives_others_are_looked_for():
    chained = sizing_of("chained")
    found = mb.least("chained", "current")
    assert found.best and all(one.report.surely_works for one in found.best)
    shown = [one.report.good["current"] for one in found.best]
    assert shown == sorted(shown) and chained.has("current")


def test_no_pick_of_one_part_is_looked_for():
    lift = sizing_of("lift")
    found = mb.least("lift", "current")
    tables = Tables(lift)
    assert all(len(lift.field(name).options(tables)) > 1 and isinstance(lift.field(name), Pick) for name in found.names)
