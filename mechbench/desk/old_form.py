"""Records from before a game had entries of any name: read by the names of today.

Contents: renamed.

Then a game had shelves, one bar and one beam, and its numbers stood in records of their own. All that was told then has
a place today, so that nothing is lost: a record's data only gets other names. What is no table is left as it is;
whoever reads it next refuses it.
"""

from mechbench.mechanisms.cycle.sizing import Cycle

OLD_RECORDS = "game."
INPUTS = Cycle.FORMERLY  # those of trips are among them
FINDINGS = {"hangs": "closes", "cube": "start_box", "under": "passes"}
# Record of today: from which record each of its numbers came, and under what name; or a number where there was none.
INFINITE = "inf"
NO_STEP = {"low": 0.0, "likely": 0.0, "high": 0.0}
RECORDS = {
    "roles.match": {
        "self_driving": ("game.match", "self_driving"),
        "driven": ("game.match", "driven"),
        "closing": ("game.match", "closing"),
        "factor": ("game.bonus", "self_driving_factor"),
        "pause": 0.0,
        "driven_factor": 1.0,
    },
    "roles.ending": {"tried_points": ("game.closing", "hang_points"), "left_points": ("game.closing", "park_points")},
    "roles.bonus": {"pair": ("game.bonus", "same_colour_pair"), "factor": ("game.bonus", "self_driving_factor")},
    **{
        f"roles.people.{step}": {key: (f"game.human.{step}", key) for key in NO_STEP}
        for step in ("find", "line_up", "held_up", "clear_jam")
    },
    "roles.people.more_piece": NO_STEP,
    "roles.people.more_trip": NO_STEP,
    "roles.people.more_jam": NO_STEP,
    "roles.limits": {
        **{f"start_{side}": ("game.robot", "start_cube") for side in ("length", "width", "height")},
        "start_box": [("game.robot", "start_cube")] * 3,
        "height": ("game.robot", "height_limit"),
        "level": ("game.robot", "level_limit"),
        "mass": ("game.robot", "mass_limit"),
        "motors": ("game.robot", "motors"),
        "servos": ("game.robot", "servos"),
        "drives": INFINITE,
        "hold": INFINITE,
    },
}
SPREADS = ("human_more_piece", "human_more_trip", "human_more_jam")  # of people's steps that there were none of
NOT_AT_ALL = {"kind": "absolute", "low": 0.0, "high": 0.0}
TRIPS_FACTOR = 1.0  # of the self-driving time, where a record does not tell it: its sums did not use it


def renamed(data):
    """The data by the names of today, and a sentence's end that says so; empty where nothing had another name."""
    parts = {key: data.get(key) for key in ("inputs", "records", "findings", "measured")}
    tables = {key: part for key, part in parts.items() if isinstance(part, dict)}
    records = tables.get("records", {})
    old_game = any(isinstance(path, str) and path.startswith(OLD_RECORDS) for path in records)
    if not old_game:
        return data, ""
    new = dict(data)
    inputs = tables.get("inputs", {})
    told = [f"{name} is read as {INPUTS[name]}" for name in inputs if name in INPUTS]
    new["inputs"] = {INPUTS.get(name, name): _goal(one) for name, one in inputs.items()} if inputs else parts["inputs"]
    new["records"] = {path: one for path, one in records.items() if not path.startswith(OLD_RECORDS)} | _made(records)
    if isinstance(data.get("spreads"), dict):
        new["spreads"] = dict.fromkeys(SPREADS, NOT_AT_ALL) | data["spreads"]
    if data.get("sizing") == "robot":
        told += [f"{name} is read as {FINDINGS[name]}" for name in tables.get("findings", {}) if name in FINDINGS]
        for key in ("findings", "measured"):
            if key in tables:
                new[key] = {FINDINGS.get(name, name): one for name, one in tables[key].items()}
    return new, "; ".join(["its game is read by today's names", *told])


def _made(records):
    """Today's records, those of which the old ones tell anything."""
    made = {}
    for path, shape in RECORDS.items():
        found = {key: _value(records, source) for key, source in shape.items()}
        told = {source[0] for source in shape.values() if isinstance(source, tuple)}
        if told & records.keys() or (not told and any(one.startswith("game.human.") for one in records)):
            made[path] = {key: value for key, value in found.items() if value is not None}
    if "roles.match" in made:
        made["roles.match"].setdefault("factor", TRIPS_FACTOR)
    return made


def _value(records, source):
    """A number as an old record told it, one that follows, or None where it is not told."""
    if isinstance(source, list):
        values = [_value(records, one) for one in source]
        return None if None in values else values
    if not isinstance(source, tuple):
        return source
    record = records.get(source[0])
    return record.get(source[1]) if isinstance(record, dict) else None


def _goal(one):
    """An input; of a shelf, its numbers as those of a goal. Shelves were told apart by their height."""
    if not isinstance(one, dict) or one.get("table") != "shelves" or not isinstance(one.get("numbers"), dict):
        return one
    numbers = {"rim" if key == "lip" else key: value for key, value in one["numbers"].items()}
    more = {"way": 0.0, "launch": 0.0, "number": numbers.get("height", 0.0)}
    return {**one, "table": "goals", "numbers": {**numbers, **more}}
