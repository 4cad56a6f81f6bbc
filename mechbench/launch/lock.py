"""One start at a time: the operating system's own lock on a small file that holds the number of the process.

The lock ends with its process, however that ends, so a lock that was left behind is simply taken over. The file stays.
"""

import errno
import os
import sys
from contextlib import contextmanager

from .problem import Problem


@contextmanager
def only_one(path, typed):
    """Hold the lock on path, or say which process holds it."""
    file = os.open(path, os.O_RDWR | os.O_CREAT, 0o600)
    try:
        if not _take(file):
            other = os.read(file, 20).decode("ascii", "replace").strip()
            raise Problem(
                f"Another {typed} (process {other or 'unknown'}) is making or opening this project just now: "
                "wait until it has finished, then type the command again."
            )
        os.ftruncate(file, 0)
        os.write(file, b"%d\n" % os.getpid())
        yield
    finally:
        os.close(file)


def _take(file):
    try:
        _lock(file)
    except OSError as error:
        if error.errno in (errno.EACCES, errno.EAGAIN, errno.EDEADLK):
            return False
        raise
    return True


if sys.platform == "win32":
    import msvcrt

    # The byte that is locked lies behind the text: Windows lets nobody read a locked byte.
    LOCKED_BYTE = 1024

    def _lock(file):
        os.lseek(file, LOCKED_BYTE, os.SEEK_SET)
        msvcrt.locking(file, msvcrt.LK_NBLCK, 1)
        os.lseek(file, 0, os.SEEK_SET)

else:
    import fcntl

    def _lock(file):
        fcntl.flock(file, fcntl.LOCK_EX | fcntl.LOCK_NB)
