"""Many riders: the searches stop at a number of ways, say so, and leave verdict and counts as they are."""

from __future__ import annotations

import pytest
from jsonschema import validate

from seatplan.cli.schema import answer_schema
from seatplan.files.load import load_trip, shelf
from seatplan.model import Trip
from seatplan.rules.load import load_profile
from seatplan.solver import explain as explained
from seatplan.solver import plan as planned
from seatplan.solver.budget import Budget
from seatplan.solver.plan import planned as plan  # drawn trips need not be true
from seatplan.solver.repairs import search, verify
from seatplan.solver.repairs.search import RepairSeater
from seatplan.solver.results import Arrangement, Plan
from seatplan.solver.solve import Solve
from seatplan.views.plan_json import plan_json
from seatplan.views.plan_text import plan_text

REFUSED, FITS = "three-too-wide", "three-across-school-run"
SCHEMA = answer_schema("plan")


def solved(name: str, top: int | None = 3) -> Plan:
    trip = load_trip(name)
    assert trip.on is not None
    return plan(trip, load_profile(trip.rules), trip.on, top=top)


def who_where(arrangement: Arrangement) -> list[tuple[str, str, str]]:
    return [(p.rider.rider, p.position.position, p.mode_name) for p in (seat.placement for seat in arrangement.seats)]


def shuttle(riders: int, restraints: int) -> Trip:
    """The bundled shuttle with its children again under other names, and only some of its restraints."""
    trip = load_trip("nine-seat-shuttle")
    children = [rider for rider in trip.riders if not rider.adult]
    more = [children[i % 4].model_copy(update={"rider": f"Guest {i}"}) for i in range(riders - len(trip.riders))]
    return trip.model_copy(update={"riders": [*trip.riders, *more], "restraints": trip.restraints[:restraints]})


def test_fewer_changes_than_restraints_lacking_are_not_looked_for(monkeypatch: pytest.MonkeyPatch):
    """Nine riders, seven of them children, and two restraints: no two changes open that, and hardly a way is tried."""
    monkeypatch.setattr(search, "MOST_STEPS", 100)
    trip = shuttle(9, 2)
    assert trip.on is not None
    seater = RepairSeater(Solve(trip, load_profile(trip.rules), trip.on), shelf())
    assert seater.openings(2) == []
    assert seater.complete


def test_a_search_for_changes_that_stops_says_so(monkeypatch: pytest.MonkeyPatch):
    refused = solved(REFUSED)
    whole = explained.explain(refused, shelf())
    assert whole is not None
    assert whole.repairs.complete
    assert "search for changes stopped" not in plan_text(refused, explanation=whole)
    monkeypatch.setattr(search, "MOST_STEPS", 60)
    cut = explained.explain(refused, shelf())
    assert cut is not None
    assert not cut.repairs.complete
    assert (cut.groups, cut.conflict is None) == (whole.groups, False)
    text = plan_text(refused, explanation=cut)
    assert "stopped at its limit" in text
    assert "needs another car" not in text
    validate(plan_json(refused, cut), SCHEMA)


def test_solving_with_changes_stops_after_so_many_plans(monkeypatch: pytest.MonkeyPatch):
    refused = solved(REFUSED)
    whole = explained.explain(refused, shelf())
    monkeypatch.setattr(verify, "MOST_PLANS", 0)
    cut = explained.explain(refused, shelf())
    assert whole is not None
    assert cut is not None
    assert len(cut.repairs.repairs) == 1 < len(whole.repairs.repairs)
    assert not cut.repairs.complete
    assert "the search for changes stopped at its limit, so there may be others" in " ".join(
        plan_text(refused, explanation=cut).split())


def test_a_search_for_reasons_that_stops_says_so_and_changes_are_looked_for_all_the_same(
        monkeypatch: pytest.MonkeyPatch):
    refused = solved(REFUSED)
    whole = explained.explain(refused, shelf())
    monkeypatch.setattr(explained, "MOST_STEPS", 5)
    cut = explained.explain(refused, shelf())
    assert whole is not None
    assert cut is not None
    assert (cut.groups, cut.conflict, cut.nearest, cut.riders) == ((), None, None, ())
    assert cut.repairs.sets == whole.repairs.sets
    text = plan_text(refused, explanation=cut)
    assert "The search for what rules it out stopped at its limit." in text
    assert "cannot all travel" not in text
    validate(plan_json(refused, cut), SCHEMA)


def test_an_order_that_is_not_proven_says_so_and_keeps_verdict_and_counts(monkeypatch: pytest.MonkeyPatch):
    whole = solved(FITS)
    monkeypatch.setattr(planned, "MOST_RANKED", 3)
    cut = solved(FITS)
    assert (whole.all_ranked, cut.all_ranked) == (True, False)
    assert (cut.verdict, cut.tally) == (whole.verdict, whole.tally)
    assert "there may be better ones" in " ".join(plan_text(cut).split())
    assert "there may be better ones" not in " ".join(plan_text(whole).split())
    assert solved(FITS, None).all_ranked, "all of them are asked for, so all are put in order"
    validate(plan_json(cut), SCHEMA)


def test_the_first_is_as_sure_as_any_that_was_counted(monkeypatch: pytest.MonkeyPatch):
    """With nothing put in order nothing is known of the best, so the search goes on to the end."""
    whole = solved(FITS)
    monkeypatch.setattr(planned, "MOST_RANKED", 0)
    cut = solved(FITS)
    assert cut.all_ranked
    assert list(map(who_where, cut.arrangements)) == list(map(who_where, whole.arrangements))


@pytest.mark.parametrize("plans", [0, 3, 40, 60_000])
@pytest.mark.parametrize("ranked", [0, 3, 400_000])
def test_the_best_few_without_a_count_stop_where_the_plan_does(
        plans: int, ranked: int, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(planned, "MOST_RANKED", ranked)
    trip, budget = load_trip(FITS), Budget(plans=plans)
    assert trip.on is not None
    profile = load_profile(trip.rules)
    best = planned.best_of(trip, profile, trip.on, top=3, budget=budget)
    whole = plan(trip, profile, trip.on, top=3, budget=budget)
    assert [(who_where(one), one.cost) for one in best] == [(who_where(one), one.cost) for one in whole.arrangements]
    assert bool(best) == (plans >= 40)
