"""The design review of a whole robot: complete, safe, equal to what it is made from, and never over another file."""

import re
from base64 import b64decode
from html.parser import HTMLParser

import pytest

from mechbench.catalog import judge
from mechbench.desk import counts_most, review
from mechbench.kits import kit
from mechbench.whole_robot.build import build

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
    "The weakest point",
    "What to measure first",
)


@pytest.fixture(scope="module")
def heron():
    return review.found("heron")


def test_a_review_tells_everything_that_is_asked(heron):
    assert tuple(part.heading for part in heron.parts) == ASKED
    pictures = [part for part in heron.parts if part.picture]
    assert len(pictures) == 2 and all(part.picture.startswith(b"\x89PNG") and len(part.alt) > 30 for part in pictures)
    others = next(part for part in heron.parts if part.heading == "Against the others")
    assert [row[0] for row in others.rows] == [plan.label for plan in kit().robots if plan.name != "heron"]


def test_its_numbers_are_those_of_the_sizing(heron):
    report = judge("robot", {"which": "heron"})
    rows = {row[0]: row for part in heron.parts for row in part.rows}
    assert rows["time of a cycle"][1] == f"{report.good['time']:.3g} s"
    assert rows["mass"][2] == f"{report.bad['mass']:.3g} kg"
    assert len(heron.mechanisms) == len(build("heron").mechanisms)


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


def test_the_page_is_whole_and_fetches_nothing(heron):
    page = Page()
    page.feed(review.html(heron))
    assert page.open == [] and all(link.startswith("data:image/png") for link in page.links)
    assert "script" not in review.html(heron).lower()


def test_files_are_new_each_time(heron, tmp_path):
    first = review._write(heron, tmp_path / "heron.html")
    second = review._write(heron, tmp_path / "heron.html")
    assert first != second and first.read_text(encoding="utf-8") == second.read_text(encoding="utf-8")
    markdown = review._write(heron, tmp_path / "heron.md").read_text(encoding="utf-8")
    named = re.findall(r"\]\(<(.+?)>\)", markdown)
    assert len(named) == 2 and all((tmp_path / name).read_bytes().startswith(b"\x89PNG") for name in named)
    with pytest.raises(ValueError, match=".html nor in .md"):
        review._write(heron, tmp_path / "heron.pdf")


def test_a_changed_robot_is_judged_with_its_changes(tmp_path):
    changed = review.found("heron", changes={"lift.count": "2", "tries": 2})
    assert "changed from the plan: lift.count = 2, tries = 2" in review.html(changed)
    assert changed.report.good["motors"] == 9 and not changed.report.works
    assert "(changed)" in changed.robot.label


def test_the_command_writes_a_file_or_says_what_is_wrong(tmp_path, capsys):
    assert review.command(["wren", "--to", str(tmp_path / "wren.html")]) == 0
    assert (tmp_path / "wren.html").stat().st_size > 20_000
    assert review.command(["wern"]) == 2
    assert 'did you mean "wren"?' in capsys.readouterr().err


def test_on_a_notebooks_page_it_says_the_same_without_a_date(heron):
    told = review.in_words(heron)
    for part in heron.parts:
        assert all(
            str(cell).replace("|", "\\|") in told or review.marked(str(cell)) in told
            for row in part.rows
            for cell in row
        )
    assert "**What to measure first**" in told and heron.date not in told and "\n#" not in told
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
