"""seatplan arrange"""

from __future__ import annotations

import click

from .answer import answer, load
from .options import as_json, on_day, rules_option, strict_option, vehicle_option


@click.command("arrange", short_help="List every arrangement of a trip that fits.")
@click.argument("trip")
@vehicle_option
@click.option("--top", type=click.IntRange(1, 10_000), default=3, show_default=True,
              help="How many arrangements to show.")
@click.option("--all", "everything", is_flag=True, help="Show all of them.")
@rules_option
@strict_option
@on_day
@as_json
def command(trip: str, vehicle: str | None, top: int, everything: bool, rules: str | None, strict: bool,
            on: str | None, json_out: bool) -> int:
    """List every arrangement of TRIP that is allowed and fits side by side, best first.

    TRIP is a file, or a bundled name from `seatplan list`. Then comes who can sit where, and why the other
    seatings went, with counts that add up.

    \b
      seatplan arrange three-across-school-run
      seatplan arrange my-trip.yaml --vehicle small-hatchback --json
    """
    loaded, profile, day = load(trip, vehicle, rules, on, json_out)
    return answer(loaded, profile, day, None if everything else top, strict, json_out)
