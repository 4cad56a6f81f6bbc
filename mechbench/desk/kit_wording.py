"""How the questions of `kit new` are worded, for somebody who sees them for the first time.

Contents: title, asked, more_help, taken_as_nothing, in_words; MORE.
"""

import re

from mechbench.desk import kit_outline as outline
from mechbench.desk.kit_examples import bounds, help_line, typed_example
from mechbench.desk.kit_questions import MORE, NOTHING
from mechbench.desk.kit_sheets import PLACE
from mechbench.kits.schema import MAY_BE_WITHOUT, SHAPES
from mechbench.quantity import units_of
from mechbench.wording import listed

OWN_STAYS = "the course's own stands in, and its label says so"


def title(question):
    """What is asked about now."""
    return "More parts" if question.table == MORE else f"{outline.ALL[question.table].about}."


def asked(question, walk, earlier=None, again=False, named=False):
    """A question, with what may be chosen in lines of their own, and what was answered to it before.

    again : it was answered, and does not fit the rest; named : say of which entry it is asked, where that has a name
    """
    lines = [_asked(question, walk, again or (named and bool(question.number))), *_choices(question)]
    if again:
        lines.append(f"    (so far: {earlier or 'left out'}; an empty answer leaves it)")
    elif earlier is not None:
        clear = "" if not earlier or not question.optional else "; - takes it out"
        lines.append(f"    (before: {earlier or 'left out'}; an empty answer keeps it{clear})")
    return "\n".join(lines)


def _asked(question, walk, again):
    how = outline.ALL.get(question.table)
    if question.ask:
        return f"{walk.called(question)}: {question.ask} (yes or no; empty: yes)"
    if question.table == MORE:
        kinds = ", ".join(outline.of_table(table) for table in outline.PARTS_MORE)
        ways = f"yes: asks for each; {NOTHING}: the team has none; empty: the course's own"
        return f"Any of these of your own? {kinds}. ({ways})"
    if question.entry is None:
        return f"Have you its figures at hand? (yes; empty: no, the course's own {how.one})"
    if question.another:
        return _another(question, how)
    asides = [one for one in (_such_as(question, walk), _if_empty(question)) if one]
    called = walk.words(question) if again or how.fixed else question.title
    return f"{called}: {question.entry.help}" + (f" ({'; '.join(asides)})" if asides else "")


def _another(question, how):
    first = question.number == "1"
    parts = outline.has_own(question.table)
    none = f"; {NOTHING}: the team has none" if parts and first and question.table in MAY_BE_WITHOUT else ""
    empty = "no more" if not first else "the course's own" if parts else "none"
    such = typed_example(question.table, question.key, question.kind)
    asks = f"{'One' if first else 'Another'} {how.one}? Its name{f', such as {such}' if such else ''}"
    return f"{asks} (empty: {empty}{none})"


def _if_empty(question):
    if not question.optional:
        return ""
    none = "none" if outline.ALL[question.table].fixed and question.key == "time" else "skip"
    return f"empty: {question.entry.left_out or none}"


def _such_as(question, walk):
    """An example, or what may be named."""
    entry = question.entry
    if entry.names:
        return _row(walk.labels(question))
    if entry.kind == "pair":
        return "such as 0.95, if you measured it"
    if entry.choices:
        return ""
    given = typed_example(question.table, question.key, question.kind)
    return f"such as {given}" if given else bounds(entry)


def _choices(question):
    """Each word that may be chosen, with what it means."""
    entry = question.entry
    if entry is None or not entry.choices:
        return []
    width = max(map(len, entry.choices))
    return [
        f"    {one:<{width}}  {means}" for one, means in zip(entry.choices, entry.means or [""] * len(entry.choices))
    ]


def _row(names):
    """Names in a row that can be told apart."""
    return "; ".join(names) if any("," in one for one in names) else listed(names)


def more_help(question, walk):
    """All that is known of a question."""
    entry = question.entry
    if question.ask:
        return "  yes where one match may bring the points of both; no where it brings those of one of them alone."
    if entry is None:
        return "  yes asks for each figure; nothing leaves the course's own in place, which its labels say."
    lines = [f"{walk.words(question)}: {entry.help if entry.means else help_line(entry)}", *_choices(question)]
    if entry.is_quantity:
        lines.append(f"Units: {', '.join(units_of(entry.kind))}.")
    if entry.is_share:
        lines.append("10 %, 0.1 and one in ten are the same.")
    if entry.many:
        lines.append("Several values: commas or the word and between; semicolons where numbers have a decimal comma.")
    if entry.kind == "pair":
        lines.append("Press with a known force, pull until it slides: grip is the pull over the press.")
    known = walk.pairs(question) if entry.kind == "pair" else walk.labels(question)
    if known:
        lines.append(f"There are: {_row(known)}.")
    may_skip = f"It may be skipped with an empty answer: {entry.left_out or 'then it is left out'}."
    lines.append(may_skip if question.optional else "It must be there.")
    lines.append(f"In the file {SHAPES[question.table].file} it is called {question.key}.")
    return "\n".join(f"  {line}" for line in lines)


def taken_as_nothing(question, taken):
    """What an answer such as "none" was taken for, in one line."""
    if taken == NOTHING:
        return f"Noted: the team has none. Where a lesson needs one, {OWN_STAYS}."
    if question.ask:
        return "Left out: yes."
    if question.entry is None:
        return f"Left out: {OWN_STAYS}."
    if question.another:
        first = outline.has_own(question.table) and question.number == "1"
        return f"Left out: {outline.stands_in(question.table)}" if first else "No more of these."
    return f"Left out: {question.entry.left_out or 'none'}."


# --- sentences of the kit's reader ----------------------------------------------------------------------------------


def in_words(sentence, walk):
    """A sentence of the kit's reader in the words of the questions, without file, table and key."""
    hit = PLACE.match(sentence)
    called = {".".join(walk.path(one)): walk.called(one) for one in walk.told if one.entry and not one.another}
    rest = sentence[hit.end() :] if hit else sentence
    rest = re.sub(r"\[([a-z_]+)(?:\.(\w+))?\]", lambda one: _in_words(one, called), rest)
    if not hit:
        return rest
    table, name = hit[1].partition(".")[::2]
    key = _title_of(table, hit[2] or "")
    rest = re.sub(r"\b[a-z]+(?:_[a-z0-9]+)+\b", lambda one: _title_of(table, one[0]), rest)
    return ", ".join(filter(None, (called.get(hit[1]) or name or _record(table), key))) + rest


def _record(table):
    """What people call a record that was not asked."""
    return f"the course's own {outline.ALL[table].one}" if outline.has_own(table) else table


def _title_of(table, key):
    """What people call a key of a table, or of another one; a word that is no key as it is."""
    entries = (SHAPES[one].entries.get(key) for one in (table, *SHAPES))
    entry = next(filter(None, entries), None)
    return key if entry is None else entry.title or key.replace("_", " ")


def _in_words(hit, called):
    """What people call an entry or a table that a sentence names in brackets."""
    table, name = hit[1], hit[2]
    if hit[0][1:-1] in called:
        return called[hit[0][1:-1]]
    if table not in outline.ALL:
        return hit[0]
    return f"a {outline.ALL[table].one}" if name else outline.of_table(table)
