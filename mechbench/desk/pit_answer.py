"""A question of the pit with its answer: the figures that it asks for first, from every line that it takes, then the
line to type for all the rest.

Contents: Answer, Part, meant, answer_of, look, currents_of, text_of, html_of, data_of, code_of, picture_of, list_text,
list_data.
"""

from dataclasses import dataclass, replace
from html import escape

from mechbench.catalog import sizing_of
from mechbench.desk import answer, asked_first, current_bars, find, record, text_table
from mechbench.desk.arguments import TYPED, BadQuestion, as_typed, input_named, read_line, taken_as, value_of
from mechbench.desk.pit_questions import EVERY, QUESTIONS, Question, number_of, question_meant
from mechbench.desk.spoken import all_of_it, all_questions, pit_again
from mechbench.engine import power_off, report_text
from mechbench.engine.inputs import Tables
from mechbench.wording import quoted

THROUGH = "One input through a range"


@dataclass(frozen=True)
class Part:
    """What one line of a question gives. line: as it can be typed; names: the findings that it is asked for; design:
    one sizing, judged; found: what a search found (design is the best of it), None where the line searches nothing.
    """

    line: str
    names: tuple
    design: record.Design
    found: object = None

    @property
    def sizing(self):
        """The sizing that is asked."""
        return self.design.sizing


@dataclass(frozen=True)
class Answer:
    """A question with what each of its lines gives; more: lines that are not asked here, to be typed; currents: who
    draws what, where the question asks that.
    """

    question: Question
    parts: tuple
    more: tuple
    currents: object
    system: str
    said: tuple = ()  # which sizing takes what was given, where the first one does not, or by another word

    def __repr__(self):
        return text_of(self)


def meant(words):
    """The question that some words mean; refused with the way to the list where they mean no single one."""
    question = question_meant(words)
    if question is None:
        text = words if isinstance(words, str) else " ".join(words)
        raise BadQuestion(
            f"{quoted(text)} means no single question of the pit; {all_questions()} shows all {len(EVERY)}, with their"
            " numbers."
        )
    return question


def answer_of(question, values=None, system="metric"):
    """Text, data and exit code of a question; `values`: inputs by name, as typed or in SI, in place of the usual ones.

    Each goes to every sizing that has such an input.
    """
    found = look(question, values, system)
    return text_of(found), data_of(found), code_of(found)


def look(question, values=None, system="metric", kit=None):
    """Ask every line of a question."""
    lines = [read_line(text.split()) for text in question.lines]
    asked = [line for line in lines if not line.has("--sweep")]
    said = []
    taken = _taken(question, values or {}, kit, said)
    names, parts = dict(question.answers), []
    for line in asked:
        sizing, given = sizing_of(line.name), taken[line.name]
        parts.append(_part(line, sizing, given, names.pop(line.name, ()), system, Tables(sizing, kit)))
    first, more = parts[0], tuple(text for text in question.lines if "--sweep" in text)
    currents = currents_of(question, first.design.report, first.design.tables)
    return Answer(question, tuple(parts), more, currents, system, tuple(said))


def currents_of(question, report, tables):
    """Who draws what, where a question asks that of the robot of a report; else None."""
    return current_bars.asked_for(question.answers.get(report.sizing.NAME, ()), report, tables)


def _taken(question, values, kit, said):
    """Which of the given inputs each sizing of a question takes, by its own name; one that none takes is refused."""
    taken, refused = {name: {} for name in question.answers}, None
    for typed, value in values.items():
        fits = []
        for name in question.answers:
            try:
                fits.append((name, input_named(sizing_of(name), typed)))
            except BadQuestion as wrong:
                refused = refused or wrong
        if not fits:
            raise refused
        if fits[0][0] != question.sizing:
            goes = " and ".join(f"{name}, as {field.name} ({field.label})" for name, field in fits)
            said.append(f"{typed}: goes to {goes}; {question.sizing} has no such input.")
        else:
            said += taken_as(typed, fits[0][1])
        for name, field in fits:
            sizing = sizing_of(name)
            taken[name][field.name] = value_of(field, value, Tables(sizing, kit))
    return taken


def _part(line, sizing, given, names, system, tables):
    own = {input_named(sizing, name).name: text for name, text in line.given.items()}
    values = {name: value_of(input_named(sizing, name), text, tables) for name, text in own.items()} | given
    told = own | {name: as_typed(input_named(sizing, name), value, system) for name, value in given.items()}
    typed = " ".join([sizing.NAME, *(f"{name}={text}" for name, text in told.items())])
    found = None
    if line.has("--find"):
        parts = ",".join(one for one in line.one("--find").split(",") if one not in given)
        if parts:  # else all that it would look for is given
            found = find.look(sizing, parts, values, tables, system)
            typed += f" --find {parts}"
            best = found.best[0] if found.best else found.miss
            values |= best.choice if best else {}
    return Part(typed, names, record.design(sizing, values, tables, system), found)


# --- showing --------------------------------------------------------------------------------------------------------


def code_of(found):
    """0 where all that is asked works, on a bad day too, and every search finds something."""
    codes = [find.code_of(one.found) if one.found else answer.code_of(one.design.report) for one in found.parts]
    return answer.FAILS if answer.FAILS in codes else answer.FITS


def text_of(found):
    """The answer on a page of letters."""
    lines = [*text_table.wrapped(found.question.asked, indent=0), "", *text_table.wrapped(answering(found))]
    for sentence in found.said:
        lines += text_table.wrapped(sentence)
    for one in found.parts:
        lines += ["", *_part_lines(found, one)]
    for text in found.more:
        lines += ["", *text_table.wrapped(f"{THROUGH}: {all_of_it(text)}", more=4)]
    return "\n".join([*lines, "", *text_table.wrapped(_own_numbers(found), more=4)])


def answering(found):
    """The answer in one sentence: what fails first, in the order in which it is asked; on a good day before a bad one.

    Where all works, the first figure.
    """
    asked = [
        (one, told)
        for one in found.parts
        for told in asked_first.figures_of(one.design.report, one.names, found.system)
    ]
    for how, day in ((asked_first.DOES_NOT, "good"), (asked_first.GOOD_DAY_ONLY, "bad")):
        for one, told in asked:
            if told.met == how:
                return _fails(found, one, told, day)
    _, first = asked[0]
    begins = ""
    if any(told.met for _, told in asked):
        known = all(one.design.report.known for one, _ in asked)
        begins = f"All that is asked here works, on a bad day too{'' if known else ', as assumed'}; "
    told = f"{begins}{first.label} is {first.good}{f', on a bad day {first.bad}' if first.bad else ''}."
    return told[0].upper() + told[1:]


def _fails(found, one, told, day):
    """'First to fail, on a bad day: time until the fuse blows is 0.307 s, asked at least 10 s (a drivetrain).'"""
    title = one.sizing.TITLE
    where = f" ({title[0].lower()}{title[1:]})" if _has_head(found, one) else ""
    value = told.bad if day == "bad" and told.bad else told.good
    assumed = "" if told.known else ", as assumed"
    return f"First to fail, on a {day} day: {told.label} is {value}, asked {told.asked}{assumed}{where}."


def _own_numbers(found):
    """How to ask the same with other inputs, by the first of those that matter."""
    name, first = found.question.show[0], found.parts[0].design
    value = as_typed(first.sizing.field(name), first.report.values[name], found.system)
    return f"With your own numbers: {pit_again(number_of(found.question), name, value)}"


def _part_lines(found, one):
    report = one.design.report
    lines = [f"  {one.sizing.TITLE}"] if _has_head(found, one) else []
    lines += [*answer.instead_lines(one.design.instead), *(_best(one) if one.found else [])]
    lines += asked_first.lines_of(report, one.names, found.system)
    if found.currents and one is found.parts[0]:
        lines += ["", *current_bars.lines_of(found.currents), ""]
    for sentence in _said(one, found.system):
        lines += text_table.wrapped(sentence)
    return [*lines, *_to_type(one.line)]


def _has_head(found, one):
    """Whether a line's title is told: where another sizing is asked before or after it."""
    before = found.parts[found.parts.index(one) - 1] if one is not found.parts[0] else None
    several = len({part.sizing for part in found.parts}) > 1
    return several and (before is None or before.sizing is not one.sizing)


def _best(one):
    """What a search found, in the words of the parts."""
    return text_table.wrapped(_best_sentence(one), more=2)


def _best_sentence(one):
    # Ratios beside the best are told where a ratio was looked for.
    beside = {head: near for head, near in one.found.beside.items() if set(near.choice) <= set(one.found.names)}
    told = find.short_of(replace(one.found, beside=beside))
    labels = [f.label[0].lower() + f.label[1:] for f in one.sizing.FIELDS if f.name in one.found.names]
    return f"Of all in the kit ({', '.join(labels)}), {told}."


def _said(one, system):
    """The verdict, and what is told beside it."""
    report = one.design.report
    said = report_text.verdict(report, system), one.design.note, power_off.sentence(report, system)
    return [sentence for sentence in said if sentence]


def _to_type(text):
    return text_table.wrapped(f"All of it: {all_of_it(text)}", more=4)


def html_of(found):
    """The answer on a notebook's page, without the chart, in two: of its first line, and of the others."""
    first, *others = (_part_html(found, one) for one in found.parts)
    said = "".join(f"<div class='mb-said'>{escape(sentence)}</div>" for sentence in found.said)
    first = f"<div class='mb-what'><b>{escape(answering(found))}</b></div>{said}{first}"
    more = "".join(f"<div class='mb-said'>{_line_html(text, THROUGH)}</div>" for text in found.more)
    rest = "".join(others) + more
    return tuple(f"{asked_first.STYLE}<div class='mb-asked'>{one}</div>" if one else "" for one in (first, rest))


def _part_html(found, one):
    head = f"<div class='mb-head'>{escape(one.sizing.TITLE)}</div>" if _has_head(found, one) else ""
    names = tuple(name for name in one.names if not (found.currents and name in current_bars.CHARTED))
    best = f"<div class='mb-what'>{escape(_best_sentence(one))}</div>" if one.found else ""
    figures = asked_first.html_of(one.design.report, names, found.system)
    said = [sentence for sentence in (one.design.instead, *_said(one, found.system)) if sentence]
    sentences = "".join(f"<div class='mb-said'>{escape(sentence)}</div>" for sentence in said)
    return f"{head}{best}{figures}{sentences}<div class='mb-said'>{_line_html(one.line)}</div>"


def _line_html(text, head="All of it"):
    return f"{head}: <code>{escape(all_of_it(text))}</code>"


def data_of(found):
    """The answer as plain data: the figures that are asked for first, then each line with its record or its search."""
    asked = [one for part in found.parts for one in asked_first.data_of(part.design.report, part.names, record.number)]
    return {
        "asked_for": asked,
        "question": found.question.asked,
        "lines": [
            {"typed": one.line}
            | ({"search": find.data_of(one.found)} if one.found else {"record": record.data_of(one.design)})
            for one in found.parts
        ],
        **({"currents": current_bars.data_of(found.currents)} if found.currents else {}),
    }


def picture_of(found):
    """The picture as PNG: who draws what where the question asks that, else the machine of its first line."""
    if found.currents:
        from mechbench.desk import current_chart

        return current_chart.png(found.currents)
    from mechbench.desk import pictures

    return pictures.machine(found.parts[0].design)


def list_text():
    """All questions with their numbers."""
    lines = [f"{TYPED} --ask NUMBER, or some words of the question:", ""]
    for number, question in enumerate(EVERY, 1):
        if number == len(QUESTIONS) + 1:
            lines.append("")
        lines += text_table.wrapped(f"{number:>2}  {question.asked}", more=4)
    return "\n".join(lines)


def list_data():
    """The same as plain data."""
    return [{"number": number, "asked": one.asked, "typed": list(one.lines)} for number, one in enumerate(EVERY, 1)]
