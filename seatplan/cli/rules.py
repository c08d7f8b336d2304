"""seatplan rules"""

from __future__ import annotations

import click

from seatplan.views.say import t

from .output import say
from .usage import one_of


@click.command("rules", short_help="What a rule says, why, and where it comes from.")
@click.argument("rule", required=False)
@click.option("--profile", type=click.Choice(["us", "un"]), help="Only the rules of this profile.")
def command(rule: str | None, profile: str | None) -> int:
    """List the rules, or explain one: what it checks, why, its limits, its source. `order` tells which arrangement
    comes first, and why.

    \b
      seatplan rules
      seatplan rules child-too-heavy
      seatplan rules order
    """
    from seatplan.views.rules_text import explain, overview

    if rule == "order":
        from seatplan.views.order_text import order_text

        say(order_text())
        return 0
    if rule is None:
        say(overview(profile))
        return 0
    from seatplan.rules.registry import RETIRED, RULES

    if rule in RETIRED:
        say(t("{rule} is no longer a rule; {RETIRED} took its place\n", rule=rule, RETIRED=RETIRED[rule]))
        return 0
    known = one_of(rule, [r.id for r in RULES], t('no rule is called "{word}"', word=rule),
                   t("`seatplan rules` lists them"))
    say(explain(known))
    return 0
