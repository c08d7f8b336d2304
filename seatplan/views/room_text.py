"""How large a restraint may be: by seat and way of holding, widths by height as a table that is a drawing too."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from math import ceil

from seatplan.solver.room.generic import Way
from seatplan.solver.room.tables import LONGEST, WIDEST, AtRecline, Most, Room, RoomFor

from .caution import CAUTION
from .doubted_text import doubted_part
from .manner import customary, day, page
from .say import N, t
from .text import bare, fitted, heading, listed, mm, table, wrapped
from .words import MODES, car_name, sentence

#: what a mark of a bar stands for at least, and the columns that heights and widths take beside the bars
_SCALE_MM, _BESIDE_BARS = 20, 44
_LEVELS = (N("fits"), N("close, to be tried in the car"), N("likely, with what is only estimated"),
           N("allowed as far as measured"))


def room_text(room: Room) -> str:
    """Seat by seat; what rules a seat out whatever the size is said in one line."""
    head = "\n".join([
        wrapped(heading(lambda rider, trip: t("Room for a restraint of {rider}: {trip}", rider=rider, trip=trip),
                        room.rider, room.trip.trip)),
        wrapped(t("in {vehicle}, rules "
                  "{name}, {day}, with everybody else in the car", vehicle=car_name(room.trip.vehicle),
                  name=room.profile.name,
                  day=day(room.day))),
        "",
        wrapped(t("Every length is that of a restraint as measured installed on a level bench. Each is the most by "
                  "itself: a restraint that is at the limit of one may be over that of another. In all but its size "
                  "it is taken to suit child and car: light, with a lock-off, its belt path and tether long enough. So "
                  "plan with the one you mean before you get it.")),
    ])
    if not room.complete:
        head += "\n\n" + wrapped(t("The search stopped at its limit: only some of the ways for the others to sit were "
                                   "looked at. There may be more room than is told here, also where none is."))
    blocks = [_seat(position, [one for one in room.rooms if one.position == position], room.complete)
              for position in dict.fromkeys(one.position for one in room.rooms)]
    if not room.rooms:
        blocks = [t("No bundled restraint of any mode would carry this rider: by mass, height and age.")]
    tail = wrapped(t("caution: {CAUTION}", CAUTION=CAUTION))
    return "\n\n".join([head, *filter(None, [doubted_part(room.trip)]), *blocks, tail]) + "\n"


def in_a_line(one: RoomFor) -> str:
    """The width at one seat: ``as a high-back booster held by the vehicle belt, at 2R: up to 455 mm wide``."""
    return f"as a {_what(one)}, at {one.position}: {_most(one.width, 'wide', WIDEST)}"


def _seat(position: str, rooms: Sequence[RoomFor], complete: bool) -> str:
    lines: list[str] = []
    shut: dict[str, list[RoomFor]] = {}
    for one in rooms:
        if one.width is None or one.width.likely is None:
            shut.setdefault(_shut(one, complete), []).append(one)
        else:
            lines.extend(_open(one))
    for told, same in shut.items():
        who = "" if len(same) == len(rooms) else t(" for a {what}", what=listed([_what(one) for one in same], 'or'))
        lines.append(wrapped(t("no room{who}: {told}", who=who, told=told) if complete else
                             t("no room found{who}: {told}", who=who, told=told), "   ", "      "))
    return "\n".join([position, *lines])


def _shut(one: RoomFor, complete: bool) -> str:
    if one.against:
        return "; ".join(f"{sentence(finding)} ({finding.rule})" for finding in one.against[:1])
    if not complete:
        return t("in none of the ways that were looked at")
    if not one.alone:
        return t("then the others cannot all ride")
    return t("not even the smallest restraint fits beside the others")


def _what(one: RoomFor) -> str:
    return t("{MODES} held by {by}", MODES=MODES[one.ways[0].mode], by=_by(one.ways))


def _by(ways: Sequence[Way]) -> str:
    """``flexible lower anchors or the vehicle belt``."""
    told = []
    connectors = [way.connectors for way in ways if way.by == "lower-anchors"]
    if connectors:
        told.append({"flexible": t("flexible lower anchors"), "rigid": t("rigid lower anchors")}.get(
            (connectors[0] if len(connectors) == 1 else None) or "", t("lower anchors")))
    if any("belt" in way.by for way in ways):
        told.append(t("the vehicle belt"))
    return listed(told, "or")


def _open(one: RoomFor) -> Iterator[str]:
    yield wrapped(f"{_what(one)}: {_most(one.width, t('wide'), WIDEST)}", "   ", "      ")
    told = one.full or one.width
    if one.full:
        yield wrapped(t("with somebody on every other seat of the row: ") + (
            _most(one.full, t("wide"), WIDEST) if one.full.likely else t("no room")), "      ", "         ")
    wide = told and told.sure
    if one.heights and wide:
        yield fitted(t("      height above cushion   widest there, if no wider than {wide} elsewhere",
                       wide=mm(wide, "down")))
        broad = min(46, page() - _BESIDE_BARS)
        scale = max(_SCALE_MM, ceil(WIDEST / broad))
        for band in reversed(one.heights):
            most = band.width.sure or 0
            bar = "#" * (most // scale)
            yield f"      {_band(band.up)} {bar:^{broad}} {_least(most, WIDEST)}".rstrip()
    if one.reclines:
        yield from _lengths(one.reclines)
    for finding in one.missing:
        yield wrapped(t("to measure first: {what} ({rule})", what=sentence(finding), rule=finding.rule), "      ",
                      "         ")
    for level, word in enumerate(_LEVELS):
        names = [word_ for word_, of in one.fitting if of == level]
        if names:
            yield wrapped(t("bundled (invented), {word}: {names}", word=t(word), names=', '.join(names)),
                          "      ", "         ")


def _band(up: tuple[int, int]) -> str:
    """Where a band of heights begins and ends, in columns."""
    if customary():
        return f"{bare(up[0])} - {bare(up[1])} in".ljust(18)
    return f"{up[0]:>4}-{up[1]:<4}"


def _lengths(reclines: Sequence[AtRecline]) -> Iterator[str]:
    """The longest shell at each recline, where it is limited at all."""
    lengths = {at.length.sure for at in reclines}
    if lengths == {LONGEST}:
        yield wrapped(t("a shell of {LONGEST} along its back, or more, has room ahead at every recline from "
                        "{recline} to {recline_2} degrees", LONGEST=mm(LONGEST), recline=reclines[0].recline,
                        recline_2=reclines[-1].recline), "      ", "         ")
        return
    rows = []
    for at in reclines:
        most = at.length.sure
        if most is None or at.reach is None or at.top is None:
            rows.append([t("{recline} degrees", recline=at.recline), t("no room ahead"), ""])
        else:
            close = "" if at.length.fits else t(", close") if at.length.close else t(", likely")
            rows.append([t("{recline} degrees", recline=at.recline), f"{_least(most, LONGEST)}{close}",
                         t("{reach} forward of the crease, {top} up", reach=mm(at.reach, "down"), top=mm(at.top))])
    yield table([t("leaning from upright"), t("longest shell, along its back"), t("its top is then")], rows, "      ")


def _most(most: Most | None, what: str, end: int) -> str:
    if most is None or most.likely is None:
        return t("no room")
    if most.open:
        return t("up to {least} {what}, as far as measured", least=_least(most.likely, end), what=what)
    if most.likely != most.close:
        return _with_likely(most, most.likely, what, end)
    if most.fits is None:
        return t("nothing fits for sure; up to {least} {what} it is close, to be tried in the car",
                 least=_least(most.close, end), what=what)
    if most.fits == most.close:
        return t("up to {least} {what}", least=_least(most.fits, end), what=what)
    return (t("up to {least} {what} it fits, up to {least_2} it is close, to be tried "
              "in the car", least=_least(most.fits, end), what=what, least_2=_least(most.close, end)))


def _with_likely(most: Most, likely: int, what: str, end: int) -> str:
    """Where the largest measures hang on what is only estimated."""
    last = t("up to {least} {what} it is likely, with what is only estimated", least=_least(likely, end), what=what)
    if most.close is None:
        return t("nothing fits for sure; {last}", last=last)
    close = t("up to {least} {what} it is close, to be tried in the car", least=_least(most.close, end), what=what)
    if most.fits is None:
        return t("nothing fits for sure; {close}, {last}", close=close, last=last)
    fits = t("up to {least} {what} it fits", least=_least(most.fits, end), what=what)
    return ", ".join([fits, *([close] if most.close != most.fits else []), last])


def _least(value: int, end: int) -> str:
    return t("{value} or more", value=mm(value, "down")) if value >= end else mm(value, "down")
