"""What is on the screen: slider benches.

- `bench.py`: a sizing with its controls, picture and verdict; `input_control.py`: one input
- `player.py`: the machine's move as a film in the picture's place
- `page.py`: the pieces of HTML
- `websocket_nodelay.py`: how the notebook's server passes on what moved, without waiting
"""

# Nothing is imported here: a picture for the command or a record does without the widgets of a bench.
