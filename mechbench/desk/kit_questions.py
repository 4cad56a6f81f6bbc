"""The questions of a kit that is made step by step, in order, and the kit that the answers make so far.

Contents: Question, Walk (the questions that have an answer, the first that has none, the kit), known_names, labels_of,
pair_label, values_at_once, taken, to_come; YES, NO, NOTHING, MORE.

Answers are texts by the question's id, such as "goals.2.height"; "" is skipped. What is asked next follows from them
alone, so a dialogue can be left and taken up again, or go back by taking the last answer out.
"""

import re
from contextlib import suppress
from dataclasses import dataclass, replace
from itertools import count

from mechbench.desk import kit_outline as outline
from mechbench.desk.kit_examples import alike
from mechbench.kits.as_typed import name_of, own_grip, sizes_in, three_times_in, value_of
from mechbench.kits.borrowed import SUFFIX
from mechbench.kits.entry import REQUIRED, Entry
from mechbench.kits.faults import KitError, place
from mechbench.kits.own import own_parts
from mechbench.kits.schema import MAY_BE_WITHOUT, SHAPES
from mechbench.quantity import UnreadableQuantity, read

YES, NO, NOTHING = ("yes", "y"), ("", "no", "n"), "none"
DRIVES = ("motors", "gearmotors", "gearboxes", "servos")
MORE = "more"  # the question whether there are parts of seldom kinds


@dataclass(frozen=True)
class Question:
    """One question.

    id : such as "goals.2.height", or "battery" where it asks whether there is one
    table, number : which entry of which table; number is "" for a record
    key, entry : what is asked; "" and None for a question to be answered with yes or no
    kind : the kind or shape of the entry, as far as it is known
    optional : whether it may be skipped; another : whether it asks for another entry of the table
    other, ask : the name of another entry of the table, and what is asked of the two, to be answered with yes or no
    """

    id: str
    table: str
    number: str = ""
    key: str = ""
    entry: Entry | None = None
    kind: str = ""
    optional: bool = False
    another: bool = False
    other: str = ""
    ask: str = ""

    @property
    def title(self):
        """What people call the key that is asked."""
        return self.entry and self.entry.title or self.key.replace("_", " ")


class Walk:
    """All questions that have an answer, in order, up to the first one without; and the kit that the answers make.

    told : the questions that have an answer; open : the first one without, None where all have one
    names : (table, number) -> the entry's name in the file
    """

    def __init__(self, answers, read=None):
        """read: (question's id, text, what it may name) -> value, kept from one walk to the next."""
        self.answers, self._read = answers, {} if read is None else read
        self.told, self.open, self.names, self._tables, self._without = [], None, {}, {}, []
        for question in self._questions():
            if question.id not in answers or not self._entered(question, answers[question.id]):
                self.open = question
                return
            self.told.append(question)

    # --- which question comes next ---

    def _questions(self):
        """Give one question after another; each rests on the answers before it."""
        for table in (*outline.GAME_FIRST, *outline.PARTS_FIRST):
            yield from self._of_table(table)
        more = Question(MORE, MORE, optional=True)
        yield more
        if self.answers[more.id] in YES:
            for table in outline.PARTS_MORE:
                yield from self._of_table(table)

    def _of_table(self, table):
        how = outline.ALL[table]
        if not all(self._tables.get(other) for other in how.needs):
            return
        if how.fixed:
            yield from self._fixed(table)
        elif SHAPES[table].single:
            if how.gate:
                yield Question(table, table, optional=True)
                if self.answers[table] not in YES:
                    return
            yield from self._keys(table, "", {})
        else:
            yield from self._entries(table)

    def _entries(self, table):
        """Entry after entry, until no other one is named."""
        for number in count(1):
            label = SHAPES[table].entries["label"]
            first = Question(f"{table}.{number}.label", table, str(number), "label", label, optional=True, another=True)
            yield first
            if self.answers[first.id] in ("", NOTHING):
                return
            yield from self._keys(table, str(number), {"label": self.answers[first.id]})

    def _fixed(self, table):
        """Entries that nobody names; there is none of one where its first key is skipped."""
        how = outline.ALL[table]
        for name, given in how.fixed.items():
            if name in how.after and how.after[name] not in self._tables.get(table, {}):
                continue
            may_be_none = name not in how.always
            for question in self._keys(table, name, dict(given), first_optional=may_be_none):
                yield question
                if may_be_none and not self.answers[question.id]:
                    break
                may_be_none = False

    def _keys(self, table, number, given, first_optional=False):
        """The keys of one entry; given: what is known of it already."""
        shape, at, given = SHAPES[table], f"{table}.{number}" if number else table, dict(given)
        for key in outline.keys(table):
            kind = given.get(shape.by, "") if shape.by else ""
            entry = outline.entry(table, key, kind)
            if key in given or not entry.belongs(kind):
                continue
            must = entry.default is REQUIRED or outline.needed(table, key, given)
            if not must and not (outline.asked(table, key, given) and self._is_a_choice(table, number, key, entry)):
                continue
            if key in outline.ALL[table].each:
                yield from self._each(table, number, key)
                continue
            yield Question(f"{at}.{key}", table, number, key, entry, kind, optional=not must or first_optional)
            given[key] = self.answers[f"{at}.{key}"]
            first_optional = False

    def _each(self, table, number, key):
        """Of each other entry of the table, whether it goes together with this one."""
        for (of, other), name in tuple(self.names.items()):
            if of == table and other != number:
                ask = outline.ALL[table].each[key].format(other=self._tables[table][name].get("label", name))
                yield Question(
                    f"{table}.{number}.{key}.{other}", table, number, key, optional=True, other=name, ask=ask
                )

    def _is_a_choice(self, table, number, key, entry):
        """Whether there is something to name, where a key names entries: one alone is what is meant without a word."""
        others = [
            [name for name in self._tables.get(other, {}) if (other, name) != (table, self.names.get((table, number)))]
            for other in entry.names.split()
        ]
        least = 1 if len(others) > 1 or entry.names == table else 2
        return not others or all(len(names) >= least for names in others)

    # --- the kit that the answers make ---

    @property
    def tables(self):
        """What the answers make, as a TOML file would hold it."""
        if not self._without or "game" not in self._tables:
            return self._tables
        kit = {"label": f"{self._tables['game']['label'][:70]} kit", "without": self._without}
        return self._tables | {"kit": kit}

    def _entered(self, question, text):
        """Add one answer to the tables; False where it can't be read."""
        if text == NOTHING and (question.another or question.table == MORE):
            kinds = outline.PARTS_MORE if question.table == MORE else (question.table,)
            self._without += [table for table in kinds if table in MAY_BE_WITHOUT]
        elif text and question.other:
            own = self._tables[question.table][self.names[question.table, question.number]]
            own.setdefault(question.key, []).append(question.other)
        elif text and question.entry:
            try:
                self._enter(question, text)
            except KitError:
                return False
        return True

    def _enter(self, question, text):
        table, fixed = self._tables.setdefault(question.table, {}), outline.ALL[question.table].fixed
        value = self.value(question, text)
        if not question.number:
            table[question.key] = value
            return
        at = question.table, question.number
        if at not in self.names:
            one = outline.ALL[question.table].one.split()[-1]
            self.names[at] = question.number if fixed else name_of(text, taken(question.table, self._tables), one)
            table[self.names[at]] = dict(fixed.get(question.number, {}))
        if question.entry.kind == "pair" and not isinstance(value, str):
            own_grip(self._tables, question.table, self.names[at], question.key, value, self.floor)
        else:
            table[self.names[at]][question.key] = value

    @property
    def floor(self):
        """What the wheels drive on."""
        return self._tables.get("field", {}).get("floor", "floor")

    def value(self, question, text):
        """What a TOML file would hold for an answer; KitError in the words of the question."""
        known = tuple(self.known(question.entry).items()) if question.entry.names else ()
        key = question.id, text, known
        if key not in self._read:
            like = alike(question.table, question.key, question.kind)
            self._read[key] = value_of(text, question.entry, self.words(question), self.known(question.entry), like)
        return self._read[key]

    def several(self, question, text):
        """The questions that an answer with several values fills, each with its own; [] for any other answer."""
        if not question.entry:
            return self._as_good_as_yes(question, text)
        if question.another:
            return []
        at, ones = question.id.removesuffix(question.key), []
        for key, part in values_at_once(question.table, question.key, text):
            entry = outline.entry(question.table, key, question.kind)
            one = replace(question, id=f"{at}{key}", key=key, entry=entry)
            if not entry.belongs(question.kind):
                return []
            ones.append((one, self.value(one, part)))
        return ones

    def _as_good_as_yes(self, question, text):
        """Of a record that is asked about: yes, and the first figure, where the text is that; else []."""
        entries = SHAPES[question.table].entries if question.id == question.table != MORE else {}
        key = outline.keys(question.table)[0] if entries else ""
        if (
            not key
            or not entries[key].is_quantity
            or sum(one.kind == entries[key].kind for one in entries.values()) > 1
        ):
            return []
        first = replace(question, id=f"{question.table}.{key}", key=key, entry=entries[key])
        with suppress(KitError):
            return [(question, YES[0]), (first, value_of(text, entries[key], ""))]
        return []

    # --- how a question is called ---

    def path(self, question):
        """Where a question's entry stands in the file; its number stands for a name that it has not yet."""
        name = self.names.get((question.table, question.number), question.number)
        return (question.table, name) if name else (question.table,)

    def place(self, question):
        """The same as the kit's reader words it."""
        return place(SHAPES[question.table].file, self.path(question), question.key)

    def called(self, question):
        """What people call the entry of a question, "" for one that has no name yet."""
        name = self.names.get((question.table, question.number))
        if outline.ALL[question.table].fixed:
            return CALLED[question.number]
        if not question.number:
            return "" if question.table == "game" else question.table.replace("_", " ")
        return self._tables[question.table][name].get("label", "") if name else ""

    def words(self, question):
        """What people call a question: its entry and what is asked of it."""
        return ", ".join(filter(None, (self.called(question), question.title)))

    def called_as(self, entry):
        """Name -> what people call it, of all that a key may name."""
        return labels_of(entry, self._tables)

    def known(self, entry):
        """Label or name in small letters -> name, of all that a key may name."""
        return known_names(entry, self._tables)

    def pairs(self, question):
        """What friction pairs are called that such a part may name: those that parts of its table name there."""
        own, ours = own_parts().parts, self._tables.get("friction", {})
        used = {part.values[question.key] for part in own[question.table]}
        named = {one.get(question.key) for one in self._tables.get(question.table, {}).values()}
        labels = [pair_label(part) for part in own["friction"] if part.name in used]
        return [*labels, *(one["label"] for name, one in ours.items() if name in named)]

    def labels(self, question):
        """The labels of all that a key may name, without its own entry."""
        own = self.names.get((question.table, question.number))
        return [
            self._tables[table][name].get("label", name)
            for table in question.entry.names.split()
            for name in self._tables.get(table, {})
            if (table, name) != (question.table, own)
        ]


CALLED = {"self_driving": "the robot by itself", "pause": "break", "driven": "people drive"}


def taken(table, tables):
    """Names that an entry of a table can't have; one of what turns shafts is free in all tables of these."""
    alike = DRIVES if table in DRIVES else ()
    own = {part.name for one in alike for part in own_parts().parts[one]}
    return {*tables.get(table, {}), *(name for one in alike for name in tables.get(one, {})), *own}


def known_names(entry, tables):
    """Label, plural or name in small letters -> name, of all that a key may name."""
    known = {}
    for table in entry.names.split():
        for name, values in tables.get(table, {}).items():
            if isinstance(values, dict):
                label = values.get("label", name)
                known |= {name: name, label.lower(): name, values.get("plural", label + "s").lower(): name}
    if entry.kind == "pair":
        for part in own_parts().parts["friction"]:
            known |= {part.name: part.name, part.values["label"].removesuffix(SUFFIX).lower(): part.name}
            known[pair_label(part).lower()] = part.name
        own = {name: one for name, one in tables.get("friction", {}).items() if isinstance(one, dict)}
        known |= {word.lower(): name for name, one in own.items() for word in (name, one.get("label", name))}
    return known


def values_at_once(table, key, text):
    """Key -> its text, as pairs, where a text tells all that may come in one answer; else []."""
    keys = outline.ALL[table].at_once
    if key not in keys:
        return []
    if SHAPES[table].entries[key].kind == "time":
        parts = three_times_in(text)
    else:
        parts = sizes_in(text)
        with suppress(UnreadableQuantity):
            parts[:2] = sorted(parts[:2], key=lambda part: -read(part).value)
    return list(zip(keys, parts)) if len(parts) == len(keys) else []


def labels_of(entry, tables):
    """Name -> label, of all that a key may name."""
    is_pair = entry.kind == "pair"
    own = {part.name: pair_label(part) for part in own_parts().parts["friction"]} if is_pair else {}
    ours = [one for table in ("friction",) * is_pair or entry.names.split() for one in tables.get(table, {}).items()]
    return own | {name: one.get("label", name) for name, one in ours if isinstance(one, dict)}


def pair_label(part):
    """What people call a friction pair of the course's own, whose pieces are any team's pieces."""
    label = part.values["label"].removesuffix(SUFFIX)
    for piece in own_parts().parts["pieces"]:
        label = re.sub(rf"\b{re.escape(piece.values['label'].removesuffix(SUFFIX))}\b", "piece", label)
    return label


def to_come(question):
    """Tables that are not complete at a question: its own and those after it."""
    order = [*outline.GAME_FIRST, *outline.PARTS_FIRST, MORE, *outline.PARTS_MORE]
    return [one for one in order[order.index(question.table) :] if one != MORE] if question else []
