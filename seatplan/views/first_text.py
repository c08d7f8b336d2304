"""What is said of the best arrangement before all else, line by line."""

from __future__ import annotations

from collections.abc import Iterator

from seatplan.model import Wish
from seatplan.solver.results import NearMiss, Plan

from .notes_text import things_to_measure
from .order_text import DECIDED
from .say import Words, t
from .seated_text import seated
from .text import listed, mm
from .words import VERDICTS, sentence

#: criterion -> what the best arrangement with all children in the back would cost
_INSTEAD = Words({
    "open": "something would have to be measured first",
    "front_young": "more small children would sit in front",
    "under_two": "a child under two would not ride rear-facing",
    "front_under_nine": "more children under nine would sit in front",
    "doubtful": "a restraint would be used that is in doubt itself",
    "protection": "a younger child would be less protected",
})


def first_lines(plan: Plan) -> list[str]:
    """Who sits in front, the best that fits, what is one reading away, what nearly did, which wishes cost safety."""
    return list(_lines(plan)) if plan.arrangements else []


def _lines(plan: Plan) -> Iterator[str]:
    first, best = plan.first, plan.arrangements[0]
    if any(not rider.adult for rider in plan.trip.riders):
        if not first.in_front:
            yield t("All children in the back: yes.")
        for one in first.in_front:
            why = (t("no arrangement with all children in the back is allowed and fits") if one.instead is None else
                   t("with all children in the back {instead}", instead=_INSTEAD.get(
                       one.instead, t("the arrangement would be worse by the order"))))
            yield t("{rider} sits in front, at {position}: {why}.", rider=one.rider, position=one.position, why=why)
    for against in first.against:
        named = t(": {riders}", riders=listed(against.about)) if against.about else ""
        yield t("Grave caution: the must-wish {wish} is obeyed; without it the best arrangement {decided}{named}.",
                wish=_wished(against.wish), decided=DECIDED[against.criterion], named=named)
    if first.one_reading is not None:
        needed = " ".join(things_to_measure([first.one_reading]))
        yield t("One reading away from better ({seated}): measure {needed}.",
                seated=seated(first.one_reading, best), needed=needed)
    for miss in first.near_misses:
        yield _missed(miss)
    if first.fits is not None:
        yield t("This one is {verdict}; the best that surely fits: {seated}.", verdict=VERDICTS[best.verdict],
                seated=seated(first.fits, best))


def _missed(miss: NearMiss) -> str:
    if miss.finding is None:
        return t("{rider} would ride rear-facing in {restraint} at {position}, but for {short} of room.",
                 rider=miss.rider, restraint=miss.restraint, position=miss.position, short=mm(miss.short))
    return t("{rider} would ride rear-facing in {restraint} at {position}, but for {short} {unit}: {sentence}.",
             rider=miss.rider, restraint=miss.restraint, position=miss.position, short=f"{miss.short:g}",
             unit=miss.unit, sentence=sentence(miss.finding))


def _wished(wish: Wish) -> str:
    if wish.apart:
        return t("to keep {riders} apart", riders=listed(wish.apart))
    if wish.together:
        return t("to keep {riders} together", riders=listed(wish.together))
    if wish.at:
        return t("for {rider} at {seats}", rider=wish.rider, seats=listed(wish.at, "or"))
    if wish.not_at:
        return t("for {rider} not at {seats}", rider=wish.rider, seats=listed(wish.not_at, "or"))
    return t("for {rider} in {restraints}", rider=wish.rider, restraints=listed(wish.uses or (), "or"))
