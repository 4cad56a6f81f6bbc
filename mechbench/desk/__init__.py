"""One number in twenty seconds: sizings at the command line, on paper, and corrected by what was measured.

A line after `size`, read
    size_command.py    the command itself: which kind of answer is asked for
    command_words.py   options, and what is not an option
    tokens.py          the words of a line put together to what belongs together
    which_sizing.py    which sizing they ask, and which other one where that can't read them
    meant.py           what they mean to it, word by word: known_words.py (names of inputs, findings, parts),
                       value_texts.py (1,2 and 1,5kg), teeth_said.py (16 to 48 teeth), own_figures.py (a motor, a
                       battery), turned_round.py (`heaviest`, `payload=?`), not_read.py (the sentence for what can't be
                       read); common_words.py: words of no sizing alone
    arguments.py       names of inputs, findings and parts, and their values; notebooks read by it, too

A call in a notebook, read
    called.py          sizing, kit, units and inputs of a call; all calls of mb that take a sizing begin with it

The kinds of answer, each for a line and for a call of the same name
    answer.py          one sizing on a page of letters; sized.py: mb.size, the same used as numbers; asked_first.py: the
                       figures that were asked for, before all others
    sweep.py           one input through a range
    find.py            turned round: which parts do it (ranking.py: tried and judged; found_page.py: shown); working.py:
                       which numbers do it, in ranges
    most.py            turned round: the most or the least that still works; edge.py: words for what stands around it
    against.py         designs side by side
    first_change.py    which one part of a whole robot to change first (`size robot --first`)
    pit_answer.py      a question of the pit (`size --ask`); pit_questions.py: which there are, and who asks them how
    overview.py        every sizing, and the help of each; explained.py: mb.inputs, the same for a page
    convert_units.py   one quantity in another unit: mb.convert, and the command `convert`
    labelled.py        a mechanism as a drawing with the names of its parts, and the same in words
    current_bars.py    who draws how much current, in letters; current_chart.py: as a picture

On paper
    record.py          the design record as data; record_page.py: the same on a page; reopen.py: a record opened again
                       (record_changes.py: what changed since; old_form.py: records of older forms)
    review.py          the design review of a whole robot, and its command; counts_most.py: what moves its points most

Corrected by what was measured
    correct.py         from measurement to model, and its command
    fits.py            what can be corrected; readings.py: a CSV file; kit_file.py: the team's kit changed by the line

A kit, and its command
    kit_command.py     the command itself; kit_use.py: checked, put in force
    kit_new.py         made step by step: kit_outline.py (what is asked first), kit_questions.py, kit_examples.py,
                       kit_wording.py (its sentences), kit_writer.py (the files); kit_sheets.py: from a spreadsheet

The quick reference
    quick_reference.py what it shows; pit_page.py: a question of the pit, its figures, then the bench
    formula_sheet.py, rules_of_thumb.py, pit_questions.py      its formulas, rules, questions

What several of them use
    formulas.py        equations and sources read from docstrings
    rows.py            several answers of one sizing, by column and by row: what sweep, find and against give
    text_table.py      text in columns; page_table.py: a table on a notebook's page
    spoken.py          what to type, in the words of a command or of a call
    rich_text.py       Markdown, HTML and pictures for a notebook: the bases of what is shown there
    printed_page.py    a page from a template (in templates/)
    pictures.py        the pictures of a machine, a sweep and readings
    waiting.py         how far a long command has come
    safe_write.py      a new file, without touching what is there
"""
