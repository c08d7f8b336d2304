"""Invented cities: the same bytes from the same seed, files that read without a word, families that can be."""

from __future__ import annotations

import os
import subprocess
import sys
from pathlib import Path

import pytest
from fleet_samples import DAY

from seatplan.files.bookings import Reject
from seatplan.files.fleet_file import load_fleet, travel_file
from seatplan.files.travel import load_travel
from seatplan.fleet import reading
from seatplan.fleet.city import KINDS, City, CityKind, city
from seatplan.fleet.classes import Engine
from seatplan.fleet.records import Booking, serves
from seatplan.model.fleet import Fleet
from seatplan.rules.load import load_profile
from seatplan.store import Store

EVERY_KIND = pytest.mark.parametrize("kind", KINDS)


def read(made: City, folder: Path) -> tuple[Fleet, list[Booking], list[Reject], dict[tuple[str, str], int]]:
    for name, text in made.files.items():
        (folder / name).write_text(text, encoding="utf-8", newline="")
    notices: list[object] = []
    fleet = load_fleet(str(folder / "fleet.yaml"), DAY, notices)         # type: ignore[arg-type]
    assert notices == []
    travel = load_travel(travel_file(fleet, str(folder / "fleet.yaml")) or "")
    reading.places_needed(fleet, "travel.csv", travel)
    rejects: list[Reject] = []
    known = reading.known_of(fleet, b"s" * 32, {place for pair in travel for place in pair}, DAY)
    found = list(reading.bookings_of(str(folder / "bookings.csv"), fleet, known, DAY, rejects.append, reading.Counts()))
    return fleet, found, rejects, travel


@EVERY_KIND
@pytest.mark.parametrize(("seed", "bookings"), [(1, 24), (2, 3), (3, 400)])
def test_its_files_read_without_a_word(kind: CityKind, seed: int, bookings: int, tmp_path: Path) -> None:
    made = city(kind, seed, DAY, bookings)
    fleet, found, rejects, travel = read(made, tmp_path)
    assert len(found) == made.bookings == bookings
    assert len(rejects) == made.wrong == (4 if kind == "infeasible" else 0)
    assert fleet.invented
    assert "invented" in made.files["fleet.yaml"]
    for one in found:
        assert one.end - one.start >= travel[one.origin, one.goal]
        assert 1 <= sum(not member.adult for member in one.party.members) <= 5
        assert one.party.members[0].months is not None
    usable = [one.usable for one in reading.copies_of(fleet, load_profile("us"), DAY)]
    assert all(usable) is (kind != "infeasible") or bookings == 3
    assert reading.nobody_installs(fleet) == frozenset()


@EVERY_KIND
def test_the_same_seed_gives_the_same_bytes_everywhere(kind: CityKind) -> None:
    code = ("import sys; from datetime import date; from seatplan.fleet.city import city;"
            f"sys.stdout.write(repr(dict(city({kind!r}, 7, date(2026, 11, 30)).files)))")
    said = {subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True,
                           env={**os.environ, "PYTHONHASHSEED": seed}).stdout for seed in ("0", "1", "77")}
    assert said == {repr(dict(city(kind, 7, DAY).files))}
    assert city(kind, 7, DAY).files != city(kind, 8, DAY).files


def test_cities_are_roomy_tight_or_out_of_order() -> None:
    count = {kind: city(kind, 1, DAY, 60).files["fleet.yaml"] for kind in KINDS}
    vehicles = {kind: text.count("{vehicle: V") - text.count("installed: {vehicle: V") for kind, text in count.items()}
    copies = {kind: text.count("serial:") / vehicles[kind] for kind, text in count.items()}
    assert vehicles == {"roomy": 20, "tight": 10, "infeasible": 12}
    assert copies["roomy"] > 1.8 * copies["tight"]
    with pytest.raises(ValueError, match="two bookings"):
        city("roomy", 1, DAY, 1)


def test_most_of_a_roomy_city_can_be_carried(tmp_path: Path) -> None:
    """By the engine, in one type of its vehicles: enough sizes are known."""
    fleet, found, _, _ = read(city("roomy", 1, DAY, 12), tmp_path)
    world = reading.world_of(fleet, load_profile(fleet.rules), DAY)
    engine = Engine(world, Store())
    van = next(one.vehicle.key() for one in fleet.types if one.type == "van")
    parties = {one.party for one in found}
    carried = [party for party in parties if any(map(serves, engine.answer(van, party).ways))]
    assert len(parties) == 6
    assert len(carried) >= 5
