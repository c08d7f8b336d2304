"""Whatever lies between the ends of an estimate: what was likely is hardly ever blocked, what was rejected never fits.

The judge says of every arrangement what the search says of it.
"""

from __future__ import annotations

from collections import Counter
from functools import cache
from random import Random

import pytest
from between import filled
from short_and_whole import DAY, drawn

from seatplan.files.load import load_trip
from seatplan.model import Trip
from seatplan.rules.load import load_profile
from seatplan.solver.judge import Judge, Pick, picks_of
from seatplan.solver.kinds import alike
from seatplan.solver.placements import all_choices
from seatplan.solver.plan import plan

PROFILE = load_profile("us")
TIMES = 3


@cache
def _roomy() -> Trip:
    return load_trip("first-answer-roomy")


def _wider(rng: Random) -> Trip:
    """The roomy car and fewer of its children, some of them and of the seats less well known."""
    trip = _roomy()
    riders = rng.sample(trip.riders, rng.randint(1, 3))
    riders = [rider.model_copy(update={name: None for name in ("mass", "height") if rng.random() < 0.15})
              for rider in riders]
    row = trip.vehicle.rows[1]
    wide = rng.randint(1450, 1700)
    left, middle, right = row.positions
    row = row.model_copy(update={
        "trim": [row.trim[0].model_copy(update={"right": wide})],
        "positions": [left, middle, right.model_copy(update={"centre": wide - 300})]})
    if rng.random() < 0.3:
        row = row.model_copy(update={"positions": [p.model_copy(update={"centre": None}) for p in row.positions]})
    return trip.model_copy(update={"riders": riders, "vehicle": trip.vehicle.model_copy(update={
        "rows": [trip.vehicle.rows[0], row]})})


def levels(judge: Judge) -> dict[tuple[object, ...], str]:
    """By rider, seat, restraint, mode and what holds it, what is said of it; of several settings the best."""
    found: dict[tuple[object, ...], str] = {}
    for cell in all_choices(judge.trip, judge.runner, alike(judge.trip)).cells():
        p = cell.placement
        key = (p.rider.rider, p.position.position, p.restraint and p.restraint.restraint, p.mode_name, p.by,
               p.installation and p.installation.base, p.bars, p.tether)
        level = "rejected" if cell.blocked else "unmeasured" if cell.unmeasured else (
            "likely" if cell.estimates else "fits")
        if found.get(key, "rejected") == "rejected":
            found[key] = level
    return found


@pytest.mark.parametrize("ages_only", [False, True], ids=["bodies", "ages"])
def test_between_the_ends_a_placement_is_what_was_said(ages_only: bool) -> None:
    counted: Counter[tuple[str, str]] = Counter()
    for seed in range(20):
        short = Judge(drawn(Random(seed), ages_only).short, PROFILE, DAY)
        said = levels(short)
        for _ in range(TIMES):
            now = levels(Judge(filled(short.trip, Random(seed)), PROFILE, DAY))
            counted.update((level, now[key]) for key, level in said.items() if key in now)
    likely = sum(n for (level, _), n in counted.items() if level == "likely")
    assert counted["likely", "rejected"] <= 0.02 * likely
    assert counted["rejected", "fits"] == counted["rejected", "likely"] == 0
    assert counted.total() > 5000


def test_between_the_ends_an_arrangement_is_what_was_said() -> None:
    """All of it together, side by side and along the car."""
    counted: Counter[str] = Counter()
    for seed in range(45):
        rng = Random(seed)
        trip = _wider(rng)
        found = plan(trip, PROFILE, DAY, top=20)
        judge = Judge(trip, PROFILE, DAY)
        for arrangement in found.arrangements:
            assert judge.arrangement(picks_of(arrangement)).verdict == arrangement.verdict
        likely = [a for a in found.arrangements if a.verdict == "likely"]
        for _ in range(2 * TIMES if likely else 0):
            now = Judge(filled(judge.trip, rng), PROFILE, DAY)
            for arrangement in likely:
                judged = now.best([_settable(pick) for pick in picks_of(arrangement)])
                counted["none" if judged is None else judged.verdict] += 1
    assert counted["rejected"] + counted["none"] <= 0.02 * counted.total()
    assert counted.total() > 100


def _settable(pick: Pick) -> Pick:
    """At whatever setting leans as it should."""
    return Pick(pick.rider, pick.position, pick.restraint, pick.mode, pick.installation, pick.by, pick.bars,
                pick.tether)
