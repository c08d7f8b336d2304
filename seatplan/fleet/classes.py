"""One class asked of the engine: a party in a type of vehicle, with every kind of restraint to choose from.

A party is canonical: whoever writes its members in another order asks the same question. Its trip has a driver, who
takes the driver's seat and is nobody of the party; ages stand in it as they are known, in months or as a band, and
nothing of who the riders are. Of each kind there are as many copies as children, all of them in order: what a date or a
recall says of a copy is asked when one is handed out, and never kept in a class.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from datetime import date
from functools import cached_property
from itertools import islice
from typing import Any

from seatplan.frozen import frozen
from seatplan.model import Restraint, Tried, Trip, Vehicle
from seatplan.model.restraint import Condition
from seatplan.model.trip import Rider
from seatplan.rules.profile import Profile
from seatplan.solver.assemble import assemble
from seatplan.solver.kinds import Kinds
from seatplan.solver.placements import open_choices
from seatplan.solver.rowplans import LEVELS
from seatplan.solver.settle import Reading, Settling
from seatplan.solver.solve import MOST_RANKED, Ranked, Solve
from seatplan.store import COMMON, Store

from .bands import ends
from .records import ClassAnswer, Member, Party, Verdict, serves
from .refusal import refusal
from .ways import ways_of

#: a copy that may be used, as its condition says it
_WELL = Condition(crash="none", recall="none", labels="readable", history="known")
#: who drives; no size is known of a driver of a fleet unless the fleet says so
DRIVER = "driver"


@frozen
class World:
    """What every class of a fleet is asked in: ``types`` and ``kinds`` by their content's name, the profile with local
    rules, and the driver's seat of each type; ``tried``: by type, what was tried at such a vehicle, a restraint by the
    name of its kind; ``driver``: what is known of whoever drives; ``day``: for what has a day of its own, tries and
    restraints that are built in; ``front``: by type and seat, how far forward whoever sits there can sit, as a trip has
    it."""

    types: Mapping[str, Vehicle]
    kinds: Mapping[str, Restraint]
    drives: Mapping[str, str]
    profile: Profile
    tried: Mapping[str, Sequence[Tried]]
    driver: Mapping[str, Any]
    day: date
    front: Mapping[str, Mapping[str, Any]] = field(default_factory=dict)


def canonical(members: Sequence[Member], brings: Sequence[str] = ()) -> Party:
    """The same party whatever order it is written in: children from the youngest up, then adults."""
    return Party(tuple(sorted(members, key=_order)), tuple(sorted(brings)))


def _order(member: Member) -> tuple[Any, ...]:
    low, high = member.months or (10_000, 10_000)
    upright = member.sits_upright
    return (member.adult, low, high, member.mass_g or -1, member.height_mm or -1, -1 if upright is None else upright)


@dataclass(slots=True)
class Engine:
    """The one-vehicle engine, as a fleet asks it. What has to be made once for all classes is made once."""

    world: World
    store: Store = field(default_factory=lambda: COMMON)
    _copies: dict[tuple[str, str], Restraint] = field(default_factory=dict)

    def answer(self, vehicle_type: str, party: Party) -> ClassAnswer:
        """What there is to say of a class."""
        asked = self.ask(vehicle_type, party)
        found = ways_of(asked.solve, asked.names)
        if any(map(serves, found.ways)):
            return ClassAnswer(asked.verdict, found.ways, complete=found.complete)
        by_end, covers = ends(self, vehicle_type, party)
        if asked.first is None:
            return ClassAnswer("rejected", (), asked.conflict(), by_end=by_end, covers=covers, complete=found.complete)
        readings = asked.readings(asked.first)
        return ClassAnswer(asked.verdict, found.ways, None, readings[0] if len(readings) == 1 else None, by_end, covers,
                           readings, found.complete)

    def verdict(self, vehicle_type: str, party: Party) -> Verdict:
        """The verdict of the best arrangement alone."""
        return self.ask(vehicle_type, party).verdict

    def ask(self, vehicle_type: str, party: Party) -> Asked:
        """A class solved; its best arrangement is looked for when somebody asks for it."""
        trip, names = self.trip(vehicle_type, party)
        solve = Solve(trip, self.world.profile, self.world.day, counted=False, store=self.store,
                      choices_of=lambda trip, runner, _: open_choices(trip, runner, _kinds(trip, names, party)))
        return Asked(solve, names, party)

    def trip(self, vehicle_type: str, party: Party) -> tuple[Trip, list[str | None]]:
        """The trip of a class, and for each of its restraints the kind that it is a copy of; those that are brought
        along come first and have None."""
        riders = [rider_of(f"r{n}", member) for n, member in enumerate(party.members)]
        riders.append(Rider.model_validate({"rider": DRIVER, "adult": True, "drives": True, **self.world.driver}))
        children = sum(not member.adult for member in party.members)
        restraints = [self._copy(kind, f"own {n}") for n, kind in enumerate(party.brings)]
        names: list[str | None] = [None] * len(restraints)
        for kind in sorted(self.world.kinds):
            restraints += [self._copy(kind, f"{kind} {n}") for n in range(children)]
            names += [kind] * children
        of = [*party.brings, *names[len(party.brings):]]
        tried = [one.model_copy(update={"restraint": restraint.restraint}) for one in self.world.tried.get(
            vehicle_type, ()) for restraint, kind in zip(restraints, of, strict=True) if kind == one.restraint]
        trip = Trip.model_validate({
            "trip": "class", "vehicle": self.world.types[vehicle_type], "on": self.world.day,
            "drives": self.world.drives[vehicle_type], "riders": riders, "rules": self.world.profile.name,
            "front": self.world.front.get(vehicle_type, {})})
        # a store has more pieces than any family: the file's limit of 40 is no limit here
        return trip.model_copy(update={"restraints": restraints, "tried": tried}), names

    def _copy(self, kind: str, name: str) -> Restraint:
        """A kind as if a copy in order stood for it."""
        kept = self._copies.get((kind, name))
        if kept is None:
            kept = self._copies[kind, name] = self.world.kinds[kind].model_copy(update={
                "restraint": name, "in_order": True, "made": None, "expires": None, "condition": _WELL})
        return kept


@dataclass(frozen=True)
class Asked:
    """A class solved: its ``names`` as in ``Engine.trip``."""

    solve: Solve
    names: list[str | None]
    party: Party

    @cached_property
    def first(self) -> Ranked | None:
        """The best arrangement, None where there is none: to know that takes a look at every seating."""
        return next(islice(self.solve.ranked(MOST_RANKED), 1), None)

    @property
    def verdict(self) -> Verdict:
        if self.first is None:
            return "rejected"
        found: Verdict = LEVELS[self.first.level]  # type: ignore[assignment]  # those that stand are verdicts
        return found

    def readings(self, first: Ranked) -> tuple[tuple[str, int, str], ...]:
        """What would settle the best arrangement: what it asks for, or else what is estimated in it."""
        settled = Settling(self.solve).settle(assemble(self.solve, 1, first, None), False)
        return tuple(self._reading(one) for one in settled.readings or settled.estimates)

    def _reading(self, reading: Reading) -> tuple[str, int, str]:
        match reading.asked.path:
            case ("riders", int(n), *_) if n < len(self.party.members):
                member = n
            case _:
                member = -1
        value = reading.would_do
        return reading.asked.key, member, "" if value is None else str(value)

    def conflict(self) -> tuple[tuple[int, ...], tuple[str, ...]] | None:
        """The smallest group that cannot ride together, by members of the party, and the fewest rules against it; no
        rules, or None, where the search for them, or for the group, came to its limit."""
        found = refusal(self.solve)
        if found is None:
            return None
        return tuple(one for one in found.group if one < len(self.party.members)), found.rules


def answered(world: World, vehicle_type: str, party: Party, store: Store = COMMON) -> ClassAnswer:
    """What the engine says of one class."""
    return Engine(world, store).answer(vehicle_type, party)


def _kinds(trip: Trip, names: Sequence[str | None], party: Party) -> Kinds:
    """Copies of a kind are alike, whatever was tried with them; what is brought along is apart from the store's."""
    seen: dict[tuple[bool, str], int] = {}
    first = []
    for n in range(len(trip.restraints)):
        kind = (None, "") if n >= len(names) else (True, party.brings[n]) if n < len(party.brings) else (
            False, names[n] or "")
        first.append(n if kind[0] is None else seen.setdefault((kind[0], kind[1]), n))
    return Kinds(tuple(trip.restraints), tuple(first))


def rider_of(name: str, member: Member) -> Rider:
    """A member as a rider of a trip."""
    told: dict[str, Any] = {"rider": name}
    if member.adult:
        told["adult"] = True
    elif member.months is not None:
        low, high = member.months
        told["age"] = f"{low} months" if low == high else [f"{low} months", f"{high} months"]
    if member.mass_g is not None:
        told["mass"] = f"{member.mass_g / 1000:g} kg"
    if member.height_mm is not None:
        told["height"] = member.height_mm
    if member.sits_upright is not None:
        told["sits_upright"] = member.sits_upright
    return Rider.model_validate(told)
