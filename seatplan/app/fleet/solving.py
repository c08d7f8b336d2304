"""Who solves the classes of a fleet, and where their answers are kept."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Mapping
from contextlib import ExitStack, contextmanager
from pathlib import Path
from typing import ClassVar

from seatplan.app.misasked import Misasked
from seatplan.app.notices import Listener
from seatplan.files.errors import InputError, Problem
from seatplan.fleet.batches import Hands, Here, Pool
from seatplan.fleet.classes import World
from seatplan.fleet.cluster import Address, cluster
from seatplan.fleet.extras import ExtraMissing
from seatplan.fleet.kept import Kept
from seatplan.fleet.matching import SAMPLE, Counts, Failed, Matching, Untrue, worker
from seatplan.fleet.records import Class, ClassAnswer, Party
from seatplan.frozen import frozen
from seatplan.message import FieldName, Name, said

from .files import BookingsAsked, FleetAsked

#: answers beside the fleet's file
KEPT = ".seatplan-answers"


@frozen(kw_only=True)
class Workers(FleetAsked):
    """``kept``: the file of answers that are known, else the one beside the fleet's; ``workers``: processes on this
    machine; ``cluster``: the address of a scheduler in their place, with the files of its certificates."""

    COMMAND: ClassVar[str] = "fleet coverage"

    kept: str | None = None
    workers: int | None = None
    cluster: str | None = None
    cluster_ca: str | None = None
    cluster_cert: str | None = None
    cluster_key: str | None = None


@frozen(kw_only=True)
class Solving(Workers, BookingsAsked):
    """The parties of bookings, and who solves them."""

    COMMAND: ClassVar[str] = "fleet match"


#: by type and party, what the engine says, or why it could not
Answers = Mapping[tuple[str, Party], ClassAnswer | Failed]


@frozen
class Solved:
    """``counts``: how many classes were known, asked and failed; ``damaged``: answers kept on disk that could not be
    read and were asked again."""

    answers: Answers
    counts: Counts
    damaged: int


def solved(request: Workers, version: str, world: World, parties: Iterable[Party], listener: Listener) -> Solved:
    """Every party in every type of vehicle. ``version``: of the program. Raises InputError, Misasked, Unwritten."""
    classes = (Class(vehicle_type, party) for party in parties for vehicle_type in world.types)
    with matching(request, version, world, listener) as (asked, told):
        answers = {(one.vehicle_type, one.party): answer for one, answer in asked.answers(classes, told)}
        return Solved(answers, asked.counts, asked.kept.damaged)


@contextmanager
def matching(request: Workers, version: str, world: World,
             listener: Listener) -> Iterator[tuple[Matching, Callable[[int], None] | None]]:
    """What answers classes, and who is told how far it is. Raises InputError, Misasked, Unwritten."""
    path = Path(request.kept) if request.kept is not None else Path(request.fleet).parent / KEPT
    with Kept(path) as kept, _hands(request, world) as hands, listener.progress("classes") as progress:
        told = None if progress is None else lambda n: progress("", n)
        try:
            yield Matching(world, kept, hands, version, SAMPLE if request.cluster is not None else 0), told
        except Untrue as untrue:
            raise InputError([Problem(request.cluster or "", 0, 0, said(
                "a worker's answer is not true: {why}; nothing of it was used", why=str(untrue)))]) from untrue


@contextmanager
def _hands(request: Workers, world: World) -> Iterator[Hands]:
    if request.workers is not None and request.workers < 1:
        raise Misasked("workers", said("{asked} is {n}", asked=FieldName("workers"), n=request.workers),
                       said("expected 1 or more"))
    with ExitStack() as stack:
        if request.cluster is not None:
            address = Address(request.cluster, *(None if told is None else Path(told) for told in (
                request.cluster_ca, request.cluster_cert, request.cluster_key)))
            with needs_extra():
                yield stack.enter_context(cluster(address, worker, world))
        elif request.workers == 1:
            yield Here(worker, world)
        else:
            yield stack.enter_context(Pool(worker, world, request.workers))


@contextmanager
def needs_extra() -> Iterator[None]:
    """What is inside may need packages of an extra. Raises InputError where they are missing."""
    try:
        yield
    except ExtraMissing as missing:
        raise InputError([Problem("", 0, 0, said(
            "this needs packages that are not installed: `pip install {extra}`",
            extra=Name(f"'seatplan[{missing.extra}]'")))]) from missing
