"""The command `kit`: which kit is in force, and a kit of the old form brought over.

Contents: command.
"""

import sys

from mechbench.command_line import Parser
from mechbench.kits import kit as kit_in_force
from mechbench.kits.convert import convert
from mechbench.kits.faults import KitError
from mechbench.kits.load import passed_over, read_kit
from mechbench.wording import quoted

CONVERT = "convert"


def command(arguments):
    """Do what was typed; give the exit code."""
    reader = Parser("kit", description="The kit in force; or an older kit folder brought over to the form of today.")
    reader.add_argument("what", nargs="?", metavar=CONVERT, help="bring a kit of the old form over")
    reader.add_argument("folder", nargs="?", help="the old folder")
    reader.add_argument("new", nargs="?", help="the new folder; nothing is overwritten")
    chosen = reader.parse_args(arguments)
    if chosen.what not in (None, CONVERT):
        reader.refuse(f"kit can't do {quoted(chosen.what)}; type kit alone, or kit {CONVERT} FOLDER NEW.")
    if chosen.what and not chosen.new:
        reader.refuse("kit convert needs two folders: the old one, and a new one to write to.")
    try:
        return _convert(chosen.folder, chosen.new) if chosen.what else _told(kit_in_force())
    except KitError as error:
        print("\n".join(error.faults), file=sys.stderr)
        return 1


def _told(kit):
    print(f"Kit in force: {kit.name} ({kit.digest}), game: {kit.game.label}, in {kit.folder}")
    if passed_over():
        print(passed_over())
    if kit.borrowed:
        print(f"The course's own: {', '.join(kit.borrowed)}.")
    print("\n".join(f"Note: {note}" for note in kit.notes), end="\n" if kit.notes else "")
    return 0


def _convert(folder, new):
    done = convert(folder, new)
    print("\n".join(f"Written: {path}" for path in done.files))
    print("\n".join(f"Assumed: {one}" for one in done.assumed))
    return _told(read_kit(new))
