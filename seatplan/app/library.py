"""What is bundled: vehicles, restraints and trips."""

from __future__ import annotations

from collections.abc import Mapping
from functools import cache
from typing import ClassVar, Literal

from seatplan.files.library import names
from seatplan.files.load import load_restraint, load_trip, load_vehicle
from seatplan.frozen import frozen
from seatplan.model import Restraint, Trip, Vehicle

from .days import today
from .outcome import Outcome
from .question import Question, argument
from .verdict import Verdict


@frozen(kw_only=True)
class AskLibrary(Question):
    """``kind``: only these."""

    COMMAND: ClassVar[str] = "list"

    kind: Literal["vehicles", "restraints", "trips"] | None = argument(default=None)


@frozen
class Library:
    """Records by the names that files name them by; None: not asked for."""

    trips: Mapping[str, Trip] | None
    vehicles: Mapping[str, Vehicle] | None
    restraints: Mapping[str, Restraint] | None


def library(request: AskLibrary) -> Outcome[Library]:
    """Everything that is bundled, or one kind of it."""
    day, kind = today(), request.kind
    found = Library(
        {key: load_trip(key, today=day) for key in names("trip")} if kind in (None, "trips") else None,
        {key: load_vehicle(key, day) for key in names("vehicle")} if kind in (None, "vehicles") else None,
        {key: load_restraint(key) for key in names("restraint")} if kind in (None, "restraints") else None)
    return Outcome(request, found, Verdict.ANSWERED)


@cache
def bundled_restraints() -> dict[str, str]:
    """What each bundled restraint is named by -> what it is called."""
    return {name: load_restraint(name).restraint for name in names("restraint")}
