"""The command `kit new FOLDER`: a kit made step by step, one question at a time; what was answered is kept at once.

Contents: by_questions (the dialogue), by_sheets (tables from a spreadsheet), finish (the files), Answers (what is
kept), KEPT_IN.
"""

import json
import re
import sys
import tempfile
from pathlib import Path

from mechbench.command_line import typed
from mechbench.desk import kit_outline as outline
from mechbench.desk.kit_examples import bounds, example, help_line
from mechbench.desk.kit_questions import MORE, NO, NONE, YES, answered, first_open, made, read_answer, to_come
from mechbench.desk.kit_sheets import PLACE, in_sheets
from mechbench.desk.kit_writer import texts
from mechbench.desk.safe_write import write_new, write_over
from mechbench.kits.faults import KitError
from mechbench.kits.load import look
from mechbench.kits.read import GAME_FILE
from mechbench.kits.schema import FILES, MAY_BE_EMPTY, SHAPES
from mechbench.quantity import units_of
from mechbench.wording import listed

KEPT_IN = "kit-answers.json"
HELP, BACK, STOP, KEEP = ("?", "help"), ("back", "b"), ("stop", "quit", "exit"), "keep"
WELCOME = (
    "One question at a time. What you answer is kept at once. An empty answer skips what may be skipped.\n"
    "  ? tells more, back goes one question back, stop leaves. Numbers carry their unit: 72 mm, 16 V."
)


class Answers:
    """The answers of one folder, by question; each is written down before the next question is asked."""

    def __init__(self, folder):
        self.folder, self.path = Path(folder), Path(folder, KEPT_IN)
        _refuse_foreign(self.folder)
        self.texts = self._read() if self.path.exists() else {}

    def _read(self):
        try:
            kept = json.loads(self.path.read_text(encoding="utf-8"))
            return {str(key): str(text) for key, text in kept["answers"].items()}
        except (ValueError, KeyError, TypeError, AttributeError):
            raise KitError(
                f"{self.path} is damaged: give it another name, and begin again; what it holds can be read with an"
                " editor."
            ) from None

    def take(self, id, text):
        """Keep one answer, as the last one."""
        self.texts.pop(id, None)
        self.texts[id] = text
        self._keep()

    def take_back(self):
        """Forget the last answer; give its question's id, "" where there is none."""
        if not self.texts:
            return ""
        id, _ = self.texts.popitem()
        self._keep()
        return id

    def _keep(self):
        self.folder.mkdir(parents=True, exist_ok=True)
        write_over(self.path, json.dumps({"answers": self.texts}, ensure_ascii=False, indent=0))


def _refuse_foreign(folder):
    """Refuse a folder that holds a kit already: nothing of it is ever written over."""
    way_out = f"choose a new folder, or change its files with an editor and type {typed()} kit check {folder}."
    if folder.exists() and not folder.is_dir():
        raise KitError(f"{folder} is a file; choose a new folder.")
    if (folder / GAME_FILE).exists():
        made_here = "the kit that was made here" if (folder / KEPT_IN).exists() else "a kit"
        raise KitError(f"{folder} already holds {made_here}, and nothing of it is written over; {way_out}")
    for file in FILES:
        if (folder / file).exists() and not (folder / KEPT_IN).exists():
            raise KitError(f"{folder} already holds {file}, and nothing of it is written over; {way_out}")


# --- the dialogue ---------------------------------------------------------------------------------------------------


class _Left(Exception):
    """Whoever was asked has left."""


def by_questions(folder):
    """Ask, from where one stopped, until all is answered, and write the files; give whether it came to that."""
    answers = Answers(folder)
    if sys.stdin:
        sys.stdin.reconfigure(errors="replace")  # a terminal may send what it can't say itself
    print("This goes on where you stopped." if answers.texts else f"A new kit in {folder}.\n" + WELCOME)
    try:
        _Dialogue(answers).run()
    except (_Left, EOFError, KeyboardInterrupt):
        print(f"\nKept: {len(answers.texts)} answers in {answers.path}. Go on with: {typed()} kit new {folder}")
        return False
    finish(answers.folder, made(answers.texts).tables)
    return True


class _Dialogue:
    """Questions in order; first those whose answers were found to be wrong together with others."""

    def __init__(self, answers):
        self.answers, self.table, self.kept = answers, "", set()
        self.seen = None  # the open entry at which the rest was looked at last

    def run(self):
        """Until every question has an answer that the kit's reader takes, or that was kept all the same."""
        while True:
            question = first_open(self.answers.texts)
            self._settle(self._wrong(question))
            if first_open(self.answers.texts) == question:
                if question is None:
                    return
                self._ask(question)

    def _wrong(self, open_question):
        """What is wrong with the entries that are complete: (question, its sentences), the first one; None if none."""
        at = open_question and (open_question.table, open_question.number)
        if at == self.seen and at:
            return None
        self.seen, done = at, made(self.answers.texts)
        sentences = [one for one in faults_of(done.tables, to_come(open_question)) if one not in self.kept]
        told = list(answered(self.answers.texts))
        asked = [one for one in told if one.entry and self.answers.texts[one.id]]
        of_game = [one for one in told if one.table in outline.GAME_FIRST]
        for sentence in sentences:
            question = _concerned(sentence, asked, done)
            if not question and not to_come(open_question):  # of the whole game, such as that nothing scores
                question = of_game[-1]
            if question and (question.table, question.number) != at:
                return question, sentence
        return None

    def _settle(self, wrong):
        """Ask again what does not fit the rest; the answer may be kept as it is."""
        if not wrong:
            return
        self.seen, (question, sentence) = None, wrong
        print(f"  ! {sentence}\n    Answer it again, or type {KEEP} to leave it and mend it later in the file.")
        if self._ask(question, may_keep=True) == KEEP:
            self.kept.add(sentence)

    def _ask(self, question, may_keep=False):
        """Ask one question until its answer is good; what was typed is taken."""
        if question.table != self.table:
            self.table = question.table
            print(f"\n{_title(question)}")
        print(_asked(question, made(self.answers.texts).labels(question.entry)))
        while True:
            text = " ".join(input("> ").split())
            word = text.lower()
            if word in STOP:
                raise _Left
            if word in HELP:
                print(_more_help(question, self.answers.texts))
            elif word in BACK:
                if self.answers.take_back():
                    return BACK
                print("  This is the first question.")
            elif may_keep and word == KEEP:
                return KEEP
            elif self._good(question, text):
                return text

    def _good(self, question, text):
        """Take an answer if it is one; else say what is wrong with it."""
        try:
            taken = _checked(question, text, self.answers.texts)
        except KitError as error:
            print(f"  ! {error.faults[0]}")
            return False
        self.answers.take(question.id, taken)
        return True


def faults_of(tables, to_come=()):
    """What the kit's reader says is wrong with these tables, as two files of a folder."""
    with tempfile.TemporaryDirectory(prefix="mechbench-kit-") as scratch:
        for file, text in texts(tables).items():
            Path(scratch, file).write_text(text, encoding="utf-8")
        return look(scratch, to_come)[0]


def _concerned(sentence, asked, done):
    """The question whose answer a sentence is about: of the entries that it names, that which was asked last; there the
    key that it names, else the first one.
    """
    hit = PLACE.match(sentence)
    named = re.findall(r"\[([a-z0-9_.]+)\]", sentence) if hit else ()
    concerned = [one for one in asked if ".".join(done.path(one)) in named]
    if not concerned:
        return None
    here = [one for one in concerned if done.path(one) == done.path(concerned[-1])]
    first = ".".join(done.path(here[0])) == hit[1]
    return next((one for one in here if first and one.key == hit[2]), here[0])


def _checked(question, text, answers):
    """An answer as it is kept; KitError where it is none."""
    word = text.lower()
    if question.entry is None:
        if word not in (*YES, *NO):
            raise KitError(f"{text} is no answer here: type yes, or nothing for no.")
        return YES[0] if word in YES else ""
    if question.another and word in (NONE, *NO):
        if any(id.startswith(question.id.removesuffix("label")) for id in answers if id != question.id):
            raise KitError("What comes behind the name is answered already: type a name.")
        return NONE if word == NONE and question.table in MAY_BE_EMPTY else ""
    if not text or (question.optional and word in ("0", "0 s", "0s", NONE, *NO) and question.table == "phases"):
        if question.optional:
            return ""
        raise KitError(f"{question.key} must be there ({question.entry.help}); ? tells more, back goes back.")
    value = read_answer(question, text, made(answers))
    return value if question.entry.kind == "choice" and not question.entry.many else text


# --- what is shown --------------------------------------------------------------------------------------------------


def _title(question):
    return "More parts" if question.table == MORE else f"{outline.ALL[question.table].about}."


def _asked(question, known):
    """A question in one line; known: the labels of what it may name."""
    how = outline.ALL.get(question.table)
    if question.table == MORE:
        kinds = ", ".join(one.about.lower() for one in outline.PARTS_MORE.values())
        return f"Any of these of your own? {kinds}. (yes; empty: no, the course's own)"
    if question.entry is None:
        return f"Have you its figures at hand? (yes; empty: no, the course's own {how.one})"
    if question.another:
        return _another(question, how)
    skip = "empty: skip" if question.optional else ""
    asides = [one for one in (listed(known) if known else _such_as(question), skip) if one]
    key = "name" if question.key == "label" else question.key.replace("_", " ")
    return f"{_whose(question)}{key}: {_what(question)}" + (f" ({'; '.join(asides)})" if asides else "")


def _another(question, how):
    first = question.number == "1"
    parts = question.table not in outline.GAME_FIRST and not SHAPES[question.table].rows_of
    none = f"; {NONE}: the team has none" if parts and first and question.table in MAY_BE_EMPTY else ""
    empty = "no more" if not first else "the course's own" if parts else "none"
    such = _such_as(question)
    comma = ", " if such else ""
    return f"{'One' if first else 'Another'} {how.one}? Its name{comma}{such} (empty: {empty}{none})"


def _whose(question):
    """Of which entry, where nobody named it."""
    return f"{question.number.replace('_', '-')}, " if outline.ALL[question.table].fixed else ""


def _what(question):
    choices = question.entry.choices
    return f"{question.entry.help}: {', '.join(choices)}" if choices else question.entry.help


def _such_as(question):
    """An example, or what may be typed."""
    if question.entry.choices or question.entry.names:
        return ""
    given = example(question.table, question.key, question.kind)
    if given is None:
        return bounds(question.entry)
    return f"such as {', '.join(map(str, given)) if isinstance(given, list) else given}"


def _more_help(question, answers):
    """All that is known of a question."""
    entry = question.entry
    if entry is None:
        return "  yes asks for each figure; nothing leaves the course's own in place, which its labels say."
    lines = [f"{question.key}: {help_line(entry)}"]
    if entry.is_quantity:
        lines.append(f"Units: {', '.join(units_of(entry.kind))}.")
    if entry.many:
        lines.append("Several values: commas between; semicolons where numbers have a decimal comma.")
    known = made(answers).labels(entry)
    if known:
        lines.append(f"There are: {', '.join(known)}.")
    lines.append("It may be skipped with an empty answer." if question.optional else "It must be there.")
    return "\n".join(f"  {line}" for line in lines)


# --- the files ------------------------------------------------------------------------------------------------------


def finish(folder, tables):
    """Write the kit's files into a folder; game.toml comes last, and says that the kit is complete."""
    folder = Path(folder)
    folder.mkdir(parents=True, exist_ok=True)
    for file, text in reversed(texts(tables).items()):
        path = folder / file
        if path.exists() and path.read_text(encoding="utf-8") != text:
            write_new(path.with_name(f"{path.stem}-before.toml"), path.read_bytes())
            path.unlink()
        if not path.exists():
            write_new(path, text)
        print(f"Written: {path}")


def by_sheets(folder, sheets):
    """Write the kit of filled tables; KitError tells all faults with file, row and column, and nothing is written."""
    _refuse_foreign(Path(folder))
    if Path(folder, KEPT_IN).exists():
        raise KitError(
            f"{folder} holds answers to kit new, and nothing of it is written over; choose a new folder, or go on with"
            f" {typed()} kit new {folder}."
        )
    faults = faults_of(sheets.tables)
    if faults:
        raise KitError(*in_sheets(faults, sheets))
    finish(folder, sheets.tables)
