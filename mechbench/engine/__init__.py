"""What turns inputs into findings, for any sizing: it works on classes and knows no mechanism.

- `spec.py`: what a sizing is: inputs, findings, tables, and one pure function between them
- `inputs.py`: read and check inputs against a kit; `columns.py`: inputs as columns of numbers; `days.py`: good and bad
  days
- `judge.py`: from inputs to a report; `search.py`: every combination of parts; `report_text.py`: the words for both
- `bounds.py` and `unique_rows.py`: what keeps a search quick
"""
