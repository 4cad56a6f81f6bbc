"""One number in twenty seconds: sizings at the command line, on paper, and corrected by what was measured.

The command `size`
    size_command.py    the command itself; arguments.py: what may be typed; command_words.py: options and other words
    tokens.py          the words of a line put together; which_sizing.py, meant.py: what they mean, as people type them;
                       common_words.py: words that no sizing knows
    convert_units.py   one quantity in another unit, and the command `convert`
    overview.py        every sizing, and the help of each
    answer.py          one sizing with its verdict; asked_first.py: the figures that were asked for, before all others
    pit_answer.py      a question of the pit with its answer (pit_questions.py: which there are); current_bars.py,
                       current_chart.py: who draws how much current, in letters and as a picture
    sweep.py           one input through a range
    find.py            turned round, from job to parts
    first_change.py    which one part of a whole robot to change first

The same in a notebook
    sized.py           mb.size: one sizing with its answer, used as numbers; rows.py: what holds several of them
    called.py          what a call gives, read; explained.py: mb.inputs; find.py and sweep.py have their calls

On paper
    record.py          the design record as data; record_page.py: the same on a page; reopen.py: a record opened again
    review.py          the design review of a whole robot, and its command; counts_most.py: what moves its points most

Corrected by what was measured
    correct.py         from measurement to model, and its command
    fits.py            what can be corrected; readings.py: a CSV file; kit_file.py: the team's kit changed by the line

A kit, and its command
    kit_command.py     the command itself; kit_use.py: checked, put in force
    kit_new.py         made step by step: kit_outline.py (what is asked first), kit_questions.py, kit_examples.py,
                       kit_writer.py (the files); kit_sheets.py: from a spreadsheet

The quick reference
    quick_reference.py what it shows; pit_page.py: a question of the pit, its figures, then the bench
    formula_sheet.py, rules_of_thumb.py, pit_questions.py      its formulas, rules, questions

What several of them use
    formulas.py        equations and sources read from docstrings
    text_table.py      text in columns; page_table.py: a table on a notebook's page
    spoken.py          what to type, in the words of a command or of a call
    rich_text.py       Markdown and HTML for a notebook
    printed_page.py    a page from a template (in templates/)
    pictures.py        the pictures of a machine, a sweep and readings
    waiting.py         how far a long command has come
    safe_write.py      a new file, without touching what is there
"""
