"""Profiles: thresholds as data with their sources, and which good practice counts as a must.

``us`` and ``un`` are bundled. A local file extends one of them and may only tighten it; ``law`` alone may loosen what a
directive leaves to states, as far as the directive lets them.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import field
from typing import Literal

from seatplan.content import content
from seatplan.frozen import frozen
from seatplan.units import Number

#: thresholds that the order of arrangements takes, whether or not a rule does, months: under which age a child rides
#: rear-facing, is small (not in front, tether first), is next in front, and is a child in front at all
ORDER_LIMITS = ("rear_facing_good_age", "small_child_age", "front_seat_middle_age", "front_seat_min_age")


@frozen
class Threshold:
    """One number of a profile. ``stricter`` says which way a local file may move it."""

    name: str
    value: Number
    unit: str
    stricter: Literal["lower", "higher"]
    source: str


@frozen
class RulesFile:
    """The local file that a profile was read from: its name without folders, its whole text, and SHA-256 of that in
    UTF-8, hexadecimal."""

    name: str
    text: str
    sha256: str


@frozen
class Profile:
    """``base`` is us or un; ``must`` holds the good-practice rules that count as musts here. ``by_law``: how far a
    state may go with a threshold, in a bundled profile. ``file``: None of a bundled one. ``content`` is the number of
    all that a rule reads."""

    name: str
    base: str
    thresholds: Mapping[str, Threshold]
    must: frozenset[str] = frozenset()
    flags: Mapping[str, bool] | None = None
    by_law: Mapping[str, Threshold] = field(default_factory=dict, compare=False)
    file: RulesFile | None = field(default=None, compare=False)
    content: int = field(init=False, compare=False)

    def __post_init__(self) -> None:
        told = content((self.name, self.base, self.must, self.flags, self.thresholds))
        object.__setattr__(self, "content", told)

    def limit(self, name: str) -> Number:
        """The value of a threshold; KeyError names one that the profile lacks."""
        return self.thresholds[name].value
