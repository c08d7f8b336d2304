"""Which arrangement comes first, in words: what decides between two, and the whole order with its reasons."""

from __future__ import annotations

from collections.abc import Sequence

from seatplan.solver.ranking import CRITERIA, Criterion
from seatplan.solver.results import Arrangement

from .say import Words, t
from .text import heading, listed, wrapped

#: criterion -> what the arrangement before this one in the list does better
DECIDED = Words({
    "open": "leaves nothing to be measured first",
    "front_young": "has fewer small children in front",
    "under_two": "keeps more of those under two rear-facing",
    "front_under_nine": "has fewer children under nine in front",
    "doubtful": "uses fewer restraints that are in doubt themselves",
    "protection": "protects better the youngest who ride differently",
    "front_older": "has fewer children in front",
    "front_who": "has in front whom the belt fits better, who is taller or older",
    "grave": "has fewer grave cautions",
    "slight": "keeps more of good practice",
    "under_way": "is under way",
    "sure": "is surer to fit",
    "wishes": "keeps more wishes",
    "moves": "changes less from today",
    "tried": "has more of what held when tried at the car",
    "method": "uses lower anchors more, which families more often get right",
    "centre": "has the youngest in the centre",
    "room": "leaves more room",
})
#: the same in short, where it is another text
_BRIEFLY = DECIDED | Words({
    "protection": "protects the youngest better",
    "front_who": "has in front whom the belt fits better",
    "tried": "has more of what held already",
    "method": "uses lower anchors more",
})
_STEP = {criterion.name: criterion.step for criterion in CRITERIA}


def decided(arrangement: Arrangement) -> str:
    """What the arrangement before one in the list does better, at which step of the order, and about whom."""
    if arrangement.decided_by is None:
        return ""
    named = t(": {riders}", riders=listed(arrangement.decided_about)) if arrangement.decided_about else ""
    if not _STEP[arrangement.decided_by]:
        return t("{decided}{named}", decided=DECIDED[arrangement.decided_by], named=named)
    return t("{decided}{named} (step {step} of the order)", decided=DECIDED[arrangement.decided_by], named=named,
             step=_STEP[arrangement.decided_by])


def briefly_decided(arrangement: Arrangement) -> str:
    """The same without what explains it; empty where nothing but the order of the file decided."""
    return "" if arrangement.decided_by is None else _BRIEFLY[arrangement.decided_by]


def equally_good(arrangement: Arrangement) -> bool:
    """Whether nothing but the order of the file puts an arrangement behind the one before it."""
    return arrangement.rank > 1 and arrangement.decided_by is None


def order_text(criteria: Sequence[Criterion]) -> str:
    """The order of arrangements: each step, why it stands there, and who says so."""
    lines = [heading(lambda _: t("Which arrangement comes first"), ""), "", wrapped(t(
        "Arrangements are held against each other step by step; the first step in which two differ decides, and "
        "nothing that comes later outweighs it. A child of unknown age counts as the youngest. In front is any seat "
        "with no row ahead. An arrangement that is being installed (`seatplan record`) comes before all others until "
        "it is done or given up."))]
    last = 0
    for criterion in criteria:
        if criterion.step:
            told = t("{title}: {why} ({source})", title=t(criterion.title), why=t(criterion.why),
                     source=t(criterion.source))
            number = f"{criterion.step}. " if criterion.step != last else t("   then ")
            last = criterion.step
            lines.append(wrapped(told, number, "   "))
    lines += ["", wrapped(t("Between equals the place from left to right and the order of the trip file decide, "
                            "which is no reason."))]
    return "\n".join(lines) + "\n"
