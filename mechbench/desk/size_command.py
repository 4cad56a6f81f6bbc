"""The command `size`: every sizing listed, or one of them asked in one line.

Contents: command.

A line asks for one kind of answer, so each kind is loaded only where it is asked for.
"""

import json
import os

from mechbench.catalog import NAMES, sizing_of
from mechbench.desk import answer, record
from mechbench.desk.arguments import BadQuestion, answered, finding_named, path_named, read_line, values_of
from mechbench.desk.safe_write import write_new
from mechbench.engine.inputs import Tables, complete
from mechbench.wording import quoted

ALONE = ("--find", "--sweep", "--against", "--first", "--reopen")  # kinds of answer: one at a time


def command(arguments):
    """Answer one line typed after `size`; give the exit code: 0 works, 1 does not, 2 can't be answered."""
    return answered(_print_answer, arguments)


def _print_answer(arguments):
    line = read_line(arguments)
    text, data, code = _answer(line)
    print(json.dumps(data, indent=1) if line.has("--json") else text, flush=True)
    return code


def _answer(line):
    """Text, data and exit code for a line."""
    system = _system(line)
    if line.has("--reopen"):
        return _reopened(line, system)
    if line.has("--against") and not line.has("--help"):
        return _compared(line, system)
    if not line.name and not line.given and not set(line.options) - {"--help", "--us", "--metric", "--json"}:
        from mechbench.desk import overview

        return overview.list_text(), {"sizings": overview.list_data() if line.has("--json") else []}, answer.FITS
    sizing = _sizing(line)
    if line.has("--help"):
        from mechbench.desk import overview

        return overview.help_text(sizing, system), overview.help_data(sizing), answer.FITS
    kind = _kind(line)
    tables = Tables(sizing)
    values = values_of(sizing, line.given, tables)
    answers = {"--find": _found, "--sweep": _swept, "--first": _first}
    return answers.get(kind, _judged)(line, sizing, values, tables, system)


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


def _sizing(line):
    if not line.name:
        raise BadQuestion(f"No sizing is named; begin with one of {', '.join(NAMES)}.")
    low = line.name.strip().lower()
    begun = [name for name in NAMES if name == low] or [name for name in NAMES if low and name.startswith(low)]
    if len(begun) > 1:
        raise BadQuestion(f"{quoted(line.name)} can be {' or '.join(begun)}; write more of it.")
    return sizing_of(begun[0] if begun else line.name)


def _judged(line, sizing, values, tables, system):
    """One sizing; with its record and picture where they are asked for."""
    _refuse(line, ("--steps",), "--sweep")
    design = record.design(sizing, values, tables, system, _measured(line, sizing))
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


def _swept(line, sizing, values, tables, system):
    from mechbench.desk import sweep

    _refuse_files(line, ("--record", "--measured"), "--sweep")
    swept = sweep.read_sweep(sizing, line.one("--sweep"), line.one("--steps"), values, tables, system)
    text = sweep.text_of(swept)
    if line.has("--picture"):
        from mechbench.desk import pictures

        text += f"\n\nThe picture is {_save(line, pictures.sweep(swept))}."
    return text, sweep.data_of(swept), sweep.code_of(swept)


def _compared(line, system):
    """Designs side by side: of inputs that vary, of records, or of records beside what the line gives."""
    from mechbench.desk import against

    _kind(line)
    _refuse(line, ("--steps",), "--sweep")
    _refuse_files(line, ("--record", "--measured"), "--against")
    asked = line.options["--against"]
    texts = [text for text in asked if not against.is_file(text)]
    files = [text for text in asked if against.is_file(text)]
    if against.is_file(line.name):  # size --against a.html b.html
        files.append(line.name)
        line.name = ""
    made = None
    if texts or line.name or line.given:
        sizing = _sizing(line)
        tables = Tables(sizing)
        made = against.made(sizing, texts, values_of(sizing, line.given, tables), tables, system)
    found = against.beside(against.opened(files, system), made)
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


def _reopened(line, system):
    from mechbench.desk import reopen

    if line.name or line.given:
        raise BadQuestion("--reopen needs no sizing and no inputs: the record holds them; leave them out.")
    others = [option for option in line.options if option not in ("--reopen", "--json", "--us", "--metric")]
    if others:
        raise BadQuestion(f"--reopen and {others[0]} can't be asked together; ask one after the other.")
    found = reopen.reopen(path_named(line.one("--reopen")))
    if line.has("--us") or line.has("--metric"):
        found = reopen.shown_in(found, system)
    return reopen.text_of(found), reopen.data_of_reopened(found), reopen.code_of(found)
