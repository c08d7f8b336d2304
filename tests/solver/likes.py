"""Which restraints of a trip are alike, worked out from plain data: what the tests hold the planner's kinds against."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from seatplan.model import Trip


def kinds_of(trip: Trip) -> dict[str, str]:
    """By name of a restraint the name of its kind: the first restraint of the file with the same data but the name.
    One that the trip names somewhere is a kind by itself."""
    told = trip.model_dump(mode="json", include={"wishes", "installed", "under_way", "tried"})
    named = {held for wish in told["wishes"] for held in wish["uses"] or []}
    named |= {here["restraint"] for among in ("installed", "under_way") for here in told[among].values()}
    named |= {tried["restraint"] for tried in told["tried"]}
    doubts: dict[str, list[object]] = {}
    for doubt in getattr(trip, "doubted", ()):
        if doubt.of == "restraint":
            doubts.setdefault(doubt.name, []).append((doubt.path, doubt.written, doubt.low, doubt.high, doubt.gone))
    kinds: dict[str, str] = {}
    seen: list[tuple[object, str]] = []
    for restraint in trip.restraints:
        name = restraint.restraint
        content = ({**restraint.model_dump(mode="json"), "restraint": ""}, doubts.get(name, []))
        kinds[name] = name
        if name not in named:
            kinds[name] = next((first for known, first in seen if known == content), name)
            seen.append((content, kinds[name]))
    return kinds


def copies_of(kinds: Mapping[str, str], name: str) -> int:
    """How many restraints are alike with one."""
    return sum(kind == kinds.get(name) for kind in kinds.values())


def in_order(kinds: Mapping[str, str], held: Sequence[str]) -> bool:
    """Whether the copies of each kind are given out from the first of the file on."""
    given = [[name for name in held if kinds.get(name) == kind] for kind in kinds]
    return all(some == [name for name in kinds if kinds[name] == kind][:len(some)]
               for kind, some in zip(kinds, given, strict=True))


def alike(kinds: Mapping[str, str]) -> list[list[str]]:
    """The names of those that have copies, kind by kind."""
    groups = [[name for name in kinds if kinds[name] == kind] for kind in dict.fromkeys(kinds.values())]
    return [names for names in groups if len(names) > 1]
