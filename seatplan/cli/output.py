"""Answers on standard output, whoever reads them."""

from __future__ import annotations

import os
import sys
from typing import Any


def say(text: str) -> None:
    """Print text as it is. A reader that has gone (`| head`) changes nothing: the exit code stays that of the
    answer."""
    try:
        sys.stdout.write(text)
        sys.stdout.flush()
    except BrokenPipeError:
        # python would complain once more when it flushes at exit
        os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())


def document(text: str) -> None:
    """Print a file: in UTF-8, which it says it is in, whatever the terminal writes."""
    if (raw := getattr(sys.stdout, "buffer", None)) is None:
        return say(text)
    sys.stdout.flush()
    try:
        raw.write(text.encode())
        raw.flush()
    except BrokenPipeError:
        os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())


def terminal_columns() -> int:
    """How wide the terminal is that the answer goes to; as wide as text gets where it goes elsewhere."""
    from seatplan.views.manner import WIDEST

    try:
        return os.get_terminal_size(sys.stdout.fileno()).columns or WIDEST
    except (OSError, ValueError, AttributeError):
        return WIDEST


def say_json(value: Any) -> None:
    """Print one JSON value."""
    import json

    say(json.dumps(value, indent=1, ensure_ascii=not _unicode()) + "\n")


def _unicode() -> bool:
    """Whether standard output takes every letter; a letter that it does not take is written as JSON writes it."""
    return (getattr(sys.stdout, "encoding", None) or "utf-8").lower().replace("-", "").startswith("utf")
