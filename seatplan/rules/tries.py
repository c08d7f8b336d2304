"""What was tried at the car: which entries speak of a placement, and when a try confirms it.

A try that held shows one thing: this restraint, installed this way on this seat, moved no further than is
allowed and, where that was noted, stood level. So it

- never undoes a block: where numbers say no and a try says yes, one of them is wrong, and the no stands;
- says nothing of neighbours, of the room ahead, of the child's size, of the tether or of the handbook;
- answers one question that was not measured, because it could not have held otherwise: whether the belt is long
  enough (``belt-too-short``), where the rules do not ask for webbing left on the spool;
- does not stand in for a cushion angle, level or not: the angle also says how far a shell reaches to the seat ahead
  and beside it, and an indicator gives no degrees;
- leaves open how the belt is locked, since a belt that locks only in a crash may hold one pull and work loose on
  the way, and whether the support leg stands on the floor as it should.

``moved`` of an entry is the larger of both directions, and stands for both; ``readings`` has each by itself.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from seatplan.model import Installed, Mode, Restraint, Tried

    from .subjects import Placement, RuleContext


def tries_of(p: Placement, w: RuleContext) -> list[Tried]:
    """The entries that count for a placement: those of its restraint, or else those by which another of its kind would
    not hold there, so that a second copy is never what is suggested after the first one failed.

    Of each restraint those of the latest day; every one where one has no day. Several of one day all count, since
    nobody knows which came last; but an entry that was recorded stands after everything above it, so it replaces what
    was tried there earlier that day.
    """
    if not w.trip.tried:
        return []
    here = [t for t in w.trip.tried
            if t.position == p.position.position and held_by(t) == p.by and t.mode in (None, p.mode_name)
            and (t.on is None or t.on <= w.day)]
    if p.restraint is None:
        return _latest([t for t in here if t.rider == p.rider.rider])
    own = _latest([t for t in here if t.restraint == p.restraint.restraint])
    if own or not here:
        return own
    limit = w.limit("movement_at_belt_path")
    alike = [_latest([t for t in here if t.restraint == name]) for name in same_kind(p.restraint, w)]
    return [t for tries in alike for t in tries if would_not_hold(t, limit)]


def held_by(t: Tried) -> str:
    """What held an entry, as placements say it."""
    return t.by or ("seat-belt" if t.restraint is None else "built-in")


def lies_on_the_child(mode: Mode, by: str | None) -> bool:
    """Whether what holds it is closed with the child in it, so that nothing is there to pull at before: the vehicle
    belt on a booster, a vest, and a belt over an impact shield that nothing else holds."""
    return mode.booster or mode.mode == "harness-vest" or (
        mode.mode == "impact-shield" and by in ("lap-shoulder-belt", "lap-belt"))


def pulled(p: Placement, w: RuleContext) -> list[Tried]:
    """Those of the entries that count for a placement which say how it held: where the belt lies on the child all but
    those that only say how, and of a part of the car only those that say something of it."""
    tries = tries_of(p, w)
    if p.mode is None:
        return []
    if not p.built_in and not lies_on_the_child(p.mode, p.by):
        return tries
    return [t for t in tries if t.failed or not_level(t) or moved_most(t) is not None
            or (not p.built_in and reading(t, "belt_fits") is None)]


def moved_most(t: Tried | Installed) -> int | None:
    """How far it moved in the direction in which it moved further, as far as that was read, mm."""
    return max((value for key in ("sideways", "forwards", "moved") if (value := reading(t, key)) is not None),
               default=None)


def lacks_movement(t: Tried | Installed) -> tuple[str, ...]:
    """The directions that nobody read."""
    if reading(t, "moved") is not None:
        return ()
    return tuple(key for key in ("sideways", "forwards") if reading(t, key) is None)


def reading(t: Tried | Installed, key: str) -> Any:
    """One reading of an entry, where it has that; of ``moved`` and ``level`` those beside ``readings`` too."""
    value = getattr(t.readings, key, None)
    return getattr(t, key, None) if value is None and key in ("moved", "level") else value


def not_level(t: Tried | Installed) -> bool:
    """Whether the indicator said no, once at least."""
    return getattr(t, "level", None) is False or (t.readings is not None and t.readings.level is False)


def would_not_hold(t: Tried | Installed, limit: float) -> bool:
    """Whether an entry says that it would not hold, whoever sits in it."""
    moved = moved_most(t)
    return getattr(t, "failed", False) or not_level(t) or (moved is not None and moved > limit)


def stands_level(t: Tried | Installed, mode: Mode) -> bool | None:
    """Whether it stood as the instructions ask: what the indicator said, or the angle where they name a range; None
    where nobody read either. Narrower ranges for some children are those of ``read-at-the-car``."""
    angle, allowed = reading(t, "angle"), mode.recline.allowed if mode.recline is not None else None
    if not_level(t):
        return False
    if angle is not None and allowed:
        return bool(allowed[0] <= angle <= allowed[1])
    return True if reading(t, "level") else None


def wrong_angle(t: Tried | Installed, p: Placement, w: RuleContext) -> tuple[float, float] | None:
    """The range that the instructions allow this child, where an angle was read that is not in it."""
    from seatplan.geometry.recline import allowed_range

    angle = reading(t, "angle")
    allowed = None if p.mode is None else allowed_range(p.mode, w.age_months(p.rider), p.rider.mass)
    if angle is None or allowed is None or allowed[0] <= angle <= allowed[1]:
        return None
    return allowed


def lacks_readings(t: Tried | Installed | None, mode: Mode | None) -> tuple[str, ...]:
    """What has still to be read before an entry says that it holds, ridden in that mode (None: on the vehicle belt
    alone): movement in both directions and how it leans, where it is installed by itself; how the belt lies, where
    that is closed with the child; of a harness that is a part of the car where its straps are. ``t`` None: nothing is
    noted yet of a part of the car or the belt alone."""
    on_the_child = mode is None or lies_on_the_child(mode, None if t is None else t.by)
    if mode is None or on_the_child or is_part_of_the_car(mode):
        needed = ("belt_fits",) if on_the_child else ("straps",) if mode is not None and mode.harness else ()
        return tuple(key for key in needed if t is None or reading(t, key) is None)
    assert t is not None
    leaning = ("level",) if leans(mode) and stands_level(t, mode) is None else ()
    return (*lacks_movement(t), *leaning)


def is_part_of_the_car(mode: Mode) -> bool:
    """Whether a mode is that of a restraint that is built into a seat."""
    return any(installation.by == "built-in" for installation in mode.installations)


def is_belt_tested(p: Placement, w: RuleContext) -> bool:
    """Whether the rider passed the belt-fit test at this seat: that says how the belt lies there, and more."""
    test = p.rider.belt_fit
    return (p.mode is None and test is not None and test.passed and test.position == p.position.position
            and (test.on is None or test.on <= w.day))


def still_lacks(t: Tried | Installed | None, p: Placement, w: RuleContext) -> tuple[str, ...]:
    """What has still to be read of a placement, see ``lacks_readings``; nothing of an adult on the vehicle belt or a
    child who passed the belt-fit test there."""
    if p.mode is None and (p.rider.adult or is_belt_tested(p, w)):
        return ()
    return lacks_readings(t, p.mode)


def holds(t: Tried | Installed, p: Placement, w: RuleContext) -> bool:
    """Whether an entry has all the readings that a placement needs, and none speaks against it."""
    if would_not_hold(t, w.limit("movement_at_belt_path")) or still_lacks(t, p, w):
        return False
    if p.mode is None or lies_on_the_child(p.mode, t.by):
        return reading(t, "belt_fits") is not False
    if p.built_in:
        return True
    return not leans(p.mode) or (stands_level(t, p.mode) is True and wrong_angle(t, p, w) is None)


def same_kind(restraint: Restraint, w: RuleContext) -> tuple[str, ...]:
    """The other restraints of the trip that are built and installed just like one, whatever their age and history."""
    modes = [mode.content for mode in restraint.modes]
    return tuple(other.restraint for other in w.trip.restraints if other.restraint != restraint.restraint
                 and [mode.content for mode in other.modes] == modes)


def _latest(tries: list[Tried]) -> list[Tried]:
    """Of the entries of one restraint those that count."""
    days = [t.on for t in tries if t.on is not None]
    if len(days) == len(tries):
        tries = [t for t in tries if t.on == max(days)]
    last: dict[object, int] = {t.on: i for i, t in enumerate(tries) if t.recorded and t.on is not None}
    return [t for i, t in enumerate(tries) if i >= last.get(t.on, 0)]


def confirmed_by(p: Placement, w: RuleContext) -> Tried | None:
    """The try that confirms a placement: it held within the limit, stood level where the restraint reclines, and can
    only mean this way of installing it. None where no try does.

    A booster holds nothing by itself, so no try confirms it.
    """
    tries = tries_of(p, w)
    if not tries or p.mode is None or p.booster or p.built_in or p.restraint is None:
        return None
    limit = w.limit("movement_at_belt_path")
    for t in tries:
        held = not would_not_hold(t, limit) and not lacks_movement(t)
        level = not leans(p.mode) or stands_level(t, p.mode) is True
        if not (held and level and ways_meant(p.restraint, t, p) == 1):
            return None
    return tries[-1]


def leans(mode: Mode) -> bool:
    """Whether a mode reclines, so that its level is to be read; not where its instructions name no range."""
    return mode.recline is not None and mode.recline.allowed != ()


def ways_meant(restraint: Restraint, tried: Tried, p: Placement) -> int:
    """How many ways of installing a restraint at a placement's seat an entry could mean: modes, installations that
    differ by base or connectors, and the seat's own bars or borrowed ones."""
    pairs = max(1, bool(p.position.lower_anchors) + bool(p.position.borrow)) if (
        held_by(tried).startswith("lower-anchors")) else 1
    return pairs * sum(
        installation.by == held_by(tried)
        for mode in restraint.modes if tried.mode in (None, mode.mode)
        for installation in mode.installations
    )
