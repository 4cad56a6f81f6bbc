"""Where things are, on Linux, macOS and Windows."""

import os
import sys
import sysconfig
from dataclasses import dataclass
from pathlib import Path

from .problem import Problem

ROOT = Path(__file__).resolve().parents[2]

# Windows allows 259 characters in a path unless long paths are switched on. The longest path inside .venv was counted:
# 155 characters, in JupyterLab.
WINDOWS_PATH = 259
LONGEST_INSIDE_VENV = 160


@dataclass(frozen=True)
class Places:
    """The folders of one project: the clone, its .venv, the learner's work folder."""

    root: Path
    venv: Path
    work: Path

    @property
    def has_project(self):
        """Whether mechbench runs from its own folder; where it was installed as a package there are no lessons and
        no tests.
        """
        return (self.root / "pyproject.toml").is_file()

    @property
    def lessons(self):
        return self.root / "lessons"

    @property
    def first_lesson(self):
        """The name of the notebook that a learner begins with."""
        return min(path.name for path in self.lessons.glob("*.ipynb"))

    @property
    def own(self):
        """What the launcher keeps for itself in the work folder."""
        return self.work / ".mechbench"


def find(environ, home, root=ROOT):
    """Give the places, with the settings MECHBENCH_VENV and MECHBENCH_WORK respected."""
    return Places(
        root=Path(root),
        venv=_setting(environ, "MECHBENCH_VENV", Path(root, ".venv")),
        work=_setting(environ, "MECHBENCH_WORK", Path(home, "mechbench-work")),
    )


def _setting(environ, name, default):
    text = environ.get(name, "").strip()
    folder = Path(os.path.expanduser(text)) if text else default
    return Path(os.path.realpath(folder))


def python_of(venv, platform=sys.platform, scheme="venv"):
    """Give the path of the Python inside a .venv."""
    name = "python.exe" if platform == "win32" else "python"
    return _inside(venv, "scripts", scheme) / name


def packages_of(venv, scheme="venv", version=None):
    """Give the folder of a .venv where packages are installed; version is that of its Python, left out: this one's."""
    return _inside(venv, "purelib", scheme, **({"py_version_short": version} if version else {}))


def _inside(venv, kind, scheme, **more):
    folders = {"base": str(venv), "platbase": str(venv), "installed_base": str(venv), "installed_platbase": str(venv)}
    return type(venv)(sysconfig.get_path(kind, scheme, vars={**folders, **more}))


def beside(venv, word):
    """Give the name beside a .venv for what is being made ("new"), what it replaces ("old"), or the lock ("lock")."""
    return venv.with_name(f"{venv.name}.{word}")


def home():
    """Give the home folder, or say that there is none: an account may have neither HOME nor an entry of its own."""
    try:
        return Path.home()
    except RuntimeError:
        name = "USERPROFILE" if sys.platform == "win32" else "HOME"
        raise Problem(
            f"This account has no home folder, where the lessons and your answers would be kept: set {name} to a folder"
            " that you may write to, then type the command again."
        ) from None


def too_long(venv, platform, long_paths_on):
    """Tell whether Windows would refuse the longest path inside this .venv."""
    return platform == "win32" and not long_paths_on and len(str(venv)) + 1 + LONGEST_INSIDE_VENV > WINDOWS_PATH


def long_paths_on():
    """Tell whether this Windows has long paths switched on."""
    import winreg

    try:
        with winreg.OpenKey(winreg.HKEY_LOCAL_MACHINE, r"SYSTEM\CurrentControlSet\Control\FileSystem") as key:
            return winreg.QueryValueEx(key, "LongPathsEnabled")[0] == 1
    except FileNotFoundError:
        return False
