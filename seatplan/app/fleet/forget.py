"""Bookings that are to be known no longer: out of every plan that is kept, and out of the cards."""

from __future__ import annotations

from datetime import date
from pathlib import Path
from typing import ClassVar

from seatplan.app.days import today
from seatplan.app.misasked import Misasked
from seatplan.app.outcome import Outcome
from seatplan.app.question import Question, argument
from seatplan.app.verdict import Verdict
from seatplan.files.errors import Problem, Unwritten
from seatplan.files.salt import NAME, key_of, salt_at
from seatplan.fleet.audit import bookings_in, record_of
from seatplan.fleet.audit import forget as without
from seatplan.frozen import frozen
from seatplan.message import FieldName, said

from .cards import is_card
from .files import FleetAsked, read_fleet


@frozen(kw_only=True)
class Forget(Question):
    """``ids``: as they stand in the file of bookings; ``old``: all that were kept long enough; ``plans``, ``cards``:
    the folders."""

    COMMAND: ClassVar[str] = "fleet forget"

    fleet: str = argument()
    ids: tuple[str, ...] = argument(default=())
    plans: str
    cards: str | None = None
    why: str
    old: bool = False
    salt: str | None = None


@frozen
class Forgotten:
    """The plans that were written anew, and the cards that were removed."""

    plans: tuple[Path, ...]
    cards: tuple[Path, ...]


def forget(request: Forget) -> Outcome[Forgotten]:
    """Take them out. Stopped midway, the same goes on. Raises InputError, Misasked, Unwritten."""
    if not request.ids and not request.old:
        raise Misasked("old", said("no booking is named"), said("expected ids, or {asked}", asked=FieldName("old")))
    read = read_fleet(FleetAsked(fleet=request.fleet))
    keep, folder = read.fleet.privacy.keep_days, Path(request.plans)
    if request.old and keep is None:
        raise Misasked("old", said("the fleet's file does not say how long bookings are kept"),
                       said("expected `privacy: {{keep_days: 30}}` there"))
    keys = set()
    if request.ids:
        salt = salt_at(request.salt or str(Path(request.fleet).parent / NAME))
        keys = {key_of(one, salt) for one in request.ids}
    if request.old and keep is not None:
        keys |= _old(folder, keep)
    written = without(folder, keys, request.why, today().isoformat())
    cards = [] if request.cards is None else _removed(Path(request.cards), keys)
    return Outcome(request, Forgotten(tuple(written), tuple(cards)), Verdict.ANSWERED)


def _old(folder: Path, keep_days: int) -> set[str]:
    """The bookings of plans for days that lie back so far; one may end on the day after."""
    found: set[str] = set()
    for file in sorted(folder.glob("plan-*-[0-9][0-9][0-9][0-9].json")):
        record = record_of(file.read_text(encoding="utf-8"), str(file))
        if (today() - date.fromisoformat(record.date)).days > keep_days + 1:
            # those that are out of the plan already, too: a run that was stopped has left their cards
            found |= bookings_in(record) | {one.booking for one in record.deleted}
    return found


def _removed(folder: Path, keys: set[str]) -> list[Path]:
    """Cards that hold any of the bookings, which are gone."""
    gone = []
    for file in sorted(folder.glob("*.html")):
        try:
            text = file.read_text(encoding="utf-8")
            if is_card(text) and any(f'data-booking="{key}"' in text for key in keys):
                file.unlink()
                gone.append(file)
        except (OSError, ValueError) as error:
            raise Unwritten(Problem(str(file), 0, 0, said("this card cannot be removed: {reason}", reason=str(
                getattr(error, "strerror", None) or error).lower()))) from None
    return gone
