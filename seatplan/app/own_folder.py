"""Folders that the library has beside its files, and files in them that go: what the system refuses is told as such."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

from seatplan.files.errors import Problem, Unwritten
from seatplan.message import Name, said


def own_folder(folder: Path) -> None:
    """Make a folder that only its owner may look into, where it is not there yet. Raises Unwritten."""
    with _refusable(folder.name):
        folder.mkdir(mode=0o700, exist_ok=True)


def delete_file(file: Path) -> None:
    """Delete a file, if it is there. Raises Unwritten."""
    with _refusable(file.name):
        file.unlink(missing_ok=True)


@contextmanager
def _refusable(name: str) -> Iterator[None]:
    try:
        yield
    except OSError as error:
        raise Unwritten(Problem(name, 0, 0, said("{name} cannot be made or deleted: {reason}", name=Name(name),
                                                 reason=Name((error.strerror or "").lower())))) from None
