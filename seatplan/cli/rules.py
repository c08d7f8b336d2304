"""seatplan rules"""

from __future__ import annotations

import click

from seatplan.views.say import t

from .options import as_json
from .output import say, say_json
from .usage import one_of


@click.command("rules", short_help="What a rule says, why, and where it comes from.")
@click.argument("rule", required=False)
@click.option("--profile", type=click.Choice(["us", "un"]), help="Only the rules of this profile.")
@as_json
def command(rule: str | None, profile: str | None, json_out: bool) -> int:
    """List the rules, or explain one: what it checks, why, its limits, its source. `order` tells which arrangement
    comes first, and why.

    \b
      seatplan rules
      seatplan rules child-too-heavy
      seatplan rules order
    """
    from seatplan.views.rules_text import explain, overview

    if rule == "order":
        if json_out:
            from seatplan.views.rules_json import order_json

            say_json(order_json())
            return 0
        from seatplan.views.order_text import order_text

        say(order_text())
        return 0
    if rule is None and not json_out:
        say(overview(profile))
        return 0
    from seatplan.rules.registry import RETIRED, RULES

    if rule is not None and rule not in RETIRED:
        rule = one_of(rule, [r.id for r in RULES], t('no rule is called "{word}"', word=rule),
                      t("`seatplan rules` lists them"))
    if json_out:
        from seatplan.views.rules_json import rules_json

        say_json(rules_json(profile, rule))
    elif rule in RETIRED:
        say(t("{rule} is no longer a rule; {RETIRED} took its place\n", rule=rule, RETIRED=RETIRED[rule]))
    elif rule is not None:
        say(explain(rule))
    return 0
