"""What somebody asks, as a record that prints itself as a command and as a URL. Imports nothing heavy."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import field, fields
from datetime import date
from typing import Any, ClassVar
from urllib.parse import quote, urlencode

from seatplan.frozen import frozen
from seatplan.message import Name
from seatplan.written import quoted


def argument(**more: Any) -> Any:
    """A field that stands without an option's name."""
    return field(metadata={"argument": True}, **more)


def option(name: str = "", none: str = "", **more: Any) -> Any:
    """A field whose option is not called as the field is; ``none``: the flag that stands for None."""
    return field(metadata={"option": name, "none": none}, **more)


@frozen(kw_only=True)
class Question:
    """What somebody asks. ``COMMAND`` is the command that asks it, and the path of its URL."""

    COMMAND: ClassVar[str]

    @property
    def command(self) -> str:
        """The whole request as a command."""
        return Name(" ".join(["seatplan", self.COMMAND, *map(quoted, words_of(self))]))

    @property
    def url(self) -> str:
        """The whole request as the path and query of a URL (RFC 3986): ``/arrange?trip=three-across-school-run``."""
        query = urlencode(list(_pairs(self)), quote_via=quote)
        return f"/{self.COMMAND}?{query}" if query else f"/{self.COMMAND}"


def words_of(request: Question, among: tuple[str, ...] | None = None) -> Iterator[str]:
    """The words behind the command, of all fields or of some."""
    for name, option, value, is_argument in _given(request):
        if among is not None and name not in among:
            continue
        if is_argument:
            yield value
        elif value is True:
            yield option
        else:
            yield from (option, value)


def _pairs(request: Question) -> Iterator[tuple[str, str]]:
    for _, option, value, _ in _given(request):
        yield option.removeprefix("--"), "yes" if value is True else value


def _given(request: Question) -> Iterator[tuple[str, str, Any, bool]]:
    """(field, option, value as typed or True for a flag, whether it stands alone), what stands alone first."""
    told = sorted(fields(request), key=lambda one: not one.metadata.get("argument", False))
    for one in told:
        value = getattr(request, one.name)
        if value is None and one.default is not None and one.metadata.get("none"):
            yield one.name, one.metadata["none"], True, False
        elif value is None or value is False or (type(value) is type(one.default) and value == one.default):
            continue
        else:
            called = one.metadata.get("option") or "--" + one.name.replace("_", "-")
            alone = one.metadata.get("argument", False)
            for each in value if isinstance(value, tuple) else (value,):
                yield one.name, called, each if each is True else _typed(one.name, each), alone


def _typed(name: str, value: Any) -> str:
    """As a person types it; a record, which no file holds, by what it is: ``TRIP``, ``VEHICLE``."""
    return str(value) if isinstance(value, (str, int, date)) else name.removesuffix("s").upper()
