"""Parties, kits and seats of a fleet in words; nobody in them has a name."""

from __future__ import annotations

from collections.abc import Sequence

from seatplan.app.fleet.files import FleetRead
from seatplan.fields import FIELDS
from seatplan.fleet.records import Kit, Member, Party, Seat
from seatplan.views.ages import age
from seatplan.views.say import Words, look_up, t
from seatplan.views.text import count, listed, mm, quantity
from seatplan.views.words import BY, MODES

#: how a child rides, as ``seatplan.fleet.records.GRADES`` has it
GRADED = Words({
    "rear-facing harness": "rear-facing harness",
    "forward-facing harness": "forward-facing harness",
    "forward-facing harness without a tether below five": "forward-facing harness without a tether below five",
    "vest or shield": "vest or shield",
    "high-back booster": "high-back booster",
    "backless booster": "backless booster",
    "vehicle belt": "vehicle belt",
    "bed for a child who need not lie": "bed for a child who need not lie",
})


def clock(minute: int) -> str:
    """A minute of the day on its clock; of the next day with a plus."""
    return f"{minute // 60 % 24:02}:{minute % 60:02}" + ("+" if minute >= 24 * 60 else "")


def party_said(party: Party) -> str:
    """Who travels, the youngest first: ``6 months; 9 years, 30.4 kg, 137 cm; adult 1710 mm``."""
    return "; ".join(member_said(member) for member in party.members)


def member_said(member: Member) -> str:
    """One of them by age and sizes."""
    told = [t("adult") if member.adult else _age(member)]
    if member.mass_g is not None:
        told.append(quantity(member.mass_g / 1000, "kg"))
    if member.height_mm is not None:
        told.append(mm(member.height_mm))
    return ", ".join(told)


def _age(member: Member) -> str:
    if member.months is None:
        return t("child of unknown age")
    low, high = member.months
    return age(low) if low == high else t("{low} to {high}", low=age(low), high=age(high))


def short_party(party: Party) -> str:
    """The same in few words: ages of children, and how many adults."""
    told = [_age(member) for member in party.members if not member.adult]
    adults = sum(member.adult for member in party.members)
    return ", ".join([*told, *([count(adults, "adult")] if adults else [])])


def kit_said(kit: Kit, read: FleetRead) -> str:
    """``2 combo, 1 booster``, by the names of the fleet's kinds."""
    return ", ".join(f"{n} {read.kind_name(kind)}" for kind, n in kit) or t("none of the store")


def seats_said(seats: Sequence[Seat], party: Party, read: FleetRead) -> str:
    """Where each child rides, in what, and how that is held."""
    return listed([_seat(seat, party, read) for seat in seats
                   if seat.member < len(party.members) and not party.members[seat.member].adult])


def _seat(seat: Seat, party: Party, read: FleetRead) -> str:
    who = _age(party.members[seat.member])
    if seat.kind is None and seat.own < 0:
        return t("{who} at {seat} on the {mode}", who=who, seat=seat.position, mode=MODES[seat.mode])
    what = t("their own") if seat.kind is None else read.kind_name(seat.kind)
    return t("{who} at {seat} in {what} ({mode}, {by})", who=who, seat=seat.position, what=what, mode=MODES[seat.mode],
             by=t("held by nothing") if seat.by is None else BY[seat.by])


def reading_said(reading: tuple[str, int, str], party: Party) -> str:
    """A reading that would settle it: what to ask, and of whom. Of a vehicle or a restraint no value that would do is
    told: it is to be measured, and nobody should write down what an answer wishes for."""
    key, member, value = reading
    what = look_up(FIELDS[key].short or FIELDS[key].label) if key in FIELDS else key
    whose = t("of {who}", who=_age_or_adult(party, member)) if member >= 0 else (
        t("of the vehicle") if key.startswith(("row.", "position.", "trip.")) else t("of a restraint"))
    told = mm(int(value)) if value.isdecimal() else value
    return t("{what} {whose} (such as {value})", what=what, whose=whose,
             value=told) if value and member >= 0 else f"{what} {whose}"


def readings_said(readings: Sequence[tuple[str, int, str]], party: Party) -> str:
    """Several readings, each once: a fleet asks for a kind of thing, whatever the seat."""
    return listed(list(dict.fromkeys(reading_said(one, party) for one in readings)))


def _age_or_adult(party: Party, member: int) -> str:
    one = party.members[member]
    return t("the adult") if one.adult else _age(one)
