"""Conflicts and corrections against OR-Tools CP-SAT, and shortages against scipy's assignment.

The model has a bool per placement and per occasion: whoever takes a placement that a finding speaks against must give
that occasion up. Occasions are cut by the parts that each rule declares, rows are too narrow by the checker's own
inequalities. With assumptions on all occasions CP-SAT says whether nothing is left; the fewest that suffice come from
a hitting set over what it gives up, found by CP-SAT too.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from itertools import combinations, product
from random import Random

import numpy as np
import pytest
from judged import ENFORCED_BY_SEARCH, Judged
from lengthwise_slow import SHORT
from ortools.sat.python import cp_model
from refused import refused_trip
from solved import DAY, best

from seatplan.model import Trip
from seatplan.rules.finding import Finding
from seatplan.rules.load import load_profile
from seatplan.rules.registry import rule_by_id
from seatplan.rules.subjects import Placement
from seatplan.solver.conflict import Group, smallest_conflict, smallest_groups
from seatplan.solver.minimal import bits
from seatplan.solver.occasions import Occasion
from seatplan.solver.seater import RelaxedSearch, solve_seater
from seatplan.solver.shortage import find_shortage
from seatplan.solver.solve import Solve

#: rule, and of riders, positions, restraints and modes those that tell its occasions apart; row; unmeasured
Key = tuple[object, ...]
_BATCHES = [range(start, start + 10) for start in range(0, 40, 10)]


def _key(finding: Finding, placements: Sequence[Placement]) -> Key:
    fact = rule_by_id(finding.rule).fact
    return (
        finding.rule,
        tuple(p.rider.rider for p in placements) if "rider" in fact else (),
        tuple(p.position.position for p in placements) if "position" in fact else (),
        tuple(p.restraint.restraint if p.restraint else "" for p in placements) if "restraint" in fact else (),
        tuple(p.mode_name for p in placements) if "mode" in fact else (),
        None, finding.outcome == "unmeasured")


def key_of(occasion: Occasion) -> Key:
    return (occasion.rule, occasion.riders, occasion.positions, occasion.restraints, occasion.modes, occasion.row,
            occasion.unmeasured)


class Model:
    """Some riders of a trip by themselves. ``obeyed(keys)`` says whether they can travel under those occasions."""

    def __init__(self, judged: Judged, riders: Sequence[str]) -> None:
        self.judged, self.model = judged, cp_model.CpModel()
        self.obey: dict[Key, cp_model.IntVar] = {}
        self.taken = [(p, self.model.new_bool_var("")) for rider in riders for p in judged.ways[rider]]
        for rider in riders:
            self.model.add_exactly_one(way for p, way in self.taken if p.rider.rider == rider)
        for things in ("position", "restraint"):
            users: dict[int, list[cp_model.IntVar]] = {}
            for p, way in self.taken:
                thing = getattr(p, things)
                if thing is not None:
                    users.setdefault(id(thing), []).append(way)
            for ways in users.values():
                self.model.add_at_most_one(ways)
        self._findings()
        self._rooms(riders)

    def occasion(self, key: Key) -> cp_model.IntVar:
        if key not in self.obey:
            self.obey[key] = self.model.new_bool_var(str(key))
        return self.obey[key]

    def _findings(self) -> None:
        for p, way in self.taken:
            for finding, placements in self.judged.alone(p):
                self.model.add_bool_or(~way, ~self.occasion(_key(finding, placements)))
        for (p, one), (q, other) in combinations(self.taken, 2):
            if p.rider is q.rider or p.position is q.position or p.row.row != q.row.row:
                continue
            for finding, placements in self.judged.pair(p, q):
                self.model.add_bool_or(~one, ~other, ~self.occasion(_key(finding, placements)))

    def _rooms(self, riders: Sequence[str]) -> None:
        """Each smallest set of one row that is too narrow for it, and each whole seating that is too long or that a
        rule of the whole trip turns down."""
        for row in self.judged.trip.vehicle.rows:
            here = [(p, way) for p, way in self.taken if p.row.row == row.row]
            short: list[frozenset[int]] = []
            for n in range(1, len(row.positions) + 1):
                for some in combinations(range(len(here)), n):
                    placements = [here[i][0] for i in some]
                    if not _apart(placements) or any(less <= set(some) for less in short):
                        continue
                    if self.judged.row_level(row, placements) == SHORT:
                        short.append(frozenset(some))
                        bit = self.occasion(("row-too-narrow", (), (), (), (), row.row, False))
                        self.model.add_bool_or(~bit, *(~here[i][1] for i in some))
        if not (any(p.position.ahead for p, _ in self.taken) or self.judged.trip.wishes):
            return
        by_rider = [[(p, way) for p, way in self.taken if p.rider.rider == rider] for rider in riders]
        for seating in product(*by_rider):
            everyone = [p for p, _ in seating]
            if not _apart(everyone):
                continue
            if self.judged.short(everyone):
                bit = self.occasion(("no-room-ahead", (), (), (), (), None, False))
                self.model.add_bool_or(~bit, *(~way for _, way in seating))
            for finding, placements in self.judged.whole(everyone):
                assert finding.rule not in ENFORCED_BY_SEARCH
                self.model.add_bool_or(~self.occasion(_key(finding, placements)), *(~way for _, way in seating))

    def given_up(self, keys: Iterable[Key]) -> set[Key] | None:
        """Occasions outside ``keys`` that some seating under them breaks, as few as there can be; None: there is no
        such seating, as CP-SAT says under assumptions."""
        wanted = set(keys)
        assert wanted <= set(self.obey)
        self.model.clear_assumptions()
        self.model.add_assumptions([self.obey[key] for key in wanted])
        self.model.clear_objective()
        search = cp_model.CpSolver()
        search.parameters.num_workers = 1
        if search.solve(self.model) == cp_model.INFEASIBLE:
            proof = {self.model.proto.variables[i].name for i in search.sufficient_assumptions_for_infeasibility()}
            assert proof <= {str(key) for key in wanted}
            return None
        # with an objective CP-SAT takes no assumptions: the same once more as plain clauses
        again = self.model.clone()
        again.clear_assumptions()
        for key in wanted:
            again.add_bool_or(again.get_bool_var_from_proto_index(self.obey[key].index))
        others = [key for key in self.obey if key not in wanted]
        found = [again.get_bool_var_from_proto_index(self.obey[key].index) for key in others]
        again.maximize(sum(found))
        assert search.solve(again) == cp_model.OPTIMAL
        return {key for key, obeyed in zip(others, found, strict=True) if not search.boolean_value(obeyed)}

    def fewest(self) -> int:
        """How many occasions the smallest conflict has: smallest hitting sets of all corrections met so far."""
        corrections: list[set[Key]] = []
        for _ in range(400):
            chosen = _hitting(corrections)
            broken = self.given_up(chosen)
            if broken is None:
                return len(chosen)
            assert broken
            corrections.append(broken)
        raise AssertionError("no end")


def _apart(placements: Sequence[Placement]) -> bool:
    """Nobody twice, no seat twice, no restraint twice."""
    held = [id(p.restraint) for p in placements if p.restraint]
    return all(len(things) == len(set(things)) for things in (
        [p.rider.rider for p in placements], [p.position.position for p in placements], held))


def _hitting(families: Sequence[set[Key]]) -> set[Key]:
    model = cp_model.CpModel()
    chosen = {key: model.new_bool_var("") for key in sorted(set().union(*families), key=str)}
    for family in families:
        model.add_bool_or(chosen[key] for key in sorted(family, key=str))
    model.minimize(sum(chosen.values()))
    search = cp_model.CpSolver()
    search.parameters.num_workers = 1
    assert search.solve(model) == cp_model.OPTIMAL
    return {key for key, taken in chosen.items() if search.boolean_value(taken)}


def _refused(seed: int) -> tuple[Trip, Solve, bool] | None:
    trip, strict = refused_trip(Random(7000 + seed), 40), seed % 5 == 0
    solve = Solve(trip, load_profile(trip.rules), DAY, strict=strict)
    return None if best(solve) is not None else (trip, solve, strict)


@pytest.mark.parametrize("seeds", _BATCHES, ids=lambda seeds: f"{seeds[0]}-{seeds[-1]}")
def test_conflicts(seeds: range) -> None:
    seen = 0
    for seed in seeds:
        refused = _refused(seed)
        if refused is None:
            continue
        trip, solve, strict = refused
        seater = solve_seater(solve)
        names = [rider.rider for rider in trip.riders]
        judged = Judged(trip, load_profile(trip.rules), strict)
        for members in smallest_groups(seater)[:2]:
            group = [names[r] for r in members]
            model = Model(judged, group)
            assert model.given_up(model.obey) is None, seed
            conflict = smallest_conflict(seater, members)
            reasons = [key_of(reason.occasion) for reason in conflict.reasons]
            assert model.given_up(reasons) is None, seed
            for reason in reasons:
                assert model.given_up(other for other in reasons if other != reason) is not None, seed
            assert conflict.fewest
            assert model.fewest() == len(reasons), seed
            for less in range(len(members)):
                others = [name for i, name in enumerate(group) if i != less]
                if others:
                    smaller = Model(judged, others)
                    assert smaller.given_up(smaller.obey) is not None, seed
            seen += 1
    assert seen


def test_corrections_and_conflicts() -> None:
    """Each correction opens the group by itself and no part of it does; each conflict closes it, and no part does."""
    seen = 0
    for seed in range(16):
        refused = _refused(seed)
        if refused is None or len(refused[0].riders) > 2:
            continue
        trip, solve, strict = refused
        seater = solve_seater(solve)
        names = [rider.rider for rider in trip.riders]
        members = smallest_groups(seater)[0]
        group = Group(seater, members)
        corrections, conflicts = group.corrections(), group.conflicts()
        if len(corrections) > 30 or len(conflicts) > 30:
            continue
        model = Model(Judged(trip, load_profile(trip.rules), strict), [names[r] for r in members])

        def keys(mask: int, seater: RelaxedSearch = seater) -> set[Key]:
            return {key_of(seater.occasions.of_bit[bit]) for bit in bits(mask)}

        for mask in corrections:
            rest = set(model.obey) - keys(mask)
            assert model.given_up(rest) is not None, seed
            for key in keys(mask):
                assert model.given_up(rest | {key}) is None, seed
        for mask in conflicts:
            assert model.given_up(keys(mask)) is None, seed
            for key in keys(mask):
                assert model.given_up(keys(mask) - {key}) is not None, seed
        assert min(mask.bit_count() for mask in conflicts) == group.smallest_conflict()[0].bit_count()
        seen += 1
    assert seen >= 3


# ---- shortages

def _most_served(wants: Sequence[set[str]]) -> int:
    """To how many of some riders a thing of their own can be given: scipy's assignment."""
    from scipy.optimize import linear_sum_assignment

    things = sorted(set().union(*wants))
    if not things:
        return 0
    cost = np.array([[0 if thing in own else 1 for thing in things] for own in wants])
    rows, columns = linear_sum_assignment(cost)
    return int(sum(cost[r, c] == 0 for r, c in zip(rows, columns, strict=True)))


def _pairs_at_once(pairs: Sequence[frozenset[str]]) -> int:
    """The most of some pairs of bars that share no bar, by trying every choice."""
    for n in range(len(pairs), 0, -1):
        if any(len(frozenset().union(*some)) == 2 * n for some in combinations(pairs, n)):
            return n
    return 0


@pytest.mark.parametrize("seeds", [range(start, start + 50) for start in range(0, 100, 50)],
                         ids=lambda seeds: f"{seeds[0]}-{seeds[-1]}")
def test_shortages(seeds: range) -> None:
    """There is a shortage of a thing just where those who cannot do without it cannot all be served; whoever is
    named is one too many, and without any one of them there are enough."""
    for seed in seeds:
        trip = refused_trip(Random(9000 + seed), 200)
        judged = Judged(trip, load_profile(trip.rules), seed % 5 == 0)
        solve = Solve(trip, load_profile(trip.rules), DAY, strict=seed % 5 == 0)
        short = find_shortage(solve.choices)
        served = {}
        wants: dict[str, dict[int, set[str]]] = {}
        pairs: dict[int, set[frozenset[str]]] = {}
        ways = [[p for p in judged.ways[rider.rider] if not judged.alone(p)] for rider in trip.riders]
        for thing in ("position", "restraint", "tether-anchor"):
            wants[thing] = {r: set().union(*used) if used else set() for r, own in enumerate(ways)
                            if all(used := [_used(p, thing) for p in own]) or not own}
            wants[thing] = {r: things for r, things in wants[thing].items() if things or thing == "position"}
            served[thing] = _most_served(list(wants[thing].values()))
        for r, own in enumerate(ways):
            if own and all(p.bars for p in own):
                pairs[r] = {frozenset(f"{p.row.row}{bar}" for bar in p.bars) for p in own}
        lacking = [thing for thing in ("position", "restraint", "tether-anchor") if served[thing] < len(wants[thing])]
        every = sorted({pair for own in pairs.values() for pair in own}, key=sorted)
        if not lacking and _pairs_at_once(every) < len(pairs):
            lacking = ["lower-anchor-bars"]
        assert (short.thing if short else None) == (lacking[0] if lacking else None), seed
        if short is None:
            continue
        named = list(short.riders)
        if short.thing == "lower-anchor-bars":
            assert _pairs_at_once(sorted({p for r in named for p in pairs[r]}, key=sorted)) < len(named), seed
            continue
        assert _most_served([wants[short.thing][r] for r in named]) == len(named) - 1, seed
        for one in named:
            rest = [wants[short.thing][r] for r in named if r != one]
            assert not rest or _most_served(rest) == len(rest), seed


def _used(placement: Placement, thing: str) -> set[str]:
    if thing == "position":
        return {placement.position.position}
    if thing == "restraint":
        return {placement.restraint.restraint} if placement.restraint else set()
    return {f"{placement.row.row}{placement.tether}"} if placement.tether else set()
