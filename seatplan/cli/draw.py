"""seatplan draw"""

from __future__ import annotations

import sys
from typing import Literal

import click

from seatplan.views.say import t

from .asking import Asking
from .options import on_day, rules_option, strict_option, vehicle_option, worst_case_option
from .picked import arrangement_option, nothing_to_write
from .target import Goes, output_option


@click.command("draw", cls=Asking, short_help="Draw an arrangement to scale, as SVG.")
@click.argument("trip")
@arrangement_option
@output_option("plan.svg")
@click.option("--for", "shown_on", type=click.Choice(["phone", "paper"]), default="phone", show_default=True,
              help="One column for a phone, or as large as a sheet of A4 or letter takes it.")
@vehicle_option
@rules_option
@strict_option
@worst_case_option
@on_day
def command(trip: str, rank: int, output: str, force: bool, shown_on: Literal["phone", "paper"],
            vehicle: str | None, rules: str | None, strict: bool, worst_case: bool, on: str | None) -> int:
    """Draw one arrangement of TRIP to scale: each row from above, each rear-facing shell from the side.

    Gaps carry their size in mm and the tight chain is marked. It reads in black and white.

    \b
      seatplan draw three-across-school-run -o plan.svg
      seatplan draw my-trip.yaml --arrangement 2 --for paper -o -

    Exit codes: 0 drawn, 1 nothing fits, 2 bad input, 3 drawn, but it hangs on what was not measured.
    """
    from seatplan.app.days import day_of
    from seatplan.app.documents import Draw, draw
    from seatplan.views.doubted_text import doubted_lines
    from seatplan.views.svg.plan import plan_svg
    from seatplan.views.written_text import drawing_holds

    from .listener import Told

    request = Draw(trip=trip, vehicle=vehicle, rules=rules, on=day_of(on), strict=strict, worst_case=worst_case,
                   rank=rank, shown_on=shown_on)
    place = Goes(output, force, "drawing")
    outcome = draw(request, Told(place.known))
    found = outcome.answer
    if found.arrangement is None or found.picture is None:
        return nothing_to_write(request)
    for line in doubted_lines(found.plan.trip):
        print(t("warning: {notice}", notice=line), file=sys.stderr)
    place.write(plan_svg(found.plan, found.arrangement, found.picture, paper=shown_on == "paper"),
                drawing_holds(found.arrangement))
    return outcome.exit_code
