"""What happened at the car, what that leaves, and what to try next."""

from __future__ import annotations

from typing import Any

from seatplan.app.record import Noted
from seatplan.message import Amount, Figure
from seatplan.model import Installed, Tried
from seatplan.readings import READINGS
from seatplan.rules.tries import held_by as held_by_of
from seatplan.rules.tries import reading
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
from .say import look_up, t
from .terminal import parts_of
from .text import count, listed
from .tried_text import confirmed
from .try_text import forbidden_said, there, try_said, way
from .under_way_text import state_in
from .words import BY, fits_said, held_by, in_what


def record_text(noted: Noted, file: str, asked: str) -> str:
    """After something was written, as text; see ``record_content``."""
    return parts_of(record_content(noted, file, asked))


def record_content(noted: Noted, file: str, asked: str) -> list[Block | None]:
    """After something was written into ``file``; ``asked`` is the trip as a person types it."""
    now, done = noted.now, noted.after
    more = spans("; `seatplan arrange {asked}` shows every arrangement", asked=asked) if now.arrangements else (
        spans("; `seatplan arrange {asked}` says why nothing is left", asked=asked))
    hint = together(spans("hint: `seatplan undo {asked}` takes this back", asked=asked), more)
    last = group(caution(), Paragraph(hint))
    if done is None:
        return [forbidden_said(noted.forbidden) if noted.forbidden is not None else None,
                *_installed(noted, file), doubted(now.trip), _displaced(noted), _under_way(noted, asked), last]
    return [
        Paragraph(t("Noted in {file}, line {line}: {way}: {what_happened}.", file=file, line=noted.recorded.line or 0,
                    way=way(done.tried), what_happened=_what_happened(done.tried))),
        try_said(done), doubted(now.trip), _displaced(noted), _under_way(noted, asked), _left(done.was, now),
        _next(noted, done, asked), last]


def came_of_it(noted: Noted) -> list[Block | None]:
    """What came of what was written, where nobody types a command: what the try says, what is under way, how many
    arrangements are left, what to do next."""
    now, done = noted.now, noted.after
    if done is None:
        return [forbidden_said(noted.forbidden) if noted.forbidden is not None else None, *_installed(noted, ""),
                doubted(now.trip), _displaced(noted), _under_way(noted, "")]
    return [try_said(done), doubted(now.trip), _displaced(noted), _under_way(noted, ""), _left(done.was, now),
            _next(noted, done, "")]


def _installed(noted: Noted, file: str) -> list[Block | None]:
    """What was noted where nothing was tried; ``file``: empty where nobody knows it by a name."""
    before, after = noted.recorded.before, noted.recorded.after
    new = {rider: here for rider, here in after.installed.items() if before.installed.get(rider) != here}
    if not new:
        return [Paragraph(t("Noted in {file}.", file=file) if file else t("Noted."))]
    told = "; ".join(_ridden(rider, here) for rider, here in new.items())
    if not file:
        return [Paragraph(t("Noted, as it is in the car: {told}. That it holds is not noted by that.", told=told))]
    return [Paragraph(t("Noted in {file}, as it is in the car: {told}. That it holds is not noted by that.", file=file,
                        told=told))]


def _ridden(rider: str, here: Installed) -> str:
    """``Wren rides at 2R in Nook``; of the belt alone how it lies, too."""
    if here.restraint is not None:
        return t("{rider} rides at {position} in {restraint}", rider=rider, position=here.position,
                 restraint=here.restraint)
    fits = reading(here, "belt_fits")
    lies = "" if fits is None else f", {told_of_reading('belt_fits', fits)}"
    return t("{rider} rides at {position} with the seat belt alone", rider=rider, position=here.position) + lies


def _displaced(noted: Noted) -> Block | None:
    """Of whom something was noted as installed, and nothing is any more."""
    if not noted.displaced:
        return None
    told = "; ".join(_rides(rider, here) for rider, here in noted.displaced.items())
    gone = t("No longer noted as installed: {told}.", told=told)
    arrived = t(" Nor does how the car arrived say so any more: {riders}.", riders=listed(
        list(noted.not_arrived))) if noted.not_arrived else ""
    return Paragraph(gone + arrived)


def _rides(rider: str, here: Installed) -> str:
    """``Wren at 2C in Nook``."""
    if here.restraint is None:
        return t("{rider} at {position} with the seat belt", rider=rider, position=here.position)
    return t("{rider} at {position} in {restraint}", rider=rider, position=here.position, restraint=here.restraint)


def _under_way(noted: Noted, asked: str) -> Block | None:
    """How far the arrangement under way is, or that it is done."""
    if noted.done:
        return Paragraph(t("All of it is in and holds; nothing is under way any more."))
    if noted.state is None:
        return None
    return group(Paragraph(t("It is another arrangement than was under way before.")) if noted.other else None,
                 state_in(noted.state, noted.now, noted.best), _beside(noted, asked))


def _beside(noted: Noted, asked: str) -> Block | None:
    """That what held is no part of what is under way, and how it could be."""
    if not noted.beside or noted.after is None:
        return None
    if not asked:
        return Paragraph(t("{there} held and is no part of that.", there=there(noted.after.tried)))
    return Paragraph(spans(
        "{there} held and is no part of that. To go on with it all the same: `seatplan arrange {asked} --all` lists "
        "every arrangement, and `seatplan record {asked} --go-on-with N` takes the one with number N.",
        there=there(noted.after.tried), asked=asked))


def _what_happened(tried: Tried) -> str:
    told = [told_of_reading(key, value) for key in READINGS if (value := reading(tried, key)) not in (None, "")]
    if tried.failed:
        told.append(t("would not hold"))
    on = t(" on {on}", on=day(tried.on)) if tried.on else ""
    return (", ".join(told) or t("nothing measured")) + on


def told_of_reading(key: str, value: Any) -> str:
    """One reading in words: ``left to right 12 mm``."""
    if key == "level":
        return t("level") if value else t("not level")
    if key == "belt_fits":
        return t("the belt fits") if value else t("the belt does not fit")
    unit = READINGS[key].unit
    shown = Amount(value, "mm", "up") if unit == "mm" else Figure(value) if unit else value
    if key == "moved":
        return t("moved {moved}", moved=shown)
    return f"{look_up(READINGS[key].label)} {t('{shown}', shown=shown)}{unit if unit != 'mm' else ''}"


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


def _next(noted: Noted, done: AfterTry, asked: str) -> Group | None:
    best = done.next
    if best is None:
        return None
    same = t("as today") if done.base == "today" else t("no change")
    n = count_to_measure(best)
    return group(
        Paragraph((t("So it is in: it {fits}.", fits=fits_said(best.verdict)) if noted.done else _heading(done, best))
                  + _counted_from(done)),
        group(
            Table((t("rider"), t("seat"), t("in"), t("held by"), t("change")), tuple(
                (c.rider, c.after.position, in_what(c.placement), held_by(c.placement), change_text(c, same))
                for c in done.changes), t("What to try next")),
            items([*cautions_said(best), *_today(done)]), *along(best), items(confirmed(best)),
            Paragraph(spans("to measure: {things}; `seatplan measure {asked}` lists them as a form",
                            things=count(n, "thing"), asked=asked), hangs=True) if n and asked else None,
            inner=True))


def _heading(done: AfterTry, best: Arrangement) -> str:
    """What the arrangement is, and whether it has what was tried."""
    fits = fits_said(best.verdict)
    if done.judged.outcome not in ("confirmed", "held", "unsettled"):
        return t("Try this next: it {fits}.", fits=fits)
    if done.has == "as tried":
        return t("Go on with this, which has {there}: it {fits}.", there=there(done.tried), fits=fits)
    if done.has == "otherwise held":
        return t("Go on with this, which has {there}: it {fits}. Held by {BY}, as it was tried, it could stay, too.",
                 there=there(done.tried), fits=fits, BY=BY[held_by_of(done.tried)])
    return t("No arrangement that is as good has {way}. The best: it {fits}.", way=way(done.tried), fits=fits)


def _counted_from(done: AfterTry) -> str:
    """What the changes beside each rider are counted from."""
    return {
        "under way": t(" Changes are counted from the arrangement that was under way."),
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
