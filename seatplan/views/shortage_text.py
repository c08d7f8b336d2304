"""Too few seats or restraints for some riders, and what took away each of the others, in numbers."""

from __future__ import annotations

from collections.abc import Sequence

from seatplan.rules.finding import Finding
from seatplan.solver.placements import JudgedPlacement
from seatplan.solver.results import Plan, ShortageShown

from .content import Group, Paragraph, group, items
from .say import t, tr
from .text import count, listed
from .words import held_by, in_what, sentence, shared_sentence


def shortage(plan: Plan, short: ShortageShown) -> Group:
    """Who wants what in one sentence, then the strongest reason against each seat or restraint."""
    return group(Paragraph(needed(plan, short)), group(items(_reasons(plan, short)), inner=True))


def _reasons(plan: Plan, short: ShortageShown) -> list[str]:
    groups: dict[tuple[str, str], list[tuple[str, str]]] = {}
    for rider, thing in short.taken_away:
        own, common = _reason(short.against[rider, thing])
        groups.setdefault((rider, common), []).append((thing, own))
    alike: dict[tuple[str, str], list[str]] = {}
    for (rider, common), things in groups.items():
        told = things[0][1] if len(things) == 1 else common
        alike.setdefault((listed([thing for thing, _ in things], "or"), told), []).append(rider)
    return [t("{riders} not in {names}: {told}", riders=listed(riders), names=names, told=told)
            if short.thing == "restraint"
            else t("{riders} not at {names}: {told}", riders=listed(riders), names=names, told=told)
            for (names, told), riders in alike.items()]


def needed(plan: Plan, short: ShortageShown) -> str:
    """Who needs how many of what, and what there is."""
    riders, seats = len(plan.trip.riders), len(plan.choices.positions)
    who, n = listed(short.riders), len(short.riders)
    if short.thing == "position" and riders > seats:
        start = t("There are {riders} and only {seats}. ", riders=count(riders, 'rider'), seats=count(seats, 'seat'))
    else:
        start = ""
    if n == 1 and short.thing in ("position", "restraint"):
        where = t("at no seat of this car") if short.thing == "position" else t("in no restraint at hand")
        return t("{start}{who} can ride {where}.", start=start, who=who, where=where)
    have = t("have none between them") if not short.have else (
        t("have only {counted} between them: {have}", counted=_counted(short.thing, len(short.have)),
          have=listed([tr(name) for name in short.have])))
    if short.thing == "lower-anchor-bars":
        return (t("Whichever way, {who} hang on lower anchors, two bars each, so they need {bars} bars in pairs, and "
                  "{have}.", who=who, bars=2 * n, have=have))
    whichever = t("Whichever way, ") if short.thing == "tether-anchor" else ""
    return t("{start}{whichever}{who} need {counted} and {have}.", start=start, whichever=whichever, who=who,
             counted=_counted(short.thing, n), have=have)


def _counted(thing: str, n: int) -> str:
    if thing == "position":
        return count(n, "seat")
    if thing == "restraint":
        return count(n, "restraint")
    return count(n, "tether anchor") if thing == "tether-anchor" else count(n, "bar")


def _reason(cells: Sequence[JudgedPlacement]) -> tuple[str, str]:
    """What rules out every way to ride there; otherwise what rules out the one with the fewest against it.

    Said of this very seat, and said so that several seats can share it.
    """
    if not cells:
        return (t("there is nothing to ride in"),) * 2
    every = [f for f in _against(cells[0]) if all(any(g.rule == f.rule for g in _against(c)) for c in cells)]
    if every:
        return _told(every[:1], "")
    nearest = min(cells, key=lambda cell: (len(_against(cell)), cell.placement.mode_name == "seat-belt"))
    placement = nearest.placement
    held = t(" by {held_by}", held_by=held_by(placement)) if placement.restraint else ""
    return _told(_against(nearest), t("nearest is {in_what}{held}: ", in_what=in_what(placement), held=held))


def _against(cell: JudgedPlacement) -> list[Finding]:
    blocks = [f for f in cell.findings if f.outcome == "block"]
    return blocks or [f for f in cell.findings if f.outcome == "unmeasured"]


def _told(findings: Sequence[Finding], way: str) -> tuple[str, str]:
    own = way + "; ".join(f"{sentence(f)} ({f.rule})" for f in findings)
    shared = way + "; ".join(f"{shared_sentence(f)} ({f.rule})" for f in findings)
    return own, shared
