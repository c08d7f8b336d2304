"""Occasions of rules: each has its own identity, so that two that read alike are never merged."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

from seatplan.frozen import frozen
from seatplan.rules.registry import RULES

if TYPE_CHECKING:
    from seatplan.rules.finding import Finding
    from seatplan.rules.options import Options
    from seatplan.rules.subjects import Placement

#: rules that say what you asked for, not what may be
WISHES = ("wish-for-seat-not-met", "wish-to-be-apart-not-met", "wish-to-be-together-not-met")
ROW, ALONG = "row-too-narrow", "no-room-ahead"
#: held by every seating by the way it is made, so never a reason of its own: one rider a seat, one child a restraint
ENFORCED_BY_SEARCH = ("position-wanted-twice", "restraint-wanted-twice", "rider-without-place")


@frozen
class Occasion:
    """One fact that a rule holds against somebody: the rule with what of its subject tells it from its other
    occasions. ``row`` is the row that is too narrow; a rule of the whole trip, and room along the car, have one
    occasion only. ``unmeasured``: what is missing counts as a no."""

    rule: str
    riders: tuple[str, ...] = ()
    positions: tuple[str, ...] = ()
    restraints: tuple[str, ...] = ()
    modes: tuple[str, ...] = ()
    row: int | None = None
    unmeasured: bool = False

    @property
    def wish(self) -> bool:
        """Whether it is something that you asked for."""
        return self.rule in WISHES


class Occasions:
    """Numbers for occasions, a bit each, in the order in which they are met; ``finding`` keeps the first finding."""

    def __init__(self) -> None:
        self._bit: dict[Occasion, int] = {}
        self._used = 0
        self.of_bit: dict[int, Occasion] = {}
        self.finding: dict[int, Finding] = {}
        self._facts: dict[str, tuple[str, ...]] = {rule.id: rule.fact for rule in RULES}

    def bit(self, occasion: Occasion, finding: Finding | None = None) -> int:
        """The bit of an occasion."""
        bit = self._bit.get(occasion)
        if bit is None:
            bit = self._bit[occasion] = self.spare()
            self.of_bit[bit] = occasion
        if finding is not None:
            self.finding.setdefault(bit, finding)
        return bit

    def spare(self) -> int:
        """A bit that stands for no occasion."""
        bit = 1 << self._used
        self._used += 1
        return bit

    def of_wish(self, rule: str, riders: tuple[str, ...]) -> list[int]:
        """The bits of a wish about some riders: by the order of their seats a pair has two."""
        orders = {riders, riders[::-1]}
        return [self.bit(Occasion(rule, order)) for order in sorted(orders)]

    def of_findings(self, findings: Sequence[Finding], placements: Sequence[Placement], options: Options) -> int:
        """The bits of all findings that speak against some placements."""
        mask = 0
        for finding in findings:
            if options.refuses(finding.outcome) and finding.rule not in ENFORCED_BY_SEARCH:
                missing = finding.outcome == "unmeasured"
                mask |= self.bit(self._occasion(finding.rule, placements, missing), finding)
        return mask

    def _occasion(self, rule: str, placements: Sequence[Placement], unmeasured: bool) -> Occasion:
        fact = self._facts[rule]
        return Occasion(
            rule,
            tuple(p.rider.rider for p in placements) if "rider" in fact else (),
            tuple(p.position.position for p in placements) if "position" in fact else (),
            tuple(p.restraint.restraint if p.restraint else "" for p in placements) if "restraint" in fact else (),
            tuple(p.mode_name for p in placements) if "mode" in fact else (),
            None, unmeasured)
