"""Which sizing a line asks: by its own name, by another word for it, and where a word means several, by what else the
line says.

Contents: read, sizings_named, line_of.

A sizing is never opened by the beginning of its name alone. The others are loaded only where a word is no name.
"""

from mechbench.catalog import NAMES, sizing_of
from mechbench.desk.arguments import TYPED, BadQuestion, close_word, values_of
from mechbench.desk.common_words import CHANGES, FIRST_MEANT
from mechbench.desk.meant import read_for
from mechbench.desk.not_read import NotRead, in_full
from mechbench.desk.spoken import all_of_it, every_sizing
from mechbench.desk.tokens import Given, Value, Word, plain
from mechbench.engine.inputs import Tables
from mechbench.engine.spec import JOB
from mechbench.wording import listed, quoted

LISTED = 4  # sizings that one sentence offers with their question
ELSEWHERE = 2  # of those that read a whole line which another one can't


def read(tokens, options):
    """A line's Meant and the Tables of its sizing; refused in one sentence."""
    first = tokens[0] if tokens else None
    if isinstance(first, Word) and first.name in NAMES:
        return _by_name(first.name, tokens, options)
    words, names = _candidates(tokens)
    tried = {name: _tried(name, tokens, options) for name in names}
    if not any(isinstance(one, tuple) for one in tried.values()):
        return _elsewhere(tokens, options, words, tried)
    name = _best(words, tried)
    meant, tables = tried[name]
    meant.said[:0] = [_opened(word, name, tried) for word in words if word != name][:1]
    return meant, tables


def sizings_named(tokens):
    """The names of the sizings that a line can ask, for their help: the rest of it is not read."""
    first = tokens[0] if tokens else None
    if isinstance(first, Word) and first.name in NAMES:
        return [first.name]
    names = _candidates(tokens)[1]
    if not names:
        raise BadQuestion(_no_sizing(first))
    return names


def _opened(word, name, tried):
    """How a word was read, and the other sizings that could have been meant."""
    others = [f"size {one} is another: {sizing_of(one).TITLE}" for one in tried if one != name][:LISTED]
    told = f"{word.replace('_', ' ')}: taken as {name}, {sizing_of(name).TITLE}"
    return "; ".join([told, *others]) + "."


def _by_name(name, tokens, options):
    """A line that begins with the name of a sizing; where that does not know a word, it is said which one does."""
    name, tokens, said = _changed(name, tokens)
    found = _tried(name, tokens, options)
    if isinstance(found, NotRead):
        others = {word: _asked_of(word) for word in map(plain, found.words)}
        told = [f"{quoted(word)} is asked of {' or '.join(names)}" for word, names in others.items() if names]
        raise BadQuestion(f"{str(found).rstrip('.')}; {', '.join(told)}." if told else str(found)) from None
    found[0].said[:0] = said
    return found


def _changed(name, tokens):
    """A time below 0 is a change: where another sizing asks that, its name and the same tokens for it."""
    for at, one in enumerate(tokens):
        asked = CHANGES.get((name, plain(one.name))) if isinstance(one, Given) else None
        if asked and asked[0] != name and one.values[0].startswith("-"):
            value = one.values[0].lstrip("-")
            said = f"{one.typed}: taken as {asked[1]}={value} of {asked[0]}, {sizing_of(asked[0]).TITLE}."
            instead = [Given(asked[1], [value]), Word(asked[1], asked[1])]
            return asked[0], [Word(asked[0], asked[0]), *tokens[1:at], *instead, *tokens[at + 1 :]], [said]
    return name, tokens, []


def _tried(name, tokens, options):
    """Meant and Tables of a line as one sizing reads it; or why it can't."""
    sizing = sizing_of(name)
    tables = Tables(sizing)
    try:
        return read_for(sizing, tokens, options, tables), tables
    except NotRead as wrong:
        return wrong


def _asked_of(word):
    """The sizings of a name or another word for it."""
    return [name for name in NAMES if word == name or word in sizing_of(name).ALSO]


def _candidates(tokens):
    """Words of a line that name sizings, and the sizings that all of them name; else all that any of them does."""
    words, joined = {}, set()
    for at, one in enumerate(tokens):
        if isinstance(one, Given):
            continue
        behind = tokens[at + 1] if at + 1 < len(tokens) else None
        name = plain(one.text) if isinstance(one, Value) else one.name
        both = f"{name}_{behind.name}" if isinstance(behind, Word) else ""
        if both and (found := _asked_of(both)):
            words[both] = found
            joined |= {name, behind.name}  # "servo arm" is neither a servo's gripper nor an arm
        elif name not in joined and (found := _asked_of(name)):
            words[name] = found
    if not words:
        return {}, []
    common = [name for name in NAMES if all(name in found for found in words.values())]
    return words, common or [name for name in NAMES if any(name in found for found in words.values())]


def _best(words, tried):
    """The one that reads the line; of several the one that knows most of its inputs by name."""
    knows = lambda one: (one.sure, len(one.asks - words.keys()))
    read_by = {name: knows(one[0]) for name, one in tried.items() if not isinstance(one, NotRead)}
    most = [name for name, sure in read_by.items() if sure == max(read_by.values())]
    first = [FIRST_MEANT[word] for word in words if FIRST_MEANT.get(word) in most]
    most = first[:1] or most
    if len(most) == 1:
        return most[0]
    raise BadQuestion(_several(words, {name: tried[name] for name in most}))


def _several(words, tried):
    """The sentence that offers some sizings, each with its question, and what to type."""
    names, word = list(tried), next(iter(words)).replace("_", " ")
    told = [f"{name} ({sizing_of(name).QUESTION if len(names) <= 2 else sizing_of(name).TITLE})" for name in names]
    lines = [name if isinstance(tried[name], NotRead) else line_of(tried[name][0]) for name in names[:LISTED]]
    typed = [f"{TYPED} {lines[0]}", *(f"size {line}" for line in lines[1:])]
    return f"{quoted(word)} can be asked of {' or '.join(told[:LISTED])}: type {' or '.join(typed)}."


def line_of(meant, else_asked=()):
    """A line in the calculator's own words, after `size`; where it asks no kind of answer, that which is given here."""
    options = [f"{option} {text}" for option, texts in meant.options.items() for text in texts]
    return in_full(meant.sizing, meant.given, options or else_asked or meant.focus[:1])


def _elsewhere(tokens, options, words, tried):
    """Meant and Tables of a line that none of the sizings named can read, of the one other that surely is meant; else
    refused in one sentence, which offers those that read it, or says what the nearest one lacks.
    """
    read = _others(tokens, options, tried)
    wrong = [_refused(*one) for one in read]
    fitting = _surest([one for one, why in zip(read, wrong) if not why])
    if len(fitting) == 1 and not fitting[0][0].by_kind:
        meant = fitting[0][0]
        meant.said.insert(0, f"No sizing is named: {meant.sizing.NAME} alone reads all of it, {meant.sizing.TITLE}.")
        return fitting[0]
    if fitting:
        told = [f"{all_of_it(line_of(meant))} ({meant.sizing.TITLE})" for meant, _ in fitting[:ELSEWHERE]]
        raise BadQuestion(f"No sizing is named that reads all of it; type, for example, {' or '.join(told)}.")
    if read:
        nearest = _surest(read)[0]
        raise BadQuestion(f"Of {nearest[0].sizing.NAME}, {_refused(*nearest)}")
    if not tried:
        raise BadQuestion(_no_sizing(tokens[0] if tokens else None))
    fewest = min(one.faults for one in tried.values())
    nearest = [one for one in tried.values() if one.faults == fewest]
    raise nearest[0] if len(nearest) == 1 else BadQuestion(_several(words, tried))


def _others(tokens, options, tried):
    """Meant and Tables of a line for each other sizing that reads it; none where it has no value."""
    if all(isinstance(one, Word) for one in tokens):
        return []
    found = [_tried(name, tokens, options) for name in NAMES if name not in tried]
    return [one for one in found if not isinstance(one, NotRead) and one[0].given]


def _surest(read):
    """Of some, those that guess least, and know most of the line by name."""
    guessed = lambda meant: sum(1 if one.group == JOB and not one.more else 2 for one in meant.by_kind)
    fits = lambda one: (-guessed(one[0]), one[0].sure, len(one[0].asks))
    return [one for one in read if fits(one) == max(map(fits, read))]


def _refused(meant, tables):
    """Why a value can't be, "" where all can."""
    try:
        values_of(meant.sizing, meant.given, tables.fresh())
    except ValueError as wrong:
        return str(wrong)
    return ""


def _no_sizing(first):
    """The sentence where nothing in a line names a sizing."""
    if not isinstance(first, Word):
        return f"No sizing is named; begin with one of {', '.join(NAMES)}."
    low = first.name
    near = [name for name in NAMES if name.startswith(low)]
    if not near:
        word = close_word(low, [*NAMES, *(word for name in NAMES for word in sizing_of(name).ALSO)])
        near = _asked_of(word) if word else []
    all_told = f"choose from {listed(NAMES)}{every_sizing()}."
    end = f"did you mean {' or '.join(map(quoted, near))}?" if near else all_told
    return f"{quoted(first.text)} is not a sizing; {end}"
