"""What a line means to one sizing: its inputs by their own names, what is asked for, and how that was read.

Contents: Meant, read_for.

A line in the calculator's own words passes unchanged. Whatever is read otherwise than it stands there is told in
`said`, one short sentence each; what can't be read is told all at once (not_read.py). Which sizing a line asks is
which_sizing.py.
"""

import math
import re
from dataclasses import dataclass, field

from mechbench import quantity
from mechbench.desk import not_read, turned_round
from mechbench.desk.arguments import BadQuestion, plain, taken_as
from mechbench.desk.common_words import (
    ASKED,
    ASKS_WHICH,
    BETTER,
    CHANGES,
    ELSE,
    FROM_AND_BY,
    FROM_TO,
    IN_A_ROW,
    KINDS_OF_PAIR,
    LITTLE,
    MEASURES,
    SAYS_NOTHING,
    TURNED,
    WEAK,
    WHICH_OF,
)
from mechbench.desk.known_words import TEETH, Known, kind_of, teeth_of
from mechbench.desk.not_read import Open, Unknown, in_full
from mechbench.desk.own_figures import OwnFigures
from mechbench.desk.teeth_said import chain_pitch, find_teeth
from mechbench.desk.tokens import NUMBER, Given, Value, Word
from mechbench.desk.turned_round import KINDS
from mechbench.desk.value_texts import parted
from mechbench.engine.spec import JOB, Field, Pick
from mechbench.wording import listed, quoted

RATIO = re.compile(r"[0-9.]+:[0-9.]+")
AND = "and"  # says nothing, and keeps the words around it apart
PHRASE = 3  # words that are tried as one: centre of mass


@dataclass
class Meant:
    """A line as one sizing understands it. given: input or record -> text, in the order typed; options: those that
    its words ask for beside those typed; sure: how many of its words are names as the sizing has them; beside: values
    that were typed for findings; asks: words that ask for findings; by_kind: inputs that took a quantity without a
    name.
    """

    sizing: type
    given: dict = field(default_factory=dict)
    focus: list = field(default_factory=list)
    options: dict = field(default_factory=dict)
    said: list = field(default_factory=list)
    sure: int = 0
    beside: dict = field(default_factory=dict)
    asks: set = field(default_factory=set)
    by_kind: list = field(default_factory=list)


def read_for(sizing, tokens, options, tables):
    """The Meant of a line; refused in one sentence that tells all that can't be read."""
    reading = _Reading(sizing, options, tables)
    reading.take(tokens)
    return reading.end()


class _Reading:
    """One line while it is read for one sizing."""

    def __init__(self, sizing, options, tables):
        self.sizing, self.typed, self.tables = sizing, options, tables
        self.known, self.meant = Known(sizing, tables), Meant(sizing)
        self.own_figures = OwnFigures(self.known)
        self.values = {}  # input or record -> texts
        self.named = {}  # input -> its word in the line -> texts
        self.wrong, self.open, self.unknown = [], [], []  # sentences, values of several inputs, words that are nothing
        self.perhaps = {}  # input -> what it may be, for a line that is offered
        self.looked, self.turned, self.alone = [], [], []
        self.pairs = []  # wheels in a row
        self.asked = {}  # findings, and how many words ask for each
        self.own = set()  # inputs that were named as they are called here
        self.figures, self.words = [], []  # all values and words of the line
        self.kind = ""  # belt or chain, where one of them was named

    # --- one token after the other ------------------------------------------------------------------------------

    def take(self, tokens):
        """Read every token."""
        tokens = list(tokens)
        self.figures = [text for one in tokens for text in getattr(one, "values", [getattr(one, "text", "")])]
        self.words = [one.name for one in tokens if isinstance(one, Word)]
        self.pairs = [one.text for one in tokens if isinstance(one, Value) and teeth_of(one.text) and not one.against]
        self.kind = next((KINDS_OF_PAIR[word] for word in self.words if word in KINDS_OF_PAIR), "")
        at = 1 if tokens and isinstance(tokens[0], Word) and tokens[0].name == self.sizing.NAME else 0
        at += self._take_row(tokens[at:])
        self._take_teeth(tokens)
        while at < len(tokens):
            one = tokens[at]
            if isinstance(one, Given):
                self._take_given(plain(one.name), one)
                at += 1
            elif isinstance(one, Value):
                at += self._take_range(tokens, at) or self._take_value(tokens, at)
            else:
                at += self._take_words(tokens, at)

    def _take_given(self, name, token):
        last = token.values[-1].strip().lower()
        if name in ("battery", "day", "accu") and last in WEAK:
            self.say(f"{token.typed}: a {'day' if name == 'day' else 'battery'} like that is part of a bad day.")
        elif self.known.findings(f"{name}_{plain(last)}"):
            self._ask_for(f"{name}_{plain(last)}")
        elif self.own_figures.take_named(name, token.values[-1]):
            pass
        elif last in ASKED:
            turned_round.turn_round(self, name, last)
        else:
            self.give(name, token.values)

    def _take_row(self, tokens):
        """Read lengths in a row, where a sizing has so many; give how many tokens that were."""
        names, asks = IN_A_ROW.get(self.sizing.NAME, ((), ()))
        row = [one.text for one in tokens[: len(names)] if isinstance(one, Value)]
        more = tokens[len(names) :][:1]
        if not names or len(row) < len(names) or (more and isinstance(more[0], Value)):
            return 0
        if not all(NUMBER.fullmatch(text) or kind_of(text) == "length" for text in row):
            return 0
        bare = any(NUMBER.fullmatch(text) for text in row)
        units = {quantity.read(text).unit for text in row if not NUMBER.fullmatch(text)}
        unit = units.pop() if len(units) == 1 else "mm"
        self.say(f"{' '.join(row)}: taken in this order{f', in {unit}' if bare else ''}: {', '.join(names)}.")
        for name, text in zip(names, row):
            self._put(name, [f"{text}{unit}" if NUMBER.fullmatch(text) else text])
        self.asked |= dict.fromkeys(asks, 1)
        return len(names)

    def _take_teeth(self, tokens):
        """Read the two wheels of a line, and put a word that says nothing in their place."""
        counts_other = lambda at: at + 1 < len(tokens) and self._counted(tokens[at + 1], tokens[at])
        teeth = find_teeth(tokens, counts_other) if self.known.wheels else None
        if teeth:
            said = " ".join(one.typed for one in tokens[teeth.start : teeth.end])
            wheels = self.known.wheels
            texts = parted(self, wheels, wheels.name, [teeth.text])
            self.say(f"{said}: taken as {wheels.name}={texts[0]}, {wheels.label}, the driving one first.")
            self._put(wheels.name, texts)
            tokens[teeth.start : teeth.end] = [Word(AND, said)]

    def _take_range(self, tokens, at):
        """Read two values that a motion goes between, -30 to 60 deg; give how many tokens that were."""
        ends = tokens[at : at + 3]
        if (
            len(ends) < 3
            or not isinstance(ends[1], Word)
            or ends[1].name not in FROM_TO
            or ends[2].__class__ is not Value
        ):
            return 0
        first, last = ends[0].text, ends[2].text
        kind = kind_of(last)
        if not kind or kind_of(first) != kind and not NUMBER.fullmatch(first):
            return 0
        first = f"{first}{quantity.read(last).unit}" if NUMBER.fullmatch(first) else first
        begins, goes_to = (self.known.inputs(f"{word}_{kind}") for word in ("from", "to"))
        if begins and goes_to:
            self.say(f"{first} to {last}: taken as {begins[0].name}={first}, {goes_to[0].name}={last}.")
            self._put(begins[0].name, [first])
            self._put(goes_to[0].name, [last])
            return 3
        return self._take_turn(first, last, kind)

    def _take_turn(self, first, last, kind):
        """A motion that a sizing asks as its beginning and how far it goes: which place is meant is to be said."""
        begins, turns = FROM_AND_BY.get((self.sizing.NAME, kind), ("", ""))
        if not begins:
            return 0
        way = quantity.read(last).value - quantity.read(first).value
        begin, by = self.sizing.field(begins), self.sizing.field(turns)
        self.perhaps |= {begins: first, turns: quantity.show(way, by.unit, digits=6).replace(" ", "")}
        place = f"{begins} is '{begin.label}', {begin.help.partition(';')[0]}, and {turns} how far it goes from there"
        self.wrong.append(f"{quoted(f'{first} to {last}')} can't be taken as it stands: {place}")
        return 3

    def _take_words(self, tokens, at):
        """Read the word at a place, or a phrase that begins there; give how many tokens that were."""
        words = list(tokens[at : at + PHRASE])
        words = words[: next((i for i, one in enumerate(words) if not isinstance(one, Word)), len(words))]
        for many in range(len(words), 0, -1):
            name = self._phrase([one.name for one in words[:many]])
            behind = tokens[at + many] if at + many < len(tokens) else None
            more = tokens[at + many + 1] if at + many + 1 < len(tokens) else None
            named = isinstance(behind, Value) and self._names_value(name, behind)
            if named and not self._others(name, behind, more):
                self.give(name, [behind.text])
                if name in self.sizing.ALSO:
                    self._ask_for(name)
                return many + 1 + _measured(tokens[at + many + 1 :])
            if self._take_word(name):
                return many
        self._take_unknown(words[0])
        return 1

    def _phrase(self, words):
        """Some words as one name; without the small ones between them where that names something: arm is out."""
        whole, between = "_".join(words), [word for word in words[1:-1] if word not in LITTLE]
        short = "_".join([*words[:1], *between, *words[1:][-1:]])
        return short if self.known.is_input(short) else self.known.same(whole)

    def _take_unknown(self, word):
        pitch = chain_pitch(word.name) if self.known.wheels else None
        if pitch is not None:
            self.kind = "chain"
            told = quantity.show(pitch, "mm")
            self.wrong.append(f"{quoted(word.text)} has {told} from link to link, and a chain here has the kit's links")
        elif word.name not in SAYS_NOTHING:
            self.unknown.append(Unknown(word.text))

    def _names_value(self, name, value):
        """Whether a word names the value behind it: payload 0.5kg."""
        if TEETH.fullmatch(value.text) is None and NUMBER.fullmatch(value.text) and name in KINDS_OF_PAIR:
            return False
        found = self.known.inputs(name)
        if len(found) != 1 or self.known.opens(name) and not self.known.takes(found[0], value.text):
            return False
        return not isinstance(found[0], Pick) or found[0].table == "counts" or not NUMBER.fullmatch(value.text)

    def _others(self, name, value, behind):
        """Whether a value is of the word behind it, as it can't be of the one before: box 5 cm wide."""
        one = self.known.inputs(name)[0]
        return self._counted(behind, value) and not self.known.takes(one, value.text)

    def _counted(self, word, value):
        """The input's name that a word behind a value says: 4 motors, 100mm wheels, 2ft long; "" where it says none.

        A number without a unit only counts.
        """
        if not isinstance(word, Word) or value.against:
            return ""
        for name in (word.name, *MEASURES.get(word.name, ())):
            if self._names_value(name, value) and self.known.takes(self.known.inputs(name)[0], value.text):
                return name
        return ""

    def _take_word(self, name):
        """Read a word alone; False where it is nothing here."""
        if name in TURNED and not self.known.findings(name):
            self.turned.append((name, TURNED[name]))
        elif (self.sizing.NAME, name) in BETTER:
            self._ask_better(name)
        elif name in ASKS_WHICH and self._looked_for(name) or self.known.findings(name):
            self._ask_for(name)
        elif self.known.opens(name) or self._looked_for(name) or self._part(name):
            pass
        elif name not in SAYS_NOTHING and self.known.is_input(name):
            self.alone.append(name)
        else:
            return name in KINDS_OF_PAIR and bool(self.known.wheels)
        return True

    def _take_value(self, tokens, at):
        """Read a value alone, or with the word behind it; give how many tokens that were."""
        text = tokens[at].text
        behind = tokens[at + 1] if at + 1 < len(tokens) else None
        counted = self._counted(behind, tokens[at])
        if counted:
            self.give(counted, [text], told=f"{text} {behind.text}")
            return 2
        several = self.known.inputs(behind.name) if isinstance(behind, Word) else []
        several = [one for one in several if self.known.takes(one, text)]
        if len(several) > 1:
            self.open.append(Open(f"{text} {behind.text}", tuple(several), value=text))
            return 2
        known = plain(text) in self.sizing.ALSO or self._ratio_alone(text) or self._quantity_alone(text)
        if not known and (text.isdigit() or not self._part(plain(text))):
            may_be = [one for one in self.known.of_kind(text) if self.known.in_range(one, text)]
            self.open.append(Open(text, tuple(may_be), alone=True))
        return 1

    # --- what words mean ----------------------------------------------------------------------------------------

    def inputs(self, name):
        """The inputs of a name; one that is called so here is counted."""
        found = self.known.inputs(name)
        self.own |= {one.name for one in found if one.name == name}
        return found

    def _ask_for(self, name):
        for one in self.known.findings(name):
            self.asked[one.name] = self.asked.get(one.name, 0) + 1
            self.meant.asks.add(name)

    def _ask_better(self, name):
        """Ask for what is meant by a name that stands without a value."""
        one = self.sizing.field(BETTER[self.sizing.NAME, name])
        found = [finding for word in (one.name, *one.also) for finding in self.known.findings(word)]
        self.say(f"{name}: taken as {one.name}, {one.help}.")
        if found:
            self.asked[found[0].name] = self.asked.get(found[0].name, 0) + 1
        else:
            self.alone.append(one.name)

    def _looked_for(self, name):
        """A word that names a part: the parts of the kit are searched for it."""
        pick = self.known.pick_named(name)
        if pick and pick.name not in self.looked:
            self.looked.append(pick.name)
        return bool(pick)

    def _part(self, name):
        """A word that is a part's name, or some words of it, of one input alone; then it is given."""
        hits = self.known.parts(name)
        if len(hits) != 1:
            return False
        one, part = hits[0]
        self.say(f"{name}: taken as {one.name}={part}.")
        self.values.setdefault(one.name, []).append(part)
        return True

    # --- inputs -------------------------------------------------------------------------------------------------

    def give(self, name, texts, told=""):
        """Take a value by the name or another word of its input."""
        found = self.inputs(name)
        if not found:
            self._not_given(name, texts)
        elif len(found) > 1:
            own = f"{quoted(name)} can be "
            self.wrong.append(own + " or ".join(f"{one.name} ({one.label})" for one in found) + "; write one of these")
        elif texts[0].startswith("-") and (self.sizing.NAME, found[0].name) in CHANGES:
            change = CHANGES[self.sizing.NAME, found[0].name][1]
            self.say(f"{name}={texts[0]}: taken as {change}={texts[0].lstrip('-')}.")
            self._put(change, [texts[0].lstrip("-")])
            self._ask_for(change)
        else:
            one = found[0]
            values = parted(self, one, name, texts)
            self.say(*([f"{told}: taken as {one.name}={values[0]}, {one.label}."] if told else taken_as(name, one)))
            self.named.setdefault(one.name, {})[name] = values
            self._put(one.name, values)

    def _put(self, name, texts):
        have = self.values.setdefault(name, [])
        have += [text for text in texts if text not in have]

    def _not_given(self, name, texts):
        """A name that is no input: a finding whose bound is one, a figure of the motor, another finding, or nothing."""
        findings, kind = self.known.findings(name), kind_of(texts[-1])
        bounds = {one.bound for one in findings if isinstance(one.bound, str)}
        asked = [one for one in self.sizing.FIELDS if one.name in bounds]
        alike = [one for one in findings if kind and quantity.kind_of(one.unit) == kind]
        if self.own_figures.take_found(name, texts[-1], findings):
            pass
        elif len(asked) == 1:
            self.say(f"{name}: taken as {asked[0].name}, {asked[0].label}.")
            self._put(asked[0].name, texts)
        elif alike and len(texts) == 1:
            self._ask_for(name)
            self.meant.beside[alike[0].name] = f"{name}={texts[0]}"
        elif findings:
            self._ask_for(name)
            self.wrong.append(self._is_found(name))
        else:
            self.unknown.append(Unknown(name, tuple(texts)))

    def _is_found(self, name):
        picks = [one.name for one in self.sizing.FIELDS if one.group != JOB and not one.more][:3]
        return (
            f"{quoted(name)} is found, not given; leave out its value, or change what it comes from, such as"
            f" {listed(picks)}"
        )

    def _ratio_alone(self, text):
        """20:1 or 12:36 without a name."""
        if not RATIO.fullmatch(text):
            return False
        of_one = text.endswith(":1")
        wanted = "gearbox" if of_one else "last_stage"
        picks = [one.name for one in self.sizing.FIELDS if isinstance(one, Pick)]
        if wanted in picks:
            self.give(wanted, [text], told=text)
        return wanted in picks

    def _quantity_alone(self, text):
        """120mm goes to the one input of its kind: of what the job asks, else of all that are seen at first."""
        if not kind_of(text):
            return False
        free = [one for one in self.known.of_kind(text) if one.name not in self.values]
        free = [one for one in free if self.known.in_range(one, text)] or free
        job = [one for one in free if one.group == JOB and not one.more]
        for some in (job, free):
            if len(some) == 1 and (len(free) == 1 or self.known.in_range(some[0], text)):
                self.give(some[0].name, [text], told=text)
                self.meant.by_kind.append(some[0])
                return True
        if self.own_figures.take_alone(text, free):
            return True
        if free:
            self.open.append(Open(text, tuple(free)))
        return bool(free)

    # --- the end ------------------------------------------------------------------------------------------------

    def end(self):
        """All together."""
        self.own_figures.put_together(self)
        self._one_pair()
        self._which_of()
        turned_round.turn(self)
        meant, used = self.meant, bool(self.meant.options or self.looked)
        self.alone = [
            name for name in self.alone if not any(one.name in self.values for one in self.known.inputs(name))
        ]
        if self.alone and not (used or self.asked):
            name = self.known.inputs(self.alone[0])[0].name
            line = f"type size {self.sizing.NAME} {name}=?"
            self.wrong.append(f"{quoted(self.alone[0])} has no value; write {name}=..., or {line} for the most")
        if self.unknown or self.wrong or self.open:
            raise not_read.refused(self)
        if self.looked and "--find" not in self.typed:
            some = [name for name in self.looked if name not in self.values]
            meant.options |= {"--find": [",".join(some)]} if some else {}
        self._leave_out_of_range()
        turned_round.left_out(self)
        for name, texts in self.values.items():
            if len(texts) == 1:
                meant.given[name] = texts[0]
            else:
                self._set_against(name, texts)
        self._tell_in_full()
        meant.focus = sorted(self.asked, key=lambda name: -self.asked[name])
        meant.sure = len(self.own)
        return meant

    def _which_of(self):
        """A part that a word asks for, where another value says that a like one is meant: a servo with a reach."""
        for name in list(self.looked):
            told_by, other, why = WHICH_OF.get((self.sizing.NAME, name), ("", "", ""))
            if told_by in self.values and other not in self.looked and name not in self.values:
                self.looked[self.looked.index(name)] = other
                label = self.sizing.field(other).label
                self.say(f"{name}: taken as {other}, {label}, as {told_by} is given; {why}.")

    def _leave_out_of_range(self):
        """Of a number that two different words give, the one that can't be it: time=120s beside cycle=9s."""
        for name, words in list(self.named.items()):
            one = self.known.inputs(name)[0]
            if len(words) < 2 or not isinstance(one, Field):
                continue
            wrong = {
                word: texts for word, texts in words.items() if not all(self.known.in_range(one, t) for t in texts)
            }
            if len(wrong) == len(words):
                continue
            for word, texts in wrong.items():
                self.values[name] = [text for text in self.values[name] if text not in texts]
                self._else(name, word, texts)

    def _else(self, name, word, texts):
        """Take a value that an input can't have for another one, where there is one for that; else leave it out."""
        other = ELSE.get((self.sizing.NAME, name), "")
        if other and other not in self.values and self.known.in_range(self.sizing.field(other), texts[0]):
            self._put(other, texts[:1])
            self.meant.said = [one for one in self.meant.said if one not in taken_as(word, self.sizing.field(name))]
            self.say(f"{word}={texts[0]}: taken as {other}, as {name} can't be that.")
        else:
            self.say(f"{word}={','.join(texts)}: left out, as {name} can't be that.")

    def _set_against(self, name, texts):
        if self.typed.keys() & KINDS:
            raise BadQuestion(f"{name} is given twice; give it once, or leave out the rest to see both side by side.")
        self.meant.options.setdefault("--against", []).append(f"{name}={','.join(texts)}")

    def _one_pair(self):
        """Two pairs of teeth in a row are two steps of a train, and not a choice between them."""
        if len(self.pairs) < 2 or self.known.wheels is None:
            return
        ratio = math.prod(int(b) / int(a) for a, b in (TEETH.fullmatch(pair).groups() for pair in self.pairs))
        name = self.known.wheels.name
        self.values.pop(name, None)
        self.wrong.append(
            f"{self.sizing.NAME} takes one pair of wheels; {' and '.join(self.pairs)} one after the other turn"
            f" {ratio:.3g} : 1; to see them side by side, type size {self.sizing.NAME} {name}={' vs '.join(self.pairs)}"
        )

    def say(self, *sentences):
        """Tell how something was read, once."""
        self.meant.said += [one for one in sentences if one and one not in self.meant.said]

    def _tell_in_full(self):
        """What would be typed in the calculator's own words, after all that was read otherwise."""
        meant = self.meant
        if not (meant.said or meant.options):
            return
        asked = {**self.typed, **meant.options}
        options = [" ".join([option, text]) for option, texts in asked.items() for text in texts or [""]]
        if meant.given or options:
            self.say(f"Typed in full: size {in_full(self.sizing, meant.given, options)}")


def _measured(tokens):
    """How many words at the beginning only say how a value before them lies: 70 cm high."""
    return int(bool(tokens) and isinstance(tokens[0], Word) and tokens[0].name in MEASURES)
