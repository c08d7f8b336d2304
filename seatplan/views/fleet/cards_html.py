"""The cards of one driver for a day, as one HTML file: only their bookings, each with what to do at the door."""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping, Sequence
from xml.etree.ElementTree import Element

from seatplan.app.fleet.day import DayCards, LegOfDay, Seated, VehicleDay, letters
from seatplan.app.fleet.files import FleetRead
from seatplan.fleet.records import Load
from seatplan.fleet.whereabouts import Place
from seatplan.views.manner import day, language
from seatplan.views.markup import el, html_file
from seatplan.views.say import t
from seatplan.views.sheet.card import caution, page
from seatplan.views.sheet.child import takes_said
from seatplan.views.sheet.paper import style
from seatplan.views.svg.figures import seats_said
from seatplan.views.text import listed
from seatplan.views.words import BY, held_by, in_short

from .parties import clock, member_said, reading_said

_UNSAFE = re.compile(r"[^A-Za-z0-9_.-]+")


def file_names(found: DayCards) -> dict[str, str]:
    """By driver, the name of the file; two that would share one are told apart by a number."""
    names: dict[str, str] = {}
    for driver in found.drivers:
        stem = _UNSAFE.sub("-", driver).strip("-.") or "driver"
        name, n = f"{stem}.html", 1
        while name.casefold() in {one.casefold() for one in names.values()}:
            n += 1
            name = f"{stem}-{n}.html"
        names[driver] = name
    return names


def cards_html(found: DayCards, driver: str, paper: str) -> str:
    """The file of one driver."""
    told = found.drivers[driver]
    title = t("{driver}, {day}", driver=driver, day=day(found.day))
    return html_file(el(
        "html",
        el("head", el("meta", charset="utf-8"), el("title", title),
           el("meta", name="viewport", content="width=device-width, initial-scale=1"),
           el("meta", name="generator", content="made by seatplan"), el("style", style(paper))),
        el("body", el("main", _front(found, told, title), list(_pages(found, told)))), lang=language()), "card")


def _front(found: DayCards, told: Sequence[VehicleDay], title: str) -> Element:
    parts: list[Element] = []
    for one in told:
        unit = one.vehicle
        vehicle = next(each.vehicle for each in found.read.fleet.types if each.vehicle.key() == unit.vehicle_type)
        parts += [el("h2", t("{vehicle} ({type}), from {depot}", vehicle=unit.key, type=found.read.type_name(
            unit.vehicle_type), depot=unit.depot)),
            el("ol", [el("li", _line(leg)) for leg in one.legs]), el("p", seats_said(vehicle), class_="source")]
    return el("section", el("h1", title),
              el("p", t("Plan {n} of this day. Only these bookings are yours; nobody rides in another way than a card "
                        "says.", n=found.record.number)), parts, caution(), class_="front")


def _line(leg: LegOfDay) -> str:
    booking = leg.booking
    return t("{start} to {end}, {origin} to {goal}: {who}", start=clock(booking.start), end=clock(booking.end),
             origin=booking.origin, goal=booking.goal, who=_who(leg))


def _who(leg: LegOfDay) -> str:
    members = leg.booking.party.members
    return "; ".join(f"{letter}: {member_said(member)}"
                     for letter, member in zip(letters(leg.booking), members, strict=True))


def _pages(found: DayCards, told: Sequence[VehicleDay]) -> Iterator[Element]:
    n, total = 0, sum(_cards_in(leg) for one in told for leg in one.legs)
    for one in told:
        for leg in one.legs:
            yield _booking(found.read, leg, one.vehicle.depot)
            for seated in (leg.seated, leg.above):
                for card in () if seated is None else seated.cards:
                    n += 1
                    assert seated is not None
                    yield page(seated.plan, seated.arrangement, seated.picture, card, n, total, again=None)


def _cards_in(leg: LegOfDay) -> int:
    return sum(len(seated.cards) for seated in (leg.seated, leg.above) if seated is not None)


def _booking(read: FleetRead, leg: LegOfDay, depot: str) -> Element:
    booking = leg.booking
    head = el("h2", t("{start}, {origin} to {goal}", start=clock(booking.start), origin=booking.origin,
                      goal=booking.goal))
    of = {"data-booking": booking.key}       # by this a card is found when the booking is to be forgotten
    if leg.seated is None:
        return el("section", head, el("p", el("strong", t("Do not carry this booking.")), " ", t(
            "Worked out again with these very restraints it does not come out as planned. Ask the dispatcher for a new "
            "plan."), class_="failing"), caution(), class_="front", **of)
    return el("section", head, el("p", _who(leg)), _depot(read, leg, depot), _seats(leg.seated), _beside(read, leg),
              _cover(leg), _door(leg, leg.seated), caution(), class_="front", **of)


def _depot(read: FleetRead, leg: LegOfDay, depot: str) -> Element | None:
    """What is done at the depot before."""
    told = [*([t("take out {pieces}", pieces=_pieces(read, leg.taken_out, {}))] if leg.taken_out else []),
            *([t("put in {pieces}", pieces=listed(_put_in(read, leg, depot)))] if leg.put_in else [])]
    if not told:
        return None if leg.leg.changes else el("p", t("Nothing is taken out or put in before it."))
    return el("p", el("strong", t("At the depot before:")), " ", "; ".join(told), ".")


def _put_in(read: FleetRead, leg: LegOfDay, depot: str) -> list[str]:
    """Each piece that is put in, and where its copy is fetched."""
    told = []
    for piece in leg.put_in:
        what, copy = _pieces(read, (piece,), leg.names), leg.names.get(piece[:2], "")
        told.append(t("{piece} ({source})", piece=what, source=_source(leg.from_[copy], depot))
                    if copy in leg.from_ else what)
    return told


def _source(place: Place | None, depot: str) -> str:
    if place is None:
        return t("from the shelf of {depot}", depot=depot)
    return t("from {seat} of {vehicle}, or from the shelf of {depot} where it is out already", seat=place.position,
             vehicle=place.vehicle, depot=depot)


def _pieces(read: FleetRead, load: Load, known: Mapping[tuple[str, str], str]) -> str:
    return listed([t("{what} at {seat}, {by}", what=" ".join(filter(None, (
        read.kind_name(kind), known.get((kind, position), "")))), seat=position,
        by=BY[by] if by else t("held by nothing")) for kind, position, by in load])


def _seats(seated: Seated) -> Element:
    rows = [(one.placement.rider.rider, one.placement.position.position, in_short(one.placement),
             held_by(one.placement)) for one in seated.arrangement.seats]
    return el("table", el("tr", [el("th", head) for head in (t("who"), t("seat"), t("restraint"), t("held by"))]),
              [el("tr", [el("td", cell) for cell in row]) for row in sorted(rows, key=lambda row: row[0])])


def _beside(read: FleetRead, leg: LegOfDay) -> Element | None:
    if not leg.beside:
        return None
    return el("p", t("It stays in the vehicle, secured, and nobody rides in it: {pieces}.",
                     pieces=_pieces(read, leg.beside, leg.names)))


def _cover(leg: LegOfDay) -> Element | None:
    """Which of two modes counts from which reading on."""
    cover = leg.leg.cover
    if cover is None:
        return None
    return el("p", el("strong", t("Ask at the door:")), " ", t(
        "{reading}. Below that they ride as on the first cards, from there on as on those behind them; without an "
        "answer, do not travel.", reading=reading_said(cover.reading, leg.booking.party)), class_="failing")


def _door(leg: LegOfDay, seated: Seated) -> Element:
    """What to do when whoever stands at the door is not as booked."""
    members = leg.booking.party.members
    of = {one.placement.rider.rider: one.placement for one in seated.arrangement.seats}
    lines = []
    for letter, member in zip(letters(leg.booking), members, strict=True):
        if member.adult:
            continue
        placement = of[letter]
        takes = takes_said(placement) if placement.restraint is not None else ""
        lines.append(t("{letter} is booked as {who}.", letter=letter, who=member_said(member)) + (
            " " + t("The restraint takes, as it is used here: {takes}.", takes=takes) if takes else ""))
    return el("div", el("strong", t("At the door")), el("ul", [
        el("li", el("label", el("input", type="checkbox"), el("span", line))) for line in lines]),
        el("p", t(
            "Whoever is younger, older, lighter, heavier, shorter or taller than booked, or is somebody more, does not "
            "ride like that, even if the restraint takes them: the seat, the belt and the neighbours were worked out "
            "for those booked. Do not improvise. Ask the dispatcher, who plans again; if nobody answers, do not carry "
            "them.")), class_="check")
