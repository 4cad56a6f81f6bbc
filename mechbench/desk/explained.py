"""The inputs and findings of a sizing as two tables, for notebooks: names, units, ranges, and what is usual.

Contents: inputs, explained.
"""

from mechbench import quantity
from mechbench.desk import page_table, text_table
from mechbench.desk.called import called
from mechbench.desk.overview import FEW, help_data
from mechbench.desk.rich_text import Page
from mechbench.engine import report_text
from mechbench.engine.inputs import supplies
from mechbench.engine.judge import judge_with
from mechbench.engine.spec import Pick
from mechbench.kits import by_figures

PLAIN = "A number without a unit is in SI units: 0.4 is 0.4 m, not 0.4 mm. A text with a unit is safer: '400 mm'."
OF_INPUTS = ("input", "range", "usual", "what it is")
OF_FINDINGS = ("finding", "unit", "asked", "what it is")


def inputs(name="", system=None, units=None):
    """What mb.size and its like can be given, and what they find: mb.inputs("arm"). system : "metric" or "us"."""
    asked = called(name, system=system or units)
    return explained(judge_with(asked.sizing, {}, asked.tables), asked.system)


def explained(report, system="metric"):
    """The same of the sizing of a report, which has the bounds of its findings."""
    sizing = report.sizing
    data = help_data(sizing)
    rows_in = [OF_INPUTS, *(_input(sizing, one, system) for one in data["inputs"]), *map(_supply, supplies(sizing))]
    rows_out = [OF_FINDINGS, *(_finding(report, f, system) for f in sizing.FINDINGS)]
    example = f'For example mb.size("{sizing.NAME}", {_example(sizing, data, system)}).'
    told = [sentence for sentence in (sizing.QUESTION, example, PLAIN, _own(sizing)) if sentence]
    lines = [sizing.TITLE, *(line for sentence in told for line in text_table.wrapped(sentence))]
    lines += ["", *_as_text(rows_in, "usually "), "", *_as_text(rows_out)]
    page = [page_table.sentence(told[0], f"{sizing.TITLE}."), *map(page_table.sentence, told[1:])]
    return Page("".join([*page, page_table.table(rows_in), page_table.table(rows_out)]), "\n".join(lines))


def _as_text(rows, before=""):
    """Name and numbers on a line, a word before the second number, and what it is below it."""
    width = max(len(name) for name, *_ in rows)
    for number, (name, first, second, what) in enumerate(rows):
        told = "; ".join(filter(None, (first, f"{before if number else ''}{second}" if second else "")))
        yield from text_table.wrapped(f"{name:<{width}}  {told}", more=width + 2)
        yield from text_table.wrapped(what, indent=width + 4)


def _input(sizing, one, system):
    what = f"{one['label']}: {one['help']}"
    if "parts" in one:
        return (one["name"], _listed(one["parts"]), str(one["usual"]), what)
    low, high, usual = (_shown(sizing, one, one[end], system) for end in ("low", "high", "usual"))
    return (one["name"], f"{low} to {high}", usual, what)


def _supply(one):
    return (one.name, "", "the kit's", f"{one.label}: {one.help}; {by_figures.figures_taken(one.name)}")


def _own(sizing):
    """How a part of one's own is given; empty where none of this sizing can be."""
    picks = [f for f in sizing.FIELDS if isinstance(f, Pick) and by_figures.example_of(f.table)]
    such = [(f.name, by_figures.example_of(f.table)) for f in picks]
    such += [(one.name, by_figures.RECORDS[one.name].example) for one in supplies(sizing)]
    told = ", ".join(f'{name}="{example}"' for name, example in such)
    return f"Not the kit's, but your own, by its figures: {told}." if told else ""


def _listed(parts):
    return ", ".join(parts) if len(parts) <= FEW else f"{', '.join(parts[:3])} … ({len(parts)} parts)"


def _shown(sizing, one, number, system):
    return quantity.show(sizing.field(one["name"]).to_si(number), one["unit"], system=system)


def _finding(report, finding, system):
    asked = report_text.asked(report, finding, system)
    if any(f.name == finding.bound for f in report.sizing.FIELDS):
        asked += f" ({finding.bound})"  # the input that says how much
    return (finding.name, quantity.in_system(finding.unit, system), asked, f"{finding.label}: {finding.help}")


def _example(sizing, data, system):
    one = next((one for one in data["inputs"] if "low" in one), data["inputs"][0])
    usual = _shown(sizing, one, one["usual"], system) if "low" in one else one["usual"]
    return f'{one["name"]}="{usual}"'
