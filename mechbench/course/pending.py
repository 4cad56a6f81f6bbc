"""Answers that wait beside the progress file while it cannot be used: one file, one synced JSON line, one answer.

Contents: keep (write one), waiting (read all), remove (after they were moved in), unreadable, parts, sync_folder.

A file is written once, by one process, under a name of its own, so that nobody ever reads and writes the same one.
"""

import json
import os
import uuid

MOST_BYTES = 65536
PART = ".part"  # the end of a name while the file is being written

# What one waiting answer holds: the columns of the attempt and of its learner.
FIELDS = {
    "id": str,
    "uid": str,
    "shown": str,
    "key": str,
    "edition": str,
    "exercise": str,
    "rev": int,
    "kit_digest": str,
    "practice": int,
    "raw": str,
    "parsed_si": (float, type(None)),
    "unit": str,
    "state": str,
    "slip": str,
    "hints": int,
    "at": str,
    "made_by": str,
    "posed_digest": str,
    "posed": str,
}
# What an edition did not write that kept no numbers with an answer.
LATER = {"posed_digest": "", "posed": ""}


def keep(folder, row):
    """Write one answer and return only when the disk has it; OSError where that cannot be done."""
    os.makedirs(folder, mode=0o700, exist_ok=True)
    path = folder / f"pending-{uuid.uuid4().hex}.jsonl"
    part = path.with_suffix(PART)
    file = os.open(part, os.O_WRONLY | os.O_CREAT | os.O_EXCL, 0o600)
    try:
        with open(file, "wb") as line:
            line.write(json.dumps(row).encode("ascii") + b"\n")
            line.flush()
            os.fsync(line.fileno())
        os.rename(part, path)
        sync_folder(folder)
    except OSError:
        remove([part, path])
        raise


def unreadable(folder):
    """List the files whose answer can't be read: each was whole once, for it got its name when the disk had it."""
    return sorted(path for path in folder.glob("pending-*.jsonl") if _read(path)[1] is None and path.exists())


def parts(folder):
    """List what ended processes left half written; none of it was called kept."""
    return list(folder.glob("pending-*" + PART))


def waiting(folder):
    """Give path -> answer for each file that waits, oldest first."""
    found = []
    for path in folder.glob("pending-*.jsonl"):
        written, row = _read(path)
        if row is not None:
            found.append((written, path, row))
    return {path: row for written, path, row in sorted(found, key=lambda item: item[:2])}


def remove(paths):
    """Delete files; one that cannot be deleted stays, and is known by its id when it is met again."""
    for path in paths:
        try:
            os.unlink(path)
        except OSError:
            continue


def _read(path):
    # A file that can't be read is left where it is, and announced.
    try:
        with open(path, "rb") as file:
            written, content = os.fstat(file.fileno()).st_mtime_ns, file.read(MOST_BYTES)
        row = json.loads(content) if content.endswith(b"\n") else None
    except (OSError, ValueError, RecursionError):
        return 0, None
    if isinstance(row, dict) and not row.keys() & LATER.keys():
        row |= LATER
    whole = isinstance(row, dict) and row.keys() == FIELDS.keys()
    return written, row if whole and all(isinstance(row[name], kind) for name, kind in FIELDS.items()) else None


def sync_folder(folder):
    """Return only when the disk has the names of a folder's files."""
    # Windows has no such call, and needs none: its file system keeps the folder's entry with the file.
    if hasattr(os, "O_DIRECTORY"):
        file = os.open(folder, os.O_RDONLY | os.O_DIRECTORY)
        try:
            os.fsync(file)
        finally:
            os.close(file)
