"""The whole sheet: a cover with the order of installing, then one page a restraint."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from xml.etree.ElementTree import Element

from seatplan.app.documents import ForTheCar, Sheet
from seatplan.growth.lasting import Lasting
from seatplan.solver.installing import Card, StageShown, belted_alone, for_all
from seatplan.solver.picture import Picture
from seatplan.solver.results import Arrangement, Plan
from seatplan.solver.settle import Settle
from seatplan.solver.under_way import is_under_way
from seatplan.views.along_text import along
from seatplan.views.compare_text import together
from seatplan.views.document import TRIP_ATTRIBUTE, identity
from seatplan.views.doubted_text import doubted
from seatplan.views.first_text import first_lines
from seatplan.views.html import elements
from seatplan.views.lasts_text import lasts_text
from seatplan.views.manner import language
from seatplan.views.markup import el, html_file
from seatplan.views.notes_text import cautions_among, estimates_said, findings_of, things_among
from seatplan.views.say import Words, length_unit, t
from seatplan.views.svg.figures import seats_said
from seatplan.views.svg.plan import key
from seatplan.views.text import count, heading, listed
from seatplan.views.under_way_text import under_way_in
from seatplan.views.words import VERDICTS, car_name, held_by, in_short
from seatplan.written import quoted

from .card import caution, page, why_now
from .cover import cover_rows
from .paper import style
from .readings import readings

#: which kind of document a file of it says that it is
KIND = "sheet"
_VERDICTS = Words({"fits": "it fits, as far as the files say", "close": "it is close: try it in the car",
                   "likely": "it is likely to fit: measure what is only estimated",
                   "unmeasured": "not everything was measured: see the boxes on each page"})


def asked_html(found: ForTheCar, request: Sheet) -> str:
    """The sheet that was asked for, as a whole HTML file. There must be an arrangement."""
    return html_file(asked_page(found, request), KIND)


def asked_page(found: ForTheCar, request: Sheet) -> Element:
    """The same as the root of its page."""
    assert found.arrangement is not None
    assert found.picture is not None
    note = quoted(request.file) if request.file is not None and request.vehicle is None else None
    return sheet_page(found.plan, found.arrangement, found.picture, found.cards, request.paper, found.lasting,
                      request.words, note, found.settle, request.words == note,
                      together([one.text for one in found.left_out]))


def sheet_html(plan: Plan, arrangement: Arrangement, seen: Picture, cards: Sequence[Card], paper: str,
               lasting: Mapping[str, Lasting] | None = None, again: str = "TRIP", note: str | None = None,
               settle: Settle | None = None, begins: bool = False, left_out: Sequence[str] = ()) -> str:
    """A whole HTML file; see ``sheet_page``."""
    return html_file(sheet_page(plan, arrangement, seen, cards, paper, lasting, again, note, settle, begins, left_out),
                     KIND)


def sheet_page(plan: Plan, arrangement: Arrangement, seen: Picture, cards: Sequence[Card], paper: str,
               lasting: Mapping[str, Lasting] | None = None, again: str = "TRIP", note: str | None = None,
               settle: Settle | None = None, begins: bool = False, left_out: Sequence[str] = ()) -> Element:
    """The root of a page. ``paper``: ``a4`` or ``letter``; ``lasting``: by rider, how long each stays as now;
    ``again``: the trip with its options as typed; ``note``: the trip alone, where a try can be written into it;
    ``settle``: the readings that settle it; ``begins``: it can be noted that this one is under way; ``left_out``: what
    of the trip does not go along to this car. Nothing is loaded from elsewhere and no script is needed."""
    lasts = {name: lasts_text(one) for name, one in (lasting or {}).items()}
    title = heading(lambda trip: t("{trip}: sheet for the car", trip=trip), plan.trip.trip)
    return el(
        "html",
        el("head", el("meta", charset="utf-8"), el("title", title),
           el("meta", name="viewport", content="width=device-width, initial-scale=1"),
           el("meta", name="generator", content="made by seatplan"), el("style", style(paper))),
        el("body", el("main", _cover(plan, arrangement, seen, cards, title, paper, note if begins else None, left_out),
                      [page(plan, arrangement, seen, card, n, len(cards), lasts.get(card.placement.rider.rider, ""),
                            again, note)
                       for n, card in enumerate(cards, 1)], readings(settle, plan.trip))),
        lang=language(), **{TRIP_ATTRIBUTE: identity(plan.trip)})


def _cover(plan: Plan, arrangement: Arrangement, seen: Picture, cards: Sequence[Card], title: str,
           paper: str, note: str | None, left_out: Sequence[str]) -> Element:
    """``note``: the trip, where it can be noted in it that this arrangement is under way."""
    trip = plan.trip
    first = first_lines(plan) if arrangement.rank == 1 else []
    told, sure = along(arrangement), estimates_said(arrangement, trip)
    stages = for_all(plan, arrangement)
    return el(
        "section",
        el("h1", title),
        el("p", t("In {vehicle}, {day}, rules {name}. Arrangement {rank}: {verdict}.", vehicle=car_name(trip.vehicle),
                  day=plan.day, name=plan.profile.name, rank=arrangement.rank,
                  verdict=_VERDICTS.get(arrangement.verdict, VERDICTS[arrangement.verdict]))),
        el("p", f"{sure[0].upper()}{sure[1:]}.") if sure else None,
        el("ul", [el("li", line) for line in first], class_="first") if first else None,
        elements([under_way_in(plan), doubted(trip)]),
        el("p", t("To keep to this one while it is installed:"), " ",
           el("code", f"seatplan record {note} --go-on-with {arrangement.rank}"), ".", class_="noting")
        if note is not None and not is_under_way(arrangement, trip.under_way) else None,
        cover_rows(plan, arrangement, seen, paper,
                   len(cards) + len(told) + len(first) + (note is not None) + 2 * len(stages)),
        el("p", t("How to read it: {key}. Lengths in {unit}.", key="; ".join(key()), unit=length_unit()), " ",
           seats_said(trip.vehicle), class_="source"),
        el("h2", t("In this order: {restraints}", restraints=_of_what(cards))),
        el("ol", [el("li", el("strong", f"{card.placement.position.position} {card.placement.rider.rider} "),
                     f"{in_short(card.placement)}, {held_by(card.placement)}. {why_now(card)}") for card in cards]),
        el("p", t("What a neighbour would cover goes in first. Where nothing is in the way: rows further back first, "
                  "and the centre before the sides, while there is room to lean in (common practice, no source)."),
           class_="source"),
        [el("h2", t("Along the car")), *elements(told)] if told else None,
        _alone(seen),
        _elsewhere(arrangement, cards),
        [el("h2", t("What does not go along")), el("ul", [el("li", line) for line in left_out])] if left_out else None,
        [_for_all(stage) for stage in stages],
        caution(),
        class_="front")


def _of_what(cards: Sequence[Card]) -> str:
    """``2 restraints and 1 child on the vehicle belt``."""
    belted = sum(card.placement.restraint is None for card in cards)
    held = count(len(cards) - belted, "restraint")
    return t("{held} and {belted}", held=held, belted=count(
        belted, "child on the vehicle belt", "children on the vehicle belt")) if belted else held


def _for_all(stage: StageShown) -> Element:
    """What is done once for the whole trip, in one paragraph with its sources behind it."""
    sources = list(dict.fromkeys(t(step.source) for step in stage.steps))
    return el("div", el("h2", t(stage.stage)), el("p", [
        el("label", el("input", type="checkbox"), el("span", t(step.text), f" [{sources.index(t(step.source)) + 1}] "))
        for step in stage.steps], class_="once"),
        el("p", t("Sources:"), " ", "; ".join(f"{i} {source}" for i, source in enumerate(sources, 1)), class_="source"))


def _elsewhere(arrangement: Arrangement, cards: Sequence[Card]) -> list[Element]:
    """What stands on no page of a restraint, since it is on the whole trip or on somebody without one: what is to be
    measured, as boxes, and cautions."""
    told = [finding for card in cards for finding in (*card.cautions, *card.unmeasured)]
    rest = [f for f in findings_of(arrangement) if f not in told]
    asked, told_of = things_among(rest), cautions_among(rest)
    return [
        *([el("div", el("strong", t("To measure, or to look up")), el("ul", [
            el("li", el("label", el("input", type="checkbox"), el("span", line))) for line in asked]), class_="check")]
          if asked else []),
        *([el("ul", [el("li", line) for line in told_of])] if told_of else [])]


def _alone(seen: Picture) -> Element | None:
    """Adults, who have no page, get in last."""
    names = [t("{rider} at {position}", rider=body.placement.rider.rider, position=body.placement.position.position)
             for body in belted_alone(seen) if body.placement.rider.adult]
    return el("p", t("With the vehicle belt alone, last: {names}.", names=listed(names))) if names else None
