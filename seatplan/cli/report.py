"""seatplan report"""

from __future__ import annotations

import sys
from collections.abc import Sequence
from typing import TYPE_CHECKING

import click

from seatplan.views.say import N, t

from .answer import EXIT, asked, day_of, day_within, read, too_large, travelling
from .compare import code_of, named
from .options import on_day, rules_option, strict_option, until_option, worst_case_option
from .progress import Slow
from .target import output_option, target

if TYPE_CHECKING:
    from datetime import date

    from seatplan.growth.outlook import Outlook
    from seatplan.model import Trip
    from seatplan.rules.profile import Profile
    from seatplan.solver.explain import Explanation
    from seatplan.solver.picture import Picture
    from seatplan.solver.results import Plan

#: arrangements that get a line each, and of these the most that are drawn; of each of several vehicles fewer
LISTED, DRAWN, DRAWN_EACH = 200, 12, 6


@click.command("report", short_help="The whole plan as one HTML file.")
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
    if len(vehicles) > 1:
        return _several(trip, vehicles, output, force, until, rules, strict, worst_case, on)

    day, vehicle = day_of(on), vehicles[0] if vehicles else None
    loaded, profile, taken = read(trip, vehicle, rules)
    travels = travelling(loaded, day)
    place = target(output, force, "report", travels)

    from seatplan.solver.plan import plan
    from seatplan.views.report.report import report_html

    ahead = _ahead(loaded, profile, taken, until)
    with Slow() as progress:
        solved = plan(travels, profile, day or taken, top=LISTED, strict=strict, worst_case=worst_case,
                      progress=progress)
    again = asked(trip, vehicle, rules, on, strict)
    drawn, explained = _drawn(solved, DRAWN), _explained(solved)
    place.write(report_html(solved, drawn, explained, again, ahead))
    return 3 if solved.verdict == "rejected" and not solved.tally.complete else EXIT[solved.verdict]


def _several(trip: str, vehicles: Sequence[str], output: str, force: bool, until: str | None, rules: str | None,
             strict: bool, worst_case: bool, on: str | None) -> int:
    """All vehicles of a comparison in one file."""
    from datetime import date

    from seatplan.files.load import load_trip_in
    from seatplan.rules.load import load_profile
    from seatplan.solver.compare import compare
    from seatplan.views.report.report import several_html
    from seatplan.views.report.shown import Compared, Shown

    day, loaded = day_of(on), load_trip_in(trip, vehicles, date.today())
    trips = [travelling(one.trip, day) for one in loaded]
    place = target(output, force, "report", trips[0])
    own = next((i for i, one in enumerate(loaded) if one.own), 0)
    profile = load_profile(rules or trips[0].rules)
    taken = loaded[0].trip.on or date.today()
    looks = [_ahead(one.trip, profile, taken, until) for one in loaded]
    found = compare(trips, profile, day or taken, own=own, strict=strict, worst_case=worst_case)
    again = asked(trip, None, rules, on, strict)
    options = named(loaded, vehicles)
    each = [Shown(one.plan, _drawn(one.plan, DRAWN_EACH), _explained(one.plan), f"{again}{options[n]}", looks[n],
                  Compared(found, n, [notice.text for notice in loaded[n].notices]))
            for n, one in enumerate(found.vehicles)]
    place.write(several_html(found, each))
    return code_of(found)


def _ahead(trip: Trip, profile: Profile, start: date, until: str | None) -> Outlook | None:
    """How long it lasts, of a trip as it was read, from the day on which its sizes hold."""
    if until is None:
        return None
    end = day_within(until, start)

    from seatplan.growth.outlook import outlook
    from seatplan.solver.budget import TooMuch

    print(t("looking at every day up to {end} in {vehicle}", end=end, vehicle=trip.vehicle.vehicle), file=sys.stderr)
    try:
        with Slow(N("{stage}: {n} so far")) as progress:
            return outlook(trip, profile, start, end, progress)
    except TooMuch:
        print(too_large(trip), file=sys.stderr)
        return None


def _drawn(solved: Plan, most: int) -> dict[int, Picture]:
    from seatplan.solver.picture import picture, varied

    return {arrangement.rank: picture(solved, arrangement) for arrangement in varied(solved, most)}


def _explained(solved: Plan) -> Explanation | None:
    """Why nothing fits; None where something does."""
    if solved.arrangements:
        return None

    from seatplan.files.load import shelf
    from seatplan.solver.explain import explain

    return explain(solved, shelf())
