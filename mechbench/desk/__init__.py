"""One number in twenty seconds: sizings at the command line, on paper, and corrected by what was measured.

- `size_command.py`: the command `size`; `arguments.py`: what may be typed; `overview.py`: every sizing, and the help of
  each
- `answer.py`: one sizing with its verdict; `sweep.py`: one input through a range; `find.py`: turned round, from job to
  parts
- `record.py`: the design record as data; `record_page.py`: the same on a page; `reopen.py`: a record opened again
- `review.py`: the design review of a whole robot, and its command; `counts_most.py`: what moves its points most
- `correct.py`: from measurement to model, and its command; `fits.py`: what can be corrected; `readings.py`: a CSV file;
  `kit_file.py`: the team's kit changed by the line
- `reference.py`: what the quick reference shows; `formula_sheet.py`, `rules.py`, `questions.py`: its formulas, rules,
  questions
- `formulas.py`: equations and sources read from docstrings; `text_table.py`: text in columns; `note.py`: Markdown and
  HTML for
  a notebook; `printed_page.py`: a page from a template (in `templates/`); `pictures.py`: the pictures of a machine, a
  sweep and readings;
  `new_file.py`: writing without touching what is there
"""
