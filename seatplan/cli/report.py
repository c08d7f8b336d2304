"""seatplan report"""

from __future__ import annotations

import click

from .asking import Asking
from .options import on_day, rules_option, strict_option, until_option, worst_case_option
from .target import Goes, output_option


@click.command("report", cls=Asking, short_help="The whole plan as one HTML file.")
@click.argument("trip")
@output_option("plan.html")
@click.option("--vehicle", "vehicles", metavar="NAME|FILE", multiple=True,
              help="Another vehicle in place of the trip's own; given several times, each of them and the trip's own.")
@until_option
@rules_option
@strict_option
@worst_case_option
@on_day
def command(trip: str, output: str, force: bool, vehicles: tuple[str, ...], until: str | None, rules: str | None,
            strict: bool, worst_case: bool, on: str | None) -> int:
    """Write the whole plan of TRIP as one HTML file that opens from a mail: the verdict, the best arrangements with
    drawings, who can sit where, the reasons, and what was not measured.

    In a browser with scripts a rider can be pinned to a seat or kept away from one. Several vehicles are compared as
    by `seatplan compare`, and all of this is told of each.

    \b
      seatplan report three-across-school-run -o plan.html
      seatplan report three-across-school-run --until 4y -o plan.html
      seatplan report three-across-school-run --vehicle skiff-two --vehicle pipkin-hatch -o plan.html

    Exit codes: 0 something fits (close and likely count), 1 nothing does, 2 bad input, 3 it hangs on what was not
    measured or the search stopped at its limit; of several vehicles 0 something fits in each, 1 nothing does
    in at least one, 3 otherwise.
    """
    from seatplan.app.days import day_of
    from seatplan.app.documents import Report, report
    from seatplan.views.report.report import reported_html
    from seatplan.views.written_text import report_holds

    from .listener import Told

    place = Goes(output, force, "report")
    outcome = report(Report(trip=trip, vehicles=vehicles, rules=rules, on=day_of(on), strict=strict,
                            worst_case=worst_case, until=until), Told(place.known))
    place.write(reported_html(outcome.answer), report_holds(outcome.answer))
    return outcome.exit_code
