"""Run rules on subjects and collect every finding, never only the first.

A rule is asked once for each combination of the parts it depends on; the answers are kept for the life of the
runner, which is one solve.
"""

from __future__ import annotations

from collections.abc import Iterable
from operator import attrgetter
from typing import Any

from .finding import Finding, Outcome, Result
from .reckoned import judge
from .registry import RULES
from .rule import Rule
from .subjects import Pair, Placement, Seated, World

_MISSING: Any = object()
_Names = tuple[tuple[str, ...], tuple[str, ...], str | None]


class Runner:
    """All rules of one profile, for one world."""

    def __init__(self, world: World) -> None:
        self.world = world
        active = [rule for rule in RULES if world.profile.base in rule.profiles]
        self._placement: list[tuple[Rule, Any, dict[Any, Result | None]]] = [
            (rule, _key_getter(rule), {}) for rule in active if rule.scope == "placement"]
        self._pair = [rule for rule in active if rule.scope == "pair"]
        self._row = [rule for rule in active if rule.scope == "row"]
        self._trip = [rule for rule in active if rule.scope == "trip"]

    def is_must(self, rule: Rule) -> bool:
        """Whether a failing blocks: by the rule itself, or because the profile made it so."""
        return rule.strength == "must" or rule.id in self.world.profile.must

    def outcome(self, rule: Rule, result: Result) -> Outcome:
        """What a result comes to here: good practice never holds anything up, whatever number it lacks."""
        if result.outcome == "fail":
            return "block" if self.is_must(rule) else "caution"
        return "caution" if result.outcome == "unmeasured" and not self.is_must(rule) else result.outcome

    def placement_rules(self) -> tuple[Rule, ...]:
        """The rules that are asked about each placement, in order."""
        return tuple(rule for rule, _, _ in self._placement)

    def placement(self, placement: Placement) -> list[Finding]:
        """Every finding on one placement, in the order of the rules."""
        world, found = self.world, []
        of = self._names((placement,))
        for rule, key_of, kept in self._placement:
            key = key_of(placement)
            result = kept.get(key, _MISSING)
            if result is _MISSING:
                result = judge(rule, placement, world, self.is_must(rule))
                kept[key] = result
            if result is not None:
                found.append(self._finding(rule, result, of))
        return found

    def pair(self, pair: Pair) -> list[Finding]:
        return self._run(self._pair, pair, (pair.left, pair.right))

    def row(self, seated: Seated) -> list[Finding]:
        return self._run(self._row, seated, seated.placements)

    def trip(self, seated: Seated) -> list[Finding]:
        return self._run(self._trip, seated, seated.placements)

    def trip_rules_bite(self) -> bool:
        """Whether a rule of the whole trip can turn down a seating in which everybody has a place.

        The ``when`` of a trip rule looks at the world only, so an empty seating asks it.
        """
        return any(self.is_must(rule) and rule.when(Seated(()), self.world)
                   for rule in self._trip if rule.id != "rider-without-place")

    def _run(self, rules: list[Rule], subject: Any, placements: Iterable[Placement]) -> list[Finding]:
        found = []
        of: _Names | None = None
        for rule in rules:
            if rule.when(subject, self.world):
                result = rule.check(subject, self.world)
                if result is not None:
                    of = of or self._names(tuple(placements))
                    found.append(self._finding(rule, result, of))
        return found

    @staticmethod
    def _names(placements: tuple[Placement, ...]) -> _Names:
        """Riders, positions and, of one placement, the restraint: the same for each of its findings."""
        restraint = placements[0].restraint if len(placements) == 1 else None
        return (tuple(p.rider.rider for p in placements), tuple(p.position.position for p in placements),
                restraint.restraint if restraint else None)

    def _finding(self, rule: Rule, result: Result, of: _Names) -> Finding:
        riders, positions, restraint = of
        return Finding(rule.id, self.outcome(rule, result), riders, positions, result, rule.source, restraint)


def _key_getter(rule: Rule) -> Any:
    """The parts that a rule depends on, as a hashable key: records by identity, names by value."""
    names = [name for name in rule.depends if name in ("bars", "borrowed", "tether", "recline")]
    records = [name for name in rule.depends if name not in names]
    if "position" in records:
        records.append("row")
    if "bars" in names:
        names.append("borrowed")
    get_records = attrgetter(*records) if records else None
    get_names = attrgetter(*names) if names else None
    one = len(records) == 1

    def key(placement: Placement) -> Any:
        held = () if get_records is None else get_records(placement)
        ids = (id(held),) if one else tuple(map(id, held))
        return ids if get_names is None else (ids, get_names(placement))

    return key
