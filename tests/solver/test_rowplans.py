"""The plans of one row, asked of a made-up row whose answers are known, against every pick one could make."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from itertools import combinations, product
from random import Random
from types import SimpleNamespace
from typing import Any, NamedTuple

import pytest

from seatplan.solver.placements import Assignment
from seatplan.solver.ranking import NEARLY, OPEN, PERHAPS, SURE, cost, room_points, squeeze, surely
from seatplan.solver.resources import Resources
from seatplan.solver.rowplans import (
    ASK,
    CLOSE_FIT,
    CONTESTED,
    FITS,
    LEVELS,
    LIKELY_FIT,
    TOO_TIGHT,
    UNSURE,
    Best,
    InstallationPick,
    Level,
    Room,
    RoomsBeside,
    RowAssignment,
    RowPlans,
    bests,
    picked,
    row_plans,
)


class JudgedPlacement(NamedTuple):
    """A cell of these tests: its kind, its cost, and what a placement says of how sure it is."""

    kind: int
    cost: int = 0
    unmeasured: bool = False
    estimates: tuple[str, ...] = ()
    close: bool = False
    held: bool = False
    restrained: bool = True

    @property
    def placement(self) -> Any:
        return SimpleNamespace(restraint=self.restrained or None)


class CostOf:
    """What a cell says of itself."""

    def __call__(self, cell: JudgedPlacement) -> int:
        return cell.cost

    def sure(self, cell: JudgedPlacement) -> int:
        near = NEARLY if cell.close and not cell.held else SURE
        return OPEN if cell.unmeasured else PERHAPS if cell.estimates else near


class MadeUp:
    """A row whose answers follow from the numbers of the kinds, and which counts how often it is asked."""

    def __init__(self, seed: int = 0) -> None:
        self._seed = seed
        self._ways: dict[frozenset[tuple[int, int]], int] = {}
        self.rooms_asked = 0

    def _drawn(self, *what: object) -> Random:
        return Random(repr((self._seed, *what)))

    def kind(self, cell: JudgedPlacement) -> int:
        return cell.kind

    def room(self, cells: Sequence[JudgedPlacement]) -> Room:
        self.rooms_asked += 1
        rng = self._drawn("room", [cell.kind for cell in cells])
        short = rng.choice((0, 0, 0, 0.5, 7))
        return Room(short, rng.choice((None, 0, 12.5, 250)), rng.random() < 0.2, rng.random() < 0.3,
                    rng.random() < 0.2)

    def rooms(self, before: Sequence[JudgedPlacement], lasts: tuple[JudgedPlacement, ...],
              cells: tuple[JudgedPlacement, ...]) -> list[RoomsBeside] | None:
        """Known of some, to be asked of the others."""
        known = self._drawn("known", [cell.kind for cell in before], len(lasts))
        if known.random() < 0.2:
            return None
        return [RoomsBeside(*zip(*[self._told([*before, *last, cell]) if known.random() < 0.5 else (ASK, -9)
                                   for cell in cells], strict=True))
                for last in ([[last] for last in lasts] or [[]])]

    def _told(self, cells: Sequence[JudgedPlacement]) -> tuple[int, int]:
        room = self.room(cells)
        return room.level, round(2 * room.short_mm) if room.level == TOO_TIGHT else room_points(room.spare_mm)

    def clash(self, left: JudgedPlacement, right: JudgedPlacement) -> tuple[bool, int, Level]:
        rng = self._drawn("clash", left.kind, right.kind)
        sure = UNSURE if rng.random() < 0.2 else LIKELY_FIT if rng.random() < 0.1 else FITS
        return rng.random() < 0.3, cost(slight=rng.randrange(3)), sure

    def lane(self, cells: Sequence[JudgedPlacement]) -> int:
        return sum(self._drawn("lane", cell.kind).choice((0, 0, 1, 2)) for cell in cells)

    def way(self, lanes: frozenset[tuple[int, int]]) -> int:
        return self._ways.setdefault(lanes, len(self._ways))


def choice(rider: int, restraint: int | None, *cells: tuple[Any, ...]) -> Assignment:
    made: Any = tuple(JudgedPlacement(*cell) for cell in cells)
    return Assignment(rider, 0, restraint, "mode", made, made)


def plans(seats: list[list[Assignment]], row: MadeUp, limit: int, tick: Callable[[int],
                                                                                 None] | None = None) -> RowPlans:
    """Of one of each restraint."""
    return row_plans(seats, row, CostOf(), limit, tick, resources=one_of_each(seats))


def one_of_each(seats: list[list[Assignment]]) -> Resources:
    choices = [c for options in seats for c in options]
    return Resources(choices, {c.restraint: 1 for c in choices if c.restraint is not None})


def drawn_cell(rng: Random) -> JudgedPlacement:
    def often(share: float) -> bool:
        return rng.random() < share
    return JudgedPlacement(rng.randrange(6), cost(slight=rng.randrange(4)), often(0.15), ("mass",) * often(0.2),
                           often(0.3),
                often(0.4), often(0.8))


def random_seats(rng: Random) -> list[list[Assignment]]:
    return [[choice(rng.randrange(3), rng.choice((None, 0, 1)),
                    *(drawn_cell(rng) for _ in range(rng.randrange(1, 4))))
             for _ in range(rng.randrange(4))] for _ in range(3)]


class Slow(NamedTuple):
    """What a set of choices comes to: its level, its least cost, how sure included, and of each degree of sureness the
    least cost, how sure set aside, of a pick that is no less sure."""

    level: int
    cost: int
    fills: tuple[InstallationPick, ...]
    way: int
    within: dict[int, int]


def slowly(seats: list[list[Assignment]], row: MadeUp) -> dict[tuple[int, ...], Slow]:
    """Every set of choices of different riders and restraints."""
    found: dict[tuple[int, ...], Slow] = {}
    for chosen in product(*[(None, *options) for options in seats]):
        choices = [c for c in chosen if c is not None]
        restraints = [c.restraint for c in choices if c.restraint is not None]
        if len({c.rider for c in choices}) < len(choices) or len(set(restraints)) < len(restraints):
            continue
        # a fill with its level, how sure it counts as and its whole cost, how sure set aside
        fits, tights = list[tuple[InstallationPick, int, int, int]](), list[tuple[InstallationPick, int, int, int]]()
        for pick in product(*(range(len(c.cells)) for c in choices)):
            cells: list[Any] = [c.cells[i] for c, i in zip(choices, pick, strict=True)]
            pairs = [row.clash(a, b) for a, b in combinations(cells, 2)]
            if any(blocked for blocked, _, _ in pairs):
                continue
            extra, own = sum(extra for _, extra, _ in pairs), sum(cell.cost for cell in cells)
            if not choices:
                fits.append((InstallationPick((), 0), FITS, SURE, 0))
                continue
            room = row.room(cells)
            if room.short_mm:
                tight = InstallationPick(pick, extra + cost(squeeze=1 + round(2 * room.short_mm)), TOO_TIGHT)
                tights.append((tight, TOO_TIGHT, OPEN, tight.cost + own))
                continue
            here = max([UNSURE if room.unsure else LIKELY_FIT if room.likely else CLOSE_FIT if room.close else FITS,
                        *(sure for _, _, sure in pairs)])
            left = 100 - min(100, int(room.spare_mm)) if room.spare_mm is not None else 0
            fill = InstallationPick(pick, extra + cost(room=left), here, row.lane(cells))
            level = max(here, *(UNSURE if c.unmeasured else LIKELY_FIT if c.estimates else CLOSE_FIT if c.close else
                                FITS for c in cells))
            held = [c.held for c in cells if c.restrained]
            counts = SURE if here == CLOSE_FIT and held and all(held) else int(here)
            fits.append((fill, level, max(counts, *(CostOf().sure(c) for c in cells)), fill.cost + own))
        key = tuple(id(c) for c in choices)
        told = fits or tights
        if not told:
            found[key] = Slow(CONTESTED, 0, (), row.way(frozenset({(0, CONTESTED)})), {})
            continue
        within = {sure: min(total for _, _, counts, total in told if counts <= sure)
                  for sure in (SURE, NEARLY, PERHAPS, OPEN) if any(counts <= sure for _, _, counts, _ in told)}
        lanes = {(fill.lane, level) for fill, level, _, _ in told} if fits else {(0, TOO_TIGHT)}
        found[key] = Slow(min(level for _, level, _, _ in told),
                          min(total + surely(sure) for _, _, sure, total in told) if fits else min(
                              total for _, _, _, total in told),
                          tuple(fill for fill, _, _, _ in told), row.way(frozenset(lanes)), within)
    return found


@pytest.mark.parametrize("seed", range(40))
def test_every_plan_as_worked_out_slowly(seed: int) -> None:
    seats, row = random_seats(Random(seed)), MadeUp(seed)
    found = plans(seats, row, 10_000)
    assert found.complete
    slow = slowly(seats, row)
    told = {tuple(id(c) for c in plan.choices): plan for plan in found.plans}
    assert len(told) == len(found.plans)
    # what contains a part that clashes clashes: the search does not ask again
    assert set(told) == set(slow)
    for key, plan in told.items():
        asked = slow[key]
        assert (plan.level, plan.cost, plan.fills, plan.way) == asked[:4]
        assert plan.riders == sum(1 << c.rider for c in plan.choices)
        assert plan.resources == sum(map(one_of_each(seats).of, plan.choices))
        if plan.level < TOO_TIGHT:
            assert_best(plan, asked.within)


def assert_best(plan: RowAssignment, within: dict[int, int]) -> None:
    """Of each degree of sureness the cheapest pick, where being less sure makes it cheaper, the surest first."""
    assert [(one.sure, one.cost) for one in plan.best] == [
        (sure, least) for sure, least in within.items() if sure == min(within) or least < within[sure - 1]]
    for one in plan.best:
        assert one.fill in plan.fills
        assert one.cost == one.fill.cost + sum(cell.cost for cell in picked(plan, one.fill))  # type: ignore[attr-defined]


def test_less_sure_may_cost_less() -> None:
    """Some plans that are drawn have a pick that is less sure and cheaper, some have three."""
    found = [plans(random_seats(Random(seed)), MadeUp(seed), 10_000).plans for seed in range(40)]
    assert {1, 2, 3} <= {len(plan.best) for drawn in found for plan in drawn}


def test_the_empty_plan_comes_first_and_then_from_left_to_right() -> None:
    left, right, other = choice(0, None, (0, 0)), choice(1, None, (1, 0)), choice(0, 3, (2, 0))
    found = plans([[left, other], [right]], MadeUp(), 100)
    assert [plan.choices for plan in found.plans] == [
        (), (left,), (left, right), (other,), (other, right), (right,)]
    empty = found.plans[0]
    assert empty.best == (Best(SURE, 0, empty.fills[0], FITS),)
    assert (empty.riders, empty.resources, empty.level, empty.cost, empty.fills) == (0, 0, FITS, 0,
                                                                                     (InstallationPick((), 0),))
    assert [plan.riders for plan in found.plans] == [0, 1, 3, 1, 3, 2]
    assert [plan.resources for plan in found.plans] == [0] * 6          # nobody else could use restraint 3


def test_nobody_sits_twice_and_no_restraint_is_used_twice() -> None:
    seats = [[choice(0, 0, (0, 0))], [choice(0, 1, (1, 0)), choice(1, 0, (2, 0))]]
    assert [len(plan.choices) for plan in plans(seats, MadeUp(), 100).plans] == [0, 1, 1, 1]


@pytest.mark.parametrize(("limit", "complete", "n"), [(4, True, 4), (5, True, 4), (3, False, 3), (1, False, 1)])
def test_a_limit_that_was_hit_is_told(limit: int, complete: bool, n: int) -> None:
    seats = [[choice(0, None, (0, 0))], [choice(1, None, (1, 0))]]
    found = plans(seats, MadeUp(), limit)
    assert (found.complete, len(found.plans)) == (complete, n)
    assert RowPlans() == RowPlans([], True)


def test_progress_is_told_every_4096_plans() -> None:
    seats = [[choice(rider, None, (0, 0)) for rider in riders] for riders in (range(95), range(95, 190))]
    told: list[int] = []
    found = plans(seats, MadeUp(), 100_000, told.append)
    assert len(found.plans) == 1 + 95 + 95 + 95 * 95
    assert told == [4096, 8192]


def test_look_alikes_are_judged_once() -> None:
    """Two riders of one kind at each seat: the row is asked of one alone, and of two, once a kind."""
    seats = [[choice(0, None, (0, 0)), choice(1, None, (0, 5))], [choice(2, None, (1, 0)), choice(3, None, (1, 7))]]
    row = MadeUp(3)
    found = plans(seats, row, 100)
    assert len(found.plans) == 9
    assert row.rooms_asked <= 3
    alone = {plan.choices[0].rider: plan for plan in found.plans if len(plan.choices) == 1}
    assert alone[1].fills is alone[0].fills
    assert (alone[1].cost - alone[0].cost, alone[3].cost - alone[2].cost) == (5, 7)


ROOMY, SHORT = Room(0, None, False, False), Room(3, 0, False, False)
CLOSELY, LIKELY, LACKING = (Room(0, 9, *told) for told in (
    (False, True, False), (False, True, True), (True, True, True)))
KNOWN, NEAR = JudgedPlacement(0), JudgedPlacement(0, close=True)
NEAR_HELD, GUESSED = JudgedPlacement(0, close=True, held=True), JudgedPlacement(0, estimates=("mass",))
GUESSED_HELD = JudgedPlacement(0, estimates=("mass",), close=True, held=True)
MISSING = JudgedPlacement(0, unmeasured=True, held=True)


@pytest.mark.parametrize(("room", "cells", "level", "sure"), [
    (ROOMY, [KNOWN], FITS, SURE), (ROOMY, [NEAR], CLOSE_FIT, NEARLY), (ROOMY, [NEAR_HELD], CLOSE_FIT, SURE),
    (ROOMY, [KNOWN, NEAR], CLOSE_FIT, NEARLY), (ROOMY, [GUESSED], LIKELY_FIT, PERHAPS),
    (ROOMY, [GUESSED_HELD], LIKELY_FIT, PERHAPS), (ROOMY, [MISSING], UNSURE, OPEN),
    (CLOSELY, [KNOWN], CLOSE_FIT, NEARLY), (CLOSELY, [NEAR_HELD], CLOSE_FIT, SURE),
    (CLOSELY, [NEAR_HELD, KNOWN], CLOSE_FIT, NEARLY), (CLOSELY, [NEAR_HELD, NEAR_HELD], CLOSE_FIT, SURE),
    (CLOSELY, [NEAR_HELD, JudgedPlacement(1, restrained=False)], CLOSE_FIT, SURE),
    (CLOSELY, [JudgedPlacement(1, restrained=False)], CLOSE_FIT, NEARLY), (CLOSELY, [JudgedPlacement(0, held=True)],
                                                                           CLOSE_FIT, SURE),
    (LIKELY, [NEAR_HELD], LIKELY_FIT, PERHAPS), (LIKELY, [KNOWN], LIKELY_FIT, PERHAPS),
    (LACKING, [NEAR_HELD], UNSURE, OPEN), (LACKING, [GUESSED], UNSURE, OPEN)])
def test_how_sure_a_row_is(room: Room, cells: list[JudgedPlacement], level: Level, sure: int) -> None:
    """The least sure part decides. A row that is close counts as one that fits where every restraint in it held when
    it was tried; what is only estimated nobody tried."""
    class Given(MadeUp):
        def room(self, cells: Sequence[JudgedPlacement]) -> Room:
            return room if len(cells) == len(given) else ROOMY

        def clash(self, left: JudgedPlacement, right: JudgedPlacement) -> tuple[bool, int, Level]:
            return False, 0, FITS

    given = [cell._replace(kind=n) for n, cell in enumerate(cells)]
    found = plans([[choice(n, n, cell)] for n, cell in enumerate(given)], Given(), 100)
    plan = next(plan for plan in found.plans if len(plan.choices) == len(given))
    assert (plan.level, [(one.sure, one.level) for one in plan.best]) == (level, [(sure, level)])


def test_a_pair_that_lacks_a_number_leaves_the_row_unsure() -> None:
    class Given(MadeUp):
        def room(self, cells: Sequence[JudgedPlacement]) -> Room:
            return ROOMY

        def clash(self, left: JudgedPlacement, right: JudgedPlacement) -> tuple[bool, int, Level]:
            return False, 7, UNSURE

    both = plans([[choice(n, n, (n, 5))] for n in range(2)], Given(), 100).plans[2]
    assert (both.level, both.cost) == (UNSURE, 7 + 5 + 5 + surely(OPEN))


def test_by_how_much_it_does_not_fit_comes_before_all() -> None:
    """The squeezed fills of a plan, of which the cheapest is the best."""
    class Given(MadeUp):
        def room(self, cells: Sequence[JudgedPlacement]) -> Room:
            return Room(cells[0].kind / 2, 0, False, False)

    plan = plans([[choice(0, None, (7, 0), (3, 9))]], Given(), 100).plans[1]
    assert (plan.level, [squeeze(fill.cost) for fill in plan.fills]) == (TOO_TIGHT, [8, 4])
    assert (plan.cost, [one.fill for one in plan.best]) == (cost(squeeze=4) + 9, [plan.fills[1]])


def test_levels_have_their_names() -> None:
    assert [LEVELS[level] for level in (FITS, CLOSE_FIT, UNSURE, TOO_TIGHT, CONTESTED)] == [
        "fits", "close", "unmeasured", "squeeze", "contest"]


def test_what_clashes_is_not_asked_again_with_more() -> None:
    """Two of three seats clash, so the three together are contested without another question."""
    class Clashing(MadeUp):
        asked = 0

        def clash(self, left: JudgedPlacement, right: JudgedPlacement) -> tuple[bool, int, Level]:
            self.asked += 1
            return (left.kind, right.kind) == (0, 1), 0, FITS

    row = Clashing()
    found = plans([[choice(i, None, (i, 0))] for i in range(3)], row, 100)
    assert [plan.level == CONTESTED for plan in found.plans] == [False, False, True, True, False, False, False, False]
    assert row.asked == 3


def test_a_plan_is_only_itself() -> None:
    """Plans are told apart by identity: two alike are two."""
    one, other = (RowAssignment((), 0, 0, FITS, 0, (), 0) for _ in range(2))
    assert one != other
    assert len({one, other}) == 2


def test_the_best_fill_and_its_cells() -> None:
    """5 + 0 + 1 against 0 + 3 + 3: alike, so that the first pick counts; being less sure comes after being dear."""
    one, other = choice(0, None, (0, 0), (1, 3)), choice(1, None, (2, 1), (3, 3))
    fills = (InstallationPick((1, 1), 0), InstallationPick((0, 0), 5), InstallationPick((0, 1), 9),
             InstallationPick((1, 0), 1, LIKELY_FIT))
    told = bests(RowAssignment((one, other), 3, 0, FITS, 6, fills, 0), CostOf())
    assert [(best.fill, best.cost, best.sure) for best in told] == [
        (fills[1], 6, SURE), (fills[0], 6, SURE), (fills[2], 12, SURE), (fills[3], 5, PERHAPS)]
    assert list(picked(RowAssignment((one, other), 3, 0, FITS, 6, fills, 0), fills[2])) == [JudgedPlacement(0, 0),
                                                                                            JudgedPlacement(3, 3)]
