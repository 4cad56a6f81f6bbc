"""JupyterLab: starting it on the work folder, finding its address, opening it.

The address is read from the file that the server itself writes. Its folder is ours, inside the work folder, so whatever
runs there belongs to this work folder. Settings of other JupyterLabs on the machine are neither read nor changed:
`own_jupyter.py` shuts out what lies in folders, settings() what lies in the environment, and what decides who may look
is on the command line, which outranks every file. The token alone is not: every user can list command lines.
"""

import json
import os
import secrets
import shutil
import subprocess
import sys
import time
import urllib.request
import webbrowser
from dataclasses import dataclass
from pathlib import Path
from urllib.parse import quote

from . import keyboard_shortcuts
from .environment import replace_text, surroundings
from .problem import Problem

LOG = "jupyterlab.log"
TOKEN = "token"
# JupyterLab would ask about news and look for updates.
PAGE = {"disabledExtensions": {"@jupyterlab/apputils-extension:announcements": True}}
# Without it a slider's picture may be held back; see there.
AT_ONCE = "--ServerApp.kernel_websocket_connection_class=mechbench.benches.websocket_nodelay.Connection"
# This machine alone, and no page but its own.
OURS_ALONE = (
    "--ServerApp.ip=127.0.0.1",
    "--ServerApp.port=8888",
    "--ServerApp.port_retries=50",
    "--ServerApp.base_url=/",
    "--ServerApp.allow_origin=",
    "--ServerApp.allow_origin_pat=",
    "--ServerApp.allow_remote_access=False",
    "--ServerApp.allow_unauthenticated_access=False",
    "--ServerApp.disable_check_xsrf=False",
)
OWN_JUPYTER = Path(__file__).resolve().parents[1] / "own_jupyter.py"
# What programs of the Jupyter family, and a notebook's Python, read from the environment.
FOREIGN = ("JUPYTER", "IPYTHON", "JPY_", "JP_", "JLAB_", "JLSP_", "PYTHONSTARTUP", "PYTHONINSPECT")
SLOWEST_START = 120
SLOWEST_ANSWER = 5


@dataclass(frozen=True)
class Running:
    """A server that answers."""

    pid: int
    url: str
    token: str

    def address(self, lesson):
        """Give the address that opens a lesson."""
        return f"{self.url}lab/tree/{quote(lesson)}?token={quote(self.token)}"


def command(python, work, as_root):
    """Give the command line that starts JupyterLab."""
    line = [str(python), str(OWN_JUPYTER), "lab", "--no-browser", *OURS_ALONE]
    line += [f"--ServerApp.root_dir={work}", "--ServerApp.answer_yes=True"]
    # Nothing of the course uses the network: no shop for extensions, and see PAGE for the news.
    line += ["--LabApp.extension_manager=readonly"]
    # Looking for the machine's programming languages would run some of them and leave files in the home folder.
    line += ["--LanguageServerManager.autodetect=False", AT_ONCE]
    return line + (["--allow-root"] if as_root else [])


def settings(own, environ):
    """Give the environment that JupyterLab and its notebooks run in."""
    return {
        **{name: value for name, value in surroundings(environ).items() if not name.upper().startswith(FOREIGN)},
        # Our own folders, named below, come before those of .venv.
        "JUPYTER_PREFER_ENV_PATH": "0",
        "JUPYTER_RUNTIME_DIR": str(runtime(own)),
        "JUPYTER_CONFIG_DIR": str(own / "config"),
        "JUPYTER_DATA_DIR": str(own / "data"),
        "IPYTHONDIR": str(own / "ipython"),
    }


def runtime(own):
    """Give the folder where the server writes its address."""
    return own / "runtime"


def running(own):
    """Give the server that runs on this work folder, or None."""
    for file in sorted(runtime(own).glob("jpserver-*.json")):
        server = _read(file)
        if server and _answers(server):
            return server
    return None


def begin(python, where, **more):
    """Start JupyterLab and wait until it answers; give its process and what is known of it. More: for its Popen."""
    prepare(python, where.own)
    as_root = hasattr(os, "geteuid") and os.geteuid() == 0
    with open(where.own / LOG, "w", encoding="utf-8", opener=_for_us_alone) as log:
        process = subprocess.Popen(
            command(python, where.work, as_root),
            cwd=where.work,
            env=settings(where.own, os.environ),
            stdin=subprocess.DEVNULL,
            stdout=log,
            stderr=subprocess.STDOUT,
            **more,
        )
    try:
        found = _wait(process, where.own)
        for file in runtime(where.own).glob("jpserver-*"):  # one of them, a page, is written for everyone
            file.chmod(0o600)
        return process, found
    except BaseException:
        process.terminate()
        process.wait()
        raise


def prepare(python, own):
    """Write what JupyterLab and its notebooks read: the settings, the token, and how a notebook's Python begins."""
    for folder in (own, runtime(own)):
        folder.mkdir(mode=0o700, parents=True, exist_ok=True)
        folder.chmod(0o700)  # an earlier edition made them for everyone to read
    config = own / "config"
    (config / "labconfig").mkdir(parents=True, exist_ok=True)
    for taken_over in config.glob("jupyter_*config.*"):  # by Jupyter, from the settings of very old notebooks
        if taken_over.is_file():
            taken_over.unlink()
    replace_text(config / "labconfig" / "page_config.json", json.dumps(PAGE) + "\n")
    keyboard_shortcuts.write(config, python)
    for left_behind in runtime(own).glob("jpserver-*"):
        left_behind.unlink()
    with open(runtime(own) / TOKEN, "w", encoding="ascii", opener=_for_us_alone) as file:
        file.write(secrets.token_hex(24))
    _write_kernel(python, own / "data" / "kernels" / "python3")


def _write_kernel(python, folder):
    """Say how a notebook's Python is started: as the packages say, but by own_jupyter.py."""
    folder.mkdir(parents=True, exist_ok=True)
    theirs = Path(python).parent.parent / "share" / "jupyter" / "kernels" / "python3"
    for logo in theirs.glob("logo-*"):
        shutil.copyfile(logo, folder / logo.name)
    try:
        known = json.loads((theirs / "kernel.json").read_text("utf-8"))
    except (OSError, ValueError):
        known = {"display_name": "Python 3 (ipykernel)", "language": "python"}
    ours = {**known, "argv": [str(python), str(OWN_JUPYTER), "kernel", "-f", "{connection_file}"]}
    replace_text(folder / "kernel.json", json.dumps(ours, indent=1) + "\n")


def _for_us_alone(path, flags):
    file = os.open(path, flags, 0o600)
    if hasattr(os, "fchmod"):
        os.fchmod(file, 0o600)  # where it was there before
    return file


def _wait(process, own):
    end = time.monotonic() + SLOWEST_START
    while time.monotonic() < end:
        server = running(own)
        if server:
            return server
        if process.poll() is not None:
            break
        time.sleep(0.1)
    raise Problem(f"JupyterLab did not start ({_last_line(own / LOG)}): the whole record is {own / LOG}.")


def _read(file):
    try:
        info = json.loads(file.read_text("utf-8"))
        return Running(int(info["pid"]), info["url"], info["token"])
    except (OSError, ValueError, KeyError, TypeError):
        # Being written just now, or left behind by a crash: it counts as no server.
        return None


def _answers(server):
    # School networks set a proxy; the own machine must be asked without it.
    direct = urllib.request.build_opener(urllib.request.ProxyHandler({}))
    try:
        question = urllib.request.Request(f"{server.url}api/status", headers={"Authorization": f"token {server.token}"})
        with direct.open(question, timeout=SLOWEST_ANSWER) as answer:
            return answer.status == 200
    except (OSError, ValueError):
        return False


def _last_line(log):
    lines = [line for line in Path(log).read_text("utf-8", "replace").splitlines() if line.strip()]
    return lines[-1].strip() if lines else "it said nothing"


def has_screen(platform, environ):
    """Tell whether a browser can show itself: a Linux machine may have no screen."""
    if platform in ("win32", "darwin"):
        return True
    return any(environ.get(name) for name in ("DISPLAY", "WAYLAND_DISPLAY", "BROWSER"))


def open_browser(address):
    """Open the address in the person's browser; tell whether that worked."""
    return has_screen(sys.platform, os.environ) and webbrowser.open(address)
