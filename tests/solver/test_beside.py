"""The rooms of many cells at once, held against each of them asked about by itself."""

from __future__ import annotations

from collections import Counter
from datetime import date
from itertools import combinations, product
from random import Random

import pytest
from worlds import DAY, drawn

from seatplan.files.load import load_trip
from seatplan.model import Trip
from seatplan.rules.load import load_profile
from seatplan.rules.options import Options
from seatplan.solver import rowjudge
from seatplan.solver.judge import Judge
from seatplan.solver.kinds import alike
from seatplan.solver.placements import all_choices
from seatplan.solver.ranking import room_points
from seatplan.solver.rowjudge import CarRow
from seatplan.solver.rowplans import ASK, TOO_TIGHT, Level
from seatplan.store import Store

#: so many cells of each place, and so many that stand before them
_CELLS, _BEFORE = 6, 3


@pytest.fixture(autouse=True)
def however_few(monkeypatch: pytest.MonkeyPatch) -> None:
    """Of small rows, too."""
    monkeypatch.setattr(rowjudge, "_MANY", 1)


def held_against_each(trip: Trip, options: Options, rng: Random, told: Counter[object]) -> None:
    """Every two and three places of every row, with some of the cells of each."""
    judge = Judge(trip, load_profile("us"), date.fromisoformat(DAY), options, Store())
    choices = all_choices(judge.trip, judge.runner, alike(judge.trip))
    for car in judge.cars:
        for n, _ in product((1, 2, 3), range(2)):
            for positions in combinations([position.position for position in car.row.positions], n):
                place_of = {rider.rider: rng.choice(positions) for rider in trip.riders}      # nobody beside himself
                places = [[cell for cell in choices.cells() if cell.placement.position.position == position
                           and place_of[cell.placement.rider.rider] == position] for position in positions]
                if all(places):
                    places = [rng.sample(own, min(_CELLS, len(own))) for own in places]
                    for before in list(product(*places[:-2]))[:_BEFORE]:
                        lasts = tuple(places[-2]) if n > 1 else ()
                        of_each(car, list(before), lasts, tuple(places[-1]), told)


def of_each(car: CarRow, before: list, lasts: tuple, cells: tuple, told: Counter[object]) -> None:
    rooms = car.rooms(before, lasts, cells)
    if rooms is None:                            # with a driver, or corners, each is asked about
        told["asked"] += 1
        return
    assert len(rooms) == max(1, len(lasts))
    for beside, last in zip(rooms, [[one] for one in lasts] or [[]], strict=True):
        for i, cell in enumerate(cells):
            level, room = beside.level[i], car.room([*before, *last, cell])
            told[level] += 1
            if level == ASK:
                continue
            assert level == room.level, (before, last, cell)
            assert beside.much[i] == (round(2 * room.short_mm) if level == TOO_TIGHT else room_points(room.spare_mm))


@pytest.mark.parametrize("strict", [False, True])
def test_rooms_at_once_are_the_rooms_asked_one_by_one(strict: bool) -> None:
    told: Counter[object] = Counter()
    for seed in range(60):
        held_against_each(drawn(seed), Options(strict=strict, worst_case=seed % 4 == 3), Random(seed), told)
    assert min(told[Level.FITS], told[TOO_TIGHT], told[ASK]) > 50, told
    assert strict or told[Level.UNSURE] > 50, told


def test_the_same_where_rows_are_wide() -> None:
    told: Counter[object] = Counter()
    for seed in range(4):
        held_against_each(load_trip("nine-seat-shuttle"), Options(), Random(seed), told)
    assert min(told[Level.FITS], told[Level.CLOSE_FIT]) > 20, told
