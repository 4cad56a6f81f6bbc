"""The one error of the kit, how faults are gathered, and how it helps with a mistyped name.

Contents: KitError, Faults, place, nearest, shown.
"""

from contextlib import contextmanager

from mechbench import wording

MARK = '"'  # around a text, as its file has it


class KitError(ValueError):
    """Faults in a kit's files: one sentence each, that names file, table, part and key.

    faults : all sentences; as text it is the first one, and how many more there are
    """

    for_people = True  # whoever catches it may show its text as it is

    def __init__(self, *faults):
        self.faults = tuple(dict.fromkeys(faults))
        more = len(self.faults) - 1
        other = "is one more fault" if more == 1 else f"are {more} more faults"
        told = f" There {other}; python3 -m mechbench check tells all." if more > 0 else ""
        super().__init__(f"{self.faults[0]}{told}" if faults else "")


class Faults:
    """Gathers faults, so that all are told at once: with faults.caught(): ... goes on after a KitError."""

    def __init__(self):
        self.found = []

    @contextmanager
    def caught(self):
        """Keep the faults of what is done inside, and go on."""
        try:
            yield
        except KitError as error:
            self.found += error.faults

    def tell(self):
        """Raise all that was gathered as one KitError; nothing where there is none."""
        if self.found:
            raise KitError(*self.found)


def place(file, path, key=""):
    """Name a place in a file, such as 'In parts.toml, [motors.slim], stall_torque'."""
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
