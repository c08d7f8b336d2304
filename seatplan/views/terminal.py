"""Blocks as lines for a terminal: wrapped to the page, inner ones indented, groups with a blank line between them.

A verdict or a caution has a colour where that is asked for: lines are wrapped first, so that no width counts it.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import replace
from math import ceil
from typing import Any

from .content import (
    Bars,
    Blank,
    Block,
    Figure,
    Group,
    Heading,
    Items,
    Paragraph,
    Side,
    Sum,
    Table,
    Text,
    Timeline,
    ToCopy,
    Weighed,
    Weight,
    below,
    plain,
)
from .manner import coloured, page
from .text import columns, fitted, folded, padded, table, wrapped

_STEP = "   "
#: the columns up to the end of the dots, and those of the blank to write in
_DOTS, _BLANK = 68, 24
#: columns of bars at most, what a mark of a bar stands for at least, and what heights and widths take beside the bars
_BARS, _SCALE_MM, _BESIDE_BARS = 46, 20, 44
#: of the 256 colours of terminals, such as are read on black as on white (4 to 1 at least, WCAG 2.2 1.4.3 asks for
#: 4.5 to 1, which next to no colour has on both); bold, for they are not large
_GREEN, _AMBER, _RED = 28, 130, 196
COLOURS: dict[Weight, int] = {"fits": _GREEN, "close": _AMBER, "likely": _AMBER, "unmeasured": _AMBER,
                              "undecided": _AMBER, "rejected": _RED, "grave": _RED, "slight": _AMBER}
#: a longer name in the first column wraps rather than push others onto another page, columns
_NAMES = 34
#: between two lengths of a sum, and the longest result behind them
_MORE, _LONGEST = " + ", " = 00,000.5 mm"


def lines_of(blocks: Sequence[Block], indent: str = "") -> str:
    """Blocks one below the other."""
    return "\n".join(told for block in blocks if (told := _shown(block, indent)))


def parts_of(parts: Sequence[Block | None]) -> str:
    """The parts of an answer, with a blank line between them."""
    return "\n\n".join(told for part in parts if part is not None and (told := _shown(part, ""))) + "\n"


def _shown(block: Block, indent: str) -> str:
    return _SHOWN[type(block)](block, indent)


def _heading(block: Heading, indent: str) -> str:
    return _told(block.text, indent, indent + _STEP)


def _paragraph(block: Paragraph, indent: str) -> str:
    return _told(block.text, indent, indent + _STEP if block.hangs else indent)


def _told(text: Text, first: str, rest: str) -> str:
    """A text wrapped, in its colour where it has one."""
    lines = wrapped(plain(text), first, rest)
    if not isinstance(text, Weighed) or not coloured():
        return lines
    return "\n".join(_painted(line, COLOURS[text.weight]) for line in lines.split("\n"))


def _painted(line: str, colour: int) -> str:
    """A line in bold and in one of the 256 colours (ECMA-48 SGR, with what ISO 8613-6 adds); not its beginning."""
    own = line[:len(line) - len(line.lstrip(" "))]
    return f"{own}\x1b[1;38;5;{colour}m{line[len(own):]}\x1b[0m"


def _items(block: Items, indent: str) -> str:
    return "\n".join(_entry(entry, indent, _mark(block, n)) for n, entry in enumerate(block.entries, 1))


def _figure(block: Figure, indent: str) -> str:
    from .drawing import draw

    return draw(block.arrangement, block.plan.trip, low=block.low)


def _timeline(block: Timeline, indent: str) -> str:
    from .outlook_chart import chart

    return chart(block.outlook, block.way)


def _mark(block: Items, n: int) -> str:
    return f"{n}. " if block.numbered else "- " if block.marked else ""


def _entry(entry: Text | Block, indent: str, mark: str) -> str:
    deeper = indent + " " * len(mark) if mark else indent + _STEP
    match entry:
        case str() | tuple():
            return _told(entry, indent + mark, deeper)
        case Group(blocks) if mark:
            first, *rest = blocks
            return "\n".join([_entry(first, indent, mark), *(_shown(block, deeper) for block in rest)])
        case Paragraph(text):
            return _told(text, indent + mark, deeper)
    return _shown(entry, indent)


def _blank(block: Blank, indent: str) -> str:
    """The label, dots, and a line to write on; below it how to take it."""
    *lines, last = folded(block.label, page() - _BLANK - columns(indent), _STEP)
    dots = "." * (min(_DOTS, page() - _BLANK) - columns(indent) - columns(last) - 1)
    told = lines_of([below(block)], indent)
    return "\n".join([*(indent + line for line in [*lines, f"{last} {dots} ______________________"]),
                      *([told] if told else [])])


def _bars(block: Bars, indent: str) -> str:
    """A bar a row, each centred, so that together they show a shape."""
    broad = min(_BARS, page() - _BESIDE_BARS)
    scale = max(_SCALE_MM, ceil(block.longest / broad))
    wide = max(columns(label) for label, _, _ in block.rows)
    rows = [f"{indent}{padded(label, wide)} {'#' * (value // scale):^{broad}} {told}".rstrip()
            for label, value, told in block.rows]
    return "\n".join([fitted(indent + block.head), *rows])


def _to_copy(line: str, indent: str) -> str:
    """A line of a file; where the page is too narrow for it, it goes on in the next line of the file."""
    return fitted(indent + line, "# " if line.lstrip().startswith("#") else " ")


def _table(block: Table, indent: str) -> str:
    """One table, or several one below the other where it splits and the columns are too many for one page."""
    if not block.splits:
        return table(block.head, block.rows, indent)
    widths = [max(columns(row[i]) for row in (block.head, *block.rows)) + 2 for i in range(len(block.head))]
    widths[0] = min(widths[0], _NAMES)
    pages: list[list[int]] = [[]]
    for i in range(1, len(block.head)):
        if pages[-1] and columns(indent) + widths[0] + sum(widths[j] for j in pages[-1]) + widths[i] > page():
            pages.append([])
        pages[-1].append(i)
    return "\n\n".join(
        table([block.head[i] for i in (0, *those)], [[row[i] for i in (0, *those)] for row in block.rows], indent)
        for those in pages)


def _sum(block: Sum, indent: str) -> str:
    """Each side and the difference on lines of their own, below what it is about."""
    if block.about:
        return f"{wrapped(block.about, indent, indent + _STEP)}\n{_sum(replace(block, about=''), indent + _STEP)}"
    wide = max(columns(word) for word in (*(side.word for side in block.sides), block.outcome, *block.outcomes))
    left = page() - columns(indent) - wide - 2
    sides = [_summed(side, left) for side in block.sides]
    width = max(columns(side[-1]) for side in sides)
    lines = []
    for side, parts in zip(block.sides, sides, strict=True):
        result = f" = {side.total}"
        last = padded(parts[-1], width) if width + columns(result) <= left else parts[-1]
        told = [*parts[:-1], last + result]
        lines += [f"{indent}{padded(side.word if i == 0 else '', wide)}  {part}" for i, part in enumerate(told)]
    return "\n".join([*lines, f"{indent}{padded(block.outcome, wide)}  {block.difference}"])


def _summed(side: Side, left: int) -> list[str]:
    """The lengths joined by plus signs, broken only before one, with room for the result on the last line."""
    room = left - columns(_LONGEST)
    lines = [""]
    for i, (label, length) in enumerate(side.lengths):
        told = f"{label} {length}"
        if i and columns(lines[-1]) + len(_MORE) + columns(told) > room:
            lines.append("+ " + told)
        else:
            lines[-1] += (_MORE if i else "") + told
    return [part for line in lines for part in folded(line, room, "  ")] if side.lengths else [side.nothing]


_SHOWN: dict[type, Callable[[Any, str], str]] = {
    Heading: _heading,
    Paragraph: _paragraph,
    Items: _items,
    Table: _table,
    Sum: _sum,
    Blank: _blank,
    Bars: _bars,
    Timeline: _timeline,
    ToCopy: lambda block, indent: "\n".join(_to_copy(line, indent) for line in block.lines),
    Figure: _figure,
    Group: lambda block, indent: lines_of(block.blocks, indent + _STEP if block.inner else indent),
}
