"""One row across: bodies between side walls, bound to bars or belts, with a hand's room at buckles.

All numbers here are whole half-millimetres unless a name ends in _mm. Positions are ordered left to right,
so every separation runs from a body to one further right; a single pass from the left decides whether a row
fits (``shortfall``). The same system goes to the chain engine for witness, spare and squeeze (``solve``).
"""

from __future__ import annotations

from collections.abc import Sequence
from math import inf
from operator import itemgetter
from typing import TYPE_CHECKING, NamedTuple, cast

from seatplan.fields import FieldLabel, Missing, field, named
from seatplan.frozen import frozen
from seatplan.message import at_position, said
from seatplan.store import Shelf

from .chain import Addend, Solution, Squeeze, Step, buckle_of, half_of, solve, squeeze_of
from .paths import Path, Reach, paths, sums, sums_reaching
from .prefix import FAR, Beside, Ends, Prefix, most_guessed, most_off
from .seat import Body, BuckleClearance, seat_of
from .shapes import Box, Shapes, side_box, widest_near
from .tolerance import at_most_off, estimates_in, hangs_on, of_steps
from .walls import Wall, beyond, reaches, unread_sides

if TYPE_CHECKING:
    from seatplan.model import Row

    from .columns import Bodies, LeftOf, Sums

__all__ = ["ORIGIN", "Body", "BuckleClearance", "Fit", "Missing", "RowSpace", "seat_of"]

#: along or up of a trim for which none is given, mm: a file's places lie within
_EVERYWHERE_MM = (-9000, 9000)
#: bodies of one row of which anything is kept, in each half of a shelf
_BODIES = 1000
#: the same of two bodies side by side: a bench of three with many restraints has more than two thousand
_PAIRS = 3 * _BODIES
#: so much more than a root may be rounded, half-mm: what is as near as that is looked at sum by sum
ROUNDING = 1e-6
#: x = 0, the left door trim
ORIGIN = ""


@frozen
class _Bound:
    """A limit for a body's middle from one fixed thing; ``fixed`` marks the body's own play, which does not
    stretch."""

    at: int
    fixed: bool
    addends: tuple[Addend, ...]


class _Between(NamedTuple):
    """The steps that two bodies come to side by side: what the buckle of the left one asks of the right one, what that
    of the right one asks of the left one, and their distance."""

    lows: tuple[Reach, ...]
    highs: tuple[Reach, ...]
    apart: tuple[Reach, ...]


class Alone(NamedTuple):
    """What a body comes to between its own limits. ``plain``: it has room there, and nothing that is only estimated
    decides; ``close``: the lengths could be off by as much."""

    plain: bool
    close: bool


@frozen
class Fit:
    """``short_mm`` > 0: they do not fit, and no tape is off by so much. ``spare_mm`` in whole mm, None: none is felt;
    it may be below 0 where ``close`` says that the lengths could be off by as much. ``estimates``: what is only
    estimated and decides; ``open``: between its two ends."""

    short_mm: float
    spare_mm: int | None
    close: bool
    estimates: tuple[str, ...] = ()
    open: bool = False


class RowSpace:
    """The room of one row: its walls, and what is known of the distances between bodies. Answers are kept."""

    def __init__(self, row: Row, shapes: Shapes, tolerance_mm: int = 0, *, worst_case: bool = False) -> None:
        """``tolerance_mm``: of every length of the vehicle's file. ``worst_case`` adds tolerances up plainly."""
        self._row, self._shapes = row, shapes
        self._tolerance, self._worst_case = tolerance_mm, worst_case
        self._walls = [(trim, side_box(trim.along or _EVERYWHERE_MM, trim.up or _EVERYWHERE_MM))
                       for trim in row.trim]
        self._unread = unread_sides(row, self._walls)
        # where in side view each wall was measured
        self._left = Wall(zone for trim, zone in self._walls if trim.left is not None)
        self._right = Wall(zone for trim, zone in self._walls if trim.right is not None)
        self._wall_off = max((tolerance_mm if t.tolerance is None else t.tolerance for t in row.trim), default=0)
        # what is known of bodies, which are the same where equal ones are asked about
        self._open: Shelf[tuple[bool, bool]] = Shelf(_BODIES)
        self._limits: Shelf[tuple[tuple[_Bound, ...], tuple[_Bound, ...]]] = Shelf(_BODIES)
        self._ends: Shelf[tuple[Ends, float, float]] = Shelf(_BODIES)
        self._pairs: Shelf[Beside] = Shelf(_PAIRS)
        self._bodies: Shelf[Bodies] = Shelf(_BODIES // 10)
        self._left_of: Shelf[LeftOf] = Shelf(_BODIES)
        self._near: Shelf[tuple[Box | None]] = Shelf(_BODIES)
        self._lacking: Shelf[tuple[bool, bool, bool]] = Shelf(_BODIES)
        self._own_steps: Shelf[tuple[tuple[Reach, ...], tuple[Reach, ...]]] = Shelf(_BODIES)
        self._pair_steps: Shelf[_Between] = Shelf(_PAIRS)
        self._alone_told: Shelf[Alone] = Shelf(_BODIES)

    def shortfall(self, seats: Sequence[Body], extra: int = 0) -> int:
        """How much room is missing, in half-mm; 0 or less: they fit. Seats from left to right; ``extra`` is put on top
        of every separation, as the spare would be."""
        return self.prefix(seats).shortfall(extra)

    def spare(self, seats: Sequence[Body], cap_mm: int) -> int | None:
        """Whole mm of spare, rounded down, for seats that fit; None when it reaches the cap."""
        return self.prefix(seats).spare_mm(cap_mm)

    def prefix(self, seats: Sequence[Body]) -> Prefix:
        """The sums of some bodies."""
        found = Prefix()
        for k, seat in enumerate(seats):
            found = self.extended(found, seats[:k], seat)
        return found

    def extended(self, prefix: Prefix, seats: Sequence[Body], seat: Body) -> Prefix:
        """The sums of some seats, with one more at their right."""
        ends, tolerance, width_off = self._ends_of(seat)
        return prefix.with_body(ends, tuple([self._pair(other, seat) for other in seats]), tolerance, width_off)

    def tight_with(self, prefix: Prefix, seats: Sequence[Body], seat: Body) -> bool | None:
        """Whether some seats, whose sums are ``prefix``, surely lack room with one more at their right; None where what
        a tape may be off decides, or what is only estimated."""
        ends, ends_off, width_off = self._ends_of(seat)
        over = prefix.shortfall_with(ends, [self._pair(other, seat) for other in seats])
        if over <= 0:
            return False
        off = max(prefix.ends_off, ends_off), (*prefix.widths_off, width_off)
        return True if over > self._most((*seats, seat), *off) else None

    def sums_of_many(self, prefix: Prefix, seats: Sequence[Body], places: Sequence[tuple[Body, ...]]) -> Sums:
        """The sums of some seats, which are ``prefix``, with others at their right: each that may come to a place, an
        axis each place."""
        from .columns import Bodies, LeftOf, Sums

        found = Sums.of(prefix)
        before: list[tuple[Body, ...]] = [(seat,) for seat in seats]
        for others in places:
            bodies = self._bodies.ask(others, lambda others=others: Bodies.of(       # type: ignore[misc]
                *zip(*map(self._ends_of, others), strict=True)))
            found = found.with_bodies(bodies, [self._left_of.ask(
                (left, others), lambda left=left, others=others: LeftOf.of(          # type: ignore[misc]
                    [[self._pair(seat, other) for other in others] for seat in left])) for left in before])
            before.append(others)
        return found

    def _ends_of(self, seat: Body) -> tuple[Ends, float, float]:
        """Where its middle may stand, and what its ends and its width may be off, mm."""
        kept = self._ends.get(seat)
        return self._ends.put(seat, (self._own_ends(seat), max(self._wall_off, seat.tolerance),
                                     seat.shape.off_by)) if kept is None else kept

    def _own_ends(self, seat: Body) -> Ends:
        lows, highs = self._bounds(seat)
        return Ends(max((b.at for b in lows if b.fixed), default=-FAR),
                    max((b.at for b in lows if not b.fixed), default=-FAR),
                    min((b.at for b in highs if b.fixed), default=FAR),
                    min((b.at for b in highs if not b.fixed), default=FAR))

    def _bounds(self, seat: Body) -> tuple[tuple[_Bound, ...], tuple[_Bound, ...]]:
        kept = self._limits.get(seat)
        return self._limits.put(seat, self._own_bounds(seat)) if kept is None else kept

    def _pair(self, left: Body, right: Body) -> Beside:
        key = (left, right)
        kept = self._pairs.get(key)
        if kept is None:
            reach = self._shapes.reach(left.shape, right.shape)
            kept = self._pairs.put(key, Beside(
                reach.need if reach.parts is not None else 0,
                -FAR if left.buckle is None else self._clear_of(left.buckle, right, True, -FAR),
                FAR if right.buckle is None else self._clear_of(right.buckle, left, False, FAR)))
        return kept

    def solve(self, seats: Sequence[Body]) -> Solution | Squeeze:
        """Witness and spare, or the sum that does not come out by most, walked from left to right. Points are
        named by rider."""
        steps = self.steps(seats)
        # what a sum may be off is no less than nothing
        worst = max(self.paths(steps, 0), key=lambda path: path.over - path.off_by, default=None)
        if worst is not None and worst.over > worst.off_by:
            return squeeze_of(worst.steps)
        return solve(steps, ORIGIN, overlap=True)

    def fit(self, seats: Sequence[Body], cap_mm: int, prefix: Prefix | None = None) -> Fit:
        """Whether they fit, within what the tape may be off; the spare up to a cap. ``prefix``: their sums, where they
        are known."""
        prefix = prefix or self.prefix(seats)
        over, most = prefix.shortfall(), self._most(seats, prefix.ends_off, prefix.widths_off)
        if over > self._most_short(seats, prefix):
            return Fit(over / 2, None, False)
        close, open_, estimates = False, False, dict[str, None]()
        alone = [self.alone(seat) for seat in seats] if over > -most >= prefix.meeting else ()
        if alone and all(one.plain for one in alone):       # nothing else can decide, and it is known
            close = any(one.close for one in alone)
        elif over > -most:
            # what a sum could come to is a sum of roots, which may be rounded
            told = sums_reaching(self._reaching(seats), ORIGIN, -ROUNDING)
            measured = not any(seat.shape.guessed for seat in seats)
            if measured:                 # the sum that overshoots by most tells most
                told.sort(key=itemgetter(1), reverse=True)
            for steps, by in told:
                if measured and close and by <= 0:           # the others have room, and can be no more than close
                    break
                off, guess = self._off_and_guess(steps)
                comes_to = hangs_on(by, 2 * off, 2 * guess)
                if comes_to == "short":
                    return Fit(over / 2, None, False)
                close |= comes_to == "close"
                open_ |= comes_to == "open"
                if comes_to in ("open", "likely"):
                    estimates |= dict.fromkeys(estimates_in(steps))
        return Fit(0.0, prefix.spare_mm(cap_mm), close, tuple(estimates), open_)

    def alone(self, seat: Body) -> Alone:
        """What the sums of a body between its own limits come to."""
        kept = self._alone_told.get(seat)
        if kept is None:
            lows, highs = self._alone(seat)
            told = {hangs_on(path.over, path.off_by, path.guess)
                    for path in self.paths([one.step for one in (*lows, *highs)])}
            kept = self._alone_told.put(seat, Alone(told <= {"fits", "close"}, "close" in told))
        return kept

    def _most(self, seats: Sequence[Body], ends_off: float, widths_off: Sequence[float]) -> float:
        """What no sum of some seats can be off by more, half-mm."""
        if any(seat.shape.guessed for seat in seats):
            return most_guessed(ends_off, widths_off) + ROUNDING
        return most_off(ends_off, widths_off, self._worst_case) + ROUNDING

    def _most_short(self, seats: Sequence[Body], prefix: Prefix) -> float:
        """What no sum of some seats can overshoot by more and not be short: estimates count to their ends alone."""
        plainly = self._worst_case or any(seat.shape.guessed for seat in seats)
        return most_off(prefix.ends_off, prefix.widths_off, plainly) + ROUNDING

    def tight(self, seats: Sequence[Body], prefix: Prefix | None = None) -> bool:
        """Whether they surely lack room: the same answer as `fit` gives, without working out the spare. ``prefix``:
        their sums, where they are known."""
        prefix = prefix or self.prefix(seats)
        over = prefix.shortfall()
        if over <= 0:
            return False
        if over > self._most_short(seats, prefix):
            return True
        return any(by > 2 * self._off_and_guess(steps)[0] for steps, by in sums(self.steps(seats), ORIGIN, 0))

    def off_by(self, steps: Sequence[Step]) -> float:
        """What the sum of some steps may be off, mm."""
        tolerance = of_steps(steps)
        return tolerance.worst if self._worst_case else tolerance.likely

    def paths(self, steps: Sequence[Step], least: float = -inf) -> list[Path]:
        """Every sum of some steps that overshoots by more than ``least``, half-mm."""
        return paths(steps, ORIGIN, self._off_and_guess, least)

    def _off_and_guess(self, steps: Sequence[Step]) -> tuple[float, float]:
        tolerance = of_steps(steps)
        return (tolerance.worst if self._worst_case else tolerance.likely), tolerance.guess

    def steps(self, seats: Sequence[Body]) -> list[Step]:
        """The same system for the chain engine, with every addend named."""
        return [one.step for one in self._reaching(seats)]

    def _reaching(self, seats: Sequence[Body]) -> list[Reach]:
        between = [[self._between(other, seat) for other in seats[:j]] for j, seat in enumerate(seats)]
        steps: list[Reach] = []
        for j, seat in enumerate(seats):
            lows, highs = self._alone(seat)
            steps += lows
            for one in between[j]:
                steps += one.lows
            steps += highs
            for further in between[j + 1:]:
                steps += further[j].highs
            for one in between[j]:
                steps += one.apart
        return steps

    def _alone(self, seat: Body) -> tuple[tuple[Reach, ...], tuple[Reach, ...]]:
        kept = self._own_steps.get(seat)
        if kept is None:
            lows, highs = self._bounds(seat)
            kept = self._own_steps.put(seat, (tuple([_from_left(seat, b) for b in lows]),
                                              tuple([_to_right(seat, b) for b in highs])))
        return kept

    def _between(self, left: Body, right: Body) -> _Between:
        kept = self._pair_steps.get((left, right))
        if kept is None:
            low, high = self._to_leave(left, right, True), self._to_leave(right, left, False)
            kept = self._pair_steps.put((left, right), _Between(
                () if low is None else (_from_left(right, low),),
                () if high is None else (_to_right(left, high),),
                self._apart(left, right)))
        return kept

    def _apart(self, left: Body, right: Body) -> tuple[Reach, ...]:
        reach = self._shapes.reach(left.shape, right.shape)
        if reach.parts is None:
            return ()
        a, b = reach.parts
        return (_reach(Step(left.rider, right.rider, reach.need, True, (_half(a), _half(b)))),)

    def lacks(self, seats: Sequence[Body]) -> bool:
        """Whether anything is ``missing``."""
        told = [self.lacks_alone(seat) for seat in seats]
        covered = any(part for _, part, _ in told)
        return any(alone or (covered and buckle) for alone, _, buckle in told)

    def lacks_alone(self, seat: Body) -> tuple[bool, bool, bool]:
        """Whether a body alone lacks a number; whether it has a part that can cover a buckle; whether the place of
        its own buckle is missing, which counts where a part of somebody can cover it."""
        kept = self._lacking.get(seat)
        return self._lacking.put(seat, self._lacks(seat)) if kept is None else kept

    def _lacks(self, seat: Body) -> tuple[bool, bool, bool]:
        alone = bool(seat.shape.unmeasured) or seat.centre is None or any(self._beyond_walls(seat)) or any(
            reaches(seat.shape, zone) for *_, zone in self._unread)
        return (alone, any(not box.person for box in seat.shape.boxes),
                self._belted(seat) and (seat.buckle is None or not seat.buckle.whole))

    def missing(self, seats: Sequence[Body]) -> tuple[Missing, ...]:
        """What nobody measured and these seats need: without it a row can only be unmeasured."""
        found: list[Missing] = []
        # a body gives way to a hand; only a restraint's parts can cover a buckle
        covered = any(not box.person for seat in seats for box in seat.shape.boxes)
        for seat in seats:
            found.extend(_lacking_width(seat, box) for box in seat.shape.boxes if box.width is None)
            if seat.centre is None:
                found.append(field("row.lower_anchors", position=seat.position) if seat.on_anchors else
                             field("position.centre", position=at_position(seat.position)))
            if covered and self._belted(seat) and (seat.buckle is None or not seat.buckle.whole):
                found.append(field("position.belt.buckle", position=at_position(seat.position)))
        out = [self._beyond_walls(seat) for seat in seats]
        if any(left for left, _ in out):
            found.append(Missing(named("row.trim", said("left wall of row {row}", row=self._row.row)),
                                 said("measure where the left door trim begins"), "mm"))
        if any(right for _, right in out):
            found.append(Missing(named("row.trim", said("right wall of row {row}", row=self._row.row)),
                                 said("measure from the left door trim to the right one"), "mm"))
        open_sides = {side for sides in out for side, open_ in zip(("left", "right"), sides, strict=True) if open_}
        found.extend(missed for side, missed, zone in self._unread
                     if side not in open_sides and any(reaches(seat.shape, zone) for seat in seats))
        return tuple(found)

    def _beyond_walls(self, seat: Body) -> tuple[bool, bool]:
        """Whether the body reaches, in side view, to where the left or the right wall was not measured."""
        return self._open.ask(seat.shape, lambda: (beyond(seat.shape, self._left), beyond(seat.shape, self._right)))

    @staticmethod
    def _belted(seat: Body) -> bool:
        """Whether the rider is buckled in with the vehicle belt; a body with a person in it always is."""
        return seat.buckled or any(box.person for box in seat.shape.boxes)

    def _own_bounds(self, seat: Body) -> tuple[tuple[_Bound, ...], tuple[_Bound, ...]]:
        lows: list[_Bound] = []
        highs: list[_Bound] = []
        for trim, side in self._walls:
            widest = widest_near(seat.shape, side)
            if widest is None:
                continue
            width = widest.width or 0
            half = _half(widest)
            off = self._tolerance if trim.tolerance is None else trim.tolerance
            if trim.left is not None:
                lows.append(_Bound(2 * trim.left + width, False,
                                   (Addend(said("left {trim_name}", trim_name=trim.name), trim.left, off), half)))
            if trim.right is not None:
                highs.append(_Bound(2 * trim.right - width, False,
                                    (half, Addend(said("right {trim_name}", trim_name=trim.name), -trim.right, off))))
        if seat.centre is not None:
            lows.append(_Bound(seat.centre - seat.play, True, (
                Addend(seat.hangs_on, seat.centre / 2, seat.tolerance),
                Addend(said("play at {position}", position=seat.position), -seat.play / 2))))
            highs.append(_Bound(seat.centre + seat.play, True, (
                Addend(seat.hangs_on, -seat.centre / 2, seat.tolerance),
                Addend(said("play at {position}", position=seat.position), -seat.play / 2))))
        self._own_buckle(seat, lows, highs)
        return tuple(lows), tuple(highs)

    @staticmethod
    def _own_buckle(seat: Body, lows: list[_Bound], highs: list[_Bound]) -> None:
        """A rider's own booster must not cover the buckle that holds the rider."""
        if seat.buckle is None or seat.centre is None:
            return
        widest = widest_near(seat.shape, seat.buckle.zone, people=False)
        if widest is None:
            return
        width = widest.width or 0
        half = _half(widest)
        name = buckle_of(seat.position)
        if seat.buckle.at >= seat.centre:
            place = Addend(name, -seat.buckle.at / 2, seat.tolerance)
            highs.append(_Bound(seat.buckle.at - width, False, (half, place)))
        else:
            place = Addend(name, seat.buckle.at / 2, seat.tolerance)
            lows.append(_Bound(seat.buckle.at + width, False, (place, half)))

    def _to_leave(self, owner: Body, other: Body, owner_left: bool) -> _Bound | None:
        """A neighbour must leave a hand's room at a buckle that is fastened on every trip."""
        buckle = owner.buckle
        widest = None if buckle is None else self._near_buckle(buckle, other)
        if buckle is None or widest is None:
            return None
        name = buckle_of(buckle.position)
        place = Addend(name, (buckle.at if owner_left else -buckle.at) / 2, owner.tolerance)
        room = Addend(said("hand's room at the {name}", name=name), buckle.room / 2)
        at, half = self._clear_of(buckle, other, owner_left, 0), _half(widest)
        return _Bound(at, False, (place, room, half) if owner_left else (half, room, place))

    def _clear_of(self, buckle: BuckleClearance, other: Body, owner_left: bool, anywhere: int) -> int:
        """Where the middle of a neighbour leaves a hand's room at a buckle, half-mm; ``anywhere``: no part of it comes
        near."""
        widest = self._near_buckle(buckle, other)
        if widest is None:
            return anywhere
        off = buckle.room + (widest.width or 0)
        return buckle.at + off if owner_left else buckle.at - off

    def _near_buckle(self, buckle: BuckleClearance, other: Body) -> Box | None:
        """The widest part of a neighbour beside a buckle."""
        key = buckle.zone, other.shape
        kept = self._near.get(key)
        return (kept or self._near.put(key, (widest_near(other.shape, buckle.zone, people=False),)))[0]


def _from_left(seat: Body, bound: _Bound) -> Reach:
    """A lower limit of a body's middle."""
    return _reach(Step(ORIGIN, seat.rider, bound.at, not bound.fixed, bound.addends))


def _to_right(seat: Body, bound: _Bound) -> Reach:
    """An upper one."""
    return _reach(Step(seat.rider, ORIGIN, -bound.at, not bound.fixed, bound.addends))


def _reach(step: Step) -> Reach:
    return Reach(step, step.need + 2 * at_most_off(step.addends))


def _half(part: Box) -> Addend:
    """Half of a part's width."""
    return Addend(half_of(part.label), (part.width or 0) / 2, part.off_by / 2, part.half,
                  estimated=part.label if part.estimated else "")


def _lacking_width(seat: Body, box: Box) -> Missing:
    """A width that is missing: a part's is measured, and that of a body is reckoned from the stature."""
    width = field("mode.parts.width", part=box.label)
    if not box.person:
        return width
    stature = field("rider.height", rider=seat.rider)
    return Missing(named("rider.height", cast(FieldLabel, width.field), stature.how), stature.how, "mm")
