"""Every finding of the cycle sizing by hand: the longest way through the steps, and the points of a match added up.

Source: the longest of two ways through a cycle (critical path; Kelley & Walker 1959, from memory), expected values as
in OpenStax Introductory Statistics 2e, section 4.2. No function of mechbench is used.
"""

import math

import pytest

from tests.mechanisms.by_hand_handling import agree, altered_kit, at_least, bounds_agree, judged, rows_agree, some_agree

# tests/whole_robot/by_hand_kit/game.toml: the usual time of what people do, the match, and what counts.
FIND, LINE_UP, HELD_UP, CLEAR_JAM = 1.4, 1.3, 0.7, 6.0
DRIVEN, HANG, PARK, PAIR, SELF_DRIVING = 115.0, 18.0, 5.0, 3.0, 1.5
GOALS = {
    "step": (2, 20),
    "sill": (4, 14),
    "ledge": (7, 10),
    "roof": (9, math.inf),
}  # points a piece, pieces that count


def longest_way(pieces, during, drive, rise, grab, place, jam):
    """Time of a cycle, and by how much raising may be slower: it may rise beside driving, waiting and lining up."""
    beside = drive + HELD_UP + LINE_UP
    middle = max(beside, rise) if during else beside + rise
    total = pieces * (FIND + grab) + middle + pieces * place + drive + jam * CLEAR_JAM
    return total, middle - rise if during else 0.0


def scored(cycle, seconds, pieces, success, goal, then, start, pair):
    """Pieces on both goals and their points in so many seconds, parts of a cycle counted; the start counts more."""
    (worth, most), (next_worth, next_most) = GOALS[goal], GOALS[then]
    begun = min(start, most)
    all_driven = seconds / cycle * pieces * success
    first = min(all_driven, most - begun)
    second = 0.0 if then == goal else min(all_driven - first, next_most)
    pairs = min(seconds / cycle * (pieces // 2) * success**2 * pair, (first + second) / 2)
    return begun + first, second, begun * SELF_DRIVING * worth + first * worth + second * next_worth + pairs * PAIR


def by_hand(v):
    """All findings of one state."""
    cycle, slack = longest_way(v["pieces"], v["during"], v["drive"], v["rise"], v["grab"], v["place"], v["jam"])
    left = DRIVEN - v["leave"]
    rest = {key: v[key] for key in ("pieces", "success", "goal", "then", "start", "pair")}
    first, second, points = scored(cycle, left, **rest)
    can_hang = v["leave"] >= v["bar"]
    hangs = v["hang"] if can_hang else 0.0
    end = hangs * HANG + ((1 - hangs) * PARK if v["leave"] >= v["drive"] else 0.0)
    saved = scored(cycle - min(1.0, cycle / 2), left, **rest)[2]
    return {
        "points": points + end,
        "time": cycle,
        "count": left / cycle,
        "first": first,
        "then": second,
        "end": end,
        "a_minute": 60 * v["pieces"] * v["success"] / cycle,
        "people": (v["pieces"] * FIND + LINE_UP + HELD_UP) / cycle,
        "may_wait": slack,
        "second": saved - points,
        "clean": (1 - v["jam"]) * v["success"] ** v["pieces"],
    }


def typed(v):
    """The state as inputs of the sizing."""
    return {
        "drive_time": v["drive"],
        "raise_time": v["rise"],
        "raising": "during" if v["during"] else "after",
        "pieces": str(v["pieces"]),
        "goal": v["goal"],
        "next_goal": v["then"],
        "grab_time": v["grab"],
        "place_time": v["place"],
        "success": v["success"],
        "jam_chance": v["jam"],
        "pair_chance": v["pair"],
        "start_pieces": v["start"],
        "leave": v["leave"],
        "closing_time": v["bar"],
        "closing_chance": v["hang"],
    }


USUAL = dict(
    drive=1.9,
    rise=1.1,
    during=True,
    pieces=3,
    goal="ledge",
    then="step",
    grab=0.6,
    place=0.35,
    success=0.8,
    jam=0.15,
    pair=0.3,
    start=2.0,
    leave=22.0,
    bar=13.0,
    hang=0.55,
)
STATES = {
    "raising has time": {},
    "raising is the longest way": {"rise": 5.2},
    "raising after driving": {"during": False, "rise": 2.3},
    "one piece, no pairs": {"pieces": 1, "during": False},
    "two pieces on the roof, never full": {"pieces": 2, "goal": "roof", "then": "roof", "pair": 0.6},
    "both goals full, pairs of all": {
        "pieces": 2,
        "goal": "ledge",
        "then": "sill",
        "drive": 0.4,
        "rise": 0.3,
        "success": 1.0,
        "pair": 1.0,
    },
    "nowhere after the first goal": {"pieces": 2, "goal": "ledge", "then": "ledge", "drive": 0.5},
    "start alone fills the goal's last place": {"goal": "ledge", "start": 6.0, "pieces": 2, "drive": 0.7},
    "too late to hang": {"leave": 9.0},
    "too late to park": {"leave": 1.5},
    "just in time to hang": {"leave": 13.0},
    "just in time to park": {"leave": 1.9},
    "quick hands": {
        "pieces": 1,
        "drive": 0.3,
        "rise": 0.1,
        "grab": 0.1,
        "place": 0.1,
        "jam": 0.0,
        "goal": "roof",
        "then": "roof",
    },
}


@pytest.mark.parametrize("name", STATES)
def test_every_finding(name):
    state = USUAL | STATES[name]
    agree(judged("cycle", **typed(state)), by_hand(state))


def test_the_states_meet_every_limit():
    """Full goals, pairs of all pieces, and both ways through the cycle are met by these states."""
    found = {name: by_hand(USUAL | change) for name, change in STATES.items()}
    assert found["raising has time"]["may_wait"] > 0 == found["raising is the longest way"]["may_wait"]
    full = found["both goals full, pairs of all"]
    assert full["first"] == 10 and full["then"] == 14, "both are full"
    start = 2.0 * SELF_DRIVING * 7
    no_more_pairs_than_pieces = start + 8 * 7 + 14 * 4 + (8 + 14) / 2 * PAIR
    assert full["points"] - full["end"] == pytest.approx(no_more_pairs_than_pieces)
    assert found["nowhere after the first goal"]["then"] == 0 and found["nowhere after the first goal"]["first"] == 10
    assert found["two pieces on the roof, never full"]["second"] > 0 == full["second"], "time is worth nothing then"
    assert [
        found[f"{when} to {what}"]["end"] for when in ("too late", "just in time") for what in ("hang", "park")
    ] == pytest.approx([PARK, 0.0, 0.55 * HANG + 0.45 * PARK, PARK])


def test_the_start_fills_a_goal_that_holds_less(tmp_path):
    """More pieces while self-driving than the goal counts: the rest of the start is worth nothing."""
    kit = altered_kit(tmp_path, game={"capacity = 10": "capacity = 4"})
    good = judged("cycle", kit, **typed(USUAL | {"start": 6.0, "pieces": 1})).good
    cycle, _ = longest_way(1, True, 1.9, 1.1, 0.6, 0.35, 0.15)
    then = (DRIVEN - 22.0) / cycle * 0.8
    assert good["first"] == 4.0 and good["then"] == pytest.approx(then, rel=1e-9)
    assert good["points"] - good["end"] == pytest.approx(4 * SELF_DRIVING * 7 + then * 2, rel=1e-9)


def test_a_cycle_shorter_than_two_seconds_is_halved(tmp_path):
    """One second can't be saved where the cycle has not two: half of it is saved, which brings as much again."""
    kit = altered_kit(
        tmp_path,
        game={
            'low = "0.8 s"\nlikely = "1.4 s"': 'low = "0 s"\nlikely = "0.1 s"',
            'low = "0.7 s"\nlikely = "1.3 s"': 'low = "0 s"\nlikely = "0.2 s"',
            'low = "0.1 s"\nlikely = "0.7 s"': 'low = "0 s"\nlikely = "0.15 s"',
        },
    )
    state = USUAL | STATES["quick hands"] | {"pair": 0.0, "success": 0.9}
    cycle = 0.1 + 0.1 + max(0.3 + 0.15 + 0.2, 0.1) + 0.1 + 0.3
    assert cycle < 2
    in_all = (DRIVEN - 22.0) / cycle * 0.9 * 9
    some_agree(
        judged("cycle", kit, **typed(state)),
        {
            "time": cycle,
            "second": in_all,
            "points": in_all + 2.0 * SELF_DRIVING * 9 + 0.55 * HANG + 0.45 * PARK,
            "people": (0.1 + 0.2 + 0.15) / cycle,
        },
    )


def test_many_at_once():
    """Rows that carry other numbers of pieces, and raise at other times, do not mix."""
    values = typed(USUAL)
    for name in ("pieces", "raising", "goal", "raise_time"):
        del values[name]
    rows_agree(
        "cycle",
        values,
        {
            "pieces": ["1", "2", "3"],
            "raising": ["after", "during"],
            "goal": ["ledge", "roof"],
            "raise_time": [1.0, 5.5],
        },
        lambda choice: by_hand(
            USUAL
            | {
                "pieces": int(choice["pieces"]),
                "during": choice["raising"] == "during",
                "goal": choice["goal"],
                "rise": choice["raise_time"],
            }
        ),
    )


def test_no_more_is_carried_than_the_game_lets():
    with pytest.raises(ValueError, match="pieces is '4'"):
        judged("cycle", pieces="4")


def test_bounds():
    bounds_agree(judged("cycle", points_wanted=37.0, goal="sill"), {"points": at_least(37.0)})
