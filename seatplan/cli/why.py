"""seatplan why"""

from __future__ import annotations

from typing import TYPE_CHECKING

import click

from seatplan.views.say import t
from seatplan.written import Verbatim, quoted

from .answer import EXIT, asked, load
from .options import as_json, json_form, on_day, rules_option, strict_option, vehicle_option, worst_case_option
from .output import say, say_json
from .usage import Misuse, one_of

if TYPE_CHECKING:
    from datetime import date

    from seatplan.model import Trip
    from seatplan.rules.profile import Profile


@click.command("why", short_help="Everything for or against a rider or a seat; one plan against another.")
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
    the seatings that have the rider there.

    \b
      seatplan why three-across-school-run --rider Wren --position 2C
      seatplan why three-across-school-run --not "Wren=2R"
      seatplan why three-across-school-run --arrangement 2 --against 1
    """
    forms = [name for name, given in (("--rider", rider), ("--not", not_so), ("--arrangement", arrangement)) if given]
    if len(forms) != 1:
        raise Misuse(t("{forms} are given", forms=t(' and ').join(forms)) if forms else t("nothing is asked"),
                     t("expected one of --rider NAME, --not RIDER=SEAT, --arrangement N"))
    loaded, profile, day = load(trip, vehicle, rules, on)
    if not_so:
        return _not(loaded, profile, day, not_so, strict, worst_case, json_out, full)
    if arrangement:
        return _against(loaded, profile, day, arrangement, against or 1, strict, worst_case, json_out, full)
    chosen = one_of(rider or "", [r.rider for r in loaded.riders], _no_rider(rider))
    held = restraint and one_of(restraint, [r.restraint for r in loaded.restraints],
                                t('no restraint is called "{word}" in this trip', word=restraint))
    spot = position and one_of(position, [p.position for p in loaded.vehicle.positions()],
                               t('{vehicle} has no seat "{word}"', vehicle=loaded.vehicle.vehicle, word=position))

    from seatplan.solver.judge import verdict_of
    from seatplan.solver.why import why

    answer = why(loaded, profile, day, chosen, held, spot, strict=strict, worst_case=worst_case)
    if json_out:
        from seatplan.views.why_json import why_json

        say_json(why_json(answer, full, narrow=bool(held or spot)))
    else:
        from seatplan.views.why_text import why_text

        again = asked(trip, vehicle, rules, on, strict) + f" --rider {quoted(chosen)}"
        say(why_text(answer, again, narrow=bool(held or spot)))
    levels = [mode.level for mode in answer.modes if mode.level is not None]
    code = EXIT[verdict_of(min(levels))] if levels else 1
    return 3 if code == 1 and not answer.complete else code


def _not(trip: Trip, profile: Profile, day: date, not_so: str, strict: bool, worst_case: bool, json_out: bool,
         full: bool) -> int:
    """Why not as somebody asks: RIDER=SEAT, or RIDER=RESTRAINT."""
    from seatplan.files.load import shelf
    from seatplan.model import Wish
    from seatplan.solver.contrast import why_not

    who, sign, what = (Verbatim(part.strip()) for part in not_so.partition("="))
    if not (who and sign and what):
        raise Misuse(
            t('--not is "{not_so}"', not_so=not_so), t("expected a rider and a seat or a restraint, such as Wren=2C")
        )
    rider = one_of(who, [r.rider for r in trip.riders], _no_rider(who))
    seats = [p.position for p in trip.vehicle.positions()]
    held = [r.restraint for r in trip.restraints]
    chosen = one_of(what, [*seats, *held], t('no seat and no restraint of this trip is called "{word}"', word=what))
    wish = Wish(rider=rider, at=[chosen]) if chosen in seats else Wish(rider=rider, uses=[chosen])
    answer = why_not(trip, profile, day, wish, shelf(), strict=strict, worst_case=worst_case)
    if json_out:
        from seatplan.views.contrast_json import asked_json

        say_json(asked_json(answer, full))
    else:
        from seatplan.views.contrast_text import asked_text

        say(asked_text(answer))
    if answer.plan.verdict == "rejected" and not answer.plan.tally.complete:
        return 3
    return EXIT[answer.plan.verdict]


def _against(trip: Trip, profile: Profile, day: date, number: int, other: int, strict: bool, worst_case: bool,
             json_out: bool, full: bool) -> int:
    """One arrangement of the list against another."""
    from seatplan.solver.contrast import contrast
    from seatplan.solver.plan import plan

    solved = plan(trip, profile, day, top=max(number, other), strict=strict, worst_case=worst_case)
    n = len(solved.arrangements)
    if max(number, other) > n:
        raise Misuse(
            t("there is no arrangement {number}", number=max(number, other)),
            t("expected 1 to {n}", n=n) if n else t("none fits"),
        )
    if number == other:
        raise Misuse(
            t("--arrangement and --against are both {number}", number=number), t("expected two different ones")
        )
    found = contrast(solved.arrangements[number - 1], solved.arrangements[other - 1], solved.choices.kinds)
    if json_out:
        from seatplan.views.contrast_json import against_json

        say_json(against_json(solved, found, full))
    else:
        from seatplan.views.contrast_text import against_text

        say(against_text(solved, found))
    return EXIT[found.one.verdict]


def _no_rider(word: str | None) -> str:
    return t('no rider is called "{word}" in this trip', word=word)
