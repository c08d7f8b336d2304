"""An outlook as text: how long it lasts, what comes next for whom, what to buy, and the dates to measure again."""

from __future__ import annotations

from datetime import date

from seatplan.growth.course import Leg
from seatplan.growth.limits import Stay
from seatplan.growth.outlook import Doubt, Outlook, Step, Way
from seatplan.growth.purchase import Purchase

from .caution import CAUTION
from .doubted_text import doubted_part
from .manner import day as day_told
from .outlook_chart import chart, children
from .outlook_words import again_text, change_text, move_text, short_text, window_text
from .room_hint import room_hint
from .room_text import in_a_line
from .say import Words, shown, t
from .text import count, fitted, listed, table, wrapped
from .words import BY, MODES, SHORT_MODES, car_name

_INDENT = "   "
VERDICTS = Words({"unmeasured": "works if what is to be measured says so", "none": "nothing at hand works"})


def outlook_text(outlook: Outlook, asked: str = "TRIP", *, room: bool = False) -> str:
    """The whole answer. ``asked``: trip and options as typed; ``room``: whether `seatplan room` can be named."""
    parts = [_head(outlook), _answer(outlook), doubted_part(outlook.trip), _growth(outlook)]
    parts.append(
        fitted(t("Each child as long as it lasts in the seat that protects most\n"))
        + chart(outlook, outlook.protection)
    )
    parts += _steps(outlook, outlook.protection)
    parts.append(_fewest(outlook))
    parts.append(_purchase(outlook, asked, room))
    parts.append(_limits(outlook))
    parts.append(wrapped(t("caution: {CAUTION}", CAUTION=CAUTION)))
    day = next((s.change.day for s in outlook.protection.steps if s.change), outlook.end)
    command = f"`seatplan arrange {asked} --on {day.isoformat()}`"      # a day as it is typed, in every language
    parts[-1] += "\n" + wrapped(t("hint: {command} shows every arrangement of that day", command=command))
    return "\n\n".join(part for part in parts if part) + "\n"


def _head(outlook: Outlook) -> str:
    trip = outlook.trip
    return wrapped(t("{trip}: how long it lasts", trip=trip.trip)) + "\n" + wrapped(
        t("in {vehicle}, rules {name}, {start} to {end}: "
          "{riders}, {restraints}", vehicle=car_name(trip.vehicle), name=outlook.profile.name,
          start=outlook.start, end=outlook.end, riders=count(len(trip.riders), 'rider'),
          restraints=count(len(trip.restraints), 'restraint')))


def _answer(outlook: Outlook) -> str:
    return "\n".join(wrapped(line, "", _INDENT) for line in answer_lines(outlook))


def answer_lines(outlook: Outlook) -> list[str]:
    """Until when it goes on, the first change, the first purchase: a paragraph each."""
    told = []
    gap_ends = outlook.gap_end is not None and outlook.gap_end < outlook.end
    if not outlook.works_now:
        told.append(
            t("Nothing at hand works")
            + (t(" up to {gap_end}.", gap_end=outlook.gap_end) if gap_ends else t(" today, nor later."))
        )
    elif outlook.gap:
        told.append(
            t("With what is at hand it goes on until {gap}; from then to {gap_end} nothing works.", gap=outlook.gap,
              gap_end=outlook.gap_end) if gap_ends else
            t("With what is at hand it goes on until {gap}; from then on nothing works.", gap=outlook.gap)
        )
    elif outlook.hangs_from_start:
        told.append(t("Whether what is at hand works hangs on what was not measured, already on the first day; nothing "
                      "speaks against it up to {end}.", end=outlook.end))
    else:
        told.append(t("What is at hand is likely enough up to {end}.", end=outlook.end))
    first = next((step for step in outlook.protection.steps if step.change), None)
    if first is not None and first.change is not None:
        why = change_text(first.change, outlook.end)
        told.append(t("The first change: {why}", why=why))
    if outlook.purchase is not None:
        told.append(_first_purchase(outlook.purchase, outlook.end))
    return told


def _first_purchase(purchase: Purchase, end: date) -> str:
    whom = t(" for {riders}", riders=listed(purchase.riders)) if purchase.riders else ""
    if not purchase.must:
        start = t("The first purchase: likely none by {end}, but one may be needed{whom} from {day}", end=end,
                  whom=whom, day=purchase.day)
    else:
        start = t("The first purchase: another restraint{whom} by {day}", whom=whom, day=purchase.day)
    wide = "" if purchase.room is None else t(" Room for one then: {in_a_line}.", in_a_line=in_a_line(purchase.room))
    if not purchase.offers:
        return t("{start}; none of the bundled ones would do alone.{wide}", start=start, wide=wide)
    return t("{start}, such as {restraint} ({SHORT_MODES}).{wide}", start=start,
             restraint=purchase.offers[0].restraint, SHORT_MODES=SHORT_MODES[purchase.offers[0].mode], wide=wide)


def _growth(outlook: Outlook) -> str:
    told = growth_said(outlook)
    return wrapped(told) if told else ""


def growth_said(outlook: Outlook) -> str:
    """Where the dates come from and how sure they are; empty where nobody grows."""
    if not outlook.stays:
        return ""
    both = [r.rider for r in outlook.trip.riders if not r.adult and r.sex is None]
    unknown = [r.rider for r in outlook.trip.riders if not r.adult and r.due is None and r.born is None
               and r.age is None]
    told = t(
        "Dates are reckoned from growth tables (CDC 2000): the likely day first, then the earliest for a child who "
        "grows fast and the latest for one who grows slowly; 8 of 10 children are in between. They are no promise: "
        "a scale and a tape decide."
    )
    if both:
        told += (t(" Nobody wrote down whether {both} is a girl or a boy, so the range covers both; "
                   "`sex:` makes it narrower.", both=listed(both, 'or')))
    if unknown:
        told += t(" Without a day of birth nothing can be reckoned for {unknown}.", unknown=listed(unknown))
    return told


def _steps(outlook: Outlook, way: Way) -> list[str]:
    return [_step(outlook, n, step, way.steps[n - 2] if n > 1 else None) for n, step in enumerate(way.steps, 1)]


def _step(outlook: Outlook, n: int, step: Step, before: Step | None) -> str:
    leg, moved = step.leg, moves_said(step, before)
    lines = [wrapped(f"{n}. {step_head(outlook, step)}", "", _INDENT)]
    if leg.seating is not None and not moved:
        lines.append(table(["rider", "seat", "in"], [
            [p.rider, p.position, MODES[p.mode] if p.restraint is None else f"{p.restraint}, {MODES[p.mode]}"]
            for p in leg.seating], _INDENT))
    lines += [wrapped(line, _INDENT, _INDENT * 2) for line in (*moved, *step_notes(outlook, step, before))]
    return "\n".join(lines)


def step_head(outlook: Outlook, step: Step) -> str:
    """The days of a leg, and whether it is sure."""
    told = "" if step.verdict == "likely" else f": {VERDICTS[step.verdict]}"
    return f"{_days(step.leg, outlook)}{told}"


def moves_said(step: Step, before: Step | None) -> list[str]:
    """Who changes place at the start of a leg; empty where nothing worked before, so that all are told anew."""
    if step.leg.seating is None or before is None or before.leg.seating is None or before.change is None:
        return []
    stay = len(before.change.moves) < len(step.leg.seating)
    return [*(move_text(move) for move in before.change.moves), *([t("everybody else stays")] if stay else [])]


def step_notes(outlook: Outlook, step: Step, before: Step | None) -> list[str]:
    """Whom to measure again and by when, and what ends a leg."""
    asked = {_doubted(doubt) for doubt in before.doubts} if before is not None else set()
    told = [f"{t('now') if doubt.first <= outlook.start else t('by {first}', first=doubt.first)}: "
            f"{again_text(doubt.finding)}" for doubt in step.doubts if _doubted(doubt) not in asked]
    if step.change is not None:
        told.append(t("ends: {change_text}", change_text=change_text(step.change, outlook.end)))
    return told


def _doubted(doubt: Doubt) -> tuple[str, str, str | None]:
    return doubt.rider, doubt.finding.rule, doubt.finding.restraint


def _days(leg: Leg, outlook: Outlook) -> str:
    start = t("now") if leg.first == outlook.start else day_told(leg.first)
    end = t("{last}, the last day looked at", last=leg.last) if leg.last == outlook.end else day_told(leg.last)
    return t("{start} to {end}", start=start, end=end)


def _fewest(outlook: Outlook) -> str:
    one, other = outlook.protection.course, outlook.moves.course
    more = "" if one.complete and other.complete else t(" (of the many seatings, the best were looked at)")
    if all(leg.seating is None for leg in one.legs):
        return ""
    if one.moves <= other.moves:
        return wrapped(
            t("No other way needs fewer moves than these {moves}{more}.", moves=one.moves, more=more)
            if one.moves
            else t("Nobody has to move.")
        )
    lines = [wrapped(t("With the fewest moves: {moves} rather than {moves_2}{more}", moves=count(other.moves, 'move'),
                       moves_2=one.moves, more=more))]
    for step, before in zip(outlook.moves.steps, [None, *outlook.moves.steps], strict=False):
        told = _days(step.leg, outlook) + ": "
        if step.leg.seating is None:
            told += VERDICTS["none"]
        elif before is None or before.change is None or before.leg.seating is None:
            those = set(children(outlook))
            told += "; ".join(t("{rider} {position} {some}", rider=p.rider, position=p.position,
                                some=p.restraint or t('adult belt'))
                              + (f" {SHORT_MODES[p.mode]}" if p.restraint else "")
                              for p in step.leg.seating if p.rider in those)
        else:
            told += "; ".join(move_text(move) for move in before.change.moves)
        lines.append(wrapped(told, _INDENT, _INDENT * 2))
    return "\n".join(lines)


def _purchase(outlook: Outlook, asked: str, room: bool) -> str:
    purchase = outlook.purchase
    if purchase is None:
        return ""
    whom = listed(purchase.riders) or t("one of the children")
    start = (t("Nothing at hand works today") if purchase.must and purchase.day == outlook.start else
             t("From {day} on nothing at hand works any more", day=purchase.day) if purchase.must else
             t("From {day} on it is not sure any more that what is at hand is enough", day=purchase.day))
    short = (
        (
            t(": {whom} may have outgrown all of it, or be too small for what comes next", whom=whom)
            if not purchase.must
            else t(": {whom} has outgrown all of it", whom=whom)
        )
        if purchase.riders
        else (t(": each would have something to ride in, but not all of them together"))
    )
    lines = [t("To buy"), wrapped(f"{start}{short}.", _INDENT)]
    if purchase.offers:
        lines.append(wrapped(
            t("The car was solved for that day with each of the {tried} bundled restraints, all invented. "
              "These would do, the most protective first:", tried=purchase.tried), _INDENT))
        lines.append(table(["restraint", "for", "as", t("lasts until")], [
            [offer.restraint, offer.rider, MODES[offer.mode],
             t("beyond {end}", end=outlook.end) if offer.ends is None else window_text(offer.ends, outlook.end)]
            for offer in purchase.offers], _INDENT))
    else:
        lines.append(wrapped(t("None of the {tried} bundled restraints alone would do; `--stock` looks for a "
                               "set.", tried=purchase.tried), _INDENT))
    if purchase.room is not None:
        lines.append(wrapped(t("Its room on that day, with everybody else in the car: {in_a_line}.",
                               in_a_line=in_a_line(purchase.room)),
                             _INDENT))
    if room and purchase.riders:
        lines.append(wrapped(room_hint(asked, purchase.riders[0], purchase.day), _INDENT))
    return "\n".join(lines)


def _limits(outlook: Outlook) -> str:
    """What each child can ride in, from when, until when; ways that likely open later than the look are left out."""
    rows, named = [], ""
    for stay in _merged(outlook.stays):
        closes, opens = stay.closes, stay.opens
        if opens is not None and opens.window.likely is None:
            continue
        start = t("now") if opens is None else str(shown(opens.window.likely))
        if closes is None:
            until = [t("beyond"), "", ""]
        elif closes.window.exact:
            until = [str(shown(closes.window.likely)), "", ""]
        else:
            until = [day_told(day) if day else t("beyond") for day in
                     (closes.window.likely, closes.window.earliest, closes.window.latest)]
        if _whose(stay) != named:
            named = _whose(stay)
            rows.append([named, "", "", "", "", ""])
        rows.append([f"  {_how(stay)}", start, *until, short_text(closes) if closes else ""])
    if not rows:
        return ""
    return (wrapped(t("What each can ride in by the limits alone, up to {end}; whether it fits beside the "
                      "others is told above", end=outlook.end))
            + "\n" + table(["", "from", t("until, likely"), "earliest", "latest", "limit"], rows, _INDENT))


def _whose(stay: Stay) -> str:
    if not stay.restraint:
        return t("{rider} without", rider=stay.rider)
    return t("{rider} in {restraint}", rider=stay.rider, restraint=stay.restraint)


def _how(stay: Stay) -> str:
    if stay.restraint is None:
        return MODES[stay.mode]
    held = {"": "", "lap-shoulder-belt": t(", belt")}.get(stay.by, f", {BY.get(stay.by, stay.by)}")
    return f"{SHORT_MODES[stay.mode]}{held}"


def _merged(stays: tuple[Stay, ...]) -> list[Stay]:
    """One line for a mode whose installations all begin and end alike."""
    found: list[Stay] = []
    for stay in stays:
        alike = [s for s in stays if (s.rider, s.restraint, s.mode) == (stay.rider, stay.restraint, stay.mode)]
        windows = {(s.opens and s.opens.window, s.closes and s.closes.window) for s in alike}
        if len(windows) == 1:
            if stay is alike[0]:
                found.append(Stay(stay.rider, stay.restraint, stay.mode, "", None, stay.opens, stay.closes))
        else:
            found.append(stay)
    return found
