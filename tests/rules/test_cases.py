"""Every rule on its cases: the outcome, the numbers, and the words.

The name of a case begins with its outcome: pass, block, caution, unmeasured, or skip where the rule does not
apply. ``finds`` names what the result must hold: measured, limit, shortfall, unit, field, settles_at, a fact.
"""

from __future__ import annotations

import inspect
from dataclasses import replace
from fractions import Fraction
from pathlib import Path
from typing import Any

import pytest
import yaml
from build import Case, subject

from seatplan.files.reading import YAML_LOADER
from seatplan.message import Amount
from seatplan.rules.finding import Finding, Result
from seatplan.rules.registry import RULES, rule_by_id
from seatplan.rules.rule import Rule
from seatplan.rules.subjects import Pair, Placement
from seatplan.units import mass
from seatplan.views.words import sentence

CASES = {file.stem: yaml.load(file.read_text(encoding="utf-8"), Loader=YAML_LOADER)
         for file in sorted((Path(__file__).parent / "cases").glob("*.yaml"))}
ALL = [pytest.param(rule_id, case, name.split("_")[0], id=f"{rule_id}-{name}")
       for rule_id, cases in CASES.items() for name, case in cases.items() if name != "rule"]
OWN = ("measured", "limit", "shortfall", "unit", "field", "how", "settles_at", "close", "estimates")


def judged(rule: Rule, case: Case) -> tuple[Result | None, Any]:
    what, world = subject(rule, case)
    return (rule.check(what, world) if rule.when(what, world) else None), what


def fact(result: Result, key: str) -> Any:
    """A fact; of a value with its unit the number."""
    found = result.facts.get(key)
    return found.value if isinstance(found, Amount) else found


def outcome_of(rule: Rule, result: Result | None) -> str:
    if result is None:
        return "skip"
    if result.outcome == "fail":
        return "block" if rule.strength == "must" else "caution"
    return result.outcome


@pytest.mark.parametrize(("rule_id", "case", "outcome"), ALL)
def test_outcome_and_numbers(rule_id: str, case: Case, outcome: str):
    rule = rule_by_id(rule_id)
    result, _ = judged(rule, case)
    assert outcome_of(rule, result) == outcome
    if result is None:
        assert "finds" not in case
        return
    assert case["finds"]
    found = {key: getattr(result, key) if key in OWN else fact(result, key) for key in case["finds"]}
    assert found == {key: expected(value, found[key]) for key, value in case["finds"].items()}


def expected(value: Any, found: Any) -> Any:
    """What a case says that the result holds; an exact mass is compared exactly, in the unit that the case gives."""
    if isinstance(found, Fraction):
        return mass(value) if isinstance(value, str) else Fraction(str(value))
    if isinstance(found, tuple):
        return tuple(value)
    return pytest.approx(value) if isinstance(value, float) else value


@pytest.mark.parametrize(("rule_id", "case", "outcome"), [p for p in ALL if p.values[2] != "skip"])
def test_words(rule_id: str, case: Case, outcome: str):
    """The sentence uses no fact that the rule left out."""
    rule = rule_by_id(rule_id)
    result, what = judged(rule, case)
    assert result is not None
    if isinstance(what, Placement):
        placements: tuple[Placement, ...] = (what,)
    else:
        placements = (what.left, what.right) if isinstance(what, Pair) else what.placements
    own = placements[0].restraint if len(placements) == 1 else None
    text = sentence(Finding(
        rule.id, outcome,  # type: ignore[arg-type]  # the outcome comes from the name of the case
        tuple(p.rider.rider for p in placements), tuple(p.position.position for p in placements),
        result, rule.source, own.restraint if own else None))
    assert "None" not in text
    assert not {"-", "{", "}"} & set(text.split())
    assert len(text) > 5
    assert not text.endswith(".")


class Watched(Placement):
    """A placement that notes which of its parts are looked at."""

    __slots__ = ("seen",)

    def __getattribute__(self, name: str) -> Any:
        if name in Placement.__slots__:
            object.__getattribute__(self, "seen").add(name)
        return object.__getattribute__(self, name)

    def from_second(self) -> Placement | None:
        """The same, noting what is looked at from the second place."""
        plain = Placement(*(object.__getattribute__(self, name) for name in Placement.__slots__)).from_second()
        seen = object.__getattribute__(self, "seen")
        seen.add("second")
        return None if plain is None else watched(plain, seen)


def watched(placement: Placement, seen: set[str]) -> Watched:
    found = Watched(*(getattr(placement, name) for name in Placement.__slots__))
    object.__setattr__(found, "seen", seen)
    return found


@pytest.mark.parametrize(("rule_id", "case", "outcome"), ALL)
def test_looks_only_at_what_it_depends_on(rule_id: str, case: Case, outcome: str):
    """The runner keeps answers by the parts that a rule depends on: a part left out would mix them up."""
    rule = rule_by_id(rule_id)
    if rule.scope != "placement":
        return
    placement, world = subject(rule, case)
    seen: set[str] = set()
    looked_at = watched(placement, seen)
    if rule.when(looked_at, world):
        rule.check(looked_at, world)
    allowed = set(rule.depends)
    allowed |= {"row", "second"} if "position" in allowed else set()
    allowed |= {"borrowed"} if "bars" in allowed else set()
    assert seen <= allowed


SEVERITY = ["skip", "pass", "caution", "unmeasured", "block"]


@pytest.mark.parametrize(("rule_id", "case", "outcome"), ALL)
def test_a_tighter_threshold_never_lets_more_through(rule_id: str, case: Case, outcome: str):
    rule = rule_by_id(rule_id)
    what, world = subject(rule, case)
    for name in rule.limits:
        old = world.profile.thresholds.get(name)
        if old is None:
            continue                                  # of the other profile
        for step in (1, 10, 100):
            value = old.value + step if old.stricter == "higher" else max(0.0, old.value - step)
            thresholds = {**world.profile.thresholds, name: replace(old, value=value)}
            tighter = replace(world, profile=replace(world.profile, thresholds=thresholds))
            result = rule.check(what, tighter) if rule.when(what, tighter) else None
            assert SEVERITY.index(outcome_of(rule, result)) >= SEVERITY.index(outcome)


@pytest.mark.parametrize("rule", RULES, ids=lambda rule: rule.id)
def test_every_outcome_of_a_rule_has_a_case(rule: Rule):
    assert rule.id in CASES, f"cases/{rule.id}.yaml is missing"
    code = inspect.getsource(rule.check)
    outcomes = {name.split("_")[0] for name in CASES[rule.id] if name != "rule"}
    assert CASES[rule.id]["rule"] == rule.id
    if "passes(" in code or "at_most(" in code or "at_least(" in code:
        assert "pass" in outcomes
    if "fails(" in code or "at_most(" in code or "at_least(" in code:
        assert ("block" if rule.strength == "must" else "caution") in outcomes
    if "lacks(" in code:
        assert "unmeasured" in outcomes
    if "cautions(" in code:
        assert "caution" in outcomes


def test_no_cases_for_rules_that_are_not_there():
    assert set(CASES) <= {rule.id for rule in RULES}
