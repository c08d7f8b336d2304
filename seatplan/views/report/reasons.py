"""Who can sit where with the reasons for each no, why the other seatings were ruled out, and what was not measured."""

from __future__ import annotations

import shlex
from collections.abc import Mapping, Sequence
from xml.etree.ElementTree import Element

from seatplan.views.content import Heading, plain, spans
from seatplan.views.grid_text import square_told
from seatplan.views.html import elements, inline, table, wide
from seatplan.views.manner import number
from seatplan.views.markup import el
from seatplan.views.notes_text import things_to_measure
from seatplan.views.rejected_text import rejected
from seatplan.views.say import t
from seatplan.views.text import listed
from seatplan.views.tried_text import OUT, out_of_plan

from .nearest import reasons
from .shown import Shown, more, section

#: how many different reasons are told for one rider at one seat
_REASONS = 5
#: and on paper, where nothing fits
_ON_PAPER = 2


def who_where(shown: Shown) -> Element:
    """Rider by position: in how many arrangements, or why in none."""
    plan = shown.plan
    positions = plan.choices.positions
    why = {(r, p): _why(shown, r, p) for r in range(len(plan.trip.riders)) for p in range(len(positions))}
    rows = [el("tr", el("th", rider.rider, scope="row"),
               [_square(shown, r, p, why[r, p]) for p in range(len(positions))])
            for r, rider in enumerate(plan.trip.riders)]
    return section(
        shown, "grid", t("Who can sit where"),
        wide(t("Who can sit where{named}", named=shown.named), table(
            [t("rider"), *(p.position for p in positions)], rows,
            t("In how many arrangements each rider sits at each seat"))),
        el("p", t("The number says in how many arrangements the rider sits there, the word how sure the best of them "
                  "is."), " ", el("span", t("Open a no for its reasons."), class_="on-screen")),
        _on_paper(shown, why))


def _square(shown: Shown, rider: int, position: int, why: Sequence[str]) -> Element:
    plan = shown.plan
    square = plan.squares[rider, position]
    word = square_told(square, plan.tally.complete)
    seat = plan.choices.positions[position].position
    unlisted = square.seatings > 0 and len(plan.arrangements) < plan.tally.valid
    held = {"data_rider": str(rider), "data_seat": seat, "data_word": word, "data_why": why[0] if why else None,
            "data_there": number(square.seatings) if unlisted else None,
            "data_ask": _ask(shown, rider, seat) if unlisted else None}
    if not why:
        return el("td", word, **held)
    left = len(why) - _REASONS
    told = [*why[:_REASONS], *([t("and {left} more", left=left)] if left > 0 else [])]
    return el("td", more(word, el("ul", [el("li", reason) for reason in told])), **held)


def _ask(shown: Shown, rider: int, seat: str) -> str:
    """The command that says more of a rider at a seat."""
    name = shlex.quote(shown.plan.trip.riders[rider].rider)
    return f"seatplan why {shown.again} --rider {name} --position {seat}"


def _why(shown: Shown, rider: int, position: int) -> list[str]:
    """Why a rider can never sit at a seat, the nearest miss first; nothing where only the others are in the way."""
    plan = shown.plan
    if plan.squares[rider, position].allowed:
        return []
    return reasons(cell for choice in plan.choices.per_rider[rider] if choice.position == position
                   for cell in choice.all_cells)


def _on_paper(shown: Shown, why: Mapping[tuple[int, int], Sequence[str]]) -> Element | None:
    """For each no its nearest miss, since nothing can be opened on paper; seats with the same one in a line."""
    plan, most = shown.plan, 1 if shown.plan.arrangements else _ON_PAPER
    lines = []
    for r, rider in enumerate(plan.trip.riders):
        seats: dict[str, list[str]] = {}
        for p, position in enumerate(plan.choices.positions):
            for reason in why[r, p][:most]:
                seats.setdefault(reason, []).append(position.position)
        lines += [el("li", t("{rider} at {position}", rider=rider.rider, position=listed(at)), f": {reason}")
                  for reason, at in seats.items()]
    if not lines:
        return None
    return el("div", el("p", el("strong", t("What comes nearest where it says no"))), el("ul", lines),
              class_="on-paper")


def tried(shown: Shown) -> Element | None:
    """What would not hold when it was tried at the car."""
    lines = out_of_plan(shown.plan)
    if not lines:
        return None
    return section(shown, "tried", t(OUT), el("ul", [el("li", line) for line in lines]))


def measuring(shown: Shown) -> Element | None:
    """What is still to be measured or looked up, for all arrangements that are drawn."""
    lines = things_to_measure(a for a in shown.plan.arrangements if a.rank in shown.pictures)
    if not lines:
        return None
    return section(shown, "measure", t("Not measured yet"), el("ul", [el("li", line) for line in lines]),
                   el("p", inline(spans("`seatplan measure {again}` says which of them settles most.",
                                        again=shown.again))))


def why_not(shown: Shown) -> Element | None:
    """Why the other seatings were ruled out, in counts that add up, with the sums of the nearest misses."""
    told = rejected(shown.plan)
    if told is None:
        return None
    head, *rest = told.blocks
    assert isinstance(head, Heading)
    return section(shown, "why", plain(head.text),
                   more(t("Counts and the nearest misses"), elements(rest, shown.place)))
