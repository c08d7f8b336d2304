"""seatplan why"""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

import click

from seatplan.views.say import t
from seatplan.written import quoted

from .asking import Asking
from .options import as_json, json_form, on_day, rules_option, strict_option, vehicle_option, worst_case_option
from .output import say, say_json
from .usage import Misuse

if TYPE_CHECKING:
    from seatplan.app.why import AskAgainst, AskWhy, AskWhyNot


@click.command("why", cls=Asking, short_help="Everything for or against a rider or a seat; one plan against another.")
@click.argument("trip")
@click.option("--rider", metavar="NAME", help="Who.")
@click.option("--restraint", metavar="NAME", help="Only in this restraint.")
@click.option("--position", metavar="SEAT", help="Only at this seat: row and side, such as 2C.")
@click.option("--not", "not_so", metavar="RIDER=SEAT|RESTRAINT",
              help="Why not so: what it would cost, or what stands in the way.")
@click.option("--arrangement", metavar="N", type=click.IntRange(1, 10_000), help="This arrangement of the list ...")
@click.option("--against", metavar="N", type=click.IntRange(1, 10_000), help="... held against this one (default 1).")
@vehicle_option
@rules_option
@strict_option
@worst_case_option
@on_day
@as_json
@json_form
def command(trip: str, rider: str | None, restraint: str | None, position: str | None, not_so: str | None,
            arrangement: int | None, against: int | None, vehicle: str | None, rules: str | None, strict: bool,
            worst_case: bool, on: str | None, json_out: bool, full: bool) -> int:
    """Everything that speaks for or against a rider, at every seat and in every restraint, in numbers; or why the
    best arrangement is not another one.

    With --position or --restraint it also lists what passed. The exit code is that of `seatplan arrange`, for
    the arrangements that have the rider there.

    \b
      seatplan why three-across-school-run --rider Wren --position 2C
      seatplan why three-across-school-run --not "Wren=2R"
      seatplan why three-across-school-run --arrangement 2 --against 1
    """
    forms = [name for name, given in (("--rider", rider), ("--not", not_so), ("--arrangement", arrangement)) if given]
    if len(forms) != 1:
        raise Misuse(t("{forms} are given", forms=t(' and ').join(forms)) if forms else t("nothing is asked"),
                     t("expected one of --rider NAME, --not RIDER=SEAT, --arrangement N"))
    from seatplan.app.days import day_of
    from seatplan.app.why import AskAgainst, AskWhy, AskWhyNot

    of_trip: dict[str, Any] = {"trip": trip, "vehicle": vehicle, "rules": rules, "on": day_of(on), "strict": strict,
               "worst_case": worst_case}
    if not_so is not None:
        return _not(AskWhyNot(**of_trip, so=not_so), json_out, full)
    if arrangement is not None:
        return _against(AskAgainst(**of_trip, arrangement=arrangement, against=against or 1), json_out, full)
    return _why(AskWhy(**of_trip, rider=rider or "", restraint=restraint, position=position), json_out, full)


def _why(request: AskWhy, json_out: bool, full: bool) -> int:
    """Everything for and against a rider."""
    from seatplan.app.why import why

    from .listener import Told

    outcome = why(request, Told())
    narrow = bool(request.restraint or request.position)
    if json_out:
        from seatplan.views.why_json import why_json

        say_json(why_json(outcome.answer, full, narrow))
    else:
        from seatplan.views.why_text import why_text

        again = f"{request.words} --rider {quoted(outcome.answer.rider)}"
        say(why_text(outcome.answer, again, narrow=narrow))
    return outcome.exit_code


def _not(request: AskWhyNot, json_out: bool, full: bool) -> int:
    """Why not as somebody asks."""
    from seatplan.app.why import not_so

    from .listener import Told

    outcome = not_so(request, Told())
    if json_out:
        from seatplan.views.contrast_json import asked_json

        say_json(asked_json(outcome.answer, full))
    else:
        from seatplan.views.contrast_text import asked_text

        say(asked_text(outcome.answer))
    return outcome.exit_code


def _against(request: AskAgainst, json_out: bool, full: bool) -> int:
    """One arrangement of the list against another."""
    from seatplan.app.why import against

    from .listener import Told

    outcome = against(request, Told())
    if json_out:
        from seatplan.views.contrast_json import against_json

        say_json(against_json(outcome.answer.plan, outcome.answer.contrast, full))
    else:
        from seatplan.views.contrast_text import against_text

        say(against_text(outcome.answer.plan, outcome.answer.contrast))
    return outcome.exit_code
