"""Sizing: one pair of wheels. How long a belt or chain for a centre distance, and which teeth for a ratio?"""

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
    labels, texts = (
        {name: stages.labels[name] for name in names},
        {key: [column[i] for i in keep] for key, column in stages.texts.items()},
    )
    return Table("pairs", names, usual, labels, columns, texts, assumed=stages.assumed)


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
    VERSION = 2  # 2: torque in and out; strength bears the larger one of both torques
    TITLE = "A pair of gears, or a belt or chain"
    QUESTION = "How long a belt or chain for this centre distance, and which teeth for this ratio?"
    FIELDS = (
        Field(
            "distance",
            "Centre distance wished",
            "mm",
            2.0,
            1500.0,
            100.0,
            "from shaft to shaft",
            JOB,
            also=("centre_distance", "center_distance", "centres", "apart", "spacing", "shafts"),
        ),
        Field(
            "ratio_wanted",
            "Ratio wanted",
            "x",
            0.1,
            200.0,
            2.5,
            "turns of the first wheel for one turn of the second; that of the wheels, where these alone are given",
            JOB,
            also=("reduction", "gear_ratio"),
        ),
        Field("off_allowed", "Ratio may be off by", "%", 0.1, 30.0, 3.0, "of the ratio wanted", JOB, more=True),
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
            0.0,
            50.0,
            1.0,
            "how hard the load resists turning",
            JOB,
            also=("load",),
        ),
        Field(
            "first_torque",
            "Torque on the first wheel",
            "N·m",
            0.0,
            50.0,
            0.0,
            "to see what comes out; 0 asks for nothing",
            JOB,
            more=True,
            also=("torque", "input_torque"),
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
        Finding(
            "loop",
            "length of belt or chain",
            "mm",
            "0 for gears",
            digits=5,
            also=("length", "belt", "belts", "pulley", "pulleys", "belt_length", "chain_length", "chain_links"),
        ),
        Finding(
            "teeth",
            "teeth of the belt, or links of the chain",
            "x",
            "0 for gears",
            also=("links", "chain", "chains", "sprocket", "sprockets", "belt", "belts", "pulley", "pulleys"),
        ),
        Finding(
            "centre",
            "centre distance",
            "mm",
            "exact, for the shafts; leave a way to tighten a belt or chain",
            digits=5,
            also=("center", "distance", "apart", "centre_distance", "center_distance", "gears", "gear"),
        ),
        Finding("ratio", "ratio", "x", "teeth of the second wheel over teeth of the first", also=("gears", "gear")),
        Finding(
            "off",
            "ratio off by",
            "%",
            "of the ratio wanted, too large or too small",
            "at most",
            "off_allowed",
            also=("error",),
        ),
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
            also=("strong", "breaks", "break", "strip", "strips", "skip", "skips"),
        ),
        Finding(
            "torque_out",
            "torque out, for that on the first wheel",
            "N·m",
            "at the second wheel, friction taken off; 0 where none is given",
            worse="less",
            also=("gears", "gear", "torque"),
        ),
        Finding(
            "torque_in",
            "torque in, for the load",
            "N·m",
            "at the first wheel, to turn the load on the second one",
            worse="more",
            also=("needed",),
        ),
        Finding(
            "in_mesh",
            "teeth in mesh",
            "x",
            "of belt or chain on the small wheel: 6 at least, or a belt jumps; 1 for gears",
            also=("mesh",),
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

    @classmethod
    def agreed(cls, values, given, tables):
        """Who gives the wheels alone asks for no other ratio than theirs, and for gears for no other distance."""
        if "last_stage" not in given:
            return values
        part, given = tables("pairs").row(values["last_stage"]), set(given)
        theirs = {"ratio_wanted": part["ratio"]}
        if part["kind"] == KINDS["gear"]:
            theirs["distance"] = (part["diameter_in"] + part["diameter_out"]) / 2
        return values | {name: value for name, value in theirs.items() if name not in given}

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
        torque_out = x.first_torque * part.ratio * part.efficiency
        return {
            "off": np.abs(part.ratio / x.ratio_wanted - 1),
            "moved": np.abs(centre - x.distance),
            "strength": np.maximum(x.load_torque, torque_out) / part.allowed,
            "ratio": part.ratio,
            "centre": centre,
            "loop": count * part.tooth,
            "teeth": count,
            "torque_out": torque_out,
            "torque_in": x.load_torque / part.ratio / part.efficiency,
            "in_mesh": np.where(gears, 1.0, np.minimum(part.teeth_in, part.teeth_out) * wrap / (2 * np.pi)),
            "mass": part.mass,
        }


def _room_for_chain(part, wished):
    """The wish, or where sprockets of that pitch just do not touch: their pitch circles are larger than pitch times
    teeth over pi.
    """
    diameters = belt.sprocket_diameter(part.tooth, part.teeth_in) + belt.sprocket_diameter(part.tooth, part.teeth_out)
    return np.maximum(wished, ROOM * diameters / 2)
