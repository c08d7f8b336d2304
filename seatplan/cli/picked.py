"""One arrangement of a trip, by its number: what `draw` and `sheet` start from."""

from __future__ import annotations

import sys
from typing import TYPE_CHECKING

import click

from seatplan.views.say import t

from .progress import Slow
from .usage import Misuse

if TYPE_CHECKING:
    from datetime import date

    from seatplan.model import Trip
    from seatplan.rules.profile import Profile
    from seatplan.solver.results import Arrangement, Plan

arrangement_option = click.option(
    "--arrangement", "rank", metavar="N", type=click.IntRange(1, 10_000), default=1, show_default=True,
    help="Which one, by its number in `seatplan arrange`.")


def picked(trip: Trip, profile: Profile, day: date, strict: bool, worst_case: bool, rank: int, again: str,
           beyond: int = 0) -> tuple[Plan, Arrangement] | None:
    """Solve, and take the arrangement of that rank. None where nothing fits, which is told on stderr.

    ``again``: the trip with its options as typed; ``beyond``: how many arrangements after that one the plan holds as
    well. Raises Misuse for a rank that there is not.
    """
    from seatplan.solver.plan import plan

    with Slow() as progress:
        solved = plan(trip, profile, day, top=rank + beyond, strict=strict, worst_case=worst_case, progress=progress)
    there = len(solved.arrangements)
    if not there:
        print(
            t("nothing fits, so nothing was written\nhint: `seatplan arrange {again}` says why", again=again),
            file=sys.stderr,
        )
        return None
    if there < rank:
        raise Misuse(t("--arrangement is {rank}, and there {some}", rank=rank,
                       some=t('is 1') if there == 1 else t('are {there}', there=there)),
                     t("expected 1 to {there}", there=there))
    return solved, solved.arrangements[rank - 1]
