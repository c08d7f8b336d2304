"""seatplan arrange"""

from __future__ import annotations

import click

from .answer import answer
from .asking import Asking
from .options import answer_form, as_json, on_day, rules_option, strict_option, vehicle_option, worst_case_option


@click.command("arrange", cls=Asking, short_help="List every arrangement of a trip that fits.")
@click.argument("trip")
@vehicle_option
@click.option("--top", metavar="N", type=click.IntRange(1, 10_000), default=3, show_default=True,
              help="How many arrangements to show, 1 to 10,000.")
@click.option("--all", "everything", is_flag=True, help="Show all of them.")
@rules_option
@strict_option
@worst_case_option
@on_day
@as_json
@answer_form
def command(trip: str, vehicle: str | None, top: int, everything: bool, rules: str | None, strict: bool,
            worst_case: bool, on: str | None, json_out: bool, full: bool) -> int:
    """Arrange TRIP: who can sit where in what, so that it is allowed and fits, side by side and along the car.

    TRIP is a file, `-` for standard input, or a bundled name from `seatplan list trips`. What comes first is the best
    arrangement, the next ones in a line each, and what to do next; or what would change a no. --full draws them all,
    says who can sit where, and why the other arrangements are ruled out, with counts that add up.

    \b
      seatplan arrange three-across-school-run
      seatplan arrange my-trip.yaml --vehicle my-car.yaml --json

    Exit codes: 0 something fits (close and likely count), 1 nothing does, 2 bad input, 3 it hangs on what was not
    measured or the search stopped at its limit.
    """
    from seatplan.app.arrange import Arrange
    from seatplan.app.days import day_of

    return answer(Arrange(trip=trip, vehicle=vehicle, rules=rules, on=day_of(on), strict=strict,
                          worst_case=worst_case, top=None if everything else top), json_out, full)
