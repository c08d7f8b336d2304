"""A restraint: its days and modes, and the shape of its parts. One check each, in ``RESTRAINT_CHECKS`` and
``PART_CHECKS``; those of one mode by itself are in ``MODE_CHECKS`` of ``crosscheck_mode``."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from datetime import date

from seatplan.message import in_mm, said
from seatplan.model import Mode, Part, Restraint, Vehicle
from seatplan.model.kinds import as_written, has_modes_of_kind

from .crosscheck_kind import KIND_CHECKS
from .crosscheck_mode import MODE_CHECKS, parts_of
from .errors import Problem
from .places import Found, Loc, Places, below


def restraint_problems(restraint: Restraint, places: Places, at: Loc = ()) -> list[Problem]:
    """Everything about one restraint that does not agree."""
    return [places.problem((*at, *loc), text) for loc, text in _restraint(restraint)]


def built_in_problems(vehicle: Vehicle, places: Places, at: Loc = ()) -> list[Problem]:
    """The same of each restraint that is built into a vehicle; that each has a name of its own, and is held by its seat
    alone."""
    found: list[Problem] = []
    names: set[str] = set()
    for i, row in enumerate(vehicle.rows):
        for k, position in enumerate(row.positions):
            own, here = position.built_in, (*at, "rows", i, "positions", k)
            if own is None:
                if position.over_built_in is not None:
                    found.append(places.problem((*here, "over_built_in"), said(
                        "over_built_in is said of {position}, which has no restraint built in; expected `built_in` "
                        "beside it", position=position.position)))
                continue
            found += restraint_problems(own, places, (*here, "built_in"))
            if own.restraint in names:
                found.append(places.problem((*here, "built_in", "restraint"), said(
                    'two restraints that are built in are called "{name}"; expected each once', name=own.restraint)))
            names.add(own.restraint)
    return found


def made_later(restraint: Restraint, day: date) -> str:
    """That a restraint is made after the day on which it is used, or its file is checked."""
    return said("{restraint} was made {made}, after {day}; expected a day up to it", restraint=restraint.restraint,
                made=restraint.made, day=day)


def _restraint(restraint: Restraint) -> Found:
    for check in RESTRAINT_CHECKS:
        yield from check(restraint)
    of_kind = has_modes_of_kind(restraint)
    for i, mode in enumerate(restraint.modes):
        for loc, text in _mode(mode, restraint.tolerance):
            if not of_kind:
                yield ("modes", i, *loc), said("{text} (mode {mode})", text=text, mode=mode.mode)
            elif loc[-1] not in ("mass_limit", "combined_mass_limit"):        # one for all its modes, and asked as such
                yield as_written(restraint, ("modes", i, *loc)), text


def _mode(mode: Mode, off: int) -> Found:
    for check in MODE_CHECKS:
        yield from check(mode, off)
    for at, part in parts_of(mode):
        for part_check in PART_CHECKS:
            yield from below(at, part_check(part))


def _expires_after_it_was_made(restraint: Restraint) -> Found:
    if restraint.made and restraint.expires and restraint.expires <= restraint.made:
        yield (
            ("expires",),
            said("expires {expires}, and was made {made}; expected a later day", expires=restraint.expires,
                 made=restraint.made),
        )


def _held_as_it_is_built(restraint: Restraint) -> Found:
    """A part of a seat has nothing to install; anything else has."""
    for i, mode in enumerate(restraint.modes):
        for k, way in enumerate(mode.installations):
            if (way.by == "built-in") != (restraint.built_into is not None):
                yield ("modes", i, "installations", k, "by"), (
                    said("by is built-in, and this restraint is no part of a vehicle; expected how it is installed")
                    if way.by == "built-in" else
                    said("by is {by}, and this restraint is a part of the seat; expected built-in", by=way.by))


def _lasts_a_month(restraint: Restraint) -> Found:
    if restraint.expires_after is not None and restraint.expires_after < 1:
        yield ("expires_after",), said("expires_after is 0 months; expected at least one")


def _modes_named_once(restraint: Restraint) -> Found:
    for i, mode in enumerate(restraint.modes):
        if mode.mode in [m.mode for m in restraint.modes[:i]]:
            yield ("modes", i, "mode"), said("mode {mode} stands here twice; expected each once", mode=mode.mode)


def _box_has_extent(part: Part) -> Found:
    if part.along is not None and part.along[0] == part.along[1]:
        yield ("along",), said("part {part} reaches from {pair:bare} to {pair_2} along; expected some extent",
                               part=part.part, pair=in_mm(part.along[0]), pair_2=in_mm(part.along[1]))
    if part.up is not None and part.up[0] == part.up[1]:
        yield ("up",), said("part {part} reaches from {pair:bare} to {pair_2} up; expected some extent",
                            part=part.part, pair=in_mm(part.up[0]), pair_2=in_mm(part.up[1]))


def _box_or_outline(part: Part) -> Found:
    if part.outline is not None and (part.along is not None or part.up is not None):
        yield ("outline",), said("part {part} has a box and an outline; expected one of them", part=part.part)


def _outline_is_one_loop(part: Part) -> Found:
    if part.outline is not None and _crosses_itself(part.outline):
        yield ("outline",), said("the outline of part {part} crosses or touches itself; expected one loop",
                                 part=part.part)


def _crosses_itself(outline: Sequence[tuple[int, int]]) -> bool:
    """Whether a loop of points is no plain polygon: a point twice, a spike, or two sides that meet."""
    n = len(outline)
    sides = [(outline[i], outline[(i + 1) % n]) for i in range(n)]
    if len(set(outline)) < n:
        return True
    for i, (a, b) in enumerate(sides):
        c = outline[(i + 2) % n]
        if _turn(a, b, c) == 0 and (b[0] - a[0]) * (c[0] - b[0]) + (b[1] - a[1]) * (c[1] - b[1]) < 0:
            return True
    return any(_meet(*sides[i], *sides[j]) for i in range(n) for j in range(i + 2, n) if (i, j) != (0, n - 1))


def _turn(a: tuple[int, int], b: tuple[int, int], c: tuple[int, int]) -> int:
    """The sign says on which side of the line from a to b the point c lies."""
    return (b[0] - a[0]) * (c[1] - a[1]) - (b[1] - a[1]) * (c[0] - a[0])


def _meet(a: tuple[int, int], b: tuple[int, int], c: tuple[int, int], d: tuple[int, int]) -> bool:
    """Whether the sides a-b and c-d share a point."""
    apart = any(max(a[k], b[k]) < min(c[k], d[k]) or max(c[k], d[k]) < min(a[k], b[k]) for k in (0, 1))
    return not apart and _turn(a, b, c) * _turn(a, b, d) <= 0 and _turn(c, d, a) * _turn(c, d, b) <= 0


RESTRAINT_CHECKS: tuple[Callable[[Restraint], Found], ...] = (
    _held_as_it_is_built,
    _held_as_it_is_built,
    _expires_after_it_was_made, _lasts_a_month, _modes_named_once, *KIND_CHECKS,
)
PART_CHECKS: tuple[Callable[[Part], Found], ...] = (_box_has_extent, _box_or_outline, _outline_is_one_loop)
