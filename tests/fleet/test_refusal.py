"""Why a class is refused: the same group that the search over all groups finds, with as few rules against it."""

from __future__ import annotations

import pytest
from small_worlds import child, world_of

from seatplan.fleet.classes import Engine, canonical
from seatplan.fleet.records import Member
from seatplan.fleet.refusal import refusal
from seatplan.solver.conflict import each_group, smallest_conflict
from seatplan.solver.placements import all_choices
from seatplan.solver.seater import solve_seater
from seatplan.solver.solve import Solve
from seatplan.store import Store

_BABY, _TODDLER, _BOY, _GIRL = child(8, 8.5, 700), child(30, 13, 900), child(70, 21, 1160), child(100, 28, 1300)
_ADULT = Member(adult=True)
REFUSED = [("skiff-two", [_BABY]), ("skiff-two", [_TODDLER, _BOY]), ("dowel-coupe", [_BABY, _TODDLER, _BOY, _GIRL]),
           ("lindholm-estate", [_TODDLER, _BOY, _GIRL, _ADULT, _ADULT]), ("lindholm-estate", [_BABY, _BABY, _BABY]),
           ("pipkin-hatch", [_BOY, _GIRL, _ADULT, _ADULT, _ADULT])]


@pytest.mark.parametrize(("vehicle", "members"), REFUSED, ids=[f"{one}-{len(who)}" for one, who in REFUSED])
def test_the_group_is_the_first_of_all_and_no_fewer_rules_suffice(vehicle: str, members: list[Member]) -> None:
    engine = Engine(world_of([vehicle], ["nook-35", "forward-solo"]), Store())
    asked = engine.ask(vehicle, canonical(members))
    found = refusal(asked.solve)
    solve = asked.solve
    seater = solve_seater(Solve(solve.trip, solve.world.profile, solve.world.day, counted=False, store=Store(),
                                choices_of=lambda trip, runner, _: all_choices(trip, runner, solve.kinds)))
    slow = next(each_group(seater), None)
    if slow is None:
        assert found is None
        return
    assert found is not None
    assert found.group == slow
    conflict = smallest_conflict(seater, slow)
    assert conflict.fewest
    assert found.rules == tuple(dict.fromkeys(str(one.occasion.rule) for one in conflict.reasons))


def test_some_of_these_are_refused_for_more_than_one_rule_and_for_part_of_the_party() -> None:
    told = [(refusal(Engine(world_of([one], ["nook-35", "forward-solo"]), Store()).ask(
        one, canonical(who)).solve), len(who)) for one, who in REFUSED]
    assert any(found is not None and len(found.rules) > 1 for found, _ in told)
    assert any(found is not None and len(found.group) < number for found, number in told)
