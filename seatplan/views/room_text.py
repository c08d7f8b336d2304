"""How large a restraint may be: by seat and way of holding, widths by height as a table that is a drawing too."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from seatplan.solver.room.generic import Way
from seatplan.solver.room.tables import LONGEST, WIDEST, AtRecline, Most, Room, RoomFor

from .caution import CAUTION
from .text import listed, mm, table, wrapped
from .words import MODES, sentence

_SCALE_MM = 20
_LEVELS = ("fits", "close, to be tried in the car", "allowed as far as measured")


def room_text(room: Room) -> str:
    """Seat by seat; what rules a seat out whatever the size is said in one line."""
    head = "\n".join([
        f"Room for a restraint of {room.rider}: {room.trip.trip}",
        wrapped(f"in {room.trip.vehicle.vehicle}{' (invented)' if room.trip.vehicle.invented else ''}, rules "
                f"{room.profile.name}, {room.day.isoformat()}, with everybody else in the car"),
        "",
        wrapped("Every length is that of a restraint as measured installed on a level bench. Each is the most by "
                "itself: a restraint that is at the limit of one may be over that of another, so plan with the one "
                "you mean before you get it."),
    ])
    blocks = [_seat(position, [one for one in room.rooms if one.position == position])
              for position in dict.fromkeys(one.position for one in room.rooms)]
    if not room.rooms:
        blocks = ["No bundled restraint of any mode would carry this rider: by mass, height and age."]
    tail = wrapped(f"caution: {CAUTION}")
    return "\n\n".join([head, *blocks, tail]) + "\n"


def in_a_line(one: RoomFor) -> str:
    """The width at one seat: ``as a high-back booster held by the vehicle belt, at 2R: up to 455 mm wide``."""
    return f"as a {_what(one)}, at {one.position}: {_most(one.width, 'wide', WIDEST)}"


def _seat(position: str, rooms: Sequence[RoomFor]) -> str:
    lines: list[str] = []
    shut: dict[str, list[RoomFor]] = {}
    for one in rooms:
        if one.width is None or one.width.close is None:
            shut.setdefault(_shut(one), []).append(one)
        else:
            lines.extend(_open(one))
    for told, same in shut.items():
        who = "" if len(same) == len(rooms) else f" for a {listed([_what(one) for one in same], 'or')}"
        lines.append(wrapped(f"no room{who}: {told}", "   ", "      "))
    return "\n".join([position, *lines])


def _shut(one: RoomFor) -> str:
    if one.against:
        return "; ".join(f"{sentence(finding)} ({finding.rule})" for finding in one.against[:1])
    if not one.alone:
        return "then the others cannot all ride"
    return "not even the smallest restraint fits beside the others"


def _what(one: RoomFor) -> str:
    return f"{MODES[one.ways[0].mode]} held by {_by(one.ways)}"


def _by(ways: Sequence[Way]) -> str:
    """``flexible lower anchors or the vehicle belt``."""
    told = []
    connectors = [way.connectors for way in ways if way.by == "lower-anchors"]
    if connectors:
        told.append("lower anchors" if len(connectors) > 1 else f"{connectors[0]} lower anchors")
    if any("belt" in way.by for way in ways):
        told.append("the vehicle belt")
    return listed(told, "or")


def _open(one: RoomFor) -> Iterator[str]:
    yield wrapped(f"{_what(one)}: {_most(one.width, 'wide', WIDEST)}", "   ", "      ")
    told = one.full or one.width
    if one.full:
        yield wrapped("with somebody on every other seat of the row: " + (
            _most(one.full, "wide", WIDEST) if one.full.close else "no room"), "      ", "         ")
    wide = told and (told.fits or told.close)
    if one.heights and wide:
        yield f"      height above cushion   widest there, if no wider than {mm(wide)} elsewhere"
        for band in reversed(one.heights):
            most = band.width.fits or band.width.close or 0
            bar = "#" * (most // _SCALE_MM)
            yield f"      {band.up[0]:>4}-{band.up[1]:<4} {bar:^46} {_least(most, WIDEST)}".rstrip()
    if one.reclines:
        yield from _lengths(one.reclines)
    for level, word in enumerate(_LEVELS):
        names = [word_ for word_, of in one.fitting if of == level]
        if names:
            yield wrapped(f"bundled, {word}: {', '.join(names)}", "      ", "         ")


def _lengths(reclines: Sequence[AtRecline]) -> Iterator[str]:
    """The longest shell at each recline, where it is limited at all."""
    lengths = {at.length.fits or at.length.close for at in reclines}
    if lengths == {LONGEST}:
        yield wrapped(f"a shell of {mm(LONGEST)} along its back, or more, has room ahead at every recline from "
                      f"{reclines[0].recline} to {reclines[-1].recline} degrees", "      ", "         ")
        return
    rows = []
    for at in reclines:
        most = at.length.fits or at.length.close
        if most is None or at.reach is None or at.top is None:
            rows.append([f"{at.recline} degrees", "no room ahead", ""])
        else:
            close = "" if at.length.fits else ", close"
            rows.append([f"{at.recline} degrees", f"{_least(most, LONGEST)}{close}",
                         f"{mm(at.reach)} forward of the crease, {mm(at.top)} up"])
    yield table(["leaning from upright", "longest shell, along its back", "its top is then"], rows, "      ")


def _most(most: Most | None, what: str, end: int) -> str:
    if most is None or most.close is None:
        return "no room"
    if most.open:
        return f"up to {_least(most.close, end)} {what}, as far as measured"
    if most.fits is None:
        return f"nothing fits for sure; up to {_least(most.close, end)} {what} it is close, to be tried in the car"
    if most.fits == most.close:
        return f"up to {_least(most.fits, end)} {what}"
    return (f"up to {_least(most.fits, end)} {what} it fits, up to {_least(most.close, end)} it is close, to be tried "
            "in the car")


def _least(value: int, end: int) -> str:
    return f"{mm(value)} or more" if value >= end else mm(value)
