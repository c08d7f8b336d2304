"""Along the car in words: how each shell leans, how far forward the seats ahead stand, what is to spare."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from math import ceil

from seatplan.frozen import frozen
from seatplan.geometry.chain import Addend, Step, squeeze_of
from seatplan.message import Figure
from seatplan.rules.subjects import Placement
from seatplan.solver.placements import JudgedPlacement
from seatplan.solver.results import AheadShown, Arrangement

from .content import Block, Paragraph, group
from .say import N, Words, t, tr
from .squeeze_text import sum_of
from .text import count, length, mm, spare

PACKED = Words({"rolled-towel": "rolled towel", "pool-noodle": "pool noodle"})
_ALONG = N("along the car")
_RECLINE = N("recline setting {setting} ({angle} degrees from upright in this car)")
_SETTING = N("setting {setting} ({angle} degrees from upright in this car)")


@frozen
class Told:
    """One thing to say along the car. ``kind``: lean, stands, room or unknown; ``to_try``: it has to be tried in the
    car; ``estimated``: a limit in it is only estimated."""

    kind: str
    text: str
    to_try: bool = False
    estimated: bool = False


def setting_text(placement: Placement) -> str:
    """``recline setting 38``; empty where the restraint has none or the cushion's angle is not known."""
    lean = placement.recline
    return "" if lean is None or placement.mode is None or placement.mode.recline is None else t(
        "recline setting {setting}", setting=Figure(lean.setting))


def recline_text(placement: Placement, *, headed: bool = False) -> str:
    """``recline setting 38 (39 degrees from upright in this car), with 3 degrees of rolled towel``; empty where the
    restraint has none or the cushion's angle is not known. ``headed``: the word recline stands beside it already."""
    lean, mode = placement.recline, placement.mode
    if lean is None or mode is None or mode.recline is None:
        return ""
    told = t(_SETTING if headed else _RECLINE, setting=Figure(lean.setting), angle=Figure(lean.angle))
    return _packed(told, placement)


def _packed(told: str, placement: Placement) -> str:
    """A setting with what is packed beneath to make up the rest of the angle."""
    lean, mode = placement.recline, placement.mode
    if lean is None or not lean.packing or mode is None or mode.recline is None:
        return told
    packing = mode.recline.packing or "none"
    what = PACKED.get(packing, packing)
    return t("{told}, with {degrees} of {what}", told=told, degrees=count(lean.packing, "degree"), what=what)


def leans(arrangement: Arrangement) -> str:
    """The settings of all that lean, in one line: ``recline: setting 32 of Nook at 2C``; empty where nothing does."""
    told = []
    for seat in arrangement.seats:
        placement = seat.placement
        if recline_text(placement) and placement.rear_facing and placement.restraint and placement.recline:
            each = t("setting {setting} of {restraint} at {position}", setting=Figure(placement.recline.setting),
                     restraint=placement.restraint.restraint, position=placement.position.position)
            told.append(_packed(each, placement))
    return t("recline: {each}", each=", ".join(told)) if told else ""


def along(arrangement: Arrangement) -> list[Block]:
    """What there is to say of one arrangement along the car; nothing where nothing leans and nobody needs a seat ahead
    moved."""
    blocks: list[Block] = []
    for told in told_along(arrangement):
        blocks.append(Paragraph(told.text, hangs=True))
        if told.kind == "room" and arrangement.ahead is not None and close_along(arrangement.ahead):
            blocks.append(group(sum_of(squeeze_of(arrangement.ahead.tight)), inner=True))
    return blocks


def told_along(arrangement: Arrangement) -> Iterator[Told]:
    """What there is to say of one arrangement, without the sum of what is tight."""
    for seat in arrangement.seats:
        placement, told = seat.placement, recline_text(seat.placement)
        if told and placement.rear_facing and placement.restraint:
            yield Told("lean", t("{restraint} at {position}: {told}", restraint=placement.restraint.restraint,
                                 position=placement.position.position, told=told))
    ahead = arrangement.ahead
    if ahead is None:
        return
    for key, forward in ahead.stands:
        estimated = _estimated(ahead.limits.get(key))
        yield Told("stands", _stands(ahead, key, forward), estimated, estimated)
    if ahead.spare_mm is not None:
        limits = list(ahead.limits.values())
        moved = any(addend in limits for step in ahead.tight for addend in step.addends)
        where = t("along the car, with what moves ahead at its limit") if moved else t(_ALONG)
        yield Told("room", f"{where}: {room(ahead.spare_mm, ahead.tolerance_mm, ahead.tight)}", close_along(ahead))
    if ahead.unknown:
        yield Told("unknown", t("to measure: {unknown}", unknown=_unknown(arrangement, ahead)))


def room(spare_mm: float, tolerance_mm: float, tight: Sequence[Step], where: str = "") -> str:
    """What is to spare, or short, beside what measuring can be off.

    Where several gaps share the spare, each has it; all of them together are held against the tolerance.
    """
    gaps = max(1, sum(step.stretch for step in tight))
    total, off = spare_mm * gaps, t("measuring can be {tolerance_mm} off", tolerance_mm=mm(tolerance_mm, "up"))
    if total < 0:
        return t(
            "{short} short{where}, and {off}: try it in the car", short=mm(ceil(-total), "up"), where=where, off=off
        )
    if total < tolerance_mm:
        return t("{total} to spare{where}, and {off}: try it in the car", total=spare(total), where=where, off=off)
    each = t(" at each of {gaps} gaps", gaps=gaps) if gaps > 1 else ""
    in_all = t(", {total} in all", total=spare(total)) if each else ""
    return t("{spare} to spare{each}{where}{in_all}; {off}", spare=spare(spare_mm), each=each, where=where,
             in_all=in_all, off=off)


def ahead_text(cell: JudgedPlacement, limits: Mapping[str, Addend]) -> str:
    """Needed and free length ahead of a placement, and how far the seat ahead can come; empty where it was not
    measured or is blocked, since the finding says so itself."""
    ahead = cell.placement.position.ahead
    found = next((f for f in cell.findings if f.rule == "no-room-ahead" and f.outcome == "pass"), None)
    if ahead is None or found is None or "reach" not in found.result.facts:
        return ""
    facts, must = found.result.facts, float(found.result.measured or 0)
    what = ahead.seat or t("nothing that moves")
    rearmost = t(" with the seat ahead rearmost") if ahead.seat else ""
    told = t("room ahead: {free} free at {height} above the cushion{rearmost}, {reach} taken by {part}",
             free=facts["free"], height=facts["height"], rearmost=rearmost, reach=facts["reach"], part=facts["part"])
    if not must:
        return told
    gap = must + facts["free"].value - facts["reach"].value
    told += (
        t(": with a gap of {gap}, {what} must come {must} forward", gap=mm(gap, "up"), what=what, must=mm(must, "up"))
        if gap
        else (t(": {what} must come {must} forward", what=what, must=mm(must, "up")))
    )
    most = limits.get(ahead.seat or "") or limits.get(f"row {ahead.seat[0]}" if ahead.seat else "")
    return told + (f" ({tr(most.label)} {length(abs(most.mm))})" if most else "")


def close_along(ahead: AheadShown | None) -> bool:
    """Whether what is to spare, or short, along the car lies within what measuring can be off."""
    if ahead is None or ahead.spare_mm is None:
        return False
    return ahead.spare_mm * max(1, sum(step.stretch for step in ahead.tight)) < ahead.tolerance_mm


def where_short(row: int | None) -> str:
    """Where room is lacking: ``across row 2``, or along the car."""
    return t(_ALONG) if row is None else t("across row {row}", row=row)


def _stands(ahead: AheadShown, key: str, forward: int) -> str:
    most = ahead.limits.get(key)
    limit = f" ({tr(most.label)} {length(abs(most.mm))})" if most else ""
    if _estimated(most):
        limit += t(": try it in the car")
    if key.startswith("row"):
        return t("{key} slid {forward} forward{limit}", key=tr(key), forward=mm(forward, "up"), limit=limit)
    if key in ahead.beyond:
        return t("{key} is pushed {forward} forward, beyond use{limit}: nobody may sit there", key=key,
                 forward=mm(forward, "up"), limit=limit)
    return t("{key} stands {forward} forward of rearmost{limit}", key=key, forward=mm(forward, "up"), limit=limit)


def _estimated(most: Addend | None) -> bool:
    return most is not None and bool(most.estimated)


def _unknown(arrangement: Arrangement, ahead: AheadShown) -> str:
    """How far forward somebody must be able to sit: that far would do."""
    there = (s.placement.rider.rider for s in arrangement.seats if s.placement.position.position == ahead.unknown)
    who = next(there, t("the driver"))
    enough = dict(ahead.stands).get(ahead.unknown, 0)
    return t("how far forward {who} at {unknown} can sit ({enough} would do)", who=who, unknown=ahead.unknown,
             enough=mm(enough, "up"))
