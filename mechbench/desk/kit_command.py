"""The command `kit`: which kit is in force; a kit made, checked, put in force, or brought over from the old form.

Contents: command.
"""

import argparse
import os
import sys
from pathlib import Path

from mechbench.command_line import Parser, typed
from mechbench.desk import kit_new, kit_sheets, kit_use
from mechbench.kits.convert import convert
from mechbench.kits.faults import KitError
from mechbench.wording import closest, listed, quoted

# What people type for one of the commands.
MEANT = {
    **dict.fromkeys(("make", "create", "init", "begin", "start", "add", "build", "edit", "game", "mine"), "new"),
    **dict.fromkeys(("set", "take", "switch", "select", "choose", "install", "load", "activate", "apply"), "use"),
    **dict.fromkeys(("test", "validate", "verify", "show", "look", "read", "info", "status", "list"), "check"),
    **dict.fromkeys(("upgrade", "update", "migrate", "import"), "convert"),
}


def command(arguments):
    """Do what was typed; give the exit code."""
    name, rest = (arguments[0], arguments[1:]) if arguments else ("", [])
    try:
        if not name:
            kit_use.told_in_force()
            return 0
        if name in COMMANDS:
            return COMMANDS[name](rest)
        return _unknown(name)
    except KitError as error:
        print("\n".join(error.faults), file=sys.stderr)
        return 1


def _unknown(name):
    """Help, or what was probably meant by a word that is no command."""
    about = "\n".join(["kit alone tells which kit is in force. With a word behind it:", "", *HELP.values()])
    reader = Parser("kit", description=about, formatter_class=argparse.RawDescriptionHelpFormatter)
    if name.startswith("-"):
        reader.parse_args([name])
    near = MEANT.get(name.lower()) or closest(name.lower(), COMMANDS)
    if os.path.isdir(os.path.expanduser(name)):
        near = f"check {name}' or 'kit use {name}"
    meant = f"did you mean '{typed()} kit {near}'? There" if near else "there"
    reader.refuse(f"kit can't do {quoted(name)}; {meant} are: {listed(COMMANDS)}; kit --help tells more.")


def _parser(name):
    return Parser(f"kit {name}", description=HELP[name].split("  ")[-1].strip())


def _folder(text):
    return Path(os.path.expanduser(text)).absolute()


def _new(arguments):
    reader = _parser("new")
    reader.add_argument("folder", nargs="?", help="where the kit goes, a new folder; or one where you stopped")
    reader.add_argument("--from", dest="filled", metavar="TABLES", help="a folder with your filled tables, CSV files")
    reader.add_argument("--tables", metavar="TABLES", help="write empty tables to fill in, into a new folder")
    reader.add_argument("--semicolons", action="store_true", help="empty tables with semicolons between the columns")
    chosen = reader.parse_args(arguments)
    if chosen.tables:
        return _empty_tables(_folder(chosen.tables), ";" if chosen.semicolons else ",")
    if not chosen.folder:
        reader.refuse(f"kit new needs a folder to write to, such as {typed()} kit new our_kit.")
    folder = _folder(chosen.folder)
    if chosen.filled:
        kit_new.by_sheets(folder, kit_sheets.read_filled(_folder(chosen.filled)))
    elif not kit_new.by_questions(folder):
        return 0
    done = kit_use.check(folder)
    print(f"To use it: {typed()} kit use {folder}")
    return done


def _empty_tables(folder, mark):
    written = kit_sheets.write_empty(folder, mark)
    print(
        f"{len(written)} empty tables in {folder}. Fill in game.csv, phases.csv and goals.csv at least; leave the"
        f" others as they are, or fill in what you have. Then: {typed()} kit new our_kit --from {folder}"
    )
    return 0


def _check(arguments):
    reader = _parser("check")
    reader.add_argument("folder", nargs="?", help="left out: the kit in force")
    chosen = reader.parse_args(arguments)
    return kit_use.check(_folder(chosen.folder) if chosen.folder else None)


def _use(arguments):
    reader = _parser("use")
    reader.add_argument("folder", nargs="?", help="your kit; left out, or own: the course's own")
    reader.add_argument("--wheels", metavar="FOLDER", help="put it into this folder of packages too, for other laptops")
    chosen = reader.parse_args(arguments)
    if chosen.folder in (None, "own"):
        if chosen.wheels:
            reader.refuse("kit use --wheels needs your kit's folder: kit use FOLDER --wheels WHEELS_FOLDER.")
        return kit_use.back_to_own()
    return kit_use.use(_folder(chosen.folder), _folder(chosen.wheels) if chosen.wheels else None)


def _convert(arguments):
    reader = _parser("convert")
    reader.add_argument("folder", nargs="?", help="the old folder")
    reader.add_argument("new", nargs="?", help="the new folder, where nothing is overwritten; left out: FOLDER-new")
    chosen = reader.parse_args(arguments)
    if not chosen.folder:
        reader.refuse("kit convert needs the folder with the old kit.")
    done = convert(_folder(chosen.folder), _folder(chosen.new) if chosen.new else None)
    print("\n".join(f"Written: {path}" for path in done.files))
    print("\n".join(f"Assumed: {one}" for one in done.assumed))
    return kit_use.check(done.files[0].parent)


COMMANDS = {"new": _new, "check": _check, "use": _use, "convert": _convert}
HELP = {
    "new": "  kit new FOLDER           make a kit step by step, by questions; or from a spreadsheet: --tables, --from",
    "check": "  kit check [FOLDER]       all that is wrong or odd in a kit's folder, at once",
    "use": "  kit use FOLDER           put a kit in force; kit use own: the course's own; --wheels: on all laptops",
    "convert": "  kit convert FOLDER [NEW] bring a kit of the old form over, into a new folder",
}
