"""The commands `kit use` and `kit check`: a kit looked at, put in force, or brought to the laptops of a room.

Contents: check, use, back_to_own, told, fine.
"""

from pathlib import Path

from mechbench import kit_folder
from mechbench.command_line import typed
from mechbench.desk.kit_outline import ALL, of_table
from mechbench.kits import kit as kit_in_force
from mechbench.kits import read_kit
from mechbench.kits.borrowed import SUFFIX
from mechbench.kits.faults import KitError
from mechbench.kits.gearmotors import NONE
from mechbench.kits.load import OWN_FOLDER, folder_in_force, look, passed_over, work_kit
from mechbench.wording import listed

PARTS = ("motors", "gearboxes", "servos", "wheels")


def told(kit):
    """Print what a kit is, what is odd in it, and what in it is the course's own."""
    print(f"{kit.name} ({kit.digest}), game: {kit.game.label}, in {kit.folder}")
    _told_of_own(kit)
    print("\n".join(f"Note: {note}" for note in kit.notes), end="\n" if kit.notes else "")


def _told_of_own(kit):
    if kit.without:
        none = ", ".join(map(of_table, kit.without))
        print(f"The team has none: {none}. Where a lesson needs one, it shows the course's own, and its label says so.")
    borrowed = [table for table in kit.borrowed if table not in kit.without]
    own = [*map(of_table, borrowed), *_friction_of_own(kit)]
    if own:
        print(f"The course's own: {', '.join(own)}.")


def _friction_of_own(kit):
    """Says that friction pairs are the course's own, and which are not; nothing where the kit gives all."""
    labels = kit.table("friction").labels.values()
    measured = [label for label in labels if not label.endswith(SUFFIX)]
    if len(measured) < len(labels):
        yield "friction" + (f" but for {listed(measured)}" if measured else "")


def told_in_force():
    """Print which kit is in force."""
    print("Kit in force: ", end="")
    told(kit_in_force())
    if passed_over():
        print(passed_over())


def check(folder=None):
    """Print all that is wrong or odd in a kit's folder, and a last line of what is fine; give the exit code."""
    folder = Path(folder).absolute() if folder else folder_in_force()
    if not folder.is_dir():
        raise KitError(f"There is no folder {folder}; to make a kit there, type {typed()} kit new {folder}.")
    faults, notes = look(folder)
    kit = None if faults else read_kit(folder)
    faults = faults or _of_robots(kit)
    print("\n".join([*faults, *(f"Note: {note}" for note in notes)]), end="\n" if faults or notes else "")
    if faults:
        print(f"Wrong: {len(faults)}. Mend {folder} with an editor, then type {typed()} kit check {folder} again.")
        return 1
    _told_of_own(kit)
    print(f"Fine: {kit.name} ({kit.digest}) in {folder}: {fine(kit)}.")
    return 0


def _of_robots(kit):
    """What is wrong in its robots and shows only when they are built and work, the first fault of each."""
    from mechbench.catalog import ROBOT, judge  # whole robots, only where a kit has some

    faults = []
    for plan in kit.robots:
        try:
            judge(ROBOT, {"which": plan.name}, kit)
        except ValueError as wrong:
            faults.append(str(wrong))
    return faults


def fine(kit):
    """What a kit holds, in a few words."""
    games = {table: len(getattr(kit.game, table)) for table in ("pieces", "places", "goals", "closing")}
    own = {table: set(kit.table(table).names) - {NONE} for table in PARTS if table not in kit.borrowed}
    whole = own.get("motors", set()) & set(kit.table("gearboxes").names)  # motors with gears in one piece
    counts = games | {table: len(names - whole) for table, names in own.items()} | {"gearmotors": len(whole)}
    told = [_many(number, ALL[table].one) for table, number in counts.items() if number or table in games]
    return ", ".join([f"game {kit.game.label}", *told])


def _many(number, one):
    """So many of something: 1 servo, 2 kinds of piece."""
    first, _, rest = one.partition(" of ")
    many = "es" if first.endswith(("x", "s")) else "s"
    return f"{number} {first}{many if number != 1 else ''}{f' of {rest}' if rest else ''}"


def use(folder, wheels=None):
    """Check a kit and put it in force: into the work folder, and into a folder of packages where one is named."""
    folder, target = Path(folder).absolute(), work_kit()
    faults = _of_robots(read_kit(folder))
    if faults:
        raise KitError(*faults)
    if folder == OWN_FOLDER:
        return back_to_own()
    _put(folder, target)
    if wheels is not None:
        _put(folder, _of_wheels(wheels))
        print(f"On each laptop: {typed()} start --wheels {wheels} brings it into the work folder.")
    told_in_force()
    return 0


def _of_wheels(wheels):
    wheels = Path(wheels).absolute()
    if not wheels.is_dir():
        raise KitError(f"There is no folder {wheels}; make it with {typed()} wheels {wheels}.")
    return wheels / kit_folder.FOLDER


def _put(folder, target):
    """Copy a kit unless it is there already."""
    if folder.resolve() == target.resolve() or kit_folder.digest(folder) == kit_folder.digest(target):
        print(f"It is in {target} already.")
        return
    kept = kit_folder.put(folder, target)
    print(f"Copied to {target}." + (f" What was there is kept in {kept}." if kept else ""))


def back_to_own():
    """Take the kit out of the work folder, so that the course's own is in force; it is kept beside."""
    kept = kit_folder.set_aside(work_kit())
    if kept:
        print(f"Your kit is kept in {kept}; back to it: {typed()} kit use {kept}")
    told_in_force()
    return 0
