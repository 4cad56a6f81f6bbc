"""What a line means to one sizing: its inputs by their own names, what is asked for, and how that was read.

Contents: Meant, NotRead, read_for.

A line in the calculator's own words passes unchanged. Whatever is read otherwise than it stands there is told in
`said`, one short sentence each; what can't be read is told all at once. Which sizing a line asks is which_sizing.py.
"""

import math
import re
from dataclasses import dataclass, field

from mechbench import quantity
from mechbench.desk.arguments import BadQuestion, closest_of, inputs_meant, nearest_of, plain, seen_first, taken_as
from mechbench.desk.common_words import (
    ASKED,
    ASKS_WHICH,
    BETTER,
    CHANGES,
    ELSE,
    IN_A_ROW,
    KINDS_OF_PAIR,
    LABEL,
    MOST,
    OF_BATTERY,
    OF_MOTOR,
    RECORDS,
    SAME,
    SAYS_NOTHING,
    TURNED,
    WEAK,
    WITHIN,
    usual_way,
)
from mechbench.desk.tokens import NUMBER, Given, Value, Word, as_torque
from mechbench.engine.inputs import Supply, supplies
from mechbench.engine.spec import JOB, Field, Pick
from mechbench.wording import listed, quoted, shortened

KINDS = {"--find", "--most", "--least", "--sweep", "--against"}  # options that ask for more than one design
PHRASE = 3  # words that are tried as one: centre of mass
TEETH = re.compile(r"([0-9]+) *(?::|,|to|/) *([0-9]+)")
RATIO = re.compile(r"[0-9.]+:[0-9.]+")
MASS = "mass"  # of the parts that can be chosen
COUNTED = "", "x", "whole"  # units of plain numbers
TURNING = ("motors", "planned_motors", "shaft_drives", "roller_drives", "servos")


class NotRead(BadQuestion):
    """A line that a sizing can't read; `words` are those that mean nothing to it."""

    def __init__(self, sentence, words):
        super().__init__(sentence)
        self.words = words


@dataclass
class Meant:
    """A line as one sizing understands it. given: input or record -> text, in the order typed; options: those that
    its words ask for beside those typed; sure: how many of its words are names as the sizing has them; beside: values
    that were typed for findings; asks: words that ask for findings.
    """

    sizing: type
    given: dict = field(default_factory=dict)
    focus: list = field(default_factory=list)
    options: dict = field(default_factory=dict)
    said: list = field(default_factory=list)
    sure: int = 0
    beside: dict = field(default_factory=dict)
    asks: set = field(default_factory=set)


def read_for(sizing, tokens, options, tables):
    """The Meant of a line; refused in one sentence that tells all that can't be read."""
    reading = _Reading(sizing, options, tables)
    reading.take(tokens)
    return reading.end()


class _Reading:
    """One line while it is read for one sizing."""

    def __init__(self, sizing, options, tables):
        self.sizing, self.typed, self.tables = sizing, options, tables
        self.meant = Meant(sizing)
        self.values = {}  # input or record -> texts
        self.named = {}  # input -> its word in the line -> texts
        self.wrong = []  # sentences, and below words that are nothing here
        self.unknown = []
        self.looked, self.turned, self.alone = [], [], []
        self.label, self.battery, self.pairs = {}, {}, []  # figures of a motor and a battery; wheels in a row
        self.asked = {}  # findings, and how many words ask for each
        self.own = set()  # inputs that were named as they are called here
        self.figures, self.words = [], []  # all values and words of the line
        self.kind = ""  # belt or chain, where one of them was named

    # --- one token after the other ------------------------------------------------------------------------------

    def take(self, tokens):
        """Read every token."""
        self.figures = [text for one in tokens for text in getattr(one, "values", [getattr(one, "text", "")])]
        self.words = [one.name for one in tokens if isinstance(one, Word)]
        self.pairs = [one.text for one in tokens if isinstance(one, Value) and _teeth(one.text) and not one.against]
        at = 1 if tokens and isinstance(tokens[0], Word) and tokens[0].name == self.sizing.NAME else 0
        at += self._take_row(tokens[at:])
        while at < len(tokens):
            one = tokens[at]
            if isinstance(one, Given):
                self._take_given(plain(one.name), one)
                at += 1
            elif isinstance(one, Value):
                at += self._take_value(tokens, at)
            else:
                at += self._take_words(tokens, at)

    def _take_given(self, name, token):
        last = token.values[-1].strip().lower()
        if name in ("battery", "day", "accu") and last in WEAK:
            self._say(f"{token.typed}: a {'day' if name == 'day' else 'battery'} like that is part of a bad day.")
        elif self._findings(f"{name}_{plain(last)}"):
            self._ask_for(f"{name}_{plain(last)}")
        elif name in LABEL and self._pick_of_motor() and not inputs_meant(self.sizing, name):
            self.label[LABEL[name]] = token.values[-1]
        elif self._of_battery(name, last):
            self.battery[OF_BATTERY[name]] = token.values[-1].replace(" ", "")
        elif last in ASKED:
            self._turn_round(name, last)
        else:
            self._give(name, token.values)

    def _take_row(self, tokens):
        """Read lengths in a row, where a sizing has so many; give how many tokens that were."""
        names, asks = IN_A_ROW.get(self.sizing.NAME, ((), ()))
        row = [one.text for one in tokens[: len(names)] if isinstance(one, Value)]
        more = tokens[len(names) :][:1]
        if not names or len(row) < len(names) or (more and isinstance(more[0], Value)):
            return 0
        if not all(NUMBER.fullmatch(text) or _kind_of(text) == "length" for text in row):
            return 0
        bare = any(NUMBER.fullmatch(text) for text in row)
        units = {quantity.read(text).unit for text in row if not NUMBER.fullmatch(text)}
        unit = units.pop() if len(units) == 1 else "mm"
        self._say(f"{' '.join(row)}: taken in this order{f', in {unit}' if bare else ''}: {', '.join(names)}.")
        for name, text in zip(names, row):
            self._put(name, [f"{text}{unit}" if NUMBER.fullmatch(text) else text])
        self.asked |= dict.fromkeys(asks, 1)
        return len(names)

    def _take_words(self, tokens, at):
        """Read the word at a place, or a phrase that begins there; give how many tokens that were."""
        words = list(tokens[at : at + PHRASE])
        words = words[: next((i for i, one in enumerate(words) if not isinstance(one, Word)), len(words))]
        for many in range(len(words), 0, -1):
            name = self._same("_".join(one.name for one in words[:many]))
            behind = tokens[at + many] if at + many < len(tokens) else None
            if isinstance(behind, Value) and self._names_value(name, behind):
                self._give(name, [behind.text])
                if name in self.sizing.ALSO:
                    self._ask_for(name)
                return many + 1
            if self._take_word(name):
                return many
        if words[0].name not in SAYS_NOTHING:
            self.unknown.append((words[0].text, False))
        return 1

    def _same(self, name):
        """A phrase as a finding has it: motor stops is with the power off, where that is asked."""
        same = SAME.get(name, name)
        return same if self._findings(same) and not self._findings(name) else name

    def _names_value(self, name, value):
        """Whether a word names the value behind it: payload 0.5kg."""
        if TEETH.fullmatch(value.text) is None and NUMBER.fullmatch(value.text) and name in KINDS_OF_PAIR:
            return False
        found = self._inputs(name)
        if len(found) != 1:
            return False
        return not isinstance(found[0], Pick) or found[0].table == "counts" or not NUMBER.fullmatch(value.text)

    def _counted(self, name, value):
        """Whether a word names the value before it: 4 motors, 100mm wheels; a number without a unit only counts."""
        if value.against or not self._names_value(name, value):
            return False
        one, bare = self._inputs(name)[0], NUMBER.fullmatch(value.text)
        if isinstance(one, Pick):
            return value.text.isdigit() if one.table == "counts" else self.tables.reads_figures(one.table, value.text)
        if isinstance(one, Supply):
            return False
        return one.unit in COUNTED if bare else _kind_of(value.text) == quantity.kind_of(one.unit)

    def _take_word(self, name):
        """Read a word alone; False where it is nothing here."""
        self.kind = KINDS_OF_PAIR.get(name, self.kind)
        opens = name == self.sizing.NAME or name in self.sizing.ALSO
        if name in TURNED and not self._findings(name):
            self.turned.append((name, TURNED[name]))
        elif (self.sizing.NAME, name) in BETTER:
            self._ask_better(name)
        elif name in ASKS_WHICH and self._looked_for(name) or self._findings(name):
            self._ask_for(name)
        elif opens or self._looked_for(name) or self._part(name):
            pass
        elif name not in SAYS_NOTHING and any(name in (one.name, *one.also) for one in self.sizing.FIELDS):
            self.alone.append(name)
        else:
            return name in KINDS_OF_PAIR and bool(self._wheels())
        return True

    def _take_value(self, tokens, at):
        """Read a value alone, or two numbers of teeth; give how many tokens that were."""
        text = tokens[at].text
        behind = tokens[at + 1] if at + 1 < len(tokens) else None
        wheels = self._wheels()
        if wheels and text.isdigit() and isinstance(behind, Value) and behind.text.isdigit():
            self._give(wheels.name, [f"{text}:{behind.text}"], told=f"{text} {behind.text}")
            return 2
        if isinstance(behind, Word) and self._counted(behind.name, tokens[at]):
            self._give(behind.name, [text], told=f"{text} {behind.text}")
            return 2
        known = plain(text) in self.sizing.ALSO or self._ratio_alone(text) or self._quantity_alone(text)
        if not known and (text.isdigit() or not self._part(plain(text))):
            self.wrong.append(f"{quoted(text)} stands alone; write what it is, such as {self._example(text)}")
        return 1

    # --- what words mean ----------------------------------------------------------------------------------------

    def _inputs(self, name):
        """The inputs of a name or of another word for it, and the records; not those that only begin so."""
        name = self.sizing.FORMERLY.get(name, name)
        own = [one for one in self.sizing.FIELDS if one.name == name]
        if own:
            self.own.add(name)
            return own
        also = [one for one in self.sizing.FIELDS if name in one.also]
        supplied = [one for one in supplies(self.sizing) if name == one.name or name in RECORDS[one.name]]
        return also or supplied or inputs_meant(self.sizing, name)

    def _findings(self, name):
        return [one for one in self.sizing.FINDINGS if one.name == name or name in one.also]

    def _ask_for(self, name):
        for one in self._findings(name):
            self.asked[one.name] = self.asked.get(one.name, 0) + 1
            self.meant.asks.add(name)

    def _ask_better(self, name):
        """Ask for what is meant by a name that stands without a value."""
        one = self.sizing.field(BETTER[self.sizing.NAME, name])
        found = [finding for word in (one.name, *one.also) for finding in self._findings(word)]
        self._say(f"{name}: taken as {one.name}, {one.help}.")
        if found:
            self.asked[found[0].name] = self.asked.get(found[0].name, 0) + 1
        else:
            self.alone.append(one.name)

    def _wheels(self):
        """The pick of two wheels that turn one another, where there is one."""
        return next((one for one in self.sizing.FIELDS if one.name == "last_stage"), None)

    def _pick_of_motor(self):
        """The pick of what turns it: a motor, a motor with gears, or a servo."""
        picks = [one for one in self.sizing.FIELDS if isinstance(one, Pick)]
        turning = [one for one in picks if one.name in ("motor", "drive", "servo") and one.table in TURNING]
        return turning[0] if turning else None

    def _looked_for(self, name):
        """A word that names a part: the parts of the kit are searched for it."""
        picks = [
            one
            for one in self.sizing.FIELDS
            if isinstance(one, Pick) and one.table != "counts" and (name == one.name or name in one.also)
        ]
        self.looked += [one.name for one in picks[:1] if one.name not in self.looked]
        return bool(picks)

    def _part(self, name):
        """A word that is a part's name, or some words of it, of one input alone; then it is given."""
        hits = []
        for one in self.sizing.FIELDS:
            if isinstance(one, Pick) and one.table != "counts":
                names = one.options(self.tables)
                found = [name] if name in names else [part for part in names if f"_{name}_" in f"_{part}_"]
                hits += [(one, found[0])] if len(found) == 1 else []
        if len(hits) != 1:
            return False
        self._say(f"{name}: taken as {hits[0][0].name}={hits[0][1]}.")
        self.values.setdefault(hits[0][0].name, []).append(hits[0][1])
        return True

    # --- inputs -------------------------------------------------------------------------------------------------

    def _give(self, name, texts, told=""):
        """Take a value by the name or another word of its input."""
        found = self._inputs(name)
        if not found:
            self._not_given(name, texts)
        elif len(found) > 1:
            own = f"{quoted(name)} can be "
            self.wrong.append(own + " or ".join(f"{one.name} ({one.label})" for one in found) + "; write one of these")
        elif texts[0].startswith("-") and (self.sizing.NAME, found[0].name) in CHANGES:
            change = CHANGES[self.sizing.NAME, found[0].name][1]
            self._say(f"{name}={texts[0]}: taken as {change}={texts[0].lstrip('-')}.")
            self._put(change, [texts[0].lstrip("-")])
            self._ask_for(change)
        else:
            one = found[0]
            self._say(*([f"{told}: taken as {one.name}={texts[0]}, {one.label}."] if told else taken_as(name, one)))
            parted = self._parted(one, name, texts)
            self.named.setdefault(one.name, {})[name] = parted
            self._put(one.name, parted)

    def _put(self, name, texts):
        have = self.values.setdefault(name, [])
        have += [text for text in texts if text not in have]

    def _parted(self, one, name, texts):
        """Values one by one: 1,2 are two, 12,36 teeth one pair of wheels, 1,5kg is one number."""
        if one is self._wheels():
            return [self._of_kind(TEETH.sub(r"\1:\2", text.strip()), name) for text in texts]
        parted = []
        for text in texts:
            parted += [self._like_named(one, piece) for piece in self._pieces(one, text)]
        return [self._usual_of(one, self._with_unit(one, piece)) for piece in parted]

    def _of_kind(self, text, name):
        """Teeth with belt or chain before them, where these were named."""
        kind = KINDS_OF_PAIR.get(name, self.kind)
        return f"{kind},{text}" if kind and text[:1].isdigit() else text

    def _with_unit(self, one, text):
        """A plain number gets the unit that another figure of the same kind has in the same line."""
        if not isinstance(one, Field) or not NUMBER.fullmatch(text) or one.unit in COUNTED:
            return text
        kind = quantity.kind_of(one.unit)
        like = [typed for typed in self.figures if _kind_of(typed) == kind]
        units = {quantity.read(typed).unit for typed in like}
        if len(units) != 1:
            return text
        unit = units.pop()
        self._say(f"{one.name}={text}: taken in {quantity.written(unit)}, as {like[0]} is.")
        return f"{text}{unit}"

    def _usual_of(self, one, text):
        """Of several parts with one word, as every gearbox on one motor, the usual one, else the one most like it."""
        if not isinstance(one, Pick) or one.name != "drive":
            return text
        table, usual = self.tables(one.table), one.first(self.tables)
        like = [name for name in table.names if f"_{plain(text)}_" in f"_{name}_"]
        if len(like) < 2 or "torque_constant" not in table.columns:
            return text
        away = lambda name: abs(math.log(table.row(name)["torque_constant"] / table.row(usual)["torque_constant"]))
        chosen = usual if usual in like else min(like, key=away)
        self._say(f"{one.name}={text}: of {len(like)} with it, {chosen} is taken; --find {one.name} looks at all.")
        return chosen

    def _like_named(self, one, text):
        """Figures of a part get the word of the line that says what kind it is: mecanum and 92mm."""
        if not isinstance(one, Pick) or one.table == "counts" or not text[:1].isdigit():
            return text
        if not self.tables.reads_figures(one.table, text):
            return text
        parts = one.options(self.tables)
        others = [word for word in self.words if word not in (one.name, *one.also)]
        kinds = [word for word in others if any(f"_{word}_" in f"_{part}_" for part in parts)]
        return ",".join([text, *kinds[:1]])

    def _pieces(self, one, text):
        """The values of a text with commas; the figures of one part, and a decimal comma, stay together."""
        if isinstance(one, Supply) or "," not in text:
            return [text]
        if isinstance(one, Pick):
            return self.tables.one_by_one(one.table, text) or [text]
        pieces = [piece.strip() for piece in text.split(",")]
        kind = quantity.kind_of(one.unit)
        return pieces if all(_kind_of(piece) == kind for piece in pieces) else [text]

    def _not_given(self, name, texts):
        """A name that is no input: a finding whose bound is one, a figure of the motor, another finding, or nothing."""
        findings, kind = self._findings(name), _kind_of(texts[-1])
        bounds = {one.bound for one in findings if isinstance(one.bound, str)}
        asked = [one for one in self.sizing.FIELDS if one.name in bounds]
        alike = [one for one in findings if kind and quantity.kind_of(one.unit) == kind]
        if kind in OF_MOTOR and self._pick_of_motor() and not any(quantity.kind_of(one.unit) == kind for one in asked):
            self.label[OF_MOTOR[kind]] = texts[-1]
        elif len(asked) == 1:
            self._say(f"{name}: taken as {asked[0].name}, {asked[0].label}.")
            self._put(asked[0].name, texts)
        elif alike and len(texts) == 1:
            self._ask_for(name)
            self.meant.beside[alike[0].name] = f"{name}={texts[0]}"
        elif findings:
            self.wrong.append(self._is_found(name))
        else:
            self.unknown.append((name, True))

    def _is_found(self, name):
        picks = [one.name for one in self.sizing.FIELDS if one.group != JOB and not one.more][:3]
        return (
            f"{quoted(name)} is found, not given; leave out its value, or change what it comes from, such as"
            f" {listed(picks)}"
        )

    def _of_battery(self, name, text):
        """Whether it is a figure of a battery that may be given here: voltage=12V."""
        kind = OF_BATTERY.get(name)
        own = [one for one in self.sizing.FIELDS if name == one.name or name in one.also]
        return bool(kind) and not own and "battery" in self._supplied() and _kind_of(text) == kind

    def _supplied(self):
        return [one.name for one in supplies(self.sizing)]

    def _ratio_alone(self, text):
        """20:1 or 12:36 without a name."""
        if not RATIO.fullmatch(text):
            return False
        of_one = text.endswith(":1")
        wanted = "gearbox" if of_one else "last_stage"
        picks = [one.name for one in self.sizing.FIELDS if isinstance(one, Pick)]
        if wanted in picks:
            self._give(wanted, [text], told=text)
        return wanted in picks

    def _quantity_alone(self, text):
        """120mm goes to the one input of its kind: of what the job asks, else of all that are seen at first."""
        if NUMBER.fullmatch(text):
            return False
        try:
            kind = quantity.read(as_torque(text)).kind
        except ValueError:
            return False
        kinds = [one for one in self.sizing.FIELDS if not isinstance(one, Pick) and quantity.kind_of(one.unit) == kind]
        free = [one for one in kinds if one.name not in self.values and not one.name.endswith("_allowed")]
        for some in ([one for one in free if one.group == JOB and not one.more], free):
            if len(some) == 1:
                self._give(some[0].name, [text], told=text)
                return True
        of_battery = kind in OF_BATTERY.values() and "battery" in self._supplied() and not free
        of_motor = kind in OF_MOTOR and not kinds and self._pick_of_motor() is not None
        if of_battery:
            self.battery[kind] = text.replace(" ", "")
        elif of_motor:
            self.label[OF_MOTOR[kind]] = text
        elif free:
            self.wrong.append(f"{quoted(text)} can be {' or '.join(one.name for one in free)}; write which")
        return bool(of_battery or of_motor or free)

    def _example(self, text):
        """An input with the text as its value, where it can be that."""
        numbers = [one for one in self.sizing.FIELDS if isinstance(one, Field)]
        if NUMBER.fullmatch(text):
            return f"{numbers[0].name}={text}{numbers[0].unit}" if numbers else "NAME=VALUE"
        same = [one for one in numbers if quantity.kind_of(one.unit) == _kind_of(text)]
        return f"{same[0].name}={shortened(text)}" if same else f"NAME={shortened(text)}"

    # --- the question turned round ------------------------------------------------------------------------------

    def _turn_round(self, name, asked):
        """payload=? asks for the most of it, time=? for the least; a part is looked for."""
        better = BETTER.get((self.sizing.NAME, name))
        if better:
            self._say(f"{name}: taken as {better}, {self.sizing.field(better).help}.")
            name = better
        found = self._inputs(name)
        if len(found) != 1 or isinstance(found[0], Supply):
            self._give(name, [asked])
        elif isinstance(found[0], Pick) and found[0].table != "counts":
            self.looked.append(found[0].name)
        else:
            way = TURNED[asked].way if asked in TURNED else usual_way(found[0].name)
            self._say(*taken_as(name, found[0]))
            self._ask_most(way, found[0].name)

    def _ask_most(self, way, name):
        self.meant.options[f"--{way}"] = [name]

    def _turn(self):
        """What `heaviest`, `max payload` and the like ask for."""
        for word, one in self.turned:
            if one.mass:
                self.looked = []
                self._ask_most(one.way, MASS)
            elif self._within(one):
                pass
            elif self.looked:
                ranked = " and ".join(self.looked)
                self._say(f"{word}: left out; every {ranked} that works is ranked, so look it up in the table.")
            elif self.asked and not self.alone:
                name = max(self.asked, key=self.asked.get)
                self._say(f"{word}: left out, as {name} is found; --{one.way} {name} looks for parts.")
            else:
                self._turn_to(one)

    def _within(self, one):
        """The largest ratio without slipping: found here, and then that one drivetrain is judged."""
        pick, finding, *bound = WITHIN.get(self.sizing.NAME, ("", ""))
        if one.way != MOST or pick not in self.looked or finding not in self.asked or self.typed.keys() & KINDS:
            return False
        from mechbench.desk import within  # it solves; few lines ask that

        asked = within.Within(pick, finding, *bound)
        given = {name: texts[0] for name, texts in self.values.items()}
        ratio, told = within.largest(self.sizing, given, asked, self.tables)
        self._say(told)
        self.looked.remove(pick)
        if ratio:
            self.values[pick] = [ratio]
        self.asked[finding] += len(self.words)  # told first
        return True

    def _turn_to(self, one):
        wanted = next((found for name in (*self.alone, *one.of) for found in [self._inputs(name)] if found), [])
        if len(wanted) == 1 and not isinstance(wanted[0], Supply):
            self._ask_most(one.way, wanted[0].name)
        else:
            numbers = [f.name for f in self.sizing.FIELDS if not isinstance(f, Pick)][:3]
            self.wrong.append(f"the {one.way} of what? Write --{one.way} and one of {listed(numbers)}")

    def _left_out(self):
        """Findings that a search is not about, and values for findings where no design is judged."""
        if not self.meant.options and not self.typed.keys() & KINDS:
            return
        told = [one for one in self.sizing.FINDINGS if one.name in self.asked and not one.sense]
        for one in told:
            design = f"size {self.sizing.NAME} ... {one.name}"
            self._say(f"{self._word_of(one)}: left out, as nothing is asked of it; {design} tells it of one design.")
        for name, typed in self.meant.beside.items():
            self._say(f"{typed}: left out, as {name} is found, not given.")

    def _word_of(self, finding):
        """The word of the line that asks for a finding."""
        return next((word for word in self.words if word in (finding.name, *finding.also)), finding.name)

    # --- the end ------------------------------------------------------------------------------------------------

    def end(self):
        """All together."""
        self._motor_by_label()
        self._battery_by_figures()
        self._one_pair()
        self._turn()
        meant, used = self.meant, bool(self.meant.options or self.looked)
        if self.alone and not (used or self.asked):
            name = self._inputs(self.alone[0])[0].name
            self.wrong.append(f"{quoted(self.alone[0])} has no value; write {name}=..., or {name}=? for the most")
        if self.unknown or self.wrong:
            raise NotRead(self._refused(), [word for word, _ in self.unknown])
        if self.looked and "--find" not in self.typed:
            some = [name for name in self.looked if name not in self.values]
            meant.options |= {"--find": [",".join(some)]} if some else {}
        self._leave_out_of_range()
        self._left_out()
        for name, texts in self.values.items():
            if len(texts) == 1:
                meant.given[name] = texts[0]
            else:
                self._set_against(name, texts)
        self._tell_in_full()
        meant.focus = sorted(self.asked, key=lambda name: -self.asked[name])
        meant.sure = len(self.own)
        return meant

    def _leave_out_of_range(self):
        """Of a number that two different words give, the one that can't be it: time=120s beside cycle=9s."""
        for name, words in list(self.named.items()):
            one = self._inputs(name)[0]
            if len(words) < 2 or not isinstance(one, Field):
                continue
            wrong = {word: texts for word, texts in words.items() if not all(self._in_range(one, t) for t in texts)}
            if len(wrong) == len(words):
                continue
            for word, texts in wrong.items():
                self.values[name] = [text for text in self.values[name] if text not in texts]
                self._else(name, word, texts)

    def _else(self, name, word, texts):
        """Take a value that an input can't have for another one, where there is one for that; else leave it out."""
        other = ELSE.get((self.sizing.NAME, name), "")
        if other and other not in self.values and self._in_range(self.sizing.field(other), texts[0]):
            self._put(other, texts[:1])
            self.meant.said = [one for one in self.meant.said if one not in taken_as(word, self.sizing.field(name))]
            self._say(f"{word}={texts[0]}: taken as {other}, as {name} can't be that.")
        else:
            self._say(f"{word}={','.join(texts)}: left out, as {name} can't be that.")

    def _in_range(self, one, text):
        try:
            return math.isfinite(one.read(text, self.tables))
        except ValueError:
            return False

    def _set_against(self, name, texts):
        if self.typed.keys() & KINDS:
            raise BadQuestion(f"{name} is given twice; give it once, or leave out the rest to see both side by side.")
        self.meant.options.setdefault("--against", []).append(f"{name}={','.join(texts)}")

    def _motor_by_label(self):
        """free=275rpm stall=2.6Nm is one motor."""
        if not self.label:
            return
        pick = self._pick_of_motor()
        figures = [self.label.get(what, "") for what in ("free speed", "stall torque")]
        self.values[pick.name] = [",".join(filter(None, figures))]
        if all(figures):
            self._say(f"Free speed and stall torque: taken as {pick.name}={self.values[pick.name][0]}.")

    def _battery_by_figures(self):
        """voltage=12V resistance=0.05ohm is one battery."""
        if not self.battery:
            return
        figures = [*self.values.get("battery", [])[:1], *self.battery.values()]
        if not any(_kind_of(one) == "charge" for text in figures for one in text.split(",")):
            figures += self._usual_charge()
        self.values["battery"] = [",".join(figures)]
        if "resistance" in self.battery:  # given to see what is lost in it
            self.asked |= {one.name: 9 for one in self.sizing.FINDINGS if one.name == "volts"}
        self._say(f"Figures of a battery: taken as battery={self.values['battery'][0]}.")

    def _charge_input(self):
        numbers = [one for one in self.sizing.FIELDS if isinstance(one, Field)]
        return next((one for one in numbers if quantity.kind_of(one.unit) == "charge"), None)

    def _usual_charge(self):
        """The charge of a battery of which only voltage or resistance was typed: as an input says, or as the kit's."""
        own = self._charge_input()
        typed = self.values.get(own.name, [""])[0] if own else ""
        if typed and _kind_of(typed) == "charge":
            return [typed.replace(" ", "")]
        charge = quantity.show(self.tables.kit.battery.capacity, "A·h")
        self._say(f"The battery's charge is not given: {charge}, as the kit's battery has.")
        return [charge.replace(" ", "").replace("·", "")]

    def _one_pair(self):
        """Two pairs of teeth in a row are two steps of a train, and not a choice between them."""
        if len(self.pairs) < 2 or self._wheels() is None:
            return
        ratio = math.prod(int(b) / int(a) for a, b in (TEETH.fullmatch(pair).groups() for pair in self.pairs))
        name = self._wheels().name
        self.wrong.append(
            f"{self.sizing.NAME} takes one pair of wheels; {' and '.join(self.pairs)} one after the other turn"
            f" {ratio:.3g} : 1; to see them side by side, write {name}={' vs '.join(self.pairs)}"
        )

    def _say(self, *sentences):
        self.meant.said += [one for one in sentences if one and one not in self.meant.said]

    def _tell_in_full(self):
        """What would be typed in the calculator's own words, after all that was read otherwise."""
        meant = self.meant
        if not (meant.said or meant.options):
            return
        inputs = [f"{name}={_one_word(text)}" for name, text in meant.given.items()]
        asked = {**self.typed, **meant.options}
        options = [" ".join([option, text]) for option, texts in asked.items() for text in texts or [""]]
        if inputs or options:
            self._say(f"Typed in full: size {' '.join((self.sizing.NAME, *inputs, *options)).rstrip()}")

    def _refused(self):
        """One sentence for all that can't be read."""
        fields, findings = self.sizing.FIELDS, self.sizing.FINDINGS
        known = lambda given: fields if given else (*fields, *findings)
        near = {word: closest_of(word, known(given)) for word, given in self.unknown}
        told = []
        if len(near) == 1:
            word, given = self.unknown[0]
            what = "not an input" if given else "neither an input nor a finding"
            end = nearest_of(word, known(given)) if near[word] else seen_first(fields)
            told = [f"{quoted(word)} is {what} of {self.sizing.NAME}; {end}"]
        elif any(near.values()):
            each = ", ".join(f"{quoted(word)} ({one or 'nothing near'})" for word, one in near.items())
            told = [f"Of these, {self.sizing.NAME} knows none; in brackets what may be meant: {each}"]
        elif near:
            told = [f"{' and '.join(map(quoted, near))} mean nothing to {self.sizing.NAME}; {seen_first(fields)}"]
        whole = "; ".join(one.rstrip(".") for one in [*self.wrong, *told]).replace("?; ", "? ")
        return whole if whole.endswith(("?", "…")) else f"{whole}."


def _teeth(text):
    """Whether a text is two numbers of teeth, and no ratio such as 20:1."""
    return bool(TEETH.fullmatch(text)) and not text.endswith(":1")


def _one_word(text):
    """A value as it can be typed without quotes."""
    return text.replace(" ", "" if text[:1].isdigit() else "_")


def _kind_of(text):
    """The kind of a text with a number and a unit; "" where it has none."""
    try:
        return "" if NUMBER.fullmatch(text) else quantity.read(as_torque(text)).kind
    except ValueError:
        return ""
