"""seatplan measure"""

from __future__ import annotations

from typing import Any

import click

from seatplan.views.say import t
from seatplan.written import quoted

from .asking import Asking
from .options import as_json, on_day, rules_option, vehicle_option
from .output import say, say_json
from .target import force_option
from .usage import Misuse


@click.command("measure", cls=Asking, short_help="What to measure next, as a form to take to the car.")
@click.argument("trip", required=False)
@click.option("--set", "fields", multiple=True, metavar="OWNER.FIELD=VALUE",
              help="Write a value into the file that it stands in, and ask again, such as 2C.belt.length=2400.")
@click.option("--sure", is_flag=True, help="With --set: an unlikely value is so.")
@click.option("--copy-to", metavar="FILE", help="With --set: copy a bundled file there, which is never written itself.")
@click.option("--dry-run", is_flag=True, help="With --set: only show what would be written.")
@click.option("--undo", is_flag=True, help="Take back what --set wrote last.")
@click.option("--blank", type=click.Choice(["vehicle", "restraint", "rider"]),
              help="Print the form for one that nobody measured yet.")
@click.option("-o", "--output", metavar="FILE",
              help="With --blank: write the form as a page to print, such as form.html; `-` for standard output.")
@force_option
@vehicle_option
@rules_option
@on_day
@as_json
def command(trip: str | None, blank: str | None, output: str | None, force: bool, on: str | None, json_out: bool,
            fields: tuple[str, ...], **given: Any) -> int:
    """Say which readings settle the best arrangement of TRIP, which could open a better one, and what the rest decide,
    each with how to take it, as a form to fill in.

    The field of a reading is named by its owner (a seat, `row2`, a rider, a restraint, `RESTRAINT/MODE`), a dot and the
    keys of the file. --set writes its value there; all else in the file keeps its bytes, and what it was before is kept
    beside it for --undo.

    \b
      seatplan measure half-measured-car
      seatplan measure my-trip.yaml --set "Wren.mass=9.6 kg" --dry-run
      seatplan measure --blank vehicle -o form.html
    """
    if blank:
        return _blank(blank, output, force, json_out)
    if output:
        raise Misuse(t("-o is where a blank form goes"), t("add --blank, or leave it out"))
    if trip is None:
        raise click.UsageError(t("missing argument TRIP; or `--blank vehicle` for an empty form"))
    if fields or any(given[name] for name in ("sure", "copy_to", "dry_run", "undo")):
        return _set(trip, on, json_out, fields, given)

    from seatplan.app.days import day_of
    from seatplan.app.measure import AskMeasure, measure

    from .listener import Told

    request = AskMeasure(trip=trip, vehicle=given["vehicle"], rules=given["rules"], on=day_of(on))
    outcome = measure(request, Told())
    if json_out:
        from seatplan.views.measure_json import measure_json

        say_json(measure_json(outcome.answer))
    else:
        from seatplan.views.measure_text import measure_text

        say(measure_text(outcome.answer, request.words))
    return outcome.exit_code


def _set(trip: str, on: str | None, json_out: bool, fields: tuple[str, ...], given: dict[str, Any]) -> int:
    """Set fields, or take that back, and ask again."""
    from seatplan.app.days import day_of
    from seatplan.app.measure import SetFields, set_fields

    from .listener import Told

    outcome = set_fields(SetFields(trip=trip, on=day_of(on), fields=fields, **given), Told())
    found = outcome.answer
    if json_out:
        from seatplan.views.measure_json import set_json

        say_json(set_json(found.before, found.now, found.done, found.written))
    else:
        from seatplan.views.set_text import set_text

        say(set_text(found.before, found.now, found.done, found.written, found.asks.words, quoted(trip)))
    return outcome.exit_code


def _blank(kind: str, output: str | None, force: bool, json_out: bool) -> int:
    """A form to fill in."""
    if json_out:
        raise Misuse(t("--blank is a form for people, and goes without --json"), t("leave one of them out"))
    from seatplan.views import blank_form

    if output is None:
        say(blank_form.form_text(kind))
        return 0
    from .target import Target

    Target(output, force, "form", kind).write(blank_form.form_html(kind), t("a form to print"))
    return 0
