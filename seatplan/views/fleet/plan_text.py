"""The plan of a day as text: vehicle by vehicle, then who is unserved and why, and offers below the floor."""

from __future__ import annotations

from collections.abc import Iterator

from seatplan.app.fleet.plan import Planned
from seatplan.fleet.overnight import NEVER
from seatplan.fleet.records import GRADES, Booking, Leg, Offer, Unserved
from seatplan.views.caution import caution
from seatplan.views.content import Block, Group, Heading, Items, Paragraph, Table, Text, Weighed, group
from seatplan.views.say import t
from seatplan.views.terminal import parts_of
from seatplan.views.text import count, listed

from .counts import counts_said
from .parties import (
    GRADED,
    clock,
    kit_said,
    member_said,
    party_said,
    reading_said,
    readings_said,
    seats_said,
    short_party,
)


def plan_text(found: Planned) -> str:
    """The answer."""
    blocks: list[Block | None] = [_first(found), counts_said(found.counts, found.classes, found.damaged)]
    blocks += [_night(found), _again(found), *_vehicles(found), _unserved(found), _offers(found)]
    return parts_of([*blocks, caution()])


def _first(found: Planned) -> Group:
    plan, total = found.plan, len(found.day.bookings)
    open_ = plan.bound > plan.served
    told = t("{fleet}, {day}: {served} of {total} served.", fleet=found.read.fleet.fleet, day=found.day.date,
             served=plan.served, total=count(total, "booking"))
    proof = (t("No plan serves more than {bound}; the gap is {gap}.", bound=plan.bound, gap=plan.bound - plan.served)
             if open_ else t("No plan serves more (proven)."))
    rest = t("Restraints taken out and put in: {changes}. Minutes empty: {empty}.", changes=plan.changes,
             empty=plan.empty_minutes)
    best = "" if plan.proven or open_ else " " + t("Fewer changes or minutes may be possible: that is not proven.")
    below = "" if not plan.below else " " + t("Below the floor, by offers that were accepted: {n}.", n=plan.below)
    return group(Heading(Weighed(told, "fits" if plan.served == total else "rejected")),
                 Paragraph(f"{proof} {rest}{best}{below}"))


def _night(found: Planned) -> Group | None:
    """Who is out when the day begins."""
    told: list[Text | Block] = [
        Paragraph(t("{vehicle}: home at {time}, with {pieces}", vehicle=one.vehicle, time=clock(one.home),
                    pieces=listed([f"{copy} {piece[1]}" for piece, copy in zip(one.load, one.copies, strict=True)])
                    or t("none")) if one.home < NEVER else
                  t("{vehicle}: nobody knows when it is home, so it is not used", vehicle=one.vehicle), hangs=True)
        for one in found.night]
    return group(Heading(t("Still out when the day begins")), Items(tuple(told), marked=True)) if told else None


def _vehicles(found: Planned) -> Iterator[Block]:
    bookings = {one.key: one for one in found.day.bookings}
    drivers = {one.vehicle: one.driver for one in found.read.fleet.vehicles}
    for unit in found.day.vehicles:
        legs = found.plan.routes.get(unit.key, ())
        if not legs:
            continue
        driver = drivers.get(unit.key)
        name = t("{vehicle} ({type}), {depot}", vehicle=unit.key, type=found.read.type_name(unit.vehicle_type),
                 depot=unit.depot) + (t(", driver {driver}", driver=driver) if driver else "")
        yield group(Heading(name), Table(
            (t("time"), t("line"), t("from and to"), t("who"), t("restraints aboard")),
            tuple(_leg(found, leg, bookings[leg.booking]) for leg in legs)), inner=False)
    idle = [unit.key for unit in found.day.vehicles if not found.plan.routes.get(unit.key)]
    if idle:
        yield Paragraph(t("Not needed: {vehicles}.", vehicles=listed(idle)), hangs=True)


def _leg(found: Planned, leg: Leg, booking: Booking) -> tuple[str, ...]:
    pieces = [f"{copy or found.read.kind_name(kind)} {position}"
              for (kind, position, _), copy in zip(leg.load, leg.copies, strict=True)]
    aboard = ", ".join(pieces) or t("none")
    if leg.changes:
        aboard += "; " + t("at the depot before: {n}", n=count(leg.changes, "change"))
    return (f"{clock(booking.start)}-{clock(booking.end)}", line_of(found, booking.key),
            f"{booking.origin} > {booking.goal}", short_party(booking.party), aboard)


def line_of(found: Planned, key: str) -> str:
    """The line of a booking in the file of bookings."""
    line = found.lines.get(key)
    return "" if line is None else str(line)


def _where(found: Planned, booking: Booking) -> str:
    return t("Line {line}, {time}, {origin} > {goal}, {who}", line=line_of(found, booking.key),
             time=clock(booking.start), origin=booking.origin, goal=booking.goal, who=party_said(booking.party))


def _unserved(found: Planned) -> Group | None:
    entries = tuple(Paragraph(Weighed(
        f"{_where(found, booking)}: {_why(found, booking, found.plan.unserved[booking.key])}", "rejected"), hangs=True)
        for booking in found.day.bookings if booking.key in found.plan.unserved)
    return group(Heading(t("Unserved")), Items(entries, marked=True)) if entries else None


def _why(found: Planned, booking: Booking, why: Unserved) -> str:
    type_, kit = found.read.type_name(why.vehicle_type), kit_said(why.copies, found.read)
    match why.why:
        case "reading" if why.reading is not None:
            return t("ask {reading}; that would settle it in {type}", reading=reading_said(why.reading, booking.party),
                     type=type_)
        case "reading":
            return t("it hangs on {readings}; that would settle it in {type}", type=type_,
                     readings=readings_said(why.readings, booking.party))
        case "try" if why.way is not None:
            return t("close in {type}: try it there, and note that it held: {seats}", type=type_,
                     seats=seats_said(why.way.seats, booking.party, found.read))
        case "no usable copies":
            return t("too few usable restraints; {kit} more at {depot} would serve it", kit=kit,
                     depot=why.depot) if why.copies else t("too few usable restraints of the kinds that it needs")
        case "no type" | "try":
            return _no_type(found, booking, why)
    return _not_that_day(why, type_, kit)


def _not_that_day(why: Unserved, type_: str, kit: str) -> str:
    """What carries it is not there in time."""
    sure = t(" (solved again: it would)") if why.verified else ""
    match why.why:
        case "nobody installs":
            return t("what stands in the vehicles does not carry it, and nobody is said to install at {depot}: neither "
                     "somebody there nor every driver", depot=why.depot)
        case "out of reach":
            return t("no vehicle that could carry it can be there in time and back")
        case "no copy free":
            return t("the restraints are under way, or may not be used then; {kit} more at {depot} would serve it",
                     kit=kit, depot=why.depot) + sure
        case "no vehicle free" if why.vehicle_type:
            more = t(" with {kit}", kit=kit) if why.copies else ""
            return t("all vehicles that could carry it are under way; one more {type}{more} at {depot} would serve it",
                     type=type_, more=more, depot=why.depot) + sure
    return t("nothing that could carry it is free in time")


def _no_type(found: Planned, booking: Booking, why: Unserved) -> str:
    """No type serves it: who cannot ride together."""
    if any((kind, booking.party) in found.failed for kind in {one.vehicle_type for one in found.day.vehicles}):
        return t("it could not be matched, by a bug in seatplan")
    if why.conflict is None:
        return t("no type of vehicle carries this party as it is")
    members, rules = why.conflict
    if not rules:
        return t("these cannot ride together in any type: {who}",
                 who=listed([member_said(booking.party.members[n]) for n in members]))
    return t("these cannot ride together in any type: {who}; the fewest rules against it: {rules}",
             who=listed([member_said(booking.party.members[n]) for n in members]), rules=", ".join(rules))


def _offers(found: Planned) -> Group | None:
    """Ways below the floor of those who are unserved: what a person may accept."""
    entries: list[Text | Block] = []
    for booking in found.day.bookings:
        if booking.key in found.plan.unserved:
            entries += [Paragraph(f"{_where(found, booking)}: {_offer(found, booking, n, offer)}", hangs=True)
                        for n, offer in enumerate(found.plan.offers.get(booking.key, ()), 1)]
    if not entries:
        return None
    return group(Heading(t("Offers below the floor, which serve nobody until a person accepts them")),
                 Items(tuple(entries), marked=True))


def _offer(found: Planned, booking: Booking, n: int, offer: Offer) -> str:
    given = [t("{who}: {offered} in place of {floor}", who=member_said(booking.party.members[one.member]),
               offered=GRADED[GRADES[one.offered]], floor=GRADED[GRADES[one.floor]]) for one in offer.gives_up]
    if offer.placed_worse:
        given.append(t("a child sits or faces worse"))
    return t("offer {n}, {type} with {kit}; given up: {given}", n=n, type=found.read.type_name(offer.vehicle_type),
             kit=kit_said(offer.way.kit, found.read), given="; ".join(given) or t("nothing by how they ride"))


def _again(found: Planned) -> Group | None:
    """What changed in a plan that was made again."""
    again = found.again
    if again is None:
        return None
    bookings = {one.key: one for one in again.day.bookings}
    told: list[Text | Block] = []
    for change in again.changes:
        if change.booking in bookings:
            before = t("nobody") if change.before is None else change.before[0]
            now = t("nobody") if change.now is None else change.now[0]
            told.append(Paragraph(t("{where}: {before}, now {now}", where=_where(found, bookings[change.booking]),
                                    before=before, now=now), hangs=True))
    told += [Paragraph(Weighed(t("{where}: under way, and touched by the news", where=_where(found, bookings[key])),
                               "grave"), hangs=True) for key in again.stranded if key in bookings]
    head = t("Made again: {touched} touched by the news, {changes}", touched=count(len(again.touched), "booking"),
             changes=count(len(again.changes), "change"))
    return group(Heading(head), Items(tuple(told), marked=True) if told else None)
