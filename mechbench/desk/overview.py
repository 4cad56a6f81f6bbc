"""Every sizing with its question and how it stands, and the help of each one; nothing is written twice: all is read
from the sizings' own tables.

Contents: list_text, list_data, several_text, several_data, help_text, help_data, varies, example_lines.
"""

from mechbench import quantity
from mechbench.catalog import NAMES, judge, sizing_of
from mechbench.desk import text_table
from mechbench.desk.answer import instead_lines, verdict_data
from mechbench.desk.arguments import OPTIONS, TYPED, as_typed
from mechbench.desk.command_words import options_lines
from mechbench.desk.pit_questions import QUESTIONS
from mechbench.engine import report_text
from mechbench.engine.inputs import Tables, supplies
from mechbench.engine.opening import as_opened
from mechbench.engine.spec import CHOICE, JOB, Pick, in_game
from mechbench.kits import by_figures, kit

WORDS = 3  # other words that are named
AS_PEOPLE_TYPE = (
    "Other words are taken too, and how a line was read is said. The name of a finding, without a value, is told first."
    " INPUT=? asks for the most or the least that still works; INPUT=ONE vs OTHER puts two designs side by side."
)
DAYS = "Days in 100: on so many days of a season the usual example of that sizing works."
BAD_DAY = "A bad day: old battery, more friction, weaker parts; only 5 of 100 days are worse."
GUESSED = "With ? it rests on numbers that no label gives, so they are guessed: measure them."
EXAMPLES = (
    "arm length=40cm load=0.4kg       what it needs, and whether it works",
    "rope weight=14kg which gear      every gearbox of the kit that works",
    "14 in to mm                      units alone",
)
FEW = 6  # parts that are named in the help
# Spreads of the kit by a fixed amount; the others of these are human steps, in seconds.
UNIT_OF_SPREAD = {"battery_voltage": "V", "battery_resistance": "ohm"}
CODES = (
    "The exit code is 0 where it works, on a bad day too (or where nothing was to be judged); 1 where it does not,"
    " where that is not known, or where nothing fits; 2 where the question can't be answered or a file can't be read or"
    " written: one sentence says why."
)


# --- every sizing ---------------------------------------------------------------------------------------------------


def list_data():
    """Every sizing, run on its usual inputs."""
    return [
        {"name": name, "title": sizing_of(name).TITLE, "question": sizing_of(name).QUESTION, **_how_it_stands(name)}
        for name in NAMES
    ]


def _how_it_stands(name):
    report = judge(name)
    instead = sizing_of(name).instead(kit(), report.values)
    return {
        **({"instead": instead} if instead else {}),
        **verdict_data(report),
    }


def list_text(whole=False):
    """Every sizing with its question, run on its usual inputs, and how to ask one; whole: all options and the questions
    of a pit besides.
    """
    width = max(map(len, NAMES))
    stands = {name: _how_it_stands(name) for name in NAMES}
    sure = not any(one["rests_on"] for one in stands.values())
    lines = text_table.wrapped(" ".join([DAYS, BAD_DAY, "" if sure else GUESSED]).strip(), indent=0)
    lines += ["", f"  {'name':<{width}}  days in 100  question (other words for it)"]
    for name in NAMES:
        days = f"{stands[name]['days_in_100']}{' ?' if stands[name]['rests_on'] else ''}"
        told = f"{name:<{width}}  {days:>11}  {sizing_of(name).QUESTION}{_also(name)}"
        lines += text_table.wrapped(" ".join(filter(None, (told, stands[name].get("instead")))), more=width + 15)
    lines += ["", *(_in_full() if whole else _in_short())]
    return "\n".join(lines)


def several_text(names):
    """Sizings of one word, each with its question and what to type for its help."""
    lines = ["This word means several; ask for the help of one:"]
    for name in names:
        lines += ["", f"  {TYPED} {name} --help", *text_table.wrapped(f"{sizing_of(name).QUESTION}{_also(name)}", 4)]
    return "\n".join(lines)


def several_data(names):
    """The same as plain data."""
    return {
        "sizings": [{"name": one, "title": sizing_of(one).TITLE, "question": sizing_of(one).QUESTION} for one in names]
    }


def _also(name):
    also = sizing_of(name).ALSO[:WORDS]
    return f" ({', '.join(word.replace('_', ' ') for word in also)})" if also else ""


def _examples():
    return ["For example", *(text for line in EXAMPLES for text in text_table.wrapped(f"{TYPED} {line}", more=4))]


def _in_short():
    """Three lines to type, and where more is told."""
    more = (
        ("NAME --help", "what can be given and what is found"),
        ("--help", "all options, and the questions of a pit"),
        ("--ask list", "the questions of a pit"),
    )
    width = max(len(typed) for typed, _ in more)
    told = [text_table.wrapped(f"{TYPED} {typed:<{width}}  {what}", more=4) for typed, what in more]
    return [*_examples(), "", "More", *(line for lines in told for line in lines)]


def _in_full():
    """All options, three lines to type, the questions of a pit, the exit codes."""
    lines = [*options_lines(OPTIONS), "", *_examples(), "", "Asked in a pit"]
    for question in QUESTIONS:
        lines += text_table.wrapped(question.asked, more=2)
        lines += [text for words in question.lines for text in text_table.wrapped(f"{TYPED} {words}", 6, 4)]
    return [*lines, "", *text_table.wrapped(AS_PEOPLE_TYPE, indent=0), *text_table.wrapped(CODES, indent=0)]


# --- the help of one ------------------------------------------------------------------------------------------------


def help_text(sizing, system):
    """What a sizing asks and finds, and lines to type."""
    tables = Tables(sizing)
    lines = [*instead_lines(tables.instead({}))]
    lines += [f"{TYPED} {sizing.NAME} INPUT=VALUE ...", "", sizing.TITLE, *text_table.wrapped(sizing.QUESTION)]
    lines += text_table.wrapped(f"Other words for it: {', '.join(sizing.ALSO)}.") if sizing.ALSO else []
    lines += text_table.wrapped(AS_PEOPLE_TYPE)
    for group, head in ((JOB, "The job asks"), (CHOICE, "You choose")):
        fields = [f for f in in_game(as_opened(sizing, tables), tables.kit) if f.group == group]
        if fields:
            lines += [
                "",
                head,
                *_explained([(f.name, _range(f, tables, system), _told(f)) for f in fields]),
            ]
    own = [f"{one.name}={by_figures.RECORDS[one.name].example}" for one in supplies(sizing)]
    lines += ["", *text_table.wrapped(f"Not the kit's, but your own: {', '.join(own)}.")] if own else []
    lines += ["", "Found", *_explained([(f.name, _asked(sizing, f, system), _told(f)) for f in sizing.FINDINGS])]
    lines += ["", "Different from day to day", *text_table.wrapped(varies(sizing, tables, system))]
    lines += [
        "",
        "For example",
        *(f"  {line}" for line in example_lines(sizing, system)),
        "",
        *options_lines(OPTIONS),
        "",
        *text_table.wrapped(CODES, indent=0),
    ]
    return "\n".join(lines)


def help_data(sizing):
    """What a sizing asks and finds, as plain data."""
    tables = Tables(sizing)
    inputs = [
        (
            {
                "name": f.name,
                "label": f.label,
                "also": list(f.also),
                "help": f.help,
                "parts": list(f.options(tables)),
                "usual": f.default,
            }
            if isinstance(f, Pick)
            else {
                "name": f.name,
                "label": f.label,
                "also": list(f.also),
                "help": f.help,
                "unit": f.unit,
                "low": f.low,
                "high": f.high,
                "usual": f.default,
            }
        )
        for f in as_opened(sizing, tables)
    ]
    findings = [
        {
            "name": f.name,
            "label": f.label,
            "also": list(f.also),
            "help": f.help,
            "unit": f.unit,
            "sense": f.sense,
            "bound": f.bound,
        }
        for f in sizing.FINDINGS
    ]
    return {
        "name": sizing.NAME,
        "also": list(sizing.ALSO),
        "title": sizing.TITLE,
        "question": sizing.QUESTION,
        "inputs": inputs,
        "findings": findings,
    }


def _told(one):
    """What an input or a finding is, and other words for it."""
    also = f" (also: {', '.join(one.also[:WORDS])})" if one.also else ""
    figures = by_figures.example_of(one.table) if isinstance(one, Pick) else ""
    return f"{one.label}: {one.help}{also}" + (f"; or by its figures, such as {figures}" if figures else "")


def _explained(rows):
    """Name and range on a line, and what it is below it."""
    width = max(len(name) for name, _, _ in rows)
    lines = []
    for name, middle, text in rows:
        lines += text_table.wrapped(f"{name:<{width}}  {middle}".rstrip(), more=width + 2)
        lines += text_table.wrapped(text, indent=width + 4)
    return lines


def _range(field, tables, system):
    if isinstance(field, Pick):
        names = field.options(tables)
        listed = ", ".join(names) if len(names) <= FEW else f"{', '.join(names[:3])} … ({len(names)} parts)"
        return f"{listed}; usually {field.default}"
    low, high, usual = (
        quantity.show(field.to_si(number), field.unit, system=system)
        for number in (field.low, field.high, field.default)
    )
    return f"{low} to {high}; usually {usual}"


def _asked(sizing, finding, system):
    if not finding.sense:
        return "for information"
    bound = finding.bound
    if isinstance(bound, str):
        return f"{finding.sense} {report_text.label_of(sizing, bound) if '.' in bound else bound}"
    return f"{finding.sense} {quantity.show(quantity.to_si(bound, finding.unit), finding.unit, system=system)}"


def varies(sizing, tables, system):
    """Which inputs are different from day to day, and by how much, in one sentence."""
    told = []
    for path, name in sizing.SPREADS.items():
        spread, label = tables.kit.spread(name), report_text.label_of(sizing, path)
        if spread.low == spread.high < 0:
            told.append(f"{label} as low as it may be, every day but a good one")
            continue
        unit = "%" if spread.kind == "relative" else UNIT_OF_SPREAD.get(name, "s")
        ends = [quantity.show(end, unit, system=system) for end in (-spread.low, spread.high)]
        told.append(f"{label} {_by(*ends)}")
    return ("; ".join(told) + ".") if told else "Nothing: every day is the same."


def _by(down, up):
    if down == up:
        return f"± {up}"
    ends = [f"{down} less" if not down.startswith("0 ") else "", f"{up} more" if not up.startswith("0 ") else ""]
    return "up to " + " or ".join(filter(None, ends)) if any(ends) else "± 0"


def example_lines(sizing, system):
    """Lines to type, made from the sizing's own inputs; each of them runs."""
    tables = Tables(sizing)
    numbers = [f for f in in_game(as_opened(sizing, tables), tables.kit) if not isinstance(f, Pick)]
    parts = [f for f in sizing.FIELDS if isinstance(f, Pick) and f.table != "counts" and len(f.options(tables)) > 1]
    first = " ".join(f"{f.name}={as_typed(f, _beside(f), system)}" for f in numbers[:2])
    lines = [f"{TYPED} {sizing.NAME} {first}"]
    if numbers:
        low, high = (as_typed(numbers[0], numbers[0].to_si(end), system) for end in _around(numbers[0]))
        lines.append(f"{TYPED} {sizing.NAME} --sweep {numbers[0].name}={low}..{high}")
    if parts:
        lines.append(
            f"{TYPED} {sizing.NAME} --find {','.join(f.name for f in parts[:2] if not f.more) or parts[0].name}"
        )
    return lines


def _beside(field):
    """A value a little beside the usual one, in SI, rounded to what is easily typed."""
    near = field.default * 1.1 if field.default else field.low + 0.1 * (field.high - field.low)
    return field.to_si(_inside(field, near))


def _around(field):
    """Two ends about the usual value, inside the range."""
    reach = abs(field.default) / 2 or 0.3 * (field.high - field.low)
    return _inside(field, field.default - reach), _inside(field, field.default + reach)


def _inside(field, number):
    """A number with two digits, so far inside the range that rounding it in other units can't lead out."""
    edge = 0.02 * (field.high - field.low)
    return float(f"{min(max(number, field.low + edge), field.high - edge):.2g}")
