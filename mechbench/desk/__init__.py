"""One number in twenty seconds: sizings at the command line, on paper, and corrected by what was measured.

- `command.py`: the command `size`; `line.py`: what may be typed; `listed.py`: every sizing, and the help of each
- `one.py`: one sizing with its verdict; `sweep.py`: one input through a range; `find.py`: turned round, from job to parts
- `record.py`: the design record as data; `paper.py`: the same on a page; `reopen.py`: a record opened again
- `correct.py`: from measurement to model, and its command; `fits.py`: what can be corrected; `readings.py`: a CSV file;
  `kit_file.py`: the team's kit changed by the line
- `reference.py`: what the quick reference shows; `formula_sheet.py`, `rules.py`, `pit.py`: its formulas, rules, questions
- `formulas.py`: equations and sources read from docstrings; `columns.py`: text in columns; `note.py`: Markdown and HTML for
  a notebook; `drawn.py`: the pictures of a machine, a sweep and readings
"""
