"""The slow solver's view of placements, rows and whole seatings: every rule asked, one seating at a time."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from itertools import combinations

from inequalities import lacks_numbers, needs_of, sums_of
from lengthwise_slow import CLOSE_FIT, FITS, LIKELY_FIT, SHORT, UNSURE
from places import places_do
from slow import SlowSolver

from seatplan.estimate import estimated
from seatplan.model import Row, Trip
from seatplan.rules.finding import Finding
from seatplan.rules.profile import Profile
from seatplan.rules.run import Runner
from seatplan.rules.subjects import Pair, Placement, RuleContext, Seated

VERDICTS = {FITS: "fits", CLOSE_FIT: "close", LIKELY_FIT: "likely", UNSURE: "unmeasured"}
ORDER = ["fits", "close", "likely", "unmeasured", "rejected"]
ROW, ALONG = "row-too-narrow", "no-room-ahead"
#: held by the way a seating is made: never a reason
ENFORCED_BY_SEARCH = {"position-wanted-twice", "restraint-wanted-twice", "rider-without-place"}

#: what speaks against some placements: the finding, and whom it is about
Against = tuple[Finding, tuple[Placement, ...]]
Keep = Callable[[Finding, Sequence[Placement]], bool]


class Judged:
    """One trip, each placement and each seating judged by itself."""

    def __init__(self, trip: Trip, profile: Profile, strict: bool = False) -> None:
        assert trip.on is not None
        trip = estimated(trip, trip.on)
        self.trip, self.profile, self.strict = trip, profile, strict
        self.slow = SlowSolver(trip, profile, trip.on, strict=strict)
        self.ways = {rider.rider: [option.placement for _, options in self.slow.choices(rider) for option in options]
                     for rider in trip.riders}
        self._alone: dict[Placement, list[Against]] = {}
        self._pairs: dict[tuple[Placement, Placement], list[Against]] = {}
        self._rows: dict[tuple[object, ...], int] = {}
        self._groups: dict[frozenset[str], Runner] = {}
        self.order = [p.position for p in trip.vehicle.positions()]

    def _no(self, findings: Sequence[Finding], placements: tuple[Placement, ...]) -> list[Against]:
        return [(f, placements) for f in findings if f.rule not in ENFORCED_BY_SEARCH
                and (f.outcome == "block" or (self.strict and f.outcome == "unmeasured"))]

    def alone(self, placement: Placement) -> list[Against]:
        if placement not in self._alone:
            self._alone[placement] = self._no(self.slow.runner.placement(placement), (placement,))
        return self._alone[placement]

    def pair(self, one: Placement, other: Placement) -> list[Against]:
        left, right = self.sorted((one, other))
        if (left, right) not in self._pairs:
            self._pairs[left, right] = self._no(self.slow.runner.pair(Pair(left, right)), (left, right))
        return self._pairs[left, right]

    def whole(self, everyone: Sequence[Placement]) -> list[Against]:
        """The rules of the whole trip, as those who are in the car meet them: no wish for who is left at home."""
        names = frozenset(p.rider.rider for p in everyone)
        if names not in self._groups:
            trip = self.trip
            wishes = [w for w in trip.wishes
                      if names >= {*([w.rider] if w.rider else []), *(w.apart or ()), *(w.together or ())}]
            group = trip.model_copy(update={"riders": [r for r in trip.riders if r.rider in names], "wishes": wishes})
            of = self.slow.world
            self._groups[names] = Runner(RuleContext(group, trip.vehicle, self.profile, of.day, of.options))
        seated = self.sorted(everyone)
        return self._no(self._groups[names].trip(Seated(seated)), seated)

    def sorted(self, placements: Sequence[Placement]) -> tuple[Placement, ...]:
        return tuple(sorted(placements, key=lambda p: self.order.index(p.position.position)))

    def row_level(self, row: Row, placements: Sequence[Placement]) -> int:
        """How sure it is that they fit side by side; ``SHORT`` where they do not."""
        key = tuple((p.position.position, id(p.mode), id(p.installation), p.bars, p.recline,
                     p.rider.rider if p.fastened_each_trip else "") for p in self.sorted(placements))
        if key not in self._rows:
            bodies = self.slow.bodies(row, placements)
            needs = needs_of(row, bodies, self.slow.play, self.trip.vehicle.measured.tolerance)
            sums = sums_of(needs, self.slow.world.options.worst_case)
            lacking = lacks_numbers(row, bodies) or any(one.open for one in sums)
            likely = any(one.likely for one in sums)
            if lacking and not any(one.short for one in sums) and (
                    self.slow.needs_at_most(row, placements) is not None):
                lacking, likely = False, True
            if any(one.short for one in sums) or (self.strict and (lacking or likely)):
                self._rows[key] = SHORT
            else:
                close = any(one.close for one in sums)
                self._rows[key] = UNSURE if lacking else LIKELY_FIT if likely else CLOSE_FIT if close else FITS
        return self._rows[key]

    def tight_rows(self, everyone: Sequence[Placement]) -> list[int]:
        """The rows that are too narrow for those who sit there."""
        return [row.row for row in self.trip.vehicle.rows
                if (here := [p for p in everyone if p.row.row == row.row]) and self.row_level(row, here) == SHORT]

    def short(self, everyone: Sequence[Placement]) -> bool:
        return self.slow.lengthwise.level(everyone) == SHORT

    def seating(self, riders: Sequence[str], obeyed: Keep, rows: set[int], along: bool) -> list[Placement] | None:
        """Any seating of some riders that breaks nothing that is ``obeyed``, in ``rows`` nor ``along`` the car."""
        open_ways = [[p for p in self.ways[rider] if not any(obeyed(*no) for no in self.alone(p))] for rider in riders]

        def extend(chosen: list[Placement]) -> Iterator[list[Placement]]:
            if len(chosen) == len(riders):
                if (not rows & set(self.tight_rows(chosen)) and not (along and self.short(chosen))
                        and not any(obeyed(*no) for no in self.whole(chosen))):
                    yield chosen
                return
            for placement in open_ways[len(chosen)]:
                if any(p.restraint is not None and p.restraint is placement.restraint for p in chosen):
                    continue
                if not places_do([*chosen, placement], self.trip):
                    continue
                if any(obeyed(*no) for other in chosen for no in self.pair(other, placement)):
                    continue
                # a row can only get fuller
                if rows and rows & set(self.tight_rows([*chosen, placement])):
                    continue
                yield from extend([*chosen, placement])

        return next(extend([]), None)

    def possible(self, riders: Sequence[str]) -> bool:
        """Whether some riders can travel by themselves under every rule."""
        rows = {row.row for row in self.trip.vehicle.rows}
        return self.seating(riders, lambda finding, placements: True, rows, True) is not None

    def level(self, everyone: Sequence[Placement]) -> int:
        """How sure a whole seating is; ``SHORT`` where something is against it."""
        rows = [row for row in self.trip.vehicle.rows if any(p.row.row == row.row for p in everyone)]
        levels = [self.row_level(row, [p for p in everyone if p.row.row == row.row]) for row in rows]
        levels.append(self.slow.lengthwise.level(everyone))
        findings = [f for p in everyone for f in self.slow.runner.placement(p)]
        findings += [f for a, b in combinations(self.sorted(everyone), 2) for f in self.slow.runner.pair(Pair(a, b))]
        findings += self.slow.runner.trip(Seated(self.sorted(everyone)))
        if any(f.outcome == "unmeasured" for f in findings):
            levels.append(SHORT if self.strict else UNSURE)
        if any(f.outcome == "pass" and f.result.close for f in findings):
            levels.append(CLOSE_FIT)
        if any(f.outcome == "pass" and f.result.estimates for f in findings):
            levels.append(LIKELY_FIT)
        return SHORT if any(f.outcome == "block" for f in findings) else max(levels)
