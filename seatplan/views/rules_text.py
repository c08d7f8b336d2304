"""The rules as text, from their own docstrings."""

from __future__ import annotations

import inspect

from seatplan.rules.registry import RULES, rule_by_id
from seatplan.rules.rule import Rule

from .text import listed, table, wrapped

#: module of a rule -> heading, in the order of a person's questions
_HEADINGS = {
    "child_in_mode": "The child and the limits of the restraint",
    "child_in_shell": "Straps, head and ears",
    "readiness": "Ready to face forward, for a booster, for the adult belt",
    "restraint_condition": "The restraint itself",
    "position": "The seat",
    "belt": "The vehicle belt",
    "lower_anchors": "Lower anchors: the two bars in the crease of the seat",
    "tether": "The tether: the strap from the top of a restraint to its anchor",
    "tether_reach": "The tether strap and where its anchor is",
    "support": "The cushion below it, and the floor below its support leg",
    "ahead": "Along the car: recline and the seat ahead",
    "booster_seat": "How a child sits on a booster or on the cushion",
    "un_route": "What only the UN rules ask",
    "pair": "Two riders",
    "row": "A row",
    "access": "The way out",
    "trip": "The trip and its wishes",
}


def overview(profile: str | None) -> str:
    """One line a rule, by what it looks at."""
    rules = [r for r in RULES if profile is None or profile in r.profiles]
    modules = {r.id: r.check.__module__.rpartition(".")[2] for r in rules}
    others = {m: m.replace("_", " ").capitalize() for m in sorted(modules.values()) if m not in _HEADINGS}
    wide = max(len(r.id) for r in rules)
    parts = [f"{len(rules)} rules. A rule rules out a way to ride, except where it says good practice: "
             "that is a caution.\n`us` or `un` marks a rule of one profile; the others are in both."]
    for module, heading in (_HEADINGS | others).items():
        lines = [[r.id.ljust(wide), r.profiles[0] if len(r.profiles) == 1 else "",
                  r.title + (" (good practice)" if r.strength != "must" else "")]
                 for r in rules if modules[r.id] == module]
        if lines:
            parts.append(heading + table(["", "  ", ""], lines, "   "))
    parts.append("hint: `seatplan rules child-too-heavy` explains one of them")
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
    profiles = listed(sorted(rule.profiles, reverse=True))
    lines += ["", wrapped(f"Strength: {_strength(rule)}; in {profiles}", "   ", "      "),
              wrapped(f"Source: {rule.source}", "   ", "      "),
              wrapped(f"From the files: {', '.join(rule.reads) or 'nothing'}", "   ", "      ")]
    if rule.limits:
        lines.append(wrapped(f"Thresholds: {_thresholds(rule.limits)}", "   ", "      "))
    lines.append(wrapped(f"What helps: {rule.remedy}", "   ", "      "))
    return "\n".join(lines) + "\n"


def _strength(rule: Rule) -> str:
    if rule.strength == "must":
        return "must, so a failing rules it out"
    return "good practice, so a failing is a caution; a rules file of your own can make it a must"


def _thresholds(names: tuple[str, ...]) -> str:
    from seatplan.rules.load import bundled_profile

    told = []
    for name in names:
        values = [f"{profile} {t.value:g} {t.unit}" for profile in ("us", "un")
                  if (t := bundled_profile(profile).thresholds.get(name))]
        told.append(f"{name} ({', '.join(values)})")
    return ", ".join(told)
