"""The vehicle belt at a position: is it there, of the right kind, lockable, long enough, its buckle short."""

from __future__ import annotations

from typing import TYPE_CHECKING

from seatplan.fields import field
from seatplan.message import Day, Word, said

from .both_places import at_both
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
    return p.by not in ("lower-anchors", "built-in") or p.booster


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
@at_both
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
@at_both
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
    source="convention on retractors, latchplates and locking clips, from memory; UN R16 2.14; 49 CFR 571.208 "
    "S7.1.1.5: belts of cars made from 1 September 1995 lock",
    depends=("restraint", "mode", "installation", "position"),
    reads=("position.belt.retractor", "position.belt.latchplate", "installation.lock_off", "installation.locking_clip"),
    remedy="a seat whose belt locks, an installation with a lock-off, lower anchors, or a locking clip where the "
    "instructions allow one",
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
@at_both
def belt_cannot_be_locked(p: Placement, w: RuleContext) -> Result:
    """The belt that holds the restraint stays loose until a crash.

    Checks: whether retractor, latchplate, a lock-off on the restraint or a locking clip keeps the belt tight.
    Why: an emergency-locking belt lets the restraint slide and tip on every bend.
    Limits: a locking clip counts only where somebody has one and the instructions allow it; with two retractors,
        enter the one of the lap part. UN rules ask for no belt that locks, so under un it is a caution for a restraint
        approved to UN R44 or R129.
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
    if p.installation is not None and p.installation.locking_clip and p.by == "lap-shoulder-belt":
        return passes(said("locking clip"))
    found = said("{retractor} retractor, {latchplate} latchplate", retractor=Word(retractor),
                 latchplate=Word(latchplate))
    approval = p.restraint.approval if p.restraint else None
    if w.profile.base == "un" and approval is not None and approval.standard.startswith("UN"):
        return cautions(found)
    return fails(found)


@rule(
    "buckle-stalk-too-long",
    title="The buckle reaches into the belt path",
    strength="good practice",
    source="common practice, no source: a webbing stalk may be twisted up to three turns where the makers allow it",
    depends=("mode", "installation", "position"),
    reads=("position.belt.buckle.stalk", "position.belt.buckle.stalk_kind", "position.manual.allows",
           "installation.belt_path", "installation.buckle_twist"),
    remedy="a seat with a shorter buckle stalk, or lower anchors",
    when=lambda p, w: p.held_by_belt and _belt_there(p),
    weight="slight",
    why_weight="whether the belt stays tight with the buckle there is felt when it is installed; common practice, no "
    "source",
    says={
        "caution": "the buckle at {position} stands {measured} up and the belt path begins at {limit}: {shortfall} too "
                   "long{advice}",
        "block": "the buckle at {position} stands {measured} up and the belt path begins at {limit}: {shortfall} too "
                 "long",
        "pass": "the buckle at {position} stands {measured} up, before the belt path at {limit}",
    },
)
@at_both
def buckle_stalk_too_long(p: Placement, w: RuleContext) -> Result | None:
    """The buckle would lie in the belt path of the restraint.

    Checks: how far the top of the buckle is from the bight, against how far off the belt enters the
        restraint. What can be done about it hangs on the kind of stalk: webbing may be twisted up to three turns
        where instructions or handbook allow it, a stiff one never.
    Why: a buckle that rests on the edge of the shell can open or bend, and the belt does not stay tight.
    Limits: measured in a straight line; a soft stalk can be a little kinder than this. Where one of the two was not
        measured nothing is told: whether the restraint moves, once it is in, says the same.
    Blocks: nothing; a caution for a stalk of 280 mm where the belt enters the restraint 260 mm from the bight.
    """
    belt = p.position.belt
    stalk = belt.buckle.stalk if belt and belt.buckle else None
    path = p.installation.belt_path if p.installation else None
    if stalk is None or path is None:
        return None
    found = at_most(stalk, path, "mm")
    return found if found.outcome == "pass" else found._replace(facts={"advice": _about_the_stalk(p)})


def _about_the_stalk(p: Placement) -> str:
    """What may be done about a stalk that is too long."""
    buckle = p.position.belt.buckle if p.position.belt else None
    kind = buckle.stalk_kind if buckle else None
    twist = p.installation.buckle_twist if p.installation else None
    in_handbook = p.position.manual is not None and "buckle-twist" in p.position.manual.allows
    if kind in ("stiff", "recessed"):
        return said("; a stalk that is not of webbing is never bent or twisted")
    if twist != "forbidden" and (twist == "allowed" or in_handbook) and kind == "webbing":
        return said("; its webbing may be twisted, up to three turns")
    return said("; webbing is twisted only where instructions or handbook allow it")


@rule(
    "belt-too-short",
    title="The belt is too short for the belt path",
    source="common practice, no source; for the caution UN R129 6.1.3.5 and Annex 24, UN R44 6.1.9: 150 mm left on the "
    "spool when a restraint is approved",
    depends=("restraint", "mode", "installation", "position"),
    world=("tries",),
    reads=("position.belt.length", "installation.belt_needed", "trip.tried"),
    limits=("belt_spare_on_spool",),
    remedy="a seat with a longer belt, or lower anchors",
    when=lambda p, w: _belt_there(p) and p.mode is not None and not p.booster and uses_belt(p),
    weight="slight",
    why_weight="the belt reaches; what stays on the spool is a provision of the approval test, UN R129 6.1.3.5",
    says={
        "block": "the belt at {position} gives {measured} and {limit} are needed: {shortfall} too short",
        "caution": "the belt at {position} reaches, with {measured} left on its spool; {limit} are usual: see that it "
                   "buckles and tightens",
        "pass": "the belt at {position} gives {measured} and {limit} are needed",
    },
)
@at_both
def belt_too_short(p: Placement, w: RuleContext) -> Result:
    """There is not enough webbing for the way through the restraint.

    Checks: the webbing that can be drawn out against what the belt path uses up. Under un less than 150 mm left on the
        spool is a caution.
    Why: a belt at its end cannot be tightened or does not buckle at all.
    Limits: boosters are left out: there the child's size decides. A try that held answers for a length that nobody
        measured.
    Blocks: a belt of 2,400 mm for a path that uses 2,450 mm.
    """
    length = p.position.belt.length if p.position.belt else None
    needed = p.installation.belt_needed if p.installation else None
    if (needed is None or length is None) and (tried := confirmed_by(p, w)) is not None:
        return passes(said("long enough"), tried_on=Day(tried.on) if tried.on else said("a day not noted"))
    if needed is None:
        return lacks(field("installation.belt_needed"), length, "most")
    if length is None:
        return lacks(field("position.belt.length", position=p.position.position), needed, "least")
    left, spare = length - needed, w.limit("belt_spare_on_spool")
    if 0 <= left < spare:
        return cautions(left, spare, "mm", spare - left)
    return at_least(length, needed, "mm")


@rule(
    "belt-tightens-before-crash",
    title="The belt tightens by itself before a crash",
    source="common practice, no source: only where a maker says that a child restraint may be held by such a belt",
    depends=("restraint", "mode", "installation", "position"),
    reads=("position.belt.tightens_before_crash", "installation.pre_crash_belt", "position.manual.allows"),
    remedy="lower anchors, or a seat whose belt has no such motor",
    when=lambda p, w: p.held_by_belt and _belt_there(p),
    weight="slight",
    why_weight="the pull comes in rare moments, and handbooks of such cars say what to do; common practice, no source",
    says={
        "block": "the belt at {position} tightens by itself before a crash, and the instructions of {restraint} forbid "
                 "that",
        "caution": "a motor tightens the belt at {position} before a crash: read in handbook and instructions whether "
                   "it may hold {restraint}",
        "pass": "the belt at {position}: {measured}",
    },
)
@at_both
def belt_tightens_before_crash(p: Placement, w: RuleContext) -> Result | None:
    """The belt that holds the restraint is one that a motor pulls tight when a crash is near.

    Checks: whether the belt is such a one, and whether handbook or instructions allow it with a child restraint.
    Why: the pull can move the restraint or leave slack behind it, and nobody sees it.
    Limits: whether a belt tightens is asked for only where the instructions forbid it.
    Blocks: such a belt with instructions that forbid it; where nobody says anything it is a caution.
    """
    belt = p.position.belt
    allowed = p.installation.pre_crash_belt if p.installation else None
    if belt is None or belt.tightens_before_crash is None:
        return lacks(field("position.belt.tightens_before_crash", position=p.position.position),
                     "no") if allowed == "forbidden" else None
    if not belt.tightens_before_crash:
        return passes(said("it does not tighten before a crash"))
    if allowed == "forbidden":
        return fails("forbidden")
    handbook = p.position.manual is not None and "belt-tightens-before-crash" in p.position.manual.allows
    if allowed == "allowed" or handbook:
        return passes(said("it tightens before a crash, and that is allowed"))
    return cautions(said("not named"), "allowed")


@rule(
    "lock-off-on-a-locked-belt",
    title="Lock-off and a belt that is always locked",
    strength="good practice",
    source="common practice, no source: a belt is locked in one place, unless the instructions say otherwise",
    depends=("mode", "installation", "position"),
    reads=("installation.lock_off", "installation.lock_off_with_locked_belt", "position.belt.retractor"),
    remedy="a seat whose retractor can be left unlocked; lower anchors",
    when=lambda p, w: p.held_by_belt and _belt_there(p) and bool(p.installation and p.installation.lock_off),
    weight="slight",
    why_weight="both hold the belt; what they do to each other shows when it is tightened; common practice, no source",
    says={
        "caution": "the retractor at {position} always locks: leave the lock-off of {restraint} open, unless its "
                   "instructions want both",
        "block": "a lock-off on the locked belt of {position}",
        "pass": "the retractor at {position} is {measured}: the lock-off of {restraint} is all that locks the belt",
    },
)
@at_both
def lock_off_on_a_locked_belt(p: Placement, w: RuleContext) -> Result | None:
    """The lock-off of the restraint would be closed on a belt whose retractor is locked all the time.

    Checks: an automatic retractor beside a lock-off. A switchable one is left unlocked, which the sheet says, as it
        says that the lock-off stays open.
    Why: the two pull against each other; one can lift or tip the restraint, or loosen what the other holds.
    Limits: a retractor that nobody looked at is not told.
    Blocks: nothing; a caution for a lock-off on a belt with an automatic retractor.
    """
    retractor = p.position.belt.retractor if p.position.belt else None
    if retractor is None:
        return None
    both = p.installation is not None and p.installation.lock_off_with_locked_belt == "allowed"
    return cautions(retractor) if retractor == "automatic" and not both else passes(retractor)


@rule(
    "booster-belt-always-locks",
    title="The belt of a booster locks at every length",
    strength="good practice",
    source="common practice, no source",
    depends=("mode", "position"),
    fact=("position",),
    reads=("position.belt.retractor",),
    remedy="a seat whose belt runs freely",
    when=lambda p, w: p.booster and _belt_there(p),
    weight="slight",
    why_weight="it holds the child in a crash all the same; common practice, no source",
    says={
        "caution": "the retractor at {position} is {measured}: it locks at every length and tightens with each "
                   "movement; see that the child can bear it, and that it never lies on the neck",
        "block": "the belt at {position} locks at every length",
        "pass": "the belt at {position} runs freely, with its {measured} retractor",
    },
)
def booster_belt_always_locks(p: Placement, w: RuleContext) -> Result | None:
    """The belt over a child on a booster cannot run freely.

    Checks: for boosters, whether the retractor locks at every length. One that can be switched is left unlocked,
        which the sheet says.
    Why: it grows tighter with each movement of the child, who leans out of it or is caught in it.
    Limits: a retractor that nobody looked at is not told.
    Blocks: nothing; a caution for a booster on a belt with an automatic retractor.
    """
    retractor = p.position.belt.retractor if p.position.belt else None
    if retractor is None:
        return None
    return cautions(retractor) if retractor == "automatic" else passes(retractor)


@rule(
    "belt-comes-apart",
    title="The belt has a second latch that can be open",
    strength="good practice",
    source="49 CFR 571.208 as amended by 69 FR 70904: allowances for detachable belts; the check is common practice, "
    "no source",
    depends=("mode", "installation", "position"),
    fact=("position",),
    reads=("position.belt.detachable",),
    remedy="a seat with a belt in one piece",
    when=lambda p, w: uses_belt(p) and _belt_there(p),
    weight="slight",
    why_weight="a tug at each latch shows that it holds; common practice, no source",
    says={
        "caution": "the belt at {position} clips into an anchor buckle of its own: see on every trip that both latches "
                   "are closed",
        "block": "the belt at {position} comes apart",
        "pass": "the belt at {position} is in one piece",
    },
)
@at_both
def belt_comes_apart(p: Placement, w: RuleContext) -> Result | None:
    """The belt is held by a latch that somebody may have opened, at its lower end or where it comes from the roof.

    Checks: whether the belt is detachable, for everybody whom it holds.
    Why: with one of its latches open it holds nothing, and nobody notices.
    Limits: a belt that nobody looked at is not told.
    Blocks: nothing; a caution for a centre belt that comes from the roof and clips into an anchor buckle.
    """
    detachable = p.position.belt.detachable if p.position.belt else None
    if detachable is None:
        return None
    return cautions(said("detachable")) if detachable else passes(said("in one piece"))
