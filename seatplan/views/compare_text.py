"""One trip in several vehicles: the answer for each in one line, then what changes for whom and why."""

from __future__ import annotations

from collections.abc import Sequence

from seatplan.solver.changes import Change, moved
from seatplan.solver.compare import Comparison, InVehicle, Lost
from seatplan.solver.results import Arrangement, Plan

from .along_text import along, close_along, room, where_short
from .caution import CAUTION
from .changes_text import change_text
from .doubted_text import doubted_part
from .manner import day
from .notes_text import cautions, count_to_measure
from .say import N, Words, t
from .shortage_text import shortage
from .squeeze_text import squeeze_text
from .text import count, mm, table, wrapped
from .words import BY, SHORT_MODES, car_name, held_by, in_what, sentence

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
    """The whole answer.

    ``left_out`` says for each vehicle what of the trip does not apply there; ``asked`` is the trip in
    each vehicle as a person types it.
    """
    parts = [wrapped(found.trip) + "\n" + wrapped(head_said(found)), _overview(found)]
    for n, (vehicle, notices) in enumerate(zip(found.vehicles, left_out, strict=True), 1):
        parts.append(_vehicle(found, n, vehicle, notices, asked[n - 1]))
        parts += filter(None, [doubted_part(vehicle.plan.trip)])
    last = found.vehicles[-1].trip.vehicle.vehicle
    hint = t("hint: `seatplan arrange {asked}` shows every arrangement in {last}, or why there is none",
             asked=asked[-1], last=last)
    parts.append(wrapped(t("caution: {CAUTION}", CAUTION=CAUTION)) + "\n" + wrapped(hint))
    return "\n\n".join(parts) + "\n"


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


def overview(found: Comparison) -> list[list[str]]:
    """One line for each vehicle, under ``OVERVIEW``."""
    lines = []
    for n, vehicle in enumerate(found.vehicles, 1):
        tally = vehicle.plan.tally
        more = "" if tally.complete else t(" or more")
        lines.append([str(n), car_name(vehicle.trip.vehicle), _SHORT[_kind(vehicle.plan)], _moved(vehicle, found),
                      *(f"{tally.sure[key]:,}{more}" for key in ("fits", "close", "likely", "unmeasured"))])
    return lines


def _overview(found: Comparison) -> str:
    return table(OVERVIEW, overview(found))


def _verdict(plan: Plan) -> str:
    return _VERDICTS[_kind(plan)]


def _kind(plan: Plan) -> str:
    """The verdict; undecided where nothing was found and the search did not see everything."""
    return "undecided" if plan.verdict == "rejected" and not plan.tally.complete else plan.verdict


def _moved(vehicle: InVehicle, found: Comparison) -> str:
    """How many children change their seat or restraint in the best arrangement, whose changes are told below."""
    itself = found.held_against == "first" and vehicle is found.vehicles[0]
    if not vehicle.best or itself or found.held_against == "nothing":
        return "-"
    children = [c for c in vehicle.changes if not c.placement.rider.adult and c.before]
    return t("{moved} of {n_children}", moved=moved(children), n_children=len(children))


def _vehicle(found: Comparison, n: int, vehicle: InVehicle, left_out: Sequence[str], asked: str) -> str:
    best, plan = vehicle.best, vehicle.plan
    itself = found.held_against == "first" and n == 1
    parts = [wrapped(f"{n}. {car_name(vehicle.trip.vehicle)}: {_verdict(plan)}{_room(best)}", "", "   ")]
    if best is not None:
        head = t("change") if found.held_against != "nothing" and not itself else ""
        parts += _arrangement(best, vehicle.changes, head, asked)
    else:
        parts += _nothing(plan)
    if vehicle.lost:
        parts.append("")
        parts.append(wrapped(stays_behind(found), "   "))
        for lost in vehicle.lost:
            parts += _lost(lost, vehicle)
    if vehicle.keeps is not None:
        parts.append("")
        parts.append(wrapped(keeps_said(vehicle.keeps), "   ", "      "))
        parts += _arrangement(vehicle.keeps, vehicle.keeps_changes, t("change"), asked)
    if left_out:
        parts += ["", *(wrapped(told, "   ", "      ") for told in together(left_out))]
    return "\n".join(parts)


def stays_behind(found: Comparison) -> str:
    """The words before what does not go along."""
    since = t("From today") if found.held_against == "today" else t("From {vehicle}",
                                                                    vehicle=found.vehicles[0].trip.vehicle.vehicle)
    return t("{since}, this does not go along:", since=since)


def keeps_said(keeps: Arrangement) -> str:
    """The words before the arrangement that keeps more the same than the best."""
    return t("More stays the same, though it ranks lower, with this: {verdict_of}{room}",
             verdict_of=_verdict_of(keeps), room=_room(keeps))


def room_in(vehicle: InVehicle) -> str:
    """What is to spare in the best arrangement; a dash where there is none or it is not known."""
    return _room(vehicle.best).removeprefix("; ") or "-"


def together(notices: Sequence[str]) -> list[str]:
    """What is left out for one reason in one line: ``left out: the wish for 2R, Wren at 2R; this car has no such
    position``."""
    groups: dict[str, list[str]] = {}
    for notice in dict.fromkeys(notices):
        what, _, why = notice.rpartition("; ")
        groups.setdefault(why, []).append(what.removeprefix(t("left out: ")))
    start = t("left out: ")
    return [(start if any(f"{start}{w}; {why}" in notices for w in what) else "") + f"{', '.join(what)}; {why}"
            for why, what in groups.items()]


def _verdict_of(arrangement: Arrangement) -> str:
    return _VERDICTS[arrangement.verdict]


def _room(arrangement: Arrangement | None) -> str:
    """The tightest row and what its spare is held against."""
    if arrangement is None:
        return ""
    if close_along(arrangement.ahead):
        return t("; tight along the car")
    rows = [(row.spare_mm, row) for row in arrangement.rows if row.spare_mm is not None]
    if not rows:
        return ""
    left, row = min(rows, key=lambda shown: shown[0])
    unsure = t(", as far as measured") if any(r.unsure for r in arrangement.rows) else ""
    return "; " + room(left, row.tolerance_mm, row.tight, t(" in row {row}{unsure}", row=row.row.row, unsure=unsure))


def _arrangement(arrangement: Arrangement, changes: Sequence[Change], head: str, asked: str) -> list[str]:
    lines = [table([*SEATS, *([head] if head else [])],
                   [row if head else row[:-1] for row in map(seat_row, changes)], "   ")]
    lines += cautions(arrangement, "   ")
    lines += along(arrangement, "   ")
    n = count_to_measure(arrangement)
    if n:
        lines.append(wrapped(t("to measure: {things}; `seatplan measure {asked}` lists them as a form",
                               things=count(n, 'thing'), asked=asked), "   ",
                             "      "))
    return lines


def seat_row(change: Change) -> list[str]:
    """Under ``SEATS``, and what changes."""
    placement = change.placement
    return [placement.rider.rider, change.after.position, in_what(placement), held_by(placement), change_text(change)]


def _nothing(plan: Plan) -> list[str]:
    """What is in the way of everybody riding in this vehicle."""
    if plan.shortage is not None:
        return _moved_in(shortage(plan, plan.shortage))
    if plan.squeezes:
        nearest = plan.squeezes[0]
        return [t("   the nearest miss lacks {short} {where_short}:", short=mm(nearest.squeeze.short),
                  where_short=where_short(nearest.row)),
                squeeze_text(nearest, "      ")]
    return []


def _moved_in(text: str) -> list[str]:
    """The paragraphs of a shortage, further to the right and wrapped anew; each of those below the first begins three
    to the right, what goes on a line deeper."""
    paragraphs: list[tuple[int, str]] = []
    for line in text.split("\n"):
        indent = len(line) - len(line.lstrip())
        if not paragraphs or indent == 3:
            paragraphs.append((indent, line.strip()))
        else:
            start, said = paragraphs[-1]
            paragraphs[-1] = start, f"{said} {line.strip()}"
    return [wrapped(said, " " * (3 + start), " " * (6 + start if start else 3)) for start, said in paragraphs]


def _lost(lost: Lost, vehicle: InVehicle) -> list[str]:
    lines = [wrapped(f"- {lost_said(lost, vehicle)}", "   ", "     ")]
    if lost.squeeze is not None:
        lines.append(squeeze_text(lost.squeeze, "     "))
    return lines


def lost_said(lost: Lost, vehicle: InVehicle) -> str:
    """Who, where and in what; then every reason with its numbers; a sum stands below it."""
    was, car = lost.was, vehicle.trip.vehicle.vehicle
    held = was.restraint or t("the adult belt")
    mode = f" {SHORT_MODES[was.placement.mode_name]}" if was.placement is not None and was.restraint else ""
    by = t(" by {BY}", BY=BY[was.placement.by]) if lost.reason == "way" and was.placement is not None else ""
    start = t("{rider} at {position} in {held}{mode}{by}", rider=lost.rider, position=was.position, held=held,
              mode=mode, by=by)
    told = {
        "seat": t("{car} has no seat {position}", car=car, position=was.position),
        "others": t("the others cannot all ride then"),
        "room": t("not enough room with the others in the car; the nearest miss:"),
        "unknown": t("no seating found before the search stopped"),
    }.get(lost.reason) or "; ".join(f"{sentence(f)} ({f.rule})" for f in lost.findings) or t("not all measured")
    return f"{start}: {told}"
