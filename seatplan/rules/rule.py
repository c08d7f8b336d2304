"""The decorator that turns a function into a rule. It registers nothing: the list is in ``registry``."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import field
from typing import TYPE_CHECKING, Any, Literal

from seatplan.frozen import frozen

from .finding import Result

if TYPE_CHECKING:
    from .subjects import Placement

Scope = Literal["placement", "pair", "row", "trip"]
Strength = Literal["must", "good practice"]
#: how much what a caution is about can hurt: any grave one outweighs all slight ones
Weight = Literal["grave", "slight"]

ALL_PROFILES = ("un", "us")


@frozen
class Rule:
    """One rule.

    ``depends`` names the parts of a placement that the check looks at (``rider``, ``restraint``, ``mode``,
    ``installation``, ``position``, ``bars``, ``tether``); the runner asks once for each combination of these.
    ``world`` names what it reads beside them (see ``reads``); a rule of pairs, rows or trips is not kept by it.
    ``fact`` names the parts that tell one occasion of the rule from another (``rider``, ``position``, ``restraint``,
    ``mode``, ``row``): cut so that one act of a person ends one occasion. ``reads`` names the fields of the files,
    for people. ``limits`` names the thresholds it takes from the profile.
    ``says`` has the sentence for each outcome, with the fields of the finding in braces (``block_whole_car``: of what
    the whole car comes to, where the judge sums it up); ``remedy`` what to do instead.
    ``weight`` is that of its cautions, with a sentence that says why; None where it never cautions.
    ``doubts_restraint``: its cautions are about the restraint itself, at whatever seat.
    ``own_step``: the order of arrangements has a step of its own for what its cautions are about, or they are a note
    that speaks for no other seat. Then they are told and not counted: a chance more makes no arrangement worse.
    ``not_in_harness``: it does not look at a rider whom a harness holds, only at the restraint.
    ``any_size``: it may look at any size of the rider, not only at those that it ``reads`` and those beside them.
    ``one_way``: as a child grows in mass, stature and age, what it says, and whether it says anything, never comes back
    to what it was: it looks at no other size, and holds each against limits on one side.
    """

    id: str
    title: str
    scope: Scope
    strength: Strength
    source: str
    profiles: tuple[str, ...]
    depends: tuple[str, ...]
    fact: tuple[str, ...]
    reads: tuple[str, ...]
    limits: tuple[str, ...]
    remedy: str
    when: Callable[..., bool]
    check: Callable[..., Result | None]
    says: Mapping[str, str] = field(hash=False)
    world: tuple[str, ...] = ()
    weight: Weight | None = None
    why_weight: str = ""
    doubts_restraint: bool = False
    own_step: bool = False
    not_in_harness: bool = False
    any_size: bool = False
    one_way: bool = False

    @property
    def text(self) -> str:
        return self.check.__doc__ or ""


def always(*_: Any) -> bool:
    return True


def rule(
    id: str, *, title: str, scope: Scope = "placement", strength: Strength = "must", source: str,
    profiles: tuple[str, ...] = ALL_PROFILES, depends: tuple[str, ...], fact: tuple[str, ...] | None = None,
    reads: tuple[str, ...], limits: tuple[str, ...] = (), remedy: str, says: Mapping[str, str],
    when: Callable[..., bool] = always,
    world: tuple[str, ...] = (), weight: Weight | None = None, why_weight: str = "", doubts_restraint: bool = False,
    own_step: bool = False, not_in_harness: bool = False, any_size: bool = False,
    one_way: bool = False,
) -> Callable[[Callable[..., Result | None]], Rule]:
    """Make a rule of a check function ``(subject, world) -> Result``. Without ``fact`` an occasion is told apart by
    everything that the check depends on. Good practice has a weight, as each of its failings is a caution."""
    if (strength == "good practice" and weight is None) or (weight is None) != (not why_weight) or (
            (doubts_restraint or own_step) and weight is None):
        raise ValueError(f"rule {id}: a rule that can caution has a weight and says why")

    def make(check: Callable[..., Result | None]) -> Rule:
        return Rule(id, title, scope, strength, source, profiles, depends, fact_of(scope, depends) if fact is None
                    else fact, reads, limits, remedy, when, check, says, world, weight, why_weight, doubts_restraint,
                    own_step, not_in_harness, any_size, one_way)

    return make


def looks_at(rule: Rule, placement: Placement) -> tuple[str, ...]:
    """The parts of a placement that a rule looks at."""
    if rule.not_in_harness and placement.harness:
        return tuple(part for part in rule.depends if part != "rider")
    return rule.depends


def fact_of(scope: Scope, depends: tuple[str, ...]) -> tuple[str, ...]:
    """The parts that tell occasions apart, from what a check depends on; a row is one, and so is the trip."""
    if scope in ("row", "trip"):
        return ("row",) if scope == "row" else ()
    told = []
    if "rider" in depends:
        told.append("rider")
    if {"position", "bars", "tether"} & set(depends):
        told.append("position")
    if {"restraint", "mode", "installation"} & set(depends):
        told.append("restraint")
    if {"mode", "installation"} & set(depends):
        told.append("mode")
    return tuple(told)
