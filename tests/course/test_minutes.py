"""How long a lesson takes: counted on small notebooks by hand, then every lesson against the count.

Outside check: sums by hand beside each number; that the count is about right was seen with a clock, which gave 75 to
110 minutes for lessons that said 50 to 60.
"""

import re

import pytest

from mechbench.course import derived_lesson, lesson_template, minutes, notebook
from mechbench.course.lessons import LESSONS, ROOT, sources
from mechbench.course.notebook import code, markdown


def shown(cell, text, kind="text/markdown"):
    """The cell with a stored output."""
    cell["outputs"] = [{"output_type": "display_data", "metadata": {}, "data": {kind: text}}]
    return cell


def small(more=()):
    """A source with a core of 13 words that are read, one question, one bench."""
    return notebook.new(
        [
            markdown("motors-banner", "Words that no learner reads.", derived_lesson.BANNER),
            markdown("motors-mentor", "**For mentors.** *Minutes:* 0\n\nAsk the room.", derived_lesson.MENTOR),
            markdown("motors-learn", "## What you will learn\n\n99 minutes. Have paper at hand."),  # 4 and 6 words
            shown(code("motors-ask", 'mb.ask("motors-line")'), "How strong?", "text/plain"),  # 2
            shown(code("motors-answer", 'mb.ask("motors-line").answer("1 N")', derived_lesson.ANSWER), "long " * 500),
            shown(code("motors-bench", 'mb.bench("motor")'), "a long line " * 99, "text/plain"),
            markdown("motors-more", "## More"),  # 1
            *more,
        ]
    )


WARM_UP = [
    markdown("motors-warm", "### Warm-up (99 minutes)\n\nThree questions."),  # 4 words: the heading's own, and 2
    shown(code("motors-warm-up", 'mb.warm_up("motors")'), "one two three", "text/plain"),
]


@pytest.mark.parametrize(
    "text, count",
    [
        ("The *nip* is **here**.", 4),
        ("- a list\n- of three", 4),
        ("| a | 0.1 | 25 % |\n| --- | --- | --- |\n| b | 0.2 | 30 % |", 8),
        ("$$ v = \\pi \\cdot d \\cdot n $$", 4),
        ("$\\frac{F}{2}$ is half", 4),
        ("> **Caution.** Unplug it.", 3),
        ("", 0),
    ],
)
def test_words(text, count):
    assert minutes.words(text) == count


def test_a_core_is_counted_by_hand():
    (core,) = minutes.stretches(small())
    assert (core.name, core.words, core.questions, core.benches) == ("Core", 13, 1, 1)
    assert core.minutes == pytest.approx(13 / 130 + 3 + 5)


def test_the_parts_of_more_are_counted_apart():
    core, warm_up = minutes.stretches(small(WARM_UP))
    assert core == minutes.stretches(small())[0]
    assert (warm_up.name, warm_up.words, warm_up.questions) == ("Warm-up", 8, 3)
    assert warm_up.minutes == pytest.approx(8 / 130 + 3 * 3)


def test_the_first_lesson_has_nothing_to_warm_up():
    (core,) = minutes.stretches(notebook.new([code("start-here-warm-up", 'mb.warm_up("start_here")')]))
    assert core.questions == 0


@pytest.mark.parametrize("id, long", [("intake-design", 10), ("intake-film-test", 15), ("intake-squeeze-harder", 3)])
def test_a_design_and_a_measurement_take_longer_than_a_question(id, long):
    (core,) = minutes.stretches(notebook.new([code("intake-ask", f'mb.ask("{id}")')]))
    assert core.minutes == long


def test_going_back_to_the_bench_takes_as_long_as_a_bench():
    _, more = minutes.stretches(small([markdown("motors-try", "### More to try (5 minutes)")]))
    assert more.minutes == pytest.approx(5 + 5 / 130)


@pytest.mark.parametrize("counted, says", [(0.1, 5), (5, 5), (5.01, 10), (44.9, 45), (45, 45), (45.1, 50)])
def test_a_lesson_tells_its_minutes_rounded_up_to_five(counted, says):
    assert minutes.told(counted) == says


def test_the_minutes_are_written_wherever_a_source_tells_them():
    before = small(WARM_UP)
    made = minutes.claimed(before)
    texts = {cell["id"]: cell["source"] for cell in made["cells"]}
    assert "\n10 minutes. Have paper" in texts["motors-learn"]  # 8.1, rounded up
    assert texts["motors-warm"].startswith("### Warm-up (10 minutes)\n")  # 9.1
    assert texts["motors-mentor"] == "**For mentors.** *Minutes:* core 10. Apart from it: warm-up 10.\n\nAsk the room."
    assert minutes.claimed(made) == made and before == small(WARM_UP)


def test_what_is_too_long_is_told_with_how_much():
    fits, over = (notebook.new([markdown("motors-text", "word " * (45 * 130 + more))]) for more in (0, 65))
    assert minutes.too_long(fits) == ""
    told = minutes.too_long(over)
    assert "0.5 more than 45" in told and "leave out 65 words" in told


# --- every lesson ---------------------------------------------------------------------------------------------------


@pytest.mark.parametrize("path", sources(), ids=lambda path: path.stem)
def test_the_core_of_a_lesson_takes_no_longer_than_it_may(path):
    assert minutes.too_long(notebook.read(path)) == ""


@pytest.mark.parametrize("path", sources(), ids=lambda path: path.stem)
def test_a_lesson_tells_the_minutes_that_are_counted(path):
    source = notebook.read(path)
    texts = "\n".join(cell["source"] for cell in source["cells"])
    assert len(minutes.CORE_CLAIM.findall(texts)) == len(minutes.MENTOR_CLAIM.findall(texts)) == 1
    assert len(minutes.PART_CLAIM.findall(texts)) == len(minutes.stretches(source)) - 1
    told = {cell["id"]: cell["source"] for cell in minutes.claimed(source)["cells"]}
    wrong = [cell["id"] for cell in source["cells"] if cell["source"] != told[cell["id"]]]
    assert not wrong, "refresh this lesson, which writes its minutes"


@pytest.mark.parametrize("name", ["README.md", "DEVELOPERS.md"])
def test_what_the_notes_say_of_the_core_is_so(name):
    text = " ".join((ROOT / name).read_text(encoding="utf-8").split())
    assert re.findall(r"at most (\d+) minutes", text) == [f"{minutes.LONGEST_CORE}"]
    assert "five exercises" in text and lesson_template.FIVE == 5


def test_the_table_has_a_line_for_each_lesson():
    lines = minutes.table().splitlines()
    assert [line.partition(":")[0] for line in lines] == [lesson.heading for lesson in LESSONS]
    first = minutes.stretches(notebook.read(ROOT / "solutions" / f"{LESSONS[0].stem}.ipynb"))[0]
    assert f"core {first.minutes:.1f}, told {minutes.told(first.minutes)} " in lines[0]
