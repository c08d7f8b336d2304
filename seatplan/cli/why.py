"""seatplan why"""

from __future__ import annotations

import click

from .answer import load
from .options import as_json, on_day, rules_option, strict_option, vehicle_option


@click.command("why", short_help="Everything for or against a rider, a restraint, a position.")
@click.argument("trip")
@click.option("--rider", metavar="NAME", required=True, help="Whose placements.")
@click.option("--restraint", metavar="NAME", help="Only in this restraint.")
@click.option("--position", metavar="1L..", help="Only at this position.")
@vehicle_option
@rules_option
@strict_option
@on_day
@as_json
def command(trip: str, rider: str, restraint: str | None, position: str | None, vehicle: str | None,
            rules: str | None, strict: bool, on: str | None, json_out: bool) -> int:
    """Everything that speaks for or against RIDER: every placement, every rule, in numbers.

    \b
      seatplan why three-across-school-run --rider Wren --position 2C
    """
    loaded, profile, day = load(trip, vehicle, rules, on, json_out)
    chosen = _one_of(rider, [r.rider for r in loaded.riders], "--rider")
    held = _one_of(restraint, [r.restraint for r in loaded.restraints], "--restraint") if restraint else None
    spot = _one_of(position, [p.position for p in loaded.vehicle.positions()], "--position") if position else None

    from seatplan.solver.why import why

    answer = why(loaded, profile, day, chosen, held, spot, strict=strict)
    if json_out:
        import json

        from seatplan.views.why_json import why_json

        print(json.dumps(why_json(answer), indent=1, ensure_ascii=False))
    else:
        from seatplan.views.why_text import why_text

        print(why_text(answer), end="")
    return 0 if answer.seatings else 1


def _one_of(name: str, names: list[str], option: str) -> str:
    """The name as the files spell it; a miss names the nearest and all."""
    for known in names:
        if known.casefold() == name.casefold():
            return known
    from difflib import get_close_matches

    near = get_close_matches(name, names, 1)
    hint = f'did you mean "{near[0]}"? ' if near else ""
    raise click.BadParameter(f'"{name}" is not in this trip; {hint}expected one of {", ".join(names)}',
                             param_hint=option)
