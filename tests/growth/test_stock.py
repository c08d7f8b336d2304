"""The smallest set carries everybody on every day, and fewer do not."""

from __future__ import annotations

from datetime import date, timedelta

import pytest

from seatplan import load_trip
from seatplan.growth.family import trip_on
from seatplan.growth.purchase import bundled
from seatplan.growth.stock import StockFound, find_stock
from seatplan.model import Trip
from seatplan.rules.load import load_profile
from seatplan.solver.plan import plan
from seatplan.units import Quantity
from seatplan.views.stock_json import stock_json
from seatplan.views.stock_text import stock_text


def one_child() -> Trip:
    return load_trip("two-seater-airbag-off")


def works(trip: Trip, names: tuple[str, ...], day: date) -> bool:
    own = {r.restraint: r for r in trip.restraints}
    assert trip.on is not None
    new = {r.restraint: r.model_copy(update={"made": trip.on}) for r in bundled().values()}
    pool = [own.get(name) or new[name.removesuffix(" (new)")].model_copy(update={"restraint": name}) for name in names]
    grown = trip_on(trip.model_copy(update={"restraints": pool}), day, trip.on)
    return bool(plan(grown, load_profile(trip.rules), day, top=1).arrangements)


@pytest.fixture(scope="module")
def found() -> StockFound:
    trip = one_child()
    assert trip.on is not None
    return find_stock(trip, load_profile("us"), trip.on, date(2028, 11, 30))


def test_the_set_carries_the_child_on_every_day_asked(found: StockFound) -> None:
    trip, stock = one_child(), found.smallest
    assert stock is not None
    assert trip.on is not None
    assert len(stock.restraints) == 1
    for n in range(0, 731, 73):
        assert works(trip, stock.restraints, trip.on + timedelta(n))
    assert stock.course.legs[-1].last == date(2028, 11, 30)
    assert all(leg.seating is not None for leg in stock.course.legs)


def test_none_at_all_does_not(found: StockFound) -> None:
    trip = one_child()
    assert trip.on is not None
    assert found.complete
    assert not works(trip, (), trip.on)


def test_what_is_at_hand_comes_before_what_must_be_bought(found: StockFound) -> None:
    """Slim takes Pip rear-facing for two years and is there already."""
    assert found.smallest is not None
    assert (found.smallest.restraints, found.smallest.bought) == (("Slim",), ())


def test_a_child_that_nothing_takes_is_named() -> None:
    trip = one_child()
    assert trip.on is not None
    giant = trip.riders[1].model_copy(update={
        "mass": Quantity("70.0 kg"), "height": 1200, "sure": {"mass": Quantity("70.0 kg"), "height": 1200}})
    lost = find_stock(trip.model_copy(update={"riders": [trip.riders[0], giant]}), load_profile("us"), trip.on,
                      date(2027, 2, 28))
    assert lost.smallest is None
    assert lost.nobody_takes == (("Pip", trip.on),)
    assert f"takes Pip from {trip.on}" in " ".join(stock_text(lost, trip).split())


def test_text_and_json_say_the_same(found: StockFound) -> None:
    text, told = stock_text(found, one_child()), stock_json(found, one_child())
    assert max(map(len, text.splitlines())) <= 100
    assert told["smallest"]["restraints"] == ["Slim"]
    assert "1 restraint; fewer do not do: Slim; nothing to buy" in " ".join(text.split())
    assert told["caution"] in " ".join(text.split())
