"""Pictures of one list of colours as one PNG file that plays once (APNG; in PNG since its third edition, W3C 2025).

Contents: packed.

Of each picture the file holds only the rectangle in which something changed, and of that only the points that did: the
others are clear, so that what was there shines through. Runs of one colour take next to no room.
"""

import struct
import zlib

import numpy as np

CLEAR = 255  # place in the list of colours that is clear; no list uses so many
SIGNATURE = b"\x89PNG\r\n\x1a\n"
EIGHT_BITS, LISTED = 8, 3  # of a point; its kind: a place in the list of colours (PNG, 11.2.1)
STAYS, REPLACES, COVERS = 0, 0, 1  # what becomes of a frame after its time; how it is put over the one before it
LONGEST = 65535  # ms, of one frame (two bytes)
LEVEL = 6  # as quick as lesser ones where only runs are looked for


def packed(pictures, delays, colours):
    """A PNG file of pictures and how long each is shown [ms]. colours: the list, 256 times three bytes.

    pictures: arrays of places in that list, all of one size. What is the same as before it makes that last longer.
    """
    frames = _changes(pictures, delays)
    high, wide = frames[0][0].shape
    clear = bytes(CLEAR * [255] + [0])
    parts = [
        _part(b"IHDR", struct.pack(">IIBBBBB", wide, high, EIGHT_BITS, LISTED, 0, 0, 0)),
        _part(b"PLTE", colours),
        _part(b"tRNS", clear),
        _part(b"acTL", struct.pack(">II", len(frames), 1)),
    ]
    for number, (points, left, top, delay) in enumerate(frames):
        parts += _frame(number, points, left, top, delay)
    return SIGNATURE + b"".join([*parts, _part(b"IEND", b"")])


def _changes(pictures, delays):
    """Of each picture its rectangle that changed, where that begins, and how long it is shown."""
    frames, before = [], None
    for now, delay in zip(pictures, delays):
        if before is None:
            frames.append([now, 0, 0, int(delay)])
        elif now is before or (changed := _rectangle(now, before)) is None:
            frames[-1][-1] += int(delay)
        else:
            frames.append([*changed, int(delay)])
        before = now
    return frames


def _rectangle(now, before):
    """What changed, and where it begins, to the right and down; None where nothing did."""
    other = now != before
    rows = np.flatnonzero(other.any(axis=1))
    if rows.size == 0:
        return None
    top, end = rows[0], rows[-1] + 1
    columns = np.flatnonzero(other[top:end].any(axis=0))
    place = slice(top, end), slice(columns[0], columns[-1] + 1)
    return np.where(other[place], now[place], np.uint8(CLEAR)), int(columns[0]), int(top)


def _frame(number, points, left, top, delay):
    """The parts of one frame. Each part but the first picture counts on in one row (APNG, sequence numbers)."""
    high, wide = points.shape
    over = COVERS if number else REPLACES
    count = 2 * number - 1 if number else 0
    control = struct.pack(">IIIIIHHBB", count, wide, high, left, top, min(delay, LONGEST), 1000, STAYS, over)
    rows = np.zeros((high, wide + 1), np.uint8)  # each row begins with its filter: none
    rows[:, 1:] = points
    pack = zlib.compressobj(LEVEL, strategy=zlib.Z_RLE)
    data = pack.compress(rows) + pack.flush()
    picture = _part(b"fdAT", struct.pack(">I", count + 1) + data) if number else _part(b"IDAT", data)
    return [_part(b"fcTL", control), picture]


def _part(kind, data):
    """Length, kind, data and checksum (PNG, 5.3)."""
    return struct.pack(">I", len(data)) + kind + data + struct.pack(">I", zlib.crc32(kind + data))
