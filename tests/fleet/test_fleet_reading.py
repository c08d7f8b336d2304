"""From files to what a plan is made of."""

from __future__ import annotations

from pathlib import Path

import pytest
from fleet_samples import DAY, FLEET, HEADER, ROW, TRAVEL, written
from hypothesis import given
from hypothesis import strategies as st

from seatplan.files.bookings import Reject
from seatplan.files.errors import InputError
from seatplan.files.fleet_file import load_fleet
from seatplan.files.riders_cell import GROWN_MONTHS
from seatplan.files.salt import key_of
from seatplan.files.travel import load_travel
from seatplan.fleet import reading
from seatplan.fleet.records import Booking, Member, Party
from seatplan.model.fleet import Fleet
from seatplan.rules.load import load_profile

SALT = b"s" * 32
TRAVEL_PLACES = ("Yard", "Quay", "Mill")


def fleet_in(folder: Path, text: str = FLEET) -> Fleet:
    return load_fleet(str(written(folder, text)), DAY)


def booked(folder: Path, rows: str, fleet: Fleet | None = None) -> tuple[list[Booking], list[Reject], reading.Counts]:
    file = folder / "bookings.csv"
    file.write_text(HEADER + rows, encoding="utf-8")
    fleet = fleet or fleet_in(folder)
    counts, rejects = reading.Counts(), list[Reject]()
    known = reading.known_of(fleet, SALT, TRAVEL_PLACES, DAY)
    return list(reading.bookings_of(str(file), fleet, known, DAY, rejects.append, counts)), rejects, counts


def test_a_booking(tmp_path: Path) -> None:
    [found], rejects, counts = booked(tmp_path, ROW)
    assert found == Booking(key_of("K-17", SALT), 480, 510, "Mill", "Quay", Party(
        (Member(False, (60, 60), 18_000, 1100, True), Member(True, None, None, 1680))))
    assert (rejects, counts) == ([], reading.Counts(1, 0, 0, 0))


def test_other_days_and_nights(tmp_path: Path) -> None:
    rows = ROW + ROW.replace("K-17", "K-18").replace("11-30", "12-01") + ROW.replace("K-17", "K-19").replace(
        "30 08:00", "30 23:50").replace("11-30 08:30", "12-01 00:20")
    found, _, counts = booked(tmp_path, rows)
    assert [(one.start, one.end) for one in found] == [(480, 510), (1430, 1460)]
    assert counts == reading.Counts(2, 0, 1, 0)


@pytest.mark.parametrize(("old", "new", "field"), [
    ("18kg", "45kg", "riders"), ("18kg", "9kg", "riders"), ("110cm", "170cm", "riders"), ("5y 18kg", "18kg", None),
    ("5y 18kg 110cm", "60kg 110cm", "riders"), ("5y", "5y-6y", None), ("168cm", "168cm 240kg", "adults"),
])
def test_unlikely_bodies_are_asked_again(tmp_path: Path, old: str, new: str, field: str | None) -> None:
    found, rejects, _ = booked(tmp_path, ROW.replace(old, new))
    assert [one.field for one in rejects] == ([] if field is None else [field])
    assert len(found) == (field is None)
    for one in rejects:
        assert one.reason == "number 1: mass, stature and age are unlikely together; ask again"


def test_equal_parties_are_one_whatever_their_order(tmp_path: Path) -> None:
    rows = "".join(ROW.replace("K-17", f"K-{n}").replace("5y 18kg 110cm upright", riders) for n, riders in enumerate(
        ["9m; 5y 18kg", "5y 18 kg; 9m", "5 years 18000 g;9 months"]))
    found, _, _ = booked(tmp_path, rows)
    assert len(found) == 3
    assert found[0].party is found[1].party is found[2].party


def test_what_a_party_brings(tmp_path: Path) -> None:
    fleet = fleet_in(tmp_path)
    [found], _, counts = booked(tmp_path, ROW.replace("168cm,", "168cm,shell in order"), fleet)
    assert found.party.brings == (fleet.kind("shell").restraint.key(),)
    assert counts.unsure == 0
    [found], _, counts = booked(tmp_path, ROW.replace("168cm,", "168cm,shell"), fleet)
    assert found.party.brings == ()
    assert counts.unsure == 1


BANDS = FLEET.replace("keep_days: 30", "age_bands: [12 months, 2y, 4y, 8y]")


@pytest.mark.parametrize(("age", "band"), [
    ("5m", (0, 11)), ("12m", (12, 23)), ("23m", (12, 23)), ("24m", (24, 47)), ("5y", (48, 95)), ("5y-7y", (48, 95)),
    ("3y-5y", (24, 95)), ("9y", (96, GROWN_MONTHS - 1)),
])
def test_ages_are_kept_as_bands_where_that_is_set(tmp_path: Path, age: str, band: tuple[int, int]) -> None:
    [found], _, _ = booked(tmp_path, ROW.replace("5y 18kg 110cm upright", age), fleet_in(tmp_path, BANDS))
    assert found.party.members[0].months == band


@given(st.lists(st.integers(1, GROWN_MONTHS - 1), max_size=6, unique=True), st.integers(0, GROWN_MONTHS - 1),
       st.integers(0, GROWN_MONTHS - 1))
def test_a_band_holds_the_age_and_says_no_more(edges: list[int], one: int, other: int) -> None:
    class Bands:
        privacy = type("P", (), {"age_bands": sorted(edges)})
        kinds = ()

    low, high = sorted((one, other))
    band = reading._Parties(Bands())._band((low, high))         # type: ignore[arg-type]
    assert band is not None
    assert band[0] <= low <= high <= band[1]
    if edges:
        assert band[0] in (0, *edges)
        assert band[1] + 1 in (GROWN_MONTHS, *edges)


def test_vehicles_holding_and_rows(tmp_path: Path) -> None:
    fleet = fleet_in(tmp_path)
    one, other = reading.vehicles_of(fleet)
    shell = fleet.kind("shell").restraint.key()
    assert (one.key, one.depot, one.installed, one.since, one.until) == (
        "V1", "Yard", ((shell, "2R", "lower-anchors"),), 360, 840)
    assert (other.since, other.until, other.installed) == (840, None, ())
    assert reading.holding_of(fleet) == {"lower-anchors": (4, 2), "": (1, 1)}
    assert reading.rows_of(fleet)[one.vehicle_type]["2R"] == 2
    assert one.vehicle_type == fleet.types[0].vehicle.key()


def test_who_installs_is_never_assumed(tmp_path: Path) -> None:
    assert reading.nobody_installs(fleet_in(tmp_path)) == frozenset()        # a trained driver drives all of Quay's
    text = FLEET.replace("installs: yes}\nkinds", "}\nkinds")
    assert reading.nobody_installs(fleet_in(tmp_path, text)) == {"Quay"}
    assert reading.nobody_installs(fleet_in(tmp_path, text.replace("Yard, installs: yes", "Yard"))) == {"Quay", "Yard"}


def test_the_world_of_classes(tmp_path: Path) -> None:
    fleet = fleet_in(tmp_path)
    profile = load_profile("us")
    shell, booster = (fleet.kind(name).restraint.key() for name in ("shell", "booster"))
    world = reading.world_of(fleet, profile, DAY)
    assert set(world.kinds) == {shell, booster}
    assert set(world.types) == set(world.drives) == {one.vehicle.key() for one in fleet.types}
    [tried] = world.tried[fleet.types[0].vehicle.key()]
    assert tried.restraint == shell
    assert set(world.driver) == {"height"}
    assert world.front == {fleet.types[1].vehicle.key(): {"1L": {"forward_at_most": 90}}}
    less = fleet.model_copy(update={"copies": fleet.copies[:2]})
    assert set(reading.world_of(less, profile, DAY).kinds) == {shell}
    assert set(reading.world_of(less, profile, DAY, [booster]).kinds) == {shell, booster}


def test_every_depot_is_a_place(tmp_path: Path) -> None:
    fleet = fleet_in(tmp_path)
    (tmp_path / "t.csv").write_text(TRAVEL.replace("Quay", "Key"), encoding="utf-8")
    reading.places_needed(fleet, "travel.csv", load_travel(str(tmp_path / "travel.csv")))
    with pytest.raises(InputError, match=r't\.csv: depot "Quay" is no place of this matrix'):
        reading.places_needed(fleet, "t.csv", load_travel(str(tmp_path / "t.csv")))


def test_keys_that_are_due(tmp_path: Path) -> None:
    found, _, _ = booked(tmp_path, ROW)
    assert reading.keys_due(DAY, found, DAY.replace(month=12, day=30), 30) == []
    assert reading.keys_due(DAY, found, DAY.replace(month=12, day=31), 30) == [key_of("K-17", SALT)]
    assert reading.keys_due(DAY, found, DAY.replace(year=2030), None) == []
