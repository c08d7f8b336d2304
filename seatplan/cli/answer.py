"""What `arrange` and `demo` share: load, solve, print, exit code."""

from __future__ import annotations

import sys
import time
from datetime import date
from typing import TYPE_CHECKING

import click

if TYPE_CHECKING:
    from seatplan.model import Trip
    from seatplan.rules.profile import Profile

EXIT = {"fits": 0, "close": 0, "unmeasured": 3, "rejected": 1}


def load(trip: str, vehicle: str | None, rules: str | None, on: str | None,
         json_out: bool = False) -> tuple[Trip, Profile, date]:
    """Read everything a solve needs. With ``json_out`` bad input is answered on stdout too."""
    from seatplan.files.errors import InputError
    from seatplan.files.load import load_trip
    from seatplan.rules.load import load_profile

    day = _day(on)
    try:
        loaded = load_trip(trip, vehicle)
        profile = load_profile(rules or loaded.rules)
    except InputError as error:
        if json_out:
            import json

            from seatplan.views.plan_json import failure_json

            print(json.dumps(failure_json([str(problem) for problem in error.problems]), indent=1))
        raise
    if day is not None:
        loaded = loaded.model_copy(update={"on": day})
    return loaded, profile, loaded.on or date.today()


def _day(on: str | None) -> date | None:
    if on is None:
        return None
    try:
        return date.fromisoformat(on)
    except ValueError:
        raise click.BadParameter(f'"{on}" is no date; expected one such as 2026-11-25', param_hint="--on") from None


def answer(trip: Trip, profile: Profile, day: date, top: int | None, strict: bool, json_out: bool) -> int:
    """Solve and print; the exit code."""
    from seatplan.solver.plan import plan

    solved = plan(trip, profile, day, top=top, strict=strict, progress=_Slow())
    if json_out:
        import json

        from seatplan.views.plan_json import plan_json

        print(json.dumps(plan_json(solved), indent=1, ensure_ascii=False))
    else:
        from seatplan.views.plan_text import plan_text

        print(plan_text(solved), end="")
    if solved.verdict == "rejected" and not solved.tally.complete:
        return 3
    return EXIT[solved.verdict]


class _Slow:
    """Says on stderr what the solve is at, once it takes longer than a second."""

    def __init__(self) -> None:
        self._next = time.monotonic() + 1

    def __call__(self, stage: str, n: int) -> None:
        if time.monotonic() >= self._next:
            print(f"{stage}: {n:,} ways so far", file=sys.stderr)
            self._next = time.monotonic() + 1
