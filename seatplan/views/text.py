"""Plain text for people: numbers, wrapped lines and tables of at most 100 columns."""

from __future__ import annotations

import textwrap
import unicodedata
from collections.abc import Callable, Iterable, Sequence

from seatplan.message import Amount, Name, Way
from seatplan.units import Number

from . import manner, measures
from .manner import before, customary, number
from .say import plural, shown, t

#: columns of a page; on a terminal it is narrower where that is (see ``manner.speaking``)
WIDTH = manner.WIDEST
#: letters of a heading
MOST_HEADING = 80
#: as long as anything else can give way, a column of a table is not made narrower than this, nor than its longest
#: word where that is no longer than the second
_LEAST, _WORD = 12, 30


def mm(value: float, way: Way = "near") -> str:
    """Millimetres, halves shown; in inches ``way`` says where an eighth is rounded to (see ``measures``)."""
    return str(shown(_length(value, way)))


def length(value: float) -> str:
    """A length within a sum, without its unit: in inches to a hundredth, so that sums come out."""
    return measures.shown(Amount(value, "mm", fine=True))


def total(value: float) -> str:
    """What a sum comes to, with its unit."""
    return str(shown(_length(value, "near", fine=True)))


def bare(value: float, way: Way = "near") -> str:
    """A length in the unit that is told once for all of them (see ``say.length_unit``)."""
    return measures.shown(_length(value, way))


def _length(value: float, way: Way, *, fine: bool = False) -> Amount:
    """A length; in millimetres to half of one."""
    return Amount(value if customary() else round(value * 2) / 2, "mm", way, fine)


def quantity(value: Number, unit: str, way: Way = "near", *, fine: bool = False) -> str:
    """``438 mm``, ``8.9 kg``, ``15 months``: what carries a unit of length or mass in the units in force; ``fine``
    for limits, which in inches and pounds are told to a hundredth."""
    return str(shown(Amount(value, unit, way, fine)))


def spare(value: float) -> str:
    """Spare is rounded down: never more room than there is."""
    return mm(max(0.0, value) if customary() else value // 1, "down")


def count(n: int, one: str, many: str | None = None) -> str:
    """``1 rider``, ``2 riders``."""
    return f"{number(n)} {plural(one, many or one + 's', n)}"


def listed(names: Sequence[str], last: str = "and") -> str:
    """``a``, ``a and b``, ``a, b and c``."""
    if len(names) < 2:
        return names[0] if names else ""
    return f"{', '.join(names[:-1])} {before(t(last), names[-1])} {names[-1]}"


def wrapped(text: str, first: str = "", rest: str | None = None) -> str:
    """One paragraph, never wider than the page."""
    return "\n".join(_Wrapper(manner.page(), first, first if rest is None else rest).wrap(text))


def heading(told: Callable[..., str], *names: str) -> str:
    """What is told of the names, in at most 80 letters: the longest of them is cut where that is too much. Elsewhere
    they stand whole."""
    shown = list(names)
    while (over := len(told(*shown)) - MOST_HEADING) > 0 and (longest := max(shown, key=len)) not in ("", "…"):
        at = shown.index(longest)
        others = max((len(name) for i, name in enumerate(shown) if i != at), default=0)
        keep = max(len(longest) - over - 1, min(others, len(longest) - 2), 0)
        shown[at] = Name(longest.removesuffix("…")[:keep].rstrip() + "…")
    return told(*shown)


def fitted(text: str, deeper: str = "   ") -> str:
    """Lines as they are; one that is wider than the page wraps, under its own beginning and ``deeper``."""
    lines = []
    for line in text.split("\n"):
        own = line[:len(line) - len(line.lstrip(" "))]
        lines.append(line if columns(line) <= manner.page() else wrapped(line.strip(), own, own + deeper))
    return "\n".join(lines)


def folded(text: str, width: int, rest: str = "") -> list[str]:
    """Text in lines of at most so many columns; those after the first begin with ``rest``."""
    return _Wrapper(width, rest=rest).wrap(text) or [""]


class _Wrapper(textwrap.TextWrapper):
    """Wraps by the columns that letters take on a page; a word longer than a line is broken, none at its hyphen."""

    def __init__(self, width: int, first: str = "", rest: str = "") -> None:
        super().__init__(width, initial_indent=first, subsequent_indent=rest, break_on_hyphens=False)

    def _split(self, text: str) -> list[str]:
        return [_Chunk(chunk) for chunk in super()._split(text)]

    def _handle_long_word(self, reversed_chunks: list[str], cur_line: list[str], cur_len: int, width: int) -> None:
        if not cur_line or width - cur_len >= _LEAST:
            word = reversed_chunks.pop()
            # a line of its own takes at least one letter
            start = beginning(word, width - cur_len) or ("" if cur_line else beginning(word, 2))
            cur_line.append(_Chunk(start))
            reversed_chunks.append(_Chunk(word.removeprefix(start)))


class _Chunk(str):
    """A piece of text that is as long as the columns it takes."""

    __slots__ = ()

    def __len__(self) -> int:
        return columns(self)


def columns(text: str) -> int:
    """How many columns of a page a text takes: two for a wide letter, none for a mark on another one."""
    if text.isascii():
        return str.__len__(text)
    return sum(map(_columns_of, text))


def _columns_of(letter: str) -> int:
    if unicodedata.category(letter) in ("Mn", "Me", "Cf"):
        return 0
    return 2 if unicodedata.east_asian_width(letter) in "WF" else 1


def beginning(text: str, width: int) -> str:
    """As much of the beginning of a text as goes into some columns, with the marks on its last letter."""
    taken = 0
    for i, letter in enumerate(text):
        taken += _columns_of(letter)
        if taken > width:
            return text[:i]
    return text


def letters(text: str) -> list[str]:
    """A text for a drawing, one entry for each column: a wide letter is followed by an empty one."""
    drawn: list[str] = []
    for letter in text:
        wide = _columns_of(letter)
        if wide:
            drawn += [letter, *[""] * (wide - 1)]
        elif drawn:
            drawn[-1 if drawn[-1] else -2] += letter
    return drawn


def padded(text: str, width: int) -> str:
    """A text with blanks up to so many columns."""
    return text + " " * (width - columns(text))


def cut(text: str, width: int) -> str:
    """Text that fits a box; what does not fit ends in two dots."""
    return text if columns(text) <= width else beginning(text, max(0, width - 2)) + ".."[:width]


def table(head: Sequence[str], lines: Iterable[Sequence[str]], indent: str = "") -> str:
    """Columns as wide as their widest cell; where that is too much for the page, the last one wraps under itself, or
    the widest do. The head is looked up; one that is all empty has no line."""
    rows = [*([[t(cell) for cell in head]] if any(head) else []), *[list(line) for line in lines]]
    widths = _widths(rows, manner.page() - len(indent))
    out = []
    for row in rows:
        cells = [folded(cell, width) if columns(cell) > width else [cell]
                 for cell, width in zip(row, widths, strict=True)]
        for i in range(max(map(len, cells))):
            told = [cell[i] if i < len(cell) else "" for cell in cells]
            out.append((indent + "  ".join(map(padded, told, widths))).rstrip())
    return "\n".join(out)


def _widths(rows: Sequence[Sequence[str]], room: int) -> list[int]:
    """How wide each column of a table is; all of them, two apart, go into ``room``."""
    cells = list(zip(*rows, strict=True))
    widths = [max(map(columns, column)) for column in cells]
    words = [max((columns(word) for cell in column for word in cell.split()), default=0) for column in cells]
    over = sum(widths) + 2 * (len(widths) - 1) - room
    if 0 < over <= widths[-1] - _LEAST:               # the last one alone can give way
        widths[-1] -= over
        return widths
    for least in ([max(_LEAST, min(word, _WORD)) for word in words], [1] * len(widths)):
        while over > 0:
            widest = max(range(len(widths)), key=lambda i: (widths[i] > least[i], widths[i], i))
            if widths[widest] <= least[widest]:
                break
            widths[widest] -= 1
            over -= 1
    return widths
