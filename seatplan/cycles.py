"""How often a process looks for cycles of objects that nobody holds."""

from __future__ import annotations

import gc


def look_seldom() -> None:
    """Imports and short solves make much and leave next to no cycles: looking for them takes up to a quarter of the
    time of a process that does nothing else."""
    gc.set_threshold(2_000_000, 50, 100)
