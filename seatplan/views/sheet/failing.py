"""What to do where a restraint will not hold, or the belt does not fit: write it down, then try what comes next."""

from __future__ import annotations

from xml.etree.ElementTree import Element

from seatplan.solver.installing import Card
from seatplan.solver.instead import next_without, other_ways
from seatplan.solver.results import Arrangement, Plan
from seatplan.views.markup import el
from seatplan.views.say import t
from seatplan.views.seated_text import seated
from seatplan.views.words import VERDICTS, held_by

from .noting import on_the_child, will_not_do


def will_not_hold(plan: Plan, arrangement: Arrangement, card: Card, again: str | None, note: str | None) -> Element:
    """A paragraph. ``again``: the trip with its options as typed, None for whoever carries others and chooses nothing;
    ``note``: the trip alone, where a try can be written into it."""
    placement = card.placement
    told: list[Element | str | None] = [
        el("strong", t("If the belt does not fit:") if on_the_child(placement) else t("If it will not hold:")), " "]
    if note is None or (placement.built_in and not on_the_child(placement)):
        told.append(t("do not travel like that."))
    else:
        told += [t("do not travel like that, and note it by the same command, in place of what was read with"), " ",
                 el("code", will_not_do(placement)), "."]
    ways = list(dict.fromkeys(held_by(other) for other in other_ways(arrangement, placement)))
    if ways:
        told += [" ", t("It may be held by {ways} instead.", ways=t("; or ").join(ways))]
    if again is None:
        return el("p", told, " ", t("Ask the dispatcher before anybody rides in another way."), class_="failing")
    found = next_without(plan, placement, card.before)
    if found is not None:
        told += [" ", t("Next to try without it, arrangement {rank} ({verdict}): {seated}.", rank=found.rank,
                        verdict=VERDICTS[found.verdict], seated=seated(found, arrangement)), " ",
                 el("code", f"seatplan sheet {again} --arrangement {found.rank} -o sheet-{found.rank}.html")]
    elif plan.tally.complete and len(plan.arrangements) == plan.tally.valid:
        told += [" ", t("No other arrangement does without it.")]
    return el("p", told, class_="failing")
