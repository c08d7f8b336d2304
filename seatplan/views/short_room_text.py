"""Room for a restraint in short: one table, seat by seat, and where the others then sit."""

from __future__ import annotations

from collections.abc import Iterator

from seatplan.solver.room.tables import LONGEST, WIDEST, Most, Room, RoomFor, Then

from .caution import caution
from .content import Block, Group, Heading, Paragraph, Table, Text, Typed, group, items, spans
from .doubted_text import doubted
from .notes_text import things_among
from .room_text import held_in, room_head, shut, stopped
from .say import length_unit, t
from .terminal import parts_of
from .text import bare, count, listed
from .words import SHORT_MODES, in_short

_NONE = "-"
#: so many things to find out are told, the rest is counted
_READINGS = 3


def short_room_text(room: Room, full: Typed) -> str:
    """The short answer as text; see ``short_room_content``."""
    return parts_of(short_room_content(room, full))


def short_room_content(room: Room, full: Typed | None) -> list[Block | None]:
    """``full``: the command that prints all of it; None where nothing is typed."""
    there = [one for one in room.rooms if _wide(one)]
    return [
        room_head(room),
        None if room.complete else Paragraph(stopped()), doubted(room.trip),
        _table(room, there) if there else Paragraph(t("There is no room at any seat.") if room.rooms else t(
            "No bundled restraint of any mode would carry this rider: by mass, height and age.")),
        _to_find_out(there), _then(room), _without(room),
        group(Paragraph(t("Each length is the most by itself, of a restraint as measured installed on a level bench: "
                          "plan with the one you mean before you get it.")),
              None if full is None else items([spans(
                  "`{command}`: widths by height, lengths by recline, which bundled ones fit", command=full)],
                  marked=True)),
        caution()]


def _table(room: Room, there: list[RoomFor]) -> Group:
    """A row for each seat and way to hold it; ways to ride that have the same room share theirs."""
    rows: list[tuple[str, ...]] = []
    for position in dict.fromkeys(one.position for one in there):
        seat = position                                    # told once
        by_mode: dict[str, list[tuple[str, ...]]] = {}
        for one in there:
            if one.position == position:
                by_mode.setdefault(one.ways[0].mode, []).append((held_in(one.ways), *_widths(one), _long(one)))
        alike: dict[tuple[tuple[str, ...], ...], list[str]] = {}
        for mode, ways in by_mode.items():
            alike.setdefault(tuple(ways), []).append(SHORT_MODES[mode])
        for told, modes in alike.items():
            for i, cells in enumerate(told):
                rows.append((seat, ", ".join(modes) if i == 0 else "", *cells))
                seat = ""
    head: tuple[str, ...] = (t("seat"), t("as"), t("held by"), t("fits"), t("at most"), t("row full"), t("long"))
    shells = any(row[-1] for row in rows)
    if not shells:
        head, rows = head[:-1], [row[:-1] for row in rows]
    legend = [t("fits: as wide as surely fits; at most: as wide as is close or likely; row full: with somebody on "
                "every other seat of the row; +: or more"),
              *([t("long: the longest shell, along its back")] if shells else []),
              *([t("*: as far as measured")] if any(one.width and one.width.open for one in there) else [])]
    return group(Heading(t("How wide and how long it may be, in {unit}", unit=length_unit())),
                 group(Table(head, tuple(rows), t("Room for {rider}", rider=room.rider)), items(legend), inner=True))


def _wide(one: RoomFor) -> bool:
    return one.width is not None and one.width.likely is not None


def _widths(one: RoomFor) -> Iterator[str]:
    """Where it surely fits, where it may at most, and what surely is with a full row."""
    width = one.width or Most(None, None, None)
    mark = "*" if width.open else ""
    yield _upto(width.fits, WIDEST)
    yield _upto(width.likely, WIDEST) + mark
    yield _upto((one.full or width).sure, WIDEST) + mark


def _upto(value: int | None, end: int) -> str:
    """A largest measure without its unit; one at the ``end`` of what was tried may be more."""
    return _NONE if value is None else bare(value, "down") + ("+" if value >= end else "")


def _long(one: RoomFor) -> str:
    """The longest shell at the recline that leaves least room; where there is none, that there is none."""
    if not one.reclines:
        return ""
    least = min(one.reclines, key=lambda at: at.length.sure or 0)
    told = _upto(least.length.sure, LONGEST)
    if {at.length.sure for at in one.reclines} == {least.length.sure}:
        return told
    return t("{told} at {recline} degrees", told=told, recline=least.recline)


def _to_find_out(there: list[RoomFor]) -> Group | None:
    """What nobody found out yet, some of it; the rest is counted."""
    told = things_among([finding for one in there for finding in one.missing])
    left = len(told) - _READINGS
    more = [t("and {things} more", things=count(left, "thing"))] if left > 0 else []
    return group(Heading(t("To find out first")), items(told[:_READINGS] + more, marked=True)) if told else None


def _then(room: Room) -> Group | None:
    told: list[Text | Block] = [_others(room, then) for then in room.then]
    if not told:
        return None
    return group(Heading(t("Where the others then sit, with one as wide as that")), group(items(told), inner=True))


def _others(room: Room, then: Then) -> str:
    who = [f"{p.rider.rider} {p.position.position}" + ("" if p.rider.adult and not p.restraint else f" {in_short(p)}")
           for p in (seat.placement for seat in then.arrangement.seats) if p.rider.rider != room.rider]
    return t("{position}: {others}", position=then.position, others=", ".join(who) or t("nobody else rides"))


def _without(room: Room) -> Block | None:
    """Seats with no room at all, each with why."""
    why: dict[str, list[str]] = {}
    for seat in dict.fromkeys(one.position for one in room.rooms):
        here = [one for one in room.rooms if one.position == seat]
        if not any(map(_wide, here)):
            reasons = dict.fromkeys(shut(one, room.complete) for one in here)
            why.setdefault("; ".join(reasons), []).append(seat)
    return items([t("no room at {seats}: {why}", seats=listed(each), why=told) for told, each in why.items()])
