"""Files that are none of ours: what they are, as far as their beginning tells."""

from __future__ import annotations

from typing import Any

from seatplan.message import said

#: how a file begins -> what it is
_BYTES = (
    (b"%PDF", said("a PDF")),
    (b"\x89PNG", said("a picture")),
    (b"\xff\xd8\xff", said("a picture")),
    (b"GIF8", said("a picture")),
    (b"PK\x03\x04", said("an archive, or a document of an office program")),
    (b"\xd0\xcf\x11\xe0", said("a document of an office program")),
    (b"\x1f\x8b", said("a compressed file")),
)
_UTF16 = (b"\xff\xfe", b"\xfe\xff")
_TEXTS = (
    ("<", said("a page of HTML, a drawing or other XML")),
    ("BEGIN:VCALENDAR", said("a calendar")),
    ("{", said("JSON")),
    ("[", said("JSON")),
)
_ANSWER = ("schema", "kind", "caution")


def kind_of_bytes(raw: bytes) -> str:
    """What a file that is no text is; empty where that is not known."""
    if raw.startswith(_UTF16):
        return said("text in UTF-16")
    return next((what for start, what in _BYTES if raw.startswith(start)), "")


def kind_of_text(text: str) -> str:
    """What a text that is no YAML of ours is; empty where that is not known."""
    start = text[:200].lstrip()
    return next((what for begin, what in _TEXTS if start.startswith(begin)), "")


def is_answer(data: Any) -> bool:
    """Whether data is what a command prints with ``--json``."""
    return isinstance(data, dict) and all(key in data for key in _ANSWER)
