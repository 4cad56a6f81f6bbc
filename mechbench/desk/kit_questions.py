"""The questions of a kit that is made step by step, in order, and the kit that the answers make so far.

Contents: Question, questions, first_open, answered, made, Made, read_answer, to_come.

Answers are texts by the question's id, such as "goals.2.height"; "" is skipped. What is asked next follows from them
alone, so a dialogue can be left and taken up again, or go back by taking the last answer out.
"""

from dataclasses import dataclass
from itertools import count

from mechbench.desk import kit_outline as outline
from mechbench.kits.as_typed import name_of, value_of
from mechbench.kits.borrowed import SUFFIX
from mechbench.kits.entry import REQUIRED, Entry
from mechbench.kits.faults import place
from mechbench.kits.own import own_parts
from mechbench.kits.schema import MAY_BE_EMPTY, SHAPES

YES, NO, NONE = ("yes", "y"), ("", "no", "n"), "none"
MORE = "more"  # the question whether there are parts of seldom kinds


@dataclass(frozen=True)
class Question:
    """One question.

    id : such as "goals.2.height", or "battery" where it asks whether there is one
    table, number : which entry of which table; number is "" for a record
    key, entry : what is asked; "" and None for a question to be answered with yes or no
    kind : the kind or shape of the entry, as far as it is known
    optional : whether it may be skipped; another : whether it asks for another entry of the table
    """

    id: str
    table: str
    number: str = ""
    key: str = ""
    entry: Entry | None = None
    kind: str = ""
    optional: bool = False
    another: bool = False


def questions(answers):
    """Give one question after another; what follows one rests on its answer, so stop at the first without one."""
    for table in (*outline.GAME_FIRST, *outline.PARTS_FIRST):
        yield from _of_table(table, answers)
    more = Question(MORE, MORE, optional=True)
    yield more
    if answers[more.id] in YES:
        for table in outline.PARTS_MORE:
            yield from _of_table(table, answers)


def first_open(answers):
    """The first question without an answer; None when all have one."""
    return next((one for one in questions(answers) if one.id not in answers), None)


def answered(answers):
    """All questions that have an answer, up to the first that has none."""
    for one in questions(answers):
        if one.id not in answers:
            return
        yield one


def _of_table(table, answers):
    how, shape = outline.ALL[table], SHAPES[table]
    if how.fixed:
        for number, given in enumerate(how.fixed.items()):
            yield from _fixed(table, *given, answers, may_be_none=number > 0)
    elif shape.single:
        if how.gate:
            yield Question(table, table, optional=True)
            if answers[table] not in YES:
                return
        yield from _keys(table, "", {}, answers)
    else:
        yield from _entries(table, answers)


def _entries(table, answers):
    """Entry after entry, until no other one is named."""
    for number in count(1):
        label = SHAPES[table].entries["label"]
        first = Question(f"{table}.{number}.label", table, str(number), "label", label, optional=True, another=True)
        yield first
        if answers[first.id] in ("", NONE):
            return
        yield from _keys(table, str(number), {"label": answers[first.id]}, answers)


def _fixed(table, name, given, answers, may_be_none):
    """An entry that is always there, or that there is none of where its first key is skipped."""
    for question in _keys(table, name, dict(given), answers, first_optional=may_be_none):
        yield question
        if not answers[question.id] and may_be_none:
            return
        may_be_none = False


def _keys(table, number, given, answers, first_optional=False):
    """The keys of one entry; given: what is known of it already."""
    shape, at = SHAPES[table], f"{table}.{number}" if number else table
    given = dict(given)
    for key, entry in shape.entries.items():
        kind = given.get(shape.by, "") if shape.by else ""
        needed = entry.default is REQUIRED and entry.belongs(kind)
        if key in given or not entry.belongs(kind) or not (needed or outline.asked(table, key, given)):
            continue
        yield Question(f"{at}.{key}", table, number, key, entry, kind, optional=not needed or first_optional)
        given[key] = answers[f"{at}.{key}"]
        first_optional = False


# --- the kit that the answers make ----------------------------------------------------------------------------------


@dataclass(frozen=True)
class Made:
    """What the answers make: tables as a TOML file would hold them, and the name of each entry.

    names : (table, number) -> the entry's name in the file
    """

    tables: dict
    names: dict

    def path(self, question):
        """Where a question's entry stands in the file; its number stands for a name that it has not yet."""
        name = self.names.get((question.table, question.number), question.number)
        return (question.table, name) if name else (question.table,)

    def known(self, entry):
        """Label or name in small letters -> name, of all that a key may name."""
        return known_names(entry, self.tables)

    def labels(self, entry):
        """The labels of all that a key may name."""
        return list({name: label for label, name in self.known(entry).items()}.values()) if entry else []


def made(answers):
    """The kit that the answers make so far."""
    done = Made({}, {})
    nothing = []
    for question in answered(answers):
        text = answers[question.id]
        if text == NONE and question.another and question.table in MAY_BE_EMPTY:
            nothing.append(question.table)
        elif text and question.entry and text != NONE:
            _enter(question, text, done)
    if nothing and "game" in done.tables:
        done.tables["kit"] = {"label": f"{done.tables['game']['label'][:70]} kit", "without": nothing}
    # A match begins with what the robot does alone.
    if "phases" in done.tables:
        done.tables["phases"] = dict(reversed(done.tables["phases"].items()))
    return done


def _enter(question, text, done):
    """Add one answer to the tables."""
    table = done.tables.setdefault(question.table, {})
    if not question.number:
        table[question.key] = read_answer(question, text, done)
        return
    fixed = outline.ALL[question.table].fixed
    at = question.table, question.number
    if at not in done.names:
        one = outline.ALL[question.table].one.split()[-1]
        done.names[at] = question.number if fixed else name_of(text, table, one)
        table[done.names[at]] = dict(fixed.get(question.number, {}))
    table[done.names[at]][question.key] = read_answer(question, text, done)


def read_answer(question, text, done):
    """What a TOML file would hold for an answer; KitError, as the kit's reader words it."""
    where = place(SHAPES[question.table].file, done.path(question), question.key)
    return value_of(text, question.entry, where, done.known(question.entry))


def known_names(entry, tables):
    """Label or name in small letters -> name, of all that a key may name."""
    known = {}
    for table in entry.names.split():
        for name, values in tables.get(table, {}).items():
            if isinstance(values, dict):
                known |= {name: name, values.get("label", name).lower(): name}
    if entry.kind == "pair":
        for part in own_parts().parts["friction"]:
            known |= {part.name: part.name, part.values["label"].removesuffix(SUFFIX).lower(): part.name}
        known |= {name: name for name in tables.get("friction", {})}
    return known


def to_come(question):
    """Tables of the game that are not complete at a question: its own and those after it."""
    order = list(outline.GAME_FIRST)
    return order[order.index(question.table) :] if question and question.table in order else []
