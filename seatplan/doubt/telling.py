"""What an unlikely value is called, how it is said, and how to take it again."""

from __future__ import annotations

from typing import Any

from seatplan import fields
from seatplan.fields import FIELDS
from seatplan.files.validate import name_of
from seatplan.message import Amount, said
from seatplan.model.doubt import Doubt, Path
from seatplan.model.quantities import written
from seatplan.units import Quantity, Stature

_LABEL = said("read it again, and write the unit that stands beside the number")
_AGAIN = said("measure it again, in mm")


def how_to_take(path: Path, of: str) -> str:
    """How to take a value again, in a sentence."""
    last = str(path[-1])
    if of == "rider" and f"rider.{last}" in FIELDS:
        return fields.how_to_take(f"rider.{last}")
    return _LABEL if "mass" in last or "limits" in path else _AGAIN


def name_in(holder: dict[str, Any], path: Path) -> str:
    """What a value is called: ``mass of rider Wren``. ``holder`` is what ``path`` begins in."""
    return name_of(holder, path)


def unlikely(doubt: Doubt) -> str:
    """The whole sentence: what it is, what is usual, and what to write where it is so all the same."""
    return said("{what} is {value}: unlikely{why}{band}; it counts as unknown until `{sure}` stands beside it",
                what=doubt.what, value=written_text(doubt.written), why=said(" {why}", why=doubt.why) if doubt.why
                else "", band=usual(doubt), sure=sure_text(doubt))


def usual(doubt: Doubt) -> str:
    """The band in words, with what was found where that is not the value itself; empty where there is none."""
    if doubt.low is None or doubt.high is None:
        return ""
    if doubt.derived:
        return said(" ({value}; usually {low:bare} to {high})", value=_amount(doubt.value, doubt),
                    low=_amount(doubt.low, doubt), high=_amount(doubt.high, doubt))
    return said(" ({low:bare} to {high})", low=_amount(doubt.low, doubt), high=_amount(doubt.high, doubt))


def sure_text(doubt: Doubt) -> str:
    """What to write beside the field."""
    return f"sure: {{{doubt.path[-1]}: {written_text(doubt.written)}}}"


def written_text(value: Any) -> str:
    """A value as a file has it."""
    if isinstance(value, (list, tuple)):
        return f"[{', '.join(map(written_text, value))}]"
    if isinstance(value, (Quantity, Stature)):
        return str(written(value))
    return _figure(value)


def _amount(value: Any, doubt: Doubt) -> Amount:
    return Amount(round(float(value), 1), doubt.unit)


def _figure(value: Any) -> str:
    return f"{float(value):.1f}".removesuffix(".0")
