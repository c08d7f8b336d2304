"""Why a rider cannot sit at a seat: what comes nearest to being allowed first, each reason once a restraint."""

from __future__ import annotations

from collections.abc import Iterable

from seatplan.rules.finding import Finding
from seatplan.solver.placements import JudgedPlacement
from seatplan.solver.ranking import stage
from seatplan.views.words import in_what, sentence

#: what has no number counts as so far off, and so does what is off by that part of its limit or more: nothing that a
#: person could change, or wait for
_FAR, _FAR_PART = 1.0, 0.25


def reasons(cells: Iterable[JudgedPlacement]) -> list[str]:
    """What rules a rider out at a seat in every way, the ways that come nearest first; of one restraint each rule is
    told once, in the way that comes nearest."""
    nearest: dict[str, JudgedPlacement] = {}
    for cell in cells:
        if blocks(cell):
            what = in_what(cell.placement)
            if what not in nearest or distance(cell) < distance(nearest[what]):
                nearest[what] = cell
    told: dict[tuple[str, str], str] = {}
    for what, cell in sorted(nearest.items(), key=lambda item: (distance(item[1]), item[0])):
        restraint = cell.placement.restraint
        for finding in sorted(blocks(cell), key=lambda one: (-off_by(one), one.rule)):
            told.setdefault((restraint.restraint if restraint else "", finding.rule), f"{what}: {sentence(finding)}")
    return list(dict.fromkeys(told.values()))


def blocks(cell: JudgedPlacement) -> list[Finding]:
    """What rules one way out."""
    return [finding for finding in cell.findings if finding.outcome == "block"]


def distance(cell: JudgedPlacement) -> tuple[float, int, int]:
    """How far a way is from being allowed: what it is off by, as parts of the limits, then by how many rules; of ways
    as far off the more protective mode is nearer."""
    found = blocks(cell)
    return round(sum(map(off_by, found)), 6), len(found), stage(cell.placement.mode_name)


def off_by(finding: Finding) -> float:
    """The shortfall as a part of the limit, from 0 to 1 for a quarter or more; 1 as well for what has no number."""
    short, limit = finding.result.shortfall, finding.result.limit
    if short is None or limit is None or isinstance(limit, (str, bool)) or not limit:
        return _FAR
    return min(_FAR, abs(float(short)) / abs(float(limit)) / _FAR_PART)

