"""Run rules on subjects and collect every finding, never only the first.

Rules about a placement that look at the same parts of it are asked together, once for each combination of what these
parts hold; the answers are kept in the store, for every trip in which somebody asks the same.
"""

from __future__ import annotations

from collections.abc import Callable, Hashable, Iterable, Sequence
from functools import lru_cache
from operator import itemgetter
from typing import Any, NamedTuple

from seatplan.content import content
from seatplan.frozen import frozen
from seatplan.model.estimated import EstimatedRestraint
from seatplan.model.trip import LENGTHS
from seatplan.store import Shelf

from .corners import decided, is_estimated, judged, unkind
from .finding import Finding, Outcome, Result
from .reads import READS, SAME_FOR_ALL, around
from .reckoned import judge
from .registry import RULES
from .rule import Rule, looks_at
from .subjects import Pair, Placement, RuleContext, Seated

#: the rule about what was tried at the car
TRY_RULE = "moved-when-tried"
#: the rule about what was read there
READ_RULE = "read-at-the-car"

_Names = tuple[tuple[str, ...], tuple[str, ...], str | None]

#: the parts of a placement, in the order of ``_parts``
_PARTS = ("person", "mass", "lengths", "restraint", "mode", "installation", "row", "position", "bars", "borrowed",
          "tether", "recline", "sitter")
#: the part of each size of a rider; whoever looks at one length may go by another one where it was not measured
_SIZES = {"rider.mass": "mass", **{f"rider.{name}": "lengths" for name in LENGTHS}}
#: what rules read of the world that is not the same for all placements
_READS = tuple(name for name in READS if name not in SAME_FOR_ALL)
_READ = tuple(READS[name][0] for name in _READS)
#: those parts that another place changes
_PLACE = {"row", "position", "bars", "borrowed", "tether", "recline"}


class Answers(NamedTuple):
    """What some rules say of a placement: each with its place among all rules. ``refused``: one of them turns it down;
    ``held``: it held when it was tried at the car. ``cautions`` are ``graves`` and ``slights``, by their weight;
    ``doubtful_restraint`` are the grave ones about the restraint itself. The rest is what a search asks too, so that
    nobody has to read through all that is told; ``plain``: there is nothing of all this, as of most."""

    told: tuple[tuple[int, Rule, Outcome, Result], ...]
    refused: bool
    unmeasured: bool
    cautions: int
    close: bool
    estimates: tuple[str, ...]
    held: bool
    graves: int = 0
    slights: int = 0
    doubtful_restraint: int = 0
    plain: bool = False


#: all but what is told, where every answer is a plain pass
_PLAIN = (False, False, 0, False, (), False, 0, 0, 0, True)
_NOTHING_TOLD = Answers((), *_PLAIN)


@frozen
class _Group:
    """Rules that look at the same parts and read the same of the world: ``same`` is what does not hang on the
    placement, ``key_of`` takes the rest out of all that is looked at. ``anywhere``: they look at nothing of the
    place."""

    number: int
    anywhere: bool
    rules: tuple[tuple[int, Rule], ...]
    key_of: Callable[[tuple[Hashable, ...]], Hashable]
    same: tuple[str, ...]


class Runner:
    """All rules of one profile, for one world."""

    def __init__(self, world: RuleContext) -> None:
        self.world = world
        active = [(i, rule) for i, rule in enumerate(RULES) if world.profile.base in rule.profiles]
        self._musts = frozenset(rule.id for _, rule in active
                                if rule.strength == "must" or rule.id in world.profile.must)
        self._placement = tuple((i, rule) for i, rule in active if rule.scope == "placement")
        self._groups = _grouped(self._placement)
        self._group_of = {rule.id: group.number for group in self._groups for _, rule in group.rules}
        self._asked_of_trip: list[Rule] | None = None
        self._asked_of_order: list[Rule] | None = None
        self._anywhere = tuple(group for group in self._groups if group.anywhere)
        self._kept: Shelf[Answers] = world.store.shelf("rules", weight=2)
        self._base = content((world.profile, world.options, tuple(rule.id for rule in RULES)))
        self._whole: Shelf[tuple[Answers, ...]] = world.store.shelf("placements", weight=2)
        self._refused: Shelf[bool] = world.store.shelf("refused placements")
        number = world.store.number
        fixed = {name: number((name, READS[name][0](None, world))) for name in SAME_FOR_ALL}
        self._same = number((self._base, tuple(sorted(fixed.items()))))
        #: what the answers about a placement hang on beside its rider, row and restraint
        self.around = number((self._same, around(world)))
        self._group_keys = [number((self._base, group.number, *[fixed[name] for name in group.same]))
                            for group in self._groups]
        self._pair = [rule for _, rule in active if rule.scope == "pair"]
        self._row = [rule for _, rule in active if rule.scope == "row"]
        self._trip = [rule for _, rule in active if rule.scope == "trip"]

    def is_must(self, rule: Rule) -> bool:
        """Whether a failing blocks: by the rule itself, or because the profile made it so."""
        return rule.id in self._musts

    def outcome(self, rule: Rule, result: Result) -> Outcome:
        """What a result comes to here: good practice never holds anything up, whatever number it lacks."""
        if result.outcome == "fail":
            return "block" if self.is_must(rule) else "caution"
        return "caution" if result.outcome == "unmeasured" and not self.is_must(rule) else result.outcome

    def placement_rules(self) -> tuple[Rule, ...]:
        """The rules that are asked about each placement, in order."""
        return tuple(rule for _, rule in self._placement)

    def answers(self, placement: Placement) -> tuple[Answers, ...]:
        """What all rules say of one placement, by what they look at."""
        parts = self._looked_at(placement)
        key = self._same, parts
        kept = self._whole.get(key)
        if kept is None:
            kept = self._whole.put(key, tuple([self._answer(placement, parts, group) for group in self._groups]))
        return kept

    def answers_if_open(self, placement: Placement, but: tuple[str, ...] = ()) -> tuple[Answers, ...] | None:
        """The same; None where a rule turns the placement down that is none of some: once one does, the others are
        not asked."""
        parts = self._looked_at(placement)
        key = self._same, parts
        kept = self._whole.get(key)
        if kept is not None:
            return None if any(self._refuses(some, but) for some in kept) else kept
        if self._refused.get((key, but)):
            return None
        told = []
        for group in self._groups:
            answer = self._answer(placement, parts, group)
            if self._refuses(answer, but):
                self._refused.put((key, but), True)
                return None
            told.append(answer)
        return self._whole.put(key, tuple(told))

    def _refuses(self, some: Answers, but: tuple[str, ...]) -> bool:
        """Whether one of the rules turns a placement down that is none of some."""
        return some.refused and (not but or any(rule not in but for rule in self.refusing((some,))))

    def refusing(self, answers: Iterable[Answers]) -> set[str]:
        """The rules that turn down what answers are about."""
        refuses = self.world.options.refuses
        return {rule.id for some in answers if some.refused for _, rule, outcome, _ in some.told if refuses(outcome)}

    def _looked_at(self, placement: Placement) -> tuple[Hashable, ...]:
        """All that the rules look at of a placement and read of the world for it, as keys."""
        return (*_parts(placement), *[read(placement, self.world) for read in _READ])

    def some_anew(self, placement: Placement, known: tuple[Answers, ...], rules: Iterable[str]) -> tuple[Answers, ...]:
        """What all rules say of a placement: what is known, but for some rules and those asked with them."""
        parts, told = self._looked_at(placement), list(known)
        for n in {self._group_of[rule] for rule in rules if rule in self._group_of}:
            told[n] = self._answer(placement, parts, self._groups[n])
        return tuple(told)

    def blocked_anywhere(self, placement: Placement) -> bool:
        """Whether a rule that does not look at the place blocks a placement, so that it would at every other place; the
        others are not asked."""
        parts = self._looked_at(placement)
        return any(outcome == "block" for group in self._anywhere
                   for _, _, outcome, _ in self._answer(placement, parts, group).told)

    def _answer(self, placement: Placement, parts: tuple[Hashable, ...], group: _Group) -> Answers:
        key = self._group_keys[group.number], group.key_of(parts)
        kept = self._kept.get(key)
        return self._kept.put(key, self._asked(group.rules, placement)) if kept is None else kept

    def findings(self, placement: Placement, answers: Iterable[Answers]) -> tuple[Finding, ...]:
        """What answers about a placement say of it, in the order of the rules."""
        riders, positions, restraint = self._names((placement,))
        return tuple([Finding(rule.id, outcome, riders, positions, result, rule.source, restraint)
                      for _, rule, outcome, result in sorted(
                          [one for some in answers for one in some.told], key=itemgetter(0))])

    def placement(self, placement: Placement) -> list[Finding]:
        """Every finding on one placement, in the order of the rules."""
        return list(self.findings(placement, self.answers(placement)))

    def _asked(self, rules: Iterable[tuple[int, Rule]], placement: Placement) -> Answers:
        told, plain = [], True
        for i, rule in rules:
            result = self._judged(rule, placement)
            if result is not None:
                outcome = self.outcome(rule, result)
                told.append((i, rule, outcome, result))
                plain = plain and outcome == "pass" and not (result.close or result.estimates or rule.id == TRY_RULE)
        if plain:                                # most have nothing else to be told
            return Answers(tuple(told), *_PLAIN) if told else _NOTHING_TOLD
        return self._weighed(told)

    def _weighed(self, told: Sequence[tuple[int, Rule, Outcome, Result]]) -> Answers:
        outcomes = [outcome for _, _, outcome, _ in told]
        cautious = [rule for _, rule, outcome, _ in told if outcome == "caution"]
        weights = [rule.weight for rule in cautious if not rule.own_step]
        refused, unmeasured = any(map(self.world.options.refuses, outcomes)), "unmeasured" in outcomes
        close, estimates = any(result.close for *_, result in told), tuple(dict.fromkeys(
            guess for *_, result in told for guess in result.estimates))
        held = any(result.facts.get("confirmed") for _, rule, _, result in told if rule.id == TRY_RULE)
        return Answers(tuple(told), refused, unmeasured, len(cautious), close, estimates, held,
                       weights.count("grave"), weights.count("slight"),
                       sum(rule.doubts_restraint and rule.weight == "grave" for rule in cautious),
                       not (refused or unmeasured or cautious or close or estimates or held))

    def _judged(self, rule: Rule, placement: Placement) -> Result | None:
        return judged_on(rule, placement, self.world, self.is_must(rule))

    def pair(self, pair: Pair) -> list[Finding]:
        return self._run(self._pair, pair, (pair.left, pair.right))

    def row(self, seated: Seated) -> list[Finding]:
        return self._run(self._row, seated, seated.placements)

    def trip(self, seated: Seated) -> list[Finding]:
        """The ``when`` of a trip rule looks at the world only, so that an empty seating asks it, once for all."""
        if self._asked_of_trip is None:
            self._asked_of_trip = [rule for rule in self._trip if rule.when(Seated(()), self.world)]
        return self._run(self._asked_of_trip, seated, seated.placements)

    def trip_in_order(self, seated: Seated) -> list[Finding]:
        """Those of them on which hangs whether a seating of everybody stands, how sure it is and what it costs: what
        has a step of its own in the order is only told."""
        return self._run(self._of_order(), seated, seated.placements)

    def trip_rules_order(self) -> bool:
        """Whether there are any."""
        return bool(self._of_order())

    def _of_order(self) -> list[Rule]:
        if self._asked_of_order is None:
            self._asked_of_order = [
                rule for rule in self._trip if rule.id != "rider-without-place"
                and (self.is_must(rule) or not rule.own_step) and rule.when(Seated(()), self.world)]
        return self._asked_of_order

    def trip_rules_bite(self) -> bool:
        """Whether a rule of the whole trip can turn down a seating in which everybody has a place."""
        return any(self.is_must(rule) and rule.when(Seated(()), self.world)
                   for rule in self._trip if rule.id != "rider-without-place")

    def _run(self, rules: list[Rule], subject: Any, placements: Iterable[Placement]) -> list[Finding]:
        found = []
        of: _Names | None = None
        for rule in rules:
            if rule.when(subject, self.world):
                result = rule.check(subject, self.world)
                if result is not None and result.outcome == "unmeasured" and (
                        rule.scope != "trip" and self.is_must(rule)):
                    result = self._at_corners(rule, result, subject)
                if result is not None:
                    of = of or self._names(tuple(placements))
                    found.append(self._finding(rule, result, of))
        return found

    def _at_corners(self, rule: Rule, found: Result, subject: Pair | Seated) -> Result | None:
        """An open answer about several, as it is where they all take most room, in every corner of the vehicle."""
        placements = (subject.left, subject.right) if isinstance(subject, Pair) else subject.placements
        if not any(map(is_estimated, placements)):
            return found
        answers = []
        for n, world in enumerate(self.world.corners()):
            at = [unkind(placement, n, world) for placement in placements]
            corner: Pair | Seated = Pair(at[0], at[1]) if isinstance(subject, Pair) else Seated(tuple(at))
            answers.append(rule.check(corner, world) if rule.when(corner, world) else None)
        return decided(found, iter(answers), False)

    @staticmethod
    def _names(placements: tuple[Placement, ...]) -> _Names:
        """Riders, positions and, of one placement, the restraint: the same for each of its findings."""
        restraint = placements[0].restraint if len(placements) == 1 else None
        return (tuple(p.rider.rider for p in placements), tuple(p.position.position for p in placements),
                restraint.restraint if restraint else None)

    def _finding(self, rule: Rule, result: Result, of: _Names) -> Finding:
        riders, positions, restraint = of
        return Finding(rule.id, self.outcome(rule, result), riders, positions, result, rule.source, restraint)


def judged_on(rule: Rule, placement: Placement, world: RuleContext, must: bool) -> Result | None:
    """What a rule says of a placement in a world: at the ends of what is reckoned, at the corners of what is only
    estimated."""

    found = judge(rule, placement, world, must)
    if found is None or found.outcome != "unmeasured" or not is_estimated(placement):
        return found
    told = judged(found, placement, looks_at(rule, placement), world, lambda at: judge(rule, at, world, must))
    if must or told is found:
        return told
    # good practice holds nothing up, so nothing rests on an estimate: either no end of it fails, or it is asked
    return told._replace(estimates=()) if told is not None and told.outcome == "pass" else found


def _parts(placement: Placement) -> tuple[Hashable, ...]:
    """The parts of a placement as keys: records by content, names by value."""
    restraint, mode, installation = placement.restraint, placement.mode, placement.installation
    held: Hashable = mode and mode.content
    if isinstance(restraint, EstimatedRestraint):        # what its modes may be is said by its kind
        held = (held, restraint.content)
    return (*placement.rider.in_parts, restraint and restraint.content, held,
            (held, installation and installation.content), placement.row.frame,
            (placement.position.content, placement.second and placement.second.content),
            placement.bars, placement.borrowed, placement.tether, placement.recline,
            0 if placement.harness else placement.rider.content)


@lru_cache(maxsize=8)
def _grouped(rules: tuple[tuple[int, Rule], ...]) -> tuple[_Group, ...]:
    """Rules by the parts they look at and what they read of the world."""
    groups: dict[tuple[tuple[str, ...], tuple[str, ...]], list[tuple[int, Rule]]] = {}
    for i, rule in rules:
        names = set(rule.depends)
        if "rider" in names:
            names |= {"sitter"} if rule.not_in_harness else {"person", *sizes_of(rule)}
        # a position is one of its row, and bars are its own or its neighbours'
        names |= {"row"} if "position" in names else set()
        names |= {"borrowed"} if "bars" in names else set()
        groups.setdefault((tuple(name for name in _PARTS if name in names), tuple(sorted(rule.world))),
                          []).append((i, rule))
    looked_at = (*_PARTS, *_READS)
    found = []
    for n, ((parts, world), own) in enumerate(groups.items()):
        at = [looked_at.index(name) for name in (*parts, *world) if name not in SAME_FOR_ALL]
        found.append(_Group(n, not _PLACE & set(parts), tuple(own), itemgetter(*at) if at else _nothing,
                            tuple(name for name in world if name in SAME_FOR_ALL)))
    return tuple(found)


def sizes_of(rule: Rule) -> set[str]:
    """Which sizes of a rider a rule looks at, by what it reads of the files: its ``mass``, its ``lengths``."""
    return {size for read, size in _SIZES.items() if rule.any_size or read in rule.reads}


def _nothing(parts: tuple[Hashable, ...]) -> Hashable:
    return None
