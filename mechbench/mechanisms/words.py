"""Other words for what several mechanisms have in common, so that each is asked by the same ones.

Contents: COUNT, GEARBOX, LAST_STAGE (inputs that pick parts), TIME_WANTED, HOLD_TIME, PIECE, TIP_MASS, CENTRE (of mass;
inputs), CURRENT, SPEED, HOLDS, HOT (findings).
"""

COUNT = "motors", "n", "number", "how_many", "motor_count"
GEARBOX = "ratio", "reduction", "gear_ratio", "gear"
LAST_STAGE = "gears", "teeth", "belt", "chain", "sprockets", "pulleys", "second_stage", "final_stage"
TIME_WANTED = "time", "seconds", "duration"
CURRENT = "amps", "ampere", "amperes", "draw", "draws"
SPEED = "speed", "fast", "quick", "quicker", "slow", "slower"
HOLD_TIME = "hold", "holding", "held", "holding_time"
PIECE = "mass", "weight", "piece", "object", "box", "cube"
TIP_MASS = "load", *PIECE, "piece_mass", "tip_mass", "gripper"
CENTRE = (
    *("cog", "com", "cg", "centre_of_gravity", "centre_of_mass", "center_of_gravity", "center_of_mass"),
    *("cog_height", "cg_height"),
)
HOLDS = (
    "hold",
    "holding",
    "stay",
    "stays",
    "unpowered",
    "power_off",
    "backdrive",
    "backdrives",
    "backdriven",
    "fall",
    "falls",
    "falling",
)
HOT = "temperature", "temp", "hot", "heat", "warm", "overheats", "burns", "overheat", "burn", "too_hot"
