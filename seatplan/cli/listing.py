"""seatplan list"""

from __future__ import annotations

import click

from .output import say


@click.command("list", short_help="The bundled vehicles, restraints and trips.")
@click.argument("kind", required=False, type=click.Choice(["vehicles", "restraints", "trips"]))
def command(kind: str | None) -> int:
    """List the bundled vehicles, restraints and trips. All of them are invented.

    \b
      seatplan list trips
    """
    from seatplan.views.library_text import library_text

    say(library_text(kind))
    return 0
