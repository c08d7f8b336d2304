"""Checkups that are kept in the library, in its folder ``checkups``: by number and day, never one over another."""

from __future__ import annotations

import re
from pathlib import Path

from seatplan.files.writer import alone_at, place_of, write

from .days import today
from .own_folder import own_folder


def folder_of(library: Path) -> Path:
    """Where they lie; `seatplan list checkups` lists the same folder."""
    return library / "checkups"


def filed_of(library: Path, number: str) -> tuple[Path, ...]:
    """Those of a trip, in the order in which they were filed."""
    named = re.compile(rf"{re.escape(number)}-\d{{4}}-\d\d-\d\d-(\d+)\.html")
    folder = folder_of(library)
    found = [path for path in folder.iterdir() if named.fullmatch(path.name)] if folder.is_dir() else []
    return tuple(sorted(found, key=lambda path: (path.name.rpartition("-")[0], _count(path))))


def file_checkup(library: Path, number: str, page: str) -> Path:
    """Keep the page of a checkup as a new file. Raises Unwritten."""
    folder = folder_of(library)
    own_folder(folder)
    day = today().isoformat()
    with alone_at([str(folder)]):
        n = 1 + max(map(_count, filed_of(library, number)), default=0)
        path = folder / f"{number}-{day}-{n}.html"
        write(place_of(str(path)), page, new=True)
    path.chmod(0o600)
    return path


def _count(path: Path) -> int:
    return int(path.stem.rpartition("-")[2])
