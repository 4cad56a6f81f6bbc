"""Values as TOML writes them.

Contents: toml.
"""


def toml(value):
    """Write a text, a number or a list.

    >>> print(toml(["72 mm", 3, 0.5]))
    ["72 mm", 3, 0.5]
    """
    if isinstance(value, str):
        return '"' + value.replace("\\", "\\\\").replace('"', '\\"') + '"'
    if isinstance(value, (list, tuple)):
        return "[" + ", ".join(toml(one) for one in value) + "]"
    return repr(value)
