"""What a drive reaches at its very best, without solving a move: for the search, which leaves out what misses even so.

Contents: quickest, most_spare.
"""

import numpy as np

from mechbench.physics import drive


def quickest(line, load, open_circuit):
    """No move is quicker than this: all the way at the speed of the unloaded motor, the load helping it on."""
    helped = np.maximum(-np.min(load.load_torque, axis=-1), 0.0)
    fastest = drive.speed(line, open_circuit, 0.0) + drive.shorted_creep(line, helped)
    return (load.q[..., -1] - load.q[..., 0]) / fastest


def most_spare(line, load, open_circuit):
    """No torque to spare is more than this: a battery that does not sag, and no friction."""
    return drive.stall_torque(line, open_circuit) - np.max(load.load_torque, axis=-1)
