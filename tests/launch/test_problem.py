import errno
from pathlib import Path

import pytest

from mechbench.launch.problem import sentence

VENV, WORK = Path("/p/.venv"), Path("/home/ana/mechbench-work")


def said(number, filename=None, platform="linux"):
    return sentence(OSError(number, "words of the system", filename), VENV, WORK, platform)


def test_a_full_disk():
    assert said(errno.ENOSPC, "/p/x") == "The disk is full (/p/x): free about 1 GB, then type the command again."


@pytest.mark.parametrize("number", [errno.EACCES, errno.EPERM, errno.EROFS])
@pytest.mark.parametrize(
    "filename, way_out",
    [
        ("/p/.venv", "set MECHBENCH_VENV to a folder"),
        ("/home/ana/mechbench-work/.mechbench", "set MECHBENCH_WORK to a folder"),
        ("/etc/x", "ask for the right"),
    ],
)
def test_a_closed_folder_names_the_setting_that_moves_it(number, filename, way_out):
    text = said(number, filename)
    assert text.startswith(f"{filename} can't be written") and way_out in text and "\n" not in text


def test_anything_else_keeps_the_words_of_the_system():
    assert said(errno.EIO, "/p/x") == "words of the system (/p/x)."


def test_windows_closes_files_that_are_in_use():
    assert "close the programs that use it" in said(errno.EACCES, "/p/.venv", "win32")
    assert "close the programs" not in said(errno.EACCES, "/p/.venv", "darwin")
