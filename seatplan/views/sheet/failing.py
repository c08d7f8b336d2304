"""What to do where a restraint will not hold: write it down, then try what comes next."""

from __future__ import annotations

import shlex
from xml.etree.ElementTree import Element

from seatplan.rules.subjects import Placement
from seatplan.solver.instead import next_without, other_ways
from seatplan.solver.results import Arrangement, Plan
from seatplan.views.markup import el
from seatplan.views.say import t
from seatplan.views.seated_text import seated
from seatplan.views.words import VERDICTS, held_by


def will_not_hold(plan: Plan, arrangement: Arrangement, placement: Placement, again: str, note: str | None) -> Element:
    """A paragraph. ``again``: the trip with its options as typed; ``note``: the trip alone, where a try can be written
    into it."""
    told: list[Element | str | None] = [el("strong", t("If it will not hold:")), " "]
    if note is None:
        told.append(t("do not travel like that."))
    else:
        told += [t("do not travel like that, and note it:"), " ", el("code", _record(note, placement)), "."]
    ways = list(dict.fromkeys(held_by(other) for other in other_ways(arrangement, placement)))
    if ways:
        told += [" ", t("It may be held by {ways} instead.", ways=t("; or ").join(ways))]
    found = next_without(plan, placement)
    if found is not None:
        told += [" ", t("Next to try without it, arrangement {rank} ({verdict}): {seated}.", rank=found.rank,
                        verdict=VERDICTS[found.verdict], seated=seated(found, arrangement)), " ",
                 el("code", f"seatplan sheet {again} --arrangement {found.rank} -o sheet-{found.rank}.html")]
    elif plan.tally.complete and len(plan.arrangements) == plan.tally.valid:
        told += [" ", t("No other arrangement does without it.")]
    return el("p", told, class_="failing")


def _record(note: str, placement: Placement) -> str:
    restraint = placement.restraint
    assert restraint is not None
    given = ["--restraint", restraint.restraint, "--position", placement.position.position, "--by", placement.by]
    if len(restraint.modes) > 1:
        given += ["--mode", placement.mode_name]
    return f"seatplan record {note} {shlex.join(given)} --failed"
