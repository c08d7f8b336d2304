"""seatplan rules"""

from __future__ import annotations

from typing import Literal

import click

from .output import say


@click.command("rules", short_help="What a rule says, why, and where it comes from.")
@click.argument("rule", required=False)
@click.option("--profile", type=click.Choice(["us", "un"]), help="Only the rules of this profile.")
def command(rule: str | None, profile: Literal["us", "un"] | None) -> int:
    """List the rules, or explain one: what it checks, why, its limits, its source. `order` tells which arrangement
    comes first, and why.

    \b
      seatplan rules
      seatplan rules child-too-heavy
      seatplan rules order
    """
    from seatplan.app.rules import AskRules, rules
    from seatplan.views.rules_text import rules_text

    outcome = rules(AskRules(rule=rule, profile=profile))
    say(rules_text(outcome.answer))
    return outcome.exit_code
