"""Write down what happened at the car, and say what that leaves."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from typing import ClassVar, Literal, get_args

from seatplan.doubt import doubts_of_try
from seatplan.doubt.telling import usual
from seatplan.files import recording
from seatplan.files.recording import Recorded
from seatplan.model import Tried
from seatplan.model.restraint import By
from seatplan.rules.load import load_profile
from seatplan.said import said
from seatplan.solver.after_try import AfterTry, after_try
from seatplan.written import FieldName, Verbatim

from .days import today
from .misasked import Misasked
from .outcome import Outcome
from .question import Question, argument
from .verdict import verdict_of

#: what an entry cannot do without
_NEEDS = ("restraint", "position", "by")
_ENTRY = ("restraint", "position", "by", "mode", "moved", "sure", "level", "failed", "note", "on")


@dataclass(frozen=True, kw_only=True)
class Record(Question):
    """What was tried in a trip, which is a file, and how it went; each as a person writes it. ``undo``: take the last
    entry back, and nothing else is given."""

    COMMAND: ClassVar[str] = "record"

    trip: str = argument()
    restraint: str | None = None
    position: str | None = None
    by: str | None = None
    mode: str | None = None
    moved: str | None = None
    sure: bool = False
    level: Literal["yes", "no"] | None = None
    failed: bool = False
    note: str | None = None
    on: str | date | None = None
    undo: bool = False

    @property
    def given(self) -> dict[str, str | bool | date]:
        """What is given of the entry."""
        return {name: value for name in _ENTRY if (value := getattr(self, name))}


@dataclass(frozen=True, slots=True)
class Noted:
    """The entry and where it stands, or stood, and what it changes."""

    recorded: Recorded
    after: AfterTry


def record(request: Record) -> Outcome[Noted]:
    """Put an entry at the end of ``tried`` in the file, or take the last one back.

    Raises Misasked where something is missing or too much, InputError for what is wrong, Unwritten where the file
    cannot be written; then nothing is.
    """
    _complete(request)
    day = today()
    done = recording.undo(request.trip, day) if request.undo else recording.record(
        request.trip, _entry(request), day, _unlikely)
    after = after_try(done.before, done.after, done.tried, load_profile(done.after.rules), done.after.on or day)
    return Outcome(request, Noted(done, after), verdict_of(after.now))


def _entry(request: Record) -> dict[str, str | bool | date | None]:
    """The entry as it stands in a file."""
    entry = {name: getattr(request, name) for name in _ENTRY}
    return entry | {"level": {"yes": True, "no": False}.get(request.level or "")}


def ways() -> tuple[str, ...]:
    """What can hold a restraint."""
    return get_args(By)


def _complete(request: Record) -> None:
    if request.undo:
        if request.given:
            raise Misasked("undo", said("{asked} takes the last entry back and goes with nothing else; found {told}",
                                        asked=FieldName("undo"), told=FieldName(*request.given)),
                           said("leave the rest out, or leave {asked} out", asked=FieldName("undo")))
        return
    missing = [name for name in _NEEDS if not getattr(request, name)]
    if missing:
        raise Misasked(missing[0], said("missing {missing}", missing=FieldName(*missing)), _how(missing))
    if request.moved is None and not request.failed and request.level != "no":
        raise Misasked("moved", said("nothing says how it went"),
                       said("`{moved}` with the millimetres at the belt path, `{level} no`, or `{failed}`",
                            moved=FieldName("moved"), level=FieldName("level"), failed=FieldName("failed")))


def _how(missing: list[str]) -> str:
    """What to give instead."""
    example = Verbatim(f"`{_EXAMPLE.command}`")
    if "by" not in missing:
        return example
    return said("`{by}` is one of {ways}; {example}", by=FieldName("by"), ways=Verbatim(", ".join(ways())),
                example=example)


def _unlikely(tried: Tried) -> list[str]:
    """What is unlikely about an entry: a zero too many reads like this."""
    return [said("moved is {moved} mm: unlikely{usual}; measure it again, or add `{sure}` if it is so",
                 moved=tried.moved, usual=usual(doubt), sure=FieldName("sure")) for doubt in doubts_of_try(tried)]


_EXAMPLE = Record(trip="my-trip.yaml", restraint="Nook", position="2C", by="lap-shoulder-belt", moved="38")
