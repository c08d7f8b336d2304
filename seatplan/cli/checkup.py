"""seatplan checkup"""

from __future__ import annotations

import sys
from typing import Any

import click

from seatplan import __version__
from seatplan.views.say import t

from .asking import Asking
from .options import as_json, on_day
from .output import document, say_json
from .target import new_file


@click.command("checkup", cls=Asking, short_help="What goes on file: as it arrived, what was tried, as it left.")
@click.argument("trip")
@click.option("-o", "--output", metavar="FILE", required=True,
              help="A new file, such as checkup.html; `-` for standard output.")
@click.option("--who", metavar="TEXT", multiple=True, help="Who was there; give it once for each.")
@on_day
@as_json
def command(trip: str, output: str, who: tuple[str, ...], on: str | None, json_out: bool) -> int:
    """Write what goes on file about TRIP as one HTML page: how the car arrived, what was tried, how it leaves with
    every reading that the sheet asks for, who was there, lines to sign in ink, and what was known and what was only
    estimated. A checkup is never written over.

    The page holds the trip as data, with its car and every restraint, and a SHA-256 hash of the whole page;
    `seatplan new trip --from` makes a trip of it again, unless a letter of the page was changed since.

    \b
      seatplan checkup my-trip.yaml -o checkup.html
      seatplan checkup my-trip.yaml --who "the family" --who "the technician" -o checkup-2.html
      seatplan new trip --from checkup.html again.yaml

    Exit codes: 0 written, and all of it holds, 1 written, and nothing fits, 2 bad input, 3 written, and points are
    open.
    """
    from seatplan.app.checkup import Checkup, checkup
    from seatplan.app.days import day_of
    from seatplan.views.checkup.data import checkup_json
    from seatplan.views.checkup.page import checkup_page
    from seatplan.views.checkup.words import STATES
    from seatplan.views.written_text import written

    from .listener import Told

    place = None if output == "-" else new_file(output, (".html", ".htm"))
    outcome = checkup(Checkup(trip=trip, on=day_of(on), who=who), Told())
    data: dict[str, Any] = checkup_json(outcome.answer, __version__)
    page, digest = checkup_page(outcome.answer, data)
    if place is not None:
        place.write(page)
        print(written(output, page, STATES[outcome.answer.departure.state]), file=sys.stderr)
        if outcome.exit_code:
            print(t("hint: the page lists what is open; a checkup of later has a name of its own"), file=sys.stderr)
    elif not json_out:
        document(page)
    if json_out:
        say_json({**data, "path": None if place is None else output, "sha256": digest})
    return outcome.exit_code
