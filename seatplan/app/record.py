"""Write down what happened at the car, what is installed and what is under way, and say what that leaves."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from contextlib import suppress
from dataclasses import replace
from datetime import date
from typing import Any, ClassVar, Literal, get_args

from seatplan.doubt import doubts_of_try
from seatplan.doubt.telling import usual
from seatplan.files import recording
from seatplan.files.crosscheck_names import restraints_of
from seatplan.files.errors import InputError, Problem
from seatplan.files.recording import Draft, Recorded
from seatplan.files.versions import Changed
from seatplan.frozen import frozen
from seatplan.message import FieldName, Name, joined, said
from seatplan.model import Installed, Tried, Trip, UnderWay
from seatplan.model.restraint import By, Mode, ModeName
from seatplan.readings import READINGS
from seatplan.rules.load import load_profile
from seatplan.rules.profile import Profile
from seatplan.rules.run import Runner
from seatplan.rules.subjects import Placement, RuleContext
from seatplan.rules.tries import (
    held_by,
    is_part_of_the_car,
    lacks_readings,
    leans,
    lies_on_the_child,
    reading,
    stands_level,
    would_not_hold,
)
from seatplan.solver.aboard import with_built_in
from seatplan.solver.after_try import AfterTry, after_try, before_try
from seatplan.solver.as_found import forbidden_as_found
from seatplan.solver.judged_try import against_untried, is_tried
from seatplan.solver.placements import JudgedPlacement
from seatplan.solver.plan import plan as solved
from seatplan.solver.results import Arrangement, Plan
from seatplan.solver.under_way import (
    State,
    as_aimed,
    as_installed,
    as_under_way,
    best_by_order,
    go_on,
    next_after,
    state_of,
)

from .days import today
from .holding import refused_as_read, speaks_against
from .misasked import Misasked
from .outcome import Outcome
from .question import Question, argument, option
from .undo import TakenBack, Undo, undo
from .verdict import verdict_of

_YES_NO = Literal["yes", "no"]
_NAMES = ("restraint", "position", "by", "mode")
_ENTRY = ("rider", *_NAMES, *READINGS, "sure", "tether", "failed", "who", "note", "on")
#: so often a file that somebody else wrote in meanwhile is read again
_TRIES = 5
#: what can only be said of a restraint
_OF_A_RESTRAINT = ("by", "mode", "sideways", "forwards", "moved", "level", "angle", "zone", "gap_ahead", "straps",
                   "head_below_top", "tether", "failed")
#: what goes with no entry, and what it does
_STATE = ("as_found", "go_on_with", "give_up", "undo")


@frozen(kw_only=True)
class Record(Question):
    """What was tried in a trip, which is a file, and how it went; each as a person writes it. ``restraint`` ``none``,
    or left out where nothing names one and it is said how the belt lies: the vehicle belt alone.

    ``as_found``: only how it is in the car now, nothing was tried. ``go_on_with``: the number in ``arrange`` of the
    arrangement that is under way from now on; ``give_up``: the one that comes after it is. ``undo``: take back what
    was written last, and nothing else is given. ``holds``: whoever tried it says that it holds; where a reading speaks
    against that, nothing is written.
    """

    COMMAND: ClassVar[str] = "record"

    trip: str = argument()
    rider: str | None = None
    restraint: str | None = None
    position: str | None = None
    by: str | None = None
    mode: str | None = None
    sideways: str | None = None
    forwards: str | None = None
    moved: str | None = None
    level: _YES_NO | None = None
    angle: str | None = None
    zone: str | None = None
    gap_ahead: str | None = None
    seat_ahead: str | None = None
    row_forward: str | None = None
    seat_forward: str | None = None
    straps: str | None = None
    head_below_top: str | None = None
    belt_fits: _YES_NO | None = None
    sure: bool = False
    tether: _YES_NO | None = None
    failed: bool = False
    holds: bool = False
    who: str | None = None
    note: str | None = None
    on: str | date | None = None
    as_found: bool = False
    go_on_with: int | None = option("--go-on-with", default=None)
    give_up: bool = False
    undo: bool = False

    @property
    def given(self) -> dict[str, Any]:
        """What is given of the entry."""
        return {name: value for name in _ENTRY if (value := getattr(self, name))}


@frozen
class Noted:
    """What was written, and what it comes to. ``after``: of a try, what it changes; None where nothing was tried.
    ``now``: the plan as it is now; ``state``: how far the arrangement under way is; ``done``: it was, and all of it is
    in and holds; ``other``: another one is under way than before; ``best``: the best by the order, where that is not
    the one under way. ``forbidden``: how it was found, where the rules do not allow that."""

    recorded: Recorded
    now: Plan
    after: AfterTry | None = None
    state: State | None = None
    done: bool = False
    other: bool = False
    best: Arrangement | None = None
    forbidden: JudgedPlacement | None = None

    @property
    def displaced(self) -> dict[str, Installed]:
        """Of whom something was noted as installed before and nothing is any more, and what that was."""
        after = self.recorded.after.installed
        return {rider: here for rider, here in self.recorded.before.installed.items() if rider not in after}

    @property
    def not_arrived(self) -> tuple[str, ...]:
        """Who of those is no longer in how the car arrived, either: two cannot arrive on one seat."""
        was, now = self.recorded.before.arrived, self.recorded.after.arrived
        return () if now is None or now == was else tuple(
            rider for rider in self.displaced if self.after is None and rider not in now)

    @property
    def beside(self) -> bool:
        """Whether what was tried holds, and is no part of the arrangement under way."""
        done = self.after
        return (done is not None and self.state is not None and done.has == "no"
                and done.judged.outcome in ("confirmed", "held", "unsettled"))


def record(request: Record) -> Outcome[Noted | TakenBack]:
    """Write an entry, what is installed and what is under way into the file, or take the last write back.

    Raises Misasked where something is missing or too much, InputError for what is wrong, Unwritten where the file
    cannot be written; then nothing is.
    """
    _fits_together(request)
    if request.undo:
        back = undo(Undo(trip=request.trip))
        return Outcome(request, back.answer, back.verdict)
    for _ in range(_TRIES):
        with suppress(Changed):
            return _noted_in(request, recording.draft(request.trip, today()))
    return _noted_in(request, recording.draft(request.trip, today()))


def _noted_in(request: Record, own: Draft) -> Outcome[Noted | TakenBack]:
    """Write what is asked for into a trip file that was read; raises Changed where it holds something else by
    then."""
    profile = load_profile(own.trip.rules)
    if request.go_on_with is not None or request.give_up:
        noted = _going_on(request, own, profile)
    elif request.as_found:
        noted = _found(request, own, profile)
    else:
        noted = _tried(request, own, profile)
    return Outcome(request, noted, verdict_of(noted.now))


def ways() -> tuple[str, ...]:
    """What can hold a restraint."""
    return get_args(By)


# --- a try

def _tried(request: Record, own: Draft, profile: Profile) -> Noted:
    trip, day = own.trip, own.trip.on or own.today
    filled = _filled(request, trip)
    _complete(request, filled, own)
    entry, tried = own.entry(_entry(filled), _unlikely)
    was = before_try(trip, tried, profile, day)
    limit = float(profile.limit("movement_at_belt_path"))
    if filled.holds:
        _refuse_holding(speaks_against(tried, _mode_of(tried, trip), limit))
    if would_not_hold(tried, limit):
        tried = _for(tried, filled.rider, entry)
        return _gone_on(own, (entry, tried), was, None, profile)
    cell = _who(tried, was, filled)
    mode = _mode_of(tried, trip)
    allowed = any(not against_untried(one) for one in _cells(was, tried))
    if tried.restraint is not None:
        _all_read(tried, mode, filled, trip, cell is not None or filled.rider is not None or not allowed)
    if filled.holds:
        noted = trip.model_copy(update={"tried": [*trip.tried, tried]})
        _refuse_holding(refused_as_read(tried, None if cell is None else cell.placement,
                                        RuleContext(noted, noted.vehicle, profile, day)))
    tried = _for(tried, filled.rider or (cell.placement.rider.rider if cell else None), entry)
    return _gone_on(own, (entry, tried), was, cell, profile)


def _gone_on(own: Draft, entry: tuple[dict[str, Any], Tried], was: Plan, cell: JudgedPlacement | None,
             profile: Profile) -> Noted:
    """Write a try, and go on from there. ``cell``: the placement that held; None where it would not, or must not
    be."""
    trip, day, tried = own.trip, own.trip.on or own.today, entry[1]
    installed: dict[str, Installed | None] = {}
    just = None
    noted = trip.model_copy(update={"tried": [*trip.tried, tried]})
    if cell is not None and _stays(tried, cell.placement, RuleContext(noted, noted.vehicle, profile, day)):
        rider = cell.placement.rider.rider
        installed = _gone(trip, tried, rider) | {rider: as_installed(tried, cell.placement)}
        just = rider, as_aimed(tried, cell.placement)
    else:
        loose = would_not_hold(tried, float(profile.limit("movement_at_belt_path")))
        installed = {rider: None for rider, here in trip.installed.items()
                     if (here.restraint, here.position) == (tried.restraint, tried.position)
                     and (loose or tried.rider in (None, rider))}
    left = {name: here for name, here in {**trip.installed, **installed}.items() if here is not None}
    gone_on = go_on(noted.model_copy(update={"installed": left}), profile, day, just)
    done = own.write(entry, installed, gone_on.under_way, [_called(tried)])
    now = gone_on.plan
    after = after_try(trip, done.after, tried, profile, day, was, now)
    return Noted(done, now, after, state_of(now.trip, profile, now.day), gone_on.done, gone_on.other,
                 best_by_order(now))


def _stays(tried: Tried, placement: Placement, world: RuleContext) -> bool:
    """Whether what held may stay: no rule forbids it for who rides in it, readings and all, and the belt lies as it
    should."""
    refused = any(answers.refused for answers in Runner(world).answers(placement))
    return not refused and reading(tried, "belt_fits") is not False


def _gone(trip: Trip, tried: Tried, rider: str) -> dict[str, Installed | None]:
    """Whom the restraint or the seat was noted for before."""
    return {name: None for name, here in trip.installed.items() if name != rider and (
        here.position == tried.position or (tried.restraint is not None and here.restraint == tried.restraint))}


def _called(tried: Tried) -> str:
    return " ".join(part for part in (tried.rider, tried.restraint, tried.position) if part)


def _for(tried: Tried, rider: str | None, entry: dict[str, Any]) -> Tried:
    """A try with whom it was for, in the entry as well."""
    if rider is None or tried.rider == rider:
        return tried
    entry["rider"] = rider
    return tried.model_copy(update={"rider": rider})


def _cells(plan: Plan, tried: Tried) -> list[JudgedPlacement]:
    return [cell for cell in plan.choices.cells() if is_tried(cell, tried)]


def _who(tried: Tried, was: Plan, request: Record) -> JudgedPlacement | None:
    """The placement that a try held in: of whom is named, or of whom the arrangement under way, what is installed or
    the best arrangement has there, or of the only one who may ride there. None where nobody may, or that is not
    clear."""
    cells = [cell for cell in _cells(was, tried) if not against_untried(cell)]
    if request.rider:
        cells = [cell for cell in cells if cell.placement.rider.rider.casefold() == request.rider.casefold()]
    for arrangement in was.arrangements:
        for seat in arrangement.seats:
            for one in (seat.cell, *seat.alternatives):
                if any(one.placement.rider is cell.placement.rider for cell in cells) and is_tried(one, tried):
                    return one
    riders = {cell.placement.rider.rider for cell in cells}
    return cells[0] if len(riders) == 1 else None


def _mode_of(tried: Tried, trip: Trip) -> Mode | None:
    modes = [m for r in with_built_in(trip).restraints if r.restraint == tried.restraint for m in r.modes]
    named = [m for m in modes if m.mode == tried.mode] or modes
    return named[0] if len(named) == 1 else None


def _refuse_holding(problems: Iterator[Problem]) -> None:
    """Raises InputError where something speaks against it that it holds."""
    found = list(problems)
    if found:
        raise InputError(found)


# --- what is installed, what is under way

def _found(request: Record, own: Draft, profile: Profile) -> Noted:
    """How it is in the car, without anybody having tried it."""
    filled = _filled(request, own.trip)
    belted = _is_belt_alone(request, filled, own.trip)
    missing = [name for name in ("rider", "restraint", "position") if not getattr(filled, name)]
    if belted:
        missing = [name for name in ("rider", "position", "belt_fits") if not getattr(filled, name)]
    if missing:
        own.refuse_unknown(filled.given)
        found = replace(_ON_THE_BELT, as_found=True)
        on_the_belt = said("on the vehicle belt alone: {command}", command=Name(f"`{found.command}`"))
        raise Misasked(missing[0], said("missing {missing}", missing=_options(*missing)),
                       on_the_belt if belted else joined("; ", (
                           Name(f"`{_FOUND.command}`"), *([on_the_belt] if "restraint" in missing else []))))
    _no_restraint_read(filled)
    if filled.failed:
        raise Misasked("as_found", said("{asked} says how it is in the car, and goes not with {told}",
                                        asked=_options("as_found"), told=FieldName("failed")))
    ways = _ways(filled, own.trip)
    if not filled.by and ways and ways[0] != "built-in":
        filled = replace(filled, by=ways[0])           # for the check alone: it is not written
    entry, tried = own.entry(_entry(filled), _unlikely)
    rider = next((r.rider for r in own.trip.riders if r.rider == tried.rider), str(tried.rider))
    kept = {key: value for key, value in entry.items() if key not in ("rider", "recorded", "failed", "moved", "level",
                                                                      "sure")}
    if request.by is None and len(ways) != 1:
        kept.pop("by", None)
    alone = {key: entry[key] for key in ("moved", "level") if key in entry}
    if alone:
        kept["readings"] = {**alone, **({"sure": entry["sure"]} if "sure" in entry else {})}
    here = Installed.model_validate(kept)
    others = _gone(own.trip, tried, rider)
    if others and not filled.sure:
        raise Misasked("as_found", said("{place} is noted for {others}; nothing was written",
                                        place=tried.position if tried.restraint is None else said(
                                            "{restraint} at {position}", restraint=tried.restraint,
                                            position=tried.position), others=", ".join(others)),
                       said("note first where {others} was found, or add `{sure}`: what is noted for {others} goes "
                            "then",
                            others=", ".join(others), sure=FieldName("sure")))
    done = own.write(None, {**others, rider: here}, None, [_called(tried)], found=True)
    held = [None] if belted or "built-in" in ways else [tried.by] if request.by else [way for way in get_args(By)
                                                                                                    if way in ways]
    forbidden = forbidden_as_found(own.trip, tried, held, profile, own.trip.on or own.today)
    return replace(_noted(done, profile, own), forbidden=forbidden)


def _going_on(request: Record, own: Draft, profile: Profile) -> Noted:
    """Another arrangement is under way from now on."""
    trip, day = own.trip, own.trip.on or own.today
    if request.give_up:
        if not trip.under_way:
            raise Misasked("give_up", said("{asked}: nothing is under way", asked=_options("give_up")),
                           said("`{option}` with a number of `arrange` begins one", option=_options("go_on_with")))
        plan = solved(trip, profile, day, top=1)
        found = next_after(plan)
    else:
        rank = request.go_on_with or 0
        plan = solved(trip, profile, day, top=max(rank, 1))
        there = len(plan.arrangements)
        if not 1 <= rank <= there:
            raise Misasked("go_on_with", said("{asked} is {rank}", asked=_options("go_on_with"), rank=rank),
                           said("expected 1 to {there}", there=there) if there else said("none fits"))
        found = plan.arrangements[rank - 1]
    aims = {} if found is None else as_under_way(plan, found)
    done = own.write(None, {}, aims, [said("the arrangement under way")])
    return replace(_noted(done, profile, own), other=bool(trip.under_way))


def _noted(done: Recorded, profile: Profile, own: Draft) -> Noted:
    day = done.after.on or own.today
    now = solved(done.after, profile, day, top=1)
    return Noted(done, now, None, state_of(now.trip, profile, now.day), best=best_by_order(now))


# --- what is given, and what is missing

def _filled(request: Record, trip: Trip) -> Record:
    """With what the arrangement under way, or what is installed, says of the rider, and what can only be so."""
    request = replace(request, restraint=_called_so(request.restraint, restraints_of(trip)),
                      position=_called_so(request.position, [p.position for p in trip.vehicle.positions()]),
                      rider=_called_so(request.rider, [r.rider for r in trip.riders]))
    if _says_none(request, trip):
        return replace(request, restraint=None)
    rider = request.rider
    noted: tuple[Mapping[str, UnderWay | Installed], ...] = (trip.under_way, trip.installed)
    for among in noted:
        here = among.get(rider or "")
        if here is not None and request.restraint in (None, here.restraint) and (
                request.position in (None, here.position)):
            request = replace(request, **{name: value for name in _NAMES if not getattr(request, name)
                                          and (value := getattr(here, name)) is not None})
            if not request.restraint:
                break                                  # on the vehicle belt alone: nothing else fills that in
        for name, there in among.items():
            if not request.rider and request.restraint and (there.restraint, there.position) == (
                    request.restraint, request.position):
                request = replace(request, rider=name, mode=request.mode or there.mode, by=request.by or there.by)
    modes = [m.mode for r in with_built_in(trip).restraints if r.restraint == request.restraint for m in r.modes]
    if not request.mode and len(modes) == 1:
        request = replace(request, mode=modes[0])
    ways = _ways(request, trip)
    return replace(request, by=ways[0]) if not request.by and len(ways) == 1 and ways != ["built-in"] else request


def _says_none(request: Record, trip: Trip) -> bool:
    """Whether it says that there is no restraint."""
    return (request.restraint or "").casefold() == "none" and "none" not in map(str.casefold, restraints_of(trip))


def _is_belt_alone(request: Record, filled: Record, trip: Trip) -> bool:
    """Whether it is about the vehicle belt alone: it says so, or what is noted of that rider is; or nothing names a
    restraint, and it is said how the belt lies and nothing of how a restraint stands."""
    if filled.restraint:
        return False
    noted = [here for among in (trip.under_way, trip.installed) if (here := among.get(filled.rider or "")) is not None]
    if noted and (noted[0].restraint, noted[0].position) == (None, filled.position):
        return True
    return _says_none(request, trip) or bool(
        filled.belt_fits and not any(getattr(filled, name) for name in _OF_A_RESTRAINT))


def _no_restraint_read(filled: Record) -> None:
    """Raises Misasked where something is said of a restraint that is not there."""
    told = [name for name in _OF_A_RESTRAINT if getattr(filled, name)]
    if not filled.restraint and told:
        raise Misasked(told[0], said("{told} is of a restraint, and none is named", told=_options(*told)),
                       said("expected `{restraint}`, or none of that on the vehicle belt alone",
                            restraint=_options("restraint")))


def _called_so(word: str | None, names: list[Any]) -> str | None:
    """The name that a word is, whatever its capitals; the word, where it is none."""
    return next((str(name) for name in names if word and name.casefold() == word.casefold()), word)


def _ways(request: Record, trip: Trip) -> list[str]:
    return list(dict.fromkeys(
        k.by for r in with_built_in(trip).restraints if r.restraint == request.restraint for m in r.modes
        if request.mode in (None, m.mode) for k in m.installations))


def _entry(request: Record) -> dict[str, Any]:
    """The entry as it stands in a file."""
    entry = {name: getattr(request, name) for name in _ENTRY}
    yes_no = {"yes": True, "no": False}
    return entry | {name: yes_no.get(entry[name] or "") for name in ("level", "belt_fits", "tether")}


def _fits_together(request: Record) -> None:
    asked = [name for name in _STATE if getattr(request, name) not in (None, False)]
    alone = [name for name in asked if name != "as_found"]
    others = [*asked, *request.given, *(["holds"] if request.holds else [])]
    if request.holds and (request.failed or request.as_found):
        raise Misasked("holds", said("{asked} goes not with {told}", asked=_options("holds"),
                                     told=_options("failed" if request.failed else "as_found")))
    if alone and len(others) > 1:
        rest = [name for name in others if name != alone[0]]
        told = (said("{asked} takes back what was written last and goes with nothing else; found {told}",
                     asked=FieldName("undo"), told=_options(*rest)) if alone[0] == "undo" else
                said("{asked} goes with nothing else; found {told}", asked=_options(alone[0]), told=_options(*rest)))
        raise Misasked(alone[0], told, said("leave the rest out, or leave {asked} out", asked=_options(alone[0])))


def _complete(request: Record, filled: Record, own: Draft) -> None:
    """What an entry cannot do without, and how it went, all at once; a name that is wrong comes before that."""
    trip = own.trip
    alone, mode = _is_belt_alone(request, filled, trip), _mode_named(filled, trip)
    part = (mode is not None and is_part_of_the_car(mode)) or _ways(filled, trip) == ["built-in"]
    asked = ("rider", "position") if alone else ("rider", "restraint", "position") if part else (
        "restraint", "position", "by")
    missing = [name for name in asked if not getattr(filled, name)]
    went = filled.failed or any(getattr(filled, name) for name in ("sideways", "forwards", "moved", "level", "angle",
                                                                   "belt_fits", *(("straps",) if part else ())))
    if not missing and went:
        _no_restraint_read(filled)
        return
    own.refuse_unknown(filled.given)
    read = [] if went else ["belt_fits"] if alone else _to_read(mode, filled.by)
    raise Misasked((missing or read)[0], said("missing {missing}", missing=_options(*missing, *read)),
                   _on_the_belt() if alone else _how(missing, bool(read) and not part))


def _mode_named(request: Record, trip: Trip) -> Mode | None:
    return next((m for r in with_built_in(trip).restraints if r.restraint == request.restraint for m in r.modes
                 if m.mode == request.mode), None)


def _to_read(mode: Mode | None, by: str | None) -> list[str]:
    """The readings of a way of riding; of one that is not known those of a harness."""
    if mode is None:
        return ["sideways", "forwards"]
    if lies_on_the_child(mode, by) or is_part_of_the_car(mode):
        return list(lacks_readings(None, mode))
    return ["sideways", "forwards", *(["level"] if leans(mode) else [])]


def _how(missing: list[str], went: bool) -> str:
    """What to give instead."""
    told = []
    if "by" in missing:
        told.append(said("`{by}` is one of {ways}", by=FieldName("by"), ways=Name(", ".join(ways()))))
    if went:
        told.append(said("`{failed}` if it would not hold", failed=FieldName("failed")))
    return joined("; ", [*told, Name(f"`{_EXAMPLE.command}`"), *([_on_the_belt()] if "restraint" in missing else [])])


def _on_the_belt() -> str:
    return said("on the vehicle belt alone: {command}", command=Name(f"`{_ON_THE_BELT.command}`"))


def _all_read(tried: Tried, mode: Mode | None, request: Record, trip: Trip, whose: bool) -> None:
    """Of what held: whose it is, how it was used, and every reading that it needs. Raises Misasked for all that is
    missing."""
    missing = [] if whose else ["rider"]
    missing += [] if mode is not None or request.mode else ["mode"]
    read = list(lacks_readings(tried, mode) if mode is not None else _lacking_in_all(tried, trip))
    if not missing and not read:
        return
    modes = [m.mode for r in with_built_in(trip).restraints if r.restraint == tried.restraint for m in r.modes]
    hints = list(_hints(tried, mode, [*missing, *read], modes))
    raise Misasked((missing or read)[0], said("missing {missing}: nothing was written",
                                              missing=_options(*missing, *read)), joined("; ", hints))


def _lacking_in_all(tried: Tried, trip: Trip) -> list[str]:
    """The readings that every mode asks for which an entry could mean."""
    each = [lacks_readings(tried, m) for r in with_built_in(trip).restraints if r.restraint == tried.restraint
            for m in r.modes if any(k.by == held_by(tried) for k in m.installations)]
    return [] if not each else [name for name in each[0] if all(name in other for other in each)]


def _options(*names: str) -> FieldName:
    """Fields of the request as the options that they are."""
    return FieldName(*(name.replace("_", "-") for name in names))


def _hints(tried: Tried, mode: Mode | None, read: list[str], modes: list[ModeName]) -> Iterator[str]:
    if "mode" in read:
        yield said("`{mode}` is one of {modes}", mode=FieldName("mode"), modes=Name(", ".join(modes)))
    if "level" in read:
        yield said("`{level}` is what the indicator says, or `{angle}` in degrees", level=FieldName("level"),
                   angle=FieldName("angle"))
    if mode is not None and "level" in read and reading(tried, "angle") is not None and (
            stands_level(tried, mode) is None):
        yield said("its instructions name no range for the angle")
    yield said("`{failed}` if it would not hold", failed=FieldName("failed"))


def _unlikely(tried: Tried) -> list[str]:
    """What is unlikely about an entry: a zero too many reads like this."""
    return [said("{what} is {value} {unit}: unlikely{usual}; measure it again, or add `{sure}` if it is so",
                 what=Name(str(doubt.path[-1])), value=doubt.value, unit=Name("mm" if doubt.unit == "mm" else "°"),
                 usual=usual(doubt), sure=FieldName("sure"))
            for doubt in doubts_of_try(tried)]


_EXAMPLE = Record(trip="my-trip.yaml", rider="Wren", restraint="Nook", position="2C", by="lap-shoulder-belt",
                  sideways="12", forwards="9", level="yes")
_ON_THE_BELT = Record(trip="my-trip.yaml", rider="Tamsin", position="2R", belt_fits="yes")
_FOUND = Record(trip="my-trip.yaml", as_found=True, rider="Wren", restraint="Nook", position="2R")
