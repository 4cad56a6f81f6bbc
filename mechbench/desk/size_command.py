"""The command `size`: every sizing listed, or one of them asked in one line.

Contents: command.

A line asks for one kind of answer, so each kind is loaded only where it is asked for.
"""

import json
import os
from dataclasses import replace

from mechbench.catalog import sizing_of
from mechbench.desk import answer, asked_first, record, text_table, which_sizing
from mechbench.desk.arguments import OPTIONS, BadQuestion, Line, finding_named, path_named, values_of
from mechbench.desk.command_words import answered, read_words
from mechbench.desk.safe_write import write_new
from mechbench.desk.tokens import Given, tokens
from mechbench.engine.inputs import complete
from mechbench.wording import quoted

ALONE = ("--find", "--most", "--least", "--sweep", "--against", "--first", "--reopen")  # kinds: one at a time


def command(arguments):
    """Answer one line typed after `size`; give the exit code: 0 works, 1 does not, 2 can't be answered."""
    return answered(_print_answer, arguments)


def _print_answer(arguments):
    options, words = read_words(arguments, OPTIONS)
    line = Line(options=options)
    text, data, code = _converted(words) or _answer(line, tokens(words))
    print(json.dumps(data, indent=1) if line.has("--json") else text, flush=True)
    return code


def _converted(words):
    """The answer to `14 in to mm`, with or without the word convert before it; None where no such thing is asked."""
    words = " ".join(words).split()
    first = words[0] if words else ""
    if first != "convert" and not first.lstrip("+-.")[:1].isdigit():
        return None
    from mechbench.desk import convert_units

    if first != "convert" and not convert_units.looks_like(words):
        return None
    found = convert_units.read(words[first == "convert" :])
    return convert_units.text_of(found), convert_units.data_of(found), answer.FITS


def _answer(line, found):
    """Text, data and exit code for a line: its options, and its tokens."""
    system = _system(line)
    if line.has("--reopen"):
        return _reopened(line, found, system)
    if line.has("--ask"):
        return _asked(line, found, system)
    if line.has("--against") and not line.has("--help"):
        return _compared(line, found, system)
    if not found and not set(line.options) - {"--help", "--us", "--metric", "--json"}:
        from mechbench.desk import overview

        return (
            overview.list_text(line.has("--help")),
            {"sizings": overview.list_data() if line.has("--json") else []},
            answer.FITS,
        )
    if line.has("--help"):
        from mechbench.desk import overview

        names = which_sizing.sizings_named(found)
        if len(names) > 1:
            return overview.several_text(names), overview.several_data(names), answer.FITS
        sizing = sizing_of(names[0])
        return overview.help_text(sizing, system), overview.help_data(sizing), answer.FITS
    meant, tables = which_sizing.read(found, line.options)
    line.options |= meant.options
    kind = _kind(line)
    values = values_of(meant.sizing, meant.given, tables)
    if not kind:
        return _judged(line, meant, values, tables, system)
    answers = {
        "--find": _found,
        "--most": _most,
        "--least": _least,
        "--sweep": _swept,
        "--against": _side_by_side,
        "--first": _first,
    }
    text, data, code = answers[kind](line, meant.sizing, values, tables, system)
    return _with_said(meant, tables, text, data, code)


def _with_said(meant, tables, text, data, code):
    """How the line was read before the answer, and below it what was filled in for parts that were given by figures."""
    wrapped = lambda said: [line for one in said for line in text_table.wrapped(one)]
    above, below = wrapped([*meant.said, *tables.first]), wrapped(tables.said)
    text = "\n".join([*above, *[""] * bool(above), text, *[""] * bool(below), *below])
    said = [*meant.said, *tables.first, *tables.said]
    return text, {**data, **({"said": said} if said else {})}, code


def _kind(line):
    """The kind of answer that is asked for, empty for the usual one."""
    kinds = [option for option in ALONE if line.has(option)]
    if len(kinds) > 1:
        raise BadQuestion(f"{kinds[0]} and {kinds[1]} can't be asked together; ask one after the other.")
    return kinds[0] if kinds else ""


def _system(line):
    if line.has("--us") and line.has("--metric"):
        raise BadQuestion("--us and --metric contradict each other; give one of them.")
    chosen = "us" if line.has("--us") else "metric" if line.has("--metric") else os.environ.get("MECHBENCH_UNITS", "")
    if chosen not in ("us", "metric", ""):
        raise BadQuestion(f"The setting MECHBENCH_UNITS is {quoted(chosen)}, but it must be metric or us; correct it.")
    return chosen or "metric"


def _judged(line, meant, values, tables, system):
    """One sizing; with its record and picture where they are asked for."""
    _refuse(line, ("--steps",), "--sweep")
    measured = _measured(line, meant.sizing)
    design = record.design(meant.sizing, values, tables, system, measured, meant.focus, meant.said)
    beside = asked_first.beside_typed(design.report, meant.beside, system)
    design = replace(design, said=(*beside, *design.said))
    text, data = answer.text_of(design, values), record.data_of(design)
    return _with_files(line, design, text, data), data, answer.code_of(design.report)


def _with_files(line, design, text, data):
    """Write what is to be written, and say so below the text."""
    if line.has("--picture"):
        from mechbench.desk import pictures

        text += f"\n\nThe picture is {_save(line, pictures.machine(design))}."
    if line.has("--record"):
        text += f"\n\nThe record is {record.write(design, path_named(line.one('--record')))}."
    return text


def _measured(line, sizing):
    given = {}
    for text in line.options.get("--measured", []):
        name, equals, value = text.partition("=")
        if not equals:
            raise BadQuestion(
                f"--measured {quoted(text)} has no '='; write FINDING=VALUE, such as {sizing.FINDINGS[0].name}=..."
            )
        given[finding_named(sizing, name).name] = value
    if given and not (line.has("--record") or line.has("--json")):
        raise BadQuestion("--measured belongs in a record; add --record FILE.html.")
    return record.measured_values(sizing, given)


def _refuse(line, options, wants):
    for option in options:
        if line.has(option):
            raise BadQuestion(f"{option} goes with {wants} only; leave it out, or add {wants}.")


def _save(line, png):
    return write_new(path_named(line.one("--picture"), (".png",)), png)


def _found(line, sizing, values, tables, system):
    from mechbench.desk import find

    _refuse(line, ("--steps",), "--sweep")
    _refuse_files(line, ("--record", "--measured", "--picture"), "--find")
    found = find.look(sizing, line.one("--find"), values, tables, system)
    return find.text_of(found), find.data_of(found), find.code_of(found)


def _asked(line, found, system):
    """A question of the pit, by its words or its number."""
    from mechbench.desk import pit_answer

    others = [option for option in line.options if option not in ("--ask", "--json", "--us", "--metric", "--picture")]
    if others:
        raise BadQuestion(f"--ask and {others[0]} can't be asked together; ask one after the other.")
    words = " ".join(filter(None, (line.one("--ask"), *(one.text for one in found if not isinstance(one, Given)))))
    if words.strip().lower() == "list":
        return pit_answer.list_text(), {"questions": pit_answer.list_data()}, answer.FITS
    given = {one.name: one.values[-1] for one in found if isinstance(one, Given)}
    found = pit_answer.look(pit_answer.meant(words), given, system)
    text = pit_answer.text_of(found)
    if line.has("--picture"):
        text += f"\n\nThe picture is {_save(line, pit_answer.picture_of(found))}."
    return text, pit_answer.data_of(found), pit_answer.code_of(found)


def _most(line, sizing, values, tables, system, way="most"):
    from mechbench.desk import most

    _refuse(line, ("--steps",), "--sweep")
    _refuse_files(line, ("--record", "--measured", "--picture"), f"--{way}")
    turned = most.look(sizing, way, line.one(f"--{way}"), values, tables, system)
    return most.text_of(turned), most.data_of(turned), most.code_of(turned)


def _least(line, sizing, values, tables, system):
    return _most(line, sizing, values, tables, system, "least")


def _swept(line, sizing, values, tables, system):
    from mechbench.desk import sweep

    _refuse_files(line, ("--record", "--measured"), "--sweep")
    swept = sweep.read_sweep(sizing, line.one("--sweep"), line.one("--steps"), values, tables, system)
    text = sweep.text_of(swept)
    if line.has("--picture"):
        from mechbench.desk import pictures

        text += f"\n\nThe picture is {_save(line, pictures.sweep(swept))}."
    return text, sweep.data_of(swept), sweep.code_of(swept)


def _side_by_side(line, sizing, values, tables, system):
    """Designs of inputs that were given more than once."""
    from mechbench.desk import against

    _refuse(line, ("--steps",), "--sweep")
    _refuse_files(line, ("--record", "--measured"), "--against")
    return _compared_answer(line, against.look(sizing, line.options["--against"], values, tables, system))


def _compared(line, found, system):
    """Designs side by side: of inputs that vary, of records, or of records beside what the line gives."""
    from mechbench.desk import against

    _kind(line)
    _refuse(line, ("--steps",), "--sweep")
    _refuse_files(line, ("--record", "--measured"), "--against")
    asked = line.options["--against"]
    texts = [text for text in asked if not against.is_file(text)]
    files = [text for text in asked if against.is_file(text)]
    named = [one for one in found if not isinstance(one, Given) and against.is_file(one.text)]
    files += [one.text for one in named]  # size --against a.html b.html
    rest = [one for one in found if one not in named]
    if not (texts or rest):
        return _compared_answer(line, against.beside(against.opened(files, system)))
    meant, tables = which_sizing.read(rest, line.options)
    made = against.made(meant.sizing, texts, values_of(meant.sizing, meant.given, tables), tables, system)
    answered_by = _compared_answer(line, against.beside(against.opened(files, system), made))
    return _with_said(meant, tables, *answered_by)


def _compared_answer(line, found):
    from mechbench.desk import against

    text = against.text_of(found)
    if line.has("--picture"):
        text += f"\n\nThe picture is {_save(line, found.png())}."
    return text, against.data_of(found), against.code_of(found)


def _first(line, sizing, values, tables, system):
    _refuse(line, ("--steps",), "--sweep")
    _refuse_files(line, ("--record", "--measured", "--picture"), "--first")
    values = complete(sizing, values, tables)
    robot = sizing.machine(values, tables)
    if robot is None:
        raise BadQuestion(f"--first asks which part of a whole robot, but {sizing.NAME} is one mechanism; use --find.")
    from mechbench.desk import first_change

    found = first_change.look(robot, values.get("points_wanted"))
    return first_change.text_of(found, system), first_change.data_of(found), answer.FITS


def _refuse_files(line, options, kind):
    for option in options:
        if line.has(option):
            raise BadQuestion(
                f"{option} does not go with {kind}; ask for the one design that you choose, then record that."
            )


def _reopened(line, found, system):
    from mechbench.desk import reopen

    if found:
        raise BadQuestion("--reopen needs no sizing and no inputs: the record holds them; leave them out.")
    others = [option for option in line.options if option not in ("--reopen", "--json", "--us", "--metric")]
    if others:
        raise BadQuestion(f"--reopen and {others[0]} can't be asked together; ask one after the other.")
    found = reopen.reopen(path_named(line.one("--reopen")))
    if line.has("--us") or line.has("--metric"):
        found = reopen.shown_in(found, system)
    return reopen.text_of(found), reopen.data_of_reopened(found), reopen.code_of(found)
