"""Run the program inside the test: what it prints, and the exit code that it leaves with."""

from __future__ import annotations

import contextlib
import io
import re
from dataclasses import dataclass

from seatplan.cli.main import run


@dataclass(frozen=True)
class Said:
    """One run: both streams and the exit code."""

    out: str
    err: str
    code: int


def seatplan(*args: str) -> Said:
    """Run one command."""
    out, err = io.StringIO(), io.StringIO()
    code = None
    with contextlib.redirect_stdout(out), contextlib.redirect_stderr(err):
        try:
            run(list(args))
        except SystemExit as left:
            code = left.code
    assert isinstance(code, int)
    return Said(out.getvalue(), without_progress(err.getvalue()), code)


def without_progress(told: str) -> str:
    """What was told on stderr, without the lines that only a slow machine prints."""
    return re.sub(r"(?m)^(?:[a-z ]+(?: \d+)?: [\d,]+ ways looked at so far|[\d,]+ fields looked at)\n", "", told)
