"""The rules as text, from their own docstrings."""

from __future__ import annotations

import inspect

from seatplan.rules.registry import RULES, rule_by_id

from .text import table, wrapped


def overview(profile: str | None) -> str:
    """One line a rule, by what it looks at."""
    parts = []
    for scope, title in (("placement", "One rider at one position"), ("pair", "Two riders"),
                         ("row", "A row"), ("trip", "The whole trip")):
        lines = [[r.id, r.strength, "both" if len(r.profiles) > 1 else r.profiles[0], r.title]
                 for r in RULES if r.scope == scope and (profile is None or profile in r.profiles)]
        if lines:
            parts.append(f"{title}\n" + table(["rule", "strength", "in", "what is wrong"], lines, "   "))
    parts.append("hint: `seatplan rules NAME` explains one")
    return "\n\n".join(parts) + "\n"


def explain(rule_id: str) -> str:
    """What one rule checks and why, its strength, source, limits and remedy."""
    rule = rule_by_id(rule_id)
    lines = [f"{rule.id}: {rule.title}", ""]
    for paragraph in inspect.cleandoc(rule.text).split("\n"):
        head, colon, rest = paragraph.partition(":")
        if colon and head.isalpha():
            lines.append(wrapped(f"{head}: {rest.strip()}", "   ", "      "))
        elif lines[-1] and paragraph.strip() and len(lines) > 2:
            lines[-1] = wrapped(" ".join((lines[-1] + " " + paragraph).split()), "   ", "      ")
        else:
            lines.append(wrapped(paragraph.strip(), "   ") if paragraph.strip() else "")
    lines += ["", wrapped(f"Strength: {rule.strength}, in {' and '.join(rule.profiles)}", "   ", "      "),
              wrapped(f"Source: {rule.source}", "   ", "      "),
              wrapped(f"Reads: {', '.join(rule.reads) or 'nothing'}", "   ", "      ")]
    if rule.limits:
        lines.append(wrapped(f"Thresholds: {_thresholds(rule.limits)}", "   ", "      "))
    lines.append(wrapped(f"What helps: {rule.remedy}", "   ", "      "))
    return "\n".join(lines) + "\n"


def _thresholds(names: tuple[str, ...]) -> str:
    from seatplan.rules.load import bundled_profile

    told = []
    for name in names:
        values = [f"{profile} {t.value:g} {t.unit}" for profile in ("us", "un")
                  if (t := bundled_profile(profile).thresholds.get(name))]
        told.append(f"{name} ({', '.join(values)})")
    return ", ".join(told)
