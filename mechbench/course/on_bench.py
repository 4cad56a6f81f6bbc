"""What a sizing finds with the parts of a kit, for the answer to a prediction: the numbers that its bench shows.

Contents: found, opened, nearest_of.
"""

from types import SimpleNamespace

import numpy as np

from mechbench.catalog import sizing_of
from mechbench.engine.columns import columns, in_rows
from mechbench.engine.inputs import Tables, complete


def opened(name, kit, **inputs):
    """What a bench opens with, in SI and names of parts: as usual, and these inputs instead.

    >>> from mechbench.kits.load import own_kit
    >>> opened("gripper", own_kit(), upward="2 m/s2")["upward"]
    2.0
    """
    sizing = sizing_of(name)
    return complete(sizing, inputs, Tables(sizing, kit))


def found(name, kit, along="", values=(None,), **inputs):
    """What is found on a good day, each finding as an array, with one input through some values (SI, names of parts).

    >>> from mechbench.kits.load import own_kit
    >>> found("gripper", own_kit(), "upward", (0.0, 9.81), level="0 m/s2").needed.shape
    (2,)
    """
    sizing = sizing_of(name)
    tables = Tables(sizing, kit)
    given = complete(sizing, inputs, tables)
    through = {along: list(values)} if along else {}
    return SimpleNamespace(**in_rows(sizing, sizing.solve(columns(sizing, given | through, tables)), len(values)))


def nearest_of(options, number):
    """The name of the option whose number is nearest, on a scale of ratios.

    >>> nearest_of({"same": 1, "double": 2}, 1.9)
    'double'
    """
    return min(options, key=lambda name: abs(np.log(options[name] / number)))
