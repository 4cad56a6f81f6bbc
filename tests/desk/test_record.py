"""Design records: whole on one page, opened again with the same numbers, an older one told in one sentence."""

import html.parser
import json
import random
import re

import pytest

import mechbench as mb
from mechbench.catalog import NAMES, judge, sizing_of
from mechbench.desk import pictures
from mechbench.desk import reopen as reopening
from mechbench.desk.formulas import facts_of, facts_of_sizing
from mechbench.engine import report_text
from mechbench.kits import copy_kit, read_kit
from tests.desk.asked import ask, is_one_sentence
from tests.tries import tries


@pytest.fixture(autouse=True)
def folder(tmp_path, monkeypatch):
    monkeypatch.chdir(tmp_path)
    return tmp_path


def write(line, name="a.html"):
    said = ask(f"{line} --record {name}")
    assert said.err == "", said.err
    return said


def change(name, edit):
    """Change the data inside a record's page."""
    with open(name, encoding="utf-8") as file:
        text = file.read()
    found = reopening.data_in_text(text)
    data = json.loads(found)
    data = edit(data) or data
    with open(name, "w", encoding="utf-8") as file:
        file.write(text.replace(found, json.dumps(data)))


# --- what stands on the page ----------------------------------------------------------------------------------------


class Page(html.parser.HTMLParser):
    """The texts and the tags of a page."""

    def __init__(self, text):
        super().__init__()
        self.tags, self.texts, self.inside = [], [], ""
        self.feed(text)

    def handle_starttag(self, tag, attrs):
        self.tags.append((tag, dict(attrs)))
        self.inside = tag

    def handle_data(self, data):
        if self.inside not in ("style", "script"):
            self.texts.append(data)


@pytest.mark.parametrize("name", NAMES)
def test_the_page_tells_everything(name, folder):
    write(name)
    page = Page((folder / "a.html").read_text(encoding="utf-8"))
    text, report = " ".join(page.texts), judge(name)
    assert report_text.verdict(report) in text and sizing_of(name).QUESTION in text
    for finding in sizing_of(name).FINDINGS:
        assert finding.label in text and report_text.number(finding, report.good[finding.name]) in text
        assert report_text.number(finding, report.bad[finding.name]) in text
    assert all(field.label in text for field in sizing_of(name).FIELDS)
    for facts in facts_of_sizing(sizing_of(name)):
        assert facts.equation in text and facts.source in text and facts.valid in text
    assert "Measured afterwards" in text and "19 of 20" in text and report.kit_digest in text and "0.1.0" in text
    assert re.search(r"Made 20\d\d-\d\d-\d\d", text) and "adult is present" in text and "local codes" in text


def test_the_page_is_whole_by_itself_and_nothing_runs(folder):
    write("lift")
    page = Page((folder / "a.html").read_text(encoding="utf-8"))
    policy = next(attrs["content"] for tag, attrs in page.tags if attrs.get("http-equiv") == "Content-Security-Policy")
    assert "default-src 'none'" in policy and "script-src" not in policy
    assert [attrs["type"] for tag, attrs in page.tags if tag == "script"] == ["application/json"]
    for _, attrs in page.tags:
        for name, value in attrs.items():
            assert not name.startswith("on") and (name not in ("src", "href") or value.startswith("data:"))
    (image,) = [attrs for tag, attrs in page.tags if tag == "img"]
    assert image["alt"] == report_text.verdict(judge("lift"))
    assert ("html", {"lang": "en"}) in page.tags


def test_hostile_names_in_a_kit_stay_text(folder, monkeypatch):
    copy_kit(folder / "kit")
    parts = folder / "kit" / "parts.toml"
    hostile = '<b onclick="x">`|\u202e</script>'
    parts.write_text(
        parts.read_text(encoding="utf-8").replace('label = "slim motor"', f"label = '{hostile}'").replace("\u202e", ""),
        encoding="utf-8",
    )
    monkeypatch.setenv("MECHBENCH_KIT", str(folder / "kit"))
    write("arm")
    write("arm", "a.md")
    text = (folder / "a.html").read_text(encoding="utf-8")
    assert "<b onclick" not in text and text.count("</script>") == 1 and "&lt;b onclick" in text
    assert "\\<b onclick" in (folder / "a.md").read_text(encoding="utf-8")
    assert mb.reopen("a.html").differences == {} == mb.reopen("a.md").differences


def test_markdown_has_its_picture_beside_it(folder):
    write("winch", "w.md")
    text = (folder / "w.md").read_text(encoding="utf-8")
    assert "](<w.png>)" in text and (folder / "w.png").read_bytes().startswith(b"\x89PNG")
    assert "| Found | Good day | Bad day | Asked | Measured |" in text


def test_what_was_measured_stands_beside_what_was_predicted(folder):
    predicted = judge("arm").good["time"]
    ask(["arm", "--record", "a.html", f"--measured=time={predicted * 1.12:.6f}s", "--measured", "hot=1min"])
    text = " ".join(Page((folder / "a.html").read_text(encoding="utf-8")).texts)
    assert "12 % more" in text
    again = mb.reopen("a.html")
    assert again.design.measured == pytest.approx({"time": predicted * 1.12, "hot_after": 60.0}, rel=1e-5)
    assert "12 % more than predicted" in repr(again)


def test_records_are_never_written_over(folder):
    write("motor")
    before = (folder / "a.html").read_bytes()
    assert "The record is a-2.html." in write("arm").out
    assert (folder / "a.html").read_bytes() == before
    assert mb.reopen("a-2.html").sizing == "arm"


# --- from a notebook ------------------------------------------------------------------------------------------------


def test_a_bench_is_recorded(folder):
    bench = mb.bench("arm", {"payload": "0.5 kg", "gearbox": "planetary_97"})
    written = mb.record(bench, "mine.html", measured={"time": "0.9 s"})
    assert written.path.name == "mine.html" and "mb.reopen('mine.html')" in repr(written)
    again = mb.reopen("mine.html")
    assert again.values == bench.values and again.report.good == bench.report.good
    assert mb.bench(again.sizing, again.values).report.bad == bench.report.bad


def test_a_bench_without_an_answer_is_not_recorded():
    bench = mb.bench("arm")
    bench.report, bench.problem = None, "payload is wrong."
    with pytest.raises(ValueError, match="nothing to record yet: payload is wrong"):
        mb.record(bench, "a.html")


@pytest.mark.parametrize(
    "measured, says", [({"tim": "1 s"}, "is not a finding of arm"), ({"time": "1 kg"}, "measured time: .*is a mass")]
)
def test_a_wrong_measurement_is_refused(measured, says):
    with pytest.raises(ValueError, match=says):
        mb.record(mb.bench("arm"), "a.html", measured=measured)


# --- opened again ---------------------------------------------------------------------------------------------------


@pytest.fixture
def no_drawing(monkeypatch):
    """A picture takes longer than all the rest, and says nothing of the numbers."""
    monkeypatch.setattr(pictures, "machine_alone", lambda design: b"\x89PNG")


@pytest.mark.parametrize("name", NAMES)
@pytest.mark.parametrize("ending", ["html", "md"])
def test_opened_again_all_numbers_are_equal(name, ending, no_drawing):
    file = f"a.{ending}"
    write(name, file)
    again, report = mb.reopen(file), judge(name)
    assert again.differences == {} and again.notes == ()
    assert (again.report.good, again.report.bad, again.report.values) == (report.good, report.bad, report.values)
    assert (again.report.days_in_100, again.report.hurts, again.report.bounds) == (
        report.days_in_100,
        report.hurts,
        report.bounds,
    )
    said = ask(f"--reopen {file}")
    assert said.code == ask(name).code and "all its numbers are as they were" in said.out
    assert json.loads(ask(f"--reopen {file} --json").out)["differences"] == {}


def test_a_record_keeps_its_numbers_when_the_kit_has_changed(folder, monkeypatch):
    write("arm payload=0.8kg")
    before = mb.reopen("a.html").report
    copy_kit(folder / "kit")
    parts = folder / "kit" / "parts.toml"
    text = parts.read_text(encoding="utf-8")
    parts.write_text(
        text.replace('resistance = "0.11 ohm"', 'resistance = "0.16 ohm"').replace(
            "efficiency_per_stage = 0.88,", "efficiency_per_stage = 0.7,"
        ),
        encoding="utf-8",
    )
    monkeypatch.setenv("MECHBENCH_KIT", str(folder / "kit"))
    again = mb.reopen("a.html")
    assert again.report.good == before.good and again.report.bad == before.bad and again.differences == {}
    assert judge("arm", {"payload": "0.8 kg"}).good != before.good
    assert any("with the kit" in note and read_kit(folder / "kit").digest in note for note in again.notes)


def test_an_older_record_that_lacks_an_input_says_so_in_one_sentence():
    write("arm payload=0.5kg")
    change("a.html", lambda data: data["inputs"].pop("hold_time") and None)
    again = mb.reopen("a.html")
    assert len(again.notes) == 1 and is_one_sentence(again.notes[0] + "\n")
    assert again.notes[0].endswith("was made before hold_time was an input: 10 s is taken, as usual.")
    assert again.report.good == judge("arm", {"payload": "0.5 kg"}).good


@pytest.mark.parametrize(
    "edit, says",
    [
        (lambda d: d["inputs"].pop("spring") and None, "made before spring was an input: no spring is taken, as usual"),
        (
            lambda d: d["inputs"]["motor"]["numbers"].pop("mass") and None,
            "does not tell mass of slim: it is taken from the kit",
        ),
        (
            lambda d: d["records"]["battery"].pop("resistance") and None,
            "does not tell resistance of battery: it is taken from the kit",
        ),
        (lambda d: d["spreads"].pop("mass") and None, "does not tell how far mass varies: that is taken from the kit"),
        (lambda d: d["findings"].pop("droop") and None, "made before droop was found"),
        (lambda d: d["findings"].update(zeal={"good": 1, "bad": 1}), "tells zeal, which arm no longer finds"),
        (lambda d: d["inputs"].update(zeal={"value": 1}), "has an input 'zeal' that arm no longer has"),
    ],
    ids=["pick", "column", "record", "spread", "finding", "finding gone", "input gone"],
)
def test_what_an_older_record_lacks_is_told_and_taken_as_usual(edit, says):
    write("arm")
    change("a.html", edit)
    again = mb.reopen("a.html")
    assert len(again.notes) == 1 and says in again.notes[0], again.notes
    assert again.differences == {} and again.report.good == judge("arm").good


def test_numbers_that_come_out_otherwise_are_told():
    write("arm")
    change("a.html", lambda d: d["findings"]["time"].update(good=0.4))
    again = mb.reopen("a.html")
    assert set(again.differences) == {"time"}
    assert "not all numbers are as they were" in repr(again) and "was 0.4 s and is" in repr(again)


@pytest.mark.parametrize(
    "edit, says",
    [
        (lambda d: [d], "not of a design record"),
        (lambda d: d.update({"mechbench record": 99}), "has the layout 99"),
        (lambda d: d.update(sizing="rocket"), "of the sizing 'rocket'"),
        (lambda d: d.update(inputs=[1]), "its inputs is no table"),
        (lambda d: d["inputs"]["payload"].update(value="heavy"), "its payload is no number"),
        (lambda d: d["inputs"]["payload"].update(value=True), "its payload is no number"),
        (lambda d: d["inputs"]["payload"].update(value=99), "payload is 99 kg, but it must be from"),
        (lambda d: d["inputs"]["motor"]["numbers"].update(resistance=None), "is no number"),
        (
            lambda d: d["inputs"]["motor"].update(part="gone") or d["inputs"]["motor"]["numbers"].pop("mass") and None,
            "the kit has no such part",
        ),
        (lambda d: d["spreads"]["mass"].update(low={}), "its mass is no number"),
        (lambda d: d["records"].update(battery=3), "its battery is no table"),
        (lambda d: d["measured"].update(time="x"), "its time is no number"),
    ],
)
def test_a_damaged_record_is_refused_in_one_sentence(edit, says):
    write("arm")
    change("a.html", edit)
    said = ask("--reopen a.html")
    assert said.code == 2 and is_one_sentence(said.err) and says in said.err, said.err


@pytest.mark.parametrize(
    "data",
    [
        "{" * 100_000,
        '{"mechbench record": NaN}',
        "[]",
        "null",
        '{"mechbench record": ' + "9" * 6000 + "}",
        '{"mechbench record": {}}',
    ],
)
def test_hostile_data_is_refused_in_one_sentence(folder, data):
    (folder / "a.html").write_text(f'<script type="application/json" id="mechbench-record">{data}</script>')
    said = ask("--reopen a.html")
    assert said.code == 2 and is_one_sentence(said.err), said.err


def test_what_is_no_file_is_refused_at_once(folder):
    import os

    os.mkfifo(folder / "pipe")
    for name in ("pipe", ".", "missing.html", "/dev/zero"):
        said = ask(["--reopen", name])
        assert said.code == 2 and is_one_sentence(said.err), (name, said.err)
    (folder / "huge.html").write_bytes(b" " * (reopening.MOST_BYTES + 1))
    said = ask("--reopen huge.html").err
    assert f"has {reopening.MOST_BYTES + 1} bytes" in said and f"at most {reopening.MOST_BYTES};" in said


# What a record's data stands in, told as a pattern: the first head that an end follows, up to the next end.
PATTERNS = (
    re.compile(r'<script type="application/json" id="mechbench-record">(.*?)</script>', re.DOTALL),
    re.compile(r"^```json mechbench-record\n(.*?)^```$", re.DOTALL | re.MULTILINE),
)


def test_the_data_is_found_wherever_heads_and_ends_stand():
    rng = random.Random(12)
    pieces = [piece for around in reopening.AROUND for piece in around]
    pieces += ["```json mechbench-record\n", "```\n", "```", "\n", "{}", " ", "<script>"]
    seen = set()
    for _ in range(tries(3000, thorough=50_000)):
        text = "".join(rng.choices(pieces, k=rng.randrange(1, 8)))
        matches = (pattern.search(text) for pattern in PATTERNS)
        expected = next((match[1].strip() for match in matches if match), None)
        found = reopening.data_in_text(text)
        assert (found if found is None else found.strip()) == expected, text
        seen.add(expected)
    assert len(seen) > 10


def test_facts_are_read_from_the_functions_themselves():
    from mechbench.physics import arm, motor

    facts = facts_of(arm.link_torque)
    assert (facts.name, facts.equation) == ("arm.link_torque", "T = m g l cos(angle)") and facts.source.startswith(
        "Hibbeler"
    )
    assert facts_of(motor.time_to_limit).source.count("(") >= 1, (
        "a source that names another function brings that one's source"
    )
