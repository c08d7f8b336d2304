"""The list of rules: sorted, named once, documented, worded, and light to import."""

from __future__ import annotations

import ast
import inspect
import re
import subprocess
import sys
from typing import Any

import pytest

from seatplan.rules.finding import Finding, passes
from seatplan.rules.load import BUNDLED, bundled_profile
from seatplan.rules.profile import ORDER_LIMITS
from seatplan.rules.registry import RETIRED, RULES, gravest_first, rule_by_id, weight_of
from seatplan.rules.rule import Rule
from seatplan.rules.rule import rule as make_rule

HEADINGS = ["Checks", "Why", "Limits", "Blocks"]
PARTS = {"rider", "restraint", "mode", "installation", "position", "bars", "tether", "recline"}
EVERY_RULE = pytest.mark.parametrize("rule", RULES, ids=lambda rule: rule.id)


def test_sorted_and_named_once():
    ids = [rule.id for rule in RULES]
    assert ids == sorted(set(ids))


def test_the_name_of_the_function_is_the_name_of_the_rule():
    assert [rule.id for rule in RULES if rule.check.__name__.replace("_", "-") != rule.id] == []


def test_retired_names_are_never_used_again_and_say_what_replaced_them():
    ids = {rule.id for rule in RULES}
    assert not ids & set(RETIRED)
    assert set(RETIRED.values()) <= ids


def test_rule_by_id():
    assert rule_by_id("no-shoulder-belt").title == "The belt has no shoulder part"
    with pytest.raises(KeyError):
        rule_by_id("no-such-rule")


@EVERY_RULE
def test_docstring_has_its_headings_in_order(rule: Rule):
    text = inspect.cleandoc(rule.text)
    assert re.findall(r"^([A-Z][a-z]+): ", text, re.MULTILINE) == HEADINGS
    first, blank = text.split("\n")[:2]
    assert first.endswith(".")
    assert blank == ""


@EVERY_RULE
def test_declares_what_it_is_built_on(rule: Rule):
    assert re.fullmatch(r"[a-z0-9]+(-[a-z0-9]+)+", rule.id)
    assert rule.title[0].isupper()
    assert not rule.title.endswith(".")
    assert rule.source
    assert rule.remedy
    assert rule.reads
    assert rule.depends
    assert set(rule.depends) <= PARTS
    assert rule.profiles
    assert set(rule.profiles) <= set(BUNDLED)


@EVERY_RULE
def test_thresholds_are_in_a_profile_it_runs_in(rule: Rule):
    known = {name for profile in rule.profiles for name in bundled_profile(profile).thresholds}
    assert set(rule.limits) <= known


def test_every_threshold_is_used_by_a_rule_or_by_the_order():
    used = {name for rule in RULES for name in rule.limits} | set(ORDER_LIMITS)
    for name in BUNDLED:
        assert set(bundled_profile(name).thresholds) - used == set()


@EVERY_RULE
def test_has_words_for_what_it_finds(rule: Rule):
    own = rule.says
    # they only ever ask for a number
    if rule.id not in ("child-limits-unknown", "number-doubted", "size-only-reckoned"):
        assert {"block", "pass"} <= set(own)
    if rule.strength == "good practice":
        assert "caution" in own
    assert not [text for text in own.values() if text.endswith(".")]


def cautions_somewhere(rule: Rule) -> bool:
    """Whether the check, or a function of its module that it calls, makes a caution; good practice does anyhow."""
    module = inspect.getmodule(rule.check)
    seen, names = set(), {rule.check.__name__}
    while names:
        name = names.pop()
        seen.add(name)
        made = getattr(module, name, None)
        made = made.check if isinstance(made, Rule) else made
        if inspect.isfunction(made) and made.__module__ == module.__name__:
            names |= {node.id for node in ast.walk(ast.parse(inspect.getsource(made))) if isinstance(node, ast.Name)}
            names -= seen
    return rule.strength == "good practice" or bool(seen & {"cautions", "notes"})


@EVERY_RULE
def test_a_rule_that_can_caution_and_no_other_has_a_weight_and_says_why(rule: Rule):
    assert (rule.weight is not None) == cautions_somewhere(rule)
    assert (rule.weight is not None) == bool(rule.why_weight)
    if rule.weight:
        source = re.compile(r"no source|from memory|Pediatrics|CFR|UN R|NHTSA|criteria")
        assert source.search(rule.why_weight), "says where it is from"
        assert not rule.why_weight.endswith(".")


def test_both_kinds_of_weight_are_seen():
    assert {rule.weight for rule in RULES} == {"grave", "slight", None}
    assert {rule.id for rule in RULES if rule.doubts_restraint} == {"restraint-crashed"}


@pytest.mark.parametrize("more", [
    {"strength": "good practice"},
    {"weight": "slight"},
    {"why_weight": "as it is"},
    {"doubts_restraint": True},
])
def test_a_rule_without_one_of_weight_and_why_is_refused(more: dict[str, Any]):
    with pytest.raises(ValueError, match="a-rule"):
        make_rule("a-rule", title="A", source="b", depends=("rider",), reads=("rider.born",), remedy="c", says={},
                  **more)


def finding(rule: str, outcome: Any) -> Finding:
    return Finding(rule, outcome, (), (), passes(), "")


def test_only_a_caution_has_a_weight_and_grave_ones_come_first():
    slight, grave = finding("side-airbag-in-seat", "caution"), finding("tether-unused", "caution")
    passed, blocked = finding("tether-unused", "pass"), finding("restraint-crashed", "block")
    assert [weight_of(one) for one in (slight, grave, passed, blocked)] == ["slight", "grave", None, None]
    assert gravest_first([passed, slight, blocked, grave]) == [grave, slight, passed, blocked]


def test_importing_the_list_stays_light():
    code = ("import sys, seatplan.rules.registry; "
            "print([m for m in ('pydantic', 'shapely', 'networkx', 'yaml') if m in sys.modules])")
    out = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    assert out.stdout.strip() == "[]"
