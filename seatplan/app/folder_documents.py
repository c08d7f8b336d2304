"""Documents that somebody wrote into a library's folder: sheets, reports, drawings, calendars, checkups.

Whoever writes one chooses its name, so a trip's documents are known by what they say of themselves: the kind, and of
which trip (``files/made.py``). Nobody says that of other files, and none of those is opened further.
"""

from __future__ import annotations

import os
import re
from collections.abc import Iterable, Iterator
from contextlib import suppress
from pathlib import Path
from stat import S_ISREG

from seatplan.files.errors import InputError
from seatplan.files.library_names import conflict_of_file, number_of_file
from seatplan.files.made import Made, identity_of, made
from seatplan.files.reading import parse
from seatplan.files.undo import texts_before
from seatplan.frozen import frozen

from .filed_checkups import folder_of
from .shelf import Held

#: so much of a file is looked at for what it says of itself, bytes
_START = 2000
#: so many files a folder and those in it may have to be looked through
_MOST = 20_000
_FILED = re.compile(r"(trip-\d+)-\d{4}-\d\d-\d\d-\d+\.html")


@frozen
class InFolder:
    """``documents``: those of certain trips; ``others``: files of which nobody knows whose they are."""

    documents: tuple[Path, ...]
    others: tuple[Path, ...]


def documents_of(library: Path, trips: Iterable[Held], elsewhere: Iterable[Held]) -> InFolder:
    """The documents of some trips that lie in a library's folder or in one within it, and the files that can be
    anybody's. Those of a trip ``elsewhere`` that is called the same, with the same riders, are among the latter."""
    trips, elsewhere = list(trips), list(elsewhere)
    own, others = _identities(trips), _identities(elsewhere)
    numbers = {trip.number for trip in trips}
    found: list[Path] = []
    unknown: list[Path] = []
    for path in _files(library):
        filed = _FILED.fullmatch(path.name) if path.parent == folder_of(library) else None
        if filed is not None and filed[1] not in numbers:
            continue                                     # a checkup of another family
        said = _said(path)
        if said is not None and said.trip in own - others:
            found.append(path)
        elif filed is None and (said is None or said.trip is None or said.trip in own or said.trip not in others):
            unknown.append(path)
    return InFolder(tuple(found), tuple(unknown))


def _identities(trips: Iterable[Held]) -> set[str]:
    """By what documents tell these trips, as they are and as they were before each step that can be taken back."""
    found = set()
    for trip in trips:
        texts = [trip.text]
        with suppress(InputError):
            texts += texts_before(trip.path)
        for text in texts:
            with suppress(InputError):
                data = parse(text, trip.path).data
                riders = data.get("riders")
                found.add(identity_of(str(data.get("trip", "")), [
                    str(one.get("rider", "")) for one in (riders if isinstance(riders, list) else ())
                    if isinstance(one, dict)]))
    return found


def _files(library: Path) -> Iterator[Path]:
    """Every file that is none of the library's own and not hidden; no link is followed. The list of the day looks after
    its own."""
    seen = 0
    for folder, folders, names in os.walk(library):
        here = Path(folder)
        folders[:] = sorted(one for one in folders if not one.startswith(".") and (here, one) != (library, "day"))
        for name in sorted(names):
            seen += 1
            if seen > _MOST:
                return
            if not name.startswith(".") and not (here == library and (number_of_file(name) or conflict_of_file(name))):
                yield here / name


def _said(path: Path) -> Made | None:
    """What a file says of itself; None where it is none of our documents, or cannot be looked at."""
    flags = os.O_RDONLY | getattr(os, "O_NOFOLLOW", 0) | getattr(os, "O_NONBLOCK", 0) | getattr(os, "O_BINARY", 0)
    try:
        if not S_ISREG(os.lstat(path).st_mode):
            return None
        with open(os.open(path, flags), "rb") as file:
            return made(file.read(_START).decode("utf-8", "replace"))
    except OSError:
        return None
