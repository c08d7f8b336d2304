"""CSV files of others, line by line: in the encodings, separators and line ends that programs write.

A row is one line of the file: a quote that is left open spoils its own line, and one below that could be the rest of
its cell: that one would be a row with half an id. Lines that cannot be read
come back as what is wrong with them, so that all others go on. Memory holds one line at a time.
"""

from __future__ import annotations

import csv
import os
import re
import stat
from collections.abc import Iterator
from io import TextIOWrapper
from typing import IO

from seatplan.frozen import frozen
from seatplan.message import said

from .errors import InputError, Problem
from .foreign import kind_of_bytes

#: no line is longer, letters
MOST_LETTERS = 100_000
#: what stands for bytes that are no letter of the encoding
_NO_LETTER = re.compile("[\ud800-\udfff\ufffd]")
_SEPARATORS = (",", ";", "\t")
_UNCLOSED = said("quotes that do not close in this line; expected each row on one line, and two quotes for one within "
                 "a cell")
_NO_FILE = ((stat.S_ISDIR, said("a directory")), (stat.S_ISFIFO, said("a pipe")), (stat.S_ISSOCK, said("a socket")),
            (stat.S_ISCHR, said("a device")), (stat.S_ISBLK, said("a device")))
_WAITS = getattr(os, "O_NONBLOCK", 0) | getattr(os, "O_CLOEXEC", 0)


class RowError(ValueError):
    """A line that is no row; its text says what is expected, and never what was found."""


@frozen
class Line:
    """One line of a table: its number from 1, and its cells without spaces around them, or what is wrong with it."""

    number: int
    cells: tuple[str, ...] = ()
    wrong: str = ""


def lines_of(path: str) -> Iterator[Line]:
    """The lines of a CSV file that hold anything, the header first. Raises InputError where the file is none."""
    with _opened(path) as raw:
        encoding = _encoding(path, raw)
        text = TextIOWrapper(raw, encoding=encoding, errors="surrogateescape" if encoding == "utf-8-sig" else "replace",
                             newline=None)
        separator, is_open = "", False
        for number, line, cut in _numbered(text):
            if not line.strip(" \t\r\n,;\ufeff"):
                continue
            separator = separator or _separator(line)
            if cut:
                yield Line(number, wrong=said("a line of more than {most} letters; expected a shorter one",
                                              most=MOST_LETTERS))
            elif is_open and line.count('"') % 2:
                is_open = False
                yield Line(number, wrong=_UNCLOSED)
            else:
                row = _line(number, line, separator)
                is_open = is_open or row.wrong == _UNCLOSED
                yield row


def _opened(path: str) -> IO[bytes]:
    try:
        _refuse_endless(path, os.stat(path))
        stream = open(os.open(path, os.O_RDONLY | _WAITS), "rb")     # noqa: SIM115  # the caller closes it
        _refuse_endless(path, os.fstat(stream.fileno()))
        return stream
    except (OSError, ValueError) as error:
        reason = getattr(error, "strerror", None)
        told = said("there is no such file") if isinstance(error, FileNotFoundError) else said(
            "this file cannot be read: {reason}", reason=reason.lower() if reason else said("not a usable file name"))
        raise InputError([Problem(path, 0, 0, told)]) from None


def _refuse_endless(path: str, there: os.stat_result) -> None:
    what = next((words for is_it, words in _NO_FILE if is_it(there.st_mode)), None)
    if what is not None:
        raise InputError([Problem(path, 0, 0, said("this is {what}; expected a CSV file", what=what))])


def _encoding(path: str, raw: IO[bytes]) -> str:
    """UTF-8, with its mark or without, or UTF-16 with its mark."""
    start = raw.read(4096)
    raw.seek(0)
    if start.startswith((b"\xff\xfe", b"\xfe\xff")):
        return "utf-16"
    what = kind_of_bytes(start)
    if what or b"\0" in start:
        raise InputError([Problem(path, 0, 0, said("this is {what}; expected a CSV file",
                                                   what=what or said("no text in UTF-8")))])
    return "utf-8-sig"


def _numbered(text: TextIOWrapper) -> Iterator[tuple[int, str, bool]]:
    """Each line with its number, and whether it was cut; what follows in a line that is too long is passed over."""
    number = 0
    while line := text.readline(MOST_LETTERS + 1):
        number += 1
        cut = len(line) > MOST_LETTERS
        rest = line
        while cut and rest and not rest.endswith("\n"):
            rest = text.readline(MOST_LETTERS)
        yield number, line, cut


def _separator(header: str) -> str:
    """What stands between the names of columns most often."""
    return max(_SEPARATORS, key=header.count)


def _line(number: int, line: str, separator: str) -> Line:
    if not line.isascii() and _NO_LETTER.search(line):
        return Line(number, wrong=said("a letter that is no UTF-8; expected the file to be saved as UTF-8"))
    try:
        cells = next(csv.reader([line.rstrip("\n")], delimiter=separator, strict=True))
    except csv.Error:
        return Line(number, wrong=_UNCLOSED)
    return Line(number, tuple(" ".join(one.split()) for one in cells))
