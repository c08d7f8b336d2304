"""One trip in several vehicles: the answer for each in one line, then what changes for whom and why."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from seatplan.files.other_car import LEFT_OUT
from seatplan.message import Message, joined, key_of, said
from seatplan.solver.changes import Change, moved
from seatplan.solver.compare import Comparison, InVehicle, Lost
from seatplan.solver.results import Arrangement, Plan
from seatplan.written import visible

from .along_text import along, close_along, room, where_short
from .caution import caution
from .changes_text import change_text
from .content import Block, Group, Heading, Paragraph, Table, Weighed, group, items, spans
from .content import together as join
from .doubted_text import doubted
from .manner import day
from .notes_text import cautions_said, count_to_measure
from .say import N, Words, look_up, t, tr
from .shortage_text import shortage
from .squeeze_text import sum_shown
from .terminal import parts_of
from .text import count, mm
from .under_way_text import under_way_in
from .words import BY, SHORT_MODES, answered, car_name, held_by, in_what, sentence

_VERDICTS = Words({"fits": "fits", "close": "close: try it in the car",
             "likely": "likely: measure what is only estimated", "unmeasured": "hangs on what was not measured",
             "rejected": "nothing fits", "undecided": "undecided: the search stopped at its limit"})
#: the heads of an arrangement
SEATS = ("rider", "seat", "in", N("held by"))
#: for the overview, where the line is short
OVERVIEW = ("", "vehicle", N("answer"), N("children moved"), N("fitting"), "close", N("likely"), N("not measured"))
_SHORT = Words({"fits": "fits", "close": "close", "likely": "likely", "unmeasured": "not all measured",
          "rejected": "nothing fits",
          "undecided": "undecided"})


def compare_text(found: Comparison, left_out: Sequence[Sequence[str]], asked: Sequence[str]) -> str:
    """The whole answer as text; see ``compare_content``."""
    return parts_of(compare_content(found, left_out, asked))


def compare_content(found: Comparison, left_out: Sequence[Sequence[str]],
                    asked: Sequence[str], hints: bool = True) -> list[Block | None]:
    """The whole answer.

    ``left_out`` says for each vehicle what of the trip does not apply there; ``asked`` is the trip in each vehicle as
    a person types it; ``hints``: whether to say what to type next.
    """
    last = found.vehicles[-1].trip.vehicle.vehicle
    hint = spans("hint: `seatplan arrange {asked}` shows every arrangement in {last}, or why there is none",
                 asked=asked[-1], last=last)
    if found.vehicles[-1].best is not None:
        hint = join(hint, spans("; `seatplan sheet {asked} -o sheet.html` writes its sheet", asked=asked[-1]))
    return [group(Heading(found.trip), Paragraph(head_said(found))), _overview(found),
            *(block for n, (vehicle, notices) in enumerate(zip(found.vehicles, left_out, strict=True), 1)
              for block in (*_vehicle(found, n, vehicle, notices, asked[n - 1]), under_way_in(vehicle.plan),
                            doubted(vehicle.plan.trip))),
            group(caution(), Paragraph(hint) if hints else None)]


def head_said(found: Comparison) -> str:
    """How many vehicles, riders and restraints, and what changes are counted from."""
    trip = found.vehicles[0].trip
    against = {"today": t("; changes are counted from how they ride today"),
               "first": t("; changes are counted from the best arrangement in {vehicle}",
                          vehicle=trip.vehicle.vehicle),
               "nothing": ""}[found.held_against]
    strict = t("; what was not measured counts as a no") if found.vehicles[0].plan.strict else ""
    strict += t("; what several lengths may be off is added up") if found.vehicles[0].plan.worst_case else ""
    return t("in {vehicles}, rules {name}, {day}: "
             "{riders}, {restraints}{strict}{against}", vehicles=count(len(found.vehicles), 'vehicle'),
             name=found.profile.name, day=day(found.day), riders=count(len(trip.riders), 'rider'),
             restraints=count(len(trip.restraints), 'restraint'), strict=strict, against=against)


def overview(found: Comparison) -> list[tuple[str, ...]]:
    """One line for each vehicle, under ``OVERVIEW``."""
    lines = []
    for n, vehicle in enumerate(found.vehicles, 1):
        tally = vehicle.plan.tally
        more = "" if tally.complete else t(" or more")
        lines.append((str(n), car_name(vehicle.trip.vehicle), _SHORT[answered(vehicle.plan)], _moved(vehicle, found),
                      *(f"{tally.sure[key]:,}{more}" for key in ("fits", "close", "likely", "unmeasured"))))
    return lines


def _overview(found: Comparison) -> Table:
    return Table(tuple(map(look_up, OVERVIEW)), tuple(overview(found)), t("The vehicles"))


def _verdict(plan: Plan) -> str:
    return _VERDICTS[answered(plan)]


def _moved(vehicle: InVehicle, found: Comparison) -> str:
    """How many children change their seat or restraint in the best arrangement, whose changes are told below."""
    itself = found.held_against == "first" and vehicle is found.vehicles[0]
    if not vehicle.best or itself or found.held_against == "nothing":
        return "-"
    children = [c for c in vehicle.changes if not c.placement.rider.adult and c.before]
    return t("{moved} of {n_children}", moved=moved(children), n_children=len(children))


def _vehicle(found: Comparison, n: int, vehicle: InVehicle, left_out: Sequence[str],
             asked: str) -> Iterator[Block]:
    """All about one vehicle: its best arrangement or why there is none, what does not go along, what keeps more."""
    best, plan = vehicle.best, vehicle.plan
    itself = found.held_against == "first" and n == 1
    head = t("change") if found.held_against != "nothing" and not itself else ""
    room_there = _tightest(best)
    told = f"{n}. {car_name(vehicle.trip.vehicle)}: {_verdict(plan)}" + (f"; {room_there}" if room_there else "")
    yield group(Heading(Weighed(told, answered(plan))), group(
        *(_arrangement(best, vehicle.changes, head, asked) if best is not None else _nothing(plan)), inner=True))
    if vehicle.lost:
        yield group(group(Paragraph(stays_behind(found)), items(
            [_lost(lost, vehicle) for lost in vehicle.lost], marked=True), inner=True))
    if vehicle.keeps is not None:
        yield group(group(Paragraph(keeps_said(vehicle.keeps), hangs=True),
                          *_arrangement(vehicle.keeps, vehicle.keeps_changes, t("change"), asked), inner=True))
    if left_out:
        yield group(group(items(together(left_out)), inner=True))


def stays_behind(found: Comparison) -> str:
    """The words before what does not go along."""
    since = t("From today") if found.held_against == "today" else t("From {vehicle}",
                                                                    vehicle=found.vehicles[0].trip.vehicle.vehicle)
    return t("{since}, this does not go along:", since=since)


def keeps_said(keeps: Arrangement) -> str:
    """The words before the arrangement that keeps more the same than the best."""
    left = _tightest(keeps)
    return t("More stays the same, though it ranks lower, with this: {verdict_of}{room}",
             verdict_of=_verdict_of(keeps), room=f"; {left}" if left else "")


def room_in(vehicle: InVehicle) -> str:
    """What is to spare in the best arrangement; a dash where there is none or it is not known."""
    return _tightest(vehicle.best) or "-"


def together(notices: Sequence[str]) -> list[str]:
    """What is left out for one reason in one line: ``left out: the wish for 2R, Wren at 2R; this car has no such
    position``. Anything else that is odd has a line of its own."""
    groups: dict[object, list[str]] = {}
    for notice in notices:
        why = notice.fields["why"] if isinstance(notice, Message) and notice.template == LEFT_OUT else notice
        groups.setdefault(key_of(why), []).append(notice)
    return [visible(_left_out(list(dict.fromkeys(same)))) for same in groups.values()]


def _left_out(same: Sequence[str]) -> str:
    first = same[0]
    if not isinstance(first, Message) or first.template != LEFT_OUT:
        return tr(first)
    what = [notice.fields["what"] for notice in same if isinstance(notice, Message)]
    return tr(said(LEFT_OUT, what=joined(", ", what), why=first.fields["why"]))


def _verdict_of(arrangement: Arrangement) -> str:
    return _VERDICTS[arrangement.verdict]


def _tightest(arrangement: Arrangement | None) -> str:
    """The tightest row and what its spare is held against."""
    if arrangement is None:
        return ""
    if close_along(arrangement.ahead):
        return t("tight along the car")
    rows = [(row.spare_mm, row) for row in arrangement.rows if row.spare_mm is not None]
    if not rows:
        return ""
    left, row = min(rows, key=lambda shown: shown[0])
    unsure = t(", as far as measured") if any(r.unsure for r in arrangement.rows) else ""
    return room(left, row.tolerance_mm, row.tight, t(" in row {row}{unsure}", row=row.row.row, unsure=unsure))


def _arrangement(arrangement: Arrangement, changes: Sequence[Change], head: str,
                 asked: str) -> Iterator[Block | None]:
    yield Table(tuple(map(look_up, SEATS)) + ((head,) if head else ()),
                tuple(row if head else row[:-1] for row in map(seat_row, changes)),
                t("Arrangement {rank}", rank=arrangement.rank))
    yield items(cautions_said(arrangement))
    yield from along(arrangement)
    n = count_to_measure(arrangement)
    if n:
        yield Paragraph(spans("to measure: {things}; `seatplan measure {asked}` lists them as a form",
                              things=count(n, "thing"), asked=asked), hangs=True)


def seat_row(change: Change) -> tuple[str, ...]:
    """Under ``SEATS``, and what changes."""
    placement = change.placement
    return placement.rider.rider, change.after.position, in_what(placement), held_by(placement), change_text(change)


def _nothing(plan: Plan) -> Iterator[Block]:
    """What is in the way of everybody riding in this vehicle."""
    if plan.shortage is not None:
        yield shortage(plan, plan.shortage)
    elif plan.squeezes:
        nearest = plan.squeezes[0]
        yield Paragraph(t("the nearest miss lacks {short} {where_short}:", short=mm(nearest.squeeze.short, "up"),
                          where_short=where_short(nearest.row)))
        yield group(sum_shown(nearest), inner=True)


def _lost(lost: Lost, vehicle: InVehicle) -> Group:
    return group(Paragraph(lost_said(lost, vehicle)), None if lost.squeeze is None else sum_shown(lost.squeeze))


def lost_said(lost: Lost, vehicle: InVehicle) -> str:
    """Who, where and in what; then every reason with its numbers; a sum stands below it."""
    was, car = lost.was, vehicle.trip.vehicle.vehicle
    held = was.restraint or t("the seat belt")
    mode = f" {SHORT_MODES[was.placement.mode_name]}" if was.placement is not None and was.restraint else ""
    by = t(" by {BY}", BY=BY[was.placement.by]) if lost.reason == "way" and was.placement is not None else ""
    start = t("{rider} at {position} in {held}{mode}{by}", rider=lost.rider, position=was.position, held=held,
              mode=mode, by=by)
    told = {
        "seat": t("{car} has no seat {position}", car=car, position=was.position),
        "others": t("the others cannot all ride then"),
        "room": t("not enough room with the others in the car; the nearest miss:"),
        "unknown": t("no arrangement found before the search stopped"),
    }.get(lost.reason) or "; ".join(f"{sentence(f)} ({f.rule})" for f in lost.findings) or t("not all measured")
    return f"{start}: {told}"
