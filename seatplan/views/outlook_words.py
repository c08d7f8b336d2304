"""Limits that a child meets in time, windows of days and changes, in a parent's words."""

from __future__ import annotations

from datetime import date

from seatplan.growth.limits import Limit, Window
from seatplan.growth.outlook import Change, Move
from seatplan.growth.solved import Place
from seatplan.rules.finding import Finding

from .say import Words, fill, t, tr
from .text import listed
from .words import SHORT_MODES, limit_of, sentence, settling

#: rule -> what happens when its limit is met from below; ``{rider}``, ``{limit}`` and ``{in}``
ENDS = Words({
    "child-too-heavy": "{rider} weighs more than {limit}, the most for {in}",
    "child-too-tall": "{rider} is taller than {limit}, the most for {in}",
    "child-too-old": "{rider} is older than {limit}, the most for {in}",
    "straps-below-shoulder": "{rider}'s shoulders are above the highest straps of {in}, at {limit}",
    "head-near-shell-top": "{rider}'s head comes too near the top of {in}",
    "ears-above-shell-top": "{rider}'s ears are above the top of {in}, at {limit}",
    "lower-anchors-overloaded": "{rider} is too heavy for {in} on the lower anchors, which take {limit}",
    "restraint-expired": "{restraint} is past its last day of use, {limit}",
    "tether-overloaded": "{rider} is too heavy for the tether anchor, which takes {limit}",
})
#: the same limits as they stand in a table
SHORT_ENDS = Words({
    "child-too-heavy": "{limit}", "child-too-tall": "{limit}", "child-too-old": "age {limit}",
    "straps-below-shoulder": "highest straps", "head-near-shell-top": "head near top",
    "ears-above-shell-top": "ears at top", "lower-anchors-overloaded": "{limit}",
    "restraint-expired": "last day of use", "tether-overloaded": "tether anchor",
})
#: rule -> what to measure again before the child may have left the place
AGAIN = Words({
    "child-too-heavy": "weigh {rider}: {in} takes up to {limit}",
    "child-too-light": "weigh {rider}: {in} takes {limit} and more",
    "child-too-tall": "measure {rider}: {in} takes up to {limit}",
    "child-too-short": "measure {rider}: {in} takes {limit} and more",
    "straps-below-shoulder": "look whether the highest straps of {in}, at {limit}, are still at or above {rider}'s "
                             "shoulders",
    "straps-above-shoulder": "look whether the lowest straps of {in}, at {limit}, are at or below {rider}'s "
                             "shoulders",
    "head-near-shell-top": "look how near {rider}'s head is to the top of {in}",
    "ears-above-shell-top": "look whether {rider}'s ears are still below the top of {in}",
    "lower-anchors-overloaded": "weigh {rider}: the lower anchors take {limit} with {in}",
    "adult-belt-does-not-fit": "measure {rider}, or try the belt: it fits from {limit}",
    "not-ready-for-booster": "see whether {rider} sits upright for a whole ride and is heavy enough for a booster",
})


def limit_text(limit: Limit) -> str:
    """What ends a way to ride, as a clause."""
    return _filled(ENDS, limit.finding)


def short_text(limit: Limit) -> str:
    """The same in a word or two."""
    return _filled(SHORT_ENDS, limit.finding, limit.finding.rule.replace("-", " "))


def again_text(finding: Finding) -> str:
    """What to measure again, as something to do."""
    told = settling(finding.result)
    fallback = f"{tr(finding.result.field)}: {tr(finding.result.how)}" + (f" ({told})" if told else "")
    return _filled(AGAIN, finding, fallback)


def _filled(words: dict[str, str], finding: Finding, fallback: str | None = None) -> str:
    template = words.get(finding.rule)
    if template is None:
        return sentence(finding) if fallback is None else fallback
    return fill(template, {"rider": listed(finding.riders), "limit": limit_of(finding.result),
                           "restraint": finding.restraint, "in": finding.restraint or t("the seat belt")})


def window_text(window: Window, end: date) -> str:
    """When something happens, the likely day first."""
    early, likely, late = window
    if window.exact:
        return t("on {likely}", likely=likely) if likely else t("not by {end}", end=end)
    if likely is None:
        return t("not before {early}, likely after {end}", early=early, end=end)
    between = t("{early} at the earliest", early=early) if early != likely else ""
    last = (
        t("{late} at the latest", late=late)
        if late and late != likely
        else ""
        if late
        else t("perhaps after {end}", end=end)
    )
    return t("likely on {likely} ({part})", likely=likely, part=', '.join(part for part in (between, last) if part))


def change_text(change: Change, end: date) -> str:
    """Why the arrangement before ends, as sentences."""
    if change.opens:
        return t("From {day} on something at hand works.", day=change.day)
    told = [f"{limit_text(limit)}: {window_text(limit.window, end)}." for limit in change.limits]
    told += [t("{name} is due on {day} and joins.", name=name, day=change.day) for name in change.joins]
    if change.room:
        told.append(t("By then they have grown too broad to sit side by side like that."))
    if not told:
        told.append(t("It could go on; what comes next protects better or is surer."))
    return " ".join(told)


def place_text(place: Place) -> str:
    """``Lattice, high-back booster, at 2L``."""
    if place.restraint is None:
        return t("the seat belt, at {position}", position=place.position)
    return t("{restraint}, {SHORT_MODES}, at {position}", restraint=place.restraint,
             SHORT_MODES=SHORT_MODES[place.mode], position=place.position)


def move_text(move: Move) -> str:
    """``Oslo: from Lattice, forward-facing, at 2L to Lattice, high-back booster, at 2L``."""
    if move.before is None:
        return f"{move.after.rider}: {place_text(move.after)}"
    return t("{rider}: from {place_text} to {place_text_2}", rider=move.after.rider,
             place_text=place_text(move.before), place_text_2=place_text(move.after))
