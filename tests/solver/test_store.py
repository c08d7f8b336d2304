"""Answers out of a store that has seen other trips are those of an empty one: after edits, in threads, in little room.

What is compared is everything that a plan says, as JSON or as text. The cold answers of a sequence of edits are worked
out in a process of their own, in the opposite order, so that nothing a process keeps can be in both.
"""

from __future__ import annotations

import gc
import hashlib
import json
import os
import resource
import subprocess
import sys
from concurrent.futures import ProcessPoolExecutor, ThreadPoolExecutor
from dataclasses import dataclass
from datetime import date
from functools import lru_cache
from itertools import pairwise
from multiprocessing import get_context
from pathlib import Path
from random import Random
from typing import Any

import pytest
from edits import KINDS, body, limit, width, wish
from same_as import differences
from worlds import drawn, random_trip

import seatplan
from seatplan import store
from seatplan.files.load import load_trip
from seatplan.growth.family import trip_on
from seatplan.model import Trip
from seatplan.rules.load import load_profile
from seatplan.rules.options import Options
from seatplan.solver.judge import Judge, picks_of
from seatplan.solver.plan import best_of, planned
from seatplan.solver.results import Plan
from seatplan.views.arrangement_json import arrangement_json
from seatplan.views.finding_json import finding_json
from seatplan.views.manner import speaking
from seatplan.views.plan_json import plan_json
from seatplan.views.plan_text import plan_text

#: so few answers that hardly one is still there when it is asked for again
TINY = 100
#: trips that solve in a moment and are all different: an estate, a taxi, rows that slide, a child that is due
BUNDLED = ("three-across-school-run", "taxi-ride", "sliding-row-outing", "third-child-on-the-way",
           "boosters-by-the-handbook", "half-measured-car")
STEPS = 6
_BATCHES = [range(start, start + 10) for start in range(0, 300, 10)]
#: a tenth of them run each time
_MARKED = [batch if batch.start % 100 == 0 else pytest.param(batch, marks=pytest.mark.whole) for batch in _BATCHES]


def fresh(bound: int | None = None) -> Any:
    """An empty store. Every store of these tests is made here."""
    return store.Store() if bound is None else store.Store(bound=bound)


@dataclass(frozen=True)
class Asked:
    """One question: a trip, the day on which its sizes hold, and the options."""

    trip: Trip
    taken: date
    top: int
    strict: bool
    worst_case: bool

    def plan(self, kept: Any) -> Plan:
        trip, day = self.travelling()
        return planned(trip, load_profile(trip.rules), day, top=self.top, strict=self.strict,
                       worst_case=self.worst_case, store=kept)

    def travelling(self) -> tuple[Trip, date]:
        """The trip with the riders as they are on its day."""
        assert self.trip.on is not None
        return trip_on(self.trip, self.trip.on, self.taken), self.trip.on

    def answer(self, kept: Any) -> dict[str, Any]:
        """All that is said of it: the plan, and what the judge says of its best arrangement."""
        plan = self.plan(kept)
        judged = None
        if plan.arrangements:
            trip, day = self.travelling()
            judge = Judge(trip, load_profile(trip.rules), day, Options(self.strict, self.worst_case), store=kept)
            found = judge.best(picks_of(plan.arrangements[0]))
            assert found is not None
            judged = [found.verdict, [finding_json(finding) for finding in found.findings], list(found.estimates)]
        return {"plan": plan_json(plan), "judged": judged}


def digest(answer: dict[str, Any]) -> str:
    return hashlib.sha256(json.dumps(answer).encode()).hexdigest()


@lru_cache(maxsize=len(BUNDLED))
def loaded(name: str) -> Trip:
    return load_trip(name)


def sequence(seed: int) -> list[Asked]:
    """A trip and a few edits of it, one after another, some of them taken back. Every fourth trip is a bundled one."""
    rng = Random(seed)
    trip = drawn(seed) if seed % 4 else loaded(BUNDLED[seed // 4 % len(BUNDLED)])
    assert trip.on is not None
    taken, earlier = trip.on, [trip]
    asked: list[Asked] = []
    strict = worst_case = False
    for step in range(STEPS):
        if step and rng.random() < 0.2:
            trip = rng.choice(earlier)
        elif step:
            trip = rng.choice(KINDS)(trip, rng)
        earlier.append(trip)
        if rng.random() < 0.2:
            strict, worst_case = rng.random() < 0.5, rng.random() < 0.5
        asked.append(Asked(trip, taken, rng.choice((1, 3, 5)), strict, worst_case))
    return asked


def cold_digests(seeds: list[int]) -> list[str]:
    """The answers to some sequences, each by an empty store, the last one first; listed in their own order."""
    asked = [one for seed in seeds for one in sequence(seed)]
    return [digest(one.answer(fresh())) for one in reversed(asked)][::-1]


@pytest.mark.parametrize("seeds", _MARKED, ids=lambda seeds: f"{seeds[0]}-{seeds[-1]}")
def test_a_warm_store_answers_as_an_empty_one(seeds: range) -> None:
    with ProcessPoolExecutor(1, mp_context=get_context("spawn")) as elsewhere:
        cold = elsewhere.submit(cold_digests, list(seeds))
        usual, tiny = fresh(), fresh(bound=TINY)
        warm = [(seed, step, one, digest(one.answer(usual)), digest(one.answer(tiny)))
                for seed in seeds for step, one in enumerate(sequence(seed))]
        for (seed, step, one, *answers), expected in zip(warm, cold.result(), strict=True):
            for told, kept in zip(answers, (usual, tiny), strict=True):
                assert told == expected, (seed, step, _difference(one, kept))


@pytest.mark.parametrize("seeds", [range(start, start + 10) for start in (0, 40, 80)])
def test_the_best_few_without_a_count_are_those_of_the_plan(seeds: range) -> None:
    """With what each other left in a store: one asks of all that is turned down, the other only of what stands."""
    usual, tiny, told = fresh(), fresh(bound=TINY), 0
    for seed in seeds:
        for step, one in enumerate(sequence(seed)):
            trip, day = one.travelling()
            for kept in (usual, tiny):
                best = best_of(trip, load_profile(trip.rules), day, top=one.top, strict=one.strict,
                               worst_case=one.worst_case, store=kept)
                listed = one.plan(kept).arrangements
                assert list(map(arrangement_json, best)) == list(map(arrangement_json, listed)), (seed, step)
                told += len(listed)
    assert told > 50


def _difference(asked: Asked, kept: Any) -> list[tuple[str, str]]:
    """Where an answer differs from that of an empty store, as far as it still does."""
    return list(differences(asked.answer(fresh()), asked.answer(kept)))[:3]


def test_the_sequences_have_something_of_everything() -> None:
    """Edits that changed no answer, or trips that all answer alike, would let any store pass."""
    verdicts: set[str] = set()
    changed = total = under_way = 0
    kept = fresh()
    for seed in range(24):
        told = [one.plan(kept) for one in sequence(seed)]
        verdicts |= {plan.verdict for plan in told}
        under_way += sum(bool(plan.trip.under_way) for plan in told)
        changed += sum(_said(one) != _said(other) for one, other in pairwise(told))
        total += len(told) - 1
    assert verdicts >= {"fits", "close", "likely", "unmeasured", "rejected"}
    assert under_way > 3
    assert changed > total // 4


def _said(plan: Plan) -> tuple[object, ...]:
    return plan.tally, plan.verdict, [(one.cost, picks_of(one)) for one in plan.arrangements]


_MANNERS = (("en", "metric"), ("es", "metric"), ("en", "customary"), ("es", "customary"))


def _told(seeds: list[int], manner: tuple[str, str], kept: Any) -> list[str]:
    """The texts of some sequences in one language and its units."""
    texts = []
    with speaking(*manner):
        for seed in seeds:
            for one in sequence(seed):
                plan = one.plan(kept)
                texts.append(plan_text(plan) + json.dumps(plan_json(plan)))
    return texts


def test_four_threads_answer_as_one() -> None:
    """Different trips, languages and units at once, on a store in which nothing lasts. Each trip is asked by two."""
    shares = [[k, (k + 1) % 4, 5 + k] for k in range(4)]
    serial = [_told(seeds, manner, fresh()) for seeds, manner in zip(shares, _MANNERS, strict=True)]
    usual = sys.getswitchinterval()
    sys.setswitchinterval(1e-5)
    try:
        for kept in (fresh(bound=TINY), fresh()):
            with ThreadPoolExecutor(4) as pool:
                together = [pool.submit(_told, seeds, manner, kept)
                            for seeds, manner in zip(shares, _MANNERS, strict=True)]
                assert [one.result() for one in together] == serial
    finally:
        sys.setswitchinterval(usual)


@pytest.mark.parametrize(("solves", "seatings"), [(200, 120), pytest.param(2000, 600, marks=pytest.mark.whole)])
def test_memory_stays_flat(solves: int, seatings: int) -> None:
    """Always new edits of the same trips. Blocks in use are counted after each round of them: what is kept reaches its
    bound in the first quarter, and stays. The peak of the process shows what is too large to be a block."""
    trips = [random_trip(Random(seed), seatings) for seed in range(10)]
    kept, rng = fresh(bound=TINY), Random(solves)
    blocks: list[int] = []
    peaks: list[int] = []
    for _ in range(solves // len(trips)):
        for trip in trips:
            edited = rng.choice((body, wish, width, limit))(body(trip, rng), rng)
            assert edited.on is not None
            planned(edited, load_profile(edited.rules), edited.on, top=3, store=kept)
        gc.collect()
        blocks.append(sys.getallocatedblocks())
        peaks.append(resource.getrusage(resource.RUSAGE_SELF).ru_maxrss)
    quarter = len(blocks) // 4
    start, end = max(blocks[:quarter]), max(blocks[-quarter:])
    assert end < start * 1.02 + 2_000, blocks
    assert peaks[-1] < peaks[quarter] * 1.1, peaks


_PROGRAM = "from seatplan.cli.main import run; run()"
_COMMANDS = (
    ("arrange", "three-across-school-run", "--json"),
    ("compare", "three-across-school-run", "--vehicle", "cattlegate-crew-cab", "--json"),
    ("arrange", "two-children-one-tether", "--json"),
    ("outlook", "two-children-one-tether", "--until", "6 months", "--json"),
    ("arrange", "two-children-one-tether", "--lang", "es", "--units", "customary"),
    ("room", "three-across-school-run", "--rider", "Wren", "--position", "2C", "--json"),
    ("measure", "half-measured-car"),
    ("why", "three-across-school-run", "--not", "Wren=2R", "--json"),
    ("arrange", "two-children-one-tether", "--json"),
)


def test_commands_after_others_answer_as_the_first_of_a_process() -> None:
    """What is kept when nobody brings a store: explanations, repairs, an outlook, room, two vehicles, what to measure
    in one process, against a process for each."""
    checkout = Path(seatplan.__file__).parents[1]
    asked = "\n".join(["import contextlib, io, json, sys", "from seatplan.cli.main import run", "told = []",
                       "for command in json.loads(sys.argv[1]):",
                       "    out = io.StringIO()",
                       "    with contextlib.redirect_stdout(out), contextlib.suppress(SystemExit):",
                       "        run(command)",
                       "    told.append(out.getvalue())",
                       "print(json.dumps(told))"])
    together = json.loads(_out(checkout, asked, json.dumps(_COMMANDS)))
    for command, told in zip(_COMMANDS, together, strict=True):
        assert told == _out(checkout, _PROGRAM, *command), command


def _out(checkout: Path, program: str, *arguments: str) -> str:
    """What a Python process prints."""
    return subprocess.run([sys.executable, "-c", program, *arguments], capture_output=True, text=True, check=False,
                          env={**os.environ, "PYTHONPATH": str(checkout)}).stdout
