"""The list of rules: sorted, named once, documented, worded, and light to import."""

from __future__ import annotations

import inspect
import re
import subprocess
import sys

import pytest

from seatplan.rules.load import BUNDLED, bundled_profile
from seatplan.rules.registry import RETIRED, RULES, rule_by_id
from seatplan.rules.rule import Rule

HEADINGS = ["Checks", "Why", "Limits", "Blocks", "Instead"]
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


def test_every_threshold_is_used_by_a_rule():
    used = {name for rule in RULES for name in rule.limits}
    for name in BUNDLED:
        assert set(bundled_profile(name).thresholds) - used == set()


@EVERY_RULE
def test_has_words_for_what_it_finds(rule: Rule):
    from seatplan.views.wording import TEXT

    own = TEXT[rule.id]
    # they only ever ask for a number
    if rule.id not in ("child-limits-unknown", "number-doubted", "size-only-reckoned"):
        assert {"block", "pass"} <= set(own)
    if rule.strength == "good practice":
        assert "caution" in own
    assert not [text for text in own.values() if text.endswith(".")]


def test_no_words_for_rules_that_are_not_there():
    from seatplan.views.wording import TEXT

    assert set(TEXT) == {rule.id for rule in RULES}


def test_importing_the_list_stays_light():
    code = ("import sys, seatplan.rules.registry; "
            "print([m for m in ('pydantic', 'shapely', 'networkx', 'yaml') if m in sys.modules])")
    out = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    assert out.stdout.strip() == "[]"
