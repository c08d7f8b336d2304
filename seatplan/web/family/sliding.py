"""The seat ahead slid to and fro: the gap behind it, and what becomes of the answer. Written only where it is saved."""

from __future__ import annotations

from collections.abc import Sequence
from xml.etree.ElementTree import Element

from seatplan.app.errors import InputError, Problem
from seatplan.app.filling import Fill, filled
from seatplan.app.shelf import Changed
from seatplan.app.slide import Slid, Slide, Slides, seats_ahead, slide
from seatplan.message import Amount, said
from seatplan.solver.behind import Behind
from seatplan.views.along_text import along
from seatplan.views.html import Place, elements
from seatplan.views.manner import customary
from seatplan.views.markup import el
from seatplan.views.report.answer import HEADS, who_sits_where
from seatplan.views.say import shown as told_as
from seatplan.views.say import t, tr
from seatplan.views.seated_text import otherwise
from seatplan.views.svg.figures import side_figures
from seatplan.views.text import mm
from seatplan.web.shell import form
from seatplan.web.visit import Answer, Goto, Page, Visit

from .around import Here, here, page, problems_shown, unanswered


def shown(visit: Visit) -> Answer:
    """``seat``: which one; ``forward``: how far, mm. Posted, how far its person can come forward is written."""
    one = here(visit)
    asked = visit.form if visit.posted else visit.query
    try:
        there = seats_ahead(one.request)
    except InputError as error:
        return page(one, "ahead", [unanswered(error)])
    if not there:
        return page(one, "ahead", [el("p", t(
            "No seat of this car that stands before another can be slid here: the free length behind it is not known "
            "yet, or how far it travels is not.")), el("p", el("a", t("Measure it with the car"),
                                                              href=f"/trips/{one.number}"))])
    chosen = next((seat for seat in there if seat.seat == asked.get("seat")), there[0])
    wrong: list[Problem] = []
    if visit.posted:
        went = _save(visit, one, chosen)
        if isinstance(went, Goto):
            return went
        wrong = went
    return _page(visit, one, there, chosen, asked.get("forward", ""), wrong)


def _mm(typed: str) -> int | None:
    """The length that was typed; None where none was."""
    word = typed.strip().removesuffix("mm").strip()
    sign, digits = (-1, word[1:]) if word.startswith("-") else (1, word)
    return sign * int(digits) if digits.isdecimal() and len(digits) < 5 else None


def _save(visit: Visit, one: Here, seat: Slides) -> Goto | list[Problem]:
    """Write how far forward whoever sits there can sit. The problems where that cannot be."""
    forward = _mm(visit.form.get("forward", ""))
    if seat.kept or forward is None or not seat.least <= forward <= seat.most:
        return [Problem("", 0, 0, said("expected {least} to {most} mm", least=seat.least, most=seat.most))]
    try:
        text = filled("trip", one.held.text, one.held.path, [
            Fill(("front", seat.seat, "forward_at_most"), str(forward))])
        one.library.save(one.held.number, text, visit.form.get("version", ""))
    except Changed:
        return [Problem("", 0, 0, said("this file changed meanwhile; nothing was written: send it again"))]
    except InputError as error:
        return list(error.problems)
    return Goto(f"{visit.path}?seat={seat.seat}")


def _page(visit: Visit, one: Here, there: Sequence[Slides], chosen: Slides, typed: str,
          wrong: Sequence[Problem]) -> Page:
    try:
        found: Slid | None = slide(Slide(trip=one.held.path, seat=chosen.seat, forward=_mm(typed))).answer
        trouble = None
    except InputError as error:
        found, trouble = None, unanswered(error)
    forward = found.forward if found is not None else chosen.now or 0
    return page(one, "ahead", [
        el("div", problems_shown(wrong, t("Not saved: this has to be put right first")) if wrong else None,
           _seats(visit, there, chosen) if len(there) > 1 else None,
           _slider(visit, chosen, forward), class_="asks"),
        el("section", trouble or _told(visit, one, found), id="slid", class_="beside", data_live=True,
           aria_live="polite")], 422 if wrong else 200, wide=True)


def _seats(visit: Visit, there: Sequence[Slides], chosen: Slides) -> Element:
    return el("nav", el("ul", [el("li", el("a", one.seat, href=f"{visit.path}?seat={one.seat}",
                                           aria_current="true" if one is chosen else None)) for one in there]),
              class_="places", aria_label=t("Which seat"))


def _typed(length: int) -> str:
    """A length that is slid, as it is typed, in mm, and in inches beside it where those are in force."""
    return f"{length} mm ({mm(length)})" if customary() else f"{length} mm"


def _slider(visit: Visit, seat: Slides, forward: int) -> Element:
    ends = {"least": _typed(seat.least), "most": _typed(seat.most)}
    how = t("From where its lengths were taken, with its person in it: {least} to {most}; minus is backwards.",
            **ends) if seat.kept else t("From rearmost, as far as it travels: {least} to {most}.", **ends)
    return el("form",
              el("input", type="hidden", name="seat", value=seat.seat),
              el("label", t("{seat} stands so far forward, mm", seat=seat.seat), for_="forward"),
              el("div", el("input", type="number", id="forward", name="forward", min=seat.least, max=seat.most,
                           value=forward, aria_describedby="forward-how", inputmode="numeric"),
                 # only with the script, which has it follow the number, and the number it
                 el("input", type="range", min=seat.least, max=seat.most, step=10, value=forward, hidden=True,
                    aria_label=t("{seat}, from rearmost to foremost", seat=seat.seat), data_of="forward"),
                 class_="along"),
              el("p", how, id="forward-how", class_="how"),
              el("button", t("Slide it there"), class_="save"),
              method="get", action=visit.path, class_="slider", data_looks=True)


# --- what came of it

def _told(visit: Visit, one: Here, found: Slid | None) -> Sequence[Element | None]:
    assert found is not None
    seat, plan = found.slides, found.plan
    best = plan.arrangements[0] if plan.arrangements else None
    return [
        el("h2", t("Behind {seat}, {forward} forward", seat=seat.seat, forward=_typed(found.forward))),
        el("p", t("With everybody as in the best arrangement now:")) if found.behind else None,
        el("ul", [el("li", _gap(body, found.forward)) for body in found.behind], class_="gaps") if found.behind else
        el("p", t("Nobody sits behind it in the best arrangement.")),
        _drawn(found),
        el("h2", t("The answer then")),
        el("p", el("strong", HEADS[plan.verdict], class_=f"verdict {plan.verdict}"), " ", el("span", _change(found))),
        *([who_sits_where(best), *elements(along(best), Place("h3", prefix="slid"))] if best is not None else []),
        _saving(visit, one, found)]


def _drawn(found: Slid) -> Element | None:
    """Each shell behind it from the side, with the seat there."""
    before = found.before.arrangements
    if not before or found.picture is None or not found.picture.sides:
        return None
    return el("div", side_figures(found.before, before[0], found.picture, "slid"), class_="drawn")


def _gap(body: Behind, forward: int) -> str:
    gap, who = body.at(forward), body.placement.rider.rider
    where = body.placement.position.position
    if gap is None:
        return t("{rider} at {position}: no gap can be told, since {what} was not measured", rider=who, position=where,
                 what=tr(body.missing) if body.missing else t("free length"))
    part, high = tr(body.part), told_as(Amount(body.height_mm, "mm"))
    if gap < 0:
        told = t("{rider} at {position}: {part} is {gap} too long, {high} above the cushion", rider=who, position=where,
                 part=part, gap=mm(-gap, "up"), high=high)
    else:
        told = t("{rider} at {position}: {gap} between {part} and the seat, {high} above the cushion; {asked} is asked "
                 "for", rider=who, position=where, part=part, gap=mm(gap, "down"), high=high,
                 asked=mm(body.asked_mm, "up"))
        if gap < body.asked_mm:
            told += t(", so {short} is lacking", short=mm(body.asked_mm - gap, "up"))
    return told + (t(" (only estimated, as it needs most)") if body.estimated else "")


def _change(found: Slid) -> str:
    """What differs from the answer as the files have it."""
    now, before = (next(iter(plan.arrangements), None) for plan in (found.plan, found.before))
    told = [] if found.plan.verdict == found.before.verdict else [
        t("without it: {verdict}", verdict=HEADS[found.before.verdict])]
    if now is not None and before is not None:
        told.append(t("against the best now: {otherwise}", otherwise=otherwise(now, before)))
    return "; ".join(told)


def _saving(visit: Visit, one: Here, found: Slid) -> Element:
    seat = found.slides
    if seat.kept:
        return el("p", t(
            "Nothing is written: the length was taken with {seat} where its person sits. Slide it in the car, take the "
            "length again, and type that in.", seat=seat.seat), class_="how")
    return form(visit, visit.path, [
        el("input", type="hidden", name="seat", value=seat.seat),
        el("input", type="hidden", name="forward", value=str(found.forward)),
        el("input", type="hidden", name="version", value=one.held.version),
        el("p", t("Nothing is written until you save it: whoever sits at {seat} can then sit up to {forward} "
                  "forward of rearmost.", seat=seat.seat, forward=_typed(found.forward))),
        el("button", t("Save it so"))], class_="keeping")
