"""A project with small packages in a folder of wheels in place of the real ones, so that no network is needed.

The stand-in for JupyterLab writes its address where the real one does and answers the same question.
"""

import hashlib
import os
import re
import shutil
import signal
import subprocess
import sys
import zipfile

from packaging.requirements import Requirement

from mechbench.launch import environment
from mechbench.launch.places import ROOT

JUPYTERLAB = """
import http.server, json, os, pathlib
class Handler(http.server.BaseHTTPRequestHandler):
    def do_GET(self):
        self.send_response(200)
        self.end_headers()
    def log_message(self, *_):
        pass
if __name__ == "__main__":
    web = http.server.HTTPServer(("127.0.0.1", 0), Handler)
    info = {"pid": os.getpid(), "url": f"http://127.0.0.1:{web.server_port}/", "token": "t" + str(os.getpid())}
    pathlib.Path(os.environ["JUPYTER_RUNTIME_DIR"], f"jpserver-{os.getpid()}.json").write_text(json.dumps(info))
    web.serve_forever()
"""
PATIENCE = 300  # s; ends only what hangs
# Of each package the oldest that is asked for.
VERSIONS = {
    need.name: bound.version
    for need in map(Requirement, environment.learner_packages(ROOT))
    for bound in need.specifier
    if bound.operator == ">="
}


def make_wheel(folder, name, version):
    name = name.replace("-", "_")
    info = f"{name}-{version}.dist-info"
    files = {
        f"{name}/__init__.py": "",
        f"{name}/paths.py": "SYSTEM_CONFIG_PATH, SYSTEM_JUPYTER_PATH = [], []" if name == "jupyter_core" else "",
        f"{name}/__main__.py": JUPYTERLAB if name == "jupyterlab" else "",
        f"{info}/METADATA": f"Metadata-Version: 2.1\nName: {name}\nVersion: {version}\n",
        f"{info}/WHEEL": "Wheel-Version: 1.0\nGenerator: tests\nRoot-Is-Purelib: true\nTag: py3-none-any\n",
    }
    record = "".join(f"{path},,\n" for path in files) + f"{info}/RECORD,,\n"
    with zipfile.ZipFile(folder / f"{name}-{version}-py3-none-any.whl", "w") as wheel:
        for path, text in {**files, f"{info}/RECORD": record}.items():
            wheel.writestr(path, text)


class Project:
    """A clone, a home folder and a folder of wheels, all in one place."""

    def __init__(self, folder):
        self.root, self.home, self.wheels = folder / "clone", folder / "home", folder / "wheels"

    def make(self):
        (self.root / "mechbench").mkdir(parents=True)
        for path in (ROOT / "requirements.txt", ROOT / "pyproject.toml", *(ROOT / "mechbench").glob("*.py")):
            shutil.copy(path, self.root / path.relative_to(ROOT))
        shutil.copytree(ROOT / "mechbench" / "launch", self.root / "mechbench" / "launch")
        (self.root / "lessons").mkdir()
        (self.root / "lessons" / "00_start_here.ipynb").write_text('{"cells": []}')
        self.home.mkdir()
        self.wheels.mkdir()
        for name, version in VERSIONS.items():
            make_wheel(self.wheels, name, version)
        self.write_exact_list()

    def write_exact_list(self):
        """Name the packages in the folder of wheels, each with its checksum."""
        lines = []
        for wheel in sorted(self.wheels.glob("*.whl")):
            name, version = wheel.name.split("-")[:2]
            lines.append(f"{name}=={version} --hash=sha256:{hashlib.sha256(wheel.read_bytes()).hexdigest()}\n")
        (self.root / ".packages").mkdir(exist_ok=True)
        (self.root / ".packages" / "learner.txt").write_text("".join(lines))

    @property
    def venv(self):
        return self.root / ".venv"

    def begin(self, *more):
        return self.type("start", "--no-browser", "--wheels", str(self.wheels), *more)

    def type(self, *words, python=sys.executable, **environ):
        """Type a command; it may be another Python's, and settings may be added."""
        return subprocess.Popen(
            [str(python), "-m", "mechbench", *words],
            cwd=self.root,
            env={**os.environ, "HOME": str(self.home), "USERPROFILE": str(self.home), "MECHBENCH_WORK": "", **environ},
            stdout=subprocess.PIPE,
            stderr=subprocess.STDOUT,
            text=True,
        )


def until_open(process):
    """Read what start says until it stays, or until it ends."""
    said = ""
    for line in process.stdout:
        said += line
        if line.startswith("Your notebooks are in"):
            break
    return said


def address(said):
    return re.search(r"http://127\.0\.0\.1:\d+/lab/tree/00_start_here\.ipynb\?token=t\d+", said).group()


def end(process):
    process.send_signal(signal.SIGTERM)
    process.communicate(timeout=PATIENCE)
