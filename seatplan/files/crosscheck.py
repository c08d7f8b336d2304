"""Checks across the fields of a file: what is named must exist, and places must agree with each other."""

from __future__ import annotations

from collections.abc import Collection, Iterable, Iterator, Sequence
from itertools import pairwise

from seatplan.model import Mode, Part, Position, Restraint, Row, Trip, Vehicle, Wish

from .errors import Problem, near_word
from .reading import Document, Loc

_SIDES = "LCR"
#: nobody younger counts as an adult here, so that a slip cannot take a child past the rules for children
ADULT_FROM_MONTHS = 13 * 12


def vehicle_problems(vehicle: Vehicle, document: Document, at: Loc = ()) -> list[Problem]:
    """Everything about one vehicle that does not agree."""
    return [document.problem((*at, *loc), text) for loc, text in _vehicle(vehicle)]


def restraint_problems(restraint: Restraint, document: Document, at: Loc = ()) -> list[Problem]:
    """Everything about one restraint that does not agree."""
    return [document.problem((*at, *loc), text) for loc, text in _restraint(restraint)]


def trip_problems(trip: Trip, document: Document, excused: Collection[Loc] = ()) -> list[Problem]:
    """Everything about one trip that does not agree with its vehicle, riders and restraints; what stands at an
    ``excused`` place does not count."""
    return [document.problem(loc, text) for loc, text in _trip(trip) if loc not in excused]


Found = Iterator[tuple[Loc, str]]


def _vehicle(vehicle: Vehicle) -> Found:
    numbers = [row.row for row in vehicle.rows]
    for i, (before, after) in enumerate(pairwise(numbers)):
        if after <= before:
            yield ("rows", i + 1, "row"), f"row {after} comes after row {before}; expected rows from front to back"
    seen: set[str] = set()
    everywhere = {p.position for p in vehicle.positions()}
    for i, row in enumerate(vehicle.rows):
        at: Loc = ("rows", i)
        for k, position in enumerate(row.positions):
            name = position.position
            if name in seen:
                yield (*at, "positions", k, "position"), f'two positions are called "{name}"; expected each once'
            seen.add(name)
            if position.row != row.row:
                yield ((*at, "positions", k, "position"),
                       f'position "{name}" stands in row {row.row}; expected {row.row}{name[1]}')
            for loc, text in _ahead(position, everywhere):
                yield (*at, "positions", k, "ahead", *loc), text
        for loc, text in (*_order(row), *_walls(row), *_named(row)):
            yield (*at, *loc), text


def _ahead(position: Position, everywhere: set[str]) -> Found:
    if position.ahead is None:
        return
    seat = position.ahead.seat
    if seat not in everywhere:
        yield ("seat",), f'no position is called "{seat}"; {near_word(seat, everywhere)}'
    elif int(seat[0]) >= position.row and position.facing == "forward":
        yield ("seat",), f"{seat} does not stand ahead of {position.position}; expected a seat of a row before it"
    heights = [height for height, _ in position.ahead.gap]
    for k, height in enumerate(heights):
        if height in heights[:k]:
            yield ("gap", k), f"two gaps at {height} mm ahead of {position.position}; expected one for each height"


def _order(row: Row) -> Found:
    """Left to right, by name and by place."""
    for k, (one, other) in enumerate(pairwise(row.positions)):
        if _SIDES.index(other.position[1]) <= _SIDES.index(one.position[1]) and one.position != other.position:
            yield (("positions", k + 1, "position"),
                   f"{other.position} stands after {one.position}; expected positions from left to right")
        if one.centre is not None and other.centre is not None and other.centre <= one.centre:
            yield (("positions", k + 1, "centre"),
                   f"centre of {other.position} is {other.centre} mm and of {one.position} {one.centre} mm; "
                   "expected them to grow from left to right")


def _walls(row: Row) -> Found:
    for k, trim in enumerate(row.trim):
        if trim.left is not None and trim.right is not None and trim.right <= trim.left:
            yield (("trim", k, "right"),
                   f"right {trim.name} is at {trim.right} mm, left one at {trim.left} mm; expected left below right")
    if row.cushion.left is not None and row.cushion.right is not None and row.cushion.right <= row.cushion.left:
        yield (("cushion", "right"), f"the cushion of row {row.row} begins at {row.cushion.left} mm and ends at "
                                     f"{row.cushion.right} mm; expected left below right")
    left = min((t.left for t in row.trim if t.left is not None), default=None)
    right = max((t.right for t in row.trim if t.right is not None), default=None)
    if left is not None and right is not None and left >= right:
        return
    for loc, name, x in _places(row):
        if (left is not None and x < left) or (right is not None and x > right):
            walls = f"{'?' if left is None else left} to {'?' if right is None else right} mm"
            yield loc, f"{name} is at {x} mm; expected it between the walls, {walls}"


def _places(row: Row) -> Iterator[tuple[Loc, str, int]]:
    """Everything that must lie between the side walls."""
    for key in ("left", "right"):
        x = getattr(row.cushion, key)
        if x is not None:
            yield ("cushion", key), f"the {key} end of the cushion of row {row.row}", x
    for k, bar in enumerate(row.lower_anchors or ()):
        yield ("lower_anchors", k, "across"), f"bar {bar.bar}", bar.across
    for k, position in enumerate(row.positions):
        if position.centre is not None:
            yield ("positions", k, "centre"), f"the centre of {position.position}", position.centre
        belt = position.belt
        if belt and belt.buckle and belt.buckle.across is not None:
            yield ("positions", k, "belt", "buckle", "across"), f"the buckle of {position.position}", belt.buckle.across


def _named(row: Row) -> Found:
    """Bars and tethers: each named once, and named where they are used."""
    bars = {bar.bar: bar.across for bar in row.lower_anchors or ()}
    tethers = [tether.tether for tether in row.tethers or ()]
    for k, bar in enumerate(row.lower_anchors or ()):
        if bar.bar in [b.bar for b in (row.lower_anchors or ())[:k]]:
            yield ("lower_anchors", k, "bar"), f'two bars are called "{bar.bar}"; expected each once'
    for k, name in enumerate(tethers):
        if name == "none":
            yield ("tethers", k, "tether"), 'a tether anchor is called "none"; expected another name'
        if name in tethers[:k]:
            yield ("tethers", k, "tether"), f'two tether anchors are called "{name}"; expected each once'
    for k, position in enumerate(row.positions):
        for key, pair in (("lower_anchors", position.lower_anchors), ("borrow", position.borrow)):
            at: Loc = ("positions", k, key)
            for j, name in enumerate(pair or ()):
                if name not in bars:
                    known = near_word(name, bars) if bars else "its row lists no `lower_anchors`"
                    yield (*at, j), f'{position.position} names bar "{name}", which its row does not have; {known}'
            if pair and all(name in bars for name in pair):
                if pair[0] == pair[1]:
                    yield at, f'{position.position} names bar "{pair[0]}" twice; expected two bars'
                elif bars[pair[0]] > bars[pair[1]]:
                    yield at, (f"{position.position} names bars {pair[0]} and {pair[1]} from right to left; "
                               "expected the left one first")
        if position.tether not in (None, "none") and position.tether not in tethers:
            known = near_word(str(position.tether), tethers) if tethers else "its row lists no `tethers`"
            yield (("positions", k, "tether"),
                   f'{position.position} names tether "{position.tether}", which its row does not have; {known}')
        belt = position.belt
        if belt and belt.anchors and belt.anchors[0] == belt.anchors[1]:
            yield (("positions", k, "belt", "anchors"),
                   f"both belt anchors of {position.position} are at {belt.anchors[0]} mm; expected [left, right]")


def _restraint(restraint: Restraint) -> Found:
    if restraint.made and restraint.expires and restraint.expires <= restraint.made:
        yield ("expires",), f"expires {restraint.expires}, and was made {restraint.made}; expected a later day"
    for i, mode in enumerate(restraint.modes):
        if mode.mode in [m.mode for m in restraint.modes[:i]]:
            yield ("modes", i, "mode"), f"mode {mode.mode} stands here twice; expected each once"
        for loc, part in _parts(mode):
            for at, text in _shape(part):
                yield ("modes", i, *loc, *at), f"{text} (mode {mode.mode})"


def _parts(mode: Mode) -> Iterator[tuple[Loc, Part]]:
    for k, part in enumerate(mode.parts):
        yield ("parts", k), part
    for j, installation in enumerate(mode.installations):
        for k, part in enumerate(installation.parts):
            yield ("installations", j, "parts", k), part


def _shape(part: Part) -> Found:
    """A part is a box with some extent, or an outline that does not cross itself."""
    for key, pair in (("along", part.along), ("up", part.up)):
        if pair is not None and pair[0] == pair[1]:
            yield (key,), f"part {part.part} reaches from {pair[0]} to {pair[1]} mm {key}; expected some extent"
    if part.outline is None:
        return
    if part.along is not None or part.up is not None:
        yield ("outline",), f"part {part.part} has a box and an outline; expected one of them"
    if _crosses_itself(part.outline):
        yield ("outline",), f"the outline of part {part.part} crosses or touches itself; expected one loop"


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


def _trip(trip: Trip) -> Found:
    positions = [p.position for p in trip.vehicle.positions()]
    riders = [rider.rider for rider in trip.riders]
    restraints = [restraint.restraint for restraint in trip.restraints]
    yield from _twice("riders", riders, "rider", "give each rider a name of its own")
    yield from _twice("restraints", restraints, "restraint", "give each copy a name of its own: {use: ..., as: ...}")
    if trip.drives not in positions:
        yield ("drives",), f'no position is called "{trip.drives}"; {near_word(trip.drives, positions)}'
    elif trip.vehicle.position(trip.drives).row != trip.vehicle.rows[0].row:
        yield ("drives",), f"{trip.drives} is not in the front row; expected the driver's seat"
    drivers = [rider for rider in trip.riders if rider.drives]
    for i, rider in enumerate(trip.riders):
        if rider.drives and not rider.adult:
            yield ("riders", i, "drives"), f"{rider.rider} drives and is no adult; expected `adult: yes`"
        age = rider.age if rider.age is not None else _months(rider.born, trip.on)
        if rider.adult and age is not None and age < ADULT_FROM_MONTHS:
            yield ("riders", i, "adult"), f"{rider.rider} is {age // 12} years old; expected `adult: yes` from 13 on"
        if rider.drives and rider is not drivers[0]:
            yield ("riders", i, "drives"), f"{rider.rider} drives and {drivers[0].rider} too; expected one driver"
        if rider.born is not None and trip.on is not None and rider.born > trip.on:
            yield ("riders", i, "born"), f"{rider.rider} is born {rider.born}, after the day of travel {trip.on}; expected a day before it"
        if rider.born is not None and rider.age is not None:
            yield ("riders", i, "age"), f"{rider.rider} has both `born` and `age`; expected one of them"
        if rider.belt_fit is not None and rider.belt_fit.position is not None:
            yield from _known(("riders", i, "belt_fit", "position"), rider.belt_fit.position, positions, "position")
    for name in trip.front:
        yield from _known(("front", name), name, positions, "position")
    for i, name in enumerate(trip.airbags_off):
        yield from _known(("airbags_off", i), name, positions, "position")
    taken: dict[str, str] = {}
    for name, current in trip.current.items():
        for key, thing in (("position", current.position), ("restraint", current.restraint or "")):
            other = taken.setdefault(thing, name) if thing else name
            if other != name:
                yield ("current", name, key), f"{thing} is where {other} rides too; expected one rider for each"
        yield from _known(("current", name), name, riders, "rider")
        yield from _known(("current", name, "position"), current.position, positions, "position")
        if current.restraint is not None:
            yield from _known(("current", name, "restraint"), current.restraint, restraints, "restraint")
    for i, tried in enumerate(trip.tried):
        yield from _known(("tried", i, "restraint"), tried.restraint, restraints, "restraint")
        yield from _known(("tried", i, "position"), tried.position, positions, "position")
        ways = {k.by for r in trip.restraints if r.restraint == tried.restraint for m in r.modes
                for k in m.installations}
        if ways and tried.by not in ways:
            yield ("tried", i, "by"), f"{tried.restraint} has no installation by {tried.by}; {near_word(tried.by, ways)}"
    for i, wish in enumerate(trip.wishes):
        for loc, text in _wish(wish, riders, positions, restraints):
            yield ("wishes", i, *loc), text


def _wish(wish: Wish, riders: list[str], positions: list[str], restraints: list[str]) -> Found:
    kinds = [kind for kind in ("at", "not_at", "uses", "apart", "together") if getattr(wish, kind) is not None]
    if len(kinds) != 1:
        told = " and ".join(kinds) if kinds else "nothing"
        yield (), f"this wish says {told}; expected one of at, not_at, uses, apart, together"
        return
    kind = kinds[0]
    names = getattr(wish, kind)
    if not names:
        yield (kind,), f"`{kind}` names nothing; expected at least one name"
    if kind in ("apart", "together"):
        if wish.rider is not None:
            yield ("rider",), f"a wish with `{kind}` names its riders there; leave `rider` out"
        if len(set(names)) < 2:
            yield (kind,), f"`{kind}` names {len(set(names))} rider; expected at least two"
    elif wish.rider is None:
        yield (), f"a wish with `{kind}` needs `rider`"
    else:
        yield from _known(("rider",), wish.rider, riders, "rider")
    known, what = {"at": (positions, "position"), "not_at": (positions, "position"),
                   "uses": (restraints, "restraint"), "apart": (riders, "rider"), "together": (riders, "rider")}[kind]
    for j, name in enumerate(names):
        yield from _known((kind, j), name, known, what)


def _twice(key: str, names: list[str], what: str, hint: str) -> Found:
    for i, name in enumerate(names):
        if name in names[:i]:
            yield (key, i), f'{what} "{name}" is named twice; {hint}'


def _known(loc: Loc, name: str, names: Iterable[str], what: str) -> Found:
    known = list(names)
    if name not in known:
        yield loc, f'no {what} of this trip is called "{name}"; {near_word(name, known)}'


def fitted_to(trip: Trip) -> tuple[Trip, list[tuple[Loc, str]]]:
    """The trip without what it says of positions that its vehicle lacks, for the same trip in another car; and what
    was left out, with its place and why.

    What was tried, and a belt-fit test that was passed, hold for the car they were done in and are left out too.
    A must is never left out: the cross-check will say what is not there.
    """
    there = {p.position for p in trip.vehicle.positions()}
    dropped: list[tuple[Loc, str]] = []

    def drop(loc: Loc, what: str, why: str = "this car has no such position") -> bool:
        dropped.append((loc, f"left out: {what}; {why}"))
        return True

    wishes = []
    for i, wish in enumerate(trip.wishes):
        for key in ("at", "not_at") if not wish.must else ():
            named = getattr(wish, key)
            if named is None:
                continue
            kept = [name for j, name in enumerate(named)
                    if name in there or not drop(("wishes", i, key, j), f"the wish for {name}")]
            wish = wish.model_copy(update={key: kept})
        if wish.at != [] and wish.not_at != []:
            wishes.append(wish)
    for i, tried in enumerate(trip.tried):
        drop(("tried", i, "position"), f"{tried.restraint} at {tried.position}", "it was tried in another car")
    riders = []
    for i, rider in enumerate(trip.riders):
        fit = rider.belt_fit
        if fit is not None and (fit.passed or fit.position is not None):
            drop(("riders", i, "belt_fit", "position"), f"the belt fit of {rider.rider}",
                 "it was tested in another car")
            rider = rider.model_copy(update={"belt_fit": None})
        riders.append(rider)
    return trip.model_copy(update={
        "wishes": wishes, "tried": [], "riders": riders,
        "current": {name: here for name, here in trip.current.items() if here.position in there
                    or not drop(("current", name, "position"), f"{name} at {here.position}")},
        "front": {name: limit for name, limit in trip.front.items() if name in there
                  or not drop(("front", name), f"the front seat {name}")},
        "airbags_off": [name for i, name in enumerate(trip.airbags_off) if name in there
                        or not drop(("airbags_off", i), f"the airbag at {name}")],
    }), dropped


def _months(born: date | None, on: date | None) -> int | None:
    if born is None or on is None:
        return None
    return (on.year - born.year) * 12 + on.month - born.month - (on.day < born.day)
