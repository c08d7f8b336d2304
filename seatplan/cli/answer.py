"""What `arrange` and `demo` share: load, solve, print, exit code."""

from __future__ import annotations

import sys
from datetime import date
from typing import TYPE_CHECKING

from seatplan.views.say import t
from seatplan.written import quoted

from .output import Streamed, say, say_json
from .progress import Slow
from .usage import Misuse

if TYPE_CHECKING:
    from seatplan.model import Trip
    from seatplan.rules.profile import Profile

#: how far ahead an outlook looks at most
MOST_MONTHS = 120
EXIT = {"fits": 0, "close": 0, "likely": 0, "unmeasured": 3, "rejected": 1}


def load(trip: str, vehicle: str | None, rules: str | None, on: str | None) -> tuple[Trip, Profile, date]:
    """Read everything a solve needs, with the children as they are, or are reckoned to be, on the day of travel.

    What is left out for another vehicle, and what is reckoned, is told on stderr. Raises InputError with the
    problems of all files.
    """
    day = day_of(on)
    loaded, profile, taken = read(trip, vehicle, rules)
    return travelling(loaded, day), profile, day or taken


def read(trip: str, vehicle: str | None, rules: str | None) -> tuple[Trip, Profile, date]:
    """The trip as it was written, its rules, and the day on which its sizes hold: its own, or today."""
    from seatplan.doubt import believed
    from seatplan.files.errors import InputError, Notice
    from seatplan.files.load import load_trip
    from seatplan.rules.load import load_profile
    from seatplan.views.problem_text import problem_text

    notices: list[Notice] = []
    problems = []
    loaded = profile = None
    try:
        loaded = load_trip(trip, vehicle, notices, date.today())
    except InputError as error:
        problems += error.problems
    if rules or loaded:
        try:
            profile = load_profile(rules or loaded.rules)  # type: ignore[union-attr]  # one of the two is there
        except InputError as error:
            problems += error.problems
    if loaded is None or profile is None:
        raise InputError(problems)
    for notice in notices:
        print(t("warning: {notice}", notice=problem_text(notice)), file=sys.stderr)
    day = loaded.on or date.today()
    return believed(loaded, day), profile, day


def _tell(trip: Trip, grown: Trip, day: date) -> None:
    """What a later day changes about the riders, on stderr."""
    from seatplan.growth.family import not_born, reckoned
    from seatplan.views.reckoned_text import not_there, sizes

    for rider in not_born(trip, day):
        print(t("note: {not_there}", not_there=not_there(rider)), file=sys.stderr)
    for grown_rider in reckoned(grown):
        print(t("note: {sizes}", sizes=sizes(grown_rider, day)), file=sys.stderr)


def asked(trip: str, vehicle: str | None, rules: str | None, on: str | None, strict: bool) -> str:
    """The trip and its options as a person would type them again."""
    given = [trip]
    for option, value in (("--vehicle", vehicle), ("--rules", rules), ("--on", on)):
        if value is not None:
            given += [option, value]
    return " ".join(map(quoted, [*given, *(["--strict"] if strict else [])]))


def travelling(trip: Trip, day: date | None) -> Trip:
    """The trip on the day that was asked for, or its own, or today, with its children as they are then; what is
    reckoned is told on stderr. Raises Misuse where somebody is not born yet."""
    from seatplan.growth.family import trip_on

    taken = trip.on or date.today()
    when = day or taken
    for rider in trip.riders:
        if rider.born is not None and rider.born > when:
            raise Misuse(t("--on is {when}, before {rider} is born on {born}", when=when, rider=rider.rider,
                           born=rider.born), t("expected the day of travel"))
    grown = trip_on(trip, when, taken)
    _tell(trip, grown, when)
    return grown


def day_of(on: str | None) -> date | None:
    """The day of ``--on``. Raises Misuse."""
    from seatplan.model.quantities import FIRST_DAY, last_day

    if on is None:
        return None
    try:
        day = date.fromisoformat(on)
    except ValueError:
        raise Misuse(t('--on is "{on}"', on=on), t("expected a date such as 2026-11-25")) from None
    last = last_day(date.today())
    if not FIRST_DAY <= day <= last:
        raise Misuse(t("--on is {on}", on=on), t("expected a day from {first} to {last}", first=FIRST_DAY, last=last))
    return day


def day_within(until: str, start: date) -> date:
    """The last day of a look ahead: a day, or a duration from ``start``. Raises Misuse."""
    from seatplan.model.quantities import last_day
    from seatplan.rules.restraint_condition import add_months
    from seatplan.units import UnitError, duration_months

    allowed = t("expected years or months, such as 4y, or a day after {start}; ten years at most", start=start)
    try:
        end = date.fromisoformat(until)
    except ValueError:
        try:
            end = add_months(start, duration_months(until))
        except (UnitError, ValueError, OverflowError):
            raise Misuse(t('--until is "{until}"', until=until), allowed) from None
    if not start < end <= add_months(start, MOST_MONTHS):
        raise Misuse(t("--until is {until}", until=until), allowed)
    last = last_day(date.today())
    if end > last:
        raise Misuse(t("--until is {until}", until=until), t("expected a day up to {last}", last=last))
    return end


def too_large(trip: Trip) -> str:
    """What to say where days cannot be looked at one by one."""
    return t("undecided: the look ahead stopped at its limit; {riders} riders, {restraints} restraints and {seats} "
             "seats are too many to look at day by day. Leave out restraints that nobody will use, or look with "
             "`seatplan arrange --on DATE`",
             riders=len(trip.riders), restraints=len(trip.restraints), seats=len(list(trip.vehicle.positions())))


def answer(trip: Trip, profile: Profile, day: date, top: int | None, strict: bool, json_out: bool,
           again: str, hint: str = "", *, worst_case: bool = False, full: bool = False) -> int:
    """Solve and print; the exit code.

    ``again`` names the trip in the next command, ``hint`` is the last line where something fits; ``full`` is about
    the form of JSON.
    """
    from seatplan.solver.plan import plan

    explained = None
    with Slow() as progress:
        solved = plan(trip, profile, day, top=top, strict=strict, worst_case=worst_case, progress=progress)
        if not solved.arrangements:
            from seatplan.files.load import shelf
            from seatplan.solver.explain import explain

            explained = explain(solved, shelf(), progress)
    if json_out:
        from seatplan.views.plan_json import plan_json

        say_json(plan_json(solved, explained, Streamed, full=full))
    else:
        from seatplan.views.plan_text import plan_text

        say(plan_text(solved, again, hint, explained))
    if solved.verdict == "rejected" and not solved.tally.complete:
        return 3
    return EXIT[solved.verdict]
