"""What the functions of physics/ say about themselves: equation, where it holds, source. For records.

Contents: Facts, facts_of, facts_of_sizing.
"""

import inspect
import re
from dataclasses import dataclass

# A fact of the trade, as docstrings mark it, and as it is told to who reads no docstrings.
UNWRITTEN, PRACTICE = "common practice, no source", "known from practice"
HEADS = ("Equation:", "Valid:", "Raises:", "Source:")


@dataclass(frozen=True)
class Facts:
    """One function: its first sentence, its equation, where that holds, and where it comes from."""

    name: str
    does: str
    equation: str
    valid: str
    source: str


def facts_of(function):
    """Read a function's docstring.

    >>> from mechbench.physics import arm
    >>> facts_of(arm.link_torque).equation
    'T = m g l cos(angle)'
    """
    text = inspect.cleandoc(function.__doc__)
    topic = function.__module__.rpartition(".")[2]
    source = _followed(_part(text, "Source:"), function).replace(UNWRITTEN, PRACTICE)
    return Facts(
        f"{topic}.{function.__name__}", text.partition("\n")[0], _part(text, "Equation:"), _part(text, "Valid:"), source
    )


def _followed(source, function):
    """A source that says "as NAME" with the source of that function behind it."""
    hit = re.match(r"as (\w+)", source)
    other = hit and inspect.getmodule(function).__dict__.get(hit[1])
    if not callable(other) or other is function:
        return source
    return f"{source.rstrip('.')} ({facts_of(other).source.rstrip('.')})."


def _part(text, head):
    """What stands after a head, up to an empty line or the next head; "" where the head is missing."""
    lines, inside = [], False
    for line in text.splitlines():
        if line.startswith(HEADS) or not line.strip():
            inside = line.startswith(head)
        if inside:
            lines.append(line.removeprefix(head).strip())
    return re.sub(r"\s+", " ", " ".join(lines)).strip()


def facts_of_sizing(sizing):
    """Those of every function that a sizing stands on."""
    return tuple(facts_of(function) for function in sizing.USES)
