"""What the tests of pictures share: a picture in one state, and outlines read back from what is drawn."""

from mechbench.catalog import judge, picture_of, sizing_of
from mechbench.drawing.palette import LIGHT
from mechbench.drawing.picture import Screen, plain
from mechbench.engine.columns import columns
from mechbench.engine.inputs import Tables, complete


def state(sizing, values, kit=None, records=()):
    """What a picture's update needs: the report and the inputs as plain numbers, found as a bench finds them."""
    tables = Tables(sizing, kit)
    given = complete(sizing, values, tables)
    return judge(sizing, given, kit), plain(columns(sizing, given, tables, records))


def pictured(name, values, kit=None, system="metric", look=LIGHT, **turns):
    """The picture of a sizing in one state, the report behind it, and the inputs as plain numbers.

    values: inputs that are other than usual; turns: what the sliders of the picture alone say, in SI
    """
    report, now = state(sizing_of(name), values, kit)
    screen = Screen(picture_of(name), look, system)
    usual = {f.name: f.to_si(f.default) for f in picture_of(name).EXTRA}
    screen.image(report, now, {**usual, **turns})
    return screen.picture, report, now


def motion_of(name, values=None, kit=None, system="metric"):
    """The motion of a sizing's picture, the report behind it, and the inputs as plain numbers."""
    report, now = state(sizing_of(name), values or {}, kit)
    return Screen(picture_of(name), LIGHT, system).picture.motion(report, now), report, now


def corners(part):
    """The outline of a part as it is drawn, in the units of its axes."""
    patch = part.patch
    return patch.axes.transData.inverted().transform(patch.get_transform().transform(patch.get_xy()))


def ends(part):
    """The two ends of a link's middle line, read from its outline."""
    at = corners(part)
    return (at[0] + at[3]) / 2, (at[1] + at[2]) / 2
