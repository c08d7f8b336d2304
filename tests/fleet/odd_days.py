"""Small random days with all that bounds a plan: hours, copies that expire or sit in quarantine, what nobody installs,
travel and holding that nobody knows."""

from __future__ import annotations

import random
from dataclasses import replace

from invented_days import invented

from seatplan.fleet.records import Day


def odd(seed: int) -> Day:
    """A day of up to seven bookings. Two in three have somebody who drives."""
    drawn = random.Random(seed)
    day = invented(seed, bookings=drawn.randint(4, 7), vehicles=drawn.randint(2, 4), depots=drawn.randint(1, 2),
                   types=drawn.randint(1, 2), copies=drawn.randint(1, 5), kinds=drawn.randint(1, 3),
                   levels=drawn.randint(1, 2), span=drawn.choice((150, 300, 500)), installed=drawn.choice((0.3, 0.7)),
                   driver=seed % 3 > 0)
    if drawn.random() < 0.3:
        day = replace(day, nobody_installs=frozenset({"depot 0"}))
    units = tuple(unit._replace(since=drawn.choice((None, None, 450, 520)),
                                until=drawn.choice((None, None, None, 700, 800))) for unit in day.vehicles)
    copies = tuple(copy._replace(last=drawn.choice(("", "", "2026-11-30", "2026-11-29", "2027-01-01")),
                                 since=drawn.choice((None, None, 500)) if copy.vehicle else copy.since)
                   for copy in day.copies)
    holding = day.holding if drawn.random() < 0.9 else {by: n for by, n in day.holding.items() if by != "belt"}
    travel = {pair: minutes for pair, minutes in day.travel.items() if drawn.random() > 0.03}
    return replace(day, vehicles=units, copies=copies, holding=holding, travel=travel)
