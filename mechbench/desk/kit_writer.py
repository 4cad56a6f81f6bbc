"""The two files of a new kit, with a comment on every key; what was left out stands there as a line with a mark # in
front, to be filled in later.

Contents: texts; bare, without comments.
"""

from mechbench.desk import kit_outline as outline
from mechbench.desk.kit_examples import example, help_line
from mechbench.kits.read import example_line
from mechbench.kits.schema import FILES, SHAPES
from mechbench.kits.toml_text import toml

HEAD = {
    "game.toml": "# The game.",
    "parts.toml": "# The kit of parts. A table that is left out is the course's own, and its labels say so.",
}
HOW = (
    '# A number with a unit is text: "72 mm". A plain count or ratio is a number: 54. A line with # in front does not\n'
    "# count: take the # away to use it. python3 -m mechbench kit check FOLDER tells what is wrong or odd.\n"
)
WIDTH = 46  # of a line up to its comment


def texts(tables):
    """File -> its text, of tables as a TOML file would hold them."""
    return {file: _file(file, tables) for file in FILES}


def bare(tables):
    """File -> its text without comments, to be read at once."""
    return {
        file: "\n".join(_bare(table, tables[table]) for table in tables if SHAPES[table].file == file) for file in FILES
    }


def _bare(table, content):
    own = [f"{key} = {toml(value)}" for key, value in content.items() if not isinstance(value, dict)]
    entries = {f"{table}.{name}": values for name, values in content.items() if isinstance(values, dict)}
    lines = [
        f"[{name}]\n" + "\n".join(f"{key} = {toml(one)}" for key, one in values.items())
        for name, values in entries.items()
    ]
    return "\n".join([f"[{table}]", *own, *lines]) + "\n"


def _file(file, tables):
    blocks = [f"{HEAD[file]}\n{HOW}"]
    blocks += [_table(table, tables) for table in outline.ALL if SHAPES[table].file == file]
    return "\n".join(blocks)


def _table(table, tables):
    shape, content, told = SHAPES[table], tables.get(table, {}), set()
    lines = [f"# --- {outline.ALL[table].about}.", *_meanings(shape)]
    if shape.single:
        lines += _entry(table, f"[{table}]", content, tables, told, marked=not content)
    entries = {} if shape.single else {name: one for name, one in content.items() if isinstance(one, dict)}
    if len(entries) > 1:
        lines += [f"[{table}]", _usual(content.get("usual"), next(iter(entries))), ""]
    for name, values in entries.items():
        lines += [*_entry(table, f"[{table}.{name}]", values, tables, told, marked=False), ""]
    if not entries and not shape.single:
        lines += _entry(table, f"[{table}.{_some_name(table)}]", {}, tables, told, marked=True)
    return "\n".join(lines).rstrip("\n") + "\n"


def _meanings(shape):
    """What each word means that may be chosen, as comments above the entries."""
    for key, entry in shape.entries.items():
        if entry.means:
            yield f"# {key}:"
            yield from (f"#   {one}: {means}" for one, means in zip(entry.choices, entry.means))


def _usual(given, first):
    return _line(f"usual = {toml(given or first)}", "which one a lesson shows first", marked=not given)


def _some_name(table):
    """A name for an entry that nobody has named yet."""
    shape = SHAPES[table]
    return next(iter((*shape.may_have, *shape.must_have)), outline.ALL[table].one.split()[-1])


def _entry(table, head, values, tables, told, marked):
    """One entry: what was given, and the rest as lines with a mark."""
    shape = SHAPES[table]
    kind = values.get(shape.by) or (shape.entries[shape.by].choices[0] if shape.by else "")
    lines = [f"# {head}" if marked else head]
    for key, entry in shape.entries.items():
        if key in values or entry.belongs(kind):
            remark = "" if key in told else help_line(entry)
            line = f"{key} = {toml(values[key])}" if key in values else _for_example(table, key, kind, tables)
            lines.append(_line(line, remark, marked=key not in values))
            told.add(key)
    return lines


def _for_example(table, key, kind, tables):
    """A line for what was left out, with an example; of what names an entry, one that this kit has."""
    entry = SHAPES[table].entries[key]
    given = kind if key == SHAPES[table].by else example(table, key, kind)
    here = [name for one in entry.names.split() for name in list(tables.get(one, {}))[:1]]
    if entry.names and len(here) == len(entry.names.split()):
        given = here if entry.many else here[0]
    return example_line(key, entry) if given is None else f"{key} = {toml(given)}"


def _line(line, remark, marked):
    line = f"{'# ' if marked else ''}{line}"
    return f"{line:<{WIDTH}}  # {remark}" if remark else line
