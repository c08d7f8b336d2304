"""seatplan demo"""

from __future__ import annotations

import click

from seatplan.views.say import t

from .answer import answer
from .asking import Asking
from .options import answer_form, as_json

DEMO = "three-across-school-run"


@click.command("demo", cls=Asking, short_help="Plan a three-across school run.")
@as_json
@answer_form
def command(json_out: bool, full: bool) -> int:
    """Plan a three-across school run: invented vehicle, restraints and family.

    The same as `seatplan arrange three-across-school-run --top 2`.
    """
    from seatplan.app.arrange import Arrange

    return answer(Arrange(trip=DEMO, top=2), json_out, full,
                  t("`seatplan new trip > my-trip.yaml` starts a trip of your own"))
