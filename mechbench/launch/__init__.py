"""The commands of ``python3 -m mechbench``, before anything is installed: this folder uses the standard library alone
(and `wording.py` and `command_line.py`, which do so too).

commands     the table of commands; start
tests        the commands test and published
laptop_check can this laptop run the course?
wheels       packages for other laptops in one folder; needs: what a package needs, read for another machine
places       where things are, on Linux, macOS and Windows
environment  .venv: is it ready, making it, what goes into it
lock         one start at a time
workfolder   the learner's own copies of the lessons
copies       what Jupyter and IPython keep of a learner's cells beside the notebook
server       JupyterLab: starting it with ../own_jupyter.py, its address, opening it; keys: its keys, kept off sliders
chromium     the browser that the browser tests drive
problem      one sentence for what can go wrong
"""
