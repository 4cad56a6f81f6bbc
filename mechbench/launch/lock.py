"""The operating system's own locks on small files that tell who holds them: one at a time, or many who use a thing.

A lock ends with its process, however that ends, so a lock that was left behind is simply taken over. The file stays.
"""

import errno
import os
import sys
from contextlib import contextmanager

from .problem import Problem

LONGEST = 200  # bytes of what a file tells


@contextmanager
def only_one(path, typed):
    """Hold the lock on path, or say which command holds it."""
    file = os.open(path, os.O_RDWR | os.O_CREAT, 0o600)
    try:
        if not _taken(_lock_alone, file):
            raise Problem(
                f"{_holder(file)} is making or opening this project just now: "
                "wait until it has finished, then type the command again."
            )
        _sign(file, typed)
        yield
    finally:
        os.close(file)


def hold(path, typed):
    """Use what path stands for until this process ends, beside others who do; give the open file to hand on, or None
    where the file can't be opened or somebody has it alone.
    """
    try:
        with unused(path) as other:
            pass  # of several the first is told: it is the one that goes on longest, as a rule
        file = os.open(path, os.O_RDWR | os.O_CREAT, 0o644)
    except OSError:
        return None  # of another account, or on a disk that can't be written
    if not _taken(_lock_beside_others, file):
        os.close(file)
        return None
    if not other:
        _sign(file, typed)
    return file


def handed_on(file):
    """Give what subprocess.Popen has to be told so that a program keeps the lock of hold() after us too."""
    # On Windows a lock can't be handed on; there a program that runs keeps its files from being moved.
    return {} if file is None or sys.platform == "win32" else {"pass_fds": (file,)}


@contextmanager
def unused(path):
    """Give "" while nobody can begin to use what path stands for, or who uses it."""
    try:
        file = os.open(path, os.O_RDWR)
    except FileNotFoundError:
        yield ""
        return
    try:
        free = _taken(_lock_alone, file)
        user = "" if free else _holder(file)
        if sys.platform == "win32":
            os.close(file)  # an open file would keep its folder from being moved
            file = None
        yield user
    finally:
        if file is not None:
            os.close(file)


def _sign(file, typed):
    os.ftruncate(file, 0)
    os.lseek(file, 0, os.SEEK_SET)
    os.write(file, f"{os.getpid()} {typed}\n".encode())


def _holder(file):
    os.lseek(file, 0, os.SEEK_SET)
    number, _, words = os.read(file, LONGEST).decode("utf-8", "replace").strip().partition(" ")
    return f"{words or 'Another command'} (process {number or 'unknown'})"


def _taken(lock, file):
    try:
        lock(file)
    except OSError as error:
        if error.errno in (errno.EACCES, errno.EAGAIN, errno.EDEADLK):
            return False
        raise
    return True


if sys.platform == "win32":
    import msvcrt

    # The bytes that are locked lie behind the text: Windows lets nobody read a locked byte. It knows no lock for many:
    # each of them takes a byte of its own, and who wants to be alone takes all.
    FIRST_BYTE, MOST = 1024, 64

    def _lock_bytes(file, first, count):
        os.lseek(file, first, os.SEEK_SET)
        try:
            msvcrt.locking(file, msvcrt.LK_NBLCK, count)
        finally:
            os.lseek(file, 0, os.SEEK_SET)

    def _lock_alone(file):
        _lock_bytes(file, FIRST_BYTE, MOST)

    def _lock_beside_others(file):
        for byte in range(FIRST_BYTE, FIRST_BYTE + MOST - 1):
            if _taken(lambda file, byte=byte: _lock_bytes(file, byte, 1), file):
                return
        _lock_bytes(file, FIRST_BYTE + MOST - 1, 1)

else:
    import fcntl

    def _lock_alone(file):
        fcntl.flock(file, fcntl.LOCK_EX | fcntl.LOCK_NB)

    def _lock_beside_others(file):
        fcntl.flock(file, fcntl.LOCK_SH | fcntl.LOCK_NB)
