"""The commands of ``python3 -m mechbench``, before anything is installed: this folder uses the standard library alone
(and `wording.py` and `command_line.py`, which do so too).

commands     the table of commands; start
tests        the commands test and published
laptop_check can this laptop run the course?
wheels       packages for other laptops in one folder; needs: what a package needs, read for another machine
places       where things are, on Linux, macOS and Windows
environment  .venv: what goes into it, is it ready, does it work, who uses it
making       .venv: a new one is built beside the old one, tried, and put in its place
exact        the exact lists of packages in .packages/
lacking      what is missing in .venv; a program that runs inside it
lock         one start at a time; who uses a thing
workfolder   the learner's own copies of the lessons
copies       what Jupyter and IPython keep of a learner's cells beside the notebook
server       JupyterLab: starting it with ../own_jupyter.py, its address, opening it; keys: its keys, kept off sliders
chromium     the browser that the browser tests drive
problem      one sentence for what can go wrong
"""
