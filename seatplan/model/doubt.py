"""A value that is unlikely and so counts as unknown: which, where, and what is usual."""

from __future__ import annotations

from collections.abc import Iterator
from fractions import Fraction
from typing import Any, Literal

from seatplan.frozen import frozen

Path = tuple[str | int, ...]
#: whose value it is: what a trip names riders, restraints, positions and rows by
Owner = Literal["rider", "restraint", "vehicle", "row", "position", "front", "tried", "installed"]


@frozen
class Doubt:
    """One unlikely value.

    ``of`` and ``name`` say whose it is, ``path`` leads to the field: from the record of that name, of a row or a
    position from the vehicle. ``what`` is how people call it. ``value``, ``low`` and ``high`` are in ``unit``: mm, kg,
    degrees; an end that is None is open. ``why`` says what the band holds for, ``how`` to take the value again,
    ``source`` where the band is from. ``written`` is the field's own value; ``derived``: what lies outside the band is
    not that value, but one reckoned from it and others. ``gone``: what of the record became unknown with it, the field
    itself or what holds it.
    """

    of: Owner
    name: str
    path: Path
    what: str
    value: Fraction | float
    low: Fraction | float | None
    high: Fraction | float | None
    unit: str
    why: str
    how: str
    source: str
    written: Any
    derived: bool
    gone: Path

    @property
    def field(self) -> str:
        """The path as people write it: ``modes.0.limits.mass``."""
        return ".".join(map(str, self.path))


def steps(record: Any, path: Path) -> Iterator[Any]:
    """A record and everything on the way along a path, as far as there is something."""
    yield record
    for step in path:
        if isinstance(step, int):
            record = record[step] if isinstance(record, (list, tuple)) and step < len(record) else None
        else:
            record = record.get(step) if isinstance(record, dict) else getattr(record, step, None)
        if record is None:
            return
        yield record
