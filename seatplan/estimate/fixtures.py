"""Restraints that are declared to a fixture of UN R16: their largest outline is that of the fixture.

Source: UN R16 Annex 17 App. 2 and 5 (up to the 09 series; since then UN R173), whose drawings the bundled
``un-*`` restraints fill. One of the i-Size category keeps within R2 or F2X, an i-Size booster within B2 (UN R129
6.3.2.2.1, 6.1.3.4, from memory).
"""

from __future__ import annotations

from functools import cache
from typing import get_args

from seatplan.files.library import names
from seatplan.files.load import load_restraint
from seatplan.model import Approval, Mode, Part
from seatplan.model.listed import Fixture

#: how the fixtures of a way to ride begin; carry cots are not drawn
_LINES = {"rear-facing-harness": "R", "forward-facing-harness": "F", "high-back-booster": "B", "backless-booster": "B"}
#: the fixtures that a category keeps within
_OF_CATEGORY: dict[str, tuple[str, ...]] = {"i-size": ("R2", "F2X"), "i-size-booster": ("B2",)}
#: smallest first within each line
_ORDER: tuple[str, ...] = get_args(Fixture)


def declared(approval: Approval | None, mode: Mode) -> Part | None:
    """The outline that a restraint keeps within in a mode, by its approval; None where it declares none. Of several
    fixtures the largest."""
    if approval is None or mode.mode not in _LINES:
        return None
    named = [*approval.fixtures, *_OF_CATEGORY.get(approval.category or "", ())]
    own = [fixture for fixture in named if fixture.startswith(_LINES[mode.mode])]
    return envelope(max(own, key=_ORDER.index)) if own else None


@cache
def envelope(fixture: str) -> Part | None:
    """The outline of a fixture as it stands on the bench; None for one that is not drawn."""
    name = f"un-{fixture.lower()}"
    return load_restraint(name).modes[0].parts[0] if name in names("restraint") else None
