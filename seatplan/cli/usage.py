"""Mistakes on the command line: what is wrong, and apart from it what to do."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import TYPE_CHECKING, Any

import click

from seatplan.message import FieldName, Name, with_other
from seatplan.views.say import t, tr
from seatplan.written import visible

if TYPE_CHECKING:
    from click.shell_completion import CompletionItem


class Typed(click.types.StringParamType):
    """A word as it was typed, which no language writes in another way."""

    def convert(self, value: Any, param: click.Parameter | None, ctx: click.Context | None) -> Any:
        return Name(super().convert(value, param, ctx))

    def shell_complete(self, ctx: click.Context, param: click.Parameter, incomplete: str) -> list[CompletionItem]:
        from .completing import completions

        return completions(ctx, param, incomplete)


TYPED = Typed()


class Misuse(click.UsageError):
    """A wrong word on the command line. ``hint`` says what to do; it is a line of its own. For programs: ``found`` is
    the word, ``allowed`` what may stand there (as of a ``Problem``)."""

    def __init__(self, message: str, hint: str, found: str | None = None,
                 allowed: Mapping[str, Any] | None = None) -> None:
        super().__init__(message)
        self.hint, self.found, self.allowed = hint, found, allowed


def as_options(text: str) -> str:
    """What is said of a request, with its fields called as the command line calls them."""
    return tr(with_other(text, _option))


def _option(value: Any) -> Any:
    return Name(", ".join(f"--{one}" for one in value.names)) if isinstance(value, FieldName) else value


def one_of(word: str, known: Sequence[str], what: str, all_in: str = "") -> str:
    """The word as ``known`` spells it, whatever its capitals.

    Raises Misuse: ``what``, which says that there is no such word, and as hint the nearest one, or all of them;
    ``all_in`` names the command that lists them where they are many.
    """
    for name in known:
        if name.casefold() == word.casefold():
            return name
    from difflib import get_close_matches

    near = get_close_matches(word, known, 1)
    hint = (
        t("did you mean `{near}`?", near=near[0])
        if near
        else all_in or t("expected one of {known}", known=", ".join(known))
    )
    raise Misuse(what, hint, word, {"one_of": list(known)})


def mistake_of(error: click.ClickException, hint: str) -> dict[str, Any]:
    """The mistake as an object, for programs."""
    from seatplan.views.failure_json import mistake_json

    text = visible(message_of(error))
    if isinstance(error, Misuse):
        return mistake_json(text, hint, None, error.found, error.allowed)
    param = getattr(error, "param", None)
    field = param.opts[0] if param is not None and param.opts else getattr(error, "option_name", None)
    choices = list(param.type.choices) if param is not None and isinstance(param.type, click.Choice) else None
    return mistake_json(text, hint, field, None, {"one_of": choices} if choices else None)


def message_of(error: click.ClickException) -> str:
    """Click's own words on one line, beginning small and without a full stop."""
    text = " ".join(error.format_message().split()).rstrip(".")
    if isinstance(error, Misuse):
        return text                       # ours, and it may begin with a name
    return f"{text[:1].lower()}{text[1:]}"
