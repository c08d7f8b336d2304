"""seatplan compare"""

from __future__ import annotations

import click

from .asking import Asking
from .options import as_json, json_form, on_day, rules_option, strict_option, worst_case_option
from .output import say, say_json


@click.command("compare", cls=Asking,
               short_help="One trip in several vehicles: what fits, what changes, what does not go along.")
@click.argument("trip")
@click.option("--vehicle", "vehicles", metavar="NAME|FILE", multiple=True, required=True,
              help="A vehicle to look at; give it once for each.")
@rules_option
@strict_option
@worst_case_option
@on_day
@as_json
@json_form
def command(trip: str, vehicles: tuple[str, ...], rules: str | None, strict: bool, worst_case: bool, on: str | None,
            json_out: bool, full: bool) -> int:
    """Look at TRIP in several vehicles: what fits in each, what changes for each child, and what does not go along
    and why.

    The trip's own vehicle comes first unless it is one of those given. Changes are counted from how they ride
    today (`installed` in the trip), or else from the best arrangement in the first vehicle.

    \b
      seatplan compare three-across-school-run --vehicle skiff-two
      seatplan compare my-trip.yaml --vehicle my-car.yaml --vehicle grandparents-car.yaml --json
      seatplan sheet my-trip.yaml --vehicle grandparents-car.yaml -o sheet.html

    Exit codes: 0 something fits in every vehicle (close and likely count), 1 nothing does in at least one, 2 bad input,
    3 at least one hangs on what was not measured or its search stopped at its limit, and none has nothing.
    """
    from seatplan.app.compare import Compare, compare
    from seatplan.app.days import day_of

    from .listener import Told

    outcome = compare(Compare(trip=trip, vehicles=vehicles, rules=rules, on=day_of(on), strict=strict,
                              worst_case=worst_case), Told())
    found = outcome.answer
    if json_out:
        from seatplan.views.compare_json import compare_json

        say_json(compare_json(found.comparison, found.left_out, full))
    else:
        from seatplan.views.compare_text import compare_text

        left_out = [[notice.text for notice in each] for each in found.left_out]
        say(compare_text(found.comparison, left_out, [each.words for each in found.requests]))
    return outcome.exit_code
