"""What to measure next, as a form to take to the car."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from typing import Any

from seatplan.files.fieldnames import name_of
from seatplan.message import Amount, Word
from seatplan.model import Trip
from seatplan.solver.measure import Measure, Measurement
from seatplan.solver.results import Arrangement
from seatplan.solver.settle import Reading, Settle
from seatplan.solver.would_do import Settled
from seatplan.written import quoted

from .answers import value_called
from .caution import caution
from .content import Blank, Block, Group, Heading, Paragraph, group, spans
from .doubted_text import doubted
from .manner import day, number
from .plan_text import do
from .say import Words, plural, shown, t, tr
from .seated_text import seated
from .terminal import parts_of
from .text import count, listed
from .under_way_text import under_way
from .words import VERDICTS, held_at

#: what would do for a reading
_Would = Callable[[Reading], str]
_MANY = 20
#: values named that settle a field
_SETTLES = 10
_SMALLEST = Words({
    "proven": "No fewer readings do, with such values.",
    "greedy": "Fewer might do: not every smaller set was tried.",
})


def measure_text(measure: Measure, asked: str = "TRIP") -> str:
    """The form as text; see ``measure_content``. ``asked``: the trip as typed."""
    return parts_of(measure_content(measure, asked))


def measure_content(measure: Measure, asked: str | None = "TRIP") -> list[Block | None]:
    """What settles the best arrangement first, then what could open a better one, then the rest; each with room to
    write. ``asked`` None: for a form that takes the values itself."""
    return [
        group(Heading(measure.trip.trip), Paragraph(
            t("in {vehicle}, rules {name}, {day}", vehicle=measure.trip.vehicle.vehicle, name=measure.profile.name,
              day=day(measure.day)))),
        group(_now(measure), None if measure.complete else Paragraph(t(
            "The search stopped at its limit: there may be better arrangements, and more to measure."))),
        under_way(measure.trip, measure.profile, measure.day), doubted(measure.trip),
        *lists(measure, in_fields=asked is None),
        Paragraph(spans("hint: `seatplan measure {asked} --set {example}` writes a value into its file and asks again",
                        asked=asked, example=_example(measure))) if _first(measure) and asked is not None else None,
        caution()]


def lists(measure: Measure, *, in_fields: bool = False) -> list[Block | None]:
    """The readings, with what they decide; of a report and a sheet as well. ``in_fields``: a form asks for each value
    by what it is, so that no words of a file are told."""
    told = _would_do_in_fields if in_fields else _would_do
    return [*_best(measure, told), *_sooner(measure, told),
            *(block for one in measure.opens for block in _opens(measure, one, told)), *_rest(measure)]


def asked_for(measure: Measure) -> Iterator[Blank]:
    """Each field that is asked for, without its place in the lists."""
    settles = [one for one in (measure.best, measure.sooner, *measure.opens) if one is not None]
    every: list[Reading | Measurement] = [
        *(reading for settle in settles for reading in (*settle.readings, *settle.estimates)), *measure.rest]
    for one in every:
        if one.asked.path:
            yield _blank(measure.trip, one.asked, tr(one.asked.what))


def asks_for_anything(measure: Measure) -> bool:
    """Whether there is anything left to measure that would change the answer."""
    return bool(measure.rest or measure.opens or (measure.best and (measure.best.readings or measure.best.estimates)))


def _now(measure: Measure) -> Paragraph:
    told = [t("The best arrangement now: {verdict}.", verdict=VERDICTS[measure.verdict])] if measure.best else [
        t("Nothing fits as it is.")]
    if measure.tally is not None:
        open_ = measure.tally.sure["unmeasured"]
        n = sum(measure.tally.sure.values()) - open_
        told.append(t("{arrangements} {settled}, and {open} {hang}.", arrangements=count(n, "arrangement"),
                      settled=plural("fits, is close or likely", "fit, are close or likely", n), open=number(open_),
                      hang=do("unmeasured", open_)))
    if measure.complete and not asks_for_anything(measure):
        told.append(t("Nothing is left to measure that would change the answer."))
    return Paragraph(" ".join(told))


def _best(measure: Measure, would: _Would) -> Iterator[Block]:
    best = measure.best
    if best is None:
        return
    if best.readings:
        yield group(Paragraph(_settles(best)), Paragraph(_seated(best.arrangement)))
        yield from _readings(measure.trip, best.readings, would)
    if best.estimates:
        yield Paragraph(t("{readings} in place of what is only estimated would make it surer:",
                          readings=count(len(best.estimates), "reading")))
        yield from _readings(measure.trip, best.estimates, would, len(best.readings))


def _settles(settle: Settle) -> str:
    n = len(settle.readings)
    if settle.verdict is None:
        return t("The best arrangement asks for {readings}, and may ask for more once they are taken.",
                 readings=count(n, "reading"))
    told = t("This reading settles the best arrangement: with a value that would do, it {verdict}.",
             verdict=_BECOMES[settle.verdict]) if n == 1 else t(
        "These {n} readings settle the best arrangement: with values that would do, it {verdict}.", n=number(n),
        verdict=_BECOMES[settle.verdict])
    return f"{told} {_SMALLEST[settle.smallest]}"


_BECOMES = Words({"fits": "fits", "close": "is close (try it in the car)", "likely": "is likely"})


def _sooner(measure: Measure, would: _Would) -> Iterator[Block]:
    sooner, best = measure.sooner, measure.best
    if sooner is None or best is None or sooner.verdict is None:
        return
    told = t("Sooner sure: {readings} settle another arrangement, which comes after the best one; then it {verdict}.",
             readings=count(len(sooner.readings), "reading"), verdict=_BECOMES[sooner.verdict])
    known = {one.asked.same: n for n, one in enumerate(best.readings, 1)}
    shared = [known[one.asked.same] for one in sooner.readings if one.asked.same in known]
    other = [one for one in sooner.readings if one.asked.same not in known]
    yield group(
        Paragraph(told), Paragraph(_seated(sooner.arrangement, best.arrangement)),
        Paragraph(t("It needs numbers {numbers} of these{more}", numbers=listed([str(n) for n in sorted(shared)]),
                    more=t(", and:") if other else ".")) if shared else None)
    yield from _readings(measure.trip, other, would, len(best.readings) + len(best.estimates))


def _opens(measure: Measure, one: Settle, would: _Would) -> Iterator[Block]:
    n = len(one.readings)
    told = t("This reading could open a better arrangement") if n == 1 else t(
        "These {n} readings could open a better arrangement", n=number(n))
    told += t("; with values that would do, it {verdict}.", verdict=_BECOMES[one.verdict]) if one.verdict else t(
        "; more may be asked once they are taken.")
    first = measure.best.arrangement if measure.best else one.arrangement
    yield group(Paragraph(told), Paragraph(_seated(one.arrangement, first)))
    yield from _readings(measure.trip, one.readings, would)


def _seated(arrangement: Arrangement, first: Arrangement | None = None) -> str:
    return t("({seated})", seated=seated(arrangement, first or arrangement))


def settled_content(settle: Settle, trip: Trip) -> list[Block]:
    """The readings that settle one arrangement, as a list of its own."""
    n = len(settle.readings)
    if settle.verdict is None:
        told = t("This arrangement asks for {readings}, and may ask for more once they are taken.",
                 readings=count(n, "reading"))
    else:
        told = t("With {readings} it is sure; with values that would do, it {verdict}.", readings=count(n, "reading"),
                 verdict=_BECOMES[settle.verdict])
    return [Paragraph(told), *_readings(trip, settle.readings, _would_do)]


def _readings(trip: Trip, readings: Sequence[Reading], would: _Would, before: int = 0) -> Iterator[Group]:
    for n, one in enumerate(readings, before + 1):
        told = would(one)
        yield _one(trip, n, one.asked, [t("would do: {values}", values=told)] if told else [])


def _would_do(one: Reading) -> str:
    """What would do, as a file has it; empty where nobody can say."""
    if one.settles and _agree(one.settles):
        return _together(one.settles)
    return "" if one.would_do is None else value_said(one.would_do, one.asked.unit)


def _would_do_in_fields(one: Reading) -> str:
    """The same as a form asks for it."""
    said_in_words = (isinstance(one.would_do, str) and not any(settled.keeps for settled in one.settles)) or (
        isinstance(one.would_do, (list, tuple, dict)) and not one.settles)
    return value_called(one.asked.key, one.would_do, one.asked.unit) if said_in_words else _would_do(one)


def _rest(measure: Measure) -> Iterator[Block]:
    if not measure.rest:
        return
    left = len(measure.rest) - _MANY
    yield Paragraph(t("The rest, by what they decide:"))
    yield from (_one(measure.trip, n, one.asked, _decides(one)) for n, one in enumerate(measure.rest[:_MANY], 1))
    if left > 0:
        yield Paragraph(t("and {more_fields} that decide less", more_fields=count(left, "more field")))


def _decides(one: Measurement) -> list[str]:
    told = []
    if one.decides:
        ways = [t("{rider} at {seats} in {restraint}", rider=way.rider, seats=listed(list(way.seats)),
                  restraint=way.restraint) if way.restraint else
                t("{rider} at {seats} with the seat belt", rider=way.rider, seats=listed(list(way.seats)))
                for way in one.decides]
        told.append(t("decides: {ways}", ways="; ".join(ways)))
    if one.settles:
        told.append(_tips(one.settles))
    return told or [t("decides about room")]


def _tips(settles: Sequence[Settled]) -> str:
    """Where it tips: for each rule that asks, the value at which it changes its answer."""
    return t("tips at: {values}", values="; ".join(dict.fromkeys(map(_settled, settles[:_SETTLES]))))


def _together(settles: Sequence[Settled]) -> str:
    """What does for all rules at once: of what must be at least some numbers the highest, of a most the lowest."""
    numbers = [one for one in settles if one.keeps and not isinstance(one.value, str)]
    least = max((one for one in numbers if one.keeps == "least"), key=lambda one: float(one.value), default=None)
    most = min((one for one in numbers if one.keeps == "most"), key=lambda one: float(one.value), default=None)
    told = [_settled(one) for one in (least, most) if one is not None]
    words = [_settled(one) for one in settles if one not in numbers]
    return listed(told) if told else "; ".join(dict.fromkeys(words[:_SETTLES]))


def _agree(settles: Sequence[Settled]) -> bool:
    """Whether one number can do for all rules: whether no least is above a most."""
    least, most = ([float(one.value) for one in settles if one.keeps == keeps and not isinstance(one.value, str)]
                   for keeps in ("least", "most"))
    return not least or not most or max(least) <= min(most)


def _settled(by: Settled) -> str:
    told = str(shown(held_at(by.value, by.unit, by.keeps)))
    if by.keeps == "most":
        return t("{value} or less", value=told)
    return t("{value} or more", value=told) if by.keeps == "least" else told


def _one(trip: Trip, rank: int, asked: Any, told: Sequence[str]) -> Group:
    return group(_blank(trip, asked, f"{rank}. {tr(asked.what)}", told))


def _blank(trip: Trip, asked: Any, label: str, told: Sequence[str] = ()) -> Blank:
    return Blank(label, name_of(asked.path, trip) if asked.path else "", asked.key, tr(asked.how), tuple(told))


def value_said(value: Any, unit: str) -> str:
    """A value that would do, as a person reads it: a number with its unit, else as a file has it."""
    if isinstance(value, (int, float)):
        return str(shown(Amount(value, unit))) if unit else number(int(value))
    return str(shown(Word(value))) if isinstance(value, str) else as_file(value)


def as_file(value: Any) -> str:
    """A value as one line of a file."""
    if isinstance(value, dict):
        return "{" + ", ".join(f"{key}: {as_file(one)}" for key, one in value.items()) + "}"
    if isinstance(value, (list, tuple)):
        return "[" + ", ".join(map(as_file, value)) + "]"
    return str(value)


def _first(measure: Measure) -> Reading | Measurement | None:
    """The first thing that can be set."""
    best = measure.best
    every: list[Reading | Measurement] = [*((*best.readings, *best.estimates) if best else ()), *measure.rest]
    return next((one for one in every if one.asked.path), None)


def _example(measure: Measure) -> str:
    first = _first(measure)
    if first is None:
        return ""
    value = getattr(first, "would_do", None)
    plain = "..." if value is None or isinstance(value, (dict, list)) else as_file(value)
    return quoted(f"{name_of(first.asked.path, measure.trip)}={plain}")

