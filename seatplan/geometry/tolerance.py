"""What a sum of measured lengths may be off: each length once, however often it stands in the sum."""

from __future__ import annotations

from collections.abc import Iterable
from math import hypot
from typing import Literal, NamedTuple

from .chain import Addend, Step

#: what nobody would believe lies so much further out than the end of an estimate: the 99.95th percentile (3.29 SD)
#: over the 99th (2.3263 SD) of a normal distribution
BELIEVED = 3.29 / 2.3263


class Tolerance(NamedTuple):
    """In mm: ``likely`` is the root of the sum of squares of what tapes may be off, ``worst`` the plain sum. How far
    the ends of what is only estimated lie from its middle is added plainly in both; ``guess`` is that by itself."""

    likely: float
    worst: float
    guess: float = 0.0


def combined(addends: Iterable[Addend]) -> Tolerance:
    """The tolerance of a sum. Two halves of one width are off together, so they are added before squaring; a length
    that is added once and taken away once can be off by anything."""
    lengths: dict[str, float] = {}
    guesses: dict[str, float] = {}
    for addend in addends:
        if addend.tolerance:
            off = -addend.tolerance if addend.mm < 0 else addend.tolerance
            key = addend.length or addend.label
            into = guesses if addend.estimated else lengths
            into[key] = into.get(key, 0.0) + off
    guess = sum(map(abs, guesses.values()))
    return Tolerance(hypot(*lengths.values()) + guess, sum(map(abs, lengths.values())) + guess, guess)


def hangs_on(over: float, off: float, guess: float) -> Literal["short", "open", "likely", "close", "fits"]:
    """What a sum comes to that overshoots by ``over`` at the middle of its estimates, where it may be ``off`` with
    the ``guess`` in it. Short: at the kind end of every estimate. Likely: it comes out at the unkind end, and a body
    that somebody would believe could turn it; open between the two."""
    if over > off:
        return "short"
    if guess:
        tape = off - guess
        if over + guess > tape:
            return "open"
        return "likely" if over + BELIEVED * guess > -tape else "fits"
    return "close" if over > -off else "fits"


def at_most_off(addends: Iterable[Addend]) -> float:
    """What a sum with some addends can be off because of them at most, mm, out to what nobody would believe of what is
    estimated: beyond that it hangs on nothing."""
    return sum([addend.tolerance * BELIEVED if addend.estimated else addend.tolerance for addend in addends])


def estimates_in(steps: Iterable[Step]) -> tuple[str, ...]:
    """What nobody measured in a sum, each once."""
    return tuple(dict.fromkeys(addend.estimated for step in steps for addend in step.addends if addend.estimated))


def of_steps(steps: Iterable[Step]) -> Tolerance:
    """The tolerance of the sum of some steps."""
    return combined([addend for step in steps for addend in step.addends])
