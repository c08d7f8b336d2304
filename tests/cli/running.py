"""Run the program inside the test: what it prints, and the exit code that it leaves with."""

from __future__ import annotations

import contextlib
import io
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
    return Said(out.getvalue(), err.getvalue(), code)
