"""What a solve returns: data only. Views turn it into words, drawings and JSON."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from datetime import date
from functools import cached_property
from typing import ClassVar, Literal, NamedTuple

from seatplan.frozen import frozen
from seatplan.geometry.chain import Addend, Squeeze, Step
from seatplan.model import Row, Trip, Wish
from seatplan.rules.finding import Finding
from seatplan.rules.options import Options
from seatplan.rules.profile import Profile
from seatplan.rules.subjects import Placement

from .asked import Guess
from .grid import Square
from .placements import Choices, JudgedPlacement
from .shortage import Thing
from .tally import Tally

Verdict = Literal["fits", "close", "likely", "unmeasured", "rejected"]


class SeatShown(NamedTuple):
    """One rider of an arrangement: the placement, where the middle of the body sits (mm from the left door), how
    wide it is there, the other installations that would do as well, and whether a part of unknown width may be
    wider."""

    cell: JudgedPlacement
    across_mm: float | None
    width_mm: int | None
    alternatives: tuple[JudgedPlacement, ...]
    may_be_wider: bool = False

    @property
    def placement(self) -> Placement:
        return self.cell.placement


class RowShown(NamedTuple):
    """One row of an arrangement: its spare (None: nothing limits it), the tolerance that the spare is held
    against, and the steps that limit it."""

    row: Row
    seats: tuple[SeatShown, ...]
    spare_mm: float | None
    tolerance_mm: float
    tight: tuple[Step, ...]
    unsure: bool


class AheadShown(NamedTuple):
    """Along the car: how far forward of rearmost each seat or sliding row stands (mm; those that stay rearmost are
    left out; in a car that is too short within what the tape may be off, no further than they can), the spare and what
    it may be off, the steps that limit it, the seat whose occupant's limit is not known
    although it counts, and how far forward each can come. ``beyond``: the seats that stand beyond where anybody may
    sit in them."""

    stands: tuple[tuple[str, int], ...]
    spare_mm: float | None
    tolerance_mm: float
    tight: tuple[Step, ...]
    unknown: str
    limits: Mapping[str, Addend]
    beyond: tuple[str, ...] = ()


class Arrangement(NamedTuple):
    """One placement for every rider with its witness. ``decided_by`` is the criterion that put it behind the
    arrangement before it; None for the first, or where only the order of the file did. ``guesses``: what
    counts although nobody measured it, ``estimates`` what that is called."""

    rank: int
    verdict: Verdict
    rows: tuple[RowShown, ...]
    ahead: AheadShown | None
    findings: tuple[Finding, ...]     # of pairs, rows and the trip; those of placements are in the cells
    cost: int
    decided_by: str | None
    guesses: tuple[Guess, ...] = ()
    decided_about: tuple[str, ...] = ()           # the riders of whom it says something else

    @property
    def estimates(self) -> tuple[str, ...]:
        return tuple(guess.label for guess in self.guesses)

    @property
    def seats(self) -> tuple[SeatShown, ...]:
        return tuple(seat for row in self.rows for seat in row.seats)

    @property
    def spare_mm(self) -> float | None:
        return min((row.spare_mm for row in self.rows if row.spare_mm is not None), default=None)


class InFront(NamedTuple):
    """A child who sits in front. ``instead`` is the criterion by which the best arrangement with all children in the
    back is worse; None: there is none such, for want of a ``back`` seat, of must-``wishes``, or of another ``way``."""

    rider: str
    position: str
    instead: str | None
    wants: Literal["back", "wishes", "way"] | None


class NearMiss(NamedTuple):
    """A young child who is turned forward, and a rear-facing mode that misses by little: ``short`` of ``unit``, by a
    finding or for room."""

    rider: str
    position: str
    restraint: str
    short: float
    unit: str
    finding: Finding | None


class WishAgainst(NamedTuple):
    """Must-wishes that are obeyed although the best arrangement without them is safer, by which criterion, for whom."""

    wishes: tuple[Wish, ...]
    criterion: str
    about: tuple[str, ...]


@frozen
class SaidFirst:
    """What is said of the best arrangement before all else. ``fits``: the best that fits, where the first does not.
    ``one_reading``: the best of those that would be better (front seat, protection) and lack just one reading."""

    in_front: tuple[InFront, ...] = ()
    fits: Arrangement | None = None
    one_reading: Arrangement | None = None
    near_misses: tuple[NearMiss, ...] = ()
    against: tuple[WishAgainst, ...] = ()


class ShortageShown(NamedTuple):
    """Riders who share too few positions, restraints, tether anchors or bars, and for each of the rest the findings
    that took it away: of positions, where anchors are scarce. ``against``: the placements that they are on."""

    thing: Thing
    riders: tuple[str, ...]
    have: tuple[str, ...]
    taken_away: Mapping[tuple[str, str], tuple[str, ...]]    # (rider, thing) -> rules
    against: Mapping[tuple[str, str], tuple[JudgedPlacement, ...]]


class ContestShown(NamedTuple):
    """Placements that want one thing, two or one more than there are of it, or a pair that may not ride like that
    together; and how many seatings fail so."""

    what: str                         # position, restraint, together
    seatings: int
    example: tuple[Placement, ...]    # empty: no two of them show it
    findings: tuple[Finding, ...]


class SqueezeShown(NamedTuple):
    """A seating that fails only for room: the row, who sits there, and the sum that does not come out."""

    row: int | None                   # None: along the car
    placements: tuple[Placement, ...]
    everyone: tuple[Placement, ...]   # the whole seating
    squeeze: Squeeze


@dataclass(frozen=True, repr=False)
class Plan:
    """The answer for one trip in one vehicle. ``all_ranked`` False: counts and verdict are sure, but of the many
    seatings only those that promise most were put in order, so there may be better ones than those listed.

    ``squares`` and ``squeezes`` are worked out when they are first read, by ``grid`` and ``near_misses``.
    """

    trip: Trip
    profile: Profile
    day: date
    strict: bool
    verdict: Verdict
    arrangements: tuple[Arrangement, ...]
    tally: Tally
    choices: Choices
    grid: Callable[[], Mapping[tuple[int, int], Square]] = field(compare=False)
    shortage: ShortageShown | None
    contests: tuple[ContestShown, ...]
    near_misses: Callable[[], tuple[SqueezeShown, ...]] = field(compare=False)
    worst_case: bool = False
    all_ranked: bool = True
    work: int = 0                     # units that it took: placements judged and row plans made
    first: SaidFirst = SaidFirst()
    by_order: Arrangement | None = None    # the best by the order, where another one is under way; see ``under_way.py``
    #: how notebooks show a plan
    html: ClassVar[Callable[[Plan], str] | None] = None

    @cached_property
    def squares(self) -> Mapping[tuple[int, int], Square]:
        """How many arrangements have a rider at a position, by the indexes of both."""
        return self.grid()

    @cached_property
    def squeezes(self) -> tuple[SqueezeShown, ...]:
        """The seatings that fail only for room and by the least, nearest first."""
        return self.near_misses()

    @property
    def options(self) -> Options:
        return Options(self.strict, self.worst_case)

    def _repr_html_(self) -> str | None:
        """What a notebook shows; None where whoever made the plan set no ``html``."""
        return None if Plan.html is None else Plan.html(self)

    def __repr__(self) -> str:
        shown = f"{len(self.arrangements)} of {self.tally.valid} arrangements"
        return f"<Plan of {self.trip.trip!r}: {self.verdict}, {shown}>"
