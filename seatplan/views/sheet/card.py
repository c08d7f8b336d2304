"""One page of the sheet: who, where, which way round, held by what; a drawing; the steps with boxes; what to check."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from datetime import date
from string import Formatter
from typing import Any
from xml.etree.ElementTree import Element

from seatplan.message import Amount
from seatplan.model.steps import InstallStep, MeasuredBox
from seatplan.readings import READINGS
from seatplan.rules.finding import Finding
from seatplan.rules.registry import gravest_first
from seatplan.rules.restraint_condition import use_until
from seatplan.rules.subjects import Placement
from seatplan.solver.installing import Card, InTheWay
from seatplan.solver.picture import Picture
from seatplan.solver.results import Arrangement, Plan
from seatplan.units import MM_PER_INCH
from seatplan.views.along_text import PACKED, recline_text, room, told_along
from seatplan.views.caution import CAUTION, LAW
from seatplan.views.manner import customary
from seatplan.views.markup import el
from seatplan.views.notes_text import caution_word
from seatplan.views.say import Words, fill, length_unit, look_up, t, tr
from seatplan.views.svg.figures import row_and_side
from seatplan.views.text import count, heading, listed, mm
from seatplan.views.words import BY, MODES, SHORT_MODES, held_by, sentence, settling

from .child import child_said, takes_said
from .failing import will_not_hold
from .noting import if_it_holds, noted_already

#: where the file does not say
_BLANK = "____"
#: a page with so many things to check beside a side view, or with so many letters, is set closer
_CHECKS, _LETTERS = 3, 4000
_TURNED = Words({"rear-facing-harness": "facing the rear of the car", "lying-flat-bed": "lying across the seat"})


def page(plan: Plan, arrangement: Arrangement, seen: Picture, card: Card, n: int, of: int,
         lasts: str = "", again: str | None = "TRIP", note: str | None = None) -> Element:
    """The page of one restraint, or of one child on the vehicle belt, the n-th of so many. ``lasts``: how long it does,
    where that was asked; ``again``: the trip with its options as typed, None for whoever chooses nothing; ``note``: the
    trip alone, where a try can be written into it."""
    placement = card.placement
    restraint, who = placement.restraint, placement.rider.rider
    name = f"r{n}"
    drawing = row_and_side(plan, arrangement, seen, card.row, card.side, name, placement.rider.rider)
    sources: list[str] = []
    to_check = checks(arrangement, card)
    section = el(
        "section",
        el("h2", el("span", placement.position.position, class_="seat"),
           " ", heading(who_on_the_belt, who) if restraint is None
           else heading(who_in_what, who, restraint.restraint), id=f"{name}-head"),
        el("p", t("{n} of {of}, in {vehicle}, row {row}.", n=n, of=of, vehicle=plan.trip.vehicle.vehicle,
                  row=placement.row.row), " ", why_now(card), " ", noted_already(placement, plan.trip)),
        el("div", facts(plan, card), el("div", drawing, class_="drawn wide" if card.side else "drawn"), class_="top"),
        el("p", lasts, class_="lasts") if lasts else None,
        el("div", el("strong", t("Check here")), el("ul", [
            el("li", el("label", el("input", type="checkbox"), el("span", line))) for line in to_check]),
           class_="check") if to_check else None,
        el("div", [part for stage in card.stages for part in (
            el("h3", t(stage.stage)),
            el("ol", [_step(step, card, sources) for step in stage.steps], class_="steps"))], class_="stages"),
        if_it_holds(card, plan.trip, note),
        will_not_hold(plan, arrangement, card, again, note),
        el("p", t("Sources:"), " ", "; ".join(f"{i} {source}" for i, source in enumerate(sources, 1)), class_="source"),
        _books(card),
        caution(),
        aria_labelledby=f"{name}-head")
    if (card.side is not None and len(to_check) >= _CHECKS) or _letters(section) > _LETTERS:
        section.set("class", "dense")
    return section


def _letters(element: Element) -> int:
    """How many letters a page holds, beside those of its drawings."""
    if element.tag == "svg":
        return 0
    return len(element.text or "") + sum(_letters(part) + len(part.tail or "") for part in element)


def caution() -> Element:
    """The caution of every page."""
    return el("p", t("Caution: {CAUTION}", CAUTION=CAUTION), " ", tr(LAW), class_="caution")


def why_now(card: Card) -> str:
    """Why it stands where it does in the order of installing."""
    told = []
    if card.turn.before:
        told.append(t("It goes in before {ways}.", ways=_ways(card.turn.before)))
    if card.turn.both_ways:
        told.append(t("It comes after {ways}. Fasten both loosely, then tighten one after the other and check both "
                      "again (common practice, no source).", ways=_ways(card.turn.both_ways)))
    if told:
        return " ".join(told)
    if card.placement.restraint is None:
        return t("Last, once all restraints are in.")
    seats = [body for body in card.row.bodies if body.placement.restraint is not None]
    if card.placement.position.position.endswith("C") and len(seats) > 1:
        return t("The centre goes in before the sides, while there is room to lean in (common practice, no source).")
    return ""


def _ways(ways: Iterable[InTheWay]) -> str:
    """Whose restraint is in the way of what."""
    told = []
    for way in ways:
        told.append(t("{rider}'s: with that in place, {thing} would be covered", rider=way.by, thing=way.thing)
                    if way.room_mm < 0 else
                    t("{rider}'s: with that in place, {thing} would have {room} for a hand", rider=way.by,
                      thing=way.thing, room=mm(way.room_mm, "down")))
    return "; ".join(told)


def facts(plan: Plan, card: Card) -> Element:
    """Who rides there, whom it takes, how it is used and held."""
    placement = card.placement
    rows = [
        (t("Child, {day}", day=plan.day), child_said(plan, placement)),
        *([(t("It takes"), takes_said(placement))] if placement.restraint is not None else []),
        (t("Used as"), MODES[placement.mode_name]),
        (t("Way round"), _TURNED.get(placement.mode_name, t("facing forward"))),
        (t("Held by"), held_by(placement)),
        *([(t("Bars, tether"), f"{_bars(placement)}; {placement.tether or t('no tether')}")]
          if placement.restraint is not None else []),
    ]
    leans = recline_text(placement, headed=True)
    if leans and not placement.booster:
        rows.append((t("Recline"), leans))
    side = card.side
    if side is not None and side.ahead:
        stands = t("{stands} forward of rearmost", stands=mm(side.stands_mm, "up")) if side.stands_mm else t(
            "stays rearmost, a child before its airbag") if side.ahead in card.stays else t(
                "not measured how far forward it must stand") if side.missing else t("may stay rearmost")
        if side.beyond:
            stands = t("{stands}, beyond use: nobody may sit there", stands=stands)
        rows.append((t("Seat ahead"), f"{side.ahead}, {stands}"))
    if card.row.shown is not None and card.row.shown.spare_mm is not None:
        shown = card.row.shown
        rows.append((t("Room across"), room(shown.spare_mm or 0, shown.tolerance_mm, shown.tight,
                                            t(", as far as measured") if shown.unsure else "")))
    return el("dl", [part for head, said in rows for part in (el("dt", head), el("dd", said))],
              class_="facts wide" if side else "facts")


def _bars(placement: Placement) -> str:
    if placement.on_lower_anchors and not placement.bars:
        return t("bars still to be found")
    return listed(placement.bars) or t("no bars")


def checks(arrangement: Arrangement, card: Card) -> list[str]:
    """Cautions, and what is close or was not measured, as things to check at the car."""
    told = list(dict.fromkeys(t("{caution}: {sentence}.", caution=_cautious(finding), sentence=sentence(finding))
                              for finding in gravest_first(card.cautions)))
    row = card.row.shown
    if card.close_across and row is not None and row.spare_mm is not None:
        told.append(t("Across row {row} it is close: {room}.", row=row.row.row,
                      room=room(row.spare_mm, row.tolerance_mm, row.tight)))
    if row is not None and row.unsure:
        told.append(t("Not everything across row {row} was measured: try whether all of it fits.", row=row.row.row))
    if card.side is not None:
        told += [f"{line.text}." for line in told_along(arrangement)
                 if line.kind == "unknown" or line.estimated or (line.to_try and card.close_along)]
    told += [t("Close: {sentence}.", sentence=sentence(finding)) for finding in card.at_limits]
    told += _lacking(card.unmeasured)
    return told


def _cautious(finding: Finding) -> str:
    """What a caution is called, at the start of a sentence."""
    word = caution_word(finding)
    return word[0].upper() + word[1:]


def _lacking(findings: Iterable[Finding]) -> list[str]:
    """One line for each thing that was not measured, with the values that would settle it."""
    found: dict[str, list[str]] = {}
    for finding in findings:
        how = f": {tr(finding.result.how)}" if finding.result.how else ""
        settles = found.setdefault(t("Not measured: {missing}", missing=tr(finding.result.field)) + how, [])
        said = settling(finding.result)
        if said and (asked := f"{finding.rule}: {said}") not in settles:
            settles.append(asked)
    return [line + (f" ({', '.join(settles)})" if settles else "") for line, settles in found.items()]


def _step(step: InstallStep, card: Card, sources: list[str]) -> Element:
    """One step with its box to tick, the mark of its source, and boxes for what is measured."""
    values = card.values
    boxes = [box for box in step.boxes if box.reading in card.readings]
    source = filled(step.source, values)
    if source not in sources:
        sources.append(source)
    return el(
        "li",
        el("label", el("input", type="checkbox"),
           el("span", filled(step.text, values), " ", el("span", f"[{sources.index(source) + 1}]", class_="source")),
           class_="do"),
        el("span", [_box(box, values) for box in boxes],
           class_="boxes several" if len(boxes) > 1 else "boxes") if boxes else None)


def _box(box: MeasuredBox, values: Mapping[str, Any]) -> Element:
    asked = filled(box.asked, values)
    reading = READINGS[box.reading]
    if reading.kind == "yes or no":
        name = look_up(reading.label)
        return el("span", f"{name}: ", [
            el("label", el("input", type="checkbox", aria_label=f"{name}: {answer}"), answer)
            for answer in (t("yes"), t("no"))], el("span", f"({asked})", class_="asked") if asked else None,
            class_="yes-no")
    unit = length_unit() if reading.unit == "mm" else reading.unit
    return el("label", f"{look_up(reading.label)} ", el("input", type="text", inputmode="decimal"), f" {unit} ",
              el("span", f"({asked})", class_="asked") if asked else None)


def who_on_the_belt(rider: str) -> str:
    """A heading."""
    return t("{rider} on the vehicle belt", rider=rider)


def who_in_what(rider: str, restraint: str) -> str:
    """A heading."""
    return t("{rider} in {restraint}", rider=rider, restraint=restraint)


def filled(template: str, values: Mapping[str, Any]) -> str:
    """The words of a step, in the language and the units in force, with the numbers of the plan in them."""
    told = {"bars": _BLANK, **values, "by": BY.get(values["by"], values["by"])}
    if "packing" in values:
        told["packing"] = PACKED.get(values["packing"], values["packing"])
    for name in ("movement", "head"):
        whole = values.get(f"{name}_inches")
        told[f"{name}_inches"] = ""
        if whole and customary():
            told[name] = Amount(whole * MM_PER_INCH, "mm")       # the inches that the source says, not its mm
        elif whole:
            told[f"{name}_inches"] = f" ({count(int(whole), 'inch', 'inches')})"
    here = look_up(template)
    # a value that the plan lacks reads as a dash
    return fill(here, {name: told.get(name, "-") for _, name, _, _ in Formatter().parse(here) if name})


def _books(card: Card) -> list[Element]:
    """Where to look it up, and who did it."""
    manual = card.placement.position.manual
    known = manual.page if manual is not None else ""
    restraint = card.placement.restraint
    notes = el("p", t("Vehicle handbook: {notes}", notes=manual.notes)) if manual is not None and manual.notes else None
    return [
        *([notes] if notes is not None else []),
        *([el("p", el("label", t("On its label: serial number"), " ", _write()),
              el("label", t("day made"), " ", _write(), _filed(restraint.made)),
              el("label", t("use until"), " ", _write(), _filed(use_until(restraint))), class_="pages")]
          if restraint is not None else []),
        el("p", el("label", t("Vehicle handbook, page"), " ", _write(known)),
           el("label", t("{SHORT_MODES}: restraint's instructions, page",
                         SHORT_MODES=SHORT_MODES[card.placement.mode_name]), " ", _write())
           if restraint is not None else None, class_="pages"),
        el("p", el("label", t("Installed and checked by"), " ", el("input", type="text", class_="long")),
           el("label", t("date"), " ", el("input", type="text")), class_="signed"),
    ]


def _filed(on: date | None) -> Element | None:
    """What the file says, to be held against the label."""
    return None if on is None else el("span", " ", t("(in the file: {on})", on=on), class_="asked")


def _write(value: str = "") -> Element:
    return el("input", type="text", value=value or None)
