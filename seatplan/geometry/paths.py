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


class Reach(NamedTuple):
    """A step and what it could come to at most, half-mm: its need, and what its lengths may be off."""

    step: Step
    most: float


def sums(steps: Sequence[Step], origin: str, least: float) -> list[tuple[tuple[Step, ...], int]]:
    """The steps of the same sums, each with what it overshoots by, half-mm."""
    return sums_reaching([Reach(step, step.need) for step in steps], origin, least)


def sums_reaching(steps: Sequence[Reach], origin: str, least: float) -> list[tuple[tuple[Step, ...], int]]:
    """The same of those sums that could come to more than ``least``."""
    out: dict[str, list[Reach]] = {}
    for one in steps:
        out.setdefault(one.step.start, []).append(one)
    most: dict[str, float] = {origin: 0}
    found: list[tuple[tuple[Step, ...], int]] = []
    stack: list[tuple[tuple[Step, ...], int, float]] = [
        ((step,), step.need, could) for step, could in out.get(origin, ())
        if could + _most(step.end, out, most) > least]
    while stack:
        path, so_far, reached = stack.pop()
        for step, could in out.get(path[-1].end, ()):
            could += reached
            if could + most[step.end] <= least:     # however it goes on, it does not come to so much
                continue
            more, over = (*path, step), so_far + step.need
            if step.end != origin:
                stack.append((more, over, could))
            else:
                found.append((more, over))
    return found


def _most(start: str, out: Mapping[str, Sequence[Reach]], most: dict[str, float]) -> float:
    """The largest sum of steps from a body to the end; ``most`` holds those that are known, and keeps what is found."""
    known = most.get(start)
    if known is None:
        known = -inf
        for step, could in out.get(start, ()):
            reached = could + _most(step.end, out, most)
            if reached > known:
                known = reached
        most[start] = known
    return known
