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
"""

from __future__ import annotations

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from seatplan.model import Mode, Restraint, Tried

    from .subjects import Placement, RuleContext


def tries_of(p: Placement, w: RuleContext) -> list[Tried]:
    """The entries that count for a placement: those of its restraint, or else those by which another of its kind would
    not hold there, so that a second copy is never what is suggested after the first one failed.

    Of each restraint those of the latest day; every one where one has no day. Several of one day all count, since
    nobody knows which came last; but an entry that was recorded stands after everything above it, so it replaces what
    was tried there earlier that day.
    """
    if p.restraint is None or not w.trip.tried:
        return []
    here = [t for t in w.trip.tried
            if t.position == p.position.position and t.by == p.by and t.mode in (None, p.mode_name)
            and (t.on is None or t.on <= w.day)]
    own = _latest([t for t in here if t.restraint == p.restraint.restraint])
    if own or not here:
        return own
    limit = w.limit("movement_at_belt_path")
    alike = [_latest([t for t in here if t.restraint == name]) for name in same_kind(p.restraint, w)]
    return [t for tries in alike for t in tries
            if t.failed or t.level is False or (t.moved is not None and t.moved > limit)]


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
        held = not t.failed and t.level is not False and t.moved is not None and t.moved <= limit
        level = t.level is True or not leans(p.mode)
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
        tried.by.startswith("lower-anchors")) else 1
    return pairs * sum(
        installation.by == tried.by
        for mode in restraint.modes if tried.mode in (None, mode.mode)
        for installation in mode.installations
    )
