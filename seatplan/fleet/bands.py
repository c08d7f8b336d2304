"""A party of which only bands of ages are known, where no way serves at both ends of them.

Then it is told what serves at the lower end and what at the upper one, and which pairs of the two cover all that lies
between, once somebody reads one size or the age of one child: below a value the child rides one way, from it on the
other. Limits of rules and restraints are ranges, so what holds at both ends of a part holds throughout; each part is
asked of the engine at its ends. A pair has the same pieces on the same seats, held alike and facing alike: whoever
drives changes how a child is held, and installs nothing.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace
from itertools import product
from typing import TYPE_CHECKING, NamedTuple

from seatplan.model import Believed
from seatplan.model.estimated import EstimatedRider
from seatplan.solver.judge import Judge, Pick, pick_of
from seatplan.units import Quantity

from .records import Cover, Member, Party, Way, serves
from .ways import Ways, answers_for, way_judged, ways_of

if TYPE_CHECKING:
    from seatplan.model import Mode, Restraint

    from .classes import Asked, Engine

#: of so many ways of each end a partner at the other end is looked for
MOST_PAIRED = 24
By = tuple[tuple[Way, ...], tuple[Way, ...]]
_LOW, _HIGH = 0, 1


class _Size(NamedTuple):
    """A size that can be read at the door: its key, its field in a member, and its name as a limit and in a rider."""

    key: str
    field: str
    name: str


_SIZES = (_Size("rider.mass", "mass_g", "mass"), _Size("rider.height", "height_mm", "height"))


class _Pair(NamedTuple):
    """How everybody rides below and above a value, to the last detail."""

    below: tuple[Pick, ...]
    above: tuple[Pick, ...]


def ends(engine: Engine, vehicle_type: str, party: Party) -> tuple[By | None, tuple[Cover, ...]]:
    """What holds at the lower and at the upper end, and what covers all between; None where all ages are known."""
    banded = [n for n, member in enumerate(party.members) if is_band(member)]
    if not banded:
        return None, ()
    asked = [engine.ask(vehicle_type, at_end(party, end)) for end in (_LOW, _HIGH)]
    found = [ways_of(one.solve, one.names) for one in asked]
    by_end = found[_LOW].ways, found[_HIGH].ways
    between = _Between(engine, vehicle_type, party, asked[_LOW], asked[_HIGH])
    return by_end, tuple(between.covers(banded, found))


def is_band(member: Member) -> bool:
    """Whether a member's age is known no better than between two."""
    return member.months is not None and member.months[0] != member.months[1]


def at_end(party: Party, end: int) -> Party:
    """The party with every band at its lower (0) or upper (1) end; members keep their places."""
    return replace(party, members=tuple(
        member if member.months is None else member._replace(months=(member.months[end], member.months[end]))
        for member in party.members))


class _Between:
    """What lies between the ends of a party's bands, in one type of vehicle."""

    def __init__(self, engine: Engine, vehicle_type: str, party: Party, low: Asked, high: Asked) -> None:
        self._engine, self._type, self._party = engine, vehicle_type, party
        self._low, self._high = low, high
        self._judges: dict[Party, Judge] = {}

    def covers(self, banded: Sequence[int], found: Sequence[Ways]) -> Iterator[Cover]:
        """A pair for each set of pieces that has one, the best first."""
        told: set[tuple[object, ...]] = set()
        for pair in self._pairs(banded, found):
            pieces = tuple((pick.position, pick.restraint) for pick in pair.below)
            if pieces not in told:
                cover = next(self._covering(pair, banded), None)
                if cover is not None:
                    told.add(pieces)
                    yield cover

    def _pairs(self, banded: Sequence[int], found: Sequence[Ways]) -> Iterator[_Pair]:
        """Ways that serve at one end, each with what the same pieces can do at the other one."""
        for end, own, other in ((_LOW, self._low, self._high), (_HIGH, self._high, self._low)):
            for way in [way for way in found[end].ways if serves(way)][:MOST_PAIRED]:
                picks = self._picks(own, way)
                for changed in _other_modes(picks, banded, own):
                    judged = other.solve.judge.best(changed)
                    if judged is not None and answers_for(judged):
                        there = tuple(pick_of(cell.placement) for cell in judged.cells)
                        there = tuple(sorted(there, key=_rider))
                        yield _Pair(picks, there) if end == _LOW else _Pair(there, picks)

    def _picks(self, asked: Asked, way: Way) -> tuple[Pick, ...]:
        """A way as the engine names it: whoever it seats, in the copy that the search goes by."""
        names, first = asked.names, dict[str, str]()
        for restraint, kind in zip(asked.solve.trip.restraints, names, strict=False):
            if kind is not None:
                first.setdefault(kind, restraint.restraint)
        picks = []
        for seat in way.seats:
            used = first[seat.kind] if seat.kind is not None else (
                asked.solve.trip.restraints[seat.own].restraint if seat.own >= 0 else None)
            picks.append(Pick(asked.solve.trip.riders[seat.member].rider, seat.position, used, seat.mode, by=seat.by))
        return tuple(sorted(picks, key=_rider))

    def _covering(self, pair: _Pair, banded: Sequence[int]) -> Iterator[Cover]:
        """The values at which a pair may change over, the highest first, each solved at the ends of both parts."""
        for member in banded:
            for size in _SIZES:
                if getattr(self._party.members[member], size.field) is None:
                    yield from self._by_size(pair, member, size)
            yield from self._by_age(pair, member)

    def _by_size(self, pair: _Pair, member: int, size: _Size) -> Iterator[Cover]:
        ends_of = self._ends(member, size)
        if ends_of is None:
            return
        low, high = ends_of
        for value in sorted(self._limits(pair, member, size.name), reverse=True):
            if not low < value <= high or self._doubted(member, size, value):
                continue
            at = [self._with(member, **{size.field: one}) for one in (
                self._believed(member, size, value, low), value, self._believed(member, size, value, high))]
            if all(self._stands(party, pair.below) for party in at[:2]) and all(
                    self._stands(party, pair.above) for party in at[1:]):
                written = str(Quantity.of_kg(value / 1000).written) if size.name == "mass" else str(value)
                yield self._cover(pair, (size.key, member, written))

    def _by_age(self, pair: _Pair, member: int) -> Iterator[Cover]:
        months = self._party.members[member].months
        assert months is not None
        low, high = months
        limits = self._limits(pair, member, "age")
        for value in sorted({*limits, *(limit + 1 for limit in limits)}, reverse=True):
            if low < value <= high and self._stands(
                    self._with(member, months=(low, value - 1)), pair.below) and self._stands(
                    self._with(member, months=(value, high)), pair.above):
                yield self._cover(pair, ("rider.born", member, f"{value} months"))

    def _cover(self, pair: _Pair, reading: tuple[str, int, str]) -> Cover:
        below = way_judged(self._low.solve, self._low.solve.judge.arrangement(pair.below), self._low.names)
        above = way_judged(self._high.solve, self._high.solve.judge.arrangement(pair.above), self._high.names)
        return Cover(below, above, reading)

    def _with(self, member: int, **told: object) -> Party:
        members = list(self._party.members)
        members[member] = members[member]._replace(**told)  # type: ignore[arg-type]  # fields of a member
        return replace(self._party, members=tuple(members))

    def _judge(self, party: Party) -> Judge:
        judge = self._judges.get(party)
        if judge is None:
            trip, _ = self._engine.trip(self._type, party)
            judge = self._judges[party] = Judge(trip, self._engine.world.profile, self._engine.world.day,
                                                store=self._engine.store)
        return judge

    def _stands(self, party: Party, picks: Sequence[Pick]) -> bool:
        try:
            return answers_for(self._judge(party).arrangement(picks))
        except LookupError:                      # of this child there is no such placement
            return False

    def _doubted(self, member: int, size: _Size, value: int) -> bool:
        """Whether no child of the band is believed to have a size: it is asked again at the door, and never used."""
        trip = self._judge(self._with(member, **{size.field: value})).trip
        return isinstance(trip, Believed) and any(
            (doubt.of, doubt.name) == ("rider", f"r{member}") for doubt in trip.doubted)

    def _believed(self, member: int, size: _Size, value: int, end: int) -> int:
        """The size nearest to an end that is believed, as one in between is."""
        if not self._doubted(member, size, end):
            return end
        good, bad = value, end
        while abs(good - bad) > 1:
            middle = (good + bad) // 2
            good, bad = (good, middle) if self._doubted(member, size, middle) else (middle, bad)
        return good

    def _ends(self, member: int, size: _Size) -> tuple[int, int] | None:
        """The smallest and the largest that a child of the band may be, g or mm, as the engine estimates it."""
        rider = self._judge(self._party).trip.riders[member]
        if not isinstance(rider, EstimatedRider):
            return None
        values = [getattr(corner, size.name) for corner in rider.corners]
        grams = 1000 if size.name == "mass" else 1
        return int(min(values) * grams), int(max(values) * grams)

    def _limits(self, pair: _Pair, member: int, name: str) -> set[int]:
        """Where what a child rides in begins or ends to be for it: g, mm or months."""
        found: set[int] = set()
        for asked, picks in ((self._low, pair.below), (self._high, pair.above)):
            pick = next(pick for pick in picks if pick.rider == f"r{member}")
            if pick.restraint is not None:
                mode = asked.solve.trip.restraint(pick.restraint).mode(pick.mode)
                for limits in (mode.limits, *(way.limits for way in mode.installations)):
                    both = None if limits is None else getattr(limits, name)
                    found |= set() if both is None else {int(one * (1000 if name == "mass" else 1)) for one in both}
        return found


def _rider(pick: Pick) -> str:
    return pick.rider


def _other_modes(picks: Sequence[Pick], banded: Sequence[int], asked: Asked) -> Iterator[tuple[Pick, ...]]:
    """The same seats, restraints and ways of holding, with any modes that face alike for those whose age is a band."""
    names = {f"r{member}" for member in banded}
    ways: list[list[Pick]] = []
    for pick in picks:
        if pick.rider not in names or pick.restraint is None:
            ways.append([pick])
            continue
        restraint: Restraint = asked.solve.trip.restraint(pick.restraint)
        own = restraint.mode(pick.mode)
        ways.append([replace(pick, mode=mode.mode) for mode in restraint.modes if _turns(mode) == _turns(own)])
    yield from product(*ways)


def _turns(mode: Mode) -> bool:
    """Whether a child in this mode looks back, so that a change means installing anew."""
    return mode.mode == "rear-facing-harness"
