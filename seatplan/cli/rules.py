"""seatplan rules"""

from __future__ import annotations

import click


@click.command("rules", short_help="What a rule says, why, and where it comes from.")
@click.argument("rule", required=False)
@click.option("--profile", type=click.Choice(["us", "un"]), help="Only the rules of this profile.")
def command(rule: str | None, profile: str | None) -> int:
    """List the rules, or explain one: what it checks, why, its limits, its source.

    \b
      seatplan rules
      seatplan rules child-too-heavy
    """
    from seatplan.views.rules_text import explain, overview

    if rule is None:
        print(overview(profile), end="")
        return 0
    from seatplan.rules.registry import RULES

    if rule not in {r.id for r in RULES}:
        from difflib import get_close_matches

        near = get_close_matches(rule, [r.id for r in RULES], 1)
        hint = f"did you mean `{near[0]}`?" if near else "`seatplan rules` lists them"
        raise click.UsageError(f'no rule "{rule}"; {hint}')
    print(explain(rule), end="")
    return 0
