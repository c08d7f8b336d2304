"""Shortage: some riders have, between them, too few positions or restraints (Hall's condition)."""

from __future__ import annotations

from collections.abc import Mapping, Sequence, Set
from dataclasses import dataclass
from typing import Literal

from .placements import Choice


@dataclass(frozen=True, slots=True)
class Shortage:
    """``riders`` need as many of ``thing`` as they are, and share only ``have``."""

    thing: Literal["position", "restraint"]
    riders: tuple[int, ...]
    have: tuple[int, ...]


def plainly_short(per_rider: Sequence[Sequence[Choice]]) -> bool:
    """Whether counting alone shows a shortage: a quick look before any matching."""
    open_choices = [[c for c in choices if c.cells] for choices in per_rider]
    if len({c.position for choices in open_choices for c in choices}) < len(per_rider) or not all(open_choices):
        return True
    bound = [choices for choices in open_choices if all(c.restraint is not None for c in choices)]
    return len({c.restraint for choices in bound for c in choices}) < len(bound)


def find_shortage(per_rider: Sequence[Sequence[Choice]]) -> Shortage | None:
    """A smallest group of riders with too few positions, else with too few restraints; None if there is none.

    Only choices that nothing blocks count. A rider who may ride with the adult belt needs no restraint.
    """
    positions = [{c.position for c in choices if c.cells} for choices in per_rider]
    short = _too_few(dict(enumerate(positions)))
    if short is not None:
        return Shortage("position", *short)
    restraints = {
        r: {c.restraint for c in choices if c.cells and c.restraint is not None}
        for r, choices in enumerate(per_rider)
        if not any(c.cells and c.restraint is None for c in choices)
    }
    short = _too_few(restraints)
    return None if short is None else Shortage("restraint", *short)


def _too_few(wants: Mapping[int, Set[int]]) -> tuple[tuple[int, ...], tuple[int, ...]] | None:
    """A set of keys that share fewer things than they are, and the things."""
    group = _violator(wants)
    if group is None:
        return None
    shared = set().union(*(wants[k] for k in group))
    return tuple(sorted(group)), tuple(sorted(shared))


def _violator(wants: Mapping[int, Set[int]]) -> set[int] | None:
    """Keys reachable from an unmatched one by alternating paths of a largest matching; None if all are matched.

    No smaller group of them is short: the path to any one of them, the other way round, matches all but that one.
    """
    import networkx as nx

    # plain whole numbers as nodes: riders from 0 up, things from -1 down, so that the answer is always the same
    graph = nx.Graph()
    graph.add_nodes_from(wants)
    graph.add_edges_from((k, -1 - t) for k, things in wants.items() for t in sorted(things))
    match = nx.bipartite.hopcroft_karp_matching(graph, top_nodes=list(wants))
    start = next((k for k in wants if k not in match), None)
    if start is None:
        return None
    group, queue = {start}, [start]
    while queue:
        for thing in graph[queue.pop()]:
            holder = match[thing]
            if holder not in group:
                group.add(holder)
                queue.append(holder)
    return group
