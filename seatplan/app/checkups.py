"""A folder of checkups as a day's work: of each its number and its state, and nothing that names a family."""

from __future__ import annotations

import os
from collections import Counter
from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date
from typing import ClassVar, Literal

from seatplan.files.checkups import Damaged, Foreign, opened
from seatplan.files.errors import InputError, Problem
from seatplan.message import FieldName, said

from .misasked import Misasked
from .outcome import Outcome
from .question import Question, argument
from .verdict import Verdict

#: how the names of pages end; other files of the folder are not looked at
_ENDINGS = (".html", ".htm")


@dataclass(frozen=True, kw_only=True)
class AskCheckups(Question):
    """``folder``: where they lie; ``kind`` is what is listed."""

    COMMAND: ClassVar[str] = "list"

    kind: Literal["checkups"] = argument()
    folder: str = argument()


@dataclass(frozen=True, slots=True)
class Filed:
    """One page of the folder. ``number``: in the order of the names of files; ``wrong``: what stands there instead,
    ``damaged``, ``foreign`` or ``unreadable``; empty where it is a checkup. ``open``: how many points of each kind."""

    number: int
    wrong: str = ""
    sha256: str = ""
    made: date | None = None
    state: str = ""
    open: Mapping[str, int] | None = None
    grave_cautions: int = 0


@dataclass(frozen=True, slots=True)
class Day:
    """``problems``: of what is no checkup, with its file."""

    filed: tuple[Filed, ...]
    problems: tuple[Problem, ...]


def checkups(request: AskCheckups) -> Outcome[Day]:
    """Every page of a folder in the order of names. Wrong where one of them is no checkup. Raises Misasked where the
    folder cannot be looked into."""
    try:
        names = sorted(name for name in os.listdir(request.folder) if name.lower().endswith(_ENDINGS))
    except (OSError, ValueError) as error:
        reason = (getattr(error, "strerror", None) or "not a usable name").lower()
        raise Misasked("folder", said("{asked} cannot be looked into: {reason}", asked=FieldName("folder"),
                                      reason=reason), said("expected a folder of checkups")) from None
    filed: list[Filed] = []
    problems: list[Problem] = []
    for number, name in enumerate(names, 1):
        try:
            filed.append(_filed(number, os.path.join(request.folder, name)))
        except InputError as error:
            wrong = "damaged" if isinstance(error, Damaged) else "foreign" if isinstance(error, Foreign) else (
                "unreadable")
            filed.append(Filed(number, wrong))
            problems += error.problems
    return Outcome(request, Day(tuple(filed), tuple(problems)), Verdict.WRONG if problems else Verdict.ANSWERED)


def _filed(number: int, path: str) -> Filed:
    data, digest = opened(path)
    points: Counter[str] = Counter()
    for point in data["open"]:
        points[point["kind"]] += point["things"]
    try:
        made = date.fromisoformat(data["made"])
    except ValueError:
        made = None
    return Filed(number, "", digest, made, data["state"], dict(points), data["grave_cautions"])
