"""Shortage: some riders have between them too few positions, restraints, tether anchors or bars: Hall's condition."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence, Set
from typing import Literal

from seatplan.frozen import frozen

from .placements import Assignment, Choices, JudgedPlacement

Thing = Literal["position", "restraint", "tether-anchor", "lower-anchor-bars"]


@frozen
class Shortage:
    """``riders`` need one of ``thing`` each, and share only ``have``: indexes of positions or restraints, or numbers
    of `anchors`. Of bars each needs a pair, and from those that they share fewer pairs than riders can be made."""

    thing: Thing
    riders: tuple[int, ...]
    have: tuple[int, ...]


def plainly_short(of: Choices) -> bool:
    """Whether counting alone shows a shortage: a quick look before any matching."""
    open_choices = [[c for c in choices if c.cells] for choices in of.per_rider]
    if len({c.position for choices in open_choices for c in choices}) < len(open_choices) or not all(open_choices):
        return True
    bound = [choices for choices in open_choices if all(c.restraint is not None for c in choices)]
    return len(_copies(of, (c for choices in bound for c in choices))) < len(bound)


def _copies(of: Choices, choices: Iterable[Assignment]) -> set[int]:
    """Every copy of every kind of restraint that open choices are in."""
    kinds = {c.restraint for c in choices if c.cells and c.restraint is not None}
    return {copy for kind in kinds for copy in of.kinds.copies(kind)}


def find_shortage(of: Choices) -> Shortage | None:
    """A smallest group of riders with too few positions, else restraints, else tether anchors, else bars; None if
    there is none.

    Only choices that nothing blocks count. A rider who may ride with the seat belt needs no restraint; one who may
    ride without a tether, or without lower anchors, needs none of those.
    """
    per_rider = of.per_rider
    positions = [{c.position for c in choices if c.cells} for choices in per_rider]
    short = _too_few(dict(enumerate(positions)))
    if short is not None:
        return Shortage("position", *short)
    restraints = {
        r: _copies(of, choices)
        for r, choices in enumerate(per_rider)
        if not any(c.cells and c.restraint is None for c in choices)
    }
    short = _too_few(restraints)
    if short is not None:
        return Shortage("restraint", *short)
    short = _too_few(_all_on(per_rider, tethers(per_rider), _tether_of))
    if short is not None:
        return Shortage("tether-anchor", *short)
    return _too_few_bars(per_rider)


#: the row and the name of a tether anchor or of a bar
Anchor = tuple[int, str]


def tethers(per_rider: Sequence[Sequence[Assignment]]) -> list[Anchor]:
    """The tether anchors that open placements use, in order; a shortage names them by their index."""
    return sorted({anchor for cell in _open(per_rider) for anchor in _tether_of(cell)})


def bars(per_rider: Sequence[Sequence[Assignment]]) -> list[Anchor]:
    """The lower-anchor bars that open placements use, in order; a shortage names them by their index."""
    return sorted({anchor for cell in _open(per_rider) for anchor in _bars_of(cell)})


def _open(per_rider: Sequence[Sequence[Assignment]]) -> Iterator[JudgedPlacement]:
    return (cell for choices in per_rider for choice in choices for cell in choice.cells)


def _tether_of(cell: JudgedPlacement) -> tuple[Anchor, ...]:
    """The anchor that a tether ends at; one that two straps may use is never short."""
    placement = cell.placement
    if placement.tether is None or any(
            one.shared for one in placement.row.tethers or () if one.tether == placement.tether):
        return ()
    return ((placement.row.row, placement.tether),)


def _bars_of(cell: JudgedPlacement) -> tuple[Anchor, ...]:
    return tuple((cell.placement.row.row, bar) for bar in cell.placement.bars)


def _all_on(per_rider: Sequence[Sequence[Assignment]], anchors: Sequence[Anchor],
            used: Callable[[JudgedPlacement], tuple[Anchor, ...]]) -> dict[int, set[int]]:
    """Riders who cannot ride without one of the anchors, with those that they can reach."""
    found = {}
    for r, choices in enumerate(per_rider):
        cells = [cell for choice in choices for cell in choice.cells]
        if cells and all(used(cell) for cell in cells):
            found[r] = {anchors.index(anchor) for cell in cells for anchor in used(cell)}
    return found


def _too_few_bars(per_rider: Sequence[Sequence[Assignment]]) -> Shortage | None:
    """Riders who all hang on bars, more than pairs of those bars can be made."""
    wants = _all_on(per_rider, bars(per_rider), _bars_of)
    names = bars(per_rider)
    pairs = {r: {tuple(sorted(names.index(bar) for bar in _bars_of(cell)))
                 for choice in per_rider[r] for cell in choice.cells} for r in wants}
    group = sorted(wants)
    if not _short_of_pairs(group, pairs):
        return None
    for r in list(group):
        fewer = [other for other in group if other != r]
        if _short_of_pairs(fewer, pairs):
            group = fewer
    return Shortage("lower-anchor-bars", tuple(group), tuple(sorted(set().union(*(wants[r] for r in group)))))


def _short_of_pairs(group: Sequence[int], pairs: Mapping[int, Set[tuple[int, ...]]]) -> bool:
    """Whether fewer pairs than riders can be had at once: a largest matching, with bars as points."""
    if _plainly_enough([{pair for pair in pairs[r] if len(pair) == 2} for r in group]):
        return False
    import networkx as nx

    graph = nx.Graph()
    graph.add_edges_from(sorted(pair for r in group for pair in pairs[r] if len(pair) == 2))
    return len(nx.max_weight_matching(graph, maxcardinality=True)) < len(group)


def _plainly_enough(wants: Sequence[Set[tuple[int, ...]]]) -> bool:
    """Whether each gets something for itself when those with the least to choose from take the first that is left: then
    there is enough, and no matching has to be looked for."""
    taken: set[int] = set()
    for own in sorted(wants, key=len):
        first = next((parts for parts in sorted(own) if taken.isdisjoint(parts)), None)
        if first is None:
            return False
        taken.update(first)
    return True


def too_few(wants: Mapping[int, Set[int]]) -> bool:
    """Whether some keys share fewer things than they are."""
    # as many things for each as there are keys are always enough, and fewer than keys altogether never are
    return any(len(things) < len(wants) for things in wants.values()) and (
        len(set().union(*wants.values())) < len(wants) or _violator(wants) is not None)


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
    if _plainly_enough([{(t,) for t in things} for things in wants.values()]):
        return None
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
