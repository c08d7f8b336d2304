"""How wide a narrower restraint may be, to the mm, for what a set of changes opens."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import replace
from typing import TYPE_CHECKING

from ..kinds import in_copy
from .catalogue import applied
from .change import Change

if TYPE_CHECKING:
    from seatplan.model import Restraint

    from ..place import BodyInRow
    from ..taken import Option
    from ..walk import Found
    from .search import RepairSeater


class Widths:
    """Asks the rows of seatings that a search found how much room they have for wider restraints. Bodies are kept."""

    def __init__(self, seater: RepairSeater) -> None:
        self._seater = seater
        self._bits = sum(bit for bit, change in seater.change_of.items() if change.kind == "get-narrower")
        self._made: dict[Change, Restraint] = {}
        self._bodies: dict[tuple[Option, Change], BodyInRow] = {}

    def widest(self, changes: Sequence[Change], opened: Iterable[Found]) -> tuple[Change, ...]:
        """The changes with each narrower restraint as wide as the row of some seating has room for, one after another.
        What a rule says of the width is not asked."""
        made = list(changes)
        for i, change in enumerate(made):
            if change.kind == "get-narrower":
                low, most = change.mm or 0, change.was_mm or 0
                for row in self._rows_with(change.restraint, opened):
                    if self._fit(row, (*made[:i], replace(change, mm=low + 1), *made[i + 1:])):
                        high = most
                        while high - low > 1:
                            middle = (low + high) // 2
                            fit = self._fit(row, (*made[:i], replace(change, mm=middle), *made[i + 1:]))
                            low, high = (middle, high) if fit else (low, middle)
                made[i] = replace(change, mm=low)
        return tuple(made)

    def _rows_with(self, restraint: str, opened: Iterable[Found]) -> Iterable[tuple[Option, ...]]:
        """The rows of some seatings in which somebody uses a narrower restraint, each left to right; of those alike
        one."""
        rows: dict[tuple[int, ...], tuple[Option, ...]] = {}
        for seating in opened:
            for row in {o.row for o in seating.options if self._narrower(o) == restraint}:
                here = sorted((o for o in seating.options if o.cell and o.row == row), key=lambda o: o.position)
                rows.setdefault(tuple([o.kind for o in here]), tuple(here))
        return rows.values()

    def _fit(self, row: Sequence[Option], changes: Sequence[Change]) -> bool:
        """Whether the riders of a row have room with narrower restraints as wide as some changes say."""
        widths = {change.restraint: change for change in changes if change.kind == "get-narrower"}
        bodies: list[BodyInRow] = []
        for option in row:
            change = widths.get(self._narrower(option))
            bodies.append(self._seater.body(option) if change is None else self._body(option, change))
        return not self._seater.solve.cars[row[0].row].tight(bodies)

    def _body(self, option: Option, change: Change) -> BodyInRow:
        """What an option puts into its row where its restraint is as wide as a change says."""
        kept = self._bodies.get((option, change))
        if kept is None:
            assert option.cell is not None
            solve, restraint = self._seater.solve, self._made.get(change)
            if restraint is None:
                restraint = self._made[change] = applied(solve.trip, (change,)).restraint(change.restraint)
            kept = self._bodies[option, change] = solve.cars[option.row].body(
                in_copy(option.cell.placement, restraint))
        return kept

    def _narrower(self, option: Option) -> str:
        """The name of the narrower restraint that somebody uses; nothing without any, and of one that is as it was."""
        held = None if option.cell is None else option.cell.placement.restraint
        return held.restraint if held is not None and option.mask & self._bits else ""
