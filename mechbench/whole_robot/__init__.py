"""A whole robot: from the plan in robots.toml to mass, balance, reach, power, cycle and match.

- `build.py`: the robot from its plan; every mechanism is a sizing with its inputs
- `body.py`: mass, centre of gravity, how it stands, whether it fits, motors and servos
- `work.py`: what the mechanisms do on each day; who draws what current
- `score.py`: steps, cycle and match; `whole.py`: the sizing "robot"; `compare.py`: which robot is better, what counts
  most
- `part_first.py`: which one part to change first; `part_first_words.py`: its words; `together.py`: many robots solved
  at once
"""
