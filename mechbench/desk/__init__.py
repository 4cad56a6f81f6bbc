"""One number in twenty seconds: sizings at the command line, on paper, and corrected by what was measured.

- `command.py`: the command `size`; `line.py`: what may be typed; `listed.py`: every sizing, and the help of each
- `one.py`: one sizing with its verdict; `sweep.py`: one input through a range; `find.py`: turned round, from job to parts
- `record.py`: the design record as data; `paper.py`: the same on a page; `reopen.py`: a record opened again
- `correct.py`: from measurement to model, and its command; `readings.py`: a CSV file; `kit_file.py`: the team's kit changed
- `reference.py`: what the quick reference shows; `formulas.py`, `rules.py`, `pit.py`: its formulas, rules and questions
- `columns.py`: plain text in columns; `drawn.py`: the pictures of a sweep and of readings
"""
