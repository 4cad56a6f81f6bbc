"""The command `wheels FOLDER`: every package that a learner needs, for each kind of laptop in the room, in one folder.

Contents: command, Target, fill. On the day no laptop needs a network: `start --wheels FOLDER`.

What the exact list names goes in (launch/exact.py). pip reads its conditions, such as `sys_platform == "win32"`, for
the machine that it runs on, whatever machine it downloads for: a folder for Windows that was filled on Linux would lack
what only Windows needs. So they are read here, for the other machine.
"""

import os
import subprocess
import sys
import tempfile
from dataclasses import dataclass
from pathlib import Path

from packaging.requirements import Requirement
from packaging.utils import canonicalize_name

from mechbench.command_line import Parser, one_of, typed
from mechbench.launch import environment, exact, places
from mechbench.launch.problem import Problem, explain_pip, only_missing

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
EDITIONS = (0, 99)  # 3.12.0 and 3.12.99


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

    def machine(self, edition=0):
        """The names that conditions ask for; edition is the last number of the Python, 7 of 3.12.7."""
        return {
            **PLATFORMS[self.platform][1],
            "python_version": self.python,
            "python_full_version": f"{self.python}.{edition}",
            "implementation_name": "cpython",
            "implementation_version": f"{self.python}.{edition}",
            "platform_python_implementation": "CPython",
            "platform_release": "",
            "platform_version": "",
            "extra": "",
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


def fill(folder, target, listed, python):
    """Bring what an exact list names for a target into a folder; give (files, bytes, names that could not be had)."""
    with tempfile.TemporaryDirectory(dir=folder, prefix="fetching-") as scratch:
        place, gaps = Path(scratch), []
        for wanted in _wanted(listed, target):
            gaps += [name for name in _fetch(place, target, wanted, python) if name not in gaps]
        wheels = sorted(place.glob("*.whl"))
        size = sum(wheel.stat().st_size for wheel in wheels)
        if not gaps:
            for wheel in wheels:
                os.replace(wheel, folder / wheel.name)
    return len(wheels), size, gaps


def _wanted(listed, target):
    """Give what a list names for a target, name -> its lines without conditions: pip would read these for the machine
    that it runs on. Twice, where the first and the last edition of a Python need different packages.
    """
    needs = [(Requirement(pin), pin, block) for pin, block in exact.blocks(listed).items()]
    found = []
    for edition in EDITIONS:
        machine = target.machine(edition)
        chosen = [each for each in needs if each[0].marker is None or each[0].marker.evaluate(machine)]
        lines = {need.name: block.replace(pin, pin.partition(";")[0].strip(), 1) for need, pin, block in chosen}
        if lines not in found:
            found.append(lines)
    return found


def _fetch(folder, target, wanted, python):
    """Let pip bring these packages, each with the checksum of the list; give the names for which there is none."""
    gaps, wanted = [], dict(wanted)
    listed = folder / "wanted.txt"
    while wanted:
        listed.write_text("".join(wanted.values()), "utf-8")
        line = [python, "-m", "pip", "download", "--disable-pip-version-check", "--no-input", "--progress-bar=off"]
        line += ["--no-deps", "--only-binary=:all:", "--require-hashes", f"--requirement={listed}", f"--dest={folder}"]
        done = subprocess.run(
            [*line, *target.tags],
            env=environment.surroundings(os.environ),
            stdin=subprocess.DEVNULL,
            capture_output=True,
            text=True,
            encoding="utf-8",
            errors="replace",
        )
        if done.returncode == 0:
            return gaps
        said = done.stdout + done.stderr
        name = canonicalize_name(only_missing(said))
        if name not in wanted:
            raise Problem(explain_pip(said, None, "what pip said above"))
        gaps.append(name)
        del wanted[name]
    return gaps


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
    listed = exact.file(where.root, "learner")
    if not listed.exists():
        raise Problem(f"There is no {listed}, which names the packages: get the whole folder of the project again.")
    text = listed.read_text("utf-8")
    complete = [_fill_aloud(folder, target, text, _python_with_pip()) for target in targets]
    wheels = list(folder.glob("*.whl"))
    size = sum(wheel.stat().st_size for wheel in wheels)
    print(
        f"{folder}: {len(wheels)} files, {_mb(size)}. On each laptop: {typed()} start --wheels {folder.name}; "
        f"where it lies beside the project's folder: ../{folder.name}"
    )
    return 0 if all(complete) else 1


def _fill_aloud(folder, target, listed, python):
    count, size, gaps = fill(folder, target, listed, python)
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
