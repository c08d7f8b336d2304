"""What a file leaves out: named where a rule asks for it, and not where nothing of that kind has it."""

from __future__ import annotations

from seatplan.files.library import names
from seatplan.files.load import load_restraint, load_trip, load_vehicle
from seatplan.rules.not_given import not_given
from seatplan.units import Quantity


def test_a_position_without_its_belt_length() -> None:
    vehicle = load_vehicle("pipkin-hatch")
    position = vehicle.position("2L")
    assert position.belt is not None
    short = position.model_copy(update={"belt": position.belt.model_copy(update={"length": None})})
    rows = [row.model_copy(update={"positions": [short if p is position else p for p in row.positions]})
            for row in vehicle.rows]
    before = {one.name: one.fields for one in not_given(vehicle)}
    after = {one.name: one.fields for one in not_given(vehicle.model_copy(update={"rows": rows}))}
    assert [name for name in after if after[name] != before.get(name)] == ["2L"]
    assert set(after["2L"]) - set(before["2L"]) == {"belt.length"}


def test_a_half_measured_car_lacks_its_belts() -> None:
    found = {(one.of, one.name): one.fields for one in not_given(load_vehicle("half-measured-hatch"))}
    assert "belt" in found["position", "1L"]
    assert "cushion.length" in found["row", "1"]


def test_a_booster_is_not_asked_for_what_harnesses_have() -> None:
    named = {field for one in not_given(load_restraint("cushion-38")) for field in one.fields}
    assert "approval" in named
    assert not {"recline", "touch_ahead", "lap-shoulder-belt.needs_tether", "shell_height"} & named


def test_a_last_day_stands_for_day_made_and_time_of_use() -> None:
    restraint = load_restraint("cushion-38")
    ended = restraint.model_copy(update={"expires": load_trip("tall-driver").on, "made": None, "expires_after": None})
    assert not {"made", "expires", "expires_after"} & set(not_given(ended)[0].fields)


def test_a_trip_is_asked_about_its_children() -> None:
    for name in names("trip"):
        trip = load_trip(name)
        adults = {rider.rider for rider in trip.riders if rider.adult}
        assert {one.of for one in not_given(trip)} <= {"rider"}
        assert not adults & {one.name for one in not_given(trip)}


def test_one_limit_of_the_label_is_an_answer() -> None:
    named = {field for one in not_given(load_restraint("nook-35")) for field in one.fields}
    restraint = load_restraint("nook-35")

    def labelled(**limits: object) -> set[str]:
        modes = [mode.model_copy(update={"installations": [way.model_copy(update=limits) if way.by == "lower-anchors"
                                                           else way for way in mode.installations]})
                 for mode in restraint.modes]
        return {field for one in not_given(restraint.model_copy(update={"modes": modes})) for field in one.fields}

    assert "lower-anchors.mass_limit" not in named
    assert "lower-anchors.mass_limit" in labelled(mass_limit=None)
    assert "lower-anchors.mass_limit" not in labelled(mass_limit=None, combined_mass_limit=Quantity("29.5 kg"))
