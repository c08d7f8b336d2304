"""The plan of a day, made for the first time or made again after news; each is kept, and none is written over."""

from __future__ import annotations

import json
import re
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import replace
from datetime import date, timedelta
from pathlib import Path
from typing import ClassVar

from seatplan.app.misasked import Misasked, one_of
from seatplan.app.notices import QUIET, Listener
from seatplan.app.outcome import Outcome
from seatplan.app.verdict import Verdict
from seatplan.files.accepted import load_accepted
from seatplan.files.bookings import Reject
from seatplan.files.errors import InputError, Problem
from seatplan.files.salt import key_of
from seatplan.fleet.audit import BOOKING, Override, Recorded, keep
from seatplan.fleet.floor import floors
from seatplan.fleet.matching import Counts as Classes
from seatplan.fleet.matching import Failed
from seatplan.fleet.overnight import StillOut, with_still_out
from seatplan.fleet.reading import Counts, copies_of, holding_of, nobody_installs, rows_of, vehicles_of
from seatplan.fleet.records import Accept, Booking, ClassAnswer, Day, DayPlan, Party
from seatplan.fleet.replanning import News, Replanned, day_after, replanned
from seatplan.frozen import frozen
from seatplan.message import FieldName, Name, said

from .files import FleetRead, OfBookings, open_bookings, read_fleet
from .match import parties_of, solved_for
from .night import out_at_midnight
from .record import as_planned, mark_of, of_travel, read_record
from .solving import Answers, Solving, needs_extra

#: a time, with its day where that has to be said
_TIME = re.compile(r"(\d{4}-\d\d-\d\d )?([01]\d|2[0-3]):[0-5]\d", re.ASCII)
_A_DAY = 24 * 60
#: names of what an override was made of
ACCEPTED, NEWS = "offer accepted: ", "news: "


@frozen(kw_only=True)
class PlanDay(Solving):
    """``accepted``: the file of offers that somebody accepted. ``output``: the folder in which plans are kept; none:
    it is not kept. ``after``: the plan that is made again, at the time ``now`` (``09:30``, after midnight with its day:
    ``2026-12-02 00:30``), because vehicles are ``broken``, copies ``recalled``, bookings ``gone``, or new in the file;
    ``why`` is kept beside it. ``day_before``: the plan of the day before, of which some may be out after midnight."""

    COMMAND: ClassVar[str] = "fleet plan"

    accepted: str | None = None
    output: str | None = None
    after: str | None = None
    now: str | None = None
    broken: tuple[str, ...] = ()
    recalled: tuple[str, ...] = ()
    gone: tuple[str, ...] = ()
    why: str | None = None
    day_before: str | None = None


@frozen
class Planned:
    """``lines``: by booking, where it stands in the file; ``failed``: parties that could not be matched, by an error of
    the program; ``again``: what changed, of a plan that was made again; ``kept``: the file, and the record in it;
    ``night``: the vehicles that are still out when the day begins."""

    read: FleetRead
    day: Day
    plan: DayPlan
    counts: Counts
    rejects: tuple[Reject, ...]
    classes: Classes
    damaged: int
    lines: Mapping[str, int]
    failed: Mapping[tuple[str, Party], Failed]
    again: Replanned | None
    kept: tuple[Path, Recorded] | None
    night: tuple[StillOut, ...] = ()


def plan(request: PlanDay, version: str, listener: Listener = QUIET) -> Outcome[Planned]:
    """The plan of a day. ``version``: of the program, which is kept with it. Raises InputError, Misasked, Unwritten."""
    _asked_well(request)
    read = read_fleet(request)
    of = open_bookings(request, read)
    chain = [] if request.after is None else list(_chain(request.after))
    deleted = _deleted(request.after or "", chain)
    rejects: list[Reject] = []
    bookings = tuple(one for one in of.each(rejects.append) if one.key not in deleted)
    found = solved_for(request, version, of, parties_of(bookings), listener)
    failed = {key: answer for key, answer in found.answers.items() if isinstance(answer, Failed)}
    inputs = _inputs(of, bookings)
    again = None
    with needs_extra():
        if not chain:
            night = out_at_midnight(request, of, bookings)
            day = _accepting(request, of, day_for(of, bookings, found.answers, night))
            made = _made(day)
            overrides = tuple(Override(f"{ACCEPTED}{list(one.level)}", one.why, one.booking) for one in day.accepted)
        else:
            night = chain[0].night
            again, overrides = _again(request, chain, of, bookings, found.answers)
            day, made = again.day, again.plan
    kept = None
    if request.output is not None and of.counts.taken:
        kept = _kept(request.output, Recorded(
            day.date, 0, inputs, f"{read.profile.content:032x}", version, made, overrides,
            chain[-1].number if chain else None, night=night))
    answer = Planned(read, day, made, of.counts, tuple(rejects), found.counts, found.damaged, of.lines(), failed, again,
                     kept, night)
    return Outcome(request, answer, _verdict(of.counts, made))


def _made(day: Day) -> DayPlan:
    from seatplan.fleet.planning import planned

    return planned(day)


def _asked_well(request: PlanDay) -> None:
    """Raises Misasked where something is asked that goes with a plan made again only, or a time is none."""
    alone = {"now": request.now, "broken": request.broken, "recalled": request.recalled, "gone": request.gone}
    if request.after is None:
        for field, value in alone.items():
            if value:
                raise Misasked(field, said("{asked} is of a plan that is made again", asked=FieldName(field)),
                               said("expected {after} and the plan", after=FieldName("after")))
        return
    if request.day_before is not None:
        raise Misasked("day_before", said("{asked} is of a plan that is made for the first time",
                                          asked=FieldName("day_before")),
                       said("leave it out: the plan that is followed knows who was out"))
    if request.accepted is not None:
        raise Misasked("accepted", said("offers are accepted before a plan is made, not when it is made again"),
                       said("make the plan once more with them, without {after}", after=FieldName("after")))
    if request.output is not None and not _one_folder(request.output, request.after):
        raise Misasked("output", said("{asked} is another folder than that of the plan", asked=FieldName("output")),
                       said("expected {folder}, where what it follows is kept", folder=Name(
                           str(Path(request.after).parent))))
    if request.now is None or not _TIME.fullmatch(request.now):
        raise Misasked("now", said('{asked} is "{found}"', asked=FieldName("now"), found=Name(request.now or "")),
                       said("expected the time on the clock there, such as 09:30"), request.now)
    if not (request.why or "").strip():
        raise Misasked("why", said("a plan is made again, and nobody says why"),
                       said("expected {asked} and the reason", asked=FieldName("why")))


def _one_folder(folder: str, file: str) -> bool:
    return Path(folder).resolve() == Path(file).resolve().parent


def _verdict(counts: Counts, made: DayPlan) -> Verdict:
    """A plan that may not be the best leaves somebody unserved, which says more: there is no code for it."""
    if not counts.taken:
        return Verdict.WRONG
    return Verdict.REJECTED if made.unserved or counts.rejected else Verdict.ANSWERED


# --- the day

def day_for(of: OfBookings, bookings: tuple[Booking, ...], answers: Answers, night: Iterable[StillOut] = ()) -> Day:
    """All that a plan is made of. ``night``: the vehicles that are still out when the day begins."""
    fleet, profile = of.read.fleet, of.read.profile
    latest = max((one.end for one in bookings), default=0)
    vehicles, copies = with_still_out(vehicles_of(fleet), copies_of(fleet, profile, of.day, latest), night)
    return Day(of.day.isoformat(), bookings, vehicles, copies,
               {key: answer for key, answer in answers.items() if isinstance(answer, ClassAnswer)}, of.travel,
               holding_of(fleet), rows_of(fleet), nobody_installs(fleet))


def _accepting(request: PlanDay, of: OfBookings, day: Day) -> Day:
    """The day with the offers that somebody accepted. Raises InputError where there is no such offer."""
    if request.accepted is None:
        return day
    offers = {booking.key: floor.offers for booking, floor in zip(day.bookings, floors(day), strict=True)}
    told, problems = list[Accept](), list[Problem]()
    for one in load_accepted(request.accepted, of.known.salt):
        if one.key not in offers:
            problems.append(Problem(request.accepted, one.line, 1, said(
                "no booking of {day} has this id", day=of.day)))
        elif one.offer > len(offers[one.key]):
            problems.append(Problem(request.accepted, one.line, 2, said(
                "there is no offer {n} of this booking; it has {most}", n=one.offer, most=len(offers[one.key]))))
        else:
            told.append(Accept(one.key, offers[one.key][one.offer - 1].way.level, one.why))
    if problems:
        raise InputError(problems)
    return replace(day, accepted=tuple(told))


# --- what a plan was made of

def _inputs(of: OfBookings, bookings: Iterable[Booking]) -> dict[str, str]:
    """Hashes of all that was read; of each booking one that says nothing without the salt."""
    digest = _of_file(of.path)
    return {"fleet": of.read.fleet.key(), "travel": of_travel(of.travel), "bookings": digest,
            **{BOOKING + one.key: mark_of(one, of.known.salt) for one in bookings}}


def _of_file(path: str) -> str:
    import hashlib

    with open(path, "rb") as file:
        return hashlib.file_digest(file, "sha256").hexdigest()


def _kept(folder: str, record: Recorded) -> tuple[Path, Recorded]:
    place = Path(folder)
    try:
        place.mkdir(parents=True, exist_ok=True)
    except OSError as error:
        from seatplan.files.errors import Unwritten

        raise Unwritten(Problem(folder, 0, 0, said("this folder cannot be made: {reason}",
                                                   reason=(error.strerror or str(error)).lower()))) from None
    return keep(place, record)


# --- made again

def _again(request: PlanDay, chain: Sequence[Recorded], of: OfBookings, bookings: tuple[Booking, ...],
           answers: Answers) -> tuple[Replanned, tuple[Override, ...]]:
    """The new plan. ``chain``: the plan that is followed, last, and all that it follows."""
    assert request.after is not None
    assert request.now is not None
    record = chain[-1]
    known = as_planned(request.after, record, of, bookings)
    there = {one.key for one in known}
    if record.date != of.day.isoformat():
        raise InputError([Problem(request.after, 0, 0, said("this is a plan of {day}", day=Name(record.date)))])
    late_later = {key for one in chain[1:] for key in _news_told(one)["late"]}
    # copies are judged until the last booking ends, of those that came later, too
    day = replace(day_for(of, bookings, answers, chain[0].night), accepted=_accepted_in(chain[0]),
                  bookings=tuple(one for one in known if one.key not in late_later))
    plan = chain[0].plan
    broken = {_vehicle(of, one) for one in request.broken}
    for one in chain[1:]:
        earlier = _news(_news_told(one), {each.key: each for each in known})
        day, plan = day_after(day, plan, earlier), one.plan
        broken |= earlier.broken    # nobody said that it drives again
    late = tuple(one for one in bookings if one.key not in there)
    news = News(_minute(request.now, of.day, bookings, chain), late, day.answers,
                frozenset(broken),
                frozenset(_serial(of, one) for one in request.recalled),
                frozenset(_booking(of, one, there) for one in request.gone))
    told = json.dumps({"now": news.now, "late": [one.key for one in news.late], "broken": sorted(news.broken),
                       "recalled": sorted(news.recalled), "gone": sorted(news.gone)})
    return replanned(day, plan, news), (Override(NEWS + told, request.why or ""),)


def _minute(now: str, day: date, bookings: Iterable[Booking], chain: Iterable[Recorded]) -> int:
    """The minute of the day at which a plan is made again. Raises Misasked where the time could be meant of two days,
    is of neither, or is before that of a plan that is followed: what has begun by then would count as not begun."""
    told, _, clock = now.rpartition(" ")
    minute = int(clock[:2]) * 60 + int(clock[3:])
    both = f"{day} {clock}", f"{day + timedelta(days=1)} {clock}"
    if told and now not in both:
        raise Misasked("now", said('{asked} is "{found}"', asked=FieldName("now"), found=Name(now)),
                       said("expected a time of {day} or of the day after it", day=day), now)
    if not told and minute + _A_DAY <= max((one.end for one in bookings), default=0):
        raise Misasked("now", said('{asked} is "{found}", and bookings of this plan end after midnight',
                                   asked=FieldName("now"), found=Name(now)),
                       said('expected the day with it, "{first}" or "{second}"', first=both[0], second=both[1]), now)
    minute += _A_DAY if now == both[1] else 0
    before = max(_news(_news_told(one), {}).now for one in chain)
    if minute < before:
        raise Misasked("now", said('{asked} is "{found}", before the time at which the plan was last made again',
                                   asked=FieldName("now"), found=Name(now)),
                       said("expected {time} or later", time=f"{before // 60 % 24:02}:{before % 60:02}"), now)
    return minute


def _deleted(path: str, chain: Iterable[Recorded]) -> set[str]:
    """The bookings that were deleted from a plan, or one that it follows: whose row is still in the file is not new.
    Raises InputError where a vehicle was on the road for one, which would count as free."""
    told = [one for record in chain for one in record.deleted]
    if any(one.carried for one in told):
        raise InputError([Problem(path, 0, 0, said(
            "a booking that a vehicle carries was deleted from this plan, so it does not say any more where that "
            "vehicle is; make the plan once more, and leave out (`from`, `until`) vehicles that are under way"))])
    return {one.booking for one in told}


def _chain(path: str) -> Iterator[Recorded]:
    """A plan and all that it follows, the first one first."""
    record = read_record(path)
    if record.follows is not None:
        before = Path(path).with_name(f"plan-{record.date}-{record.follows:04}.json")
        yield from _chain(str(before))
    yield record


def _news_told(record: Recorded) -> dict[str, list[str]]:
    for one in record.overrides:
        if one.what.startswith(NEWS):
            told: dict[str, list[str]] = json.loads(one.what.removeprefix(NEWS))
            return told
    return {"late": [], "broken": [], "recalled": [], "gone": []}


def _news(told: Mapping[str, list[str]], bookings: Mapping[str, Booking]) -> News:
    now = told.get("now", 0)
    return News(now if isinstance(now, int) else 0, tuple(bookings[key] for key in told["late"] if key in bookings), {},
                frozenset(told["broken"]), frozenset(told["recalled"]), frozenset(told["gone"]))


def _accepted_in(record: Recorded) -> tuple[Accept, ...]:
    return tuple(Accept(one.booking, tuple(json.loads(one.what.removeprefix(ACCEPTED))), one.why)
                 for one in record.overrides if one.what.startswith(ACCEPTED))


def _vehicle(of: OfBookings, word: str) -> str:
    return one_of(word, [one.vehicle for one in of.read.fleet.vehicles], "broken",
                  said('no vehicle of this fleet is called "{word}"', word=Name(word)))


def _serial(of: OfBookings, word: str) -> str:
    return one_of(word, [one.serial for one in of.read.fleet.copies], "recalled",
                  said('no restraint of this fleet has the serial number "{word}"', word=Name(word)))


def _booking(of: OfBookings, word: str, known: Iterable[str]) -> str:
    key = key_of(word, of.known.salt)
    if key not in known:
        raise Misasked("gone", said('no booking of this plan has the id "{word}"', word=Name(word)),
                       said("expected an id as in {file}", file=Name(of.path)))
    return key


