"""seatplan undo"""

from __future__ import annotations

import click

from seatplan.written import quoted

from .asking import Asking
from .options import as_json
from .output import say, say_json


@click.command("undo", cls=Asking, short_help="Take back what was written into a trip last.")
@click.argument("trip")
@click.option("--vehicle", metavar="FILE", help="The vehicle that was written in, where the trip has another one.")
@as_json
def command(trip: str, vehicle: str | None, json_out: bool) -> int:
    """Give the file TRIP, and the vehicle and restraint files that were written with it, the bytes that they had before
    `record` or `measure --set` wrote last. Again, and the write before that is taken back, up to twenty.

    A file that was changed by hand since is left alone, and so are the others.

    \b
      seatplan undo my-trip.yaml

    Exit codes, which speak of the trip: 0 something fits (close and likely count), 1 nothing does, 2 nothing was taken
    back, 3 it hangs on what was not measured or the search stopped at its limit.
    """
    from seatplan.app.undo import Undo, undo

    return told(undo(Undo(trip=trip, vehicle=vehicle)), trip, json_out)


def told(outcome: object, trip: str, json_out: bool) -> int:
    """Say what was taken back; the exit code."""
    from seatplan.app.outcome import Outcome
    from seatplan.views.undo_text import undo_json, undo_text

    assert isinstance(outcome, Outcome)
    if json_out:
        say_json(undo_json(outcome.answer))
    else:
        say(undo_text(outcome.answer, quoted(trip)))
    return outcome.exit_code
