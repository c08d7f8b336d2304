"""seatplan sheet"""

from __future__ import annotations

import click

from seatplan.written import quoted

from .answer import EXIT, asked, day_of, day_within, read, travelling
from .options import on_day, rules_option, strict_option, until_option, vehicle_option, worst_case_option
from .picked import arrangement_option, picked
from .target import output_option, target

#: among so many further arrangements the one to try next is looked for
_NEXT = 40


@click.command("sheet", short_help="A sheet to take to the car: one page a restraint.")
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
def command(trip: str, rank: int, output: str, force: bool, paper: str, until: str | None,
            vehicle: str | None, rules: str | None, strict: bool, worst_case: bool, on: str | None) -> int:
    """Write a sheet for the car as one HTML file: the order of installing, then a page for each restraint with its
    drawing, its steps, and boxes for what is measured there.

    \b
      seatplan sheet three-across-school-run -o sheet.html
      seatplan sheet my-trip.yaml --arrangement 2 --paper letter -o sheet.html
      seatplan sheet three-across-school-run --until 4y -o sheet.html

    Exit codes: 0 written, 1 nothing fits, 2 bad input, 3 written, but it hangs on what was not measured.
    """
    day = day_of(on)
    loaded, profile, taken = read(trip, vehicle, rules)
    end = None if until is None else day_within(until, max(taken, day or taken))
    again = asked(trip, vehicle, rules, on, strict)
    travels = travelling(loaded, day)
    place = target(output, force, "sheet", travels)
    found = picked(travels, profile, day or taken, strict, worst_case, rank, again, _NEXT)
    if found is None:
        return 1

    from seatplan.solver.installing import cards
    from seatplan.solver.picture import picture
    from seatplan.views.sheet.sheet import sheet_html

    plan, arrangement = found
    seen = picture(plan, arrangement)
    lasts = None
    if end is not None:
        from seatplan.growth.lasting import lasting

        lasts = lasting(loaded, profile, taken, end, day or taken, [seat.placement for seat in arrangement.seats])
    page = sheet_html(plan, arrangement, seen, cards(plan, arrangement, seen), paper, lasts, again,
                      None if vehicle is not None else quoted(trip))
    place.write(page)
    return EXIT[arrangement.verdict]
