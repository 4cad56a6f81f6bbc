"""What can be wrong with the place where answers are kept, made on purpose: read-only, full, locked, damaged."""

import os
import shutil
import sqlite3
import subprocess
import tempfile
from contextlib import closing, contextmanager
from pathlib import Path

NOBODY = 65534


def is_root():
    """Tell whether this account may do everything."""
    return hasattr(os, "geteuid") and os.geteuid() == 0


@contextmanager
def read_only(folder):
    """Take away the right to write in a folder and in its files.

    Root is not stopped by that, so root acts as another account meanwhile; the folder has to be reachable for it.
    """
    for path in (*folder.iterdir(), folder):
        os.chmod(path, 0o500 if path.is_dir() else 0o400)
        if is_root():
            os.chown(path, NOBODY, NOBODY)
    as_root = is_root()
    if as_root:
        os.seteuid(NOBODY)
    try:
        yield
    finally:
        if as_root:
            os.seteuid(0)
        for path in (folder, *folder.iterdir()):
            os.chmod(path, 0o700 if path.is_dir() else 0o600)


@contextmanager
def reachable_folder():
    """Give a folder that every account can reach."""
    place = Path(tempfile.mkdtemp(prefix="mechbench-progress-"))
    os.chmod(place, 0o755)
    (place / "home").mkdir(mode=0o700)
    try:
        yield place / "home"
    finally:
        shutil.rmtree(place)


@contextmanager
def full_disk(folder, size="256k"):
    """Put a small disk on a folder and give a function that fills it, or None where this account may not mount."""
    folder.mkdir()
    mount = ["mount", "-t", "tmpfs", "-o", f"size={size}", "tmpfs", str(folder)]
    if not is_root() or subprocess.run(mount, capture_output=True).returncode != 0:
        yield None
        return
    try:
        yield lambda: _fill(folder / "ballast")
    finally:
        subprocess.run(["umount", str(folder)], check=True)


def _fill(path):
    size = 4096
    with open(path, "ab", buffering=0) as ballast:
        while size:
            try:
                ballast.write(b"x" * size)
            except OSError:
                size //= 2


@contextmanager
def no_file_longer_than(size):
    """Let the system refuse every write that makes a file of this process longer than that, as a quota does."""
    import resource  # Windows has none

    before = resource.getrlimit(resource.RLIMIT_FSIZE)
    resource.setrlimit(resource.RLIMIT_FSIZE, (size, before[1]))
    try:
        yield
    finally:
        resource.setrlimit(resource.RLIMIT_FSIZE, before)


@contextmanager
def locked(path, kind="EXCLUSIVE"):
    """Hold SQLite's lock on a file, as another program does that works with it."""
    with closing(sqlite3.connect(path, isolation_level=None)) as other:
        other.execute(f"BEGIN {kind}")
        yield


def flip(path, rng, count):
    """Change bytes of a file at random places."""
    content = bytearray(path.read_bytes())
    for _ in range(count):
        place = rng.randrange(len(content))
        content[place] ^= rng.randrange(1, 256)
    path.write_bytes(content)
    return bytes(content)
