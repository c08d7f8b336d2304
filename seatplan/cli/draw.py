"""seatplan draw"""

from __future__ import annotations

import sys

import click

from seatplan.views.say import t

from .answer import EXIT, asked, load
from .options import on_day, rules_option, strict_option, vehicle_option, worst_case_option
from .picked import arrangement_option, picked
from .target import output_option, target


@click.command("draw", short_help="Draw an arrangement to scale, as SVG.")
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
def command(trip: str, rank: int, output: str, force: bool, shown_on: str, vehicle: str | None, rules: str | None,
            strict: bool, worst_case: bool, on: str | None) -> int:
    """Draw one arrangement of TRIP to scale: each row from above, each rear-facing shell from the side.

    Gaps carry their size in mm and the tight chain is marked. It reads in black and white.

    \b
      seatplan draw three-across-school-run -o plan.svg
      seatplan draw my-trip.yaml --arrangement 2 --for paper -o -

    Exit codes: 0 drawn, 1 nothing fits, 2 bad input, 3 drawn, but it hangs on what was not measured.
    """
    loaded, profile, day = load(trip, vehicle, rules, on)
    place = target(output, force, "drawing", loaded)
    found = picked(loaded, profile, day, strict, worst_case, rank, asked(trip, vehicle, rules, on, strict))
    if found is None:
        return 1

    from seatplan.solver.picture import picture
    from seatplan.views.doubted_text import doubted_lines
    from seatplan.views.svg.plan import plan_svg

    plan, arrangement = found
    for line in doubted_lines(plan.trip):
        print(t("warning: {notice}", notice=line), file=sys.stderr)
    drawing = plan_svg(plan, arrangement, picture(plan, arrangement), paper=shown_on == "paper")
    place.write(drawing)
    return EXIT[arrangement.verdict]
