"""The course: exercises and their grading, progress, hand-in, the building of lessons.

What an exercise is and how it is judged (no screen, no file):
    exercise.py    the five kinds: Quantity, Choice, Order, Prediction, Challenge
    exercises/     the exercises themselves, one file a lesson
    registry.py    finding them by lesson or by id
    numbers.py     a learner's own numbers: name -> one row of rounded numbers
    statement.py   the question as plain text, with those numbers in
    grading.py     raw text -> right, not yet, and what to say
    vetting.py     what is wrong with an exercise, for its author and for the tests

What a learner sees in a notebook:
    ask.py         ask, learner, say, warm_up
    panel.py       the screen of one exercise
    shop.py        readings: a bench test at home, with honest noise
"""
