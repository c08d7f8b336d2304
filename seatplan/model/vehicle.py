"""A vehicle as measured: rows, side walls, bars, tether anchors and seating positions.

``across`` is measured from the left door trim, ``along`` from the bight (the crease between cushion and
seatback, forwards positive), ``up`` from the cushion surface at the bight; all in mm. A value that is None
was not measured; ``none`` in a file says that it was looked for and is not there.
"""

# types of fields are no texts here: pydantic would compile each of them again
from collections.abc import Iterable, Iterator
from string import ascii_lowercase
from typing import Annotated, Any, Literal, Self

from pydantic import Field, model_validator

from seatplan.content import number_of, written_fields
from seatplan.message import said

from .listed import NONE_IS_EMPTY, Fixture, OrNone
from .quantities import (
    Angle,
    AngleRange,
    Day,
    HeightAndGap,
    Key,
    Length,
    LengthAndHeight,
    MassAtMost,
    Name,
    Place,
    PlaceRange,
    Point,
    PositionName,
    ReadBy,
    RowNumber,
    Sides,
    Size,
    Text,
    Tolerance,
    TrimName,
    Year,
    YesNo,
    refused,
)
from .record import Record
from .restraint import Restraint


def _one_roof(value: object) -> object:
    """One height stands for the roof at every length; a list says it length by length."""
    return value if isinstance(value, (list, tuple)) else [(0, value)]


class OneOrMany:
    """Tells the JSON Schema that one length may stand in place of the list."""

    def __get_pydantic_json_schema__(self, core_schema: Any, handler: Any) -> dict[str, Any]:
        many: dict[str, Any] = handler(core_schema)
        return {"anyOf": [many, many["items"]["prefixItems"][1]]}


#: (along, up) of the inside of the roof, straight between them, level beyond the first and the last
Roof = Annotated[list[LengthAndHeight], Field(min_length=1, max_length=20), ReadBy(_one_roof), OneOrMany()]


def _read_pair(value: object) -> object:
    """``none`` or two bars; a tuple of nothing says that no pair is there."""
    if value in ("none", [], ()):
        return ()
    if not isinstance(value, (list, tuple)) or len(value) != 2:
        raise refused(said("expected two bars such as [a, b], or none"))
    return value


#: the two bars that a restraint hangs on, left one first; empty where none are there
BarPair = Annotated[tuple[Key, ...], Field(max_length=2), ReadBy(_read_pair), OrNone()]


#: which way somebody on a vehicle seat looks
Facing = Literal["forward", "rear", "side"]


class Measured(Record):
    on: Day | None = None
    tolerance: Tolerance = 5          # of every length in the file, mm: one tape reading on upholstery


class Raised(Record):
    """A part of the cushion that does not carry a base: a hump in the middle, a side bolster."""

    name: Name
    across: PlaceRange
    along: PlaceRange | None = None   # None: over the whole length


class Cushion(Record):
    left: Place | None = None
    right: Place | None = None
    length: Size | None = None
    angle: Angle | None = None
    above_floor: Length | None = None
    raised: Annotated[list[Raised], NONE_IS_EMPTY, OrNone()] | None = None      # `none`: felt for, and flat
    # where seats of the row stand apart, so that nothing carries what lies over it: from, to; `none`: one bench
    gaps: Annotated[list[PlaceRange], NONE_IS_EMPTY, OrNone()] | None = None
    waterfall: Length | None = None   # how far behind its front edge the surface begins to fall


class OwnCushion(Record):
    """What the cushion of one place has of its own; the rest is the row's. ``up``: its surface at the bight above the
    row's. What a place says itself is measured from its own cushion, what a row says from the row's."""

    length: Size | None = None
    angle: Angle | None = None
    above_floor: Length | None = None
    up: Place | None = None           # None: as high as the row's


class Bolster(Record):
    """A ridge on a seatback, ``depth`` proud of it; ``up`` along the back from the row's cushion."""

    name: Name
    across: PlaceRange
    up: PlaceRange | None = None      # None: over the whole height
    depth: Size | None = None


class OwnSeatback(Record):
    """What the back of one place has of its own; the rest is the row's."""

    angle: Angle | None = None
    height: Size | None = None        # from its own cushion
    reclines: AngleRange | None = None


class Seatback(Record):
    angle: Angle | None = None        # as it stood when the rest was measured
    height: Size | None = None
    reclines: AngleRange | None = None        # what it can be set to; None: it stays as it was measured
    bolsters: Annotated[list[Bolster], NONE_IS_EMPTY, OrNone()] | None = None   # `none`: felt for, and flat


class Trim(Record):
    """A part of the side walls: bodies stay between ``left`` and ``right`` where side views overlap."""

    name: TrimName
    left: Place | None = None
    right: Place | None = None
    only: Literal["left", "right"] | None = None      # the car has it on this side alone: looked at on the other
    up: PlaceRange | None = None      # None: at every height
    along: PlaceRange | None = None
    tolerance: Tolerance | None = None        # of these lengths, where it differs from the file's


class Bar(Record):
    bar: Key
    across: Place | None = None


class Tether(Record):
    tether: Key
    across: Place | None = None
    along: Place | None = None
    up: Place | None = None
    mass_limit: MassAtMost | None = None       # heaviest child, from the vehicle handbook
    marked: YesNo | None = None       # its symbol or the handbook says that it is one; no: neither does
    through: Annotated[list[Key], Field(max_length=4)] = []       # other loops or anchors that its strap is led to
    shared: YesNo | None = None       # whether the handbook lets two straps use it


class Buckle(Record):
    across: Place | None = None
    stalk: Length | None = None       # from the bight to the top of the buckle
    stalk_kind: Literal["webbing", "stiff", "recessed"] | None = None     # what it is on: soft, hard, or in the cushion


BeltKind = Literal["lap-shoulder", "lap", "none"]
Retractor = Literal["emergency", "automatic", "switchable", "static"]


class Belt(Record):
    kind: BeltKind
    retractor: Retractor | None = None
    latchplate: Literal["sliding", "locking", "switchable", "sewn-on", "dynamic-locking"] | None = None
    inflatable: YesNo | None = None
    anchors: Sides | None = None    # of the lap part, left and right
    buckle: Buckle | None = None
    length: Length | None = None      # webbing that can be drawn out
    shoulder_exit: Point | None = None      # where the shoulder part comes from: along and up
    tightens_before_crash: YesNo | None = None        # a motor pulls it tight when a crash is near
    detachable: YesNo | None = None   # its end clips into an anchor buckle of its own, as of many that come from above


class HeadRestraint(Record):
    fitted: YesNo | None = None
    removable: YesNo | None = None
    juts: Length | None = None        # forward of the seatback, in the lowest setting
    top: Size | None = None           # above the cushion along the seatback, in the highest setting
    tilts: YesNo | None = None        # back, out of the way of a restraint

    @property
    def there(self) -> bool | None:
        """Whether there is one: as said, or because something of it was measured; None: nobody looked."""
        if self.fitted is None and not (
                self.removable is None and self.juts is None and self.top is None and self.tilts is None):
            return True
        return self.fitted


class Airbag(Record):
    # automatic: a sensor in the seat switches it by who sits there, and a lamp shows it
    front: Literal["none", "active", "switchable", "automatic"] | None = None
    side: Literal["none", "curtain", "seat"] | None = None


#: no child restraint reaches higher above the cushion than this, mm (assumed)
_LEVEL_UP_TO = 900


def _told_once(record: Record, **values: Any) -> None:
    """Gives a record that is being read what follows from its other fields, where it does not say so itself; written
    out again it says what it said."""
    for name, value in values.items():
        if name not in record.model_fields_set or getattr(record, name) in (None, []):
            object.__setattr__(record, name, value)      # a record never changes after reading; this is still reading
            record.model_fields_set.discard(name)


class Ahead(Record):
    """The seat in front: free length from the bight at given heights with it rearmost, and its travel."""

    seat: PositionName | None = None          # None: a console, a dashboard: nothing that moves
    # the shortest level way to it at any height up to _LEVEL_UP_TO, with it where its person sits; there it stays
    free: Length | None = None
    gap: Annotated[list[HeightAndGap], Field(max_length=40)] = []
    travel: Length | None = None              # as far as somebody may sit in it
    beyond_use: Length | None = None          # so much further it may be pushed with nobody in it, by the handbook
    contact: Literal["allowed", "caution"] | None = None    # the handbook on touching it: sensors in the seat

    @model_validator(mode="after")
    def _free_at_every_height(self) -> Self:
        """One length for all heights, where none are given one by one."""
        if self.free is not None and not self.gap:
            _told_once(self, gap=[(0, self.free), (_LEVEL_UP_TO, self.free)], travel=0)
        return self

    @property
    def free_everywhere(self) -> bool:
        """Whether its lengths are those of ``free``, and nobody measured any height by itself."""
        return bool(self.gap) and "gap" not in self.model_fields_set

    def without_free(self) -> Self:
        """The same where ``free`` counts as unknown."""
        return self.model_copy(update={"free": None, "gap": [], "travel": None})


Forbidden = Literal["child-restraint", "rear-facing", "forward-facing", "booster", "lower-anchors"]


Allowed = Literal["lower-anchors-with-belt", "rear-facing-tether", "buckle-twist", "belt-tightens-before-crash"]


class Handbook(Record):
    """What the vehicle handbook says of one position."""

    forbids: list[Forbidden] | None = None    # []: nothing
    allows: list[Allowed] = []
    lower_anchor_mass_limit: MassAtMost | None = None     # child and restraint together
    lower_anchor_child_mass_limit: MassAtMost | None = None       # the heaviest child, where it names that
    notes: Text = ""
    page: Text = ""


class Position(Record):
    """One belted place."""

    position: PositionName
    facing: Facing | None = None              # None: neither said here nor for every seat
    seat: Literal["fixed", "fold-down"] | None = None     # the same; fold-down: its cushion tips up
    centre: Place | None = None
    width: Size | None = None
    cushion: OwnCushion | None = None         # None: the row's
    seatback: OwnSeatback | None = None       # the same
    tolerance: Tolerance | None = None        # of centre and buckle, where it differs from the file's
    lower_anchors: BarPair | None = None
    borrow: BarPair | None = None     # a pair that belongs to its neighbours, where the handbook allows it
    tether: Key | None = None         # `none`: there is none
    retrofit_tether: Key | None = None        # one of the row's that a workshop can fit here, by the handbook
    belt: Belt | None = None
    head_restraint: HeadRestraint | None = None
    airbag: Airbag | None = None
    support_leg: Literal["allowed", "forbidden", "with-filler"] | None = None
    fixtures: Annotated[list[Fixture], NONE_IS_EMPTY, OrNone()] | None = None
    i_size: YesNo | None = None
    universal_belted: Literal["both", "forward-only", "none"] | None = None    # U, UF, X of a handbook table
    universal_isofix: Literal["forward-only", "none"] | None = None            # IUF, X
    ahead: Ahead | None = None
    manual: Handbook | None = None
    exit: Text | None = None
    built_in: Restraint | None = None         # a restraint that is part of this seat
    # whether a restraint of one's own may stand on a seat with one built in, by the handbook
    over_built_in: Literal["allowed", "forbidden"] | None = None

    @model_validator(mode="before")
    @classmethod
    def _built_in_here(cls, data: Any) -> Any:
        """A restraint that is built in is held by the seat, where nothing else is said, and is at home here."""
        return _with_home(data) if isinstance(data, dict) and isinstance(data.get("built_in"), dict) else data

    @property
    def row(self) -> int:
        return int(self.position[0])


class Console(Record):
    """A fixed thing in front of a row, between the seats ahead or on the floor: no part of a restraint may stand in it,
    and no support leg on it. Heights from the row's cushion, so that the floor is less than 0."""

    name: Name
    across: PlaceRange
    along: PlaceRange
    up: PlaceRange | None = None      # None: at every height


class RowPart(Record):
    """Seats of a row that slide together, apart from its other seats."""

    positions: Annotated[list[PositionName], Field(min_length=1, max_length=2)]
    slides: Length | None = None      # 0: this part does not
    across: PlaceRange | None = None  # the edges of its cushion


def _with_home(position: dict[str, Any]) -> dict[str, Any]:
    own = position["built_in"]
    modes = own.get("modes")
    if isinstance(modes, (list, tuple)):
        modes = [{"installations": [{"by": "built-in"}], **mode} if isinstance(mode, dict) else mode for mode in modes]
    return {**position, "built_in": {**own, **({} if modes is None else {"modes": modes}),
                                     "built_into": position.get("position")}}


class Row(Record):
    row: RowNumber
    cushion: Cushion = Cushion.model_construct()
    seatback: Seatback = Seatback.model_construct()
    trim: list[Trim] = []
    roof: Roof | None = None          # inside, above the cushion at given lengths forward of the bight
    consoles: Annotated[list[Console], NONE_IS_EMPTY, OrNone()] | None = None     # `none`: looked for
    split: YesNo | None = None        # its back or cushion folds in parts, each with a catch of its own
    parts: Annotated[list[RowPart], Field(max_length=3)] = []       # those that slide apart; all its seats are in one
    lower_anchors: Annotated[list[Bar], NONE_IS_EMPTY, OrNone()] | None = None
    tethers: Annotated[list[Tether], NONE_IS_EMPTY, OrNone()] | None = None
    slides: Length | None = None      # 0: it does not; None: neither said here nor for every seat
    positions: Annotated[list[Position], Field(min_length=1, max_length=3)]

    # as ``_content`` of each record
    __slots__ = ("_frame",)

    @property
    def frame(self) -> int:
        """The number of what it holds beside its positions: what a place in it is like hangs on this and on the
        ``content`` of its position."""
        try:
            kept: int = object.__getattribute__(self, "_frame")
        except AttributeError:
            kept = self._reckon_frame()
            object.__setattr__(self, "_frame", kept)
        return kept

    def _reckon_frame(self) -> int:
        return number_of(written_fields("frame", {
            name: value for name, value in self.__dict__.items() if name != "positions"}))

    def strap_uses(self, tether: str) -> frozenset[str]:
        """The anchor of that name, and the loops or anchors that a strap hooked there is led to."""
        own = next((one for one in self.tethers or () if one.tether == tether), None)
        return frozenset((tether, *(own.through if own is not None else ())))

    @model_validator(mode="before")
    @classmethod
    def _anchors_of_its_own(cls, data: Any) -> Any:
        """A seat that only says that it has bars, or a tether anchor, has some of its own, nobody measured where."""
        return _with_own_anchors(data) if isinstance(data, dict) else data


def _with_own_anchors(row: dict[str, Any]) -> dict[str, Any]:
    positions, bars, tethers = row.get("positions"), row.get("lower_anchors"), row.get("tethers")
    if not isinstance(positions, (list, tuple)):
        return row
    more: dict[str, list[dict[str, str]]] = {"lower_anchors": _listed(bars), "tethers": _listed(tethers)}
    new_bar, new_tether = _unused(more["lower_anchors"], "bar", ascii_lowercase), _unused(
        more["tethers"], "tether", [f"t{n}" for n in range(1, 100)])
    made = [dict(position) if isinstance(position, dict) else position for position in positions]
    asked = [position for position in made if isinstance(position, dict)]
    # what the row lists and no seat names by itself belongs to those that only say yes, from left to right
    free_bars, free_tethers = _free(bars, "bar", asked), _free(tethers, "tether", asked)
    changed = False
    for position in asked:
        if position.get("lower_anchors") in _YES:
            position["lower_anchors"] = pair = [next(free_bars, None) or _listing(more, "bar", next(new_bar))
                                                for _ in range(2)]
            changed = bool(pair)
        if position.get("tether") in _YES and not any(_called(one, "yes") for one in _listed(tethers)):
            position["tether"] = next(free_tethers, None) or _listing(more, "tether", next(new_tether))
            changed = True
    new = {key: value for key, value in more.items() if len(value) > len(_listed(row.get(key)))}
    return {**row, "positions": made, **new} if changed else row


#: what the list of a row is called by what stands in it
_LISTS = {"bar": "lower_anchors", "tether": "tethers"}


def _listing(more: dict[str, list[dict[str, str]]], key: str, name: str) -> str:
    """A new name, listed in the row."""
    more[_LISTS[key]].append({key: name})
    return name


def _free(listed: Any, key: str, positions: list[dict[str, Any]]) -> Iterator[str]:
    """The names of a row's bars or tether anchors that no seat of it names."""
    named = {str(name) for position in positions for field in ("lower_anchors", "borrow", "tether", "retrofit_tether")
             for name in (_listed(position.get(field)) or [position.get(field)])}
    names = [one.get(key) for one in _listed(listed) if isinstance(one, dict)]
    return iter([str(name) for name in names if name is not None and str(name) not in named])


#: yes, as a file or JSON has it
_YES = ("yes", True)


def _called(tether: Any, name: str) -> bool:
    """Whether a tether anchor has a name of its own that is a word with another meaning."""
    return isinstance(tether, dict) and tether.get("tether") == name


def _listed(value: Any) -> list[Any]:
    return list(value) if isinstance(value, (list, tuple)) else []


def _unused(held: list[Any], key: str, names: Iterable[str]) -> Iterator[str]:
    """Names that nothing in a list has yet."""
    taken = [one.get(key) for one in held if isinstance(one, dict)]
    return (name for name in names if name not in taken)


class EverySeat(Record):
    """What holds throughout the vehicle, said once: seats and rows that do not say it themselves take it from here."""

    forward_and_fixed: YesNo | None = None    # yes: all face forward, none tips up, and no row slides
    facing: Facing | None = None
    tip_up: YesNo | None = None       # no: every seat is fixed
    slides: YesNo | None = None       # no: no row slides; yes: each row says how far
    belt: BeltKind | None = None
    retractor: Retractor | None = None        # of every belt
    inflatable: YesNo | None = None           # any belt
    forbids: Annotated[list[Forbidden], NONE_IS_EMPTY,
                       OrNone()] | None = None      # `none`: the handbook forbids nothing
    support_leg: Literal["allowed", "forbidden", "with-filler"] | None = None      # behind the front row

    @model_validator(mode="after")
    def _as_most_cars(self) -> Self:
        if self.forward_and_fixed:
            _told_once(self, facing="forward", tip_up=False, slides=False)
        return self


class Vehicle(Record):
    vehicle: Name
    invented: YesNo = False
    notes: Text = ""
    model_year: Year | None = None
    measured: Measured = Measured.model_construct()
    not_measured: Literal["estimate"] | None = None      # lengths left out are taken at two ends; None: unknown
    every_seat: EverySeat = EverySeat.model_construct()
    rows: Annotated[list[Row], Field(min_length=1, max_length=9)]

    @model_validator(mode="before")
    @classmethod
    def _belts_of_one_kind(cls, data: Any) -> Any:
        """A belt of which something was measured is of the kind that is said once for all, where it names none."""
        every = data.get("every_seat") if isinstance(data, dict) else None
        kind: Any = every.get("belt") if isinstance(every, dict) else getattr(every, "belt", None)
        rows = data.get("rows") if isinstance(data, dict) else None
        if kind is None or not isinstance(rows, (list, tuple)):
            return data
        return {**data, "rows": [_with_kind(row, kind) for row in rows]}

    @model_validator(mode="after")
    def _said_once(self) -> Self:
        """Gives every seat and row what is said once for all."""
        rows = [_told(row, self.every_seat, row.row == self.front_row.row) for row in self.rows]
        if any(told is not row for told, row in zip(rows, self.rows, strict=True)):
            object.__setattr__(self, "rows", rows)      # a record never changes after reading; this is still reading
        return self

    def positions(self) -> list[Position]:
        """All positions, front row first, left to right."""
        return [position for row in self.rows for position in row.positions]

    def built_in(self) -> list[Restraint]:
        """The restraints that are part of its seats, front row first, left to right."""
        return [position.built_in for position in self.positions() if position.built_in is not None]

    @property
    def front_row(self) -> Row:
        """The row with no row ahead of it, whatever its number."""
        return min(self.rows, key=lambda row: row.row)

    def in_front(self, position: Position | str) -> bool:
        """Whether a position has no row ahead of it."""
        name = position if isinstance(position, str) else position.position
        return int(name[0]) == min([row.row for row in self.rows])

    def position(self, name: str) -> Position:
        """The position of that name; KeyError if there is none."""
        for position in self.positions():
            if position.position == name:
                return position
        raise KeyError(name)

    def row_of(self, position: str) -> Row:
        for row in self.rows:
            if any(p.position == position for p in row.positions):
                return row
        raise KeyError(position)


def _with_kind(row: Any, kind: str) -> Any:
    """A row of plain data with the kind of each belt that says something else and no kind."""
    positions = row.get("positions") if isinstance(row, dict) else None
    if not isinstance(positions, (list, tuple)):
        return row
    return {**row, "positions": [
        {**seat, "belt": {**seat["belt"], "kind": kind}} if isinstance(seat, dict) and _is_filled(seat.get("belt"))
        and seat["belt"].get("kind") is None else seat for seat in positions]}


def _is_filled(value: Any) -> bool:
    """Whether a set of keys holds anything."""
    return isinstance(value, dict) and any(
        _is_filled(inner) if isinstance(inner, dict) else inner is not None for inner in value.values())


def _told(row: Row, every: EverySeat, front: bool) -> Row:
    """A row with what holds for every seat, where it says nothing itself."""
    positions = [_told_seat(position, every, front) for position in row.positions]
    still = row.slides is None and every.slides is False
    if not still and all(told is own for told, own in zip(positions, row.positions, strict=True)):
        return row
    fixed: dict[str, Any] = {"slides": 0} if not row.parts else {"parts": [
        part if part.slides is not None else part.model_copy(update={"slides": 0}) for part in row.parts]}
    return row.model_copy(update={"positions": positions, **(fixed if still else {})})


def _told_seat(position: Position, every: EverySeat, front: bool) -> Position:
    seat = {None: None, True: "fold-down", False: "fixed"}[every.tip_up]
    leg = None if front else every.support_leg
    update: dict[str, Any] = {
        key: value for key, value in (("facing", every.facing), ("seat", seat), ("support_leg", leg))
        if value is not None and getattr(position, key) is None}
    belt = position.belt or (None if every.belt is None else Belt(kind=every.belt))
    if belt is not None and belt.kind != "none":
        more = {key: value for key, value in (("retractor", every.retractor), ("inflatable", every.inflatable))
                if value is not None and getattr(belt, key) is None}
        belt = belt.model_copy(update=more) if more else belt
    if belt is not position.belt:
        update["belt"] = belt
    if every.forbids is not None and (position.manual is None or position.manual.forbids is None):
        update["manual"] = (position.manual or Handbook()).model_copy(update={"forbids": list(every.forbids)})
    return position.model_copy(update=update) if update else position
