"""How far a family is, for a list that names nobody: a word and numbers."""

from __future__ import annotations

from hashlib import sha256
from pathlib import Path
from typing import Literal

from seatplan.files.errors import InputError
from seatplan.files.reading import parse
from seatplan.files.undo import files_of
from seatplan.frozen import frozen
from seatplan.solver.departure import DepartureState
from seatplan.solver.under_way import state_of

from .checkup import Checkup, checkup
from .days import today
from .filed_checkups import filed_of
from .misasked import Misasked
from .shelf import shelf

#: so many are remembered; by what their files hold, so that nothing else has to be told of a change
_MOST = 500


@frozen
class FamilyState:
    """``word``: how it would leave now; wrong: its files cannot be read as they are; gone: there is no such trip.
    ``open``: points that are open; ``under_way``: an arrangement is being installed, of which ``holding`` of ``of``
    are in and hold; ``tried``: how many tries were noted; ``filed``: saved checkups."""

    word: DepartureState | Literal["wrong", "gone"]
    open: int = 0
    under_way: bool = False
    holding: int = 0
    of: int = 0
    tried: int = 0
    filed: int = 0


_KNOWN: dict[str, FamilyState] = {}


def family_state(library: Path, number: str, only_known: bool = False) -> FamilyState | None:
    """How far the family of a trip is. None where that has to be worked out, and ``only_known`` says not to."""
    try:
        held = shelf(library).held(number)
    except Misasked:
        return FamilyState("gone")
    filed = len(filed_of(library, number))
    key = stamp(held.path, held.text) + f" {today()} {filed}"
    known = _KNOWN.get(key)
    if known is None and only_known:
        return None
    if known is None:
        while len(_KNOWN) >= _MOST:
            _KNOWN.pop(next(iter(_KNOWN)))
        known = _KNOWN[key] = _found(held.path, filed)
    return known


def stamp(path: str, text: str) -> str:
    """What the files of a trip hold, as one word: another one when any of them changed."""
    made = sha256(text.encode())
    try:
        data = parse(text, path).data
        files = files_of(path, data if isinstance(data, dict) else {})
    except InputError:
        files = []
    for file in files:
        made.update(b"\0")
        try:
            made.update(sha256(Path(file).read_bytes()).digest())
        except OSError:
            made.update(b"-")
    return made.hexdigest()


def _found(path: str, filed: int) -> FamilyState:
    try:
        answer = checkup(Checkup(trip=path)).answer
    except InputError:
        return FamilyState("wrong", filed=filed)
    state = state_of(answer.trip, answer.profile, answer.day)
    left = answer.departure
    return FamilyState(left.state, sum(point.things for point in left.open), state is not None,
                       len(state.holding) if state else 0, len(state.seats) if state else 0,
                       len(answer.file.tried), filed)
