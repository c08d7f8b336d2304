"""Rules that never come back to what they said as a child grows: the watch asks them at both ends first."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace
from itertools import groupby

import pytest
from families import watched

from seatplan.growth.watch import Check, Watch
from seatplan.model import Rider
from seatplan.rules.finding import fails, passes
from seatplan.rules.reckoned import ask
from seatplan.rules.registry import RULES
from seatplan.units import Quantity

ONE_WAY = [rule for rule in RULES if rule.one_way]
#: what never falls from the first day on which it is reckoned, and what a day changes nothing of
GROWS = {"rider.mass", "rider.height", "rider.born", "rider.age"}
FIXED = {"rider.drives", "rider.opens_buckle", "rider.pregnant", "rider.lies", "rider.preterm", "rider.seat_screening"}
#: us and un, new and old restraints, a tether by mass
TRIPS = ["three-across-school-run", "i-size-family", "two-children-one-tether", "grandparents-old-car",
         *(pytest.param(name, marks=pytest.mark.whole) for name in (
             "first-answer-roomy", "nine-seat-shuttle", "third-child-on-the-way", "boosters-by-the-handbook",
             "three-boosters-two-belts", "borrowed-bars", "two-seater-airbag-off", "twins-small-hatch"))]


def grown(rider: Rider) -> Iterator[list[Rider]]:
    """A rider on the way from a newborn to a grown child: in all sizes at once, and in each of them alone."""
    steps: list[dict[str, object]] = [
        {"mass": Quantity.of_kg(3 + n), "height": 500 + 20 * n, "age": 3 * n} for n in range(56)]
    yield [rider.model_copy(update={"born": None, **step}) for step in steps]
    for name in ("mass", "height", "age"):
        middle = {**steps[len(steps) // 3], "born": None}
        yield [rider.model_copy(update={**middle, name: step[name]}) for step in steps]


def answers(watch: Watch, check: Check, riders: Sequence[Rider]) -> list[str]:
    """What a check says of each of some riders."""
    world, p = watch.world_on(watch.start), check.placement
    told = [ask(check.rule, p.for_rider(rider, p.recline), world) for rider in riders]
    return ["" if one is None else one.outcome for one in told]


def comes_back(told: Sequence[str]) -> bool:
    runs = [said for said, _ in groupby(told)]
    return len(runs) > len(set(runs))


@pytest.mark.parametrize("name", TRIPS)
def test_no_answer_comes_back(name: str) -> None:
    watch = watched(name, 0)
    riders = watch.family.trip.riders
    checks = [check for check in watch.checks if check.rule.one_way and not riders[check.rider].adult]
    moved = 0
    for check in checks:
        for way in grown(riders[check.rider]):
            told = answers(watch, check, way)
            assert not comes_back(told), (check.rule.id, told)
            moved += len(set(told)) > 1
    assert moved > 50


def test_one_that_has_limits_on_both_sides_would_be_found() -> None:
    watch = watched("grandparents-old-car", 0)
    check = next(check for check in watch.checks if check.rule.id == "child-too-heavy")
    rider = watch.family.trip.riders[check.rider]

    def within(p, w):
        return passes(p.rider.mass) if 9 <= p.rider.mass <= 18 else fails(p.rider.mass)

    both = replace(check, rule=replace(check.rule, check=within, when=lambda p, w: True))
    assert comes_back(answers(watch, both, next(grown(rider))))


@pytest.mark.parametrize("rule", ONE_WAY, ids=lambda rule: rule.id)
def test_it_looks_at_what_never_falls(rule) -> None:
    assert {name for name in rule.reads if name.startswith("rider.")} <= GROWS | FIXED
    assert not rule.any_size
    assert "recline" not in rule.depends
    assert {"day", "tries"}.isdisjoint(rule.world)


@pytest.mark.parametrize("name", ["three-across-school-run", "first-answer-middling", "half-measured-car"])
def test_those_sizes_never_fall_once_they_are_reckoned(name: str) -> None:
    """Where sizes were measured on several days, the smaller child of the second day may be below the one measured."""
    watch = watched(name)
    days = [watch.start.fromordinal(n) for n in range(watch.start.toordinal() + 1, watch.end.toordinal(), 3)]
    for child in watch.family.children:
        before: dict[str, Sequence[object]] = {}
        for day in days:
            rider = child.on(day)
            for end in ("smaller", "", "larger"):
                one = getattr(rider, end) if end and hasattr(rider, end) else rider
                if one is None:
                    continue
                now = [one.mass or 0, one.height or 0, one.age or 0]
                assert all(a <= b for a, b in zip(before.get(end, now), now, strict=True)), (day, end)
                before[end] = now
