"""The one error of the kit, and how it helps with a mistyped name."""

import difflib


class KitError(ValueError):
    """A fault in a kit's files: one sentence that names file, table, part and key."""


def place(file, path, key=""):
    """Name a place in a file, such as 'In parts.toml, [motors.small], stall_torque'."""
    return f"In {file}, [{'.'.join(path)}]" + (f", {key}" if key else "")


def nearest(word, words):
    """Say which of words was probably meant: '; did you mean ...?' or the words to choose from."""
    words = [str(known) for known in words]
    close = difflib.get_close_matches(str(word)[:60], words, n=1, cutoff=0.6)
    if close:
        return f"did you mean {close[0]}?"
    shown = ", ".join(words[:12]) + (" ..." if len(words) > 12 else "")
    return f"choose from {shown}." if words else "there is none to choose from."


def shown(value, most=40):
    """Write a value from a file for a sentence: text in quotes, cut when it is long."""
    if isinstance(value, str):
        text = value if len(value) <= most else value[:most] + "..."
        return '"' + "".join(c if c.isprintable() else "?" for c in text) + '"'
    if isinstance(value, bool):
        return "true" if value else "false"
    if isinstance(value, int) and value.bit_length() > 64:
        return "a number of more than 19 digits"
    if isinstance(value, dict):
        return "a table"
    if isinstance(value, list):
        return "a list"
    return str(value)[:most]
