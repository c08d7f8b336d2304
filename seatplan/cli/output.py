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


def say_json(value: Any) -> None:
    """Print one JSON value."""
    import json

    say(json.dumps(value, indent=1, ensure_ascii=False) + "\n")
