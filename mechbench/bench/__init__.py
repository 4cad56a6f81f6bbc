"""What is on the screen: slider benches, pictures to scale, palette.

- `bench.py`: a sizing with its controls, picture and verdict; `control.py`: one input; `page.py`: the pieces of HTML
- `picture.py`: pictures that move quickly; `lettering.py`: their moving words; `palette.py`: their colours; `twin.py`: the still
  picture for paper and web
- `at_once.py`: how the notebook's server passes on what moved, without waiting
- `draw/`: the pictures themselves, one file a topic, and the shapes that they share
"""

# Nothing is imported here: a picture for the command or a record does without the widgets of a bench.
