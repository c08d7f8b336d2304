"""Checks what a refused trip is told: who cannot travel together, the reasons, and what would change it.

Placements, rules and rooms are asked as the slow solver asks them, one seating at a time; of the search behind the
explanation nothing is used, only its JSON. ``problems`` returns sentences; none means all is well. What is checked:

- every group listed has no seating by itself, each of its smaller parts has one, and no such group is missing;
- with all reasons of the conflict obeyed there is no seating of the group, by trying every one;
- ``without_it`` is a seating of the group that breaks the reason and none of the others. It may break rules that
  are no part of the conflict: they were not needed to rule the group out;
- the finding of a reason is one of that seating, and where the records alone can say it, the numbers hold;
- the nearest miss fails for the row it names, by the sum that it shows, and breaks no other reason;
- with the changes of a repair made to the plain data, the arrangement shown is right by the checker, nothing in it is
  blocked by any rule, the verdict is the slow solver's, and no change can be left out; a seat that comes
  forward by one mm less, or a restraint wider by one mm, does not do as well.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Mapping, Sequence
from fractions import Fraction
from itertools import combinations, product
from typing import Any

from changes import changed
from checker import Checker, Json
from judged import ALONG, ORDER, ROW, VERDICTS, Against, Judged
from known import person_of, play_of
from lengthwise_slow import need_of
from rechecked import RECHECKED
from solved import best

from seatplan.model import Restraint, Trip
from seatplan.rules.finding import Finding
from seatplan.rules.profile import Profile
from seatplan.rules.subjects import Placement
from seatplan.solver.solve import Solve


def told_as(placement: Placement) -> tuple[object, ...]:
    """A placement as the JSON tells it apart."""
    by, installation = placement.by, placement.installation
    return (placement.rider.rider, placement.position.position,
            placement.restraint.restraint if placement.restraint else None, placement.mode_name, by,
            installation.base if installation else None, bool(installation and installation.support_leg),
            installation.connectors if installation else None, placement.bars, placement.borrowed, placement.tether)


def _key(told: Json) -> tuple[object, ...]:
    return (told["rider"], told["position"], told["restraint"], told["mode"], told["by"], told["base"],
            told["support_leg"], told["connectors"], tuple(told["lower_anchors"]), told["borrowed"], told["tether"])


def is_of(reason: Json, finding: Finding, placements: Sequence[Placement], kinds: Mapping[str, str]) -> bool:
    """Whether a finding is the occasion that a reason names, a restraint by its kind."""
    held = {
        "riders": [p.rider.rider for p in placements],
        "positions": [p.position.position for p in placements],
        "restraints": [kinds[p.restraint.restraint] if p.restraint else "" for p in placements],
        "modes": [p.mode_name for p in placements],
    }
    return (finding.rule == reason["rule"] and reason["unmeasured"] == (finding.outcome == "unmeasured")
            and all(not reason[field] or reason[field] == values for field, values in held.items()))


def _decimal(value: Any) -> Any:
    """An exact mass as the decimal that JSON has."""
    return round(float(value), 6) if isinstance(value, Fraction) else value


class Explained:
    """Checks one explanation. ``counts`` collects what was seen, over many trips where the caller wants that."""

    def __init__(self, trip: Trip, profile: Profile, told: Json, shelf: Mapping[str, Restraint],
                 counts: Counter[str] | None = None) -> None:
        self.trip, self.profile, self.told, self.shelf = trip, profile, told, shelf
        self.why: Json = told["explanation"]
        self.judged = Judged(trip, profile, told["strict"])
        self.counts = Counter[str]() if counts is None else counts
        self.found: list[str] = []

    def _say(self, condition: bool, text: str) -> None:
        if not condition:
            self.found.append(text)

    def problems(self) -> list[str]:
        self._groups()
        self._conflict()
        self._nearest()
        for repair in self.why["repairs"]:
            self._repair(repair)
        self._say(sum(one["sets"] for one in self.why["sets"]) >= len(self.why["repairs"]), "more repairs than sets")
        return self.found

    # ---- who

    def _groups(self) -> None:
        names = [rider.rider for rider in self.trip.riders]
        groups = [frozenset(group) for group in self.why["groups"]]
        self._say(bool(groups) and len(groups) == len(set(groups)), "no group, or one twice")
        self._say(self.why["groups"][0] == self.why["conflict"]["riders"], "the reasons are not of the first group")
        self._say(self.why["all_groups"] == (len(names) <= 9), "all groups told wrongly")
        if not self.why["all_groups"]:
            self._say(not self.judged.possible(self.why["groups"][0]), "a group of many can travel")
            return
        impossible: set[frozenset[str]] = set()
        for size in range(1, len(names) + 1):
            for some in combinations(names, size):
                if not any(small <= set(some) for small in impossible) and not self.judged.possible(some):
                    impossible.add(frozenset(some))
        self._say(impossible == set(groups), f"smallest groups are {impossible}, told {groups}")
        self.counts["groups"] += len(groups)

    # ---- why

    def _conflict(self) -> None:
        conflict = self.why["conflict"]
        reasons, riders = conflict["reasons"], conflict["riders"]
        self.counts[f"conflict of {len(reasons)}"] += 1
        self._say(self._seating(reasons, riders) is None, "with all reasons obeyed there is a seating")
        for reason in reasons:
            self.counts["reason: wish" if reason["wish"] else f"reason: {reason['rule']}"] += 1
            ways = list(product(*(self._found(told) for told in reason["without_it"])))
            if not ways:
                self._say(False, f"{reason['rule']}: a placement that is not there")
                continue
            # the JSON does not tell every installation apart: one of those that read alike is meant
            seating = next((way for way in ways if self._broken(way, reasons) == [reason]), ways[0])
            self._say(sorted(p.rider.rider for p in seating) == sorted(riders), f"{reason['rule']}: not the group")
            self._say(len({p.position.position for p in seating}) == len(seating), "a position twice")
            used = [p.restraint.restraint for p in seating if p.restraint]
            self._say(len(set(used)) == len(used), "a restraint twice")
            broken = self._broken(seating, reasons)
            self._say(broken == [reason], f"{reason['rule']}: without it {[b['rule'] for b in broken]} are broken")
            self._finding(reason, seating)

    def _seating(self, reasons: Sequence[Json], riders: Sequence[str]) -> list[Placement] | None:
        rows = {reason["row"] for reason in reasons if reason["rule"] == ROW}
        along = any(reason["rule"] == ALONG and not reason["positions"] for reason in reasons)
        kinds = self.judged.slow.kinds
        return self.judged.seating(
            riders, lambda finding, placements: any(is_of(r, finding, placements, kinds) for r in reasons), rows, along)

    def _found(self, told: Json) -> list[Placement]:
        return [p for p in self.judged.ways.get(told["rider"], ()) if told_as(p) == _key(told)]

    def _broken(self, everyone: Sequence[Placement], reasons: Sequence[Json]) -> list[Json]:
        return [reason for reason in reasons if self._breaks(everyone, reason)]

    def against(self, everyone: Sequence[Placement]) -> list[Against]:
        """Every finding against a seating, by placement, pair and as a whole."""
        found = [no for p in everyone for no in self.judged.alone(p)]
        found += [no for a, b in combinations(everyone, 2) for no in self.judged.pair(a, b)]
        return found + self.judged.whole(everyone)

    def _breaks(self, everyone: Sequence[Placement], reason: Json) -> bool:
        if reason["rule"] == ROW:
            return reason["row"] in self.judged.tight_rows(everyone)
        if reason["rule"] == ALONG and not reason["positions"]:
            return self.judged.short(everyone)
        return any(is_of(reason, *no, self.judged.slow.kinds) for no in self.against(everyone))

    def _finding(self, reason: Json, everyone: Sequence[Placement]) -> None:
        """The finding is one of the seating, in its numbers; rows and room along the car have none of their own."""
        told = reason["finding"]
        if told is None:
            self._say(reason["rule"] in (ROW, ALONG), f"{reason['rule']}: no finding")
            return
        alike = [(finding, placements) for finding, placements in self.against(everyone)
                 if is_of(reason, finding, placements, self.judged.slow.kinds)]
        self._say(any((_decimal(f.result.measured), _decimal(f.result.limit), f.result.shortfall, list(f.riders),
                       list(f.positions)) == (
            told["measured"], told["limit"], told["shortfall"], told["riders"], told["positions"])
            for f, _ in alike), f"{reason['rule']}: the finding is not of the seating that it stands in the way of")
        check = RECHECKED.get(reason["rule"])
        if check is not None and alike and not reason["unmeasured"]:
            self.counts["reason rechecked from the records"] += 1
            self._say(check(self.trip, alike[0][1]), f"{reason['rule']} does not hold in the records")

    def _nearest(self) -> None:
        conflict = self.why["conflict"]
        nearest = conflict["nearest"]
        if nearest is None:
            return
        self.counts["nearest miss"] += 1
        everyone = [min(ways, key=lambda p: len(self.judged.alone(p)))
                    for told in nearest["everyone"] if (ways := self._found(told))]
        self._say(sorted(p.rider.rider for p in everyone) == sorted(conflict["riders"]), "nearest miss of others")
        rows = [reason["row"] for reason in conflict["reasons"] if reason["rule"] == ROW]
        self._say(set(self.judged.tight_rows(everyone)) <= set(rows), "the nearest miss fails in another row")
        self._say(nearest["row"] in self.judged.tight_rows(everyone), "the nearest miss fits")
        self._say(not any(is_of(r, *no, self.judged.slow.kinds)
                          for no in self.against(everyone) for r in conflict["reasons"]),
                  "the nearest miss breaks another reason")
        self.found += _group_squeeze(self.trip, self.profile, nearest)

    # ---- what would change it

    def _repair(self, repair: Json) -> None:
        changes = repair["changes"]
        kinds = "+".join(sorted(change["kind"] for change in changes))
        self.counts[f"repair of {len(changes)}"] += 1
        for change in changes:
            self.counts[f"change: {change['kind']}"] += 1
        trip = changed(self.trip, changes, self.shelf)
        judged = Judged(trip, self.profile, self.told["strict"])
        arrangement = repair["arrangement"]
        shown = arrangement["seats"]
        if not ({told["rider"] for told in shown} <= set(judged.ways) and {told["restraint"] for told in shown} <= {
                None, *(restraint.restraint for restraint in judged.slow.trip.restraints)}):
            self._say(False, f"{kinds}: somebody or something that the changed trip lacks")
            return
        self.found += [f"{kinds}: {text}" for text in _shown_problems(trip, self.profile, judged, arrangement)]
        everyone = [min(ways, key=lambda p: len(judged.alone(p))) for told in shown
                    if (ways := [p for p in judged.ways[told["rider"]] if told_as(p) == _key(told)])]
        self._say(len(everyone) == len(trip.riders), f"{kinds}: a placement that is not there")
        self._say(all(not judged.alone(p) for p in everyone), f"{kinds}: a blocked placement")
        self._say(not any(judged.pair(a, b) for a, b in combinations(everyone, 2)), f"{kinds}: a blocked pair")
        self._say(not judged.whole(everyone), f"{kinds}: a rule of the trip is broken")
        level = judged.level(everyone)
        self._say(VERDICTS.get(level) == arrangement["verdict"],
                  f"{kinds}: {arrangement['verdict']}, found {VERDICTS.get(level, 'rejected')}")
        for i in range(len(changes)):
            fewer = [*changes[:i], *changes[i + 1:]]
            self._say(self.verdict(fewer) == "rejected", f"{kinds}: {changes[i]['kind']} can be spared")
            if changes[i]["kind"] == "get-narrower":
                wider = [*changes[:i], {**changes[i], "to_mm": changes[i]["to_mm"] + 1}, *changes[i + 1:]]
                self._say(self.verdict(wider) == "rejected", f"{kinds}: {changes[i]['to_mm'] + 1} mm would do")
            if changes[i]["kind"] == "sit-further-forward":
                less = [*changes[:i], {**changes[i], "to_mm": changes[i]["to_mm"] - 1}, *changes[i + 1:]]
                self._say(ORDER.index(self.verdict(less)) > ORDER.index(arrangement["verdict"]),
                          f"{kinds}: {changes[i]['to_mm'] - 1} mm forward would do as well")

    def verdict(self, changes: list[Json]) -> str:
        """The verdict of the trip with some changes, solved in full."""
        trip = changed(self.trip, changes, self.shelf)
        assert trip.on is not None
        if not trip.riders:
            return "rejected"
        found = best(Solve(trip, self.profile, trip.on, strict=self.told["strict"],
                           worst_case=self.told["worst_case"]))
        return "rejected" if found is None else found.verdict


def _shown_problems(trip: Trip, profile: Profile, judged: Judged, arrangement: Json) -> list[str]:
    """What the checker of plans finds wrong with an arrangement shown."""
    shown = {_key(told): next((p for p in judged.ways[told["rider"]] if told_as(p) == _key(told)), None)
             for told in arrangement["seats"]}

    def room_ahead(told: Json) -> int | None:
        placement = shown[_key(told)]
        known = None if placement is None else need_of(placement, judged.slow.world)
        need = None if known is None else known[0]
        braced = placement is not None and placement.mode is not None and placement.mode.touch_ahead == "must"
        return need if need is not None and (need > 0 or braced) else None

    only: Json = {"arrangements": [arrangement], "certificates": []}
    return OneArrangement(trip, only, person_of, play_of(profile), profile.limit("belts_overlap"),
                          room_ahead).problems()


class OneArrangement(Checker):
    """The checker without a tally to add up."""

    def _tally(self) -> None:
        return


def _group_squeeze(trip: Trip, profile: Profile, shown: Json) -> list[str]:
    """The sum of a squeeze whose seating leaves riders at home."""
    names = {told["rider"] for told in shown["everyone"]}
    # a driver who is listed and left out has no body in the row, as in the search: only the names are asked here
    only: Json = {"arrangements": [], "certificates": [shown]}
    checker = OneArrangement(trip, only, person_of, play_of(profile), profile.limit("belts_overlap"))
    checker.riders = {name: rider for name, rider in checker.riders.items() if name in names}
    return checker.problems()
