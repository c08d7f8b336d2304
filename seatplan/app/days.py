"""The clock, and days as people ask for them."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from contextlib import contextmanager
from contextvars import ContextVar
from datetime import date
from typing import Any

from seatplan.message import FieldName, Name, said

from .misasked import Misasked

#: how far ahead an outlook looks at most
MOST_MONTHS = 120
#: what can be asked of every trip
_OPTIONS = {"vehicle", "rules", "on", "strict", "worst_case"}


_today: ContextVar[date | None] = ContextVar("today", default=None)


def today() -> date:
    """The day on which the program runs, or that somebody asked for instead. Nothing else reads the clock."""
    return _today.get() or date.today()


@contextmanager
def at(day: date | None) -> Iterator[None]:
    """Everything inside takes the day for today; None: the clock's."""
    token = _today.set(day)
    try:
        yield
    finally:
        _today.reset(token)


@contextmanager
def asked_on(options: Mapping[str, Any]) -> Iterator[dict[str, Any]]:
    """The options of a request about a trip, for a request made inside; ``today`` among them stands in for the clock,
    and ``on`` may be text. Raises TypeError for an option that there is not."""
    of_trip = {name: value for name, value in options.items() if name != "today"}
    other = set(of_trip) - _OPTIONS
    if other:
        raise TypeError(f"no option is called {', '.join(sorted(other))}; expected some of "
                        f"{', '.join(sorted(_OPTIONS | {'today'}))}")
    with at(options.get("today")):
        yield of_trip | ({"on": day_of(of_trip["on"])} if "on" in of_trip else {})


def day_of(on: str | date | None) -> date | None:
    """A day of travel. Raises Misasked."""
    from seatplan.model.quantities import FIRST_DAY, last_day

    if on is None:
        return None
    try:
        day = on if isinstance(on, date) else date.fromisoformat(on)
    except ValueError:
        raise Misasked("on", said('{asked} is "{on}"', asked=FieldName("on"), on=Name(on)),
                       said("expected a date such as 2026-11-25")) from None
    last = last_day(today())
    if not FIRST_DAY <= day <= last:
        raise Misasked("on", said("{asked} is {on}", asked=FieldName("on"), on=Name(str(on))),
                       said("expected a day from {first} to {last}", first=FIRST_DAY, last=last))
    return day


def day_within(until: str | date, start: date) -> date:
    """The last day of a look ahead: a day, or a duration from ``start``. Raises Misasked."""
    from seatplan.model.quantities import last_day
    from seatplan.rules.restraint_condition import add_months
    from seatplan.units import UnitError, duration_months

    asked = FieldName("until")
    allowed = said("expected years or months, such as 4y, or a day after {start}; ten years at most", start=start)
    try:
        end = until if isinstance(until, date) else date.fromisoformat(until)
    except ValueError:
        try:
            end = add_months(start, duration_months(until))
        except (UnitError, ValueError, OverflowError):
            raise Misasked("until", said('{asked} is "{until}"', asked=asked, until=Name(until)), allowed) from None
    if not start < end <= add_months(start, MOST_MONTHS):
        raise Misasked("until", said("{asked} is {until}", asked=asked, until=Name(str(until))), allowed)
    last = last_day(today())
    if end > last:
        raise Misasked("until", said("{asked} is {until}", asked=asked, until=Name(str(until))),
                       said("expected a day up to {last}", last=last))
    return end
