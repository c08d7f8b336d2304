"""seatplan list"""

from __future__ import annotations

from typing import Literal

import click

from .asking import Asking
from .options import as_json
from .output import say, say_json


@click.command("list", cls=Asking, short_help="The bundled vehicles, restraints and trips.")
@click.argument("kind", required=False, type=click.Choice(["vehicles", "restraints", "trips"]))
@as_json
def command(kind: Literal["vehicles", "restraints", "trips"] | None, json_out: bool) -> int:
    """List the bundled vehicles, restraints and trips. All of them are invented.

    \b
      seatplan list trips
    """
    from seatplan.app.library import AskLibrary, library

    outcome = library(AskLibrary(kind=kind))
    if json_out:
        from seatplan.views.library_json import library_json

        say_json(library_json(outcome.answer))
    else:
        from seatplan.views.library_text import library_text

        say(library_text(outcome.answer))
    return outcome.exit_code
