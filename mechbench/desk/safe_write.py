"""A new file under a free name: what is there already is never touched, and half a file is never left behind.

Contents: write_new; write_over, for a file that is ours to change.
"""

import errno
import os
import tempfile
from pathlib import Path

MOST = 1000  # files of one name


def write_new(path, content):
    """Write into a new file and give its path; where one of that name is there, a number is added: arm-2.html.

    content : text, bytes, or pieces of text, which may be made while they are written
    """
    for count in range(1, MOST):
        free = path if count == 1 else path.with_name(f"{path.stem}-{count}{path.suffix}")
        try:
            file = open(free, "xb")
        except FileExistsError:
            continue
        try:
            with file:
                file.writelines(_as_bytes(content))
                file.flush()
                os.fsync(file.fileno())
        except BaseException:
            free.unlink()  # half a file would be taken for a whole one
            raise
        return free
    raise FileExistsError(errno.EEXIST, "there are too many files of that name already", str(path))


def write_over(path, text):
    """Write a file anew, in one stroke: whoever reads it, even after a power cut, finds the old text or the new one."""
    handle, fresh = tempfile.mkstemp(prefix=f"{path.stem}-", suffix=path.suffix, dir=path.parent)
    try:
        with os.fdopen(handle, "wb") as file:
            file.write(text.encode("utf-8"))
            file.flush()
            os.fsync(file.fileno())
        if path.exists():
            os.chmod(fresh, path.stat().st_mode & 0o777)
        os.replace(fresh, path)
    except BaseException:
        Path(fresh).unlink(missing_ok=True)
        raise


def _as_bytes(content):
    pieces = [content] if isinstance(content, (str, bytes)) else content
    return (piece if isinstance(piece, bytes) else piece.encode("utf-8") for piece in pieces)
