"""Files to fill in, and the schemas of files."""

from __future__ import annotations

from dataclasses import dataclass
from importlib.resources import files
from typing import Any, ClassVar, Literal

from .outcome import Outcome
from .question import Question, argument
from .verdict import Verdict


@dataclass(frozen=True, kw_only=True)
class New(Question):
    """Which kind of file."""

    COMMAND: ClassVar[str] = "new"

    kind: Literal["vehicle", "restraint", "trip"] = argument()


def new(request: New) -> Outcome[str]:
    """A commented file that `check` accepts as it is."""
    text = files("seatplan").joinpath(f"data/templates/{request.kind}.yaml").read_text(encoding="utf-8")
    return Outcome(request, text, Verdict.ANSWERED)


def file_schema(kind: str) -> dict[str, Any]:
    """The JSON Schema of a vehicle, restraint or trip file."""
    from seatplan.files.schema import schema

    return schema(kind)
