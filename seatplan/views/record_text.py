"""What happened at the car, what that leaves, and what to try next."""

from __future__ import annotations

from seatplan.message import Amount
from seatplan.model import Tried
from seatplan.solver.after_try import AfterTry
from seatplan.solver.results import Arrangement, Plan

from .along_text import along
from .caution import caution
from .changes_text import change_text
from .content import Block, Group, Paragraph, Table, group, items, spans, together
from .doubted_text import doubted
from .manner import day, number
from .notes_text import cautions_said, count_to_measure
from .plan_text import do
from .say import t
from .terminal import parts_of
from .text import count
from .tried_text import confirmed
from .try_text import there, try_said, way
from .words import BY, VERDICTS, held_by, in_what


def record_text(done: AfterTry, file: str, line: int, asked: str) -> str:
    """After an entry was written, as text; see ``record_content``."""
    return parts_of(record_content(done, file, line, asked))


def undone_text(done: AfterTry, file: str, line: int, asked: str) -> str:
    """After an entry was taken back, as text; see ``undone_content``."""
    return parts_of(undone_content(done, file, line, asked))


def record_content(done: AfterTry, file: str, line: int, asked: str) -> list[Block | None]:
    """After an entry was written into line ``line`` of ``file``; ``asked`` is the trip as a person types it."""
    more = spans("; `seatplan arrange {asked}` shows every arrangement", asked=asked) if done.next else (
        spans("; `seatplan arrange {asked}` says why nothing is left", asked=asked))
    hint = together(spans("hint: `seatplan record {asked} --undo` takes this entry back", asked=asked), more)
    return [
        Paragraph(t("Noted in {file}, line {line}: {way}: {what_happened}.", file=file, line=line,
                    way=way(done.tried), what_happened=_what_happened(done.tried))),
        try_said(done), doubted(done.now.trip), _left(done.was, done.now), _next(done, asked),
        group(caution(), Paragraph(hint))]


def undone_content(done: AfterTry, file: str, line: int, asked: str) -> list[Block | None]:
    """After the entry of line ``line`` was taken back."""
    return [
        Paragraph(t("Taken back from {file}, line {line}: {way}: {what_happened}. The file is as it was before.",
                    file=file, line=line, way=way(done.tried), what_happened=_what_happened(done.tried))),
        doubted(done.now.trip), _left(done.was, done.now),
        group(caution(), Paragraph(spans("hint: `seatplan arrange {asked}` shows the arrangements", asked=asked)))]


def _what_happened(tried: Tried) -> str:
    told = [] if tried.moved is None else [t("moved {moved}", moved=Amount(tried.moved, "mm", "up"))]
    if tried.level is not None:
        told.append(t("level") if tried.level else t("not level"))
    if tried.failed:
        told.append(t("would not hold"))
    on = t(" on {on}", on=day(tried.on)) if tried.on else ""
    return (", ".join(told) or t("nothing measured")) + on


def _left(was: Plan, now: Plan) -> Paragraph:
    """How many seatings there are now, and were."""
    if not now.arrangements:
        if not now.tally.complete:
            return Paragraph(t("Undecided: the search stopped at its limit, and none of the arrangements it reached "
                               "works."))
        before = count(was.tally.valid, "arrangement")
        return Paragraph(t("Now nothing fits any more ({before} before).", before=before) if was.tally.valid
                         else t("Nothing fits, and nothing did before."))
    told = []
    for key in now.tally.sure:
        n, old = now.tally.sure[key], was.tally.sure[key]
        if n or old:
            told.append(f"{number(n)} {do(key, n)}" + (t(" ({old} before)", old=number(old)) if n != old else ""))
    at_least = "" if now.tally.complete else t("at least ")
    same = t(", as before") if now.tally.sure == was.tally.sure else ""
    return Paragraph(t("Arrangements now: {at_least}{told}{same}.", at_least=at_least, told=', '.join(told), same=same))


def _next(done: AfterTry, asked: str) -> Group | None:
    best = done.next
    if best is None:
        return None
    same = t("as today") if done.base == "today" else t("no change")
    n = count_to_measure(best)
    return group(
        Paragraph(_heading(done, best) + _counted_from(done)),
        group(
            Table((t("rider"), t("seat"), t("in"), t("held by"), t("change")), tuple(
                (c.rider, c.after.position, in_what(c.placement), held_by(c.placement), change_text(c, same))
                for c in done.changes), t("What to try next")),
            items([*cautions_said(best), *_today(done)]), *along(best), items(confirmed(best)),
            Paragraph(spans("to measure: {things}; `seatplan measure {asked}` lists them as a form",
                            things=count(n, "thing"), asked=asked), hangs=True) if n else None,
            inner=True))


def _heading(done: AfterTry, best: Arrangement) -> str:
    """What the arrangement is, and whether it has what was tried."""
    fits = _fits(best)
    if done.judged.outcome not in ("confirmed", "held", "unsettled"):
        return t("Try this next: it {fits}.", fits=fits)
    if done.has == "as tried":
        return t("Go on with this, which has {there}: it {fits}.", there=there(done.tried), fits=fits)
    if done.has == "otherwise held":
        return t("Go on with this, which has {there}: it {fits}. Held by {BY}, as it was tried, it could stay, too.",
                 there=there(done.tried), fits=fits, BY=BY[done.tried.by])
    return t("No arrangement that is as good has {way}. The best: it {fits}.", way=way(done.tried), fits=fits)


def _counted_from(done: AfterTry) -> str:
    """What the changes beside each rider are counted from."""
    return {
        "today": t(" Changes are counted from how they ride today."),
        "proposed": t(" Changes are counted from the arrangement that was being installed: the best one before this "
                      "try."),
        "likely": t(" Changes are counted from the arrangement that was being installed, taken to be the best one "
                    "with {there}.", there=there(done.tried)),
        "best": t(" Changes are counted from the best arrangement before this try."),
        "nothing": "",
    }[done.base]


def _today(done: AfterTry) -> list[str]:
    """Who rides elsewhere or in something else today, where changes are not counted from there."""
    told = [t("{rider} at {position} in {restraint}", rider=c.rider, position=c.before.position,
              restraint=c.before.restraint) if c.before.restraint else
            t("{rider} at {position} with the seat belt", rider=c.rider, position=c.before.position)
            for c in done.today if c.before is not None]
    return [t("today they ride otherwise: {told}", told="; ".join(told))] if told else []


def _fits(best: Arrangement) -> str:
    return {"fits": t("fits"), "close": t("is close (try it in the car)"),
            "likely": t("is likely (measure what is only estimated)"),
            "unmeasured": t("hangs on what was not measured")}.get(best.verdict, VERDICTS[best.verdict])
