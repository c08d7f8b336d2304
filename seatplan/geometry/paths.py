"""Every sum of a row across: from the left wall through bodies further and further right, and back."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from math import inf
from typing import NamedTuple

from .chain import Step


class Path(NamedTuple):
    """The steps of one sum, by how much it overshoots, what it may be off, and how much of that is only estimated,
    half-mm."""

    steps: tuple[Step, ...]
    over: int
    off_by: float
    guess: float = 0.0


def paths(steps: Sequence[Step], origin: str, off_by: Callable[[Sequence[Step]], tuple[float, float]],
          least: float) -> list[Path]:
    """The sums that start and end at ``origin`` and overshoot by more than ``least``;
    ``off_by``: what one may be off, and what of it is only estimated, mm."""
    found = []
    for path, over in sums(steps, origin, least):
        off, guess = off_by(path)
        found.append(Path(path, over, 2 * off, 2 * guess))
    return found


def sums(steps: Sequence[Step], origin: str, least: float) -> list[tuple[tuple[Step, ...], int]]:
    """The steps of the same sums, each with what it overshoots by, half-mm."""
    out: dict[str, list[Step]] = {}
    for step in steps:
        out.setdefault(step.start, []).append(step)
    most: dict[str, float] = {origin: 0}
    found: list[tuple[tuple[Step, ...], int]] = []
    stack: list[tuple[tuple[Step, ...], int]] = [
        ((step,), step.need) for step in out.get(origin, ()) if step.need + _most(step.end, out, most) > least]
    while stack:
        path, so_far = stack.pop()
        for step in out.get(path[-1].end, ()):
            over = so_far + step.need
            if over + most[step.end] <= least:      # however it goes on, it does not overshoot by so much
                continue
            more = (*path, step)
            if step.end != origin:
                stack.append((more, over))
            else:
                found.append((more, over))
    return found


def _most(start: str, out: Mapping[str, Sequence[Step]], most: dict[str, float]) -> float:
    """The largest sum of steps from a body to the end; ``most`` holds those that are known, and keeps what is found."""
    known = most.get(start)
    if known is None:
        known = most[start] = max((step.need + _most(step.end, out, most) for step in out.get(start, ())),
                                  default=-inf)
    return known
