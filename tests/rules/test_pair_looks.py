"""What the rules about two riders look at: two pairs in which that is equal are told the same."""

from __future__ import annotations

from collections import defaultdict
from datetime import date
from itertools import product

import pytest

from seatplan.files.load import load_trip
from seatplan.model import Wish
from seatplan.rules.load import load_profile
from seatplan.rules.pair import looked_at
from seatplan.rules.registry import RULES
from seatplan.rules.run import Runner
from seatplan.rules.subjects import Pair, Placement, RuleContext
from seatplan.solver.kinds import apart
from seatplan.solver.occasions import ENFORCED_BY_SEARCH
from seatplan.solver.placements import all_choices


@pytest.mark.parametrize("name", ["three-too-wide", "two-children-one-tether", "sliding-row-outing", "i-size-family"])
def test_pairs_that_look_alike_are_told_the_same(name: str) -> None:
    trip = load_trip(name)
    children = [rider.rider for rider in trip.riders if not rider.adult]
    trip = trip.model_copy(update={"wishes": [*trip.wishes, Wish(apart=children[:2], must=True)]})
    runner = Runner(RuleContext(trip, trip.vehicle, load_profile(trip.rules), date(2026, 11, 30)))
    alike: dict[tuple[object, ...], list[Placement]] = defaultdict(list)
    for cell in all_choices(trip, runner, apart(trip)).cells():
        alike[cell.placement.rider.rider, looked_at(cell.placement)].append(cell.placement)
    some = [(same[0], same[-1]) for same in alike.values()]
    assert any(first.mode is not last.mode for first, last in some)
    for (a, b), (c, d) in product(some, some):
        if a.rider.rider != c.rider.rider:
            assert told(runner, a, c) == told(runner, b, d)


def told(runner: Runner, left: Placement, right: Placement) -> list[object]:
    return [(f.rule, f.outcome, f.riders, f.positions, f.result) for f in runner.pair(Pair(left, right))
            if f.rule not in ENFORCED_BY_SEARCH]


def test_no_occasion_of_two_riders_is_told_by_restraint_or_mode() -> None:
    for rule in RULES:
        if rule.scope == "pair" and rule.id not in ENFORCED_BY_SEARCH:
            assert not {"restraint", "mode"} & set(rule.fact), rule.id
