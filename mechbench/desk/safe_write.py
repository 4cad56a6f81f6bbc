"""A new file under a free name: what is there already is never touched, and half a file is never left behind.

Contents: write_new.
"""

import errno
import os

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


def _as_bytes(content):
    pieces = [content] if isinstance(content, (str, bytes)) else content
    return (piece if isinstance(piece, bytes) else piece.encode("utf-8") for piece in pieces)
