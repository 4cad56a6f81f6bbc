"""One sentence for what can go wrong, and nothing else on the screen."""

import errno
import sys


class Problem(Exception):
    """What went wrong and the way out, in one sentence for the person who typed the command."""


FULL = {errno.ENOSPC, getattr(errno, "EDQUOT", errno.ENOSPC)}
CLOSED = {errno.EACCES, errno.EPERM, errno.EROFS}


def sentence(error, venv, work, platform=sys.platform):
    """Put an error of the operating system into one sentence.

    venv and work are the folders of those names: what lies in one of them can be moved by a setting.
    """
    where = str(error.filename or "")
    if error.errno in FULL:
        return f"The disk is full{_at(where)}: free about 1 GB, then type the command again."
    if error.errno in CLOSED:
        # Windows also closes a file that a program has open.
        first = "close the programs that use it, or " if platform == "win32" else ""
        return f"{where or 'A file'} can't be written: {first}{_setting(where, venv, work)}, then try again."
    return f"{error.strerror or error}{_at(where)}."


def _at(where):
    return f" ({where})" if where else ""


def _setting(where, venv, work):
    if where.startswith(str(work)):
        return "set MECHBENCH_WORK to a folder that you may write to"
    if where.startswith(str(venv)):
        return "set MECHBENCH_VENV to a folder that you may write to"
    return "ask for the right to write there"
