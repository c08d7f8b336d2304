"""What an answer consists of, before anybody lays it out: blocks of text that is in the language and units in force.

A terminal (``terminal.py``) and a page (``html.py``) are two renderers of the same blocks, so that no answer is worded
or ordered twice. ``spans`` makes text in which what is to be typed stands apart.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import TYPE_CHECKING, Any, Literal

from seatplan.frozen import frozen

from .say import fill, look_up

if TYPE_CHECKING:
    from seatplan.growth.outlook import Outlook, Way
    from seatplan.solver.results import Arrangement, Plan


class Typed(str):
    """What somebody can type as it is, such as a command."""

    __slots__ = ()


#: what a text can weigh: a verdict, by its word, or a caution
Weight = Literal["fits", "close", "likely", "unmeasured", "undecided", "rejected", "grave", "slight"]


class Weighed(str):
    """A verdict or a caution. Its words say all of it; whoever lays it out can make it easier to find."""

    __slots__ = ("weight",)
    weight: Weight

    def __new__(cls, text: str, weight: Weight) -> Weighed:
        told = super().__new__(cls, text)
        told.weight = weight
        return told


#: text of one paragraph; what is to be typed is a piece of its own
Text = str | tuple[str, ...]


@frozen
class Heading:
    """The name of what follows."""

    text: Text


@frozen
class Paragraph:
    """Sentences. ``hangs``: lines after the first stand further in."""

    text: Text
    hangs: bool = False


@frozen
class Items:
    """A list; an entry is text, or a block. ``marked``: each begins with a mark, or ``numbered``, with its number."""

    entries: tuple[Text | Block, ...]
    marked: bool = False
    numbered: bool = False


@frozen
class Table:
    """Cells by row. The head is in the language in force already; one that is all empty is not shown. ``splits``: where
    it is too wide, it goes on below with other columns behind the first one."""

    head: tuple[str, ...]
    rows: tuple[tuple[str, ...], ...]
    caption: str = ""
    splits: bool = False


@frozen
class Side:
    """One side of a sum: lengths with what they are, and what they come to; ``nothing`` stands for none."""

    word: str
    lengths: tuple[tuple[str, str], ...]
    total: str
    nothing: str


@frozen
class Sum:
    """What is needed and what is there, and by how much the one is more. ``outcomes``: what the difference can be
    called, so that sums below each other are as wide."""

    sides: tuple[Side, ...]
    outcome: str
    difference: str
    about: str = ""
    outcomes: tuple[str, ...] = ()


@frozen
class Blank:
    """Something to fill in, with room to write. ``field``: the name of the field of the files that it is of, empty
    where there is none; ``key``: what the table of fields calls it. ``how`` to take it, and ``more`` that helps, stand
    below."""

    label: str
    field: str = ""
    key: str = ""
    how: Text = ""
    more: tuple[Text, ...] = ()


@frozen
class Bars:
    """Lengths that are a drawing, too: by row what it is, how long, and the same told. ``longest``: none is longer."""

    head: str
    rows: tuple[tuple[str, int, str], ...]
    longest: int


@frozen
class Timeline:
    """One course through time drawn."""

    outlook: Outlook
    way: Way


@frozen
class ToCopy:
    """Lines to be written into a file as they are."""

    lines: tuple[str, ...]


@frozen
class Figure:
    """An arrangement drawn to scale. ``low``: in few lines, where it is drawn in lines."""

    plan: Plan
    arrangement: Arrangement
    low: bool = False


@frozen
class Group:
    """Blocks that stand together; ``inner`` ones stand further in, below what comes before them."""

    blocks: tuple[Block, ...]
    inner: bool = False


Block = Heading | Paragraph | Items | Table | Sum | Blank | Bars | ToCopy | Figure | Timeline | Group


def spans(template: str, /, **fields: Any) -> Text:
    """A text of a view as ``t`` has it, with what its template sets between backticks as pieces that can be typed."""
    return marked(look_up(template), lambda piece: fill(piece, fields) if fields else piece)


def marked(template: str, filled: Callable[[str], str]) -> Text:
    """The same of a template that is in the language in force; ``filled`` fills in the fields of a piece of it."""
    told = [filled(piece) for piece in template.split("`")]
    if len(told) == 1:
        return told[0]
    return tuple(Typed(piece) if i % 2 else piece for i, piece in enumerate(told))


def plain(text: Text) -> str:
    """A text on one line, with what can be typed between backticks."""
    return text if isinstance(text, str) else "".join(f"`{piece}`" if isinstance(piece, Typed) else piece
                                                      for piece in text)


def group(*blocks: Block | None, inner: bool = False) -> Group:
    """Blocks that stand together; None is left out."""
    return Group(tuple(block for block in blocks if block is not None), inner)


def below(blank: Blank) -> Group:
    """What stands below room to write that nobody types into: where the value goes, too."""
    return group(Paragraph(blank.how) if blank.how else None, *map(Paragraph, blank.more),
                 Paragraph(spans("field: `{field}`", field=blank.field)) if blank.field else None, inner=True)


def items(entries: Sequence[Text | Block], *, marked: bool = False) -> Items | None:
    """A list; None where it has no entries."""
    return Items(tuple(entries), marked) if entries else None


def together(*texts: Text) -> Text:
    """Texts as one."""
    pieces = [piece for text in texts for piece in ((text,) if isinstance(text, str) else text)]
    return "".join(pieces) if not any(isinstance(piece, Typed) for piece in pieces) else tuple(pieces)
