"""The table in README.md is what the rules say today."""

from __future__ import annotations

from functools import lru_cache
from pathlib import Path

import pytest
from population import shares

#: as told in summaries of Bing, Bolte, Agnew 2015: per cent that fail
PUBLISHED = {
    "base between bolsters": {"RF": "37", "FF": "38"},
    "base carried": {"RF": "37", "FF": "38"},
    "recline": {"RF": "over 40"},
    "recline, one setting": {"RF": "over 40"},
    "head restraint": {"FF": "33"},
    "head restraint, left on": {"FF": "33"},
    "room ahead": {"RF": "10"},
    "room ahead, half a travel more": {"RF": "10"},
    "overhang": {"RF": "under 2", "FF": "under 2"},
    "tether reach": {"FF": "under 2"},
}
WITHIN = 5


def table() -> dict[str, list[str]]:
    lines = (Path(__file__).parent / "README.md").read_text(encoding="utf-8").splitlines()
    rows = [[cell.strip() for cell in line.strip("|").split("|")] for line in lines if line.startswith("| ")]
    return {row[0]: row[1:] for row in rows if row[0] not in ("cause", "---")}


TABLE = table()
computed = lru_cache(maxsize=1)(shares)


def agrees(ours: float, published: str) -> bool:
    word, _, bound = published.rpartition(" ")
    if word == "under":
        return ours < float(bound)
    if word == "over":
        return ours > float(bound)
    return abs(ours - float(bound)) <= WITHIN


def test_every_cause_has_a_line() -> None:
    assert set(TABLE) == set(computed())
    assert {f"{way} {cause}" for cause, ways in PUBLISHED.items() for way in ways} == set(TABLE)


@pytest.mark.parametrize("cause", TABLE)
def test_line_is_not_stale(cause: str) -> None:
    ours, published, verdict = TABLE[cause]
    assert float(ours) == pytest.approx(computed()[cause], abs=0.1)
    way, _, name = cause.partition(" ")
    assert published == PUBLISHED[name][way]
    assert verdict == ("yes" if agrees(computed()[cause], published) else "no")
