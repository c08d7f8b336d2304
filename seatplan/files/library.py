"""The bundled vehicles, restraints and trips, each known by the stem of its file."""

from __future__ import annotations

from pathlib import Path
from typing import Literal

from seatplan.message import Word, said

from .errors import InputError, Problem, brief, near_word

Kind = Literal["vehicle", "restraint", "trip"]
#: where the bundled data lies
PACKAGE = Path(__file__).resolve().parent.parent


def folder(kind: Kind) -> Path:
    """Where files of a kind lie: vehicles beside the package in a checkout, inside it once installed."""
    if kind == "vehicle":
        inside = PACKAGE / "vehicles"
        return inside if inside.is_dir() else PACKAGE.parent / "vehicles"
    return PACKAGE / "data" / f"{kind}s"


def names(kind: Kind) -> list[str]:
    """All bundled names of a kind, sorted."""
    return sorted(path.stem for path in folder(kind).glob("*.yaml"))


def find(kind: Kind, key: str) -> Path:
    """The file of a bundled name. Raises InputError with the nearest name."""
    if key in names(kind):
        return folder(kind) / f"{key}.yaml"
    raise InputError([Problem("", 0, 0, no_such(kind, key), found=key, allowed={"one_of": names(kind)})])


def no_such(kind: Kind, key: str) -> str:
    """What to say of a name that is not bundled."""
    near = near_word(key, names(kind))
    if not near.startswith("did"):
        near = said("{command} shows them, and a file is named by a path that ends in .yaml",
                    command=f"`seatplan list {kind}s`")
    return said('no bundled {kind} is called "{key}"; {near}', kind=Word(kind), key=brief(key), near=near)


def is_path(ref: str) -> bool:
    """Whether a reference is a path rather than a bundled name."""
    return ref == "-" or "/" in ref or "\\" in ref or ref.lower().endswith((".yaml", ".yml"))
