"""An outlook as text: how long it lasts, what comes next for whom, what to buy, and the dates to measure again."""

from __future__ import annotations

from datetime import date

from seatplan.growth.course import Leg
from seatplan.growth.limits import Stay
from seatplan.growth.outlook import Doubt, Outlook, Step, Way
from seatplan.growth.purchase import Purchase

from .caution import caution
from .content import Block, Group, Heading, Paragraph, Table, Text, Timeline, Typed, group, items, spans, together
from .doubted_text import doubted
from .manner import day as day_told
from .outlook_chart import children
from .outlook_words import again_text, change_text, move_text, short_text, window_text
from .room_hint import room_hint
from .room_text import in_a_line
from .say import Words, shown, t
from .terminal import parts_of
from .text import count, listed
from .under_way_text import under_way
from .words import BY, MODES, SHORT_MODES, car_name

VERDICTS = Words({"unmeasured": "works if what is to be measured says so", "none": "nothing at hand works"})


def outlook_text(outlook: Outlook, asked: str = "TRIP", *, room: bool = False) -> str:
    """The answer as text; see ``outlook_content``."""
    return parts_of(outlook_content(outlook, asked, room=room))


def outlook_content(outlook: Outlook, asked: str | None = "TRIP", *, room: bool = False) -> list[Block | None]:
    """The whole answer. ``asked``: trip and options as typed, None where nothing is typed; ``room``: whether
    `seatplan room` can be named."""
    day = next((s.change.day for s in outlook.protection.steps if s.change), outlook.end)
    command = f"seatplan arrange {asked} --on {day.isoformat()}"      # a day as it is typed, in every language
    return [
        _head(outlook), items(answer_lines(outlook)), under_way(outlook.trip, outlook.profile, outlook.start),
        doubted(outlook.trip), _growth(outlook),
        group(Heading(t("Each child as long as it lasts in the seat that protects most")),
              Timeline(outlook, outlook.protection)),
        *_steps(outlook, outlook.protection),
        _fewest(outlook), _purchase(outlook, asked or "", room), _limits(outlook),
        group(caution(), None if asked is None else Paragraph(spans(
            "hint: `{command}` shows every arrangement of that day", command=Typed(command))))]


def _head(outlook: Outlook) -> Group:
    trip = outlook.trip
    return group(Heading(t("{trip}: how long it lasts", trip=trip.trip)), Paragraph(
        t("in {vehicle}, rules {name}, {start} to {end}: "
          "{riders}, {restraints}", vehicle=car_name(trip.vehicle), name=outlook.profile.name,
          start=outlook.start, end=outlook.end, riders=count(len(trip.riders), 'rider'),
          restraints=count(len(trip.restraints), 'restraint'))))


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


def _growth(outlook: Outlook) -> Paragraph | None:
    told = growth_said(outlook)
    return Paragraph(told) if told else None


def growth_said(outlook: Outlook) -> Text:
    """Where the dates come from and how sure they are; empty where nobody grows."""
    if not outlook.stays:
        return ""
    both = [r.rider for r in outlook.trip.riders if not r.adult and r.sex is None]
    unknown = [r.rider for r in outlook.trip.riders if not r.adult and r.due is None and r.born is None
               and r.age is None]
    told: Text = t(
        "Dates are reckoned from growth tables (CDC 2000, under 24 months WHO 2006 as well): the likely day first, "
        "then the earliest for a child who grows fast and the latest for one who grows slowly; about 98 of 100 "
        "children are in between. They are no promise: a scale and a tape decide."
    )
    if both:
        told = together(told, spans(" Nobody wrote down whether {both} is a girl or a boy, so the range covers both; "
                                    "`sex:` makes it narrower.", both=listed(both, "or")))
    if unknown:
        told = together(told, t(" Without a day of birth nothing can be reckoned for {unknown}.",
                                unknown=listed(unknown)))
    return told


def _steps(outlook: Outlook, way: Way) -> list[Block]:
    return [_step(outlook, n, step, way.steps[n - 2] if n > 1 else None) for n, step in enumerate(way.steps, 1)]


def _step(outlook: Outlook, n: int, step: Step, before: Step | None) -> Group:
    leg, moved = step.leg, moves_said(step, before)
    seated = None
    if leg.seating is not None and not moved:
        seated = Table((t("rider"), t("seat"), t("in")), tuple(
            (p.rider, p.position, MODES[p.mode] if p.restraint is None else f"{p.restraint}, {MODES[p.mode]}")
            for p in leg.seating), step_head(outlook, step))
    return group(Heading(f"{n}. {step_head(outlook, step)}"),
                 group(seated, items([*moved, *step_notes(outlook, step, before)]), inner=True))


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


def _fewest(outlook: Outlook) -> Block | None:
    one, other = outlook.protection.course, outlook.moves.course
    more = "" if one.complete and other.complete else t(" (of the many arrangements, the best were looked at)")
    if all(leg.seating is None for leg in one.legs):
        return None
    if one.moves <= other.moves:
        return Paragraph(t("No other way needs fewer moves than these {moves}{more}.", moves=one.moves, more=more)
                         if one.moves else t("Nobody has to move."))
    return group(
        Heading(t("With the fewest moves: {moves} rather than {moves_2}{more}", moves=count(other.moves, "move"),
                  moves_2=one.moves, more=more)),
        group(items([f"{_days(step.leg, outlook)}: {_seated_then(outlook, step, before)}" for step, before in zip(
            outlook.moves.steps, [None, *outlook.moves.steps], strict=False)]), inner=True))


def _seated_then(outlook: Outlook, step: Step, before: Step | None) -> str:
    """Who sits where in a leg, or who moves at its start."""
    if step.leg.seating is None:
        return VERDICTS["none"]
    if before is None or before.change is None or before.leg.seating is None:
        those = set(children(outlook))
        return "; ".join(t("{rider} {position} {some}", rider=p.rider, position=p.position,
                           some=p.restraint or t("seat belt")) + (f" {SHORT_MODES[p.mode]}" if p.restraint else "")
                         for p in step.leg.seating if p.rider in those)
    return "; ".join(move_text(move) for move in before.change.moves)


def _purchase(outlook: Outlook, asked: str, room: bool) -> Group | None:
    purchase = outlook.purchase
    if purchase is None:
        return None
    return group(
        Heading(t("To buy")),
        group(
            Paragraph(_when_to_buy(outlook, purchase)), *_offers(outlook, purchase),
            None if purchase.room is None else Paragraph(
                t("Its room on that day, with everybody else in the car: {in_a_line}.",
                  in_a_line=in_a_line(purchase.room))),
            Paragraph(room_hint(asked, purchase.riders[0], purchase.day)) if room and purchase.riders else None,
            inner=True))


def _when_to_buy(outlook: Outlook, purchase: Purchase) -> str:
    """From when what is at hand is not enough, and for whom."""
    whom = listed(purchase.riders) or t("one of the children")
    start = (t("Nothing at hand works today") if purchase.must and purchase.day == outlook.start else
             t("From {day} on nothing at hand works any more", day=purchase.day) if purchase.must else
             t("From {day} on it is not sure any more that what is at hand is enough", day=purchase.day))
    if not purchase.riders:
        short = t(": each would have something to ride in, but not all of them together")
    elif purchase.must:
        short = t(": {whom} has outgrown all of it", whom=whom)
    else:
        short = t(": {whom} may have outgrown all of it, or be too small for what comes next", whom=whom)
    return f"{start}{short}."


def _offers(outlook: Outlook, purchase: Purchase) -> list[Block]:
    if not purchase.offers:
        return [Paragraph(spans("None of the {tried} bundled restraints alone would do; `--stock` looks for a set.",
                                tried=purchase.tried))]
    return [
        Paragraph(t("The car was solved for that day with each of the {tried} bundled restraints, all invented. "
                    "These would do, the most protective first:", tried=purchase.tried)),
        Table((t("restraint"), t("for"), t("as"), t("lasts until")), tuple(
            (offer.restraint, offer.rider, MODES[offer.mode],
             t("beyond {end}", end=outlook.end) if offer.ends is None else window_text(offer.ends, outlook.end))
            for offer in purchase.offers), t("To buy"))]


def _limits(outlook: Outlook) -> Group | None:
    """What each child can ride in, from when, until when; ways that likely open later than the look are left out."""
    rows: list[tuple[str, ...]] = []
    named = ""
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
            rows.append((named, "", "", "", "", ""))
        rows.append((f"  {_how(stay)}", start, *until, short_text(closes) if closes else ""))
    if not rows:
        return None
    head = t("What each can ride in by the limits alone, up to {end}; whether it fits beside the others is told above",
             end=outlook.end)
    return group(Heading(head), group(Table(
        ("", t("from"), t("until, likely"), t("earliest"), t("latest"), t("limit")), tuple(rows),
        t("What each can ride in by the limits alone")), inner=True))


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
