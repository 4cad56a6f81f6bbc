"""The command `kit new FOLDER`: a kit made step by step, one question at a time; what was answered is kept at once.

Contents: by_questions (the dialogue), by_sheets (tables from a spreadsheet), finish (the files), Answers (what is
kept), KEPT_IN. How questions are worded: kit_wording.py.
"""

import json
import re
import sys
import tempfile
from pathlib import Path

from mechbench.command_line import typed
from mechbench.desk import kit_outline as outline
from mechbench.desk import kit_wording as wording
from mechbench.desk.kit_examples import typed_example
from mechbench.desk.kit_questions import NO, NOTHING, YES, Walk, to_come
from mechbench.desk.kit_sheets import PLACE, in_sheets
from mechbench.desk.kit_writer import bare, texts
from mechbench.desk.safe_write import write_new, write_over
from mechbench.kits import as_typed
from mechbench.kits.faults import KitError, nearest, shown
from mechbench.kits.load import look
from mechbench.kits.read import GAME_FILE
from mechbench.kits.schema import FILES, MAY_BE_WITHOUT

KEPT_IN = "kit-answers.json"
ENOUGH = ("no more", "no others", "done", "end", "finished", "that's all", "that is all")
HELP, BACK, STOP, KEEP = ("?", "help"), ("back", "b"), ("stop", "quit", "exit"), "keep"
WELCOME = (
    "One question at a time. What you answer is kept at once. An empty answer, or don't know, skips what may be\n"
    "skipped.\n"
    "  ? tells more, back goes one question back, stop leaves. Numbers carry their unit: 72 mm, 16 V."
)


class Answers:
    """The answers of one folder, by question; each is written down before the next question is asked.

    before : answers that were taken back, by question: they are shown when it is asked again
    """

    def __init__(self, folder):
        self.folder, self.path = Path(folder), Path(folder, KEPT_IN)
        _refuse_foreign(self.folder)
        self.texts, self.before = self._read() if self.path.exists() else ({}, {})

    def _read(self):
        try:
            kept = json.loads(self.path.read_text(encoding="utf-8"))
            return tuple(
                {str(key): str(text) for key, text in kept.get(name, {}).items()} for name in ("answers", "before")
            )
        except (ValueError, KeyError, TypeError, AttributeError):
            raise KitError(
                f"{self.path} is damaged: give it another name, and begin again; what it holds can be read with an"
                " editor."
            ) from None

    def earlier(self, id):
        """What was answered to a question before; None where nothing was."""
        return self.texts.get(id, self.before.get(id))

    def take(self, id, text):
        """Keep one answer, as the last one."""
        self.texts.pop(id, None)
        self.before.pop(id, None)
        self.texts[id] = text
        self._keep()

    def take_back(self, id):
        """Take the answer to a question back."""
        self.before[id] = self.texts.pop(id)
        self._keep()

    def _keep(self):
        self.folder.mkdir(parents=True, exist_ok=True)
        kept = {"answers": self.texts} | ({"before": self.before} if self.before else {})
        write_over(self.path, json.dumps(kept, ensure_ascii=False, indent=0))


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
    dialogue = _Dialogue(answers)
    try:
        dialogue.run()
    except (_Left, EOFError, KeyboardInterrupt):
        print(f"\nKept: {len(answers.texts)} answers in {answers.path}. Go on with: {typed()} kit new {folder}")
        return False
    finish(answers.folder, dialogue.walk.tables)
    return True


class _Dialogue:
    """Questions in order; first those whose answers were found to be wrong together with others."""

    def __init__(self, answers):
        self.answers, self.table, self.kept, self.read = answers, "", set(), {}
        self.at = None  # the entry that was asked about last
        self.seen = None  # the open entry at which the rest was looked at last
        self.walk = Walk(answers.texts, self.read)

    def run(self):
        """Until every question has an answer that the kit's reader takes, or that was kept all the same."""
        while True:
            question = self.walk.open
            self._settle(self._wrong(question))
            if self.walk.open == question:
                if question is None:
                    return
                self._ask(question)

    def _wrong(self, open_question):
        """What is wrong with the entries that are complete: (question, its sentences), the first one; None if none."""
        at = open_question and (open_question.table, open_question.number)
        if at == self.seen and at:
            return None
        self.seen = at
        sentences = [one for one in faults_of(self.walk.tables, to_come(open_question)) if one not in self.kept]
        of_game = [one for one in self.walk.told if one.table in outline.GAME_FIRST]
        for sentence in sentences:
            question = _concerned(sentence, self.walk)
            if not question and not {*to_come(open_question)} & {*outline.GAME_FIRST}:  # such as that nothing scores
                question = of_game[-1]
            if question and (question.table, question.number) != at:
                return question, sentence
        return None

    def _settle(self, wrong):
        """Ask again what does not fit the rest; the answer may be kept as it is."""
        if not wrong:
            return
        self.seen, (question, sentence) = None, wrong
        print(f"  ! {wording.in_words(sentence, self.walk)}")
        print(f"    Answer it again, or type {KEEP} to leave it and mend it later in the file.")
        if self._ask(question, may_keep=True) == KEEP:
            self.kept.add(sentence)

    def _ask(self, question, may_keep=False):
        """Ask one question until its answer is good; what was typed is taken."""
        if question.table != self.table:
            self.table = question.table
            print(f"\n{wording.title(question)}")
        earlier = self.answers.earlier(question.id)
        at, self.at = self.at, (question.table, question.number)
        print(wording.asked(question, self.walk, earlier, may_keep, named=at != self.at))
        while True:
            text = " ".join(input("> ").split())
            word = text.lower()
            if word in STOP:
                raise _Left
            if word in HELP:
                print(wording.more_help(question, self.walk))
            elif word in BACK:
                if self._back(question):
                    return BACK
                print("  This is the first question.")
            elif may_keep and word in (KEEP, ""):
                return KEEP
            elif self._good(question, text or earlier or ""):
                return text

    def _back(self, question):
        """Take back the answer to the question before this one; give whether there is one."""
        ids = [one.id for one in self.walk.told]
        at = ids.index(question.id) if question.id in ids else len(ids)
        if at:
            self.answers.take_back(ids[at - 1])
            self._walk_again()
        return bool(at)

    def _walk_again(self):
        self.walk = Walk(self.answers.texts, self.read)

    def _good(self, question, text):
        """Take an answer if it is one; else say what is wrong with it."""
        try:
            several = self.walk.several(question, text)
            taken = "" if several else _checked(question, text, self.walk)
        except KitError as error:
            more = f" {HELP[0]} tells what each means." if question.entry and question.entry.means and text else ""
            print(f"  ! {error.faults[0]}{more}")
            return False
        if several:
            print(f"  taken: {', '.join(f'{one.title} {size}' if one.title else size for one, size in several)}")
        elif text and taken in ("", NOTHING) and not (question.ask and text in YES):
            print(f"  {wording.taken_as_nothing(question, taken)}")
        elif taken and question.entry and (said := self._told(question, text)):
            print(f"  taken: {said}")
        for one, answer in several or ((question, taken),):
            self.answers.take(one.id, answer)
        self._walk_again()
        return True

    def _told(self, question, text):
        """What an answer was taken for, where that is not what was typed."""
        value = self.walk.value(question, text)
        if isinstance(value, float) and question.entry.kind == "pair":
            return ""
        return as_typed.told(text, value, question.entry, self.walk.called_as(question.entry))


def faults_of(tables, to_come=()):
    """What the kit's reader says is wrong with these tables, as two files of a folder."""
    with tempfile.TemporaryDirectory(prefix="mechbench-kit-") as scratch:
        for file, text in bare(tables).items():
            Path(scratch, file).write_text(text, encoding="utf-8")
        return look(scratch, to_come)[0]


def _concerned(sentence, walk):
    """The question whose answer a sentence is about: of the entries that it names, that which was asked last; there the
    key that it names, else the first one.
    """
    hit = PLACE.match(sentence)
    named = re.findall(r"\[([a-z0-9_.]+)\]", sentence) if hit else ()
    words = re.findall(r"\w+", sentence[hit.end() :]) if hit else ()
    concerned = [one for one in walk.told if one.entry and ".".join(walk.path(one)) in named]
    if not concerned:
        return None
    here = [one for one in concerned if walk.path(one) == walk.path(concerned[-1])]
    first = ".".join(walk.path(here[0])) == hit[1]
    return next((one for one in here if (one.key == hit[2] if first else one.key in words)), here[0])


# --- one answer -----------------------------------------------------------------------------------------------------


def _checked(question, text, walk):
    """An answer as it is kept; KitError where it is none."""
    if question.entry is None:
        return _yes_or_no(question, text)
    if question.another:
        return _another(question, text, walk)
    such = typed_example(question.table, question.key, question.kind)
    as_typed.refuse_unknown(text, question.entry, walk.words(question), such)
    if _is_left_out(question, text):
        if question.optional:
            return ""
        raise KitError(_must_be_there(question, walk))
    if question.key == "label" and text.lower() in YES:
        raise KitError(f"{shown(text)} is no name; type what people call it.")
    value = walk.value(question, text)
    _is_there(question, value, walk)
    return value if question.entry.kind == "choice" and not question.entry.many else text


def _must_be_there(question, walk):
    other = outline.instead(question.table, question.key)
    title = other and (outline.entry(question.table, other).title or other.replace("_", " "))
    way_out = f" Where you know its {title}, type {BACK[0]} until that is asked." if other else ""
    return (
        f"{walk.words(question)} must be there ({question.entry.help}).{way_out} If you must find it out first, type"
        f" {STOP[0]}: what you answered is kept."
    )


def _is_left_out(question, text):
    """Whether an answer says nothing; of a phase that need not be, no time is none."""
    no_time = question.optional and question.table == "phases" and text in ("0", "0 s", "0s")
    takes_none = not question.optional and as_typed.no_time(text, question.entry)
    return no_time or (not takes_none and as_typed.says_nothing(text, question.entry, question.title))


def _yes_or_no(question, text):
    word = text.lower()
    if question.ask:
        if word not in (*YES, *NO) and not as_typed.nobody_knows(word):
            raise KitError(f"{shown(text)} is no answer here: type yes or no.")
        return "no" if word in NO[1:] else ""
    if as_typed.is_none(word):
        return NOTHING if question.table == wording.MORE else ""
    if word not in (*YES, *NO):
        raise KitError(f"{shown(text)} is no answer here: type yes, and its figures are asked, or no.")
    return YES[0] if word in YES else ""


def _another(question, text, walk):
    """The name of another entry; "" for no more, and "none" where the team has none of these parts."""
    if text.lower() in YES:
        raise KitError("Type its name, or nothing for none.")
    if as_typed.nobody_knows(text) and question.number == "1" and outline.has_own(question.table):
        raise KitError("Any name will do; or type nothing, for the course's own.")
    if text and not as_typed.is_none(text) and text.lower() not in ENOUGH:
        as_typed.refuse_as_name(text, f"The name of a {_one(question)}", question.table in outline.NAMED_BY_OTHERS)
        walk.value(question, text)
        return text
    if any(id.startswith(question.id.removesuffix("label")) for id in walk.answers if id != question.id):
        raise KitError("What comes behind the name is answered already: type a name.")
    is_without = text.lower() in as_typed.NONE and question.number == "1" and question.table in MAY_BE_WITHOUT
    return NOTHING if is_without else ""


def _one(question):
    return outline.ALL[question.table].one


def _is_there(question, value, walk):
    """Refuse what names no entry that there is."""
    known, is_pair = walk.known(question.entry), question.entry.kind == "pair"
    for name in value if isinstance(value, list) else [value]:
        if is_pair and isinstance(name, str) and name not in known.values():
            way_out = f"type what you measured, such as 0.95, or one that {HELP[0]} tells."
            raise KitError(f"{walk.words(question)}: there is no {shown(name)}; {way_out}")
        if question.entry.names and name not in known.values():
            labels = walk.labels(question)
            raise KitError(f"{walk.words(question)}: there is no {shown(name)}; {nearest(name, labels)}")


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
    print("\n".join(sheets.notes), end="\n" if sheets.notes else "")
    finish(folder, sheets.tables)
