"""A program that runs inside .venv with its Python and nothing else: which lines, as pyproject.toml has them, are not
satisfied by what is installed there? It prints these lines.
"""

import re
import sys
from importlib import metadata


def satisfied(line, version):
    """Tell whether a version lies within the bounds of a line NAME>=LOWEST,<TOO_HIGH."""
    lowest, _, too_high = line.partition(">=")[2].partition(",<")
    have = numbers(version)
    return numbers(lowest) <= have and (not too_high or have < numbers(too_high))


def numbers(version):
    """Give the numbers that a version begins with: (4, 2, 1) of "4.2.1rc1". Zeros at the end say nothing."""
    found = [int(number) for number in re.match(r"\d+(?:\.\d+)*", version).group().split(".")]
    while found and found[-1] == 0:
        found.pop()
    return tuple(found)


def installed(name):
    """Give the version of an installed package, or None."""
    try:
        return metadata.version(name)
    except metadata.PackageNotFoundError:
        return None


def main(lines):
    """Print the lines that are not satisfied."""
    for line in lines:
        version = installed(line.partition(">=")[0])
        if version is None or not satisfied(line, version):
            print(line)


if __name__ == "__main__":
    main(sys.argv[1:])
