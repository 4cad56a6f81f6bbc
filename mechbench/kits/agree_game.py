"""What must agree in game.toml: contradictions are refused, oddities are noted, all of them at once.

Contents: check_game (adds to the faults, gives the notes).
"""

import math
from itertools import permutations

from mechbench.kits.faults import KitError, nearest, shown
from mechbench.kits.schema_game import GAME
from mechbench.kits.sizes import sides, volume

LIGHTEST, HEAVIEST = 5.0, 8000.0  # kg/m3: foam and steel
LOW_GOAL = 0.02  # m: lower, it is likely a slip of the unit
OF_A_ROBOT = 3  # a piece is at most so much of what a robot may weigh
ABOVE_A_ROBOT = 3  # a bar is at most so many times as high as a robot may be
NEEDED = {"threshold": "from how many pieces on", "each": "for each how many pieces"}  # bonuses that need a number
OFTEN = 20  # the slowest of many tries over the usual one


def check_game(parts, broken, faults):
    """Check what concerns more than one key of game.toml; gives notes about what is odd.

    broken : table -> names of entries that can't be read; what names one of these is left for when it can
    """
    notes, game = [], _Game(parts, broken)
    for check in CHECKS:
        for fault in check(game):
            faults.found += fault.faults
    for look in ODD:
        notes += look(game)
    return notes


class _Game:
    """The parts of game.toml by table and name, and what is asked of them often."""

    def __init__(self, parts, broken):
        self.parts, self.broken = parts, broken
        self.by_name = {table: {part.name: part for part in parts[table]} for table in GAME}
        self.limits = self._record("limits")
        field = self._record("field")
        self.diagonal = math.hypot(field["length"], field["width"] or field["length"])

    def __getitem__(self, table):
        return self.parts[table]

    def takes(self, goal):
        """The pieces that a goal takes."""
        named = goal.values["takes"]
        return self["pieces"] if named is None else self.named("pieces", named)

    def named(self, table, names):
        """The entries of those names, without those that are not there or can't be read."""
        return [self.by_name[table][name] for name in names if name in self.by_name[table]]

    def _record(self, table):
        """The values of a record; what its keys are when left out, where it can't be read."""
        if self.parts[table]:
            return self.parts[table][0].values
        return {key: entry.default for key, entry in GAME[table].entries.items()}

    def have(self, table):
        """The names of all entries, read or not."""
        return [*self.by_name[table], *self.broken.get(table, ())]

    def held(self, piece):
        """How many of a piece the places hold, as far as they say."""
        given = [
            place.values["counts"][place.values["pieces"].index(piece.name)]
            for place in self["places"]
            if place.values["counts"] and piece.name in place.values["pieces"]
        ]
        return sum(given)


def _mm(value):
    return f"{1000 * value:.4g} mm"


def _label(part):
    return part.values["label"]


def _names_exist(game):
    """Whatever names an entry of another table names one that is there."""
    for table, shape in GAME.items():
        for key, entry in shape.entries.items():
            for part in game[table] if entry.kind == "name" else ():
                given, known = part.values[key], game.have(entry.names)
                for name in given if isinstance(given, tuple) else [] if given is None else [given]:
                    if name not in known:
                        yield part.fault(
                            key, f" has {shown(name)}, which is no entry of [{entry.names}]; {nearest(name, known)}"
                        )
    known = [*game.have("places"), *game.have("goals")]
    for part in game["obstacles"]:
        for name in part.values["between"] or ():
            if name not in known:
                yield part.fault(
                    "between", f" has {shown(name)}, which is no place and no goal; {nearest(name, known)}"
                )


def _phases(game):
    """One driven phase, at most one self-driving one; the closing time is part of its phase."""
    phases = game["phases"]
    for kind in ("driven", "self_driving"):
        have = [part for part in phases if part.values["kind"] == kind]
        if len(have) > 1:
            yield have[1].fault("kind", f' is "{kind}" a second time, after [{".".join(have[0].path)}]; join the two.')
        if kind == "driven" and phases and not have and not game.broken.get("phases"):
            yield phases[0].fault(
                "kind",
                " is no driven phase, and there is none, but a match needs driven time: add [phases.driven] with kind ="
                ' "driven" and time = "120 s".',
            )
    for part in phases:
        v = part.values
        if v["kind"] == "driven" and v["time"] < 1:
            yield part.fault("time", " is under a second, but a match needs driven time; look at the unit.")
        if v["closing"] and v["closing"] > v["time"]:
            yield part.fault("closing", f" is {v['closing']:g} s, but the whole phase has {v['time']:g} s; shorten it.")


def _something_scores(game):
    if game["game"] and not game.have("goals") and not game.have("closing"):
        yield KitError(
            "game.toml has no goal and no closing task, so that nothing scores: add [goals.NAME] or [closing.NAME]."
        )


# --- contradictions: each gives the faults that it finds -------------------------------------------------------------


def _order_of_times(game):
    for part in game["human"]:
        v = part.values
        for low, high, quick, slow in (("low", "likely", "quickest", "usual"), ("likely", "high", "usual", "slowest")):
            if v[low] > v[high]:
                yield part.fault(
                    low,
                    f" is {v[low]:g} s, but the {slow} try takes {v[high]:g} s: the {quick} one cannot take longer;"
                    " change one of the two.",
                )
    seen = {}
    for part in game["human"]:
        role = part.values["stands_for"]
        if role and role in seen:
            yield part.fault(
                "stands_for", f' is "{role}", as that of [human.{seen[role]}]: only one step may stand for {role}.'
            )
        seen.setdefault(role, part.name)


def _pieces(game):
    box = sorted(game.limits["start_box"])
    for part in game["pieces"]:
        v, sizes = part.values, sorted(sides(part.values))
        if v["mass"] > game.limits["mass"] / OF_A_ROBOT:
            yield part.fault(
                "mass",
                f" is {v['mass']:.3g} kg: one piece of that in a robot of {game.limits['mass']:.3g} kg at most is more"
                " than a third of it; look at the unit.",
            )
        if any(one > most for one, most in zip(sizes, box)):
            yield part.fault(
                _a_size(v), f" makes it {_by(sizes)}, larger than the start box of {_by(box)}; look at the unit."
            )


def _a_size(values):
    return next(key for key in ("diameter", "length") if values[key] is not None)


def _by(sizes):
    return " by ".join(f"{1000 * one:.4g}" for one in sizes) + " mm"


def _counts(game):
    for part in game["places"]:
        v = part.values
        if not v["pieces"] and v["counts"]:
            yield part.fault("counts", " is given, but the place has no pieces; name them, or take the line out.")
        elif v["counts"] is not None and len(v["counts"]) != len(v["pieces"]):
            yield part.fault(
                "counts",
                f" has {len(v['counts'])} numbers for {len(v['pieces'])} pieces; give one number for each.",
            )
    if any(
        part.values["counts"] is not None and len(part.values["counts"]) != len(part.values["pieces"])
        for part in game["places"]
    ):
        return
    for part in game["pieces"]:
        held, count = game.held(part), part.values["count"]
        if count is not None and held > count:
            yield part.fault(
                "count",
                f" is {count}, but the places hold {held} {plural_of(part.values)}; change one of the two.",
            )
        if count is None and not held and not game.broken.get("places"):
            yield part.fault("count", " is missing, and no place says how many it holds; say how many there are.")


def plural_of(values):
    """More than one of a piece."""
    return values["plural"] or values["label"] + "s"


def _pens(game):
    for part in game["places"]:
        v = part.values
        if v["kind"] == "pen" and v["depth"] is None:
            yield part.fault("depth", " is missing (how far a robot must reach in), but a pen has one.")
        if v["gap"] is not None:
            for piece in game.named("pieces", v["pieces"]):
                narrow = sorted(sides(piece.values))[0]
                if v["gap"] < narrow:
                    yield part.fault(
                        "gap",
                        f" is {_mm(v['gap'])}, but a {_label(piece)} is {_mm(narrow)} at its narrowest: nothing can"
                        " pass; measure again.",
                    )


def _goals(game):
    lies = {name for place in game["places"] for name in place.values["pieces"]}
    for part in game["goals"]:
        v = part.values
        if not game.have("pieces"):
            yield part.fault("takes", " has nothing to take: add the game's pieces, [pieces.NAME].")
        for piece in game.takes(part):
            if game["places"] and not game.broken.get("places") and v["takes"] is not None and piece.name not in lies:
                yield part.fault(
                    "takes", f" has {_label(piece)}, but no place holds {plural_of(piece.values)}; add it to a place."
                )
            if v["opening"] is not None and not _passes(piece.values, v["opening"]):
                least = sorted(sides(piece.values))[:2]
                yield part.fault(
                    "opening",
                    f" is {_by(v['opening'])}, but a {_label(piece)} needs {_by(least)} at least; enlarge it or take"
                    f" {piece.name} out of takes, its pieces.",
                )
        if v["takes"] == ():
            yield part.fault(
                "takes", " is an empty list, so that nothing scores there; name pieces, or take the line out."
            )
        if v["kind"] != "launch" and v["height"] > game.limits["height"]:
            yield part.fault(
                "height",
                f" is {v['height']:.3g} m, but a robot may be {game.limits['height']:.3g} m; only a launch goal may be"
                " higher.",
            )
        if v["rim"] and v["rim"] >= max(v["height"], 1e-9) and v["kind"] != "bin":
            yield part.fault(
                "rim", f" is {_mm(v['rim'])}, as high as the goal itself: nothing can pass; measure again."
            )
        if v["distance"] is not None:
            near, far = v["distance"]
            if near > far:
                yield part.fault("distance", " has the nearest place farther off than the farthest; swap the two.")
            if near > game.diagonal:
                yield part.fault(
                    "distance",
                    f" begins at {near:.3g} m, but the field is {game.diagonal:.3g} m from corner to corner: no robot"
                    " can stand there.",
                )


def _passes(values, opening):
    """Whether a piece gets through an opening in some way of turning it by quarters; a round one passes as a square."""
    return any(a <= opening[0] + 1e-9 and b <= opening[1] + 1e-9 for a, b, _ in permutations(sides(values)))


def _bonuses(game):
    for part in game["bonuses"]:
        v = part.values
        goals = game["goals"] if v["goals"] is None else game.named("goals", v["goals"])
        if not game.have("goals"):
            yield part.fault("kind", " is a bonus for pieces, but the game has no goal; take it out.")
            continue
        if v["need"] is None and v["kind"] in NEEDED:
            yield part.fault("need", f" is missing ({NEEDED[v['kind']]}), but there must be one.")
        if game.broken.get("pieces") or game.broken.get("goals"):
            continue  # what its pieces and goals are is not known yet
        colours = max((piece.values["colours"] for goal in goals for piece in game.takes(goal)), default=1)
        if v["kind"] == "set" and v["need"] is not None and v["need"] > colours > 0:
            yield part.fault(
                "need", f" is {v['need']}, but these pieces have {colours} colours; a set has one of each at most."
            )
        if v["kind"] == "set" and v["need"] is None and colours < 2:
            yield part.fault("need", " is missing, and the pieces have one colour; a set has different colours.")
        room = sum(goal.values["capacity"] for goal in goals)
        if v["need"] is not None and v["need"] > room:
            yield part.fault("need", f" is {v['need']}, but these goals take {room:g} pieces; nobody can get it.")


def _limits(game):
    part, v = next(iter(game["limits"]), None), game.limits
    length, width, height = v["start_box"]
    if part is None or not math.isfinite(height):
        return
    if height > v["height"]:
        yield part.fault(
            "start_box",
            f" is {_mm(height)} high, but height is {_mm(v['height'])}: the robot may not shrink at the start.",
        )
    if max(length, width) > v["level"]:
        yield part.fault(
            "start_box",
            f" is {_mm(max(length, width))} long, but after the start it may be {_mm(v['level'])} long or wide at most"
            " (level): the robot may not shrink at the start.",
        )
    if max(length, width) > game.diagonal:
        yield part.fault(
            "start_box",
            f" is {_mm(max(length, width))} long, more than the field from corner to corner; look at the unit.",
        )


def _field(game):
    for part in game["field"]:
        v = part.values
        if v["width"] is not None and v["width"] > v["length"]:
            yield part.fault("width", " is more than length, but length is the longer side; swap the two.")
    for table in ("places", "goals", "closing"):
        for one in game[table]:
            if one.values["way"] > game.diagonal:
                yield one.fault(
                    "way",
                    f" is {one.values['way']:.3g} m from the middle, but the field is {game.diagonal:.3g} m from"
                    " corner to corner; look at the unit.",
                )


def _closing(game):
    for part in game["closing"]:
        v = part.values
        if v["kind"] == "hang" and v["bar_height"] + v["clear"] > ABOVE_A_ROBOT * game.limits["height"]:
            yield part.fault(
                "bar_height",
                f" is {v['bar_height']:.3g} m, but a robot may be {game.limits['height']:.3g} m high: no "
                "robot reaches it.",
            )
        if part.name in v["instead_of"]:
            yield part.fault("instead_of", " names the task itself; take it out.")
        yield from _own_place(game, part)
        for goal in game.named("goals", [v["goal"]]) if v["kind"] == "place" and v["goal"] else ():
            taken = [*(piece.name for piece in game.takes(goal)), *game.broken.get("pieces", ())]
            if v["piece"] is not None and v["piece"] not in taken:
                yield part.fault(
                    "piece", f" is {shown(v['piece'])}, but goal {goal.name} takes {', '.join(taken)} only."
                )


def _own_place(game, part):
    """A place of its own is in no goal, and no higher than a robot may be."""
    v = part.values
    if v["height"] is None:
        return
    if v["goal"]:
        yield part.fault(
            "height",
            f" is given, but the piece must be in the goal {v['goal']}, which has its own; take one of the two out.",
        )
    elif v["height"] > game.limits["height"]:
        yield part.fault("height", f" is {v['height']:.3g} m, but a robot may be {game.limits['height']:.3g} m high.")


CHECKS = (
    _names_exist,
    _phases,
    _something_scores,
    _order_of_times,
    _pieces,
    _counts,
    _pens,
    _goals,
    _bonuses,
    _limits,
    _field,
    _closing,
)


# --- oddities: each gives notes -------------------------------------------------------------------------------------


def _densities(game):
    for part in game["pieces"]:
        density = part.values["mass"] / volume(part.values)
        if density > HEAVIEST:
            yield _note(
                part,
                f"so small and so heavy, a {_label(part)} would be heavier than steel: which is wrong, its mass or one"
                " of its sizes?",
            )
        if density < LIGHTEST:
            yield _note(
                part,
                f"so large and so light, a {_label(part)} would be lighter than foam: which is wrong, its mass or one"
                " of its sizes?",
            )


def _long_tries(game):
    driven = next((part.values["time"] for part in game["phases"] if part.values["kind"] == "driven"), math.inf)
    for part in game["human"]:
        v = part.values
        if v["high"] > driven:
            yield _note(part, f"one try takes up to {v['high']:g} s of a match of {driven:g} s: is that so?")
        elif v["likely"] > 0 and v["high"] > OFTEN * v["likely"]:
            yield _note(
                part,
                f"the slowest try, {v['high']:g} s, is {v['high'] / v['likely']:.0f} times the usual one: is that so?",
            )


def _worth_nothing(game):
    for table in ("goals", "closing", "bonuses"):
        for part in game[table]:
            if part.values["points"] == 0:
                yield _note(part, "it gives no points: is that so?")


def _flat_goals(game):
    for part in game["goals"]:
        if 0 < part.values["height"] < LOW_GOAL and part.values["kind"] != "bin":
            yield _note(part, f"height is {_mm(part.values['height'])} over the floor: is that so?")


def _nobody(game):
    if not game["human"]:
        yield "game.toml has no [human] steps, so that people take no time in a cycle: time some and add them."
    if not game["pieces"]:
        yield "game.toml has no pieces: what is about pieces uses those of the course's own game."


def _note(part, sentence):
    return f"In {part.file}, [{'.'.join(part.path)}]: {sentence}"


ODD = (_densities, _long_tries, _flat_goals, _worth_nothing, _nobody)
