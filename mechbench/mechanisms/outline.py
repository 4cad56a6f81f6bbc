"""Boxes around the moving parts of a mechanism, for whole robots; seen from the side, ahead to the right.

Contents: LINK, HELD, PLATFORM, rod.
"""

LINK = 0.03, 0.04  # m, a link is so thick, and so wide across: common practice, no source
PLATFORM = (0.10, 0.12, 0.03)  # m, along, across, up: common practice, no source
HELD = (0.10, 0.12, 0.10)  # m, of what sits at a tip, along, across, up, without pieces: common practice, no source


def rod(start, end, thick=LINK[0], wide=LINK[1]):
    """Middle and box of a straight rod between two places (ahead, up) in the plane of the swing."""
    (x, z), (x_end, z_end) = start, end
    middle = ((x + x_end) / 2, 0.0, (z + z_end) / 2)
    return middle, (abs(x_end - x) + thick, wide, abs(z_end - z) + thick)
