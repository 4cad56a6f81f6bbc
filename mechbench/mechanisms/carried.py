"""How many pieces a robot carries at once, to choose from: no more than the game allows.

Contents: MOST_CARRIED, carried.
"""

from mechbench.kits import Table

MOST_CARRIED = 4  # a cycle of more pieces is none that these sums know


def carried(kit):
    """From one piece to as many as the game lets a robot hold."""
    names = [str(count) for count in range(1, int(min(kit.roles.limits.hold, MOST_CARRIED)) + 1)]
    labels = {name: f"{name} piece{'' if name == '1' else 's'}" for name in names}
    return Table(
        "carried",
        names,
        names[-1],
        labels,
        {"number": [float(name) for name in names]},
        {},
        {"number": "count"},
        {"number": "how many"},
    )
