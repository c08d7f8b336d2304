"""Which field of which record a finding asks for, or an estimate stands in for."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass

from seatplan.fields import FIELDS, how_to_take, keys_of
from seatplan.message import PartName, RiderName, Seat, holds, said
from seatplan.model import Trip
from seatplan.model.doubt import steps
from seatplan.rules.finding import Finding
from seatplan.rules.registry import rule_by_id
from seatplan.rules.subjects import Placement

Path = tuple[str | int, ...]


@dataclass(frozen=True, slots=True)
class Asked:
    """One field that somebody has to take. ``key`` is its name in the table of fields, empty where the table does not
    have it; ``path`` leads to it from the trip's record, and is empty where no value of it can be written down: a size
    on a later day. ``what`` and ``how`` are what people call it and how they take it, ``unit`` is that of its value.
    Two that ask for the same field are equal."""

    key: str
    path: Path
    what: str
    how: str
    unit: str

    @property
    def same(self) -> object:
        """What two that ask for one field have in common."""
        return self.path or (self.key, str(self.what))


def asked_by(finding: Finding, placements: Sequence[Placement], trip: Trip) -> list[Asked]:
    """What a finding that lacks a number asks for, each field once; ``placements`` are those that it is about."""
    result = finding.result
    return _asked(result.field, result.how, result.unit, about(finding, placements), trip)


def estimated_in(label: str, placements: Sequence[Placement], trip: Trip) -> list[Asked]:
    """The fields that an estimate stands in for."""
    return _asked(label, said("it is only estimated: measure it"), "mm", placements, trip)


def about(finding: Finding, placements: Sequence[Placement]) -> list[Placement]:
    """The placements of an arrangement that a finding is about; all of them where it names nobody."""
    return [p for p in placements if p.rider.rider in finding.riders] or list(placements)


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
        return [Asked("", (), label, how, unit)]
    found: dict[object, Asked] = {}
    for key in keys:
        paths = list(dict.fromkeys(_paths(key, label, placements, trip)))
        for path in paths or [()]:
            one = Asked(key, path, _called(label, path, trip), how, unit)
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
        for p in placements:
            yield from _of_restraint(head, tail, inside, parts, p, trip)


#: fields that are taken in one go, or are a list: what of the record they stand for
_IN_ROW: dict[str, Path] = {"cushion.left": ("cushion",), "seatback.angle": ("seatback",), "trim": ("trim",)}
_IN_SEAT: dict[str, Path] = {"middle": ("belt", "anchors"), "belt.buckle.stalk": ("belt", "buckle"),
                             "manual.forbids": ("manual", "forbids"), "ahead.gap": ("ahead", "gap")}


def _of_restraint(head: str, tail: str, inside: Path, parts: set[str], p: Placement, trip: Trip) -> Iterator[Path]:
    """The same of a restraint that somebody rides in, of its mode and of the way in which that is installed."""
    i = next((i for i, one in enumerate(trip.restraints) if p.restraint and one.restraint == p.restraint.restraint),
             None)
    if i is None or p.restraint is None:
        return
    restraint = trip.restraints[i]
    if head == "restraint":
        yield ("restraints", i, *inside)
        return
    j = next((j for j, mode in enumerate(restraint.modes) if mode.mode == p.mode_name), None)
    if j is None:
        return
    at: Path = ("restraints", i, "modes", j)
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


def _called(label: str, path: Path, trip: Trip) -> str:
    """What people call a field: with the restraint, and its mode, where the label does not say whose it is."""
    if not path or path[0] != "restraints":
        return label
    restraint = trip.restraints[int(path[1])]
    if len(path) > 3 and path[2] == "modes" and len(restraint.modes) > 1:
        return said("{restraint}: {name}, {mode}", restraint=restraint.restraint, name=label,
                    mode=restraint.modes[int(path[3])].mode)
    return said("{restraint}: {name}", restraint=restraint.restraint, name=label)


def open_in(findings: Iterable[Finding], placements: Sequence[Placement],
            trip: Trip) -> Iterator[tuple[Asked, Finding]]:
    """All that findings lack, each with who asks."""
    for finding in findings:
        if finding.outcome == "unmeasured":
            for asked in asked_by(finding, placements, trip):
                yield asked, finding
