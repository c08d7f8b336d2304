"""A calendar of an outlook (iCalendar, RFC 5545): when to measure again, and when an arrangement likely ends."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date, timedelta
from hashlib import sha256

from seatplan.growth.outlook import Outlook

from .caution import CAUTION
from .document import PRODUCT, TRIP_PROPERTY, identity
from .outlook_words import again_text, change_text, move_text
from .say import t, tr
from .text import listed

#: a reminder comes so long before the day that it is about
AHEAD = timedelta(days=14)
#: RFC 5545 3.1: a line holds at most so many bytes, its end not counted
_LINE_BYTES = 75


@dataclass(frozen=True, slots=True, order=True)
class Entry:
    """One whole day in the calendar. ``about`` is the same in every language: kind, whom, what."""

    day: date
    summary: str
    text: str
    about: tuple[str, ...]


def entries(outlook: Outlook) -> list[Entry]:
    """By day: measure before each doubt and each change, the changes themselves, and what to buy."""
    return sorted(set(_entries(outlook)))


def _entries(outlook: Outlook) -> Iterator[Entry]:
    asked: set[tuple[str, str, str | None]] = set()
    for step in outlook.protection.steps:
        for doubt in step.doubts:
            key = doubt.rider, doubt.finding.rule, doubt.finding.restraint
            if key not in asked:
                asked.add(key)
                yield Entry(_before(doubt.first, outlook), t("Measure {rider} again", rider=doubt.rider),
                            t("By {day}: {again}.", day=doubt.first, again=again_text(doubt.finding)),
                            ("again", doubt.rider, doubt.finding.rule, doubt.finding.restraint or ""))
        change = step.change
        if change is None:
            continue
        whom = listed(sorted({rider for limit in change.limits for rider in limit.finding.riders}))
        if change.limits:
            yield Entry(_before(change.day, outlook),
                        t("Measure {whom} again before the change on {day}", whom=whom, day=change.day),
                        change_text(change, outlook.end), ("before", str(change.day)))
        moves = " ".join(f"{move_text(move)}." for move in change.moves) or t("Nothing at hand works from this day on.")
        yield Entry(change.day, t("Car seats: likely time to change"), f"{change_text(change, outlook.end)} {moves}",
                    ("change", str(change.day)))
    if outlook.purchase is not None:
        purchase = outlook.purchase
        such = listed([offer.restraint for offer in purchase.offers], "or")
        yield Entry(_before(purchase.day, outlook),
                    t("Car seats: a purchase is due") if purchase.must else t("Car seats: a purchase may be due"),
                    t("By {day}, such as {such}.", day=purchase.day, such=such) if such else
                    t("By {day}.", day=purchase.day), ("purchase", str(purchase.day)))


def _before(day: date, outlook: Outlook) -> date:
    return max(outlook.start, day - AHEAD)


def calendar(outlook: Outlook) -> str:
    """The whole file. The same outlook gives the same bytes: the stamp is the first day looked at."""
    lines = ["BEGIN:VCALENDAR", "VERSION:2.0", f"PRODID:{PRODUCT}", "CALSCALE:GREGORIAN",
             f"{TRIP_PROPERTY}:{identity(outlook.trip)}",
             f"X-WR-CALNAME:{_escaped(t('{trip}: how long it lasts', trip=outlook.trip.trip))}"]
    for entry in entries(outlook):
        told = f"{entry.text}\n{tr(CAUTION)}"
        name = "|".join((outlook.trip.trip, str(entry.day), *entry.about))     # imported anew, an entry replaces itself
        lines += [
            "BEGIN:VEVENT",
            f"UID:{sha256(name.encode()).hexdigest()[:32]}@seatplan.invalid",
            f"DTSTAMP:{outlook.start:%Y%m%d}T000000Z",
            f"DTSTART;VALUE=DATE:{entry.day:%Y%m%d}",
            f"DTEND;VALUE=DATE:{entry.day + timedelta(days=1):%Y%m%d}",
            f"SUMMARY:{_escaped(entry.summary)}",
            f"DESCRIPTION:{_escaped(told)}",
            "TRANSP:TRANSPARENT",
            "BEGIN:VALARM", "ACTION:DISPLAY", "TRIGGER:PT9H", f"DESCRIPTION:{_escaped(entry.summary)}", "END:VALARM",
            "END:VEVENT",
        ]
    return "".join(f"{_folded(line)}\r\n" for line in [*lines, "END:VCALENDAR"])


def _escaped(text: str) -> str:
    """RFC 5545 3.3.11."""
    for plain, escaped in (("\\", "\\\\"), (";", "\\;"), (",", "\\,"), ("\r\n", "\\n"), ("\n", "\\n")):
        text = text.replace(plain, escaped)
    return text


def _folded(line: str) -> str:
    """RFC 5545 3.1: longer lines go on in the next after a space; no letter is split between its bytes."""
    folded, room = "", _LINE_BYTES
    for letter in line:
        size = len(letter.encode())
        if size > room:
            folded, room = f"{folded}\r\n ", _LINE_BYTES - 1
        folded, room = folded + letter, room - size
    return folded
