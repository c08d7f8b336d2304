"""seatplan new"""

from __future__ import annotations

from typing import Literal

import click

from .asking import Asking
from .output import say


@click.command("new", cls=Asking, short_help="Print a commented file to fill in.")
@click.argument("kind", type=click.Choice(["vehicle", "restraint", "trip"]))
def command(kind: Literal["vehicle", "restraint", "trip"]) -> int:
    """Print a commented vehicle, restraint or trip file to fill in; `seatplan check` accepts it as it is.

    \b
      seatplan new vehicle > my-car.yaml
    """
    from seatplan.app.new import New, new
    from seatplan.views.template_text import in_language

    outcome = new(New(kind=kind))
    say(in_language(outcome.answer))
    return outcome.exit_code
