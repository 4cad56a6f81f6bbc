"""The one error of the kit, and how it helps with a mistyped name."""

from mechbench import wording

MARK = '"'  # around a text, as its file has it


class KitError(ValueError):
    """A fault in a kit's files: one sentence that names file, table, part and key."""


def place(file, path, key=""):
    """Name a place in a file, such as 'In parts.toml, [motors.small], stall_torque'."""
    return f"In {file}, [{'.'.join(path)}]" + (f", {key}" if key else "")


def nearest(word, words):
    """Say which of words was probably meant, or which there are; the end of a sentence."""
    return wording.nearest(word, words, mark=MARK)


def shown(value):
    """Write a value from a file for a sentence: text in quotes, cut when it is long."""
    if isinstance(value, str):
        return wording.quoted(value, mark=MARK)
    if isinstance(value, bool):
        return "true" if value else "false"
    if isinstance(value, int) and value.bit_length() > 64:
        return "a number of more than 19 digits"
    if isinstance(value, dict):
        return "a table"
    if isinstance(value, list):
        return "a list"
    return wording.shortened(value)
