"""seatplan room"""

from __future__ import annotations

import click

from .asking import Asking
from .options import as_json, full_option, on_day, rules_option, strict_option, vehicle_option, worst_case_option
from .output import say, say_json


@click.command("room", cls=Asking, short_help="How large a restraint may be for one rider.")
@click.argument("trip")
@click.option("--rider", metavar="NAME", required=True, help="Whose restraint.")
@click.option("--position", metavar="SEAT", help="Only at this seat: row and side, such as 2C.")
@vehicle_option
@rules_option
@strict_option
@worst_case_option
@on_day
@full_option
@as_json
def command(trip: str, rider: str, position: str | None, vehicle: str | None, rules: str | None, strict: bool,
            worst_case: bool, on: str | None, full: bool, json_out: bool) -> int:
    """How wide and how long a restraint may be for a rider, at every seat and for every way to hold it, with
    everybody else still in the car, and where they then sit.

    For somebody who is about to get one. The others keep everything that is at hand. --full adds widths by height,
    lengths by recline, and which bundled restraints would do.

    \b
      seatplan room three-across-school-run --rider Wren --position 2C
      seatplan room three-too-wide --rider Ludo

    Exit codes: 0 there is room somewhere, 1 there is none, 2 bad input, 3 the search stopped
    at its limit before it found any.
    """
    from seatplan.app.days import day_of
    from seatplan.app.room import AskRoom, room

    from .listener import Told

    request = AskRoom(trip=trip, vehicle=vehicle, rules=rules, on=day_of(on), strict=strict,
                      worst_case=worst_case, rider=rider, position=position)
    outcome = room(request, Told())
    if json_out:
        from seatplan.views.room_json import room_json

        say_json(room_json(outcome.answer))
    elif full:
        from seatplan.views.room_text import room_text

        say(room_text(outcome.answer))
    else:
        from seatplan.views.content import Typed
        from seatplan.views.short_room_text import short_room_text

        say(short_room_text(outcome.answer, Typed(f"{request.command} --full")))
    return outcome.exit_code
