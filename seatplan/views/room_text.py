"""How large a restraint may be: by seat and way of holding, widths by height as a table that is a drawing too."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from seatplan.solver.room.generic import Way
from seatplan.solver.room.tables import LONGEST, WIDEST, AtRecline, Most, Room, RoomFor

from .caution import caution
from .content import Bars, Block, Group, Heading, Paragraph, Table, group, items
from .doubted_text import doubted
from .manner import customary, day
from .say import N, t
from .terminal import parts_of
from .text import bare, heading, listed, mm
from .words import MODES, car_name, sentence

_LEVELS = (N("fits"), N("close, to be tried in the car"), N("likely, with what is only estimated"),
           N("allowed as far as measured"))


def room_text(room: Room) -> str:
    """The answer as text; see ``room_content``."""
    return parts_of(room_content(room))


def room_content(room: Room) -> list[Block | None]:
    """Seat by seat; what rules a seat out whatever the size is said in one line."""
    seats: list[Block] = [
        _seat(position, [one for one in room.rooms if one.position == position], room.complete)
        for position in dict.fromkeys(one.position for one in room.rooms)]
    return [
        room_head(room),
        Paragraph(t("Every length is that of a restraint as measured installed on a level bench. Each is the most by "
                    "itself: a restraint that is at the limit of one may be over that of another. In all but its size "
                    "it is taken to suit child and car: light, with a lock-off, its belt path and tether long enough. "
                    "So plan with the one you mean before you get it.")),
        None if room.complete else Paragraph(stopped()),
        doubted(room.trip),
        *(seats or [Paragraph(t("No bundled restraint of any mode would carry this rider: by mass, height and age."))]),
        caution()]


def room_head(room: Room) -> Group:
    """Whose restraint, in which car."""
    told = heading(lambda rider, trip: t("Room for a restraint of {rider}: {trip}", rider=rider, trip=trip),
                   room.rider, room.trip.trip)
    return group(Heading(told),
                 Paragraph(t("in {vehicle}, rules {name}, {day}, with everybody else in the car",
                             vehicle=car_name(room.trip.vehicle), name=room.profile.name, day=day(room.day))))


def stopped() -> str:
    """That the search did not come to its end."""
    return t("The search stopped at its limit: only some of the ways for the others to sit were looked at. There may "
             "be more room than is told here, also where none is.")


def in_a_line(one: RoomFor) -> str:
    """The width at one seat: ``as a high-back booster held by the vehicle belt, at 2R: up to 455 mm wide``."""
    return f"as a {_what(one)}, at {one.position}: {_most(one.width, 'wide', WIDEST)}"


def _seat(position: str, rooms: Sequence[RoomFor], complete: bool) -> Group:
    open_ones: list[Block] = []
    without: dict[str, list[RoomFor]] = {}
    for one in rooms:
        if one.width is None or one.width.likely is None:
            without.setdefault(shut(one, complete), []).append(one)
        else:
            open_ones += [Paragraph(f"{_what(one)}: {_most(one.width, t('wide'), WIDEST)}", hangs=True),
                          group(*_open(one), inner=True)]
    told = []
    for why, same in without.items():
        who = "" if len(same) == len(rooms) else t(" for a {what}", what=listed([_what(one) for one in same], "or"))
        told.append(t("no room{who}: {told}", who=who, told=why) if complete else
                    t("no room found{who}: {told}", who=who, told=why))
    return group(Heading(position), group(*open_ones, items(told), inner=True))


def shut(one: RoomFor, complete: bool) -> str:
    """Why there is no room."""
    if one.against:
        return "; ".join(f"{sentence(finding)} ({finding.rule})" for finding in one.against[:1])
    if not complete:
        return t("in none of the ways that were looked at")
    if not one.alone:
        return t("then the others cannot all ride")
    return t("not even the smallest restraint fits beside the others")


def _what(one: RoomFor) -> str:
    return t("{MODES} held by {by}", MODES=MODES[one.ways[0].mode], by=held_in(one.ways))


def held_in(ways: Sequence[Way]) -> str:
    """``flexible lower anchors or the vehicle belt``."""
    told = []
    connectors = [way.connectors for way in ways if way.by == "lower-anchors"]
    if connectors:
        told.append({"flexible": t("flexible lower anchors"), "rigid": t("rigid lower anchors")}.get(
            (connectors[0] if len(connectors) == 1 else None) or "", t("lower anchors")))
    if any("belt" in way.by for way in ways):
        told.append(t("the vehicle belt"))
    return listed(told, "or")


def _open(one: RoomFor) -> Iterator[Block | None]:
    """What there is room for beside the greatest width, and which bundled restraints would do."""
    told = one.full or one.width
    if one.full:
        yield Paragraph(t("with somebody on every other seat of the row: ") + (
            _most(one.full, t("wide"), WIDEST) if one.full.likely else t("no room")), hangs=True)
    wide = told and told.sure
    if one.heights and wide:
        yield Bars(t("height above cushion   widest there, if no wider than {wide} elsewhere", wide=mm(wide, "down")),
                   tuple((_band(band.up), band.width.sure or 0, _least(band.width.sure or 0, WIDEST))
                         for band in reversed(one.heights)), WIDEST)
    if one.reclines:
        yield _lengths(one.reclines)
    yield items([*(t("to measure first: {what} ({rule})", what=sentence(finding), rule=finding.rule)
                   for finding in one.missing),
                 *(t("bundled (invented), {word}: {names}", word=t(word), names=", ".join(names))
                   for level, word in enumerate(_LEVELS)
                   if (names := [name for name, of in one.fitting if of == level]))])


def _band(up: tuple[int, int]) -> str:
    """Where a band of heights begins and ends, in columns."""
    if customary():
        return f"{bare(up[0])} - {bare(up[1])} in".ljust(18)
    return f"{up[0]:>4}-{up[1]:<4}"


def _lengths(reclines: Sequence[AtRecline]) -> Block:
    """The longest shell at each recline, where it is limited at all."""
    lengths = {at.length.sure for at in reclines}
    if lengths == {LONGEST}:
        return Paragraph(t("a shell of {LONGEST} along its back, or more, has room ahead at every recline from "
                           "{recline} to {recline_2} degrees", LONGEST=mm(LONGEST), recline=reclines[0].recline,
                           recline_2=reclines[-1].recline), hangs=True)
    rows = []
    for at in reclines:
        most = at.length.sure
        if most is None or at.reach is None or at.top is None:
            rows.append((t("{recline} degrees", recline=at.recline), t("no room ahead"), ""))
        else:
            close = "" if at.length.fits else t(", close") if at.length.close else t(", likely")
            rows.append((t("{recline} degrees", recline=at.recline), f"{_least(most, LONGEST)}{close}",
                         t("{reach} forward of the crease, {top} up", reach=mm(at.reach, "down"), top=mm(at.top))))
    return Table((t("leaning from upright"), t("longest shell, along its back"), t("its top is then")), tuple(rows),
                 t("The longest shell at each recline"))


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
    """A largest measure; one at the ``end`` of what was tried may be more."""
    return t("{value} or more", value=mm(value, "down")) if value >= end else mm(value, "down")
