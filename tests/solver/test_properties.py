"""What must hold for every trip: mirror images, other names and orders, one rider or one wish more or less."""

from __future__ import annotations

from dataclasses import replace
from random import Random

from changed import lies_across_two, mirrored, other_side, renamed, shrunk, shuffled, without_rider
from hypothesis import HealthCheck, assume, given, settings
from hypothesis import strategies as st
from solved import DAY, named_seatings, seatings_of, whole_plan
from worlds import Data, trip_of, trips

from seatplan.files.load import load_trip
from seatplan.rules.load import load_profile
from seatplan.rules.registry import RULES
from seatplan.solver.plan import planned as plan  # drawn trips need not be true

_few = settings(max_examples=30, derandomize=True,
                suppress_health_check=[HealthCheck.too_slow, HealthCheck.filter_too_much, HealthCheck.data_too_large])
_orders = st.integers(0, 1000).map(Random)


@_few
@given(trips())
def test_mirror(data: Data) -> None:
    assume(not lies_across_two(data))
    there, back = whole_plan(trip_of(data)), whole_plan(trip_of(mirrored(data)))
    turned = {tuple((other_side(position), *held) for position, *held in seating): cost
              for seating, cost in seatings_of(there).items()}
    assert turned == seatings_of(back)
    assert there.tally == back.tally


@_few
@given(trips())
def test_names_do_not_matter(data: Data) -> None:
    names = [rider["rider"] for rider in data["riders"]]
    others = dict(zip(names, [f"{9 - i} {name}" for i, name in enumerate(names)], strict=True))
    one, other = whole_plan(trip_of(data)), whole_plan(trip_of(renamed(data, others)))
    assert list(seatings_of(one).items()) == list(seatings_of(other).items())
    assert one.tally == other.tally
    assert one.squares == other.squares


def test_no_twin_comes_first() -> None:
    """Two children of one age: which name comes first in the alphabet decides nothing."""
    trip = load_trip("twins-small-hatch")
    swapped = trip.model_copy(update={"riders": [
        rider.model_copy(update={"rider": {"Ada": "Ivo", "Ivo": "Ada"}.get(rider.rider, rider.rider)})
        for rider in trip.riders]})
    assert list(seatings_of(whole_plan(trip)).items()) == list(seatings_of(whole_plan(swapped)).items())


@_few
@given(trips(), _orders)
def test_order_of_the_file_does_not_matter(data: Data, rng: Random) -> None:
    one, other = whole_plan(trip_of(data)), whole_plan(trip_of(shuffled(data, rng)))
    assert named_seatings(one) == named_seatings(other)
    assert one.tally == other.tally
    assert sorted(a.cost for a in one.arrangements) == sorted(a.cost for a in other.arrangements)


@_few
@given(trips(), st.integers(0, 4))
def test_a_rider_less_loses_nothing(data: Data, which: int) -> None:
    """Who stays at home leaves room: every seating stays valid for the others. Not so for a wish to sit together,
    nor for the driver, whose seat stays taken."""
    passengers = [rider["rider"] for rider in data["riders"] if not rider.get("drives")]
    assume(len(data["riders"]) > 1 and passengers)
    data["wishes"] = [wish for wish in data["wishes"] if "together" not in wish]
    name = passengers[which % len(passengers)]
    all_of_them, the_others = whole_plan(trip_of(data)), whole_plan(trip_of(without_rider(data, name)))
    left = {frozenset(seat for seat in seating if seat[0] != name) for seating in named_seatings(all_of_them)}
    assert left <= named_seatings(the_others)


@_few
@given(trips(), _orders)
def test_a_narrower_part_loses_nothing(data: Data, rng: Random) -> None:
    narrower = shrunk(data, rng)
    assume(narrower is not None)
    assert narrower is not None
    assert named_seatings(whole_plan(trip_of(data))) <= named_seatings(whole_plan(trip_of(narrower)))


@_few
@given(trips(), _orders)
def test_a_must_wish_adds_nothing(data: Data, rng: Random) -> None:
    names = [rider["rider"] for rider in data["riders"]]
    places = [position["position"] for row in data["vehicle"]["rows"] for position in row["positions"]]
    kind = rng.choice(["at", "not_at", "apart", "together"] if len(names) > 1 else ["at", "not_at"])
    wish = ({kind: rng.sample(names, 2), "must": True} if kind in ("apart", "together") else
            {"rider": rng.choice(names), kind: rng.sample(places, rng.randint(1, len(places))), "must": True})
    before = whole_plan(trip_of(data))
    after = whole_plan(trip_of({**data, "wishes": [*data["wishes"], wish]}))
    assert named_seatings(after) <= named_seatings(before)
    assert after.tally.seatings == before.tally.seatings


@_few
@given(trips())
def test_strict_adds_nothing(data: Data) -> None:
    trip = trip_of(data)
    usual, strict = whole_plan(trip), whole_plan(trip, strict=True)
    assert named_seatings(strict) <= named_seatings(usual)
    assert strict.tally.sure["unmeasured"] == 0
    sure = [a for a in usual.arrangements if a.verdict != "unmeasured"]
    assert len(strict.arrangements) >= len(sure)


@_few
@given(trips(), st.sets(st.sampled_from([rule.id for rule in RULES if rule.strength == "good practice"])))
def test_a_stricter_profile_adds_nothing(data: Data, must: set[str]) -> None:
    trip = trip_of(data)
    profile = load_profile(trip.rules)
    usual = plan(trip, profile, DAY, top=None)
    stricter = plan(trip, replace(profile, must=frozenset(must)), DAY, top=None)
    assert named_seatings(stricter) <= named_seatings(usual)
    assert len(stricter.arrangements) == stricter.tally.valid


def test_rules_of_the_whole_trip_look_at_riders_positions_and_restraints_only() -> None:
    """The count of what they turn down asks them once for all seatings that differ in nothing else."""
    whole = [rule for rule in RULES if rule.scope == "trip"]
    assert whole
    assert all(set(rule.depends) <= {"rider", "position", "restraint"} for rule in whole)


@_few
@given(trips(), st.integers(1, 3))
def test_the_first_few_are_the_first_of_all(data: Data, top: int) -> None:
    trip = trip_of(data)
    some = plan(trip, load_profile(trip.rules), DAY, top=top)
    every = whole_plan(trip)
    assert list(seatings_of(some).items()) == list(seatings_of(every).items())[:top]
    assert some.tally == every.tally
