"""seatplan why"""

from __future__ import annotations

import click

from .answer import asked, load
from .options import as_json, on_day, rules_option, strict_option, vehicle_option
from .output import say, say_json
from .usage import one_of


@click.command("why", short_help="Everything for or against a rider, a restraint, a position.")
@click.argument("trip")
@click.option("--rider", metavar="NAME", required=True, help="Who.")
@click.option("--restraint", metavar="NAME", help="Only in this restraint.")
@click.option("--position", metavar="SEAT", help="Only at this seat: row and side, such as 2C.")
@vehicle_option
@rules_option
@strict_option
@on_day
@as_json
def command(trip: str, rider: str, restraint: str | None, position: str | None, vehicle: str | None,
            rules: str | None, strict: bool, on: str | None, json_out: bool) -> int:
    """Everything that speaks for or against a rider, at every seat and in every restraint, in numbers.

    With --position or --restraint it also lists what passed. The exit code is that of `seatplan arrange`, for
    the seatings that have the rider there.

    \b
      seatplan why three-across-school-run --rider Wren
      seatplan why three-across-school-run --rider Wren --position 2C
    """
    loaded, profile, day = load(trip, vehicle, rules, on)
    chosen = one_of(rider, [r.rider for r in loaded.riders], 'no rider is called "{word}" in this trip')
    held = restraint and one_of(restraint, [r.restraint for r in loaded.restraints],
                                'no restraint is called "{word}" in this trip')
    spot = position and one_of(position, [p.position for p in loaded.vehicle.positions()],
                               f'{loaded.vehicle.vehicle} has no seat "{{word}}"')

    from seatplan.solver.why import why

    answer = why(loaded, profile, day, chosen, held, spot, strict=strict)
    if json_out:
        from seatplan.views.why_json import why_json

        say_json(why_json(answer))
    else:
        from seatplan.views.why_text import why_text

        again = asked(trip, vehicle, rules, on, strict) + f" --rider {_quoted(chosen)}"
        say(why_text(answer, again, narrow=bool(held or spot)))
    levels = [mode.level for mode in answer.modes if mode.level is not None]
    code = (0, 0, 3, 1)[min(levels)] if levels else 1
    return 3 if code == 1 and not answer.complete else code


def _quoted(name: str) -> str:
    import shlex

    return shlex.quote(name)
