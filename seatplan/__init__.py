"""seatplan: which child, in which restraint, on which seating position of one vehicle.

    from seatplan import load_trip, arrange
    plan = arrange(load_trip("three-across-school-run"))

Nothing heavy is imported before it is used.
"""

from __future__ import annotations

from os import PathLike, fspath

TYPE_CHECKING = False            # as a type checker takes it; the import of typing would be the slowest of a start
if TYPE_CHECKING:
    from collections.abc import Iterator
    from datetime import date
    from typing import Any

    from seatplan.files.errors import InputError
    from seatplan.model import Trip
    from seatplan.solver.explain import Explanation
    from seatplan.solver.results import Plan

__version__ = "0.1.0"
__all__ = ["InputError", "arrange", "explain", "load_trip", "seatings"]


def load_trip(ref: str | PathLike[str], vehicle: str | PathLike[str] | None = None) -> Trip:
    """Read a trip: a bundled name or a path. ``vehicle`` takes the place of the trip's own.

    Raises seatplan.InputError with every problem of the files.
    """
    from seatplan.files.load import load_trip as load

    return load(fspath(ref), None if vehicle is None else fspath(vehicle))


def arrange(trip: Trip, *, top: int | None = 5, rules: str | None = None, strict: bool = False,
            today: date | None = None, **options: Any) -> Plan:
    """Every arrangement of a trip that is allowed and fits, best first; ``top`` None for all.

    ``rules`` names a profile (us, un, or a local file) in place of the trip's own. ``today`` stands in where the
    trip names no day; it must be given then. Raises InputError for a bad profile and for a trip that cannot be true,
    however it was made; ValueError without any day.
    """
    from seatplan.rules.load import load_profile
    from seatplan.solver.plan import plan

    trip, day = _on_its_day(trip, today)
    return plan(trip, load_profile(rules or trip.rules), day, top=top, strict=strict, **options)


def explain(plan: Plan) -> Explanation | None:
    """Why a plan has no arrangement, and what would change that: who cannot travel together, the fewest reasons, and
    changes that were each solved again, bundled restraints among them. None for a plan that has arrangements."""
    from seatplan.files.load import shelf
    from seatplan.solver.explain import explain as explained

    return explained(plan, shelf())


def seatings(trip: Trip, *, rules: str | None = None, strict: bool = False,
             worst_case: bool = False, today: date | None = None) -> Iterator[dict[str, tuple[str, str | None, str]]]:
    """Every valid seating as rider -> (position, restraint or None, mode), unranked: for counting and filtering.
    Seatings that differ by a swap of restraints that are alike are one.

    Raises as `arrange` does.
    """
    from seatplan.rules.load import load_profile
    from seatplan.solver.seatings import every_seating
    from seatplan.solver.solve import Solve

    trip, day = _on_its_day(trip, today)
    solve = Solve(trip, load_profile(rules or trip.rules), day, strict=strict, worst_case=worst_case)
    names = [position.position for position in solve.choices.positions]
    for seating in every_seating(solve):
        left_to_right = sorted(seating, key=lambda c: c.position)
        copies = solve.kinds.handed(c.restraint for c in left_to_right)
        held = {c.rider: None if copy is None else copy.restraint
                for c, copy in zip(left_to_right, copies, strict=True)}
        yield {trip.riders[c.rider].rider: (names[c.position], held[c.rider], c.mode) for c in seating}


def _on_its_day(trip: Trip, today: date | None) -> tuple[Trip, date]:
    """The trip on its day of travel, and that day: riders measured before it grown, those due later left out."""
    from seatplan.doubt import believed_anew
    from seatplan.files.door import checked
    from seatplan.growth.family import trip_on

    trip = checked(trip, today, over_time=True)
    day = trip.on or today
    if day is None:
        raise ValueError("the trip names no day: give today=")
    return trip_on(believed_anew(trip, day), day, day), day


def __getattr__(name: str) -> Any:
    if name == "InputError":
        from seatplan.files.errors import InputError

        return InputError
    raise AttributeError(f"module {__name__!r} has no attribute {name!r}")
