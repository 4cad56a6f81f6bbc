"""The course: exercises and their grading, progress, hand-in, the building of lessons.

What an exercise is and how it is judged (no screen, no file):
    exercise.py    the five kinds: Quantity, Choice, Order, Prediction, Challenge
    exercises/     the exercises themselves, one file a lesson
    registry.py    finding them by lesson or by id
    learner_numbers.py   a learner's own numbers: name -> one row of rounded numbers
    kit_rows.py    the rows of an exercise whatever the kit has; slips.py: which slips can be told apart with one row
    of_game.py     what exercises take from a game, by role, and what they may need of it
    offered.py     which exercises a lesson has with a kit, where its game lacks something
    question_text.py   the question as plain text, with those numbers in
    grading.py     raw text -> right, not yet, and what to say
    vetting.py     what is wrong with an exercise, for its author and for the tests

What a learner sees in a notebook:
    ask.py         ask, learner, say, warm_up
    panel.py       the screen of one exercise
    simulated_readings.py   readings: a bench test at home, with honest noise
    plain_errors.py    one sentence where a name is not known yet or an input is refused

What is kept, and what leaves the machine:
    progress.py       each learner's answers
    database.py       the SQLite file that keeps them: made, checked, locked
    rescue.py         daily copies, what is done about damage, going back; earlier.py: the command `earlier`
    pending.py        answers that wait beside it while it cannot be used
    handin.py         the file that a mentor gets, and the grades made again from it
    handin_file.py    what stands in that file, and its reader

For mentors:
    gradebook.py           a folder of hand-ins, graded again; what to teach again
    gradebook_alike.py     which hand-ins share answers: something to look at
    gradebook_page.py      the gradebook as one page; gradebook_csv.py: as a table for a spreadsheet
    gradebook_command.py   writing both, the command `gradebook`
    misconceptions.py      what the name of a slip means, in words
    handout.py             a lesson's exercises and answers on paper, the command `handout`
    templates/             how the pages of both look; what is filled in is escaped
    notebook_check.py      can this laptop run the course? the half of `check` that needs the packages

Making the lessons, for authors:
    lessons.py       the lessons as built so far, and where their notebooks are
    lesson_template.py   the parts that every lesson has; the skeleton of a new one
    notebook.py      notebooks as files
    minutes.py       how many minutes a lesson takes, counted and written into it
    plans.py         the plans of the mentor's guide, with these minutes
    derived_lesson.py   from a source in solutions/ to the lesson
    refresh.py       deriving and running all of them, the command `refresh`
    notebook_environment.py    what a notebook runs in
"""
