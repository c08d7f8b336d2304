"""The short answer: the verdict, who sits where, what to heed, what to do next. All of it is in ``plan_text.py``.

What stands in it, and in which order, is decided here and nowhere else.
"""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING

from seatplan.solver.results import Arrangement, Plan

from .along_text import leans, told_along
from .caution import caution
from .commands import Commands
from .content import Block, Figure, Group, Heading, Paragraph, Table, Text, Weighed, group, items, spans
from .doubted_text import doubted
from .first_text import in_front, nearly, one_reading_away, wish_cautions
from .manner import page
from .notes_text import cautions_by_weight, estimates_in_short, readings
from .order_text import briefly_decided, equally_good
from .plan_text import brief_head, how_sure, none_told, seat_told, told_of, tried_and_out, verdict_of
from .say import t
from .seated_text import OTHERWISE, otherwise
from .terminal import parts_of
from .text import columns, count
from .tried_text import confirmed
from .under_way_text import under_way_in
from .words import VERDICTS, answered, in_what

if TYPE_CHECKING:
    from seatplan.solver.explain import Explanation

#: so many things to find out are told, with how to take each; where cautions fill the page without that, or fewer
_TOLD = ((3, True), (3, False), (2, False), (1, False), (0, False))
#: lines of a page up to so many riders, and more for each further one
_PAGE, _RIDERS, _MORE = 45, 5, 3
#: of what there is to say along the car: where seats ahead have to stand, what is not known
_ALONG = ("stands", "unknown")


_SOME = Commands()


def short_text(plan: Plan, asked: Commands = _SOME, hint: Text = "",
               explanation: Explanation | None = None) -> str:
    """The short answer as text, on one page where that can be; see ``short_content``."""
    lines = _PAGE + _MORE * max(0, len(plan.trip.riders) - _RIDERS)
    for most in _TOLD:
        text = parts_of(short_content(plan, asked, hint, explanation, most))
        if len(text.splitlines()) <= lines:
            break
    return text


def short_content(plan: Plan, asked: Commands = _SOME, hint: Text = "",
                  explanation: Explanation | None = None, most: tuple[int, bool] = _TOLD[0]) -> list[Block | None]:
    """What somebody wants to know first, in some forty lines; cautions are never cut.

    ``asked``: the next commands, with the trip and its options as typed; ``hint`` is one more thing to do
    where something fits; ``explanation`` says why nothing does, and what would change that; ``most``: how many
    things to find out are told, and whether with how to take each.
    """
    if not plan.arrangements:
        from .short_refusal_text import refused, what_then

        return [brief_head(plan), under_way_in(plan),
                Paragraph(Weighed(none_told(plan, nearest=explanation is None), answered(plan))),
                doubted(plan.trip), tried_and_out(plan), *refused(plan, explanation),
                _next(what_then(plan, asked, explanation)), caution()]
    best, *others = plan.arrangements
    (grave, slight), (own_grave, own) = wish_cautions(plan), cautions_by_weight(best, by_seat=True)
    return [
        brief_head(plan), under_way_in(plan), _verdict(plan),
        _to_find_out(best, asked, *most), doubted(plan.trip), tried_and_out(plan),
        _best(plan, best, in_full=most[1]),
        items([*(_neighbour(one, best) for one in others), *_surely(plan, best, others)]),
        items([*grave, *own_grave, *slight, *own], marked=True),
        items([*one_reading_away(plan), *nearly(plan)], marked=True),
        _next([*_to_do(best, asked), *([hint] if hint else [])]) if most[1] or best.verdict != "unmeasured" else None,
        caution()]


def _verdict(plan: Plan) -> Group:
    """The verdict and what it is worth, then who of the children is not in the back."""
    worth = t("Fits means: nothing in the files speaks against it; whether it holds is found out at the car.")
    return group(Paragraph(Weighed(f"{told_of(plan)} {worth}", answered(plan))),
                 items(list(in_front(plan)), marked=True))


def _best(plan: Plan, best: Arrangement, in_full: bool) -> Group:
    """The best arrangement drawn, and who sits where, held by what; ``in_full``: with the room that is left even where
    not all is measured."""
    along = [one.text for one in told_along(best) if one.kind in _ALONG or (one.to_try and one.kind != "lean")]
    # what is to be found out comes before what is only estimated
    estimated = "" if best.verdict == "unmeasured" else estimates_in_short(best, plan.trip)
    return group(
        Heading(Weighed(how_sure(best) if in_full or best.verdict != "unmeasured" else verdict_of(best), best.verdict)),
        Figure(plan, best, low=True),
        group(
            Table((t("rider"), t("seat"), t("in"), t("held by")), tuple(map(seat_told, best.seats)),
                  t("Arrangement {rank}", rank=best.rank)),
            items([*(told for told in (leans(best), *along, estimated) if told),
                   *confirmed(best)]),
            inner=True))


def _neighbour(one: Arrangement, best: Arrangement) -> str:
    """One of the next arrangements, in one line where that can be: who rides otherwise than in the best one, and what
    decides between it and the one before."""
    decided = (t("as good as {rank}", rank=one.rank - 1) if equally_good(one) else
               t("after {rank}, which {decided}", rank=one.rank - 1, decided=briefly_decided(one)))
    for how in OTHERWISE:
        told = t("{rank}. {verdict}: {who}; {decided}", rank=one.rank, verdict=VERDICTS[one.verdict],
                 who=otherwise(one, best, how), decided=decided)
        if columns(told) <= page():
            break
    return told


def _surely(plan: Plan, best: Arrangement, others: list[Arrangement]) -> Iterator[str]:
    """The best that surely fits, where the best does not, and what the best has before it."""
    fits = plan.first.fits
    if fits is None:
        return
    verdict = VERDICTS[best.verdict]
    rank = next((one.rank for one in others if _seated(one) == _seated(fits)), None)
    told = (t("The first is {verdict}; the best that surely fits: {who}.", verdict=verdict, who=otherwise(fits, best))
            if rank is None else
            t("The first is {verdict}; the best that surely fits is {rank}.", verdict=verdict, rank=rank))
    yield told if fits.decided_by in (None, "sure") else t(
        "{told} Against that one, the first {decided}.", told=told, decided=briefly_decided(fits))


def _seated(arrangement: Arrangement) -> list[object]:
    return [(seat.placement.rider.rider, seat.placement.position.position, in_what(seat.placement))
            for seat in arrangement.seats]


def _to_find_out(best: Arrangement, asked: Commands, most: int, how: bool) -> Group | None:
    """What has to be found out before anything is sure, some of it; None where nothing has."""
    found = readings(best, how=how)
    if not found:
        return None
    left = len(found) - most
    if not most:
        more = spans("`{command}`: {things} to find out, those that settle most first", command=asked.measure,
                     things=count(left, "thing"))
    elif left > 0:
        more = spans("`{command}`: {things} more to find out, those that settle most first", command=asked.measure,
                     things=count(left, "thing"))
    else:
        more = spans("`{command}`: how to take each, and what it would settle", command=asked.measure)
    rest = [] if how else [_rest(asked)]                   # all that there is to do next
    return group(Heading(t("To find out first")), items([*found[:most], more, *rest], marked=True))


def _rest(asked: Commands) -> Text:
    return spans("`{command}`: the rest of this answer", command=asked.full)


def _to_do(best: Arrangement, asked: Commands) -> Iterator[Text | Block]:
    """The next steps: what to take to the car, where there is something to install; where the rest stands."""
    if best.verdict == "close":
        yield spans("try it in the car first: `{command}`", command=asked.sheet)
    elif best.verdict != "unmeasured":
        if best.verdict == "likely":
            yield spans("`{command}`: what to measure to be sure, and how", command=asked.measure)
        yield spans("`{command}`: pages to install by", command=asked.sheet)
    yield _rest(asked)


def _next(steps: list[Text | Block]) -> Group | None:
    entries = items(steps, marked=True)
    return None if entries is None else group(Heading(t("What to do next")), entries)
