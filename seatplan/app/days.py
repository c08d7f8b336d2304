"""The clock, and days as people ask for them."""

from __future__ import annotations

from datetime import date

from seatplan.said import said
from seatplan.written import FieldName, Verbatim

from .misasked import Misasked

#: how far ahead an outlook looks at most
MOST_MONTHS = 120


def today() -> date:
    """The day on which the program runs. Nothing else reads the clock."""
    return date.today()


def day_of(on: str | date | None) -> date | None:
    """A day of travel. Raises Misasked."""
    from seatplan.model.quantities import FIRST_DAY, last_day

    if on is None:
        return None
    try:
        day = on if isinstance(on, date) else date.fromisoformat(on)
    except ValueError:
        raise Misasked("on", said('{asked} is "{on}"', asked=FieldName("on"), on=Verbatim(on)),
                       said("expected a date such as 2026-11-25")) from None
    last = last_day(today())
    if not FIRST_DAY <= day <= last:
        raise Misasked("on", said("{asked} is {on}", asked=FieldName("on"), on=day),
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
            raise Misasked("until", said('{asked} is "{until}"', asked=asked, until=Verbatim(until)), allowed) from None
    if not start < end <= add_months(start, MOST_MONTHS):
        raise Misasked("until", said("{asked} is {until}", asked=asked, until=until), allowed)
    last = last_day(today())
    if end > last:
        raise Misasked("until", said("{asked} is {until}", asked=asked, until=until),
                       said("expected a day up to {last}", last=last))
    return end
