"""The sizing turned round: from what the job asks to the parts of the kit that do it.

Contents: find (for notebooks), look, text_of, html_of, short_of, data_of, code_of.

Parts are ranked by ranking.py; where a number is looked for, too, working.py answers. Either shows what it found.
"""

from collections.abc import Mapping

from mechbench.desk import found_page, working
from mechbench.desk.arguments import BadQuestion, input_named, value_of, words_apart
from mechbench.desk.called import called, listed_values, not_supply
from mechbench.desk.ranking import Found, ranked
from mechbench.desk.spoken import again, way
from mechbench.engine.spec import Pick


def find(name="", parts="", *stray, kit=None, system=None, **values):
    """Turn a sizing round: mb.find("arm", "motor,gearbox", payload="0.5 kg") tries every motor with every gearbox.

    name : of the sizing; parts : inputs to look for, "motor,gearbox", or some parts of one only, "gearbox,motor=slim"
    values : the other inputs, as mb.size takes them; a list is tried value by value: squeeze=["6 N", "8 N"]
    kit : another kit than the one in force; system : "metric" or "us", the units that are shown

    What it gives is gone through row by row, the best first, each as mb.size gives it; found["time"] is a column, and
    found.fitting lists all that fit. Where nothing fits it is empty, and found.nearest_miss comes nearest.
    """
    asked = called(name, kit, system, values, lists=True, ranges=True, stray=stray, kind="find")
    text = _words(asked.sizing, parts, asked.more)
    vary = _vary(asked.sizing, text, asked.tables) if text or not asked.more else {}
    for given, value in asked.more.items():
        if not isinstance(value, str):
            _add_list(asked.sizing, given, value, vary, asked.tables)
    # Values may be those of a bench, whole; what is looked for is looked for.
    rest = {given: value for given, value in asked.values.items() if given not in vary}
    return _look_for(asked.sizing, vary, rest, asked.tables, asked.system)


def _words(sizing, parts, more):
    """Inputs to look for as one text; among them those that were given a range."""
    if isinstance(parts, Mapping):
        call = f'mb.find("{sizing.NAME}", "motor,gearbox", **values)'
        raise BadQuestion(f"What to look for is a text, and inputs are given by name, such as {call}.")
    ranges = [f"{name}={value}" for name, value in more.items() if isinstance(value, str)]
    return ",".join([*([parts] if isinstance(parts, str) else parts), *ranges]).strip(",")


def _add_list(sizing, name, given, vary, tables):
    """Try the values of a list, for one input."""
    field_ = not_supply(sizing, input_named(sizing, name).at(tables), "find")
    if field_.name in vary:
        raise BadQuestion(f"{field_.name} is given twice in {way('find')}; give it once.")
    vary[field_.name] = listed_values(field_, given, tables)


def look(sizing, text, values, tables, system="metric"):
    """Try every part of the kit for the inputs named: "motor,gearbox", or "gearbox,motor=small,large" for some parts
    only; of a number, "length", the ranges that work.
    """
    return _look_for(sizing, _vary(sizing, text, tables), values, tables, system)


def _look_for(sizing, vary, values, tables, system):
    """The same with the inputs to try as a dictionary: name -> values, or None for every part."""
    for name in vary:
        if name in values:
            raise BadQuestion(f"{name} is given and looked for; leave one of them out.")
    numbers = [name for name, some in vary.items() if some is None and not isinstance(sizing.field(name), Pick)]
    if numbers:
        numbers = [name for name in vary if not isinstance(sizing.field(name), Pick)]
    if len(numbers) > 1:
        raise BadQuestion(f"{' and '.join(numbers)} are numbers, but one can be looked for at a time; give the others.")
    if numbers:
        parts = {name: some for name, some in vary.items() if name not in numbers}
        return working.look(sizing, numbers[0], parts, values, tables, system)
    return ranked(sizing, vary, values, tables, system)


def _vary(sizing, text, tables):
    """Names to vary, each with None for every part of the kit or the parts named."""
    vary = {}
    for word in words_apart(sizing, text, tables):
        name, given, part = word.partition("=")
        if given or not vary:
            last = _looked_for(sizing, name)
        elif _is_part(vary, last, word, tables):
            vary[last.name].append(value_of(last, word, tables))
            continue
        else:
            last = _looked_for(sizing, name)
        if given and not isinstance(last, Pick):
            runs = again(sizing, "sweep", f"{last.name}=LOW..HIGH")
            raise BadQuestion(
                f"{last.name} is a number, so {again(sizing, 'find', last.name)} looks through its whole range;"
                f" {runs} runs it through a part of it."
            )
        if last.name in vary:
            raise BadQuestion(f"{last.name} is given twice in {way('find')}; give it once.")
        vary[last.name] = [value_of(last, part, tables)] if given else None
    if not vary:
        raise BadQuestion(
            f"{way('find')} needs inputs to look for, such as"
            f" {', '.join(f.name for f in sizing.FIELDS if isinstance(f, Pick)) or sizing.FIELDS[0].name}."
        )
    return vary


def _looked_for(sizing, name):
    return not_supply(sizing, input_named(sizing, name), "find")


def _is_part(vary, last, word, tables):
    """True where a word after "motor=small" is another part for the same input."""
    return vary[last.name] is not None and (word in last.options(tables) or tables.reads_figures(last.table, word))


# --- showing --------------------------------------------------------------------------------------------------------


def _shown(found):
    """What shows it: the page of a ranking, or that of a number's ranges."""
    return found_page if isinstance(found, Found) else working


def code_of(found):
    """0 where something fits."""
    return _shown(found).code_of(found)


def text_of(found):
    """In letters."""
    return _shown(found).text_of(found)


def html_of(found):
    """The same for a notebook's page."""
    return _shown(found).html_of(found)


def short_of(found):
    """In a few words."""
    return _shown(found).short_of(found)


def data_of(found):
    """As plain data, SI."""
    return _shown(found).data_of(found)
