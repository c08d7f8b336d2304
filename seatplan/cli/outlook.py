"""seatplan outlook"""

from __future__ import annotations

import sys
from typing import TYPE_CHECKING

import click

from seatplan.views.say import N, t

from .options import as_json, rules_option, vehicle_option
from .progress import Slow
from .target import force_option, target

if TYPE_CHECKING:
    from datetime import date

    from seatplan.growth.outlook import Outlook
    from seatplan.model import Trip
    from seatplan.rules.profile import Profile


@click.command("outlook", short_help="How long it will last, what comes next, what to buy.")
@click.argument("trip")
@click.option("--until", metavar="4y|DATE", default="3y", show_default=True,
              help="How far to look: years, months, or a day such as 2030-11-30; ten years at most.")
@vehicle_option
@rules_option
@click.option("--stock", is_flag=True, help="The smallest set of restraints that carries all children until then.")
@click.option("-o", "--output", metavar="FILE.ics", help="Write the days to measure again into a calendar file.")
@force_option
@as_json
def command(trip: str, until: str, vehicle: str | None, rules: str | None, stock: bool, output: str | None,
            force: bool, json_out: bool) -> int:
    """Say how long the arrangements of TRIP last: who outgrows what and when, what comes then, what to buy.

    Children grow along their channel of the growth tables, from the sizes in the file and those under
    `measured:`; every day has a range. A child with `due:` joins on that day.

    \b
      seatplan outlook three-across-school-run --until 4y
      seatplan outlook third-child-on-the-way -o outlook.ics
      seatplan outlook third-child-on-the-way --stock --until 18 months

    Exit codes: 0 something at hand works on every day looked at, 1 from some day on nothing does, 2 bad input,
    3 it hangs on what was not measured from the first day on, or the search stopped at its limit.
    """
    if stock and output:
        raise click.UsageError(t("--stock has no calendar; leave out -o"))

    from .answer import asked, day_within, read, too_large

    loaded, profile, start = read(trip, vehicle, rules)
    end = day_within(until, start)
    from seatplan.solver.budget import TooMuch

    try:
        if stock:
            return _stock(loaded, profile, start, end, json_out)
        return _outlook(loaded, profile, start, end, output, force, json_out,
                        asked(trip, vehicle, rules, None, False))
    except TooMuch:
        if json_out:
            from seatplan.views.failure_json import failure_json, mistake_json

            from .output import say_json

            say_json(failure_json([mistake_json(too_large(loaded))]))
        print(too_large(loaded), file=sys.stderr)
        return 3


def _outlook(loaded: Trip, profile: Profile, start: date, end: date, output: str | None, force: bool,
             json_out: bool, again: str) -> int:
    """The look ahead itself; ``again`` names the trip in the next command."""

    from seatplan.growth.outlook import outlook

    from .main import COMMANDS
    from .output import say, say_json

    place = None if output is None else target(output, force, "calendar", loaded)
    with Slow(N("{stage}: {n} so far")) as progress:
        found = outlook(loaded, profile, start, end, progress)
    if place is not None:
        from seatplan.views.calendar import calendar

        place.write(calendar(found))
    if json_out:
        from seatplan.views.outlook_json import outlook_json

        say_json(outlook_json(found))
    else:
        from seatplan.views.outlook_text import outlook_text

        say(outlook_text(found, again, room="room" in COMMANDS))
    return _code(found)


def _code(found: Outlook) -> int:
    if found.gap is not None:
        return 1
    return 3 if found.hangs_from_start else 0


def _stock(trip: Trip, profile: Profile, start: date, end: date, json_out: bool) -> int:
    from seatplan.growth.stock import find_stock
    from seatplan.views.stock_text import stock_text

    from .output import say, say_json

    with Slow(N("{stage}: {n} so far")) as progress:
        found = find_stock(trip, profile, start, end, progress)
    if json_out:
        from seatplan.views.stock_json import stock_json

        say_json(stock_json(found, trip))
    else:
        say(stock_text(found, trip))
    return 0 if found.smallest else 1 if found.complete else 3
