"""What somebody who asks from elsewhere may name: what is bundled, by its name, and files of the library, by number.

Who sits at this machine names files by their paths; who asks over a network never does. What a word names is looked up
here, and a word that could lead out of the library names nothing.
"""

from __future__ import annotations

import re
from collections.abc import Mapping
from pathlib import Path
from typing import Any, Literal

from seatplan.files.errors import InputError, Problem, brief
from seatplan.files.library import is_path, names
from seatplan.message import Name, Word, said
from seatplan.rules.load import BUNDLED

from .misasked import Misasked
from .shelf import Shelf

#: ``any``: of whatever kind it is; ``own``: the same, and nothing that is bundled
Kind = Literal["vehicle", "restraint", "trip", "rules", "any", "own"]
#: what a kind of file is called elsewhere in the program
_ALSO = {"profile": "rules"}
_WORD = re.compile(r"[A-Za-z0-9][A-Za-z0-9-]{0,99}")
#: a file that lies beside the one that names it
_BESIDE = re.compile(r"[A-Za-z0-9][A-Za-z0-9-]{0,99}\.(yaml|yml)")


def meant(kind: Kind, word: str, field: str, library: Shelf) -> str:
    """What a request takes for a word: a bundled name as it is, for a library number the path of its file. Raises
    Misasked where it is neither, or of another kind."""
    if not _WORD.fullmatch(word):
        raise _nothing(kind, word, field)
    if word in _bundled(kind):
        return word
    try:
        found = library.held(word)
    except InputError:
        raise _nothing(kind, word, field) from None
    there = _ALSO.get(found.kind, found.kind)
    if kind not in ("any", "own", there):
        raise Misasked(field, said("{word} is a {other}", word=Name(word), other=Word(there)),
                       said("expected a {kind}", kind=Word(kind)), word)
    return str(found.path)


def kept_inside(kind: str, data: Mapping[str, Any], library: Shelf) -> dict[str, Any]:
    """The plain data of a file as somebody sent it, where a number of the library, or a file of it, stands for a
    vehicle, rules or a restraint: with its path there. Raises InputError for what names anything else."""
    if kind != "trip":
        return dict(data)
    problems: list[Problem] = []
    out = dict(data)
    for loc, sort, word in _references(data):
        try:
            _put(out, loc, _beside(sort, word, loc, library))
        except InputError as error:
            problems += error.problems
    if problems:
        raise InputError(problems)
    return out


def refuse_outside(kind: str, data: Mapping[str, Any], name: str) -> None:
    """Refuse a file to be written into the library that names a file elsewhere; what it names must lie beside it.
    Raises InputError."""
    if kind != "trip":
        return
    wrong = [Problem(name, 0, 0, said("{field} names a file outside the library; expected a bundled name or a file "
                                      "that lies in it", field=Name(".".join(map(str, loc)))), loc, brief(word))
             for loc, _, word in _references(data) if is_path(word) and not _BESIDE.fullmatch(word)]
    if wrong:
        raise InputError(wrong)


def _references(data: Mapping[str, Any]) -> list[tuple[tuple[str | int, ...], Kind, str]]:
    """Every place of a trip that names another file: where it stands, the kind, and the word."""
    found: list[tuple[tuple[str | int, ...], Kind, Any]] = [(("vehicle",), "vehicle", data.get("vehicle")),
                                                            (("rules",), "rules", data.get("rules"))]
    restraints = data.get("restraints")
    for k, item in enumerate(restraints if isinstance(restraints, (list, tuple)) else ()):
        if isinstance(item, Mapping):
            found.append((("restraints", k, "use"), "restraint", item.get("use")))
        else:
            found.append((("restraints", k), "restraint", item))
    return [(loc, kind, word) for loc, kind, word in found if isinstance(word, str)]


def _beside(kind: Kind, word: str, loc: tuple[str | int, ...], library: Shelf) -> str:
    number = Path(word).stem if _BESIDE.fullmatch(word) else word
    return meant(kind, number, ".".join(map(str, loc)), library)


def _put(data: dict[str, Any], loc: tuple[str | int, ...], value: str) -> None:
    """Set what stands at a place; the lists and mappings on the way there are made anew, not changed."""
    at: Any = data
    for step in loc[:-1]:
        at[step] = list(at[step]) if isinstance(at[step], (list, tuple)) else dict(at[step])
        at = at[step]
    at[loc[-1]] = value


def _bundled(kind: Kind) -> tuple[str, ...]:
    if kind == "own":
        return ()
    if kind == "any":
        return (*names("trip"), *names("vehicle"), *names("restraint"), *BUNDLED)
    return BUNDLED if kind == "rules" else tuple(names(kind))


def _nothing(kind: Kind, word: str, field: str) -> Misasked:
    what = said("file") if kind in ("any", "own") else Word(kind)
    return Misasked(field, said('"{word}" names no {what} here', word=brief(word), what=what),
                    said("expected a number of the library, such as trip-1") if kind == "own" else
                    said("expected a bundled name or a number of the library, such as trip-1"), word)
