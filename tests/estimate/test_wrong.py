"""How often a first answer is wrong: told of what is only estimated, held against the same trip measured in full.

``likely`` may be wrong in under 2 % of all cases, ``rejected`` in under 1 %, and ``fits`` is never said. The counts are
printed (``pytest -s``).
"""

from __future__ import annotations

from collections import Counter
from random import Random

import pytest
from short_and_whole import DAY, drawn

from seatplan.model import Trip
from seatplan.rules.load import load_profile
from seatplan.solver.judge import Judge
from seatplan.solver.kinds import alike
from seatplan.solver.placements import JudgedPlacement, all_choices
from seatplan.solver.plan import plan

PROFILE = load_profile("us")
_BATCHES = [range(start, start + 15) for start in range(0, 60, 15)]


def level(cell: JudgedPlacement) -> str:
    return ("rejected" if cell.blocked else "unmeasured" if cell.unmeasured else "likely" if cell.estimates
            else "close" if cell.close else "fits")


def told(trip: Trip) -> dict[tuple[object, ...], tuple[str, str]]:
    """By rider, seat, restraint, mode and what holds it: the mode and what is said of the placement."""
    judge = Judge(trip, PROFILE, DAY)
    found = {}
    for cell in all_choices(judge.trip, judge.runner, alike(judge.trip)).cells():
        p = cell.placement
        if p.restraint is not None:
            key = p.rider.rider, p.position.position, p.restraint.restraint, p.mode_name, p.by, p.bars, p.tether
            found[key] = p.mode_name, level(cell)
    return found


def counts(seeds: range, ages_only: bool) -> Counter[tuple[str, str, str]]:
    """How often something is said of the short form, by mode, and what is said when all is measured."""
    counted: Counter[tuple[str, str, str]] = Counter()
    for seed in seeds:
        trip = drawn(Random(seed), ages_only)
        whole = told(trip.whole)
        for key, (mode, short) in told(trip.short).items():
            if key in whole:
                counted[mode, short, whole[key][1]] += 1
    return counted


def share(counted: Counter[tuple[str, str, str]], said: str, wrong: frozenset[str]) -> tuple[int, int]:
    """Of all that something is said of, how many it is wrong of; what stays open in full says nothing."""
    cases = {truth: sum(n for (_, short, full), n in counted.items() if short == said and full == truth)
             for truth in ("fits", "close", "likely", "unmeasured", "rejected")}
    return sum(cases[truth] for truth in wrong), sum(cases.values()) - cases["unmeasured"]


@pytest.mark.parametrize("ages_only", [False, True], ids=["bodies", "ages"])
def test_a_first_answer_is_hardly_ever_wrong(ages_only: bool) -> None:
    counted: Counter[tuple[str, str, str]] = Counter()
    for seeds in _BATCHES:
        counted += counts(seeds, ages_only)
    for mode in sorted({mode for mode, _, _ in counted}):
        print(mode, {f"{short} / {full}": n for (own, short, full), n in sorted(counted.items()) if own == mode})
    likely_wrong, likely = share(counted, "likely", frozenset({"rejected"}))
    rejected_wrong, rejected = share(counted, "rejected", frozenset({"fits", "close", "likely"}))
    print(f"likely: {likely_wrong} of {likely} wrong; rejected: {rejected_wrong} of {rejected} wrong")
    assert not any(short == "fits" for _, short, _ in counted)
    assert likely_wrong <= 0.02 * likely
    assert rejected_wrong <= 0.01 * rejected
    assert ages_only or likely >= 100            # of an age alone hardly anything is likely
    assert rejected >= 1000


@pytest.mark.parametrize("seed", range(25))
def test_no_first_answer_fits(seed: int) -> None:
    trip = drawn(Random(seed)).short
    assert plan(trip, PROFILE, DAY, top=1).verdict not in ("fits", "close")
