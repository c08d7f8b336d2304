"""Which field of which record a finding asks for, or an estimate stands in for."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Sequence
from typing import Any

from seatplan.fields import FIELDS, how_to_take, keys_of
from seatplan.frozen import frozen
from seatplan.message import (
    Message,
    PartName,
    RestraintName,
    RiderName,
    Seat,
    Word,
    holds,
    is_position,
    joined,
    key_of,
    said,
    with_other,
)
from seatplan.model import Trip
from seatplan.model.doubt import steps
from seatplan.rules.finding import Finding
from seatplan.rules.registry import rule_by_id
from seatplan.rules.subjects import Placement

Path = tuple[str | int, ...]

#: how the fields begin that somebody reads off a restraint
_PRINTED = ("restraint.", "limits", "installation.")
#: what stands for the seat that a thing is asked at
_SOME_SEAT = Word("seat")


@frozen
class Guess:
    """What counts although nobody measured it: what it is called, and the seats of those of whom it counts."""

    label: str
    seats: tuple[str, ...]


@frozen
class Asked:
    """One field that somebody has to take. ``key`` is its name in the table of fields, empty where the table does not
    have it; ``path`` leads to it from the trip's record, and is empty where no value of it can be written down: a size
    on a later day. ``what`` and ``how`` are what people call it and how they take it, ``label`` is ``what`` without
    the restraint whose it is, ``unit`` is that of its value. Two that ask for the same field are equal."""

    key: str
    path: Path
    what: str
    how: str
    unit: str
    label: str = ""

    @property
    def same(self) -> object:
        """What two that ask for one field have in common."""
        return self.path or (self.key, str(self.what))


def asked_by(finding: Finding, placements: Sequence[Placement], trip: Trip) -> list[Asked]:
    """What a finding that lacks a number asks for, each field once; ``placements`` are those that it is about."""
    result = finding.result
    return _asked(result.field, result.how, result.unit, about(finding, placements), trip)


def estimated_in(guesses: Iterable[Guess], placements: Sequence[Placement], trip: Trip) -> list[Asked]:
    """The fields that estimates stand in for, each once, in the order of whose they are."""
    found: dict[object, Asked] = {}
    for guess in guesses:
        own = [p for p in placements if p.position.position in guess.seats] or list(placements)
        for key in keys_of(guess.label) or ("",):
            how = how_to_take(key, guess.label) if key else said("it is only estimated: measure it")
            for asked in _asked(guess.label, how, FIELDS[key].unit if key else "mm", own, trip):
                found.setdefault(asked.same, asked)
    owners = list(dict.fromkeys(asked.path[:2] for asked in found.values() if asked.path))
    return sorted(found.values(), key=lambda asked: owners.index(asked.path[:2]) if asked.path else len(owners))


def about(finding: Finding, placements: Sequence[Placement]) -> list[Placement]:
    """The placements of an arrangement that a finding is about; all of them where it names nobody."""
    return [p for p in placements if p.rider.rider in finding.riders] or list(placements)


def asked_together(findings: Iterable[Finding], of: Callable[[Finding], object]) -> list[list[Finding]]:
    """Findings that lack a number, those that ask for one thing together, in the order in which things are to be found
    out: first what is printed on a restraint, then what most rules ask for. ``of``: what thing a finding asks for."""
    things: dict[object, list[Finding]] = {}
    for finding in findings:
        if finding.outcome == "unmeasured":
            things.setdefault(of(finding), []).append(finding)

    def late(found: list[Finding]) -> tuple[bool, int]:
        rules = {finding.rule for finding in found}
        return not all(read.startswith(_PRINTED) for rule in rules for read in rule_by_id(rule).reads), -len(rules)
    return sorted(things.values(), key=late)


def thing_asked(finding: Finding) -> object:
    """What tells the thing that a finding asks for from others: the field and the way to take it, whatever the seat."""
    seat = seat_asked(finding)
    return key_of(joined(": ", [with_other(part, lambda value: _SOME_SEAT if _is_seat(value, seat) else value)
                                for part in (finding.result.field, finding.result.how)]))


def seat_asked(finding: Finding) -> Seat | None:
    """The seat at which a finding asks for something, where it names one."""
    return seat_named(finding, (finding.result.field, finding.result.how))


def seat_named(finding: Finding, fields: Iterable[Any]) -> Seat | None:
    """The only one of a finding's positions that stands in some fields."""
    named = {value for field in fields for value in holds(field)
             if isinstance(value, Seat) and value in finding.positions}
    return named.pop() if len(named) == 1 else None


def _is_seat(value: object, seat: Seat | None) -> bool:
    named = value.fields["position"] if isinstance(value, Message) and is_position(value) else value
    return seat is not None and isinstance(named, Seat) and named == seat


def read_by(rules: Iterable[str], placements: Sequence[Placement], trip: Trip) -> Iterator[Asked]:
    """Every field that rules read of some placements and that nobody filled in."""
    keys = dict.fromkeys(read for rule in rules for read in rule_by_id(rule).reads if read in FIELDS)
    for key in keys:
        missing = FIELDS[key]
        for path in dict.fromkeys(_paths(key, "", placements, trip)):
            way = list(steps(trip, path))
            if len(way) <= len(path) or way[-1] in ([], ()):
                yield Asked(key, path, said(key), how_to_take(key), missing.unit)


def _asked(label: str, how: str, unit: str, placements: Sequence[Placement], trip: Trip) -> list[Asked]:
    keys = keys_of(label)
    if not keys:
        return [Asked("", (), label, how, unit, label)]
    found: dict[object, Asked] = {}
    for key in keys:
        paths = list(dict.fromkeys(_paths(key, label, placements, trip)))
        for path in paths or [()]:
            one = Asked(key, path, _called(label, path, trip), how, unit, label)
            found.setdefault(one.same, one)
    return list(found.values())


def _paths(key: str, label: str, placements: Sequence[Placement], trip: Trip) -> Iterator[Path]:
    """Where a field stands: of the subject that its label names, else of the placements it is asked about."""
    head, _, tail = key.partition(".")
    inside = tuple(tail.split("."))
    told = list(holds(label))
    if head == "rider":
        named = {str(value) for value in told if isinstance(value, RiderName)} or {
            str(p.rider.rider) for p in placements}
        field: Path = ("age",) if tail == "born" else inside
        yield from (("riders", i, *field) for i, rider in enumerate(trip.riders) if rider.rider in named)
    elif head in ("position", "row"):
        seats = {str(v) for v in told if isinstance(v, Seat)} or {p.position.position for p in placements}
        for i, row in enumerate(trip.vehicle.rows):
            if head == "row" and seats & {p.position for p in row.positions}:
                yield ("vehicle", "rows", i, *_IN_ROW.get(tail, inside))
            for k, position in enumerate(row.positions):
                if head == "position" and position.position in seats:
                    yield ("vehicle", "rows", i, "positions", k, *_IN_SEAT.get(tail, inside))
    elif key == "trip.front":
        yield from (("front", str(value), "forward_at_most") for value in told if isinstance(value, Seat))
    else:
        parts = {str(value) for value in told if isinstance(value, PartName)}
        for p in _of_those_named(told, placements):
            yield from _of_restraint(head, tail, inside, parts, p, trip)


def _of_those_named(told: Sequence[Any], placements: Sequence[Placement]) -> list[Placement]:
    """The placements in the restraints that stand in a label; all where none does."""
    whose = {str(value) for value in told if isinstance(value, RestraintName)}
    return [p for p in placements if not whose or (p.restraint is not None and p.restraint.restraint in whose)]


#: fields that are taken in one go, or are a list: what of the record they stand for
_IN_ROW: dict[str, Path] = {"cushion.left": ("cushion",), "seatback.angle": ("seatback",), "trim": ("trim",),
                            "tethers.marked": ("tethers",), "parts.slides": ("parts",), "parts.across": ("parts",)}
_IN_SEAT: dict[str, Path] = {"middle": ("belt", "anchors"), "belt.buckle.stalk": ("belt", "buckle"),
                             "manual.forbids": ("manual", "forbids"), "ahead.gap": ("ahead", "gap")}


def _of_restraint(head: str, tail: str, inside: Path, parts: set[str], p: Placement, trip: Trip) -> Iterator[Path]:
    """The same of a restraint that somebody rides in, of its mode and of the way in which that is installed."""
    i = next((i for i, one in enumerate(trip.restraints) if p.restraint and one.restraint == p.restraint.restraint),
             None)
    if i is None or p.restraint is None:
        return
    restraint, own = trip.restraints[i], place_of(trip, i)
    if head == "restraint":
        yield (*own, *inside)
        return
    j = next((j for j, mode in enumerate(restraint.modes) if mode.mode == p.mode_name), None)
    if j is None:
        return
    at: Path = (*own, "modes", j)
    mode = restraint.modes[j]
    if head == "limits":
        yield (*at, "limits")
    elif head == "installation":
        yield from ((*at, "installations", k, *inside) for k, way in enumerate(p.mode.installations if p.mode else ())
                    if way is p.installation)
    elif tail in ("parts.width", "parts.outline"):
        yield from ((*at, "parts", k, *(("width",) if tail == "parts.width" else ()))
                    for k, part in enumerate(mode.parts) if part.part in parts)
    elif tail == "recline.packing":
        yield (*at, "recline", "packing")
    else:
        yield (*at, *(("parts",) if tail == "parts.base" else inside))


def place_of(trip: Trip, i: int) -> Path:
    """Where the i-th restraint of a trip is written: in the trip's list, or at the seat of the vehicle that it is built
    into."""
    home = trip.restraints[i].built_into
    for r, row in enumerate(trip.vehicle.rows):
        for k, position in enumerate(row.positions):
            if position.position == home and position.built_in is not None:
                return ("vehicle", "rows", r, "positions", k, "built_in")
    return ("restraints", i)


def _called(label: str, path: Path, trip: Trip) -> str:
    """What people call a field: with the restraint, and its mode, where the label does not say whose it is."""
    i = next((i for i in range(len(trip.restraints)) if path[:len(place_of(trip, i))] == place_of(trip, i)), None)
    if i is None:
        return label
    restraint, path = trip.restraints[i], ("restraints", i, *path[len(place_of(trip, i)):])
    whole = label if any(isinstance(value, RestraintName) for value in holds(label)) else said(
        "{restraint}: {name}", restraint=restraint.restraint, name=label)
    if len(path) > 3 and path[2] == "modes" and len(restraint.modes) > 1:
        return said("{name}, {mode}", name=whole, mode=Word(restraint.modes[int(path[3])].mode))
    return whole


def open_in(findings: Iterable[Finding], placements: Sequence[Placement],
            trip: Trip) -> Iterator[tuple[Asked, Finding]]:
    """All that findings lack, each with who asks."""
    for finding in findings:
        if finding.outcome == "unmeasured":
            for asked in asked_by(finding, placements, trip):
                yield asked, finding
