"""seatplan list"""

from __future__ import annotations

import click

from .options import as_json
from .output import say, say_json


@click.command("list", short_help="The bundled vehicles, restraints and trips.")
@click.argument("kind", required=False, type=click.Choice(["vehicles", "restraints", "trips"]))
@as_json
def command(kind: str | None, json_out: bool) -> int:
    """List the bundled vehicles, restraints and trips. All of them are invented.

    \b
      seatplan list trips
    """
    if json_out:
        from seatplan.views.library_json import library_json

        say_json(library_json(kind))
        return 0
    from seatplan.views.library_text import library_text

    say(library_text(kind))
    return 0
