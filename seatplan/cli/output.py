"""Answers on standard output and what is told on standard error, whoever reads them and whether they can be written."""

from __future__ import annotations

import os
import sys
from collections.abc import Iterable, Iterator, Mapping
from contextlib import contextmanager
from io import BufferedWriter, RawIOBase, TextIOWrapper
from itertools import chain, islice
from typing import Any, TextIO


def say(text: str) -> None:
    """Print text as it is, at once."""
    sys.stdout.write(text)
    sys.stdout.flush()


def document(text: str) -> None:
    """Print a file: in UTF-8, which it says it is in, whatever the terminal writes."""
    if (raw := getattr(sys.stdout, "buffer", None)) is None:
        return say(text)
    sys.stdout.flush()
    raw.write(text.encode())
    raw.flush()


def terminal_columns() -> int:
    """How wide the terminal is that the answer goes to; as wide as text gets where it goes elsewhere."""
    from seatplan.views.manner import WIDEST

    try:
        return os.get_terminal_size(sys.stdout.fileno()).columns or WIDEST
    except (OSError, ValueError, AttributeError):
        return WIDEST


def in_colour(asked: str, environment: Mapping[str, str]) -> bool:
    """Whether the answer has colour, asked for as ``auto``, ``always`` or ``never``: by itself on a terminal that is
    not ``dumb``, where ``NO_COLOR`` (no-color.org) says nothing."""
    if asked != "auto":
        return asked == "always"
    if environment.get("NO_COLOR") or environment.get("TERM", "dumb" if os.name != "nt" else "") == "dumb":
        return False
    return sys.stdout.isatty() and (os.name != "nt" or "WT_SESSION" in environment or "TERM" in environment)


def say_json(value: Any) -> None:
    """Print one JSON value."""
    import json

    for piece in json.JSONEncoder(indent=1, ensure_ascii=not _unicode()).iterencode(value):
        sys.stdout.write(piece)
    say("\n")


class Streamed(list[Any]):
    """A list of JSON that is made while it is printed, never whole in memory; printed once."""

    def __init__(self, entries: Iterable[Any]) -> None:
        self._entries = iter(entries)
        super().__init__(islice(self._entries, 1))         # so that it is known whether it is empty

    def __iter__(self) -> Iterator[Any]:
        return chain(super().__iter__(), self._entries)


def _unicode() -> bool:
    """Whether standard output takes every letter; a letter that it does not take is written as JSON writes it."""
    return (getattr(sys.stdout, "encoding", None) or "utf-8").lower().replace("-", "").startswith("utf")


@contextmanager
def own_streams() -> Iterator[None]:
    """Standard output and error as the program wants them: whoever prints, click or a warning too, a stream that is
    full or closed raises Unwritten, a reader that has gone (`| head`) is no error, and a letter that the terminal
    cannot show stops nothing. After either nothing more is written, and nothing is left for python to flush at exit.
    """
    before = sys.stdout, sys.stderr
    streams = [_own(before[0], "stdout"), _own(before[1], "stderr")]
    sys.stdout, sys.stderr = (text for text, _ in streams)
    try:
        yield
    finally:
        for text, raw in streams:
            if raw is not None:
                raw.over = True
                text.flush()
        sys.stdout, sys.stderr = before


def flush() -> None:
    """Write what was printed and not yet written. Raises Unwritten."""
    sys.stdout.flush()
    sys.stderr.flush()


def _own(stream: TextIO | None, name: str) -> tuple[TextIO, _Raw | None]:
    """A stream of the program's own in place of python's, which is None where it was closed from the start; what is no
    stream of the system stays."""
    if stream is None:
        raw = _Raw(None, name)
        return TextIOWrapper(BufferedWriter(raw), "utf-8", "backslashreplace", line_buffering=True), raw
    if not isinstance(stream, TextIOWrapper):
        return stream, None
    try:
        stream.fileno()
    except OSError:
        return stream, None
    stream.flush()
    raw = _Raw(getattr(stream.buffer, "raw", stream.buffer), name)
    return TextIOWrapper(BufferedWriter(raw), stream.encoding, "backslashreplace",
                         line_buffering=stream.line_buffering or stream.write_through), raw


class _Raw(RawIOBase):
    """The bytes of one stream on their way to the system; ``over``: nothing more is written."""

    def __init__(self, raw: Any, name: str) -> None:
        self._to, self._called, self.over = raw, name, False

    def writable(self) -> bool:
        return True

    def isatty(self) -> bool:
        return self._to is not None and self._to.isatty()

    def fileno(self) -> int:
        return super().fileno() if self._to is None else self._to.fileno()

    def write(self, data: Any) -> int:
        from seatplan.app.errors import Problem, Unwritten
        from seatplan.message import said

        try:
            while not self.over:
                if self._to is None:
                    self.over = True
                    raise Unwritten(Problem(self._called, 0, 0, said("is closed, and something was to be written")))
                written: int | None = self._to.write(data)
                if written is not None:
                    return written
                _wait_for(self.fileno())
        except ConnectionError:          # the reader has gone, and what is left is for nobody
            self.over = True
        except OSError as error:
            self.over = True
            told = said("cannot be written to: {reason}", reason=(error.strerror or str(error)).lower())
            raise Unwritten(Problem(self._called, 0, 0, told)) from None
        return len(data)


def _wait_for(handle: int) -> None:
    """Until a stream that does not wait by itself takes more."""
    import select

    select.select([], [handle], [])
