"""The rules, and the order of arrangements, as JSON."""

from __future__ import annotations

from typing import Any

from seatplan.rules.load import bundled_profile
from seatplan.rules.registry import RETIRED, RULES
from seatplan.rules.rule import Rule
from seatplan.solver.ranking import CRITERIA

from .failure_json import head_json
from .finding_json import plain
from .rules_text import paragraphs


def rules_json(profile: str | None = None, rule: str | None = None) -> dict[str, Any]:
    """Every rule, those of one profile, or one; a rule that was dropped stands under ``retired``."""
    return {
        **head_json("rules"),
        "rules": [_rule(one) for one in RULES
                  if rule in (None, one.id) and (profile is None or profile in one.profiles)],
        "retired": [{"rule": old, "instead": new} for old, new in RETIRED.items() if rule in (None, old)],
        "order": None,
    }


def order_json() -> dict[str, Any]:
    """Which arrangement comes first: what two are held against each other by, step by step."""
    return {**head_json("rules"), "rules": None, "retired": None, "order": [
        {"criterion": one.name, "step": one.step, "title": one.title, "why": one.why, "source": one.source}
        for one in CRITERIA if one.step]}


def _rule(rule: Rule) -> dict[str, Any]:
    return {
        "rule": rule.id, "title": rule.title, "scope": rule.scope, "strength": rule.strength,
        "profiles": sorted(rule.profiles), "weight": rule.weight, "why_weight": rule.why_weight or None,
        "text": [line for line in paragraphs(rule) if line], "source": rule.source, "reads": list(rule.reads),
        "thresholds": [
            {"name": name, "profile": profile, "value": plain(known.value), "unit": known.unit, "source": known.source}
            for name in rule.limits for profile in sorted(rule.profiles)
            if (known := bundled_profile(profile).thresholds.get(name))],
        "remedy": rule.remedy,
    }
