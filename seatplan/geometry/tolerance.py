"""What a sum of measured lengths may be off: each length once, however often it stands in the sum."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from math import hypot

from .chain import Addend, Step


@dataclass(frozen=True, slots=True)
class Tolerance:
    """In mm: ``likely`` is the root of the sum of squares, ``worst`` the plain sum."""

    likely: float
    worst: float


def combined(addends: Iterable[Addend]) -> Tolerance:
    """The tolerance of a sum. Two halves of one width are off together, so they are added before squaring; a length
    that is added once and taken away once can be off by anything."""
    lengths: dict[str, float] = {}
    for addend in addends:
        if addend.tolerance:
            off = -addend.tolerance if addend.mm < 0 else addend.tolerance
            key = addend.length or addend.label
            lengths[key] = lengths.get(key, 0.0) + off
    return Tolerance(hypot(*lengths.values()), sum(map(abs, lengths.values())))


def estimates_in(steps: Iterable[Step]) -> tuple[str, ...]:
    """What nobody measured in a sum, each once."""
    return tuple(dict.fromkeys(addend.estimated for step in steps for addend in step.addends if addend.estimated))


def of_steps(steps: Iterable[Step]) -> Tolerance:
    """The tolerance of the sum of some steps."""
    return combined(addend for step in steps for addend in step.addends)
