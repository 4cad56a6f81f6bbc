"""Writing a new file: what is there is never touched, and what fails halfway leaves nothing behind."""

import pytest

from mechbench.desk import safe_write
from mechbench.desk.safe_write import write_new


def test_a_file_that_is_there_keeps_what_it_holds(tmp_path):
    path = tmp_path / "arm.html"
    made = [write_new(path, text) for text in ("first", "second", "third")]
    assert [one.name for one in made] == ["arm.html", "arm-2.html", "arm-3.html"]
    assert [one.read_text() for one in made] == ["first", "second", "third"]


@pytest.mark.parametrize(
    "content", ["a\n2 Ω", "a\n2 Ω".encode(), ["a\n", "2 Ω"], (piece for piece in ("a\n", b"2 ", "Ω"))]
)
def test_text_bytes_and_pieces_make_the_same_file(content, tmp_path):
    assert write_new(tmp_path / "a.txt", content).read_bytes() == "a\n2 Ω".encode()


@pytest.mark.parametrize("stopped_by", [ValueError, OSError, KeyboardInterrupt])
def test_no_half_file_stays(stopped_by, tmp_path):
    def pieces():
        yield "half of it"
        raise stopped_by

    (tmp_path / "a.txt").write_text("older")
    with pytest.raises(stopped_by):
        write_new(tmp_path / "a.txt", pieces())
    assert [path.read_text() for path in tmp_path.iterdir()] == ["older"]


def test_too_many_files_of_one_name_are_said(tmp_path, monkeypatch):
    monkeypatch.setattr(safe_write, "MOST", 3)
    for _ in range(2):
        write_new(tmp_path / "a.txt", "")
    with pytest.raises(OSError) as error:
        write_new(tmp_path / "a.txt", "")
    assert (
        error.value.strerror == "there are too many files of that name already" and len(list(tmp_path.iterdir())) == 2
    )
