"""seatplan measure"""

from __future__ import annotations

import click

from seatplan.views.say import t

from .asking import Asking
from .options import as_json, on_day, rules_option, vehicle_option
from .output import say, say_json
from .usage import Misuse


@click.command("measure", cls=Asking, short_help="What to measure next, as a form to take to the car.")
@click.argument("trip", required=False)
@vehicle_option
@rules_option
@on_day
@as_json
@click.option("--blank", type=click.Choice(["vehicle"]), help="Print the form for a car that nobody measured yet.")
def command(trip: str | None, vehicle: str | None, rules: str | None, on: str | None, blank: str | None,
            json_out: bool) -> int:
    """List what was not measured in TRIP and would settle most, with how to take it, as a form to fill in.

    Each field is tried at both ends of what it plausibly is, and the trip solved again.

    \b
      seatplan measure half-measured-car
      seatplan measure --blank vehicle
    """
    if blank and json_out:
        raise Misuse(t("--blank is a form for people, and goes without --json"), t("leave one of them out"))
    if blank:
        from seatplan.views.blank_form import vehicle_form

        say(vehicle_form())
        return 0
    if trip is None:
        raise click.UsageError(t("missing argument TRIP; or `--blank vehicle` for an empty form"))

    from seatplan.app.days import day_of
    from seatplan.app.measure import AskMeasure, measure

    from .listener import Told

    outcome = measure(AskMeasure(trip=trip, vehicle=vehicle, rules=rules, on=day_of(on)), Told())
    if json_out:
        from seatplan.views.measure_json import measure_json

        say_json(measure_json(outcome.answer))
    else:
        from seatplan.views.measure_text import measure_text

        say(measure_text(outcome.answer))
    return outcome.exit_code
