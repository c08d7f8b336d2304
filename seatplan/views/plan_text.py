"""A whole plan as text: the answer, then each arrangement, then who can sit where, then why the rest is ruled out."""

from __future__ import annotations

from typing import TYPE_CHECKING

from seatplan.solver.results import Arrangement, Plan, SeatShown
from seatplan.written import quoted

from .along_text import along, close_along, room, where_short
from .caution import caution
from .content import Block, Figure, Group, Heading, Paragraph, Table, Text, Weighed, group, items, spans, together
from .doubted_text import doubted
from .first_text import first_lines
from .grid_text import grid
from .manner import day, number
from .notes_text import cautions_said, count_to_measure, estimates_said, things_to_measure
from .order_text import decided, equally_good
from .reckoned_text import reckoned_head
from .rejected_text import rejected
from .say import plural, t
from .shortage_text import shortage
from .terminal import parts_of
from .text import count, listed, mm
from .tried_text import OUT, confirmed, out_of_plan
from .under_way_text import under_way_in
from .words import BY, VERDICTS, answered, car_name, held_by, in_what

if TYPE_CHECKING:
    from seatplan.solver.explain import Explanation

_KINDS = ("fits", "close", "likely", "unmeasured")


def plan_text(plan: Plan, asked: str = "TRIP", hint: Text = "", explanation: Explanation | None = None) -> str:
    """The whole answer as text; see ``plan_content``."""
    return parts_of(plan_content(plan, asked, hint, explanation))


def plan_content(plan: Plan, asked: str = "TRIP", hint: Text = "",
                 explanation: Explanation | None = None) -> list[Block | None]:
    """The whole answer.

    ``asked`` is the trip with its options as typed, for the next command to name; ``hint`` is the last line
    where something fits; ``explanation`` says why nothing does, and what would change that.
    """
    last = hint if plan.arrangements else why_hint(plan, asked)
    return [
        plan_head(plan), Paragraph(Weighed(_answer(plan), answered(plan))), items(first_lines(plan), marked=True),
        under_way_in(plan), doubted(plan.trip),
        Paragraph(t("Fits means: nothing in the files speaks against it. Whether it holds is found out at the car (see "
                    "the caution at the end).")) if plan.arrangements else None,
        tried_and_out(plan),
        shortage(plan, plan.shortage) if plan.shortage else None,
        *_explained(plan, explanation),
        *(_arrangement(plan, arrangement) for arrangement in plan.arrangements),
        _under(t("To measure, or to look up"), items(things_to_measure(plan.arrangements), marked=True)),
        grid(plan), rejected(plan),
        group(caution(), Paragraph(together(t("hint: "), last)) if last else None),
    ]


def tried_and_out(plan: Plan) -> Group | None:
    """What is out of the plan since it would not hold at the car; None where there is no such thing."""
    return _under(t(OUT), items(out_of_plan(plan)))


def _under(head: str, block: Block | None) -> Group | None:
    """A block below its head; None where there is none."""
    return None if block is None else group(Heading(head), group(block, inner=True))


def _explained(plan: Plan, explanation: Explanation | None) -> list[Block]:
    if explanation is None:
        return []
    from .conflict_text import conflict
    from .repairs_text import repairs

    return [conflict(explanation, plan.strict), repairs(explanation.repairs, plan.strict)]


def plan_head(plan: Plan) -> Group:
    """The trip, and how it was looked at."""
    trip = plan.trip
    strict = t("; what was not measured counts as a no") if plan.strict else ""
    strict += t("; what several lengths may be off is added up") if plan.worst_case else ""
    return group(Heading(trip.trip), Paragraph(
        t("in {vehicle}, rules {name}, {day}: "
          "{riders}, {restraints}{strict}", vehicle=car_name(trip.vehicle), name=plan.profile.name,
          day=day(plan.day), riders=count(len(trip.riders), 'rider'),
          restraints=count(len(trip.restraints), "restraint"), strict=strict)), reckoned_head(plan))


def brief_head(plan: Plan) -> Group:
    """The same in one line."""
    trip = plan.trip
    how = (t(", strict") if plan.strict else "") + (t(", worst case") if plan.worst_case else "")
    return group(Heading(trip.trip), Paragraph(
        t("in {vehicle}, rules {name}, {day}: {riders}{how}", vehicle=car_name(trip.vehicle), name=plan.profile.name,
          day=day(plan.day), riders=count(len(trip.riders), "rider"), how=how)), reckoned_head(plan))


def _answer(plan: Plan) -> str:
    shown = len(plan.arrangements)
    explained = t(" An arrangement gives every rider a seat and something to ride in.") + _alike(plan)
    if not shown:
        return none_told(plan, explained)
    which = (
        (t(" The best one:") if shown == 1 else t(" The best {shown}:", shown=shown))
        if shown < plan.tally.valid
        else t(" Best first:")
        if shown > 1
        else ""
    )
    return told_of(plan, explained) + which


def none_told(plan: Plan, explained: str = "", *, nearest: bool = True) -> str:
    """The verdict where there is no arrangement: that none works, or that none was found so far. ``nearest``: with how
    near the nearest miss is."""
    if not plan.tally.complete:
        return t("Undecided: the search stopped at its limit, and none of the arrangements it reached "
                 "works; there are {seatings} in all.{explained}", seatings=number(plan.tally.seatings),
                 explained=explained)
    return t("Nothing fits: none of {all_there_are} works.{nearest}{explained}",
             all_there_are=count(plan.tally.seatings, "arrangement"), nearest=_nearest(plan) if nearest else "",
             explained=explained)


def told_of(plan: Plan, explained: str = "") -> str:
    """The verdict, with how many arrangements are how sure."""
    tally, told = plan.tally, list[str]()
    all_there_are = count(tally.seatings, "arrangement")
    for key in _KINDS:
        n = tally.sure[key]
        if n:
            told.append(("" if told or tally.complete else t("at least ")) + number(n)
                        + ("" if told else t(" of {all_there_are}", all_there_are=all_there_are)) + f" {do(key, n)}")
    start = {"fits": t("It fits: "), "close": t("Close, try it in the car: "),
             "likely": t("Likely, measure what is only estimated: "),
             "unmeasured": t("Not settled: ")}[plan.verdict]
    sure = tally.complete and plan.all_ranked
    limit = "" if sure else t(" The search stopped at its limit; there may be better ones.")
    return t("{start}{told}.{explained}{limit}", start=start, told=', '.join(told), explained=explained, limit=limit)


def _alike(plan: Plan) -> str:
    """Which restraints count as one another; empty where none do."""
    alike = plan.choices.kinds.alike()
    if not alike:
        return ""
    return t(" Restraints that are alike count as one kind, whoever has which: {alike}.",
             alike="; ".join(map(listed, alike)))


def do(key: str, n: int) -> str:
    """What ``n`` seatings do: fit, are close, hang on what was not measured."""
    return {"fits": plural("fits", "fit", n), "close": plural("is close", "are close", n),
            "likely": plural("is likely", "are likely", n),
            "unmeasured": plural("hangs on what was not measured", "hang on what was not measured", n)}[key]


def _nearest(plan: Plan) -> str:
    """How near the nearest miss is, where room alone is in the way."""
    if plan.shortage or not plan.squeezes:
        return ""
    nearest = plan.squeezes[0]
    return t(" The nearest miss lacks {short} {where_short}.", short=mm(nearest.squeeze.short, "up"),
             where_short=where_short(nearest.row))


def _arrangement(plan: Plan, arrangement: Arrangement) -> Group:
    head = how_sure(arrangement)
    if arrangement.decided_by:
        head += t("; comes after {rank}, which {decided}", rank=arrangement.rank - 1, decided=decided(arrangement))
    elif equally_good(arrangement):
        head += t("; as good as {rank}", rank=arrangement.rank - 1)
    others = [(seat, dict.fromkeys(held_by(cell.placement) for cell in seat.alternatives))
              for seat in arrangement.seats if seat.alternatives]
    n, estimated = count_to_measure(arrangement), estimates_said(arrangement, plan.trip)
    return group(
        Heading(Weighed(head, arrangement.verdict)), Figure(plan, arrangement),
        group(
            Table((t("rider"), t("seat"), t("in"), t("held by"), t("middle from left")),
                  tuple((*seat_told(seat), _middle(seat)) for seat in arrangement.seats),
                  t("Arrangement {rank}", rank=arrangement.rank)),
            items([*cautions_said(arrangement),
                   *(t("{rider} could also be held by {others}", rider=seat.placement.rider.rider,
                       others=t("; or ").join(ways)) for seat, ways in others)]),
            *along(arrangement),
            items([*([estimated] if estimated else []), *confirmed(arrangement),
                   *([t("to measure: {things}, listed below", things=count(n, "thing"))] if n else [])]),
            inner=True))


def how_sure(arrangement: Arrangement) -> str:
    """Rank, verdict and what is to spare: ``1. fits: 42 mm to spare in row 3; measuring can be 7.5 mm off``."""
    return f"{verdict_of(arrangement)}{_room(arrangement)}"


def verdict_of(arrangement: Arrangement) -> str:
    """Rank and verdict alone."""
    return f"{arrangement.rank}. {VERDICTS[arrangement.verdict]}"


def _room(arrangement: Arrangement) -> str:
    """The tightest row and what its spare is held against; or that it is tight along the car, which is told below."""
    if close_along(arrangement.ahead):
        return t(": tight along the car")
    rows = [(row.spare_mm, row) for row in arrangement.rows if row.spare_mm is not None]
    if not rows:
        return ""
    left, row = min(rows, key=lambda shown: shown[0])
    unsure = t(", as far as measured") if any(r.unsure for r in arrangement.rows) else ""
    return ": " + room(left, row.tolerance_mm, row.tight, t(" in row {row}{unsure}", row=row.row.row, unsure=unsure))


def seat_told(seat: SeatShown) -> tuple[str, str, str, str]:
    """Who sits where, in what, held by what: a row of a table."""
    placement = seat.placement
    by = held_by(placement) if placement.installation else BY[placement.by]
    return placement.rider.rider, placement.position.position, in_what(placement), by


def _middle(seat: SeatShown) -> str:
    return t("not measured") if seat.across_mm is None else mm(seat.across_mm)


def why_hint(plan: Plan, asked: str) -> Text:
    """The command that says more about the rider who is hardest to seat."""
    return spans("`seatplan why {asked} --rider {name}` lists every reason", asked=asked, name=quoted(hardest(plan)))


def hardest(plan: Plan) -> str:
    """The rider who is hardest to seat: the first of too many, else the one with the fewest seats, the driver aside."""
    if plan.shortage:
        return plan.shortage.riders[0]
    seats = {
        rider.rider: [p.position for i, p in enumerate(plan.choices.positions) if plan.squares[r, i].allowed]
        for r, rider in enumerate(plan.trip.riders)
    }
    others = {rider: at for rider, at in seats.items() if at != [plan.trip.drives]} or seats
    return min(others, key=lambda rider: len(others[rider]))
