"""One change in words, and what to write into the files to try it."""

from __future__ import annotations

from seatplan.rules.subjects import Placement
from seatplan.solver.repairs.change import Change

from .content import Text, marked, plain
from .say import Words, fill, plural, t, tr
from .text import listed, mm

#: kind -> what to do
DO = Words({
    "sit-further-forward": "whoever sits at {position} sits {mm} forward of rearmost (now at most {was})",
    "switch-airbag-off": "the front airbag at {position} is switched off by hand, and its lamp looked at on every trip",
    "drop-wish": "you no longer insist on {wish}",
    "get-restraint": "get another restraint for {user}, with the sizes and limits of {restraint} (invented)",
    "fit-tether-anchor": "a workshop fits tether anchor {thing} at {position}, as the vehicle handbook offers",
    "get-narrower": "in place of {restraint} a like restraint that is nowhere wider than {mm} (it is {was})",
    "ride-elsewhere": "{rider} {rides} in another vehicle",
})
#: kind -> what stands for it in the files
WRITE = Words({
    "sit-further-forward": "in the trip, `front: {{{position}: {{forward_at_most: {number}}}}}`",
    "switch-airbag-off": "in the trip, {position} among `airbags_off`",
    "drop-wish": "in the trip, take `must: yes` out of the wish for {wish}",
    "get-restraint": "in the trip, under `restraints`:",
    "fit-tether-anchor": "in the vehicle, `tether: {thing}` at position {position}",
    "get-narrower": "in the restraint, no `width` over {number}",
    "ride-elsewhere": "in the trip, take {rider} out of `riders`",
})
#: rule -> what was asked for
WISHED = Words({
    "wish-for-seat-not-met": "{rider} {asked}",
    "wish-to-be-apart-not-met": "{rider} sitting apart",
    "wish-to-be-together-not-met": "{asked} sitting together",
})


def to_do(change: Change, user: str = "") -> str:
    """What to do; ``user`` is the rider whom a new restraint is for."""
    return fill(DO[change.kind], {**_fields(change), "user": user or t("somebody")})


def to_write(change: Change) -> str:
    """What stands for it in the files: where, and the entry of a list below it."""
    return "\n".join((plain(where_to_write(change)), *entry_of(change)))


def where_to_write(change: Change) -> Text:
    """Where something stands for it in the files, and what, unless that is an entry of a list."""
    return marked(WRITE[change.kind], lambda piece: piece.format(**_fields(change), number=change.mm))


def _fields(change: Change) -> dict[str, str]:
    rider = listed(change.riders)
    return {
        "position": change.position, "restraint": change.restraint, "thing": change.thing, "rider": rider,
        "rides": plural("rides", "ride", len(change.riders)),
        "mm": mm(change.mm or 0), "was": mm(change.was_mm or 0),
        "wish": WISHED.get(change.thing, "").format(rider=rider, asked=tr(change.asked)),
    }


def entry_of(change: Change) -> tuple[str, ...]:
    """The lines of a trip that add a bundled restraint, new on the day of travel; none for other changes."""
    new = change.new
    if new is None:
        return ()
    name = f", as: '{change.restraint}'" if change.renamed else ""
    made = f", made: {new.made}" if new.made else ""
    return (f"- {{use: {change.word}{name}{made},",
            f"   # {t('as of a new one; of a used one write what you know')}",
            "   condition: {crash: none, recall: none, labels: readable, history: known}}")


def user_of(change: Change, placements: tuple[Placement, ...]) -> str:
    """The rider who sits in the restraint that a change brings; empty for other changes."""
    return next((p.rider.rider for p in placements if change.new is not None and p.restraint is not None
                 and p.restraint.restraint == change.restraint), "")
