"""Synthesis: the lengths of a four-bar that does what is wanted, from positions to links.

Contents
    three_positions    a four-bar whose output stands at three wanted angles for three angles of its input
    (Freudenstein)
"""

import numpy as np

from mechbench.physics import check
from mechbench.physics.linkage import Fourbar


def three_positions(input_angles, output_angles, ground):
    """Find the four-bar that puts its output at three wanted angles for three angles of its input.

    Equation: K1 cos(out) - K2 cos(in) + K3 = cos(in - out); K1 = d/a, K2 = d/c, K3 = (a^2 - b^2 + c^2 + d^2) / (2 a c)

    Parameters
    ----------
    input_angles : [rad] three angles of the input link from the ground line; shape [3]
    output_angles : [rad] the three angles of the output link that belong to them; shape [3]
    ground : [m] wanted distance of the two pivots, > 0

    Returns
    -------
    fourbar : [part] the Fourbar
    branch : [whole] +1 or -1, or 0 where the three positions don't lie on one branch and it would have to be taken
        apart

    Valid: exact at the three positions; look at the transmission angle and at what it does between them.
    Raises: ValueError when there are not three angles of each, when no linkage fits, or when a link would have to lie
        on the far side of its pivot.
    Source: F. Freudenstein, Approximate Synthesis of Four-Bar Linkages, Trans. ASME 77 (1955), pages 853-861.

    >>> fourbar, branch = three_positions(np.radians([40, 65, 90]), np.radians([70, 85, 105]), 0.180)
    >>> links = (1000 * part for part in (fourbar.input, fourbar.coupler, fourbar.output))
    >>> print("input {:.0f}, coupler {:.0f}, output {:.0f} mm".format(*links))
    input 90, coupler 153, output 106 mm
    """
    inputs = np.asarray(check.finite("input_angles", input_angles))
    outputs = np.asarray(check.finite("output_angles", output_angles))
    if inputs.shape != (3,) or outputs.shape != (3,):
        raise ValueError(
            f"input_angles are {inputs.size} and output_angles {outputs.size}, but there must be three of each; "
            "give three positions."
        )
    table = np.column_stack([np.cos(outputs), -np.cos(inputs), np.ones(3)])
    if np.linalg.cond(table) > 1e9:
        raise ValueError(
            f"input_angles are {np.round(inputs, 3)} rad and fit no linkage or many, but with output_angles they "
            "must fix a single one; change one of the three positions."
        )
    k1, k2, k3 = np.linalg.solve(table, np.cos(inputs - outputs))
    for name, k in (("input_angles", k1), ("output_angles", k2)):
        if k <= 0:
            raise ValueError(
                f"{name} give a link on the far side of its pivot, but it must lie at its angle; "
                f"add 180 degrees to all three {name}."
            )
    d = check.positive("ground", ground)
    a, c = d / k1, d / k2
    fourbar = Fourbar(a, np.sqrt(a**2 + c**2 + d**2 - 2 * a * c * k3), c, d)
    a_x, a_y = a * np.cos(inputs), a * np.sin(inputs)
    b_x, b_y = d + c * np.cos(outputs), c * np.sin(outputs)
    side = np.sign((d - a_x) * (b_y - a_y) + a_y * (b_x - a_x))
    return fourbar, int(side[0]) if np.all(side == side[0]) else 0
