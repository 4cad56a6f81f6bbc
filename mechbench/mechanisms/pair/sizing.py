"""Sizing: one pair of wheels. Which teeth for a ratio, and how long a belt or chain for a centre distance?"""

import numpy as np

from mechbench.engine.spec import CHOICE, JOB, Field, Finding, Pick, Sizing
from mechbench.kits import Table
from mechbench.mechanisms.powertrain import KINDS, NONE, last_stages
from mechbench.physics import belt, teeth

ROOM = (
    1.001  # a wish closer than the wheels' touching is taken as just free of each other; the finding "moved" tells it
)


def pairs(kit):
    """All pairs of gears, pulleys and sprockets of the kit; those of the course's own where the team has no pair."""
    stages = last_stages(kit)
    if len(stages) == 1:
        stages = last_stages(kit, kit.own_table)
    keep = [i for i, name in enumerate(stages.names) if name != NONE]
    columns = {key: column[keep] for key, column in stages.columns.items()}
    names = [stages.names[i] for i in keep]
    belt_near = lambda row: (row["kind"] != KINDS["belt"], abs(row["ratio"] - 2.5))
    usual = min(names, key=lambda name: belt_near(stages.row(name)))
    return Table("pairs", names, usual, {name: stages.labels[name] for name in names}, columns, assumed=stages.assumed)


class Pair(Sizing):
    """Two gears, two pulleys with a belt, or two sprockets with a chain."""

    NAME = "pair"
    ALSO = (
        "gears",
        "gear",
        "belt",
        "belts",
        "pulley",
        "pulleys",
        "sprocket",
        "sprockets",
        "chain",
        "chains",
        "teeth",
        "wheels_apart",
    )
    TITLE = "A pair of gears, or a belt or chain"
    QUESTION = "Which teeth for this ratio, and how long a belt or chain for this centre distance?"
    FIELDS = (
        Field(
            "ratio_wanted",
            "Ratio wanted",
            "x",
            0.1,
            10.0,
            2.5,
            "turns of the first wheel for one turn of the second",
            JOB,
            also=("reduction", "gear_ratio"),
        ),
        Field("off_allowed", "Ratio may be off by", "%", 0.1, 30.0, 3.0, "of the ratio wanted", JOB, more=True),
        Field(
            "distance",
            "Centre distance wished",
            "mm",
            5.0,
            600.0,
            100.0,
            "from shaft to shaft",
            JOB,
            also=("centre_distance", "center_distance", "centres", "apart", "spacing", "shafts"),
        ),
        Field(
            "moved_allowed",
            "Shaft may move by",
            "mm",
            0.0,
            100.0,
            10.0,
            "slots allow more; gears ask for one exact distance",
            JOB,
            also=("move",),
        ),
        Field(
            "load_torque",
            "Torque on the second wheel",
            "N·m",
            0.02,
            20.0,
            1.0,
            "how hard the load resists turning",
            JOB,
            also=("torque", "load"),
        ),
        Pick(
            "last_stage",
            "Wheels",
            "pairs",
            None,
            "first to second, by their teeth",
            CHOICE,
            also=(
                "teeth",
                "gears",
                "gear",
                "pulleys",
                "pulley",
                "sprockets",
                "sprocket",
                "belt",
                "chain",
                "wheels",
                "pair",
            ),
        ),
    )
    FINDINGS = (
        Finding("off", "ratio off by", "%", "of the ratio wanted, too large or too small", "at most", "off_allowed"),
        Finding(
            "moved",
            "centre distance beside the wish",
            "mm",
            "a belt has whole teeth, a chain whole pairs of links",
            "at most",
            "moved_allowed",
            also=("tension",),
        ),
        Finding(
            "strength",
            "share of the pair's strength",
            "%",
            "torque on the second wheel over what the pair may carry",
            "at most",
            100.0,
            also=("torque", "strong", "breaks", "break"),
        ),
        Finding("ratio", "ratio", "x", "teeth of the second wheel over teeth of the first", also=("gears", "gear")),
        Finding(
            "centre",
            "centre distance",
            "mm",
            "exact, for the shafts; leave a way to tighten a belt or chain",
            digits=5,
            also=("center", "distance", "apart", "centre_distance", "center_distance", "gears", "gear"),
        ),
        Finding(
            "loop",
            "length of belt or chain",
            "mm",
            "0 for gears",
            digits=5,
            also=("length", "belt", "belts", "pulley", "pulleys", "belt_length", "chain_length"),
        ),
        Finding(
            "teeth",
            "teeth of the belt, or links of the chain",
            "x",
            "0 for gears",
            also=("links", "chain", "chains", "sprocket", "sprockets", "belt", "belts", "pulley", "pulleys"),
        ),
        Finding(
            "in_mesh",
            "teeth in mesh",
            "x",
            "of belt or chain on the small wheel: 6 at least, or a belt jumps; 1 for gears",
        ),
        Finding(
            "mass",
            "mass of both wheels",
            "kg",
            "without belt, chain and shafts",
            worse="more",
            also=("weight", "heavy"),
        ),
    )
    LESS = ("load_torque",)
    TABLES = {"pairs": pairs}
    SPREADS = {"load_torque": "friction"}
    RANK = ("off", "mass")
    USES = (belt.nearest_belt, belt.nearest_chain, teeth.centre_distance)

    @staticmethod
    def solve(x):
        """Gears, belt and chain each by its own formula; every row takes the one of its kind."""
        part, gears, belts = x.last_stage, x.last_stage.kind == KINDS["gear"], x.last_stage.kind == KINDS["belt"]
        touching = (part.diameter_in + part.diameter_out) / 2
        wished = np.maximum(x.distance, ROOM * touching)
        by_belt = belt.nearest_belt(part.tooth, part.teeth_in, part.teeth_out, wished)
        by_chain = belt.nearest_chain(part.tooth, part.teeth_in, part.teeth_out, _room_for_chain(part, wished))
        exact = teeth.centre_distance(part.tooth, part.teeth_in, part.teeth_out)
        centre = np.where(gears, exact, np.where(belts, by_belt.centre_distance, by_chain.centre_distance))
        count = np.where(gears, 0, np.where(belts, by_belt.pitches, by_chain.links))
        wrap = belt.wrap_angle(
            np.minimum(part.diameter_in, part.diameter_out),
            np.maximum(part.diameter_in, part.diameter_out),
            np.maximum(centre, ROOM * touching),
        )
        return {
            "off": np.abs(part.ratio / x.ratio_wanted - 1),
            "moved": np.abs(centre - x.distance),
            "strength": x.load_torque / part.allowed,
            "ratio": part.ratio,
            "centre": centre,
            "loop": count * part.tooth,
            "teeth": count,
            "in_mesh": np.where(gears, 1.0, np.minimum(part.teeth_in, part.teeth_out) * wrap / (2 * np.pi)),
            "mass": part.mass,
        }


def _room_for_chain(part, wished):
    """The wish, or where sprockets of that pitch just do not touch: their pitch circles are larger than pitch times
    teeth over pi.
    """
    diameters = belt.sprocket_diameter(part.tooth, part.teeth_in) + belt.sprocket_diameter(part.tooth, part.teeth_out)
    return np.maximum(wished, ROOM * diameters / 2)
