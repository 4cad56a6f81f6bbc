"""What a package says that it needs, read for another machine than this one.

Contents: Need, read_need, holds. The standards: PEP 508 (the line and its markers), PEP 503 (names that count as one).

pip reads markers, such as `; sys_platform == "win32"`, for the machine that it runs on, whatever machine it downloads for.
So a folder of packages for Windows that was filled on Linux would lack what only Windows needs.
"""

import ast
import re
from dataclasses import dataclass

LINE = re.compile(r"\s*([A-Za-z0-9._-]+)\s*(?:\[([^\]]*)\])?\s*\(?\s*([<>=!~][^;()@]*)?\)?\s*(?:;(.*))?$", re.DOTALL)
VERSIONS = ("python_version", "python_full_version", "implementation_version")


@dataclass(frozen=True)
class Need:
    """One line: the name as it counts, the extras that are asked for, the bounds on the version, the marker."""

    name: str
    extras: tuple
    bounds: tuple
    marker: str


def read_need(line):
    """Read a line such as 'jsonschema[format]>=4.18; extra == "test"'; ValueError for what is none."""
    found = LINE.match(line)
    if not found:
        raise ValueError(f"{line[:80]!r} does not say which package is needed.")
    name, extras, bounds, marker = (part or "" for part in found.groups())
    return Need(plain(name), tuple(sorted(map(plain, _parts(extras)))), tuple(sorted(_parts(bounds))), marker.strip())


def plain(name):
    """Give a name as it counts: Foo_Bar, foo.bar and foo-bar are one."""
    return re.sub(r"[-_.]+", "-", name).lower()


def _parts(text):
    return ["".join(part.split()) for part in text.split(",") if part.strip()]


def holds(marker, machine):
    """Tell whether a marker holds on a machine, a dict of the names of PEP 508; one that can't be read counts as yes."""
    if not marker:
        return True
    try:
        # A marker is written as Python writes comparisons; it is looked at, never run.
        return _holds(ast.parse(marker.strip(), mode="eval").body, machine)
    except (SyntaxError, KeyError, ValueError):
        return True


def _holds(node, machine):
    if isinstance(node, ast.BoolOp):
        results = [_holds(part, machine) for part in node.values]
        return all(results) if isinstance(node.op, ast.And) else any(results)
    if not isinstance(node, ast.Compare) or len(node.ops) != 1:
        raise ValueError("no comparison")
    sides = node.left, node.comparators[0]
    names = [side.id for side in sides if isinstance(side, ast.Name)]
    left, right = (machine[side.id] if isinstance(side, ast.Name) else ast.literal_eval(side) for side in sides)
    if isinstance(node.ops[0], (ast.In, ast.NotIn)):
        return (left in right) == isinstance(node.ops[0], ast.In)
    if any(name in VERSIONS for name in names):
        left, right = _version(left), _version(right)
    elif names == ["extra"]:
        left, right = plain(left), plain(right)
    return COMPARE[type(node.ops[0])](left, right)


COMPARE = {
    ast.Eq: lambda a, b: a == b, ast.NotEq: lambda a, b: a != b, ast.Lt: lambda a, b: a < b, ast.LtE: lambda a, b: a <= b,
    ast.Gt: lambda a, b: a > b, ast.GtE: lambda a, b: a >= b,
}  # fmt: skip


def _version(text):
    """The numbers of a version, without zeros at the end: 3.12 and 3.12.0 are the same."""
    numbers = [int(part) for part in text.split(".")]
    while numbers and numbers[-1] == 0:
        numbers.pop()
    return tuple(numbers)
