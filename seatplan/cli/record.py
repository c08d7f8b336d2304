"""seatplan record"""

from __future__ import annotations

from typing import Any

import click

from seatplan.written import quoted, visible

from .asking import Asking
from .options import as_json
from .output import say, say_json


@click.command("record", cls=Asking, own=("--on",), short_help="Note what happened at the car, and what to try next.")
@click.argument("trip")
@click.option("--restraint", metavar="NAME", help="What was tried.")
@click.option("--position", metavar="SEAT", help="Where: row and side, such as 2C.")
@click.option("--by", metavar="WAY", help="What held it: lower-anchors, lap-shoulder-belt, lap-belt or "
                                          "lower-anchors-with-belt.")
@click.option("--mode", metavar="MODE", help="How it was used, such as rear-facing-harness, where it rides in several "
                                             "ways.")
@click.option("--moved", metavar="LENGTH", help="How far it moved at the belt path, held and pulled: whole "
                                            'millimetres, such as 12, or with a unit, such as "3.8 cm" or "1 1/2 in".')
@click.option("--sure", is_flag=True, help="It did move that far, however unlikely.")
@click.option("--level", type=click.Choice(["yes", "no"]), help="What the indicator on the restraint said.")
@click.option("--failed", is_flag=True, help="It would not hold, or could not be installed at all.")
@click.option("--note", metavar="TEXT", help="What else there is to say.")
@click.option("--on", metavar="DATE", help="The day of the try, such as 2026-11-25.  [default: today]")
@click.option("--undo", is_flag=True, help="Take the last entry back that was recorded.")
@as_json
def command(trip: str, undo: bool, json_out: bool, **given: Any) -> int:
    """Write down in the file TRIP how a restraint held when it was tried in the car, then say what that leaves and
    which arrangement to try next.

    The entry goes to the end of `tried`; everything else in the file stays as it is. More than 25 mm of movement
    (or what the rules allow), not level, or --failed: the restraint is out on that seat in that way. What held is
    confirmed and comes before what nobody tried, if the rules allow it there: what they forbid, such as a rear-facing
    shell before an active airbag, is noted, and must not be used however well it held. A try says nothing of
    neighbours or of what was not measured.

    \b
      seatplan record my-trip.yaml --restraint Nook --position 2C --by lap-shoulder-belt --moved 38
      seatplan record my-trip.yaml --undo

    Exit codes, which speak of the whole trip and not of what was tried: 0 noted, and something fits (close and
    likely count), 1 noted, and nothing fits any more, 2 bad input and nothing was written, 3 noted, and it hangs on
    what was not measured or the search stopped at its limit.
    """
    from seatplan.app.record import Record, record

    outcome = record(Record(trip=trip, undo=undo, **given))
    found = outcome.answer
    if json_out:
        from seatplan.views.record_json import record_json

        say_json(record_json(found.after, trip, found.recorded.line, undo))
    else:
        from seatplan.views.record_text import record_text, undone_text

        text = undone_text if undo else record_text
        say(text(found.after, visible(trip), found.recorded.line, quoted(trip)))
    return outcome.exit_code
