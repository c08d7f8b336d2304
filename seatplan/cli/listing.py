"""seatplan list"""

from __future__ import annotations

from typing import Literal

import click

from .output import say


@click.command("list", short_help="The bundled vehicles, restraints and trips.")
@click.argument("kind", required=False, type=click.Choice(["vehicles", "restraints", "trips"]))
def command(kind: Literal["vehicles", "restraints", "trips"] | None) -> int:
    """List the bundled vehicles, restraints and trips. All of them are invented.

    \b
      seatplan list trips
    """
    from seatplan.app.library import AskLibrary, library
    from seatplan.views.library_text import library_text

    outcome = library(AskLibrary(kind=kind))
    say(library_text(outcome.answer))
    return outcome.exit_code
