"""JupyterLab, or a notebook's Python, without the settings that others left on this machine.

    python own_jupyter.py lab ...        JupyterLab; what follows goes to it
    python own_jupyter.py kernel ...     a notebook's Python (a kernel); what follows goes to it

launch/server.py starts both, by the path of this file, so that no folder decides which mechbench it is. What comes with
the packages of this Python is read, and what is in our own folders, which the environment names. The settings of the
whole system and of the user's site are not: a file there is a program, and may open a learner's notebooks to everybody.
"""

import sys

# This file's own folder: its neighbours bear names (wheels, catalog) that others may mean otherwise.
del sys.path[0]

import atexit  # noqa: E402
import os  # noqa: E402
import runpy  # noqa: E402
import shutil  # noqa: E402
import site  # noqa: E402
import tempfile  # noqa: E402
from pathlib import Path  # noqa: E402

NO_HISTORY = ("--HistoryManager.enabled=False", "--InteractiveShellApp.exec_PYTHONSTARTUP=False")


def lab():
    """Start JupyterLab; its token is in a file, for every user of a machine can list command lines."""
    from jupyter_core import paths

    paths.SYSTEM_CONFIG_PATH.clear()
    paths.SYSTEM_JUPYTER_PATH.clear()
    site.ENABLE_USER_SITE = False
    token = Path(os.environ["JUPYTER_RUNTIME_DIR"], "token").read_text("ascii")
    # Said here it outranks every file, and is in no list of processes.
    sys.argv.append(f"--IdentityProvider.token={token}")
    runpy.run_module("jupyterlab", run_name="__main__", alter_sys=True)


def kernel():
    """Start a notebook's Python; what is typed into its cells is kept in the notebook alone."""
    from IPython.core import application

    application.SYSTEM_CONFIG_DIRS.clear()
    debugged = Path(tempfile.gettempdir(), f"ipykernel_{os.getpid()}")  # where the debugger writes cells down
    atexit.register(shutil.rmtree, debugged, ignore_errors=True)
    sys.argv += [word for word in NO_HISTORY if word not in sys.argv]  # a word that is said twice is refused
    runpy.run_module("ipykernel_launcher", run_name="__main__", alter_sys=True)


if __name__ == "__main__":
    {"lab": lab, "kernel": kernel}[sys.argv.pop(1)]()
