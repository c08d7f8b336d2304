"""The choices of a day made from those of another are those that are made anew."""

from __future__ import annotations

from datetime import timedelta
from random import Random

import pytest
from families import watched

from seatplan.growth.remembered import Remembered
from seatplan.model import Trip
from seatplan.rules.run import Runner
from seatplan.rules.subjects import RuleContext
from seatplan.solver.kinds import apart
from seatplan.solver.placements import Choices, JudgedPlacement, all_choices
from seatplan.store import Store


def told(choices: Choices) -> list[object]:
    """All that a search asks of choices: of what is blocked only that it is."""
    return [(c.rider, c.position, c.restraint, c.mode, len(c.all_cells), [cell_told(cell) for cell in c.cells])
            for own in choices.per_rider for c in own]


def cell_told(cell: JudgedPlacement) -> tuple[object, ...]:
    p = cell.placement
    return (p.rider.content, p.installation and p.installation.content, p.bars, p.tether, p.recline, cell.unmeasured,
            cell.close, cell.cautions, cell.estimates, cell.held)


@pytest.mark.parametrize("name", ["third-child-on-the-way", "tall-driver", "two-seater-airbag-off",
                                  "three-across-school-run", "half-measured-car", "sliding-row-outing"])
def test_day_after_day(name: str) -> None:
    """On both sides of days on which something is said differently, and days drawn by chance, forth and back."""
    watch, rng = watched(name), Random(name)
    days = [watch.start, watch.end]
    for change in rng.sample(watch.event_days(), min(8, len(watch.event_days()))):
        days += [change - timedelta(1), change, watch.start + timedelta(rng.randrange((watch.end - watch.start).days))]
    remembered = Remembered(watch.turned)

    def runner(trip: Trip) -> Runner:
        assert trip.on is not None
        return Runner(RuleContext(trip, trip.vehicle, watch.profile, trip.on, store=Store()))

    for day in days:
        trip = watch.family.on(day)
        again = remembered.choices(trip, runner(trip), apart(trip))
        assert told(again) == told(all_choices(trip, runner(trip), apart(trip))), day


@pytest.mark.parametrize("name", ["third-child-on-the-way", "tall-driver"])
def test_a_turning_day_is_one_on_which_an_open_placement_is_another(name: str) -> None:
    watch = watched(name)
    turned = {day for day in watch.event_days() for w in watch.placements
              if w.status(day).sure != w.status(day - timedelta(1)).sure}
    assert watch.turning_days() == sorted(turned)
    assert turned < set(watch.status_days())
