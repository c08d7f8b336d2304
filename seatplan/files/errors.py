"""What is wrong with a file, and where."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from typing import Any

from seatplan.message import Name, said
from seatplan.written import visible


@dataclass(frozen=True, slots=True, order=True)
class Problem:
    """One thing that is wrong, or (as a notice) odd: file, line and column from 1, and what was found and is
    allowed. Line 0 means the file as a whole, no path a word on the command line.

    For programs: ``loc`` leads to the field, ``found`` is what stands there, and ``allowed`` what may: one of
    ``one_of``, or what keeps to all the others of ``at_least``, ``at_most``, ``more_than``, ``less_than`` (in ``unit``,
    where there is one; ``with_unit``: a plain number will not do), ``count`` and ``type`` (text, day, list). Each is
    empty or None where the check does not know.

    For people: ``source`` is the line as it stands in the file, empty where it is not to be shown; what is wrong there
    takes ``length`` letters of it.
    """

    path: str
    line: int
    column: int
    text: str
    loc: tuple[str | int, ...] = field(default=(), compare=False)
    found: Any = field(default=None, compare=False)
    allowed: Mapping[str, Any] | None = field(default=None, compare=False)
    source: str = field(default="", compare=False)
    length: int = field(default=1, compare=False)

    def __str__(self) -> str:
        return f"{self.place}: {self.text}" if self.path else self.text

    @property
    def place(self) -> str:
        """Where it is: ``my-car.yaml:3:5``."""
        return f"{visible(self.path)}:{self.line}:{self.column}" if self.line else visible(self.path)


#: something odd but allowed is told in the same way
Notice = Problem


class InputError(Exception):
    """Files or names that cannot be used. ``problems`` holds all of them, in order of place."""

    def __init__(self, problems: Iterable[Problem]) -> None:
        self.problems = sorted(set(problems))
        super().__init__("; ".join(str(problem) for problem in self.problems))


class Unwritten(Exception):
    """An answer or a file that could not be written: the input is not at fault. ``problem`` says where and why."""

    def __init__(self, problem: Problem) -> None:
        self.problem = problem
        super().__init__(str(problem))


def brief(text: str, most: int = 60) -> Name:
    """Somebody's own words within a problem: what cannot be seen is written out, and they are cut where they go on
    too long."""
    return Name(visible(text if len(text) <= most else text[: most - 3] + "..."))


#: what people also call the keys of a file
_ALSO_CALLED = {
    "weight": "mass", "stature": "height", "tall": "height", "birthday": "born", "dob": "born", "name": "rider",
    "seat": "position", "isofix": "lower_anchors", "latch": "lower_anchors", "anchors": "lower_anchors",
    "date": "on", "seats": "positions", "car": "vehicle", "children": "riders", "kids": "riders", "door": "trim",
}


def near_word(word: str, allowed: Iterable[str]) -> str:
    """``did you mean "position"?``, or the list of what is allowed."""
    from difflib import get_close_matches

    known = sorted(set(allowed))
    meant = _ALSO_CALLED.get(word.lower())
    if meant in known:
        return said('did you mean "{meant}"?', meant=meant)
    near = get_close_matches(word[:100], known, 1, 0.6)
    if near:
        return said('did you mean "{near}"?', near=near[0])
    return said("expected one of {known}", known=", ".join(known)) if known else said("expected nothing here")
