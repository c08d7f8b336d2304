"""Cells of the CSV files that we write: none of them runs when a spreadsheet opens the file.

After OWASP's page on CSV injection (from memory): a cell that begins with ``=``, ``+``, ``-``, ``@``, a tab or a line
break may be taken for a formula, so an apostrophe stands before it, which makes it text. The wide forms of these signs
and a separator that another country uses count as well: cells with any of them are put in quotes.
"""

from __future__ import annotations

from collections.abc import Iterable

#: what makes a spreadsheet take a cell for a formula
_STARTS = ("=", "+", "-", "@", "\t", "\r", "\n", "＝", "＋", "－", "＠")
_QUOTED = frozenset(',;"\t\r\n\'')


def cell(value: object) -> str:
    """A value as one cell. A number is one whatever its sign; any other text that could be run is made plain text."""
    text = str(value)
    if not isinstance(value, (int, float)) and (text.startswith(_STARTS) or text.lstrip().startswith(_STARTS)):
        text = f"'{text}"
    if _QUOTED.intersection(text) or text != text.strip():
        return '"' + text.replace('"', '""') + '"'
    return text


def line(values: Iterable[object]) -> str:
    """A row of a CSV file, with the end of its line (RFC 4180: CRLF)."""
    return ",".join(map(cell, values)) + "\r\n"
