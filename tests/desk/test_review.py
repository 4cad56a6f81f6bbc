"""The design review of a whole robot: complete, safe, equal to what it is made from, and never over another file."""

import re
import shutil
from base64 import b64decode
from dataclasses import replace
from html import unescape
from html.parser import HTMLParser
from pathlib import Path

import pytest

from mechbench.catalog import judge
from mechbench.desk import counts_most, review
from mechbench.engine import report_text
from mechbench.kits import kit, read_kit
from mechbench.whole_robot.build import build
from mechbench.whole_robot.compare import Influence
from mechbench.whole_robot.part_first import PartFirst

ASKED = (
    "What is asked",
    "What was chosen",
    "Mass, size, balance",
    "Numbers on a good and on a bad day",
    "What it looks like, and its cycle",
    "Each mechanism by itself",
    "What draws how much current",
    "The cycle, step by step",
    "Against the others",
    "What moves the score most",
    "Which part first",
    "What to measure first",
)


@pytest.fixture(scope="module")
def stork():
    return review.found("stork")


@pytest.fixture(autouse=True)
def no_search(request, monkeypatch):
    """What to change first is looked for in the fixture alone: it takes long, and has tests of its own."""
    if "stork" in request.fixturenames:
        request.getfixturevalue("stork")
    monkeypatch.setattr(review, "remembered", lambda robot, points_wanted: PartFirst(robot, (), 0, 0, 0))


def test_a_review_tells_everything_that_is_asked(stork):
    assert tuple(part.heading for part in stork.parts) == ASKED
    pictures = [part for part in stork.parts if part.picture]
    assert len(pictures) == 2 and all(part.picture.startswith(b"\x89PNG") and len(part.alt) > 30 for part in pictures)
    others = next(part for part in stork.parts if part.heading == "Against the others")
    assert [row[0] for row in others.rows] == [plan.label for plan in kit().robots if plan.name != "stork"]


# --- what holds it back first ---------------------------------------------------------------------------------------


def report_with(report, good=0.5, bad=0.5, joint=0.5):
    """The report with these margins of all that is asked."""
    return replace(
        report,
        good_margin=dict.fromkeys(report.good_margin, good),
        bad_margin=dict.fromkeys(report.bad_margin, bad),
        joint_margin=joint,
        missed_days=dict.fromkeys(report.missed_days, 4.0 if joint < 0 else 0.0),
    )


def first_of(stork, whole, **own):
    """What is said first, of a robot with this report, and with these reports of its mechanisms."""
    others = {name: report_with(report) for name, report in stork.mechanisms.items()}
    return review.holds_back(stork.robot, whole, others | own)


def test_a_finding_of_the_robot_that_fails_is_what_holds_it_back(stork):
    lift = report_with(stork.mechanisms["lift"], good=-0.9, bad=-0.9, joint=-0.9)
    whole = report_with(stork.report, good=-0.2, bad=-0.3, joint=-0.3)
    assert first_of(stork, whole, lift=lift) == f"What holds Stork back first: {report_text.nearest(whole)}."
    whole = report_with(stork.report, bad=0.1, joint=-0.01)
    assert first_of(stork, whole, lift=lift) == f"What holds Stork back first: {report_text.nearest(whole)}."


def test_else_the_mechanism_that_fails_by_most_holds_it_back(stork):
    lift = report_with(stork.mechanisms["lift"], bad=-0.1, joint=-0.2)
    winch = report_with(stork.mechanisms["winch"], bad=0.1, joint=-0.3)
    whole = report_with(stork.report, good=0.01, bad=0.01, joint=0.01)
    assert first_of(stork, whole, lift=lift) == f"What holds Stork back first is the lift: {report_text.nearest(lift)}."
    assert first_of(stork, whole, lift=lift, winch=winch) == (
        f"What holds Stork back first is the winch: {report_text.nearest(winch)}."
    )
    assert "most often missed is" in report_text.nearest(winch)


def test_else_what_is_nearest_to_its_limit_is_told_with_what_it_has_to_spare(stork):
    lift = report_with(stork.mechanisms["lift"], good=0.2, bad=0.1, joint=0.1)
    said = first_of(stork, report_with(stork.report), lift=lift)
    assert said == f"Nothing holds Stork back; nearest to its limit is the lift: {report_text.nearest(lift)}."
    assert said.endswith("10 % to spare on a bad day.")
    whole = report_with(stork.report, good=0.2, bad=0.05, joint=0.05)
    assert first_of(stork, whole, lift=lift) == (
        f"Nothing holds Stork back; nearest to its limit: {report_text.nearest(whole)}."
    )


def test_of_two_mechanisms_the_one_that_is_meant_is_named_as_people_read_it(stork):
    lift = stork.robot.mechanisms["lift"]
    two = replace(stork.robot, mechanisms={"left_lift": replace(lift, name="left_lift"), "right_lift": lift})
    own = {
        "left_lift": report_with(stork.mechanisms["lift"], bad=-0.1, joint=-0.1),
        "right_lift": report_with(stork.mechanisms["lift"]),
    }
    said = review.holds_back(two, report_with(stork.report), own)
    assert said.startswith("What holds Stork back first is the left lift: ")


@pytest.mark.parametrize("form", ["html", "markdown", "notebook"])
def test_it_is_said_first_and_once_and_nothing_else_says_it_again(stork, form):
    pictures = {part.heading: "a.png" for part in stork.parts}
    text = {
        "html": lambda: unescape(re.sub(r"<style.*?</style>", "", review.html(stork), flags=re.DOTALL)),
        "markdown": lambda: review.markdown(stork, pictures),
        "notebook": lambda: review.in_words(stork),
    }[form]()
    first = review.holds_back(stork.robot, stork.report, stork.mechanisms)
    said = {"html": first, "markdown": review.marked(first), "notebook": review.marked(first)}[form]
    assert text.count(said) == 1
    before = text[: text.index(said)]
    assert "<table" not in before and "\n|" not in before and "<h2" not in before and "##" not in before
    verdict = report_text.verdict(stork.report)
    assert sum(text.count(one) for one in {verdict, review.marked(verdict)}) <= 2, "in the words of a picture alone"
    assert "weakest point" not in text


# --- what has nothing to say is left out ----------------------------------------------------------------------------

OF_THE_SCORE = {"What moves the score most", "What to measure first"}  # told where something moves it
BY_HAND = Path(__file__).parents[1] / "whole_robot" / "by_hand_kit"
BOTH = (BY_HAND / "robots.toml").read_text(encoding="utf-8")
ALONE = """
[robots.cart]
label = "Cart"
idea = "pushes balls onto the first step"
wheelbase = "280 mm"
track = "330 mm"
carries = 1
goals = ["step"]
jam = 0.0
start_pieces = 0
start_success = 0.0
success = 0.9
leave = "10 s"

[robots.cart.parts]
frame = { mass = "4.0 kg", at = ["0 mm", "0 mm", "80 mm"], size = ["400 mm", "380 mm", "150 mm"] }
"""
WHEELS = """
[robots.cart.mechanisms.wheels]
sizing = "drivetrain"
count = 4
"""
PUSHES = '\n[robots.cart.steps]\nfind = { human = "find" }\n'
DRIVES = PUSHES + 'way = { drive = "2.4 m", after = ["find"] }\n'


@pytest.mark.parametrize(
    "plan, lacks",
    [
        (
            ALONE + PUSHES,
            {"Against the others", "Each mechanism by itself"},
        ),
        (ALONE + WHEELS + DRIVES, {"Against the others"}),
        (BOTH.partition("[robots.crane.closing]")[0].replace("robots.crane", "robots.cart_2"), set()),
        (BOTH.partition("[robots.crane]")[0].partition("[robots.cart.closing]")[0], {"Against the others"}),
    ],
    ids=["nothing that moves", "wheels alone", "another beside it", "no closing task"],
)
def test_a_part_without_anything_to_say_is_left_out(plan, lacks, tmp_path):
    folder = shutil.copytree(BY_HAND, tmp_path / "kit")
    (folder / "robots.toml").write_text(plan, encoding="utf-8")
    found = review.found("cart", read_kit(folder))
    left_out = {heading for heading in ASKED if heading not in {part.heading for part in found.parts}}
    assert left_out - OF_THE_SCORE == lacks
    for part in found.parts:
        assert part.rows or part.picture or (part.says and not part.heads), part.heading
        assert all(len(row) == len(part.heads) and any(row) for row in part.rows), part.heading
    page = review.html(found)
    assert page.count("<h2>") == len(found.parts)
    assert not re.search(r"\(\s*\)|: *[.;]", review.in_words(found)), "a sentence with a hole"


def test_what_moves_the_score_by_nothing_is_not_told_and_what_moves_it_is_told_with_digits_that_differ():
    strong, weak = Influence("mass", 40.0, 50.0, 45.0), Influence("friction", 45.04, 44.7, 45.0)
    nothing = Influence("grip", 45.01, 45.0, 45.0)
    assert [review.moves(one) for one in (strong, weak)] == ["40 to 50 points", "45.0 to 44.7 points"]
    part = review._strongest([strong, weak, nothing])
    assert part.alt == "mass: 40 to 50 points, friction: 45.0 to 44.7 points"
    assert [row[:2] for row in review.measure([strong, weak, nothing], {}).rows] == [
        ("mass", "40 to 50 points"),
        ("friction", "45.0 to 44.7 points"),
    ]
    assert not review._strongest([nothing]).tells and not review.measure([nothing], {}).tells


def test_its_numbers_are_those_of_the_sizing(stork):
    report = judge("robot", {"which": "stork"})
    rows = {row[0]: row for part in stork.parts for row in part.rows}
    assert rows["time of a cycle"][1] == f"{report.good['time']:.3g} s"
    assert rows["mass"][2] == f"{report.bad['mass']:.3g} kg"
    assert len(stork.mechanisms) == len(build("stork").mechanisms)


class Page(HTMLParser):
    def __init__(self):
        super().__init__()
        self.open, self.links = [], []

    def handle_starttag(self, tag, attributes):
        if tag not in ("meta", "img", "br"):
            self.open.append(tag)
        self.links += [value for key, value in attributes if key in ("src", "href")]

    def handle_endtag(self, tag):
        assert self.open.pop() == tag


def test_the_page_is_whole_and_fetches_nothing(stork):
    page = Page()
    page.feed(review.html(stork))
    assert page.open == [] and all(link.startswith("data:image/png") for link in page.links)
    assert "script" not in review.html(stork).lower()


def test_files_are_new_each_time(stork, tmp_path):
    first = review._write(stork, tmp_path / "stork.html")
    second = review._write(stork, tmp_path / "stork.html")
    assert first != second and first.read_text(encoding="utf-8") == second.read_text(encoding="utf-8")
    markdown = review._write(stork, tmp_path / "stork.md").read_text(encoding="utf-8")
    named = re.findall(r"\]\(<(.+?)>\)", markdown)
    assert len(named) == 2 and all((tmp_path / name).read_bytes().startswith(b"\x89PNG") for name in named)
    with pytest.raises(ValueError, match=".html nor in .md"):
        review._write(stork, tmp_path / "stork.pdf")


def test_a_changed_robot_is_judged_with_its_changes(tmp_path):
    changed = review.found("stork", changes={"lift.count": "2", "tries": 2})
    assert "changed from the plan: lift.count = 2, tries = 2" in review.html(changed)
    assert changed.report.good["motors"] == 8 and not changed.report.works
    assert "(changed)" in changed.robot.label


def test_the_command_writes_a_file_or_says_what_is_wrong(tmp_path, capsys):
    assert review.command(["wren", "--to", str(tmp_path / "wren.html")]) == 0
    assert (tmp_path / "wren.html").stat().st_size > 20_000
    assert review.command(["wern"]) == 2
    assert 'did you mean "wren"?' in capsys.readouterr().err


def test_on_a_notebooks_page_it_says_the_same_without_a_date(stork):
    told = review.in_words(stork)
    for part in stork.parts:
        assert all(
            str(cell).replace("|", "\\|") in told or review.marked(str(cell)) in told
            for row in part.rows
            for cell in row
        )
    assert "**What to measure first**" in told and stork.date not in told and "\n#" not in told
    assert "![" not in told, "there are no files for pictures"


def test_a_review_without_a_file_writes_none(tmp_path, monkeypatch):
    monkeypatch.chdir(tmp_path)
    shown = review.review("wren")
    assert shown.markdown.startswith("**Wren: design review.**") and not list(tmp_path.iterdir())
    written = review.review("wren", "wren.html")
    assert repr(written).startswith("The review is in the file wren.html") and (tmp_path / "wren.html").is_file()


def test_what_counts_most_is_a_picture_with_the_same_in_words():
    found = counts_most.counts_most("wren", matches=200)
    picture, told = found.outputs()
    assert b64decode(picture["image/png"]).startswith(b"\x89PNG")
    assert told["text/plain"].splitlines()[0].startswith(f"{found[0].name}: {found[0].low:.1f} points at its low end")
    assert [one.width for one in found] == sorted((one.width for one in found), reverse=True)
