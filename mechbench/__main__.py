"""The door: ``python3 -m mechbench``. It also has to run on a Python that is too old, to say so in one sentence."""

# Nothing in this file may be newer than Python 2.7 understands.

import subprocess
import sys

NEEDED = (3, 11)


def too_old(version, platform, executable, found):
    """Say in one sentence that this Python is too old and what to type instead."""
    start = "py -m mechbench start" if platform == "win32" else "python3.12 -m mechbench start"
    here = "This Python is %d.%d (%s), and mechbench needs %d.%d or newer" % (
        tuple(version[:2]) + (executable,) + NEEDED
    )
    if found:
        return "%s: type %s -m mechbench start, because that one is new enough." % (here, found)
    return "%s: install a newer one from python.org, then type %s." % (here, start)


def newer_python(names=("python3.14", "python3.13", "python3.12", "python3.11")):
    """Give the name of a new enough Python that runs on this machine, or an empty text."""
    for name in names:
        try:
            # A command of that name may exist and still not run, so it is tried.
            tried = subprocess.Popen([name, "--version"], stdout=subprocess.PIPE, stderr=subprocess.PIPE)
        except OSError:
            continue
        tried.communicate()
        if tried.returncode == 0:
            return name
    return ""


def main():
    """Refuse an old Python, or hand over to the commands."""
    if sys.version_info[:2] < NEEDED:
        sys.stderr.write(too_old(sys.version_info, sys.platform, sys.executable, newer_python()) + "\n")
        return 1
    from mechbench.launch import commands

    return commands.main(sys.argv[1:])


if __name__ == "__main__":
    sys.exit(main())
