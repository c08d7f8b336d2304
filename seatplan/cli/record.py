"""seatplan record"""

from __future__ import annotations

from datetime import date
from typing import TYPE_CHECKING

import click

from seatplan.said import said
from seatplan.views.say import t
from seatplan.written import quoted, visible

from .answer import EXIT
from .options import as_json
from .output import say, say_json
from .usage import Misuse

if TYPE_CHECKING:
    from seatplan.model import Tried


@click.command("record", short_help="Note what happened at the car, and what to try next.")
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
def command(trip: str, undo: bool, json_out: bool, **given: str | bool | None) -> int:
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
    _complete(undo, given)

    from seatplan.files import recording

    today = date.today()
    if undo:
        done = recording.undo(trip, today)
    else:
        level = {"yes": True, "no": False}.get(str(given["level"]))
        done = recording.record(trip, {**given, "level": level}, today, _unlikely)

    from seatplan.rules.load import load_profile
    from seatplan.solver.after_try import after_try
    from seatplan.views.record_text import record_text, undone_text

    after = after_try(done.before, done.after, done.tried, load_profile(done.after.rules), done.after.on or today)
    if json_out:
        from seatplan.views.record_json import record_json

        say_json(record_json(after, trip, done.line, undo))
    else:
        text = undone_text if undo else record_text
        say(text(after, visible(trip), done.line, quoted(trip)))
    if after.now.verdict == "rejected" and not after.now.tally.complete:
        return 3
    return EXIT[after.now.verdict]


def _complete(undo: bool, given: dict[str, str | bool | None]) -> None:
    """Raises Misuse where something is missing, or stands beside --undo."""
    given_too = [f"--{key}" for key, value in given.items() if value]
    if undo:
        if given_too:
            raise Misuse(t("--undo takes the last entry back and goes with nothing else; found {told}",
                           told=', '.join(given_too)),
                         t("leave the rest out, or leave --undo out"))
        return
    missing = [f"--{key}" for key in ("restraint", "position", "by") if not given[key]]
    if missing:
        example = t("`seatplan record my-trip.yaml --restraint Nook --position 2C --by lap-shoulder-belt --moved 38`")
        ways = t("`--by` is one of {ways}; ", ways=", ".join(_ways())) if "--by" in missing else ""
        raise Misuse(t("missing {missing}", missing=", ".join(missing)), ways + example)
    if given["moved"] is None and not given["failed"] and given["level"] != "no":
        raise Misuse(t("nothing says how it went"),
                     t("`--moved` with the millimetres at the belt path, `--level no`, or `--failed`"))


def _unlikely(tried: Tried) -> list[str]:
    """What is unlikely about an entry, as its option is called: a zero too many reads like this."""
    from seatplan.doubt import doubts_of_try
    from seatplan.doubt.telling import usual

    return [said("moved is {moved} mm: unlikely{usual}; measure it again, or add `--sure` if it is so",
                 moved=tried.moved, usual=usual(doubt)) for doubt in doubts_of_try(tried)]


def _ways() -> tuple[str, ...]:
    from typing import get_args

    from seatplan.model.restraint import By

    return get_args(By)
