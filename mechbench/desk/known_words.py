"""What the words of a line name in one sizing: its inputs, its findings, its parts.

Contents: Known, kind_of, teeth_of, stem.

Nothing is taken here, and nothing refused: what comes of a word is for meant.py to say.
"""

import math
import re

from mechbench import quantity
from mechbench.desk.arguments import inputs_meant
from mechbench.desk.common_words import RECORDS, SAME, SAYS_NOTHING
from mechbench.desk.tokens import NUMBER, as_torque
from mechbench.engine.inputs import Supply, supplies
from mechbench.engine.spec import Field, Pick

TEETH = re.compile(r"([0-9]+) *(?::|,|to|/) *([0-9]+)")
COUNTED = "", "x", "whole"  # units of plain numbers
TURNING = ("motors", "planned_motors", "shaft_drives", "roller_drives", "servos")
ENDINGS = ("ing", "ed", "s")  # slipping, slipped, slips
SHORTEST = 3  # letters of a word without its ending


class Known:
    """One sizing, asked by words."""

    def __init__(self, sizing, tables):
        self.sizing, self.tables = sizing, tables
        self.supplied = [one.name for one in supplies(sizing)]

    def inputs(self, name):
        """The inputs of a name or of another word for it, and the records; not those that only begin so."""
        name = self.sizing.FORMERLY.get(name, name)
        own = [one for one in self.sizing.FIELDS if one.name == name]
        if own:
            return own
        also = [one for one in self.sizing.FIELDS if name in one.also]
        supplied = [one for one in supplies(self.sizing) if name == one.name or name in RECORDS[one.name]]
        return also or supplied or inputs_meant(self.sizing, name)

    def findings(self, name):
        """The findings of a name or of another word for it; else of one that differs by its ending: slipping, slips."""
        exact = [one for one in self.sizing.FINDINGS if name == one.name or name in one.also]
        if exact or name in SAYS_NOTHING:
            return exact
        same = stem(name)
        return [one for one in self.sizing.FINDINGS if any(stem(word) == same for word in (one.name, *one.also))]

    def same(self, name):
        """A phrase as a finding has it: motor stops is with the power off, where that is asked."""
        same = SAME.get(name, name)
        return same if self.findings(same) and not self.findings(name) else name

    def is_input(self, name):
        """Whether it is an input's name, or another word for it in full."""
        return any(name in (one.name, *one.also) for one in self.sizing.FIELDS)

    def opens(self, name):
        """Whether a word names the sizing itself."""
        return name == self.sizing.NAME or name in self.sizing.ALSO

    @property
    def picks(self):
        """The inputs that choose a part; not those that count."""
        return [one for one in self.sizing.FIELDS if isinstance(one, Pick) and one.table != "counts"]

    @property
    def numbers(self):
        """The inputs that are numbers."""
        return [one for one in self.sizing.FIELDS if isinstance(one, Field)]

    def pick_named(self, name):
        """The input whose part a word asks for."""
        return next((one for one in self.picks if name == one.name or name in one.also), None)

    def parts(self, name):
        """Inputs, each with the part that has this name or these words of it, where it has one alone."""
        hits = []
        for one in self.picks:
            names = one.options(self.tables)
            found = [name] if name in names else [part for part in names if f"_{name}_" in f"_{part}_"]
            hits += [(one, found[0])] if len(found) == 1 else []
        return hits

    @property
    def wheels(self):
        """The pick of two wheels that turn one another, where there is one."""
        return next((one for one in self.picks if one.name == "last_stage"), None)

    @property
    def turns(self):
        """The pick of what turns it: a motor, a motor with gears, or a servo."""
        names = ("motor", "drive", "servo")
        return next((one for one in self.picks if one.name in names and one.table in TURNING), None)

    def counts_plainly(self, one):
        """Whether an input takes a bare number: a count, or a number without a unit."""
        return one.table == "counts" if isinstance(one, Pick) else isinstance(one, Field) and one.unit in COUNTED

    def takes(self, one, text):
        """Whether a text can be the value of an input: of its kind, or figures of a part."""
        bare = bool(NUMBER.fullmatch(text))
        if isinstance(one, Pick):
            return text.isdigit() if one.table == "counts" else self.tables.reads_figures(one.table, text)
        if isinstance(one, Supply):
            return False
        return self.counts_plainly(one) if bare else kind_of(text) == quantity.kind_of(one.unit)

    def in_range(self, one, text):
        """Whether a number lies where that input may; a bare one counts in the input's own unit."""
        try:
            return math.isfinite(one.read(f"{text}{one.unit}" if NUMBER.fullmatch(text) else text, self.tables))
        except ValueError:
            return False

    def of_kind(self, text):
        """The numbers that can have this value, but for those that only allow something."""
        bare = bool(NUMBER.fullmatch(text))
        kinds = [one for one in self.numbers if bare or quantity.kind_of(one.unit) == kind_of(text)]
        return [one for one in kinds if not one.name.endswith("_allowed")]


def kind_of(text):
    """The kind of a text with a number and a unit; "" where it has none."""
    try:
        return "" if NUMBER.fullmatch(text) else quantity.read(as_torque(text)).kind
    except ValueError:
        return ""


def teeth_of(text):
    """Whether a text is two numbers of teeth, and no ratio such as 20:1."""
    return bool(TEETH.fullmatch(text)) and not text.endswith(":1")


def stem(word):
    """A word without the ending of another form of it: slip of slipping, slipped and slips."""
    for ending in ENDINGS:
        left = word.removesuffix(ending)
        if left != word and len(left) >= SHORTEST:
            doubled = ending != "s" and left[-1] == left[-2] and left[-1] not in "ls"
            return left[:-1] if doubled else left
    return word
