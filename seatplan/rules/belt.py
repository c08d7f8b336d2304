"""The vehicle belt at a position: is it there, of the right kind, lockable, long enough, its buckle short."""

from __future__ import annotations

from typing import TYPE_CHECKING

from seatplan.fields import field
from seatplan.message import Day, Word, said

from .finding import Result, at_least, at_most, cautions, fails, lacks, passes
from .rule import rule
from .tries import confirmed_by

if TYPE_CHECKING:
    from .subjects import Placement, RuleContext

# What keeps a belt tight by itself: an automatic retractor locks at any length, a switchable one once it was
# drawn all the way out; a static belt has an adjuster; a locking latchplate holds the lap part, a switchable
# one when set to. Convention, from memory; emergency- and automatic-locking retractors are also UN R16 2.14.
LOCKING_RETRACTORS = ("automatic", "switchable", "static")
LOCKING_LATCHPLATES = ("locking", "switchable")


def uses_belt(p: Placement) -> bool:
    """The vehicle belt goes round the rider or through the restraint."""
    return p.by != "lower-anchors" or p.booster


def _belt_there(p: Placement) -> bool:
    """A belt is known to be there; where it is not, ``no-belt`` says so once."""
    return p.position.belt is not None and p.position.belt.kind != "none"


@rule(
    "no-belt",
    title="There is no belt at this seat",
    source="UN R16 (07 series) Annex 16; 49 CFR 571.208",
    depends=("mode", "installation", "position"),
    fact=("position",),
    reads=("position.belt.kind",),
    remedy="a seat with a belt; lower anchors for a harness restraint",
    when=lambda p, w: uses_belt(p),
    says={
        "block": "{position} has no belt",
        "pass": "{position} has a {measured} belt",
    },
)
def no_belt(p: Placement, w: RuleContext) -> Result:
    """The position has no belt, and this way of riding needs one.

    Checks: whether a belt is at the position, for riders on the belt, boosters and belt installations.
    Why: nothing would hold the rider.
    Limits: a belt that is worn or broken is not known.
    Blocks: a booster at a position whose belt is `none`.
    """
    belt = p.position.belt
    if belt is None:
        return lacks(field("position.belt.kind", position=p.position.position), "lap-shoulder")
    return fails("none") if belt.kind == "none" else passes(belt.kind)


@rule(
    "no-shoulder-belt",
    title="The belt has no shoulder part",
    source="49 CFR 571.213 S5.5.2(i): boosters only with lap and shoulder belt; UN R16 (07 series) Annex 16; that "
    "whoever is of adult size may use a lap belt is common practice, no source",
    depends=("rider", "mode", "installation", "position"),
    world=("age",),
    fact=("position",),
    reads=("position.belt.kind", "installation.by", "rider.height", "rider.born", "rider.age"),
    limits=("lap_belt_min_height", "belt_fit_min_age"),
    remedy="a seat with a lap-shoulder belt",
    when=lambda p, w: _belt_there(p) and (p.booster or p.by == "lap-shoulder-belt" or p.mode is None),
    weight="grave",
    why_weight="with the lap part alone the upper body folds over the belt, and the head meets what is ahead; common "
    "practice, no source",
    says={
        "block": "{position} has a {measured} belt only; a shoulder belt is needed",
        "caution": "{position} has a {measured} belt only: whoever is of adult size may use it, and is better "
                   "off with a shoulder belt",
        "pass": "{position} has a shoulder belt",
    },
)
def no_shoulder_belt(p: Placement, w: RuleContext) -> Result:
    """The belt goes over the lap only, and a shoulder part is needed.

    Checks: the kind of belt, for boosters, for installations by lap-shoulder belt and for whoever rides without a
        restraint.
    Why: with the lap part alone the upper body folds over the belt.
    Limits: without a restraint an adult may use a lap belt, and so may a child who is as tall as one, with a caution:
        1,448 mm (57 in) under us, 1,500 mm under un. Of a child from 8 on, or of unknown age, the stature is asked for.
    Blocks: a booster at a centre seat with a lap belt.
    """
    kind = p.position.belt.kind if p.position.belt else "none"
    if kind == "lap-shoulder":
        return passes(kind, "lap-shoulder")
    return _lap_belt_alone(p, w) if p.mode is None else fails(kind, "lap-shoulder")


def _lap_belt_alone(p: Placement, w: RuleContext) -> Result:
    """Whoever rides without a restraint on a lap belt: fine, with a caution, for who is of adult size."""
    least, age = w.limit("lap_belt_min_height"), w.age_months(p.rider)
    if p.rider.adult or (p.rider.height is not None and p.rider.height >= least):
        return cautions("lap", "lap-shoulder")
    if p.rider.height is None and (age is None or age >= w.limit("belt_fit_min_age")):
        return lacks(field("rider.height", rider=p.rider.rider), least, "least")
    return fails("lap", "lap-shoulder")


@rule(
    "belt-inflatable",
    title="The belt is inflatable and the restraint is not made for that",
    source="convention, only if both makers say so; from memory",
    depends=("restraint", "mode", "installation", "position"),
    reads=("position.belt.inflatable", "installation.inflatable_belt"),
    remedy="a seat with a plain belt, or lower anchors",
    when=lambda p, w: p.restraint is not None and uses_belt(p) and _belt_there(p),
    weight="slight",
    why_weight="the restraint's maker allows it, so a look into the vehicle handbook is all that is "
    "left; common practice, no source",
    says={
        "block": "the belt at {position} inflates; the instructions of {restraint} on that: {limit}",
        "caution": "the belt at {position} inflates; {restraint} allows that, the vehicle handbook must too",
        "pass": "the belt at {position} is a {measured} one",
    },
)
def belt_inflatable(p: Placement, w: RuleContext) -> Result:
    """An inflatable belt holds a restraint whose maker does not allow it.

    Checks: whether the belt is inflatable, and what the installation says of such belts.
    Why: an inflating belt can push the restraint or its child in a way nobody tested.
    Limits: the vehicle handbook has to allow it too; that is said as a caution.
    Blocks: an inflatable belt with instructions that forbid it or do not name it.
    """
    belt = p.position.belt
    allowed = p.installation.inflatable_belt if p.installation else None
    if belt is None or belt.inflatable is None:
        return lacks(field("position.belt.inflatable", position=p.position.position), "no")
    if not belt.inflatable:
        return passes("plain", "plain")
    if allowed == "allowed":
        return cautions("inflatable", said("allowed by the restraint"))
    return fails("inflatable", allowed or said("not named"))


@rule(
    "belt-cannot-be-locked",
    title="Nothing locks the belt that holds the restraint",
    source="convention on retractors and latchplates, from memory; UN R16 2.14",
    depends=("restraint", "mode", "installation", "position"),
    reads=("position.belt.retractor", "position.belt.latchplate", "installation.lock_off"),
    remedy="a seat whose belt locks, an installation with a lock-off, or lower anchors",
    when=lambda p, w: p.held_by_belt and _belt_there(p),
    weight="slight",
    why_weight="UN R44 and R129 test restraints with belts that lock in a crash only",
    says={
        "block": "nothing locks the belt round {restraint} at {position}: {measured}, no lock-off",
        "caution": "nothing locks the belt round {restraint} at {position} ({measured}, no lock-off); mind how tight "
                   "it stays",
        "pass": "the belt at {position} is locked by the {measured}",
    },
)
def belt_cannot_be_locked(p: Placement, w: RuleContext) -> Result:
    """The belt that holds the restraint stays loose until a crash.

    Checks: whether retractor, latchplate or a lock-off on the restraint keeps the belt tight.
    Why: an emergency-locking belt lets the restraint slide and tip on every bend.
    Limits: a separate locking clip is not counted; with two retractors, enter the one of the lap part. UN
        rules ask
        for no belt that locks, so under un it is a caution for a restraint approved to UN R44 or R129.
    Blocks: emergency-locking retractor, sliding latchplate, no lock-off.
    """
    belt, lock_off = p.position.belt, p.installation.lock_off if p.installation else None
    retractor = belt.retractor if belt else None
    latchplate = belt.latchplate if belt else None
    if retractor in LOCKING_RETRACTORS:
        return passes(said("{retractor} retractor", retractor=Word(retractor)))
    if latchplate in LOCKING_LATCHPLATES:
        return passes(said("{latchplate} latchplate", latchplate=Word(latchplate)))
    if lock_off:
        return passes(said("lock-off on the restraint"))
    if retractor is None:
        return lacks(field("position.belt.retractor", position=p.position.position), "switchable")
    if latchplate is None:
        return lacks(field("position.belt.latchplate", position=p.position.position), "locking")
    if lock_off is None:
        return lacks(field("installation.lock_off"), "yes")
    found = said("{retractor} retractor, {latchplate} latchplate", retractor=Word(retractor),
                 latchplate=Word(latchplate))
    approval = p.restraint.approval if p.restraint else None
    if w.profile.base == "un" and approval is not None and approval.standard.startswith("UN"):
        return cautions(found)
    return fails(found)


@rule(
    "buckle-stalk-too-long",
    title="The buckle reaches into the belt path",
    source="common practice, no source",
    depends=("mode", "installation", "position"),
    reads=("position.belt.buckle.stalk", "installation.belt_path"),
    remedy="a seat with a shorter buckle stalk, or lower anchors",
    when=lambda p, w: p.held_by_belt and _belt_there(p),
    says={
        "block": "the buckle at {position} stands {measured} up and the belt path begins at {limit}: {shortfall} too "
                 "long",
        "pass": "the buckle at {position} stands {measured} up, before the belt path at {limit}",
    },
)
def buckle_stalk_too_long(p: Placement, w: RuleContext) -> Result:
    """The buckle would lie in the belt path of the restraint.

    Checks: how far the top of the buckle is from the bight, against how far off the belt enters the
        restraint.
    Why: a buckle that rests on the edge of the shell can open or bend, and the belt does not stay tight.
    Limits: measured in a straight line; a soft stalk can be a little kinder than this.
    Blocks: a stalk of 280 mm where the belt enters the restraint 260 mm from the bight.
    """
    belt = p.position.belt
    stalk = belt.buckle.stalk if belt and belt.buckle else None
    path = p.installation.belt_path if p.installation else None
    if stalk is None:
        return lacks(field("position.belt.buckle.stalk", position=p.position.position), path, "most")
    if path is None:
        return lacks(field("installation.belt_path"), stalk, "least")
    return at_most(stalk, path, "mm")


@rule(
    "belt-too-short",
    title="The belt is too short for the belt path",
    source="UN R129 6.1.3.5 and Annex 24, UN R44 6.1.9: 150 mm left on the spool; elsewhere common "
    "practice, no source",
    depends=("restraint", "mode", "installation", "position"),
    world=("tries",),
    reads=("position.belt.length", "installation.belt_needed", "trip.tried"),
    limits=("belt_spare_on_spool",),
    remedy="a seat with a longer belt, or lower anchors",
    when=lambda p, w: _belt_there(p) and p.mode is not None and not p.booster and uses_belt(p),
    says={
        "block": "the belt at {position} gives {measured} and {limit} are needed: {shortfall} too short",
        "pass": "the belt at {position} gives {measured} and {limit} are needed",
    },
)
def belt_too_short(p: Placement, w: RuleContext) -> Result:
    """There is not enough webbing for the way through the restraint.

    Checks: the webbing that can be drawn out against what the belt path uses up and what must stay on the
        spool.
    Why: a belt at its end cannot be tightened or does not buckle at all.
    Limits: boosters are left out: there the child's size decides. A try that held answers for a length that nobody
        measured, where nothing must stay on the spool.
    Blocks: a belt of 2,400 mm for a path that uses 2,450 mm.
    """
    length = p.position.belt.length if p.position.belt else None
    needed = p.installation.belt_needed if p.installation else None
    spare = w.limit("belt_spare_on_spool")
    if (needed is None or length is None) and not spare and (tried := confirmed_by(p, w)) is not None:
        return passes(said("long enough"), tried_on=Day(tried.on) if tried.on else said("a day not noted"))
    if needed is None:
        most = None if length is None else length - spare
        return lacks(field("installation.belt_needed"), most, "most")
    if length is None:
        return lacks(field("position.belt.length", position=p.position.position), needed + spare, "least")
    return at_least(length, needed + spare, "mm")
