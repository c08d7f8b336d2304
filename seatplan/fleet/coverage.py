"""Which parties each type of vehicle carries, as a grid: how many children of each age group.

A cell is one class. Larger parties are asked after smaller ones: whoever cannot ride together cannot do so with others
beside them either, so a party that holds a group which was turned down is not asked at all.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Iterable, Iterator, Sequence
from itertools import combinations_with_replacement
from statistics import mean
from typing import Literal, NamedTuple

from seatplan.frozen import frozen
from seatplan.geometry.growth_tables import SEXES, Measure, charts, lms_at, value_at

from .classes import canonical
from .matching import Failed
from .records import Class, ClassAnswer, Member, Party, Way, serves

#: from here on children of the grid are taken to sit upright for a whole ride, months (common practice, no source)
UPRIGHT_FROM = 72


class Group(NamedTuple):
    """Children of some ages, in whole months, both ends included."""

    months: tuple[int, int]


#: as most booking forms ask (common practice, no source)
GROUPS = (Group((0, 11)), Group((12, 35)), Group((36, 71)), Group((72, 107)), Group((108, 143)))
#: carried: a way serves; by reading: ways serve on either side of one reading; ends: some way serves at each end of the
#: ages, and nothing says what is between; try: close, and serves once it held in that type; asks: readings would tell;
#: no: turned down; failed: not answered
Says = Literal["carried", "by reading", "ends", "try", "asks", "no", "failed"]
Answers = Callable[[Iterable[Class]], Iterator[tuple[Class, ClassAnswer | Failed]]]


class Cell(NamedTuple):
    """One party in one type: how many children of each group, what becomes of them, the best way that says so, and
    what would have to be read (field's key, member, a value that would do)."""

    vehicle_type: str
    children: tuple[int, ...]
    says: Says
    way: Way | None = None
    readings: tuple[tuple[str, int, str], ...] = ()


@frozen
class Coverage:
    """``cells`` by type, then by how many children, in one order for all types. ``usual``: of children of a middle age
    and size of their group; else of any child of it, of whom nothing but the group is known."""

    groups: tuple[Group, ...]
    usual: bool
    cells: tuple[Cell, ...]

    def of(self, vehicle_type: str) -> tuple[Cell, ...]:
        """The cells of one type."""
        return tuple(cell for cell in self.cells if cell.vehicle_type == vehicle_type)


def coverage(answers: Answers, types: Sequence[str], most: int, groups: Sequence[Group] = GROUPS, *, usual: bool = True,
             adults: int = 0) -> Coverage:
    """What each type carries, of up to ``most`` children, with so many adults beside the driver. ``answers`` tells the
    answer of each class."""
    members = [member_of(group, usual) for group in groups]
    refused: dict[str, list[Counter[int]]] = {one: [] for one in types}
    cells: list[Cell] = []
    for number in range(1, most + 1):
        asked: list[tuple[str, tuple[int, ...], Class | None]] = []
        for one in types:
            for chosen in combinations_with_replacement(range(len(groups)), number):
                counted = Counter(chosen)
                children = tuple(counted[n] for n in range(len(groups)))
                hopeless = any(group <= counted for group in refused[one])
                asked.append((one, children, None if hopeless else Class(one, _party(members, chosen, adults))))
        told = dict(answers(each for *_, each in asked if each is not None))
        for one, children, each in asked:
            if each is None:
                cells.append(Cell(one, children, "no"))
                continue
            answer = told[each]
            cells.append(_cell(one, children, answer))
            if isinstance(answer, ClassAnswer) and answer.conflict is not None:
                refused[one].append(_groups_of(answer.conflict[0], each.party, members))
    order = {one: n for n, one in enumerate(types)}
    return Coverage(tuple(groups), usual, tuple(sorted(cells, key=lambda cell: order[cell.vehicle_type])))


def member_of(group: Group, usual: bool) -> Member:
    """A child of a group: of a middle age and size by the growth tables, or of whom nothing else is known."""
    if not usual:
        return Member(months=group.months)
    middle = sum(group.months) // 2
    return Member(False, (middle, middle), round(_middle("mass", middle) * 100) * 10, round(_middle("height", middle)),
                  True if middle >= UPRIGHT_FROM else None)


def _middle(measure: Measure, months: int) -> float:
    return mean(value_at(lms_at(measure, sex, months, chart=chart), 0.0) for sex in SEXES for chart in charts(months))


def _party(members: Sequence[Member], chosen: Iterable[int], adults: int) -> Party:
    return canonical([*(members[n] for n in chosen), *[Member(adult=True)] * adults])


def _groups_of(conflict: Iterable[int], party: Party, members: Sequence[Member]) -> Counter[int]:
    """How many of each group are in a conflict; with an adult in it, nobody else is turned down for it."""
    found: Counter[int] = Counter()
    for n in conflict:
        member = party.members[n]
        found[len(members) if member.adult else members.index(member)] += 1
    return found


def _cell(vehicle_type: str, children: tuple[int, ...], answer: ClassAnswer | Failed) -> Cell:
    if isinstance(answer, Failed):
        return Cell(vehicle_type, children, "failed")
    says, way = _says(answer)
    return Cell(vehicle_type, children, says, way, () if says == "carried" else answer.readings)


def _says(answer: ClassAnswer) -> tuple[Says, Way | None]:
    way = next(filter(serves, answer.ways), None)
    if way is not None:
        return "carried", way
    if answer.covers:
        return "by reading", answer.covers[0].below
    if answer.by_end is not None and all(any(map(serves, ways)) for ways in answer.by_end):
        return "ends", None
    if answer.verdict == "rejected":
        return "no", None
    close = next((way for way in answer.ways if way.verdict == "close"), None)
    return ("asks", None) if close is None else ("try", close)
