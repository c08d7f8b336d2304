"""A small fleet whose classes are quick, for tests of whoever answers them; run as a program, it matches them."""

from __future__ import annotations

import sys
from pathlib import Path

from small_worlds import child, world_of

from seatplan.fleet.answers import canonical_json
from seatplan.fleet.batches import Here
from seatplan.fleet.classes import World, canonical
from seatplan.fleet.kept import Kept
from seatplan.fleet.matching import Matching, worker
from seatplan.fleet.records import Class

TYPES = ("skiff-two", "lindholm-estate")


def small_world() -> World:
    return world_of(TYPES, ["nook-35", "cushion-44"])


def some_classes(number: int = 24) -> list[Class]:
    """So many classes, each once."""
    sizes = [child(20 + n, round(11 + n / 9, 1), 830 + 7 * n) for n in range(number)]
    return [Class(TYPES[n % 2], canonical([one] if n % 3 else [one, child(62, 19, 1120)]))
            for n, one in enumerate(sizes)]


def texts_in(path: Path) -> str:
    """All that is kept, as one text."""
    with Kept(path) as kept:
        return canonical_json([[key, kept.text(key)] for key in kept.each_key()])


def main(path: Path) -> None:
    world = small_world()
    with Kept(path) as kept:
        matching = Matching(world, kept, Here(worker, world), "1")
        for _ in matching.answers(some_classes()):
            pass
        print(matching.counts.known, matching.counts.asked)


if __name__ == "__main__":
    main(Path(sys.argv[1]))
