"""The surroundings in which a notebook shows what is stored in it: no learner, metric units, the course's own kit.

Contents: book_surroundings. The refresh and the tests both run notebooks in them.
"""


def book_surroundings(scratch):
    """Give the environment variables for a notebook of the book; `scratch` is an empty folder for all that it
    writes.
    """
    home = scratch / "home"
    home.mkdir(mode=0o700, exist_ok=True)
    return {
        "MECHBENCH_HOME": str(home),
        "MECHBENCH_KIT": "",
        "MECHBENCH_WORK": str(scratch / "work"),  # a kit in a person's work folder is none of the book's
        "MECHBENCH_LEARNER": "",
        "MECHBENCH_UNITS": "metric",
        "COLUMNS": "100",
        "TZ": "UTC",
        "PYTHONHASHSEED": "0",
        # A person's own start-up files of the notebook's Python would change what a cell shows.
        "IPYTHONDIR": str(scratch / "ipython"),
    }
