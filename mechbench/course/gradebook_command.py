"""The command `gradebook FOLDER`, and writing what it found: one page and one table.

Contents: write (gradebook.html and gradebook.csv in a folder), command.
"""

import os
import sys
import tempfile
import time
from contextlib import suppress
from pathlib import Path

from mechbench.command_line import Parser
from mechbench.course import gradebook_csv, gradebook_page
from mechbench.course.gradebook import MOST_DESIGNS, MOST_FILES, PAGE, TABLE, read_folder, troubles, wrong_paths
from mechbench.course.handin_file import MOST_ATTEMPTS, MOST_BYTES
from mechbench.course.lessons import lesson
from mechbench.course.progress import now
from mechbench.desk.waiting import Waiting
from mechbench.kits import KitError, read_kit

PIECES = 1000  # of a page or a table between two words on how far it has come

# --- writing -------------------------------------------------------------------------------------------------------


def write(book, place, semicolons=False, say=lambda text: None):
    """Write page and table into a folder, each whole or not at all, and give their paths; nobody else may read them.

    `say` is told now and then how far it has come.
    """
    place = Path(place)
    paths = wrong_paths(book)
    page = gradebook_page.page(book, paths, troubles(paths))
    _write_whole(place / PAGE, "utf-8", _telling(page, "The page is written", say))
    table = gradebook_csv.lines(book, ";" if semicolons else ",")
    # The mark at the start tells spreadsheets that it is UTF-8.
    _write_whole(place / TABLE, "utf-8-sig", _telling(table, "The table is written", say))
    return place / PAGE, place / TABLE


def _telling(pieces, what, say):
    """Give the pieces of a text, and say now and then how much there is."""
    signs = 0
    for number, piece in enumerate(pieces):
        signs += len(piece)
        if number % PIECES == 0:
            say(f"{what}: {signs // 1000} kB ...")
        yield piece


def _write_whole(path, encoding, pieces):
    number, part = tempfile.mkstemp(dir=path.parent, prefix=path.name, suffix=".part")
    try:
        with open(number, "w", encoding=encoding, newline="") as file:
            file.writelines(pieces)
        os.replace(part, path)
    except BaseException:
        with suppress(OSError):
            os.unlink(part)
        raise


def _new_folder(folder):
    """Make a folder of its own inside the folder of the hand-ins, whatever is there already."""
    stem = f"gradebook_{now().replace(':', '').replace('T', '_').rstrip('Z')}"
    for number in range(1, 1000):
        place = folder / (stem if number == 1 else f"{stem}-{number}")
        with suppress(FileExistsError):
            place.mkdir(mode=0o700)
            return place
    raise OSError(0, "there are too many gradebooks of this minute")


# --- the command ---------------------------------------------------------------------------------------------------


def command(arguments):
    """Do `gradebook FOLDER`: read the hand-ins, write page and table, say what is most in need; give the exit code."""
    chosen = _parser().parse_args(arguments)
    folder = Path(os.path.expanduser(chosen.folder))
    begun, waiting = time.perf_counter(), Waiting()
    try:
        book = read_folder(folder, [read_kit(os.path.expanduser(kit)) for kit in chosen.kit], waiting.say)
    except OSError as error:
        print(
            f"The folder {folder} can't be read ({error.strerror}): name the folder that holds the hand-ins.",
            file=sys.stderr,
        )
        return 1
    except KitError as error:
        print(error, file=sys.stderr)
        return 1
    finally:
        waiting.end()
    for line in _told(book):
        print(line)
    if not book.learners:
        print(f"There is no hand-in that can be read in {folder}, so no gradebook was written.", file=sys.stderr)
        return 1
    return _write_and_say(book, folder, chosen, begun)


def _parser():
    parser = Parser(
        "gradebook",
        description=(
            "Grade all hand-ins of a folder again and write one page (HTML) and one table (CSV) for the mentor."
        ),
        epilog=(
            "Names stay on this computer: the page and the table hold them, so keep both as you keep other lists of"
            f" names. One gradebook reads at most {MOST_FILES} files of at most {MOST_BYTES // 1024} kB and"
            f" {MOST_ATTEMPTS} answers each, and grades {MOST_DESIGNS} designs of a learner for each challenge."
        ),
    )
    parser.add_argument(
        "folder", metavar="FOLDER", help="where the hand-ins are; folders in it are looked into as well"
    )
    parser.add_argument(
        "--to",
        metavar="FOLDER",
        help="where page and table go, in place of those that are there; left out: a new folder beside the hand-ins",
    )
    parser.add_argument(
        "--kit",
        metavar="FOLDER",
        action="append",
        default=[],
        help="a kit that some answers were made with, beside the one in use; may come several times",
    )
    parser.add_argument(
        "--semicolons",
        action="store_true",
        help="part the columns of the table by ; for spreadsheets that put all of a line into one column",
    )
    return parser


def _told(book):
    """Lines for the screen: what was not read, and what is odd."""
    for head, lines in (("Not read or not graded:", book.unread), ("Worth a look:", book.odd)):
        if lines:
            yield head
            yield from (f"  {line}" for line in lines)


def _write_and_say(book, folder, chosen, begun):
    waiting = Waiting()
    try:
        place = Path(os.path.expanduser(chosen.to)) if chosen.to else _new_folder(folder)
        place.mkdir(mode=0o700, parents=True, exist_ok=True)
        page, table = write(book, place.absolute(), chosen.semicolons, waiting.say)
    except OSError as error:
        print(
            f"The gradebook can't be written ({error.strerror}): close the table if it is open in another program, or"
            " name another folder with --to.",
            file=sys.stderr,
        )
        return 1
    finally:
        waiting.end()
    first = troubles(wrong_paths(book))[:1]
    for trouble in first:
        print(
            f"Teach again first: {trouble.exercise.title} ({lesson(trouble.exercise.lesson).heading}): "
            f"{gradebook_page.counted(trouble)}."
        )
    count = len(book.learners)
    print(f"{count} learner{'s' * (count != 1)}, {len(book.exercises)} exercises, {time.perf_counter() - begun:.1f} s.")
    print(f"Page:  {page}\nTable: {table}")
    return 0
