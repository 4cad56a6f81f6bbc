"""How the schema says what may stand in a kit's files: one key, one table.

Contents: Entry, Shape; number, count, share, words, pair, length, choice (short ways to write an Entry).

The kinds of an entry:

- a kind of quantity ("length", "torque" ...): text with a unit, read by `mechbench.quantity`; bounds are such texts
- "number", "count": a plain number, a whole number
- "words": text for people; "choice": one of `choices`; "pair": the name of a friction pair
- "name": the name of an entry of another table of the game: `names` says which; for words, blanks part several tables
"""

from dataclasses import dataclass, field

REQUIRED = object()
MOST_SHARE = 2  # a number that may be larger is no share of something
PLAIN = ("number", "count", "words", "choice", "pair", "name")


@dataclass(frozen=True)
class Entry:
    """One key of a table: its kind, its bounds (both allowed), its help and its value when it is left out.

    With `many` it is a list of `least` to `most` such values, that must "rise" or "fall" where `order` says so.
    `of`: the shapes or kinds that have this key (see Shape.by); nothing: all of them.
    For people who are asked: `title` names the key where its own is no plain word, `means` says what each choice is,
    `left_out` what it means to say nothing, such as "no limit".
    `later`: it came when kits without it were in use: at its default it does not enter a kit's digest.
    """

    kind: str
    low: object = None
    high: object = None
    help: str = ""
    default: object = REQUIRED
    choices: tuple = ()
    many: bool = False
    least: int = 1
    most: int = 60
    order: str = ""
    of: tuple = ()
    names: str = ""
    later: bool = False
    title: str = ""
    means: tuple = ()
    left_out: str = ""

    @property
    def is_share(self):
        """True for a plain number that people write in per cent, too."""
        return self.kind == "number" and self.high <= MOST_SHARE

    @property
    def is_quantity(self):
        """True where the value is text with a unit."""
        return self.kind not in PLAIN

    def belongs(self, kind):
        """Whether a part of this kind or shape has the key."""
        return not self.of or kind in self.of


@dataclass(frozen=True)
class Shape:
    """One table: `single` holds its keys itself (a record), else it holds parts that each have these keys.

    `expand` names the key whose list makes one part for each of its values, `expanded` how such a part is labelled.
    `must_have` names parts that have to be there; with `only` there may be no others but those of `may_have`.
    `by` names the key that decides which other keys a part has (Entry.of). `absent`: the table may be left out, or be
    empty, and then there is none of it. `rows_of`: each of its parts becomes a row of these tables, and it is no table
    of the kit itself.
    """

    file: str
    entries: dict = field(default_factory=dict)
    single: bool = False
    expand: str = ""
    expanded: str = ""
    must_have: tuple = ()
    may_have: tuple = ()
    only: bool = False
    by: str = ""
    absent: bool = False
    rows_of: tuple = ()


def number(low, high, help, **more):
    """A plain number."""
    return Entry("number", low, high, help, **more)


def count(low, high, help, **more):
    """A whole number."""
    return Entry("count", low, high, help, **more)


def share(help, **more):
    """A share that is never 0."""
    return Entry("number", 0.01, 1, help, **more)


def words(help, **more):
    """Text for people."""
    return Entry("words", help=help, **more)


def pair(help):
    """The name of a friction pair."""
    return Entry("pair", help=help)


def choice(help, choices, **more):
    """One word of several; choices: word -> what it means."""
    return Entry("choice", help=help, choices=tuple(choices), means=tuple(choices.values()), **more)


def length(low, high, help, **more):
    """A length."""
    return Entry("length", low, high, help, **more)


LABEL = words("the name that people read", title="name")
