"""A folder of checkups as a day's work: of each its number and its state, and nothing that names a family."""

from __future__ import annotations

import os
from collections import Counter
from collections.abc import Mapping
from datetime import date
from typing import ClassVar, Literal

from seatplan.files.checkups import Altered, Damaged, Foreign, file_hash, opened
from seatplan.files.errors import InputError, Problem
from seatplan.frozen import frozen
from seatplan.message import FieldName, said

from .misasked import Misasked
from .outcome import Outcome
from .question import Question, argument
from .verdict import Verdict

#: how the names of pages end; other files of the folder are not looked at
_ENDINGS = (".html", ".htm")
#: letters of a hash that tell one file of a day from another
SHORT = 8


@frozen(kw_only=True)
class AskCheckups(Question):
    """``folder``: where they lie; ``kind`` is what is listed."""

    COMMAND: ClassVar[str] = "list"

    kind: Literal["checkups"] = argument()
    folder: str = argument()


@frozen
class Filed:
    """One page of the folder. ``number``: in the order of the names of files; ``wrong``: what stands there instead,
    ``damaged``, ``altered``, ``foreign`` or ``unreadable``; empty where it is a checkup. ``sha256``: what the page says
    of itself; ``file_sha256``: of the file as it is now, None where it cannot be read. ``open``: how many points of
    each kind."""

    number: int
    wrong: str = ""
    sha256: str = ""
    file_sha256: str | None = None
    made: date | None = None
    state: str = ""
    open: Mapping[str, int] | None = None
    grave_cautions: int = 0


@frozen
class Day:
    """``problems``: of what is no checkup, by its number: the name of a file may be that of a family."""

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
            path = os.path.join(request.folder, name)
            filed.append(Filed(number, _wrong(error), file_sha256=file_hash(path)))
            problems.append(_told(filed[-1], error))
    return Outcome(request, Day(tuple(filed), tuple(problems)), Verdict.WRONG if problems else Verdict.ANSWERED)


def _wrong(error: InputError) -> str:
    kinds = {Damaged: "damaged", Altered: "altered", Foreign: "foreign"}
    return next((word for kind, word in kinds.items() if isinstance(error, kind)), "unreadable")


def _told(page: Filed, error: InputError) -> Problem:
    """What is wrong with a page, without the name of its file."""
    text = error.problems[0].text
    if page.file_sha256 is None:
        return Problem("", 0, 0, said("page {number}, in the order of file names: {text}", number=page.number,
                                      text=text))
    return Problem("", 0, 0, said("page {number}, in the order of file names, SHA-256 of its file {short}...: {text}",
                                  number=page.number, short=page.file_sha256[:SHORT], text=text))


def _filed(number: int, path: str) -> Filed:
    data, digest = opened(path)
    points: Counter[str] = Counter()
    for point in data["open"]:
        points[point["kind"]] += point["things"]
    try:
        made = date.fromisoformat(data["made"])
    except ValueError:
        made = None
    return Filed(number, "", digest, file_hash(path), made, data["state"], dict(points), data["grave_cautions"])
