"""One sentence for what can go wrong, and nothing else on the screen."""

import errno
import re
import sys
import traceback
from pathlib import Path


class Problem(Exception):
    """What went wrong and the way out, in one sentence for the person who typed the command."""


LONGEST_REASON = 160
FULL = {errno.ENOSPC, getattr(errno, "EDQUOT", errno.ENOSPC)}
CLOSED = {errno.EACCES, errno.EPERM, errno.EROFS}


def sentence(error, venv, work, platform=sys.platform):
    """Put an error of the operating system into one sentence.

    venv and work are the folders of those names: what lies in one of them can be moved by a setting.
    """
    path = str(error.filename or "")
    if error.errno in FULL:
        return disk_is_full(path)
    if error.errno in CLOSED:
        # Windows also closes a file that a program has open.
        first = "close the programs that use it, or " if platform == "win32" else ""
        return f"{path or 'A file'} can't be written: {first}{_setting(path, venv, work)}, then try again."
    return f"{error.strerror or error}{_at(path)}."


def unforeseen(error):
    """Say in one line what nobody foresaw and where in mechbench it came up; `python3 -X dev -m mechbench ...` shows
    the whole trace.
    """
    own = str(Path(__file__).parents[1])
    # Always one at least: the command's own call.
    last = [step for step in traceback.extract_tb(error.__traceback__) if step.filename.startswith(own)][-1]
    told = " ".join(str(error).split())[:LONGEST_REASON]
    return (
        f"This is a fault of mechbench ({type(error).__name__} in {Path(last.filename).name}, line {last.lineno}:"
        f" {told}): show this line to whoever looks after it, or try it in another way."
    )


def disk_is_full(path=""):
    """Say that the disk is full."""
    return f"The disk is full{_at(path)}: free about 1 GB, then type the command again."


def _at(path):
    return f" ({path})" if path else ""


def _setting(path, venv, work):
    if path.startswith(str(work)):
        return "set MECHBENCH_WORK to a folder that you may write to"
    if path.startswith(str(venv)):
        return "set MECHBENCH_VENV to a folder that you may write to"
    return "ask for the right to write there"


# What venv and pip say

# When the disk is full, `python -m venv` does not say so: it says that ensurepip failed.
ROOM_FOR_PIP = 30_000_000
SAYS_OFFLINE = (
    "NewConnectionError",
    "ConnectTimeoutError",
    "ReadTimeoutError",
    "Read timed out",
    "Max retries exceeded",
    "Failed to establish a new connection",
    "Temporary failure in name resolution",
    "Name or service not known",
    "getaddrinfo failed",
    "Network is unreachable",
    "ProxyError",
    "SSLError",
    "CERTIFICATE_VERIFY_FAILED",
    "RemoteDisconnected",
    "ConnectionResetError",
    "ConnectionRefusedError",
)
SAYS_FULL = ("No space left on device", "[Errno 28]", "[WinError 112]", "Disk quota exceeded")
SAYS_TOO_LONG = ("Windows Long Path support",)
SAYS_CLOSED = ("[Errno 13]", "[WinError 5]", "[WinError 32]", "Read-only file system")
SAYS_OTHER = re.compile(r"^ +([A-Za-z0-9._-]+)==\S+ from ", re.MULTILINE)
SAYS_CHECKSUM = ("DO NOT MATCH THE HASHES",)
SAYS_MISSING = re.compile(
    r"No matching distribution found for (?P<a>[A-Za-z0-9._-]+)"
    r"|Package '(?P<b>[A-Za-z0-9._-]+)' requires a different Python"
)


def explain_venv(said, version, has_ensurepip, free):
    """Put the failure of `python -m venv` into one sentence; free is the room left on the disk, in bytes."""
    if _has(said, SAYS_FULL) or free < ROOM_FOR_PIP:
        return disk_is_full()
    if not has_ensurepip or "No module named venv" in said or "ensurepip is not available" in " ".join(said.split()):
        return (
            "This Python comes without the part that makes .venv: on Debian and Ubuntu type "
            "`sudo apt install python{}.{}-venv`, elsewhere install Python from python.org, then try again.".format(
                *version
            )
        )
    return f"Python could not make .venv ({_last(said)}): install Python anew from python.org, then try again."


def only_missing(said):
    """Give the package that there is not, where nothing else was wrong with `pip install`; else an empty text."""
    return "" if _has(said, (*SAYS_FULL, *SAYS_OFFLINE, *SAYS_CHECKSUM)) else _missing(said)


def explain_pip(said, wheels, log):
    """Put the failure of `pip install` into one sentence."""
    missing = _missing(said)
    if _has(said, SAYS_CHECKSUM):
        other = SAYS_OTHER.search(said)
        return (
            f"The package {other.group(1) if other else 'that came'} is not the one in the exact list (its checksum is"
            f" another), so nothing was installed: try again or from another network; the record is {log}."
        )
    if _has(said, SAYS_FULL):
        return disk_is_full()
    if _has(said, SAYS_TOO_LONG):
        return (
            "A path got too long for Windows: set MECHBENCH_VENV to a short folder such as C:\\mechbench, then try"
            " again."
        )
    if _has(said, SAYS_OFFLINE):
        return (
            "The packages can't be fetched because the network does not answer: connect to the internet and try again, "
            "or take them from a folder (start --wheels FOLDER)."
        )
    if missing and wheels is not None:
        return f"The folder {wheels} holds no package {missing} for this machine and this Python: add it there."
    if missing:
        return (
            f"There is no ready-made package {missing} for this machine and this Python: "
            "use another Python from 3.11 on, or another machine."
        )
    if _has(said, SAYS_CLOSED):
        return f"A file of .venv can't be written: close the programs that use it, then try again; the record is {log}."
    return f"The packages could not be installed ({_last(said)}): the whole record is {log}."


def _missing(said):
    found = SAYS_MISSING.search(said)
    return found["a"] or found["b"] if found else ""


def _has(said, signs):
    return any(sign in said for sign in signs)


def _last(said):
    lines = [line.strip() for line in said.splitlines() if line.strip()]
    errors = [line for line in lines if line.lower().startswith("error")]
    return (errors or lines or ["it said nothing"])[-1].rstrip(".")
