"""A whole robot: from the plan in robots.toml to mass, balance, reach, power, cycle and match.

- `build.py`: the robot from its plan; every mechanism is a sizing with its inputs
- `body.py`: mass, centre of gravity, how it stands, whether it fits, motors and servos
- `work.py`: what the mechanisms do on each day; who draws what current
- `ability.py`: what it can do on each day; `reasons.py`: why it can't, in words
- `score.py`: steps, cycle and match; `sizing.py`: the sizing "robot"; `picture.py`: how it looks
- `compare.py`: which robot is better, what counts most
- `part_first.py`: which one part to change first; `part_first_words.py`: its words; `together.py`: many robots solved
  at once
"""
