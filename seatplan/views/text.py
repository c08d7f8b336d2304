"""Plain text for people: numbers, wrapped lines and tables of at most 100 columns, without colour."""

from __future__ import annotations

import textwrap
from collections.abc import Iterable, Sequence

from .say import before, converted, customary, grouped, plural, t, tr

WIDTH = 100
#: the narrowest last column of a table
_LEAST = 12


def number(value: object) -> str:
    """``12.0`` as 12, ``0.10`` as 0.1, thousands with commas; words as they are."""
    if isinstance(value, bool) or not isinstance(value, (int, float)):
        return tr(value) if isinstance(value, str) else str(value)
    if isinstance(value, float):
        value = round(value, 2)
        if not value.is_integer():
            return grouped(f"{value:,}")
        value = int(value)
    return grouped(f"{value:,}")


def mm(value: float, way: str = "near") -> str:
    """Millimetres, halves shown; in inches ``way`` says where an eighth is rounded to (see ``measures``)."""
    if customary():
        return converted(value, "mm", way)
    return f"{number(round(value * 2) / 2)} mm"


def length(value: float) -> str:
    """A length within a sum: a plain number of millimetres, or inches with their unit."""
    return converted(value, "mm").removesuffix(" in") if customary() else number(value)


def bare(value: float, way: str = "near") -> str:
    """A length in the unit that is told once for all of them (see ``say.length_unit``)."""
    return mm(value, way).removesuffix(" in" if customary() else " mm")


def quantity(value: float, unit: str, way: str = "near") -> str:
    """``438 mm``, ``8.9 kg``, ``15 months``: what carries a unit of length or mass in the units in force."""
    if customary() and unit in ("mm", "kg"):
        return converted(value, unit, way)
    return f"{number(value)} {t(unit)}"


def spare(value: float) -> str:
    """Spare is rounded down: never more room than there is."""
    if customary():
        return converted(max(0.0, value), "mm", "down")
    return f"{number(int(value // 1))} mm"


def count(n: int, one: str, many: str | None = None) -> str:
    """``1 rider``, ``2 riders``."""
    return f"{number(n)} {plural(one, many or one + 's', n)}"


def listed(names: Sequence[str], last: str = "and") -> str:
    """``a``, ``a and b``, ``a, b and c``."""
    if len(names) < 2:
        return "".join(names)
    return f"{', '.join(names[:-1])} {before(t(last), names[-1])} {names[-1]}"


def wrapped(text: str, first: str = "", rest: str | None = None) -> str:
    """One paragraph, never wider than the page."""
    return textwrap.fill(text, WIDTH, initial_indent=first, subsequent_indent=first if rest is None else rest,
                         break_on_hyphens=False)


def cut(text: str, width: int) -> str:
    """Text that fits a box; what does not fit ends in two dots."""
    return text if len(text) <= width else text[:max(0, width - 2)] + ".."[:width]


def table(head: Sequence[str], lines: Iterable[Sequence[str]], indent: str = "") -> str:
    """Columns as wide as their widest cell; the last one wraps under itself. The head is looked up."""
    rows = [[t(cell) for cell in head], *[list(line) for line in lines]]
    columns = len(rows[0])
    widths = [max(len(row[i]) for row in rows) for i in range(columns)]
    room = WIDTH - len(indent) - sum(widths[:-1]) - 2 * (columns - 1)
    least = min(widths[-1], _LEAST)
    if room < least:                        # the widest of the others wraps, too
        widths[widths.index(max(widths[:-1]))] -= least - room
        room = least
    widths[-1] = max(room, _LEAST)
    out = []
    for row in rows:
        cells = [textwrap.wrap(cell, width, break_on_hyphens=False) if len(cell) > width else [cell]
                 for cell, width in zip(row, widths, strict=True)]
        for i in range(max(map(len, cells))):
            told = [cell[i] if i < len(cell) else "" for cell in cells]
            out.append((indent + "".join(
                part.ljust(width) + "  " for part, width in zip(told[:-1], widths, strict=False)) + told[-1]).rstrip())
    return "\n".join(out)
