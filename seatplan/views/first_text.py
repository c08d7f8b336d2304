"""What is said of the best arrangement before all else, line by line."""

from __future__ import annotations

from collections.abc import Iterator

from seatplan.model import Wish
from seatplan.solver.results import NearMiss, Plan, WishAgainst

from .content import Weighed
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
#: why there is no arrangement with all children in the back
_WANTS = Words({
    "back": "this car has no seat in the back",
    "wishes": "the must-wishes of this trip leave no arrangement with all children in the back",
    "way": "no arrangement with all children in the back is allowed and fits",
})


def first_lines(plan: Plan) -> list[str]:
    """Who sits in front, the best that fits, what is one reading away, what nearly did, which wishes cost safety."""
    return list(_lines(plan)) if plan.arrangements else []


def _lines(plan: Plan) -> Iterator[str]:
    yield from in_front(plan)
    for cautions in wish_cautions(plan):
        yield from cautions
    yield from one_reading_away(plan)
    yield from nearly(plan)
    yield from that_fits(plan)


def wish_cautions(plan: Plan) -> tuple[list[str], list[str]]:
    """Which must-wishes cost safety: grave cautions, and others."""
    return ([_wish_against(one) for one in plan.first.against if one.criterion != "slight"],
            [_wish_against(one) for one in plan.first.against if one.criterion == "slight"])


def _wish_against(against: WishAgainst) -> str:
    named = t(": {riders}", riders=listed(against.about)) if against.about else ""
    wished, decided = listed([_wished(wish) for wish in against.wishes]), DECIDED[against.criterion]
    if against.criterion == "slight":
        return Weighed(t("Caution: the must-wish {wish} is obeyed; without it the best arrangement {decided}{named}.",
                         wish=wished, decided=decided, named=named), "slight")
    return Weighed(t("Grave caution: the must-wish {wish} is obeyed; without it the best arrangement {decided}{named}.",
                     wish=wished, decided=decided, named=named), "grave")


def one_reading_away(plan: Plan) -> Iterator[str]:
    """The reading that alone keeps a better arrangement from being the best; nothing where there is none such."""
    if plan.first.one_reading is not None:
        needed = " ".join(things_to_measure([plan.first.one_reading]))
        yield t("One reading away from better ({seated}): find out {needed}.",
                seated=seated(plan.first.one_reading, plan.arrangements[0]), needed=needed)


def nearly(plan: Plan) -> list[str]:
    """Who would ride rear-facing but for a little."""
    return list(map(_missed, plan.first.near_misses))


def that_fits(plan: Plan) -> Iterator[str]:
    """The best that surely fits, where the best does not; nothing where it does."""
    first, best = plan.first, plan.arrangements[0]
    if first.fits is not None:
        told = t("This one is {verdict}; the best that surely fits: {seated}.", verdict=VERDICTS[best.verdict],
                 seated=seated(first.fits, best))
        dearer = first.fits.decided_by
        yield told if dearer in (None, "sure") else t(
            "{told} Against that one, this one {decided}.", told=told, decided=DECIDED[dearer])


def in_front(plan: Plan) -> Iterator[str]:
    """Whether all children sit in the back; else who does not, and why."""
    front = {one.rider for one in plan.first.in_front}
    limit = int(plan.profile.limit("front_seat_min_age"))
    children = [seat.placement for seat in plan.arrangements[0].seats if not seat.placement.rider.adult]
    older = [p for p in children if p.rider.rider not in front and plan.trip.vehicle.in_front(p.position)]
    if len(older) < len(children) and not front:
        yield t("All children under {years} in the back: yes.", years=limit // 12) if older else t(
            "All children in the back: yes.")
    for one in plan.first.in_front:
        why = (t("with all children in the back {instead}", instead=_INSTEAD.get(
            one.instead or "", t("the arrangement would be worse by the order"))) if one.wants is None else
            _WANTS[one.wants])
        yield t("{rider} sits in front, at {position}: {why}.", rider=one.rider, position=one.position, why=why)


def _missed(miss: NearMiss) -> str:
    if miss.finding is None:
        return t("{rider} would ride rear-facing in {restraint} at {position}, but for {short} of room.",
                 rider=miss.rider, restraint=miss.restraint, position=miss.position, short=mm(miss.short, "up"))
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
