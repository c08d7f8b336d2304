"""seatplan record"""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

import click

from seatplan.readings import READINGS
from seatplan.written import quoted, visible

from .asking import Asking
from .options import as_json
from .output import say, say_json

_METAVARS = {"length": "LENGTH", "angle": "DEGREES", "words": "TEXT"}


def _readings(command: Callable[..., Any]) -> Callable[..., Any]:
    """An option for each reading."""
    for key, one in reversed(READINGS.items()):
        name = "--" + key.replace("_", "-")
        given: dict[str, Any] = {"help": one.how}
        given |= {"type": click.Choice(["yes", "no"])} if one.kind == "yes or no" else {"metavar": _METAVARS[one.kind]}
        command = click.option(name, **given)(command)
    return command


@click.command("record", cls=Asking, own=("--on",), short_help="Note what happened at the car, and what to try next.")
@click.argument("trip")
@click.option("--rider", metavar="NAME", help="For whom; the rest can be left out where that is under way.")
@click.option("--restraint", metavar="NAME", help="What was tried; none for the vehicle belt alone.")
@click.option("--position", metavar="SEAT", help="Where: row and side, such as 2C.")
@click.option("--by", metavar="WAY", help="What held it: lower-anchors, lap-shoulder-belt, lap-belt or "
                                          "lower-anchors-with-belt.")
@click.option("--mode", metavar="MODE", help="How it was used, such as rear-facing-harness, where it rides in several "
                                             "ways.")
@_readings
@click.option("--tether", type=click.Choice(["yes", "no"]), help="Whether the tether is hooked and pulled snug.")
@click.option("--sure", is_flag=True, help="It is so, however unlikely; with --as-found, what is noted of another "
                                           "rider for that seat or restraint goes, too.")
@click.option("--failed", is_flag=True, help="It would not hold, or could not be installed at all.")
@click.option("--holds", is_flag=True, help="It holds: nothing is written where a reading says otherwise.")
@click.option("--who", metavar="TEXT", help="Who installed or checked it.")
@click.option("--note", metavar="TEXT", help="What else there is to say.")
@click.option("--on", metavar="DATE", help="The day of the try, such as 2026-11-25.  [default: today]")
@click.option("--as-found", is_flag=True, help="Only note how it is in the car now; nothing was tried.")
@click.option("--go-on-with", metavar="N", type=click.IntRange(1, 10_000),
              help="The arrangement that is being installed, by its number in `seatplan arrange`.")
@click.option("--give-up", is_flag=True, help="Give up the arrangement under way, and go on with the next.")
@click.option("--undo", is_flag=True, help="Take back what was written last, as `seatplan undo` does.")
@as_json
def command(trip: str, undo: bool, json_out: bool, **given: Any) -> int:
    """Write down in the file TRIP how a restraint held when it was tried in the car, then say what that leaves and
    which arrangement to go on with.

    The entry goes to the end of `tried`; what held stands under `installed`, too, and the arrangement to go on with
    under `under_way`; everything else in the file stays as it is. More than 25 mm of movement (or what the rules
    allow), not level, or --failed: the restraint is out on that seat in that way. What held is
    confirmed and comes before what nobody tried, if the rules allow it there: what they forbid, such as a rear-facing
    shell before an active airbag, is noted, and must not be used however well it held. A try says nothing of
    neighbours or of what was not measured.

    What is under way comes first in every command until all of it is in and holds, it is given up, or a try shows that
    it cannot be: then the best comes that keeps what holds. A harness needs movement in both directions and its level;
    a booster, and a child on the vehicle belt alone, needs how the belt lies. What is missing is asked for before
    anything is written.

    \b
      seatplan record my-trip.yaml --go-on-with 1
      seatplan record my-trip.yaml --rider Wren --sideways 12 --forwards 9 --level yes
      seatplan record my-trip.yaml --restraint Nook --position 2C --by lap-shoulder-belt --moved 38
      seatplan record my-trip.yaml --rider Tamsin --position 2R --belt-fits yes
      seatplan record my-trip.yaml --undo

    Exit codes, which speak of the whole trip and not of what was tried: 0 noted, and something fits (close and
    likely count), 1 noted, and nothing fits any more, 2 bad input and nothing was written, 3 noted, and it hangs on
    what was not measured or the search stopped at its limit.
    """
    from seatplan.app.record import Noted, Record, record

    outcome = record(Record(trip=trip, undo=undo, **given))
    found = outcome.answer
    if not isinstance(found, Noted):
        from .undo import told

        return told(outcome, trip, json_out)
    if json_out:
        from seatplan.views.record_json import record_json

        say_json(record_json(found, trip))
    else:
        from seatplan.views.record_text import record_text

        say(record_text(found, visible(trip), quoted(trip)))
    return outcome.exit_code
