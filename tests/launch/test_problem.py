import errno
from pathlib import Path

import pytest

from mechbench.launch.problem import explain_pip, explain_venv, sentence

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


# What venv and pip say. The texts are what they printed on real machines, shortened.

NO_ENSUREPIP = """\
The virtual environment was not created successfully because ensurepip is not
available.  On Debian/Ubuntu systems, you need to install the python3-venv
package using the following command.

    apt install python3.11-venv
"""
OFFLINE = """\
WARNING: Retrying (Retry(total=0, connect=None, read=None, redirect=None, status=None)) after connection broken by \
'NewConnectionError('<pip._vendor.urllib3.connection.HTTPSConnection object at 0x7f>: Failed to establish a new \
connection: [Errno -3] Temporary failure in name resolution')': /simple/jupyterlab/
ERROR: Could not find a version that satisfies the requirement jupyterlab<5,>=4.2 (from versions: none)
ERROR: No matching distribution found for jupyterlab<5,>=4.2
"""
NOT_THERE = """\
Looking in links: /media/stick/wheels
ERROR: Could not find a version that satisfies the requirement tornado>=6.2.0 (from jupyterlab) (from versions: none)
ERROR: No matching distribution found for tornado>=6.2.0
"""
FULL = "ERROR: Could not install packages due to an OSError: [Errno 28] No space left on device\n"
LONG = """\
ERROR: Could not install packages due to an OSError: [Errno 2] No such file or directory: 'C:\\\\Users\\\\x'
HINT: This error might have occurred since this system does not have Windows Long Path support enabled.
"""
SHUT = (
    "ERROR: Could not install packages due to an OSError: [WinError 5] Access is denied: 'C:\\\\m\\\\.venv\\\\x.pyd'\n"
)


def test_a_python_without_ensurepip():
    said = explain_venv(NO_ENSUREPIP, (3, 11, 2), has_ensurepip=False, free=10**9)
    assert "sudo apt install python3.11-venv" in said and "\n" not in said
    # An empty folder of that name is enough for Python to believe that ensurepip is there.
    assert explain_venv(NO_ENSUREPIP, (3, 11, 2), has_ensurepip=True, free=10**9) == said


def test_a_full_disk_is_not_taken_for_a_missing_ensurepip():
    failed = (
        "Error: Command '['/p/.venv/bin/python', '-m', 'ensurepip', '--upgrade']' returned non-zero exit status 1.\n"
    )
    assert "disk is full" in explain_venv(failed, (3, 11, 2), has_ensurepip=True, free=4096)
    said = explain_venv(failed, (3, 11, 2), has_ensurepip=True, free=10**9)
    assert said.startswith("Python could not make .venv (Error: Command") and "\n" not in said


@pytest.mark.parametrize(
    "said, wheels, part",
    [
        (OFFLINE, None, "the network does not answer"),
        (FULL, None, "The disk is full"),
        (LONG, None, "too long for Windows"),
        (SHUT, None, "close the programs that use it"),
        (NOT_THERE, "/media/stick/wheels", "The folder /media/stick/wheels holds no package tornado"),
        (NOT_THERE, None, "no ready-made package tornado for this machine"),
        ("ERROR: something new.\n", None, "(ERROR: something new): the whole record is /v/install.log"),
        ("", None, "it said nothing"),
    ],
)
def test_each_failure_of_pip_has_its_sentence(said, wheels, part):
    sentence = explain_pip(said, wheels, "/v/install.log")
    assert part in sentence and "\n" not in sentence
