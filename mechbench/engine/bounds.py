"""What a drive reaches at its very best, without solving a move: for the search, which leaves out what misses even so.

Contents: quickest, most_spare.
"""

import numpy as np

from mechbench.physics import drive


def quickest(line, load, bus):
    """No move is quicker than this: all the way as fast as the motor would ever turn, the load helping it on.

    A load that helps with a torque h is held back by the motor's current: eta_driven h = k (I_0 - I) with
    I = (V - k w) / R, so w = (V - R I_0) / k + R eta_driven h / k^2. R is with the battery's resistance where the
    current flows back, I < 0; where it does not, w is highest on a battery that does not sag.

    Faster than that the motor brakes, and only a load whose inertia falls speeds it up: it keeps (J_rotor + eta_driven
    J) w^2 at most, since there the load drives.
    """
    helped = np.maximum(-np.min(load.load_torque, axis=-1), 0.0)
    current = line.free_current - line.efficiency_driven * helped / line.torque_constant
    ohms = line.resistance + np.where(current < 0, bus.resistance, 0.0)
    fastest = (bus.open_circuit - ohms * current) / line.torque_constant
    return np.sum(np.diff(load.q, axis=-1) / _by_falling_inertia(line, load), axis=-1) / fastest


def _by_falling_inertia(line, load):
    """How many times faster a load may be at the end of each stretch [S,N-1], by all that its inertia has fallen."""
    rotor, driven = (np.asarray(part)[..., None] for part in (line.rotor_inertia, line.efficiency_driven))
    inertia = rotor + driven * np.broadcast_to(load.inertia, np.shape(load.q))
    falls = np.maximum(inertia[..., :-1] / inertia[..., 1:], 1.0)
    falls = np.where(np.diff(load.q, axis=-1) > 0, falls, 1.0)  # at a jump parts are let go: the speed stays
    return np.sqrt(np.cumprod(falls, axis=-1))


def most_spare(line, load, open_circuit):
    """No torque to spare is more than this: a battery that does not sag, and no friction."""
    return drive.stall_torque(line, open_circuit) - np.max(load.load_torque, axis=-1)
