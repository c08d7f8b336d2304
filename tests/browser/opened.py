"""Files for the browser, written by the command line."""

from __future__ import annotations

import contextlib
import io
from pathlib import Path

from seatplan.cli.main import run as seatplan

#: bundled trips of every kind: three rows, seats that face the rear, a sliding row, little measured, one seat ahead
FITTING = ["three-across-school-run", "twins-small-hatch", "half-measured-car", "taxi-ride", "slide-decides",
           "borrowed-bars", "two-seater-airbag-off", "school-run-second-car"]


def run(folder: Path, command: str, trip: str, name: str, *options: str) -> Path:
    """Write a drawing or a sheet; its path."""
    file = folder / name
    code: object = None
    with contextlib.redirect_stderr(io.StringIO()) as err:
        try:
            seatplan([command, trip, "-o", str(file), *options])
        except SystemExit as left:
            code = left.code
    assert code in (0, 1, 3), err.getvalue()
    return file
