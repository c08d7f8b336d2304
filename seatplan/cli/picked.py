"""One arrangement of a trip, by its number: what `draw` and `sheet` start from."""

from __future__ import annotations

import sys
from typing import TYPE_CHECKING

import click

from seatplan.views.say import t

if TYPE_CHECKING:
    from seatplan.app.request import Request

arrangement_option = click.option(
    "--arrangement", "rank", metavar="N", type=click.IntRange(1, 10_000), default=1, show_default=True,
    help="Which one, by its number in `seatplan arrange`.")


def nothing_to_write(request: Request) -> int:
    """Say that nothing fits; the exit code."""
    print(t("nothing fits, so nothing was written\nhint: `seatplan arrange {again}` says why", again=request.words),
          file=sys.stderr)
    return 1
