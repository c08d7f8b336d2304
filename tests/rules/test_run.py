"""The runner: every rule of the profile asked of every subject, each finding with its names, answers kept rightly."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import pytest
from build import Case, subject
from test_cases import ALL

from seatplan.rules.finding import Finding
from seatplan.rules.registry import RULES, rule_by_id, weight_of
from seatplan.rules.rule import Rule
from seatplan.rules.run import TRY_RULE, Runner
from seatplan.rules.subjects import Pair, Placement, RuleContext, Seated
from seatplan.solver.placements import cell_of
from seatplan.store import Store


def asked(rule: Rule, what: Placement | Pair | Seated, world: RuleContext) -> list[Finding]:
    """What a fresh runner finds on a subject."""
    ask: Any = getattr(Runner(world), rule.scope)
    found: list[Finding] = ask(what)
    return found


@pytest.mark.parametrize(("rule_id", "case", "outcome"), ALL)
def test_the_same_as_the_rule_by_itself(rule_id: str, case: Case, outcome: str) -> None:
    rule = rule_by_id(rule_id)
    what, world = subject(rule, case)
    found = asked(rule, what, world)
    own = [finding for finding in found if finding.rule == rule_id]
    assert [finding.rule for finding in found] == sorted({finding.rule for finding in found})
    assert {rule_by_id(finding.rule).scope for finding in found} <= {rule.scope}
    if outcome == "skip" or world.profile.base not in rule.profiles:
        assert own == []
        return
    placements = (what,) if isinstance(what, Placement) else (
        (what.left, what.right) if isinstance(what, Pair) else what.placements)
    (finding,) = own
    note = outcome == "unmeasured" and rule.strength != "must"         # good practice never holds anything up
    assert finding.outcome == ("caution" if note else outcome)
    assert finding.riders == tuple(p.rider.rider for p in placements)
    assert finding.positions == tuple(p.position.position for p in placements)
    only = placements[0].restraint if len(placements) == 1 else None
    assert finding.restraint == (only.restraint if only else None)
    assert finding.source == rule.source


def test_rules_of_the_other_profile_are_not_asked() -> None:
    for base in ("us", "un"):
        what, world = subject(rule_by_id("no-belt"), {"profile": base})
        found = {finding.rule for finding in asked(rule_by_id("no-belt"), what, world)}
        assert found
        assert all(base in rule_by_id(name).profiles for name in found)


def test_answers_are_kept_by_what_a_rule_looks_at() -> None:
    """One runner asked of each case of a rule in one world answers as fresh ones do."""
    for rule_id in ("child-too-heavy", "no-belt", "no-lower-anchors", "no-tether-anchor", "restraint-crashed"):
        rule = rule_by_id(rule_id)
        placements = [subject(rule, case.values[1]) for case in ALL if case.values[0] == rule_id]
        runner = Runner(placements[0][1])
        for _ in range(2):
            for what, _ in placements:
                assert isinstance(what, Placement)
                assert runner.placement(what) == Runner(runner.world).placement(what)


def test_a_rule_is_asked_once_for_what_it_depends_on(monkeypatch: pytest.MonkeyPatch) -> None:
    """A rule about the restraint alone is not asked again for another rider, one about bars is for other bars."""
    asks: list[str] = []

    def counting(rule: Rule) -> Rule:
        def check(what: Any, world: Any) -> Any:
            asks.append(rule.id)
            return rule.check(what, world)
        return replace(rule, check=check)

    names = ("restraint-crashed", "no-lower-anchors", "no-belt")
    monkeypatch.setattr("seatplan.rules.run.RULES", tuple(counting(rule_by_id(name)) for name in names))
    what, world = subject(rule_by_id("no-lower-anchors"), {
        "installation": {"by": "lower-anchors-with-belt"}, "bars": ["a", "b"]})
    assert isinstance(what, Placement)
    runner = Runner(replace(world, store=Store()))
    for placement in (what, replace(what, rider=world.trip.riders[0].model_copy()), replace(what, bars=("b", "c")),
                      replace(what, borrowed=True), replace(what, row=what.row.model_copy(update={"slides": 30}))):
        runner.placement(placement)
    assert [asks.count(name) for name in names] == [1, 4, 2]


def test_a_profile_can_make_good_practice_a_must() -> None:
    rule = rule_by_id("booster-before-five")
    case = next(case.values[1] for case in ALL if case.values[0] == rule.id and case.values[2] == "caution")
    what, world = subject(rule, case)
    stricter = replace(world, profile=replace(world.profile, must=frozenset({rule.id})))
    assert [(f.rule, f.outcome) for f in asked(rule, what, stricter) if f.rule == rule.id] == [(rule.id, "block")]
    assert Runner(stricter).is_must(rule)
    assert not Runner(world).is_must(rule)
    assert Runner(world).is_must(rule_by_id("no-belt"))


@pytest.mark.parametrize(("case", "must", "bites"), [
    ({}, [], False),
    ({}, ["way-out-blocked"], False),                          # no way leads past a seat
    ({"position": {"exit": "past 1R folded"}}, [], False),     # good practice
    ({"position": {"exit": "past 1R folded"}}, ["way-out-blocked"], True),
    ({"trip": {"wishes": [{"together": ["Wren", "Oslo"], "must": True}]}, "left_out": ["Oslo"]}, [], True),
    ({"trip": {"wishes": [{"together": ["Wren", "Oslo"]}]}, "left_out": ["Oslo"]}, [], False)])
def test_whether_a_rule_of_the_whole_trip_can_turn_anything_down(case: Case, must: list[str], bites: bool) -> None:
    _, world = subject(rule_by_id("no-belt"), case)
    profile = replace(world.profile, must=frozenset(must))
    assert Runner(replace(world, profile=profile)).trip_rules_bite() is bites


def test_the_rules_of_each_scope_are_all_there() -> None:
    """Each is asked of something in the cases."""
    assert {rule.scope for rule in RULES} == {"placement", "pair", "row", "trip"}
    assert {case.values[0] for case in ALL} == {rule.id for rule in RULES}


@pytest.mark.parametrize(("rule_id", "case", "outcome"), ALL)
def test_answers_count_cautions_by_weight(rule_id: str, case: Case, outcome: str) -> None:
    """What a search reads of a placement is what its findings say; what has a step of its own in the order is told and
    not weighed."""
    what, world = subject(rule_by_id(rule_id), case)
    if not isinstance(what, Placement):
        return
    runner = Runner(world)
    told = [finding for finding in runner.placement(what) if weight_of(finding)]
    weights = [weight_of(finding) for finding in told if not rule_by_id(finding.rule).own_step]
    doubts = [finding for finding in runner.placement(what) if finding.rule == "restraint-crashed"
              and finding.outcome == "caution"]
    cell = cell_of(runner, what)
    assert (cell.graves, cell.slights) == (weights.count("grave"), weights.count("slight"))
    assert cell.cautions == len(told)
    assert cell.doubtful_restraint == len(doubts)
    findings = cell.findings
    assert cell.blocked == any(world.options.refuses(finding.outcome) for finding in findings)
    assert cell.unmeasured == any(finding.outcome == "unmeasured" for finding in findings)
    assert cell.close == any(finding.result.close for finding in findings)
    assert set(cell.estimates) == {guess for finding in findings for guess in finding.result.estimates}
    assert cell.held == any(finding.rule == TRY_RULE and bool(finding.result.facts.get("confirmed"))
                            for finding in findings)


def test_a_minor_crash_puts_the_restraint_in_doubt_and_a_bare_seat_does_not() -> None:
    crashed, bare = {"restraint": {"condition": {"crash": "minor"}}}, {"position": {"tether": "none"}}
    for case, doubtful in ((crashed, 1), (bare, 0)):
        what, world = subject(rule_by_id("restraint-crashed"), {"mode": {"tether_strap": True}, **case})
        assert isinstance(what, Placement)
        cell = cell_of(Runner(world), what)
        assert cell.graves > 0
        assert cell.doubtful_restraint == doubtful
