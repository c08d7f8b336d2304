"""The bundled vehicles, restraints and trips, each known by the stem of its file."""

from __future__ import annotations

import os
from itertools import islice
from pathlib import Path
from typing import Literal, get_args

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


def is_bundled(path: str | Path, kind: Kind) -> bool:
    """Whether a file lies where what is bundled of a kind does; none does in a current folder that is gone."""
    try:
        return Path(os.path.realpath(path)).parent == Path(os.path.realpath(folder(kind)))
    except FileNotFoundError:
        return False


def names(kind: Kind) -> list[str]:
    """All bundled names of a kind, sorted."""
    try:
        return sorted(name.removesuffix(".yaml") for name in os.listdir(folder(kind)) if name.endswith(".yaml"))
    except OSError:
        return []


def find(kind: Kind, key: str) -> Path:
    """The file of a bundled name. Raises InputError with the nearest name."""
    if key in names(kind):
        return folder(kind) / f"{key}.yaml"
    raise InputError([Problem("", 0, 0, no_such(kind, key), found=key, allowed={"one_of": names(kind)})])


def no_such(kind: Kind, key: str, base: str | Path = ".") -> str:
    """What to say of a name that is not bundled; ``base``: the folder from which paths are meant."""
    if key and os.path.isdir(os.path.join(base, key)):
        return said('"{key}" is a directory; expected a {kind}', key=brief(key), kind=Word(kind))
    other = next((each for each in get_args(Kind) if each != kind and key in names(each)), None)
    if other is not None:
        return said('"{key}" is a bundled {other}; expected a {kind}', key=brief(key), other=Word(other),
                    kind=Word(kind))
    beside = next((name for name in _yaml_in(base) if Path(name).stem == key), "")
    if beside:
        return said('no bundled {kind} is called "{key}"; did you mean the file `{file}`?', kind=Word(kind),
                    key=brief(key), file=brief(beside))
    near = near_word(key, names(kind))
    if not near.startswith("did"):
        near = said("{command} shows them, and a file is named by a path that ends in .yaml",
                    command=f"`seatplan list {kind}s`")
    return said('no bundled {kind} is called "{key}"; {near}', kind=Word(kind), key=brief(key), near=near)


#: a folder with more entries is not looked through for a name that is meant
_MOST_ENTRIES = 2000


def nearest_file(name: str, kind: str = "") -> str:
    """The file that is meant by the name of one that is not there: the nearest among the YAML files of its folder, or
    what is bundled under that name. Empty where nothing is near."""
    from difflib import get_close_matches

    beside, wanted = os.path.dirname(name), Path(name).stem.casefold()
    there = {Path(one).stem.casefold(): one for one in _yaml_in(beside or ".")}
    near = get_close_matches(wanted[:100], sorted(there), 1, 0.7)
    if near:
        return os.path.join(beside, there[near[0]])
    known = [one for each in get_args(Kind) if kind in (each, "any", "") for one in names(each)]
    return wanted if wanted in known else ""


def _yaml_in(folder: str | Path) -> list[str]:
    """The YAML files of a folder, sorted; none where it cannot be looked into."""
    try:
        with os.scandir(folder) as entries:
            return sorted(entry.name for entry in islice(entries, _MOST_ENTRIES)
                          if entry.name.lower().endswith((".yaml", ".yml")))
    except OSError:
        return []


def is_path(ref: str) -> bool:
    """Whether a reference is a path rather than a bundled name."""
    return ref == "-" or "/" in ref or "\\" in ref or ref.lower().endswith((".yaml", ".yml"))
