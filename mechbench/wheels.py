"""The command `wheels FOLDER`: every package that a learner needs, for each kind of laptop in the room, in one folder.

Contents: command, Target, fill. On the day no laptop needs a network: `start --wheels FOLDER`.

pip reads what a package needs, such as `colours; sys_platform == "win32"`, for the machine that it runs on, whatever
machine it downloads for: a folder for Windows that was filled on Linux would lack what only Windows needs. So these
lines are read here, for the other machine.
"""

import os
import subprocess
import sys
import tempfile
import zipfile
from collections import defaultdict
from dataclasses import dataclass
from email.parser import HeaderParser
from pathlib import Path

from packaging.requirements import Requirement
from packaging.utils import canonicalize_name

from mechbench.command_line import Parser, one_of, typed
from mechbench.launch import environment, places
from mechbench.launch.problem import SAYS_MISSING, Problem, explain_pip

# Each kind of laptop: what pip calls it, the oldest systems first that a laptop of today may still run; and its
# markers.
LINUX = ("2_28", "2_27", "2_26", "2_24", "2_17", "2_12", "2_5")
PLATFORMS = {
    "windows": (
        ("win_amd64",),
        {"os_name": "nt", "sys_platform": "win32", "platform_system": "Windows", "platform_machine": "AMD64"},
    ),
    "mac": (
        ("macosx_11_0_arm64",),
        {"os_name": "posix", "sys_platform": "darwin", "platform_system": "Darwin", "platform_machine": "arm64"},
    ),
    "mac-intel": (
        ("macosx_11_0_x86_64",),
        {"os_name": "posix", "sys_platform": "darwin", "platform_system": "Darwin", "platform_machine": "x86_64"},
    ),
    "linux": (
        tuple(f"manylinux_{libc}_x86_64" for libc in LINUX)
        + ("manylinux2014_x86_64", "manylinux2010_x86_64", "manylinux1_x86_64"),
        {"os_name": "posix", "sys_platform": "linux", "platform_system": "Linux", "platform_machine": "x86_64"},
    ),
    "linux-arm": (
        tuple(f"manylinux_{libc}_aarch64" for libc in LINUX) + ("manylinux2014_aarch64",),
        {"os_name": "posix", "sys_platform": "linux", "platform_system": "Linux", "platform_machine": "aarch64"},
    ),
}
MOST_ROUNDS = 40


@dataclass(frozen=True)
class Target:
    """One kind of laptop with one Python."""

    platform: str
    python: str

    def __str__(self):
        return f"{self.platform}, Python {self.python}"

    @property
    def tags(self):
        """What pip is told: packages for this machine and no other."""
        kinds = [f"--platform={tag}" for tag in PLATFORMS[self.platform][0]]
        return [*kinds, f"--python-version={self.python}", "--implementation=cp"]

    def machine(self, extra=""):
        """The names that markers ask for."""
        return {
            **PLATFORMS[self.platform][1],
            "python_version": self.python,
            "python_full_version": f"{self.python}.0",
            "implementation_name": "cpython",
            "implementation_version": f"{self.python}.0",
            "platform_python_implementation": "CPython",
            "platform_release": "",
            "platform_version": "",
            "extra": extra,
        }


def this_kind():
    """Give the Target of this machine."""
    import platform

    arm = platform.machine().lower() in ("arm64", "aarch64")
    kind = {"win32": "windows", "darwin": "mac" if arm else "mac-intel"}.get(
        sys.platform, "linux-arm" if arm else "linux"
    )
    return Target(kind, "{}.{}".format(*sys.version_info))


# --- filling -------------------------------------------------------------------------------------------------------


def fill(folder, target, packages, python):
    """Bring what a learner needs on a target into a folder; give (files, bytes, names that could not be had)."""
    with tempfile.TemporaryDirectory(dir=folder, prefix="fetching-") as scratch:
        gaps = _fetch_all(Path(scratch), target, packages, python)
        wheels = sorted(Path(scratch).glob("*.whl"))
        size = sum(wheel.stat().st_size for wheel in wheels)
        if not gaps:
            for wheel in wheels:
                os.replace(wheel, folder / wheel.name)
    return len(wheels), size, gaps


def _fetch_all(folder, target, packages, python):
    """Fetch what is needed, then what that needs, and so on; give the names that could not be had."""
    bounds, extras, gaps = defaultdict(set), defaultdict(set), []
    new = {_take(Requirement(line), bounds, extras) for line in packages}
    for _ in range(MOST_ROUNDS):
        new -= {None, *gaps}
        if not new:
            return gaps
        for name in new:
            _remove(folder, name)
        gaps += _fetch(folder, target, {name: bounds[name] for name in sorted(new)}, python)
        new = {_take(need, bounds, extras) for need in _needs(folder, target, extras)}
    raise Problem(
        f"What {target} needs could not be settled in {MOST_ROUNDS} rounds: fill the folder on such a laptop."
    )


def _take(need, bounds, extras):
    """Note a need; give its name where that asks for more than was known."""
    name = canonicalize_name(need.name)
    known = name in bounds, len(bounds[name]), len(extras[name])
    bounds[name].update(map(str, need.specifier))
    extras[name].update(map(canonicalize_name, need.extras))
    now = True, len(bounds[name]), len(extras[name])
    return name if known != now else None


def _name_of(wheel):
    return canonicalize_name(wheel.name.partition("-")[0])


def _remove(folder, name):
    for wheel in folder.glob("*.whl"):
        if _name_of(wheel) == name:
            wheel.unlink()


def _fetch(folder, target, wanted, python):
    """Let pip bring these packages, without what they need; give the names for which there is none."""
    gaps = []
    while wanted:
        line = [
            python,
            "-m",
            "pip",
            "download",
            "--disable-pip-version-check",
            "--no-input",
            "--progress-bar=off",
            "--no-deps",
        ]
        line += ["--only-binary=:all:", f"--dest={folder}", *target.tags]
        line += [name + ",".join(sorted(bounds)) for name, bounds in wanted.items()]
        done = subprocess.run(
            line,
            env=environment.surroundings(os.environ),
            stdin=subprocess.DEVNULL,
            capture_output=True,
            text=True,
            encoding="utf-8",
            errors="replace",
        )
        if done.returncode == 0:
            return gaps
        missing = SAYS_MISSING.search(done.stdout + done.stderr)
        name = canonicalize_name(missing.group(1)) if missing else ""
        if name not in wanted:
            raise Problem(explain_pip(done.stdout + done.stderr, None, "what pip said above"))
        gaps.append(name)
        del wanted[name]
    return gaps


def _needs(folder, target, extras):
    """Give what the packages in a folder need on a target."""
    for wheel in folder.glob("*.whl"):
        for line in _needs_of(wheel):
            need = _read(line, wheel)
            asked = ("", *extras[_name_of(wheel)])
            if need.marker is None or any(need.marker.evaluate(target.machine(extra)) for extra in asked):
                yield need


def _read(line, wheel):
    need = Requirement(line)  # pip has read it already, and refuses what can't be read
    if need.url:
        raise Problem(f"{wheel.name} needs {need.name} from an address of its own: fill the folder on such a laptop.")
    return need


def _needs_of(wheel):
    with zipfile.ZipFile(wheel) as archive:
        path = next(name for name in archive.namelist() if name.endswith(".dist-info/METADATA"))
        return HeaderParser().parsestr(archive.read(path).decode("utf-8", "replace")).get_all("Requires-Dist", [])


# --- the command ---------------------------------------------------------------------------------------------------


def command(arguments):
    """Do `wheels FOLDER`: fill it for each kind of laptop and Python, and print size and gaps; give the exit code."""
    chosen = _parser().parse_args(arguments)
    where = places.find(os.environ, places.home())
    folder = Path(os.path.expanduser(chosen.folder)).absolute()
    folder.mkdir(parents=True, exist_ok=True)
    here = this_kind()
    targets = [
        Target(kind, python)
        for kind in chosen.platforms or [here.platform]
        for python in chosen.pythons or [here.python]
    ]
    complete = [
        _fill_aloud(folder, target, environment.learner_packages(where.root), _python_with_pip()) for target in targets
    ]
    wheels = list(folder.glob("*.whl"))
    size = sum(wheel.stat().st_size for wheel in wheels)
    print(
        f"{folder}: {len(wheels)} files, {_mb(size)}. On each laptop: {typed()} start --wheels {folder.name}; "
        f"where it lies beside the project's folder: ../{folder.name}"
    )
    return 0 if all(complete) else 1


def _fill_aloud(folder, target, packages, python):
    count, size, gaps = fill(folder, target, packages, python)
    if gaps:
        print(
            f"{target}: GAP: there is no ready-made package {', '.join(gaps)}; use another Python on these laptops.",
            flush=True,
        )
    else:
        print(f"{target}: complete, {count} packages, {_mb(size)}.", flush=True)
    return not gaps


def _mb(size):
    return f"{size / 1e6:.0f} MB"


def _python_with_pip():
    """This Python, which is that of .venv, or one in which somebody installed the packages by hand."""
    if subprocess.run([sys.executable, "-m", "pip", "--version"], capture_output=True).returncode:
        raise Problem(
            f"This Python has no pip: type {typed()} start, which makes .venv with pip in it, then try again."
        )
    return sys.executable


def _parser():
    parser = Parser(
        "wheels",
        description=(
            "Fetch every package that a learner needs, for each kind of laptop in the "
            "room, into one folder; print its size and what could not be had. Needs the network, this once."
        ),
    )
    parser.add_argument("folder", metavar="FOLDER", help="where the packages go, for example on a memory stick")
    parser.add_argument(
        "--for",
        dest="platforms",
        action="append",
        type=one_of(PLATFORMS),
        metavar="KIND",
        default=[],
        help=f"kind of laptop, {', '.join(PLATFORMS)}; may come several times; left out: the kind of this one",
    )
    parser.add_argument(
        "--python",
        dest="pythons",
        action="append",
        metavar="3.12",
        type=_python,
        default=[],
        help="Python on the laptops; may come several times; left out: the version of this one",
    )
    return parser


def _python(text):
    major, _, minor = text.partition(".")
    if major != "3" or not minor.isdigit() or int(minor) < 11:
        raise ValueError("it must be like 3.12, from 3.11 on.")
    return text
