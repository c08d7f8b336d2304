"""seatplan new"""

from __future__ import annotations

import click

from .output import say


@click.command("new", short_help="Print a commented file to fill in.")
@click.argument("kind", type=click.Choice(["vehicle", "restraint", "trip"]))
def command(kind: str) -> int:
    """Print a commented vehicle, restraint or trip file to fill in; `seatplan check` accepts it as it is.

    \b
      seatplan new vehicle > my-car.yaml
    """
    from importlib.resources import files

    from seatplan.views.template_text import in_language

    say(in_language(files("seatplan").joinpath(f"data/templates/{kind}.yaml").read_text(encoding="utf-8")))
    return 0
