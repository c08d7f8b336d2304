"""Versions of files: whoever read one and writes it later says which version was read, so that nobody's change is lost.

A version is the SHA-256 (FIPS 180-4) of all bytes. It is no count: a file that was changed and changed back is the one
that was read.
"""

from __future__ import annotations

from hashlib import sha256

from seatplan.message import said

from .errors import InputError, Problem


def version_of(raw: bytes) -> str:
    """The version of a file with these bytes: 64 hexadecimal digits."""
    return sha256(raw).hexdigest()


class Changed(InputError):
    """A file no longer holds what was read, and was left as it is: whoever wanted to write reads it again.

    ``expected``: the version that was read; ``found``: the one that is there, empty where the file is gone. ``wanted``:
    the text that was to be written; ``there``: the one that stands there; ``kept``: the file where the first was kept,
    None where it was not.
    """

    kept: str | None = None

    def __init__(self, path: str, expected: str, found: bytes | None, wanted: bytes) -> None:
        self.path, self.expected = path, expected
        self.found = "" if found is None else version_of(found)
        self.wanted = wanted.decode(errors="replace")
        self.there = "" if found is None else found.decode(errors="replace")
        super().__init__([Problem(path, 0, 0, said(
            "this file was changed by something else meanwhile; nothing was written, try again"))])
