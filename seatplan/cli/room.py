"""seatplan room"""

from __future__ import annotations

import click

from seatplan.views.say import t

from .answer import load
from .options import as_json, on_day, rules_option, strict_option, vehicle_option, worst_case_option
from .output import say, say_json
from .usage import Misuse, one_of


@click.command("room", short_help="How large a restraint may be for one rider.")
@click.argument("trip")
@click.option("--rider", metavar="NAME", required=True, help="Whose restraint.")
@click.option("--position", metavar="SEAT", help="Only at this seat: row and side, such as 2C.")
@vehicle_option
@rules_option
@strict_option
@worst_case_option
@on_day
@as_json
def command(trip: str, rider: str, position: str | None, vehicle: str | None, rules: str | None, strict: bool,
            worst_case: bool, on: str | None, json_out: bool) -> int:
    """How wide and how long a restraint may be for a rider, at every seat and for every way to hold it, with
    everybody else still in the car; and which bundled restraints would do.

    For somebody who is about to get one. The others keep everything that is at hand.

    \b
      seatplan room three-across-school-run --rider Wren --position 2C
      seatplan room three-too-wide --rider Ludo

    Exit codes: 0 there is room somewhere, 1 there is none, 2 bad input, 3 the search stopped
    at its limit before it found any.
    """
    loaded, profile, day = load(trip, vehicle, rules, on)
    chosen = one_of(rider, [r.rider for r in loaded.riders], t('no rider is called "{word}" in this trip', word=rider))
    if next(r for r in loaded.riders if r.rider == chosen).adult:
        raise Misuse(t("{chosen} is an adult", chosen=chosen), t("expected a rider who needs a child restraint"))
    spot = position and one_of(position, [p.position for p in loaded.vehicle.positions()],
                               t('{vehicle} has no seat "{word}"', vehicle=loaded.vehicle.vehicle, word=position))

    from seatplan.files.load import shelf
    from seatplan.solver.room.tables import room

    answer = room(loaded, profile, day, chosen, shelf(), spot, strict=strict, worst_case=worst_case)
    if json_out:
        from seatplan.views.room_json import room_json

        say_json(room_json(answer))
    else:
        from seatplan.views.room_text import room_text

        say(room_text(answer))
    if any(one.width and (one.width.fits or one.width.close) for one in answer.rooms):
        return 0
    return 1 if answer.complete else 3
