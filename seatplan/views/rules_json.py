"""The rules, and the order of arrangements, as JSON."""

from __future__ import annotations

from typing import Any

from seatplan.app.rules import Listed, Order, Retired
from seatplan.rules.load import bundled_profile
from seatplan.rules.rule import Rule

from .failure_json import head_json
from .finding_json import plain
from .rules_text import paragraphs


def rules_json(found: Listed | Rule | Retired | Order) -> dict[str, Any]:
    """Rules, one that was dropped, or what two arrangements are held against each other by, step by step; what was not
    asked for is null."""
    rules = found.rules if isinstance(found, Listed) else (found,) if isinstance(found, Rule) else None
    return {
        **head_json("rules"),
        "rules": None if rules is None else [_rule(one) for one in rules],
        "retired": {"rule": found.rule, "instead": found.now} if isinstance(found, Retired) else None,
        "order": None if not isinstance(found, Order) else [
            {"criterion": one.name, "step": one.step, "title": one.title, "why": one.why, "source": one.source}
            for one in found.criteria if one.step],
    }


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
