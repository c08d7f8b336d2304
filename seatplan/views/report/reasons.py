"""Who can sit where with the reasons for each no, why the other seatings went, and what was not measured."""

from __future__ import annotations

from collections import Counter
from xml.etree.ElementTree import Element

from seatplan.solver.placements import Cell
from seatplan.views.grid_text import square_told
from seatplan.views.markup import el
from seatplan.views.notes_text import to_measure
from seatplan.views.rejected_text import rejected
from seatplan.views.say import t
from seatplan.views.words import in_what, sentence

from .shown import Shown, as_told, coded, more, section, table, wide

#: how many different reasons are told for one rider at one seat
_REASONS = 5


def who_where(shown: Shown) -> Element:
    """Rider by position: in how many arrangements, or why in none."""
    plan = shown.plan
    positions = plan.choices.positions
    rows = [el("tr", el("th", rider.rider, scope="row"), [_square(shown, r, p) for p in range(len(positions))])
            for r, rider in enumerate(plan.trip.riders)]
    return section(
        shown, "grid", t("Who can sit where"),
        wide(t("Who can sit where{named}", named=shown.named), table(
            ["rider", *(p.position for p in positions)], rows,
            t("In how many arrangements each rider sits at each seat"))),
        el("p", t("The number says in how many arrangements the rider sits there, the word how sure the best of them "
                  "is. Open a no for its reasons.")))


def _square(shown: Shown, rider: int, position: int) -> Element:
    plan = shown.plan
    square = plan.squares[rider, position]
    word = square_told(square, plan.tally.complete)
    seat = plan.choices.positions[position].position
    reasons = [] if square.level is not None else _reasons(shown, rider, position)
    held = {"data_rider": str(rider), "data_seat": seat, "data_word": word, "data_why": reasons[0] if reasons else None}
    if not reasons:
        return el("td", word, **held)
    return el("td", more(word, el("ul", [el("li", reason) for reason in reasons])), **held)


def _reasons(shown: Shown, rider: int, position: int) -> list[str]:
    """What rules a rider out at a seat, what does so in most ways first."""
    counts: Counter[str] = Counter()
    for choice in shown.plan.choices.per_rider[rider]:
        if choice.position == position:
            for cell in choice.all_cells:
                counts.update({_against(cell, text) for text in _blocking(cell)})
    ranked = sorted(counts.items(), key=lambda item: (-item[1], item[0]))
    left = len(ranked) - _REASONS
    return [text for text, _ in ranked[:_REASONS]] + ([t("and {left} more", left=left)] if left > 0 else [])


def _blocking(cell: Cell) -> list[str]:
    return [sentence(finding) for finding in cell.findings if finding.outcome == "block"]


def _against(cell: Cell, text: str) -> str:
    return f"{in_what(cell.placement)}: {text}"


def measuring(shown: Shown) -> Element | None:
    """What is still to be measured or looked up, for all arrangements that are drawn."""
    lines = [" ".join(line.split()).removeprefix("- ")
             for line in to_measure([a for a in shown.plan.arrangements if a.rank in shown.pictures], "")]
    if not lines:
        return None
    return section(shown, "measure", t("Not measured yet"), el("ul", [el("li", line) for line in lines]),
                   el("p", coded(t("`seatplan measure {again}` says which of them settles most.", again=shown.again))))


def why_not(shown: Shown) -> Element | None:
    """Why the other seatings went, in counts that add up, with the sums of the nearest misses."""
    told = rejected(shown.plan)
    if not told:
        return None
    head, _, rest = told.partition("\n")
    return section(shown, "why", head, more(t("Counts and the nearest misses"), as_told(rest)))
