"""seatplan report"""

from __future__ import annotations

import click

from .answer import EXIT, Slow, asked, load
from .options import on_day, rules_option, strict_option, vehicle_option, worst_case_option
from .writing import output_option, write

#: arrangements that get a line each, and of these the most that are drawn
LISTED, DRAWN = 200, 12


@click.command("report", short_help="The whole plan as one HTML file.")
@click.argument("trip")
@output_option("plan.html")
@vehicle_option
@rules_option
@strict_option
@worst_case_option
@on_day
def command(trip: str, output: str, force: bool, vehicle: str | None, rules: str | None, strict: bool,
            worst_case: bool, on: str | None) -> int:
    """Write the whole plan of TRIP as one HTML file that opens from a mail: the verdict, the best arrangements with
    drawings, who can sit where, the reasons, and what was not measured.

    In a browser with scripts a rider can be pinned to a seat or kept away from one.

    \b
      seatplan report three-across-school-run -o plan.html

    Exit codes: 0 something fits (close counts), 1 nothing does, 2 bad input, 3 it hangs on what was not
    measured or the search stopped at its limit.
    """
    loaded, profile, day = load(trip, vehicle, rules, on)

    from seatplan.solver.picture import picture, varied
    from seatplan.solver.plan import plan
    from seatplan.views.report.report import report_html

    solved = plan(loaded, profile, day, top=LISTED, strict=strict, worst_case=worst_case, progress=Slow())
    explained = None
    if not solved.arrangements:
        from seatplan.files.load import shelf
        from seatplan.solver.explain import explain

        explained = explain(solved, shelf())
    pictures = {arrangement.rank: picture(solved, arrangement) for arrangement in varied(solved, DRAWN)}
    again = asked(trip, vehicle, rules, on, strict)
    write(report_html(solved, pictures, explained, again), output, force)
    return 3 if solved.verdict == "rejected" and not solved.tally.complete else EXIT[solved.verdict]
