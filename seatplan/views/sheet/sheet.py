"""The whole sheet: a cover with the order of installing, then one page a restraint."""

from __future__ import annotations

from collections.abc import Sequence
from xml.etree.ElementTree import Element

from seatplan.solver.installing import Card, belted_alone
from seatplan.solver.picture import Picture
from seatplan.solver.results import Arrangement, Plan
from seatplan.views.along_text import along
from seatplan.views.caution import CAUTION
from seatplan.views.markup import el, html_file
from seatplan.views.svg.plan import KEY, rows_drawing
from seatplan.views.text import count, listed
from seatplan.views.words import VERDICTS, held_by, in_short

from .card import LAW, page, why_now
from .style import style


def sheet_html(plan: Plan, arrangement: Arrangement, seen: Picture, cards: Sequence[Card], paper: str) -> str:
    """A whole HTML file. ``paper``: ``a4`` or ``letter``. Nothing is loaded from elsewhere and no script is needed."""
    title = f"{plan.trip.trip}: sheet for the car"
    return html_file(el(
        "html",
        el("head", el("meta", charset="utf-8"), el("title", title),
           el("meta", name="viewport", content="width=device-width, initial-scale=1"),
           el("meta", name="generator", content="made by seatplan"), el("style", style(paper))),
        el("body", el("main", _cover(plan, arrangement, seen, cards, title),
                      [page(plan, arrangement, seen, card, n, len(cards)) for n, card in enumerate(cards, 1)])),
        lang="en"))


def _cover(plan: Plan, arrangement: Arrangement, seen: Picture, cards: Sequence[Card], title: str) -> Element:
    trip = plan.trip
    invented = " (invented)" if trip.vehicle.invented else ""
    verdict = {"fits": "it fits, as far as the files say", "close": "it is close: try it in the car",
               "unmeasured": "not everything was measured: see the boxes on each page"}
    told = [line.strip() for line in along(arrangement, "")]
    return el(
        "section",
        el("h1", title),
        el("p", f"In {trip.vehicle.vehicle}{invented}, {plan.day.isoformat()}, rules {plan.profile.name}. Arrangement "
                f"{arrangement.rank}: {verdict.get(arrangement.verdict, VERDICTS[arrangement.verdict])}."),
        el("figure", rows_drawing(plan, arrangement, seen, "cover"), class_="cover"),
        el("p", f"How to read it: {'; '.join(KEY)}. Lengths in mm.", class_="source"),
        el("h2", f"In this order: {count(len(cards), 'restraint')}"),
        el("ol", [el("li", el("strong", f"{card.placement.position.position} {card.placement.rider.rider} "),
                     f"{in_short(card.placement)}, {held_by(card.placement)}. {why_now(card)}") for card in cards]),
        el("p", "What a neighbour would cover goes in first. Where nothing is in the way: rows further back first, and "
                "the centre before the sides, while there is room to lean in (common practice, no source).",
           class_="source"),
        [el("h2", "Along the car"), el("ul", [el("li", line) for line in told])] if told else None,
        _alone(seen),
        el("p", f"Caution: {CAUTION} {LAW}", class_="caution"),
        class_="front")


def _alone(seen: Picture) -> Element | None:
    """Whoever rides without a restraint gets in last."""
    names = [f"{body.placement.rider.rider} at {body.placement.position.position}" for body in belted_alone(seen)]
    return el("p", f"With the vehicle belt alone, last: {listed(names)}.") if names else None
