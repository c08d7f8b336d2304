"""seatplan compare"""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date
from typing import TYPE_CHECKING

import click

from seatplan.views.say import tr
from seatplan.written import quoted, visible

from .answer import EXIT, day_of, travelling
from .options import as_json, json_form, on_day, rules_option, strict_option, worst_case_option
from .output import say, say_json

if TYPE_CHECKING:
    from seatplan.files.load import InVehicle
    from seatplan.solver.compare import Comparison


@click.command("compare", short_help="One trip in several vehicles: what fits, what changes, what does not go along.")
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
    today (`current` in the trip), or else from the best arrangement in the first vehicle.

    \b
      seatplan compare three-across-school-run --vehicle skiff-two
      seatplan compare my-trip.yaml --vehicle my-car.yaml --vehicle grandparents-car.yaml --json

    Exit codes: 0 something fits in every vehicle (close and likely count), 1 nothing does in at least one, 2 bad input,
    3 at least one hangs on what was not measured or its search stopped at its limit, and none has nothing.
    """
    from seatplan.files.load import load_trip_in
    from seatplan.rules.load import load_profile
    from seatplan.solver.compare import compare

    day = day_of(on)
    loaded = load_trip_in(trip, vehicles, date.today())
    trips = [travelling(one.trip, day) for one in loaded]
    own = next((i for i, one in enumerate(loaded) if one.own), 0)
    profile = load_profile(rules or trips[0].rules)
    found = compare(trips, profile, trips[0].on or date.today(), own=own, strict=strict, worst_case=worst_case)
    if json_out:
        from seatplan.views.compare_json import compare_json

        say_json(compare_json(found, [one.notices for one in loaded], full))
    else:
        from seatplan.views.compare_text import compare_text

        left_out = [[visible(tr(notice.text)) for notice in one.notices] for one in loaded]
        say(compare_text(found, left_out, quoted(trip), named(loaded, vehicles)))
    return code_of(found)


def named(loaded: Sequence[InVehicle], vehicles: Sequence[str]) -> list[str]:
    """The option of `arrange` that names each vehicle; empty for the trip's own."""
    given = iter(vehicles[-len(loaded):] if len(vehicles) >= len(loaded) else vehicles)
    told = []
    for i, one in enumerate(loaded):
        own_first = i == 0 and len(vehicles) < len(loaded)
        word = "" if own_first else next(given)
        told.append("" if one.own else f" --vehicle {quoted(word)}")
    return told


def code_of(found: Comparison) -> int:
    """1 where a vehicle has nothing, 3 where one is undecided, 0 otherwise."""
    codes = [3 if vehicle.plan.verdict == "rejected" and not vehicle.plan.tally.complete
             else EXIT[vehicle.plan.verdict] for vehicle in found.vehicles]
    return 1 if 1 in codes else max(codes)
