"""seatplan sheet"""

from __future__ import annotations

from typing import Literal

import click

from .asking import Asking
from .options import on_day, rules_option, strict_option, until_option, vehicle_option, worst_case_option
from .picked import arrangement_option, nothing_to_write
from .target import Goes, output_option


@click.command("sheet", cls=Asking, short_help="A sheet to take to the car: one page a restraint.")
@click.argument("trip")
@arrangement_option
@output_option("sheet.html")
@click.option("--paper", type=click.Choice(["a4", "letter"]), default="a4", show_default=True, help="To print on.")
@until_option
@vehicle_option
@rules_option
@strict_option
@worst_case_option
@on_day
def command(trip: str, rank: int, output: str, force: bool, paper: Literal["a4", "letter"], until: str | None,
            vehicle: str | None, rules: str | None, strict: bool, worst_case: bool, on: str | None) -> int:
    """Write a sheet for the car as one HTML file: the order of installing, then a page for each restraint and each
    child on the vehicle belt with its drawing, its steps, boxes for what is measured there, and how to note that.

    \b
      seatplan sheet three-across-school-run -o sheet.html
      seatplan sheet my-trip.yaml --arrangement 2 --paper letter -o sheet.html
      seatplan sheet three-across-school-run --until 4y -o sheet.html

    Exit codes: 0 written, 1 nothing fits, 2 bad input, 3 written, but it hangs on what was not measured.
    """
    from seatplan.app.days import day_of
    from seatplan.app.documents import Sheet, sheet
    from seatplan.views.sheet.sheet import asked_html
    from seatplan.views.written_text import sheet_holds

    from .listener import Told

    request = Sheet(trip=trip, vehicle=vehicle, rules=rules, on=day_of(on), strict=strict, worst_case=worst_case,
                    rank=rank, paper=paper, until=until)
    place = Goes(output, force, "sheet")
    outcome = sheet(request, Told(place.known))
    if outcome.answer.arrangement is None:
        return nothing_to_write(request)
    place.write(asked_html(outcome.answer, request), sheet_holds(outcome.answer))
    return outcome.exit_code
