"""seatplan new"""

from __future__ import annotations

import sys
from typing import Literal

import click

from seatplan.views.say import t

from .asking import Asking
from .listener import Told
from .output import say
from .target import new_file


@click.command("new", cls=Asking, short_help="Print a commented file to fill in.")
@click.argument("kind", type=click.Choice(["vehicle", "restraint", "trip", "fleet"]))
@click.argument("file", required=False)
@click.option("--kind", "of_kind", metavar="KIND", help="Of a restraint: the short form of its kind, such as "
                                                        "rear-and-forward or high-back; help tells the kinds apart.")
@click.option("--short", is_flag=True, help="Of a vehicle: at most 22 answers; of a trip: children, and restraints by "
                                            "their kind.")
@click.option("--from", "grown_from", metavar="NAME", help="The full form with all that this vehicle or restraint file "
                                                           "says, so that measuring goes on; of a trip: that of this "
                                                           "checkup.")
@click.option("--vehicle", metavar="NAME", help="With --from a trip: its riders and restraints in this other car, with "
                                                "nothing installed yet.")
def command(kind: Literal["vehicle", "restraint", "trip", "fleet"], file: str | None, of_kind: str | None, short: bool,
            grown_from: str | None, vehicle: str | None) -> int:
    """Print a commented vehicle, restraint, trip or fleet file to fill in, or write it to FILE, which must not be
    there yet; `seatplan check` accepts it as it is.

    \b
      seatplan new vehicle --short second-car.yaml
      seatplan new restraint --kind all-stages my-seat.yaml
      seatplan new restraint --kind help
      seatplan new vehicle --from my-car.yaml my-measured-car.yaml
      seatplan new trip --from checkup.html again.yaml
      seatplan new trip --from my-trip.yaml --vehicle grandparents-car.yaml second-trip.yaml
    """
    from seatplan.app.new import New, kinds_of_restraint, new, second_car

    request = New(kind=kind, of_kind=of_kind, short=short, grown_from=grown_from, vehicle=vehicle)
    if of_kind in ("help", "?") and kind == "restraint":
        from seatplan.views.kinds_text import kinds_text

        outcome = kinds_of_restraint(request)
        say(kinds_text(outcome.answer))
        return outcome.exit_code
    from seatplan.views.second_car_text import second_car_text
    from seatplan.views.template_text import in_language

    again = kind == "trip" and grown_from is not None
    if vehicle is not None:
        second = second_car(request)
        return _written(second_car_text(second.answer), file, True, second.exit_code)
    answer = new(request)
    for notice in answer.notices:
        Told().notice(notice)
    return _written(answer.answer if again else in_language(answer.answer), file, again, answer.exit_code)


def _written(text: str, file: str | None, again: bool, code: int) -> int:
    if file is None or file == "-":
        say(text)
    else:
        new_file(file, (".yaml", ".yml")).write(text)
        print(t("wrote {file}: `seatplan arrange {file}` goes on from there", file=file) if again else
              t("wrote {file}: fill it in, then `seatplan check {file}`", file=file), file=sys.stderr)
    return code
