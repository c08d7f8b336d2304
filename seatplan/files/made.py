"""What a file of ours says of itself: which kind of document it is, and of which trip. Imports nothing heavy."""

from __future__ import annotations

from collections.abc import Iterable
from contextlib import suppress
from hashlib import sha256
from html.parser import HTMLParser
from typing import TYPE_CHECKING

from seatplan.frozen import frozen

if TYPE_CHECKING:
    from seatplan.model import Trip

#: stands in every file that seatplan writes, with the kind of document
MADE_BY = "made by seatplan"
#: the kinds by the root of the file; files of earlier versions name none
KINDS: dict[str, tuple[str, ...]] = {"svg": ("drawing",), "html": ("sheet", "report", "form", "checkup")}
#: says in a calendar that it is ours
PRODUCT = "-//seatplan//outlook//EN"
#: holds the trip: an attribute of the root of a drawing, sheet or report, a property of a calendar (RFC 5545 3.8.8.2)
TRIP_ATTRIBUTE, TRIP_PROPERTY = "data-trip", "X-SEATPLAN-TRIP"


@frozen
class Made:
    """``kinds``: of which kind a document is, several where it does not say; ``trip``: its identity, None where the
    document does not say it, as earlier versions did not."""

    kinds: tuple[str, ...]
    trip: str | None


def identity(trip: Trip) -> str:
    """What tells one trip from another: a hash of its title and its riders, 32 hexadecimal digits. Vehicle, rules,
    day and the order of riders do not count."""
    return identity_of(trip.trip, [rider.rider for rider in trip.riders])


def identity_of(title: str, riders: Iterable[str]) -> str:
    """The same of what a trip and its riders are called."""
    import json

    return sha256(json.dumps([title, *sorted(riders)]).encode()).hexdigest()[:32]


def made(start: str) -> Made | None:
    """What the beginning of a file says; None where the file is not ours."""
    if start.startswith("BEGIN:VCALENDAR"):
        return _calendar(start)
    root = _Root()
    with suppress(AssertionError):      # so it answers to some of what is no HTML
        root.feed(start)
    if root.kinds is None:
        return None
    return Made(root.kinds, root.attributes.get(TRIP_ATTRIBUTE))


def _calendar(start: str) -> Made | None:
    """By the properties of the calendar itself, which come before its first event."""
    properties: dict[str, str] = {}
    for line in start.splitlines()[1:]:
        name, _, value = line.partition(":")
        if name == "BEGIN":
            break
        properties[name] = value
    if properties.get("PRODID") != PRODUCT:
        return None
    return Made(("calendar",), properties.get(TRIP_PROPERTY))


class _Root(HTMLParser):
    """The root of a drawing or a page: its attributes, and the comment that comes first in it."""

    def __init__(self) -> None:
        super().__init__()
        self.tag = ""
        self.attributes: dict[str, str | None] = {}
        self.kinds: tuple[str, ...] | None = None
        self._over = False

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        if self.tag:
            self._over = True
        else:
            self.tag, self.attributes = tag, dict(attrs)

    def handle_data(self, data: str) -> None:
        self._over = self._over or bool(data.strip())

    def handle_comment(self, data: str) -> None:
        if not self._over and self.tag in KINDS:
            mark, _, kind = data.strip().partition(": ")
            if mark == MADE_BY:
                self.kinds = tuple(one for one in KINDS[self.tag] if kind in ("", one)) or None
        self._over = True
