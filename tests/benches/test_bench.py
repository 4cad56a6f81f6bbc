"""A bench without a browser: controls, verdict, units, refusals, and the bundle that a notebook stores."""

import io
import threading
import time
from base64 import b64decode

import numpy as np
import pytest
from PIL import Image

import mechbench as mb
from mechbench.benches import bench as bench_module
from mechbench.benches import best_parts, page, page_theme
from mechbench.benches.bench import Bench
from mechbench.benches.input_control import Choice, Slider, Wheels, step_of
from mechbench.catalog import NAMES, judge, picture_of, search, sizing_of
from mechbench.drawing import behind
from mechbench.drawing.margins import MarginsPicture
from mechbench.drawing.palette import DRAWN, LOOKS
from mechbench.drawing.picture import plain
from mechbench.engine import power_off, report_text
from mechbench.engine.columns import columns
from mechbench.engine.inputs import Tables
from mechbench.engine.judge import pictured
from mechbench.engine.spec import CHOICE, JOB, Field, Pick
from mechbench.kits import by_figures, read_kit
from mechbench.whole_robot import part_first
from mechbench.wording import NO_BREAK
from tests.benches.pendulum import Pendulum


@pytest.fixture(autouse=True)
def first_choice(monkeypatch):
    """Switches that one test moves must not reach the next."""
    monkeypatch.setattr(Bench, "_chosen", {"system": "metric"})


def slide(bench, name, number):
    """Move a slider as the browser does."""
    bench._controls[name].slider.value = number


def verdict_of(bench):
    """What stands in the verdict's place, with plain spaces."""
    return bench._verdict.value.replace(NO_BREAK, " ")


def type_in(bench, name, text):
    """Type into the box beside a slider, and Enter."""
    bench._controls[name].box.value = text


def test_report_is_that_of_the_sizing():
    bench = mb.bench("motor", {"load_torque": "0.08 N·m", "motor": "stout"})
    assert bench.values["load_torque"] == pytest.approx(0.08) and bench.values["motor"] == "stout"
    assert bench.report == judge(sizing_of("motor"), {"load_torque": 0.08, "motor": "stout"})


PICTURED = [name for name in NAMES if sizing_of(name).pictured]


def given_for(sizing):
    """Values to draw: its own; loads and ways by a fifth less and more; other parts."""
    bench = mb.bench(sizing.NAME)
    fields = [f for f in sizing.FIELDS if not isinstance(f, Pick)]
    for share in (1.0, 0.8, 1.2):
        yield {f.name: float(np.clip(share * bench.values[f.name], *map(f.to_si, (f.low, f.high)))) for f in fields}
    for pick in (f for f in sizing.FIELDS if isinstance(f, Pick)):
        yield {pick.name: pick.options(bench.tables)[-1]}


@pytest.mark.parametrize("name", PICTURED)
def test_a_picture_before_judging_is_the_one_after_it(name):
    sizing, tables = sizing_of(name), Tables(sizing_of(name))
    screen = behind.screen(picture_of(name), DRAWN, "metric")
    extra, drawn = {f.name: f.to_si(f.default) for f in picture_of(name).EXTRA}, []
    for given in given_for(sizing):
        try:
            report = judge(sizing, given)
        except ValueError:
            continue  # parts that don't go together
        now = plain(columns(sizing, report.values, tables))
        first, last = (screen.png(one, now, extra) for one in (pictured(sizing, given, tables), report))
        assert first == last, given
        drawn.append(first)
    assert len(set(drawn)) > 2


def test_a_picture_that_needs_no_move_is_shown_first_and_what_is_told_waits(monkeypatch):
    bench = mb.bench("arm")
    seen, before, judged = [], bench._images["light"].value, bench_module.judge_with

    def watched(*given):
        seen.append((bench._images["light"].value, page.WAITS in bench._seen._dom_classes, bench._verdict.value))
        return judged(*given)

    monkeypatch.setattr(bench_module, "judge_with", watched)
    told = bench._verdict.value
    slide(bench, "payload", 0.8)
    assert seen == [(bench._images["light"].value, True, told)] and seen[0][0] != before
    assert page.WAITS not in bench._seen._dom_classes and bench._verdict.value != told
    assert bench.report == judge(sizing_of("arm"), bench.values)


def test_what_is_refused_in_judging_is_told_and_waits_for_nothing():
    bench = mb.bench("arm")
    bench._controls["end_angle"].slider.value = np.degrees(bench.values["start_angle"])
    assert "end_angle" in bench.problem and page.WAITS not in bench._seen._dom_classes


@pytest.mark.parametrize("name", NAMES)
def test_every_sizing_has_a_bench(name):
    bench = mb.bench(name)
    said = bench.sentence.split(report_text.verdict(bench.report))
    assert bench.report is not None and len(said) == 2
    assert said[1].endswith(power_off.sentence(bench.report)), "the note comes last, and in it what falls"
    there = {f.name for f in bench.sizing.FIELDS if f.about is None or f.about(bench.kit)}
    assert set(bench._controls) == there


def test_every_picture_belongs_to_a_sizing():
    drawn = [name for name in NAMES if picture_of(name) is not MarginsPicture]
    assert len(drawn) >= len(NAMES) - 1, "all but the pair of wheels have one of their own"
    assert picture_of("a sizing without its own picture") is MarginsPicture


def test_slider_changes_value_picture_and_verdict():
    bench = mb.bench(Pendulum)
    before = bench._images["light"].value, verdict_of(bench)
    slide(bench, "mass", 3.0)
    assert bench.values["mass"] == 3.0 and bench._controls["mass"].box.value == "3 kg"
    assert bench._images["light"].value != before[0] and verdict_of(bench) != before[1]
    assert report_text.verdict(bench.report) in verdict_of(bench) and report_text.bad_day_line(
        bench.report
    ) in verdict_of(bench)


def test_a_typed_value_may_have_any_unit_of_the_kind_and_moves_the_slider():
    bench = mb.bench(Pendulum)
    type_in(bench, "mass", "3000 g")
    assert bench.values["mass"] == pytest.approx(3.0) and bench._controls["mass"].slider.value == pytest.approx(3.0)
    assert bench._controls["mass"].box.value == "3 kg"
    type_in(bench, "length", "10 in")
    assert bench.values["length"] == pytest.approx(0.254)


@pytest.mark.parametrize("system, kilograms", [("metric", 3.0), ("us", 3 * 0.45359237)])  # NIST SP 811: 1 lb
def test_a_number_alone_has_the_unit_that_its_box_shows(system, kilograms):
    bench = mb.bench(Pendulum, system=system)
    type_in(bench, "mass", " 3 ")
    assert bench.values["mass"] == pytest.approx(kilograms) and not bench.problem
    assert bench._controls["mass"].box.value.startswith("3 ")
    type_in(bench, "mass", "-3")
    assert "must be from" in verdict_of(bench)


@pytest.mark.parametrize(
    "text, said",
    [
        ("3 N", "a mass is asked"),
        ("90 kg", "must be from 0.1 kg to 5 kg"),
        ("<b>heavy</b>", "&lt;b&gt;"),
        ("", "number"),
    ],
)
def test_a_text_that_is_refused_changes_nothing_but_the_verdict(text, said):
    bench = mb.bench(Pendulum)
    before, picture = dict(bench.values), bench._images["light"].value
    type_in(bench, "mass", "?")
    type_in(bench, "mass", text)
    assert said in verdict_of(bench) and "mb-wrong" in verdict_of(bench) and "<b>" not in verdict_of(bench)
    assert bench.values == before and bench._images["light"].value == picture
    assert bench._controls["mass"].box.value == text
    slide(bench, "torque", 7.0)
    assert bench._controls["mass"].box.value == "1 kg" and "mb-wrong" not in verdict_of(bench)


def test_a_state_without_solution_shows_its_sentence_and_the_last_picture():
    bench = mb.bench(Pendulum, {"mass": 5.0, "length": 0.4})
    picture = bench._images["light"].value
    slide(bench, "length", 1000)
    assert (
        bench.report is None
        and "the stick bends there" in bench.problem
        and "the stick bends there" in verdict_of(bench)
    )
    assert bench._images["light"].value == picture and set(bench._repr_mimebundle_()) == {
        "text/plain",
        "application/vnd.jupyter.widget-view+json",
    }
    slide(bench, "length", 300)
    assert bench.report is not None and bench.problem == ""


def test_a_bench_may_start_without_a_solution():
    bench = mb.bench(Pendulum, {"mass": 5.0, "length": "1 m"})
    assert bench.report is None and "the stick bends there" in bench.sentence


def test_set_changes_all_or_nothing():
    bench = mb.bench(Pendulum)
    assert bench.set(mass="2 kg", torque=9) is bench
    assert (bench.values["mass"], bench.values["torque"]) == (2.0, 9.0)
    assert bench._controls["torque"].slider.value == 9.0
    with pytest.raises(ValueError, match="torque is 90 N·m, but it must be from 0.5 N·m to 20 N·m"):
        bench.set(mass="3 kg", torque=90)
    assert bench.values["mass"] == 2.0
    with pytest.raises(ValueError, match="'mas' is not an input of pendulum; did you mean 'mass'?"):
        bench.set(mas=3)


def test_browser_rounding_a_typed_value_to_a_place_of_the_slider_is_no_move():
    bench = mb.bench(Pendulum)
    type_in(bench, "mass", "1.234 kg")
    slide(bench, "mass", 1.25)
    assert bench.values["mass"] == pytest.approx(1.234)
    slide(bench, "mass", 1.30)
    assert bench.values["mass"] == pytest.approx(1.30)


def test_a_typed_value_just_between_two_places_stays_what_it_is():
    """A slider from 0.1 kg in steps of 0.05 kg stands at 1.2 or 1.25 kg for 1.225 kg, and the browser tells that."""
    bench = mb.bench(Pendulum)
    control = bench._controls["mass"]
    type_in(bench, "mass", "1.225 kg")
    slide(bench, "mass", float(np.nextafter(control.slider.value, np.inf)))
    assert bench.values["mass"] == pytest.approx(1.225)
    slide(bench, "mass", control.slider.value + control.slider.step)
    assert bench.values["mass"] > 1.24


@pytest.mark.parametrize("sizing", [*map(sizing_of, NAMES), Pendulum], ids=lambda s: s.NAME)
def test_default_stands_on_a_place_of_its_slider(sizing):
    for field in sizing.FIELDS:
        if isinstance(field, Field):
            places = (field.default - field.low) / step_of(field)
            assert places == pytest.approx(round(places), abs=1e-6), field.name
            assert 25 <= (field.high - field.low) / step_of(field) <= 1100, field.name


def test_groups_more_and_fixed():
    bench = mb.bench(Pendulum, show=["mass", "torque"], fixed={"friction": "0.5 N·m"})
    assert bench.values["friction"] == 0.5 and "friction" not in bench._controls
    job, choice = bench._group(JOB), bench._group(CHOICE)
    assert "The job asks" in job.children[0].value and "You choose" in choice.children[0].value
    assert job.children[1] is bench._controls["mass"].view
    button, hidden = job.children[2].children[0], job.children[3]
    assert button.description == "More that the job asks (1)" and hidden.children == (bench._controls["length"].view,)
    assert hidden.layout.display == "none"
    button.value = True
    assert hidden.layout.display is None
    assert "More" not in str(
        [
            part.description
            for row in choice.children
            if hasattr(row, "children")
            for part in row.children
            if hasattr(part, "description")
        ]
    )


def test_wrong_names_are_refused():
    with pytest.raises(ValueError, match="'moter' is not a sizing; did you mean 'motor'?"):
        mb.bench("moter")
    with pytest.raises(ValueError, match="'masss' is not an input"):
        mb.bench(Pendulum, show=["masss"])
    with pytest.raises(ValueError, match="'mass' is both in show and in fixed"):
        mb.bench(Pendulum, show=["mass"], fixed={"mass": 1})


def test_every_control_is_named_and_helped():
    for name in ("motor", "train"):
        bench = mb.bench(name)
        for control in (*bench._controls.values(), *bench._extra.values()):
            widget = control.box if isinstance(control, Slider) else control.list
            kind = ": kind" if isinstance(control, Wheels) else ""
            assert widget.description == control.field.label + kind and widget.tooltip == control.field.help


def test_a_list_offers_the_kits_parts_by_the_names_people_read():
    control = mb.bench("train")._controls["gearbox"]
    assert isinstance(control, Choice)
    assert dict(control.list.options)["56.4 : 1 planetary"] == "planetary_56"


def own_part(bench, name, text):
    """Choose the last entry of a list, and type figures into the box that it opens."""
    control = bench._controls[name]
    control.list.value = control.list.options[-1][1]
    assert control.box.layout.display is None
    control.box.value = text
    return control


def test_the_last_entry_opens_a_box_for_the_figures_of_a_part():
    bench = mb.bench("drivetrain", {"gearbox": "planetary_16"})
    control = bench._controls["wheel"]
    assert control.list.options[-1][0].startswith("own ...") and control.box.layout.display == "none"
    assert control.box in control.view.children and control.box.placeholder == "92mm (diameter)"
    assert "Driven wheels" in control.box.description and "diameter" in control.box.tooltip
    before = bench.values["wheel"]
    control.list.value = control.list.options[-1][1]
    assert bench.values["wheel"] == before, "nothing is typed yet"
    picture, speed = bench._images["light"].value, bench.report.good["top_speed"]
    own_part(bench, "wheel", "92 mm")
    assert bench.values["wheel"] == control.list.value == "92mm" and control.box.value == "92mm"
    assert bench.tables("drive_wheels").row("92mm")["radius"] == pytest.approx(0.046)
    assert bench.report.good["top_speed"] != speed and bench._images["light"].value != picture
    assert "wheel 92 mm across: mass, width and kind as traction_80." in verdict_of(bench)
    control.list.value = "mecanum_115"
    assert bench.values["wheel"] == "mecanum_115" and control.box.layout.display == "none"
    assert control.box.value == "" and "92 mm" not in verdict_of(bench)


@pytest.mark.parametrize("other", ["mass", "motor", "units", "set", "wrong"])
def test_a_list_goes_back_where_nothing_was_typed(other):
    bench = mb.bench("drivetrain")
    control = bench._controls["wheel"]
    before = control.list.value
    control.list.value = control.list.options[-1][1]
    if other == "mass":
        slide(bench, "mass", 10.0)
    elif other == "motor":
        motors = bench._controls["motor"].list
        motors.value = next(name for _, name in motors.options if name != motors.value)
    elif other == "units":
        bench._switch("us")
    elif other == "set":
        bench.set(mass="9 kg")
    else:
        bench._controls["mass"].box.value = "no mass"
    assert control.list.value == before == bench.values["wheel"] and control.box.layout.display == "none"


def test_a_box_for_figures_has_a_label_and_tells_what_is_taken():
    for control in mb.bench("drivetrain")._controls.values():
        box = getattr(control, "box", None)
        if box is not None and box in control.view.children and hasattr(control, "list"):
            assert box.description == f"Own: {control.field.label}"
            assert box.placeholder in by_figures.figures_taken(control.field.table) and "(" in box.placeholder


def test_wheels_behind_a_gearmotor_on_a_bench():
    bench = mb.bench("drivetrain")
    own_part(bench, "motor", "435rpm,1.2Nm")
    assert "Label read at 16 V; write 435rpm,1.2Nm,12V if yours says 12 V." in bench.sentence
    control = own_part(bench, "gearbox", "15:40")
    assert bench.values["gearbox"] == "435rpm,1.2Nm+15:40" and control.box.value == "15:40"
    assert "15 to 40 teeth: 2.67 : 1." in bench.sentence and "163 rpm without load" in bench.sentence
    bench._controls["motor"].list.value = "slim"
    assert bench.values["gearbox"] in bench.kit.table("gearboxes").names


@pytest.mark.parametrize(
    "text, said",
    [
        ("92", "has no unit"),
        ("5 kg", "a length is asked"),
        ("3 mm", "must be from 10 mm to 1 m"),
        ("<b>", "which the kit does not have"),
    ],
)
def test_figures_that_are_refused_stay_in_the_box_and_change_nothing(text, said):
    bench = mb.bench("drivetrain")
    before = dict(bench.values)
    control = own_part(bench, "wheel", text)
    assert said in verdict_of(bench) and "mb-wrong" in verdict_of(bench) and "<b>" not in verdict_of(bench)
    assert bench.values == before and control.box.value == text
    slide(bench, "mass", 10.0)
    assert "mb-wrong" not in verdict_of(bench) and control.box.layout.display == "none"


def test_a_gearmotor_by_its_figures_takes_its_gears_with_it():
    bench = mb.bench("train")
    own_part(bench, "motor", "275 rpm, 2.6 N·m")
    assert bench.values["motor"] == bench.values["gearbox"] == "275rpm,2.6Nm"
    assert bench._controls["gearbox"].list.value == "275rpm,2.6Nm"
    bench._controls["motor"].list.value = "slim"
    assert bench.values["gearbox"] in bench.kit.table("gearboxes").names


def test_a_bench_may_have_another_battery_than_the_kit():
    bench = mb.bench("lift", {"battery": "1.5 A·h"})
    low = bench.report.good["volts"]
    assert (
        bench.tables.kit.battery.capacity == pytest.approx(1.5 * 3600) and low < mb.bench("lift").report.good["volts"]
    )
    assert bench.set(battery="3 A·h", payload="0.6 kg").report.good["volts"] > low and "battery" not in bench.values
    assert "battery 3 A·h: 16 V" in bench.sentence
    with pytest.raises(ValueError, match="'low' has no number"):
        bench.set(battery="low")


def test_a_list_of_what_has_no_figures_has_no_such_entry():
    bench = mb.bench("motor")
    control = bench._controls["count"]
    assert [name for _, name in control.list.options] == ["1", "2", "3", "4"]
    assert control.box not in control.view.children


def test_a_bench_may_open_with_a_part_by_its_figures():
    bench = mb.bench("lift", {"drum": "30mm"})
    control = bench._controls["drum"]
    assert control.list.value == "30mm" and control.box.layout.display is None
    assert "30mm" not in [name for _, name in mb.bench("lift")._controls["drum"].list.options]


def test_units_switch_changes_words_not_values():
    bench = mb.bench(Pendulum)
    before, picture = dict(bench.values), bench._images["light"].value
    bench._switch("us")
    assert bench.values == before
    assert bench._controls["mass"].box.value == "2.205 lb" and bench._controls["mass"].slider.value == 1.0
    assert "lbf·in" in verdict_of(bench) and "N·m" not in verdict_of(bench)
    assert mb.bench(Pendulum).system == "us"
    bench._switch("metric")
    assert bench._images["light"].value == picture


def seen_in(bench, look):
    return Image.open(io.BytesIO(b64decode(bytes(bench._images[look].value).partition(b",")[2]))).convert("RGB")


def test_the_picture_is_there_on_the_paper_of_each_look_and_both_follow():
    bench = mb.bench("motor")
    before = {look: bytes(bench._images[look].value) for look in LOOKS}
    slide(bench, "load_torque", 0.1)
    for look, paper in (("light", (255, 255, 255)), ("dark", (0x15, 0x19, 0x1E))):
        assert seen_in(bench, look).getpixel((1, 1)) == paper and bytes(bench._images[look].value) != before[look]
        assert bench._images[look]._dom_classes == ("mb-picture", f"mb-on-{look}")
    assert not [one for one in row_of(bench) if getattr(one, "description", "") == "Picture"]


@pytest.mark.parametrize("theme", LOOKS)
def test_the_picture_that_is_seen_is_sent_first(theme, monkeypatch):
    monkeypatch.setattr(page_theme, "look", lambda: theme)
    bench, sent = mb.bench("motor"), []
    for look, image in bench._images.items():
        image.observe(lambda change, look=look: sent.append(look), "value")
    slide(bench, "load_torque", 0.1)
    assert len(sent) == 2 and sent[0] == theme


def test_settings_are_told_as_they_are_now():
    bench = mb.bench("motor", show=["load_torque", "motor"])
    slide(bench, "load_torque", 0.1)
    label = bench.kit.table("motors").labels[bench.values["motor"]]
    assert bench.settings == f"torque of the load 0.1 N·m; {label}"


def test_settings_name_the_lists_that_have_chosen_from_the_same():
    wheels = mb.kit().table("sprockets")
    bench = mb.bench("chained", base=wheels.names[0], elbow=wheels.names[-1], show=["base", "elbow", "motor"])
    frame, elbow = wheels.labels[wheels.names[0]], wheels.labels[wheels.names[-1]]
    motor = mb.kit().table("motors").labels[bench.values["motor"]]
    assert sorted(bench.settings.split("; ")) == sorted([f"frame sprocket: {frame}", f"elbow sprocket: {elbow}", motor])


def test_all_numbers_open_at_a_click_and_follow():
    bench = mb.bench(Pendulum)
    assert bench._table.value == "" and bench._table.layout.display == "none"
    bench._numbers.value = True
    assert bench._table.layout.display is None
    bad = report_text.number(Pendulum.FINDINGS[0], bench.report.bad["spare"])
    for text in (
        "torque to spare",
        "1.18 N·m \u2714",
        f"{bad} \u2714",
        "at least 0 N·m",
        "What hurts most on a bad day is the mass at the end.",
    ):
        assert text in table_of(bench)
    assert "at\u00a0least\u00a00\u00a0N·m" in bench._table.value, "a number and its unit stay on one line"
    slide(bench, "mass", 2.0)
    assert "-2.75 N·m \u2718" in table_of(bench)


def table_of(bench):
    """All numbers as they are read, whichever kind of space stands between them."""
    return bench._table.value.replace("\u00a0", " ")


def test_turning_the_motor_moves_the_picture_only():
    bench = mb.bench("train")
    before, report = bench._images["light"].value, bench.report
    bench._extra["turn"].slider.value = 3.0
    assert bench._images["light"].value != before and bench.report is report and "turn" not in bench.values


def test_bundle_is_view_picture_and_sentence():
    bundle = mb.bench("motor")._repr_mimebundle_()
    assert set(bundle) == {"text/plain", "image/png", "application/vnd.jupyter.widget-view+json"}
    picture = Image.open(io.BytesIO(b64decode(bundle["image/png"])))
    assert picture.format == "PNG" and picture.width == 770 and picture.height > 418
    assert len(bundle["image/png"]) < 120_000
    assert mb.bench("motor")._repr_mimebundle_()["image/png"] == bundle["image/png"]


def test_sentence_tells_inputs_findings_and_verdict():
    bench = mb.bench("motor", {"load_torque": "0.05 N·m", "count": "1"})
    sentence = bench.sentence
    # Nameplate of the slim motor, by hand: k = 0.167 N·m / (8.80 A - 0.36 A) = 0.01979 N·m/A, and
    # I = 0.05 / 0.01979 + 0.36 = 2.89 A, whatever the battery.
    assert "torque of the load 0.05 N·m" in sentence and "current of one motor 2.89 A" in sentence
    assert sentence.endswith(report_text.verdict(bench.report))


def test_none_of_two_tables_is_told_by_what_is_not_there():
    bench = mb.bench("winch", {"ratchet": "none"}, show=["gearbox", "last_stage", "ratchet"])
    assert ", no ratchet, no last stage. Result: " in bench.sentence


def test_mark_beside_the_verdict_goes_with_its_words():
    marks = {"fits": "\u2714", "close": "\u2248", "fails": "\u2718"}
    seen = set()
    for torque in (3.0, 4.0, 4.4, 4.5, 8.0):
        bench = mb.bench(Pendulum, {"torque": torque})
        kind = next(k for k in marks if f"mb-{k}" in verdict_of(bench))
        seen.add(kind)
        assert marks[kind] in verdict_of(bench)
        start = report_text.verdict(bench.report).split(",")[0].split(":")[0].split(" ")[0]
        assert (kind == "fails") == (start == "Does"), torque
    assert seen == set(marks)


def test_page_says_nothing_by_colour_alone():
    for kind, mark in (page.FITS, page.CLOSE, page.FAILS):
        assert f".mb-{kind} " in page.STYLE and mark.strip()


def test_two_clicks_at_once_do_not_mix(monkeypatch):
    """Two threads ask for a redraw: the second waits until the first is done, or two units would mix in one picture."""
    made = mb.bench("motor")
    inside, most, whole = [], [], made._screen.__class__.image

    def slow(screen, *given):
        inside.append(1)
        most.append(len(inside))
        time.sleep(0.05)
        try:
            return whole(screen, *given)
        finally:
            inside.pop()

    monkeypatch.setattr(type(made._screen), "image", slow)
    clicks = [threading.Thread(target=made._switch, args=(given,)) for given in ("us", "metric", "us")]
    for click in clicks:
        click.start()
    for click in clicks:
        click.join()
    made._switch("metric")
    assert len(most) == 4 and max(most) == 1


# --- which part first -------------------------------------------------------------------------------------------------


@pytest.fixture
def few(monkeypatch):
    """A few changes are tried, so that a test takes a second; what was found before is forgotten."""
    every = part_first.changes_of
    monkeypatch.setattr(part_first, "changes_of", lambda robot: [c for c in every(robot) if c.path == "drive.gearbox"])
    monkeypatch.setattr(part_first, "_answers", type(part_first._answers)())


def first_button(bench):
    """The button that asks for the part to change first, or None."""
    return next((one for one in row_of(bench) if getattr(one, "description", "") == "Which part first?"), None)


def row_of(bench):
    """The buttons above the picture."""
    row = next(part for part in bench.view.children[-1].children if "mb-row" in getattr(part, "_dom_classes", ()))
    return row.children


def test_a_robots_bench_says_which_part_first_when_it_is_pressed(few):
    bench = mb.bench("robot", {"which": "wren"})
    assert bench._first.value == "" and not part_first._answers, "nothing is searched before"
    first_button(bench).click()
    told = bench._first.value
    assert "Change first: drive: gearbox, from 16.1 : 1 planetary to 12.3 : 1 planetary" in told and "<table" in told
    assert "m/s²" in told and told.count("<tr>") == 2
    bench._numbers.value = True
    assert bench._first.value == told
    slide(bench, "leave_sooner", 1.0)
    assert bench._first.value == "", "it held for the inputs of then"


def test_what_was_found_goes_with_the_units_and_with_inputs_set_in_code(few):
    bench = mb.bench("robot", {"which": "wren"})
    for change in (lambda: bench._switch("us"), lambda: bench.set(tries="1")):
        first_button(bench).click()
        assert bench._first.value
        change()
        assert bench._first.value == ""
    first_button(bench).click()
    assert "ft/s²" in bench._first.value and "m/s²" not in bench._first.value


def test_a_robot_that_cannot_be_built_is_told_in_its_place(few, monkeypatch):
    bench = mb.bench("robot", {"which": "wren"})
    monkeypatch.setattr(part_first, "remembered", lambda *a, **k: (_ for _ in ()).throw(ValueError("it <can't> be")))
    first_button(bench).click()
    assert "it &lt;can&#x27;t&gt; be" in bench._first.value


def test_its_words_are_those_of_the_chosen_robot(few):
    bench = mb.bench("robot", {"which": "wren", "drive_gearbox": "planetary_12"})
    first_button(bench).click()
    assert "from 16.1 : 1" not in bench._first.value and "gains points on a bad day" in bench._first.value
    assert bench.part_first().splitlines()[0] in bench._first.value


def test_the_same_in_plain_words_without_a_press(few):
    told = mb.bench("robot", {"which": "wren"}).part_first().splitlines()
    assert told[0].startswith("Change first: drive: gearbox") and told[1].startswith("drive: gearbox, from 16.1 : 1")
    assert all("<" not in line for line in told)


@pytest.mark.parametrize("name", [name for name in NAMES if name != "robot"])
def test_other_benches_have_no_such_button(name):
    assert first_button(mb.bench(name)) is None


def test_a_bench_that_is_no_robot_says_so():
    with pytest.raises(ValueError, match="motor is no whole robot; open the bench of one"):
        mb.bench("motor").part_first()


# --- a design pinned as A -------------------------------------------------------------------------------------------


def press(bench, description):
    """Click the button of that name in the row below the picture."""
    next(one for one in row_of(bench) if getattr(one, "description", "") == description).click()


def test_pinned_design_stays_and_both_stand_in_the_table():
    bench = mb.bench(Pendulum, {"mass": 1.0})
    alone = bench._images["light"].value
    press(bench, "Pin as A")
    assert bench.pinned == judge(Pendulum, {"mass": 1.0}) and "change something" in told(bench)
    slide(bench, "mass", 2.0)
    assert bench.pinned.values["mass"] == 1.0 and bench.report.values["mass"] == 2.0
    bench._numbers.value = True
    # Torque needed by hand: 9.80665 m/s2 times mass times 0.4 m, less half of 0.2 N·m: 3.82 N·m and 7.75 N·m.
    row = next(row for row in table_of(bench).split("<tr>") if "torque needed" in row)
    assert "<td>3.82 N·m \u2714</td><td>7.75 N·m \u2718 \u2212 worse</td>" in row
    said = told(bench)
    assert "mass at the end 1 kg (B: 2 kg)" in said and "A works, on a bad day too; B does not work." in said
    press(bench, "Unpin A")
    slide(bench, "mass", 1.0)
    assert bench.pinned is None and bench._beside.value == "" and bench._images["light"].value == alone
    assert "worse" not in bench._table.value


def test_each_number_of_both_is_that_of_a_judgement_apart():
    one, other = {"payload": 0.3}, {"payload": 0.9}
    bench = mb.bench("arm", one).pin().set(**other)
    bench._numbers.value = True
    reports = judge("arm", one), judge("arm", other)
    rows = table_of(bench).split("<tr>")
    for finding in bench.sizing.FINDINGS:
        row = next(row for row in rows if row.startswith(f"<td{page.LEFT}>{page.escape(finding.label)}</td>"))
        cells = row.split("<td>")[1:]
        wanted = [report_text.both_days(r, finding)[bad][0] for bad in (False, True) for r in reports]
        assert all(cell.startswith(text) for cell, text in zip(cells, wanted)), (finding.name, cells, wanted)
        for now, was, cell in ((1, 0, cells[1]), (3, 2, cells[3])):
            bad = now == 3
            values = [(r.bad if bad else r.good)[finding.name] for r in reports]
            if wanted[now] == wanted[was]:
                assert "= same" in cell
            elif finding.worse_way:
                gone_up = "more" if values[1] > values[0] else "less"
                assert ("worse" if gone_up == finding.worse_way else "better") in cell, finding.name


def test_a_pinned_design_in_code_in_words_and_in_the_stored_picture():
    bench = mb.bench(Pendulum, {"mass": 1.0})
    still = bench._repr_mimebundle_()["image/png"]
    assert bench.pin() is bench and "pinned" in bench.sentence
    bench.set(mass="2 kg")
    both = bench._repr_mimebundle_()
    assert "A, pinned, is thin and grey: mass at the end 1 kg (B: 2 kg)." in both["text/plain"]
    assert both["image/png"] != mb.bench(Pendulum, {"mass": 2.0})._repr_mimebundle_()["image/png"] != still
    assert bench.unpin().sentence == mb.bench(Pendulum, {"mass": 2.0}).sentence


def test_pinning_is_refused_where_there_is_no_design():
    bench = mb.bench(Pendulum, {"mass": 5.0, "length": "1 m"})
    with pytest.raises(ValueError, match="can't be pinned: .*the stick bends there"):
        bench.pin()
    press(bench, "Pin as A")
    assert bench.pinned is None


def test_a_stays_while_b_has_no_solution_and_through_units_on_both_papers():
    bench = mb.bench(Pendulum, {"mass": 5.0, "length": 0.4}).pin()
    slide(bench, "length", 1000)
    assert bench.report is None and bench.pinned is not None and "A is pinned" in told(bench)
    slide(bench, "length", 300)
    bench._switch("us")
    assert "length of the stick 15.7 in (B: 11.8 in)" in told(bench)
    assert bench.pinned is not None and seen_in(bench, "dark").getpixel((1, 1)) == (0x15, 0x19, 0x1E)


# --- the button Find ------------------------------------------------------------------------------------------------


def offers(bench):
    return [row.children[0] for row in bench._offers.children]


def told(bench):
    """What stands below the picture, with usual spaces."""
    return (bench._beside.value + bench._found.value).replace(NO_BREAK, " ")


def test_find_offers_the_best_of_the_lists_on_screen_and_a_press_sets_one():
    bench = mb.bench("train", show=["load_torque", "speed_wanted", "gearbox"])
    before = dict(bench.values)
    press(bench, "Find")
    ranking = search("train", {k: v for k, v in before.items() if k != "gearbox"}, {"gearbox": None})
    wanted = [one.choice["gearbox"] for one in ranking.fitting][:3]
    labels = bench.tables("gearboxes").labels
    assert [one.description.replace(NO_BREAK, " ") for one in offers(bench)] == [labels[name] for name in wanted]
    assert 'role="status"' in told(bench) and f"Tried: {ranking.tried} combinations" in told(bench)
    assert bench.values == before, "nothing is set before a press"
    offers(bench)[-1].click()
    assert bench.values == {**before, "gearbox": wanted[-1]} and bench.report.surely_works
    assert bench._controls["gearbox"].list.value == wanted[-1]
    assert len(offers(bench)) == len(wanted), "the others can be tried too"
    slide(bench, "load_torque", 1.0)
    assert offers(bench) == [] and bench._found.value == "", "they held for other inputs"


def test_find_counts_lists_behind_more_when_they_are_open():
    bench = mb.bench("train", show=["gearbox"])
    press(bench, "Find")
    assert "of gearbox." in told(bench)
    bench._more[CHOICE].value = True
    press(bench, "Find")
    assert "motor" in told(bench) and "last stage" in told(bench)


def test_find_says_the_nearest_miss():
    bench = mb.bench("train", {"load_torque": "20 N·m", "speed_wanted": "600 rpm"}, show=["gearbox"])
    press(bench, "Find")
    assert offers(bench) == [] and "None works on a bad day. The nearest: " in told(bench)
    miss = search("train", {k: v for k, v in bench.values.items() if k != "gearbox"}, {"gearbox": None}).nearest_miss
    assert bench.tables("gearboxes").labels[miss.choice["gearbox"]] in told(bench)


def test_find_says_that_it_searches(monkeypatch):
    bench, seen = mb.bench("train", show=["gearbox"]), []
    monkeypatch.setattr(best_parts, "look", lambda *given: seen.append(bench._found.value) or stop())
    press(bench, "Find")
    assert len(seen) == 1 and 'role="status"' in seen[0] and "Find tries all of: gearbox" in seen[0]
    assert "no parts here" in told(bench)


def stop():
    raise ValueError("no parts here")


def test_find_is_there_where_there_are_lists_to_search():
    names = lambda bench: [getattr(one, "description", "") for one in row_of(bench)]
    assert "Find" not in names(mb.bench(Pendulum)) and "Find" not in names(mb.bench("robot"))
    assert "Find" in names(mb.bench("arm"))
    bench = mb.bench("arm", show=["payload"])
    press(bench, "Find")
    assert "No list of parts is on screen" in told(bench)


def test_inputs_are_given_by_name_as_in_all_calls():
    by_name, by_dictionary = (
        mb.bench("arm", payload="0.5 kg", length=0.3),
        mb.bench("arm", {"payload": 0.5, "length": 0.3}),
    )
    assert by_name.values == by_dictionary.values and by_name.values["payload"] == 0.5
    assert mb.bench("arm", system="US").system == "us"
    for slip, says in (({"paylod": 1}, "did you mean 'payload'"), ({"system": "imperial"}, "system")):
        with pytest.raises(ValueError, match=says):
            mb.bench("arm", **slip)
    with pytest.raises(ValueError, match="Inputs are given by name"):
        mb.bench("arm", 0.5)
    assert mb.bench("arm").system == "metric", "the units of one bench are its own"


def test_a_number_between_two_places_of_its_slider_stays():
    """8 N lies just between two places 0.2 N apart that count from 0.1 N; the browser may show only a place."""
    made = mb.bench("gripper", squeeze="8 N")
    control = made._controls["squeeze"]
    low, step = control.slider.min, control.slider.step
    places = (control.slider.value - low) / step
    assert places == pytest.approx(round(places), abs=1e-6) and abs(control.slider.value - 8.0) <= step / 2 + 1e-9
    assert made.values["squeeze"] == 8.0 and control.box.value == "8 N"
    control.slider.value += step
    assert made.values["squeeze"] == pytest.approx(control.slider.value)


def first_of(bench, name):
    """What the first line of a list says, and what a closed list shows."""
    choices = bench._controls[name].list
    return choices.options[0][0], choices.label


def test_a_list_says_what_the_robot_has_as_planned_and_follows_the_robot():
    """Ratios and counts are those of the robots' file and of the parts' file, read here by hand."""
    bench = mb.bench("robot", which="stork")
    assert first_of(bench, "drive_gearbox") == ("as planned: 16.1 : 1",) * 2
    assert first_of(bench, "raise_gearbox") == ("as planned: 12.3 : 1",) * 2
    assert first_of(bench, "raising") == ("as planned: after driving",) * 2
    assert first_of(bench, "carries")[0] == "as planned: 3"
    bench._controls["drive_gearbox"].list.value = "planetary_12"
    assert first_of(bench, "drive_gearbox")[0] == "as planned: 16.1 : 1", "what is chosen changes no plan"
    bench._controls["which"].list.value = "wren"
    assert first_of(bench, "carries")[0] == "as planned: 1"
    assert bench._controls["drive_gearbox"].list.value == "planetary_12", "what was chosen stays"
    assert bench.values["which"] == "wren" and bench.report.values["drive_gearbox"] == "planetary_12"


def test_a_list_about_what_the_robot_lacks_says_as_planned_alone():
    """Two robots of one kit: one raises by a motor with a gearbox, the other one by a servo, as their file says."""
    bench = mb.bench("robot", kit=read_kit("tests/kits/second_kit"), which="barge")
    assert first_of(bench, "raise_gearbox")[0] == "as planned: 15:1"
    bench._controls["which"].list.value = "dory"
    assert first_of(bench, "raise_gearbox")[0] == "as planned"


def test_what_is_told_of_a_robot_says_what_is_planned():
    assert "as planned: 16.1 : 1" in mb.bench("robot", which="stork").sentence
