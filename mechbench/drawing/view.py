"""Room for what moves: scales and places that stay as they are while they serve well.

Contents: ARROW, keep_in_view, below_zero.
"""

from mechbench.drawing.picture import LOOSE, fitted, stepped

BELOW, TOP, ASIDE = 0.19, 0.93, 0.07  # what words take of the picture's height: below, from here up, at each side
ARROW, UNDER = 0.09, 0.15  # the weight's arrow, and the arrow with its number, as a share of that height


def keep_in_view(picture, axes, points, tips):
    """Show all points, and below each tip its weight's arrow, between the words; give the height of what is shown.

    The scale and the place stay as they are while they serve well. `axes.stepped_x` says that they were chosen before.
    """
    box = axes.get_position()
    shape = box.width * picture.SIZE[0] / (box.height * picture.SIZE[1])
    (left, low), (right, high), tip = points.min(axis=0), points.max(axis=0), tips[:, 1].min()
    needed = max(
        (right - left) / (shape - 2 * ASIDE), (high - low) / (TOP - BELOW), (high - tip) / (TOP - BELOW - UNDER)
    )
    x, (y, end) = axes.get_xlim()[0], axes.get_ylim()
    size = end - y
    inside = x + ASIDE * size <= left and right <= x + (shape - ASIDE) * size and high <= y + TOP * size
    inside = inside and y + BELOW * size <= min(low, tip - UNDER * size)
    chosen = getattr(axes, "stepped_x", False)
    if chosen and inside and needed >= LOOSE * size:
        return size
    size = fitted(needed, size if chosen else None)
    low = min(low, tip - UNDER * size)
    x, y = (left + right - shape * size) / 2, (low + high - (BELOW + TOP) * size) / 2
    axes.set_xlim(x, x + shape * size)
    axes.set_ylim(y, y + size)
    axes.stepped_x = picture.stale = True
    return size


def below_zero(axes, needed):
    """How far an axis goes below 0 to reach `needed`, in steps."""
    now = -axes.get_ylim()[0] if getattr(axes, "stepped_y", False) else None
    return stepped(needed, now if now and now > 0 else None) if needed > 0 else 0.0
