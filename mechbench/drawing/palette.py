"""Colours and lines of all pictures, on light and on dark paper.

Contents: Look, LIGHT, DARK, LOOKS, DRAWN (of live pictures), faint, contrast.

The colours are those of Okabe and Ito, "Color Universal Design" (2008), chosen so that people with any kind of colour
vision tell them apart. A picture asks for a role ("give", "ask", "limit" ...), never for a colour: a role also has its
own kind of line and its own mark, so that nothing is said by colour alone.
"""

from dataclasses import dataclass, field, replace

BLACK, ORANGE, SKY, GREEN = "#000000", "#E69F00", "#56B4E9", "#009E73"
YELLOW, BLUE, VERMILLION, PURPLE = "#F0E442", "#0072B2", "#D55E00", "#CC79A7"


@dataclass(frozen=True)
class Look:
    """One paper and what is drawn on it. `colours` gives a colour to each role of LINES."""

    name: str
    paper: str  # behind everything
    ink: str  # words, axes
    quiet: str  # small print, dimension lines
    grid: str
    body: str  # the inside of solid parts
    colours: dict = field(hash=False)

    @property
    def every_colour(self):
        """All colours of this look, the paper first."""
        return tuple(dict.fromkeys((self.paper, self.ink, self.quiet, self.grid, self.body, *self.colours.values())))

    def colour(self, role):
        """The colour of a role."""
        return self.colours[role]

    def line(self, role, width=2.2):
        """What `plot` needs to draw a role's line: colour and kind of line."""
        return {"color": self.colours[role], "linestyle": LINES[role][0], "linewidth": width}

    def path(self):
        """What `plot` needs to draw where a point goes: unlike every line of a plot beside it."""
        return {"color": self.quiet, "linestyle": (0, (1, 3)), "linewidth": 2.6, "dash_capstyle": "round"}

    def mark(self, role, size=10):
        """What `plot` needs to mark one point of a role: a shape with a rim that shows on any line."""
        return {
            "color": self.colours[role],
            "marker": LINES[role][1],
            "markersize": size,
            "linestyle": "none",
            "markeredgecolor": self.ink,
            "markeredgewidth": 1.2,
        }


# role -> (kind of line, mark)
LINES = {
    "give": ("-", "o"),  # what the drive can give
    "ask": ("--", "s"),  # what the load asks
    "power": ((0, (6, 1.5, 1.5, 1.5)), "D"),
    "share": (":", "^"),  # efficiency and other shares
    "limit": ((0, (10, 1.5)), "X"),  # what must not be passed
}

LIGHT = Look(
    "light",
    paper="#FFFFFF",
    ink="#1B1F24",
    quiet="#59626C",
    grid="#DFE3E8",
    body="#EEF1F4",
    colours={"give": BLUE, "ask": VERMILLION, "power": GREEN, "share": PURPLE, "limit": BLACK},
)
DARK = Look(
    "dark",
    paper="#15191E",
    ink="#ECEFF2",
    quiet="#A8B1BA",
    grid="#2E353D",
    body="#272E36",
    colours={"give": SKY, "ask": ORANGE, "power": GREEN, "share": PURPLE, "limit": YELLOW},
)
LOOKS = {look.name: look for look in (LIGHT, DARK)}

# With these a picture is drawn that is shown light and dark: nobody sees them. They lie so far apart that of nearly
# every point of a drawing it can be told which two colours are mixed there, and how. Then a point needs its place in
# the list of colours alone, and each look has a list of its own. Found by trying: the mixes of each two of them, beside
# what comes out of the lists of both looks.
DRAWN = Look(
    "drawn",
    paper="#D3DEFF",
    ink="#A50014",
    quiet="#C26B41",
    grid="#FFB7CE",
    body="#75A7E9",
    colours={"give": "#0000FA", "ask": "#B300BA", "power": "#00FF4F", "share": "#FF15FF", "limit": "#004040"},
)

FAINT = 7 / 9  # of the way from paper to the quiet colour: faint, and still 3 to 1 (WCAG 2.2, criterion 1.4.11)


def faint(look):
    """The same paper with all that is drawn in one faint colour, which is a mix of the look's own."""
    channels = [[int(colour[i : i + 2], 16) for i in (1, 3, 5)] for colour in (look.paper, look.quiet)]
    mixed = "#" + "".join(f"{round(low + (high - low) * FAINT):02X}" for low, high in zip(*channels))
    roles = dict.fromkeys(look.colours, mixed)
    return replace(look, ink=mixed, quiet=mixed, grid=look.paper, body=look.paper, colours=roles)


def contrast(one, other):
    """How well two colours stand apart, 1 to 21 (W3C, Web Content Accessibility Guidelines 2.2, "contrast ratio")."""

    def light(colour):
        channels = [int(colour[i : i + 2], 16) / 255 for i in (1, 3, 5)]
        linear = [c / 12.92 if c <= 0.04045 else ((c + 0.055) / 1.055) ** 2.4 for c in channels]
        return 0.2126 * linear[0] + 0.7152 * linear[1] + 0.0722 * linear[2]

    high, low = sorted((light(one), light(other)), reverse=True)
    return (high + 0.05) / (low + 0.05)
