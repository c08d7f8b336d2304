"""The grid of parties that a type carries, against each of its classes asked alone."""

from __future__ import annotations

from collections.abc import Iterable, Iterator

import pytest
from small_worlds import world_of

from seatplan.fleet.classes import Engine, World, canonical
from seatplan.fleet.coverage import GROUPS, Coverage, Group, coverage, member_of
from seatplan.fleet.matching import Failed
from seatplan.fleet.records import Class, ClassAnswer, serves
from seatplan.store import Store

TYPES = ("skiff-two", "lindholm-estate")
ASKED: list[Class] = []


@pytest.fixture(scope="module")
def world() -> World:
    return world_of(TYPES, ["cradle-13", "forward-solo", "cushion-44"])


@pytest.fixture(scope="module")
def covered(world: World) -> Coverage:
    engine = Engine(world, Store())

    def answers(classes: Iterable[Class]) -> Iterator[tuple[Class, ClassAnswer | Failed]]:
        for one in classes:
            ASKED.append(one)
            yield one, engine.answer(*one)

    return coverage(answers, TYPES, 3, GROUPS[:4])


def test_each_cell_is_what_its_class_says(covered: Coverage, world: World) -> None:
    engine = Engine(world, Store())
    members = [member_of(group, True) for group in covered.groups]
    for cell in covered.cells:
        party = canonical([member for member, n in zip(members, cell.children, strict=True) for _ in range(n)])
        answer = engine.answer(cell.vehicle_type, party)
        assert (cell.says == "carried") == any(map(serves, answer.ways)), cell
        assert (cell.says == "no") == (answer.verdict == "rejected"), cell


def test_all_parties_are_there_once(covered: Coverage) -> None:
    for one in TYPES:
        cells = [cell.children for cell in covered.of(one)]
        assert len(cells) == len(set(cells)) == 4 + 10 + 20
        assert [sum(children) for children in cells] == sorted(sum(children) for children in cells)
    assert [cell.children for cell in covered.of(TYPES[0])] == [cell.children for cell in covered.of(TYPES[1])]


def test_what_holds_a_group_that_was_turned_down_is_not_asked(covered: Coverage) -> None:
    assert len(ASKED) < len(covered.cells)
    assert sum(cell.says == "no" for cell in covered.cells) > len(covered.cells) - len(ASKED)


def test_a_two_seater_carries_one_child_and_an_estate_three(covered: Coverage) -> None:
    """One seat beside the driver."""
    carried = {one: max(sum(cell.children) for cell in covered.of(one) if cell.says == "carried") for one in TYPES}
    assert carried == {"skiff-two": 1, "lindholm-estate": 3}


def test_children_of_a_group_have_sizes_of_its_middle() -> None:
    child = member_of(Group((36, 71)), True)
    assert child.months == (53, 53)
    assert child.height_mm is not None
    assert child.mass_g is not None
    assert 1040 < child.height_mm < 1110
    assert 16_000 < child.mass_g < 19_000
    assert member_of(Group((36, 71)), False).height_mm is None
