"""The cards that lie in a folder."""

from __future__ import annotations

from collections.abc import Collection, Iterator
from contextlib import suppress
from pathlib import Path

from seatplan.files.made import MADE_BY

#: so many letters of a file say at most what it is
_HEAD = 200


def is_card(text: str) -> bool:
    """Whether a file that begins like that is a driver's card."""
    return f"{MADE_BY}: card" in text[:_HEAD]


def left_over(folder: Path, written: Collection[str]) -> Iterator[str]:
    """The names of cards in a folder that were not written now: of another plan, whose bookings others may have."""
    for file in sorted(folder.glob("*.html")):
        if file.name not in written:
            with suppress(OSError), file.open(encoding="utf-8", errors="replace") as stream:
                if is_card(stream.read(_HEAD)):
                    yield file.name
