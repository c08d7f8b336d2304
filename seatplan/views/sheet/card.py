"""One page of the sheet: who, where, which way round, held by what; a drawing; the steps with boxes; what to check."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from string import Formatter
from typing import Any
from xml.etree.ElementTree import Element

from seatplan.model.steps import InstallStep, MeasuredBox
from seatplan.rules.finding import Finding
from seatplan.solver.installing import Card, InTheWay
from seatplan.solver.picture import Picture
from seatplan.solver.results import Arrangement, Plan
from seatplan.views.along_text import along, recline_text, room
from seatplan.views.caution import CAUTION
from seatplan.views.markup import el
from seatplan.views.svg.plan import row_and_side
from seatplan.views.text import mm, number
from seatplan.views.words import BY, MODES, SHORT_MODES, held_by, sentence, settling

LAW = "Local law and certified technicians come first."
_PACKINGS = {"rolled-towel": "rolled towel", "pool-noodle": "pool noodle"}


def page(plan: Plan, arrangement: Arrangement, seen: Picture, card: Card, n: int, of: int) -> Element:
    """The page of one restraint, the n-th of so many."""
    placement = card.placement
    restraint = placement.restraint
    assert restraint is not None
    name = f"r{n}"
    drawing = row_and_side(plan, arrangement, seen, card.row, card.side, name, placement.rider.rider)
    sources: list[str] = []
    return el(
        "section",
        el("h2", el("span", placement.position.position, class_="seat"),
           f" {placement.rider.rider} in {restraint.restraint}", id=f"{name}-head"),
        el("p", f"{n} of {of}, in {plan.trip.vehicle.vehicle}, row {placement.row.row}. {why_now(card)}"),
        el("div", _facts(card), el("figure", drawing, class_="wide" if card.side else None), class_="top"),
        _checks(arrangement, card),
        el("div", [part for stage in card.stages for part in (
            el("h3", stage.stage),
            el("ol", [_step(step, card.values, sources) for step in stage.steps], class_="steps"))], class_="stages"),
        el("p", "Sources: ", "; ".join(f"{i} {source}" for i, source in enumerate(sources, 1)), class_="source"),
        _books(card),
        el("p", f"Caution: {CAUTION} {LAW}", class_="caution"),
        aria_labelledby=f"{name}-head")


def why_now(card: Card) -> str:
    """Why it stands where it does in the order of installing."""
    told = []
    if card.turn.before:
        told.append(f"It goes in before {_ways(card.turn.before)}.")
    if card.turn.both_ways:
        told.append(f"It comes after {_ways(card.turn.both_ways)}. Fasten both loosely, then tighten one after the "
                    "other and check both again (common practice, no source).")
    if told:
        return " ".join(told)
    seats = [body for body in card.row.bodies if body.placement.restraint is not None]
    if card.placement.position.position.endswith("C") and len(seats) > 1:
        return "The centre goes in before the sides, while there is room to lean in (common practice, no source)."
    return ""


def _ways(ways: Iterable[InTheWay]) -> str:
    """Whose restraint is in the way of what."""
    told = []
    for way in ways:
        room_left = "would be covered" if way.room_mm < 0 else f"would have {mm(way.room_mm)} for a hand"
        told.append(f"{way.by}'s: with that in place, {way.thing} {room_left}")
    return "; ".join(told)


def _facts(card: Card) -> Element:
    placement = card.placement
    turned = {"rear-facing-harness": "facing the rear of the car", "lying-flat-bed": "lying across the seat"}
    rows = [
        ("Used as", MODES[placement.mode_name]),
        ("Way round", turned.get(placement.mode_name, "facing forward")),
        ("Held by", held_by(placement)),
        ("Bars, tether", f"{' and '.join(placement.bars) or 'no bars'}; {placement.tether or 'no tether'}"),
    ]
    leans = recline_text(placement)
    if leans and not placement.booster:
        rows.append(("Recline", leans.removeprefix("recline ")))
    side = card.side
    if side is not None and side.ahead:
        stands = f"{mm(side.stands_mm)} forward of rearmost" if side.stands_mm else "may stay rearmost"
        rows.append(("Seat ahead", f"{side.ahead}, {stands}"))
    if card.row.shown is not None and card.row.shown.spare_mm is not None:
        shown = card.row.shown
        rows.append(("Room across", room(shown.spare_mm or 0, shown.tolerance_mm, shown.tight)))
    return el("dl", [part for head, said in rows for part in (el("dt", head), el("dd", said))],
              class_="facts wide" if side else "facts")


def _checks(arrangement: Arrangement, card: Card) -> Element | None:
    """What is close or was not measured, as things to check at the car."""
    told: list[str] = []
    row = card.row.shown
    if card.close_across and row is not None and row.spare_mm is not None:
        told.append(f"Across row {row.row.row} it is close: {room(row.spare_mm, row.tolerance_mm, row.tight)}.")
    if row is not None and row.unsure:
        told.append(f"Not everything across row {row.row.row} was measured: try whether all of it fits.")
    if card.side is not None:
        told += [f"{' '.join(line.split())}." for line in along(arrangement, "")
                 if ("try it" in line and (card.close_along or "estimated" in line)) or "to measure" in line]
    told += _lacking(card.unmeasured)
    told += list(dict.fromkeys(f"Caution: {sentence(finding)}." for finding in card.cautions))
    if not told:
        return None
    return el("div", el("strong", "Check here"), el("ul", [
        el("li", el("label", el("input", type="checkbox"), el("span", line))) for line in told]), class_="check")


def _lacking(findings: Iterable[Finding]) -> list[str]:
    """One line for each thing that was not measured, with the values that would settle it."""
    found: dict[str, list[str]] = {}
    for finding in findings:
        how = f": {finding.result.how}" if finding.result.how else ""
        settles = found.setdefault(f"Not measured: {finding.result.field}{how}", [])
        said = settling(finding.result)
        if said and said not in settles:
            settles.append(said)
    return [line + (f" ({', '.join(settles)})" if settles else "") for line, settles in found.items()]


def _step(step: InstallStep, values: Mapping[str, float | str], sources: list[str]) -> Element:
    """One step with its box to tick, the mark of its source, and boxes for what is measured."""
    source = filled(step.source, values)
    if source not in sources:
        sources.append(source)
    return el(
        "li",
        el("label", el("input", type="checkbox"),
           el("span", filled(step.text, values), " ", el("span", f"[{sources.index(source) + 1}]", class_="source")),
           class_="do"),
        el("span", [_box(box, values) for box in step.boxes],
           class_="boxes several" if len(step.boxes) > 1 else "boxes") if step.boxes else None)


def _box(box: MeasuredBox, values: Mapping[str, float | str]) -> Element:
    asked = filled(box.asked, values)
    return el("label", f"{filled(box.label, values)} ", el("input", type="text", inputmode="decimal"), f" {box.unit} ",
              el("span", f"({asked})", class_="asked") if asked else None)


class _Words(Formatter):
    """Numbers as people write them; a value that the plan lacks reads as a dash."""

    def get_value(self, key: int | str, args: Any, kwargs: Any) -> Any:
        value = kwargs.get(key, "-")
        if key == "by":
            return BY.get(value, value)
        if key == "packing":
            return _PACKINGS.get(value, value)
        return number(value)


def filled(template: str, values: Mapping[str, float | str]) -> str:
    """The words of a step with the numbers of the plan in them."""
    return _Words().vformat(template, (), values)


def _books(card: Card) -> list[Element]:
    """Where to look it up, and who did it."""
    manual = card.placement.position.manual
    known = manual.page if manual is not None else ""
    notes = el("p", f"Vehicle handbook: {manual.notes}") if manual is not None and manual.notes else None
    return [
        *([notes] if notes is not None else []),
        el("p", el("label", "Vehicle handbook, page ", _write(known)),
           el("label", f"{SHORT_MODES[card.placement.mode_name]}: restraint's instructions, page ", _write()),
           class_="pages"),
        el("p", el("label", "Installed and checked by ", el("input", type="text", class_="long")),
           el("label", "date ", el("input", type="text")), class_="signed"),
    ]


def _write(value: str = "") -> Element:
    return el("input", type="text", value=value or None)
