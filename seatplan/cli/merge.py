"""seatplan merge"""

from __future__ import annotations

import click

from seatplan.written import quoted, visible

from .asking import Asking
from .output import say
from .target import new_file


@click.command("merge", cls=Asking, short_help="Two copies of a trip that were written in at the car, as one.")
@click.argument("first")
@click.argument("second")
@click.option("-o", "--output", metavar="FILE", required=True, help="A new file, such as both.yaml.")
def command(first: str, second: str, output: str) -> int:
    """Join FIRST and SECOND, two copies of one trip that were each written in at the car: what was tried in either, and
    what is installed for each rider by the later fact. All else must be the same in both.

    What the two alone cannot tell, such as two different tries of one way on one day, is an error with both places,
    and nothing is written. The same try in the same words on one day in both copies is one try. Of two arrangements
    under way the one that goes with all that is noted is gone on with; one that is done or given up in a copy is no
    longer under way.

    \b
      seatplan merge tablet.yaml phone.yaml -o both.yaml

    Exit codes: 0 written, and something fits (close and likely count), 1 written, and nothing fits, 2 bad input or a
    conflict, 3 written, and it hangs on what was not measured or the search stopped at its limit.
    """
    from seatplan.app.merge import Merge, merge
    from seatplan.views.merge_text import merge_text

    place = new_file(output, (".yaml", ".yml"))
    outcome = merge(Merge(first=first, second=second, output=output))
    place.write(outcome.answer.text)
    say(merge_text(outcome.answer, visible(output), quoted(output)))
    return outcome.exit_code
