"""seatplan rules"""

from __future__ import annotations

from typing import Literal

import click

from .asking import Asking
from .options import as_json
from .output import say, say_json


@click.command("rules", cls=Asking, short_help="What a rule says, why, and where it comes from.")
@click.argument("rule", required=False)
@click.option("--profile", type=click.Choice(["us", "un"]), help="Only the rules of this profile.")
@as_json
def command(rule: str | None, profile: Literal["us", "un"] | None, json_out: bool) -> int:
    """List the rules, or explain one: what it checks, why, its limits, its source. `order` tells which arrangement
    comes first, and why.

    \b
      seatplan rules
      seatplan rules child-too-heavy
      seatplan rules order
    """
    from seatplan.app.rules import AskRules, rules

    outcome = rules(AskRules(rule=rule, profile=profile))
    if json_out:
        from seatplan.views.rules_json import rules_json

        say_json(rules_json(outcome.answer))
    else:
        from seatplan.views.rules_text import rules_text

        say(rules_text(outcome.answer))
    return outcome.exit_code
