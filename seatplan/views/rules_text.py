"""The rules as text, from their own docstrings."""

from __future__ import annotations

import inspect
from collections.abc import Sequence

from seatplan.app.rules import Listed, Order, Retired
from seatplan.rules.rule import Rule

from .say import Words, t
from .text import fitted, listed, quantity, table, wrapped

#: module of a rule -> heading, in the order of a person's questions
_HEADINGS = Words({
    "child_in_mode": "The child and the limits of the restraint",
    "child_in_shell": "Straps, head and ears",
    "doubted": "Numbers that are unlikely",
    "outline": "The whole shape of a restraint",
    "sizes": "Sizes on the day of travel",
    "facing": "Which way round the child rides",
    "readiness": "Ready for a booster, for the seat belt",
    "restraint_condition": "The restraint itself",
    "position": "The seat",
    "head_restraint": "The vehicle's head restraint",
    "rider_needs": "What is known of a rider beside age and size",
    "view": "The driver's view",
    "airbag": "Airbags",
    "belt": "The vehicle belt",
    "lower_anchors": "Lower anchors: the two bars in the crease of the seat",
    "tether": "The tether: the strap from the top of a restraint to its anchor",
    "tether_reach": "The tether strap and where its anchor is",
    "cabin": "What is above, before and behind it",
    "support": "The cushion below it, and the floor below its support leg",
    "ahead": "Along the car: recline and the seat ahead",
    "booster_seat": "How a child sits on a booster or on the cushion",
    "un_route": "What only the UN rules ask",
    "pair": "Two riders",
    "row": "A row",
    "access": "The way out",
    "trip": "The trip and its wishes",
})

_WEIGHTS = Words({
    "grave": "grave, any one outweighs all slight ones",
    "slight": "slight",
})


def rules_text(found: Listed | Rule | Retired | Order) -> str:
    """All rules, one of them, or the order of arrangements."""
    match found:
        case Listed(rules):
            return overview(rules)
        case Rule():
            return explain(found)
        case Retired(rule, now):
            return t("{rule} is no longer a rule; {now} took its place\n", rule=rule, now=now)
        case Order(criteria):
            from .order_text import order_text

            return order_text(criteria)


def overview(rules: Sequence[Rule]) -> str:
    """One line a rule, by what it looks at."""
    modules = {r.id: r.check.__module__.rpartition(".")[2] for r in rules}
    others = {m: m.replace("_", " ").capitalize() for m in sorted(modules.values()) if m not in _HEADINGS}
    wide = max(len(r.id) for r in rules)
    parts = [fitted(t("{n_rules} rules. A rule rules out a way to ride, except where it says good practice: "
               "that is a caution.\n`us` or `un` marks a rule of one profile; the others are in both.",
               n_rules=len(rules)), "")]
    for module, heading in [(m, _HEADINGS.get(m) or others[m]) for m in (*_HEADINGS, *others)]:
        lines = [[r.id.ljust(wide), r.profiles[0] if len(r.profiles) == 1 else "",
                  t(r.title) + (t(" (good practice)") if r.strength != "must" else "")]
                 for r in rules if modules[r.id] == module]
        if lines:
            parts.append(fitted(heading) + table(["", "  ", ""], lines, "   "))
    parts.append(fitted(t("hint: `seatplan rules child-too-heavy` explains one of them")))
    return "\n\n".join(parts) + "\n"


def explain(rule: Rule) -> str:
    """What one rule checks and why, its strength, source, limits and remedy."""
    lines = [wrapped(f"{rule.id}: {t(rule.title)}", "", "   "), ""]
    lines.extend(wrapped(t(told), "   ", "      ") if told else "" for told in paragraphs(rule))
    profiles = listed(sorted(rule.profiles, reverse=True))
    lines += [
        "",
        wrapped(t("Strength: {strength}; in {profiles}", strength=_strength(rule), profiles=profiles), "   ", "      "),
        *([wrapped(t("Weight of its cautions: {weight}: {why}", weight=_WEIGHTS[rule.weight],
                     why=t(rule.why_weight)), "   ", "      ")] if rule.weight else []),
        wrapped(t("Source: {source}", source=t(rule.source)), "   ", "      "),
        wrapped(t("From the files: {some}", some=", ".join(rule.reads) or t("nothing")), "   ", "      "),
    ]
    if rule.limits:
        lines.append(wrapped(t("Thresholds: {thresholds}", thresholds=_thresholds(rule.limits)), "   ", "      "))
    lines.append(wrapped(t("What helps: {remedy}", remedy=t(rule.remedy)), "   ", "      "))
    return "\n".join(lines) + "\n"


def paragraphs(rule: Rule) -> list[str]:
    """What its docstring says, one line a paragraph; those after the first begin with their heading."""
    told: list[str] = []
    for line in inspect.cleandoc(rule.text).split("\n"):
        head, colon, rest = line.partition(":")
        if colon and head.isalpha():
            told.append(f"{head}: {rest.strip()}")
        elif told and told[-1] and line.strip():
            told[-1] = " ".join(f"{told[-1]} {line}".split())
        else:
            told.append(line.strip())
    return told


def _strength(rule: Rule) -> str:
    if rule.strength == "must":
        return t("must, so a failing rules it out")
    return t("good practice, so a failing is a caution; a rules file of your own can make it a must")


def _thresholds(names: tuple[str, ...]) -> str:
    from seatplan.rules.load import bundled_profile

    told = []
    for name in names:
        values = [f"{profile} {quantity(known.value, known.unit, fine=True)}" for profile in ("us", "un")
                  if (known := bundled_profile(profile).thresholds.get(name))]
        told.append(f"{name} ({', '.join(values)})")
    return ", ".join(told)
