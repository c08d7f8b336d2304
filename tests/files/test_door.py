"""A trip made or copied in Python is held to what files are held to, with the path of what is wrong."""

from __future__ import annotations

from collections.abc import Callable
from datetime import date, datetime
from typing import Any

import pytest

from seatplan import InputError, arrange, load_trip, seatings
from seatplan.doubt import believed
from seatplan.files.door import checked, path_of
from seatplan.growth.family import trip_on
from seatplan.model import Believed, Reckoned, Rider, Trip, Wish
from seatplan.model.trip import FrontLimit
from seatplan.units import mass

TRIP = load_trip("three-across-school-run")
DAY = date(2026, 11, 30)


def put(record: Any, path: str, value: Any) -> Any:
    """The records with one value set, as a caller would copy them: nothing is checked."""
    step, _, rest = path.partition(".")
    if isinstance(record, list):
        return [put(item, rest, value) if i == int(step) else item for i, item in enumerate(record)] if rest else [
            value if i == int(step) else item for i, item in enumerate(record)]
    return record.model_copy(update={step: put(getattr(record, step), rest, value) if rest else value})


def wrong(trip: Trip, **options: Any) -> list[str]:
    with pytest.raises(InputError) as caught:
        arrange(trip, **options)
    return [str(problem) for problem in caught.value.problems]


SHELL = "restraints.0.modes.0"
CASES: dict[str, tuple[str, Any, str]] = {
    "a width below nothing": (f"{SHELL}.parts.0.width", -400, "restraints[0].modes[0].parts[0].width: width of "
                              "restraint Nook, mode rear-facing-harness, part base is -400; expected 1 to 3000 mm"),
    "no number": ("riders.1.shoulder_height", float("nan"), "riders[1].shoulder_height: shoulder_height of rider Wren "
                  'is nan; expected mm, cm, m, in or ft, such as 438, "43.8 cm" or "17 1/4 in"'),
    "without end": ("vehicle.rows.1.cushion.angle", float("inf"), "vehicle.rows[1].cushion.angle: cushion angle of row "
                    "2 is inf; expected degrees, such as 14"),
    "a bare mass": ("riders.1.mass", 9.6, "riders[1].mass: mass of rider Wren is 9.6; 9.6 kg is 21.2 lb; 9.6 lb is "
                    '4.4 kg: write the unit, such as "9.6 kg" or "9.6 lb"'),
    "too heavy": ("riders.1.mass", mass("960 kg"), 'riders[1].mass: mass of rider Wren is "960 kg"; expected 0.5 to '
                  "250 kg"),
    "limits upside down": (f"{SHELL}.limits.mass", (mass("18 kg"), mass("2 kg")), "restraints[0].modes[0].limits.mass: "
                           'limits mass of restraint Nook, mode rear-facing-harness is ["18 kg", "2 kg"]; expected the '
                           "lower one first, [lowest, highest]"),
    "slots above the shell": (f"{SHELL}.shoulder_slots", (150, 700), "restraints[0].modes[0].shoulder_slots[1]: the "
                              "highest slot is at 700 mm, and the shell ends at 600 mm; expected slots below its top "
                              "(mode rear-facing-harness)"),
    "a driver nowhere": ("drives", "9Z", 'drives: drives is "9Z"; expected row and side, such as 1L, 2C or 3R'),
    "a driver elsewhere": ("drives", "3L", 'drives: no position is called "3L"; expected one of 1L, 1R, 2C, 2L, 2R'),
    "a rider twice": ("riders.2.rider", "Wren", 'riders[2]: rider "Wren" is named twice; give each rider a name of its '
                      "own"),
    "a row twice": ("vehicle.rows.1.row", 1, "vehicle.rows[1].row: row 1 comes after row 1; expected rows from front "
                    "to back"),
    "a must for nobody": ("wishes.0", Wish(rider="Nobody", at=["2L"], must=True), "wishes[0].rider: no rider of this "
                          'trip is called "Nobody"; expected one of Ines, Oslo, Tamsin, Wren'),
    "a must for a seat that is not there": (
        "wishes.0", Wish(rider="Wren", at=["3L"], must=True), 'wishes[0].at[0]: no position of this trip is called '
        '"3L"; expected one of 1L, 1R, 2C, 2L, 2R'),
    "a must for a restraint that is not there": (
        "wishes.0", Wish(rider="Wren", uses=["Nock"], must=True), 'wishes[0].uses[0]: no restraint of this trip is '
        'called "Nock"; did you mean "Nook"?'),
    "a restraint twice": ("restraints.1.restraint", "Nook", 'restraints[1]: restraint "Nook" is named twice; give each '
                          "copy a name of its own: {use: ..., as: ...}"),
    "no name": ("riders.1.rider", "", 'riders[1].rider: name of rider 2 is ""; expected a name of 1 to 60 characters'),
    "a name that hides": ("riders.1.rider", "Wren\x1b[2J", "riders[1].rider: a character that is no text (number 27); "
                          "leave it out"),
    "a record without its check": (
        "riders.1", Rider.model_construct(rider="Wren", mass="heavy", age=11), 'riders[1].mass: mass of rider Wren is '
        '"heavy"; expected kg or lb, such as "8.9 kg", "19.6 lb" or "19 lb 10 oz"'),
    "a record without what it needs": ("riders.1", Rider.model_construct(age=11), "riders[1].rider: rider 2 has no "
                                       'name: expected key "rider"'),
    "a field that is none": ("riders.1.weight", mass("9 kg"), 'riders[1]: unknown key "weight"; did you mean "mass"?'),
    "a value that no file holds": ("riders.1.mass", {1}, "riders[1].mass: a value of type set; expected what a file "
                                   "can hold: text, numbers, days, lists and keys"),
    "a number without end": ("riders.1.age", 10**6000, "riders[1].age: a number of more than 40 digits; expected a "
                             "shorter one"),
    "a key that is no text": ("front", {1: FrontLimit()}, "front: a key is 1; expected text"),
    "shoulders above sitting height": ("riders.1.shoulder_height", 480, "riders[1].shoulder_height: shoulder_height of "
                                       "Wren is 480 mm, and sitting_height 470 mm; expected it to be less"),
    "text for a record": ("vehicle", "harrow-estate", 'vehicle: vehicle is "harrow-estate"; expected keys such as '
                          "vehicle, invented, notes, model_year"),
    "nobody": ("riders", [], "riders: nobody to seat: `riders` is empty; expected at least one rider"),
    "made later": ("restraints.0.made", date(2027, 1, 1), "restraints[0].made: Nook was made 2027-01-01, after "
                   "2026-11-30; expected a day up to it"),
}


@pytest.mark.parametrize("name", CASES)
def test_what_cannot_be_true_is_told_with_its_path(name: str) -> None:
    path, value, told = CASES[name]
    assert told in wrong(put(TRIP, path, value))


def test_seatings_are_not_counted_of_what_cannot_be_true() -> None:
    with pytest.raises(InputError, match="restraints\\[0\\]"):
        next(seatings(put(TRIP, f"{SHELL}.parts.0.width", -400)))


@pytest.mark.parametrize(("top", "told"), [(0, "0"), (-3, "-3"), (True, "true"), (2.5, "2.5"), ("5", '"5"')])
def test_no_answer_for_no_arrangements(top: Any, told: str) -> None:
    assert wrong(TRIP, top=top) == [f"top: top is {told}; expected at least 1, or None for all"]


@pytest.mark.parametrize(("today", "told"), [
    ("2026-11-30", '"2026-11-30"'), (datetime(2026, 11, 30), "2026-11-30 00:00:00")])
def test_today_is_a_day(today: Any, told: str) -> None:
    assert wrong(TRIP, today=today) == [f"today: today is {told}; expected a day such as 2026-11-25"]


def test_a_list_changed_in_place_counts_as_it_is_now() -> None:
    trip = load_trip("three-across-school-run")
    before = trip.content
    trip.wishes.clear()
    assert checked(trip, None).content == TRIP.model_copy(update={"wishes": []}).content != before


def test_a_latest_measurement_stands_in_as_it_does_in_a_file() -> None:
    measured = Rider.model_validate({"rider": "Wren", "born": "2025-08-14",
                                     "measured": [{"on": "2026-11-01", "mass": "9 kg"}]})
    assert checked(put(TRIP, "riders.1", measured), None).riders[1].mass == mass("9 kg")


def test_a_trip_with_unknown_values_is_looked_at_again_when_it_was_copied() -> None:
    doubtful = believed(put(TRIP, "riders.1.mass", mass("40 kg")), DAY)
    assert doubtful.riders[1].mass is None
    assert checked(doubtful, None) is doubtful
    again = checked(put(doubtful, "riders.2.mass", "21 kg"), None)
    assert isinstance(again, Believed)
    assert again.riders[2].mass == mass("21 kg")
    assert again.doubted == doubtful.doubted
    with pytest.raises(InputError, match=r"riders\[2\].mass: mass of rider Oslo is 21"):
        checked(put(doubtful, "riders.2.mass", 21), None)


def test_an_unlikely_value_in_a_copy_of_the_trip_of_a_plan_counts_as_unknown_too() -> None:
    asked = arrange(TRIP, top=1).trip
    again = arrange(put(asked, "riders.1.mass", mass("40 kg")), top=1).trip
    assert isinstance(again, Believed)
    assert [(doubt.name, doubt.path) for doubt in again.doubted] == [("Wren", ("mass",))]
    assert again.riders[1].mass is None


def test_both_ends_of_a_reckoned_rider_are_looked_at() -> None:
    grown = trip_on(TRIP, date(2027, 11, 30), DAY)
    assert isinstance(grown.riders[1], Reckoned)
    assert checked(grown, None) is grown
    with pytest.raises(InputError, match=r"riders\[1\].larger.mass: "):
        checked(put(grown, "riders.1.larger.mass", 12), None)


def test_past_measurements_are_looked_at() -> None:
    late = Rider.model_validate({"rider": "Wren", "born": "2025-08-14",
                                 "measured": [{"on": "2025-01-01", "mass": "5 kg"}]})
    assert wrong(put(TRIP, "riders.1", late))[0] == (
        "riders[1].measured[0].on: Wren was measured on 2025-01-01, and is born 2025-08-14")


@pytest.mark.parametrize("change", [lambda trip: trip, lambda trip: Trip.model_validate(trip.model_dump()),
                                    lambda trip: Trip.model_validate_json(trip.model_dump_json())])
def test_a_good_trip_passes_and_reads_back_the_same(change: Callable[[Trip], Trip]) -> None:
    trip = change(TRIP)
    assert checked(trip, None, over_time=True) is trip
    assert trip == TRIP


def test_a_mass_as_text_is_read() -> None:
    assert checked(put(TRIP, "riders.1.mass", "9.6 kg"), None) == TRIP


def test_paths() -> None:
    assert path_of(("front", "1L", "stature")) == 'front["1L"].stature'
    assert path_of(()) == "trip"


def test_whoever_loads_a_trip_again_gets_lists_of_their_own() -> None:
    first = load_trip("three-across-school-run")
    first.wishes.clear()
    first.vehicle.rows.pop()
    again = load_trip("three-across-school-run")
    assert again.content == TRIP.content
    assert len(again.vehicle.rows) == len(first.vehicle.rows) + 1
