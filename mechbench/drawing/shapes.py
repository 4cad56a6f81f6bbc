"""Outlines and small drawn things that the pictures of mechanisms share. Plain numbers in, in any one unit of length.

Outlines (arrays [N, 2], closed)   gear, cog, circle, block, belt
Turning and placing                placed, mesh_angle
Drawn things                       Part (an outline that moves), Arrow (a force with its label), Turn (a way of
turning),
                                   Dimension (a length)

An outline is made once around the origin; `Part.place` then turns and moves it, which costs next to nothing.
"""

import math

import numpy as np
from matplotlib.lines import Line2D
from matplotlib.patches import Polygon
from matplotlib.transforms import Affine2D

PRESSURE_ANGLE = math.radians(20)  # of the kit's gears (ISO 53)
ROOT, TIP = 1.25, 1.0  # of the module, below and above the pitch circle (ISO 53)
FLANK_POINTS = 4


def _involute(angle):
    return math.tan(angle) - angle


def _half_tooth(radius, pitch_radius, teeth):
    """Half the angle that a tooth takes at a radius; below the base circle as at the base circle."""
    base = pitch_radius * math.cos(PRESSURE_ANGLE)
    angle = math.acos(min(1.0, base / radius))
    return math.pi / (2 * teeth) + _involute(PRESSURE_ANGLE) - _involute(angle)


def gear(teeth, module, inside=False):
    """Outline of a spur gear with involute teeth (ISO 53, without root fillets); the middle of one tooth points
    along +x. inside: what a ring with teeth inside leaves free; there the middle of one gap points along +x.
    """
    pitch = module * teeth / 2
    deep, high = (TIP, ROOT) if inside else (ROOT, TIP)
    radii = np.linspace(pitch - deep * module, pitch + high * module, FLANK_POINTS)
    half = np.array([_half_tooth(r, pitch, teeth) for r in radii])
    one_radii = np.concatenate([radii, radii[::-1]])
    one_angles = np.concatenate([-half, half[::-1]])
    angles = (one_angles[None, :] + 2 * np.pi * np.arange(teeth)[:, None] / teeth).ravel()
    radii = np.tile(one_radii, teeth)
    return np.column_stack([radii * np.cos(angles), radii * np.sin(angles)])


def cog(teeth, radius, depth):
    """Outline of a pulley or sprocket with that many plain teeth; simplified, its pitch circle is drawn at the tips."""
    step = 2 * np.pi / teeth
    one = np.array([(-0.3, -1.0), (-0.18, 0.0), (0.18, 0.0), (0.3, -1.0)])
    angles = (one[:, 0] * step + step * np.arange(teeth)[:, None]).ravel()
    radii = np.tile(radius + one[:, 1] * depth, teeth)
    return np.column_stack([radii * np.cos(angles), radii * np.sin(angles)])


def circle(radius, points=90):
    """Outline of a circle."""
    angles = np.linspace(0, 2 * np.pi, points, endpoint=False)
    return np.column_stack([radius * np.cos(angles), radius * np.sin(angles)])


def block(length, width, centre=(0.0, 0.0)):
    """Outline of a rectangle: a motor, a gearbox, a stage of a slide, a link."""
    x, y = length / 2, width / 2
    return np.array([[-x, -y], [x, -y], [x, y], [-x, y]]) + np.asarray(centre)


def belt(first, first_radius, second, second_radius, points=24):
    """Path of an open belt or chain round two wheels: two straight sides and the arcs that it wraps."""
    first, second = np.asarray(first, float), np.asarray(second, float)
    across = second - first
    distance = float(np.hypot(*across))
    if distance <= abs(first_radius - second_radius):
        raise ValueError(
            f"distance is {distance:g}, but it must be above the difference of the radii; move the wheels apart."
        )
    line = math.atan2(across[1], across[0])
    lean = math.acos((first_radius - second_radius) / distance)
    far = line + np.linspace(-lean, lean, points)
    near = line + np.linspace(lean, 2 * np.pi - lean, points)
    ring = lambda centre, radius, angles: centre + radius * np.column_stack([np.cos(angles), np.sin(angles)])
    return np.vstack([ring(first, first_radius, near), ring(second, second_radius, far)])


def placed(outline, angle=0.0, centre=(0.0, 0.0)):
    """An outline turned by an angle [rad] and moved to a centre."""
    c, s = math.cos(angle), math.sin(angle)
    return np.asarray(outline) @ np.array([[c, s], [-s, c]]) + np.asarray(centre)


def mesh_angle(angle, teeth, other_teeth, direction):
    """Angle [rad] of a gear that meshes with another: a tooth of one meets a gap of the other.

    angle and teeth are of the first gear; direction [rad] points from its centre to the centre of the second, which has
    other_teeth. It turns the other way, by the ratio of the teeth.
    """
    return direction + math.pi + math.pi / other_teeth - (angle - direction) * teeth / other_teeth


def _point(axes):
    """How long one printer's point is on axes of equal scale, in their unit."""
    (x0, _), (x1, _) = axes.transData.inverted().transform([(0, 0), (axes.figure.dpi / 72, 0)])
    return x1 - x0


class Part:
    """An outline on axes that can be turned and moved."""

    def __init__(self, picture, axes, outline, face=None, edge=None, width=1.3, zorder=2.0, line=None):
        look = picture.look
        self._axes = axes
        self.patch = Polygon(
            outline,
            closed=True,
            facecolor=face or look.body,
            edgecolor=edge or look.ink,
            linewidth=width,
            zorder=zorder,
            linestyle=line or "-",
            joinstyle="round",
        )
        axes.add_patch(self.patch)
        picture.move(self.patch)
        self.place()

    def reshape(self, outline):
        """Give it another outline."""
        self.patch.set_xy(outline)

    def place(self, angle=0.0, centre=(0.0, 0.0)):
        """Turn it by an angle [rad] about its origin and put that at a centre."""
        self.centre, self.angle = np.asarray(centre, float), angle
        self.patch.set_transform(Affine2D().rotate(angle).translate(*centre) + self._axes.transData)

    def show(self, shown):
        """Show or hide it."""
        self.patch.set_visible(shown)


class Arrow:
    """A force or a direction: a straight arrow with a label at its end."""

    HEAD, WIDTH = 9.0, 3.0  # points
    GID = "force"  # tells its outline from those of things

    def __init__(self, picture, axes, role, zorder=6.0):
        look = picture.look
        self._axes = axes
        self.patch = Polygon(
            np.zeros((7, 2)),
            closed=True,
            facecolor=look.colour(role),
            edgecolor=look.paper,
            linewidth=0.8,
            zorder=zorder,
        )
        axes.add_patch(self.patch)
        self.patch.set_gid(self.GID)
        self.text = axes.text(0, 0, "", ha="center", va="center", color=look.ink, zorder=zorder + 0.1)
        picture.move(self.patch)
        picture.move(self.text)

    def place(self, start, along, label=""):
        """Draw it from start by the vector `along`, both in the units of the axes; a zero vector draws nothing."""
        start, along = np.asarray(start, float), np.asarray(along, float)
        length = float(np.hypot(*along))
        self.patch.set_visible(length > 0)
        self.text.set_text(label if length > 0 else "")
        if length == 0:
            return
        point = _point(self._axes)
        head, half = min(self.HEAD * point, length), self.WIDTH * point / 2
        outline = np.array([(0, half), (length - head, half), (length - head, 3 * half), (length, 0)])
        outline = np.vstack([outline, (outline * (1, -1))[2::-1]])
        self.patch.set_xy(placed(outline, math.atan2(along[1], along[0]), start))
        self.text.set_position(start + along * (1 + 10 * point / length))


class Turn:
    """The way something turns: an arc with an arrow head."""

    SWEEP = math.radians(70)

    def __init__(self, picture, axes, zorder=6.0):
        ink = picture.look.ink
        self.line = picture.move(axes.plot([], [], color=ink, linewidth=1.8, zorder=zorder, solid_capstyle="butt")[0])
        self.head = Part(picture, axes, np.zeros((3, 2)), face=ink, edge=ink, width=0.5, zorder=zorder)

    def place(self, centre, radius, way, middle=math.pi / 2):
        """Draw it round a centre; way is +1 against the clock, -1 with it; `middle` [rad] is where the arc has its
        middle.
        """
        ends = middle - way * self.SWEEP / 2, middle + way * self.SWEEP / 2
        angles = np.linspace(*ends, 20)
        self.line.set_data(*(np.asarray(centre)[:, None] + radius * np.array([np.cos(angles), np.sin(angles)])))
        size = 0.15 * radius
        self.head.reshape(np.array([(0, -size), (0, size), (2 * size * way, 0)]))
        tip = np.asarray(centre) + radius * np.array([math.cos(ends[1]), math.sin(ends[1])])
        self.head.place(ends[1] + math.pi / 2, tip)

    def show(self, shown):
        """Show or hide it."""
        self.line.set_visible(shown)
        self.head.show(shown)


class Dimension:
    """A length between two points: a thin line with end strokes, its number beside the middle."""

    STROKE, AWAY = 4.0, 11.0  # points

    def __init__(self, picture, axes, zorder=5.0, moving=True):
        """With moving=False it belongs to the background; then the picture must be made `stale` when it is placed
        anew.
        """
        look = picture.look
        self._axes = axes
        self.line = Line2D([], [], color=look.quiet, linewidth=1.0, zorder=zorder)
        axes.add_line(self.line)
        self.text = axes.text(0, 0, "", ha="center", va="center", color=look.ink, zorder=zorder + 0.1)
        if moving:
            picture.move(self.line)
            picture.move(self.text)

    def place(self, start, end, label):
        """Draw it from start to end, in the units of the axes, the label at the right of the way; without label,
        nothing.
        """
        start, end = np.asarray(start, float), np.asarray(end, float)
        length = float(np.hypot(*(end - start)))
        self.line.set_visible(bool(label) and length > 0)
        self.text.set_text(label if length > 0 else "")
        if length == 0:
            return
        point = _point(self._axes)
        right = (end - start)[::-1] * (1, -1) / length
        across = right * self.STROKE * point
        gap = np.array([[np.nan, np.nan]])
        strokes = [start - across, start + across], gap, [start, end], gap, [end - across, end + across]
        self.line.set_data(*np.vstack(strokes).T)
        self.text.set_position((start + end) / 2 + right * self.AWAY * point)
