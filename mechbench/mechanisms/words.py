"""Other words for what several mechanisms have in common, so that each is asked by the same ones.

Contents: COUNT, GEARBOX, LAST_STAGE (inputs that pick parts), TIME_WANTED, CURRENT (a finding).
"""

COUNT = "motors", "n", "number", "how_many", "motor_count"
GEARBOX = "ratio", "reduction", "gear_ratio", "gear"
LAST_STAGE = "gears", "teeth", "belt", "chain", "sprockets", "pulleys", "second_stage", "final_stage"
TIME_WANTED = "time", "seconds", "duration"
CURRENT = "amps", "ampere", "amperes", "draw", "draws"
