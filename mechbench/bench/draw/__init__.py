"""The pictures of benches, one file a topic; `shapes.py` holds the outlines that they share.

Contents: picture_of. A picture is found by the NAME of its sizing.
"""

import importlib

# name of the sizing -> "file:class"
PICTURES = {"trips": "trips:TripsPicture", "motor": "motor:MotorPicture", "train": "gearing:TrainPicture"}


def picture_of(name):
    """The picture class of a sizing; a sizing without its own shows how far each finding is inside what is asked."""
    file, _, found = PICTURES.get(name, "margins:MarginsPicture").partition(":")
    return getattr(importlib.import_module(f"{__name__}.{file}"), found)
