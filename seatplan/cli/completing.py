"""What may stand where somebody types, for a shell that asks at each press of a key: nothing heavy is imported."""

from __future__ import annotations

import os
from collections.abc import Callable, Iterable, Iterator
from typing import Literal

import click
from click.shell_completion import CompletionItem

#: a folder with more entries is not looked through
_MOST_ENTRIES = 2000
_YAML = (".yaml", ".yml")


def completions(ctx: click.Context, param: click.Parameter, incomplete: str) -> list[CompletionItem]:
    """What a word of this option or argument can be: names, or else files."""
    words = _WORDS.get(param.name or "")
    takes_files = param.name in _FILES
    if words is None and not takes_files:
        return []
    known = [] if words is None else list(dict.fromkeys(words(ctx)))
    if takes_files and "/" not in incomplete:
        known += sorted(_files())
    found = [CompletionItem(word) for word in known if word.casefold().startswith(incomplete.casefold())]
    return found or ([CompletionItem(incomplete, type="file")] if takes_files else [])


def _files() -> Iterator[str]:
    """The YAML files of the current folder."""
    with os.scandir() as entries:
        for _, entry in zip(range(_MOST_ENTRIES), entries, strict=False):
            if entry.name.lower().endswith(_YAML):
                yield entry.name


def _bundled(kind: Literal["trip", "vehicle", "restraint"]) -> Callable[[click.Context], Iterable[str]]:
    def names(ctx: click.Context) -> Iterable[str]:
        from seatplan.app.named import bundled

        return bundled(kind)

    return names


def _riders(ctx: click.Context) -> Iterable[str]:
    from seatplan.app.named import riders

    return riders(_trip(ctx))


def _seats(ctx: click.Context) -> Iterable[str]:
    from seatplan.app.named import seats

    vehicle = ctx.params.get("vehicle")
    return seats(_trip(ctx), vehicle if isinstance(vehicle, str) else None)


def _trip(ctx: click.Context) -> str:
    """The trip that was typed already; click gives words no name while an option still waits for its value."""
    return str(ctx.params.get("trip") or next(iter(ctx.args), ""))


def _rules(ctx: click.Context) -> Iterable[str]:
    from seatplan.app.named import rules

    return rules()


def _commands(ctx: click.Context) -> Iterable[str]:
    from .main import COMMANDS

    return COMMANDS


#: what a word is called in its command -> the names that it can be
_WORDS: dict[str, Callable[[click.Context], Iterable[str]]] = {
    "trip": _bundled("trip"),
    "vehicle": _bundled("vehicle"),
    "vehicles": _bundled("vehicle"),
    "rules": lambda ctx: ("us", "un"),
    "rule": _rules,
    "topic": _rules,
    "rider": _riders,
    "position": _seats,
    "not_so": lambda ctx: (f"{rider}={seat}" for rider in _riders(ctx) for seat in _seats(ctx)),
    "command": _commands,
}
#: words that can be files, too
_FILES = ("trip", "vehicle", "vehicles", "rules", "files", "output", "first", "second")
