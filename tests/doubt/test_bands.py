"""What is unlikely, field by field, and what becomes of the trip without it."""

from __future__ import annotations

from datetime import date
from typing import Any

import pytest

from seatplan import arrange, load_trip
from seatplan.doubt import believed, doubts_of_restraint, doubts_of_rider, doubts_of_vehicle, unlikely
from seatplan.doubt.bands import table
from seatplan.doubt.bodies import middle_mass
from seatplan.files.load import load_restraint, load_vehicle
from seatplan.model import Believed, Restraint, Rider, Trip
from seatplan.units import Quantity

DAY = date(2026, 11, 28)


def _rider(**fields: Any) -> list[str]:
    return [str(doubt.path[-1]) for doubt in doubts_of_rider(Rider(rider="Wren", **fields), DAY)]


@pytest.mark.parametrize(("fields", "doubted"), [
    ({"age": "3y", "mass": "14.5 kg", "height": 960}, []),
    ({"age": "3y", "mass": "37.2 kg", "height": 960}, ["mass"]),
    ({"age": "3y", "mass": "14.5 lb", "height": 960}, ["mass"]),
    ({"age": "3y", "mass": "14.5 kg", "height": 690}, ["height"]),
    # inside both bands of the age, and not beside each other
    ({"age": "8y", "mass": "50 kg", "height": 1180}, ["mass", "height"]),
    ({"mass": "40 kg", "height": 1050}, ["mass", "height"]),
    ({"age": "3y", "height": 960, "sitting_height": 58}, ["sitting_height"]),
    ({"age": "3y", "height": 960, "sitting_height": 560, "shoulder_height": 330, "hips": 180}, []),
    ({"age": "3y", "height": 960, "hips": 300}, ["hips"]),
    ({"sitting_height": 58}, ["sitting_height"]),
    ({"adult": True, "mass": "75 kg", "height": 1750}, []),
    ({"adult": True, "mass": "75 kg", "height": 1250}, ["height"]),
    ({"adult": True, "mass": "7.5 kg", "height": 1750}, ["mass"]),
])
def test_bodies(fields: dict[str, Any], doubted: list[str]) -> None:
    assert _rider(**fields) == doubted


def test_a_size_of_long_ago_is_held_against_the_age_of_that_day() -> None:
    entry = {"on": "2024-03-01", "mass": "11.4 kg", "height": 850}
    assert _rider(born="2022-03-01", measured=[entry]) == []
    assert _rider(born="2022-03-01", mass="11.4 kg", height=850) == ["mass", "height"]


@pytest.mark.parametrize("field", ["mass", "height"])
def test_sure_settles_it_and_only_while_it_is_the_same(field: str) -> None:
    odd = {"mass": "37.2 kg", "height": 960} if field == "mass" else {"mass": "14.5 kg", "height": 690}
    assert _rider(age="3y", **odd) == [field]
    assert _rider(age="3y", **odd, sure={field: odd[field]}) == []
    assert _rider(age="3y", **odd, sure={field: {"mass": "37 kg", "height": 691}[field]}) == [field]


def test_no_band_of_mass_is_as_wide_as_the_step_from_kg_to_lb() -> None:
    """Where it is the only one: with another beside it, that one is narrower."""
    found = table()
    assert all(own["upper_alone"][1] / own["upper_alone"][0] < 2.2046 for own in found["limits"].values())
    assert all(found["limits_for_height"][end][1] / found["limits_for_height"][end][0] < 2.2046
               for end in ("upper", "lower"))
    for own in found["limits"].values():
        lower = own.get("lower_alone", own["lower"])
        for low, high in lower if isinstance(lower[0], list) else [lower]:
            assert high / low < 2.2046
    first, second = found["limits"]["rear-facing-harness"]["lower_alone"]
    assert first[1] * 2.2046 < second[0]
    assert second[0] / first[0] > 2.2046
    share = found["body"]["mass_for_stature"]
    assert all(share[name][1] / share[name][0] < 2.2046 for name in ("short", "tall"))
    assert all(band["high"] / band["low"] < 2.2046 for band in found["bands"]
               if band["unit"] == "kg" and band["field"] != "mass")


def test_no_band_of_a_size_spans_a_factor_of_ten() -> None:
    sizes = [band for band in table()["bands"] if band["unit"] == "mm" and band["low"] > 0]
    assert len(sizes) > 30
    assert [band["field"] for band in sizes if band["high"] >= 10 * band["low"]] == []


def test_every_band_names_its_source() -> None:
    assert all(len(band["source"]) > 10 for band in table()["bands"])


@pytest.mark.parametrize(("height", "kg"), [(500, 3.5), (865, 12.4), (1000, 15.7), (1500, 41)])
def test_middle_mass(height: int, kg: float) -> None:
    """CDC 2000, read off the charts: at birth, 2 years, 4 years, 12 years."""
    assert middle_mass(height) == pytest.approx(kg, rel=0.06)


def _limits(mass: Any, height: Any = None, mode: str = "forward-facing-harness", **more: Any) -> list[str]:
    limits = {"mass": mass, "height": height, **more}
    made = Restraint.model_validate({"restraint": "S", "modes": [
        {"mode": mode, "limits": limits, "installations": [{"by": "lap-shoulder-belt"}]}]})
    return [unlikely(doubt) for doubt in doubts_of_restraint(made)]


@pytest.mark.parametrize("mass", [["20 lb", "40 lb"], ["9 kg", "18 kg"], ["20 lb", "65 lb"], ["10 kg", "29.5 kg"],
                                  "22-65 lb, 10-29.5 kg"])
def test_usual_labels(mass: Any) -> None:
    assert _limits(mass, [711, 1245]) == []


@pytest.mark.parametrize("mass", [["9 kg", "40 kg"], ["20 kg", "29.5 kg"], ["9 kg", "65 kg"], ["22 kg", "29.5 kg"],
                                  ["9 lb", "40 lb"], ["20 lb", "18 lb"][::-1], ["20 lb", "36 lb"]])
def test_a_number_that_labels_print_in_the_other_unit(mass: Any) -> None:
    [told] = _limits(mass)
    assert "usual number" in told


@pytest.mark.parametrize(("mode", "mass", "height"), [
    ("rear-facing-harness", ["2.3 kg", "34 kg"], None),
    ("rear-facing-harness", ["2.3 kg", "24 kg"], [450, 735]),
    ("forward-facing-harness", ["4 kg", "18 kg"], None),
    ("high-back-booster", ["18 kg", "90 kg"], None),
    ("forward-facing-harness", ["9 kg", "18 kg"], [711, 1900]),
])
def test_limits_that_no_such_restraint_has(mode: str, mass: Any, height: Any) -> None:
    assert len(_limits(mass, height, mode)) == 1


def test_us_asks_for_two_more() -> None:
    restraint = load_restraint("perch-high")
    mode = restraint.modes[0]
    limits = mode.limits.model_copy(update={"mass": (Quantity("22 kg"), Quantity("49.9 kg"))})
    odd = restraint.model_copy(update={"modes": [mode.model_copy(update={"limits": limits})]})
    assert ["usual number" in unlikely(doubt) for us in (True, False)
            for doubt in doubts_of_restraint(odd, us)] == [True, False]


@pytest.mark.parametrize(("old", "new"), [
    (("rows", 1, "positions", 0, "belt", "buckle", "stalk"), 11), (("rows", 1, "cushion", "length"), 45),
    (("rows", 1, "positions", 0, "belt", "buckle", "across"), 48), (("rows", 1, "positions", 0, "centre"), 30),
])
def test_vehicles(old: tuple[Any, ...], new: int) -> None:
    from seatplan.solver.measure import with_value

    car = load_vehicle("pipkin-hatch")
    assert doubts_of_vehicle(car) == ()
    assert doubts_of_vehicle(with_value(car, old, new)) != ()


def _trip(**update: Any) -> Trip:
    trip = load_trip("three-across-school-run")
    first = trip.riders[-1].model_copy(update=update)
    return trip.model_copy(update={"riders": [*trip.riders[:-1], first]})


def test_what_is_doubted_is_unknown() -> None:
    trip = believed(_trip(mass=Quantity("95 kg")), DAY)
    assert isinstance(trip, Believed)
    assert trip.riders[-1].mass is None
    assert [(doubt.of, doubt.name, doubt.field) for doubt in trip.doubted] == [
        ("rider", trip.riders[-1].rider, "mass")]
    assert believed(trip, DAY) is trip


def test_nothing_better_than_unmeasured_is_said_of_it() -> None:
    plan = arrange(_trip(mass=Quantity("95 kg")), today=DAY)
    assert plan.verdict == "unmeasured"
    said = [finding for seat in plan.arrangements[0].seats for finding in seat.cell.findings
            if finding.rule == "number-doubted"]
    assert [(finding.outcome, finding.riders) for finding in said] == [
        ("unmeasured", (plan.trip.riders[-1].rider,))]


def test_a_bar_at_an_unlikely_place_has_none() -> None:
    from seatplan.solver.measure import with_value

    trip = load_trip("three-across-school-run")
    row = next(i for i, row in enumerate(trip.vehicle.rows) if row.lower_anchors)
    told = believed(with_value(trip, ("vehicle", "rows", row, "lower_anchors", 0, "across"), 3), DAY)
    assert told.vehicle.rows[row].lower_anchors[0].across is None
    assert told.vehicle.rows[row].positions == trip.vehicle.rows[row].positions
    assert {doubt.of for doubt in told.doubted} == {"row"}


#: what is held against its neighbours or against the rest of a body, not against a band of its own
_JOINT = ("vehicle.rows.cushion.right", "vehicle.rows.trim.right", "vehicle.rows.lower_anchors.across",
          "vehicle.rows.tethers.across", "vehicle.rows.positions.centre", "vehicle.rows.positions.belt.buckle.across",
          "restraints.modes.limits.mass", "restraints.modes.limits.height",
          # of a kind, as the modes that it makes; of one length for all heights, as the gap that it makes
          "restraints.width", "restraints.limits.on_lower_anchors", "vehicle.rows.positions.ahead.free",
          *(f"restraints.limits.{way}{name}" for way in ("", "rear_facing.", "forward_facing.", "booster.")
            for name in ("mass", "height")))


def test_every_length_and_mass_of_the_bundled_files_is_held_against_something() -> None:
    import sys
    from pathlib import Path

    sys.path.insert(0, str(Path(__file__).parent.parent / "slips"))
    from slips import fields

    from seatplan.files.library import names

    banded = {str(band["field"]) for band in table()["bands"]}
    seen = {field.name.split("[")[0] for name in names("trip") for field in fields(load_trip(name))
            if field.path[0] != "riders"}
    assert len(seen) > 40
    unheld = {name for name in seen - set(_JOINT) for own in [name.removeprefix("vehicle.").removeprefix("restraints.")]
              if own not in banded and own.replace("installations.parts", "parts") not in banded}
    assert unheld == set()


def test_one_length_for_all_heights_is_doubted_where_it_is_written() -> None:
    data = load_trip("first-answer-roomy").data()
    ahead = data["vehicle"]["rows"][1]["positions"][0]["ahead"]
    ahead["free"] = 64
    plan = arrange(data, today=DAY, top=None)
    [doubt] = plan.trip.doubted  # type: ignore[attr-defined]
    assert doubt.field == "rows.1.positions.0.ahead.free"
    seat = plan.trip.vehicle.position("2L")
    assert seat.ahead is not None
    assert (seat.ahead.gap, seat.ahead.travel) == ([], None)
    assert [d.field for d in arrange(plan.trip, today=DAY, top=1).trip.doubted] == [  # type: ignore[attr-defined]
        doubt.field]
    ahead["sure"] = {"free": 64}
    assert not arrange(data, today=DAY, top=1).trip.doubted  # type: ignore[attr-defined]


def test_what_is_all_that_its_record_holds_is_doubted_too() -> None:
    data = load_trip("three-across-school-run").data()
    for row in data["vehicle"]["rows"]:
        for position in row["positions"]:
            if position["position"] in ("2L", "2C", "2R"):
                position["belt"]["buckle"] = {"across": 30}
    plan = arrange(data, today=DAY, top=1)
    assert any(doubt.field.endswith("belt.buckle.across") for doubt in plan.trip.doubted)  # type: ignore[attr-defined]
    assert plan.verdict == "unmeasured"


def test_what_is_doubted_is_never_taken_for_what_most_cars_have() -> None:
    """A row that slides further than rows do counts as one of which nobody knows, not as one that does not slide."""
    trip = load_trip("slide-decides")
    row = next(i for i, row in enumerate(trip.vehicle.rows) if row.slides)
    data = trip.data()
    data["vehicle"]["rows"][row]["slides"] = 700
    plan = arrange(data, today=DAY, top=1)
    assert [doubt.field for doubt in plan.trip.doubted] == [f"rows.{row}.slides"]  # type: ignore[attr-defined]
    assert plan.trip.vehicle.rows[row].slides is None
