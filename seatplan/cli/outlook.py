"""seatplan outlook"""

from __future__ import annotations

import sys
from typing import TYPE_CHECKING, Any

import click

from seatplan.views.say import t

from .asking import Asking
from .options import as_json, rules_option, vehicle_option
from .output import say, say_json
from .target import Goes, force_option

if TYPE_CHECKING:
    from seatplan.app.outcome import Outcome
    from seatplan.app.outlook import LookAhead


@click.command("outlook", cls=Asking, short_help="How long it will last, what comes next, what to buy.")
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
      seatplan outlook third-child-on-the-way --stock --until "18 months"

    Exit codes: 0 something at hand works on every day looked at, 1 from some day on nothing does, 2 bad input,
    3 it hangs on what was not measured from the first day on, or the search stopped at its limit.
    """
    if stock and output:
        raise click.UsageError(t("--stock has no calendar; leave out -o"))

    from seatplan.app.notices import TooLarge
    from seatplan.app.outlook import LookAhead

    request = LookAhead(trip=trip, vehicle=vehicle, rules=rules, until=until, stock=stock)
    found = _stock(request, json_out) if stock else _outlook(request, output, force, json_out)
    if isinstance(found.answer, TooLarge):
        from seatplan.views.notice_text import too_large_text

        told = too_large_text(found.answer)
        if json_out:
            from seatplan.views.failure_json import failure_json, mistake_json

            say_json(failure_json([mistake_json(told)]))
        print(told, file=sys.stderr)
    return found.exit_code


def _outlook(request: LookAhead, output: str | None, force: bool, json_out: bool) -> Outcome[Any]:
    """The look ahead itself; the calendar is written before anything is printed."""
    from seatplan.app.notices import TooLarge
    from seatplan.app.outlook import outlook

    from .listener import Told
    from .main import COMMANDS

    place = Goes(output, force, "calendar")
    outcome = outlook(request, Told(place.known))
    found = outcome.answer
    if isinstance(found, TooLarge):
        return outcome
    if output is not None:
        from seatplan.views.calendar import calendar, entries
        from seatplan.views.written_text import calendar_holds

        place.write(calendar(found), calendar_holds(len(entries(found))))
    if json_out:
        from seatplan.views.outlook_json import outlook_json

        say_json(outlook_json(found))
    else:
        from seatplan.views.outlook_text import outlook_text

        say(outlook_text(found, request.words, room="room" in COMMANDS))
    return outcome


def _stock(request: LookAhead, json_out: bool) -> Outcome[Any]:
    """The smallest set of restraints."""
    from seatplan.app.notices import TooLarge
    from seatplan.app.outlook import stock
    from seatplan.views.stock_text import stock_text

    from .listener import Told

    outcome = stock(request, Told())
    found = outcome.answer
    if not isinstance(found, TooLarge):
        if json_out:
            from seatplan.views.stock_json import stock_json

            say_json(stock_json(found.stock, found.trip))
        else:
            say(stock_text(found.stock, found.trip))
    return outcome
