"""Fields of a trip as a person names them: ``2C.belt.length``, ``row2.cushion.angle``, ``Beck.mass``,
``Perch/high-back-booster.limits.mass``, ``Perch/high-back-booster/lap-shoulder-belt.belt_needed``, ``2C.gap@300``.

Who owns the field stands before the dot: a seat, a row, a rider, a restraint, a mode of it, a way of installing that.
Behind it stand the keys of the file; of a list what an item is called (``row2.trim.door.left``). The first keys may be
left out where the last ones say it all (``2C.gap`` for ``2C.ahead.gap``).
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import replace
from typing import Any, Literal, get_args

from seatplan import units
from seatplan.frozen import frozen
from seatplan.message import Name, said
from seatplan.model import Trip
from seatplan.model.record import Record
from seatplan.model.restraint import Installation, Mode, Restraint
from seatplan.model.trip import FrontLimit, Rider
from seatplan.model.vehicle import Position, Row

from .errors import InputError, Problem, near_word

Path = tuple[str | int, ...]


@frozen
class Target:
    """Where a field stands. ``of``: in the vehicle, in a restraint (that of that ``number`` in the trip) or in the trip
    itself; ``path`` leads to it from there. ``item``: of a list that lacks it, the key and name that it gets.
    ``height``: of the free length ahead, at which height, mm."""

    name: str
    of: Literal["trip", "vehicle", "restraint"]
    path: Path
    number: int = -1
    item: tuple[str, str] | None = None
    height: int | None = None


#: other names of fields: as the table of fields has them, or as people call them
_ALSO: Mapping[type[Record], Mapping[str, str]] = {
    Position: {"middle": "belt.anchors", "handbook": "manual.forbids"},
    Rider: {"weight": "mass", "stature": "height", "birthday": "born"},
}
#: of an item of a list that one number says
_ONLY = {"bar": "across"}


def named(text: str, trip: Trip) -> tuple[Target, str]:
    """A field and the value that it is given, of ``OWNER.field=value``. Raises InputError."""
    left, sign, value = _split(text, trip)
    if not sign or not value.strip():
        raise _wrong(said('"{text}" gives no value; expected an owner, a dot, a field, "=" and its value, such as '
                          "2C.belt.length=2400", text=Name(text)), text)
    return target(left, trip), value.strip()


def _split(text: str, trip: Trip) -> tuple[str, str, str]:
    """What stands before and behind the sign that sets a value: the first one behind the owner's name."""
    owner = _owner_in(text, _owners(trip)) or ""
    field, sign, value = text[len(owner):].partition("=")
    return text[:len(owner)] + field.rstrip(), sign, value


def target(name: str, trip: Trip) -> Target:
    """Where a field stands. Raises InputError with the nearest name where there is none."""
    name = name.strip()
    owners = _owners(trip)
    plain = name.replace('"', "") if name.startswith('"') else name
    owner = _owner_in(plain, owners)
    if owner is None:
        said_owner = plain.partition(".")[0].partition("/")[0]
        raise _wrong(said('nothing in this trip is called "{owner}"; {near}', owner=Name(said_owner),
                          near=near_word(said_owner, owners)), said_owner, owners)
    found, kind, record = owners[owner]
    rest = plain[len(owner):]
    if rest.startswith("/"):
        found, kind, record, rest = _mode(found, record, rest[1:], owner)
    field = rest.removeprefix(".").strip()
    field, _, height = field.partition("@")
    made = _front(found, field, owner) or _field(found, kind, record, field.strip(), owner)
    return _at_height(replace(made, name=name), height, trip) if height else replace(made, name=name)


def _owner_in(text: str, owners: Iterable[str]) -> str | None:
    """Whose name a text begins with, a dot or a slash behind it; of several the longest."""
    begins = text.casefold()
    return max((own for own in owners if begins.startswith((f"{own}.".casefold(), f"{own}/".casefold()))), key=len,
               default=None)


def _owners(trip: Trip) -> dict[str, tuple[Target, type[Record], Any]]:
    """By name who can own a field. Of a rider and a restraint of one name it is the rider."""
    found: dict[str, tuple[Target, type[Record], Any]] = {}
    for n, restraint in enumerate(trip.restraints):
        found.setdefault(restraint.restraint, (Target("", "restraint", (), n), Restraint, restraint))
    for n, rider in enumerate(trip.riders):
        found[rider.rider] = (Target("", "trip", ("riders", n)), Rider, rider)
    for i, row in enumerate(trip.vehicle.rows):
        found[f"row{row.row}"] = (Target("", "vehicle", ("rows", i)), Row, row)
        for k, position in enumerate(row.positions):
            found[position.position] = (Target("", "vehicle", ("rows", i, "positions", k)), Position, position)
            if position.built_in is not None:
                found.setdefault(position.built_in.restraint, (
                    Target("", "vehicle", ("rows", i, "positions", k, "built_in")), Restraint, position.built_in))
    return found


def _mode(found: Target, restraint: Any, rest: str, owner: str) -> tuple[Target, type[Record], Any, str]:
    """A mode of a restraint, or a way of installing that."""
    if not isinstance(restraint, Restraint):
        raise _wrong(said("{owner} is no restraint and has no modes; expected a dot and a field", owner=Name(owner)),
                     rest)
    called, dot, field = rest.partition(".")
    mode_name, _, by = called.partition("/")
    names = [mode.mode for mode in restraint.modes]
    if mode_name not in names:
        raise _wrong(said('{owner} has no mode "{mode}"; {near}', owner=Name(owner), mode=Name(mode_name),
                          near=near_word(mode_name, names)), mode_name, names)
    j = names.index(mode_name)
    mode = restraint.modes[j]
    at: Path = ("modes", j)
    if not by:
        return replace(found, path=at), Mode, mode, dot + field
    ways = [way.by for way in mode.installations]
    if by not in ways:
        raise _wrong(said('{owner} is not installed by "{by}" in this mode; {near}', owner=Name(owner), by=Name(by),
                          near=near_word(by, ways)), by, ways)
    k = ways.index(by)
    return replace(found, path=(*at, "installations", k)), Installation, mode.installations[k], dot + field


def _front(found: Target, field: str, owner: str) -> Target | None:
    """How far forward whoever sits at a seat can sit stands in the trip."""
    if found.of != "vehicle" or field not in ("front", "front.forward_at_most", "forward_at_most", "front.stature"):
        return None
    key = field.removeprefix("front").removeprefix(".") or "forward_at_most"
    assert key in FrontLimit.model_fields
    return Target("", "trip", ("front", owner, key))


def _field(found: Target, kind: type[Record], record: Any, field: str, owner: str) -> Target:
    """A field of a record, by its keys, or by the last of them."""
    known = list(names_in(kind))
    field = _ALSO.get(kind, {}).get(field, field)
    if kind is Mode:
        field, found, kind, record = _of_way(field, found, record, owner)
    first = field.partition(".")[0]
    if first not in kind.model_fields:
        meant = [name for name in known if name.endswith(f".{field}")]
        if len(meant) != 1:
            raise _wrong(said('{owner} has no field "{field}"; {near}', owner=Name(owner), field=Name(field),
                              near=near_word(field, [*known, *(name.rpartition(".")[2] for name in known)] if len(
                                  known) > 1 else known)), field, known)
        field = meant[0]
    return _walk(found, kind, record, field.split("."), owner, field)


def _of_way(field: str, found: Target, mode: Mode, owner: str) -> tuple[str, Target, type[Record], Any]:
    """A field of the only way of installing a mode that it can be of may stand without that."""
    if field.partition(".")[0] in Mode.model_fields or field.partition(".")[0] not in Installation.model_fields:
        return field, found, Mode, mode
    if len(mode.installations) > 1:
        ways = [f"{owner}/{mode.mode}/{way.by}.{field}" for way in mode.installations]
        raise _wrong(said("{field} is of a way of installing; expected one of {ways}", field=Name(field),
                          ways=", ".join(ways)), field, ways)
    return field, replace(found, path=(*found.path, "installations", 0)), Installation, mode.installations[0]


def _walk(found: Target, kind: type[Record] | None, record: Any, keys: list[str], owner: str, field: str) -> Target:
    """Along the keys of a field; of a list to the item of that name, or to a new one."""
    path: list[str | int] = list(found.path)
    while keys:
        key, *keys = keys
        if kind is None or key not in kind.model_fields:
            known = [] if kind is None else list(kind.model_fields)
            raise _wrong(said('{owner} has no field "{field}"; {near}', owner=Name(owner), field=Name(field),
                              near=near_word(key, known)), field, known)
        path.append(key)
        inner, is_list = inner_record(kind, key)
        record = None if record is None else getattr(record, key)
        kind = inner
        if is_list and inner is not None and keys:
            called = _called_by(inner)
            name, *keys = keys
            items = record or []
            number = next((n for n, item in enumerate(items) if str(getattr(item, called)) == name), len(items))
            path.append(number)
            keys = keys or ([_ONLY[called]] if called in _ONLY else [])
            if number == len(items):
                return replace(found, path=(*path, *keys), item=(called, name))
            record = items[number]
    return replace(found, path=tuple(path))


def _called_by(kind: type[Record]) -> str:
    """The field that holds what a record is called."""
    return next(name for name in kind.model_fields if name != "sure")


def _at_height(found: Target, height: str, trip: Trip) -> Target:
    """The free length ahead at one height."""
    if found.path[-1] == "ahead":
        found = replace(found, path=(*found.path, "gap"))
    if found.path[-1] != "gap":
        raise _wrong(said('"{name}" stands at no height; expected one behind `gap`, such as 2C.gap@300=640',
                          name=Name(found.name)), found.name)
    try:
        mm = units.length_mm(int(height) if height.strip().isdecimal() else height.strip())
    except units.UnitError as error:
        raise _wrong(error.args[0], height) from None
    return replace(found, height=int(mm))


def names_in(kind: type[Record], at: str = "") -> Iterator[str]:
    """All fields of a record with those of the records in it, by their keys."""
    for name in kind.model_fields:
        if name in ("sure", *_NAMED_BY):
            continue
        inner, is_list = inner_record(kind, name)
        yield f"{at}{name}"
        if inner is not None and not is_list:
            yield from names_in(inner, f"{at}{name}.")


#: what things are called by, and lists with owners of their own: never set like that
_NAMED_BY = ("rider", "position", "row", "restraint", "mode", "by", "positions", "modes", "installations", "invented")


def inner_record(kind: type[Record], key: str) -> tuple[type[Record] | None, bool]:
    """The record that stands in a field; whether there is a list of it."""
    found: list[type[Record]] = []
    lists = False
    stack = [kind.model_fields[key].annotation]
    while stack:
        one = stack.pop()
        if isinstance(one, type) and issubclass(one, Record):
            found.append(one)
        else:
            lists = lists or getattr(one, "__origin__", None) is list
            stack += [inner for inner in get_args(one) if not isinstance(inner, str)]
    return (found[0] if found else None), lists


def name_of(path: Path, trip: Trip) -> str:
    """What a person calls the field at a path of the trip's record."""
    match path:
        case ("riders", int(i), *rest):
            return _dotted(trip.riders[i].rider, ["born"] if rest == ["age"] else rest, trip.riders[i])
        case ("vehicle", "rows", int(i), "positions", int(k), "built_in", *rest) if rest:
            return _of_restraint(trip.vehicle.rows[i].positions[k].built_in, rest)
        case ("vehicle", "rows", int(i), "positions", int(k), *rest):
            position = trip.vehicle.rows[i].positions[k]
            return _dotted(position.position, rest, position)
        case ("vehicle", "rows", int(i), *rest):
            return _dotted(f"row{trip.vehicle.rows[i].row}", rest, trip.vehicle.rows[i])
        case ("restraints", int(i), *rest):
            return _of_restraint(trip.restraints[i], rest)
        case ("front", str(seat), *_):
            return f"{seat}.front"
    return ".".join(map(str, path))


def _of_restraint(restraint: Any, path: list[str | int]) -> str:
    match path:
        case ("modes", int(j), "installations", int(k), *rest):
            mode = restraint.modes[j]
            way = mode.installations[k]
            return _dotted(f"{restraint.restraint}/{mode.mode}/{way.by}", rest, way)
        case ("modes", int(j), *rest):
            mode = restraint.modes[j]
            return _dotted(f"{restraint.restraint}/{mode.mode}", rest, mode)
    return _dotted(restraint.restraint, path, restraint)


def _dotted(owner: str, rest: list[str | int], record: Any) -> str:
    told = [owner]
    for step in rest:
        if isinstance(step, int):
            record = record[step] if record is not None and step < len(record) else None
            told.append(str(step) if record is None else str(getattr(record, _called_by(type(record)))))
        else:
            record = None if record is None else getattr(record, step, None)
            told.append(step)
    return ".".join(told)


def _wrong(text: str, found: str, known: Any = ()) -> InputError:
    return InputError([Problem("", 0, 0, text, ("set",), found, {"one_of": list(known)} if known else None)])
