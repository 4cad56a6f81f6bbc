"""A kit folder of the old form of game.toml, brought over to the form of today: into a new folder, nothing overwritten.

Contents: is_old, convert, Converted.

The old form knew one kind of piece, shelves, pens, a beam and a bar. parts.toml is copied as it is; of robots.toml only
words change. What the old form did not say is assumed, and each assumption is told.
"""

import re
import tomllib
from dataclasses import dataclass
from itertools import count
from pathlib import Path

from mechbench.kits.faults import KitError
from mechbench.kits.toml_text import toml
from mechbench.quantity import read

GAME, PARTS, ROBOTS = "game.toml", "parts.toml", "robots.toml"
IN_THE_WAY = "beam"
LOW_ENOUGH = 5.0  # m: a beam as high as that was none
# Words of robots.toml that have another name today.
WORDS = (
    (r"(?m)^(\s*)shelves(\s*=)", r"\1goals\2"),
    (r"(?m)^(\s*)hang_chance(\s*=)", r"\1closing_chance\2"),
    (r"(?m)^(\s*\[\s*robots\s*\.\s*[a-z0-9_]+\s*\.\s*)bar(\s*\])", r"\1closing\2"),
    (r'\bpasses\s*=\s*"nothing"', 'passes = ""'),
)


@dataclass(frozen=True)
class Converted:
    """What was written: the paths of the new files, and what was assumed, one sentence each."""

    files: tuple
    assumed: tuple


def is_old(tables):
    """Tell whether a game.toml with these tables, or with these among what it is not to have, is of the old form."""
    return {"piece", "shelves", "possession", "match"} <= set(tables)


def convert(folder, target=None):
    """Convert the kit in `folder` into the new folder `target`, or one of a free name beside it; KitError where it
    can't be.
    """
    folder = Path(folder).absolute()
    target = Path(target) if target else _free_beside(folder)
    try:
        tables = tomllib.loads((folder / GAME).read_text(encoding="utf-8-sig"))
    except (OSError, ValueError) as error:
        raise KitError(f"{folder / GAME} cannot be read ({error}); nothing was converted.") from None
    if not is_old(tables):
        raise KitError(f"{folder / GAME} is not of the old form; it needs no conversion, and nothing was written.")
    taken = [name for name in (GAME, PARTS, ROBOTS) if (target / name).exists()]
    if taken:
        raise KitError(f"{target} already holds {taken[0]}; choose a new folder, nothing was written.")
    try:
        game, assumed = _game(tables)
    except (KeyError, TypeError, AttributeError) as missing:
        raise KitError(
            f"{folder / GAME} lacks {missing}, which the old form had; complete it, or begin a new game.toml from the"
            " course's own."
        ) from None
    texts = {GAME: game}
    for name in (PARTS, ROBOTS):
        if (folder / name).exists():
            texts[name] = (folder / name).read_bytes().decode("utf-8-sig")
    if ROBOTS in texts:
        texts[ROBOTS] = _words(texts[ROBOTS], "beam" in game)
    target.mkdir(parents=True, exist_ok=True)
    return Converted(tuple(_write(target / name, text) for name, text in texts.items()), tuple(assumed))


def _free_beside(folder):
    """A folder that is not there yet: our_kit-new, our_kit-new-2 ..."""
    names = (f"{folder.name}-new{'' if number == 1 else f'-{number}'}" for number in count(1))
    return next(path for path in map(folder.with_name, names) if not path.exists())


def _write(path, text):
    with path.open("x", encoding="utf-8", newline="") as file:
        file.write(text)
    return path


def _words(text, has_beam):
    for old, new in WORDS:
        text = re.sub(old, new, text)
    return text if has_beam else re.sub(r',?\s*passes\s*=\s*"beam"', "", text)


class _Text:
    """TOML as it grows: tables and their keys, in order."""

    def __init__(self):
        self.lines = []

    def table(self, name, **values):
        self.lines += [
            "",
            f"[{name}]",
            *(f"{key} = {toml(value)}" for key, value in values.items() if value is not None),
        ]


def _metres(text):
    return read(text, "length").value


def _mm(value):
    return f"{1000 * value:.6g} mm"


def _game(old):
    """The new text, and what was assumed."""
    new, assumed = _Text(), []
    width = old["field"]["width"]
    third = f"{_metres(width) / 3:.1f} m"
    new.table("game", label=old["game"]["label"])
    new.table(
        "field", length=width, width=width, floor=old["field"]["floor"], robots_a_side=old["field"]["robots_a_side"]
    )
    _pieces(new, old["piece"])
    _places(new, old, third, assumed)
    for name, shelf in old["shelves"].items():
        if name not in ("every", "usual"):
            values = {**old["shelves"].get("every", {}), **shelf}
            values["rim"] = values.pop("lip")
            label = values.pop("label")
            new.table(f"goals.{name}", label=label, kind="shelf", way=third, **values)
    bonus = old["bonus"]
    if bonus["same_colour_pair"] > 0:
        new.table("bonuses.pair", label="pair of one colour", kind="pair", points=bonus["same_colour_pair"])
    if _metres(old["beam"]["clear_height"]) < LOW_ENOUGH and _metres(old["beam"]["way_round"]) > 0:
        beam = old["beam"]
        new.table(
            f"obstacles.{IN_THE_WAY}",
            label="low beam",
            kind="low",
            clear_height=beam["clear_height"],
            way_round=beam["way_round"],
        )
    _rest(new, old, bonus, third)
    assumed.append(f"Every goal and closing task is {third} from the middle of the field, a third of its side: way.")
    assumed.append("All robots start in a box as long, as wide and as high as the old start cube: limits.start_box.")
    head = "# The game. Converted from the old form; read each line that says way, and the places.\n"
    return head + "\n".join(new.lines) + "\n", assumed


def _pieces(new, piece):
    sizes = {"diameter": piece["diameter"], "height": piece["height"]}
    if piece["shape"] == "ball":
        sizes = {"diameter": piece["diameter"]}
    if piece["shape"] == "box":
        sizes = {"length": piece["diameter"], "width": piece["diameter"], "height": piece["height"]}
    new.table(
        "pieces.piece",
        label=piece["label"],
        plural=piece["plural"],
        shape=piece["shape"],
        **sizes,
        mass=piece["mass"],
        colours=piece["colours"],
        count=piece["count"],
        lying_share=piece["fallen_share"],
    )


def _places(new, old, third, assumed):
    """Half the pieces lie open, half in the pens, where there are pens."""
    count, pens = old["piece"]["count"], old["pens"]
    inside = count // 2 if pens["count"] else 0
    new.table("places.open", label="open floor", kind="open", pieces=["piece"], counts=[count - inside], way=third)
    assumed.append(f"{count - inside} of {count} pieces lie open, {third} from the middle of the field: places.open.")
    if pens["count"]:
        new.table(
            "places.pens",
            label="pens",
            kind="pen",
            pieces=["piece"],
            counts=[inside],
            way=third,
            depth=pens["depth"],
            gap=pens["gap"],
        )
        assumed.append(f"The other {inside} lie in the pens, as far away: places.pens.")


def _rest(new, old, bonus, third):
    """Limits, phases, people, closing tasks."""
    robot, match, closing = old["robot"], old["match"], old["closing"]
    new.table(
        "limits",
        start_box=[robot["start_cube"]] * 3,
        height=robot["height_limit"],
        level=robot["level_limit"],
        mass=robot["mass_limit"],
        motors=robot["motors"],
        servos=robot["servos"],
        hold=old["possession"]["limit"],
    )
    if read(match["self_driving"], "time").value > 0:
        new.table(
            "phases.self_driving",
            kind="self_driving",
            time=match["self_driving"],
            factor=bonus["self_driving_factor"],
        )
    new.table("phases.driven", kind="driven", time=match["driven"], closing=match["closing"])
    often = {"find": "piece", "line_up": "trip", "held_up": "trip", "clear_jam": "jam"}
    for name, step in old["human"].items():
        new.table(f"human.{name}", **step, when=often[name], stands_for=name)
    new.table(
        "closing.hang",
        label="hang from the bar",
        kind="hang",
        points=closing["hang_points"],
        way=third,
        bar_height=closing["bar_height"],
        bar_diameter=closing["bar_diameter"],
        clear=closing["wheels_clear"],
        judged_after=closing["judged_after"],
    )
    new.table(
        "closing.park",
        label="park under the bar",
        kind="zone",
        points=closing["park_points"],
        way=third,
        instead_of=["hang"],
    )
